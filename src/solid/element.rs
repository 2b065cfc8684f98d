//! One element: a triangle of one layer, quadratic in plane and through the thickness.
//!
//! Its 18 shape functions are products of the six of a quadratic triangle and the three of a quadratic
//! line, `N_i(x, y)·M_a(z)`; node `6a + i` is node `i` of the triangle at level `a` (bottom, middle, top of the
//! layer). Triangles have straight sides and layers are flat, so every integral over the element is a product
//! of one over the triangle and one over the line, and both are known exactly. With `C_pq = L_pᵀ·C·L_q`, the
//! 3 × 3 part of the stiffness that couples slopes towards p and q, nodes `(i, a)` and `(j, b)` are coupled by
//!
//! ```text
//! Z⁰_ab·P_ij + Z¹_ab·Q_ij + Z¹_ba·Q_jiᵀ + Z²_ab·R_ij
//!
//! P_ij = Σ C_pq·∫ ∂_p N_i ∂_q N_j     p, q over x and y
//! Q_ij = Σ C_pz·∫ ∂_p N_i N_j         p over x and y
//! R_ij = C_zz·∫ N_i N_j
//! Z⁰ = ∫ M_a M_b    Z¹ = ∫ M_a M_b'    Z² = ∫ M_a' M_b'
//! ```
//!
//! P, Q and R belong to the triangle and its wood alone, and serve every layer.

use super::{Mesh, Stiffness};
use crate::shape::plane::Point;

/// Unknowns of an element: three at each of 18 nodes.
pub(super) const DOFS: usize = 54;

/// An element's stiffness in N/mm; unknown `3·node + axis`.
pub type ElementStiffness = [[f64; DOFS]; DOFS];

/// 3 × 3 couplings of the six nodes of a triangle.
type Couplings = [[[[f64; 3]; 3]; 6]; 6];

/// What of an element's stiffness belongs to its triangle and wood.
pub(super) struct InPlane {
    p: Couplings,
    q: Couplings,
    r: Couplings,
}

/// What of it belongs to its layer.
pub(super) struct Through {
    values: [[f64; 3]; 3],
    mixed: [[f64; 3]; 3],
    slopes: [[f64; 3]; 3],
}

/// The same of a layer with the middle plane in it, its lowest level moving as the image of its topmost: for movements along the
/// board and through it, of either node.
pub(super) struct Halves([[Through; 2]; 2]);

/// The six shape functions of a triangle at area coordinates.
pub(super) fn shape([a, b, c]: [f64; 3]) -> [f64; 6] {
    [a * (2.0 * a - 1.0), b * (2.0 * b - 1.0), c * (2.0 * c - 1.0), 4.0 * a * b, 4.0 * b * c, 4.0 * c * a]
}

/// Slopes in x and y of the six shape functions at area coordinates.
pub(super) fn slopes(corners: [Point; 3], [a, b, c]: [f64; 3]) -> [[f64; 2]; 6] {
    let [ga, gb, gc] = area_slopes(corners);
    let with = |s: f64, g: [f64; 2], t: f64, h: [f64; 2]| [s * g[0] + t * h[0], s * g[1] + t * h[1]];
    let none = [0.0; 2];
    [
        with(4.0 * a - 1.0, ga, 0.0, none),
        with(4.0 * b - 1.0, gb, 0.0, none),
        with(4.0 * c - 1.0, gc, 0.0, none),
        with(4.0 * b, ga, 4.0 * a, gb),
        with(4.0 * c, gb, 4.0 * b, gc),
        with(4.0 * a, gc, 4.0 * c, ga),
    ]
}

/// The three shape functions of a line at `at`, from 0 at the bottom to 1 at the top.
pub(super) fn level(at: f64) -> [f64; 3] {
    [(1.0 - at) * (1.0 - 2.0 * at), 4.0 * at * (1.0 - at), at * (2.0 * at - 1.0)]
}

/// Their slopes for a line of length 1.
pub(super) fn level_slopes(at: f64) -> [f64; 3] {
    [4.0 * at - 3.0, 4.0 - 8.0 * at, 4.0 * at - 1.0]
}

/// Slopes of the area coordinates.
fn area_slopes([a, b, c]: [Point; 3]) -> [[f64; 2]; 3] {
    let doubled = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let towards = |p: Point, q: Point| [(p.y - q.y) / doubled, (q.x - p.x) / doubled];
    [towards(b, c), towards(c, a), towards(a, b)]
}

