//! Mean tractions on planes the mesh does not follow, read off the strains within the elements.
//!
//! Stress jumps from one element to the next, and at a corner it misses the peak, so this is rougher than the nodal
//! forces on a [`Plane`](super::Plane), which keep equilibrium exactly. It costs no triangle, though, and tells well
//! enough which of many lines is the weakest.

use super::{
    Mesh, Solid, Sparse,
    element::{level, level_slopes, shape, slopes},
    free_body::Asked,
    mirror::summed,
};
use crate::shape::plane::{Point, cross, left};

/// A point of a mesh: its triangle, and its area coordinates there.
pub type Spot = (u32, [f64; 3]);

/// Which strain the slope of displacement `d` towards `p` belongs to.
const STRAIN: [[usize; 3]; 3] = [[0, 5, 4], [5, 1, 3], [4, 3, 2]];
/// Points and weights of Gauss's rule of two points on a line from 0 to 1.
const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];

impl Mesh {
    /// The triangle a point lies in, with its area coordinates there; the first of several.
    pub fn spot(&self, p: Point) -> Option<Spot> {
        const ROUNDING: f64 = -1e-9;
        // What that may reach beyond a triangle, in mm, and more.
        const BEYOND: f64 = 1e-6;
        (0u32..).take(self.triangles.len()).find_map(|t| {
            let [a, b, c] = self.corner_points(t as usize);
            let misses =
                |p: f64, a: f64, b: f64, c: f64| p < a.min(b).min(c) - BEYOND || p > a.max(b).max(c) + BEYOND;
            if misses(p.x, a.x, b.x, c.x) || misses(p.y, a.y, b.y, c.y) {
                return None;
            }
            let doubled = self.doubled_area(t as usize);
            let at = [(b, c), (c, a), (a, b)].map(|(u, v)| cross(v - u, p - u) / doubled);
            at.iter().all(|at| *at >= ROUNDING).then_some((t, at))
        })
    }
}

