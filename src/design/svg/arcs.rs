//! Keeps arcs round: the resolver turns them into cubic curves that are up to 0.1 of the drawing's units off.

use std::fmt::Write;

use kurbo::{Arc, BezPath, PathEl, Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

/// The largest distance between an arc and its cubic curves, as a share of its radius.
const ROUND: f64 = 1e-7;

/// Path data with its elliptical arcs written as fine cubic curves; all else stays as it is drawn, in
/// absolute numbers.
pub(super) fn fine(d: &str) -> String {
    if !d.contains(['A', 'a']) {
        return d.to_owned();
    }
    let mut out = String::with_capacity(2 * d.len());
    let (mut at, mut start) = (Point::ZERO, Point::ZERO);
    // A smooth curve takes its first control point from the curve before; after an arc there is none.
    let mut after_arc = false;
    for segment in PathParser::from(d).map_while(Result::ok) {
        let from = if segment.is_abs() { Vec2::ZERO } else { at.to_vec2() };
        let place = |x: f64, y: f64| Point::new(x, y) + from;
        let was_arc = std::mem::take(&mut after_arc);
        // Writing to a string does not fail.
        let mut put = |letter: &str, points: &[Point]| {
            let numbers: Vec<String> = points.iter().map(|p| format!("{} {}", p.x, p.y)).collect();
            let _ = write!(out, "{letter}{} ", numbers.join(" "));
        };
        match segment {
            PathSegment::MoveTo { x, y, .. } => {
                at = place(x, y);
                start = at;
                put("M", &[at]);
            }
            PathSegment::LineTo { x, y, .. } => {
                at = place(x, y);
                put("L", &[at]);
            }
            PathSegment::HorizontalLineTo { x, .. } => {
                at.x = x + from.x;
                put("L", &[at]);
            }
            PathSegment::VerticalLineTo { y, .. } => {
                at.y = y + from.y;
                put("L", &[at]);
            }
            PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
                at = place(x, y);
                put("C", &[place(x1, y1), place(x2, y2), at]);
            }
            PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                let before = at;
                at = place(x, y);
                if was_arc {
                    put("C", &[before, place(x2, y2), at]);
                } else {
                    put("S", &[place(x2, y2), at]);
                }
            }
            PathSegment::Quadratic { x1, y1, x, y, .. } => {
                at = place(x, y);
                put("Q", &[place(x1, y1), at]);
            }
            PathSegment::SmoothQuadratic { x, y, .. } => {
                let before = at;
                at = place(x, y);
                if was_arc {
                    put("Q", &[before, at]);
                } else {
                    put("T", &[at]);
                }
            }
            PathSegment::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
                let svg = SvgArc {
                    from: at,
                    to: place(x, y),
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                at = svg.to;
                let Some(arc) = Arc::from_svg_arc(&svg) else {
                    put("L", &[at]);
                    continue;
                };
                let mut curves: Vec<[Point; 3]> = arc
                    .append_iter(ROUND * arc.radii.x.max(arc.radii.y))
                    .filter_map(|el| if let PathEl::CurveTo(a, b, p) = el { Some([a, b, p]) } else { None })
                    .collect();
                if let Some(last) = curves.last_mut() {
                    last[2] = at;
                }
                curves.iter().for_each(|curve| put("C", curve));
                after_arc = true;
            }
            PathSegment::ClosePath { .. } => {
                at = start;
                out.push_str("Z ");
            }
        }
    }
    out
}

/// The path with every cubic curve that stands for a quarter of an ellipse replaced by finer ones: that is
/// how the resolver draws circles, ellipses and rounded corners, 0.03 % of the radius too wide.
pub(super) fn rounded(path: &BezPath) -> BezPath {
    /// Length of a quarter's control arm to the radius, 4/3·tan(π/8).
    const ARM: f64 = 0.552_284_749_830_793_4;
    let mut out = BezPath::new();
    let mut at = Point::ZERO;
    for el in path.elements() {
        if let PathEl::CurveTo(a, b, p) = *el {
            // Both arms, drawn out to a radius, meet in the corner of the quarter's frame.
            let corner = at + (a - at) / ARM;
            let other = p + (b - p) / ARM;
            let size = (corner - at).hypot().max((corner - p).hypot());
            let (u, v) = (at - (at + (p - corner)), p - (at + (p - corner)));
            if (corner - other).hypot() <= 1e-4 * size && u.cross(v).abs() > 1e-6 * size * size {
                quarter(&mut out, at, p, corner);
                at = p;
                continue;
            }
        }
        out.push(*el);
        at = el.end_point().unwrap_or(at);
    }
    out
}

/// A quarter of an ellipse in four cubic curves.
fn quarter(out: &mut BezPath, from: Point, to: Point, corner: Point) {
    const PARTS: u32 = 4;
    let centre = from + (to - corner);
    let (u, v) = (from - centre, to - centre);
    let step = std::f64::consts::FRAC_PI_2 / f64::from(PARTS);
    let arm = 4.0 / 3.0 * (step / 4.0).tan();
    for i in 0..PARTS {
        let (s0, c0) = (step * f64::from(i)).sin_cos();
        let (s1, c1) = (step * f64::from(i + 1)).sin_cos();
        let (p, q) = (u * c0 + v * s0, u * c1 + v * s1);
        let (dp, dq) = (v * c0 - u * s0, v * c1 - u * s1);
        let end = if i + 1 == PARTS { to } else { centre + q };
        out.curve_to(centre + p + dp * arm, centre + q - dq * arm, end);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;

    fn off_circle(path: &BezPath, centre: Point, radius: f64) -> f64 {
        let mut worst = 0.0_f64;
        for segment in path.segments() {
            for i in 0..=20 {
                let p = segment.eval(f64::from(i) / 20.0);
                worst = worst.max((p.distance(centre) - radius).abs());
            }
        }
        worst
    }

    #[test]
    fn an_arc_of_any_turn_stays_on_its_circle() {
        let d = fine("M100 0 a100 100 0 0 1 -100 100 A100 100 0 1 1 100 0 z");
        assert!(!d.contains(['A', 'a']));
        assert!(off_circle(&BezPath::from_svg(&d).unwrap(), Point::ZERO, 100.0) < 2e-5);
    }

    #[test]
    fn a_smooth_curve_after_an_arc_starts_at_the_arcs_end() {
        assert!(fine("M0 0 A5 5 0 0 1 10 0 S 20 10 30 0").contains("C10 0 20 10 30 0"));
        assert!(fine("M0 0 A5 5 0 0 1 10 0 T 30 0").contains("Q10 0 30 0"));
    }

    #[test]
    fn a_circle_of_four_cubics_becomes_round() {
        let mut four = BezPath::new();
        let (r, k) = (127.0, 127.0 * 0.552_284_75);
        four.move_to((r, 0.0));
        four.curve_to((r, k), (k, r), (0.0, r));
        four.curve_to((-k, r), (-r, k), (-r, 0.0));
        four.curve_to((-r, -k), (-k, -r), (0.0, -r));
        four.curve_to((k, -r), (r, -k), (r, 0.0));
        four.close_path();
        assert!(off_circle(&four, Point::ZERO, r) > 0.03);
        assert!(off_circle(&rounded(&four), Point::ZERO, r) < 2e-5);
    }

    #[test]
    fn other_cubics_stay_as_they_are() {
        let leaf = BezPath::from_svg("M0 0 C10 30 40 30 50 0 Z").unwrap();
        assert_eq!(rounded(&leaf), leaf);
    }
}
