//! The grain lines themselves, one beside the other over the whole piece: nothing weaker may be missed.
//!
//! No skeleton here. Straight lines along the grain cut the wood in intervals. One whose two ends lie on the same wall
//! parts the piece (a chord between two points of one boundary always does, between two boundaries never), and
//! statics alone tell what crosses it when the smaller side is pushed. Moments and shears are resolved on the grain
//! plane itself.

use std::collections::BTreeMap;

use crate::{
    section::Station,
    shape::{
        Shape,
        plane::{Point, cross, direction, distance, dot, unit},
    },
    skeleton::{WallPoint, Walls},
    strength::Index,
    units::{Angle, Length},
    wood::Mechanics,
};

use super::{
    finding::{Forces, PushKind},
    frame::Joint,
    load::{FaceLoad, LEAST_WIDTH, PAD_RADIUS, SideLoad, face_wrench, side_wrench},
    pad::{Clip, PlainEdge},
    region::wall_loads,
    swept::Swept,
};

/// An interval along the grain that parts the piece, with the worst push on its smaller side.
#[derive(Clone, Debug)]
pub struct GrainCut {
    /// Both ends, on the walls.
    pub line: [Point; 2],
    /// Area of the smaller side in mm², openings in it counted as wood.
    pub area: f64,
    /// The push that breaks it, in N, and its kind.
    pub breaks_at_n: f64,
    /// Face or side.
    pub kind: PushKind,
    /// Where the push acts.
    pub push_at: Point,
    pub(super) index: Index,
    pub(super) forces: Forces,
    pub(super) push: Option<Point>,
    pub(super) pad_area: f64,
    pub(super) station: Station,
    /// The point of the smaller side's wall farthest from the line, and its place on the wall.
    pub(super) farthest: Point,
    pub(super) farthest_arc: f64,
    /// The smaller side's wall: its ring, from where and over what length, as part of a ring so long.
    wall: (usize, f64, f64, f64),
}

impl GrainCut {
    /// Whether another cut's farthest point lies on this one's smaller side: the two part the same tongue.
    pub(super) fn parts_too(&self, other: &Self) -> bool {
        let (ring, from, gone, length) = self.wall;
        ring == other.wall.0 && (other.farthest_arc - from).rem_euclid(length) <= gone
    }
}

/// A push that can be looked up by its place on a wall.
struct Tried<L> {
    arc: f64,
    /// How far it reaches across the grain lines.
    reach: [f64; 2],
    /// The wall pushed on, from end to end.
    along: Point,
    load: L,
}

/// Every interval along the grain that parts the piece, on lines `spacing` apart, each with the weakest face push and
/// the weakest side push on its smaller side.
///
/// A push that lies across a line acts beyond it with the part of it that lies there: a corner smaller than what
/// pushes on it is not pushed off alone.
pub fn grain_cuts(
    shape: &Shape,
    grain: Angle,
    thickness: Length,
    wood: &Mechanics,
    spacing: Length,
) -> Vec<GrainCut> {
    let walls = Walls::new(shape);
    let along = direction(grain.as_rad());
    let across = crate::shape::plane::left(along);
    let sweep = Sweep::new(&walls, along, across, spacing.as_mm());
    sweep.cuts(thickness.as_mm(), wood)
}

/// Distance between grain lines for a piece, in mm: 1, or a 400th of its size.
pub(super) fn usual_spacing(shape: &Shape) -> f64 {
    use geo::BoundingRect;
    let size = shape.polygon().bounding_rect().map_or(0.0, |b| b.width().max(b.height()));
    (size / 400.0).max(1.0)
}

