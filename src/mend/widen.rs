//! Weak places made wider, each just as wide as it has to be.

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;

use super::band::{Band, STEP, Stop, stops};
use super::drawn::{Drawn, drawn, widened};
use super::ground::Ground;
use super::patient::{Expected, TO_SPARE, Ward, least};
use super::remark::{Remark, Taken};
use super::remedy::{Bar, Change, Kind, Remedy, Standing};

/// A place that is good enough and thinner than this, in mm, is a tip; it is not widened for its neighbours' sake: our own rule.
const LEAST_NECK: f64 = 1.0;
/// A band that takes this part of what it may of an opening is held back by it: our own rule.
const HELD_BACK: f64 = 0.98;
/// What is found to do is tried narrower, down to this part of what was added, to this part: our own rule.
const NARROWEST: f64 = 0.4;
const NARROWER: f64 = 0.03;
/// More bands than this are tried narrower all together: our own rule.
const MANY: usize = 8;
/// No widening gains more than this many times the square of the widths: our own rule.
const BEYOND: f64 = 1.5;
/// Rounds of sizing by the closed form: our own rule.
const ROUNDS: usize = 6;
/// What each proof is sized to have to spare: the more, the less the last one bore out: our own rule.
const SPARE: [f64; 3] = [TO_SPARE, 1.05, 1.12];
/// A piece that lacks no more than this part of what it bears is not sized again for less wood: our own rule.
const CLOSE_ENOUGH: f64 = 0.93;

