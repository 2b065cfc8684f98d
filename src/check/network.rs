//! How stretches and the wood between them hang together.

use crate::{
    section::{Station, Stretch, StretchEnd},
    shape::plane::Point,
    skeleton::{Mesh, NONE, Skeleton, Walls},
};

use super::{
    load::{Loads, SideLoad, WALL_LENGTH},
    region::{Arc, Region},
};

/// The piece taken apart: the wood between stretches, and where each stretch ends.
#[derive(Clone, Debug)]
pub(super) struct Network {
    pub(super) parts: Vec<Part>,
    /// The parts at the start and the finish of each stretch; none at a tip.
    pub(super) ties: Vec<[Option<usize>; 2]>,
    /// The stretches that end at each part.
    pub(super) at: Vec<Vec<usize>>,
    /// Area of each stretch, in mm².
    pub(super) areas: Vec<f64>,
    /// Loads on each stretch while it stays whole.
    pub(super) loads: Vec<Loads>,
    /// Side pushes round the tips of each stretch.
    pub(super) tips: Vec<Vec<SideLoad>>,
    /// Where each triangle of the skeleton's mesh lies.
    pub(super) lies: Vec<Lies>,
}

/// Where wood lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lies {
    /// In a part between stretches.
    Part(usize),
    /// In a stretch itself.
    Stretch(usize),
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
        let mesh = skeleton.mesh();
        let components = Components::new(skeleton, stretches);
        let walls = mesh.walls();
        let parts: Vec<Part> = components
            .regions(mesh, stretches)
            .iter()
            .zip(&components.areas)
            .map(|(region, &area)| Part {
                area,
                at_the_rim: region.arcs.iter().any(|arc| arc.ring == 0),
                lowest: region.lowest(walls),
                loads: Loads {
                    faces: super::load::outermost_faces(&region.face_loads(walls)),
                    sides: super::load::outermost_sides(&region.side_loads(walls)),
                },
            })
            .collect();
        let tips: Vec<Vec<SideLoad>> = stretches.iter().map(|stretch| tip_loads(walls, stretch)).collect();
        let on_stretch =
            |(stretch, tips): (&Stretch, &Vec<SideLoad>)| Loads::on_stretch(&stretch.stations, tips);
        let loads = stretches.iter().zip(&tips).map(on_stretch).collect();
        let Components { own_areas: areas, ties, lies, .. } = components;
        let mut at = vec![Vec::new(); parts.len()];
        for (s, ties) in ties.iter().enumerate() {
            ties.iter().flatten().for_each(|&part: &usize| at[part].push(s));
        }
        Self { parts, ties, at, areas, loads, tips, lies }
    }
}

/// Pushes on the walls round the tips of a stretch, from where it has its full width on. A pointed tip has no wall
/// long enough to be pushed on; its very end is chipped off, which grain lines tell.
fn tip_loads(walls: &Walls, stretch: &Stretch) -> Vec<SideLoad> {
    let full = |station: &&Station| stretch.full.contains(&station.along);
    // The wood lies left of the ring: it comes to a finish on the right wall, to a start on the left.
    let finish = stretch.stations.iter().rfind(full).map(|station| [station.square[1], station.square[0]]);
    let start = stretch.stations.iter().find(full).map(|station| station.square);
    let mut loads = Vec::new();
    for (end, wall) in stretch.ends.iter().zip([start, finish]) {
        let Some([from, to]) = wall.filter(|_| *end == StretchEnd::Tip) else { continue };
        let ring = walls.ring_of(from.edge);
        if ring == walls.ring_of(to.edge) {
            let length = (to.arc - from.arc).rem_euclid(walls.ring_length(ring));
            let region = Region { arcs: vec![Arc { ring, from: from.arc, length }], chords: Vec::new() };
            loads.extend(region.side_loads_on(walls, WALL_LENGTH / 2.0));
        }
    }
    loads
}

