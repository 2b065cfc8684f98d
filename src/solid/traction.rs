//! Mean tractions on a plane, recovered from the forces the wood on one side passes through it.
//!
//! The stresses inside elements jump from one to the next and peak at corners. The forces that the elements on one side
//! of a plane exert on its nodes do neither: they balance the loads exactly. A traction field t that is
//! quadratic along the plane and through each layer, and does the same work on every node, satisfies
//!
//! ```text
//!     M t = R,    M = ∫ N Nᵀ dA over the plane's faces,    R = Σ (K u − f) over the elements on the side
//! ```
//!
//! ply by ply: R from that ply's elements, M from that ply's faces. Its mean over a window is integrated exactly, whether
//! or not the window ends at a side of the mesh, so a stress that varies in a straight line has its exact mean on any mesh.
//! Since t depends linearly on the displacements u, the mean is one linear form of u: [`Asked`].
//!
//! The plane is a grid, sides along it times levels through the thickness, so M = M₁ ⊗ M₂ and a mean needs
//! the solution of two small systems only.

use std::{
    collections::{BTreeMap, BTreeSet},
    ops::Range,
};

use crate::shape::plane::{Point, cross, distance, left, unit};

use super::{
    Asked, Edge, Load, Mesh, Solid,
    free_body::{FreeBody, places},
    load::quadratics_over,
};

/// A plane square to the face, along sides of the mesh, through some layers; seen from one side.
#[derive(Clone, Debug)]
pub struct Plane {
    /// Nodes along it, seen from the face: both ends and the middle of each side.
    nodes: Vec<u32>,
    /// Length along the plane to the end of each side, starting with 0.
    arc: Vec<f64>,
    /// Its first point, and its direction: the elements asked lie to the left.
    start: Point,
    along: Point,
    /// Heights at which the layers meet.
    heights: Vec<f64>,
    /// Elements on the left that have a node on the plane; place `level · nodes + node` of its grid.
    body: FreeBody,
}

/// A part of a plane: from where to where along it, and between which heights, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Lengths along the plane from its start.
    pub along: [f64; 2],
    /// Heights above the back.
    pub through: [f64; 2],
}

impl Plane {
    /// The plane along an unbroken chain of sides, through a range of layers, seen from the elements to its
    /// left; nothing where there is no wood on that side all along.
    ///
    /// # Panics
    ///
    /// If the chain is empty or not in order.
    pub fn new(solid: &Solid, chain: &[Edge], layers: Range<u32>) -> Option<Self> {
        Self::carrying(solid, chain, layers.clone(), layers)
    }

    /// The plane through `layers` where it bears all that the wood of `bonded` layers, those among them, passes
    /// on: above or below it the walls stand open. R is taken from all of them, M from `layers` alone.
    ///
    /// The end of an insert is such a plane: the ply in front crosses it alone, but what stands behind the end is
    /// glued to that ply and pulls at its last nodes.
    ///
    /// # Panics
    ///
    /// As [`Plane::new`].
    pub fn carrying(solid: &Solid, chain: &[Edge], layers: Range<u32>, bonded: Range<u32>) -> Option<Self> {
        let mesh = &solid.body().mesh;
        let mut nodes = vec![chain[0].nodes[0]];
        let mut arc = vec![0.0];
        for side in chain {
            assert_eq!(nodes[nodes.len() - 1], side.nodes[0], "the sides of a plane follow each other");
            nodes.extend([side.nodes[1], side.nodes[2]]);
            let [a, _, b] = side.nodes.map(|n| mesh.points[n as usize]);
            arc.push(arc[arc.len() - 1] + distance(a, b));
        }
        let start = mesh.points[nodes[0] as usize];
        let end = mesh.points[nodes[nodes.len() - 1] as usize];
        let heights = (layers.start..=layers.end)
            .map(|k| match solid.body().layers.get(k as usize) {
                Some(layer) => layer.bottom,
                None => solid.body().layers[k as usize - 1].top,
            })
            .collect();
        let triangles = fan(mesh, chain);
        let has_wood = |&(t, k): &(u32, u32)| solid.element_nodes(t as usize, k as usize).is_some();
        let here = triangles.iter().flat_map(|&t| bonded.clone().map(move |k| (t, k)));
        let elements: Vec<(u32, u32)> = here.filter(has_wood).collect();
        let beside = chain.iter().map(|side| side.sides[0]);
        if !beside
            .flat_map(|t| layers.clone().map(move |k| (t, k)))
            .all(|(t, k)| t.is_some_and(|t| has_wood(&(t, k))))
        {
            return None;
        }
        let place = places(&nodes);
        let levels = 2 * layers.start as usize..=2 * layers.end as usize;
        let body = FreeBody::new(solid, &elements, |node, layer, level| {
            let level = 2 * layer as usize + level;
            let column = place.get(&node).filter(|_| levels.contains(&level))?;
            Some((level - levels.start()) * nodes.len() + column)
        });
        let along = unit(end - start);
        Some(Self { nodes, arc, start, along, heights, body })
    }

