//! How far a piece is from the verdict that is wanted.

use crate::check::{Finding, Place, Push, PushKind, Pushes, Verdict};
use crate::strength::{FRAGILE_RISK, SOUND_RISK, fragile_factor, sound_factor};

/// The verdict a remedy has to reach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Goal {
    /// A risk under 1 %.
    #[default]
    Sound,
    /// A risk up to 20 %.
    Careful,
}

/// The 5 % point of the standard normal distribution, by which `low` is set.
const LOW: f64 = 1.644_853_626_951_472_7;

impl Goal {
    /// The verdict itself.
    pub const fn verdict(self) -> Verdict {
        match self {
            Self::Sound => Verdict::Sound,
            Self::Careful => Verdict::Careful,
        }
    }

    /// Whether a verdict is good enough.
    pub fn is_reached_by(self, verdict: Verdict) -> bool {
        verdict <= self.verdict()
    }

    /// How many times the push the mean force has to be, where its coefficient of variation is so much.
    pub(super) fn factor(self, variation: f64) -> f64 {
        match self {
            Self::Sound => sound_factor(variation),
            Self::Careful => fragile_factor(variation),
        }
    }

    /// How many times stronger a place would have to be against one push; 1 or less where it is strong enough.
    ///
    /// With the capacity lognormal, `P(push) = p` where `mean/push = exp(s²/2 + z·s)`, z the distance of p's
    /// quantile from the middle; s follows from the mean and its 5 % point in the same way.
    pub fn shortfall_against(self, push: &Push, stated: f64) -> f64 {
        let apart = libm::log(push.breaks_at_n / push.low_n);
        if !apart.is_finite() || push.breaks_at_n <= 0.0 {
            return if push.breaks_at_n > stated { 0.0 } else { f64::INFINITY };
        }
        let s = libm::sqrt(LOW * LOW + 2.0 * apart.max(0.0)) - LOW;
        let risk = match self {
            Self::Sound => SOUND_RISK,
            Self::Careful => FRAGILE_RISK,
        };
        stated / push.breaks_at_n * factor(risk, s)
    }

    /// The same for both pushes on a place.
    pub fn shortfall_of_place(self, place: &Place, pushes: &Pushes) -> f64 {
        let against = |kind: PushKind| self.shortfall_against(place.push(kind), pushes.of(kind).as_n());
        against(PushKind::Face).max(against(PushKind::Side))
    }

    /// The same for the place of a piece that lacks most; 0 where it has no place.
    pub fn shortfall(self, finding: &Finding, pushes: &Pushes) -> f64 {
        finding.places.iter().map(|place| self.shortfall_of_place(place, pushes)).fold(0.0, f64::max)
    }
}

/// `exp(s²/2 + z·s)` for one of the two risks.
fn factor(risk: f64, s: f64) -> f64 {
    // s² = ln(1 + V²), so V follows, and the strength rules know the factor.
    crate::strength::factor_for_risk(risk, libm::sqrt(libm::expm1(s * s)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample;
    use crate::strength::{low, risk};

    #[test]
    fn a_push_short_by_a_factor_is_just_sound_when_that_much_stronger() {
        for (goal, line) in [(Goal::Sound, SOUND_RISK), (Goal::Careful, FRAGILE_RISK)] {
            for variation in [0.24, 0.32, 0.41] {
                let mut push = sample::push(PushKind::Face, 31.0);
                push.low_n = low(31.0, variation);
                let short = goal.shortfall_against(&push, 45.0);
                assert!((risk(45.0, 31.0 * short, variation) / line - 1.0).abs() < 1e-6, "{short}");
            }
        }
    }

    #[test]
    fn what_never_breaks_lacks_nothing() {
        let push = sample::push(PushKind::Side, f64::INFINITY);
        assert_eq!(Goal::Sound.shortfall_against(&push, 45.0), 0.0);
    }
}
