//! A length, held in millimetres.

/// A length, held in millimetres.
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
}
