//! The solid model decides: every place that could matter is pushed again, as layered wood instead of a beam.
//!
//! The closed form says where to look: the stretches, the lines each may part on, what is held and what is
//! loaded. Each case (a place taken out alone; all of them taken out at once) has its own mesh, which follows those
//! lines, and keeps the part of it that moves: the loaded wood, and the held wood as far as it still gives. It is
//! factored once, pushed everywhere at once, and asked for the mean tractions on every plane. The least push that
//! brings any of them to the wood's strength is the answer; the closed form's stays beside it.

mod planes;
mod pushes;
mod site;
mod study;

use crate::{
    section::{Station, Stretch},
    shape::{
        Shape,
        plane::{Point, distance, nearest_on_segment},
    },
    skeleton::Skeleton,
    solid::{Body, Edge, Elastic, Grading, Layer, Mesh, Plan, Solid, in_order},
    strength::{Traction, dents_at, low, risk, variation},
    units::Angle,
    wood::Mechanics,
};

use super::{
    Case, EASY, Place, Push, PushKind, Pushes,
    finding::{Solved, Why},
    judge::{Groups, Judged, Role},
    network::Network,
    places::Run,
};

use planes::{Candidate, Drawn};
use site::{Fence, Ground, Site};
use study::{Answers, Planes, Weakest};

pub(super) use study::Beam;

/// Layers of elements in a plain board: with two, rolling shear in its middle comes out within 3 %.
const LAYERS: usize = 2;
/// Sides of triangles about the ends of a plane, as parts of its window. With half of this, or half of it everywhere
/// and three layers, answers on our samples move by less than 2 %.
const AT_ENDS: f64 = 0.5;
/// Elsewhere on a plane, as parts of its window; and on a fence, as parts of its length.
const ALONG: f64 = 1.5;
const ACROSS: f64 = 0.25;
/// Along other slender parts, as parts of their necks.
const ELSEWHERE: f64 = 0.5;
const MANY: usize = 300;
/// Triangles about places are never bigger than this, in mm; away from them they grow by so much per mm up to the
/// biggest.
const NEAR: f64 = 3.5;
const GROWTH: f64 = 0.3;
const FAR: f64 = 8.0;
/// So many places are proved at the most, the weakest by the closed form first; of very finely drawn pieces fewer, since each
/// has its mesh.
const MOST_PLACES: usize = 24;
const LEAST_PLACES: usize = 4;
const MOST_POINTS: usize = 400_000;
/// A case with more unknowns than this is left to the closed form: it would take seconds and a gigabyte.
const MOST_UNKNOWNS: usize = 240_000;
/// Places whose sizes and closed forms differ by less than this part are alike.
const ALIKE: f64 = 0.01;

/// Where a place comes from.
#[derive(Clone, Debug)]
pub(super) enum Origin {
    /// A stretch of the skeleton, by number.
    Stretch(usize),
    /// A grain line and a point of what it parts.
    Tongue([Point; 2], Point),
}

impl Origin {
    /// Of a place that only its grain lines show.
    pub(super) fn of_tongue(place: &Place) -> Self {
        let away = |line: &[Point; 2]| distance(nearest_on_segment(place.at, line[0], line[1]).0, place.at);
        let lines = place.face.break_line.iter().chain(&place.side.break_line);
        let line = lines.min_by(|a, b| away(a).total_cmp(&away(b))).expect("a place parts on a line");
        Self::Tongue(*line, place.run[1])
    }
}

/// What places are proved with.
pub(super) struct Proof<'a> {
    pub(super) shape: &'a Shape,
    pub(super) skeleton: &'a Skeleton,
    pub(super) network: &'a Network,
    pub(super) stretches: &'a [Stretch],
    pub(super) judged: &'a [Judged],
    /// The runs of the places that come from stretches, in their order.
    pub(super) runs: &'a [Run],
    pub(super) grain: Angle,
    pub(super) thickness: f64,
    pub(super) wood: &'a Mechanics,
    pub(super) pushes: &'a Pushes,
}

/// What one case leaves held, and the planes on which it may part.
struct Job {
    case: Case,
    fences: Vec<Fence>,
    /// The places asked, each with its planes.
    asked: Vec<(usize, Vec<Candidate>)>,
    /// Points inside the loaded wood where a pad is tried too.
    inside: Vec<Point>,
}

