//! Forces on nodes that do the same work as tractions spread over a face or a wall.

use super::element::{level, shape};
use super::{Edge, Solid, Sparse};
use std::ops::Range;

/// Which flat side of a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flat {
    /// The side towards the back.
    Bottom,
    /// The side towards the face.
    Top,
}

impl Solid {
    /// A traction in MPa, given at every point, over one flat side of a layer, as forces on its nodes. Triangles
    /// without wood in that layer get none.
    ///
    /// # Accuracy
    ///
    /// Exact for tractions up to quadratic in x and y; others are sampled at six points a triangle.
    pub fn on_flat(
        &self,
        triangles: impl IntoIterator<Item = u32>,
        layer: usize,
        flat: Flat,
        traction: impl Fn([f64; 3]) -> [f64; 3],
    ) -> Sparse {
        let (first, height) = match flat {
            Flat::Bottom => (0, self.body().layers[layer].bottom),
            Flat::Top => (12, self.body().layers[layer].top),
        };
        let mut load = Sparse::new();
        for triangle in triangles {
            let triangle = triangle as usize;
            let Some(nodes) = self.element_nodes(triangle, layer) else { continue };
            let [a, b, c] = self.body().mesh.corner_points(triangle);
            let area = 0.5 * self.body().mesh.doubled_area(triangle);
            let mut forces = [[0.0; 3]; 6];
            for (at, weight) in triangle_points() {
                let p = a * at[0] + b * at[1] + c * at[2];
                add(&mut forces, &shape(at), traction([p.x, p.y, height]), weight * area);
            }
            gather(&mut load, &nodes[first..first + 6], &forces);
        }
        load
    }

    /// A traction in MPa, given at every point, over walls: sides of triangles through some layers. It acts on the
    /// triangle to the left of a side, or on the one to its right where there is none to the left.
    ///
    /// # Accuracy
    ///
    /// Exact for tractions up to cubic along the wall and through the layer; others are sampled at nine points.
    pub fn on_walls(
        &self,
        sides: &[Edge],
        layers: Range<usize>,
        traction: impl Fn([f64; 3]) -> [f64; 3],
    ) -> Sparse {
        let mesh = &self.body().mesh;
        let mut load = Sparse::new();
        for side in sides {
            let Some(triangle) = side.sides[0].or(side.sides[1]) else { continue };
            let triangle = triangle as usize;
            let local = side.nodes.map(|node| {
                let found = mesh.triangles[triangle].iter().position(|&other| other == node);
                found.expect("a side's nodes belong to its triangle")
            });
            let [from, _, to] = side.nodes.map(|node| mesh.points[node as usize]);
            let length = (to - from).x.hypot((to - from).y);
            for layer in layers.clone() {
                let Some(nodes) = self.element_nodes(triangle, layer) else { continue };
                let (bottom, rise) = (self.body().layers[layer].bottom, self.body().layers[layer].height());
                let mut forces = [[0.0; 3]; 9];
                for (u, u_weight) in LINE_POINTS {
                    for (v, v_weight) in LINE_POINTS {
                        let p = from + (to - from) * u;
                        let (along, up) = (level(u), level(v));
                        let shapes: [f64; 9] = std::array::from_fn(|k| along[k % 3] * up[k / 3]);
                        let force = traction([p.x, p.y, bottom + rise * v]);
                        add(&mut forces, &shapes, force, u_weight * v_weight * length * rise);
                    }
                }
                let wall: [u32; 9] = std::array::from_fn(|k| nodes[6 * (k / 3) + local[k % 3]]);
                gather(&mut load, &wall, &forces);
            }
        }
        load
    }
}

fn add(forces: &mut [[f64; 3]], shapes: &[f64], traction: [f64; 3], weight: f64) {
    for (force, shape) in forces.iter_mut().zip(shapes) {
        force.iter_mut().zip(traction).for_each(|(force, traction)| *force += weight * shape * traction);
    }
}

fn gather(load: &mut Sparse, nodes: &[u32], forces: &[[f64; 3]]) {
    for (node, force) in nodes.iter().zip(forces) {
        for (axis, &value) in (0..3).zip(force) {
            if value != 0.0 {
                load.push((3 * node + axis, value));
            }
        }
    }
}

/// Gauss's three points on a line from 0 to 1, with their weights: exact up to degree 5.
const LINE_POINTS: [(f64, f64); 3] =
    [(0.112_701_665_379_258_3, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.887_298_334_620_741_7, 5.0 / 18.0)];

/// Six points of a triangle of area 1 with their weights: exact up to degree 4.
///
/// # Source
///
/// D. A. Dunavant, International Journal for Numerical Methods in Engineering 21 (1985), 1129, degree 4; the closed
/// forms are recalled and tested.
fn triangle_points() -> [([f64; 3], f64); 6] {
    let ten = 10.0_f64.sqrt();
    let (middle, spread) = ((8.0 - ten) / 18.0, (38.0 - 44.0 * 0.4_f64.sqrt()).sqrt() / 18.0);
    let share = (213_125.0 - 53_320.0 * ten).sqrt();
    let [near, far] =
        [(middle + spread, (620.0 + share) / 3720.0), (middle - spread, (620.0 - share) / 3720.0)];
    let corner = |(part, weight): (f64, f64), at: usize| {
        (std::array::from_fn(|k| if k == at { 1.0 - 2.0 * part } else { part }), weight)
    };
    std::array::from_fn(|k| corner(if k < 3 { near } else { far }, k % 3))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `∫ λ_1^a λ_2^b λ_3^c = 2·a!·b!·c! / (a + b + c + 2)!` over a triangle of area 1.
    #[test]
    fn six_points_integrate_all_quartics() {
        let factorial = |n: usize| (1..=n).product::<usize>() as f64;
        for a in 0..=4 {
            for b in 0..=4 - a {
                for c in 0..=4 - a - b {
                    let exact = 2.0 * factorial(a) * factorial(b) * factorial(c) / factorial(a + b + c + 2);
                    let powers = |[x, y, z]: [f64; 3]| x.powi(a as i32) * y.powi(b as i32) * z.powi(c as i32);
                    let sum: f64 = triangle_points().iter().map(|(at, weight)| weight * powers(*at)).sum();
                    assert!((sum - exact).abs() < 1e-15, "{a} {b} {c}: {sum} {exact}");
                }
            }
        }
    }
}
