//! The piece that is to be mended, and what every remedy asks about it: is a changed piece good enough by the closed form, and what does
//! the whole check say of it.

use geo_types::Coord;

use crate::check::{Finding, Known, Options, Place, Prepared, PushKind, Pushes, Terms, check};
use crate::shape::Shape;
use crate::shape::plane::distance;
use crate::units::Units;
use crate::wood::{Board, Mechanics, OwnValues, Wood};

use super::goal::Goal;
use super::remedy::{Change, Kind, Refusal, Remedy, Standing};
use super::turn::weakest;

/// A piece with its board and what it has to bear.
#[derive(Clone, Copy, Debug)]
pub struct Patient<'a> {
    /// Its name in the drawing.
    pub name: &'a str,
    /// The piece as drawn.
    pub shape: &'a Shape,
    /// Its board.
    pub board: &'a Board,
    /// Its wood.
    pub wood: &'a Wood,
    /// The user's own figures for it.
    pub own: &'a OwnValues,
    /// That wood's numbers on that board.
    pub mechanics: &'a Mechanics,
    /// The pushes it has to bear.
    pub pushes: &'a Pushes,
    /// What sizes are rounded to: half millimetres or thirty-seconds of an inch.
    pub units: Units,
    /// The verdict that is wanted.
    pub goal: Goal,
    /// How it is checked.
    pub check: Options,
}

impl Patient<'_> {
    /// What it is judged by as it is.
    pub(super) const fn terms(&self) -> Terms<'_> {
        Terms {
            name: self.name,
            board: self.board,
            wood: self.mechanics,
            pushes: self.pushes,
            options: &self.check,
        }
    }
}

/// How far the solid model's answer lies from the closed form's, at a place.
#[derive(Clone, Copy, Debug)]
struct Bias {
    at: Coord<f64>,
    reach: f64,
    face: f64,
    side: f64,
}

/// What the closed form makes of a place, set right by what the solid model found there before.
#[derive(Clone, Copy, Debug)]
pub(super) struct Expected {
    pub(super) at: Coord<f64>,
    /// How many times stronger it would have to be against a push on the face, and on a side.
    pub(super) face: f64,
    pub(super) side: f64,
}

impl Expected {
    pub(super) fn worst(&self) -> f64 {
        self.face.max(self.side)
    }
}

/// A piece with what was found on it.
pub(super) struct Ward<'a> {
    pub(super) patient: Patient<'a>,
    pub(super) ready: Prepared<'a>,
    pub(super) before: Finding,
    /// What is known of its cases on its board.
    pub(super) known: Known,
    /// How far the two answers lie apart on the piece as it is.
    bias: Vec<Bias>,
}

/// A size that is asked for is met with this much to spare, so that the proof does not fail by a hair: our own rule.
pub(super) const TO_SPARE: f64 = 1.02;

impl<'a> Ward<'a> {
    pub(super) fn new(patient: Patient<'a>, ready: Prepared<'a>) -> Self {
        let check = Options { stubs: patient.check.stubs.or(Some(patient.board.thickness)), ..patient.check };
        let patient = Patient { check, ..patient };
        let known = Known::default();
        let before = ready.check_knowing(&patient.terms(), &[], &known, false);
        let bias = Self::biases(&before).collect();
        Self { patient, ready, before, known, bias }
    }

    fn biases(finding: &Finding) -> impl Iterator<Item = Bias> {
        let ratio = |place: &Place, kind: PushKind| {
            let push = place.push(kind);
            let ratio = push.breaks_at_n / push.closed_form_n;
            if ratio.is_finite() && ratio > 0.0 { ratio } else { 1.0 }
        };
        finding.places.iter().map(move |place| Bias {
            at: place.at,
            reach: place.neck_mm.max(3.0),
            face: ratio(place, PushKind::Face),
            side: ratio(place, PushKind::Side),
        })
    }

    /// The closed form alone.
    pub(super) fn closed_form(&self) -> Options {
        Options { solid: false, ..self.patient.check }
    }

    /// What the closed form makes of each place of a changed piece, put right where the solid model has answered nearby; `own` are
    /// answers on the changed piece itself.
    pub(super) fn expected(&self, finding: &Finding, own: Option<&Finding>) -> Vec<Expected> {
        let own: Vec<Bias> = own.into_iter().flat_map(Self::biases).collect();
        let of = |place: &Place| {
            let near = |bias: &&Bias| distance(bias.at, place.at) <= bias.reach.max(place.neck_mm);
            let away = |a: &&Bias, b: &&Bias| distance(a.at, place.at).total_cmp(&distance(b.at, place.at));
            let bias = own.iter().filter(near).min_by(away);
            let bias = bias.or_else(|| self.bias.iter().filter(near).min_by(away));
            self.lacks(place, bias.map_or((1.0, 1.0), |bias| (bias.face, bias.side)))
        };
        finding.places.iter().map(of).collect()
    }

