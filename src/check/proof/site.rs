//! Which wood is loaded and which is held: triangles of the piece, told apart by the fences between them.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    shape::plane::{Point, cross, distance, dot, nearest_on_segment},
    solid::{Edge, Mesh},
};

use super::super::region::CORNER;

/// A line across the wood that parts loaded from held wood; the loaded wood lies to its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fence {
    pub(super) line: [Point; 2],
    /// How far beyond it the wood still gives, in mm.
    pub(super) give: f64,
}

/// The wood of one case: what is loaded, and the held wood about it that still gives.
#[derive(Clone, Debug)]
pub(super) struct Site {
    /// Triangles in rising order, and whether each is loaded.
    pub(super) triangles: Vec<u32>,
    pub(super) loaded: Vec<bool>,
    /// Whether so little wood lies beyond the reach that the hold had to begin nearer.
    pub(super) crowded: bool,
}

/// Triangles of a mesh with their neighbours.
pub(super) struct Ground<'a> {
    pub(super) mesh: &'a Mesh,
    pub(super) edges: Vec<Edge>,
    /// Of each triangle its three sides: the edge, and the triangle beyond.
    beyond: Vec<[(u32, Option<u32>); 3]>,
}

/// Of the held wood at least this part is held firm, the farthest of it.
const FIRM: f64 = 0.25;

impl<'a> Ground<'a> {
    pub(super) fn new(mesh: &'a Mesh) -> Self {
        let edges = mesh.edges();
        let mut beyond = vec![[(0, None); 3]; mesh.triangles.len()];
        let mut filled = vec![0; mesh.triangles.len()];
        for (e, edge) in (0u32..).zip(&edges) {
            for side in 0..2 {
                if let Some(t) = edge.sides[side] {
                    let t = t as usize;
                    beyond[t][filled[t]] = (e, edge.sides[1 - side]);
                    filled[t] += 1;
                }
            }
        }
        Self { mesh, edges, beyond }
    }

    /// The wood on the left of the fences is loaded, that on their right held; nothing where a fence does not part
    /// them, or has no wood on one side. `chains` are the fences' sides, in the fences' directions.
    pub(super) fn site(&self, fences: &[Fence], chains: &[Vec<Edge>]) -> Option<Site> {
        let count = self.mesh.triangles.len();
        let mut fenced = BTreeSet::new();
        for edge in chains.iter().flatten() {
            let [a, _, b] = edge.nodes;
            fenced.insert([a.min(b), a.max(b)]);
        }
        let crosses = |e: u32| {
            let [a, _, b] = self.edges[e as usize].nodes;
            fenced.contains(&[a.min(b), a.max(b)])
        };
        let mut loaded = vec![false; count];
        let mut stack: Vec<u32> = chains.iter().flatten().filter_map(|edge| edge.sides[0]).collect();
        let mut triangles = Vec::new();
        while let Some(t) = stack.pop() {
            if std::mem::replace(&mut loaded[t as usize], true) {
                continue;
            }
            triangles.push(t);
            stack
                .extend(self.beyond[t as usize].iter().filter(|(e, _)| !crosses(*e)).filter_map(|(_, o)| *o));
        }
        let seeds: Vec<(usize, u32)> = chains
            .iter()
            .enumerate()
            .flat_map(|(f, chain)| chain.iter().filter_map(move |edge| edge.sides[1].map(|t| (f, t))))
            .collect();
        if triangles.is_empty() || seeds.is_empty() || seeds.iter().any(|&(_, t)| loaded[t as usize]) {
            return None;
        }
        let (near, crowded) = self.giving(fences, &seeds, &loaded)?;
        triangles.extend(near);
        triangles.sort_unstable();
        let loaded = triangles.iter().map(|&t| loaded[t as usize]).collect();
        Some(Site { triangles, loaded, crowded })
    }