/// Triangles sorted into what lies between stretches.
struct Components {
    /// The part of each triangle; none for a stretch's own.
    of: Vec<Option<usize>>,
    count: usize,
    /// Area of each part, and of each stretch's own triangles, in mm².
    areas: Vec<f64>,
    own_areas: Vec<f64>,
    ties: Vec<[Option<usize>; 2]>,
    lies: Vec<Lies>,
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
        let mut own = vec![None; count];
        for (k, (stretch, (first, last))) in stretches.iter().zip(&seeds).enumerate() {
            if stretch.links.len() > 1 || stretch.ends[1] == StretchEnd::Tip {
                own[of[first[1]].expect("every triangle is in a component")] = Some(k);
            } else if stretch.ends[0] == StretchEnd::Tip {
                own[of[last[0]].expect("every triangle is in a component")] = Some(k);
            }
        }
        let mut number = vec![None; count];
        let mut parts = 0;
        for (component, number) in number.iter_mut().enumerate() {
            if own[component].is_none() {
                *number = Some(parts);
                parts += 1;
            }
        }
        let (mut areas, mut own_areas) = (vec![0.0; parts], vec![0.0; stretches.len()]);
        for (t, component) in of.iter().enumerate() {
            let component = component.expect("every triangle is in a component");
            if let Some(part) = number[component] {
                areas[part] += mesh.area(t);
            } else if let Some(stretch) = own[component] {
                own_areas[stretch] += mesh.area(t);
            }
        }
        let lies = |component: &Option<usize>| {
            let component = component.expect("every triangle is in a component");
            let stretch = || Lies::Stretch(own[component].expect("what is no part is a stretch's own"));
            number[component].map_or_else(stretch, Lies::Part)
        };
        let lies: Vec<Lies> = of.iter().map(lies).collect();
        let of: Vec<Option<usize>> = of.into_iter().map(|c| c.and_then(|c| number[c])).collect();
        let ties = stretches
            .iter()
            .zip(&seeds)
            .map(|(stretch, (first, last))| {
                let part = |end: StretchEnd, t: usize| if end == StretchEnd::Tip { None } else { of[t] };
                [part(stretch.ends[0], first[0]), part(stretch.ends[1], last[1])]
            })
            .collect();
        Self { of, count: parts, areas, own_areas, ties, lies }
    }

    /// The outline of each part: its walls, and the sections where stretches leave it.
    fn regions(&self, mesh: &Mesh, stretches: &[Stretch]) -> Vec<Region> {
        let walls = mesh.walls();
        let mut regions = vec![Region::default(); self.count];
        let mut cuts: Vec<Cut> = Vec::new();
        for (stretch, ties) in stretches.iter().zip(&self.ties) {
            let (start, finish) = (&stretch.stations[0], &stretch.stations[stretch.stations.len() - 1]);
            // The part lies to the left of its chords.
            let chords = [[start.square[1], start.square[0]], [finish.square[0], finish.square[1]]];
            for (chord, part) in chords.into_iter().zip(ties) {
                let Some(part) = *part else { continue };
                regions[part].chords.push(chord.map(|wall| wall.at));
                cuts.extend(chord.into_iter().zip([true, false]).map(|(wall, ends_wall)| Cut {
                    part,
                    ring: walls.ring_of(wall.edge),
                    at: wall.arc,
                    ends_wall,
                }));
            }
        }
        for ring in 0..walls.rings() {
            for (part, arc) in self.arcs(mesh, ring) {
                regions[part].arcs.push(snapped(part, arc, &cuts, walls.ring_length(ring)));
            }
        }
        regions.iter_mut().for_each(|region| region.close(walls));
        regions
    }

    /// The part a wall edge belongs to.
    fn part_of_wall(&self, mesh: &Mesh, edge: usize) -> Option<usize> {
        let triangle = mesh.on_wall(edge);
        if triangle == NONE { None } else { self.of[triangle as usize] }
    }

    /// A ring cut into stretches of wall that belong to one part each.
    fn arcs(&self, mesh: &Mesh, ring: usize) -> Vec<(usize, Arc)> {
        let walls = mesh.walls();
        let edges = walls.ring(ring);
        let start =
            edges.clone().find(|&i| self.part_of_wall(mesh, i) != self.part_of_wall(mesh, walls.previous(i)));
        let Some(start) = start else {
            let whole = Arc { ring, from: 0.0, length: walls.ring_length(ring) };
            return self.part_of_wall(mesh, edges.start).map(|part| (part, whole)).into_iter().collect();
        };
        let mut arcs = Vec::new();
        let mut from = start;
        loop {
            let part = self.part_of_wall(mesh, from);
            let mut to = walls.next(from);
            while to != start && self.part_of_wall(mesh, to) == part {
                to = walls.next(to);
            }
            if let Some(part) = part {
                let length = (walls.arc(to) - walls.arc(from)).rem_euclid(walls.ring_length(ring));
                arcs.push((part, Arc { ring, from: walls.arc(from), length }));
            }
            if to == start {
                return arcs;
            }
            from = to;
        }
    }
}

