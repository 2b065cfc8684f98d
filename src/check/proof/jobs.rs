//! The cases to be solved: what each holds and loads, and the planes on which it may part.

use geo::Intersects;

use crate::{
    section::{Station, Stretch},
    shape::plane::{Point, distance, dot, nearest_on_segment},
    solid::Face,
};

use super::{
    super::{Case, Place, PushKind, groups::Groups, judge::Role, places::Run, ply::Ply},
    Proof,
    planes::{self, Candidate, Drawn},
    pushes::Tried,
    site::Fence,
};

/// Where a place comes from.
#[derive(Clone, Debug)]
pub(in super::super) enum Origin {
    /// A stretch of the skeleton, by number.
    Stretch(usize),
    /// A grain line and a point of what it parts.
    Tongue([Point; 2], Point),
}

impl Origin {
    /// Of a place that only its grain lines show.
    pub(in super::super) fn of_tongue(place: &Place) -> Self {
        let away = |line: &[Point; 2]| distance(nearest_on_segment(place.at, line[0], line[1]).0, place.at);
        let lines = place.face.break_line.iter().chain(&place.side.break_line);
        let line = lines.min_by(|a, b| away(a).total_cmp(&away(b))).expect("a place parts on a line");
        Self::Tongue(*line, place.run[1])
    }
}

/// What one case leaves held, and the planes on which it may part.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Job {
    pub(super) case: Case,
    pub(super) fences: Vec<Fence>,
    /// The places asked, each with its planes.
    pub(super) asked: Vec<(usize, Vec<Candidate>)>,
    /// Points inside the loaded wood where a pad is tried too.
    pub(super) inside: Vec<Point>,
    /// Where the pushes act that are tried; everywhere when nothing is said.
    pub(super) only: Option<Vec<Spot>>,
    /// Whether the board's wood in front of its plies stands open over the planes asked, as after a first crack.
    pub(super) opened: bool,
    /// Which of the places asked bear many times their push by the closed form.
    pub(super) strong: Vec<usize>,
    /// Places of this case that it had to be cut without.
    pub(super) left: Vec<usize>,
    /// How often its places were parted in halves.
    pub(super) halved: usize,
    /// In the carried case: which of the ways to hold the piece this is.
    pub(super) way: usize,
}

/// A case that is too big for one mesh is parted so often at the most: into four of a quarter of its places. Our own rule.
const MOST_HALVED: usize = 2;

/// A kind of push, from one face or on a side, at a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) kind: PushKind,
    pub(super) face: Option<Face>,
    pub(super) at: Point,
}

/// Adds a spot to those that are tried.
pub(super) fn add(spots: &mut Vec<Spot>, new: Spot) {
    if !spots.contains(&new) {
        spots.push(new);
    }
}

impl Job {
    fn new(case: Case, fences: Vec<Fence>, asked: Vec<(usize, Vec<Candidate>)>, inside: Vec<Point>) -> Self {
        Self {
            case,
            fences,
            asked,
            inside,
            only: None,
            opened: false,
            strong: Vec::new(),
            left: Vec::new(),
            halved: 0,
            way: 0,
        }
    }

    /// Whether all that is asked bears many times its push by the closed form.
    pub(super) fn is_strong(&self) -> bool {
        self.asked.iter().all(|(place, _)| self.strong.contains(place))
    }

    /// The same without the places that bear many times their push, where others are left: lines through them may crowd a mesh, or make it
    /// too big, of which the others must not suffer.
    pub(super) fn without_strong(&self) -> Option<Self> {
        let (left, asked): (Vec<_>, Vec<_>) =
            self.asked.iter().cloned().partition(|(place, _)| self.strong.contains(place));
        let left: Vec<usize> = left.into_iter().map(|(place, _)| place).collect();
        (!asked.is_empty() && !left.is_empty()).then(|| Self { asked, left, ..self.clone() })
    }

    /// The same case asked of the first half of its places and of the rest: each needs a mesh that is fine about its own places alone.
    /// Nothing where there is one place, or the case was halved as often as it may be.
    pub(super) fn halves(&self) -> Option<[Self; 2]> {
        let (first, rest) = self.asked.split_at(self.asked.len() / 2);
        let half = |asked: &[(usize, Vec<Candidate>)]| Self {
            asked: asked.to_vec(),
            halved: self.halved + 1,
            ..self.clone()
        };
        (self.case == Case::Carried && !first.is_empty() && self.halved < MOST_HALVED)
            .then(|| [half(first), half(rest)])
    }