    /// The held triangles that give: those within the fences' reach, through the wood.
    fn giving(&self, fences: &[Fence], seeds: &[(usize, u32)], loaded: &[bool]) -> Option<(Vec<u32>, bool)> {
        let centre = |t: u32| {
            let [a, b, c] = self.mesh.corner_points(t as usize);
            (a + b + c) / 3.0
        };
        let beside =
            |fence: &Fence, p: Point| distance(p, nearest_on_segment(p, fence.line[0], fence.line[1]).0);
        // All held wood, each with how far beyond its reach it lies: nearest first.
        let mut past = vec![f64::INFINITY; loaded.len()];
        for (f, fence) in fences.iter().enumerate() {
            let mut stack: Vec<u32> = seeds.iter().filter(|(g, _)| *g == f).map(|(_, t)| *t).collect();
            let mut seen = BTreeSet::new();
            while let Some(t) = stack.pop() {
                if loaded[t as usize] || !seen.insert(t) {
                    continue;
                }
                let away = beside(fence, centre(t)) - fence.give;
                past[t as usize] = past[t as usize].min(away);
                if away < 0.0 {
                    stack.extend(self.beyond[t as usize].iter().filter_map(|(_, o)| *o));
                }
            }
        }
        let area = |t: u32| self.mesh.doubled_area(t as usize) / 2.0;
        let held: Vec<u32> = self.held(seeds, loaded);
        let whole: f64 = held.iter().map(|&t| area(t)).sum();
        let within: Vec<u32> = held.iter().copied().filter(|&t| past[t as usize] < 0.0).collect();
        let firm = whole - within.iter().map(|&t| area(t)).sum::<f64>();
        if firm >= FIRM * whole {
            return Some((within, false));
        }
        // The farthest quarter is held.
        let mut far: Vec<(f64, u32)> = held
            .iter()
            .map(|&t| {
                let away = fences.iter().map(|fence| beside(fence, centre(t)) - fence.give);
                (away.fold(f64::INFINITY, f64::min), t)
            })
            .collect();
        far.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut firm = 0.0;
        let mut give = Vec::new();
        for (_, t) in far {
            if firm >= FIRM * whole { give.push(t) } else { firm += area(t) }
        }
        Some((give, true))
    }

    /// All triangles that hang together with some without being loaded.
    fn held(&self, seeds: &[(usize, u32)], loaded: &[bool]) -> Vec<u32> {
        let mut seen = vec![false; loaded.len()];
        let mut stack: Vec<u32> = seeds.iter().map(|(_, t)| *t).collect();
        let mut found = Vec::new();
        while let Some(t) = stack.pop() {
            if loaded[t as usize] || std::mem::replace(&mut seen[t as usize], true) {
                continue;
            }
            found.push(t);
            stack.extend(self.beyond[t as usize].iter().filter_map(|(_, o)| *o));
        }
        found
    }

    /// The nodes through which held wood beyond a site holds it.
    pub(super) fn held_nodes(&self, site: &Site) -> Vec<u32> {
        let inside: BTreeSet<u32> = site.triangles.iter().copied().collect();
        let mut nodes = BTreeSet::new();
        for &t in &site.triangles {
            for &(e, other) in &self.beyond[t as usize] {
                if other.is_some_and(|other| !inside.contains(&other)) {
                    nodes.extend(self.edges[e as usize].nodes);
                }
            }
        }
        nodes.into_iter().collect()
    }

    /// The walls of the loaded wood as chains of sides without a corner, each with the wood to its left; walls that
    /// a fence ends are chains of their own.
    pub(super) fn walls(&self, site: &Site) -> Vec<Vec<Edge>> {
        let mut next: BTreeMap<u32, Edge> = BTreeMap::new();
        for (&t, _) in site.triangles.iter().zip(&site.loaded).filter(|(_, loaded)| **loaded) {
            for &(e, other) in &self.beyond[t as usize] {
                if other.is_none() {
                    let edge = self.edges[e as usize];
                    let edge = if edge.sides[0] == Some(t) { edge } else { edge.turned() };
                    next.insert(edge.nodes[0], edge);
                }
            }
        }
        let way = |edge: &Edge| {
            let [a, _, b] = edge.nodes.map(|n| self.mesh.points[n as usize]);
            b - a
        };
        let goes_on = |edge: &Edge| {
            next.get(&edge.nodes[2]).filter(|after| {
                let (u, v) = (way(edge), way(after));
                let turn = cross(u, v).atan2(dot(u, v));
                turn.abs() <= CORNER
            })
        };
        let continued: BTreeSet<u32> =
            next.values().filter_map(|edge| goes_on(edge).map(|after| after.nodes[0])).collect();
        let mut chains = Vec::new();
        let mut used = BTreeSet::new();
        let starts = next.keys().filter(|n| !continued.contains(n)).chain(next.keys());
        for &start in starts {
            let mut chain = Vec::new();
            let mut edge = next.get(&start);
            while let Some(&here) = edge.filter(|edge| used.insert(edge.nodes[0])) {
                chain.push(here);
                edge = goes_on(&here);
            }
            if !chain.is_empty() {
                chains.push(chain);
            }
        }
        chains
    }
}
