//! The same piece at every grain angle.
//!
//! The closed form ranks all angles, a whole check at each; round the best of them it looks closer. The solid model then proves three: the
//! angle the piece has, the best and the worst; for a remedy, which asks for no worst, the first two. What does not depend on the grain is found once.

use crate::check::{Finding, Form, Options, Place, Prepared, PushKind, Pushes, Verdict};
use crate::solid::{in_order, threads_at_once};
use crate::units::Angle;
use crate::wood::{Board, Mechanics};
use geo_types::Coord;

use super::angles::{SAME_DEG, amid, best, flat, folded, peaks, same, untried_beside, worst};
use super::goal::Goal;
use super::watch::Watch;

/// How the angles are chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnOptions {
    /// From one angle to the next.
    pub step: Angle,
    /// What turning has to reach to be enough.
    pub goal: Goal,
    /// How each angle is checked; whether by the solid model is settled here.
    pub check: Options,
}

impl Default for TurnOptions {
    fn default() -> Self {
        Self { step: Angle::deg(5.0), goal: Goal::Sound, check: Options::default() }
    }
}

/// The weakest push on a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeakestPush {
    /// The force that breaks it, in N.
    pub breaks_at_n: f64,
    /// Whether the solid model says so, or the closed form alone.
    pub is_solved: bool,
    /// Face or side.
    pub kind: PushKind,
    /// The middle of the place it breaks.
    pub at: Coord<f64>,
    /// What that place is.
    pub form: Form,
    /// At which angle its run crosses the grain, in degrees.
    pub crossing_deg: f64,
}

/// A piece at one grain angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtAngle {
    /// The grain's direction in the drawing, in degrees, from 0 up to 180.
    pub deg: f64,
    /// The least push over the stated one; infinite where nothing breaks.
    pub over: f64,
    /// What breaks; nothing on a piece without places.
    pub weakest: Option<WeakestPush>,
    /// The steepest crossing of all its slender places that are not sound; 0 where all are.
    pub steepest_deg: f64,
    /// The piece's verdict.
    pub verdict: Verdict,
}

/// An angle with both answers.
#[derive(Clone, Debug, PartialEq)]
pub struct ProvedAngle {
    /// By the closed form.
    pub closed_form: AtAngle,
    /// By the solid model.
    pub proved: AtAngle,
    /// All that the solid model found.
    pub finding: Finding,
}

/// What turning does for a piece, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// As it lies it reaches the goal.
    NotNeeded,
    /// At the best angle it reaches the goal.
    Enough,
    /// At the best angle it is stronger, but does not reach the goal.
    Helps,
    /// It lies nearly as well as it can; other angles are worse.
    AtItsBest,
    /// No angle is much better than any other.
    Useless,
}

impl Turning {
    /// The word, as programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotNeeded => "not_needed",
            Self::Enough => "enough",
            Self::Helps => "helps",
            Self::AtItsBest => "at_its_best",
            Self::Useless => "useless",
        }
    }

    /// Whether the piece reaches the goal, as it lies or turned.
    pub const fn is_enough(self) -> bool {
        matches!(self, Self::NotNeeded | Self::Enough)
    }
}

/// A piece turned through every grain angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Every angle tried, by the closed form, in rising order.
    pub angles: Vec<AtAngle>,
    /// The angle it has.
    pub present: ProvedAngle,
    /// The best angle; the present one where the solid model finds no other stronger.
    pub best: ProvedAngle,
    /// The worst angle; the present one where the solid model finds no other weaker.
    pub worst: ProvedAngle,
    /// From where to where the closed form stays within [`Turn::FLAT`] of its best, in degrees; the second may be above 180. All round,
    /// `[0, 180]`.
    pub flat_deg: [f64; 2],
    /// How many times what it bears as it lies it bears at the best angle, by the solid model.
    pub gain: f64,
    /// How many times what it bears at its worst angle it bears at its best, by the closed form.
    pub spread: f64,
    /// At every angle some place that is not sound crosses the grain at this angle or more, in degrees.
    pub always_crossing_deg: f64,
    /// What turning does.
    pub turning: Turning,
}

/// So many finer steps to one, while they are half a degree or more: our own rule.
const FINER: u32 = 5;
const FINEST_DEG: f64 = 0.5;

