//! Which nodes of elements are one node, and how nodes are numbered.
//!
//! Every element brings its own 18 nodes. Within a layer, neighbours across a side that is not cut share
//! the side's nodes at all three levels; over a triangle, a layer shares its top nodes with the bottom nodes of
//! the next one up, unless they are parted there. Whatever is shared directly or in a chain is one node. So a
//! cut ends where it should (its rim and its floor still hold), and no list of special cases is needed.
//!
//! The nodes of one mesh node form a column and have consecutive numbers, and columns stand in the order in
//! which the solver eliminates them.

use super::{Body, Mesh};
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;
use std::collections::BTreeSet;

const NONE: u32 = u32::MAX;

/// The nodes of a body.
#[derive(Clone, Debug)]
pub(super) struct Nodes {
    /// Of each element its nodes; element `layer · triangles + triangle`. No wood, no nodes.
    elements: Vec<[u32; 18]>,
    /// Of each node its mesh node and its height over the back.
    pub(super) places: Vec<(u32, f64)>,
}

impl Nodes {
    pub(super) fn new(body: &Body) -> Self {
        let mut shared = Shared::new(body);
        shared.join_across_sides(body);
        shared.join_through_layers(body);
        shared.numbered(body)
    }

    pub(super) fn element(&self, element: usize) -> Option<&[u32; 18]> {
        self.elements.get(element).filter(|nodes| nodes[0] != NONE)
    }
}

/// Slots (element, local node) with those that are one node linked.
struct Shared {
    triangles: usize,
    /// A slot's link towards its set's first slot; [`NONE`] without wood.
    links: Vec<u32>,
}

impl Shared {
    fn new(body: &Body) -> Self {
        let triangles = body.mesh.triangles.len();
        let mut links = vec![NONE; 18 * triangles * body.layers.len()];
        for layer in 0..body.layers.len() {
            for triangle in 0..triangles {
                if body.wood(triangle, layer).is_some() {
                    let first = 18 * (layer * triangles + triangle);
                    (first..first + 18).for_each(|slot| links[slot] = slot as u32);
                }
            }
        }
        Self { triangles, links }
    }

    fn slot(&self, layer: usize, triangle: usize, level: usize, node: usize) -> usize {
        18 * (layer * self.triangles + triangle) + 6 * level + node
    }

    fn join_across_sides(&mut self, body: &Body) {
        let mesh = &body.mesh;
        for layer in 0..body.layers.len() {
            let cuts = body.cuts.iter().filter(|cut| cut.layers.contains(&layer));
            let open: BTreeSet<u32> = cuts.flat_map(|cut| &cut.sides).map(|side| side.nodes[1]).collect();
            for side in mesh.edges() {
                let [Some(left), Some(right)] = side.sides else { continue };
                if open.contains(&side.nodes[1]) {
                    continue;
                }
                for node in side.nodes {
                    let [a, b] = [left, right].map(|triangle| local(mesh, triangle, node));
                    for level in 0..3 {
                        let a = self.slot(layer, left as usize, level, a);
                        let b = self.slot(layer, right as usize, level, b);
                        self.join(a, b);
                    }
                }
            }
        }
    }

    fn join_through_layers(&mut self, body: &Body) {
        for layer in 1..body.layers.len() {
            let partings = body.partings.iter().filter(|parting| parting.below + 1 == layer);
            let open: BTreeSet<u32> =
                partings.flat_map(|parting| parting.triangles.iter().copied()).collect();
            for triangle in (0..self.triangles).filter(|&triangle| !open.contains(&(triangle as u32))) {
                for node in 0..6 {
                    let below = self.slot(layer - 1, triangle, 2, node);
                    let above = self.slot(layer, triangle, 0, node);
                    self.join(below, above);
                }
            }
        }
    }

    /// Makes two slots one node, if both are in wood.
    fn join(&mut self, a: usize, b: usize) {
        if self.links[a] == NONE || self.links[b] == NONE {
            return;
        }
        let (a, b) = (self.first(a), self.first(b));
        // The lower one stays first, so that numbers do not depend on the order of joining.
        self.links[a.max(b)] = a.min(b) as u32;
    }

    fn first(&mut self, mut slot: usize) -> usize {
        while self.links[slot] as usize != slot {
            let next = self.links[slot] as usize;
            self.links[slot] = self.links[next];
            slot = next;
        }
        slot
    }

    fn numbered(mut self, body: &Body) -> Nodes {
        let mesh = &body.mesh;
        let ranks = elimination_ranks(mesh);
        let mut firsts = Vec::new();
        for slot in 0..self.links.len() {
            if self.links[slot] as usize == slot {
                let (element, local) = (slot / 18, slot % 18);
                let (layer, triangle) = (element / self.triangles, element % self.triangles);
                let column = mesh.triangles[triangle][local % 6];
                let level = 2 * layer + local / 6;
                firsts.push((ranks[column as usize], level, slot, column));
            }
        }
        firsts.sort_unstable();
        let mut numbers = vec![NONE; self.links.len()];
        let mut places = Vec::with_capacity(firsts.len());
        for (number, &(_, level, slot, column)) in firsts.iter().enumerate() {
            numbers[slot] = number as u32;
            let height = if level % 2 == 1 {
                f64::midpoint(body.layers[level / 2].bottom, body.layers[level / 2].top)
            } else {
                body.layers
                    .get(level / 2)
                    .map_or_else(|| body.layers[level / 2 - 1].top, |layer| layer.bottom)
            };
            places.push((column, height));
        }
        let mut elements = vec![[NONE; 18]; self.links.len() / 18];
        for (index, element) in elements.iter_mut().enumerate() {
            if self.links[18 * index] != NONE {
                *element = std::array::from_fn(|local| numbers[self.first(18 * index + local)]);
            }
        }
        Nodes { elements, places }
    }
}

/// The number of a mesh node within a triangle it belongs to.
fn local(mesh: &Mesh, triangle: u32, node: u32) -> usize {
    let nodes = &mesh.triangles[triangle as usize];
    nodes.iter().position(|&other| other == node).expect("a side's nodes belong to both its triangles")
}

/// The place of each mesh node in an order of elimination that fills in little: approximate minimum degree on
/// the mesh alone, whatever stands on it. That costs a fraction of ordering all unknowns and fills in no more.
fn elimination_ranks(mesh: &Mesh) -> Vec<u32> {
    let count = mesh.points.len();
    let mut pairs: Vec<(u32, u32)> = mesh
        .triangles
        .iter()
        .flat_map(|nodes| nodes.iter().flat_map(|&a| nodes.iter().map(move |&b| (b.max(a), b.min(a)))))
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    let mut starts = vec![0u32; count + 1];
    for &(column, _) in &pairs {
        starts[column as usize + 1] += 1;
    }
    for column in 0..count {
        starts[column + 1] += starts[column];
    }
    let rows: Vec<u32> = pairs.into_iter().map(|(_, row)| row).collect();
    let graph = SymbolicSparseColMatRef::new_checked(count, count, &starts, None, &rows);
    let (mut order, mut ranks) = (vec![0u32; count], vec![0u32; count]);
    let mut memory = MemBuffer::new(amd::order_maybe_unsorted_scratch::<u32>(count, rows.len()));
    amd::order_maybe_unsorted(
        &mut order,
        &mut ranks,
        graph,
        amd::Control::default(),
        MemStack::new(&mut memory),
    )
    .expect("a mesh of fewer than 2^32 nodes can be ordered");
    ranks
}
