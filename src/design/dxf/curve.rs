//! Arcs, ellipses and splines as cubic curves.

use kurbo::{Affine, Arc, BezPath, PathEl, Point, Vec2};

/// The largest distance between a curve and the cubics that stand for it, as a share of its size.
const ROUND: f64 = 1e-7;

/// Appends an arc of a circle; without a path before it, starts one.
///
/// Angles are in radians from x; a negative `sweep` runs clockwise.
pub(super) fn arc(path: &mut BezPath, centre: Point, radius: f64, start: f64, sweep: f64) {
    let arc = Arc::new(centre, (radius, radius), start, sweep, 0.0);
    if path.elements().is_empty() {
        path.move_to(centre + radius * Vec2::from_angle(start));
    }
    path.extend(arc.append_iter(ROUND * radius));
}

/// Appends what runs from the path's end to `to` with a bulge: the tangent of a quarter of the arc's angle,
/// positive to the left of the chord's right-hand side, that is anticlockwise.
pub(super) fn bulged(path: &mut BezPath, from: Point, to: Point, bulge: f64) {
    let chord = to - from;
    // Flatter than a millionth of its length, an arc is a line.
    if bulge.abs() < 1e-6 || chord.hypot() == 0.0 {
        path.line_to(to);
        return;
    }
    let centre = from.midpoint(to) + Vec2::new(-chord.y, chord.x) * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let radius = chord.hypot() * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    let start = (from - centre).atan2();
    let from_here = path.elements().len();
    arc(path, centre, radius, start, 4.0 * bulge.atan());
    // The end is where it is drawn, not where the sines put it.
    if let Some(PathEl::CurveTo(.., end)) = path.elements_mut()[from_here..].last_mut() {
        *end = to;
    }
}

/// A part of an ellipse, from one parameter to another, anticlockwise from its major axis.
pub(super) fn ellipse(centre: Point, major: Vec2, minor: Vec2, start: f64, sweep: f64) -> BezPath {
    let mut unit = BezPath::new();
    arc(&mut unit, Point::ZERO, 1.0, start, sweep);
    Affine::new([major.x, major.y, minor.x, minor.y, centre.x, centre.y]) * unit
}

/// A B-spline, rational where weights are given.
#[derive(Clone, Debug)]
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    /// Each times its weight, and the weight.
    poles: Vec<[f64; 3]>,
}

impl Spline {
    /// `None` when degree, knots and points do not go together, or a weight is not above zero.
    pub(super) fn new(degree: usize, knots: Vec<f64>, points: &[Point], weights: &[f64]) -> Option<Self> {
        /// Higher degrees are noise.
        const HIGHEST: usize = 25;
        let weight = |i: usize| weights.get(i).copied().unwrap_or(1.0);
        let fits = (1..=HIGHEST).contains(&degree)
            && points.len() > degree
            && knots.len() == points.len() + degree + 1
            && knots.windows(2).all(|pair| pair[0] <= pair[1])
            && knots[degree] < knots[points.len()]
            && (weights.is_empty() || weights.len() == points.len())
            && weights.iter().all(|weight| *weight > 0.0);
        let poles = points.iter().enumerate().map(|(i, p)| [p.x * weight(i), p.y * weight(i), weight(i)]);
        fits.then(|| Self { degree, knots, poles: poles.collect() })
    }

    /// The curve as cubics: exact between knots up to degree three without weights, else finer and finer
    /// until nothing moves.
    pub(super) fn path(&self) -> BezPath {
        /// Halvings of one stretch between knots.
        const DEEPEST: u32 = 12;
        let end = self.poles.len();
        let points: Vec<Point> = self.poles.iter().map(|[x, y, w]| Point::new(x / w, y / w)).collect();
        let frame = points.iter().fold((points[0], points[0]), |(a, b), p| {
            (Point::new(a.x.min(p.x), a.y.min(p.y)), Point::new(b.x.max(p.x), b.y.max(p.y)))
        });
        let slack = ROUND * (frame.1 - frame.0).hypot();
        let mut path = BezPath::new();
        path.move_to(self.at(self.degree, self.knots[self.degree]).0);
        for span in self.degree..end {
            let (from, to) = (self.knots[span], self.knots[span + 1]);
            if from < to {
                self.stretch(&mut path, span, from, to, slack, DEEPEST);
            }
        }
        path
    }

