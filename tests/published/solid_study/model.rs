//! The pieces of the study: an arm on a block, its loads, and the windows of a plane.

use crate::{sound_mesh::sound_mesh, strength::cherry};
use shortgrain::{
    shape::plane::{Point, point},
    solid::{
        Asked, Body, Cut, Edge, Elastic, Factor, Grading, Held, Layer, Load, Mesh, Plan, Plane, Solid,
        Stiffness, Window,
    },
    strength::{Index, Traction, splitting},
};

pub(crate) fn wood(angle: f64) -> Stiffness {
    Elastic::of(&cherry()).unwrap().stiffness(angle)
}

/// A plan with its sizes.
pub(crate) struct Draft {
    pub(crate) ring: Vec<Point>,
    pub(crate) lines: Vec<[Point; 2]>,
    pub(crate) zones: Vec<Vec<Point>>,
    pub(crate) grading: Grading,
}

impl Draft {
    /// An arm along y about x = 0, its root at y = 0, on a block below.
    pub(crate) fn arm(width: f64, span: f64, block: [f64; 2], most: f64) -> Self {
        let (b, w, d) = (width / 2.0, block[0] / 2.0, block[1]);
        let ring = [(-w, -d), (w, -d), (w, 0.0), (b, 0.0), (b, span), (-b, span), (-b, 0.0), (-w, 0.0)];
        Self {
            ring: ring.into_iter().map(|(x, y)| point(x, y)).collect(),
            lines: vec![[point(-b, 0.0), point(b, 0.0)]],
            zones: Vec::new(),
            grading: Grading::new(most, 0.3),
        }
    }

    pub(crate) fn mesh(&self) -> Mesh {
        sound_mesh(&Plan {
            rings: vec![self.ring.clone()],
            lines: self.lines.clone(),
            zones: self.zones.clone(),
            size: &|p| self.grading.size(p),
        })
        .unwrap()
    }
}

/// `count` layers of one wood between two heights.
pub(crate) fn ply(from: f64, to: f64, count: usize, wood: usize) -> Vec<Layer> {
    let height = |k: usize| from + (to - from) * k as f64 / count as f64;
    (0..count).map(|k| Layer::plain(height(k), height(k + 1), wood)).collect()
}

pub(crate) fn rectangle(from: Point, to: Point) -> Vec<Point> {
    vec![from, point(to.x, from.y), to, point(from.x, to.y)]
}

/// A solid that is held, and can be asked.
pub(crate) struct Model {
    pub(crate) solid: Solid,
    factor: Factor,
}

/// What a load makes of it.
pub(crate) struct Answer<'a> {
    pub(crate) load: &'a Load,
    pub(crate) moved: Vec<f64>,
}

impl Model {
    pub(crate) fn new(body: Body, held: impl Fn([f64; 3], usize) -> bool) -> Self {
        let solid = Solid::new(body).unwrap();
        let held = Held::new(&solid, held);
        let factor = solid.factor(&held).unwrap();
        Self { solid, factor }
    }

    pub(crate) fn under<'a>(&self, loads: &'a [Load]) -> Vec<Answer<'a>> {
        let forces: Vec<_> = loads.iter().map(|load| load.forces(&self.solid)).collect();
        let moved = self.factor.solve(&forces);
        loads.iter().zip(moved).map(|(load, moved)| Answer { load, moved }).collect()
    }

    pub(crate) fn chain(&self, from: Point, to: Point) -> Vec<Edge> {
        self.solid.body().mesh.edges_on(from, to)
    }

    /// The plane from a point to another, seen from its left.
    pub(crate) fn plane(&self, from: Point, to: Point, layers: std::ops::Range<u32>) -> Plane {
        Plane::new(&self.solid, &self.chain(from, to), layers).unwrap()
    }

    /// A force of 1 N spread over the walls from a point to another, in any direction.
    pub(crate) fn pull(&self, from: Point, to: Point, direction: [f64; 3]) -> Load {
        let chain = self.chain(from, to);
        let length = shortgrain::shape::plane::distance(from, to);
        let (mut load, ..) = Load::wall(&self.solid, &chain, 0.0, length).unwrap();
        for part in &mut load.parts {
            let size = part.force.iter().map(|f| f * f).sum::<f64>().sqrt();
            // Consistent forces of a quadratic side are nowhere negative.
            part.force = direction.map(|d| d * size);
        }
        load
    }
}

impl Answer<'_> {
    pub(crate) fn to(&self, asked: &Asked) -> f64 {
        asked.value(&self.moved, self.load)
    }
}

/// The nine windows of a plane: both ends and the middle, both faces and the middle.
pub(crate) fn windows(plane: &Plane, a: f64, c: f64) -> Vec<Window> {
    let ([low, high], length) = (plane.heights(), plane.length());
    let thirds = |from: f64, to: f64, part: f64| {
        let middle = f64::midpoint(from, to);
        [[from, from + part], [middle - part / 2.0, middle + part / 2.0], [to - part, to]]
    };
    let mut found = Vec::new();
    for along in thirds(0.0, length, a) {
        for through in thirds(low, high, c) {
            found.push(Window { along, through });
        }
    }
    found
}

/// Tractions over the nine windows.
pub(crate) fn tractions(plane: &Plane, a: f64, c: f64, answer: &Answer<'_>) -> Vec<(Window, Traction)> {
    windows(plane, a, c)
        .into_iter()
        .map(|window| {
            let [n, t, z] = plane.mean(&window).map(|asked| answer.to(&asked));
            (window, Traction { normal: n, along: t, through: z })
        })
        .collect()
}

/// The force that splits a plane, pushed this way (sign 1) or the other.
pub(crate) fn splits(plane: &Plane, [a, c]: [f64; 2], answer: &Answer<'_>, sign: f64) -> (Window, Index) {
    let indices = tractions(plane, a, c, answer).into_iter().map(|(window, t)| {
        let t = Traction { normal: sign * t.normal, along: sign * t.along, through: sign * t.through };
        (window, splitting(t, &cherry()))
    });
    indices.max_by(|a, b| a.1.value.total_cmp(&b.1.value)).unwrap()
}

/// Body with open walls round zone 0 in some layers.
pub(crate) fn open_walls(mesh: &Mesh, zone: usize, layers: std::ops::Range<usize>) -> Cut {
    let inside = |t: Option<u32>| t.is_some_and(|t| mesh.zones[t as usize] >> zone & 1 == 1);
    let sides = mesh
        .edges()
        .into_iter()
        .filter(|e| e.sides.iter().all(Option::is_some) && inside(e.sides[0]) != inside(e.sides[1]));
    Cut { sides: sides.collect(), layers }
}

/// The triangles chosen by their middles.
pub(crate) fn chosen(mesh: &Mesh, by: impl Fn(Point) -> bool) -> Vec<u32> {
    let middle = |t: usize| {
        let [a, b, c] = mesh.corner_points(t);
        (a + b + c) / 3.0
    };
    (0..mesh.triangles.len()).filter(|&t| by(middle(t))).map(|t| t as u32).collect()
}
