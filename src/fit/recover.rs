//! Finds the arcs that a ring of short straight lines stands for.

use geo_types::LineString;

use super::Segment;
use super::contour::{self, Contour, Node};
use crate::shape::plane::{Point, cross, distance, dot, left, nearest_on_segment};

/// When points count as lying on an arc.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovery {
    /// How far a point may lie off the circle, in mm.
    pub on_circle: f64,
    /// How far the arc may leave the chord between two of its points, in mm: no more than what was given away when the
    /// curve was made straight, so that a drawn polygon keeps its sides.
    pub off_chord: f64,
    /// The radius expected of convex arcs and the one of hollow arcs, in mm: an arc that fits it within `on_circle` gets
    /// exactly that radius.
    pub expected: [Option<f64>; 2],
}

impl Default for Recovery {
    /// For a drawing as [`design::read`](crate::design::read) gives it: points to 0.001 mm, chords to a little more than the 0.02 mm
    /// curves are read with.
    fn default() -> Self {
        Self { on_circle: 0.001, off_chord: 0.025, expected: [None; 2] }
    }
}

/// The chords of the shortest run that counts as an arc.
const CHORDS: usize = 3;
/// No arc turns further than this, so that the circle through its ends and middle is well known: 300 degrees.
const FARTHEST: f64 = 300.0 / 180.0 * std::f64::consts::PI;
/// A point nearer than this to the line between its neighbours, in mm, says nothing: the noise of the offsets' grid.
const STRAIGHT: f64 = 2e-5;
/// Points nearer to each other than this, in mm, are one: where an arc meets a line the offsets leave two, in any direction.
const TWICE: f64 = 2e-4;

/// The contour of a closed ring, its first point repeated at the end or not.
pub(super) fn recovered(ring: &LineString<f64>, how: &Recovery) -> Contour {
    let points = from_a_corner(telling(&ring.0));
    let count = points.len();
    let at = |i: usize| points[i % count];
    let mut nodes = Vec::new();
    let mut i = 0;
    while i < count {
        let here = reach(&points, i, count, how);
        // A run that begins one line too early is short; the arc proper begins at the next point or the one after.
        let run = |later: usize| reach(&points, i + later, count, how) - i - later;
        let late = here > i + 1 && (1..=2).any(|later| i + later < count && run(later) > 2 * (here - i));
        let end = if late { i + 1 } else { here };
        let bulge = if end > i + 1 { bulge(at(i), at(i.midpoint(end)), at(end), how) } else { 0.0 };
        nodes.push(Node { at: at(i), bulge });
        i = end;
    }
    Contour::new(nodes)
}

/// An open line of points made anew of as few arcs and straight lines as pass each of them within `how.on_circle`, arcs as chords that leave them
/// by no more than `gap` mm; its ends stay.
pub(crate) fn smoothed(line: &[Point], how: &Recovery, gap: f64) -> Vec<Point> {
    let Some(last) = line.len().checked_sub(1) else { return Vec::new() };
    let mut smooth = Vec::new();
    let mut i = 0;
    while i < last {
        let (arc, straight) = (reach(line, i, last, how), straight_to(line, i, how.on_circle));
        let end = arc.max(straight);
        let bulge = if arc > straight { bulge(line[i], line[i.midpoint(end)], line[end], how) } else { 0.0 };
        let (from, to) = (line[i], line[end]);
        let segment =
            if bulge == 0.0 { Segment::Line { from, to } } else { Segment::Arc { from, to, bulge } };
        smooth.extend(contour::points(&segment, gap));
        i = end;
    }
    smooth.push(line[last]);
    smooth
}

/// The last point to which a straight line from `i` passes all between them within so many mm.
fn straight_to(line: &[Point], i: usize, within: f64) -> usize {
    let is_straight = |end: usize| {
        line[i + 1..end].iter().all(|p| distance(*p, nearest_on_segment(*p, line[i], line[end]).0) <= within)
    };
    (i + 2..line.len()).take_while(|&end| is_straight(end)).last().unwrap_or(i + 1)
}

