//! Triangles made small enough and round enough by putting points between them.
//!
//! A triangle that is too large or too narrow gets a new point on the perpendicular over its shortest
//! side: no farther than its circumcentre, and no farther than a good triangle over that side
//! needs. So the mesh grows away from walls and lines in even rows. Where the point would come too near
//! a side that has to stay, that side is cut in half instead.
//!
//! # Source
//!
//! J. Ruppert, *A Delaunay refinement algorithm for quality 2-dimensional mesh generation*, Journal of
//! Algorithms 18 (1995); the lens round a side instead of its circle and the cuts at powers of two from a narrow corner
//! after J. R. Shewchuk, *Delaunay refinement algorithms for triangular mesh generation*, Computational
//! Geometry 22 (2002); the nearer point after A. Üngör, *Off-centers* (2004); when to leave a triangle
//! near a narrow corner as it is after G. L. Miller, S. E. Pav and N. J. Walkington, *When and why
//! Ruppert's algorithm works* (2003).

use std::{
    cmp::Reverse,
    collections::{BTreeMap, BinaryHeap},
};

use crate::shape::plane::{Point, cross, distance, dot, left};

use super::{
    MeshFault,
    division::power_of_two,
    wood::{NONE, Triangle},
};

/// A triangle's sides may be longer than wanted by this factor.
pub(super) const LONGEST_TO_SIZE: f64 = 1.35;
/// The sine of the least angle worked for: 26°, a little more than is promised.
const LEAST_SINE: f64 = 0.438_371_146_789_077;
/// Height of the new point over a triangle's shortest side, as a part of it, when only its angle is too small: the
/// angle there is then 28°.
const NARROWEST_RISE: f64 = 2.005_390;
/// From a triangle to the next, sides grow by this factor at most ...
const GROWTH: f64 = 1.5;
/// ... or shrink by this.
const SHRINKING: f64 = 0.7;
/// The cosine of the angle at which a point sees a side it comes too near to: 120°.
const LENS_COSINE: f64 = -0.5;
/// Sides are not cut below this, in mm.
const SHORTEST: f64 = 2e-4;
/// The most corners a mesh may have: several times what can be solved, in less than a second.
const MOST_CORNERS: usize = 100_000;
/// A corner of the plan, and a point free of pieces, where others have the piece they lie on.
const CORNER: u32 = u32::MAX - 1;

/// What is known of a piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct PieceEnds {
    pub(super) ends: [u32; 2],
    /// Whether another piece leaves that end within 60°.
    pub(super) narrow: [bool; 2],
}

/// A mesh being refined.
pub(super) struct Refinement<'a> {
    pub(super) points: Vec<Point>,
    pub(super) triangles: Vec<Triangle>,
    /// Points put in the middle of sides, by the side's ends, lower first.
    pub(super) halved: BTreeMap<[u32; 2], u32>,
    sizes: Vec<f64>,
    /// The piece each point lies on, [`CORNER`] or [`NONE`].
    on: Vec<u32>,
    pieces: Vec<PieceEnds>,
    size: &'a dyn Fn(Point) -> f64,
    /// How often each triangle's place was given to another.
    stamps: Vec<u32>,
    poor: BinaryHeap<Reverse<(u64, u32, u32)>>,
    /// Sides a point comes too near to: triangle, its stamp, side.
    crowded: Vec<(u32, u32, usize)>,
    marks: Vec<u32>,
    mark: u32,
    hole: Vec<u32>,
    banned: Vec<u32>,
    rim: Vec<Rim>,
    made: Vec<u32>,
}

/// A side of the hole a new point is put in.
#[derive(Clone, Copy, Debug)]
struct Rim {
    from: u32,
    to: u32,
    beyond: u32,
    piece: u32,
    zones: u32,
    owner: u32,
}

enum Put {
    Done,
    /// Sides stand in the way; they are to be cut first.
    Blocked,
    Refused,
}

