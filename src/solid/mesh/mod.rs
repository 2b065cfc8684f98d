//! Triangles with straight sides and a node in the middle of each side.

mod grid;

pub use grid::grid;

use std::collections::BTreeMap;

use crate::shape::plane::{Point, cross, distance, nearest_on_segment};

/// A conforming mesh of six-node triangles.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    /// Nodes in mm: first the corners, then the middles of the sides.
    pub points: Vec<Point>,
    /// How many of the nodes are corners.
    pub corners: usize,
    /// Of each triangle its corners a, b, c anticlockwise, then the middles of ab, bc and ca.
    pub triangles: Vec<[u32; 6]>,
    /// Of each triangle the zones of its plan it lies in: bit `i` for zone `i`.
    pub zones: Vec<u32>,
}

/// A side of a triangle: its first corner, the node in its middle, its last corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The three nodes in order.
    pub nodes: [u32; 3],
    /// The triangle to the left of its direction, and the one to the right.
    pub sides: [Option<u32>; 2],
}

impl Mesh {
    /// A mesh from its corners; every triangle anticlockwise.
    ///
    /// # Panics
    ///
    /// If a triangle names a corner that is not there.
    pub fn new(corners: Vec<Point>, triangles: &[[u32; 3]], zones: Vec<u32>) -> Self {
        let mut points = corners;
        let count = points.len();
        let mut middles: BTreeMap<[u32; 2], u32> = BTreeMap::new();
        let mut middle = |a: u32, b: u32| {
            *middles.entry([a.min(b), a.max(b)]).or_insert_with(|| {
                points.push((points[a as usize] + points[b as usize]) * 0.5);
                u32::try_from(points.len() - 1).expect("a mesh has far fewer than 2^32 nodes")
            })
        };
        let triangles =
            triangles.iter().map(|&[a, b, c]| [a, b, c, middle(a, b), middle(b, c), middle(c, a)]).collect();
        Self { points, corners: count, triangles, zones }
    }

    /// Twice the area of a triangle, in mm².
    pub fn doubled_area(&self, triangle: usize) -> f64 {
        let [a, b, c] = self.corner_points(triangle);
        cross(b - a, c - a)
    }

    /// The three corners of a triangle.
    pub fn corner_points(&self, triangle: usize) -> [Point; 3] {
        let [a, b, c, ..] = self.triangles[triangle];
        [a, b, c].map(|corner| self.points[corner as usize])
    }

    /// All sides, each once, in a fixed order.
    pub fn edges(&self) -> Vec<Edge> {
        let mut found: BTreeMap<[u32; 2], Edge> = BTreeMap::new();
        for (t, &[a, b, c, ab, bc, ca]) in self.triangles.iter().enumerate() {
            let t = u32::try_from(t).expect("a mesh has far fewer than 2^32 triangles");
            for [from, middle, to] in [[a, ab, b], [b, bc, c], [c, ca, a]] {
                let edge = found
                    .entry([from.min(to), from.max(to)])
                    .or_insert(Edge { nodes: [from.min(to), middle, from.max(to)], sides: [None, None] });
                edge.sides[usize::from(from > to)] = Some(t);
            }
        }
        found.into_values().collect()
    }

    /// The sides that lie on a straight line from `from` to `to`, in its order and direction.
    pub fn edges_on(&self, from: Point, to: Point) -> Vec<Edge> {
        let near = 1e-7 * distance(from, to).max(1.0);
        let on = |node: u32| {
            let p = self.points[node as usize];
            let (nearest, at) = nearest_on_segment(p, from, to);
            (distance(p, nearest) <= near).then_some(at)
        };
        let mut found: Vec<(f64, Edge)> = self
            .edges()
            .into_iter()
            .filter_map(|edge| {
                let (start, finish) = (on(edge.nodes[0])?, on(edge.nodes[2])?);
                let turned = Edge {
                    nodes: [edge.nodes[2], edge.nodes[1], edge.nodes[0]],
                    sides: [edge.sides[1], edge.sides[0]],
                };
                Some(if start < finish { (start, edge) } else { (finish, turned) })
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, edge)| edge).collect()
    }
}