/// `∫ N_i N_j` over a triangle of area 180.
pub(super) const VALUES: [[f64; 6]; 6] = [
    [6.0, -1.0, -1.0, 0.0, -4.0, 0.0],
    [-1.0, 6.0, -1.0, 0.0, 0.0, -4.0],
    [-1.0, -1.0, 6.0, -4.0, 0.0, 0.0],
    [0.0, 0.0, -4.0, 32.0, 16.0, 16.0],
    [-4.0, 0.0, 0.0, 16.0, 32.0, 16.0],
    [0.0, -4.0, 0.0, 16.0, 16.0, 32.0],
];

/// `∫ λ_k N_j` over a triangle of area 60, λ the area coordinates.
const MOMENTS: [[f64; 6]; 3] =
    [[2.0, -1.0, -1.0, 8.0, 4.0, 8.0], [-1.0, 2.0, -1.0, 8.0, 8.0, 4.0], [-1.0, -1.0, 2.0, 4.0, 8.0, 8.0]];

impl InPlane {
    pub(super) fn new(mesh: &Mesh, triangle: usize, wood: &Stiffness) -> Self {
        let corners = mesh.corner_points(triangle);
        let area = 0.5 * mesh.doubled_area(triangle);
        // Slopes are linear, so their values at the corners say all.
        let at = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|corner| slopes(corners, corner));
        let c = slope_couplings(wood);
        let mut plane =
            Self { p: [[[[0.0; 3]; 3]; 6]; 6], q: [[[[0.0; 3]; 3]; 6]; 6], r: [[[[0.0; 3]; 3]; 6]; 6] };
        for i in 0..6 {
            for j in 0..6 {
                add(&mut plane.r[i][j], area / 180.0 * VALUES[i][j], &c[2][2]);
                for p in 0..2 {
                    let moment: f64 = (0..3).map(|k| at[k][i][p] * MOMENTS[k][j]).sum();
                    add(&mut plane.q[i][j], area / 60.0 * moment, &c[p][2]);
                    // Below the diagonal they stand turned.
                    for q in (0..2).filter(|_| i <= j) {
                        let [u, v]: [[f64; 3]; 2] =
                            [std::array::from_fn(|k| at[k][i][p]), std::array::from_fn(|k| at[k][j][q])];
                        // ∫ λ_k λ_l is a twelfth of the area, twice that for k = l.
                        let product: f64 = u.iter().sum::<f64>() * v.iter().sum::<f64>()
                            + (0..3).map(|k| u[k] * v[k]).sum::<f64>();
                        add(&mut plane.p[i][j], area / 12.0 * product, &c[p][q]);
                    }
                }
                if i > j {
                    let turned = plane.p[j][i];
                    plane.p[i][j] = std::array::from_fn(|s| std::array::from_fn(|t| turned[t][s]));
                }
            }
        }
        plane
    }

    /// The coupling of local nodes `m` and `n`.
    pub(super) fn coupling(&self, through: &Through, m: usize, n: usize) -> [[f64; 3]; 3] {
        let ((a, i), (b, j)) = ((m / 6, m % 6), (n / 6, n % 6));
        let (z0, z1, z1t, z2) =
            (through.values[a][b], through.mixed[a][b], through.mixed[b][a], through.slopes[a][b]);
        let (p, q, qt, r) = (&self.p[i][j], &self.q[i][j], &self.q[j][i], &self.r[i][j]);
        std::array::from_fn(|s| {
            std::array::from_fn(|t| z0 * p[s][t] + z1 * q[s][t] + z1t * qt[t][s] + z2 * r[s][t])
        })
    }

    /// The same of an element whose lower nodes move as the images of its upper ones.
    pub(super) fn coupling_of_halves(&self, halves: &Halves, m: usize, n: usize) -> [[f64; 3]; 3] {
        let ((a, i), (b, j)) = ((m / 6, m % 6), (n / 6, n % 6));
        let (p, q, qt, r) = (&self.p[i][j], &self.q[i][j], &self.q[j][i], &self.r[i][j]);
        std::array::from_fn(|s| {
            std::array::from_fn(|t| {
                let (here, there) = (&halves.0[s / 2][t / 2], &halves.0[t / 2][s / 2]);
                here.values[a][b] * p[s][t]
                    + here.mixed[a][b] * q[s][t]
                    + there.mixed[b][a] * qt[t][s]
                    + here.slopes[a][b] * r[s][t]
            })
        })
    }

    /// The forces on the nodes of the element that keep it deformed.
    pub(super) fn forces(&self, through: &Through, displacement: &[[f64; 3]; 18]) -> [[f64; 3]; 18] {
        std::array::from_fn(|m| {
            let mut force = [0.0; 3];
            for (n, displacement) in displacement.iter().enumerate() {
                for (force, row) in force.iter_mut().zip(self.coupling(through, m, n)) {
                    *force += row[0] * displacement[0] + row[1] * displacement[1] + row[2] * displacement[2];
                }
            }
            force
        })
    }

    /// The whole stiffness of the element.
    pub(super) fn stiffness(&self, through: &Through) -> Box<ElementStiffness> {
        let mut whole = Box::new([[0.0; DOFS]; DOFS]);
        for m in 0..18 {
            for n in 0..18 {
                let coupling = self.coupling(through, m, n);
                for (s, row) in coupling.iter().enumerate() {
                    whole[3 * m + s][3 * n..3 * n + 3].copy_from_slice(row);
                }
            }
        }
        whole
    }
}

