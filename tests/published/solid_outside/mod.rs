//! The solid model against benchmarks that others print, and against exact solutions of elasticity: a file a
//! family.
//!
//! Shapes here are not wooden pieces, and lengths are whatever their authors chose: what is checked is the
//! element, its plies and the solution, not the mesher. Curved rims are straight sides that touch the curve in
//! their middles. Beside each number stands its source and its standing, as for all checks of this folder;
//! `derived` marks what is our own arithmetic, which is a regression and not an outside check.

mod beams;
mod corner;
mod ellipses;
mod hole;
pub(crate) mod laminate;
mod patch;
mod plates;
mod rates;
mod strip;

use shortgrain::{
    shape::plane::{Point, cross, left, unit},
    solid::{Body, Edge, Elastic, Held, Layer, Mesh, Solid, Sparse, Stiffness},
};

/// A solid under one load.
struct Loaded {
    solid: Solid,
    field: Vec<f64>,
}

impl Loaded {
    fn new(solid: Solid, held: &Held, load: &Sparse) -> Self {
        let factor = solid.factor(held).expect("the body is held");
        let field = factor.solve(std::slice::from_ref(load)).remove(0);
        Self { solid, field }
    }

    /// With the held unknowns displaced as in `put`, whose other values do not matter.
    fn displaced(solid: Solid, held: &Held, put: &[f64], load: &Sparse) -> Self {
        let put: Vec<f64> =
            (0..solid.dof_count()).map(|k| if held.contains(k) { put[k] } else { 0.0 }).collect();
        let pull = solid.forces(&put);
        let mut load = load.clone();
        load.extend((0u32..).zip(pull).map(|(dof, pull)| (dof, -pull)));
        let mut answer = Self::new(solid, held, &load);
        answer.field.iter_mut().zip(put).for_each(|(value, put)| *value += put);
        answer
    }

    /// How far a point moves.
    fn moved(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let (triangle, area) = touching(&self.solid.body().mesh, [x, y]).remove(0);
        let layers = &self.solid.body().layers;
        let inside = |layer: &Layer| z <= layer.top + 1e-9 * layer.height();
        let number = layers.iter().position(inside).expect("the point lies in the body");
        let height = (z - layers[number].bottom) / layers[number].height();
        let found = self.solid.displacement(&self.field, triangle, number, area, height);
        found.expect("there is material")
    }

    /// The stress at a point of a layer, at a height from 0 at its bottom to 1 at its top: the mean over the
    /// triangles that touch the point.
    fn stress(&self, at: [f64; 2], layer: usize, height: f64) -> [f64; 6] {
        let found = touching(&self.solid.body().mesh, at);
        let stress = |&(triangle, area): &(usize, [f64; 3])| {
            self.solid.stress(&self.field, triangle, layer, area, height).expect("there is material")
        };
        let mut mean = [0.0; 6];
        for part in found.iter().map(stress) {
            mean.iter_mut().zip(part).for_each(|(mean, part)| *mean += part / found.len() as f64);
        }
        mean
    }

    /// The work of a load along the way, which for this load itself is twice the energy stored.
    fn work(&self, load: &Sparse) -> f64 {
        load.iter().map(|&(dof, force)| force * self.field[dof as usize]).sum()
    }
}

/// The triangles that touch a point, with its area coordinates.
fn touching(mesh: &Mesh, [x, y]: [f64; 2]) -> Vec<(usize, [f64; 3])> {
    let p = Point { x, y };
    let coordinates = |triangle: usize| {
        let [a, b, c] = mesh.corner_points(triangle);
        let whole = mesh.doubled_area(triangle);
        let area = [cross(b - p, c - p), cross(c - p, a - p), cross(a - p, b - p)].map(|part| part / whole);
        area.iter().all(|&part| part > -1e-9).then_some((triangle, area))
    };
    let found: Vec<_> = (0..mesh.triangles.len()).filter_map(coordinates).collect();
    assert!(!found.is_empty(), "({x}, {y}) lies on the mesh");
    found
}

/// Cells in rows, each cut into two triangles by one of its diagonals; `place` puts corner (i, j) somewhere,
/// turning nothing over. The diagonals alternate, beginning with rising ones if `rising`.
pub(crate) fn cells(across: usize, up: usize, rising: bool, place: impl Fn(usize, usize) -> Point) -> Mesh {
    let corner = |i: usize, j: usize| (j * (across + 1) + i) as u32;
    let points = (0..=up).flat_map(|j| (0..=across).map(move |i| (i, j))).map(|(i, j)| place(i, j)).collect();
    let mut triangles = Vec::new();
    for (i, j) in (0..up).flat_map(|j| (0..across).map(move |i| (i, j))) {
        let [a, b, c, d] = [corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)];
        let rises = ((i + j) % 2 == 0) == rising;
        triangles.extend(if rises { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] });
    }
    let zones = vec![0; triangles.len()];
    Mesh::new(points, &triangles, zones)
}

/// Plies from the bottom up, each a height, a wood, and how many layers of elements it is cut into.
pub(crate) fn plies(plies: &[(f64, usize, usize)]) -> Vec<Layer> {
    let mut layers = Vec::new();
    let mut floor = 0.0;
    for &(height, wood, count) in plies {
        let level = |k: usize| floor + height * k as f64 / count as f64;
        layers.extend((0..count).map(|k| Layer::plain(level(k), level(k + 1), wood)));
        floor = level(count);
    }
    layers
}

fn solid(mesh: Mesh, layers: Vec<Layer>, woods: Vec<Stiffness>) -> Solid {
    Solid::new(Body::new(mesh, layers, woods)).expect("the body is sound")
}

/// A material in plane stress: one that does not contract through the thickness when pulled in plane. With its
/// faces held level its solid is the plane problem itself.
fn plane_stress(young: [f64; 2], shear: f64, poisson: f64) -> Elastic {
    let [x, y] = young;
    Elastic::new([x, y, y], [shear; 3], [poisson, 0.0, 0.0]).expect("a stable material")
}

/// The sides with material on one side only, in no matter which direction, whose middle fulfils `on`.
fn rim(mesh: &Mesh, on: impl Fn(Point) -> bool) -> Vec<Edge> {
    let sides = mesh.edges().into_iter().filter(|side| side.sides.contains(&None));
    sides.filter(|side| on(mesh.points[side.nodes[1] as usize])).collect()
}

/// The direction out of the material across one of its rim's sides.
fn outward(mesh: &Mesh, side: &Edge) -> Point {
    let side = if side.sides[0].is_some() { *side } else { side.turned() };
    let [from, _, to] = side.nodes.map(|node| mesh.points[node as usize]);
    left(unit(to - from)) * -1.0
}

/// Parameters from 0 to 1 of the corners of straight sides that touch a curve of parameter angle at `touch`,
/// with the factor by which a corner lies outside of it. The curve is a circle from angle 0 to a right angle,
/// or one stretched.
fn corners_about(touch: &[f64]) -> Vec<(f64, f64)> {
    let ends = [touch[0], touch[touch.len() - 1]];
    let between = touch.windows(2).map(|pair| {
        let [from, to] = [pair[0], pair[1]];
        (0.5 * (from + to), 1.0 / (0.5 * (to - from)).cos())
    });
    std::iter::once((ends[0], 1.0)).chain(between).chain(std::iter::once((ends[1], 1.0))).collect()
}

/// `count + 1` numbers from 0 to 1, even in their root of that order: crowded at 0 when it is above 1.
fn crowded(count: usize, order: f64) -> Vec<f64> {
    (0..=count).map(|k| (k as f64 / count as f64).powf(order)).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}