/// Turns a piece, known by its name, through every grain angle.
///
/// Angles are checked on all cores; the answer is the same on any number of them.
///
/// # Panics
///
/// When `options.step` is not above zero.
pub fn turn(
    name: &str,
    piece: &Prepared<'_>,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    options: &TurnOptions,
    watch: Watch<'_>,
) -> Turn {
    let options = TurnOptions { check: Options { solid: true, ..options.check }, ..*options };
    turned(&Sweep { name, piece, board, wood, pushes, options: &options, proves_worst: true, watch }, None)
}

/// The same, each angle proved as the options say; `known` is what such a check has found on the piece as it lies, where that is at hand.
pub(super) fn turned(sweep: &Sweep<'_>, known: Option<&Finding>) -> Turn {
    let (options, watch) = (sweep.options, sweep.watch);
    let present = folded(sweep.board.grain.as_deg());
    let angles = sweep.angles(present);
    let closed = |deg: f64| {
        *angles.iter().find(|angle| same(angle.deg, deg)).expect("every angle that is asked for was tried")
    };
    let (best, worst) = (best(&angles, present), worst(&angles, present));
    let mut asked = vec![present];
    let asked_too = [Some(best.deg), sweep.proves_worst.then_some(worst.deg)];
    for deg in asked_too.into_iter().flatten() {
        if !asked.iter().any(|&other| same(other, deg)) {
            asked.push(deg);
        }
    }
    let mut all: Vec<ProvedAngle> = Vec::new();
    for &deg in &asked {
        watch("proving angles", all.len(), asked.len());
        all.push(sweep.proved(closed(deg), known.filter(|_| same(deg, present))));
    }
    watch("proving angles", all.len(), asked.len());
    let proved = |deg: f64| {
        let found = all.iter().find(|angle| same(angle.closed_form.deg, deg));
        found.expect("it was asked for").clone()
    };
    let present = proved(present);
    let mut favourite = proved(best.deg);
    if !options.goal.is_reached_by(favourite.proved.verdict) {
        // Of angles about as good by the closed form the one amid them may bear more: it is farther from where that falls off.
        let amid = amid(&angles, flat(&angles, best.deg, Turn::FLAT));
        if !asked.iter().any(|&other| same(other, amid.deg)) {
            let other = sweep.proved(amid, None);
            if other.proved.over > favourite.proved.over {
                favourite = other;
            }
        }
    }
    // The closed form ranks; where the solid model does not bear it out, the piece stays as it lies.
    let borne_out = favourite.proved.over > present.proved.over;
    let best_angle = if borne_out { favourite } else { present.clone() };
    let unfavoured = sweep.proves_worst.then(|| proved(worst.deg));
    let unfavoured = unfavoured.filter(|worst| worst.proved.over < present.proved.over);
    let worst_angle = unfavoured.unwrap_or_else(|| present.clone());
    let flat_deg = flat(&angles, best_angle.closed_form.deg, Turn::FLAT);
    let gain = ratio(best_angle.proved.over, present.proved.over);
    let spread = ratio(best.over, worst.over);
    let turning = if options.goal.is_reached_by(present.proved.verdict) {
        Turning::NotNeeded
    } else if options.goal.is_reached_by(best_angle.proved.verdict) {
        Turning::Enough
    } else if spread < Turn::NO_SPREAD && gain < Turn::NO_SPREAD {
        Turning::Useless
    } else if gain < Turn::NO_GAIN {
        Turning::AtItsBest
    } else {
        Turning::Helps
    };
    let always_crossing_deg = angles.iter().map(|angle| angle.steepest_deg).fold(90.0, f64::min);
    Turn {
        present,
        best: best_angle,
        worst: worst_angle,
        flat_deg,
        gain,
        spread,
        always_crossing_deg,
        turning,
        angles,
    }
}

impl Turn {
    /// Below this spread no angle is worth choosing: by as much the wood of two boards differs. Our own rule.
    pub const NO_SPREAD: f64 = 1.5;
    /// Below this gain a piece lies as well as it can: less than wood differs from board to board. Our own rule.
    pub const NO_GAIN: f64 = 1.1;
    /// Angles within this part of the best count as just as good: our own rule.
    pub const FLAT: f64 = 0.05;

    /// How far the piece is to be turned on its blank, anticlockwise, from −90 to 90 degrees: turned so, the grain runs in it as at the
    /// best angle.
    pub fn by_deg(&self) -> f64 {
        let by = (self.present.closed_form.deg - self.best.closed_form.deg).rem_euclid(180.0);
        if by > 90.0 { by - 180.0 } else { by }
    }
}

