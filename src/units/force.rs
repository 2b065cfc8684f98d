//! A force, held in newtons.

use super::{UnitError, quantity::Kind};
use std::{fmt, str::FromStr};

/// Newtons in a pound-force: 0.45359237 kg at 9.80665 m/s², both exact.
pub(super) const N_PER_LBF: f64 = 0.453_592_37 * N_PER_KGF;
const N_PER_KGF: f64 = 9.806_65;

/// A force, held in newtons.
///
/// Read from text it must carry a unit: `N`, `kN`, `lbf` or `kgf`. A shop says `10lb` and `5kg` for the pull of
/// such a weight, so those are read as `lbf` and `kgf`.
///
/// ```
/// use shortgrain::units::Force;
///
/// let thumb: Force = "10lbf".parse()?;
/// assert!((thumb.as_n() - 44.482).abs() < 0.001);
/// # Ok::<(), shortgrain::units::UnitError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Force(f64);

impl Force {
    /// From newtons.
    pub const fn n(value: f64) -> Self {
        Self(value)
    }

    /// In newtons.
    pub const fn as_n(self) -> f64 {
        self.0
    }

    /// From pounds-force.
    pub const fn lbf(value: f64) -> Self {
        Self(value * N_PER_LBF)
    }

    /// In pounds-force.
    pub const fn as_lbf(self) -> f64 {
        self.0 / N_PER_LBF
    }
}

const FORCE: Kind = Kind {
    name: "force",
    example: "45N or 10lbf",
    likely: ["N", "lbf"],
    known: "N, kN, lbf or kgf",
    units: &[
        ("n", 1.0),
        ("kn", 1000.0),
        ("lbf", N_PER_LBF),
        ("lb", N_PER_LBF),
        ("lbs", N_PER_LBF),
        ("kgf", N_PER_KGF),
        ("kg", N_PER_KGF),
    ],
};

impl FromStr for Force {
    type Err = UnitError;

    /// # Errors
    ///
    /// Any [`UnitError`]: no unit, a unit that is not a force's, no number, or one that is not finite.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        FORCE.read(text).map(Self)
    }
}

/// In newtons; a precision such as `{:.0}` is kept. What it writes reads back as the same force.
impl fmt::Display for Force {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)?;
        f.write_str(" N")
    }
}