    /// One stretch between knots as the cubic with the curve's ends and directions there, halved where the
    /// curve's middle is elsewhere.
    fn stretch(&self, path: &mut BezPath, span: usize, from: f64, to: f64, slack: f64, left: u32) {
        let ((p, dp), (q, dq)) = (self.at(span, from), self.at(span, to));
        let third = (to - from) / 3.0;
        let (a, b) = (p + dp * third, q - dq * third);
        let cubic = kurbo::CubicBez::new(p, a, b, q);
        let off = |t: f64| {
            (kurbo::ParamCurve::eval(&cubic, t) - self.at(span, from + t * (to - from)).0).hypot() > slack
        };
        if left > 0 && [0.25, 0.5, 0.75].into_iter().any(off) {
            let middle = f64::midpoint(from, to);
            self.stretch(path, span, from, middle, slack, left - 1);
            self.stretch(path, span, middle, to, slack, left - 1);
        } else {
            path.curve_to(a, b, q);
        }
    }

    /// Place and derivative, by de Boor's scheme (*A Practical Guide to Splines*, 1978, chapter X).
    fn at(&self, span: usize, t: f64) -> (Point, Vec2) {
        let n = self.degree;
        let mut d: Vec<[f64; 3]> = self.poles[span - n..=span].to_vec();
        let mut slope = [0.0; 3];
        for r in 1..=n {
            if r == n {
                // The last two poles span the tangent.
                let width = self.knots[span + 1] - self.knots[span];
                for (k, s) in slope.iter_mut().enumerate() {
                    *s = (d[n][k] - d[n - 1][k]) / width;
                }
                slope = slope.map(|s| {
                    #[expect(clippy::cast_precision_loss, reason = "a degree")]
                    let n = n as f64;
                    s * n
                });
            }
            for j in (r..=n).rev() {
                let i = span - n + j;
                let (low, high) = (self.knots[i], self.knots[i + n + 1 - r]);
                let share = (t - low) / (high - low);
                let before = d[j - 1];
                d[j].iter_mut().zip(before).for_each(|(d, before)| *d = (1.0 - share) * before + share * *d);
            }
        }
        let [x, y, w] = d[n];
        let place = Point::new(x / w, y / w);
        (place, (Vec2::new(slope[0], slope[1]) - place.to_vec2() * slope[2]) / w)
    }
}

