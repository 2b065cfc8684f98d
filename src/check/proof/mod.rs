//! The solid model decides: every place, or the weakest of very many, is pushed again, as layered wood instead of a beam.
//!
//! The closed form says where to look: the stretches, the lines each may part on, what is held and what is
//! loaded. Each case (a place taken out alone; all of them taken out at once) has its own mesh, which follows those
//! lines, and keeps the part of it that moves: the loaded wood, and the held wood as far as it still gives. It is
//! factored once, pushed everywhere at once, and asked for the mean tractions on every plane. The least push that
//! brings any of them to the wood's strength is the answer; the closed form's stays beside it.

mod beam;
mod causes;
mod choice;
mod closer;
mod copies;
mod floors;
mod glue_lines;
mod jobs;
mod known;
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
    shape::Shape,
    skeleton::Skeleton,
    solid::{Elastic, in_order, threads_at_once},
    strength::{Traction, dents_at, low, risk, variation},
    units::Angle,
    wood::Mechanics,
};

use super::{
    Case, PieceRemark, Place, PlaceRemark, Push, PushKind, Pushes,
    finding::{AfterCrack, Solved, Why},
    judge::Judged,
    network::Network,
    places::Run,
    ply::{Part, Ply},
    statics::Statics,
};

use beam::Beam;
use causes::Untwisted;
use copies::{Copies, moved_outcome};
use jobs::Job;
use model::{Fineness, Model};
use planes::Candidate;
use study::{Answers, Weakest};

pub(super) use jobs::Origin;
pub(crate) use known::Known;

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
    /// Whether the piece has any, though none may lie about a case.
    pub(super) mended: bool,
    /// What is known of its cases.
    pub(super) known: Option<&'a Known>,
    /// Whether it is asked what plies still bear once the wood in front of them has cracked.
    pub(super) cracks: bool,
    /// About so many unknowns all models together may have; and the work of the push map.
    pub(super) unknowns: usize,
    pub(super) map: usize,
}

/// So many more pads tell why a plane parts: our own rule.
const PROBES: usize = 16;

/// The weakest answer to one kind of push, with the plane that parts.
type Answer = Option<(Weakest, Candidate)>;

/// The cases that hold weakest answers, with the planes and pushes that may be it.
pub(super) struct Worth(Vec<Job>);

/// The weakest answers of a job: of each place, for each part of it that may give way.
#[derive(Clone, Debug)]
struct Outcome {
    weakest: Vec<(usize, [Answer; 2])>,
    /// Places about which so little wood lies that the hold had to begin nearer.
    crowded: Vec<usize>,
    /// Places that the case had to be cut without.
    left: Vec<usize>,
}

impl Outcome {
    /// What the answers of a case come to.
    fn of(job: &Job, model: &Model, answers: &Answers<'_>, thickness: f64) -> Self {
        let mut weakest = model.planes.weakest(answers, |plane| model.owners[plane]);
        for weakest in weakest.values_mut().flatten().flatten() {
            let plane = &model.candidates[weakest.plane];
            weakest.untwisted = Untwisted::of(&model.planes, answers, weakest, plane, thickness);
        }
        let weakest = weakest.into_iter();
        let of_place = |((k, _), found): ((usize, Part), [Option<Weakest>; 2])| {
            (k, found.map(|weakest| weakest.map(|weakest| (weakest, model.candidates[weakest.plane]))))
        };
        let places = job.asked.iter().map(|(k, _)| *k);
        Self {
            weakest: weakest.map(of_place).collect(),
            crowded: places.filter(|_| model.crowded && job.case == Case::Place).collect(),
            left: job.left.clone(),
        }
    }

    /// Of a case that was not solved.
    fn unsolved(job: &Job) -> Self {
        let left = job.asked.iter().map(|(k, _)| *k).collect();
        Self { weakest: Vec::new(), crowded: Vec::new(), left }
    }