    /// What each place of a proved finding lacks.
    pub(super) fn proved(&self, finding: &Finding) -> Vec<Expected> {
        finding.places.iter().map(|place| self.lacks(place, (1.0, 1.0))).collect()
    }

    /// What a place lacks when its pushes break it at so many times what is said of it.
    fn lacks(&self, place: &Place, (face, side): (f64, f64)) -> Expected {
        let (goal, pushes) = (self.patient.goal, self.patient.pushes);
        Expected {
            at: place.at,
            face: goal.shortfall_against(&place.face, pushes.face.as_n()) / face,
            side: goal.shortfall_against(&place.side, pushes.side.as_n()) / side,
        }
    }

    /// What a whole piece is expected to lack.
    pub(super) fn expected_shortfall(&self, finding: &Finding, own: Option<&Finding>) -> f64 {
        self.expected(finding, own).iter().map(Expected::worst).fold(0.0, f64::max)
    }

    /// A changed outline by the closed form; nothing where it has no skeleton.
    pub(super) fn look(&self, shape: &Shape) -> Option<Finding> {
        self.found(shape, &self.closed_form())
    }

    /// A changed outline by the whole check.
    pub(super) fn prove(&self, shape: &Shape) -> Option<Finding> {
        self.found(shape, &self.patient.check)
    }

    fn found(&self, shape: &Shape, options: &Options) -> Option<Finding> {
        let patient = &self.patient;
        check(patient.name, shape, patient.board, patient.mechanics, patient.pushes, options).ok()
    }

    /// The same outline on another board, of another wood.
    pub(super) fn on(&self, board: &Board, wood: &Mechanics, options: &Options) -> Finding {
        self.ready.check(self.patient.name, board, wood, self.patient.pushes, options)
    }

    /// What a piece lacks as it was found.
    pub(super) fn shortfall(&self, finding: &Finding) -> f64 {
        if self.patient.goal.is_reached_by(finding.verdict) {
            1.0
        } else {
            self.patient.goal.shortfall(finding, self.patient.pushes).max(1.0)
        }
    }

    /// Why a kind is not offered, with what the piece was found to lack.
    pub(super) fn refusal(&self, why: impl Into<String>, found: &Finding) -> Refusal {
        let is_solved = weakest(found, self.patient.pushes).1.is_none_or(|weak| weak.is_solved);
        let standing = if is_solved { Standing::Proved } else { Standing::Estimate };
        Refusal::lacking(why, self.shortfall(found), standing)
    }

    /// The places that are not good enough as they are.
    pub(super) fn wanting(&self) -> impl Iterator<Item = &Place> {
        self.before.places.iter().filter(|place| !self.patient.goal.is_reached_by(place.verdict))
    }

    /// A remedy with the finding on the mended piece.
    pub(super) fn remedy(&self, kind: Kind, change: Change, after: Finding, standing: Standing) -> Remedy {
        let (before, now) =
            (weakest(&self.before, self.patient.pushes).0, weakest(&after, self.patient.pushes).0);
        Remedy {
            kind,
            change,
            reaches_goal: self.patient.goal.is_reached_by(after.verdict),
            shortfall: Some(self.shortfall(&after)),
            gain: Some(if before == now { 1.0 } else { now / before }),
            after: Some(after),
            standing,
            empty_pockets: None,
            seasons: None,
            lost: Vec::new(),
            order: Vec::new(),
            remarks: Vec::new(),
        }
    }

    /// A size in steps people work to, rounded up: half millimetres, thirty-seconds of an inch.
    pub(super) fn stock_size(&self, mm: f64) -> f64 {
        let step = match self.patient.units {
            Units::Metric => 0.5,
            Units::Inch => 25.4 / 32.0,
        };
        (mm / step - 1e-6).ceil() * step
    }
}

/// The least size between two at which `enough` holds, to `close`; `enough` is taken to hold from some size on. Nothing where it does
/// not hold at the largest.
pub(super) fn least(low: f64, high: f64, close: f64, mut enough: impl FnMut(f64) -> bool) -> Option<f64> {
    if !enough(high) {
        return None;
    }
    let (mut low, mut high) = (low, high);
    while high - low > close {
        let middle = f64::midpoint(low, high);
        if enough(middle) { high = middle } else { low = middle }
    }
    Some(high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_size_is_found_from_above() {
        let found = least(1.0, 9.0, 0.01, |size| size >= 4.321).expect("nine is enough");
        assert!((4.321..4.332).contains(&found));
        assert_eq!(least(1.0, 9.0, 0.01, |size| size > 9.5), None);
    }
}
