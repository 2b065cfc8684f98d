//! How fast the error falls when triangles and layers are halved, against exact solutions.
//!
//! Elements that bend quadratically err by the cube of their size in displacement and by its square in stress
//! and energy (any text on finite elements, such as G. Strang and G. J. Fix, An Analysis of the Finite Element
//! Method, 1973). Asked of the last halving: orders of at least 2.8 and 1.9.
//!
//! The exact solution: the gradient of a function whose Laplacian is zero displaces a material that is alike in
//! all directions without changing any volume, and keeps every point in balance. Here it is
//!
//! ```text
//! φ = cos(p·x)·cos(q·y)·cosh(r·z),   r² = p² + q²,   u = ∇φ,   σ = 2G·∇∇φ
//! ```
//!
//! Stretching the axes by s₁, s₂, s₃ makes of it an exact solution for a material like wood (our arithmetic):
//! with `x' = s·x`, `u' = u/s` and `σ'_ij = s_i·s_j·σ_ij`, balance holds as before and the law of the material
//! is that of `E'_i = s_i⁴·E`, `G'_ij = s_i²·s_j²·G`, `ν'_ij = ν·s_i²/s_j²`.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use shortgrain::{
    shape::plane::{Point, point},
    solid::{Elastic, Flat, Held, Mesh, Solid},
};

use super::{Loaded, cells, near, outward, plies, rim, solid};

const SIZE: [f64; 3] = [10.0, 8.0, 6.0];
const YOUNG: f64 = 1000.0;
const POISSON: f64 = 0.1;

/// The exact solution, turned about z with its material.
struct Exact {
    stretch: [f64; 3],
    wave: [f64; 3],
    turn: f64,
}

impl Exact {
    fn new(stretch: [f64; 3], turn: f64) -> Self {
        let [p, q] = [1.5 * stretch[0] / SIZE[0], 1.2 * stretch[1] / SIZE[1]];
        Self { stretch, wave: [p, q, p.hypot(q)], turn }
    }

    fn material(&self) -> Elastic {
        let [a, b, c] = self.stretch.map(|s| s * s);
        let shear = YOUNG / (2.0 * (1.0 + POISSON));
        Elastic::new(
            [a, b, c].map(|square| square * square * YOUNG),
            [a * b * shear, a * c * shear, b * c * shear],
            [POISSON * a / b, POISSON * a / c, POISSON * b / c],
        )
        .unwrap()
    }

    /// A place turned, or turned back.
    fn turned(&self, [x, y, z]: [f64; 3], sense: f64) -> [f64; 3] {
        let (sin, cos) = (sense * self.turn).sin_cos();
        [cos * x - sin * y, sin * x + cos * y, z]
    }

    /// The sine-like and cosine-like factors of the three directions, at a place turned back.
    fn factors(&self, at: [f64; 3]) -> [[f64; 2]; 3] {
        let at = self.turned(at, -1.0);
        let [x, y, z]: [f64; 3] = std::array::from_fn(|k| self.wave[k] * at[k] / self.stretch[k]);
        [[x.sin(), x.cos()], [y.sin(), y.cos()], [z.sinh(), z.cosh()]]
    }

    fn moved(&self, at: [f64; 3]) -> [f64; 3] {
        let [p, q, r] = self.wave;
        let [[sx, cx], [sy, cy], [sz, cz]] = self.factors(at);
        let [a, b, c] = self.stretch;
        self.turned([-p * sx * cy * cz / a, -q * cx * sy * cz / b, r * cx * cy * sz / c], 1.0)
    }

    /// In the order xx, yy, zz, yz, xz, xy.
    fn stress(&self, at: [f64; 3]) -> [f64; 6] {
        let [p, q, r] = self.wave;
        let [[sx, cx], [sy, cy], [sz, cz]] = self.factors(at);
        let [a, b, c] = self.stretch;
        let all = cx * cy * cz;
        let rows = [
            [-p * p * all * a * a, p * q * sx * sy * cz * a * b, -p * r * sx * cy * sz * a * c],
            [p * q * sx * sy * cz * a * b, -q * q * all * b * b, -q * r * cx * sy * sz * b * c],
            [-p * r * sx * cy * sz * a * c, -q * r * cx * sy * sz * b * c, r * r * all * c * c],
        ];
        // Turned twice: each row, then each column.
        let half = rows.map(|row| self.turned(row, 1.0));
        let column = |k: usize| self.turned([half[0][k], half[1][k], half[2][k]], 1.0);
        let [x, y, z] = [0, 1, 2].map(column);
        [x[0], y[1], z[2], y[2], x[2], x[1]].map(|value| YOUNG / (1.0 + POISSON) * value)
    }

