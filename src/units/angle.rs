//! An angle, held in radians.

/// An angle, held in radians.
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
}

impl Angle {
    /// From degrees.
    pub const fn deg(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// In degrees.
    pub const fn as_deg(self) -> f64 {
        self.0.to_degrees()
    }
}
