//! Rectangular plates on simple supports under a sine-shaped or an even pull, thin and thick, plain, of plies,
//! and of wood.
//!
//! Simple support here is that of the exact solutions: a wall moves neither up nor down nor along itself. The
//! pull acts upward on the top. A quarter is modelled: walls at x = 0 and y = 0, symmetry at a/2 and b/2.
//!
//! Sources: N. J. Pagano, Exact solutions for rectangular bidirectional composites, Journal of Composite
//! Materials 4 (1970), 20; N. J. Pagano and S. J. Hatfield, AIAA Journal 10 (1972), 931; A. M. Zenkour,
//! Three-dimensional elasticity solution for uniformly loaded cross-ply laminates, Journal of Sandwich
//! Structures and Materials 9 (2007), 213, Table 2; S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates
//! and Shells; NAFEMS report R0031, test 3.

use std::f64::consts::{FRAC_PI_2, PI};

use shortgrain::{
    shape::plane::{Point, point},
    solid::{Elastic, Flat, Held, Load, Plane, Window},
};

use super::{Loaded, cells, near, plies, solid};

/// What pulls.
#[derive(Clone, Copy, PartialEq)]
enum Pull {
    Sine,
    Even,
}

/// How the walls are held.
#[derive(Clone, Copy, PartialEq)]
enum Support {
    Simple,
    Clamped,
}

struct Plate {
    size: [f64; 2],
    /// Height, wood, layers of elements.
    plies: Vec<(f64, usize, usize)>,
    woods: Vec<(Elastic, f64)>,
    pull: f64,
    shape: Pull,
    support: Support,
    cells: [usize; 2],
}

impl Plate {
    fn bent(&self) -> Bent {
        let [a, b] = self.size;
        let [across, up] = self.cells;
        let place =
            |i: usize, j: usize| point(0.5 * a * i as f64 / across as f64, 0.5 * b * j as f64 / up as f64);
        let layers = plies(&self.plies);
        let top = layers.len() - 1;
        let woods = self.woods.iter().map(|(elastic, grain)| elastic.stiffness(*grain)).collect();
        let body = solid(cells(across, up, true, place), layers, woods);
        let clamped = self.support == Support::Clamped;
        let held = Held::new(&body, |[x, y, _], axis| match axis {
            0 => near(y, 0.0) || near(x, 0.5 * a) || (clamped && near(x, 0.0)),
            1 => near(x, 0.0) || near(y, 0.5 * b) || (clamped && near(y, 0.0)),
            _ => near(x, 0.0) || near(y, 0.0),
        });
        let all = 0..body.body().mesh.triangles.len() as u32;
        let load = body.on_flat(all, top, Flat::Top, |[x, y, _]| {
            let shape = match self.shape {
                Pull::Sine => (PI * x / a).sin() * (PI * y / b).sin(),
                Pull::Even => 1.0,
            };
            [0.0, 0.0, self.pull * shape]
        });
        Bent { loaded: Loaded::new(body, &held, &load), size: self.size }
    }
}

/// A plate under its load.
struct Bent {
    loaded: Loaded,
    size: [f64; 2],
}

impl Bent {
    fn middle(&self) -> [f64; 2] {
        self.size.map(|side| 0.5 * side)
    }

    /// How far the middle rises, at a height.
    fn rise(&self, z: f64) -> f64 {
        let [x, y] = self.middle();
        self.loaded.moved([x, y, z])[2]
    }

    /// The stress in the middle of the plan, at a height of a layer.
    fn stress(&self, layer: usize, height: f64) -> [f64; 6] {
        self.loaded.stress(self.middle(), layer, height)
    }