/// The points that tell something: none twice, none on the straight line between its neighbours.
fn telling(ring: &[Point]) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for p in ring {
        if points.last().is_none_or(|last| distance(*last, *p) > TWICE) {
            points.push(*p);
        }
    }
    while points.len() > 3 && distance(points[0], points[points.len() - 1]) <= TWICE {
        points.pop();
    }
    let mut kept: Vec<Point> = Vec::new();
    for (i, p) in points.iter().enumerate() {
        let before = *kept.last().unwrap_or(&points[points.len() - 1]);
        let after = points[(i + 1) % points.len()];
        let (foot, _) = nearest_on_segment(*p, before, after);
        if points.len() < 4 || distance(*p, foot) > STRAIGHT {
            kept.push(*p);
        }
    }
    if kept.len() < 3 { points } else { kept }
}

/// The ring begun where its longest line ends, which no arc runs across.
fn from_a_corner(mut points: Vec<Point>) -> Vec<Point> {
    let count = points.len();
    let long = |i: usize| distance(points[i], points[(i + 1) % count]);
    let longest = (0..count).max_by(|&a, &b| long(a).total_cmp(&long(b)).then(b.cmp(&a))).unwrap_or(0);
    points.rotate_left((longest + 1) % count);
    points
}

/// The last point of the arc that begins at `i`, no farther than `last`, or `i + 1` when a line does. A ring's first point is its last.
///
/// Twice as far each time until it does not fit, then the last step halved: a circle of many points is not looked at anew
/// for each of them.
fn reach(points: &[Point], i: usize, last: usize, how: &Recovery) -> usize {
    let fits = |end: usize| end <= last && is_arc(points, i, end, how);
    let (mut end, mut step) = (i + CHORDS, 1);
    if !fits(end) {
        return i + 1;
    }
    while fits(end + step) {
        end += step;
        step *= 2;
    }
    while step > 1 {
        step /= 2;
        if fits(end + step) {
            end += step;
        }
    }
    end
}

/// Whether the points from `i` to `end` lie on one arc.
fn is_arc(points: &[Point], i: usize, end: usize, how: &Recovery) -> bool {
    let at = |k: usize| points[k % points.len()];
    let Some((centre, radius)) = circle(at(i), at(i.midpoint(end)), at(end)) else { return false };
    let way = cross(at(i) - centre, at(i + 1) - centre).signum();
    let mut turned = 0.0;
    for k in i..end {
        let (a, b) = (at(k) - centre, at(k + 1) - centre);
        let step = cross(a, b).atan2(dot(a, b)) * way;
        turned += step;
        let off = (distance(at(k), centre) - radius).abs();
        if step <= 0.0
            || turned > FARTHEST
            || off > how.on_circle
            || radius * (1.0 - (step / 2.0).cos()) > how.off_chord
        {
            return false;
        }
    }
    true
}

/// The circle through three points.
fn circle(a: Point, b: Point, c: Point) -> Option<(Point, f64)> {
    let (u, v) = (b - a, c - a);
    let double = 2.0 * cross(u, v);
    let centre = a + left(u * dot(v, v) - v * dot(u, u)) / double;
    let radius = distance(a, centre);
    // Flatter than this over any part of a board it is a straight line.
    (radius.is_finite() && radius < 1e5).then_some((centre, radius))
}

/// The bulge of the arc from `a` to `b` through a point between them.
pub(super) fn bulge_through(a: Point, middle: Point, b: Point) -> f64 {
    // The angle at the middle point sees the chord; the arc turns through twice what is missing to a half turn.
    let (u, v) = (a - middle, b - middle);
    let seen = cross(v, u).atan2(dot(v, u));
    let sweep = 2.0 * (std::f64::consts::PI - seen.abs()) * seen.signum();
    (sweep / 4.0).tan()
}

