//! A part of the wood by its outline: stretches of wall, closed by the chords where it was cut off.

use crate::{
    shape::plane::{Point, cross, distance, dot, left, point, unit},
    skeleton::Walls,
};

use super::load::{FaceLoad, PAD_RADIUS, SideLoad, WALL_LENGTH};

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

/// Face loads are tried in this many directions from the middle; between two of them a round outline's
/// reach differs by 0.2 %.
const FACE_DIRECTIONS: usize = 48;
/// A wall that turns by more than this (30°) is another wall: a push does not reach round the corner.
const CORNER: f64 = 0.52;
/// Steps between side pushes along a wall, in mm; long walls are tried at [`MOST_STEPS`] points.
const STEP: f64 = 1.0;
const MOST_STEPS: f64 = 600.0;

impl Region {
    /// All edges, walls first.
    fn edges(&self, walls: &Walls) -> Vec<[Point; 2]> {
        let mut edges = self.chords.clone();
        for arc in &self.arcs {
            edges.extend(points(walls, arc).windows(2).map(|pair| [pair[0], pair[1]]));
        }
        edges
    }

    /// Area in mm².
    pub(super) fn area(&self, walls: &Walls) -> f64 {
        self.edges(walls).iter().map(|[a, b]| 0.5 * cross(*a, *b)).sum()
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
            let farthest = outline.iter().max_by(|a, b| dot(**a, along).total_cmp(&dot(**b, along)));
            if let Some(&p) = farthest.filter(|p| !centres.contains(p)) {
                centres.push(p);
            }
        }
        centres.into_iter().filter_map(|centre| pad(centre, &edges)).collect()
    }

    /// Pushes on the region's walls, each over [`WALL_LENGTH`] of one wall, clipped to it.
    pub(super) fn side_loads(&self, walls: &Walls) -> Vec<SideLoad> {
        let mut loads = Vec::new();
        let total: f64 = self.arcs.iter().map(|arc| arc.length).sum();
        let step = STEP.max(total / MOST_STEPS);
        for arc in &self.arcs {
            for wall in straight_on(&points(walls, arc)) {
                side_loads_of(&wall, step, &mut loads);
            }
        }
        loads
    }
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

fn side_loads_of(wall: &[Point], step: f64, loads: &mut Vec<SideLoad>) {
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
            loads.push(load);
        }
    }
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

/// A round pad clipped to a region: its area there, and the centroid of that.
///
/// Each edge of the region adds the part of the disc between itself and the centre, counted with its sign:
/// a triangle where the edge runs inside the disc, a sector where it runs outside.
pub(super) fn pad(centre: Point, edges: &[[Point; 2]]) -> Option<FaceLoad> {
    let (mut area, mut moment) = (0.0, point(0.0, 0.0));
    for [a, b] in edges {
        let (p, q) = (*a - centre, *b - centre);
        let along = q - p;
        let length2 = dot(along, along);
        if length2 <= 0.0 {
            continue;
        }
        // Where the edge meets the circle, as parts of the edge.
        let half_b = dot(p, along);
        let inside = half_b * half_b - length2 * (dot(p, p) - PAD_RADIUS * PAD_RADIUS);
        let (enter, exit) = if inside > 0.0 {
            let root = inside.sqrt();
            (((-half_b - root) / length2).clamp(0.0, 1.0), ((-half_b + root) / length2).clamp(0.0, 1.0))
        } else {
            (1.0, 1.0)
        };
        let (u, v) = (p + along * enter, p + along * exit);
        sector(p, u, &mut area, &mut moment);
        let triangle = 0.5 * cross(u, v);
        area += triangle;
        moment = moment + (u + v) * (triangle / 3.0);
        sector(v, q, &mut area, &mut moment);
    }
    (area > 1e-6).then(|| FaceLoad { at: centre + moment / area, area })
}

/// Adds the sector of the pad seen from its centre between two directions.
fn sector(from: Point, to: Point, area: &mut f64, moment: &mut Point) {
    let turn = cross(from, to).atan2(dot(from, to));
    if turn == 0.0 {
        return;
    }
    let (s, e) = (unit(from), unit(to));
    *area += 0.5 * PAD_RADIUS * PAD_RADIUS * turn;
    // ∫ r·(cos, sin) r dr dθ = R³/3·(sin, −cos) between both ends.
    *moment = *moment + point(e.y - s.y, s.x - e.x) * (PAD_RADIUS.powi(3) / 3.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Vec<[Point; 2]> {
        let c = [point(0.0, 0.0), point(side, 0.0), point(side, side), point(0.0, side)];
        (0..4).map(|i| [c[i], c[(i + 1) % 4]]).collect()
    }

    /// Centroids of a half and a quarter disc: 4r/3π from each straight side (any handbook's table of areas).
    #[test]
    fn a_pad_is_clipped_to_the_wood() {
        use std::f64::consts::PI;
        let edges = square(100.0);
        let whole = pad(point(50.0, 50.0), &edges).expect("on wood");
        assert!((whole.area - PI * 25.0).abs() < 1e-9 && distance(whole.at, point(50.0, 50.0)) < 1e-9);
        let half = pad(point(50.0, 0.0), &edges).expect("on wood");
        let reach = 4.0 * PAD_RADIUS / (3.0 * PI);
        assert!((half.area - PI * 12.5).abs() < 1e-9 && distance(half.at, point(50.0, reach)) < 1e-9);
        let quarter = pad(point(0.0, 0.0), &edges).expect("on wood");
        assert!((quarter.area - PI * 6.25).abs() < 1e-9 && distance(quarter.at, point(reach, reach)) < 1e-9);
    }

    #[test]
    fn a_pad_larger_than_the_wood_covers_all_of_it() {
        let stub = pad(point(1.0, 1.0), &square(2.0)).expect("on wood");
        assert!((stub.area - 4.0).abs() < 1e-9 && distance(stub.at, point(1.0, 1.0)) < 1e-9);
    }
}
