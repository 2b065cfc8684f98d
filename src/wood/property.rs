//! What can be known of a wood, by name, in the order it is shown.

use super::WoodError;
use std::{fmt, str::FromStr};

/// One property of a wood in a board.
///
/// The order is the order in which values are printed, and also the one in which they come about: what a
/// property rests on stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Property {
    /// Specific gravity: oven-dry mass over volume at 12 % moisture.
    Gravity,
    /// Tension across the grain, mean of radial and tangential tests.
    TensionAcross,
    /// Shear along the grain.
    ShearAlong,
    /// Rolling shear.
    RollingShear,
    /// Bending along the grain: modulus of rupture.
    Bending,
    /// Compression along the grain.
    CompressionAlong,
    /// Compression across the grain at its proportional limit.
    CompressionAcross,
    /// Side hardness.
    Hardness,
    /// Young's modulus along the grain.
    YoungAlong,
    /// Young's modulus, radial.
    YoungRadial,
    /// Young's modulus, tangential.
    YoungTangential,
    /// Shear modulus, along and radial.
    ShearModulusLr,
    /// Shear modulus, along and tangential.
    ShearModulusLt,
    /// Shear modulus, radial and tangential (rolling).
    ShearModulusRt,
    /// Poisson's ratio, pulled along, contraction radial.
    PoissonLr,
    /// Poisson's ratio, pulled along, contraction tangential.
    PoissonLt,
    /// Poisson's ratio, pulled radially, contraction tangential.
    PoissonRt,
    /// Young's modulus across the grain, in the board's plane.
    YoungInPlane,
    /// Young's modulus across the grain, through the board's thickness.
    YoungThrough,
    /// Shear modulus of the board's face.
    ShearModulusFace,
    /// Shear modulus along the grain and through the thickness.
    ShearModulusThrough,
    /// Shear modulus in plane and through the thickness (rolling).
    ShearModulusRolling,
    /// Poisson's ratio, pulled along, contraction in plane.
    PoissonFace,
    /// Poisson's ratio, pulled along, contraction through the board's thickness.
    PoissonThrough,
    /// Poisson's ratio, pulled in plane, contraction through the board's thickness.
    PoissonRolling,
    /// Shrinkage from green to oven-dry, radial.
    ShrinkageRadial,
    /// Shrinkage from green to oven-dry, tangential.
    ShrinkageTangential,
    /// Change of size for one percent of moisture, radial.
    MovementRadial,
    /// Change of size for one percent of moisture, tangential.
    MovementTangential,
}

impl Property {
    /// Every property, in order.
    pub const ALL: [Self; 29] = [
        Self::Gravity,
        Self::TensionAcross,
        Self::ShearAlong,
        Self::RollingShear,
        Self::Bending,
        Self::CompressionAlong,
        Self::CompressionAcross,
        Self::Hardness,
        Self::YoungAlong,
        Self::YoungRadial,
        Self::YoungTangential,
        Self::ShearModulusLr,
        Self::ShearModulusLt,
        Self::ShearModulusRt,
        Self::PoissonLr,
        Self::PoissonLt,
        Self::PoissonRt,
        Self::YoungInPlane,
        Self::YoungThrough,
        Self::ShearModulusFace,
        Self::ShearModulusThrough,
        Self::ShearModulusRolling,
        Self::PoissonFace,
        Self::PoissonThrough,
        Self::PoissonRolling,
        Self::ShrinkageRadial,
        Self::ShrinkageTangential,
        Self::MovementRadial,
        Self::MovementTangential,
    ];