/// Pushes stand this far apart along the walls, or as far as the lines, in mm.
const LOAD_STEP: f64 = 2.0;
/// About so many of the weakest lines, for each kind of push, more are drawn.
const CLOSER: usize = 6;
/// There, as parts of the distance between two lines.
const CLOSE_BY: [f64; 10] = [-0.5, -0.4, -0.3, -0.2, -0.1, 0.1, 0.2, 0.3, 0.4, 0.5];
/// Lines beside a corner keep this far from it, in mm, and so many there are at the most.
const BESIDE: f64 = 0.01;
const MOST_BESIDE: usize = 4000;
/// A wall is rough where so many edges and more lie within this length of it, in mm: more than any that is drawn for its shape has.
const FINE: usize = 200;
const ROUGH: f64 = 6.0 * PAD_RADIUS;
/// All lines beside the corners of rough walls together go past about so many edges: a piece of ten thousand has a hundred of them. Our own rule.
const ROUGH_WORK: usize = 1_000_000;

struct Sweep<'a> {
    walls: &'a Walls,
    along: Point,
    across: Point,
    spacing: f64,
    faces: Vec<Vec<Tried<FaceLoad>>>,
    sides: Vec<Vec<Tried<SideLoad>>>,
    under: Swept,
    /// Twice the area swept from the origin up to each wall point, ring by ring.
    swept: Vec<f64>,
    ring_area: Vec<f64>,
}

/// The smaller side of an interval: the wall from one of its ends to the other.
struct Side {
    from: WallPoint,
    to: WallPoint,
    ring: usize,
    gone: f64,
    length: f64,
}

/// Where a line along the grain crosses a wall.
#[derive(Clone, Copy)]
struct Crossing {
    u: f64,
    wall: WallPoint,
    ring: usize,
}

impl<'a> Sweep<'a> {
    fn new(walls: &'a Walls, along: Point, across: Point, spacing: f64) -> Self {
        let mut swept = vec![0.0; walls.len()];
        let mut ring_area = Vec::new();
        for ring in 0..walls.rings() {
            let mut sum = 0.0;
            for i in walls.ring(ring) {
                swept[i] = sum;
                let (a, b) = walls.edge(i);
                sum += 0.5 * cross(a, b);
            }
            ring_area.push(sum);
        }
        let (faces, sides) = (Vec::new(), Vec::new());
        let under = Swept::new(walls);
        let mut sweep = Self { walls, along, across, spacing, faces, sides, under, swept, ring_area };
        sweep.place_loads();
        sweep
    }

    fn place_loads(&mut self) {
        let near = Near::new(self.walls);
        for ring in 0..self.walls.rings() {
            let loads = wall_loads(self.walls, ring, LOAD_STEP.max(self.spacing));
            let mut faces = Vec::new();
            let mut sides = Vec::new();
            for push in loads {
                let reach = push.ends.map(|end| dot(end, self.across));
                let reach = [reach[0].min(reach[1]), reach[0].max(reach[1])];
                let along = push.ends[1] - push.ends[0];
                sides.push(Tried { arc: push.along, reach, along, load: push.load });
                let centre = self.walls.at(ring, push.along).at;
                let v = dot(centre, self.across);
                if let Some(load) = near.pad(centre) {
                    faces.push(Tried {
                        arc: push.along,
                        reach: [v - PAD_RADIUS, v + PAD_RADIUS],
                        along,
                        load,
                    });
                }
            }
            self.faces.push(faces);
            self.sides.push(sides);
        }
    }

    fn cuts(&self, thickness: f64, wood: &Mechanics) -> Vec<GrainCut> {
        let mut cuts = self.cuts_at(&self.heights(), thickness, wood);
        let closer = self.closer(&cuts);
        cuts.extend(self.cuts_at(&closer, thickness, wood));
        cuts
    }

    fn cuts_at(&self, heights: &[f64], thickness: f64, wood: &Mechanics) -> Vec<GrainCut> {
        let mut cuts = Vec::new();
        for (mut crossings, &v) in self.crossings(heights).into_iter().zip(heights) {
            crossings.sort_by(|a, b| a.u.total_cmp(&b.u));
            for pair in crossings.chunks_exact(2) {
                if pair[0].ring == pair[1].ring
                    && let Some(cut) = self.cut(pair[0], pair[1], v, thickness, wood)
                {
                    cuts.extend(cut.into_iter().flatten());
                }
            }
        }
        cuts
    }

