//! How near wood is to breaking: forces on a section, or tractions on a plane, against its strengths.
//!
//! In come the forces one push puts on a section ([`FaceForces`], [`SideForces`]) or the mean tractions on
//! a plane from any engine ([`Traction`]), and the wood's [`Mechanics`](crate::wood::Mechanics); out go the
//! [`Index`] that reaches 1 at the break, how the wood gives way, and how likely that is. Where the
//! forces come from, and which sections count, is left to others.
//!
//! Two families of plane are judged, always both: *grain planes*, which contain the fibres and stand
//! square to the face, and *fibre sections*, which cut the fibres square. Inside, everything is plain
//! `f64` in mm, N, MPa and radians.
//!
//! # The closed form in one paragraph
//!
//! A straight section square to the run carries bending stress that is greatest at an edge and shear that
//! is greatest in the middle. Wood this small does not break at a peak: the stress is averaged over a
//! quarter of the section, which leaves 3/4 of a bending edge's stress and 1.47/1.5 of a shear
//! parabola's top. The mean stress is resolved on the grain plane and on the fibre section, each part is
//! held against its strength, and the squares add up. Edge and middle are never added, the larger counts.

mod index;
mod mode;
mod risk;
mod section;
mod torsion;
mod working;

pub use index::{Index, Shares, Traction, crushing, fibre, glue, splitting};
pub use mode::Mode;
pub use risk::{
    FRAGILE_RISK, SOUND_RISK, any_breaks, dents_at, factor_for_risk, fragile_factor, low, risk, scatter,
    sound_factor, variation,
};
pub use section::{BENDING_WINDOW, FaceForces, Resistance, SHEAR_WINDOW, Section, SideForces};
pub use torsion::{Torsion, rectangle, stiffness};
pub use working::{Working, WorkingLine, explain_face, explain_side};

#[cfg(test)]
pub(crate) mod tests {
    use crate::wood::Mechanics;

    /// Black cherry, flat-sawn: the elastic set of our own model study; strengths as rounded there.
    pub(crate) fn cherry() -> Mechanics {
        Mechanics {
            tension_across: 3.9,
            shear_along: 11.7,
            rolling_shear: 3.9,
            bending: 85.0,
            compression_along: 49.0,
            compression_across: Some(4.8),
            young_along: 11330.0,
            young_in_plane: 974.38,
            young_through: 2232.01,
            shear_modulus_face: 1099.01,
            shear_modulus_through: 1665.51,
            shear_modulus_rolling: 373.89,
            poisson_face: 0.428,
            poisson_through: 0.392,
            poisson_rolling: 0.3034,
            variation_across: 0.25,
            variation_estimate: 0.0,
        }
    }
}
