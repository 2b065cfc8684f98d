//! The units a person reads: millimetres and newtons, or inches and pounds.

use super::{Force, Length, Stress, UnitError};
use std::{fmt, str::FromStr};

/// Which units an answer is shown in.
///
/// ```
/// use shortgrain::units::{Force, Length, Units};
///
/// assert_eq!(Units::Metric.length(Length::mm(6.35)), "6.4 mm");
/// assert_eq!(Units::Inch.length(Length::mm(6.35)), "0.250 in");
/// assert_eq!(Units::Inch.force(Force::n(45.0)), "10 lbf");
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Millimetres and newtons.
    #[default]
    Metric,
    /// Inches and pounds-force.
    Inch,
}

impl Units {
    /// A length to a tenth of a millimetre or a thousandth of an inch.
    pub fn length(self, length: Length) -> String {
        match self {
            Self::Metric => format!("{:.1} mm", rounded(length.as_mm(), 1)),
            Self::Inch => format!("{:.3} in", rounded(length.as_inch(), 3)),
        }
    }

    /// A force without decimals: nobody pushes to a tenth of a newton.
    pub fn force(self, force: Force) -> String {
        match self {
            Self::Metric => format!("{:.0} N", rounded(force.as_n(), 0)),
            Self::Inch => format!("{:.0} lbf", rounded(force.as_lbf(), 0)),
        }
    }

    /// A stress to a tenth of a megapascal, from 100 MPa on without decimals, or to whole pounds per square inch.
    pub fn stress(self, stress: Stress) -> String {
        match self {
            Self::Metric if stress.as_mpa().abs() < 99.95 => {
                format!("{:.1} MPa", rounded(stress.as_mpa(), 1))
            }
            Self::Metric => format!("{:.0} MPa", rounded(stress.as_mpa(), 0)),
            Self::Inch => format!("{:.0} psi", rounded(stress.as_psi(), 0)),
        }
    }

    /// What lengths are shown in ("mm").
    pub const fn length_unit(self) -> &'static str {
        match self {
            Self::Metric => "mm",
            Self::Inch => "in",
        }
    }

    /// What forces are shown in ("N").
    pub const fn force_unit(self) -> &'static str {
        match self {
            Self::Metric => "N",
            Self::Inch => "lbf",
        }
    }
}

/// Rounds half away from zero to `digits` decimals, and never to "-0.0".
///
/// Inch fractions fall on exact halves (3/4 in is 19.05 mm) that a double holds a hair below: the last bits are
/// not allowed to decide.
fn rounded(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale * (1.0 + 8.0 * f64::EPSILON)).round() / scale + 0.0
}

impl FromStr for Units {
    type Err = UnitError;

    /// # Errors
    ///
    /// [`UnitError::UnknownUnit`] unless it is `mm` or `in`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        match text.trim().to_lowercase().as_str() {
            "mm" => Ok(Self::Metric),
            "in" => Ok(Self::Inch),
            _ => Err(UnitError::UnknownUnit {
                typed: text.to_owned(),
                unit: text.trim().to_owned(),
                quantity: "unit to show lengths in",
                known: "mm or in",
            }),
        }
    }
}

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.length_unit())
    }
}
