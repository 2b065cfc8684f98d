//! Classical laminate theory: how layers glued crosswise stretch, bend and warp together.

use crate::wood::Mechanics;

/// A layer in plane stress, its fibres turned in the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lamina {
    /// Its thickness, in mm.
    pub thickness: f64,
    /// Its grain, radians from x.
    pub grain: f64,
    /// Young's moduli along and across its grain, in MPa.
    pub young: [f64; 2],
    /// Shear modulus in its plane.
    pub shear: f64,
    /// Poisson's ratio, pulled along, contraction across.
    pub poisson: f64,
    /// What it would stretch along and across its grain if it were free, as parts of one.
    pub free: [f64; 2],
}

/// A stack of layers. Strain at a height z above its middle is `e + z·κ`, with `e` and `κ` each along x, along y, and
/// in shear (twist).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laminate {
    /// Against stretching, in N/mm.
    pub stretch: [[f64; 3]; 3],
    /// What stretching and bending have to do with each other, in N.
    pub couple: [[f64; 3]; 3],
    /// Against bending, in N·mm.
    pub bend: [[f64; 3]; 3],
    /// The forces (N/mm) that would keep every layer at the length it was glued at.
    pub force: [f64; 3],
    /// The moments (N) that would.
    pub moment: [f64; 3],
}

/// How a free stack comes to rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warp {
    /// Strain of its middle.
    pub strain: [f64; 3],
    /// Curvature, in 1/mm: above zero its top is stretched, so that its edges bend down.
    pub curvature: [f64; 3],
}

impl Laminate {
    /// Layers from the bottom up.
    ///
    /// # Source
    ///
    /// R. M. Jones, *Mechanics of Composite Materials*, ch. 4. Compared with the worked examples of Berthelot, Jones,
    /// Mallick and Tsai, and with the solid model, in `tests/published/season.rs`.
    pub fn new(layers: &[Lamina]) -> Self {
        let whole: f64 = layers.iter().map(|layer| layer.thickness).sum();
        let mut sum = Self {
            stretch: [[0.0; 3]; 3],
            couple: [[0.0; 3]; 3],
            bend: [[0.0; 3]; 3],
            force: [0.0; 3],
            moment: [0.0; 3],
        };
        let mut low = -whole / 2.0;
        for layer in layers {
            let high = low + layer.thickness;
            let stiffness = layer.stiffness();
            let free = layer.free_strain();
            let powers = [high - low, (high * high - low * low) / 2.0, (high.powi(3) - low.powi(3)) / 3.0];
            let asked = stiffness.map(|row| row.iter().zip(free).map(|(q, free)| q * free).sum::<f64>());
            let own = |power: f64| stiffness.map(|row| row.map(|q| q * power));
            sum = sum.with(
                &Self {
                    stretch: own(powers[0]),
                    couple: own(powers[1]),
                    bend: own(powers[2]),
                    force: asked.map(|asked| asked * powers[0]),
                    moment: asked.map(|asked| asked * powers[1]),
                },
                1.0,
            );
            low = high;
        }
        sum
    }

    /// Stacks side by side that stretch and bend alike, each with its part of the width: an upper bound of their
    /// stiffness.
    pub fn beside(parts: &[(f64, Self)]) -> Self {
        parts.iter().fold(Self::new(&[]), |sum, (part, one)| sum.with(one, *part))
    }

    fn with(&self, other: &Self, part: f64) -> Self {
        let row = |a: [f64; 3], b: [f64; 3]| std::array::from_fn(|i| a[i] + part * b[i]);
        let block = |a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]| std::array::from_fn(|i| row(a[i], b[i]));
        Self {
            stretch: block(&self.stretch, &other.stretch),
            couple: block(&self.couple, &other.couple),
            bend: block(&self.bend, &other.bend),
            force: row(self.force, other.force),
            moment: row(self.moment, other.moment),
        }
    }

    /// How it comes to rest when nothing holds it.
    pub fn warp(&self) -> Warp {
        let mut rows = [[0.0; 7]; 6];
        for i in 0..3 {
            for j in 0..3 {
                rows[i][j] = self.stretch[i][j];
                rows[i][j + 3] = self.couple[i][j];
                rows[i + 3][j] = self.couple[i][j];
                rows[i + 3][j + 3] = self.bend[i][j];
            }
            rows[i][6] = self.force[i];
            rows[i + 3][6] = self.moment[i];
        }
        let [a, b, c, d, e, f] = solved(rows);
        Warp { strain: [a, b, c], curvature: [d, e, f] }
    }
}

impl Lamina {
    /// A layer of a wood, in the board's plane.
    pub const fn of(wood: &Mechanics, thickness: f64, grain: f64, free: [f64; 2]) -> Self {
        Self {
            thickness,
            grain,
            young: [wood.young_along, wood.young_in_plane],
            shear: wood.shear_modulus_face,
            poisson: wood.poisson_face,
            free,
        }
    }