/// What is turned, and how.
pub(super) struct Sweep<'a> {
    pub(super) name: &'a str,
    pub(super) piece: &'a Prepared<'a>,
    pub(super) board: &'a Board,
    pub(super) wood: &'a Mechanics,
    pub(super) pushes: &'a Pushes,
    pub(super) options: &'a TurnOptions,
    /// Whether the worst angle is proved too; else it is taken for the present one.
    pub(super) proves_worst: bool,
    pub(super) watch: Watch<'a>,
}

impl Sweep<'_> {
    /// Every step and the present angle, then closer round the best, and a degree beside that.
    fn angles(&self, present: f64) -> Vec<AtAngle> {
        let step = self.options.step.as_deg();
        assert!(step > 0.0, "the step between two angles is above zero");
        let count = (180.0 / step - 1e-9).ceil() as u32;
        let mut degs: Vec<f64> = (0..count).map(|k| f64::from(k) * step).collect();
        if !degs.iter().any(|&deg| same(deg, present)) {
            degs.push(present);
        }
        let mut angles = self.checked(&degs);
        let fine = step / f64::from(FINER);
        if fine >= FINEST_DEG - SAME_DEG {
            let mut closer: Vec<f64> = Vec::new();
            for centre in peaks(&angles) {
                for k in (1..FINER).flat_map(|k| [-f64::from(k), f64::from(k)]) {
                    let deg = folded(centre + k * fine);
                    if !closer.iter().any(|&other| same(other, deg))
                        && !angles.iter().any(|angle| same(angle.deg, deg))
                    {
                        closer.push(deg);
                    }
                }
            }
            angles.extend(self.checked(&closer));
        }
        // What looks best must not be spoilt by a degree either way.
        for _ in 0..angles.len() {
            let beside = untried_beside(&angles, best(&angles, present).deg);
            if beside.is_empty() {
                break;
            }
            angles.extend(self.checked(&beside));
        }
        angles.sort_by(|a, b| a.deg.total_cmp(&b.deg));
        angles
    }

    fn checked(&self, degs: &[f64]) -> Vec<AtAngle> {
        let done = std::sync::atomic::AtomicUsize::new(0);
        in_order(degs.len(), threads_at_once(), |k| {
            let closed_form = Options { solid: false, ..self.options.check };
            let angle = self.at(degs[k], &self.finding(degs[k], &closed_form));
            let done = done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            (self.watch)("trying angles", done, degs.len());
            angle
        })
    }

    fn proved(&self, closed_form: AtAngle, known: Option<&Finding>) -> ProvedAngle {
        let finding = known.cloned().unwrap_or_else(|| self.finding(closed_form.deg, &self.options.check));
        ProvedAngle { closed_form, proved: self.at(closed_form.deg, &finding), finding }
    }

    fn finding(&self, deg: f64, options: &Options) -> Finding {
        let board = Board { grain: Angle::deg(deg), ..*self.board };
        self.piece.check(self.name, &board, self.wood, self.pushes, options)
    }

    fn at(&self, deg: f64, finding: &Finding) -> AtAngle {
        // A corner's own grain line always crosses its way at a right angle, so only slender places tell.
        let slender = finding.places.iter().filter(|place| place.run.len() > 2);
        let weak = slender.filter(|place| place.verdict != Verdict::Sound);
        let (over, weakest) = weakest(finding, self.pushes);
        AtAngle {
            deg,
            over,
            weakest,
            steepest_deg: weak.map(|place| place.crossing_deg).fold(0.0, f64::max),
            verdict: finding.verdict,
        }
    }
}

/// The least push over the stated one, and what it breaks.
pub fn weakest(finding: &Finding, pushes: &Pushes) -> (f64, Option<WeakestPush>) {
    let Some(place) = weakest_place(finding, pushes) else { return (f64::INFINITY, None) };
    let push = place.weaker(pushes);
    let weakest = WeakestPush {
        breaks_at_n: push.breaks_at_n,
        is_solved: push.solved.is_some(),
        kind: push.kind,
        at: place.at,
        form: place.form,
        crossing_deg: place.crossing_deg,
    };
    (push.over(pushes), Some(weakest))
}

/// The place that breaks at the least part of its stated push; nothing where none breaks.
pub fn weakest_place<'a>(finding: &'a Finding, pushes: &Pushes) -> Option<&'a Place> {
    let breaks = finding.places.iter().filter(|place| place.over(pushes) < f64::INFINITY);
    breaks.min_by(|a, b| a.over(pushes).total_cmp(&b.over(pushes)))
}

/// A ratio of two answers, 1 where both are endless.
fn ratio(a: f64, b: f64) -> f64 {
    if a == b { 1.0 } else { a / b }
}