    /// More lines, ten times as close, about the weakest ones.
    fn closer(&self, cuts: &[GrainCut]) -> Vec<f64> {
        let mut heights = Vec::new();
        for kind in [PushKind::Face, PushKind::Side] {
            let mut same: Vec<&GrainCut> = cuts.iter().filter(|cut| cut.kind == kind).collect();
            same.sort_by(|a, b| a.breaks_at_n.total_cmp(&b.breaks_at_n));
            for cut in same.into_iter().take(CLOSER) {
                let v = dot(cut.line[0], self.across);
                heights.extend(CLOSE_BY.map(|part| v + part * self.spacing));
            }
        }
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| (*a - *b).abs() < 0.05 * self.spacing);
        heights
    }

    /// Where the lines lie: evenly, with an odd offset so that they do not run along walls drawn on whole
    /// millimetres, and closely beside every re-entrant corner, where the wood along the grain changes at once.
    fn heights(&self) -> Vec<f64> {
        let across = |p: &Point| dot(*p, self.across);
        let (low, high) = self
            .walls
            .points()
            .iter()
            .map(across)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let count = ((high - low) / self.spacing).ceil() as usize;
        let mut heights: Vec<f64> = (0..count).map(|i| low + (i as f64 + 0.47) * self.spacing).collect();
        // On rough walls every other point is a corner, which tells no more than the lines between do: a few of them stand for all.
        let corners = (0..self.walls.len()).filter(|&i| self.walls.is_corner(i));
        let (rough, corners): (Vec<usize>, Vec<usize>) = corners.partition(|&i| self.is_rough(i));
        let most = (ROUGH_WORK / (2 * self.walls.len())).max(1);
        let some = rough.iter().step_by(rough.len().div_ceil(most).max(1));
        let corners = corners.iter().chain(some);
        let beside = corners.flat_map(|&i| [-BESIDE, BESIDE].map(|step| across(&self.walls.point(i)) + step));
        heights.extend(beside.take(MOST_BESIDE));
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| (*a - *b).abs() < 0.5 * BESIDE);
        heights
    }

    /// Where each line crosses the walls.
    fn crossings(&self, heights: &[f64]) -> Vec<Vec<Crossing>> {
        let mut lines: Vec<Vec<Crossing>> = vec![Vec::new(); heights.len()];
        for i in 0..self.walls.len() {
            let (a, b) = self.walls.edge(i);
            let (va, vb) = (dot(a, self.across), dot(b, self.across));
            // Half open, so that a corner on a line counts once.
            let first = heights.partition_point(|v| *v < va.min(vb));
            let last = heights.partition_point(|v| *v < va.max(vb));
            for line in first..last {
                let part = (heights[line] - va) / (vb - va);
                let at = a + (b - a) * part;
                lines[line].push(Crossing {
                    u: dot(at, self.along),
                    wall: WallPoint { at, edge: i, arc: self.walls.arc(i) + part * distance(a, b) },
                    ring: self.walls.ring_of(i),
                });
            }
        }
        lines
    }

    /// Area to the left of a ring's walls from one point to another, closed by the straight way back.
    fn area_between(&self, from: &WallPoint, to: &WallPoint, ring: usize) -> f64 {
        let up_to = |w: &WallPoint| self.swept[w.edge] + 0.5 * cross(self.walls.point(w.edge), w.at);
        let mut area = up_to(to) - up_to(from);
        if to.arc < from.arc {
            area += self.ring_area[ring];
        }
        area + 0.5 * cross(to.at, from.at)
    }

    fn cut(
        &self,
        left: Crossing,
        right: Crossing,
        v: f64,
        thickness: f64,
        wood: &Mechanics,
    ) -> Option<[Option<GrainCut>; 2]> {
        let ring = left.ring;
        // Wood lies left of its walls: from the right end the wall goes up and comes back to the left one.
        let above = self.area_between(&right.wall, &left.wall, ring);
        let below = self.area_between(&left.wall, &right.wall, ring);
        let upward = above > 0.0 && (below <= 0.0 || above <= below);
        let (area, from, to) =
            if upward { (above, right.wall, left.wall) } else { (below, left.wall, right.wall) };
        if area <= 0.0 || area > 0.5 * self.ring_area[0] {
            return None;
        }
        let sign = if upward { 1.0 } else { -1.0 };
        let station = self.station(left.wall, right.wall, sign);
        let length = self.walls.ring_length(ring);
        let gone = (to.arc - from.arc).rem_euclid(length);
        let inside = |arc: f64| (arc - from.arc).rem_euclid(length) <= gone;
        let mut farthest = (0.0, station.at, 0.0);
        for tried in in_range(&self.sides[ring], from.arc, gone, length).filter(|tried| inside(tried.arc)) {
            let away = (dot(tried.load.at, self.across) - v).abs();
            if away > farthest.0 {
                farthest = (away, tried.load.at, tried.arc);
            }
        }
        // The very tip is no part to be broken off; what hangs on a hair is. A rough wall has thousands of tips.
        let crumb = station.width < LEAST_WIDTH && area < LEAST_WIDTH * farthest.0;
        if farthest.0 < LEAST_WIDTH || crumb {
            return None;
        }
        let joint = Joint::new(&station, thickness, wood);

        let mut worst: [Option<GrainCut>; 2] = [None, None];
        // How much of what reaches over a range across the lines lies beyond this one.
        let beyond = |reach: [f64; 2]| {
            let part = if upward { reach[1] - v } else { v - reach[0] };
            (part / (reach[1] - reach[0]).max(1e-9)).clamp(0.0, 1.0)
        };
        let worst_face = std::cell::Cell::new(0.0);
        let mut keep = |index: Index, forces, kind: PushKind, push_at, push, pad_area| {
            if kind == PushKind::Face {
                worst_face.set(index.value.max(worst_face.get()));
            }
            let worst = &mut worst[kind as usize];
            if index.value > worst.as_ref().map_or(0.0, |worst| worst.index.value) {
                *worst = Some(GrainCut {
                    line: [left.wall.at, right.wall.at],
                    area,
                    breaks_at_n: index.breaks_at(),
                    kind,
                    push_at,
                    index,
                    forces,
                    push,
                    pad_area,
                    station,
                    farthest: station.at,
                    farthest_arc: 0.0,
                    wall: (ring, from.arc, gone, length),
                });
            }
        };
        let side = Side { from, to, ring, gone, length };
        // Pads beyond the line first: what they do often leaves nothing to find for those across it.
        let mut across_line = Vec::new();
        for tried in in_range(&self.faces[ring], from.arc, gone, length).filter(|tried| inside(tried.arc)) {
            let share = beyond(tried.reach);
            if share >= 1.0 {
                let forces = joint.face_forces(face_wrench(tried.load.at, 1.0));
                let index = joint.resistance.face(&forces);
                keep(index, Forces::Face(forces), PushKind::Face, tried.load.at, None, tried.load.area);
            } else if share > 0.0 {
                across_line.push(tried);
            }
        }
        let unit_indices = (!across_line.is_empty()).then(|| joint.unit_indices(PushKind::Face));
        for tried in across_line {
            // A pad across the line pushes off only the part of it that lies beyond, somewhere within the pad.
            let lever = distance(tried.load.at, station.at) + 2.0 * PAD_RADIUS;
            let bound =
                unit_indices.map_or(0.0, |[moment, torsion, shear]| lever * (moment + torsion) + shear);
            if bound <= worst_face.get() {
                continue;
            }
            if let Some((load, share)) = self.clipped(tried, &side) {
                let forces = joint.face_forces(face_wrench(load.at, share));
                let index = joint.resistance.face(&forces);
                keep(index, Forces::Face(forces), PushKind::Face, tried.load.at, None, tried.load.area);
            }
        }
        for tried in in_range(&self.sides[ring], from.arc, gone, length) {
            if !inside(tried.arc) {
                continue;
            }
            let share = beyond(tried.reach);
            if share > 0.0 {
                // The middle of the part beyond lies farther from the line, along the wall.
                let rising = if dot(tried.along, self.across) * sign >= 0.0 { 0.5 } else { -0.5 };
                let moved = tried.along * (rising * (1.0 - share));
                let forces = joint.side_forces(side_wrench(tried.load.at + moved, tried.load.push * share));
                let index = joint.resistance.side(&forces);
                let push = Some(tried.load.push);
                keep(index, Forces::Side(forces), PushKind::Side, tried.load.at, push, 0.0);
            }
        }
        Some(
            worst
                .map(|cut| cut.map(|cut| GrainCut { farthest: farthest.1, farthest_arc: farthest.2, ..cut })),
        )
    }

    /// The part of a pad that lies on the smaller side of a line: where it acts, and its share of the whole.
    fn clipped(&self, tried: &Tried<FaceLoad>, side: &Side) -> Option<(FaceLoad, f64)> {
        let centre = self.walls.at(side.ring, tried.arc).at;
        let mut clip = Clip::new(centre);
        // The side's wall near the pad, cut at the line; the rest of it stays clear of the pad.
        let reach = 3.0 * PAD_RADIUS;
        let ahead = (tried.arc - side.from.arc).rem_euclid(side.length);
        let start = (ahead - reach).max(0.0);
        let end = (ahead + reach).min(side.gone);
        let mut gone = start;
        let mut last = self.walls.at(side.ring, side.from.arc + start);
        let first = last.at;
        // On a wall of very many short edges those that surely stay clear of the pad's rim, inside or outside, are one.
        let fine = self.is_rough(self.walls.at(side.ring, tried.arc).edge);
        while gone < end {
            let (a, b) = self.walls.edge(last.edge);
            let left = distance(a, b) - (last.arc - self.walls.arc(last.edge));
            let off = distance(last.at, centre) - PAD_RADIUS;
            let clear = off.abs().min(end - gone);
            if fine && clear > 2.0 * left {
                let there = self.walls.at(side.ring, last.arc + clear);
                if off > 0.0 {
                    clip.far(last.at, there.at);
                } else {
                    clip.within(self.under.about(self.walls, centre, last, there));
                }
                gone += clear;
                last = there;
                continue;
            }
            let step = left.min(end - gone);
            let next = last.at + unit(b - a) * step;
            clip.edge(last.at, next);
            gone += step.max(1e-12);
            let edge = self.walls.next(last.edge);
            last = if step < left {
                WallPoint { at: next, ..last }
            } else {
                WallPoint { at: b, edge, arc: self.walls.arc(edge) }
            };
        }
        if gone < side.gone {
            clip.far(last.at, side.to.at);
        }
        clip.edge(side.to.at, side.from.at);
        if start > 0.0 {
            clip.far(side.from.at, first);
        }
        let load = clip.load()?;
        Some((load, (load.area / tried.load.area).min(1.0)))
    }

    /// Whether a wall is rough about a point of it.
    fn is_rough(&self, i: usize) -> bool {
        let ring = self.walls.ring_of(i);
        let points = self.walls.ring(ring);
        let (first, count) = (points.start, points.len());
        if count <= FINE {
            return false;
        }
        let at = |steps: usize| self.walls.arc(first + (i - first + steps) % count);
        let reach = at(FINE / 2) - at(count - FINE / 2);
        reach.rem_euclid(self.walls.ring_length(ring)) < ROUGH
    }

    /// The section an interval is judged as: the grain plane itself, square to the line.
    fn station(&self, left: WallPoint, right: WallPoint, sign: f64) -> Station {
        Station {
            at: (left.at + right.at) / 2.0,
            run: self.across * sign,
            along: 0.0,
            square: [left, right],
            width: distance(left.at, right.at),
            crossing: std::f64::consts::FRAC_PI_2,
            turn: 1.0,
            grain_line: [left, right],
            triangle: 0,
        }
    }
}

