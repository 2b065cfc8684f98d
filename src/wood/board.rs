//! A board: its thickness, how its grain and rings run, and how wet it is.

use crate::units::{Angle, Length};

/// How the growth rings stand to the board's face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rings {
    /// Not known: the weaker of radial and tangential counts.
    #[default]
    Unknown,
    /// Flat-sawn: tangential in the face, radial through the thickness.
    Flat,
    /// Quarter-sawn: radial in the face, tangential through the thickness.
    Quarter,
    /// Rift-sawn: in between, at 45 degrees.
    Rift,
}

/// The board a piece is cut from, apart from its wood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Board {
    /// Thickness.
    pub thickness: Length,
    /// Anticlockwise from +x to the fibres, seen from the face.
    pub grain: Angle,
    /// How the growth rings stand to the face.
    pub rings: Rings,
    /// Moisture content in percent of the oven-dry mass.
    pub moisture_pct: f64,
}
