//! Estimates from specific gravity, for what the tables leave blank.

use super::Property;
use std::fmt;

/// Hardwood or softwood: broad-leaved or needle-leaved, whatever its hardness.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// From a broad-leaved tree.
    Hardwood,
    /// From a needle-leaved tree.
    Softwood,
}

impl Class {
    /// In one word ("hardwood").
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hardwood => "hardwood",
            Self::Softwood => "softwood",
        }
    }

    /// Rolling shear as a part of shear along the grain.
    ///
    /// The handbook's range is 0.18 to 0.28 of it (recalled from its less common properties); hardwoods
    /// are taken at a third, which their tension across the grain bears out, softwoods at a quarter.
    pub(super) const fn rolling_part(self) -> (f64, &'static str) {
        match self {
            Self::Hardwood => (1.0 / 3.0, "a third"),
            Self::Softwood => (0.25, "a quarter"),
        }
    }

    /// Coefficient of variation that an estimated tension across the grain adds: the scatter of the printed
    /// values about the regression (our own arithmetic over the species table).
    pub(super) const fn variation_of_estimate(self) -> f64 {
        match self {
            Self::Hardwood => 0.19,
            Self::Softwood => 0.16,
        }
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// A strength that goes with specific gravity at 12 % moisture as `factor · G^exponent`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Regression {
    factor: f64,
    exponent: f64,
}

impl Regression {
    /// The published regression of `property`, in its own unit, where there is one.
    ///
    /// # Source
    ///
    /// Wood Handbook, FPL-GTR-190 (2010), Table 5-11a, written down from memory and borne out by a refit
    /// over the species table (`tests/published/wood_handbook.rs`).
    pub(super) const fn of(property: Property, class: Class) -> Option<Self> {
        use {
            Class::{Hardwood, Softwood},
            Property as P,
        };
        let (factor, exponent) = match (property, class) {
            (P::TensionAcross, Hardwood) => (10.1, 1.30),
            (P::TensionAcross, Softwood) => (6.0, 1.11),
            (P::ShearAlong, Hardwood) => (21.9, 1.13),
            (P::ShearAlong, Softwood) => (16.6, 0.85),
            (P::Bending, Hardwood) => (171.3, 1.13),
            (P::Bending, Softwood) => (170.7, 1.01),
            (P::CompressionAlong, Hardwood) => (76.0, 0.89),
            (P::CompressionAlong, Softwood) => (93.7, 0.97),
            // Of the modulus of elasticity in bending, a tenth below the true one.
            (P::YoungAlong, Hardwood) => (16_500.0 * TRUE_STIFFNESS, 0.70),
            (P::YoungAlong, Softwood) => (20_500.0 * TRUE_STIFFNESS, 0.84),
            _ => return None,
        };
        Some(Self { factor, exponent })
    }

    pub(super) fn at(self, gravity: f64) -> f64 {
        self.factor * gravity.powf(self.exponent)
    }

    /// Formula and source in one line.
    pub(super) fn source(self, gravity: f64) -> String {
        format!(
            "{:.1}·G^{:.2} with G = {gravity:.3}: Wood Handbook FPL-GTR-190 (2010), Table 5-11a (formula recalled)",
            self.factor, self.exponent
        )
    }
}

/// True stiffness along the grain over the printed modulus of elasticity, which was measured on beams of
/// span to depth 14 and includes their shear (Wood Handbook FPL-GTR-190 (2010), Table 5-3a, footnote c).
pub(super) const TRUE_STIFFNESS: f64 = 1.10;

/// Specific gravity on the volume at `moisture_pct` from `green`, that on green volume.
///
/// ```text
/// G_x = G_b / (1 − 0.265·G_b·(1 − x/30))
/// ```
///
/// # Source
///
/// Wood Handbook, FPL-GTR-190 (2010), Eq. 4-12 and 4-13.
pub fn gravity_at(green: f64, moisture_pct: f64) -> f64 {
    green / (1.0 - 0.265 * green * (1.0 - moisture_pct.min(30.0) / 30.0))
}