/// The loads with an arc in a range that may wrap round; sorted by arc.
fn in_range<L>(loads: &[Tried<L>], from: f64, gone: f64, length: f64) -> impl Iterator<Item = &Tried<L>> {
    let at = |arc: f64| loads.partition_point(|tried| tried.arc < arc);
    let (start, end) = (at(from), at(from + gone));
    let wrapped = if from + gone > length { at(from + gone - length) } else { 0 };
    loads[start..end].iter().chain(&loads[..wrapped.min(start)])
}

/// Wall edges by where they are, to find those a pad may touch.
struct Near<'a> {
    walls: &'a Walls,
    cells: BTreeMap<(i64, i64), Vec<u32>>,
}

impl<'a> Near<'a> {
    const CELL: f64 = 2.0 * PAD_RADIUS;

    fn cell(p: Point) -> (i64, i64) {
        ((p.x / Self::CELL).floor() as i64, (p.y / Self::CELL).floor() as i64)
    }

    fn new(walls: &'a Walls) -> Self {
        let mut cells: BTreeMap<(i64, i64), Vec<u32>> = BTreeMap::new();
        for i in 0..walls.len() {
            let (a, b) = walls.edge(i);
            let (p, q) = (Self::cell(a), Self::cell(b));
            for x in p.0.min(q.0)..=p.0.max(q.0) {
                for y in p.1.min(q.1)..=p.1.max(q.1) {
                    cells.entry((x, y)).or_default().push(i as u32);
                }
            }
        }
        Self { walls, cells }
    }

