//! Stresses from strains.

/// Stiffness of a ply in the axes of the piece, in MPa.
///
/// Stresses and strains are in the order xx, yy, zz, yz, xz, xy; shear strains are engineering ones (the whole
/// change of the right angle).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness([[f64; 6]; 6]);

impl Stiffness {
    /// A stiffness `own` given in axes that stand `angle` radians anticlockwise from x and y, brought to x and y.
    ///
    /// Stresses turn as `σ = M·σ'`. Work does not change, so strains turn as `ε' = Mᵀ·ε`, and
    /// `C = M·C'·Mᵀ`.
    pub(super) fn turned(own: &[[f64; 6]; 6], angle: f64) -> Self {
        let (s, c) = angle.sin_cos();
        let (ss, cc, sc) = (s * s, c * c, s * c);
        let turn = [
            [cc, ss, 0.0, 0.0, 0.0, -2.0 * sc],
            [ss, cc, 0.0, 0.0, 0.0, 2.0 * sc],
            [0.0, 0.0, 1.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, 0.0, c, s, 0.0],
            [0.0, 0.0, 0.0, -s, c, 0.0],
            [sc, -sc, 0.0, 0.0, 0.0, cc - ss],
        ];
        let mut half = [[0.0; 6]; 6];
        let mut whole = [[0.0; 6]; 6];
        for i in 0..6 {
            for j in 0..6 {
                half[i][j] = (0..6).map(|k| own[i][k] * turn[j][k]).sum();
            }
        }
        for i in 0..6 {
            for j in 0..6 {
                whole[i][j] = (0..6).map(|k| turn[i][k] * half[k][j]).sum();
            }
        }
        Self(std::array::from_fn(|i| std::array::from_fn(|j| f64::midpoint(whole[i][j], whole[j][i]))))
    }

    /// The stress of a strain.
    pub fn stress(&self, strain: [f64; 6]) -> [f64; 6] {
        self.0.map(|row| row.iter().zip(strain).map(|(c, e)| c * e).sum())
    }

    /// The matrix itself.
    pub const fn matrix(&self) -> &[[f64; 6]; 6] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use crate::solid::Elastic;
    use std::f64::consts::FRAC_PI_2;

    /// In two directions square to each other, what is pulled along x there is pulled along y here.
    #[test]
    fn a_quarter_turn_swaps_the_axes() {
        let wood = Elastic::of(&crate::strength::tests::cherry()).unwrap();
        let (plain, turned) = (wood.stiffness(0.0), wood.stiffness(FRAC_PI_2));
        let swap = [1, 0, 2, 4, 3, 5];
        for i in 0..6 {
            for j in 0..6 {
                let sign = if (i == 4 || j == 4) && i != j { -1.0 } else { 1.0 };
                let expected = sign * plain.matrix()[swap[i]][swap[j]];
                assert!((turned.matrix()[i][j] - expected).abs() < 1e-9, "{i} {j}");
            }
        }
    }

    #[test]
    fn a_material_alike_in_all_directions_does_not_notice_being_turned() {
        let steel = Elastic::isotropic(210_000.0, 0.3).unwrap();
        let (plain, turned) = (steel.stiffness(0.0), steel.stiffness(0.7));
        for (plain, turned) in plain.matrix().iter().flatten().zip(turned.matrix().iter().flatten()) {
            assert!((plain - turned).abs() < 1e-9);
        }
    }
}
