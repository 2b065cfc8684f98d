//! The worst push on each stretch: every place it may act, everything that may be held.

use crate::{
    section::{Station, Stretch, StretchEnd},
    shape::plane::{Point, dot},
    strength::Index,
    wood::Mechanics,
};

use super::{
    carried::judge_carried,
    finding::{Case, Forces, PushKind},
    frame::{Chain, add},
    load::{FaceLoad, Loads, SideLoad, Spread, Wrench, face_spreads, side_spreads},
    network::Network,
};

/// The worst push of one kind on one stretch, with all that led to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Worst {
    /// Index of a push of 1 N.
    pub(super) index: Index,
    pub(super) forces: Forces,
    /// The section that breaks.
    pub(super) joint: usize,
    /// Where the push acts.
    pub(super) at: Point,
    /// For a side push its direction.
    pub(super) push: Option<Point>,
    /// For a face push the pad's area on the wood.
    pub(super) area: f64,
    pub(super) case: Case,
    /// In the carried case: which of the ways to hold the piece it is worst in.
    pub(super) way: usize,
    /// What the push acts on.
    pub(super) on: On,
}

/// What a push acts on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum On {
    /// The stretch itself, or what hangs on it alone.
    Own,
    /// Wood that several places carry together.
    Shared,
    /// The same, all round it openings.
    Island,
}

/// What a stretch is to the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// Something hangs on it; `outward` when that is at its finish. Where both sides weigh nearly the
    /// same, either may be the one that is held: `either`.
    Arm { outward: bool, either: bool },
    /// Nothing comes loose with it.
    Bridge,
    /// It is the whole piece.
    Whole,
}

/// The verdict on one stretch.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub(super) role: Role,
    /// Face and side; nothing where no push can act.
    pub(super) worst: [Option<Worst>; 2],
    /// The sections judged: all of the stretch, or half of it where the other half is held.
    pub(super) stations: Vec<Station>,
    /// The same as a beam.
    pub(super) chain: Chain,
}

/// A part at least this much of the biggest is nearly as big: either may be the one that is held.
pub(super) const NEARLY: f64 = 0.8;

pub(super) fn judge(
    network: &Network,
    stretches: &[Stretch],
    thickness: f64,
    wood: &Mechanics,
) -> Vec<Judged> {
    let mut judged: Vec<Judged> =
        (0..stretches.len()).map(|k| judge_alone(network, stretches, k, thickness, wood)).collect();
    judge_carried(network, stretches, &mut judged);
    judged
}

/// The stretch alone is taken out; what remains is held (its biggest part, if it falls in two).
fn judge_alone(
    network: &Network,
    stretches: &[Stretch],
    k: usize,
    thickness: f64,
    wood: &Mechanics,
) -> Judged {
    let stretch = &stretches[k];
    let role = role(network, k);
    let (stations, tips) = match role {
        Role::Whole => (half(stretch), [false, true]),
        _ => (stretch.stations.clone(), stretch.ends.map(|end| end == StretchEnd::Tip)),
    };
    let chain = Chain::new(&stations, tips, thickness, wood);
    let mut search = Search { chain: &chain, worst: [None, None], case: Case::Place, way: 0, on: On::Own };
    let spreads = [(PushKind::Face, face_spreads(&stations)), (PushKind::Side, side_spreads(&stations))];
    // Held at the start, at the finish, or at both.
    let ways: &[[bool; 2]] = match role {
        Role::Whole | Role::Arm { outward: true, either: false } => &[[true, false]],
        Role::Arm { outward: false, either: false } => &[[false, true]],
        Role::Arm { either: true, .. } => &[[true, false], [false, true]],
        Role::Bridge => &[[true, true]],
    };
    for held in ways {
        for (kind, spreads) in &spreads {
            for spread in spreads {
                let base = match held {
                    [true, true] => chain.held_at_both_ends(*kind, spread),
                    [true, false] => [0.0; 3],
                    _ => spread.total().map(|x| -x),
                };
                search.spread(*kind, spread, base);
            }
        }
        if *held != [true, true] {
            let outward = held[0];
            let beyond = beyond(network, k, outward);
            let sign = if outward { 1.0 } else { -1.0 };
            for load in &beyond.faces {
                search.face(load, load.wrench().map(|x| sign * x));
            }
            for load in &beyond.sides {
                search.side(load, load.wrench().map(|x| sign * x));
            }
            if role != Role::Whole && stretch.ends[usize::from(outward)] == StretchEnd::Tip {
                for load in &network.tips[k] {
                    search.tip(load, stretch, outward);
                }
            }
        }
    }
    let worst = search.worst;
    Judged { role, worst, stations, chain }
}