    /// The shear through the thickness halfway along the walls x = 0 and y = 0, at a height.
    ///
    /// In a thin plate it is a small difference of large slopes within an element, so it is read as this
    /// program reads all tractions that count: from nodal forces, as a mean over a fiftieth of the height and
    /// over the wall. Along that it is a sine, of which the mean is 2/π of the most.
    fn shears(&self, height: f64) -> [f64; 2] {
        let ([x, y], body) = (self.middle(), &self.loaded.solid);
        let layers = &body.body().layers;
        let slack = layers[layers.len() - 1].top / 100.0;
        let read = |from: Point, to: Point, length: f64| {
            let chain = body.body().mesh.edges_on(from, to);
            let plane =
                Plane::new(body, &chain, 0..layers.len() as u32).expect("the wall has the plate on its left");
            let window = Window { along: [0.0, length], through: [height - slack, height + slack] };
            let [_, _, through] = plane.mean(&window);
            // Seen from the plate its walls face down the axes. The pull on top ends in nothing at them.
            -FRAC_PI_2 * through.value(&self.loaded.field, &Load::default())
        };
        let corner = point(0.0, 0.0);
        [read(point(0.0, y), corner, y), read(corner, point(x, 0.0), x)]
    }
}

fn within(found: f64, expected: f64, part: f64, what: &str) {
    println!("{what}: {found:.5}, expected {expected} ({:+.2} %)", 100.0 * (found / expected - 1.0));
    assert!((found / expected - 1.0).abs() < part, "{what}: {found} {expected}");
}

/// The plies of Pagano's plates: 25 times stiffer along than across.
fn pagano() -> Elastic {
    Elastic::new([25.0, 1.0, 1.0], [0.5, 0.5, 0.2], [0.25; 3]).unwrap()
}

/// A plate of height 1 of equal plies of Pagano's, each a grain angle and how many layers it is cut into; its
/// sides are `slender` and `times` that.
fn cross_ply(plies: &[(f64, usize)], slender: f64, times: f64, shape: Pull, cells: [usize; 2]) -> Plate {
    let height = 1.0 / plies.len() as f64;
    Plate {
        size: [slender, times * slender],
        plies: plies.iter().map(|&(grain, layers)| (height, usize::from(grain > 0.0), layers)).collect(),
        woods: vec![(pagano(), 0.0), (pagano(), FRAC_PI_2)],
        pull: 1.0,
        shape,
        support: Support::Simple,
        cells,
    }
}

/// How finely a plate is cut: layers of an outer and of an inner ply, and cells along a side. The shear in the
/// middle errs by the square of a layer's height; in thin plates, by that of a cell.
fn cut(slender: f64) -> (usize, usize, usize) {
    if slender < 30.0 { (2, 4, 8) } else { (1, 4, 16) }
}

/// Pagano's square plate of three plies. The digits are recalled and were met again by an exact solution of our
/// own, worked out separately. Asked: 2 % of the rise, 3 % of stresses, shears through the thickness being read
/// at a wall.
#[test]
fn the_three_ply_plate_of_pagano() {
    let rows: [(f64, f64, [f64; 4], [f64; 3]); 5] = [
        (4.0, 2.0059, [0.8008, -0.7548, 0.5341, -0.5563], [0.2559, 0.2172, -0.0511]),
        (10.0, 0.753, [0.5906, -0.5898, 0.2845, -0.2882], [0.3573, 0.1228, -0.0288]),
        (20.0, 0.5164, [0.5524, -0.5525, 0.2092, -0.2101], [0.3846, 0.0938, -0.0234]),
        (50.0, 0.4451, [0.5409, -0.541, 0.1845, -0.1846], [0.3934, 0.0842, -0.0216]),
        (100.0, 0.4347, [0.5393, -0.5393, 0.1808, -0.1808], [0.3947, 0.0828, -0.0214]),
    ];
    for (slender, rise, [top, bottom, upper, lower], [xz, yz, xy]) in rows {
        let (outer, inner, cells) = cut(slender);
        let plies = [(0.0, outer), (FRAC_PI_2, inner), (0.0, outer)];
        let bent = cross_ply(&plies, slender, 1.0, Pull::Sine, [cells; 2]).bent();
        let (last, joints) = (2 * outer + inner - 1, [outer, outer + inner - 1]);
        let at = format!("Pagano 0/90/0, side {slender} heights");
        let square = slender * slender;
        within(bent.rise(0.5) * 100.0 / (square * square), rise, 0.02, &format!("{at}, rise"));
        within(bent.stress(last, 1.0)[0] / square, top, 0.03, &format!("{at}, top"));
        within(bent.stress(0, 0.0)[0] / square, bottom, 0.03, &format!("{at}, bottom"));
        within(bent.stress(joints[1], 1.0)[1] / square, upper, 0.03, &format!("{at}, upper joint"));
        within(bent.stress(joints[0], 0.0)[1] / square, lower, 0.03, &format!("{at}, lower joint"));
        let shear = bent.shears(0.5).map(|shear| shear / slender);
        within(shear[0], xz, 0.03, &format!("{at}, shear xz"));
        within(shear[1], yz, 0.03, &format!("{at}, shear yz"));
        within(bent.loaded.stress([0.0, 0.0], last, 1.0)[5] / square, xy, 0.03, &format!("{at}, corner"));
    }
}

