//! What holds of a whole body: patch tests, balance, and the beams of the textbooks.

use super::*;
use crate::shape::plane::{Point, point};
use crate::strength::tests::cherry;

/// A rectangle of irregular triangles: a grid whose inner corners are pushed about, by no more than they bear.
pub(super) fn irregular(from: Point, to: Point, across: usize, up: usize) -> Mesh {
    let plain = grid(from, to, across, up);
    let (dx, dy) = ((to.x - from.x) / across as f64, (to.y - from.y) / up as f64);
    let moved = |(number, &p): (usize, &Point)| {
        let inside = p.x > from.x + 0.5 * dx
            && p.x < to.x - 0.5 * dx
            && p.y > from.y + 0.5 * dy
            && p.y < to.y - 0.5 * dy;
        let push = if inside { 0.3 } else { 0.0 };
        let turn = number as f64 * 2.4;
        point(p.x + push * dx * turn.cos(), p.y + push * dy * turn.sin())
    };
    let corners = plain.points[..plain.corners].iter().enumerate().map(moved).collect();
    let triangles: Vec<[u32; 3]> = plain.triangles.iter().map(|&[a, b, c, ..]| [a, b, c]).collect();
    Mesh::new(corners, &triangles, plain.zones)
}

fn steel() -> Stiffness {
    Elastic::isotropic(210.0, 0.3).unwrap().stiffness(0.0)
}

fn wood(angle: f64) -> Stiffness {
    Elastic::of(&cherry()).unwrap().stiffness(angle)
}

/// Layers of the given heights and woods, one on the other.
fn stack(plies: &[(f64, usize)]) -> Vec<Layer> {
    let mut floor = 0.0;
    let layer = |&(height, wood): &(f64, usize)| {
        let bottom = floor;
        floor += height;
        Layer::plain(bottom, floor, wood)
    };
    plies.iter().map(layer).collect()
}

fn largest(values: impl IntoIterator<Item = f64>) -> f64 {
    values.into_iter().fold(0.0, |most, value| most.max(value.abs()))
}

/// With its rim displaced linearly, an unevenly cut body of one material is strained evenly: no force is left
/// on any inner node, and the stress is the material's own everywhere.
#[test]
fn even_strain_is_met_exactly() {
    const SLOPES: [[f64; 3]; 3] =
        [[1.1e-3, -0.4e-3, 0.3e-3], [0.7e-3, -0.9e-3, 0.5e-3], [-0.2e-3, 0.6e-3, 0.8e-3]];
    for material in [steel(), wood(0.0), wood(0.6)] {
        let mesh = irregular(point(0.0, 0.0), point(20.0, 14.0), 4, 3);
        let solid = Solid::new(Body::new(mesh, stack(&[(2.0, 0), (5.0, 0)]), vec![material])).unwrap();
        let mut field = vec![0.0; solid.dof_count()];
        for node in 0..solid.node_count() {
            let at = solid.position(node);
            for axis in 0..3 {
                field[3 * node + axis] = (0..3).map(|k| SLOPES[axis][k] * at[k]).sum();
            }
        }
        let forces = solid.forces(&field);
        let on_rim = |node: usize| {
            let [x, y, z] = solid.position(node);
            x == 0.0 || x == 20.0 || y == 0.0 || y == 14.0 || z == 0.0 || z == 7.0
        };
        let dofs = |rim: bool| (0..solid.dof_count()).filter(move |dof| on_rim(dof / 3) == rim);
        let inner = largest(dofs(false).map(|dof| forces[dof]));
        let outer = largest(dofs(true).map(|dof| forces[dof]));
        assert!(inner < 1e-12 * outer, "{inner} of {outer}");

        // The same by solving: the rim held where the field puts it.
        let held = Held::new(&solid, |[x, y, z], _| {
            x == 0.0 || x == 20.0 || y == 0.0 || y == 14.0 || z == 0.0 || z == 7.0
        });
        let rim: Vec<f64> =
            (0..solid.dof_count()).map(|dof| if on_rim(dof / 3) { field[dof] } else { 0.0 }).collect();
        let pull = solid.forces(&rim);
        let load: Sparse = dofs(false).map(|dof| (dof as u32, -pull[dof])).collect();
        let inside = solid.factor(&held).unwrap().solve(&[load]).remove(0);
        let missed = largest((0..solid.dof_count()).map(|dof| inside[dof] + rim[dof] - field[dof]));
        assert!(missed < 1e-12 * largest(field.iter().copied()), "{missed}");

        let [x, y, z] = SLOPES;
        let even_stress = material.stress([x[0], y[1], z[2], y[2] + z[1], x[2] + z[0], x[1] + y[0]]);
        for (triangle, layer, _) in solid.elements() {
            let found = solid.stress(&field, triangle, layer, [0.2, 0.3, 0.5], 0.3).unwrap();
            for (found, even) in found.iter().zip(even_stress) {
                assert!((found - even).abs() < 1e-12 * largest(even_stress), "{found} {even}");
            }
        }
    }
}