/// Half of a piece that is one single stretch: the half with the lowest x, then y, is held.
fn half(stretch: &Stretch) -> Vec<Station> {
    let stations = &stretch.stations;
    let (first, last) = (&stations[0], &stations[stations.len() - 1]);
    let middle = stations.len() / 2;
    let start_is_low = first.at.x.total_cmp(&last.at.x).then(first.at.y.total_cmp(&last.at.y)).is_lt();
    if start_is_low {
        let base = stations[middle].along;
        let mut kept = stations[middle..].to_vec();
        kept.iter_mut().for_each(|s| s.along -= base);
        return kept;
    }
    // Seen from the held end, the run goes the other way.
    let span = stations[middle].along;
    let turned = stations[..=middle].iter().rev().map(|s| {
        let mut s = *s;
        s.run = -s.run;
        s.along = span - s.along;
        s.square.swap(0, 1);
        s
    });
    turned.collect()
}

fn role(network: &Network, k: usize) -> Role {
    match network.ties[k] {
        [None, None] => Role::Whole,
        [Some(_), None] => Role::Arm { outward: true, either: false },
        [None, Some(_)] => Role::Arm { outward: false, either: false },
        [Some(start), Some(finish)] => {
            let near = reachable(network, start, k);
            if near[finish] {
                return Role::Bridge;
            }
            let far = reachable(network, finish, k);
            let (a, b) = (bulk(network, &near, k), bulk(network, &far, k));
            // Ties go to the lowest x, then y.
            let near_is_held = if (a.0 - b.0).abs() <= 1e-6 * (a.0 + b.0) {
                a.1.x.total_cmp(&b.1.x).then(a.1.y.total_cmp(&b.1.y)).is_le()
            } else {
                a.0 > b.0
            };
            Role::Arm { outward: near_is_held, either: a.0.min(b.0) > NEARLY * a.0.max(b.0) }
        }
    }
}

/// The parts that hang together with one when stretch `without` is taken out.
fn reachable(network: &Network, from: usize, without: usize) -> Vec<bool> {
    let mut reached = vec![false; network.parts.len()];
    reached[from] = true;
    let mut stack = vec![from];
    while let Some(part) = stack.pop() {
        for &s in &network.at[part] {
            let [Some(a), Some(b)] = network.ties[s] else { continue };
            if s == without {
                continue;
            }
            let other = if a == part { b } else { a };
            if !reached[other] {
                reached[other] = true;
                stack.push(other);
            }
        }
    }
    reached
}

/// Area of some parts with the stretches between and on them, and their lowest point.
fn bulk(network: &Network, parts: &[bool], without: usize) -> (f64, Point) {
    let mut area = 0.0;
    let mut lowest = Point { x: f64::INFINITY, y: f64::INFINITY };
    for (part, _) in network.parts.iter().zip(parts).filter(|(_, inside)| **inside) {
        area += part.area;
        let p = part.lowest;
        if p.x.total_cmp(&lowest.x).then(p.y.total_cmp(&lowest.y)).is_lt() {
            lowest = p;
        }
    }
    for (s, ties) in network.ties.iter().enumerate() {
        if s != without && ties.iter().flatten().any(|&part| parts[part]) {
            area += network.areas[s];
        }
    }
    (area, lowest)
}

/// All loads on what hangs on an arm.
fn beyond(network: &Network, k: usize, outward: bool) -> Loads {
    let Some(first) = network.ties[k][usize::from(outward)] else { return Loads::default() };
    let parts = reachable(network, first, k);
    let on_parts =
        network.parts.iter().zip(&parts).filter(|(_, inside)| **inside).map(|(part, _)| &part.loads);
    let on_stretches = network
        .ties
        .iter()
        .enumerate()
        .filter(|(s, ties)| *s != k && ties.iter().flatten().any(|&part| parts[part]));
    Loads::together(on_parts.chain(on_stretches.map(|(s, _)| &network.loads[s])))
}