impl Ward<'_> {
    /// Every place that is not good enough, made as wide as it has to be and no wider.
    pub(super) fn widen(&self) -> Result<Remedy, String> {
        let ground = Ground::new(self.patient.shape);
        // Places that are good enough as they are may lack something once their neighbours are stiffer, so they are sized too.
        let places = self.before.places.iter();
        // A corner that only its grain line shows has no run to be widened along: it wants rounding.
        let is_weak = |place: &Place| !self.patient.goal.is_reached_by(place.verdict);
        let sized = places.filter(|place| {
            let slender = place.run.len() > 2;
            slender && (is_weak(place) || (place.form != Form::Along && place.neck_mm >= LEAST_NECK))
        });
        let bands: Vec<Band> = sized.filter_map(|place| Band::new(&ground, place, is_weak(place))).collect();
        let weak = || bands.iter().filter(|band| band.is_weak);
        if weak().next().is_none() {
            return Err("no weak place has two walls that could stand farther apart".to_owned());
        }
        if weak().all(|band| band.most < STEP) {
            let by_outline = weak().any(|band| band.stops == Stop::Outline);
            return Err(if by_outline {
                "a wider arm would change the piece's overall size or run over what the arm ends in"
                    .to_owned()
            } else {
                "the openings beside the weak places are too narrow to give any wood".to_owned()
            });
        }
        let mut known: Option<(Finding, Vec<f64>)> = None;
        let mut best: Option<(Shape, Vec<f64>, Finding)> = None;
        for spare in SPARE {
            let Some((shape, added)) = self.sized(&ground, &bands, known.as_ref(), spare) else { break };
            if known.as_ref().is_some_and(|(_, before)| *before == added) {
                break;
            }
            let Some(finding) = self.prove(&shape) else { break };
            let reached = self.patient.goal.is_reached_by(finding.verdict);
            let lack = self.patient.goal.shortfall(&finding, self.patient.pushes);
            let held_back = !reached && self.is_held_back(&finding, &bands, &added, &Ground::new(&shape));
            known = Some((finding.clone(), added.clone()));
            // What has been proved to do is only given up for less wood that does too.
            let better = best.as_ref().is_none_or(|(other, _, then)| {
                if self.patient.goal.is_reached_by(then.verdict) {
                    reached && shape.area() < other.area()
                } else {
                    lack < self.patient.goal.shortfall(then, self.patient.pushes)
                }
            });
            if better {
                best = Some((shape, added, finding));
            }
            if held_back || (reached && lack > CLOSE_ENOUGH) {
                break;
            }
        }
        let Some((shape, added, finding)) = best else {
            let hair: Vec<f64> =
                bands.iter().map(|band| if band.is_weak { STEP.min(band.most) } else { 0.0 }).collect();
            return Err(if widened(&ground, &bands, &hair).is_some() {
                "the piece with its weak places wider could not be judged".to_owned()
            } else {
                "even a hair wider, the weak places would close an opening beside them or cut it in two"
                    .to_owned()
            });
        };
        let anew = Ground::new(&shape);
        let widened = || bands.iter().zip(&added).filter(|(_, added)| **added > 0.0);
        let held_back = widened().filter(|(band, _)| band.too_much(&anew) > HELD_BACK);
        let taken = held_back.filter_map(|(band, _)| {
            let [taken_mm, width_mm] = band.taken(&anew)?;
            Some(Taken { place: band.place, taken_mm, width_mm })
        });
        let taken: Vec<Taken> = taken.collect();
        let bars: Vec<Bar> = widened()
            .map(|(band, added)| Bar {
                places: vec![band.place],
                at: band.at,
                from_mm: Some(band.width),
                to_mm: band.width + added,
            })
            .collect();
        let stopped = stops(&bands, &added);
        let change = Change::Outline { shape, bars };
        let mut remedy = self.remedy(Kind::Widen, change, finding, Standing::Proved);
        // Strength goes with the width, or with its square; more means that a place grew too stout to be judged as slender.
        let widest = widened().map(|(band, added)| (band.width + added) / band.width).fold(1.0, f64::max);
        if remedy.gain.is_some_and(|gain| gain > BEYOND * widest * widest) {
            return Err(
                "what would be wide enough is too stout to be judged as a slender part, so nothing vouches for it".to_owned()
            );
        }
        if !remedy.reaches_goal && !taken.is_empty() {
            remedy.remarks.push(Remark::ThirdTaken(taken));
        }
        remedy.remarks.extend(stopped.into_iter().map(Stop::remark));
        Ok(remedy)
    }

    /// The widths that the closed form asks for, put right by what the solid model has shown.
    fn sized(
        &self,
        ground: &Ground<'_>,
        bands: &[Band],
        known: Option<&(Finding, Vec<f64>)>,
        spare: f64,
    ) -> Option<(Shape, Vec<f64>)> {
        // From what was proved last, on the piece as it is or with its bands so much wider.
        let unwidened = vec![0.0; bands.len()];
        let (proved, from) = known.map_or((&self.before, &unwidened), |(finding, added)| (finding, added));
        let start = self.proved(proved);
        // Nothing that fell short is made narrower, and what did is not at once made much narrower: the two answers part differently at
        // other widths.
        let floor: Vec<f64> = from
            .iter()
            .map(|from| if self.patient.goal.is_reached_by(proved.verdict) { 0.5 * from } else { *from })
            .collect();
        let known = known.map(|(finding, _)| finding);
        let mut added: Vec<f64> = bands
            .iter()
            .zip(from)
            .map(|(band, from)| self.more(band, *from, band.nearest(&start), spare))
            .collect();
        let (mut last, mut before) = (None, None);
        for _ in 0..ROUNDS {
            for ((added, band), floor) in added.iter_mut().zip(bands).zip(&floor) {
                *added = ((added.max(*floor) / STEP - 1e-6).ceil() * STEP).min(band.most).max(0.0);
            }
            let Drawn { shape, added: tried, gave_way } = drawn(ground, bands, &added)?;
            let finding = self.look(&shape)?;
            let expected = self.expected(&finding, known);
            let enough = expected.iter().all(|expected| expected.worst() * spare <= 1.0);
            let next: Vec<f64> = bands
                .iter()
                .zip(&tried)
                .map(|(band, added)| self.more(band, *added, band.nearest(&expected), spare))
                .collect();
            let settled = next.iter().zip(&tried).all(|(next, now)| (next - now).abs() < 1.5 * STEP);
            let now = tried.clone();
            last = Some((shape, tried, enough && !gave_way));
            // What gave way is asked again for what it could not give, or the first proof would be of less than there is room for.
            let stuck = gave_way && before.as_ref() == Some(&now);
            before = Some(now);
            if stuck || (enough && settled) {
                break;
            }
            added = next;
        }
        let (shape, added, enough) = last?;
        if !enough {
            return Some((shape, added));
        }
        // Each in turn narrower, as far as that is still enough; where there are many, all of them together.
        let is_enough = |tried: &[f64]| {
            let looked = drawn(ground, bands, tried).and_then(|drawn| self.look(&drawn.shape));
            looked.is_some_and(|found| {
                self.expected(&found, known).iter().all(|one| one.worst() * spare <= 1.0)
            })
        };
        let mut narrow = added.clone();
        let each: Vec<usize> = (0..bands.len()).filter(|&k| added[k] > STEP).collect();
        let turns = if each.len() <= MANY { each.iter().map(|k| vec![*k]).collect() } else { vec![each] };
        for turn in turns {
            let with = |scale: f64| {
                let mut tried = narrow.clone();
                turn.iter().for_each(|&k| tried[k] = (added[k] * scale / STEP - 1e-6).ceil() * STEP);
                tried
            };
            if let Some(scale) = least(NARROWEST, 1.0, NARROWER, |scale| is_enough(&with(scale))) {
                narrow = with(scale);
            }
        }
        drawn(ground, bands, &narrow).map(|drawn| (drawn.shape, drawn.added)).or(Some((shape, added)))
    }

    /// How much is to be added to a band that now has `added`, from what it still lacks: strength goes with the width for a push on the
    /// face and with its square for one on a side.
    fn more(&self, band: &Band, added: f64, expected: Option<&Expected>, spare: f64) -> f64 {
        let Some(expected) = expected else { return added };
        // A place that is good enough as it is has to stay so, no more.
        let spare = if band.is_weak { spare } else { 1.0 };
        let now = band.width + added;
        let factor = (expected.face * spare).max((expected.side * spare).sqrt());
        (now * factor.clamp(0.5, 2.0) - band.width).clamp(0.0, band.most)
    }

    /// Whether all that still lacks something has grown as far as it may: no other widths do better then.
    fn is_held_back(&self, found: &Finding, bands: &[Band], added: &[f64], anew: &Ground<'_>) -> bool {
        let lacking = self.proved(found);
        let mut lacking = lacking.iter().filter(|place| place.worst() > 1.0).peekable();
        lacking.peek().is_some()
            && lacking.all(|place| {
                let near = bands.iter().zip(added).filter(|(_, added)| **added > 0.0);
                let near = near.min_by(|(a, _), (b, _)| a.away(place.at).total_cmp(&b.away(place.at)));
                near.is_some_and(|(band, added)| band.is_held_back(*added, anew))
            })
    }
}