impl<'a> Refinement<'a> {
    pub(super) fn new(
        points: Vec<Point>,
        sizes: Vec<f64>,
        chains: &[Vec<u32>],
        pieces: Vec<PieceEnds>,
        triangles: Vec<Triangle>,
        size: &'a dyn Fn(Point) -> f64,
    ) -> Self {
        let mut on = vec![CORNER; points.len()];
        for (piece, chain) in chains.iter().enumerate() {
            for &inner in &chain[1..chain.len() - 1] {
                on[inner as usize] = piece as u32;
            }
        }
        let count = triangles.len();
        Self {
            points,
            triangles,
            halved: BTreeMap::new(),
            sizes,
            on,
            pieces,
            size,
            stamps: vec![0; count],
            poor: BinaryHeap::new(),
            crowded: Vec::new(),
            marks: vec![0; count],
            mark: 0,
            hole: Vec::new(),
            banned: Vec::new(),
            rim: Vec::new(),
            made: Vec::new(),
        }
    }

    /// Puts in points until every triangle is as it should be, or cannot be.
    pub(super) fn run(&mut self) -> Result<(), MeshFault> {
        for t in 0..self.triangles.len() as u32 {
            self.judge(t);
        }
        loop {
            if self.points.len() > MOST_CORNERS {
                let at = self.points[self.points.len() - 1];
                return Err(MeshFault::TooFine { at, most: MOST_CORNERS });
            }
            if let Some((t, stamp, side)) = self.crowded.pop() {
                if self.stamps[t as usize] == stamp {
                    self.halve(t, side);
                }
                continue;
            }
            let Some(Reverse((key, t, stamp))) = self.poor.pop() else { return Ok(()) };
            if self.stamps[t as usize] != stamp {
                continue;
            }
            let Some(targets) = self.targets(t) else { continue };
            for target in targets {
                match self.put(t, target) {
                    Put::Done => break,
                    Put::Blocked => {
                        self.poor.push(Reverse((key, t, stamp)));
                        break;
                    }
                    Put::Refused => {}
                }
            }
        }
    }

    fn at(&self, corner: u32) -> Point {
        self.points[corner as usize]
    }

    /// Notes a new triangle's sides that are too near to its corner, and the triangle if it is poor.
    fn judge(&mut self, t: u32) {
        let triangle = self.triangles[t as usize];
        let stamp = self.stamps[t as usize];
        for i in 0..3 {
            if triangle.piece[i] != NONE {
                let [a, b, apex] = [i, (i + 1) % 3, (i + 2) % 3].map(|i| self.at(triangle.corners[i]));
                if self.halvable(a, b) && in_lens(apex, a, b) {
                    self.crowded.push((t, stamp, i));
                }
            }
        }
        if let Some(key) = self.poorness(t) {
            self.poor.push(Reverse((key, t, stamp)));
        }
    }

    fn halvable(&self, a: Point, b: Point) -> bool {
        distance(a, b) > 2.0 * SHORTEST
    }

    /// The order in which a triangle is to be mended, if it is: shortest sides first, as the bits of a positive number.
    fn poorness(&self, t: u32) -> Option<u64> {
        let triangle = &self.triangles[t as usize];
        let [a, b, c] = triangle.corners.map(|corner| self.at(corner));
        let squares = [b - a, c - b, a - c].map(|side| dot(side, side));
        let shortest = index_of_least(squares);
        let longest = squares[0].max(squares[1]).max(squares[2]);
        let key = Some(squares[shortest].to_bits());
        let size = triangle.corners.iter().map(|&corner| self.sizes[corner as usize]).sum::<f64>() / 3.0;
        let most = LONGEST_TO_SIZE * size;
        if longest > most * most {
            return key;
        }
        let doubled = cross(b - a, c - a);
        let beside = squares[(shortest + 1) % 3] * squares[(shortest + 2) % 3];
        let narrow = doubled * doubled < LEAST_SINE * LEAST_SINE * beside;
        (narrow && squares[shortest] > SHORTEST * SHORTEST && !self.forced(triangle, shortest))
            .then_some(key)?
    }

