//! A closed contour of lines and arcs.

use geo_types::LineString;

use super::Segment;
use super::segment::turned;
use crate::shape::plane::{Point, cross, point};

/// A corner of a contour and how the way goes on from there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Where it is, in mm.
    pub at: Point,
    /// The bulge of the segment from here to the next node (see [`Segment::Arc`]); 0 for a straight line.
    pub bulge: f64,
}

/// A closed contour: each node's segment runs to the next node, the last one's to the first.
///
/// Closed by how it is written, so it cannot come apart. An outer contour runs anticlockwise and an opening clockwise, as in
/// a [`Shape`](crate::shape::Shape): the wood lies to the left.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    nodes: Vec<Node>,
}

/// The points of a segment but its last, an arc as chords that leave it by no more than `gap` mm.
pub(super) fn points(segment: &Segment, gap: f64) -> impl Iterator<Item = Point> {
    let steps = segment.circle().map_or(1, |(_, radius)| {
        let step = 2.0 * (1.0 - (gap / radius).min(1.0)).acos();
        chords(segment.sweep().abs() / step)
    });
    let segment = *segment;
    (0..steps).map(move |k| segment.at(k as f64 / steps as f64))
}

impl Contour {
    /// A contour of at least two nodes.
    ///
    /// # Panics
    ///
    /// With fewer than two nodes, which enclose nothing.
    pub fn new(nodes: Vec<Node>) -> Self {
        assert!(nodes.len() > 1, "a contour has at least two nodes");
        Self { nodes }
    }

    /// A circle, anticlockwise.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let node = |x: f64| Node { at: centre + point(x, 0.0), bulge: 1.0 };
        Self::new(vec![node(radius), node(-radius)])
    }

    /// Its nodes.
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// Its segments, in order.
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        let next = self.nodes.iter().cycle().skip(1);
        self.nodes.iter().zip(next).map(|(node, next)| match node.bulge {
            0.0 => Segment::Line { from: node.at, to: next.at },
            bulge => Segment::Arc { from: node.at, to: next.at, bulge },
        })
    }

    /// The area it encloses in mm², negative when it runs clockwise; exact for arcs.
    pub fn area(&self) -> f64 {
        let origin = self.nodes[0].at;
        self.segments().map(|s| cross(s.from() - origin, s.to() - origin) / 2.0 + s.cap()).sum()
    }

    /// How long it is.
    pub fn length(&self) -> f64 {
        self.segments().map(|segment| segment.length()).sum()
    }

    /// Smallest and largest x and y: `[x0, y0, x1, y1]`; exact for arcs.
    pub fn bounds(&self) -> [f64; 4] {
        self.segments().map(|segment| segment.bounds()).fold(NOWHERE, joined)
    }

    /// How far a point lies from it.
    pub fn distance(&self, p: Point) -> f64 {
        self.segments().map(|segment| segment.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// Its points, arcs as chords that leave them by no more than `gap` mm; closed, the first point repeated.
    pub fn points(&self, gap: f64) -> LineString<f64> {
        let mut all = Vec::new();
        self.segments().for_each(|segment| all.extend(points(&segment, gap)));
        all.push(all[0]);
        LineString(all)
    }

    /// The same contour the other way round.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let count = self.nodes.len();
        let node = |i: usize| Node {
            at: self.nodes[count - 1 - i].at,
            bulge: -self.nodes[(2 * count - 2 - i) % count].bulge,
        };
        Self { nodes: (0..count).map(node).collect() }
    }

    /// Mirrored about the upright line at `x`, running the same way round as before.
    #[must_use]
    pub fn mirrored(&self, x: f64) -> Self {
        let flip = |node: &Node| Node { at: point(2.0 * x - node.at.x, node.at.y), bulge: -node.bulge };
        Self { nodes: self.nodes.iter().map(flip).collect() }.reversed()
    }

    /// Moved by a vector.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        Self { nodes: self.nodes.iter().map(|node| Node { at: node.at + by, ..*node }).collect() }
    }

    /// Turned anticlockwise about the origin by an angle in radians.
    #[must_use]
    pub fn turned(&self, angle: f64) -> Self {
        Self { nodes: self.nodes.iter().map(|node| Node { at: turned(node.at, angle), ..*node }).collect() }
    }
}

/// Bounds that hold nothing.
pub(super) const NOWHERE: [f64; 4] = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];

/// The bounds of two boxes together.
pub(super) fn joined(a: [f64; 4], b: [f64; 4]) -> [f64; 4] {
    [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])]
}

/// So many whole steps, at least one.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded on both sides")]
fn chords(steps: f64) -> usize {
    steps.ceil().clamp(1.0, 100_000.0) as usize
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use approx::assert_relative_eq;

    use super::*;

    /// Length 60, width 12, round ends: the figure below is by the formulas for rectangle and circle.
    fn stadium() -> Contour {
        let node = |x: f64, y: f64, bulge: f64| Node { at: point(x, y), bulge };
        Contour::new(vec![
            node(6.0, 0.0, 0.0),
            node(54.0, 0.0, 1.0),
            node(54.0, 12.0, 0.0),
            node(6.0, 12.0, 1.0),
        ])
    }

    #[test]
    fn a_stadium_has_the_area_length_and_bounds_of_the_formulas() {
        let contour = stadium();
        assert_relative_eq!(contour.area(), 48.0 * 12.0 + PI * 36.0, max_relative = 1e-14);
        assert_relative_eq!(contour.length(), 96.0 + 12.0 * PI, max_relative = 1e-14);
        for (found, want) in contour.bounds().into_iter().zip([0.0, 0.0, 60.0, 12.0]) {
            assert!((found - want).abs() < 1e-12);
        }
    }

    #[test]
    fn a_mirrored_or_turned_contour_encloses_as_much_the_same_way_round() {
        let node = |x: f64, y: f64, bulge: f64| Node { at: point(x, y), bulge };
        let odd = Contour::new(vec![
            node(0.0, 0.0, 0.3),
            node(20.0, 1.0, -0.2),
            node(15.0, 9.0, 0.0),
            node(2.0, 7.0, 0.1),
        ]);
        for other in
            [odd.mirrored(7.0), odd.turned(1.1), odd.moved(point(3.0, -4.0)), odd.reversed().reversed()]
        {
            assert_relative_eq!(other.area(), odd.area(), max_relative = 1e-12);
            assert_relative_eq!(other.length(), odd.length(), max_relative = 1e-12);
        }
        assert_relative_eq!(odd.reversed().area(), -odd.area(), max_relative = 1e-12);
        let twice = odd.mirrored(7.0).mirrored(7.0);
        let apart = |(a, b): (&Node, &Node)| {
            (a.at.x - b.at.x).abs() + (a.at.y - b.at.y).abs() + (a.bulge - b.bulge).abs()
        };
        assert!(twice.nodes().iter().zip(odd.nodes()).map(apart).fold(0.0, f64::max) < 1e-12);
    }

    #[test]
    fn chords_leave_an_arc_by_no_more_than_told_and_distances_see_the_arc() {
        let contour = stadium();
        let points = contour.points(0.01);
        for chord in points.lines() {
            let middle = (chord.start + chord.end) / 2.0;
            assert!(contour.distance(middle) <= 0.01 + 1e-9);
        }
        assert_relative_eq!(contour.distance(point(30.0, 7.0)), 5.0, max_relative = 1e-12);
        assert_relative_eq!(contour.distance(point(-1.0, 6.0)), 1.0, max_relative = 1e-12);
    }
}