/// Where a section at the end of a stretch meets a wall of the part beyond it.
struct Cut {
    part: usize,
    ring: usize,
    /// Length along the ring.
    at: f64,
    /// Whether the part's wall ends there, seen in the ring's direction, or begins.
    ends_wall: bool,
}

/// An arc of a part whose ends are moved to the part's own sections next to them: the mesh has its edges only near there.
fn snapped(part: usize, arc: Arc, cuts: &[Cut], length: f64) -> Arc {
    if arc.length >= length {
        return arc;
    }
    let near = |at: f64, ends_wall: bool| {
        let away = |cut: &Cut| (cut.at - at + length / 2.0).rem_euclid(length) - length / 2.0;
        let same =
            cuts.iter().filter(|cut| (cut.part, cut.ring, cut.ends_wall) == (part, arc.ring, ends_wall));
        same.map(away).min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0)
    };
    let (start, end) = (near(arc.from, false), near(arc.from + arc.length, true));
    let moved = arc.length + end - start;
    if moved <= 0.0 { arc } else { Arc { from: arc.from + start, length: moved, ..arc } }
}

#[cfg(test)]
mod tests {
    use geo::{Distance, Euclidean};

    use super::*;
    use crate::{
        check::load::{FaceLoad, PAD_RADIUS},
        letter::{Form, Wanted, letter, own_font},
        section::{Crossing, stretches},
        skeleton::Pruning,
        units::{Angle, Length},
    };

    /// Walls and sections of a part run round it, as near as its mesh allows: a pad set on it stays on it.
    #[test]
    fn pads_on_parts_of_letters_lie_on_the_letters() {
        let wanted = Wanted {
            text: "ABCDEFGHJKLMNOPQRSTUVWXYZ0123456789&abdegkqsxyz".to_owned(),
            height: Length::mm(50.0),
            spacing: Length::mm(0.0),
            form: Form::Cutout,
        };
        let mut off = Vec::new();
        for (name, shape) in letter(&own_font(), &wanted).expect("letters").pieces {
            let skeleton = Skeleton::new(&shape, &Pruning::default()).expect("a skeleton");
            for grain in [0.0, 30.0, 45.0, 90.0, 135.0] {
                let crossing = Crossing { beyond: Angle::deg(45.0), hysteresis: Angle::deg(8.0) };
                let stretches = stretches(&skeleton, Angle::deg(grain), &crossing);
                for part in Network::new(&skeleton, &stretches).parts {
                    // About a notch the middle of a pad's wood may lie in the open.
                    let away =
                        |load: &FaceLoad| Euclidean.distance(&geo_types::Point(load.at), shape.polygon());
                    let beside = |load: &&FaceLoad| away(load) > PAD_RADIUS / 5.0;
                    off.extend(
                        part.loads
                            .faces
                            .iter()
                            .filter(beside)
                            .map(|load| (name.clone(), grain, load.at, away(load))),
                    );
                }
            }
        }
        assert!(off.is_empty(), "{off:?}");
    }
}