    /// Whether the plan itself asks for a triangle's smallest angle, the one opposite its shortest side.
    fn forced(&self, triangle: &Triangle, shortest: usize) -> bool {
        let [p, q, apex] = [0, 1, 2].map(|i| triangle.corners[(shortest + i) % 3]);
        // Between two pieces that meet in this angle.
        let beside = [(shortest + 1) % 3, (shortest + 2) % 3].map(|i| triangle.piece[i]);
        if self.on[apex as usize] == CORNER && beside[0] != NONE && beside[1] != NONE {
            return true;
        }
        // Across a narrow corner, at the same distance on both its pieces.
        let [one, other] = [p, q].map(|corner| self.on[corner as usize]);
        if one >= CORNER || other >= CORNER || one == other {
            return false;
        }
        let [one, other] = [one, other].map(|piece| self.pieces[piece as usize]);
        let Some(common) = one.ends.into_iter().find(|end| other.ends.contains(end)) else { return false };
        let corner = self.at(common);
        let (to_p, to_q) = (self.at(p) - corner, self.at(q) - corner);
        let [near, far] = [dot(to_p, to_p), dot(to_q, to_q)];
        let cosine = dot(to_p, to_q);
        if (near - far).abs() > 1e-6 * near || cosine <= 0.0 || cosine * cosine <= 0.25 * near * far {
            return false;
        }
        // But no narrower than if the next side began twice as far from that corner: tan α ≥ sin θ / (2 − cos θ).
        let (sin, cos) = (cross(to_p, to_q).abs() / near, cosine / near);
        let (back_p, back_q) = (self.at(p) - self.at(apex), self.at(q) - self.at(apex));
        cross(back_p, back_q).abs() * (2.0 - cos) > 0.995 * sin * dot(back_p, back_q)
    }

    /// Where to put a point to mend a triangle, best first; none if it has got no area.
    fn targets(&self, t: u32) -> Option<[Point; 2]> {
        let triangle = &self.triangles[t as usize];
        let corners = triangle.corners.map(|corner| self.at(corner));
        let sides = [0, 1, 2].map(|i| distance(corners[i], corners[(i + 1) % 3]));
        let shortest = index_of_least(sides);
        let [p, q, apex] = [0, 1, 2].map(|i| corners[(shortest + i) % 3]);
        let (along, away) = (q - p, apex - p);
        let doubled = cross(along, away);
        if doubled <= 0.0 {
            return None;
        }
        let length = sides[shortest];
        // The circumcentre lies on the perpendicular over the side's middle, so high (as a part of the side):
        let centre = dot(away, away - along) / (2.0 * doubled);
        let size = triangle.corners.iter().map(|&corner| self.sizes[corner as usize]).sum::<f64>() / 3.0;
        let longest = sides[0].max(sides[1]).max(sides[2]);
        let rise = if longest > LONGEST_TO_SIZE * size {
            let side = (size / length).clamp(SHRINKING, GROWTH);
            side.mul_add(side, -0.25).sqrt()
        } else {
            NARROWEST_RISE
        };
        let middle = p + along * 0.5;
        let over = |rise: f64| middle + left(along) * rise;
        Some([over(centre.min(rise)), over(centre)])
    }

    /// Puts a point where a triangle asks for it.
    fn put(&mut self, t: u32, target: Point) -> Put {
        let mut holder = t;
        let mut came_from = NONE;
        for step in 0.. {
            let triangle = &self.triangles[holder as usize];
            let mut out = None;
            for i in 0..3 {
                let (a, b) = (self.at(triangle.corners[i]), self.at(triangle.corners[(i + 1) % 3]));
                let back = triangle.beyond[i] != NONE && triangle.beyond[i] == came_from;
                if !back && cross(b - a, target - a) < 0.0 {
                    out = Some(i);
                    break;
                }
            }
            let Some(i) = out else { break };
            if triangle.piece[i] != NONE {
                let (a, b) = (self.at(triangle.corners[i]), self.at(triangle.corners[(i + 1) % 3]));
                if !self.halvable(a, b) {
                    return Put::Refused;
                }
                self.crowded.push((holder, self.stamps[holder as usize], i));
                return Put::Blocked;
            }
            if step > 1000 {
                return Put::Refused;
            }
            came_from = holder;
            holder = triangle.beyond[i];
        }
        if !self.dig(target, &[holder], None) {
            return Put::Refused;
        }
        let before = self.crowded.len();
        let mut refused = false;
        for rim in &self.rim {
            if rim.piece != NONE {
                let (a, b) = (self.at(rim.from), self.at(rim.to));
                if in_lens(target, a, b) {
                    let owner = &self.triangles[rim.owner as usize];
                    let side = (0..3).find(|&i| owner.corners[i] == rim.from).unwrap_or(0);
                    if self.halvable(a, b) {
                        self.crowded.push((rim.owner, self.stamps[rim.owner as usize], side));
                    } else {
                        refused = true;
                    }
                }
            }
        }
        if refused {
            self.crowded.truncate(before);
            return Put::Refused;
        }
        if self.crowded.len() > before {
            return Put::Blocked;
        }
        let corner = self.corner(target, NONE);
        self.fill(corner, None, NONE);
        Put::Done
    }

