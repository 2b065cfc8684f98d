//! The walls of a piece as one array of points: every ring, sampled finely enough for its width.

use super::mesh::NONE;
use crate::shape::{
    Shape,
    plane::{Point, cross, distance, dot, nearest_on_segment, unit},
};

/// All rings of a shape, one after another, each point knowing its neighbours and its place on the ring.
///
/// The wood lies to the left of every ring's direction.
#[derive(Clone, Debug)]
pub struct Walls {
    points: Vec<Point>,
    ring_of: Vec<u32>,
    /// Length along the ring from its first point.
    arc: Vec<f64>,
    /// First point of each ring, with the total as last entry.
    starts: Vec<usize>,
    lengths: Vec<f64>,
    /// Each stretch of wall that turns away from the wood at every one of its points.
    bends: Vec<Bend>,
    /// The bend a point belongs to, or [`NONE`].
    bend_of: Vec<u32>,
}

/// A stretch of wall that turns away from the wood at every one of its points.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bend {
    /// How far it turns altogether, in radians.
    pub turn: f64,
    /// Its length in mm, and that of its longest side.
    pub length: f64,
    /// See `length`.
    pub longest: f64,
}

/// Points that lie on one line to this, in radians, are straight wall.
const STRAIGHT: f64 = 1e-4;

/// A point on a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallPoint {
    /// Where it is.
    pub at: Point,
    /// The wall edge it lies on, named by the edge's first point.
    pub edge: usize,
    /// Length along its ring.
    pub arc: f64,
}

impl Walls {
    /// The rings as they are drawn.
    pub fn new(shape: &Shape) -> Self {
        Self::from_rings(shape.rings().map(|ring| ring.0[..ring.0.len() - 1].to_vec()))
    }

    fn from_rings(rings: impl Iterator<Item = Vec<Point>>) -> Self {
        let mut walls = Self {
            points: Vec::new(),
            ring_of: Vec::new(),
            arc: Vec::new(),
            starts: vec![0],
            lengths: Vec::new(),
            bends: Vec::new(),
            bend_of: Vec::new(),
        };
        for (index, ring) in rings.enumerate() {
            let mut length = 0.0;
            for (i, &p) in ring.iter().enumerate() {
                walls.points.push(p);
                walls.ring_of.push(index as u32);
                walls.arc.push(length);
                length += distance(p, ring[(i + 1) % ring.len()]);
            }
            walls.starts.push(walls.points.len());
            walls.lengths.push(length);
        }
        walls.bend_of = vec![NONE; walls.len()];
        (0..walls.rings()).for_each(|ring| walls.find_bends(ring));
        walls
    }

    fn find_bends(&mut self, ring: usize) {
        let points = self.ring(ring);
        let turns = |walls: &Self, i: usize| walls.turn(i) > STRAIGHT;
        // From a straight point on, so that no bend is cut in two; a ring without one is a bend altogether.
        let start = points.clone().find(|&i| !turns(self, i)).unwrap_or(points.start);
        let mut i = start;
        for _ in points {
            if turns(self, i) {
                let before = self.previous(i);
                let goes_on = i != start && self.bend_of[before] != NONE;
                if !goes_on {
                    self.bends.push(Bend::default());
                }
                let side = if goes_on { self.edge_length(before) } else { 0.0 };
                let turn = self.turn(i);
                self.bend_of[i] = self.bends.len() as u32 - 1;
                if let Some(bend) = self.bends.last_mut() {
                    let Bend { turn: so_far, length, longest } = *bend;
                    *bend = Bend { turn: so_far + turn, length: length + side, longest: longest.max(side) };
                }
            }
            i = self.next(i);
        }
    }

    /// The bend a point belongs to; nothing where the wall is straight or turns towards the wood.
    pub fn bend(&self, i: usize) -> Option<Bend> {
        self.bends.get(self.bend_of[i] as usize).copied()
    }

    /// The same walls with some edges cut into equal parts: `parts[i]` for the edge that starts at point `i`.
    pub(super) fn divided(&self, parts: &[u32]) -> Self {
        Self::from_rings((0..self.rings()).map(|ring| {
            let mut points = Vec::new();
            for i in self.ring(ring) {
                let (a, b) = self.edge(i);
                let n = parts[i].max(1);
                points.extend((0..n).map(|k| a + (b - a) * (f64::from(k) / f64::from(n))));
            }
            points
        }))
    }

    /// How many points there are.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Whether there is no point at all.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// How many rings there are; ring 0 is the outer one.
    pub fn rings(&self) -> usize {
        self.lengths.len()
    }

    /// The points of one ring.
    pub fn ring(&self, ring: usize) -> std::ops::Range<usize> {
        self.starts[ring]..self.starts[ring + 1]
    }

