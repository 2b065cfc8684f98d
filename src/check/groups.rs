//! What moves as one when all weak places are taken out, and what of it may be held.

use crate::section::Stretch;

use super::{
    judge::{NEARLY, On},
    load::Loads,
    network::Network,
};

/// So many nearly equal parts are held in turn at the most.
const MOST_HELD: usize = 64;
/// On pieces with more parts than this, those that stretches along the grain join move as one.
const MOST_PARTS: usize = 240;
/// And of those only so many are held in turn.
const MOST_GROUPS_HELD: usize = 4;
/// The work of solving for many parts, in multiplications, shared among the ways to hold them.
const MOST_WORK: usize = 3_000_000_000;

/// Which parts move as one, and which of them is held.
pub(super) struct Nodes {
    pub(super) of: Vec<usize>,
    pub(super) count: usize,
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

    pub(super) fn a_part(&self, node: usize) -> usize {
        self.of.iter().position(|&of| of == node).expect("every node is made of parts")
    }

    /// Loads on the parts of a node and on the tongues that hang on them.
    pub(super) fn loads(&self, network: &Network, node: usize) -> Loads {
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
    pub(super) of: Vec<usize>,
    pub(super) count: usize,
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
    pub(super) fn on(&self, network: &Network, stretches: &[Stretch], group: usize) -> On {
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
