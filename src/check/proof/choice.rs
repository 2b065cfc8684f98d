//! Which places are proved: all of them, but of very many the weakest, as far as there is work to be had.

use std::cmp::Ordering;

use crate::solid::{Elastic, in_order, threads_at_once};

use super::{
    super::{Case, EASY, Options, Place},
    Proof,
    jobs::{Job, Origin},
    model::Fineness,
};

/// So many places are proved at the most, the weakest by the closed form first; of very finely drawn pieces fewer, since each
/// has its mesh. Our own rule.
const MOST_PLACES: usize = 64;
const LEAST_PLACES: usize = 4;
/// Of more places than that fewer are proved, never less than these: in a lattice each case is as big as the whole. Our own rule.
const MOST_WORK: usize = MOST_PLACES * MOST_PLACES;
const ALWAYS: usize = 24;
const MOST_POINTS: usize = 400_000;
/// A place that bears less than this part of its push by the closed form stays fragile whatever a solid model says, which finds a place
/// weaker oftener than stronger and never ten times as strong. A few are proved all the same, the weakest. Our own rule.
const HOPELESS: f64 = 0.1;
/// What a place costs is told from a first look at every so many; all its models together have about so many times that one's
/// unknowns (the samples' have 3 to 6 times): our own rule.
const TRIED: usize = 8;
const FINER: usize = 5;
/// Places whose sizes and closed forms differ by less than this part are alike: our own rule.
const ALIKE: f64 = 0.01;

impl Proof<'_> {
    /// The places that bear next to nothing, but for the weakest of all.
    pub(super) fn hopeless(&self, places: &[Place]) -> Vec<usize> {
        // The closed form knows nothing of what a mended piece is given.
        if self.mended {
            return Vec::new();
        }
        let mut all: Vec<usize> = (0..places.len()).filter(|&k| self.over(&places[k]) < HOPELESS).collect();
        all.sort_by(self.by_weakness(places));
        all.split_off(LEAST_PLACES.min(all.len()))
    }

    /// Those of the chosen places, the weakest first, whose models have no more unknowns than they may, and the others. It is told from
    /// a few of them, so that every machine finds the same.
    pub(super) fn affordable(
        &self,
        mut chosen: Vec<usize>,
        closed_form: &[Place],
        origins: &[Origin],
        elastic: &Elastic,
    ) -> (Vec<usize>, Vec<usize>) {
        // Mended pieces are tried by the dozen, each with few places that count.
        if chosen.len() <= LEAST_PLACES || self.mended {
            return (chosen, Vec::new());
        }
        chosen.sort_by(self.by_weakness(closed_form));
        let tried: Vec<usize> = chosen.iter().copied().step_by(TRIED).collect();
        let jobs = self.jobs(closed_form, origins, &tried);
        let alone: Vec<&Job> = jobs.iter().filter(|job| job.case == Case::Place).collect();
        let counts = in_order(alone.len(), threads_at_once(), |j| {
            self.model(alone[j], elastic, Fineness::LOOK).map_or(0, |model| model.solid.dof_count())
        });
        let of_all = counts.iter().sum::<usize>().max(1);
        let affordable = self.unknowns.saturating_mul(tried.len()) / FINER / of_all;
        let rest = chosen.split_off(affordable.max(LEAST_PLACES).min(chosen.len()));
        chosen.sort_unstable();
        (chosen, rest)
    }

    /// The places to be proved, and those left out because there are so many.
    pub(super) fn chosen(
        &self,
        places: &[Place],
        counts: impl Fn(usize) -> bool,
    ) -> (Vec<usize>, Vec<usize>) {
        let mut chosen: Vec<usize> = (0..places.len()).filter(|&k| counts(k)).collect();
        chosen.sort_by(self.by_weakness(places));
        let points = self.shape.rings().map(|ring| ring.0.len()).sum::<usize>().max(1);
        let by_points = (MOST_POINTS / points).clamp(LEAST_PLACES, MOST_PLACES);
        let by_places = (MOST_WORK / places.len().max(1)).clamp(ALWAYS, MOST_PLACES);
        // Who lets them have more unknowns wants more places proved.
        let most = by_points.min(by_places);
        let most = most.max(most.saturating_mul(self.unknowns) / Options::UNKNOWNS);
        let rest = chosen.split_off(most.min(chosen.len()));
        chosen.sort_unstable();
        (chosen, rest)
    }

    /// Whether a place bears many times its push by the closed form.
    pub(super) fn is_strong(&self, place: &Place) -> bool {
        self.over(place) >= EASY
    }

    /// A place that was left out because there are so many takes over what was found for one just like it.
    pub(super) fn take_over(&self, places: &mut [Place], chosen: &[usize], left: &[usize]) {
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
                // That lies where the other place does.
                if let Some(solved) = &mut now.solved {
                    solved.pad_at = None;
                }
            }
        }
    }

    pub(super) fn over(&self, place: &Place) -> f64 {
        place.over(self.pushes)
    }

    /// The weakest first.
    fn by_weakness<'p>(&'p self, places: &'p [Place]) -> impl Fn(&usize, &usize) -> Ordering + 'p {
        |a, b| self.over(&places[*a]).total_cmp(&self.over(&places[*b])).then(a.cmp(b))
    }
}