    /// Whether a ply comes near what is asked.
    pub(super) fn reaches(&self, ply: &Ply) -> bool {
        let planes = self.asked.iter().flat_map(|(_, planes)| planes);
        planes.clone().any(|plane| touches(ply, &plane.line))
    }

    /// What it asks of another's places, where it is the same case; nothing where it asks nothing of them.
    pub(super) fn of_places(&self, other: &Self) -> Option<Self> {
        let lines = |job: &Self| job.fences.iter().map(|fence| fence.line).collect::<Vec<_>>();
        if self.case != other.case || lines(self) != lines(other) {
            return None;
        }
        let theirs = |place: usize| other.asked.iter().any(|(other, _)| *other == place);
        let asked: Vec<_> = self.asked.iter().filter(|(place, _)| theirs(*place)).cloned().collect();
        (!asked.is_empty()).then(|| Self { asked, ..self.clone() })
    }

    /// The same case asked of one plane of a place under one push.
    pub(super) fn only_at(&self, place: usize, plane: Candidate, spot: Spot) -> Self {
        Self { asked: vec![(place, vec![plane])], only: Some(vec![spot]), ..self.clone() }
    }

    /// The same case asked of some planes of its places, each by place and number, under some pushes; nothing where none is left.
    pub(super) fn of_only(&self, kept: &[(usize, usize)], spots: Vec<Spot>) -> Option<Self> {
        let planes_of = |(place, planes): &(usize, Vec<Candidate>)| {
            let numbered = planes.iter().enumerate().filter(|(plane, _)| kept.contains(&(*place, *plane)));
            let planes: Vec<Candidate> = numbered.map(|(_, plane)| *plane).collect();
            (!planes.is_empty()).then_some((*place, planes))
        };
        let asked: Vec<_> = self.asked.iter().filter_map(planes_of).collect();
        (!asked.is_empty()).then(|| Self { asked, only: Some(spots), ..self.clone() })
    }

    /// Those pushes that are to be tried: where the case was looked at, those that were worth it. Meshes differ in where the same push comes to
    /// act, so that a wall may be pushed at other points; each that was worth it is tried at the nearest of them at least. With so many
    /// of the other pads as probes.
    pub(super) fn worth_trying(&self, mut tried: Vec<Tried>, probes: usize) -> Vec<Tried> {
        let Some(only) = &self.only else { return tried };
        let same_kind = |spot: &Spot, here: Spot| (spot.kind, spot.face) == (here.kind, here.face);
        let mut keep: Vec<bool> = tried
            .iter()
            .map(Tried::spot)
            .map(|here| {
                only.iter().any(|spot| same_kind(spot, here) && distance(spot.at, here.at) < SAME_SPOT)
            })
            .collect();
        for spot in only {
            let alike = tried.iter().map(Tried::spot).enumerate().filter(|(_, here)| same_kind(spot, *here));
            let away = alike.map(|(k, here)| (k, distance(spot.at, here.at)));
            if let Some((nearest, _)) = away.min_by(|a, b| a.1.total_cmp(&b.1)) {
                keep[nearest] = true;
            }
        }
        // Some of the others, far and near, tell what it is of a push that breaks a plane.
        let pads: Vec<usize> = (0..tried.len()).filter(|&k| tried[k].kind == PushKind::Face).collect();
        for &k in pads.iter().step_by(pads.len().div_ceil(probes.max(1)).max(1)).take(probes) {
            tried[k].probe = !keep[k];
            keep[k] = true;
        }
        let mut keep = keep.into_iter();
        tried.retain(|_| keep.next().unwrap_or(false));
        tried
    }
}

/// Whether a line meets the outline of a ply that is let in, or lies within it.
pub(super) fn touches(ply: &Ply, line: &[Point; 2]) -> bool {
    let line = geo_types::Line::new(line[0], line[1]);
    ply.outline.as_ref().is_some_and(|outline| outline.intersects(&line))
}

