//! A length, held in millimetres.

use super::{UnitError, quantity::Kind};
use std::{fmt, str::FromStr};

/// A length, held in millimetres.
///
/// Read from text it must carry a unit: `mm`, `cm`, `m`, `in` (or `"`), `ft` (or `'`), `pt`, `pc` or `px`,
/// in upper or lower case. Fractions are read as the trade writes them.
///
/// ```
/// use shortgrain::units::Length;
///
/// let stock: Length = "1 3/8in".parse()?;
/// assert_eq!(stock.to_string(), "34.925 mm");
///
/// let bare = "19".parse::<Length>().unwrap_err();
/// assert_eq!(bare.to_string(), "19 has no unit; write 19mm or 19in");
/// # Ok::<(), shortgrain::units::UnitError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// From millimetres.
    pub const fn mm(value: f64) -> Self {
        Self(value)
    }

    /// In millimetres.
    pub const fn as_mm(self) -> f64 {
        self.0
    }

    /// From inches of exactly 25.4 mm.
    pub const fn inch(value: f64) -> Self {
        Self(value * LengthUnit::In.in_mm())
    }

    /// In inches.
    pub const fn as_inch(self) -> f64 {
        self.0 / LengthUnit::In.in_mm()
    }

    /// So many of `unit`.
    pub const fn of(value: f64, unit: LengthUnit) -> Self {
        Self(value * unit.in_mm())
    }

    /// How many of `unit` it is.
    pub const fn as_unit(self, unit: LengthUnit) -> f64 {
        self.0 / unit.in_mm()
    }
}

const LENGTH: Kind = Kind {
    name: "length",
    example: "19mm or 3/4in",
    likely: ["mm", "in"],
    known: "mm, cm, m, in, ft, pt, pc or px",
    units: &[
        ("mm", LengthUnit::Mm.in_mm()),
        ("cm", LengthUnit::Cm.in_mm()),
        ("m", LengthUnit::M.in_mm()),
        ("in", LengthUnit::In.in_mm()),
        ("\"", LengthUnit::In.in_mm()),
        ("″", LengthUnit::In.in_mm()),
        ("”", LengthUnit::In.in_mm()),
        ("ft", LengthUnit::Ft.in_mm()),
        ("'", LengthUnit::Ft.in_mm()),
        ("′", LengthUnit::Ft.in_mm()),
        ("pt", LengthUnit::Pt.in_mm()),
        ("pc", LengthUnit::Pc.in_mm()),
        ("px", LengthUnit::Px.in_mm()),
    ],
};

impl FromStr for Length {
    type Err = UnitError;

    /// # Errors
    ///
    /// Any [`UnitError`]: no unit, a unit that is not a length's, no number, or one that is not finite.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        LENGTH.read(text).map(Self).map_err(|error| match error {
            UnitError::NoUnit { typed, first, second } => match quarters(&typed) {
                Some(inches) => UnitError::Quarters { typed, inches },
                None => UnitError::NoUnit { typed, first, second },
            },
            other => other,
        })
    }
}

/// A thickness as lumber is sold, from 4/4 to 16/4, in inches: `8/4` is `2in`, `5/4` is `1-1/4in`.
fn quarters(typed: &str) -> Option<String> {
    let count: u32 = typed.strip_suffix("/4")?.parse().ok().filter(|count| (4..=16).contains(count))?;
    let part = ["", "-1/4", "-1/2", "-3/4"].get(count as usize % 4)?;
    Some(format!("{}{part}in", count / 4))
}

/// In millimetres; a precision such as `{:.1}` is kept. What it writes reads back as the same length.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)?;
        f.write_str(" mm")
    }
}

/// A unit that a length may be given or shown in, and that a drawing may be drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum LengthUnit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Inch of exactly 25.4 mm, agreed in 1959.
    In,
    /// Foot, 12 inches.
    Ft,
    /// Point, 72 to the inch (CSS Values and Units, level 3, section 5.2).
    Pt,
    /// Pica, 6 to the inch (the same section).
    Pc,
    /// Pixel, 96 to the inch (the same section).
    Px,
}

impl LengthUnit {
    /// Every unit, smallest family first.
    pub const ALL: [Self; 8] =
        [Self::Mm, Self::Cm, Self::M, Self::In, Self::Ft, Self::Pt, Self::Pc, Self::Px];

    /// How many millimetres it is.
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::M => 1000.0,
            Self::In => 25.4,
            Self::Ft => 304.8,
            Self::Pt => 25.4 / 72.0,
            Self::Pc => 25.4 / 6.0,
            Self::Px => 25.4 / 96.0,
        }
    }

    /// How it is written ("mm").
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::In => "in",
            Self::Ft => "ft",
            Self::Pt => "pt",
            Self::Pc => "pc",
            Self::Px => "px",
        }
    }
}

impl FromStr for LengthUnit {
    type Err = UnitError;

    /// # Errors
    ///
    /// [`UnitError::Empty`] or [`UnitError::UnknownUnit`].
    fn from_str(text: &str) -> Result<Self, UnitError> {
        let typed = text.trim();
        if typed.is_empty() {
            return Err(UnitError::Empty { quantity: "length unit", example: "mm or in" });
        }
        let spelling = typed.to_lowercase();
        Self::ALL.into_iter().find(|unit| unit.name() == spelling).ok_or_else(|| UnitError::UnknownUnit {
            typed: typed.to_owned(),
            unit: typed.to_owned(),
            quantity: "length unit",
            known: LENGTH.known,
        })
    }
}

impl fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thickness_in_quarters_is_told_in_inches() {
        let told = |typed: &str| typed.parse::<Length>().expect_err("it has no unit").to_string();
        assert!(told("8/4").contains("write what it measures, such as 2in"), "{}", told("8/4"));
        assert!(told("5/4").contains("1-1/4in"));
        assert!(told("6/4").contains("1-1/2in"));
        // A board of three quarters is a size that people measure.
        assert_eq!(told("3/4"), "3/4 has no unit; write 3/4mm or 3/4in");
    }
}
