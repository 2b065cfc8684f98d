//! How stretches and the wood between them hang together.

use crate::{
    section::{Stretch, StretchEnd},
    shape::plane::Point,
    skeleton::{NONE, Skeleton},
};

use super::{
    load::Loads,
    region::{Arc, Region},
};

/// The piece taken apart: the wood between stretches, and where each stretch ends.
#[derive(Clone, Debug)]
pub(super) struct Network {
    pub(super) parts: Vec<Part>,
    /// The parts at the start and the finish of each stretch; none at a tip.
    pub(super) ties: Vec<[Option<usize>; 2]>,
    /// Area of each stretch, in mm².
    pub(super) areas: Vec<f64>,
    /// Loads on each stretch while it stays whole.
    pub(super) loads: Vec<Loads>,
}

/// Wood between stretches.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) area: f64,
    /// Whether some of the piece's outer outline belongs to it.
    pub(super) at_the_rim: bool,
    /// Its point lowest in x, then y.
    pub(super) lowest: Point,
    pub(super) loads: Loads,
}

impl Network {
    pub(super) fn new(skeleton: &Skeleton, stretches: &[Stretch]) -> Self {
        let components = Components::new(skeleton, stretches);
        let regions = components.regions(skeleton, stretches);
        let walls = skeleton.mesh().walls();
        let parts = regions
            .iter()
            .map(|region| Part {
                area: region.area(walls),
                at_the_rim: region.arcs.iter().any(|arc| arc.ring == 0),
                lowest: region.lowest(walls),
                loads: Loads {
                    faces: super::load::outermost_faces(&region.face_loads(walls)),
                    sides: super::load::outermost_sides(&region.side_loads(walls)),
                },
            })
            .collect();
        let areas = stretches
            .iter()
            .map(|stretch| {
                let pairs = stretch.stations.windows(2);
                pairs.map(|p| 0.5 * (p[0].width + p[1].width) * (p[1].along - p[0].along)).sum()
            })
            .collect();
        let loads = stretches.iter().map(|stretch| Loads::on_stretch(&stretch.stations)).collect();
        Self { parts, ties: components.ties, areas, loads }
    }
}

/// Triangles sorted into what lies between stretches.
struct Components {
    /// The part of each triangle; none for a stretch's own.
    of: Vec<Option<usize>>,
    count: usize,
    ties: Vec<[Option<usize>; 2]>,
}

impl Components {
    fn new(skeleton: &Skeleton, stretches: &[Stretch]) -> Self {
        let mesh = skeleton.mesh();
        // Each stretch is fenced off at its ends that are not tips.
        let mut fences: std::collections::BTreeSet<[usize; 2]> = std::collections::BTreeSet::new();
        let mut seeds = Vec::new();
        for stretch in stretches {
            let links = &skeleton.branches()[stretch.branch].links;
            let first = links[stretch.links[0]].between;
            let last = links[stretch.links[stretch.links.len() - 1]].between;
            let fence = |[a, b]: [usize; 2]| [a.min(b), a.max(b)];
            if stretch.ends[0] != StretchEnd::Tip {
                fences.insert(fence(first));
            }
            if stretch.ends[1] != StretchEnd::Tip {
                fences.insert(fence(last));
            }
            seeds.push((first, last));
        }
        let mut of = vec![None; mesh.len()];
        let mut count = 0;
        for seed in 0..mesh.len() {
            if of[seed].is_some() {
                continue;
            }
            of[seed] = Some(count);
            let mut stack = vec![seed];
            while let Some(t) = stack.pop() {
                for other in mesh.beyond(t).into_iter().filter(|&other| other != NONE) {
                    let other = other as usize;
                    if of[other].is_none() && !fences.contains(&[t.min(other), t.max(other)]) {
                        of[other] = Some(count);
                        stack.push(other);
                    }
                }
            }
            count += 1;
        }
        // A stretch's own triangles are no part; one with a single link has none.
        let mut own = vec![false; count];
        for (stretch, (first, last)) in stretches.iter().zip(&seeds) {
            if stretch.links.len() > 1 || stretch.ends[1] == StretchEnd::Tip {
                own[of[first[1]].expect("every triangle is in a component")] = true;
            } else if stretch.ends[0] == StretchEnd::Tip {
                own[of[last[0]].expect("every triangle is in a component")] = true;
            }
        }
        let mut number = vec![None; count];
        let mut parts = 0;
        for (component, number) in number.iter_mut().enumerate() {
            if !own[component] {
                *number = Some(parts);
                parts += 1;
            }
        }
        let of: Vec<Option<usize>> = of.into_iter().map(|c| c.and_then(|c| number[c])).collect();
        let ties = stretches
            .iter()
            .zip(&seeds)
            .map(|(stretch, (first, last))| {
                let part = |end: StretchEnd, t: usize| if end == StretchEnd::Tip { None } else { of[t] };
                [part(stretch.ends[0], first[0]), part(stretch.ends[1], last[1])]
            })
            .collect();
        Self { of, count: parts, ties }
    }