impl Solid {
    /// The mean traction over points of the mesh and a range of heights (in mm from the back), on upright planes square to
    /// `normal`: square to the plane (pull counts as positive), along it to the left of the normal, and through the thickness.
    ///
    /// Nothing where there is no wood at some of it.
    pub fn traction_within(&self, spots: &[Spot], normal: Point, heights: [f64; 2]) -> Option<[Asked; 3]> {
        let along = left(normal);
        // Each part of the traction by the stresses xx, yy, zz, yz, xz, xy.
        let parts = [
            [normal.x * normal.x, normal.y * normal.y, 0.0, 0.0, 0.0, 2.0 * normal.x * normal.y],
            [along.x * normal.x, along.y * normal.y, 0.0, 0.0, 0.0, along.x * normal.y + along.y * normal.x],
            [0.0, 0.0, 0.0, normal.y, normal.x, 0.0],
        ];
        let body = self.body();
        let whole = heights[1] - heights[0];
        let [bottom, top] = [body.layers.first()?.bottom, body.layers.last()?.top];
        if heights[0] < bottom - 1e-9 || heights[1] > top + 1e-9 || whole <= 0.0 {
            return None;
        }
        let mut forms: [Sparse; 3] = Default::default();
        for &(t, at) in spots {
            let corners = body.mesh.corner_points(t as usize);
            let (values, slopes) = (shape(at), slopes(corners, at));
            for (k, layer) in body.layers.iter().enumerate() {
                let [low, high] = [heights[0].max(layer.bottom), heights[1].min(layer.top)];
                if high <= low {
                    continue;
                }
                let nodes = self.element_nodes(t as usize, k)?;
                let stiffness = body.wood(t as usize, k)?.matrix();
                let share = (high - low) / whole / spots.len() as f64 / GAUSS.len() as f64;
                let mut sums = [[0.0; 54]; 3];
                // How each part depends on each strain.
                let by_strain = parts.map(|part| -> [f64; 6] {
                    std::array::from_fn(|s| (0..6).map(|r| part[r] * stiffness[r][s]).sum())
                });
                for gauss in GAUSS {
                    let height = (low + gauss * (high - low) - layer.bottom) / layer.height();
                    let (through, steep) = (level(height), level_slopes(height));
                    for m in 0..18 {
                        let (a, i) = (m / 6, m % 6);
                        let slope = [
                            slopes[i][0] * through[a],
                            slopes[i][1] * through[a],
                            values[i] * steep[a] / layer.height(),
                        ];
                        for (sums, by_strain) in sums.iter_mut().zip(&by_strain) {
                            for d in 0..3 {
                                let weight: f64 = (0..3).map(|p| slope[p] * by_strain[STRAIN[p][d]]).sum();
                                sums[3 * m + d] += share * weight;
                            }
                        }
                    }
                }
                let unknowns = || nodes.iter().flat_map(|&node| 3 * node..3 * node + 3);
                for (form, sums) in forms.iter_mut().zip(sums) {
                    form.extend(unknowns().zip(sums));
                }
            }
        }
        Some(forms.map(|form| Asked::of_form(summed(form))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        shape::plane::{direction, dot, point},
        solid::{Body, Elastic, Layer, Load},
        strength::tests::cherry,
    };

    /// A block moved as a linear field of displacements has the same stress everywhere: Hooke's law by hand.
    #[test]
    fn an_even_strain_is_read_exactly() {
        let wood = Elastic::of(&cherry()).expect("a stiffness").stiffness(0.3);
        let ring = vec![point(0.0, 0.0), point(20.0, 0.0), point(20.0, 10.0), point(0.0, 10.0)];
        let plan =
            crate::solid::Plan { rings: vec![ring], lines: Vec::new(), zones: Vec::new(), size: &|_| 4.0 };
        let mesh = Mesh::generate(&plan).expect("a mesh");
        let layer = |bottom, top| Layer { bottom, top, wood: Some(0), zones: Vec::new() };
        let body = Body {
            mesh,
            layers: vec![layer(0.0, 2.0), layer(2.0, 5.0)],
            woods: vec![wood],
            cuts: Vec::new(),
            partings: Vec::new(),
        };
        let solid = Solid::new(body).expect("a solid");
        let gradient = [[1e-3, 2e-4, -3e-4], [4e-4, -5e-4, 6e-4], [7e-4, -8e-4, 9e-4]];
        let displacement: Vec<f64> = (0..solid.node_count())
            .flat_map(|node| {
                let at = solid.position(node);
                gradient.map(|row| row[0] * at[0] + row[1] * at[1] + row[2] * at[2])
            })
            .collect();
        let g = gradient;
        let strain = [g[0][0], g[1][1], g[2][2], g[1][2] + g[2][1], g[0][2] + g[2][0], g[0][1] + g[1][0]];
        let [xx, yy, _, yz, xz, xy] = wood.stress(strain);
        let normal = direction(0.8);
        let on =
            [xx * normal.x + xy * normal.y, xy * normal.x + yy * normal.y, xz * normal.x + yz * normal.y];
        let pull = point(on[0], on[1]);
        let by_hand = [dot(pull, normal), dot(pull, left(normal)), on[2]];
        let mesh = &solid.body().mesh;
        let spots: Vec<Spot> = [(3.0, 4.0), (9.1, 2.2), (16.0, 8.0)]
            .iter()
            .map(|&(x, y)| mesh.spot(point(x, y)).expect("in the mesh"))
            .collect();
        let asked = solid.traction_within(&spots, normal, [1.0, 4.5]).expect("wood");
        for (asked, by_hand) in asked.iter().zip(by_hand) {
            let value = asked.value(&displacement, &Load { parts: Vec::new() });
            assert!((value - by_hand).abs() < 1e-9 * by_hand.abs(), "{value} {by_hand}");
        }
        assert!(mesh.spot(point(20.5, 5.0)).is_none());
        assert!(solid.traction_within(&spots, normal, [5.5, 6.0]).is_none());
    }
}