    /// The length of one ring in mm.
    pub fn ring_length(&self, ring: usize) -> f64 {
        self.lengths[ring]
    }

    /// One point.
    #[inline]
    pub fn point(&self, i: usize) -> Point {
        self.points[i]
    }

    /// All points.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The ring a point belongs to.
    #[inline]
    pub fn ring_of(&self, i: usize) -> usize {
        self.ring_of[i] as usize
    }

    /// Length along the ring up to a point.
    #[inline]
    pub fn arc(&self, i: usize) -> f64 {
        self.arc[i]
    }

    /// The point after this one on its ring.
    #[inline]
    pub fn next(&self, i: usize) -> usize {
        let ring = self.ring_of(i);
        if i + 1 == self.starts[ring + 1] { self.starts[ring] } else { i + 1 }
    }

    /// The point before this one on its ring.
    #[inline]
    pub fn previous(&self, i: usize) -> usize {
        let ring = self.ring_of(i);
        if i == self.starts[ring] { self.starts[ring + 1] - 1 } else { i - 1 }
    }

    /// Both ends of the edge that starts at point `i`.
    #[inline]
    pub fn edge(&self, i: usize) -> (Point, Point) {
        (self.points[i], self.points[self.next(i)])
    }

    /// Whether the wall turns away from the wood at a point, by more than a drawn curve does from one of its
    /// points to the next (15°).
    pub fn is_corner(&self, i: usize) -> bool {
        const TURN: f64 = 0.26;
        self.turn(i) > TURN
    }

    /// How far the wall turns away from the wood at a point, in radians; negative where it turns towards it.
    pub fn turn(&self, i: usize) -> f64 {
        let p = self.points[i];
        let before = unit(p - self.points[self.previous(i)]);
        let after = unit(self.points[self.next(i)] - p);
        -cross(before, after).atan2(dot(before, after))
    }

    /// The length of the edge that starts at point `i`.
    #[inline]
    fn edge_length(&self, i: usize) -> f64 {
        let ring = self.ring_of(i);
        let end = if i + 1 == self.starts[ring + 1] { self.lengths[ring] } else { self.arc[i + 1] };
        end - self.arc[i]
    }

    /// The wall point at a length along a ring, which is taken modulo the ring's length.
    pub fn at(&self, ring: usize, arc: f64) -> WallPoint {
        let length = self.lengths[ring];
        let arc = arc.rem_euclid(length);
        let range = self.ring(ring);
        let edge =
            range.start + self.arc[range.clone()].partition_point(|&start| start <= arc).saturating_sub(1);
        let (a, b) = self.edge(edge);
        let whole = distance(a, b);
        let part = if whole > 0.0 { ((arc - self.arc[edge]) / whole).clamp(0.0, 1.0) } else { 0.0 };
        WallPoint { at: a + (b - a) * part, edge, arc }
    }

    /// The shorter way along the wall between two wall points; infinite on different rings.
    pub fn shorter_way(&self, a: WallPoint, b: WallPoint) -> f64 {
        let ring = self.ring_of(a.edge);
        if ring != self.ring_of(b.edge) {
            return f64::INFINITY;
        }
        let way = (a.arc - b.arc).abs();
        way.min(self.lengths[ring] - way)
    }

    /// The wall point nearest to `p` in the neighbourhood of point `start`: walks along the ring
    /// while it comes nearer.
    #[inline]
    pub(super) fn nearest_from(&self, p: Point, start: usize) -> WallPoint {
        let mut best = self.nearest_on_edge(p, start);
        let squared = |q: Point| (q.x - p.x) * (q.x - p.x) + (q.y - p.y) * (q.y - p.y);
        let mut best_squared = squared(best.at);
        let mut forward = start;
        let mut backward = start;
        // Two edges of slack let the walk cross a small bump of the wall.
        for next in [true, false] {
            let mut misses = 0;
            while misses < 3 {
                let edge = if next {
                    forward = self.next(forward);
                    forward
                } else {
                    backward = self.previous(backward);
                    backward
                };
                let found = self.nearest_on_edge(p, edge);
                let d = squared(found.at);
                if d < best_squared {
                    (best, best_squared, misses) = (found, d, 0);
                } else {
                    misses += 1;
                }
                if edge == start {
                    break;
                }
            }
        }
        best
    }

    #[inline]
    fn nearest_on_edge(&self, p: Point, edge: usize) -> WallPoint {
        let (a, b) = self.edge(edge);
        let (at, part) = nearest_on_segment(p, a, b);
        WallPoint { at, edge, arc: self.arc[edge] + part * self.edge_length(edge) }
    }
}