/// Pushes nearer each other than this are one, in mm: meshes differ in where the same push comes to act.
const SAME_SPOT: f64 = 0.5;
/// A section wider than so many necks, from wall to another wall, does not part its stretch: our own rule.
const WIDE: f64 = 2.0;

impl Proof<'_> {
    /// Every case that has to be solved.
    pub(super) fn jobs(&self, places: &[Place], origins: &[Origin], chosen: &[usize]) -> Vec<Job> {
        let mut jobs = Vec::new();
        let mut carried = Vec::new();
        for &k in chosen {
            match &origins[k] {
                Origin::Tongue(line, tip) => {
                    let plane = planes::of_tongue(*line, *tip);
                    let give = self.thickness.max(distance(line[0], line[1]));
                    let fences = vec![Fence { line: plane.line, give }];
                    let inside = vec![(line[0] + line[1]) / 2.0, *tip];
                    jobs.push(Job::new(Case::Place, fences, vec![(k, vec![plane])], inside));
                }
                Origin::Stretch(s) => {
                    let place = &places[k];
                    let parted: Vec<[Point; 2]> =
                        place.face.break_line.iter().chain(&place.side.break_line).copied().collect();
                    let alone = self.alone(k, *s, &parted);
                    if self.judged[*s].role == Role::Bridge {
                        carried.extend(alone.iter().map(|job| (*s, job.asked[0].clone())));
                    }
                    jobs.extend(alone);
                }
            }
        }
        // The big ones first, so that the last thread is not left with one.
        let mut all = self.carried(&carried);
        all.extend(jobs);
        for job in &mut all {
            for (k, planes) in job.asked.iter_mut().filter(|(k, _)| self.is_strong(&places[*k])) {
                job.strong.push(*k);
                // A strip that only passes through a place that needs none is asked for its floor where it is needed.
                planes.iter_mut().for_each(|plane| plane.floors = false);
            }
        }
        all
    }

    /// Place `k`, a stretch, taken out alone: held at its root, or at both ends; where either side may be the one that is
    /// held, one case for each. `parted` are the lines the closed form parts it on.
    pub(super) fn alone(&self, k: usize, s: usize, parted: &[[Point; 2]]) -> Vec<Job> {
        let (stretch, judged) = (&self.stretches[s], &self.judged[s]);
        let ways: &[[bool; 2]] = match judged.role {
            Role::Whole | Role::Arm { outward: true, either: false } => &[[true, false]],
            Role::Arm { outward: false, either: false } => &[[false, true]],
            Role::Arm { either: true, .. } => &[[true, false], [false, true]],
            Role::Bridge => &[[true, true]],
        };
        let own = &self.runs[k];
        let others: Vec<&Run> = self.runs.iter().filter(|run| !std::ptr::eq(*run, own)).collect();
        let plies = self.plies_of(stretch);
        let reach = stretch.neck.max(self.thickness);
        let drawn = Drawn {
            number: s,
            mesh: self.skeleton.mesh(),
            grain: self.grain,
            reach,
            own,
            others: &others,
            plies: &plies,
            flat: &planes::flat_walls(self.shape, self.grain),
        };
        let stations = &judged.stations;
        let [start, finish] = self.ends(stations, stretch);
        let ends = [(start, true), (finish, false)];
        let job = |held: &[bool; 2]| {
            let mut planes = drawn.of_stretch(stretch, held[0], judged.role == Role::Bridge, parted);
            if judged.role == Role::Whole {
                // Of a piece that is one bar the half that is held is none that parts.
                planes.retain(|plane| is_of(stations, stretch, plane));
            }
            let fences = ends.into_iter().zip(held).filter(|(_, held)| **held);
            let fences = fences.map(|((station, start), _)| self.fence(station, start, &plies)).collect();
            let inside = every(stations, 12).map(|station| station.at).collect();
            Job::new(Case::Place, fences, vec![(k, planes)], inside)
        };
        ways.iter().map(job).collect()
    }

    /// All weak places taken out at once: what is held, and the places about it. Of each bridge its stretch, its place and
    /// its planes.
    pub(super) fn carried(&self, bridges: &[(usize, (usize, Vec<Candidate>))]) -> Vec<Job> {
        let mut jobs = Vec::new();
        if bridges.is_empty() {
            return jobs;
        }
        let groups = Groups::new(self.network, self.stretches);
        // Those in which the closed form finds a place weakest; and the first, which holds the biggest part.
        let mut ways = vec![0];
        for (s, _) in bridges {
            let carried = self.judged[*s].worst.iter().flatten().filter(|worst| worst.case == Case::Carried);
            ways.extend(carried.map(|worst| worst.way));
        }
        ways.sort_unstable();
        ways.dedup();
        let all = groups.ways_to_hold(self.network);
        for (way, nodes) in ways.iter().filter_map(|&way| Some((way, all.get(way)?))) {
            let mut fences = Vec::new();
            let mut asked = Vec::new();
            for s in 0..self.stretches.len() {
                let Some(ends) = nodes.ends(self.network, s).filter(|ends| ends[0] != ends[1]) else {
                    continue;
                };
                let stretch = &self.stretches[s];
                let [start, finish] = self.ends(&stretch.stations, stretch);
                let plies = self.plies_of(stretch);
                if ends[0] == nodes.held {
                    fences.push(self.fence(start, true, &plies));
                }
                if ends[1] == nodes.held {
                    fences.push(self.fence(finish, false, &plies));
                }
                asked.extend(bridges.iter().filter(|(of, _)| *of == s).map(|(_, asked)| asked.clone()));
            }
            if !fences.is_empty() && !asked.is_empty() {
                jobs.push(Job { way, ..Job::new(Case::Carried, fences, asked, Vec::new()) });
            }
        }
        jobs
    }

    /// The outermost sections that part some of a stretch's own. Where a run turns into wood that opens out, one square to it may reach
    /// past the stretch's walls to another, and parts nothing.
    fn ends<'a>(&self, stations: &'a [Station], stretch: &Stretch) -> [&'a Station; 2] {
        let walls = self.skeleton.mesh().walls();
        let rings = |station: &Station| station.square.map(|wall| walls.ring_of(wall.edge));
        let inside = rings(stretch.middle());
        let parts = |station: &&Station| station.width <= WIDE * stretch.neck || rings(station) == inside;
        let [first, last] = [&stations[0], &stations[stations.len() - 1]];
        [stations.iter().find(parts).unwrap_or(first), stations.iter().rfind(parts).unwrap_or(last)]
    }

    /// The section at the start or finish of a stretch, the loaded wood along the run or against it. The held wood gives as
    /// far as the place's plies reach, and half a thickness more.
    fn fence(&self, station: &Station, start: bool, plies: &[&Ply]) -> Fence {
        let mesh = self.skeleton.mesh();
        let [left, right] = station.square.map(|wall| planes::snapped(mesh, wall, station.width).0);
        let line = if start { [left, right] } else { [right, left] };
        let out = if start { -station.run } else { station.run };
        let outlines = plies.iter().filter_map(|ply| ply.outline.as_ref());
        let corners = outlines.flat_map(|outline| &outline.exterior().0);
        let reach = corners.map(|&corner| dot(corner - station.at, out)).fold(0.0, f64::max);
        let give = station.width.max(self.thickness);
        let give = if reach > 0.0 { give.max(reach + self.thickness / 2.0) } else { give };
        Fence { line, give }
    }

    /// The plies let in where some of a stretch lies.
    pub(super) fn plies_of(&self, stretch: &Stretch) -> Vec<&Ply> {
        let through =
            |ply: &&Ply| stretch.stations.windows(2).any(|pair| touches(ply, &[pair[0].at, pair[1].at]));
        self.plies.iter().filter(through).collect()
    }
}

/// Whether a plane passes as near to some of a stretch's sections as to any.
fn is_of(some: &[Station], stretch: &Stretch, plane: &Candidate) -> bool {
    let middle = (plane.line[0] + plane.line[1]) / 2.0;
    let away = |stations: &[Station]| {
        stations.iter().map(|station| distance(station.at, middle)).fold(f64::INFINITY, f64::min)
    };
    away(some) <= away(&stretch.stations) + 1e-9
}

/// About so many of a place's sections, evenly chosen.
pub(super) fn every(stations: &[Station], count: usize) -> impl Iterator<Item = &Station> {
    stations.iter().step_by(stations.len().div_ceil(count).max(1))
}
