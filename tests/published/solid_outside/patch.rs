//! The patch test: an unevenly cut plate whose rim is displaced evenly is strained evenly.
//!
//! Source: R. H. MacNeal and R. L. Harder, A proposed standard set of problems to test finite element accuracy,
//! Finite Elements in Analysis and Design 1 (1985), 3. The strains and stresses of their solid patch are
//! published; our layers are level, so its inner corners, which are not, cannot be put where theirs are: the
//! plan is that of their plane patch (0.24 by 0.12, recalled), drawn out to three uneven layers. The field and
//! its stresses are theirs.

use shortgrain::{
    shape::plane::point,
    solid::{Elastic, Held, Mesh},
};

use super::{Loaded, near, plies, solid};

/// Young's modulus 10⁶ and ratio 0.25; 10⁻³ for every strain, the shear ones whole; 2000 and 400 for stresses.
/// Asked: 1e-9.
#[test]
fn the_patch_of_macneal_and_harder_is_strained_evenly() {
    let quads: [[u32; 4]; 5] = [[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [4, 5, 6, 7]];
    let points = [
        [0.0, 0.0],
        [0.24, 0.0],
        [0.24, 0.12],
        [0.0, 0.12],
        [0.04, 0.02],
        [0.18, 0.03],
        [0.16, 0.08],
        [0.08, 0.08],
    ];
    let cut = |rising: bool| {
        quads.iter().flat_map(
            move |&[a, b, c, d]| {
                if rising { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] }
            },
        )
    };
    for rising in [true, false] {
        let triangles: Vec<[u32; 3]> = cut(rising).collect();
        let corners = points.iter().map(|&[x, y]| point(x, y)).collect();
        let mesh = Mesh::new(corners, &triangles, vec![0; triangles.len()]);
        let layers = plies(&[(0.03, 0, 1), (0.01, 0, 1), (0.05, 0, 1)]);
        let body = solid(mesh, layers, vec![Elastic::isotropic(1e6, 0.25).unwrap().stiffness(0.0)]);
        let outside = |at: [f64; 3]| {
            at.into_iter().zip([0.24, 0.12, 0.09]).any(|(c, far)| near(c, 0.0) || near(c, far))
        };
        let held = Held::new(&body, |at, _| outside(at));
        let inner = (0..body.node_count()).filter(|&node| !outside(body.position(node))).count();
        assert!(inner > 20, "something is left to solve: {inner} nodes");
        let put: Vec<f64> = (0..body.node_count())
            .flat_map(|node| {
                let [x, y, z] = body.position(node);
                [2.0 * x + y + z, x + 2.0 * y + z, x + y + 2.0 * z].map(|sum| 0.5e-3 * sum)
            })
            .collect();
        let answer = Loaded::displaced(body, &held, &put, &Vec::new());
        for (got, put) in answer.field.iter().zip(&put) {
            assert!((got - put).abs() < 1e-9 * 1e-3 * 0.24, "{got} {put}");
        }
        for (triangle, layer, _) in answer.solid.elements() {
            for (area, height) in [([0.2, 0.3, 0.5], 0.3), ([1.0, 0.0, 0.0], 1.0)] {
                let stress = answer.solid.stress(&answer.field, triangle, layer, area, height).unwrap();
                for (got, expected) in stress.into_iter().zip([2000.0, 2000.0, 2000.0, 400.0, 400.0, 400.0]) {
                    assert!((got / expected - 1.0).abs() < 1e-9, "{triangle} {layer}: {got} {expected}");
                }
            }
        }
    }
}
