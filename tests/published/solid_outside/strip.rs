//! A strip of seven plies bent at three points.
//!
//! Source: NAFEMS report R0031, Composites Benchmarks, test 1; targets published: the middle sinks by 1.06 mm,
//! the bottom is pulled by 684 MPa there, and the shear between the two lowest plies, 4 mm from the middle, is
//! 4.1 MPa. Asked: 2 %, 2 %, 5 %.

use shortgrain::{
    shape::plane::point,
    solid::{Elastic, Held, Sparse},
};

use super::{Loaded, cells, near, plies, solid};

/// A quarter: 25 mm of the length from the middle on, 5 mm of the width. Supports 15 mm from the middle; 10
/// N/mm across.
///
/// The pull is that of a beam. Right under the line where the load acts a solid has 2 % more: sections cannot
/// warp there, and soft plies shear. So it is read 2 mm beside it, two heights, and raised by the moments'
/// ratio, 15 to 13.
#[test]
fn the_laminated_strip_of_nafems() {
    let ply = Elastic::new([100e3, 5e3, 5e3], [3e3, 2e3, 2e3], [0.4, 0.3, 0.3]).unwrap();
    let woods = [0.0, std::f64::consts::FRAC_PI_2].map(|grain| ply.stiffness(grain)).to_vec();
    let heights = [0.1, 0.1, 0.1, 0.4, 0.1, 0.1, 0.1];
    let stack: Vec<_> = heights.iter().enumerate().map(|(k, &height)| (height, k % 2, 1)).collect();
    let mesh = cells(100, 2, true, |i, j| point(0.25 * i as f64, 2.5 * j as f64));
    let middle = mesh.edges_on(point(0.0, 0.0), point(0.0, 5.0));
    assert_eq!(middle.len(), 2);
    let body = solid(mesh, plies(&stack), woods);
    let held = Held::new(&body, |[x, y, z], axis| match axis {
        0 => near(x, 0.0),
        1 => near(y, 0.0),
        _ => near(x, 15.0) && near(z, 0.0),
    });
    let on_top = |column: u32| {
        let there = |&node: &usize| body.column(node) == column && near(body.position(node)[2], 1.0);
        (0..body.node_count()).find(there).expect("a node on top of every column")
    };
    // Half of the line load: the other half is the other side's. Simpson's weights for each side of 2.5 mm.
    let share = |node: u32, weight: f64| (3 * on_top(node) as u32 + 2, -5.0 * 2.5 * weight);
    let load: Sparse = middle
        .iter()
        .flat_map(|side| {
            [(0, 1.0 / 6.0), (1, 2.0 / 3.0), (2, 1.0 / 6.0)].map(|(k, w)| share(side.nodes[k], w))
        })
        .collect();
    let answer = Loaded::new(body, &held, &load);
    let sinks = answer.moved([0.0, 0.0, 0.0])[2];
    let [under, pulled] =
        [(0.0, 1.0), (2.0, 15.0 / 13.0)].map(|(x, share)| share * answer.stress([x, 0.0], 0, 0.0)[0]);
    let sheared = [(0, 1.0), (1, 0.0)].map(|(layer, height)| answer.stress([4.0, 0.0], layer, height)[4]);
    let sheared = f64::midpoint(sheared[0], sheared[1]);
    println!(
        "R0031/1: {sinks:.4} {pulled:.1} ({under:.1} under the load) {sheared:.3}, targets -1.06 684 -4.1"
    );
    assert!((sinks / -1.06 - 1.0).abs() < 0.02, "{sinks}");
    assert!((pulled / 684.0 - 1.0).abs() < 0.02, "{pulled}");
    // The sign depends on which half is looked at; here the support lies on the positive side.
    assert!((sheared.abs() / 4.1 - 1.0).abs() < 0.05, "{sheared}");
}
