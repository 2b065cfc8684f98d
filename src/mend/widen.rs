//! Weak places made wider, each just as wide as it has to be.

use std::borrow::Borrow;

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;

use super::band::{Band, STEP, Stop};
use super::drawn::{Drawn, drawn, widened};
use super::ground::Ground;
use super::patient::{Expected, TO_SPARE, Ward, least};
use super::remedy::{Bar, Change, Kind, Refusal, Remedy, Standing};

/// A place that is good enough and thinner than this, in mm, is a tip; it is not widened for its neighbours' sake: our own rule.
const LEAST_NECK: f64 = 1.0;
/// What is found to do is tried narrower, down to this part of what was added, to this part: our own rule.
const NARROWEST: f64 = 0.4;
const NARROWER: f64 = 0.03;
/// An arm that falls short however wide it is may fall short by this much more for less wood: our own rule.
const AS_GOOD: f64 = 1.005;
/// More bands than this are tried narrower all together: our own rule.
const MANY: usize = 8;
/// No widening gains more than this many times the square of the widths: our own rule.
const BEYOND: f64 = 1.5;
/// Rounds of sizing by the closed form: our own rule.
const ROUNDS: usize = 6;
/// What each proof is sized to have to spare: the more, the less the last one bore out: our own rule.
const SPARE: [f64; 5] = [TO_SPARE, 1.05, 1.12, 1.12, 1.12];
/// A proof that leaves more than this part of what the best before it lacks is the last: our own rule.
const PROGRESS: f64 = 0.98;
/// A piece that lacks no more than this is only made wider, nowhere narrower: our own rule.
const NEARLY: f64 = 1.03;
/// A proof that gains little ends the sizing of a piece that lacks more than this: our own rule.
const HARDLY_LACKS: f64 = 1.05;
/// Widths less than this many steps apart are alike; where a piece is nearly enough, one step may be all that it lacks: our own rule.
const ALIKE: f64 = 1.5;
const ALIKE_NEARLY: f64 = 0.5;
/// A piece that lacks no more than this part of what it bears is not sized again for less wood: our own rule.
const CLOSE_ENOUGH: f64 = 0.93;

/// Widths that were tried by the closed form.
struct Sized {
    shape: Shape,
    added: Vec<f64>,
    /// How many times stronger the piece would still have to be; 1 or less where it would do.
    lack: f64,
    /// Whether every band is as wide as was asked.
    is_all: bool,
}

impl Sized {
    /// Less wood where both would do, else what lacks less.
    fn is_better(&self, other: &Self) -> bool {
        match (self.lack <= 1.0, other.lack <= 1.0) {
            (true, true) => self.shape.area() < other.shape.area(),
            _ => self.lack < other.lack,
        }
    }
}

/// Widths that were proved.
struct Proof {
    shape: Shape,
    added: Vec<f64>,
    finding: Finding,
    /// How many times stronger the piece would still have to be.
    lack: f64,
    reaches_goal: bool,
}

impl Proof {
    /// Whether it falls short by so little that less wood in one place, for which the push finds its way to another, may cost more than is lacking.
    fn is_nearly_enough(&self) -> bool {
        !self.reaches_goal && self.lack <= NEARLY
    }

    /// How many steps from its own widths others have to be for another proof.
    fn alike(&self) -> f64 {
        if self.is_nearly_enough() { ALIKE_NEARLY } else { ALIKE }
    }

    /// What does is only given up for less wood that does too, what does not for what lacks less.
    fn is_better(&self, other: &Self) -> bool {
        if other.reaches_goal {
            self.reaches_goal && self.shape.area() < other.shape.area()
        } else {
            self.lack < other.lack
        }
    }
}

/// The best of some proofs, of equal ones the first.
fn best<P: Borrow<Proof>>(proofs: impl IntoIterator<Item = P>) -> Option<P> {
    let better = |best: P, next: P| if next.borrow().is_better(best.borrow()) { next } else { best };
    proofs.into_iter().reduce(better)
}

/// Whether two sizings come to the same widths, to so many steps.
fn is_alike(one: &[f64], other: &[f64], steps: f64) -> bool {
    one.iter().zip(other).all(|(a, b)| (a - b).abs() < steps * STEP)
}

