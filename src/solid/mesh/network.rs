//! Rings, lines and zones cut where they meet, so that two pieces share nothing but ends.
//!
//! A line may run through a ring's corner, along its edge or end on it, and another line may run a hair
//! beside it. What comes nearer than [`snap`] is made one: points of rings stay where they are, then
//! corners of zones and ends of lines, then crossings; a line bends to the points it passes so near.

use std::collections::{BTreeMap, HashMap};

use crate::{
    shape::{
        BoxTree,
        plane::{Point, cross, distance, nearest_on_segment},
    },
    solid::plan::Plan,
};

use super::{MeshFault, rings::edges};

/// Points nearer than this part of the size wanted there are one: nearer ones would ask for triangles twenty
/// times finer than wanted, and a section is not read finer than that anyway.
const SNAP_TO_SIZE: f64 = 0.05;
/// The largest and the least distance at which points become one, in mm.
const SNAP: [f64; 2] = [0.001, 0.1];
/// How far a line may be bent, in distances at which points become one.
pub(super) const MOST_BENT: f64 = 2.0;
/// A point this part of the snapping distance from a bent line belongs to it.
const TOUCH_TO_SNAP: f64 = 0.25;
/// Bending a line to a point can make it cross another: so often this is looked for, ...
const MOST_ROUNDS: usize = 16;
/// ... at first with crossings that join points nearby, then with crossings left where they are.
const JOINING_ROUNDS: usize = 6;

/// The distance at which two points become one where triangles of a size are wanted.
pub(super) fn snap(size: f64) -> f64 {
    (SNAP_TO_SIZE * size).clamp(SNAP[0], SNAP[1])
}

/// The pieces between the points where rings, lines and zones meet.
pub(super) struct Network {
    pub(super) points: Vec<Point>,
    /// The size wanted at each point.
    pub(super) sizes: Vec<f64>,
    /// By its ends, the lower number first.
    pub(super) pieces: BTreeMap<[u32; 2], Piece>,
    /// The points of each ring in order.
    pub(super) rings: Vec<Vec<u32>>,
    /// The points of each line in order, in the wood and out of it.
    pub(super) lines: Vec<Vec<u32>>,
}

/// What changes across a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Piece {
    /// Wood on one side only.
    pub(super) wall: bool,
    /// Zones that lie on one side only.
    pub(super) zones: u32,
}

/// A ring's edge, a line or a zone's edge with the points it runs through.
struct Side {
    from: Point,
    to: Point,
    of: Of,
    ends: [u32; 2],
    /// Points it has to pass between its ends.
    passed: Vec<u32>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    Ring(usize),
    Line(usize),
    Zone(usize),
}

impl Network {
    /// Cuts rings (already thinned), lines and zones where they meet.
    pub(super) fn new(plan: &Plan, rings: &[Vec<Point>]) -> Result<Self, MeshFault> {
        let mut store = Store::new(plan, rings)?;
        let mut sides = store.ring_sides.clone_sides();
        for (zone, outline) in plan.zones.iter().enumerate() {
            for [from, to] in edges(outline) {
                sides.push(Side::new(from, to, Of::Zone(zone)));
            }
        }
        for (line, &[from, to]) in plan.lines.iter().enumerate() {
            sides.push(Side::new(from, to, Of::Line(line)));
        }
        for side in sides.iter_mut().filter(|side| !matches!(side.of, Of::Ring(_))) {
            side.ends = [store.place(side.from), store.place(side.to)];
        }
        for round in 0..MOST_ROUNDS {
            let chains = store.chains(&sides);
            let meetings = store.meetings(&sides, &chains, round == 0)?;
            if meetings.is_empty() {
                return Ok(store.network(rings.len(), plan.lines.len(), &sides, &chains));
            }
            if round + 1 == MOST_ROUNDS {
                return Err(MeshFault::Crowded { at: meetings[0].at });
            }
            for meeting in meetings {
                store.settle(&meeting, &mut sides, round < JOINING_ROUNDS);
            }
        }
        unreachable!("the last round returns")
    }
}

