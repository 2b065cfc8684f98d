//! A force, held in newtons.

/// A force, held in newtons.
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
}
