//! Twisting of rectangles, plain and of wood, against the series and finite differences.
//!
//! Source: `tests/reference/frames.json`, made by `tests/reference/frames.py` with numpy and scipy: Saint-Venant's series summed
//! there, and checked there by finite differences. Ours are summed to 1e-6; ten digits are stored → 2e-6.

use serde::Deserialize;
use shortgrain::{
    strength::{Torsion, rectangle, stiffness},
    wood::Mechanics,
};
use std::f64::consts::FRAC_PI_2;

use super::{agreement::agrees, strength::cherry};

#[derive(Deserialize)]
struct Reference {
    torsion: Vec<Plain>,
    wood_torsion: Vec<Wooden>,
}

#[derive(Deserialize)]
struct Plain {
    a_over_b: f64,
    beta: f64,
    beta_by_differences: f64,
    alpha_long: f64,
    alpha_short: f64,
}

#[derive(Deserialize)]
struct Wooden {
    width_mm: f64,
    thickness_mm: f64,
    g_along_mpa: f64,
    g_through_mpa: f64,
    stiffness_n_mm2: f64,
    alpha_through: f64,
    alpha_along: f64,
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../reference/frames.json")).expect("the reference is well formed")
}

#[test]
fn a_rectangle_twists_as_the_series_says() {
    let rows = reference().torsion;
    assert_eq!(rows.len(), 9);
    for row in rows {
        let (long, short) = rectangle(row.a_over_b);
        agrees(long, row.alpha_long, 2e-6, "long side");
        // Theirs is over a·b², ours over a²·b.
        agrees(short, row.alpha_short / row.a_over_b, 2e-6, "short side");
        agrees(stiffness(row.a_over_b), row.beta, 2e-6, "stiffness");
        agrees(stiffness(row.a_over_b), row.beta_by_differences, 1e-3, "stiffness, by finite differences");
    }
}

#[test]
fn a_wooden_rectangle_square_to_the_grain_twists_by_its_two_shear_moduli() {
    let rows = reference().wood_torsion;
    assert_eq!(rows.len(), 9);
    for row in rows {
        let wood = Mechanics {
            shear_modulus_face: row.g_along_mpa,
            shear_modulus_rolling: row.g_through_mpa,
            ..cherry()
        };
        let ours = Torsion::new(row.width_mm, row.thickness_mm, FRAC_PI_2, &wood);
        agrees(ours.alpha_wall, row.alpha_through, 2e-6, "walls");
        agrees(ours.alpha_face, row.alpha_along, 2e-6, "faces");
        agrees(ours.rigidity, row.stiffness_n_mm2, 2e-6, "rigidity");
    }
}