impl Side {
    const fn new(from: Point, to: Point, of: Of) -> Self {
        Self { from, to, of, ends: [0; 2], passed: Vec::new() }
    }
}

/// Two pieces cross, or one ends on the other.
struct Meeting {
    at: Point,
    sides: [usize; 2],
    /// The point that lies on the other side's piece, when it is there already.
    point: Option<u32>,
}

/// The points, and the rings they may lie on.
struct Store<'a> {
    size: &'a dyn Fn(Point) -> f64,
    points: Vec<Point>,
    sizes: Vec<f64>,
    /// Points that lie on a ring.
    on_ring: Vec<bool>,
    grid: HashMap<[i64; 2], Vec<u32>>,
    ring_sides: RingSides,
}

struct RingSides {
    edges: Vec<RingEdge>,
}

struct RingEdge {
    from: u32,
    to: u32,
    ring: usize,
    line: [Point; 2],
    /// Points between its ends, with where they lie.
    on: Vec<(f64, u32)>,
}

impl RingSides {
    fn clone_sides(&self) -> Vec<Side> {
        self.edges
            .iter()
            .map(|edge| Side {
                from: edge.line[0],
                to: edge.line[1],
                of: Of::Ring(edge.ring),
                ends: [edge.from, edge.to],
                passed: Vec::new(),
            })
            .collect()
    }
}

impl<'a> Store<'a> {
    fn new(plan: &Plan<'a>, rings: &[Vec<Point>]) -> Result<Self, MeshFault> {
        let mut store = Self {
            size: plan.size,
            points: Vec::new(),
            sizes: Vec::new(),
            on_ring: Vec::new(),
            grid: HashMap::new(),
            ring_sides: RingSides { edges: Vec::new() },
        };
        for (number, ring) in rings.iter().enumerate() {
            let first = store.points.len();
            for &p in ring {
                if store.nearest(p, 0.0, false).is_some() {
                    return Err(MeshFault::WallsMeet { at: p });
                }
                store.add(p, true);
            }
            for i in 0..ring.len() {
                let next = (i + 1) % ring.len();
                store.ring_sides.edges.push(RingEdge {
                    from: (first + i) as u32,
                    to: (first + next) as u32,
                    ring: number,
                    line: [ring[i], ring[next]],
                    on: Vec::new(),
                });
            }
        }
        Ok(store)
    }

    fn add(&mut self, p: Point, on_ring: bool) -> u32 {
        let number = self.points.len() as u32;
        self.points.push(p);
        self.sizes.push((self.size)(p));
        self.on_ring.push(on_ring);
        self.grid.entry(Self::cell(p)).or_default().push(number);
        number
    }

    fn cell(p: Point) -> [i64; 2] {
        [(p.x / SNAP[1]).floor() as i64, (p.y / SNAP[1]).floor() as i64]
    }

    /// The point nearest to a place, not farther than `most`.
    fn nearest(&self, p: Point, most: f64, on_ring: bool) -> Option<u32> {
        let [x, y] = Self::cell(p);
        let mut best: Option<(f64, u32)> = None;
        for x in x - 1..=x + 1 {
            for y in y - 1..=y + 1 {
                for &number in self.grid.get(&[x, y]).into_iter().flatten() {
                    let away = distance(p, self.points[number as usize]);
                    let allowed = away <= most && (!on_ring || self.on_ring[number as usize]);
                    if allowed && best.is_none_or(|b| (away, number) < b) {
                        best = Some((away, number));
                    }
                }
            }
        }
        best.map(|(_, number)| number)
    }

    /// The point that stands for a place: one nearby, else the place itself, on a ring if one is near.
    fn place(&mut self, p: Point) -> u32 {
        let near = snap((self.size)(p));
        if let Some(number) = self.nearest(p, near, true) {
            return number;
        }
        let mut best = None;
        let mut least = near;
        for (number, edge) in self.ring_sides.edges.iter().enumerate() {
            let [a, b] = edge.line;
            if p.x < a.x.min(b.x) - least
                || p.x > a.x.max(b.x) + least
                || p.y < a.y.min(b.y) - least
                || p.y > a.y.max(b.y) + least
            {
                continue;
            }
            let (foot, _) = nearest_on_segment(p, a, b);
            let away = distance(p, foot);
            if away < least {
                (best, least) = (Some((number, foot)), away);
            }
        }
        match best {
            Some((edge, foot)) => self.place_on_ring(foot, edge, near),
            None => self.nearest(p, near, false).unwrap_or_else(|| self.add(p, false)),
        }
    }