    /// The exact outline of each part: walls from cut to cut, and the cuts.
    fn regions(&self, skeleton: &Skeleton, stretches: &[Stretch]) -> Vec<Region> {
        let mesh = skeleton.mesh();
        let walls = mesh.walls();
        let mut regions = vec![Region::default(); self.count];
        // Walls that belong to a stretch, as from → to along the ring.
        let mut taken: Vec<Vec<(f64, f64)>> = vec![Vec::new(); walls.rings()];
        for (stretch, ties) in stretches.iter().zip(&self.ties) {
            let (start, finish) = (&stretch.stations[0], &stretch.stations[stretch.stations.len() - 1]);
            // The wood lies left of the ring, so the ring runs with the run on its right wall.
            let mut take = |from: crate::skeleton::WallPoint, to: crate::skeleton::WallPoint| {
                let ring = walls.ring_of(from.edge);
                if ring == walls.ring_of(to.edge) {
                    taken[ring].push((from.arc, to.arc));
                }
            };
            match (stretch.ends[0] == StretchEnd::Tip, stretch.ends[1] == StretchEnd::Tip) {
                (false, false) => {
                    take(start.square[1], finish.square[1]);
                    take(finish.square[0], start.square[0]);
                }
                (false, true) => take(start.square[1], start.square[0]),
                (true, false) => take(finish.square[0], finish.square[1]),
                (true, true) => {}
            }
            if let Some(part) = ties[0] {
                regions[part].chords.push([start.square[1].at, start.square[0].at]);
            }
            if let Some(part) = ties[1] {
                regions[part].chords.push([finish.square[0].at, finish.square[1].at]);
            }
        }
        for ring in 0..walls.rings() {
            let length = walls.ring_length(ring);
            for (from, gone) in free_arcs(&taken[ring], length) {
                let middle = walls.at(ring, from + gone / 2.0);
                let triangle = mesh.on_wall(middle.edge);
                if triangle != NONE
                    && let Some(part) = self.of[triangle as usize]
                {
                    regions[part].arcs.push(Arc { ring, from, length: gone });
                }
            }
        }
        regions
    }
}

/// What a ring of a length has left when some arcs, each from → to in the ring's direction, are taken out.
fn free_arcs(taken: &[(f64, f64)], length: f64) -> Vec<(f64, f64)> {
    if taken.is_empty() {
        return vec![(0.0, length)];
    }
    let mut spans: Vec<(f64, f64)> =
        taken.iter().map(|&(from, to)| (from.rem_euclid(length), (to - from).rem_euclid(length))).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = Vec::new();
    let mut covered = spans[0].0;
    for &(from, gone) in &spans {
        if from > covered + 1e-9 {
            free.push((covered, from - covered));
        }
        covered = covered.max(from + gone);
    }
    let around = spans[0].0 + length;
    if around > covered + 1e-9 {
        free.push((covered, around - covered));
    }
    free
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_of_a_ring_wraps_round() {
        assert_eq!(free_arcs(&[], 10.0), vec![(0.0, 10.0)]);
        assert_eq!(free_arcs(&[(2.0, 4.0)], 10.0), vec![(4.0, 8.0)]);
        assert_eq!(free_arcs(&[(8.0, 1.0), (3.0, 5.0)], 10.0), vec![(5.0, 3.0), (11.0, 2.0)]);
    }
}