    /// The triangles that the elements asked stand on; a load on no other has no part that acts on them.
    pub fn acted_on(&self) -> impl Iterator<Item = u32> + '_ {
        self.body.triangles()
    }

    /// The part of a load that acts on the elements asked; [`Asked::direct`] gives the same for it as for the whole.
    pub fn share(&self, load: &Load) -> Load {
        self.body.share(load)
    }

    /// Its length in mm.
    pub fn length(&self) -> f64 {
        self.arc[self.arc.len() - 1]
    }

    /// Its lowest and highest height, in mm.
    pub fn heights(&self) -> [f64; 2] {
        [self.heights[0], self.heights[self.heights.len() - 1]]
    }

    /// Its ends, seen from the face.
    pub fn ends(&self) -> [Point; 2] {
        [self.start, self.start + self.along * self.length()]
    }

    /// The mean tractions over a window: square to the plane (pulling is positive), along it, and through the
    /// thickness; in MPa.
    ///
    /// # Panics
    ///
    /// If the window does not lie on the plane.
    pub fn mean(&self, window: &Window) -> [Asked; 3] {
        let (x, z) = (mean_over(&self.arc, window.along), mean_over(&self.heights, window.through));
        let weight = |i: usize, j: usize| x[i] * z[j];
        // Outward from the wood on the left is to the right.
        let normal = left(self.along) * -1.0;
        let axes = [[normal.x, normal.y, 0.0], [self.along.x, self.along.y, 0.0], [0.0, 0.0, 1.0]];
        axes.map(|axis| self.asked(|i, j| axis.map(|a| a * weight(i, j))))
    }

    /// The resultant on the plane, about a point of it at a length along it and a height: force square to it, along
    /// it and through the thickness, in N; then moments in N mm: bending the plane open towards the face (about
    /// its direction), turning it in the board's plane (about z), and twisting (about its normal).
    pub fn resultant(&self, along: f64, height: f64) -> [Asked; 6] {
        let normal = left(self.along) * -1.0;
        let (n, t) = ([normal.x, normal.y, 0.0], [self.along.x, self.along.y, 0.0]);
        let up = [0.0, 0.0, 1.0];
        let place = |i: usize, j: usize| {
            let x = nodal(&self.arc, i) - along;
            let z = nodal(&self.heights, j) - height;
            (x, z)
        };
        let scale = |a: [f64; 3], s: f64| a.map(|c| c * s);
        let sum = |a: [f64; 3], b: [f64; 3]| [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
        [
            self.asked(|_, _| n),
            self.asked(|_, _| t),
            self.asked(|_, _| up),
            // With the arm x t + z up: the pull n at height z opens towards the face when it grows with z.
            self.asked(|i, j| scale(n, place(i, j).1)),
            self.asked(|i, j| scale(n, place(i, j).0)),
            self.asked(|i, j| sum(scale(up, place(i, j).0), scale(t, -place(i, j).1))),
        ]
    }

    /// The form Σ w·R over the grid, for weights w at its nodes.
    fn asked(&self, weight: impl Fn(usize, usize) -> [f64; 3]) -> Asked {
        let columns = self.nodes.len();
        self.body.asked(|place| weight(place % columns, place / columns))
    }
}

