//! The worst push on wood that several stretches carry together.

use crate::{section::Stretch, shape::plane::Point};

use super::{
    finding::{Case, PushKind},
    frame::{Chain, Frame, add},
    groups::{Groups, Nodes},
    judge::{Judged, On, Search},
    load::{FaceLoad, Loads, SideLoad, Spread, Wrench, face_spreads, side_spreads},
    network::Network,
};

/// All weak places are taken out at once; the biggest thing that remains is held, all else is loaded, and every
/// slender stretch outside it gives. Of several things that are nearly as big, each is held in turn.
pub(super) fn judge_carried(network: &Network, stretches: &[Stretch], judged: &mut [Judged]) {
    let groups = Groups::new(network, stretches);
    let shared: Vec<On> = (0..groups.count).map(|group| groups.on(network, stretches, group)).collect();
    for (way, nodes) in groups.ways_to_hold(network).into_iter().enumerate() {
        let active = active(network, stretches, &nodes);
        if active.iter().all(|&(s, _)| !stretches[s].crosses) {
            continue;
        }
        let chains: Vec<Chain> = active.iter().map(|&(s, _)| judged[s].chain.clone()).collect();
        let ends: Vec<[usize; 2]> = active.iter().map(|&(_, ends)| ends).collect();
        let carried = Carried {
            frame: Frame::new(&chains, &ends, nodes.count, nodes.held),
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

/// The stretches that give, each with what it joins.
pub(super) fn active(network: &Network, stretches: &[Stretch], nodes: &Nodes) -> Vec<(usize, [usize; 2])> {
    let joined = (0..stretches.len()).filter_map(|s| nodes.ends(network, s).map(|ends| (s, ends)));
    joined.filter(|(_, ends)| ends[0] != ends[1]).collect()
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
        for (c, (chain, &(s, _))) in self.chains.iter().zip(self.active).enumerate() {
            let worst = judged[s].worst;
            let mut search = Search { chain, worst, case: Case::Carried, way: self.way, on: On::Own };
            for (node, loads) in self.loads.iter().enumerate().filter(|(node, _)| *node != self.held) {
                search.on = self.on[node];
                for load in &loads.faces {
                    search.face(load, self.frame.wrench(PushKind::Face, c, node, load.wrench()));
                }
                for load in &loads.sides {
                    search.side(load, self.frame.wrench(PushKind::Side, c, node, load.wrench()));
                }
            }
            for (_, push) in passed.iter().filter(|(from, _)| *from != c) {
                let mut wrench = [0.0; 3];
                for &(node, load) in &push.ends {
                    add(&mut wrench, self.frame.wrench(push.kind, c, node, load));
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
                    add(&mut base, self.frame.wrench(push.kind, c, node, load));
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
                let [at_start, at_finish] = chain.passed_on(kind, &spread);
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
