//! A part of the wood by its outline: stretches of wall, closed by the chords where it was cut off.

use std::collections::BTreeMap;

use crate::{
    shape::plane::{Point, cross, distance, dot, left, point, unit},
    skeleton::Walls,
};

use super::{
    load::{FaceLoad, SideLoad, WALL_LENGTH},
    pad::pad,
};

/// A stretch of one wall: from a length along its ring, over a length, in the ring's direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Arc {
    pub(super) ring: usize,
    pub(super) from: f64,
    pub(super) length: f64,
}

/// A part of the wood: it lies to the left of all its edges.
#[derive(Clone, Debug, Default)]
pub(super) struct Region {
    /// Walls of the piece.
    pub(super) arcs: Vec<Arc>,
    /// Cuts through the wood.
    pub(super) chords: Vec<[Point; 2]>,
}

/// Ends nearer to each other than this are found without asking all, in mm.
const NEAR: f64 = 1.0;

/// Every edge's end with the beginnings of edges near to it, and how far apart they are.
fn near(edges: &[[Point; 2]]) -> Vec<(f64, usize, usize)> {
    let cell = |p: Point| [p.x, p.y].map(|x| (x / NEAR).floor() as i64);
    let mut starts: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
    for (k, edge) in edges.iter().enumerate() {
        starts.entry(cell(edge[0])).or_default().push(k);
    }
    let mut pairs = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        let [x, y] = cell(edge[1]);
        let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| [x + dx, y + dy]));
        let starts = around.filter_map(|cell| starts.get(&cell)).flatten();
        let all = starts.map(|&k| (distance(edge[1], edges[k][0]), i, k));
        pairs.extend(all.filter(|(gap, ..)| *gap <= NEAR));
    }
    pairs
}

/// Face loads are tried in this many directions from the middle; between two of them a round outline's
/// reach differs by 0.2 %.
const FACE_DIRECTIONS: usize = 48;
/// Two points are as far away as each other when they differ by no more, in mm.
const SAME: f64 = 1e-6;
/// A wall that turns by more than this (30°) is another wall: a push does not reach round the corner.
pub(super) const CORNER: f64 = 0.52;
/// Steps between side pushes along a wall, in mm; long walls are tried at [`MOST_STEPS`] points.
const STEP: f64 = 1.0;
const MOST_STEPS: f64 = 600.0;
/// Of more walls of a ring shorter than a step, as roughness has them, not all are pushed on. Our own rule.
const MOST_SHORT: usize = 4000;

impl Region {
    /// All edges, walls first.
    fn edges(&self, walls: &Walls) -> Vec<[Point; 2]> {
        let mut edges = self.chords.clone();
        for arc in &self.arcs {
            edges.extend(points(walls, arc).windows(2).map(|pair| [pair[0], pair[1]]));
        }
        edges
    }

    /// Joins walls and sections that do not meet, nearest first: sections next to each other may leave a little wall between
    /// them to neither part.
    pub(super) fn close(&mut self, walls: &Walls) {
        let cut = self.arcs.iter().filter(|arc| arc.length < walls.ring_length(arc.ring));
        let ends = cut.map(|arc| [arc.from, arc.from + arc.length].map(|at| walls.at(arc.ring, at).at));
        let edges: Vec<[Point; 2]> = ends.chain(self.chords.iter().copied()).collect();
        let (mut left, mut met) = (vec![false; edges.len()], vec![false; edges.len()]);
        let mut join = |mut pairs: Vec<(f64, usize, usize)>, left: &mut [bool], met: &mut [bool]| {
            pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
            for (gap, i, k) in pairs {
                if left[i] || met[k] {
                    continue;
                }
                (left[i], met[k]) = (true, true);
                if gap > SAME {
                    self.chords.push([edges[i][1], edges[k][0]]);
                }
            }
        };
        join(near(&edges), &mut left, &mut met);
        // The few that lie farther apart: all with all, those of some ten thousand would fill a machine.
        let mut pairs = Vec::new();
        for (i, from) in edges.iter().enumerate().filter(|(i, _)| !left[*i]) {
            let others = edges.iter().enumerate().filter(|(k, _)| !met[*k]);
            pairs.extend(others.map(|(k, to)| (distance(from[1], to[0]), i, k)));
        }
        join(pairs, &mut left, &mut met);
    }