    fn corner(&mut self, p: Point, on: u32) -> u32 {
        self.points.push(p);
        self.sizes.push((self.size)(p));
        self.on.push(on);
        self.points.len() as u32 - 1
    }

    /// Cuts a side that lies on a piece in two.
    fn halve(&mut self, t: u32, side: usize) {
        let triangle = self.triangles[t as usize];
        let (a, b) = (triangle.corners[side], triangle.corners[(side + 1) % 3]);
        let (piece, other) = (triangle.piece[side], triangle.beyond[side]);
        let p = self.cut(a, b, piece);
        let both = [t, other];
        let seeds = if other == NONE { &both[..1] } else { &both[..] };
        if !self.dig(p, seeds, Some([a, b])) {
            // Nothing but the side's own triangles: always possible.
            self.dig_only(seeds, [a, b]);
        }
        let corner = self.corner(p, piece);
        self.halved.insert([a.min(b), a.max(b)], corner);
        self.fill(corner, Some([a, b]), piece);
    }

    /// Where a side of a piece is cut: in its middle, or at a power of two from a narrow corner.
    fn cut(&self, a: u32, b: u32, piece: u32) -> Point {
        let (from, to) = (self.at(a), self.at(b));
        let PieceEnds { ends, narrow } = self.pieces[piece as usize];
        let is_narrow = |corner: u32| ends.iter().zip(narrow).any(|(&end, narrow)| narrow && end == corner);
        let length = distance(from, to);
        let part = power_of_two(0.5 * length) / length;
        match (is_narrow(a), is_narrow(b)) {
            (true, false) => from + (to - from) * part,
            (false, true) => to + (from - to) * part,
            _ => from + (to - from) * 0.5,
        }
    }

    /// Finds the triangles whose circumcircles hold a point, and the rim about them; false if the rim cannot be
    /// seen whole from it.
    fn dig(&mut self, p: Point, seeds: &[u32], cut: Option<[u32; 2]>) -> bool {
        self.banned.clear();
        for _ in 0..8 {
            self.spread(p, seeds, cut);
            // Rounding, or a piece that ends in the hole, can hide a part of the rim.
            let before = self.banned.len();
            for i in 0..self.rim.len() {
                let rim = self.rim[i];
                let (a, b) = (self.at(rim.from), self.at(rim.to));
                let along = b - a;
                if cross(along, p - a) <= 1e-9 * dot(along, along) {
                    if seeds.contains(&rim.owner) {
                        return false;
                    }
                    self.banned.push(rim.owner);
                }
            }
            if self.banned.len() == before {
                return true;
            }
        }
        false
    }

    /// A hole of some triangles, its rim not yet known.
    fn start_hole(&mut self, seeds: &[u32]) {
        self.mark += 1;
        self.hole.clear();
        self.rim.clear();
        for &t in seeds {
            self.hole.push(t);
            self.marks[t as usize] = self.mark;
        }
    }

    fn dig_only(&mut self, seeds: &[u32], cut: [u32; 2]) {
        self.start_hole(seeds);
        for h in 0..self.hole.len() {
            let t = self.hole[h];
            for i in 0..3 {
                self.note_rim(t, i, Some(cut));
            }
        }
    }