/// The triangles to the left of a chain that touch it: those reached round its nodes without crossing it, nor the straight
/// line on past an end within the wood.
fn fan(mesh: &Mesh, chain: &[Edge]) -> Vec<u32> {
    let on: BTreeSet<[u32; 2]> = chain.iter().map(|side| ordered(side.nodes[0], side.nodes[2])).collect();
    let corners: BTreeSet<u32> = chain.iter().flat_map(|side| [side.nodes[0], side.nodes[2]]).collect();
    // The triangles about the chain's corners, by the sides they share there.
    let mut about: BTreeMap<[u32; 2], Vec<u32>> = BTreeMap::new();
    let mut sides: BTreeMap<u32, Vec<[u32; 2]>> = BTreeMap::new();
    let mut is_corner = vec![false; mesh.points.len()];
    corners.iter().for_each(|&corner| is_corner[corner as usize] = true);
    let touching = |&(_, nodes): &(u32, &[u32; 6])| nodes[..3].iter().any(|&node| is_corner[node as usize]);
    for (t, &[a, b, c, ..]) in (0u32..).zip(&mesh.triangles).filter(touching) {
        for [from, to] in [[a, b], [b, c], [c, a]] {
            if corners.contains(&from) || corners.contains(&to) {
                about.entry(ordered(from, to)).or_default().push(t);
                sides.entry(t).or_default().push(ordered(from, to));
            }
        }
    }
    let mut found = BTreeSet::new();
    let (first, last) = (chain[0].nodes[0], chain[chain.len() - 1].nodes[2]);
    let [start, end] = [first, last].map(|n| mesh.points[n as usize]);
    let is_left = |t: u32| {
        let [a, b, c] = mesh.corner_points(t as usize);
        cross(end - start, (a + b + c) / 3.0 - start) > 0.0
    };
    let mut stack: Vec<u32> = chain.iter().filter_map(|side| side.sides[0]).collect();
    while let Some(t) = stack.pop() {
        if !is_left(t) || !found.insert(t) {
            continue;
        }
        for side in sides[&t].iter().filter(|side| !on.contains(*side)) {
            stack.extend(&about[side]);
        }
    }
    found.into_iter().collect()
}

fn ordered(a: u32, b: u32) -> [u32; 2] {
    [a.min(b), a.max(b)]
}

/// Where node `i` of a line of quadratic pieces lies.
fn nodal(ends: &[f64], i: usize) -> f64 {
    if i.is_multiple_of(2) { ends[i / 2] } else { (ends[i / 2] + ends[i / 2 + 1]) / 2.0 }
}

/// The weights on nodal forces that give the mean over part of a line of quadratic pieces: M⁻¹ ∫ N / length.
fn mean_over(ends: &[f64], [from, to]: [f64; 2]) -> Vec<f64> {
    let pieces = ends.len() - 1;
    let slack = 1e-9 * (ends[pieces] - ends[0]);
    assert!(from < to && from >= ends[0] - slack && to <= ends[pieces] + slack, "a window lies on its plane");
    let mut wanted = vec![0.0; 2 * pieces + 1];
    for k in 0..pieces {
        let length = ends[k + 1] - ends[k];
        let (low, high) =
            (((from - ends[k]) / length).clamp(0.0, 1.0), ((to - ends[k]) / length).clamp(0.0, 1.0));
        if low < high {
            for (i, x) in quadratics_over(low, high).into_iter().enumerate() {
                wanted[2 * k + i] += x * length / (to - from);
            }
        }
    }
    solve_mass(ends, wanted)
}

