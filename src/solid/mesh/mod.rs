//! Triangles with straight sides and a node in the middle of each side.

mod division;
mod fault;
mod flaws;
mod generate;
mod grid;
mod network;
mod part;
mod refine;
mod rings;
mod wood;

use std::collections::BTreeMap;

use crate::shape::plane::{Point, cross, distance, nearest_on_segment};

pub use fault::MeshFault;
pub use flaws::Flaw;
pub use grid::grid;
pub use part::Part;

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
    /// Of each ring of the plan its corners in order.
    rings: Vec<Vec<u32>>,
    /// Of each line of the plan the stretches that run through the wood, each as its corners in order.
    lines: Vec<Vec<Vec<u32>>>,
    /// Corners of the plan narrower than 60°, with their angle in radians.
    narrow: Vec<(Point, f64)>,
}

/// A side of a triangle: its first corner, the node in its middle, its last corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The three nodes in order.
    pub nodes: [u32; 3],
    /// The triangle to the left of its direction, and the one to the right.
    pub sides: [Option<u32>; 2],
}

impl Edge {
    /// The same side the other way round.
    #[must_use]
    pub const fn turned(self) -> Self {
        let ([a, middle, b], [left, right]) = (self.nodes, self.sides);
        Self { nodes: [b, middle, a], sides: [right, left] }
    }
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
        Self {
            points,
            corners: count,
            triangles,
            zones,
            rings: Vec::new(),
            lines: Vec::new(),
            narrow: Vec::new(),
        }
    }

    /// Of each ring of the plan its corners in order; empty for a mesh put together by hand.
    ///
    /// Points a ring did not need for its shape are not among them.
    pub fn rings(&self) -> &[Vec<u32>] {
        &self.rings
    }

    /// Corners of the plan, within the wood, where walls, lines or zones meet at less than 60°, with that
    /// angle in radians. Only near one that is narrower than about 25° may a triangle be as narrow.
    pub fn narrow_corners(&self) -> &[(Point, f64)] {
        &self.narrow
    }

    /// The sides on a line of the plan: the stretches of it that run through the wood, in its
    /// order, each as an unbroken chain in its direction.
    ///
    /// Where the line passed a corner of a ring, a zone or another line by less than the distance at which points
    /// become one, the chain goes through that corner: it can bend by a twentieth of the size wanted there, and by twice that
    /// where it meets another line so bent.
    /// Where the line runs along a wall, its sides have a triangle on one side only.
    ///
    /// # Panics
    ///
    /// If the plan had no such line.
    pub fn line(&self, line: usize) -> Vec<Vec<Edge>> {
        self.lines_of([line]).remove(0)
    }

    /// [`Mesh::line`] for several lines at once, which takes no longer than for one.
    ///
    /// # Panics
    ///
    /// If the plan had no such line.
    pub fn lines_of(&self, lines: impl IntoIterator<Item = usize>) -> Vec<Vec<Vec<Edge>>> {
        let edges = self.edges();
        let edge = |from: u32, to: u32| {
            let place = edges
                .binary_search_by_key(&[from.min(to), from.max(to)], |edge| [edge.nodes[0], edge.nodes[2]])
                .expect("a line's corners are joined by sides");
            if from < to { edges[place] } else { edges[place].turned() }
        };
        let chain = |corners: &Vec<u32>| corners.windows(2).map(|ends| edge(ends[0], ends[1])).collect();
        lines.into_iter().map(|line| self.lines[line].iter().map(chain).collect()).collect()
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
                Some(if start < finish { (start, edge) } else { (finish, edge.turned()) })
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, edge)| edge).collect()
    }
}