    /// The point lowest in x, then y.
    pub(super) fn lowest(&self, walls: &Walls) -> Point {
        let all = self.arcs.iter().flat_map(|arc| points(walls, arc));
        all.chain(self.chords.iter().flatten().copied())
            .min_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)))
            .unwrap_or(point(f64::INFINITY, f64::INFINITY))
    }

    /// Pads set on the region's outline where it reaches farthest, each clipped to the region.
    pub(super) fn face_loads(&self, walls: &Walls) -> Vec<FaceLoad> {
        let outline: Vec<Point> = self.arcs.iter().flat_map(|arc| points(walls, arc)).collect();
        let edges = self.edges(walls);
        let mut centres: Vec<Point> = Vec::new();
        for i in 0..FACE_DIRECTIONS {
            let along =
                crate::shape::plane::direction(i as f64 / FACE_DIRECTIONS as f64 * std::f64::consts::TAU);
            let farthest = outline.iter().map(|p| dot(*p, along)).fold(f64::NEG_INFINITY, f64::max);
            // Of a whole edge as far away as any, both its ends.
            let ties = outline.iter().copied().filter(|p| dot(*p, along) > farthest - SAME);
            let aside = |p: &Point| dot(*p, left(along));
            let ends = [
                ties.clone().min_by(|a, b| aside(a).total_cmp(&aside(b))),
                ties.max_by(|a, b| aside(a).total_cmp(&aside(b))),
            ];
            for p in ends.into_iter().flatten() {
                if !centres.contains(&p) {
                    centres.push(p);
                }
            }
        }
        centres.into_iter().filter_map(|centre| pad(centre, &edges)).collect()
    }

    /// Pushes on the region's walls, each over [`WALL_LENGTH`] of one wall, clipped to it.
    pub(super) fn side_loads(&self, walls: &Walls) -> Vec<SideLoad> {
        self.side_loads_on(walls, 0.0)
    }

    /// The same on walls of at least a length, in mm, only.
    pub(super) fn side_loads_on(&self, walls: &Walls, least: f64) -> Vec<SideLoad> {
        let mut loads = Vec::new();
        let total: f64 = self.arcs.iter().map(|arc| arc.length).sum();
        let step = STEP.max(total / MOST_STEPS);
        for arc in &self.arcs {
            for wall in straight_on(&points(walls, arc)) {
                let length: f64 = wall.windows(2).map(|pair| distance(pair[0], pair[1])).sum();
                if length >= least {
                    side_loads_of(&wall, step, |push| loads.push(push.load));
                }
            }
        }
        loads
    }
}

/// A push on a stretch of wall: its load, and the stretch from end to end.
#[derive(Clone, Copy, Debug)]
pub(super) struct WallPush {
    /// Length along the wall to the middle tried.
    pub(super) along: f64,
    pub(super) ends: [Point; 2],
    pub(super) load: SideLoad,
}

/// Side pushes on a whole ring, about `step` apart, each with its length along the ring, in that order. Of very many walls shorter than
/// a step a few stand for all.
pub(super) fn wall_loads(walls: &Walls, ring: usize, step: f64) -> Vec<WallPush> {
    let arc = Arc { ring, from: 0.0, length: walls.ring_length(ring) };
    let mut pushes = Vec::new();
    let mut from = 0.0;
    let parts = straight_on(&points(walls, &arc));
    let length = |wall: &[Point]| wall.windows(2).map(|pair| distance(pair[0], pair[1])).sum::<f64>();
    let short: Vec<f64> = parts.iter().map(|wall| length(wall)).filter(|length| *length < step).collect();
    // A step apart, and by an odd count: teeth of two or four sides are pushed on each of them.
    let mean = short.iter().sum::<f64>() / short.len().max(1) as f64;
    let apart = if short.len() > MOST_SHORT { (step / mean).ceil() as usize } else { 1 };
    let every = apart.max(short.len().div_ceil(MOST_SHORT)) | 1;
    let mut passed = 0;
    for wall in parts {
        let length = length(&wall);
        let is_short = length < step;
        if !is_short || passed % every == 0 {
            side_loads_of(&wall, step, |push| pushes.push(WallPush { along: from + push.along, ..push }));
        }
        passed += usize::from(is_short);
        from += length;
    }
    pushes
}

/// The points of a stretch of wall, both ends included.
fn points(walls: &Walls, arc: &Arc) -> Vec<Point> {
    let start = walls.at(arc.ring, arc.from);
    let mut points = vec![start.at];
    let mut edge = start.edge;
    let (mut gone, mut last) = (0.0, start.at);
    for _ in 0..=walls.ring(arc.ring).len() {
        let next = walls.next(edge);
        let p = walls.point(next);
        gone += distance(last, p);
        if gone >= arc.length - 1e-12 {
            break;
        }
        points.push(p);
        (edge, last) = (next, p);
    }
    points.push(walls.at(arc.ring, arc.from + arc.length).at);
    points.dedup_by(|a, b| distance(*a, *b) < 1e-9);
    points
}

/// Parts of a wall without a corner in between.
fn straight_on(points: &[Point]) -> Vec<Vec<Point>> {
    let mut parts = Vec::new();
    let mut part = Vec::new();
    for (i, &p) in points.iter().enumerate() {
        part.push(p);
        if i > 0 && i + 1 < points.len() {
            let (u, v) = (unit(p - points[i - 1]), unit(points[i + 1] - p));
            if cross(u, v).abs().atan2(dot(u, v)) > CORNER {
                parts.push(std::mem::replace(&mut part, vec![p]));
            }
        }
    }
    parts.push(part);
    parts.retain(|part| part.len() > 1);
    parts
}