impl Ward<'_> {
    /// Every place that is not good enough, made as wide as it has to be and no wider.
    pub(super) fn widen(&self) -> Result<Remedy, Refusal> {
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
            return Err(Refusal::untried("no weak place has two walls that could stand farther apart"));
        }
        if weak().all(|band| band.most < STEP) {
            let by_outline = weak().any(|band| band.stops == Stop::Outline);
            return Err(Refusal::untried(if by_outline {
                "a wider arm would change the piece's overall size or run over what the arm ends in"
            } else {
                "the openings beside the weak places are too narrow to give any wood"
            }));
        }
        let Some(Proof { shape, added, finding, reaches_goal, .. }) = best(self.proofs(&ground, &bands))
        else {
            let hair: Vec<f64> =
                bands.iter().map(|band| if band.is_weak { STEP.min(band.most) } else { 0.0 }).collect();
            return Err(if widened(&ground, &bands, &hair).is_some() {
                Refusal::unjudged("the piece with its weak places wider could not be judged")
            } else {
                Refusal::untried(
                    "even a hair wider, the weak places would close an opening beside them or cut it in two",
                )
            });
        };
        let widened = || bands.iter().zip(&added).filter(|(_, added)| **added > 0.0);
        let bars: Vec<Bar> = widened()
            .map(|(band, added)| Bar {
                places: vec![band.place],
                at: band.at,
                from_mm: Some(band.width),
                to_mm: band.width + added,
            })
            .collect();
        let stopped = if reaches_goal {
            Vec::new()
        } else {
            self.stopped(&finding, &bands, &added, &Ground::new(&shape))
        };
        let change = Change::Outline { shape, bars };
        let remedy = self.remedy(Kind::Widen, change, finding, Standing::Proved);
        // Strength goes with the width, or with its square; more means that a place grew too stout to be judged as slender.
        let widest = widened().map(|(band, added)| (band.width + added) / band.width).fold(1.0, f64::max);
        if remedy.gain.is_some_and(|gain| gain > BEYOND * widest * widest) {
            return Err(Refusal::unjudged(
                "what would be wide enough is too stout to be judged as a slender part, so nothing vouches for it",
            ));
        }
        Ok(Remedy { remarks: stopped, ..remedy })
    }

    /// Widths, each sized by what was proved before, until they do with little to spare or gain little more.
    fn proofs(&self, ground: &Ground<'_>, bands: &[Band]) -> Vec<Proof> {
        let mut proofs: Vec<Proof> = Vec::new();
        for spare in SPARE {
            let last = proofs.last();
            let Some((shape, added)) = self.sized(ground, bands, last, spare) else { break };
            if last.is_some_and(|last| is_alike(&last.added, &added, last.alike())) {
                break;
            }
            let Some(finding) = self.prove(&shape) else { break };
            let lack = self.patient.goal.shortfall(&finding, self.patient.pushes);
            let reaches_goal = self.patient.goal.is_reached_by(finding.verdict);
            // What lacks a few hundredths is worth every proof there is: the one that gains little may show where it is lacking.
            let gains_little = !reaches_goal
                && best(&proofs).is_some_and(|best| lack > PROGRESS * best.lack && best.lack > HARDLY_LACKS);
            proofs.push(Proof { shape, added, finding, lack, reaches_goal });
            if gains_little || (reaches_goal && lack > CLOSE_ENOUGH) {
                break;
            }
        }
        proofs
    }

    /// The widths that the closed form asks for, put right by what the solid model has shown.
    fn sized(
        &self,
        ground: &Ground<'_>,
        bands: &[Band],
        last: Option<&Proof>,
        spare: f64,
    ) -> Option<(Shape, Vec<f64>)> {
        // From what was proved last, on the piece as it is or with its bands so much wider.
        let unwidened = vec![0.0; bands.len()];
        let (proved, from) = last.map_or((&self.before, &unwidened), |last| (&last.finding, &last.added));
        let start = self.proved(proved);
        // Nothing that fell short is made narrower, and what did not is not at once made much narrower: the two answers part differently at
        // other widths. Nor is anything where the whole is nearly enough.
        let is_nearly_enough = last.is_some_and(Proof::is_nearly_enough);
        let falls_short = |band: &Band| band.nearest(&start).is_some_and(|place| place.worst() > 1.0);
        let in_steps = |size: f64| (size / STEP - 1e-6).ceil() * STEP;
        let floor: Vec<f64> = bands
            .iter()
            .zip(from)
            .map(
                |(band, from)| {
                    if is_nearly_enough || falls_short(band) { *from } else { in_steps(0.5 * from) }
                },
            )
            .collect();
        let known = last.map(|last| &last.finding);
        let mut added: Vec<f64> = bands
            .iter()
            .zip(from)
            .map(|(band, from)| self.more(band, *from, band.nearest(&start), spare))
            .collect();
        let mut best: Option<Sized> = None;
        let mut before: Option<Vec<f64>> = None;
        for _ in 0..ROUNDS {
            for ((added, band), floor) in added.iter_mut().zip(bands).zip(&floor) {
                *added = in_steps(*added).max(*floor).min(band.most).max(0.0);
            }
            let Drawn { shape, added: tried, gave_way } = drawn(ground, bands, &added)?;
            let finding = self.look(&shape)?;
            let expected = self.expected(&finding, known);
            let lack = expected.iter().map(|expected| expected.worst() * spare).fold(0.0, f64::max);
            let next: Vec<f64> = bands
                .iter()
                .zip(&tried)
                .map(|(band, added)| self.more(band, *added, band.nearest(&expected), spare))
                .collect();
            let settled = is_alike(&next, &tried, ALIKE);
            let stuck = gave_way && before.is_some_and(|before| is_alike(&before, &tried, ALIKE));
            before = Some(tried.clone());
            let sized = Sized { shape, added: tried, lack, is_all: !gave_way };
            if best.as_ref().is_none_or(|best| sized.is_better(best)) {
                best = Some(sized);
            }
            // What gave way is asked again for what it could not give, or the first proof would be of less than there is room for. Once there is a
            // proof it alone knows which of those that share an opening needs it most.
            if stuck || (gave_way && known.is_some()) || (lack <= 1.0 && settled) {
                break;
            }
            added = next;
        }
        let Sized { shape, added, lack, is_all } = best?;
        if !is_all {
            return Some((shape, added));
        }
        // Each in turn narrower, as far as that is still enough, or an arm, which ends in what stays as drawn, still as good; where there are
        // many, all of them together.
        let most = if lack <= 1.0 { 1.0 } else { lack * AS_GOOD };
        let is_enough = |tried: &[f64]| {
            let looked = drawn(ground, bands, tried).and_then(|drawn| self.look(&drawn.shape));
            looked.is_some_and(|found| self.expected_shortfall(&found, known) * spare <= most)
        };
        let mut narrow = added.clone();
        let each: Vec<usize> =
            (0..bands.len()).filter(|&k| added[k] > STEP && (lack <= 1.0 || bands[k].is_arm())).collect();
        let turns = if each.len() <= MANY { each.iter().map(|k| vec![*k]).collect() } else { vec![each] };
        for turn in turns {
            let with = |scale: f64| {
                let mut tried = narrow.clone();
                turn.iter().for_each(|&k| tried[k] = in_steps(added[k] * scale).max(floor[k]).min(added[k]));
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Finding;
    use crate::mend::remark::{Remark, Taken};
    use crate::mend::sample::Case;
    use crate::shape::plane::Point;
    use crate::units::Force;
    use geo_types::{LineString, Polygon};

    /// A frame 30 wide all round with upright bars between openings that are so wide and 100 high, the grain across the bars.
    fn grille(openings: &[f64], bar: f64, push: f64) -> Case {
        let ring = |x0: f64, x1: f64, y0: f64, y1: f64| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let mut x = 30.0;
        let mut rings = Vec::new();
        for width in openings {
            rings.push(ring(x, x + width, 30.0, 130.0));
            x += width + bar;
        }
        let mut case = Case::of(Polygon::new(ring(0.0, x - bar + 30.0, 0.0, 160.0), rings));
        case.pushes.face = Force::n(push);
        case.pushes.side = Force::n(push);
        case
    }

    /// How much of each opening is taken, from left to right.
    fn taken(case: &Case, remedy: &Remedy) -> Vec<[f64; 2]> {
        let Change::Outline { shape, .. } = &remedy.change else { panic!("an outline is drawn anew") };
        let anew = Ground::new(shape);
        let mut openings: Vec<[f64; 2]> = case
            .shape
            .polygon()
            .interiors()
            .iter()
            .map(|ring| crate::shape::plane::extent(ring.0.iter().copied(), Point { x: 1.0, y: 0.0 }))
            .collect();
        openings.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let left = |[from, to]: [f64; 2]| {
            let middle = Point { x: f64::midpoint(from, to), y: 80.0 };
            let ways = [-1.0, 1.0].map(|x| anew.ray(middle, Point { x, y: 0.0 }).expect("a wall").away);
            [to - from - ways[0] - ways[1], to - from]
        };
        openings.into_iter().map(left).collect()
    }

    fn lack(case: &Case, found: &Finding) -> f64 {
        case.patient().goal.shortfall(found, &case.pushes)
    }

    #[test]
    fn a_grille_is_widened_until_it_does_or_its_openings_give_no_more() {
        for (push, reaches) in [(22.0, true), (30.0, true), (70.0, false)] {
            let case = grille(&[29.0; 4], 8.0, push);
            let remedy = case.ward().widen().expect("it can be widened");
            let taken = taken(&case, &remedy);
            assert!(taken.iter().all(|[taken, width]| *taken <= width / 3.0 + 1e-3), "{taken:?}");
            assert_eq!(remedy.reaches_goal, reaches, "{push}: {:?}", remedy.shortfall);
            if reaches {
                assert_eq!(remedy.remarks, []);
                let left = lack(&case, remedy.after.as_ref().expect("it was judged"));
                assert!((0.85..=1.0).contains(&left), "no wider than it has to be: {left}");
            } else {
                assert!(taken.iter().all(|[taken, width]| *taken >= 0.95 * width / 3.0), "{taken:?}");
                let [Remark::ThirdTaken(told)] = &remedy.remarks[..] else { panic!("{:?}", remedy.remarks) };
                assert!(told.iter().all(|Taken { width_mm, .. }| (width_mm - 29.0).abs() < 0.01), "{told:?}");
            }
        }
    }

    /// Between a narrow opening and a wide one both walls of a bar move alike only while the narrow one allows it.
    #[test]
    fn a_bar_takes_of_the_wide_opening_what_the_narrow_one_beside_it_cannot_give() {
        let case = grille(&[12.0, 60.0], 8.0, 28.0);
        let remedy = case.ward().widen().expect("it can be widened");
        let taken = taken(&case, &remedy);
        assert!(remedy.reaches_goal, "{:?} {taken:?}", remedy.shortfall);
        assert!((3.8..=4.0).contains(&taken[0][0]) && taken[1][0] > 2.0 * taken[0][0], "{taken:?}");
    }
}
