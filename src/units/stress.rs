//! A stress, held in megapascals.

use super::{UnitError, force::N_PER_LBF, quantity::Kind};
use std::{fmt, str::FromStr};

/// Megapascals in a pound-force per square inch of 645.16 mm².
const MPA_PER_PSI: f64 = N_PER_LBF / 645.16;

/// A stress, held in megapascals (N/mm²).
///
/// Read from text it must carry a unit: `MPa`, `kPa`, `GPa`, `Pa`, `N/mm2`, `psi` (or `lbf/in2`) or `ksi`, in upper or
/// lower case.
///
/// ```
/// use shortgrain::units::Stress;
///
/// let strength: Stress = "600psi".parse()?;
/// assert!((strength.as_mpa() - 4.137).abs() < 0.001);
/// # Ok::<(), shortgrain::units::UnitError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Stress(f64);

impl Stress {
    /// From megapascals.
    pub const fn mpa(value: f64) -> Self {
        Self(value)
    }

    /// In megapascals.
    pub const fn as_mpa(self) -> f64 {
        self.0
    }

    /// From pounds-force per square inch.
    pub const fn psi(value: f64) -> Self {
        Self(value * MPA_PER_PSI)
    }

    /// In pounds-force per square inch.
    pub const fn as_psi(self) -> f64 {
        self.0 / MPA_PER_PSI
    }
}

const STRESS: Kind = Kind {
    name: "stress",
    example: "4.2MPa or 600psi",
    likely: ["MPa", "psi"],
    known: "MPa, kPa, GPa, Pa, N/mm2, psi or ksi",
    units: &[
        ("mpa", 1.0),
        ("n/mm2", 1.0),
        ("n/mm²", 1.0),
        ("kpa", 1e-3),
        ("gpa", 1e3),
        ("pa", 1e-6),
        ("psi", MPA_PER_PSI),
        ("lbf/in2", MPA_PER_PSI),
        ("lbf/in²", MPA_PER_PSI),
        ("ksi", 1e3 * MPA_PER_PSI),
    ],
};

impl FromStr for Stress {
    type Err = UnitError;

    /// # Errors
    ///
    /// Any [`UnitError`]: no unit, a unit that is not a stress's, no number, or one that is not finite.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        STRESS.read(text).map(Self)
    }
}

/// In megapascals; a precision such as `{:.1}` is kept. What it writes reads back as the same stress.
impl fmt::Display for Stress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)?;
        f.write_str(" MPa")
    }
}
