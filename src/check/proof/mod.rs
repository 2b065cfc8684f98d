//! The solid model decides: every place, or the weakest of very many, is pushed again, as layered wood instead of a beam.
//!
//! The closed form says where to look: the stretches, the lines each may part on, what is held and what is
//! loaded. Each case (a place taken out alone; all of them taken out at once) has its own mesh, which follows those
//! lines, and keeps the part of it that moves: the loaded wood, and the held wood as far as it still gives. It is
//! factored once, pushed everywhere at once, and asked for the mean tractions on every plane. The least push that
//! brings any of them to the wood's strength is the answer; the closed form's stays beside it.

mod closer;
mod copies;
mod floors;
mod glue_lines;
mod jobs;
mod layup;
mod look;
mod map;
mod model;
mod outline;
mod planes;
mod pushes;
mod rule;
mod site;
mod study;
mod windows;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use crate::{
    section::Stretch,
    shape::{Shape, plane::Point},
    skeleton::Skeleton,
    solid::{Elastic, in_order},
    strength::{Traction, dents_at, low, risk, variation},
    units::Angle,
    wood::Mechanics,
};

use super::{
    Case, EASY, Options, PieceRemark, Place, PlaceRemark, Push, PushKind, Pushes,
    finding::{AfterCrack, Solved, Why},
    judge::Judged,
    network::Network,
    places::Run,
    ply::{Part, Ply},
};

use copies::{Copies, moved_outcome};
use jobs::Job;
use model::Fineness;
use planes::Candidate;
use study::Weakest;

pub(super) use jobs::Origin;
pub(super) use study::Beam;

/// So many places are proved at the most, the weakest by the closed form first; of very finely drawn pieces fewer, since each
/// has its mesh.
const MOST_PLACES: usize = 64;
const LEAST_PLACES: usize = 4;
/// Of more places than that fewer are proved, never less than these: in a lattice each case is as big as the whole.
const MOST_WORK: usize = MOST_PLACES * MOST_PLACES;
const ALWAYS: usize = 24;
const MOST_POINTS: usize = 400_000;
/// A place that bears less than this part of its push by the closed form stays fragile whatever a solid model says, which finds a place
/// weaker oftener than stronger and never ten times as strong. A few are proved all the same, the weakest.
const HOPELESS: f64 = 0.1;
/// What a place costs is told from a first look at every so many; all its models together have about so many times that one's
/// unknowns (the samples' have 3 to 6 times).
const TRIED: usize = 8;
const FINER: usize = 5;
/// Places whose sizes and closed forms differ by less than this part are alike.
const ALIKE: f64 = 0.01;

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
    /// What is let into the board or glued behind it.
    pub(super) plies: &'a [Ply],
    /// About so many unknowns all models together may have.
    pub(super) unknowns: usize,
}

/// The weakest answer to one kind of push, with the plane that parts.
type Answer = Option<(Weakest, Candidate)>;

/// The weakest answers of a job: of each place, for each part of it that may give way.
struct Outcome {
    weakest: Vec<(usize, [Answer; 2])>,
    /// Places about which so little wood lies that the hold had to begin nearer.
    crowded: Vec<usize>,
    /// Places that the case had to be cut without.
    left: Vec<usize>,
}

impl Outcome {
    /// The greatest index of a place under a kind of push of 1 N.
    fn index(&self, place: usize, kind: PushKind) -> Option<f64> {
        let of_place = self.weakest.iter().filter(|(other, _)| *other == place);
        let found = of_place.filter_map(|(_, found)| found[kind as usize]);
        found.map(|(weakest, _)| weakest.index.value).max_by(f64::total_cmp)
    }

    /// Both together, of one case.
    fn with(mut self, other: Self) -> Self {
        self.weakest.extend(other.weakest);
        self
    }
}