    /// The point that stands for a place on a ring's edge: one of that ring nearby, else the place itself.
    fn place_on_ring(&mut self, p: Point, edge: usize, near: f64) -> u32 {
        if let Some(number) = self.nearest(p, near, true) {
            return number;
        }
        let number = self.add(p, true);
        let edge = &mut self.ring_sides.edges[edge];
        let (_, at) = nearest_on_segment(p, edge.line[0], edge.line[1]);
        let place = edge.on.partition_point(|&on| on < (at, number));
        edge.on.insert(place, (at, number));
        number
    }

    /// The points each side runs through, in order.
    fn chains(&self, sides: &[Side]) -> Vec<Vec<u32>> {
        let mut by_x: Vec<(f64, u32)> =
            self.points.iter().enumerate().map(|(i, p)| (p.x, i as u32)).collect();
        by_x.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        sides
            .iter()
            .enumerate()
            .map(|(number, side)| {
                if let Of::Ring(_) = side.of {
                    let edge = &self.ring_sides.edges[number];
                    let between = edge.on.iter().map(|&(_, p)| p);
                    return std::iter::once(edge.from).chain(between).chain([edge.to]).collect();
                }
                self.chain(side, &by_x)
            })
            .collect()
    }

    fn chain(&self, side: &Side, by_x: &[(f64, u32)]) -> Vec<u32> {
        let (a, b) = (side.from, side.to);
        let [first, last] = side.ends;
        let (low, high) = (a.x.min(b.x) - SNAP[1], a.x.max(b.x) + SNAP[1]);
        let start = by_x.partition_point(|&(x, _)| x < low);
        let mut found: Vec<(f64, u32)> = by_x[start..]
            .iter()
            .take_while(|&&(x, _)| x <= high)
            .filter_map(|&(_, number)| {
                let p = self.points[number as usize];
                let (foot, at) = nearest_on_segment(p, a, b);
                let passed =
                    distance(p, foot) <= snap(self.sizes[number as usize]) || side.passed.contains(&number);
                (passed && number != first && number != last).then_some((at, number))
            })
            .collect();
        found.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
        let between = found.into_iter().map(|(_, number)| number);
        let mut chain: Vec<u32> = std::iter::once(first).chain(between).chain([last]).collect();
        chain.dedup();
        chain
    }

    /// Where pieces of different sides still cross, or one ends within another.
    fn meetings(
        &self,
        sides: &[Side],
        chains: &[Vec<u32>],
        rings_too: bool,
    ) -> Result<Vec<Meeting>, MeshFault> {
        let pieces: Vec<(usize, [u32; 2])> = chains
            .iter()
            .enumerate()
            .flat_map(|(side, chain)| chain.windows(2).map(move |ends| (side, [ends[0], ends[1]])))
            .collect();
        let segments: Vec<[Point; 2]> =
            pieces.iter().map(|(_, ends)| ends.map(|end| self.points[end as usize])).collect();
        let mut meetings = Vec::new();
        let mut walls_meet = None;
        BoxTree::new(&segments).near_pairs(TOUCH_TO_SNAP * SNAP[1], |i, j| {
            let ((s, [a, b]), (t, [c, d])) = (pieces[i], pieces[j]);
            let on_rings = [s, t].map(|side| matches!(sides[side].of, Of::Ring(_)));
            let both = on_rings == [true, true];
            if both && (!rings_too || a == d || b == c) {
                return true;
            }
            if [a.min(b), a.max(b)] == [c.min(d), c.max(d)] {
                if both {
                    walls_meet = Some(segments[i][0]);
                }
                return true;
            }
            if !both {
                for (point, other, ends, ring) in [
                    (a, t, j, on_rings[1]),
                    (b, t, j, on_rings[1]),
                    (c, s, i, on_rings[0]),
                    (d, s, i, on_rings[0]),
                ] {
                    let p = self.points[point as usize];
                    let [from, to] = segments[ends];
                    let near = TOUCH_TO_SNAP * snap(self.sizes[point as usize]);
                    let inside = !pieces[ends].1.contains(&point);
                    if inside && !ring && distance(p, nearest_on_segment(p, from, to).0) <= near {
                        meetings.push(Meeting { at: p, sides: [other, other], point: Some(point) });
                        return true;
                    }
                }
            }
            if a == c || a == d || b == c || b == d {
                return true;
            }
            if let Some(at) = crossing(segments[i], segments[j]) {
                if both {
                    walls_meet = Some(at);
                    return false;
                }
                meetings.push(Meeting { at, sides: [s, t], point: None });
            }
            true
        });
        match walls_meet {
            Some(at) => Err(MeshFault::WallsMeet { at }),
            None => Ok(meetings),
        }
    }