/// The bulge of the arc through three points, of an expected radius where one fits.
fn bulge(a: Point, middle: Point, b: Point, how: &Recovery) -> f64 {
    let found = bulge_through(a, middle, b);
    let half = distance(a, b) / 2.0;
    let radius = half * (1.0 + found * found) / (2.0 * found.abs());
    let rise = |bulge: f64| half * bulge.abs();
    how.expected[usize::from(found < 0.0)]
        .filter(|known| (known - radius).abs() < 0.05 * radius)
        .map(|known| {
            let root = (1.0 - (half / known).powi(2)).max(0.0).sqrt();
            let less = (half / known).min(1.0) / (1.0 + root);
            (if found.abs() > 1.0 { 1.0 / less } else { less }).copysign(found)
        })
        .filter(|known| (rise(*known) - rise(found)).abs() < how.on_circle)
        .unwrap_or(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::point;

    fn slot(step: f64) -> LineString<f64> {
        let node = |x: f64, y: f64, bulge: f64| Node { at: point(x, y), bulge };
        Contour::new(vec![
            node(6.0, 0.0, 0.0),
            node(54.0, 0.0, 1.0),
            node(54.0, 12.0, 0.0),
            node(6.0, 12.0, 1.0),
        ])
        .points(step)
    }

    #[test]
    fn the_ends_of_a_slot_are_round_again() {
        for step in [0.02, 0.002, 1e-4] {
            let contour = recovered(&slot(step), &Recovery::default());
            assert_eq!(contour.nodes().len(), 4, "{contour:?}");
            for (segment, want) in contour.segments().zip([6.0, 0.0, 6.0, 0.0]) {
                let radius = segment.circle().map_or(0.0, |(_, radius)| radius);
                assert!((radius - want).abs() < 1e-9, "{segment:?}");
            }
        }
    }

    #[test]
    fn a_circle_is_a_few_arcs_of_its_radius() {
        let contour = recovered(&Contour::circle(point(3.0, 4.0), 10.0).points(0.01), &Recovery::default());
        assert!(contour.nodes().len() <= 3);
        assert!(contour.segments().all(|arc| arc.circle().is_some_and(|(_, r)| (r - 10.0).abs() < 1e-9)));
    }

    /// Points of a line 20 long, then of a quarter circle of radius 10 from there, each off by up to 4 µm one way or the other.
    #[test]
    fn a_rough_line_is_made_of_one_straight_and_one_round_part() {
        use std::f64::consts::FRAC_PI_2;
        let off = |k: usize| if k.is_multiple_of(2) { 0.004 } else { -0.004 };
        let straight = (0..20).map(|k| point(k as f64, off(k)));
        let round = (0..=16).map(|k| {
            let (sin, cos) = (FRAC_PI_2 * k as f64 / 16.0).sin_cos();
            let radius = 10.0 + if k % 16 == 0 { 0.0 } else { off(k) };
            point(20.0 + radius * sin, 10.0 - radius * cos)
        });
        let line: Vec<Point> = straight.chain(round).collect();
        let how = Recovery { on_circle: 0.01, off_chord: 0.1, expected: [None; 2] };
        let smooth = smoothed(&line, &how, 0.02);
        assert_eq!((smooth[0], smooth.last()), (line[0], line.last()));
        let off_true = |p: &Point| {
            let on_line = if p.x <= 20.0 { p.y.abs() } else { f64::INFINITY };
            on_line.min((distance(*p, point(20.0, 10.0)) - 10.0).abs())
        };
        assert!(smooth.iter().all(|p| off_true(p) < 0.025), "{smooth:?}");
        // Chords 0.02 off a radius of 10 turn by 7.2°: 13 to a quarter.
        assert!(smooth.len() <= 18, "{}", smooth.len());
        assert!(line.iter().all(|p| {
            let near = smooth.windows(2).map(|s| distance(*p, nearest_on_segment(*p, s[0], s[1]).0));
            near.fold(f64::INFINITY, f64::min) < 0.01 + 0.02
        }));
    }

    #[test]
    fn a_drawn_octagon_keeps_its_sides() {
        let corner = |k: i32| {
            point(10.0, 0.0)
                + crate::shape::plane::direction(f64::from(k) * std::f64::consts::FRAC_PI_4) * 8.0
        };
        let contour = recovered(&LineString((0..8).map(corner).collect()), &Recovery::default());
        assert_eq!(contour.nodes().len(), 8);
        assert!(contour.segments().all(|segment| segment.circle().is_none()));
    }

    #[test]
    fn every_point_stays_where_it_was_to_a_thousandth() {
        // An ellipse has no arcs at all; the ones found are as near as told.
        let ring = LineString(
            (0..=400)
                .map(|k| crate::shape::plane::direction(f64::from(k % 400) * 0.015_707_963))
                .map(|p| point(30.0 * p.x, 12.0 * p.y))
                .collect(),
        );
        let contour = recovered(&ring, &Recovery::default());
        assert!(contour.nodes().len() < 400);
        assert!(ring.0.iter().all(|p| contour.distance(*p) < 0.0011));
    }
}