    /// A pad centred on a wall, clipped to the wood: only edges near it are looked at one by one.
    fn pad(&self, centre: Point) -> Option<FaceLoad> {
        let (x, y) = Self::cell(centre);
        let mut near: Vec<u32> = Vec::new();
        for cx in x - 1..=x + 1 {
            for cy in y - 1..=y + 1 {
                near.extend(self.cells.get(&(cx, cy)).into_iter().flatten());
            }
        }
        near.sort_unstable();
        near.dedup();
        let mut clip = Clip::new(centre);
        // Of very many edges most are short and cross no rim.
        let fine = near.len() > FINE;
        let mut clear_from: Option<Point> = None;
        for (k, &i) in near.iter().enumerate() {
            let i = i as usize;
            let (a, b) = self.walls.edge(i);
            match if fine { clip.plain_edge(a, b) } else { None } {
                Some(PlainEdge::Clear) => {
                    clear_from.get_or_insert(a);
                }
                other => {
                    if let Some(from) = clear_from.take() {
                        clip.far(from, a);
                    }
                    if other.is_none() {
                        clip.edge(a, b);
                    }
                }
            }
            let ring = self.walls.ring_of(i);
            let same_ring = |j: &&u32| self.walls.ring_of(**j as usize) == ring;
            let next = near.get(k + 1).filter(same_ring).or_else(|| near.iter().find(same_ring));
            let next = *next.expect("an edge is on its own ring") as usize;
            if next != self.walls.next(i) {
                clip.far(clear_from.take().unwrap_or(b), self.walls.point(next));
            } else if k + 1 == near.len() || next < i {
                // The ring goes on at its first edge.
                clear_from.take().into_iter().for_each(|from| clip.far(from, b));
            }
        }
        clip.load()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_may_wrap_round_a_ring() {
        let loads: Vec<Tried<u8>> = (0..10)
            .map(|i| Tried { arc: f64::from(i), reach: [0.0; 2], along: Point { x: 1.0, y: 0.0 }, load: i })
            .collect();
        let got: Vec<u8> = in_range(&loads, 7.5, 4.0, 10.0).map(|tried| tried.load).collect();
        assert_eq!(got, vec![8, 9, 0, 1]);
    }

    /// A pad's wood on a wall of very many edges, by those that cross its rim, is what all edges one by one give; and so is the part of it
    /// beyond a line.
    #[test]
    fn pads_on_rough_walls_hold_what_all_edges_give() {
        use crate::shape::plane::point;
        use geo_types::{LineString, Polygon};
        let at = |k: u32| {
            let (sin, cos) = (f64::from(k) / 12_000.0 * std::f64::consts::TAU).sin_cos();
            let reach = 40.0 + 0.1 * f64::from(k.wrapping_mul(2_654_435_761) >> 16) / 65_536.0;
            (reach * cos, reach * sin)
        };
        let ring: LineString = (0..12_000).map(at).collect::<Vec<_>>().into();
        let shape = Shape::new(Polygon::new(ring, Vec::new())).expect("a shape");
        let walls = Walls::new(&shape);
        let edges: Vec<[Point; 2]> = (0..walls.len()).map(|i| walls.edge(i)).map(|(a, b)| [a, b]).collect();
        let near = Near::new(&walls);
        for k in 0..40 {
            let centre = walls.at(0, walls.ring_length(0) * f64::from(k) / 40.0).at;
            for centre in [centre, centre * 0.93] {
                let all = super::super::pad::pad(centre, &edges).expect("on wood");
                let few = near.pad(centre).expect("on wood");
                assert!(
                    (all.area - few.area).abs() < 1e-6 && distance(all.at, few.at) < 1e-6,
                    "{all:?} {few:?}"
                );
            }
        }
        let sweep = Sweep::new(&walls, point(1.0, 0.0), point(0.0, 1.0), 1.0);
        // The wall above y = 20, up from the right: what all its edges and the line itself give.
        let above: Vec<Crossing> = sweep.crossings(&[20.0]).remove(0);
        let [left, right] = [f64::min, f64::max].map(|pick| {
            let u = above.iter().map(|crossing| crossing.u).reduce(pick).expect("it crosses");
            above.iter().find(|crossing| crossing.u == u).expect("one of them").wall
        });
        let length = walls.ring_length(0);
        let side = Side { from: right, to: left, ring: 0, gone: left.arc - right.arc, length };
        let mut beyond: Vec<[Point; 2]> = edges[right.edge + 1..left.edge].to_vec();
        beyond.push([right.at, walls.edge(right.edge).1]);
        beyond.push([walls.edge(left.edge).0, left.at]);
        beyond.push([left.at, right.at]);
        let mut tried = 0;
        for pad in sweep.faces[0]
            .iter()
            .filter(|pad| pad.reach[0] < 20.0 && pad.reach[1] > 20.0 && pad.load.at.y > 19.0)
        {
            let centre = walls.at(0, pad.arc).at;
            let (Some(all), Some((few, _))) =
                (super::super::pad::pad(centre, &beyond), sweep.clipped(pad, &side))
            else {
                continue;
            };
            assert!((all.area - few.area).abs() < 1e-5 && distance(all.at, few.at) < 1e-4, "{all:?} {few:?}");
            tried += 1;
        }
        assert!(tried > 4, "{tried}");
    }

    /// A plate whose lower wall is 4000 hairs, with two notches in its upper one: lines lie beside their corners all the same.
    #[test]
    fn real_corners_of_a_ring_that_is_rough_elsewhere_have_their_lines() {
        use geo_types::{LineString, Polygon};
        let mut ring: Vec<[f64; 2]> =
            (0..4000).map(|k| [f64::from(k) * 0.05, if k % 2 == 0 { 0.0 } else { 0.02 }]).collect();
        ring.extend([
            [200.0, 0.0],
            [200.0, 60.0],
            [150.0, 60.0],
            [150.0, 41.313],
            [140.0, 41.313],
            [140.0, 60.0],
        ]);
        ring.extend([[60.0, 60.0], [60.0, 33.777], [50.0, 33.777], [50.0, 60.0], [0.0, 60.0]]);
        let ring: LineString = ring.into_iter().map(|[x, y]| (x, y)).collect::<Vec<_>>().into();
        let shape = Shape::new(Polygon::new(ring, Vec::new())).expect("a shape");
        let walls = Walls::new(&shape);
        let sweep = Sweep::new(&walls, Point { x: 1.0, y: 0.0 }, Point { x: 0.0, y: 1.0 }, 1.0);
        let heights = sweep.heights();
        for corner in [41.313, 33.777] {
            for beside in [corner - BESIDE, corner + BESIDE] {
                assert!(heights.iter().any(|height| (height - beside).abs() < 1e-3), "{beside}");
            }
        }
        let hairs = (0..walls.len()).filter(|&i| walls.is_corner(i) && sweep.is_rough(i)).count();
        assert!(hairs > 1500, "{hairs}");
    }
}