/// Pagano's plate three times as long as wide, and the square one of four plies of Pagano and Hatfield. As
/// above, but for one number not asked: the lesser shear of the thinnest long plate, a fortieth of the greater,
/// is beyond cells six heights wide.
#[test]
fn the_long_plate_of_pagano_and_the_four_plies_of_pagano_and_hatfield() {
    for (slender, rise, top, [xz, yz]) in [
        (4.0, 2.8211, 1.1443, [0.3511, 0.0334]),
        (10.0, 0.9189, 0.726, [0.4201, 0.0152]),
        (100.0, 0.5077, 0.6244, [0.4393, 0.0108]),
    ] {
        let (outer, inner, cells) = cut(slender);
        let plies = [(0.0, outer), (FRAC_PI_2, inner), (0.0, outer)];
        let bent = cross_ply(&plies, slender, 3.0, Pull::Sine, [cells, 3 * cells / 2]).bent();
        let at = format!("Pagano 0/90/0, b = 3a, side {slender} heights");
        within(bent.rise(0.5) * 100.0 / slender.powi(4), rise, 0.02, &format!("{at}, rise"));
        within(
            bent.stress(2 * outer + inner - 1, 1.0)[0] / slender.powi(2),
            top,
            0.03,
            &format!("{at}, top"),
        );
        within(bent.shears(0.5)[0] / slender, xz, 0.03, &format!("{at}, shear xz"));
        if slender < 30.0 {
            within(bent.shears(0.5)[1] / slender, yz, 0.03, &format!("{at}, shear yz"));
        }
    }
    for (slender, rise, top, across, [xz, yz]) in [
        (4.0, 1.9367, 0.7203, 0.6625, [0.2193, 0.2915]),
        (10.0, 0.737, 0.5586, 0.401, [0.3014, 0.1959]),
        (100.0, 0.4346, 0.5388, 0.271, [0.3388, 0.1389]),
    ] {
        let (outer, inner, cells) = cut(slender);
        let plies = [(0.0, outer), (FRAC_PI_2, inner / 2), (FRAC_PI_2, inner / 2), (0.0, outer)];
        let bent = cross_ply(&plies, slender, 1.0, Pull::Sine, [cells; 2]).bent();
        let last = 2 * outer + inner - 1;
        let at = format!("Pagano and Hatfield 0/90/90/0, side {slender} heights");
        within(bent.rise(0.5) * 100.0 / slender.powi(4), rise, 0.02, &format!("{at}, rise"));
        within(bent.stress(last, 1.0)[0] / slender.powi(2), top, 0.03, &format!("{at}, top"));
        within(bent.stress(last - outer, 1.0)[1] / slender.powi(2), across, 0.03, &format!("{at}, joint"));
        within(bent.shears(0.5)[0] / slender, xz, 0.03, &format!("{at}, shear xz"));
        within(bent.shears(0.5)[1] / slender, yz, 0.03, &format!("{at}, shear yz"));
    }
}

