//! All places of a piece at once, cut nearly as finely as a place alone.
//!
//! Such a case is as big as the piece. A second look, as fine as all the planes together allow, tells which of them may be
//! the weakest under which pushes; a finer mesh follows those alone. Where it finds a place stronger than the look did, the
//! planes and pushes that the look saw weaker than that are solved too.

use std::collections::BTreeSet;

use crate::solid::Elastic;

use super::{
    super::{PushKind, ply::Part},
    Outcome, Proof,
    jobs::{Job, Spot, add},
    look::{Sight, sights, weakest_of_alike},
    model::Fineness,
};

/// What the look sees within this part of the greatest index of its place is solved first; then what it sees above all that was
/// solved: our own rule.
const WORTH: f64 = 0.97;
/// How many times they are, at the most, each time one plane more: our own rule. The look errs by a few percent, seldom by a tenth, so that
/// three rounds nearly always do.
const ROUNDS: usize = 4;

/// A look with more unknowns than this is followed by a mesh of two layers instead of three: our own rule. Those of pieces with some ten
/// places have about 60 000, of lattices up to 240 000.
const FEW: usize = 80_000;

/// A place, the number of a plane of it, and a push.
type Asked = (usize, usize, Spot);

impl Proof<'_> {
    /// The weakest answers of such a case, by the look itself where it is too big to be cut more finely; nothing where that is.
    pub(super) fn closer(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        let model = self.model(job, elastic, Fineness::COARSE)?;
        let tried = job.worth_trying(model.pushes(&job.inside), self.probes(job));
        let answers = model.answers(&tried)?;
        let sights = sights(job, &model, &answers);
        let few = !self.mended && model.solid.dof_count() <= FEW;
        let fineness = if few { Fineness::WHOLE } else { Fineness::BIG };
        let mut solved: Vec<Asked> = Vec::new();
        let mut outcome: Option<Outcome> = None;
        for round in 1..=ROUNDS {
            let asked = still_worth(job, &sights, outcome.as_ref(), &solved, round);
            let planes: Vec<(usize, usize)> = asked.iter().map(|&(place, plane, _)| (place, plane)).collect();
            let mut spots = Vec::new();
            asked.iter().for_each(|(.., spot)| add(&mut spots, *spot));
            let Some(few) = job.of_only(&planes, spots) else { break };
            solved.extend(asked);
            // What can no longer be solved stays as it was found.
            let Some(new) = self.solved_by(&few, elastic, fineness) else { break };
            outcome = Some(match outcome {
                Some(old) => old.with(new),
                None => new,
            });
        }
        Some(outcome.unwrap_or_else(|| Outcome::of(job, &model, &answers, self.thickness)))
    }
}

/// The planes and the pushes that may still be weaker than what was solved, on up to `most` planes of each part of a place for each kind of
/// push.
fn still_worth(
    job: &Job,
    sights: &[Sight],
    outcome: Option<&Outcome>,
    solved: &[Asked],
    most: usize,
) -> Vec<Asked> {
    let mut asked: Vec<Asked> = Vec::new();
    let parts: BTreeSet<(usize, Part)> = sights.iter().map(|sight| (sight.place, sight.part)).collect();
    for kind in [PushKind::Face, PushKind::Side] {
        for &(place, part) in &parts {
            let of_part = || sights.iter().filter(|sight| (sight.place, sight.part) == (place, part));
            let seen = of_part().map(|sight| sight.peak(kind)).fold(0.0, f64::max);
            if seen <= 0.0 {
                continue;
            }
            let found = outcome.and_then(|outcome| outcome.index(place, part, kind));
            let least = found.unwrap_or(WORTH * seen);
            let those = of_part().filter(|sight| sight.peak(kind) >= least).collect();
            let weakest: Vec<(usize, usize)> =
                weakest_of_alike(job, those, kind).into_iter().take(most).collect();
            for sight in of_part().filter(|sight| weakest.contains(&(place, sight.plane))) {
                let worth = sight.peaks.iter().filter(|(spot, peak)| spot.kind == kind && *peak >= least);
                let new = worth.map(|(spot, _)| (place, sight.plane, *spot));
                asked.extend(new.filter(|one| !solved.contains(one)));
            }
        }
    }
    asked
}