    /// What pulls at a wall that faces in a direction.
    fn traction(&self, at: [f64; 3], [x, y, z]: [f64; 3]) -> [f64; 3] {
        let [xx, yy, zz, yz, xz, xy] = self.stress(at);
        [xx * x + xy * y + xz * z, xy * x + yy * y + yz * z, xz * x + yz * y + zz * z]
    }
}

/// Every triangle cut into four.
fn halved(mesh: &Mesh) -> Mesh {
    let parts = |&[a, b, c, ab, bc, ca]: &[u32; 6]| [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]];
    let triangles: Vec<[u32; 3]> = mesh.triangles.iter().flat_map(parts).collect();
    let zones = vec![0; triangles.len()];
    Mesh::new(mesh.points.clone(), &triangles, zones)
}

/// The body under the exact tractions on three of its faces, displaced exactly on the three others.
fn solved(exact: &Exact, mesh: Mesh, count: usize) -> Loaded {
    let own = |p: Point| exact.turned([p.x, p.y, 0.0], -1.0);
    let walls = rim(&mesh, |p| own(p)[0] > 1e-9 && own(p)[1] > 1e-9);
    let wood = exact.material().stiffness(exact.turn);
    let body = solid(mesh, plies(&[(2.5, 0, count), (3.5, 0, count)]), vec![wood]);
    let layers = 2 * count;
    let all = 0..body.body().mesh.triangles.len() as u32;
    let mut load = body.on_flat(all, layers - 1, Flat::Top, |at| exact.traction(at, [0.0, 0.0, 1.0]));
    for side in &walls {
        let normal = outward(&body.body().mesh, side);
        let pull = |at| exact.traction(at, [normal.x, normal.y, 0.0]);
        load.extend(body.on_walls(std::slice::from_ref(side), 0..layers, pull));
    }
    let held = Held::new(&body, |at, _| exact.turned(at, -1.0).into_iter().any(|c| near(c, 0.0)));
    let put: Vec<f64> = (0..body.node_count()).flat_map(|node| exact.moved(body.position(node))).collect();
    Loaded::displaced(body, &held, &put, &load)
}

/// Roots of the mean squares of the errors in displacement and stress, and of the energy of the error.
fn errors(exact: &Exact, answer: &Loaded) -> [f64; 3] {
    let compliance = inverse(answer.solid.body().woods[0].matrix());
    let mut sums = [0.0; 3];
    for (triangle, layer, _) in answer.solid.elements() {
        for (area, height, weight, at) in places(&answer.solid, triangle, layer) {
            let moved = answer.solid.displacement(&answer.field, triangle, layer, area, height).unwrap();
            let stress = answer.solid.stress(&answer.field, triangle, layer, area, height).unwrap();
            let off: [f64; 3] = std::array::from_fn(|k| moved[k] - exact.moved(at)[k]);
            let wrong: [f64; 6] = std::array::from_fn(|k| stress[k] - exact.stress(at)[k]);
            sums[0] += weight * off.iter().map(|value| value * value).sum::<f64>();
            sums[1] += weight * wrong.iter().map(|value| value * value).sum::<f64>();
            for (row, left) in compliance.iter().zip(wrong) {
                sums[2] += weight * left * row.iter().zip(wrong).map(|(c, right)| c * right).sum::<f64>();
            }
        }
    }
    sums.map(|sum| (sum / SIZE.iter().product::<f64>()).sqrt())
}

/// Places in an element with area coordinates, height, volume and position: Gauss' four points in each of three
/// directions, the triangle being a square with one side drawn together.
fn places(body: &Solid, triangle: usize, layer: usize) -> Vec<([f64; 3], f64, f64, [f64; 3])> {
    const LINE: [(f64, f64); 4] = [
        (0.069_431_844_202_973_7, 0.173_927_422_568_726_9),
        (0.330_009_478_207_571_9, 0.326_072_577_431_273_1),
        (0.669_990_521_792_428_1, 0.326_072_577_431_273_1),
        (0.930_568_155_797_026_3, 0.173_927_422_568_726_9),
    ];
    let [a, b, c] = body.body().mesh.corner_points(triangle);
    let plane = body.body().mesh.doubled_area(triangle);
    let (floor, rise) = (body.body().layers[layer].bottom, body.body().layers[layer].height());
    let mut places = Vec::with_capacity(64);
    for (u, u_weight) in LINE {
        for (v, v_weight) in LINE {
            for (height, w_weight) in LINE {
                let area = [u, (1.0 - u) * v, (1.0 - u) * (1.0 - v)];
                let at = a * area[0] + b * area[1] + c * area[2];
                let weight = u_weight * v_weight * w_weight * (1.0 - u) * plane * rise;
                places.push((area, height, weight, [at.x, at.y, floor + height * rise]));
            }
        }
    }
    places
}