fn side_loads_of(wall: &[Point], step: f64, mut keep: impl FnMut(WallPush)) {
    let mut arc = vec![0.0];
    for pair in wall.windows(2) {
        arc.push(arc[arc.len() - 1] + distance(pair[0], pair[1]));
    }
    let length = arc[arc.len() - 1];
    let steps = (length / step).ceil().max(1.0) as usize;
    for i in 0..=steps {
        let middle = length * i as f64 / steps as f64;
        let from = (middle - WALL_LENGTH / 2.0).max(0.0);
        let to = (middle + WALL_LENGTH / 2.0).min(length);
        if let Some(load) = spread_push(wall, &arc, from, to) {
            let ends = [on_wall(wall, &arc, from), on_wall(wall, &arc, to)];
            keep(WallPush { along: middle, ends, load });
        }
    }
}

/// The point of a wall at a length along it.
fn on_wall(wall: &[Point], arc: &[f64], along: f64) -> Point {
    let i = arc.partition_point(|&s| s <= along).clamp(1, wall.len() - 1);
    wall[i - 1] + unit(wall[i] - wall[i - 1]) * (along - arc[i - 1])
}

/// An even push on a wall from one length along it to another: its resultant.
fn spread_push(wall: &[Point], arc: &[f64], from: f64, to: f64) -> Option<SideLoad> {
    let first = arc.partition_point(|&s| s <= from).saturating_sub(1);
    let (mut push, mut moment, mut middle, mut total) = (point(0.0, 0.0), 0.0, point(0.0, 0.0), 0.0);
    for i in first..wall.len() - 1 {
        let (start, end) = (arc[i].max(from), arc[i + 1].min(to));
        if start >= end {
            if arc[i] >= to {
                break;
            }
            continue;
        }
        let along = unit(wall[i + 1] - wall[i]);
        let centre = wall[i] + along * ((start + end) / 2.0 - arc[i]);
        // The wood lies to the left of its walls, so a push goes left.
        let force = left(along) * (end - start);
        push = push + force;
        moment += cross(centre, force);
        middle = middle + centre * (end - start);
        total += end - start;
    }
    let size = crate::shape::plane::norm(push);
    if total <= 0.0 || size < 0.5 * total {
        return None;
    }
    let push = push / size;
    // Put the resultant on its line of action, nearest the middle of the wall pushed on.
    let middle = middle / total;
    let offset = moment / size - cross(middle, push);
    Some(SideLoad { at: middle - left(push) * offset, push })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What all pairs, nearest first, would join.
    fn nearest_first(edges: &[[Point; 2]]) -> Vec<[Point; 2]> {
        let mut pairs = Vec::new();
        for (i, from) in edges.iter().enumerate() {
            pairs.extend(edges.iter().enumerate().map(|(k, to)| (distance(from[1], to[0]), i, k)));
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut left, mut met) = (vec![false; edges.len()], vec![false; edges.len()]);
        let mut joined = Vec::new();
        for (gap, i, k) in pairs {
            if !left[i] && !met[k] {
                (left[i], met[k]) = (true, true);
                if gap > SAME {
                    joined.push([edges[i][1], edges[k][0]]);
                }
            }
        }
        joined
    }

    fn closed(chords: Vec<[Point; 2]>) -> Vec<[Point; 2]> {
        let walls = crate::skeleton::Skeleton::new(&square(), &crate::skeleton::Pruning::default());
        let walls = walls.expect("a skeleton");
        let count = chords.len();
        let mut region = Region { arcs: Vec::new(), chords };
        region.close(walls.mesh().walls());
        region.chords.split_off(count)
    }

    fn square() -> crate::shape::Shape {
        let ring = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)].map(|(x, y)| point(x, y));
        crate::shape::Shape::new(geo_types::Polygon::new(ring.to_vec().into(), Vec::new())).expect("a square")
    }

    #[test]
    fn ends_are_joined_nearest_first_as_if_all_were_asked() {
        // Steps of a simple generator: some ends a hair apart, some far, some alike.
        let mut state = 7_u32;
        let mut next = |most: u32| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from((state >> 8) % most)
        };
        for spread in [12, 60, 400] {
            let edges: Vec<[Point; 2]> = (0..150)
                .map(|_| [0, 1].map(|_| point(next(spread) * 0.25 - 3.0, next(spread) * 0.25)))
                .collect();
            assert_eq!(closed(edges.clone()), nearest_first(&edges), "spread {spread}");
        }
    }

    /// All pairs of these would be ten thousand million bytes.
    #[test]
    fn very_many_sections_are_closed_in_little_memory() {
        let side = |k: u32| point(f64::from(k % 200) * 2.0, f64::from(k / 200) * 2.0);
        let edges: Vec<[Point; 2]> =
            (0..20_000).map(|k| [side(k), side(k + 1) + point(0.001, 0.0)]).collect();
        assert!(closed(edges).len() >= 19_999);
    }
}
