//! A first look at every case, coarsely cut: which planes may be the weakest, and which pushes part them.
//!
//! Of the planes through a place most are far from parting, and of the pushes on it most are far from the worst; a
//! place taken out alone and the same place with others are seldom equally bad. What stays well below the
//! greatest index of its place is left out of the fine model, which then has fewer unknowns and fewer questions.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use super::{
    super::{Case, EASY, finding::PushKind, ply::Part},
    Elastic, Proof,
    copies::{Copies, moved_sight},
    jobs::{Job, Spot, add},
    known::Seen,
    model::{Fineness, Model},
    pushes::Tried,
    study::Answers,
};

/// What reaches this part of the greatest index is looked at again. A coarse cut errs by a tenth or so: with 0.85 places
/// of samples came out up to 20 % too strong, from 0.75 down nothing changes by more than a mesh does.
const WORTH: f64 = 0.75;
/// On a mended piece a place that bears many times its push by the closed form is left to it where a first look bears out this part of
/// that. Half of six times is three; a sound place needs little over two, and a first look errs by less than a third.
const BORNE_OUT: f64 = 0.5;

/// The greatest indices of a push of 1 N on one plane of a case.
#[derive(Clone, Debug)]
pub(super) struct Sight {
    /// The place, and the plane's number among those asked of it.
    pub(super) place: usize,
    pub(super) plane: usize,
    pub(super) part: Part,
    /// Of every push its spot and the greatest index on the plane.
    pub(super) peaks: Vec<(Spot, f64)>,
}

impl Sight {
    pub(super) fn peak(&self, kind: PushKind) -> f64 {
        self.peaks.iter().filter(|(spot, _)| spot.kind == kind).map(|(_, peak)| *peak).fold(0.0, f64::max)
    }
}

/// The greatest index of each place under each kind of push: of any part of it, and of each.
type Greatest = BTreeMap<(usize, Option<Part>, usize), f64>;