/// By elimination: a stiffness is positive definite.
fn inverse(matrix: &[[f64; 6]; 6]) -> [[f64; 6]; 6] {
    let mut left = *matrix;
    let mut right: [[f64; 6]; 6] =
        std::array::from_fn(|i| std::array::from_fn(|j| f64::from(u8::from(i == j))));
    for pivot in 0..6 {
        let scale = left[pivot][pivot];
        left[pivot].iter_mut().chain(&mut right[pivot]).for_each(|value| *value /= scale);
        for row in (0..6).filter(|&row| row != pivot) {
            let share = left[row][pivot];
            for column in 0..6 {
                left[row][column] -= share * left[pivot][column];
                right[row][column] -= share * right[pivot][column];
            }
        }
    }
    right
}

/// On an uneven mesh and two unequal layers, halved twice.
#[test]
fn errors_fall_at_the_rates_of_quadratic_elements() {
    // Eleven times stiffer along than in plane, twice through the thickness.
    let wood = [11.0_f64.powf(0.25), 1.0, 2.0_f64.powf(0.25)];
    for (what, stretch, turn) in [
        ("alike in all directions", [1.0; 3], 0.0),
        ("like wood", wood, 0.0),
        ("wood at 35 degrees", wood, 0.61),
    ] {
        let exact = Exact::new(stretch, turn);
        let mut mesh = cells(2, 2, true, |i, j| {
            let (x, y) = if (i, j) == (1, 1) { (0.9, -0.7) } else { (0.0, 0.0) };
            let [x, y, _] =
                exact.turned([SIZE[0] * i as f64 / 2.0 + x, SIZE[1] * j as f64 / 2.0 + y, 0.0], 1.0);
            point(x, y)
        });
        let mut found = Vec::new();
        for count in [1, 2, 4] {
            found.push(errors(&exact, &solved(&exact, mesh.clone(), count)));
            mesh = halved(&mesh);
        }
        let order = |pair: &[[f64; 3]]| std::array::from_fn::<_, 3, _>(|k| (pair[0][k] / pair[1][k]).log2());
        let orders: Vec<[f64; 3]> = found.windows(2).map(order).collect();
        println!("rates, {what}: errors {found:.4?}, orders {orders:.2?} of displacement, stress, energy");
        let [displacement, stress, energy] = orders[1];
        assert!(displacement > 2.8 && stress > 1.9 && energy > 1.9, "{what}: {orders:?}");
        // Faster than theory by much would mean that the solution is one the elements hold exactly.
        assert!(displacement < 3.5 && stress < 2.5, "{what}: {orders:?}");
    }
}

/// Plies do not spoil it: a thick plate of three crossed plies under a sine-shaped pull, on simple supports.
/// The energy it stores misses the exact one by the square of the energy of the error, so its steps from mesh
/// to mesh fall at twice that order: 3.8.
#[test]
fn the_energy_of_a_plate_of_plies_settles_at_twice_the_order() {
    let ply = Elastic::new([25.0, 1.0, 1.0], [0.5, 0.5, 0.2], [0.25; 3]).unwrap();
    let energy = |fineness: usize| {
        let count = 2 * fineness;
        let mesh = cells(count, count, true, |i, j| {
            point(2.0 * i as f64 / count as f64, 2.0 * j as f64 / count as f64)
        });
        let layers = plies(&[(0.3, 0, fineness), (0.4, 1, fineness), (0.3, 0, fineness)]);
        let woods = [0.0, FRAC_PI_2].map(|grain| ply.stiffness(grain)).to_vec();
        let body = solid(mesh, layers, woods);
        let held = Held::new(&body, |[x, y, _], axis| match axis {
            0 => near(y, 0.0) || near(x, 2.0),
            1 => near(x, 0.0) || near(y, 2.0),
            _ => near(x, 0.0) || near(y, 0.0),
        });
        let all = 0..body.body().mesh.triangles.len() as u32;
        let load = body.on_flat(all, 3 * fineness - 1, Flat::Top, |[x, y, _]| {
            [0.0, 0.0, (FRAC_PI_4 * x).sin() * (FRAC_PI_4 * y).sin()]
        });
        Loaded::new(body, &held, &load).work(&load)
    };
    let [coarse, middle, fine] = [1, 2, 4].map(energy);
    let order = ((middle - coarse) / (fine - middle)).log2();
    println!("plate of plies: energies {coarse:.6} {middle:.6} {fine:.6}, order {order:.2}");
    assert!(middle > coarse && fine > middle, "elements are too stiff, never too soft");
    assert!((3.8..5.0).contains(&order), "{order}");
}
