//! The shear stress that twisting puts on the middle of each side of a rectangle.

use crate::wood::Mechanics;
use std::f64::consts::{FRAC_PI_2, PI};

/// Twisting of a rectangular section, as two resistances in mm³: torque divided by one of them is the
/// greatest shear stress on that side, in the middle of the side.
///
/// Wood is stiffer against sliding along its fibres than against rolling them, so a section twists as a
/// plain one of other proportions would. With `G_rs` the shear modulus in the board's plane and `G_rt` the
/// one through its thickness, both seen along the run, a wooden rectangle of width `b` and thickness `t`
/// carries the stress function of a plain one with sides `√G_rt·b` and `√G_rs·t` (the equation `ψ_ss/G_rt
/// + ψ_tt/G_rs = −2θ`, with each axis stretched). The torques then are
///
/// ```text
/// τ_face = T / (α_L·b·t²)      τ_wall = T / (α_r·t·b²)
/// ```
///
/// For a run square to the grain, `G_rs` is the wood's shear modulus in the face and `G_rt` its rolling
/// shear modulus. For a run at `φ` to the grain both follow the rotation of compliances:
///
/// ```text
/// 1/G_rt = cos²φ/G_through + sin²φ/G_rolling
/// 1/G_rs = cos²2φ/G_face + sin²2φ·(1/E_L + 1/E_n + 2ν/E_L)
/// ```
///
/// # Accuracy
///
/// The series are summed to better than 1e-6. An oblique run also bends a little when it is twisted; that
/// coupling is left out. Between 90° and 0° the numbers are therefore an estimate.
///
/// # Source
///
/// Saint-Venant's rectangle: Timoshenko and Goodier, *Theory of Elasticity*, torsion chapter (from
/// memory); the stretched axes: Lekhnitskii, *Theory of Elasticity of an Anisotropic Body* (from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Torsion {
    /// `α_L·b·t²`: for the stress on the faces, in the board's plane.
    pub face: f64,
    /// `α_r·t·b²`: for the stress on the walls, through the thickness.
    pub wall: f64,
    /// `α_L` alone.
    pub alpha_face: f64,
    /// `α_r` alone.
    pub alpha_wall: f64,
    /// Torque per twist and length, in N·mm².
    pub rigidity: f64,
}

impl Torsion {
    /// The resistances of a section `width` by `thickness`, square to a run at `crossing` to the grain.
    #[inline]
    pub fn new(width: f64, thickness: f64, crossing: f64, wood: &Mechanics) -> Self {
        let (sin, cos) = crossing.sin_cos();
        let (in_plane, through) = shear_moduli(sin, cos, wood);
        let (b, t) = (through.sqrt() * width, in_plane.sqrt() * thickness);
        let (alpha_face, alpha_wall) = if b >= t {
            rectangle(b / t)
        } else {
            let (long, short) = rectangle(t / b);
            (short, long)
        };
        // The plain rectangle of the stretched axes twists by J; an area there is √(G_rt·G_rs) of one here.
        let (long, short) = (b.max(t), b.min(t));
        let rigidity = stiffness(long / short) * long * short.powi(3) / (through * in_plane).sqrt();
        Self {
            face: alpha_face * width * thickness * thickness,
            wall: alpha_wall * thickness * width * width,
            alpha_face,
            alpha_wall,
            rigidity,
        }
    }
}

/// `α` of a plain rectangle for the middle of its long and of its short sides, `ratio` = long / short, at
/// least 1.
///
/// With sides `l` and `s`, the stress is `T/(α_long·l·s²)` on the long sides and `T/(α_short·s·l²)` on the
/// short ones.
///
/// ```text
/// T       = β·l·s³·Gθ    β = ⅓·(1 − (192/π⁵)·(s/l)·Σ tanh(nπl/2s)/n⁵)
/// τ_long  = k·s·Gθ       k = 1 − (8/π²)·Σ 1/(n²·cosh(nπl/2s))
/// τ_short = h·s·Gθ       h = (8/π²)·Σ (−1)^((n−1)/2)·tanh(nπl/2s)/n²        n = 1, 3, 5, …
/// ```
///
/// Each sum is taken from its limit for `l ≫ s`; what is left dies out as `exp(−nπl/2s)`, so three terms
/// do.
#[inline]
pub fn rectangle(ratio: f64) -> (f64, f64) {
    /// Σ ±1/n² over odd n, Catalan's constant.
    const CATALAN: f64 = 0.915_965_594_177_219;
    let first = (-FRAC_PI_2 * ratio).exp();
    let (mut squares, mut catalan) = (0.0, CATALAN);
    let (mut decay, mut sign) = (first, 1.0);
    for n in [1.0_f64, 3.0, 5.0] {
        // q = exp(−nπl/2s): 1/cosh = 2q/(1+q²) and 1 − tanh = 2q²/(1+q²).
        let sech = 2.0 * decay / (1.0 + decay * decay);
        let rest = sech * decay;
        squares += sech / (n * n);
        catalan -= sign * rest / (n * n);
        decay *= first * first;
        sign = -sign;
    }
    let beta = stiffness(ratio);
    let long = 1.0 - 8.0 / (PI * PI) * squares;
    let short = 8.0 / (PI * PI) * catalan;
    (beta / long, beta / (short * ratio))
}

