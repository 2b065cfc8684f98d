//! The index of one plane: mean tractions on it against the strengths it has.
//!
//! Each part of a traction is divided by its own strength; the index is the root of the sum of their
//! squares and reaches 1 at the break. Every index here is homogeneous of degree 1 (twice the traction,
//! twice the index) and convex in the tractions, so along any family of loads that are mixtures of
//! a few, the greatest index is at one of those few.

use super::Mode;
use crate::wood::Mechanics;

/// Mean tractions on a plane square to the face, over one window, in MPa.
///
/// On a grain plane `along` runs with the fibres. On a fibre section, which cuts the fibres square,
/// `normal` is the stress along the fibres and `along` the shear in the board's plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Traction {
    /// Square to the plane; pulling is positive.
    pub normal: f64,
    /// Along the line in which the plane meets the face.
    pub along: f64,
    /// Through the thickness.
    pub through: f64,
}

/// How much each part counts towards the square of an index: parts of 1, or all zero without load.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shares {
    /// Pulling across the grain.
    pub across: f64,
    /// Shear along the grain.
    pub shear_along: f64,
    /// Rolling shear.
    pub rolling: f64,
    /// Pulling or pressing along the fibres.
    pub fibre: f64,
}

/// How near a plane is to breaking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Index {
    /// Reaches 1 at the break.
    pub value: f64,
    /// The part that counts most.
    pub mode: Mode,
    /// How much each part counts.
    pub shares: Shares,
}

/// The strengths a plane is held against, in MPa.
#[derive(Clone, Copy, Debug)]
pub(super) struct Strengths {
    pub(super) across: f64,
    pub(super) along: f64,
    pub(super) rolling: f64,
    /// The modulus of rupture as a window's mean.
    pub(super) fibre: f64,
    pub(super) crushing: f64,
}

impl Strengths {
    #[inline]
    pub(super) fn of(wood: &Mechanics) -> Self {
        Self {
            across: wood.tension_across,
            along: wood.shear_along,
            rolling: wood.rolling_shear,
            // The modulus of rupture is the edge stress of a beam; a window at that edge sees 3/4 of it.
            fibre: super::BENDING_WINDOW * wood.bending,
            crushing: wood.compression_along,
        }
    }

    /// The squares on a grain plane. Pressing across neither helps nor hurts.
    #[inline]
    pub(super) fn grain(&self, traction: Traction) -> Shares {
        Shares {
            across: square(traction.normal.max(0.0) / self.across),
            shear_along: square(traction.along / self.along),
            rolling: square(traction.through / self.rolling),
            fibre: 0.0,
        }
    }

    /// The squares on a fibre section; both shears slide fibres along each other.
    #[inline]
    pub(super) fn fibres(&self, traction: Traction) -> Shares {
        Shares {
            across: 0.0,
            shear_along: (square(traction.along) + square(traction.through)) / square(self.along),
            rolling: 0.0,
            fibre: square(traction.normal.max(0.0) / self.fibre),
        }
    }

    /// The square of a whole section pressed along its fibres by a mean stress (pulling is positive).
    #[inline]
    pub(super) fn pressed(&self, mean_normal: f64) -> Shares {
        Shares { fibre: square((-mean_normal).max(0.0) / self.crushing), ..Shares::default() }
    }
}

/// Index of a grain plane: `(σn⁺/f_t90)² + (τ_along/f_v)² + (τ_through/f_r)²`, its root.
///
/// # Source
///
/// The quadratic form on the plane that contains the fibres is Hashin's matrix mode (*J. Appl. Mech.* 47,
/// 1980, from memory); for wood it stays within 3 % of Norris's and Hankinson's curves from 30° on.
#[inline]
pub fn splitting(traction: Traction, wood: &Mechanics) -> Index {
    Index::from_squares(Strengths::of(wood).grain(traction))
}

/// Index of a window on a fibre section: `(σL⁺/(0.75·MOR))² + (τ_in plane² + τ_through²)/f_v²`, its root.
///
/// Pressing along the fibres is no matter of a window, since the modulus of rupture already contains
/// it; see [`crushing`] for the section as a whole.
#[inline]
pub fn fibre(traction: Traction, wood: &Mechanics) -> Index {
    Index::from_squares(Strengths::of(wood).fibres(traction))
}

/// Index of a whole section whose mean stress along the fibres is `mean_normal` (pulling is positive).
#[inline]
pub fn crushing(mean_normal: f64, wood: &Mechanics) -> Index {
    Index::from_squares(Strengths::of(wood).pressed(mean_normal))
}

/// Index of a glued floor: peel, and the shears that roll the fibres of the host and of the insert.
///
/// Wood breaks beside the glue, not the glue itself, so the strengths are the wood's.
#[inline]
pub fn glue(peel: f64, across_host: f64, across_insert: f64, wood: &Mechanics) -> Index {
    let squares = Shares {
        across: square(peel.max(0.0) / wood.tension_across),
        rolling: square(across_host / wood.rolling_shear) + square(across_insert / wood.rolling_shear),
        ..Shares::default()
    };
    Index { mode: Mode::Glue, ..Index::from_squares(squares) }
}

impl Index {
    /// The push at which the index reaches 1, when this is the index of a push of 1 N. Infinite without
    /// load.
    #[inline]
    pub fn breaks_at(&self) -> f64 {
        1.0 / self.value
    }

    /// Whichever is nearer to breaking; this one when they tie.
    #[inline]
    #[must_use]
    pub fn or_larger(self, other: Self) -> Self {
        if other.value > self.value { other } else { self }
    }

    #[inline]
    pub(super) fn from_squares(squares: Shares) -> Self {
        let total = squares.sum();
        let shares = if total > 0.0 { squares.scaled(1.0 / total) } else { Shares::default() };
        Self { value: total.sqrt(), mode: squares.mode(), shares }
    }
}

impl Shares {
    /// All parts together: 1, or 0 without load.
    #[inline]
    pub fn sum(&self) -> f64 {
        self.across + self.shear_along + self.rolling + self.fibre
    }

    /// The part that counts most; ties go to the one named first.
    #[inline]
    fn mode(&self) -> Mode {
        let mut most = (self.across, Mode::Split);
        for part in
            [(self.shear_along, Mode::ShearAlong), (self.rolling, Mode::Rolling), (self.fibre, Mode::Fibre)]
        {
            if part.0 > most.0 {
                most = part;
            }
        }
        most.1
    }

    #[inline]
    fn scaled(&self, factor: f64) -> Self {
        Self {
            across: self.across * factor,
            shear_along: self.shear_along * factor,
            rolling: self.rolling * factor,
            fibre: self.fibre * factor,
        }
    }
}

#[inline]
fn square(x: f64) -> f64 {
    x * x
}
