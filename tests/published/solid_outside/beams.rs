//! Beams of one material held at their root: straight, curved, and of wood.
//!
//! Source of the first two: R. H. MacNeal and R. L. Harder, A proposed standard set of problems to test finite
//! element accuracy, Finite Elements in Analysis and Design 1 (1985), 3: tip displacements under unit loads,
//! published; the shapes of the uneven meshes and the measures of the curved beam are recalled.

use std::f64::consts::FRAC_PI_2;

use shortgrain::{
    shape::plane::{Point, direction, point},
    solid::{Elastic, Held, Mesh},
};

use super::{Loaded, cells, near, plies, rim, solid};

/// The mean displacement of the straight beam's tip (6 by 0.2 by 0.1) along the axes under a unit load along
/// each: extension, in plane, out of plane.
fn straight(mesh: Mesh) -> [f64; 3] {
    let tip = mesh.edges_on(point(6.0, 0.0), point(6.0, 0.2));
    let material = Elastic::isotropic(1e7, 0.3).unwrap().stiffness(0.0);
    let body = solid(mesh, plies(&[(0.1, 0, 1)]), vec![material]);
    let held = Held::new(&body, |[x, ..], _| near(x, 0.0));
    [0, 1, 2].map(|axis| {
        let load =
            body.on_walls(&tip, 0..1, |_| std::array::from_fn(|k| if k == axis { 1.0 / 0.02 } else { 0.0 }));
        Loaded::new(body.clone(), &held, &load).work(&load)
    })
}

/// Cells in a row, their inner sides upright, slanted by 45 degrees all the same way, or to and fro.
fn row(count: usize, slant: impl Fn(usize) -> f64, rising: bool) -> Mesh {
    cells(count, 1, rising, |i, j| {
        let inner = if i == 0 || i == count { 0.0 } else { slant(i) };
        point(6.0 * i as f64 / count as f64 + inner * (j as f64 - 0.5) * 0.2, 0.2 * j as f64)
    })
}

/// Asked of quadratic elements on the even mesh: 3 %. The paper has six cells; cut into twelve triangles they
/// come to 0.969, so that is asked of twelve cells. On the paper's six, even or slanted, its own best element,
/// a brick of 20 nodes, gives 0.902 to 0.992 (published): not worse than that is asked. Both ways of cutting
/// cells.
#[test]
fn the_straight_beam_of_macneal_and_harder() {
    let alternate = |i: usize| if i.is_multiple_of(2) { 1.0 } else { -1.0 };
    for rising in [true, false] {
        for (what, mesh, asked) in [
            ("twelve cells", row(12, |_| 0.0, rising), 0.03),
            ("six cells", row(6, |_| 0.0, rising), 0.098),
            ("six parallelograms", row(6, |_| 1.0, rising), 0.098),
            ("six trapezoids", row(6, alternate, rising), 0.098),
        ] {
            let found = straight(mesh);
            let parts: [f64; 3] = std::array::from_fn(|k| found[k] / [3e-5, 0.1081, 0.4321][k]);
            println!("straight beam, {what}: {parts:.4?} of the targets");
            for part in parts {
                assert!((part - 1.0).abs() < asked, "{what}: {parts:?}");
            }
        }
    }
}

/// The twist under a unit couple. The 0.03208 printed in the paper disagrees with Saint-Venant, who gives
/// 0.03408 (derived: `M·l / (β·b·h³·G)`, β = 0.2287 for sides 2 to 1, S. Timoshenko and J. N. Goodier,
/// recalled); the held root cannot warp, which takes about a percent off: 2 %. A section warps by a cubic, so
/// cells are four by two.
#[test]
fn the_straight_beam_twists_as_saint_venant_says() {
    let mesh = cells(60, 4, true, |i, j| point(0.1 * i as f64, 0.05 * j as f64));
    let tip = mesh.edges_on(point(6.0, 0.0), point(6.0, 0.2));
    let material = Elastic::isotropic(1e7, 0.3).unwrap().stiffness(0.0);
    let body = solid(mesh, plies(&[(0.1, 0, 2)]), vec![material]);
    let held = Held::new(&body, |[x, ..], _| near(x, 0.0));
    let polar = (0.1 * 0.2_f64.powi(3) + 0.2 * 0.1_f64.powi(3)) / 12.0;
    let load = body.on_walls(&tip, 0..2, |[_, y, z]| [0.0, -(z - 0.05) / polar, (y - 0.1) / polar]);
    let twist = Loaded::new(body, &held, &load).work(&load);
    let exact = 0.03408;
    println!("straight beam, twist: {twist:.5}, Saint-Venant {exact:.5}");
    assert!((twist / exact - 1.0).abs() < 0.02, "{twist} {exact}");
}

