//! All places of a piece at once, cut nearly as finely as a place alone.
//!
//! Such a case is as big as the piece. A second look, as fine as all the planes together allow, tells which of them may be
//! the weakest; the finest mesh follows those alone. Where it finds them stronger than the look did, planes that the look
//! saw weaker than that are solved too.

use std::collections::BTreeMap;

use crate::solid::Elastic;

use super::{
    super::PushKind,
    Outcome, Proof,
    jobs::{Job, Spot},
    look::{Sight, add, weakest_of_alike},
    model::Fineness,
};

/// What the look sees within this part of the greatest index of its place is solved first; then what it sees above all that was
/// solved.
const WORTH: f64 = 0.9;
/// So many planes of a place for each kind of push are solved at once.
const AT_ONCE: usize = 3;
/// How many times they are, at the most. The look errs by a tenth or two, seldom by more, so that two rounds nearly always do.
const ROUNDS: usize = 4;

/// Place and number of a plane, for a kind of push.
type Asked = (PushKind, usize, usize);

impl Proof<'_> {
    /// The weakest answers of such a case; nothing where it is too big to be cut so finely.
    pub(super) fn closer(&self, job: &Job, elastic: &Elastic) -> Option<Outcome> {
        let sights = self.sights(job, Fineness::COARSE, elastic)?;
        let mut solved: Vec<Asked> = Vec::new();
        let mut outcome: Option<Outcome> = None;
        for round in 1..=ROUNDS {
            let (asked, spots) = still_worth(job, &sights, outcome.as_ref(), &solved, round * AT_ONCE);
            let planes: Vec<(usize, usize)> = asked.iter().map(|&(_, place, plane)| (place, plane)).collect();
            let Some(few) = job.of_only(&planes, spots) else { break };
            solved.extend(asked);
            let Some(new) = self.solved_by(&few, elastic, Fineness::WHOLE) else { break };
            outcome = Some(match outcome {
                Some(old) => old.with(new),
                None => new,
            });
        }
        outcome
    }
}

/// The planes and the pushes that may still be weaker than what was solved, up to `most` planes of each place
/// under each kind of push with those that were.
fn still_worth(
    job: &Job,
    sights: &[Sight],
    outcome: Option<&Outcome>,
    solved: &[Asked],
    most: usize,
) -> (Vec<Asked>, Vec<Spot>) {
    let mut asked: Vec<Asked> = Vec::new();
    let mut spots: Vec<Spot> = Vec::new();
    for kind in [PushKind::Face, PushKind::Side] {
        let mut greatest: BTreeMap<usize, f64> = BTreeMap::new();
        for sight in sights {
            let old = greatest.entry(sight.place).or_insert(0.0);
            *old = old.max(sight.peak(kind));
        }
        for (place, seen) in greatest.into_iter().filter(|(_, greatest)| *greatest > 0.0) {
            let found = outcome.and_then(|outcome| outcome.index(place, kind));
            let least = found.unwrap_or(WORTH * seen);
            let those = sights.iter().filter(|sight| sight.place == place && sight.peak(kind) >= least);
            let weakest = weakest_of_alike(job, those.collect(), kind).into_iter().take(most);
            for (place, plane) in weakest.filter(|&(place, plane)| !solved.contains(&(kind, place, plane))) {
                let sight = sights.iter().find(|sight| (sight.place, sight.plane) == (place, plane));
                let peaks = sight.into_iter().flat_map(|sight| &sight.peaks);
                let worth = peaks.filter(|(spot, peak)| spot.kind == kind && *peak >= least);
                worth.for_each(|(spot, _)| add(&mut spots, *spot));
                asked.push((kind, place, plane));
            }
        }
    }
    (asked, spots)
}