/// The cubic spline through points, its parameter running with the length of the chords; where no direction is
/// given the ends are free of bending.
pub(super) fn through(points: &[Point], directions: [Option<Vec2>; 2]) -> BezPath {
    let mut points = points.to_vec();
    points.dedup();
    let mut path = BezPath::new();
    let Some(first) = points.first() else { return path };
    path.move_to(*first);
    let n = points.len();
    if n < 2 {
        return path;
    }
    let chords: Vec<f64> = points.windows(2).map(|w| (w[1] - w[0]).hypot()).collect();
    let rise = |k: usize| (points[k + 1] - points[k]) / chords[k];
    // One equation a point for its derivative: below, itself, above, right side.
    let mut rows: Vec<[f64; 3]> = Vec::with_capacity(n);
    let mut sides: Vec<Vec2> = Vec::with_capacity(n);
    for k in 0..n {
        let end = if k == 0 { directions[0] } else { directions[1] };
        let (row, side) = match k {
            k if k > 0 && k + 1 < n => {
                let (a, b) = (chords[k - 1], chords[k]);
                ([b, 2.0 * (a + b), a], (rise(k - 1) * b + rise(k) * a) * 3.0)
            }
            _ if end.is_some() => ([0.0, 1.0, 0.0], end.map_or(Vec2::ZERO, Vec2::normalize)),
            0 => ([0.0, 2.0, 1.0], rise(0) * 3.0),
            _ => ([1.0, 2.0, 0.0], rise(n - 2) * 3.0),
        };
        rows.push(row);
        sides.push(side);
    }
    for k in 1..n {
        let share = rows[k][0] / rows[k - 1][1];
        rows[k][1] -= share * rows[k - 1][2];
        let above = sides[k - 1];
        sides[k] -= above * share;
    }
    let mut slopes = vec![Vec2::ZERO; n];
    for k in (0..n).rev() {
        let after = slopes.get(k + 1).copied().unwrap_or(Vec2::ZERO);
        slopes[k] = (sides[k] - after * rows[k][2]) / rows[k][1];
    }
    for k in 0..n - 1 {
        let third = chords[k] / 3.0;
        path.curve_to(points[k] + slopes[k] * third, points[k + 1] - slopes[k + 1] * third, points[k + 1]);
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;
    use std::f64::consts::PI;

    #[test]
    fn a_bulge_of_one_is_half_a_circle_on_the_right_of_its_chord() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        bulged(&mut path, Point::ZERO, Point::new(10.0, 0.0), 1.0);
        // Anticlockwise from the left end to the right end runs below.
        let b = path.bounding_box();
        assert!((b.y0 + 5.0).abs() < 1e-5 && b.y1.abs() < 1e-9);
        path.close_path();
        assert!((path.area().abs() - 12.5 * PI).abs() < 1e-4);
    }

    #[test]
    fn a_rational_spline_of_degree_two_is_a_circle() {
        // A quarter by three poles with the middle one's weight √½ (Piegl and Tiller, *The NURBS Book*, 7.3).
        let knots = vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
        let poles = [Point::new(10.0, 0.0), Point::new(10.0, 10.0), Point::new(0.0, 10.0)];
        let spline = Spline::new(2, knots, &poles, &[1.0, 0.5_f64.sqrt(), 1.0]).unwrap();
        for el in spline.path().elements() {
            let end = el.end_point().unwrap();
            assert!((end.to_vec2().hypot() - 10.0).abs() < 1e-9);
        }
        let mut path = spline.path();
        path.line_to(Point::ZERO);
        path.close_path();
        assert!((path.area().abs() - 25.0 * PI).abs() < 1e-4);
    }

    #[test]
    fn a_cubic_without_weights_is_one_curve_between_knots() {
        let knots = vec![0.0, 0.0, 0.0, 0.0, 1.0, 3.0, 3.0, 3.0, 3.0];
        let poles = [(0.0, 0.0), (1.0, 5.0), (4.0, -2.0), (7.0, 3.0), (9.0, 0.0)].map(Point::from);
        let path = Spline::new(3, knots, &poles, &[]).unwrap().path();
        assert_eq!(path.elements().len(), 3);
        assert_eq!(path.elements()[2].end_point(), Some(Point::new(9.0, 0.0)));
    }

    #[test]
    fn a_spline_through_points_on_a_line_is_the_line() {
        let points = [(0.0, 0.0), (1.0, 2.0), (5.0, 10.0), (6.0, 12.0)].map(Point::from);
        let path = through(&points, [None, None]);
        assert_eq!(path.elements().len(), 4);
        assert!(path.elements().iter().all(|el| match el {
            PathEl::CurveTo(a, b, _) => (a.y - 2.0 * a.x).abs() < 1e-12 && (b.y - 2.0 * b.x).abs() < 1e-12,
            _ => true,
        }));
    }

    #[test]
    fn what_does_not_go_together_is_no_spline() {
        let poles = [Point::ZERO; 4];
        assert!(Spline::new(3, vec![0.0; 8], &poles, &[]).is_none());
        assert!(Spline::new(3, vec![0.0, 1.0], &poles, &[]).is_none());
        assert!(Spline::new(0, vec![0.0, 1.0, 2.0, 3.0, 4.0], &poles, &[]).is_none());
    }
}