impl Proof<'_> {
    /// Puts the solid model's numbers in place of the closed form's: of every place, or of the weakest of very many. What is left
    /// to the closed form is told.
    pub(super) fn prove(
        &self,
        closed_form: &[Place],
        places: &mut [Place],
        origins: &[Origin],
    ) -> Vec<PieceRemark> {
        let hopeless = self.hopeless(closed_form);
        let (chosen, mut rest) = self.chosen(closed_form, |k| !hopeless.contains(&k));
        let Ok(elastic) = Elastic::of(self.wood) else { return Vec::new() };
        let (chosen, more) = self.affordable(chosen, closed_form, origins, &elastic);
        rest.extend(more);
        if chosen.is_empty() {
            return Vec::new();
        }
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let jobs = self.narrowed(&self.jobs(closed_form, origins, &chosen), &elastic, threads);
        let outcome = |j: usize| {
            let fewer = || self.outcome(&jobs[j].without_strong()?, &elastic);
            self.outcome(&jobs[j], &elastic).or_else(fewer)
        };
        let outcomes = Copies::among(&jobs, self).each(threads, outcome, |original, j, shift| {
            original.as_ref().map(|original| moved_outcome(original, jobs[j].asked[0].0, shift))
        });
        let mut too_big = Vec::new();
        let mut parts: BTreeMap<(usize, usize, Part), f64> = BTreeMap::new();
        // Once what is let in shows a crack in front of it, what it still carries is told.
        let mut cracks: BTreeMap<(usize, usize), (f64, Job)> = BTreeMap::new();
        for (job, outcome) in jobs.iter().zip(outcomes) {
            let Some(outcome) = outcome else {
                too_big.extend(job.asked.iter().map(|(k, _)| *k).filter(|_| job.case == Case::Carried));
                continue;
            };
            too_big.extend(outcome.left);
            outcome.crowded.into_iter().for_each(|k| places[k].remarks.push(PlaceRemark::Crowded));
            for (k, weakest) in outcome.weakest {
                for (weakest, candidate) in weakest.into_iter().flatten() {
                    let now = places[k].push_mut(weakest.kind);
                    let bare = closed_form[k].push(weakest.kind);
                    let new = self.push(bare, &weakest, &candidate, job.case);
                    let least =
                        parts.entry((k, weakest.kind as usize, weakest.part)).or_insert(f64::INFINITY);
                    if new.breaks_at_n < *least && weakest.part == Part::ShowFace && !self.is_layered() {
                        let crack = (
                            new.breaks_at_n,
                            Job { opened: true, ..job.only_at(k, candidate, weakest.spot()) },
                        );
                        cracks.insert((k, weakest.kind as usize), crack);
                    }
                    *least = least.min(new.breaks_at_n);
                    if now.solved.is_none() || new.breaks_at_n < now.breaks_at_n {
                        *now = new;
                    }
                }
            }
        }
        for ((k, kind, part), least) in parts {
            let push =
                if kind == PushKind::Face as usize { &mut places[k].face } else { &mut places[k].side };
            if let Some(solved) = &mut push.solved {
                solved.parts.push((part, least));
            }
        }
        let cracks: Vec<((usize, usize), (f64, Job))> = cracks.into_iter().collect();
        let left = in_order(cracks.len(), threads, |c| self.left_after(&cracks[c].1.1, &elastic));
        for (((k, kind), (cracks_at, _)), left) in cracks.into_iter().zip(left) {
            let push =
                if kind == PushKind::Face as usize { &mut places[k].face } else { &mut places[k].side };
            if let Some(solved) = &mut push.solved {
                solved.after_crack = left.map(|left| AfterCrack { cracks_at_n: cracks_at, bears_n: left });
            }
        }
        // Where that case is too big to solve, what the closed form finds for a place together with others still stands.
        for k in too_big {
            for kind in [PushKind::Face, PushKind::Side] {
                let (closed, now) = (closed_form[k].push(kind), places[k].push_mut(kind));
                if closed.case == Case::Carried && closed.breaks_at_n < now.breaks_at_n {
                    *now = closed.clone();
                }
            }
        }
        for &k in &chosen {
            let solved = places[k].face.solved.is_some() || places[k].side.solved.is_some();
            let left = !self.plies.is_empty() && self.is_strong(&places[k]);
            if !solved && !left {
                places[k].remarks.push(PlaceRemark::Unproved);
            }
        }
        self.take_over(places, &chosen, &rest);
        self.take_over(places, &chosen, &hopeless);
        let unproved = |left: &[usize]| {
            left.iter()
                .filter(|&&k| places[k].face.solved.is_none() && places[k].side.solved.is_none())
                .count()
        };
        let mut remarks = Vec::new();
        match unproved(&hopeless) {
            0 => {}
            places => remarks.push(PieceRemark::Hopeless { places }),
        }
        match unproved(&rest) {
            0 => {}
            places => remarks.push(PieceRemark::TooMuchWork { places, unknowns: self.unknowns }),
        }
        remarks
    }

    /// The places that bear next to nothing, but for the weakest of all.
    fn hopeless(&self, places: &[Place]) -> Vec<usize> {
        let mut all: Vec<usize> = (0..places.len()).filter(|&k| self.over(&places[k]) < HOPELESS).collect();
        all.sort_by(|&a, &b| self.over(&places[a]).total_cmp(&self.over(&places[b])).then(a.cmp(&b)));
        all.split_off(LEAST_PLACES.min(all.len()))
    }

    /// Those of the chosen places, the weakest first, whose models have no more unknowns than they may, and the others. It is told from
    /// a few of them, so that every machine finds the same.
    fn affordable(
        &self,
        mut chosen: Vec<usize>,
        closed_form: &[Place],
        origins: &[Origin],
        elastic: &Elastic,
    ) -> (Vec<usize>, Vec<usize>) {
        // Mended pieces are tried by the dozen, each with few places that count.
        if chosen.len() <= LEAST_PLACES || !self.plies.is_empty() {
            return (chosen, Vec::new());
        }
        let by_weakness = |a: &usize, b: &usize| {
            self.over(&closed_form[*a]).total_cmp(&self.over(&closed_form[*b])).then(a.cmp(b))
        };
        chosen.sort_by(by_weakness);
        let tried: Vec<usize> = chosen.iter().copied().step_by(TRIED).collect();
        let jobs = self.jobs(closed_form, origins, &tried);
        let alone: Vec<&Job> = jobs.iter().filter(|job| job.case == Case::Place).collect();
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let counts = in_order(alone.len(), threads, |j| {
            self.model(alone[j], elastic, Fineness::LOOK).map_or(0, |model| model.solid.dof_count())
        });
        let of_all = counts.iter().sum::<usize>().max(1);
        let affordable = self.unknowns.saturating_mul(tried.len()) / FINER / of_all;
        let rest = chosen.split_off(affordable.max(LEAST_PLACES).min(chosen.len()));
        chosen.sort_unstable();
        (chosen, rest)
    }

    /// The places to be proved, and those left out because there are so many.
    fn chosen(&self, places: &[Place], counts: impl Fn(usize) -> bool) -> (Vec<usize>, Vec<usize>) {
        let mut chosen: Vec<usize> = (0..places.len()).filter(|&k| counts(k)).collect();
        chosen.sort_by(|&a, &b| self.over(&places[a]).total_cmp(&self.over(&places[b])).then(a.cmp(&b)));
        let points = self.shape.rings().map(|ring| ring.0.len()).sum::<usize>().max(1);
        let by_points = (MOST_POINTS / points).clamp(LEAST_PLACES, MOST_PLACES);
        let by_places = (MOST_WORK / places.len().max(1)).clamp(ALWAYS, MOST_PLACES);
        // Who lets them have more unknowns wants more places proved.
        let most = by_points.min(by_places) * (self.unknowns / Options::UNKNOWNS).max(1);
        let rest = chosen.split_off(most.min(chosen.len()));
        chosen.sort_unstable();
        (chosen, rest)
    }

    /// Whether a place bears many times its push by the closed form.
    fn is_strong(&self, place: &Place) -> bool {
        self.over(place) >= EASY
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
                (now.risk, now.mode, now.solved) = (then.risk, then.mode, then.solved.clone());
            }
        }
    }

    fn over(&self, place: &Place) -> f64 {
        place.over(self.pushes)
    }

    /// A push as the solid model answers it; `closed_form` is how it was answered before.
    fn push(&self, closed_form: &Push, weakest: &Weakest, candidate: &Candidate, case: Case) -> Push {
        let breaks_at = weakest.index.breaks_at();
        let spread = variation(&weakest.index.shares, self.wood);
        let stated = match closed_form.kind {
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
            solved: Some(self.solved(closed_form, weakest, &candidate.line)),
            ..closed_form.clone()
        }
    }

    /// How the model came to an answer, and how the closed form would have judged the same forces.
    fn solved(&self, closed_form: &Push, weakest: &Weakest, line: &[Point; 2]) -> Solved {
        let breaks_at = weakest.index.breaks_at();
        // The closed form is that of the bare board.
        let is_plied = |ply: &Ply| ply.is_layer() || jobs::touches(ply, line);
        let bare = weakest.part == Part::Board && !self.plies.iter().any(is_plied);
        let beam = bare.then(|| weakest.beam(self.thickness, self.wood));
        let elsewhere = || closed_form.is_elsewhere(line, weakest.at, self.thickness);
        let why = Why::is_asked(closed_form.closed_form_n, breaks_at).then(|| match &beam {
            Some(beam) => Why::of(closed_form.closed_form_n, beam, breaks_at, elsewhere()),
            None => Why::Ply,
        });
        Solved {
            family: weakest.family,
            along: ["its start", "its middle", "its end"][usize::from(weakest.window[0])],
            through: ["the back", "mid-thickness", "the face"][usize::from(weakest.window[1])],
            traction: Traction {
                normal: weakest.traction.normal * breaks_at,
                along: weakest.traction.along * breaks_at,
                through: weakest.traction.through * breaks_at,
            },
            same_forces_n: beam.as_ref().map(|beam| beam.all.breaks_at()),
            from: weakest.face.map(|(face, _)| face),
            why,
            part: weakest.part,
            parts: Vec::new(),
            after_crack: None,
        }
    }

    /// What a place bears once the wood in front of its ply has cracked.
    fn left_after(&self, job: &Job, elastic: &Elastic) -> Option<f64> {
        let model = self.model(job, elastic, self.fineness(job))?;
        let tried = job.worth_trying(model.pushes(&job.inside));
        model.planes.left_after_crack(&model.answers(&tried)?)
    }

    /// Whether it is a blank glued up of layers.
    fn is_layered(&self) -> bool {
        self.plies.iter().any(Ply::is_layer)
    }

    /// How finely a case is cut. On a mended piece, which is tried many times over, a coarser cut will do for what bears many times
    /// its push, and for all places in one piece.
    fn fineness(&self, job: &Job) -> Fineness {
        let will_do = !self.plies.is_empty() && (job.is_strong() || job.case == Case::Carried);
        if will_do { Fineness::COARSE } else { Fineness::FINE }
    }

    /// The weakest answers of a case, place by place.
    fn outcome(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        let fineness = self.fineness(job);
        // All places in one piece are too many for the finest mesh to follow each plane of them.
        let closer = (job.case == Case::Carried && fineness == Fineness::FINE)
            .then(|| self.closer(job, elastic))
            .flatten();
        let fineness = if job.case == Case::Carried { Fineness::COARSE } else { fineness };
        closer.or_else(|| self.solved_by(job, elastic, fineness))
    }

    /// The weakest answers of a case that is cut so finely.
    fn solved_by(&self, job: &Job, elastic: &Elastic, fineness: Fineness) -> Option<Outcome> {
        let model = self.model(job, elastic, fineness)?;
        let tried = job.worth_trying(model.pushes(&job.inside));
        let answers = model.answers(&tried)?;
        let weakest = model.planes.weakest(&answers, |plane| model.owners[plane]).into_iter();
        let of_place = |((k, _), found): ((usize, Part), [Option<Weakest>; 2])| {
            (k, found.map(|weakest| weakest.map(|weakest| (weakest, model.candidates[weakest.plane]))))
        };
        let places = job.asked.iter().map(|(k, _)| *k);
        Some(Outcome {
            weakest: weakest.map(of_place).collect(),
            crowded: places.filter(|_| model.crowded && job.case == Case::Place).collect(),
            left: job.left.clone(),
        })
    }
}
