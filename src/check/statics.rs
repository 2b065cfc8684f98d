//! The closed form's statics asked of one push, wherever on the wood it acts.

use std::collections::BTreeMap;

use crate::{
    section::{Station, Stretch},
    shape::plane::{Point, distance, dot, left},
    skeleton::Skeleton,
};

use super::{
    Case, PushKind,
    carried::active,
    frame::{Chain, Frame, add},
    groups::{Groups, Nodes},
    judge::{Judged, Role},
    load::{Spread, Wrench, face_spread, face_wrench, side_spread, side_wrench},
    network::{Lies, Network},
};

/// A push of 1 N, and what is held meanwhile.
#[derive(Clone, Copy, Debug)]
pub(super) struct AskedPush {
    pub(super) kind: PushKind,
    /// Where its resultant acts, and of a pad its centre.
    pub(super) at: Point,
    pub(super) centre: Option<Point>,
    /// Of a side push its direction.
    pub(super) push: Option<Point>,
    pub(super) case: Case,
    /// In the carried case: which of the ways to hold the piece.
    pub(super) way: usize,
}

impl AskedPush {
    fn wrench(&self) -> Wrench {
        self.push.map_or_else(|| face_wrench(self.at, 1.0), |push| side_wrench(self.at, push))
    }

    /// As a push on a stretch, spread as a pad or a bit spreads it; beyond its ends, or on one too short for that, at a point.
    fn on(&self, stations: &[Station]) -> Spread {
        let at = self.centre.unwrap_or(self.at);
        let away = |station: &Station| distance(station.at, at);
        let nearest = stations.iter().min_by(|a, b| away(a).total_cmp(&away(b)));
        let nearest = nearest.expect("a stretch has stations");
        let [ahead, offset] = [nearest.run, left(nearest.run)].map(|way| dot(at - nearest.at, way));
        let along = (nearest.along + ahead).clamp(0.0, stations[stations.len() - 1].along);
        let spread = match self.push {
            _ if along != nearest.along + ahead => None,
            None => face_spread(stations, along, offset),
            Some(_) => side_spread(stations, along, usize::from(offset < 0.0)),
        };
        let strips = vec![(along, self.wrench())];
        spread.unwrap_or(Spread { strips, at: self.at, push: self.push, area: 0.0 })
    }
}

/// A piece as beams between rigid parts.
pub(super) struct Statics<'a> {
    network: &'a Network,
    skeleton: &'a Skeleton,
    stretches: &'a [Stretch],
    judged: &'a [Judged],
    /// With all weak places taken out, by the way in which it is held.
    frames: BTreeMap<usize, Option<Framed>>,
}

/// What moves when a piece is held in one way.
struct Framed {
    nodes: Nodes,
    active: Vec<(usize, [usize; 2])>,
    frame: Frame,
}

impl<'a> Statics<'a> {
    pub(super) const fn new(
        network: &'a Network,
        skeleton: &'a Skeleton,
        stretches: &'a [Stretch],
        judged: &'a [Judged],
    ) -> Self {
        Self { network, skeleton, stretches, judged, frames: BTreeMap::new() }
    }

    /// What crosses stretch `s` at a length along it, from its start to its finish; nothing where the push does not reach it, or it is not
    /// told which end is held.
    pub(super) fn wrench(&mut self, s: usize, along: f64, asked: &AskedPush) -> Option<Wrench> {
        match (asked.case, self.judged[s].role) {
            (Case::Carried, _) => self.carried(s, along, asked),
            (Case::Place, Role::Bridge) => {
                let spread = asked.on(&self.stretches[s].stations);
                let base = self.judged[s].chain.held_at_both_ends(asked.kind, &spread);
                Some(beyond(&spread, along, base))
            }
            (Case::Place, Role::Arm { outward, either: false }) => {
                let spread = asked.on(&self.stretches[s].stations);
                let base = if outward { [0.0; 3] } else { spread.total().map(|part| -part) };
                Some(beyond(&spread, along, base)).filter(|wrench| *wrench != [0.0; 3])
            }
            (Case::Place, Role::Arm { .. } | Role::Whole) => None,
        }
    }

    fn carried(&mut self, s: usize, along: f64, asked: &AskedPush) -> Option<Wrench> {
        let Self { network, stretches, judged, .. } = *self;
        let Framed { nodes, active, frame } = self
            .frames
            .entry(asked.way)
            .or_insert_with(|| Framed::new(network, stretches, judged, asked.way))
            .as_ref()?;
        let chain_of = |s: usize| active.iter().position(|(of, _)| *of == s);
        let own = chain_of(s)?;
        let on_part = |part: usize| frame.wrench(asked.kind, own, nodes.of[part], asked.wrench());
        let triangle = self.skeleton.mesh().locate(asked.at, stretches[s].stations[0].triangle);
        let on = match network.lies[triangle] {
            Lies::Part(part) => return Some(on_part(part)),
            Lies::Stretch(on) => on,
        };
        // What hangs on one part moves with it, and so does what joins parts that move as one.
        let Some(chain) = chain_of(on) else {
            return network.ties[on].into_iter().flatten().next().map(on_part);
        };
        let spread = asked.on(&stretches[on].stations);
        let passed = judged[on].chain.passed_on(asked.kind, &spread);
        let base = passed[1].map(|part| -part);
        let mut wrench = if on == s { beyond(&spread, along, base) } else { [0.0; 3] };
        for (node, load) in active[chain].1.into_iter().zip(passed) {
            add(&mut wrench, frame.wrench(asked.kind, own, node, load));
        }
        Some(wrench)
    }
}

impl Framed {
    /// Nothing where there is no such way.
    fn new(network: &Network, stretches: &[Stretch], judged: &[Judged], way: usize) -> Option<Self> {
        let nodes = Groups::new(network, stretches).ways_to_hold(network).into_iter().nth(way)?;
        let active = active(network, stretches, &nodes);
        let chains: Vec<Chain> = active.iter().map(|&(s, _)| judged[s].chain.clone()).collect();
        let ends: Vec<[usize; 2]> = active.iter().map(|&(_, ends)| ends).collect();
        let frame = Frame::new(&chains, &ends, nodes.count, nodes.held);
        Some(Self { nodes, active, frame })
    }
}

/// What crosses at a length along a stretch, where `base` crosses its finish.
fn beyond(spread: &Spread, along: f64, mut base: Wrench) -> Wrench {
    let strips = spread.strips.iter().filter(|(at, _)| *at > along);
    strips.for_each(|(_, wrench)| add(&mut base, *wrench));
    base
}