impl Through {
    pub(super) fn new(height: f64) -> Self {
        let scaled = |by: f64, rows: [[f64; 3]; 3]| rows.map(|row| row.map(|value| value * by));
        Self {
            values: scaled(height / 30.0, [[4.0, 2.0, -1.0], [2.0, 16.0, 2.0], [-1.0, 2.0, 4.0]]),
            mixed: scaled(1.0 / 6.0, [[-3.0, 4.0, -1.0], [-4.0, 0.0, 4.0], [1.0, -4.0, 3.0]]),
            slopes: scaled(1.0 / (3.0 * height), [[7.0, -8.0, 1.0], [-8.0, 16.0, -8.0], [1.0, -8.0, 7.0]]),
        }
    }

    /// Where movements are even, those along the board are alike at both faces and those through it opposite; else the
    /// other way round.
    pub(super) fn halves(&self, even: bool) -> Halves {
        let along = if even { 1.0 } else { -1.0 };
        let with = |first: f64, second: f64| {
            let folded = |of: &[[f64; 3]; 3]| {
                let mut folded = *of;
                for level in 0..3 {
                    folded[2][level] += first * of[0][level];
                }
                let rows = folded;
                for (folded, row) in folded.iter_mut().zip(rows) {
                    folded[2] += second * row[0];
                }
                folded
            };
            Self { values: folded(&self.values), mixed: folded(&self.mixed), slopes: folded(&self.slopes) }
        };
        Halves([along, -along].map(|first| [along, -along].map(|second| with(first, second))))
    }
}

fn add(to: &mut [[f64; 3]; 3], by: f64, what: &[[f64; 3]; 3]) {
    for (to, what) in to.iter_mut().flatten().zip(what.iter().flatten()) {
        *to += by * what;
    }
}

