//! The worst push on each stretch: every place it may act, everything that may be held.

use crate::{
    section::{Station, Stretch, StretchEnd},
    shape::plane::{Point, dot},
    strength::Index,
    wood::Mechanics,
};

use super::{
    finding::{Case, Forces, PushKind},
    frame::{Chain, Frame, add},
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
const NEARLY: f64 = 0.8;
/// So many nearly equal parts are held in turn at the most.
const MOST_HELD: usize = 64;
/// On pieces with more parts than this, those that stretches along the grain join move as one.
const MOST_PARTS: usize = 240;
/// And of those only so many are held in turn.
const MOST_GROUPS_HELD: usize = 4;
/// The work of solving for many parts, in multiplications, shared among the ways to hold them.
const MOST_WORK: usize = 3_000_000_000;

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
    let role = role(network, stretches, k);
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
            let beyond = beyond(network, stretches, k, outward);
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

fn role(network: &Network, stretches: &[Stretch], k: usize) -> Role {
    match network.ties[k] {
        [None, None] => Role::Whole,
        [Some(_), None] => Role::Arm { outward: true, either: false },
        [None, Some(_)] => Role::Arm { outward: false, either: false },
        [Some(start), Some(finish)] => {
            let near = reachable(network, stretches, start, k);
            if near[finish] {
                return Role::Bridge;
            }
            let far = reachable(network, stretches, finish, k);
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
fn reachable(network: &Network, stretches: &[Stretch], from: usize, without: usize) -> Vec<bool> {
    let mut reached = vec![false; network.parts.len()];
    reached[from] = true;
    let mut stack = vec![from];
    while let Some(part) = stack.pop() {
        for (s, ties) in network.ties.iter().enumerate().take(stretches.len()) {
            let [Some(a), Some(b)] = *ties else { continue };
            if s == without || (a != part && b != part) {
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
fn beyond(network: &Network, stretches: &[Stretch], k: usize, outward: bool) -> Loads {
    let Some(first) = network.ties[k][usize::from(outward)] else { return Loads::default() };
    let parts = reachable(network, stretches, first, k);
    let on_parts =
        network.parts.iter().zip(&parts).filter(|(_, inside)| **inside).map(|(part, _)| &part.loads);
    let on_stretches = network
        .ties
        .iter()
        .enumerate()
        .filter(|(s, ties)| *s != k && ties.iter().flatten().any(|&part| parts[part]));
    Loads::together(on_parts.chain(on_stretches.map(|(s, _)| &network.loads[s])))
}

/// All weak places are taken out at once; the biggest thing that remains is held, all else is loaded, and every
/// slender stretch outside it gives. Of several things that are nearly as big, each is held in turn.
fn judge_carried(network: &Network, stretches: &[Stretch], judged: &mut [Judged]) {
    let groups = Groups::new(network, stretches);
    let shared: Vec<On> = (0..groups.count).map(|group| groups.on(network, stretches, group)).collect();
    for (way, nodes) in groups.ways_to_hold(network).into_iter().enumerate() {
        let active: Vec<(usize, [usize; 2])> = (0..stretches.len())
            .filter_map(|s| nodes.ends(network, s).map(|ends| (s, ends)))
            .filter(|(_, ends)| ends[0] != ends[1])
            .collect();
        if active.iter().all(|&(s, _)| !stretches[s].crosses) {
            continue;
        }
        let chains: Vec<Chain> = active.iter().map(|&(s, _)| judged[s].chain.clone()).collect();
        let ends: Vec<[Option<usize>; 2]> = active.iter().map(|&(_, ends)| ends.map(Some)).collect();
        let refs: Vec<&Chain> = chains.iter().collect();
        let carried = Carried {
            frame: Frame::new(&refs, &ends, nodes.count, nodes.held),
            loads: (0..nodes.count).map(|node| nodes.loads(network, node)).collect(),
            on: (0..nodes.count).map(|node| shared[groups.of[nodes.a_part(node)]]).collect(),
            held: nodes.held,
            way,
            active: &active,
            chains: &chains,
            stretches,
        };
        carried.judge(judged);
    }
}

/// The piece as chains between rigid parts.
struct Carried<'a> {
    frame: Frame,
    /// Loads on each part, and what a push there is a push on.
    loads: Vec<Loads>,
    on: Vec<On>,
    held: usize,
    /// Which of the ways to hold the piece this is.
    way: usize,
    active: &'a [(usize, [usize; 2])],
    chains: &'a [Chain],
    stretches: &'a [Stretch],
}

/// A push on a stretch as what its two ends pass on.
struct Passed {
    kind: PushKind,
    at: Point,
    push: Option<Point>,
    area: f64,
    ends: [(usize, Wrench); 2],
}

impl Carried<'_> {
    fn judge(&self, judged: &mut [Judged]) {
        let passed = self.pushes_along();
        for (c, (chain, &(s, ends))) in self.chains.iter().zip(self.active).enumerate() {
            let worst = judged[s].worst;
            let mut search = Search { chain, worst, case: Case::Carried, way: self.way, on: On::Own };
            for (node, loads) in self.loads.iter().enumerate().filter(|(node, _)| *node != self.held) {
                search.on = self.on[node];
                for load in &loads.faces {
                    search.face(load, self.frame.wrench(PushKind::Face, chain, ends, node, load.wrench()));
                }
                for load in &loads.sides {
                    search.side(load, self.frame.wrench(PushKind::Side, chain, ends, node, load.wrench()));
                }
            }
            for (_, push) in passed.iter().filter(|(from, _)| *from != c) {
                let mut wrench = [0.0; 3];
                for &(node, load) in &push.ends {
                    add(&mut wrench, self.frame.wrench(push.kind, chain, ends, node, load));
                }
                search.on = self.on[push.ends[0].0];
                match push.push {
                    None => search.face(&FaceLoad { at: push.at, area: push.area }, wrench),
                    Some(direction) => search.side(&SideLoad { at: push.at, push: direction }, wrench),
                }
            }
            search.on = On::Own;
            for (spread, push) in self.pushes_on(c) {
                let mut base = chain.held_at_both_ends(push.kind, &spread);
                for &(node, load) in &push.ends {
                    add(&mut base, self.frame.wrench(push.kind, chain, ends, node, load));
                }
                search.spread(push.kind, &spread, base);
            }
            judged[s].worst = search.worst;
        }
    }

    /// Pushes on a stretch, and what each of its ends passes on: what it would hold if it could not give.
    fn pushes_on(&self, c: usize) -> Vec<(Spread, Passed)> {
        let (chain, (s, ends)) = (&self.chains[c], self.active[c]);
        let stations = &self.stretches[s].stations;
        let both =
            [(PushKind::Face, face_spreads(stations)), (PushKind::Side, side_spreads(stations))].into_iter();
        both.flat_map(|(kind, spreads)| spreads.into_iter().map(move |spread| (kind, spread)))
            .map(|(kind, spread)| {
                let base = chain.held_at_both_ends(kind, &spread);
                let at_finish = base.map(|x| -x);
                let mut at_start = spread.total();
                add(&mut at_start, base);
                let ends = [(ends[0], at_start), (ends[1], at_finish)];
                let passed = Passed { kind, at: spread.at, push: spread.push, area: spread.area, ends };
                (spread, passed)
            })
            .collect()
    }

    /// Pushes on the stretches along the grain, which reach everything else through their ends.
    fn pushes_along(&self) -> Vec<(usize, Passed)> {
        let along = (0..self.active.len()).filter(|&c| !self.stretches[self.active[c].0].crosses);
        along.flat_map(|c| self.pushes_on(c).into_iter().map(move |(_, passed)| (c, passed))).collect()
    }
}

/// Which parts move as one, and which of them is held.
pub(super) struct Nodes {
    of: Vec<usize>,
    count: usize,
    pub(super) held: usize,
}

impl Nodes {
    /// The parts of a group held; of the rest each by itself.
    fn new(parts: usize, held: &[usize]) -> Self {
        let mut count = 1;
        let of = (0..parts)
            .map(|part| {
                if held.contains(&part) {
                    return 0;
                }
                count += 1;
                count - 1
            })
            .collect();
        Self { of, count, held: 0 }
    }

    /// What a stretch joins; nothing for a tongue.
    pub(super) fn ends(&self, network: &Network, stretch: usize) -> Option<[usize; 2]> {
        let [Some(start), Some(finish)] = network.ties[stretch] else { return None };
        Some([self.of[start], self.of[finish]])
    }

    fn a_part(&self, node: usize) -> usize {
        self.of.iter().position(|&of| of == node).expect("every node is made of parts")
    }

    /// Loads on the parts of a node and on the tongues that hang on them.
    fn loads(&self, network: &Network, node: usize) -> Loads {
        let inside = |part: &usize| self.of[*part] == node;
        let parts = network.parts.iter().enumerate().filter(|(i, _)| inside(i)).map(|(_, part)| &part.loads);
        let tongues = network.ties.iter().enumerate().filter(|(_, ties)| {
            let mut ends = ties.iter().flatten();
            matches!((ends.next(), ends.next()), (Some(part), None) if inside(part))
        });
        Loads::together(parts.chain(tongues.map(|(s, _)| &network.loads[s])))
    }
}

/// Parts that stay together when all weak places are taken out: stretches along the grain join them.
pub(super) struct Groups {
    of: Vec<usize>,
    count: usize,
    /// The biggest group, and those nearly as big.
    held: Vec<usize>,
}

impl Groups {
    pub(super) fn new(network: &Network, stretches: &[Stretch]) -> Self {
        let mut of: Vec<usize> = (0..network.parts.len()).collect();
        // Stretches along the grain hold their ends together.
        loop {
            let mut changed = false;
            for (stretch, ties) in stretches.iter().zip(&network.ties) {
                if let ([Some(a), Some(b)], false) = (*ties, stretch.crosses)
                    && of[a] != of[b]
                {
                    let (low, high) = (of[a].min(of[b]), of[a].max(of[b]));
                    of.iter_mut().filter(|g| **g == high).for_each(|g| *g = low);
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        let mut names: Vec<usize> = of.clone();
        names.sort_unstable();
        names.dedup();
        for group in &mut of {
            *group = names.binary_search(group).expect("every group has a name");
        }
        let count = names.len();
        let mut areas = vec![0.0; count];
        for (part, &group) in network.parts.iter().zip(&of) {
            areas[group] += part.area;
        }
        for (s, ties) in network.ties.iter().enumerate() {
            if let (false, Some(part)) = (stretches[s].crosses, ties.iter().flatten().next()) {
                areas[of[*part]] += network.areas[s];
            }
        }
        let biggest = areas.iter().copied().fold(0.0, f64::max);
        let mut held: Vec<usize> = (0..count).filter(|&group| areas[group] >= NEARLY * biggest).collect();
        held.sort_by(|&a, &b| areas[b].total_cmp(&areas[a]));
        held.truncate(MOST_HELD);
        Self { of, count, held }
    }

    /// What a push on a group is a push on.
    fn on(&self, network: &Network, stretches: &[Stretch], group: usize) -> On {
        let inside = |part: usize| self.of[part] == group;
        let at_the_rim =
            network.parts.iter().enumerate().any(|(part, found)| inside(part) && found.at_the_rim);
        let carriers = network.ties.iter().zip(stretches).filter(|(ties, stretch)| {
            let [Some(a), Some(b)] = **ties else { return false };
            stretch.crosses && inside(a) != inside(b)
        });
        match (carriers.count() > 1, at_the_rim) {
            (false, _) => On::Own,
            (true, true) => On::Shared,
            (true, false) => On::Island,
        }
    }

    /// Each group that may be held, every part outside it free; on pieces with very many parts the groups move
    /// as one.
    pub(super) fn ways_to_hold(&self, network: &Network) -> Vec<Nodes> {
        let parts = network.parts.len();
        if parts > MOST_PARTS {
            let whole = |&held: &usize| Nodes { of: self.of.clone(), count: self.count, held };
            return self.held.iter().take(MOST_GROUPS_HELD).map(whole).collect();
        }
        let most = (MOST_WORK / (3 * parts.max(1)).pow(3)).max(1);
        let inside = |group: usize| (0..parts).filter(|&part| self.of[part] == group).collect::<Vec<_>>();
        self.held.iter().take(most).map(|&group| Nodes::new(parts, &inside(group))).collect()
    }
}

/// Looks for the worst section under one push after another.
struct Search<'a> {
    chain: &'a Chain,
    worst: [Option<Worst>; 2],
    case: Case,
    way: usize,
    on: On,
}

impl Search<'_> {
    fn face(&mut self, load: &FaceLoad, wrench: Wrench) {
        if self.is_beaten(PushKind::Face, self.chain.bound(PushKind::Face, wrench)) {
            return;
        }
        for joint in 0..self.chain.stations.len() {
            self.joint(PushKind::Face, joint, wrench, load.at, None, load.area);
        }
    }

    fn side(&mut self, load: &SideLoad, wrench: Wrench) {
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
    fn spread(&mut self, kind: PushKind, spread: &Spread, base: Wrench) {
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