    /// The greatest index of a part of a place under a kind of push of 1 N.
    fn index(&self, place: usize, part: Part, kind: PushKind) -> Option<f64> {
        let of_place = self.weakest.iter().filter(|(other, _)| *other == place);
        let found = of_place.filter_map(|(_, found)| found[kind as usize]);
        let of_part = found.filter(|(weakest, _)| weakest.part == part);
        of_part.map(|(weakest, _)| weakest.index.value).max_by(f64::total_cmp)
    }

    /// Both together, of one case.
    fn with(mut self, other: Self) -> Self {
        self.weakest.extend(other.weakest);
        self.left.extend(other.left);
        self
    }
}

impl Proof<'_> {
    /// Puts the solid model's numbers in place of the closed form's: of every place, or of the weakest of very many. Tells what is left
    /// to the closed form, and gives the cases that were solved.
    pub(super) fn prove(
        &self,
        closed_form: &[Place],
        places: &mut [Place],
        origins: &[Origin],
    ) -> (Vec<PieceRemark>, Worth) {
        let hopeless = self.hopeless(closed_form);
        let (chosen, mut rest) = self.chosen(closed_form, |k| !hopeless.contains(&k));
        let Ok(elastic) = Elastic::of(self.wood) else { return (Vec::new(), Worth(Vec::new())) };
        let (chosen, more) = self.affordable(chosen, closed_form, origins, &elastic);
        rest.extend(more);
        if chosen.is_empty() {
            return (Vec::new(), Worth(Vec::new()));
        }
        let threads = threads_at_once();
        let jobs = self.narrowed(&self.jobs(closed_form, origins, &chosen), &elastic, threads);
        let solve = |j: usize, proof: &Proof<'_>| proof.outcome_in_parts(&jobs[j], &elastic);
        let outcome = |j: usize| self.solved_once(&jobs[j], |proof| solve(j, proof));
        let outcomes = Copies::among(&jobs, self).each(threads, outcome, |original, j, shift| {
            original.as_ref().map(|original| moved_outcome(original, &jobs[j], shift))
        });
        let mut statics = Statics::new(self.network, self.skeleton, self.stretches, self.judged);
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
                    let new = self.push(bare, &weakest, &candidate, job, &mut statics);
                    let least =
                        parts.entry((k, weakest.kind as usize, weakest.part)).or_insert(f64::INFINITY);
                    let is_asked = self.cracks && weakest.part == Part::ShowFace && !self.is_layered();
                    if new.breaks_at_n < *least && is_asked {
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
        let left = in_order(cracks.len(), threads, |c| {
            let job = &cracks[c].1.1;
            self.about(job, |proof| proof.left_after(job, &elastic))
        });
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
            let left = self.mended && self.is_strong(&places[k]);
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
        let told = [
            (unproved(&hopeless), PieceRemark::Hopeless { places: unproved(&hopeless) }),
            (unproved(&rest), PieceRemark::TooMuchWork { places: unproved(&rest), unknowns: self.unknowns }),
        ];
        let told = told.into_iter().filter(|(places, _)| *places > 0).map(|(_, remark)| remark).collect();
        (told, Worth(jobs))
    }

    /// A push as the solid model answers it; `closed_form` is how it was answered before.
    fn push(
        &self,
        closed_form: &Push,
        weakest: &Weakest,
        candidate: &Candidate,
        job: &Job,
        statics: &mut Statics<'_>,
    ) -> Push {
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
            case: job.case,
            solved: Some(self.solved(closed_form, weakest, candidate, job, statics)),
            ..closed_form.clone()
        }
    }

    /// How the model came to an answer, and how the closed form would have judged the same forces.
    fn solved(
        &self,
        closed_form: &Push,
        weakest: &Weakest,
        plane: &Candidate,
        job: &Job,
        statics: &mut Statics<'_>,
    ) -> Solved {
        let breaks_at = weakest.index.breaks_at();
        // The closed form is that of the bare board.
        let bare = weakest.part == Part::Board && self.is_bare(plane);
        let beam = bare.then(|| Beam::new(plane, self.thickness, self.wood));
        let closed = closed_form.closed_form_n;
        let factors = match Why::is_asked(closed, breaks_at) {
            true if bare => self.factors(statics, closed, weakest, plane, job),
            true => vec![(Why::Ply, closed / breaks_at)],
            false => Vec::new(),
        };
        Solved {
            family: weakest.family,
            along: ["its start", "its middle", "its end"][usize::from(weakest.window[0])],
            through: ["the back", "mid-thickness", "the face"][usize::from(weakest.window[1])],
            traction: Traction {
                normal: weakest.traction.normal * breaks_at,
                along: weakest.traction.along * breaks_at,
                through: weakest.traction.through * breaks_at,
            },
            same_forces_n: beam
                .map(|beam| beam.index(weakest.kind, beam.wrench(weakest.kind, &weakest.forces)).breaks_at()),
            from: weakest.face.map(|(face, _)| face),
            pad_at: weakest.centre,
            factors,
            part: weakest.part,
            parts: Vec::new(),
            after_crack: None,
        }
    }

    /// What a place bears once the wood in front of its ply has cracked.
    fn left_after(&self, job: &Job, elastic: &Elastic) -> Option<f64> {
        let coarser = || self.model(job, elastic, Fineness::COARSE);
        let model = self.model(job, elastic, self.fineness(job)).or_else(coarser)?;
        let tried = job.worth_trying(model.pushes(&job.inside), 0);
        model.planes.left_after_crack(&model.answers(&tried)?)
    }

    /// Whether no ply lies over a plane.
    fn is_bare(&self, plane: &Candidate) -> bool {
        !self.plies.iter().any(|ply| ply.is_layer() || jobs::touches(ply, &plane.line))
    }

    /// So many more pads are tried to tell why a plane of a case parts; none where plies lie over all that is asked.
    fn probes(&self, job: &Job) -> usize {
        let mut planes = job.asked.iter().flat_map(|(_, planes)| planes);
        if planes.any(|plane| self.is_bare(plane)) { PROBES } else { 0 }
    }

    /// Whether it is a blank glued up of layers.
    fn is_layered(&self) -> bool {
        self.plies.iter().any(Ply::is_layer)
    }

    /// How finely a case is cut: most coarsely what needs no closer look.
    fn fineness(&self, job: &Job) -> Fineness {
        match job.case {
            _ if self.will_do_coarse(job) => Fineness::COARSE,
            Case::Carried => Fineness::BIG,
            Case::Place => Fineness::FINE,
        }
    }

    /// Whether a case is of a mended piece, which is tried many times over, and all that is asked bears many times its push.
    fn will_do_coarse(&self, job: &Job) -> bool {
        self.mended && job.is_strong()
    }

    /// The weakest answers of a case; where it is too big, of parts that have some of its places each, or without its strong places.
    fn outcome_in_parts(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        if let Some(outcome) = self.outcome(job, elastic) {
            return Some(outcome);
        }
        let Some(halves) = self.halves(job) else {
            return self.outcome(&job.without_strong()?, elastic);
        };
        let [one, other] = halves
            .map(|half| self.outcome_in_parts(&half, elastic).unwrap_or_else(|| Outcome::unsolved(&half)));
        Some(one.with(other))
    }

    /// A case that is too big in two of half its places, of a mended piece: of others the work is bounded.
    fn halves(&self, job: &Job) -> Option<[Job; 2]> {
        if self.mended { job.halves() } else { None }
    }

    /// The weakest answers of a case, place by place; all places at once are cut more finely where it counts.
    fn outcome(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        if job.case == Case::Carried && !self.will_do_coarse(job) {
            self.closer(job, elastic)
        } else {
            self.solved_by(job, elastic, self.fineness(job))
        }
    }

    /// The weakest answers of a case that is cut so finely.
    fn solved_by(&self, job: &Job, elastic: &Elastic, fineness: Fineness) -> Option<Outcome> {
        let model = self.model(job, elastic, fineness)?;
        let tried = job.worth_trying(model.pushes(&job.inside), self.probes(job));
        Some(Outcome::of(job, &model, &model.answers(&tried)?, self.thickness))
    }
}