    /// Its stiffness in the axes of the stack (plane stress), engineering shear.
    pub fn stiffness(&self) -> [[f64; 3]; 3] {
        let [along, across] = self.young;
        let base = 1.0 / (1.0 - self.poisson * self.poisson * across / along);
        let own = [
            [along * base, self.poisson * across * base, 0.0],
            [self.poisson * across * base, across * base, 0.0],
            [0.0, 0.0, self.shear],
        ];
        let turn = self.strain_turn();
        // Energy is the same in all axes: Q' = Tᵗ·Q·T, where T turns strains of the stack into the layer's own.
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                let term = |m: usize, n: usize| turn[m][i] * own[m][n] * turn[n][j];
                (0..9).map(|k| term(k / 3, k % 3)).sum()
            })
        })
    }

    /// What it would stretch in the axes of the stack.
    fn free_strain(&self) -> [f64; 3] {
        let (sin, cos) = self.grain.sin_cos();
        let [along, across] = self.free;
        [
            along * cos * cos + across * sin * sin,
            along * sin * sin + across * cos * cos,
            2.0 * sin * cos * (along - across),
        ]
    }

    fn strain_turn(&self) -> [[f64; 3]; 3] {
        let (s, c) = self.grain.sin_cos();
        [[c * c, s * s, s * c], [s * s, c * c, -s * c], [-2.0 * s * c, 2.0 * s * c, c * c - s * s]]
    }
}

/// Six equations, the right-hand side last, by elimination with the largest pivot.
fn solved(mut rows: [[f64; 7]; 6]) -> [f64; 6] {
    for k in 0..6 {
        let best = (k..6).max_by(|&a, &b| rows[a][k].abs().total_cmp(&rows[b][k].abs())).unwrap_or(k);
        rows.swap(k, best);
        let pivot = rows[k];
        for row in rows.iter_mut().skip(k + 1) {
            let times = row[k] / pivot[k];
            row.iter_mut().zip(pivot).for_each(|(value, above)| *value -= times * above);
        }
    }
    let mut answer = [0.0; 6];
    for k in (0..6).rev() {
        let known: f64 = (k + 1..6).map(|j| rows[k][j] * answer[j]).sum();
        answer[k] = (rows[k][6] - known) / rows[k][k];
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    fn layer(thickness: f64, grain: f64) -> Lamina {
        Lamina {
            thickness,
            grain,
            young: [11_330.0, 974.38],
            shear: 1099.01,
            poisson: 0.428,
            free: [0.0002, 0.01],
        }
    }

    #[test]
    fn what_is_the_same_from_both_sides_stays_flat() {
        let warp = Laminate::new(&[layer(6.0, 0.0), layer(6.0, FRAC_PI_2), layer(6.0, 0.0)]).warp();
        assert!(warp.curvature.iter().all(|bend| bend.abs() < 1e-15), "{warp:?}");
        assert!(warp.strain[0] < 0.002 && warp.strain[0] > 0.0002);
    }

    #[test]
    fn a_plain_board_moves_freely() {
        let warp = Laminate::new(&[layer(12.0, 0.3)]).warp();
        let free = layer(12.0, 0.3).free_strain();
        for (found, free) in warp.strain.into_iter().zip(free) {
            assert!((found - free).abs() < 1e-15);
        }
    }

    #[test]
    fn turning_the_whole_stack_turns_its_warp() {
        let stack = |by: f64| Laminate::new(&[layer(12.0, by), layer(6.0, by + FRAC_PI_2)]).warp().curvature;
        let [x, y, _] = stack(0.0);
        let [x_turned, y_turned, twist] = stack(FRAC_PI_2);
        assert!((x - y_turned).abs() < 1e-12 && (y - x_turned).abs() < 1e-12 && twist.abs() < 1e-12);
        let [x_half, y_half, _] = stack(FRAC_PI_2 / 2.0);
        assert!((x_half + y_half - x - y).abs() < 1e-12, "the sum of curvatures turns with nothing");
    }

    #[test]
    fn wood_beside_a_strip_holds_it_flatter() {
        let strip = Laminate::new(&[layer(6.0, FRAC_PI_2), layer(12.0, 0.0)]);
        let board = Laminate::new(&[layer(18.0, 0.0)]);
        let alone = strip.warp().curvature[1].abs();
        let half = Laminate::beside(&[(0.5, strip), (0.5, board)]).warp().curvature[1].abs();
        assert!(half < alone && half > 0.1 * alone, "{half} {alone}");
        assert!(Laminate::beside(&[(1.0, strip)]).warp() == strip.warp());
    }
}
