//! A stress, held in megapascals.

/// A stress, held in megapascals.
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
}
