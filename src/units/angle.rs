//! An angle, held in radians.

use super::{UnitError, quantity::Kind};
use std::{f64::consts::PI, fmt, str::FromStr};

/// An angle, held in radians.
///
/// Read from text it must carry a unit: `deg` (or `°`) or `rad`.
///
/// ```
/// use shortgrain::units::Angle;
///
/// let grain: Angle = "90°".parse()?;
/// assert_eq!(grain, Angle::deg(90.0));
/// # Ok::<(), shortgrain::units::UnitError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// From radians.
    pub const fn rad(value: f64) -> Self {
        Self(value)
    }

    /// In radians.
    pub const fn as_rad(self) -> f64 {
        self.0
    }

    /// From degrees.
    pub const fn deg(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// In degrees.
    pub const fn as_deg(self) -> f64 {
        self.0.to_degrees()
    }

    /// The same run of fibres, which has no head and no tail, from 0 up to 180 degrees.
    pub fn of_grain(self) -> Self {
        let deg = self.as_deg();
        if (0.0..180.0).contains(&deg) { self } else { Self::deg(deg.rem_euclid(180.0) + 0.0) }
    }
}

const ANGLE: Kind = Kind {
    name: "angle",
    example: "90deg",
    likely: ["deg", "rad"],
    known: "deg or rad",
    units: &[("deg", PI / 180.0), ("°", PI / 180.0), ("degrees", PI / 180.0), ("rad", 1.0)],
};

impl FromStr for Angle {
    type Err = UnitError;

    /// # Errors
    ///
    /// Any [`UnitError`]: no unit, a unit that is not an angle's, no number, one that is not finite, or more than a hundred turns
    /// either way.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        let read = ANGLE.read(text)?;
        // A hundred turns, our own rule, and the last digit of what was typed.
        if read.abs() > 100.0 * 2.0 * PI * (1.0 + 1e-12) {
            return Err(UnitError::TooFarRound { typed: text.trim().to_owned(), most: "36000deg" });
        }
        Ok(Self(read))
    }
}

/// In degrees; a precision such as `{:.0}` is kept.
impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.as_deg(), f)?;
        f.write_str("°")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_not_an_angle() {
        let told = |typed: &str| typed.parse::<Angle>().expect_err("it is no angle").to_string();
        assert_eq!(told("up"), "up is not an angle: there is no number in front; write it as in 90deg");
        assert_eq!(
            told("1e308deg"),
            "1e308deg is more than any angle is; write one of at most 36000deg either way, such as 90deg"
        );
        assert!("-36000deg".parse::<Angle>().is_ok() && "36000.1deg".parse::<Angle>().is_err());
        assert_eq!(told("90mm"), "90mm is not an angle: \"mm\" is not one of its units; use deg or rad");
    }
}