    /// Whether no line or zone of a meeting is bent too far if it passes the points nearby instead: each time it is bent to one it may meet
    /// others farther off.
    fn stays_near(&self, meeting: &Meeting, sides: &[Side], near: f64) -> bool {
        let lines = meeting.sides.into_iter().map(|side| &sides[side]);
        let mut lines = lines.filter(|side| !matches!(side.of, Of::Ring(_)));
        lines.all(|side| {
            let away = distance(meeting.at, nearest_on_segment(meeting.at, side.from, side.to).0);
            away <= (MOST_BENT - 1.0) * near
        })
    }

    /// Makes both sides of a meeting pass one point.
    fn settle(&mut self, meeting: &Meeting, sides: &mut [Side], joining: bool) {
        let number = meeting.point.unwrap_or_else(|| {
            let near = snap((self.size)(meeting.at));
            let joins = joining && self.stays_near(meeting, sides, near);
            let near = if joins { near } else { 0.0 };
            let ring = meeting.sides.into_iter().find(|&side| matches!(sides[side].of, Of::Ring(_)));
            match ring {
                Some(edge) => self.place_on_ring(meeting.at, edge, near),
                None => self.nearest(meeting.at, near, false).unwrap_or_else(|| self.add(meeting.at, false)),
            }
        });
        for side in meeting.sides {
            if !sides[side].passed.contains(&number) {
                sides[side].passed.push(number);
            }
        }
    }

    fn network(self, rings: usize, lines: usize, sides: &[Side], chains: &[Vec<u32>]) -> Network {
        let mut network = Network {
            points: self.points,
            sizes: self.sizes,
            pieces: BTreeMap::new(),
            rings: vec![Vec::new(); rings],
            lines: vec![Vec::new(); lines],
        };
        for (side, chain) in sides.iter().zip(chains) {
            match side.of {
                Of::Ring(ring) => network.rings[ring].extend(&chain[..chain.len() - 1]),
                Of::Line(line) => network.lines[line].clone_from(chain),
                Of::Zone(_) => {}
            }
            for ends in chain.windows(2) {
                let piece = network.pieces.entry([ends[0].min(ends[1]), ends[0].max(ends[1])]).or_default();
                match side.of {
                    // A piece run along twice has the same on both sides.
                    Of::Ring(_) => piece.wall ^= true,
                    Of::Zone(zone) => piece.zones ^= 1 << zone,
                    Of::Line(_) => {}
                }
            }
        }
        network
    }
}

/// Where two segments cross within both.
fn crossing([a, b]: [Point; 2], [c, d]: [Point; 2]) -> Option<Point> {
    let (along, other) = (b - a, d - c);
    let (left, right) = (cross(along, c - a), cross(along, d - a));
    let (before, after) = (cross(other, a - c), cross(other, b - c));
    let crossed = (left > 0.0) != (right > 0.0) && (before > 0.0) != (after > 0.0);
    (crossed && before != after).then(|| a + along * (before / (before - after)))
}