impl Proof<'_> {
    /// The cases that may hold a weakest answer, with the planes and pushes that may be it; on a mended piece without those of places
    /// that are easily strong enough.
    pub(super) fn narrowed(&self, jobs: &[Job], elastic: &Elastic, threads: usize) -> Vec<Job> {
        let seen = Copies::among(jobs, self).each(
            threads,
            |j| self.seen_once(&jobs[j], |proof| proof.seen(&jobs[j], elastic)),
            |seen, j, shift| {
                let moved = |sights: &Vec<Sight>| {
                    sights.iter().map(|sight| moved_sight(sight, jobs[j].asked[0].0, shift)).collect()
                };
                let of_copy =
                    |(_, sights): &(Job, Option<Vec<Sight>>)| (jobs[j].clone(), sights.as_ref().map(moved));
                Arc::new(seen.iter().map(of_copy).collect())
            },
        );
        let seen: Vec<(Job, Option<Vec<Sight>>)> = seen.into_iter().flat_map(Arc::unwrap_or_clone).collect();
        let (jobs, sights): (Vec<Job>, Vec<Option<Vec<Sight>>>) = seen.into_iter().unzip();
        let kinds = [PushKind::Face, PushKind::Side];
        // Each part of a place with something let in is looked at for itself, as its forces are told. Of a blank of layers the
        // front is, for the glue beside it; the others have to be about as weak as any.
        let layered = self.is_layered();
        let judged_alone = |part: Part| !layered || part == Part::ShowFace;
        let mut greatest = Greatest::new();
        for sight in sights.iter().flatten().flatten() {
            for (kind, part) in kinds.into_iter().flat_map(|kind| [(kind, None), (kind, Some(sight.part))]) {
                let old = greatest.entry((sight.place, part, kind as usize)).or_insert(0.0);
                *old = old.max(sight.peak(kind));
            }
        }
        let far = self.far_strong(&jobs, &sights, &greatest);
        let shares = self.shares_thickness();
        let worth = |case: Case, sight: &Sight, kind: PushKind, peak: f64| {
            let part = Some(sight.part).filter(|part| judged_alone(*part));
            let greatest = greatest[&(sight.place, part, kind as usize)];
            let is_left = far.contains(&sight.place) && (case == Case::Carried || !shares);
            greatest > 0.0 && peak >= WORTH * greatest && !is_left
        };
        let narrow = |(mut job, sights): (Job, Option<Vec<Sight>>)| {
            // A case that could not be seen is solved whole, but for the planes that only a look asks.
            let Some(sights) = sights else {
                job.asked.iter_mut().for_each(|(_, planes)| planes.retain(|plane| !plane.between));
                return Some(job);
            };
            let mut kept: Vec<(usize, usize)> = Vec::new();
            for kind in kinds {
                let those = sights.iter().filter(|sight| worth(job.case, sight, kind, sight.peak(kind)));
                kept.extend(weakest_of_alike(&job, those.collect(), kind));
            }
            let kept_sights = sights.iter().filter(|sight| kept.contains(&(sight.place, sight.plane)));
            let mut only: Vec<Spot> = Vec::new();
            for sight in kept_sights {
                let spots =
                    sight.peaks.iter().filter(|(spot, peak)| worth(job.case, sight, spot.kind, *peak));
                spots.for_each(|(spot, _)| add(&mut only, *spot));
            }
            job.of_only(&kept, only)
        };
        jobs.into_iter().zip(sights).filter_map(narrow).collect()
    }

    /// A case with what is seen of it; where it cannot be seen whole, in parts that have some of its places each, or without its strong
    /// places.
    fn seen(&self, job: &Job, elastic: &Elastic) -> Seen {
        if let Some(sights) = self.sights(job, elastic) {
            return vec![(job.clone(), Some(sights))];
        }
        if let Some(halves) = self.halves(job) {
            return halves.iter().flat_map(|half| self.seen(half, elastic)).collect();
        }
        let fewer = job.without_strong().and_then(|fewer| Some((self.sights(&fewer, elastic)?, fewer)));
        vec![fewer.map_or_else(|| (job.clone(), None), |(sights, fewer)| (fewer, Some(sights)))]
    }

    /// Whether layers share the board's thickness: they may bear much less than it does, and of that the closed form knows nothing. A strong place
    /// is then solved alone all the same, and left out where all are taken out at once if a first look bears out all of its strength.
    fn shares_thickness(&self) -> bool {
        self.plies.iter().any(|ply| ply.is_layer() && ply.heights_mm[1] > 0.0)
    }

    /// Which strong places of a mended piece are left to the closed form, since a first look bears it out.
    fn far_strong(
        &self,
        jobs: &[Job],
        sights: &[Option<Vec<Sight>>],
        greatest: &Greatest,
    ) -> BTreeSet<usize> {
        if !self.mended {
            return BTreeSet::new();
        }
        let part = if self.shares_thickness() { 1.0 } else { BORNE_OUT };
        // A case that could not be seen, or not with a place, tells nothing of it.
        let unseen = |place: usize| {
            jobs.iter().zip(sights).any(|(job, sights)| {
                let blind = sights.is_none() && job.asked.iter().any(|(asked, _)| *asked == place);
                blind || job.left.contains(&place)
            })
        };
        let borne_out = |place: usize, kind: PushKind| {
            let peak = greatest.get(&(place, None, kind as usize)).copied().unwrap_or(0.0);
            peak * part * EASY * self.pushes.of(kind).as_n() <= 1.0
        };
        let is_far = |place: &usize| {
            !unseen(*place)
                && [PushKind::Face, PushKind::Side].into_iter().all(|kind| borne_out(*place, kind))
        };
        jobs.iter().flat_map(|job| job.strong.iter().copied()).filter(is_far).collect()
    }

    /// What a first look at a case shows.
    pub(super) fn sights(&self, job: &Job, elastic: &Elastic) -> Option<Vec<Sight>> {
        let glance = || self.model(job, elastic, Fineness::GLANCE);
        let model = self.model(job, elastic, Fineness::LOOK).or_else(glance)?;
        let tried = model.pushes(&job.inside);
        Some(sights(job, &model, &model.answers(&tried)?))
    }
}

/// What the answers of a case show.
pub(super) fn sights(job: &Job, model: &Model, answers: &Answers<'_>) -> Vec<Sight> {
    let peaks = model.planes.peaks(answers, model.candidates.len());
    let spots: Vec<Spot> = answers.tried.iter().map(Tried::spot).collect();
    let numbers = job.asked.iter().flat_map(|(place, planes)| (0..planes.len()).map(|plane| (*place, plane)));
    let mut sights = Vec::new();
    for ((place, plane), parts) in numbers.zip(peaks) {
        for (part, peaks) in parts {
            sights.push(Sight { place, plane, part, peaks: spots.iter().copied().zip(peaks).collect() });
        }
    }
    sights
}

/// Place and number of the planes seen, the weakest first, without those beside a weaker one of the same place.
pub(super) fn weakest_of_alike(job: &Job, mut sights: Vec<&Sight>, kind: PushKind) -> Vec<(usize, usize)> {
    let place_of = |sight: &Sight| job.asked.iter().find(|(place, _)| *place == sight.place);
    let plane_of = |sight: &Sight| place_of(sight).map(|(_, planes)| planes[sight.plane]);
    let mut kept: Vec<&Sight> = Vec::new();
    // The first look's index is of a push of 1 N: the greater, the weaker.
    sights.sort_by(|a, b| b.peak(kind).total_cmp(&a.peak(kind)));
    for sight in sights {
        let stands_for_it = |old: &&Sight| {
            let planes = [plane_of(old), plane_of(sight)];
            (old.place, old.part) == (sight.place, sight.part)
                && matches!(planes, [Some(old), Some(new)] if old.is_like(&new))
        };
        if !kept.iter().any(stands_for_it) {
            kept.push(sight);
        }
    }
    kept.into_iter().map(|sight| (sight.place, sight.plane)).collect()
}
