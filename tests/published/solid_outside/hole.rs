//! The stress at a round hole in a wide plate that is pulled.
//!
//! Source: S. G. Lekhnitskii, Anisotropic Plates (1968): at the side of the hole the pull is raised by
//!
//! ```text
//! K = 1 + √(2·(√(Ex/Ey) − ν) + Ex/G)
//! ```
//!
//! The formula is recalled; K = 3.3583 for the first plate is published (NASA CR-125596, example 5.3.1), the
//! roots that give K of the composites likewise (D. S. Sharma), and 5.84 for Sitka spruce (Forest Products
//! Laboratory Report 1510).

use std::f64::consts::FRAC_PI_2;

use shortgrain::{
    shape::plane::point,
    solid::{Elastic, Held},
};

use super::{Loaded, cells, corners_about, crowded, near, outward, plane_stress, plies, rim, solid};

/// How far out the plate goes, in radii: what is missing beyond changes K by about its square, one part in
/// 2500.
const REACH: f64 = 50.0;

/// The stress at the side of a hole of radius 1 under a pull of 1 far away along x, the grain along it or
/// across. A quarter of the plate, with so many cells outward and round.
fn raised(ply: &Elastic, grain: f64, count: usize) -> f64 {
    let touch: Vec<f64> = crowded(count, 1.5).iter().rev().map(|share| (1.0 - share) * FRAC_PI_2).collect();
    let (round, out) = (corners_about(&touch), crowded(count, 1.3));
    let last = round.len() - 1;
    let mesh = cells(count, last, true, |i, j| {
        let (angle, beyond) = round[j];
        let radius = beyond * (out[i] * REACH.ln()).exp();
        point(if j == last { 0.0 } else { radius * angle.cos() }, radius * angle.sin())
    });
    let sides = rim(&mesh, |p| p.x.hypot(p.y) > REACH - 1e-6);
    assert_eq!(sides.len(), last);
    let body = solid(mesh, plies(&[(1.0, 0, 1)]), vec![ply.stiffness(grain)]);
    let held = Held::new(&body, |[x, y, _], axis| match axis {
        0 => near(x, 0.0),
        1 => near(y, 0.0),
        _ => true,
    });
    let pull = |side| {
        let along = outward(&body.body().mesh, side).x;
        body.on_walls(std::slice::from_ref(side), 0..1, |_| [along, 0.0, 0.0])
    };
    let load = sides.iter().flat_map(pull).collect();
    Loaded::new(body, &held, &load).stress([0.0, 1.0], 0, 0.5)[0]
}

/// On two meshes, the finer one with half the size: 1 % asked of it, and that it errs by less than half of what
/// the coarser one does.
fn settles_at(exact: f64, ply: &Elastic, grain: f64, what: &str) -> f64 {
    let [coarse, fine] = [16, 32].map(|count| raised(ply, grain, count));
    println!("hole, {what}: {coarse:.4} {fine:.4}, exact {exact}");
    assert!((fine / exact - 1.0).abs() < 0.01, "{what}: {fine} {exact}");
    assert!(
        (fine - exact).abs() < 0.5 * (coarse - exact).abs() + 1e-3 * exact,
        "{what}: {coarse} {fine} {exact}"
    );
    fine
}

#[test]
fn a_hole_raises_the_stress_as_lekhnitskii_says() {
    settles_at(3.0, &plane_stress([1e3; 2], 1e3 / 2.6, 0.3), 0.0, "alike in all directions");
    settles_at(3.3583, &plane_stress([10e3, 5e3], 3e3, 0.3), 0.0, "NASA");
    let graphite = plane_stress([181e3, 10.3e3], 7170.0, 0.28);
    settles_at(6.7505, &graphite, 0.0, "graphite along");
    settles_at(2.3718, &graphite, FRAC_PI_2, "graphite across");
    settles_at(4.1101, &plane_stress([47.4e3, 16.2e3], 7e3, 0.26), 0.0, "glass along");
}

/// Plain-sawn Sitka spruce pulled along its grain: 5.84. The stiffness ratios are those of Wood Handbook
/// FPL-GTR-190 (2010) Table 5-1, recalled, and not quite those of the report: 4 %. Ours agrees with the formula
/// at these ratios to 1 %.
#[test]
fn a_hole_in_sitka_spruce_raises_the_stress_as_measured_constants_say() {
    for (across, shear, poisson, formula) in [(0.043, 0.061, 0.467, 6.01), (0.078, 0.064, 0.372, 5.69)] {
        let found = settles_at(
            formula,
            &plane_stress([10e3, across * 10e3], shear * 10e3, poisson),
            0.0,
            "Sitka spruce",
        );
        assert!((found / 5.84 - 1.0).abs() < 0.04, "{found}");
    }
}
