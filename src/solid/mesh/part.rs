//! A part of a mesh as a mesh of its own.

use std::collections::BTreeMap;

use super::{Edge, Mesh};

/// Some triangles of a mesh, numbered anew.
#[derive(Clone, Debug)]
pub struct Part {
    /// The triangles with their nodes.
    pub mesh: Mesh,
    /// Of each node its number in the whole.
    pub nodes: Vec<u32>,
    /// Of each triangle its number in the whole.
    pub triangles: Vec<u32>,
    of_node: BTreeMap<u32, u32>,
    of_triangle: BTreeMap<u32, u32>,
}

impl Mesh {
    /// The mesh of some of its triangles, in the order given.
    ///
    /// # Panics
    ///
    /// If a triangle is not there.
    pub fn part(&self, triangles: &[u32]) -> Part {
        let whole = |t: &u32| &self.triangles[*t as usize];
        let mut nodes: Vec<u32> = triangles.iter().flat_map(|t| *whole(t)).collect();
        nodes.sort_unstable();
        nodes.dedup();
        // Corners have the lower numbers, so they stay first.
        let corners = nodes.partition_point(|&n| (n as usize) < self.corners);
        let number = |i: usize| u32::try_from(i).expect("a part is no bigger than its whole");
        let of_node: BTreeMap<u32, u32> = nodes.iter().enumerate().map(|(i, &n)| (n, number(i))).collect();
        let mesh = Self {
            points: nodes.iter().map(|&n| self.points[n as usize]).collect(),
            corners,
            triangles: triangles.iter().map(|t| whole(t).map(|n| of_node[&n])).collect(),
            zones: triangles.iter().map(|&t| self.zones[t as usize]).collect(),
            rings: Vec::new(),
            lines: Vec::new(),
            narrow: Vec::new(),
        };
        let of_triangle = triangles.iter().enumerate().map(|(i, &t)| (t, number(i))).collect();
        Part { mesh, nodes, triangles: triangles.to_vec(), of_node, of_triangle }
    }
}

impl Part {
    /// A node of the whole in the part.
    pub fn node(&self, whole: u32) -> Option<u32> {
        self.of_node.get(&whole).copied()
    }

    /// A triangle of the whole in the part.
    pub fn triangle(&self, whole: u32) -> Option<u32> {
        self.of_triangle.get(&whole).copied()
    }

    /// A side of the whole in the part; nothing unless all its nodes are there.
    pub fn edge(&self, whole: &Edge) -> Option<Edge> {
        let [a, m, b] = whole.nodes.map(|n| self.node(n));
        let sides = whole.sides.map(|side| side.and_then(|t| self.triangle(t)));
        (sides != [None, None]).then_some(Edge { nodes: [a?, m?, b?], sides })
    }
}