/// Solves the mass system of a line of quadratic pieces; its matrix has two bands beside its diagonal.
fn solve_mass(ends: &[f64], mut right: Vec<f64>) -> Vec<f64> {
    const MASS: [[f64; 3]; 3] = [[4.0, 2.0, -1.0], [2.0, 16.0, 2.0], [-1.0, 2.0, 4.0]];
    let n = right.len();
    // Row i: entries at i, i + 1, i + 2.
    let mut bands = vec![[0.0; 3]; n];
    for (k, pair) in ends.windows(2).enumerate() {
        let length = pair[1] - pair[0];
        for i in 0..3 {
            for j in i..3 {
                bands[2 * k + i][j - i] += MASS[i][j] * length / 30.0;
            }
        }
    }
    // Gaussian elimination without pivots: the matrix is positive definite.
    for i in 0..n {
        for k in 1..3.min(n - i) {
            let factor = bands[i][k] / bands[i][0];
            for j in k..3 {
                let taken = factor * bands[i][j];
                bands[i + k][j - k] -= taken;
            }
            right[i + k] -= factor * right[i];
        }
    }
    for i in (0..n).rev() {
        let beyond: f64 = (1..3.min(n - i)).map(|k| bands[i][k] * right[i + k]).sum();
        right[i] = (right[i] - beyond) / bands[i][0];
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        shape::plane::point,
        solid::{Body, Elastic, Face, Held, Layer, grid},
        strength::tests::cherry,
    };

    /// A bar along y held at y = 0, its grain along x, pushed at its tip; the plane halfway, seen from the tip.
    struct Bar {
        solid: Solid,
        plane: Plane,
        size: [f64; 3],
    }

    impl Bar {
        fn new([width, length, thickness]: [f64; 3], layers: usize) -> Self {
            let mesh = grid(point(0.0, 0.0), point(width, length), 4, 24);
            let heights = |k: usize| thickness * k as f64 / layers as f64;
            let layers = (0..layers).map(|k| Layer::plain(heights(k), heights(k + 1), 0)).collect::<Vec<_>>();
            let count = u32::try_from(layers.len()).unwrap();
            let wood = Elastic::of(&cherry()).unwrap().stiffness(0.0);
            let solid = Solid::new(Body::new(mesh, layers, vec![wood])).unwrap();
            let chain = solid.body().mesh.edges_on(point(0.0, length / 2.0), point(width, length / 2.0));
            let plane = Plane::new(&solid, &chain, 0..count).unwrap();
            Self { solid, plane, size: [width, length, thickness] }
        }

        fn answer(&self, load: &Load, asked: &Asked) -> f64 {
            let held = Held::new(&self.solid, |at, _| at[1] < 1e-9);
            let moved = self.solid.factor(&held).unwrap().solve(&[load.forces(&self.solid)]).remove(0);
            asked.value(&moved, load)
        }

        fn tip(&self, kind: &str) -> Load {
            let [width, length, _] = self.size;
            let all: Vec<u32> = (0..self.solid.body().mesh.triangles.len() as u32).collect();
            let strip = [
                point(0.0, length - 2.0),
                point(width, length - 2.0),
                point(width, length),
                point(0.0, length),
            ];
            let (face, at, area) = Load::pressure(&self.solid, &strip, &all, Face::Back).unwrap();
            assert!((area - 2.0 * width).abs() < 1e-9 && (at.y - length + 1.0).abs() < 1e-9);
            let side = self.solid.body().mesh.edges_on(point(0.0, length), point(0.0, 0.0));
            let (side, push, _) = Load::wall(&self.solid, &side, 0.0, 2.0).unwrap();
            assert!((push.x - 1.0).abs() < 1e-12);
            if kind == "face" { face } else { side }
        }
    }

    /// A straight-line stress over a section has a mean of 3/4 of its edge's over the outer quarter (arithmetic).
    #[test]
    fn the_window_at_the_edge_of_a_beam_sees_three_quarters_of_its_stress() {
        for (width, thickness) in [(8.0, 19.0), (20.0, 6.4)] {
            for layers in [1, 2, 3] {
                let bar = Bar::new([width, 12.0 * width, thickness], layers);
                let lever = 6.0 * width - 1.0;
                let quarter = thickness / 4.0;
                // Pushed from the back at the tip: the back is pulled.
                let window = Window {
                    along: [width / 2.0 - width / 8.0, width / 2.0 + width / 8.0],
                    through: [0.0, quarter],
                };
                let [normal, ..] = bar.plane.mean(&window);
                let edge = 6.0 * lever / (width * thickness * thickness);
                let got = bar.answer(&bar.tip("face"), &normal) / edge;
                assert!((got - 0.75).abs() < 0.75e-3, "face {width} {layers}: {got}");
                let window = Window { along: [0.0, width / 4.0], through: [0.0, thickness] };
                let [normal, ..] = bar.plane.mean(&window);
                let edge = 6.0 * lever / (thickness * width * width);
                let got = bar.answer(&bar.tip("side"), &normal) / edge;
                assert!((got - 0.75).abs() < 0.75e-3, "side {width} {layers}: {got}");
            }
        }
    }

    #[test]
    fn what_crosses_a_plane_is_the_load_and_its_lever() {
        let bar = Bar::new([8.0, 48.0, 19.0], 2);
        let [n, t, z, about_along, about_up, twist] = bar.plane.resultant(4.0, 9.5);
        let face = bar.tip("face");
        let near = |asked: &Asked, load: &Load, expected: f64| {
            let got = bar.answer(load, asked);
            assert!((got - expected).abs() < 1e-8 * expected.abs().max(1.0), "{got} {expected}");
        };
        near(&n, &face, 0.0);
        near(&t, &face, 0.0);
        // The tip is pushed up, so the root pulls it down.
        near(&z, &face, -1.0);
        near(&about_along, &face, -23.0);
        near(&twist, &face, 0.0);
        let side = bar.tip("side");
        near(&n, &side, 0.0);
        near(&t, &side, -1.0);
        near(&about_up, &side, -23.0);
    }

    /// Where the load reaches across the plane, only its part on the side asked counts.
    #[test]
    fn a_load_on_the_plane_itself_is_shared() {
        let bar = Bar::new([8.0, 48.0, 19.0], 2);
        let all: Vec<u32> = (0..bar.solid.body().mesh.triangles.len() as u32).collect();
        let strip = [point(0.0, 23.0), point(8.0, 23.0), point(8.0, 26.0), point(0.0, 26.0)];
        let (load, ..) = Load::pressure(&bar.solid, &strip, &all, Face::Show).unwrap();
        let [_, _, through, ..] = bar.plane.resultant(4.0, 9.5);
        let got = bar.answer(&load, &through);
        assert!((got - 2.0 / 3.0).abs() < 1e-9, "{got}");
    }
}
