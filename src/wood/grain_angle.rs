//! Strength at an angle to the grain, as the handbook draws it.

use crate::units::{Angle, Stress};

/// Strength at `angle` to the grain, by Hankinson's formula with θ for `angle`:
///
/// ```text
/// N = P·Q / (P·sinⁿθ + Q·cosⁿθ)
/// ```
///
/// For comparison with published tables only: what breaks a weak place is judged on grain planes, not by this
/// curve. `exponent` is 1.5 to 2 for tension and bending, 2 to 2.5 for compression. θ, −θ and 180° − θ give
/// the same strength.
///
/// # Accuracy
///
/// With Q/P = 0.10 and n = 1.5 within 4.5 points of the handbook's table for bending on sloping grain, on the
/// safe side at gentle slopes.
///
/// # Source
///
/// Wood Handbook, FPL-GTR-190 (2010), Eq. 5-2 and the text under it.
///
/// # Example
///
/// ```
/// use shortgrain::{units::{Angle, Stress}, wood::hankinson};
///
/// let halfway = hankinson(Stress::mpa(10.0), Stress::mpa(2.0), Angle::deg(45.0), 2.0);
/// assert!((halfway.as_mpa() - 10.0 / 3.0).abs() < 1e-12);
/// ```
pub fn hankinson(along: Stress, across: Stress, angle: Angle, exponent: f64) -> Stress {
    let (sin, cos) = angle.as_rad().sin_cos();
    let (sin, cos) = (sin.abs().powf(exponent), cos.abs().powf(exponent));
    let (along, across) = (along.as_mpa(), across.as_mpa());
    Stress::mpa(along * across / (along * sin + across * cos))
}