    fn spread(&mut self, p: Point, seeds: &[u32], cut: Option<[u32; 2]>) {
        self.start_hole(seeds);
        let mut next = 0;
        while next < self.hole.len() {
            let t = self.hole[next];
            next += 1;
            let triangle = self.triangles[t as usize];
            for i in 0..3 {
                let other = triangle.beyond[i];
                if triangle.piece[i] == NONE && other != NONE {
                    if self.marks[other as usize] == self.mark {
                        continue;
                    }
                    let [a, b, c] = self.triangles[other as usize].corners.map(|corner| self.at(corner));
                    if !self.banned.contains(&other) && in_circle(a, b, c, p) {
                        self.marks[other as usize] = self.mark;
                        self.hole.push(other);
                        continue;
                    }
                }
                self.note_rim(t, i, cut);
            }
        }
    }

    fn note_rim(&mut self, owner: u32, side: usize, cut: Option<[u32; 2]>) {
        let triangle = &self.triangles[owner as usize];
        let (from, to) = (triangle.corners[side], triangle.corners[(side + 1) % 3]);
        if cut.is_some_and(|[a, b]| [from, to] == [a, b] || [from, to] == [b, a]) {
            return;
        }
        self.rim.push(Rim {
            from,
            to,
            beyond: triangle.beyond[side],
            piece: triangle.piece[side],
            zones: triangle.zones,
            owner,
        });
    }

    /// Fills the hole with triangles from the rim to a new corner, which may cut a side of a piece.
    fn fill(&mut self, corner: u32, cut: Option<[u32; 2]>, piece: u32) {
        let mut free = std::mem::take(&mut self.hole);
        let rim = std::mem::take(&mut self.rim);
        self.made.clear();
        for _ in &rim {
            let t = free.pop().unwrap_or_else(|| {
                self.triangles.push(Triangle {
                    corners: [0; 3],
                    beyond: [NONE; 3],
                    piece: [NONE; 3],
                    zones: 0,
                });
                self.stamps.push(0);
                self.marks.push(0);
                self.triangles.len() as u32 - 1
            });
            self.made.push(t);
        }
        debug_assert!(free.is_empty(), "a hole's rim has more sides than the hole has triangles");
        let made = std::mem::take(&mut self.made);
        for (&t, side) in made.iter().zip(&rim) {
            let before = rim.iter().position(|other| other.to == side.from);
            let after = rim.iter().position(|other| other.from == side.to);
            let on = |end: u32| if cut.is_some_and(|cut| cut.contains(&end)) { piece } else { NONE };
            self.triangles[t as usize] = Triangle {
                corners: [corner, side.from, side.to],
                beyond: [before.map_or(NONE, |i| made[i]), side.beyond, after.map_or(NONE, |i| made[i])],
                piece: [on(side.from), side.piece, on(side.to)],
                zones: side.zones,
            };
            self.stamps[t as usize] += 1;
            if side.beyond != NONE {
                let other = &mut self.triangles[side.beyond as usize];
                let back =
                    (0..3).find(|&i| other.corners[i] == side.to && other.corners[(i + 1) % 3] == side.from);
                other.beyond[back.expect("neighbours know each other")] = t;
            }
        }
        for &t in &made {
            self.judge(t);
        }
        (self.hole, self.rim, self.made) = (free, rim, made);
    }
}

fn index_of_least(values: [f64; 3]) -> usize {
    let least = usize::from(values[1] < values[0]);
    if values[2] < values[least] { 2 } else { least }
}

/// Whether a point sees a side under more than 120°.
fn in_lens(p: Point, a: Point, b: Point) -> bool {
    let (to_a, to_b) = (a - p, b - p);
    let product = dot(to_a, to_b);
    product < 0.0
        && product * product > LENS_COSINE * LENS_COSINE * dot(to_a, to_a) * dot(to_b, to_b) * (1.0 + 1e-9)
}

/// Whether a point lies within the circle through the corners of an anticlockwise triangle.
fn in_circle(a: Point, b: Point, c: Point, p: Point) -> bool {
    let [a, b, c] = [a - p, b - p, c - p];
    let sum = dot(a, a) * cross(b, c) + dot(b, b) * cross(c, a) + dot(c, c) * cross(a, b);
    let scale = dot(a, a).max(dot(b, b)).max(dot(c, c));
    sum > 1e-12 * scale * scale
}