/// The stretches of a line that run through the wood, each as a chain of sides.
type Chains = Vec<Vec<Edge>>;

/// The weakest answer to one kind of push, with the plane that parts.
type Answer = Option<(Weakest, Candidate)>;

/// The weakest answers of a job, by place.
struct Outcome {
    case: Case,
    weakest: Vec<(usize, [Answer; 2])>,
    crowded: bool,
}

impl Proof<'_> {
    /// Puts the solid model's numbers in place of the closed form's, wherever a place breaks at less than six times its push.
    pub(super) fn prove(&self, places: &mut [Place], origins: &[Origin]) {
        let mut chosen: Vec<usize> = (0..places.len()).filter(|&k| self.over(&places[k]) < EASY).collect();
        chosen.sort_by(|&a, &b| self.over(&places[a]).total_cmp(&self.over(&places[b])).then(a.cmp(&b)));
        let points = self.shape.rings().map(|ring| ring.0.len()).sum::<usize>().max(1);
        let most = (MOST_POINTS / points).clamp(LEAST_PLACES, MOST_PLACES);
        let left = chosen.split_off(most.min(chosen.len()));
        chosen.sort_unstable();
        if chosen.is_empty() {
            return;
        }
        let Ok(elastic) = Elastic::of(self.wood) else { return };
        let jobs = self.jobs(places, origins, &chosen);
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        // What the closed form finds for a place with others in one piece; it stands where that case is too big to solve.
        let carried: Vec<[Option<Push>; 2]> = places
            .iter()
            .map(|place| {
                [&place.face, &place.side].map(|push| (push.case == Case::Carried).then(|| push.clone()))
            })
            .collect();
        let mut unsolved = vec![false; places.len()];
        let outcomes = in_order(jobs.len(), threads, |j| self.outcome(&jobs[j], &elastic));
        for (job, outcome) in jobs.iter().zip(outcomes) {
            let Some(outcome) = outcome else {
                if job.case == Case::Carried {
                    job.asked.iter().for_each(|(k, _)| unsolved[*k] = true);
                }
                continue;
            };
            for (k, weakest) in outcome.weakest {
                for (kind, found) in [PushKind::Face, PushKind::Side].into_iter().zip(weakest) {
                    let Some((weakest, candidate)) = found else { continue };
                    let place = &mut places[k];
                    let old = match kind {
                        PushKind::Face => &mut place.face,
                        PushKind::Side => &mut place.side,
                    };
                    let new = self.push(old, &weakest, &candidate, outcome.case);
                    if old.solved.is_none() || new.breaks_at_n < old.breaks_at_n {
                        *old = new;
                    }
                }
                if outcome.crowded && outcome.case == Case::Place {
                    places[k]
                        .remarks
                        .push("little wood is left beyond it, so the hold begins close by".to_owned());
                }
            }
        }
        for k in (0..places.len()).filter(|&k| unsolved[k]) {
            let [face, side] = &carried[k];
            let place = &mut places[k];
            for (now, closed) in [(&mut place.face, face), (&mut place.side, side)] {
                if let Some(closed) = closed.as_ref().filter(|closed| closed.breaks_at_n < now.breaks_at_n) {
                    *now = closed.clone();
                }
            }
        }
        self.take_over(places, &chosen, &left);
    }

    /// A place that was left out because there are so many takes over what was found for one just like it.
    fn take_over(&self, places: &mut [Place], chosen: &[usize], left: &[usize]) {
        let near = |a: f64, b: f64| (a - b).abs() <= ALIKE * a.abs().max(b.abs());
        for &k in left {
            let place = &places[k];
            let alike = |other: &&usize| {
                let other = &places[**other];
                place.form == other.form
                    && near(place.width_mm, other.width_mm)
                    && near(place.span_mm, other.span_mm)
                    && near(place.crossing_deg, other.crossing_deg)
                    && near(place.face.closed_form_n, other.face.closed_form_n)
                    && near(place.side.closed_form_n, other.side.closed_form_n)
            };
            let Some(&like) = chosen.iter().find(alike) else { continue };
            let like = places[like].clone();
            let place = &mut places[k];
            for (now, then) in [(&mut place.face, &like.face), (&mut place.side, &like.side)] {
                let factor = now.closed_form_n / then.closed_form_n;
                let numbers = [then.breaks_at_n * factor, then.low_n * factor];
                [now.breaks_at_n, now.low_n] = numbers;
                (now.risk, now.mode, now.solved) = (then.risk, then.mode, then.solved);
            }
        }
    }

    fn over(&self, place: &Place) -> f64 {
        let (face, side) = (self.pushes.face.as_n(), self.pushes.side.as_n());
        (place.face.breaks_at_n / face).min(place.side.breaks_at_n / side)
    }

    fn push(&self, old: &Push, weakest: &Weakest, candidate: &Candidate, case: Case) -> Push {
        let breaks_at = weakest.index.breaks_at();
        let spread = variation(&weakest.index.shares, self.wood);
        let stated = match old.kind {
            PushKind::Face => self.pushes.face.as_n(),
            PushKind::Side => self.pushes.side.as_n(),
        };
        Push {
            breaks_at_n: breaks_at,
            low_n: low(breaks_at, spread),
            risk: risk(stated, breaks_at, spread),
            push_at: weakest.at,
            direction_deg: weakest.push.map(|p| p.y.atan2(p.x).to_degrees()),
            mode: weakest.index.mode,
            break_line: vec![candidate.line],
            dents_at_n: weakest.face.and_then(|(_, area)| dents_at(area, self.wood)),
            case,
            solved: Some(self.solved(old, weakest)),
            ..old.clone()
        }
    }

    /// How the model came to an answer, and how the closed form would have judged the same forces.
    fn solved(&self, old: &Push, weakest: &Weakest) -> Solved {
        let breaks_at = weakest.index.breaks_at();
        let beam = weakest.beam(self.thickness, self.wood);
        Solved {
            family: weakest.family,
            along: ["its start", "its middle", "its end"][usize::from(weakest.window[0])],
            through: ["the back", "mid-thickness", "the face"][usize::from(weakest.window[1])],
            traction: Traction {
                normal: weakest.traction.normal * breaks_at,
                along: weakest.traction.along * breaks_at,
                through: weakest.traction.through * breaks_at,
            },
            same_forces_n: beam.all.breaks_at(),
            from: weakest.face.map(|(face, _)| face),
            why: Why::of(old.closed_form_n, &beam, breaks_at),
        }
    }

    /// Every case that has to be solved.
    fn jobs(&self, places: &[Place], origins: &[Origin], chosen: &[usize]) -> Vec<Job> {
        let mut jobs = Vec::new();
        let mut carried: Vec<(usize, usize, Vec<Candidate>)> = Vec::new();
        for &k in chosen {
            match &origins[k] {
                Origin::Tongue(line, tip) => {
                    let plane = planes::of_tongue(*line, *tip);
                    let give = self.thickness.max(distance(line[0], line[1]));
                    let fences = vec![Fence { line: plane.line, give }];
                    let inside = vec![(line[0] + line[1]) / 2.0, *tip];
                    jobs.push(Job { case: Case::Place, fences, asked: vec![(k, vec![plane])], inside });
                }
                Origin::Stretch(s) => {
                    let s = *s;
                    let (stretch, judged) = (&self.stretches[s], &self.judged[s]);
                    let lines: Vec<[Point; 2]> =
                        places[k].face.break_line.iter().chain(&places[k].side.break_line).copied().collect();
                    let inside: Vec<Point> = every(&judged.stations, 12).map(|station| station.at).collect();
                    let ways: &[[bool; 2]] = match judged.role {
                        Role::Whole | Role::Arm { outward: true, either: false } => &[[true, false]],
                        Role::Arm { outward: false, either: false } => &[[false, true]],
                        Role::Arm { either: true, .. } => &[[true, false], [false, true]],
                        Role::Bridge => &[[true, true]],
                    };
                    let is_bridge = judged.role == Role::Bridge;
                    let own = &self.runs[k];
                    let others: Vec<&Run> = self.runs.iter().filter(|run| !std::ptr::eq(*run, own)).collect();
                    let mesh = self.skeleton.mesh();
                    let reach = stretch.neck.max(self.thickness);
                    let drawn = Drawn { mesh, grain: self.grain, reach, own, others: &others };
                    for way in ways {
                        let planes = drawn.of_stretch(stretch, way[0], is_bridge, &lines);
                        let stations = &judged.stations;
                        let ends = [(&stations[0], true), (&stations[stations.len() - 1], false)];
                        let fences: Vec<Fence> = ends
                            .into_iter()
                            .zip(way)
                            .filter(|(_, held)| **held)
                            .map(|((station, start), _)| self.fence(station, start))
                            .collect();
                        if is_bridge {
                            carried.push((k, s, planes.clone()));
                        }
                        jobs.push(Job {
                            case: Case::Place,
                            fences,
                            asked: vec![(k, planes)],
                            inside: inside.clone(),
                        });
                    }
                }
            }
        }
        // The big ones first, so that the last thread is not left with one.
        let mut all = self.carried(&carried);
        all.extend(jobs);
        all
    }

    /// All weak places taken out at once: what is held, and the places about it.
    fn carried(&self, bridges: &[(usize, usize, Vec<Candidate>)]) -> Vec<Job> {
        let mut jobs = Vec::new();
        if bridges.is_empty() {
            return jobs;
        }
        let groups = Groups::new(self.network, self.stretches);
        // Those in which the closed form finds a place weakest; and the first, which holds the biggest part.
        let mut ways = vec![0];
        for &(_, s, _) in bridges {
            let carried = self.judged[s].worst.iter().flatten().filter(|worst| worst.case == Case::Carried);
            ways.extend(carried.map(|worst| worst.way));
        }
        ways.sort_unstable();
        ways.dedup();
        let all = groups.ways_to_hold(self.network);
        for nodes in ways.iter().filter_map(|&way| all.get(way)) {
            let mut fences = Vec::new();
            let mut asked = Vec::new();
            for s in 0..self.stretches.len() {
                let Some(ends) = nodes.ends(self.network, s).filter(|ends| ends[0] != ends[1]) else {
                    continue;
                };
                let stations = &self.stretches[s].stations;
                if ends[0] == nodes.held {
                    fences.push(self.fence(&stations[0], true));
                }
                if ends[1] == nodes.held {
                    fences.push(self.fence(&stations[stations.len() - 1], false));
                }
                asked.extend(
                    bridges.iter().filter(|(_, of, _)| *of == s).map(|(k, _, planes)| (*k, planes.clone())),
                );
            }
            if !fences.is_empty() && !asked.is_empty() {
                jobs.push(Job { case: Case::Carried, fences, asked, inside: Vec::new() });
            }
        }
        jobs
    }

    /// The section at the start or finish of a stretch, the loaded wood along the run or against it.
    fn fence(&self, station: &Station, start: bool) -> Fence {
        let mesh = self.skeleton.mesh();
        let [left, right] = station.square.map(|wall| planes::snapped(mesh, wall, station.width).0);
        let line = if start { [left, right] } else { [right, left] };
        Fence { line, give: station.width.max(self.thickness) }
    }

    /// A mesh of the piece that follows the fences and planes of a case, with the sides along each: fences first, then
    /// planes. It is fine about them, and elsewhere only as fine as slender parts need to bend.
    fn mesh(&self, job: &Job) -> Option<(Mesh, Vec<Chains>)> {
        let mut lines: Vec<[Point; 2]> = Vec::new();
        let mut grading = Grading::new(FAR, GROWTH);
        let mut numbers: Vec<usize> = Vec::new();
        let mut number = |line: [Point; 2]| {
            let known = lines.iter().position(|old| *old == line);
            known.unwrap_or_else(|| {
                lines.push(line);
                lines.len() - 1
            })
        };
        for fence in &job.fences {
            grading.along(fence.line, NEAR.min(ACROSS * distance(fence.line[0], fence.line[1])));
            numbers.push(number(fence.line));
        }
        for candidate in job.asked.iter().flat_map(|(_, planes)| planes) {
            let window = candidate.window();
            grading.along(candidate.line, NEAR.min(ALONG * window));
            for (end, _) in candidate.line.iter().zip(candidate.free).filter(|(_, free)| *free) {
                grading.along([*end, *end], NEAR.min(AT_ENDS * window));
            }
            numbers.push(number(candidate.line));
        }
        // On pieces with very many slender parts only those asked count.
        for stretch in self.stretches.iter().take_while(|_| self.stretches.len() <= MANY) {
            let ends = [stretch.stations[0].at, stretch.stations[stretch.stations.len() - 1].at];
            grading.along(ends, (ELSEWHERE * stretch.neck).min(FAR));
        }
        let rings = self.shape.rings().map(|ring| ring.0[..ring.0.len() - 1].to_vec()).collect();
        let size = |p: Point| grading.size(p);
        let plan = Plan { rings, lines, zones: Vec::new(), size: &size };
        let mesh = Mesh::generate(&plan).ok()?;
        let found = mesh.lines_of(0..plan.lines.len());
        let chains = numbers.iter().map(|&line| found[line].clone()).collect();
        Some((mesh, chains))
    }

    fn outcome(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        let (mesh, chains) = self.mesh(job)?;
        let ground = Ground::new(&mesh);
        let (fenced, planes) = chains.split_at(job.fences.len());
        let fenced: Vec<Vec<Edge>> = fenced.iter().map(|chains| chains.concat()).collect();
        let site: Site = ground.site(&job.fences, &fenced)?;
        let part = ground.mesh.part(&site.triangles);
        let held: Vec<u32> = ground.held_nodes(&site).iter().filter_map(|&n| part.node(n)).collect();
        let loaded: Vec<u32> =
            (0u32..).zip(&site.loaded).filter(|(_, loaded)| **loaded).map(|(t, _)| t).collect();
        let walls = ground.walls(&site);
        let layers = (0..LAYERS)
            .map(|k| {
                let at = |k: usize| self.thickness * k as f64 / LAYERS as f64;
                Layer::plain(at(k), at(k + 1), 0)
            })
            .collect();
        let body = Body::new(part.mesh.clone(), layers, vec![elastic.stiffness(self.grain.as_rad())]);
        if MOST_UNKNOWNS < 6 * (2 * LAYERS + 1) * part.mesh.triangles.len() {
            return None;
        }
        let solid = Solid::new(body).ok()?;
        let tried = pushes::pushes(&solid, &part, &walls, &loaded, &job.inside);
        let candidates: Vec<Candidate> = job.asked.iter().flat_map(|(_, planes)| planes).copied().collect();
        let owners: Vec<usize> =
            job.asked.iter().flat_map(|(k, planes)| planes.iter().map(move |_| *k)).collect();
        let chains: Vec<Vec<Edge>> = planes
            .iter()
            .zip(&candidates)
            .map(|(chain, candidate)| within(&part, chain, candidate))
            .collect();
        let planes = Planes::new(&solid, &candidates, &chains);
        let answers = Answers::new(&solid, &held, &planes, &tried).ok()?;
        let weakest = job
            .asked
            .iter()
            .map(|(k, _)| {
                let found = planes.weakest(&answers, self.wood, |plane| owners[plane] == *k);
                (*k, found.map(|weakest| weakest.map(|weakest| (weakest, candidates[weakest.plane]))))
            })
            .collect();
        Some(Outcome { case: job.case, weakest, crowded: site.crowded })
    }
}

/// About so many of a place's sections, evenly chosen.
fn every(stations: &[Station], count: usize) -> impl Iterator<Item = &Station> {
    stations.iter().step_by(stations.len().div_ceil(count).max(1))
}

/// The sides of a plane that lie in a part of the mesh: those that hang together with its free end.
fn within(part: &crate::solid::Part, chains: &Chains, candidate: &Candidate) -> Vec<Edge> {
    let chain = if candidate.free[0] { chains.first() } else { chains.last() };
    let Some(chain) = chain else { return Vec::new() };
    let inside: Vec<Option<Edge>> = chain
        .iter()
        .map(|edge| part.edge(edge).filter(|edge| edge.sides.iter().all(Option::is_some)))
        .collect();
    if candidate.free[0] {
        inside.iter().map_while(|edge| *edge).collect()
    } else {
        let mut kept: Vec<Edge> = inside.iter().rev().map_while(|edge| *edge).collect();
        kept.reverse();
        kept
    }
}