/// Derived (a regression), from the exact solution that meets Pagano's plates: two plies, 90 on 0.
#[test]
fn two_plies_bend_as_the_exact_solution_says() {
    for (slender, rise, bottom) in [(4.0, 2.068, -0.7897), (10.0, 1.2275, -0.7304), (100.0, 1.0652, -0.7159)]
    {
        let bent = cross_ply(&[(0.0, 2), (FRAC_PI_2, 2)], slender, 1.0, Pull::Sine, [8, 8]).bent();
        let at = format!("0/90, side {slender} heights");
        within(bent.rise(0.5) * 100.0 / slender.powi(4), rise, 0.02, &format!("{at}, rise"));
        within(bent.stress(0, 0.0)[0] / slender.powi(2), bottom, 0.03, &format!("{at}, bottom"));
    }
}

/// Zenkour's table: an even pull on a plate three times as long as wide. Published; asked: 0.1 %.
#[test]
fn the_evenly_loaded_plates_of_zenkour() {
    for (slender, rise) in [(4.0, 3.65511), (10.0, 1.16899), (50.0, 0.66675), (100.0, 0.65071)] {
        let bent =
            cross_ply(&[(0.0, 2), (FRAC_PI_2, 2), (0.0, 2)], slender, 3.0, Pull::Even, [10, 15]).bent();
        within(
            bent.rise(0.5) * 100.0 / slender.powi(4),
            rise,
            0.001,
            &format!("Zenkour, side {slender} heights"),
        );
    }
}

/// Thin plates a hundred times as wide as high under an even pull: of those alike in all directions, 0.00406
/// simply supported and 0.00126 clamped are published, the other digits recalled; of one with stiff fibres (J.
/// N. Reddy, Mechanics of Laminated Composite Plates), recalled. The formulas are for plates that do not shear;
/// ours does, which adds 0.05 %, and nearly 1 % with stiff fibres. Asked: 0.5 %, clamped 0.8 % for its three
/// digits, 1 % with fibres.
#[test]
fn thin_plates_bend_as_navier_says() {
    let plain = |times: f64, support: Support| Plate {
        size: [100.0, 100.0 * times],
        plies: vec![(1.0, 0, 1)],
        woods: vec![(Elastic::isotropic(1.0, 0.3).unwrap(), 0.0)],
        pull: 1.0,
        shape: Pull::Even,
        support,
        cells: [16, 16],
    };
    let rigidity = 1.0 / (12.0 * (1.0 - 0.09));
    for (times, deflection) in [(1.0, 0.004_062), (1.5, 0.007_724), (2.0, 0.010_129)] {
        let found = plain(times, Support::Simple).bent().rise(0.5) * rigidity / 1e8;
        within(found, deflection, 0.005, &format!("Navier, b = {times} a"));
    }
    let found = plain(1.0, Support::Clamped).bent().rise(0.5) * rigidity / 1e8;
    within(found, 0.001_26, 0.008, "clamped plate");
    let fibres = cross_ply(&[(0.0, 2)], 100.0, 1.0, Pull::Even, [12, 12]).bent();
    within(fibres.rise(0.5) * 100.0 / 1e8, 0.6497, 0.01, "Navier, stiff along");
}

/// The sandwich of NAFEMS R0031/3: skins of 0.028 on a core of 0.75, 10 by 10, in inches and psi; 0.123 in is
/// published. With walls that are held level but may slide along themselves, other solids sink by 0.131 to
/// 0.136 (published); ours may not slide. Constants not given do not matter and are made up. Asked: 2 %.
#[test]
fn the_sandwich_of_nafems() {
    let skin = Elastic::new([10e6, 4e6, 4e6], [1.875e6; 3], [0.3, 0.3, 0.3]).unwrap();
    let core = Elastic::new([10.0, 10.0, 1e5], [10.0, 3e4, 1.2e4], [0.0; 3]).unwrap();
    let plate = Plate {
        size: [10.0, 10.0],
        plies: vec![(0.028, 0, 1), (0.75, 1, 2), (0.028, 0, 1)],
        woods: vec![(skin, 0.0), (core, 0.0)],
        pull: 100.0,
        shape: Pull::Even,
        support: Support::Simple,
        cells: [10, 10],
    };
    within(plate.bent().rise(0.403), 0.123, 0.02, "sandwich");
}

