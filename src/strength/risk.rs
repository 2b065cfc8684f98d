//! How likely a push breaks wood whose mean strength is known.
//!
//! The capacity is taken lognormal about its mean `breaks_at`, with one coefficient of variation `V` for
//! wood and model together: `s² = ln(1 + V²)`, median `breaks_at·exp(−s²/2)`.

use super::Shares;
use crate::wood::Mechanics;

/// The risk below which a place is sound: one in a hundred.
pub const SOUND_RISK: f64 = 0.01;
/// The risk above which a place is fragile: one in five.
pub const FRAGILE_RISK: f64 = 0.20;

/// Scatter of shear along the grain (Wood Handbook, table of average coefficients of variation, from
/// memory).
const VARIATION_SHEAR: f64 = 0.14;
/// Scatter of the modulus of rupture (same table, from memory); used for pressing along the fibres too.
const VARIATION_FIBRE: f64 = 0.16;
/// Scatter of the closed form itself: our own judgement, not published.
const VARIATION_MODEL: f64 = 0.20;

/// Quantiles of the standard normal distribution, held to the distribution itself by the tests.
const NORMAL_1_PERCENT: f64 = -2.326_347_874_040_841;
const NORMAL_20_PERCENT: f64 = -0.841_621_233_572_914_3;
const NORMAL_5_PERCENT: f64 = -1.644_853_626_951_472_7;

/// The coefficient of variation of a capacity, by what its index is made of:
/// `V² = (Σ share·V_part)² + V_estimate² + 0.20²`.
///
/// `V_estimate` counts whole wherever the wood's tension across is an estimate, whatever the shares: the
/// safe end.
#[inline]
pub fn variation(shares: &Shares, wood: &Mechanics) -> f64 {
    let material = (shares.across + shares.rolling) * wood.variation_across
        + shares.shear_along * VARIATION_SHEAR
        + shares.fibre * VARIATION_FIBRE;
    (material * material
        + wood.variation_estimate * wood.variation_estimate
        + VARIATION_MODEL * VARIATION_MODEL)
        .sqrt()
}

/// The standard deviation `s` of the logarithm of a capacity with coefficient of variation `variation`.
#[inline]
pub fn scatter(variation: f64) -> f64 {
    libm::sqrt(libm::log1p(variation * variation))
}

/// The 5 % point of the capacity: one piece in twenty breaks at less.
#[inline]
pub fn low(breaks_at: f64, variation: f64) -> f64 {
    let s = scatter(variation);
    breaks_at * libm::exp(-0.5 * s * s + NORMAL_5_PERCENT * s)
}

/// The chance, 0 to 1, that `push` breaks what breaks at `breaks_at` in the mean.
///
/// At a push as large as `breaks_at` this is a little over a half, since the median lies below the mean.
#[inline]
pub fn risk(push: f64, breaks_at: f64, variation: f64) -> f64 {
    if push <= 0.0 {
        return 0.0;
    }
    let s = scatter(variation);
    normal((libm::log(push / breaks_at) + 0.5 * s * s) / s)
}

/// How many times the push `breaks_at` has to be for the risk to be `risk`, between 0 and 1.
///
/// # Accuracy
///
/// Found by bisection of the distribution itself, to 1e-12.
pub fn factor_for_risk(risk: f64, variation: f64) -> f64 {
    factor(quantile(risk), variation)
}

/// How many times the push `breaks_at` has to be for a place to be sound.
pub fn sound_factor(variation: f64) -> f64 {
    factor(NORMAL_1_PERCENT, variation)
}

/// How many times the push `breaks_at` has to be for a place not to be fragile.
pub fn fragile_factor(variation: f64) -> f64 {
    factor(NORMAL_20_PERCENT, variation)
}

/// The chance that any of several places breaks when each is pushed once lies between these two: the worst
/// alone, and `1 − Π(1 − P)` as if they had nothing in common. Same board and same model mean they do.
pub fn any_breaks(risks: &[f64]) -> [f64; 2] {
    let worst = risks.iter().copied().fold(0.0, f64::max);
    // Summed as logarithms, so that many tiny risks do not vanish beside 1.
    let none = risks.iter().map(|&p| libm::log1p(-p)).sum::<f64>();
    [worst, -libm::expm1(none)]
}

/// The force that dents the wood under a pad of `area` mm² without breaking it, where the wood's
/// compression across is known.
#[inline]
pub fn dents_at(area: f64, wood: &Mechanics) -> Option<f64> {
    wood.compression_across.map(|strength| strength * area)
}

/// How many times the push the mean is, where the push lies at a quantile of the capacity.
#[inline]
fn factor(quantile: f64, variation: f64) -> f64 {
    let s = scatter(variation);
    libm::exp(0.5 * s * s - quantile * s)
}

/// The standard normal distribution.
#[inline]
fn normal(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// The point below which a standard normal variable lies with chance `p`.
fn quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-40.0, 40.0);
    while high - low > 1e-13 * (1.0 + f64::abs(low)) {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if normal(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_low_point_has_a_risk_of_one_in_twenty() {
        for v in [0.2, 0.32, 0.5] {
            assert!((risk(low(100.0, v), 100.0, v) - 0.05).abs() < 1e-12);
        }
    }

    #[test]
    fn the_factors_are_where_the_verdicts_change() {
        for v in [0.25, 0.32, 0.41] {
            assert!((risk(1.0, sound_factor(v), v) - SOUND_RISK).abs() < 1e-12);
            assert!((risk(1.0, fragile_factor(v), v) - FRAGILE_RISK).abs() < 1e-12);
            assert!((factor_for_risk(SOUND_RISK, v) / sound_factor(v) - 1.0).abs() < 1e-11);
            assert!((risk(1.0, factor_for_risk(0.03, v), v) - 0.03).abs() < 1e-12);
        }
    }

    #[test]
    fn no_push_is_no_risk_and_no_load_is_no_risk() {
        assert_eq!(risk(0.0, 50.0, 0.3), 0.0);
        assert_eq!(risk(45.0, f64::INFINITY, 0.3), 0.0);
        assert_eq!(any_breaks(&[]), [0.0, 0.0]);
        assert_eq!(any_breaks(&[1.0, 0.5]), [1.0, 1.0]);
    }

    #[test]
    fn tiny_risks_add_up() {
        let many = vec![1e-18; 1000];
        assert!((any_breaks(&many)[1] / 1e-15 - 1.0).abs() < 1e-9);
    }
}