/// `C_pq`: stress coupled to displacement's slopes towards p and q, for p and q of x, y, z.
fn slope_couplings(wood: &Stiffness) -> [[[[f64; 3]; 3]; 3]; 3] {
    // Which strain the slope of displacement d towards p belongs to.
    const STRAIN: [[usize; 3]; 3] = [[0, 5, 4], [5, 1, 3], [4, 3, 2]];
    let c = wood.matrix();
    std::array::from_fn(|p| {
        std::array::from_fn(|q| {
            std::array::from_fn(|d| std::array::from_fn(|e| c[STRAIN[p][d]][STRAIN[q][e]]))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::point;
    use crate::solid::{Body, Elastic, Layer, Solid};
    use crate::strength::tests::cherry;

    fn one() -> Solid {
        let corners = vec![point(1.0, 2.0), point(7.5, 1.0), point(3.0, 6.0)];
        let mesh = Mesh::new(corners, &[[0, 1, 2]], vec![0]);
        let wood = Elastic::of(&cherry()).unwrap().stiffness(0.5);
        Solid::new(Body::new(mesh, vec![Layer::plain(0.0, 4.0, 0)], vec![wood])).unwrap()
    }

    /// Sums `Bᵀ·C·B` over points, four by four in the plane (Gauss on a square folded to a triangle) and
    /// three through the thickness, which is exact for these polynomials too.
    #[test]
    fn products_of_integrals_equal_integrals_of_products() {
        let solid = one();
        let exact = solid.element_stiffness(0, 0).unwrap();
        let mesh = &solid.body().mesh;
        let corners = mesh.corner_points(0);
        let c = solid.body().woods[0].matrix();
        let gauss4 = [
            (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
            (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
            (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
            (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
        ];
        let mut sum = vec![[0.0; DOFS]; DOFS];
        for (u, wu) in gauss4 {
            for (v, wv) in gauss4 {
                for (h, wh) in gauss4 {
                    let area = [1.0 - u, u * (1.0 - v), u * v];
                    let weight = wu * wv * wh * u * mesh.doubled_area(0) * 4.0;
                    let (n, dn) = (shape(area), slopes(corners, area));
                    let (m, dm) = (level(h), level_slopes(h));
                    let mut b = [[0.0; DOFS]; 6];
                    for local in 0..18 {
                        let (i, a) = (local % 6, local / 6);
                        let [x, y, z] = [dn[i][0] * m[a], dn[i][1] * m[a], n[i] * dm[a] / 4.0];
                        let at = 3 * local;
                        (b[0][at], b[1][at + 1], b[2][at + 2]) = (x, y, z);
                        (b[3][at + 1], b[3][at + 2]) = (z, y);
                        (b[4][at], b[4][at + 2]) = (z, x);
                        (b[5][at], b[5][at + 1]) = (y, x);
                    }
                    for r in 0..DOFS {
                        for s in 0..DOFS {
                            for k in 0..6 {
                                for l in 0..6 {
                                    sum[r][s] += weight * b[k][r] * c[k][l] * b[l][s];
                                }
                            }
                        }
                    }
                }
            }
        }
        let largest = exact.iter().flatten().fold(0.0_f64, |most, value| most.max(value.abs()));
        for (exact, sum) in exact.iter().flatten().zip(sum.iter().flatten()) {
            assert!((exact - sum).abs() < 1e-13 * largest, "{exact} {sum}");
        }
    }

    /// An element resists every deformation but six: no force answers a movement as a whole, and Cholesky's
    /// method finds exactly 48 pivots.
    #[test]
    fn only_moving_as_a_whole_costs_no_energy() {
        let solid = one();
        let mut k = solid.element_stiffness(0, 0).unwrap();
        let largest = k.iter().flatten().fold(0.0_f64, |most, value| most.max(value.abs()));
        let nodes = *solid.element_nodes(0, 0).unwrap();
        for mode in 0..6 {
            let mut moved = vec![0.0; solid.dof_count()];
            for node in 0..18 {
                let [x, y, z] = solid.position(node);
                let whole = [
                    [1.0, 0.0, 0.0],
                    [0.0, 1.0, 0.0],
                    [0.0, 0.0, 1.0],
                    [0.0, -z, y],
                    [z, 0.0, -x],
                    [-y, x, 0.0],
                ];
                moved[3 * node..3 * node + 3].copy_from_slice(&whole[mode]);
            }
            let forces = solid.forces(&moved);
            assert!(forces.iter().all(|force| force.abs() < 1e-13 * 10.0 * largest), "{mode}: {forces:?}");
            assert_eq!(nodes.len(), 18);
        }
        let mut pivots = 0;
        let mut used = [false; DOFS];
        while let Some(at) = (0..DOFS).filter(|&i| !used[i]).max_by(|&i, &j| k[i][i].total_cmp(&k[j][j])) {
            if k[at][at] < 1e-10 * largest {
                break;
            }
            (used[at], pivots) = (true, pivots + 1);
            let row = k[at];
            for i in (0..DOFS).filter(|&i| !used[i]) {
                let share = row[i] / row[at];
                (0..DOFS).for_each(|j| k[i][j] -= share * row[j]);
            }
        }
        assert_eq!(pivots, DOFS - 6);
        let left = (0..DOFS).filter(|&i| !used[i]).map(|i| k[i][i].abs()).fold(0.0, f64::max);
        assert!(left < 1e-12 * largest, "{left}");
    }
}