    /// Its name in JSON and in a board file, unit included ("tension_across_mpa").
    pub const fn name(self) -> &'static str {
        self.about().0
    }

    /// Its name in words ("tension across the grain").
    pub const fn label(self) -> &'static str {
        self.about().1
    }

    /// Its unit as printed: "MPa", "N", "%", "1/%", or "" for a plain ratio.
    pub const fn unit(self) -> &'static str {
        self.about().2
    }

    /// The values it can sensibly have; outside them something was mistyped.
    pub(super) const fn range(self) -> [f64; 2] {
        self.about().3
    }

    /// Name, words, unit, sensible values.
    const fn about(self) -> (&'static str, &'static str, &'static str, [f64; 2]) {
        // Strengths and stiffnesses span all woods several times over; gravity runs from balsa to a
        // wood that sinks like a stone.
        const STRENGTH: [f64; 2] = [0.01, 1_000.0];
        const STIFFNESS: [f64; 2] = [1.0, 100_000.0];
        const POISSON: [f64; 2] = [0.0, 2.0];
        match self {
            Self::Gravity => ("gravity", "specific gravity at 12 % moisture", "", [0.05, 1.5]),
            Self::TensionAcross => ("tension_across_mpa", "tension across the grain", "MPa", STRENGTH),
            Self::ShearAlong => ("shear_along_mpa", "shear along the grain", "MPa", STRENGTH),
            Self::RollingShear => ("rolling_shear_mpa", "rolling shear", "MPa", STRENGTH),
            Self::Bending => ("bending_mpa", "bending (modulus of rupture)", "MPa", STRENGTH),
            Self::CompressionAlong => {
                ("compression_along_mpa", "compression along the grain", "MPa", STRENGTH)
            }
            Self::CompressionAcross => (
                "compression_across_mpa",
                "compression across the grain (proportional limit)",
                "MPa",
                STRENGTH,
            ),
            Self::Hardness => ("hardness_n", "side hardness", "N", [10.0, 100_000.0]),
            Self::YoungAlong => ("young_along_mpa", "stiffness along the grain", "MPa", STIFFNESS),
            Self::YoungRadial => ("young_radial_mpa", "stiffness, radial", "MPa", STIFFNESS),
            Self::YoungTangential => ("young_tangential_mpa", "stiffness, tangential", "MPa", STIFFNESS),
            Self::ShearModulusLr => {
                ("shear_modulus_lr_mpa", "shear stiffness, along and radial", "MPa", STIFFNESS)
            }
            Self::ShearModulusLt => {
                ("shear_modulus_lt_mpa", "shear stiffness, along and tangential", "MPa", STIFFNESS)
            }
            Self::ShearModulusRt => {
                ("shear_modulus_rt_mpa", "shear stiffness, radial and tangential", "MPa", STIFFNESS)
            }
            Self::PoissonLr => ("poisson_lr", "Poisson's ratio, along to radial", "", POISSON),
            Self::PoissonLt => ("poisson_lt", "Poisson's ratio, along to tangential", "", POISSON),
            Self::PoissonRt => ("poisson_rt", "Poisson's ratio, radial to tangential", "", POISSON),
            Self::YoungInPlane => {
                ("young_in_plane_mpa", "stiffness across the grain, in plane", "MPa", STIFFNESS)
            }
            Self::YoungThrough => {
                ("young_through_mpa", "stiffness across the grain, through the thickness", "MPa", STIFFNESS)
            }
            Self::ShearModulusFace => {
                ("shear_modulus_face_mpa", "shear stiffness of the face", "MPa", STIFFNESS)
            }
            Self::ShearModulusThrough => {
                ("shear_modulus_through_mpa", "shear stiffness through the thickness", "MPa", STIFFNESS)
            }
            Self::ShearModulusRolling => {
                ("shear_modulus_rolling_mpa", "shear stiffness across the grain (rolling)", "MPa", STIFFNESS)
            }
            Self::PoissonFace => ("poisson_face", "Poisson's ratio, along to in plane", "", POISSON),
            Self::PoissonThrough => ("poisson_through", "Poisson's ratio, along to through", "", POISSON),
            Self::PoissonRolling => ("poisson_rolling", "Poisson's ratio, in plane to through", "", POISSON),
            Self::ShrinkageRadial => {
                ("shrinkage_radial_pct", "shrinkage green to dry, radial", "%", [0.1, 30.0])
            }
            Self::ShrinkageTangential => {
                ("shrinkage_tangential_pct", "shrinkage green to dry, tangential", "%", [0.1, 30.0])
            }
            Self::MovementRadial => {
                ("movement_radial_per_pct", "movement for 1 % moisture, radial", "1/%", [1e-5, 0.02])
            }
            Self::MovementTangential => {
                ("movement_tangential_per_pct", "movement for 1 % moisture, tangential", "1/%", [1e-5, 0.02])
            }
        }
    }
}

impl FromStr for Property {
    type Err = WoodError;

    /// Reads a name with or without its unit: `tension_across_mpa`, `tension_across`, `tension-across`.
    ///
    /// # Errors
    ///
    /// [`WoodError::UnknownProperty`] with the nearest names.
    fn from_str(text: &str) -> Result<Self, WoodError> {
        let typed = text.trim().to_lowercase().replace(['-', ' '], "_");
        let bare = |name: &'static str| {
            ["_mpa", "_n", "_per_pct", "_pct"].iter().find_map(|end| name.strip_suffix(end)).unwrap_or(name)
        };
        Self::ALL.into_iter().find(|p| p.name() == typed || bare(p.name()) == typed).ok_or_else(|| {
            let begins = Self::ALL.into_iter().find(|p| typed.len() > 2 && p.name().starts_with(&typed));
            let nearest = begins.or_else(|| {
                Self::ALL.into_iter().min_by_key(|p| {
                    strsim::damerau_levenshtein(&typed, p.name())
                        .min(strsim::damerau_levenshtein(&typed, bare(p.name())))
                })
            });
            WoodError::UnknownProperty {
                typed: text.trim().to_owned(),
                nearest: nearest.map_or("", Self::name),
            }
        })
    }
}

impl fmt::Display for Property {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.label())
    }
}