/// `β` of a plain rectangle, `T = β·l·s³·Gθ`, for `ratio` = long / short; see [`rectangle`].
#[inline]
pub fn stiffness(ratio: f64) -> f64 {
    /// Σ 1/n⁵ over odd n.
    const FIFTHS: f64 = 1.004_523_762_795_139_6;
    let first = (-FRAC_PI_2 * ratio).exp();
    let (mut fifths, mut decay) = (FIFTHS, first);
    for n in [1.0_f64, 3.0, 5.0] {
        fifths -= 2.0 * decay * decay / (1.0 + decay * decay) / n.powi(5);
        decay *= first * first;
    }
    (1.0 - 192.0 / PI.powi(5) / ratio * fifths) / 3.0
}

/// Shear moduli seen along the run: in the board's plane and through its thickness.
#[inline]
fn shear_moduli(sin: f64, cos: f64, wood: &Mechanics) -> (f64, f64) {
    let (s2, c2) = (sin * sin, cos * cos);
    let through = 1.0 / (c2 / wood.shear_modulus_through + s2 / wood.shear_modulus_rolling);
    let stretch =
        1.0 / wood.young_along + 1.0 / wood.young_in_plane + 2.0 * wood.poisson_face / wood.young_along;
    let double = c2 - s2;
    let in_plane = 1.0 / (double * double / wood.shear_modulus_face + 4.0 * s2 * c2 * stretch);
    (in_plane, through)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Timoshenko's table of the rectangle in torsion (four printed digits at most, from memory).
    #[test]
    fn a_plain_rectangle_follows_the_printed_table() {
        for (ratio, alpha) in
            [(1.0, 0.208), (1.5, 0.231), (2.0, 0.246), (3.0, 0.267), (4.0, 0.282), (10.0, 0.312)]
        {
            let (long, _) = rectangle(ratio);
            assert!((long - alpha).abs() < 6e-4, "{ratio}: {long}");
        }
    }

    /// The same table's stiffnesses.
    #[test]
    fn a_plain_rectangle_is_as_stiff_as_printed() {
        for (ratio, beta) in [(1.0, 0.141), (1.5, 0.196), (2.0, 0.229), (3.0, 0.263), (10.0, 0.312)] {
            assert!((stiffness(ratio) - beta).abs() < 6e-4, "{ratio}: {}", stiffness(ratio));
        }
    }

    /// With one shear modulus the rigidity is plain `G·β·l·s³`.
    #[test]
    fn equal_shear_moduli_give_the_plain_rigidity() {
        let wood = Mechanics {
            shear_modulus_face: 500.0,
            shear_modulus_rolling: 500.0,
            ..crate::strength::tests::cherry()
        };
        let torsion = Torsion::new(8.0, 20.0, FRAC_PI_2, &wood);
        let plain = 500.0 * stiffness(2.5) * 20.0 * 8.0_f64.powi(3);
        assert!((torsion.rigidity / plain - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_square_twists_alike_on_all_sides() {
        let (long, short) = rectangle(1.0);
        assert!((long - short).abs() < 1e-6, "{long} {short}");
    }

    /// The ends of the series against 200 terms summed the plain way.
    #[test]
    fn three_terms_are_enough() {
        for ratio in [1.0, 1.3, 2.0, 4.07, 9.0] {
            let (mut fifths, mut squares, mut catalan) = (0.0, 0.0, 0.0);
            for k in 0..20_000_u32 {
                let n = f64::from(2 * k + 1);
                let x = n * FRAC_PI_2 * ratio;
                fifths += x.tanh() / n.powi(5);
                squares += 1.0 / (n * n * x.cosh());
                catalan += if k % 2 == 0 { 1.0 } else { -1.0 } * x.tanh() / (n * n);
            }
            let beta = (1.0 - 192.0 / PI.powi(5) / ratio * fifths) / 3.0;
            let long = beta / (1.0 - 8.0 / (PI * PI) * squares);
            let short = beta / (8.0 / (PI * PI) * catalan * ratio);
            let ours = rectangle(ratio);
            assert!((ours.0 / long - 1.0).abs() < 1e-6 && (ours.1 / short - 1.0).abs() < 1e-6, "{ratio}");
        }
    }
}
