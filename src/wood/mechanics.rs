//! The numbers of one board's wood that the strength rules ask for.

/// Strengths and stiffnesses of a board's wood at its moisture, as plain numbers in MPa.
///
/// "In plane" is the direction across the grain within the board's face: tangential in flat-sawn
/// stock, radial in quarter-sawn; "through" is the one along the thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Mechanics {
    /// Tension across the grain, mean of radial and tangential tests.
    pub tension_across: f64,
    /// Shear along the grain.
    pub shear_along: f64,
    /// Rolling shear: across the grain, in the plane that contains it.
    pub rolling_shear: f64,
    /// Bending along the grain (modulus of rupture).
    pub bending: f64,
    /// Compression along the grain.
    pub compression_along: f64,
    /// Compression across the grain at its proportional limit; not every wood has one.
    pub compression_across: Option<f64>,
    /// Young's modulus along the grain.
    pub young_along: f64,
    /// Young's modulus across the grain, in plane.
    pub young_in_plane: f64,
    /// Young's modulus across the grain, through the thickness.
    pub young_through: f64,
    /// Shear modulus of the face plane (along the grain against in plane).
    pub shear_modulus_face: f64,
    /// Shear modulus of the plane along the grain and through the thickness.
    pub shear_modulus_through: f64,
    /// Shear modulus of the plane across the grain (rolling).
    pub shear_modulus_rolling: f64,
    /// Poisson's ratio, pulled along the grain, contraction in plane.
    pub poisson_face: f64,
    /// Poisson's ratio, pulled along the grain, contraction through the thickness.
    pub poisson_through: f64,
    /// Poisson's ratio, pulled across the grain in plane, contraction through the thickness.
    pub poisson_rolling: f64,
    /// Coefficient of variation of tension across and rolling shear: 0.25, or 0.30 in very dry wood.
    pub variation_across: f64,
    /// Extra coefficient of variation where tension across is estimated: 0.19 hardwood, 0.16
    /// softwood, 0 where it is published or the user's own.
    pub variation_estimate: f64,
}
