//! The elastic constants of one ply's wood.

use super::{SolidFault, Stiffness};
use crate::wood::Mechanics;

/// Nine constants of an orthotropic material, with the board as its axes.
///
/// The three directions are *along* the grain, *in plane* (across the grain, within the face) and *through*
/// the thickness. A value of this type always belongs to a material that resists every deformation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    young: [f64; 3],
    shear: [f64; 3],
    poisson: [f64; 3],
}

impl Elastic {
    /// From Young's moduli (along, in plane, through), shear moduli (along with in plane, along with
    /// through, in plane with through), both in MPa, and Poisson's ratios (pulled along, contraction in plane;
    /// pulled along, contraction through; pulled in plane, contraction through).
    ///
    /// The three other ratios follow by symmetry: `ν_ij / E_i = ν_ji / E_j`.
    ///
    /// # Errors
    ///
    /// [`SolidFault::NotAModulus`] when a modulus is not a number above zero; [`SolidFault::NotStable`] when the
    /// ratios are such that some deformation would store no energy.
    pub fn new(young: [f64; 3], shear: [f64; 3], poisson: [f64; 3]) -> Result<Self, SolidFault> {
        const YOUNG: [&str; 3] = ["stiffness along", "stiffness in plane", "stiffness through the thickness"];
        const SHEAR: [&str; 3] = [
            "shear stiffness of the face",
            "shear stiffness through the thickness",
            "rolling shear stiffness",
        ];
        for (what, found) in YOUNG.into_iter().zip(young).chain(SHEAR.into_iter().zip(shear)) {
            if !(found.is_finite() && found > 0.0) {
                return Err(SolidFault::NotAModulus { what, found });
            }
        }
        let elastic = Self { young, shear, poisson };
        // Energy is positive for every deformation when the three leading minors of the normal compliances,
        // scaled to ones on the diagonal, are. NaN fails each comparison.
        let [[_, a, b], [_, _, c], _] = elastic.scaled_compliance();
        let stable = a * a < 1.0 && 1.0 + 2.0 * a * b * c - a * a - b * b - c * c > 1e-9;
        if stable { Ok(elastic) } else { Err(SolidFault::NotStable { young, poisson }) }
    }

    /// The constants of a board's wood.
    ///
    /// # Errors
    ///
    /// As [`Elastic::new`]; the woods of the shipped tables have none.
    pub fn of(wood: &Mechanics) -> Result<Self, SolidFault> {
        Self::new(
            [wood.young_along, wood.young_in_plane, wood.young_through],
            [wood.shear_modulus_face, wood.shear_modulus_through, wood.shear_modulus_rolling],
            [wood.poisson_face, wood.poisson_through, wood.poisson_rolling],
        )
    }

    /// A material that is alike in all directions, for benchmarks.
    ///
    /// # Errors
    ///
    /// As [`Elastic::new`].
    pub fn isotropic(young: f64, poisson: f64) -> Result<Self, SolidFault> {
        let shear = young / (2.0 * (1.0 + poisson));
        Self::new([young; 3], [shear; 3], [poisson; 3])
    }

    /// The stiffness of a ply of it whose grain stands at `grain_angle`, in radians anticlockwise from x.
    pub fn stiffness(&self, grain_angle: f64) -> Stiffness {
        let scale = self.young.map(f64::sqrt);
        let inner = inverse(self.scaled_compliance());
        let mut own = [[0.0; 6]; 6];
        for (i, row) in inner.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                own[i][j] = value * scale[i] * scale[j];
            }
        }
        // Order: through with in plane, through with along, face.
        let [face, through, rolling] = self.shear;
        (own[3][3], own[4][4], own[5][5]) = (rolling, through, face);
        Stiffness::turned(&own, grain_angle)
    }

    /// `S_ij·√(E_i·E_j)` of the normal stresses: ones on the diagonal, `−ν_ij·√(E_j/E_i)` beside it.
    fn scaled_compliance(&self) -> [[f64; 3]; 3] {
        let [along, plane, through] = self.young;
        let [lp, lt, pt] = self.poisson;
        let a = -lp * (plane / along).sqrt();
        let b = -lt * (through / along).sqrt();
        let c = -pt * (through / plane).sqrt();
        [[1.0, a, b], [a, 1.0, c], [b, c, 1.0]]
    }
}

/// The inverse of a symmetric matrix by its cofactors.
fn inverse(m: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let cofactor = |i: usize, j: usize| {
        let (a, b, c, d) = ((i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let determinant: f64 = (0..3).map(|j| m[0][j] * cofactor(0, j)).sum();
    std::array::from_fn(|i| std::array::from_fn(|j| cofactor(j, i) / determinant))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Angle, Length};
    use crate::wood::{Board, OwnValues, Rings, Wood};

    #[test]
    fn a_pull_along_gives_the_moduli_and_ratios_back() {
        let (young, shear, poisson) = ([11_000.0, 900.0, 2000.0], [1000.0, 1600.0, 350.0], [0.43, 0.39, 0.3]);
        let wood = Elastic::new(young, shear, poisson).unwrap().stiffness(0.0);
        // Strains of a pull of 1 MPa in each direction, from the definitions.
        let pulls = [
            [1.0 / young[0], -poisson[0] / young[0], -poisson[1] / young[0]],
            [-poisson[0] / young[0], 1.0 / young[1], -poisson[2] / young[1]],
            [-poisson[1] / young[0], -poisson[2] / young[1], 1.0 / young[2]],
        ];
        for (axis, [x, y, z]) in pulls.into_iter().enumerate() {
            for (other, stress) in wood.stress([x, y, z, 0.0, 0.0, 0.0]).into_iter().enumerate() {
                assert!((stress - f64::from(u8::from(other == axis))).abs() < 1e-12);
            }
        }
        let sheared = wood.stress([0.0, 0.0, 0.0, 1.0, 2.0, 3.0]);
        assert_eq!(sheared[3..], [350.0, 3200.0, 3000.0]);
    }

    #[test]
    fn every_wood_of_the_tables_is_stable_however_it_is_sawn() {
        for wood in Wood::all() {
            for rings in [Rings::Unknown, Rings::Flat, Rings::Quarter, Rings::Rift] {
                for moisture_pct in [0.0, 8.0, 30.0] {
                    let board =
                        Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings, moisture_pct };
                    let mechanics = wood.mechanics(&board, &OwnValues::none()).unwrap();
                    let found = Elastic::of(&mechanics);
                    assert!(found.is_ok(), "{} {rings:?}: {found:?}", wood.name());
                }
            }
        }
    }

    #[test]
    fn what_no_material_can_be_is_refused() {
        assert!(matches!(Elastic::isotropic(0.0, 0.3), Err(SolidFault::NotAModulus { .. })));
        assert!(matches!(Elastic::isotropic(f64::NAN, 0.3), Err(SolidFault::NotAModulus { .. })));
        assert!(
            matches!(Elastic::isotropic(1.0, 0.5), Err(SolidFault::NotStable { .. })),
            "keeps its volume"
        );
        assert!(matches!(Elastic::isotropic(1.0, f64::NAN), Err(SolidFault::NotAModulus { .. })));
        assert!(Elastic::isotropic(1.0, -0.9).is_ok() && Elastic::isotropic(1.0, 0.499).is_ok());
        let uneven = Elastic::new([1.0, 1.0, 1.0], [1.0; 3], [0.3, 0.3, f64::NAN]);
        assert!(matches!(uneven, Err(SolidFault::NotStable { .. })));
    }
}