/// Looks for the worst section under one push after another.
pub(super) struct Search<'a> {
    pub(super) chain: &'a Chain,
    pub(super) worst: [Option<Worst>; 2],
    pub(super) case: Case,
    pub(super) way: usize,
    pub(super) on: On,
}

impl Search<'_> {
    pub(super) fn face(&mut self, load: &FaceLoad, wrench: Wrench) {
        if self.is_beaten(PushKind::Face, self.chain.bound(PushKind::Face, wrench)) {
            return;
        }
        for joint in 0..self.chain.stations.len() {
            self.joint(PushKind::Face, joint, wrench, load.at, None, load.area);
        }
    }

    pub(super) fn side(&mut self, load: &SideLoad, wrench: Wrench) {
        if self.is_beaten(PushKind::Side, self.chain.bound(PushKind::Side, wrench)) {
            return;
        }
        for joint in 0..self.chain.stations.len() {
            self.joint(PushKind::Side, joint, wrench, load.at, Some(load.push), 0.0);
        }
    }

    /// A push on the wall round a tip crosses the sections between it and the held end, as far as they have their
    /// full width.
    fn tip(&mut self, load: &SideLoad, stretch: &Stretch, outward: bool) {
        let sign = if outward { 1.0 } else { -1.0 };
        let wrench = load.wrench().map(|x| sign * x);
        for joint in 0..self.chain.stations.len() {
            let station = &self.chain.stations[joint];
            let ahead = sign * dot(load.at - station.at, station.run);
            if stretch.full.contains(&station.along) && ahead > 0.0 {
                self.joint(PushKind::Side, joint, wrench, load.at, Some(load.push), 0.0);
            }
        }
    }

    /// Whether an index is no worse than what is known.
    #[inline]
    fn is_beaten(&self, kind: PushKind, bound: f64) -> bool {
        self.worst[kind as usize].is_some_and(|worst| bound <= worst.index.value)
    }

    /// A push on the chain itself; `base` is what crosses the finish end.
    pub(super) fn spread(&mut self, kind: PushKind, spread: &Spread, base: Wrench) {
        let mut strips = spread.strips.iter().rev().peekable();
        let mut wrench = base;
        for joint in (0..self.chain.stations.len()).rev() {
            let along = self.chain.stations[joint].along;
            while let Some((_, w)) = strips.next_if(|(at, _)| *at > along) {
                add(&mut wrench, *w);
            }
            self.joint(kind, joint, wrench, spread.at, spread.push, spread.area);
        }
    }

    #[inline]
    fn joint(
        &mut self,
        kind: PushKind,
        joint: usize,
        wrench: Wrench,
        at: Point,
        push: Option<Point>,
        area: f64,
    ) {
        let station = &self.chain.stations[joint];
        if !self.chain.judged.contains(&joint) {
            return;
        }
        let (index, forces) = match kind {
            PushKind::Face => {
                let forces = station.face_forces(wrench);
                if self.is_beaten(kind, self.chain.face_bound(joint, &forces)) {
                    return;
                }
                (station.resistance.face(&forces), Forces::Face(forces))
            }
            PushKind::Side => {
                let forces = station.side_forces(wrench);
                if self.is_beaten(kind, self.chain.side_bound(joint, &forces)) {
                    return;
                }
                (station.resistance.side(&forces), Forces::Side(forces))
            }
        };
        // A hair's margin keeps the first of equals, so that the answer does not hang on rounding.
        let worst = &mut self.worst[kind as usize];
        let beats = worst.is_none_or(|worst| index.value > worst.index.value * (1.0 + 1e-9));
        if beats && index.value.is_finite() && index.value > 0.0 {
            let (case, way, on) = (self.case, self.way, self.on);
            *worst = Some(Worst { index, forces, joint, at, push, area, case, way, on });
        }
    }
}