/// Derived (regressions), from the exact solution that meets Pagano's plates: plates of cherry-like wood,
/// flat-sawn, 60 mm wide, under 0.1 MPa at the most. One of 12 mm; 6 mm across on 12 mm along, as an insert
/// lies; three of 6 mm crossed, 90 mm long.
#[test]
fn wooden_plates_bend_as_the_exact_solution_says() {
    let cherry =
        Elastic::new([11_330.0, 974.38, 2232.01], [1099.01, 1665.51, 373.89], [0.428, 0.392, 0.3034])
            .unwrap();
    let plate = |plies: &[(f64, usize, usize)], length: f64| Plate {
        size: [60.0, length],
        plies: plies.to_vec(),
        woods: vec![(cherry, 0.0), (cherry, FRAC_PI_2)],
        pull: 0.1,
        shape: Pull::Sine,
        support: Support::Simple,
        cells: [8, 8],
    };

    let plain = plate(&[(12.0, 0, 8)], 60.0).bent();
    within(plain.rise(6.0), 0.006_846_05, 0.01, "plain board, rise");
    within(plain.rise(0.0), 0.006_584_68, 0.01, "plain board, rise of the bottom");
    within(plain.stress(0, 0.0)[0], -1.059_41, 0.02, "plain board, bottom");
    within(plain.stress(7, 1.0)[0], 1.091_64, 0.02, "plain board, top");
    within(plain.stress(7, 1.0)[1], 0.146_72, 0.02, "plain board, top across");
    within(plain.shears(6.0)[0], 0.187_437, 0.02, "plain board, shear xz");
    within(plain.shears(6.0)[1], 0.048_521_1, 0.02, "plain board, shear yz");

    let mended = plate(&[(12.0, 0, 8), (6.0, 1, 4)], 60.0).bent();
    within(mended.rise(9.0), 0.003_649_54, 0.02, "with an insert, rise");
    within(mended.stress(0, 0.0)[0], -0.5582, 0.03, "with an insert, bottom");
    within(mended.stress(11, 1.0)[1], 0.430_532, 0.03, "with an insert, top");
    let [host, insert] = [mended.stress(7, 1.0), mended.stress(8, 0.0)];
    within(host[0], 0.493_819, 0.03, "with an insert, joint below, along");
    within(insert[0], 0.054_860_4, 0.03, "with an insert, joint above, across");
    within(host[1], 0.018_951_5, 0.03, "with an insert, joint below, across");
    within(insert[1], -0.209_286, 0.03, "with an insert, joint above, along");
    within(f64::midpoint(host[2], insert[2]), 0.077_099_6, 0.03, "with an insert, peel at the joint");
    let joint = mended.shears(12.0);
    within(joint[0], 0.047_12, 0.03, "with an insert, shear xz at the joint");
    within(joint[1], 0.051_674_5, 0.03, "with an insert, shear yz at the joint");

    let crossed = plate(&[(6.0, 0, 2), (6.0, 1, 4), (6.0, 0, 2)], 90.0).bent();
    within(crossed.rise(9.0), 0.004_922_2, 0.02, "three plies, rise");
    within(crossed.stress(0, 0.0)[0], -0.713_896, 0.03, "three plies, bottom");
    within(crossed.stress(7, 1.0)[0], 0.737_655, 0.03, "three plies, top");
    within(crossed.shears(9.0)[0], 0.113_377, 0.03, "three plies, shear xz");
    within(crossed.shears(9.0)[1], 0.041_483_1, 0.03, "three plies, shear yz");
}