/// A quarter circle between radii 4.12 and 4.32, 0.1 thick, pushed at its tip in its plane, square to its axis,
/// and out of its plane: 3 %. 24 cells along, since theirs are curved and ours straight, four by two in a
/// section, since it twists.
#[test]
fn the_curved_beam_of_macneal_and_harder() {
    let mesh = cells(4, 24, true, |i, j| direction(j as f64 * FRAC_PI_2 / 24.0) * (4.12 + 0.05 * i as f64));
    let tip = rim(&mesh, |p: Point| p.y < 1e-9);
    assert_eq!(tip.len(), 4);
    let body =
        solid(mesh, plies(&[(0.1, 0, 2)]), vec![Elastic::isotropic(1e7, 0.25).unwrap().stiffness(0.0)]);
    let held = Held::new(&body, |[x, ..], _| x < 1e-9);
    for (what, traction, target) in
        [("in plane", [1.0 / 0.02, 0.0, 0.0], 0.08734), ("out of plane", [0.0, 0.0, 1.0 / 0.02], 0.5022)]
    {
        let load = body.on_walls(&tip, 0..2, |_| traction);
        let found = Loaded::new(body.clone(), &held, &load).work(&load);
        println!("curved beam, {what}: {found:.5}, target {target}");
        assert!((found / target - 1.0).abs() < 0.03, "{what}: {found} {target}");
    }
}

/// A stocky cantilever of wood, 20 long, 6 deep along the push of 10 N, 8 wide. Its ends carry the tractions of
/// the exact plane solution and nothing else, so that no root has to be argued about: the work of the tractions
/// is then that of
///
/// ```text
/// F·l³/(3·E·I) + F·l/(5/6·G·A)
/// ```
///
/// (S. Timoshenko and J. N. Goodier, Theory of Elasticity, recalled; the two sums 0.0208946 and 0.203423 mm are
/// derived). The formula has no width: shear that gathers at the walls of a beam this wide adds a few
/// thousandths: 0.5 %.
#[test]
fn a_stocky_wooden_cantilever_bends_as_timoshenko_says() {
    let wood = Elastic::new([11_330.0, 974.38, 2232.01], [1099.01, 1665.51, 373.89], [0.428, 0.392, 0.3034])
        .unwrap();
    // Sizes in plane and through; the push's axis; the sum.
    for (what, grain, width, height, axis, sum) in [
        ("along", 0.0, 6.0, 8.0, 1, 0.0163451 + 0.0045496),
        ("across", FRAC_PI_2, 8.0, 6.0, 2, 0.190054 + 0.013369),
    ] {
        let mesh = cells(20, 4, true, |i, j| point(i as f64, width * j as f64 / 4.0));
        let ends = [0.0, 20.0].map(|x| mesh.edges_on(point(x, 0.0), point(x, width)));
        let body = solid(mesh, plies(&[(height, 0, 4)]), vec![wood.stiffness(grain)]);
        // What moving as a whole takes, and no more: three points of the root.
        let held = Held::new(&body, |[x, y, z], axis| {
            near(x, 0.0)
                && match (near(y, 0.0), near(y, width), near(z, 0.0), near(z, height)) {
                    (true, _, true, _) => true,
                    (_, true, true, _) => axis != 1,
                    (true, _, _, true) => axis == 0,
                    _ => false,
                }
        });
        let (depth, area) = if axis == 1 { (width, 48.0) } else { (height, 48.0) };
        let inertia = area * depth * depth / 12.0;
        let shear = |from_axis: f64| 10.0 * 1.5 / area * (1.0 - (2.0 * from_axis / depth).powi(2));
        let end = |root: bool| {
            move |[_, y, z]: [f64; 3]| {
                let from_axis = if axis == 1 { y } else { z } - 0.5 * depth;
                let mut traction = [0.0; 3];
                traction[axis] = if root { -shear(from_axis) } else { shear(from_axis) };
                traction[0] = if root { 10.0 * 20.0 * from_axis / inertia } else { 0.0 };
                traction
            }
        };
        let mut load = body.on_walls(&ends[0], 0..4, end(true));
        load.extend(body.on_walls(&ends[1], 0..4, end(false)));
        let answer = Loaded::new(body, &held, &load);
        let deflection = answer.work(&load) / 10.0;
        println!("wooden cantilever, {what}: {deflection:.6}, Timoshenko {sum:.6}");
        assert!((deflection / sum - 1.0).abs() < 0.005, "{what}: {deflection} {sum}");
        // Halfway the edge is pulled by 10 N on a lever of 10 mm.
        let at = if axis == 1 { [10.0, 0.0] } else { [10.0, 0.5 * width] };
        let (layer, up) = if axis == 1 { (2, 0.0) } else { (0, 0.0) };
        let pulled = answer.stress(at, layer, up)[0];
        assert!((pulled / (100.0 * 0.5 * depth / inertia) - 1.0).abs() < 0.01, "{what}: {pulled}");
    }
}
