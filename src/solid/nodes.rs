//! Which nodes of elements are one node, and how nodes are numbered.
//!
//! Every element brings its own 18 nodes. Within a layer, neighbours across a side that is not cut share
//! the side's nodes at all three levels; over a triangle, a layer shares its top nodes with the bottom nodes of
//! the next one up, unless they are parted there. Whatever is shared directly or in a chain is one node. So a
//! cut ends where it should (its rim and its floor still hold), and no list of special cases is needed.
//!
//! The nodes of one mesh node form a column and have consecutive numbers, and columns stand in the order in
//! which the solver eliminates them.

use super::links::Links;
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
    /// Whether an element has wood.
    wooden: Vec<bool>,
    links: Links,
}

impl Shared {
    fn new(body: &Body) -> Self {
        let triangles = body.mesh.triangles.len();
        let wooden = (0..triangles * body.layers.len())
            .map(|element| body.wood(element % triangles, element / triangles).is_some())
            .collect();
        Self { triangles, wooden, links: Links::new(18 * triangles * body.layers.len()) }
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
        if self.wooden[a / 18] && self.wooden[b / 18] {
            self.links.join(a as u32, b as u32);
        }
    }

    fn numbered(mut self, body: &Body) -> Nodes {
        let mesh = &body.mesh;
        let ranks = elimination_ranks(mesh);
        let mut firsts = Vec::new();
        let slots = 18 * self.wooden.len();
        for slot in 0..slots {
            if self.wooden[slot / 18] && self.links.first(slot as u32) as usize == slot {
                let (element, local) = (slot / 18, slot % 18);
                let (layer, triangle) = (element / self.triangles, element % self.triangles);
                let column = mesh.triangles[triangle][local % 6];
                let level = 2 * layer + local / 6;
                firsts.push((ranks[column as usize], level, slot, column));
            }
        }
        firsts.sort_unstable();
        let mut numbers = vec![NONE; slots];
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
        let mut elements = vec![[NONE; 18]; self.wooden.len()];
        for (index, element) in elements.iter_mut().enumerate() {
            if self.wooden[index] {
                let number = |local| numbers[self.links.first((18 * index + local) as u32) as usize];
                *element = std::array::from_fn(number);
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

#[cfg(test)]
mod tests {
    use crate::shape::plane::point;
    use crate::solid::{Body, Cut, Elastic, Layer, Parting, Solid, Stiffness, grid};

    fn wood() -> Stiffness {
        Elastic::isotropic(1000.0, 0.3).unwrap().stiffness(0.0)
    }

    /// 4 × 2 cells, the right half of them zone 0; mesh nodes stand at 9 × 5 points.
    fn body(layers: usize) -> Body {
        let mut mesh = grid(point(0.0, 0.0), point(8.0, 4.0), 4, 2);
        for triangle in 0..mesh.triangles.len() {
            let [a, b, c] = mesh.corner_points(triangle);
            mesh.zones[triangle] = u32::from((a.x + b.x + c.x) / 3.0 > 4.0);
        }
        let layer = |k: usize| Layer::plain(k as f64, k as f64 + 1.0, 0);
        Body::new(mesh, (0..layers).map(layer).collect(), vec![wood(), wood()])
    }

    fn count(body: Body) -> usize {
        Solid::new(body).unwrap().node_count()
    }

    #[test]
    fn plain_layers_share_all_they_touch() {
        assert_eq!(count(body(1)), 45 * 3);
        assert_eq!(count(body(3)), 45 * 7);
    }

    #[test]
    fn where_there_is_no_wood_there_are_no_nodes() {
        let mut pocket = body(2);
        pocket.layers[0].zones.push((0, None));
        // Right of the middle the lower layer is missing: 20 columns lose its two lower levels.
        assert_eq!(count(pocket), 45 * 5 - 20 * 2);
        let mut backer = body(2);
        backer.layers[0].wood = None;
        backer.layers[0].zones.push((0, Some(1)));
        // The right half and the middle line have it: 25 columns.
        assert_eq!(count(backer), 45 * 3 + 25 * 2);
    }

    #[test]
    fn the_last_zone_that_applies_wins() {
        let mut refilled = body(1);
        refilled.layers[0].zones = vec![(0, None), (0, Some(1))];
        assert_eq!(refilled.wood(0, 0), Some(&wood()));
        assert_eq!(count(refilled), 45 * 3);
    }

    /// An insert below the middle line, its wall open: that wall's lower nodes double, those at the floor stay one.
    #[test]
    fn an_open_wall_stays_joined_at_its_floor() {
        let mut insert = body(2);
        let sides = insert.mesh.edges_on(point(4.0, 0.0), point(4.0, 4.0));
        assert_eq!(sides.len(), 2);
        insert.cuts.push(Cut { sides, layers: 0..1 });
        assert_eq!(count(insert), 45 * 5 + 5 * 2);
    }

    /// A crack through everything that ends inside: its tip stays one.
    #[test]
    fn a_crack_stays_joined_at_its_tip() {
        let mut cracked = body(1);
        let sides = cracked.mesh.edges_on(point(4.0, 0.0), point(4.0, 2.0));
        cracked.cuts.push(Cut { sides, layers: 0..1 });
        assert_eq!(count(cracked), 45 * 3 + 2 * 3);
    }

    /// Plies parted over the right half: that half's interface doubles, but for the line where they still meet.
    #[test]
    fn a_parted_floor_stays_joined_at_its_rim() {
        let mut parted = body(2);
        parted.partings.push(Parting { below: 0, triangles: parted.triangles_in(0) });
        assert_eq!(count(parted), 45 * 5 + 20);
    }

    #[test]
    fn a_column_has_consecutive_numbers() {
        let mut insert = body(3);
        let sides = insert.mesh.edges_on(point(4.0, 0.0), point(4.0, 4.0));
        insert.cuts.push(Cut { sides, layers: 0..2 });
        let solid = Solid::new(insert).unwrap();
        let mut seen = std::collections::BTreeSet::new();
        let mut last = None;
        for node in 0..solid.node_count() {
            let column = solid.column(node);
            assert!(last == Some(column) || seen.insert(column), "column {column} is left and entered again");
            last = Some(column);
            let at = solid.body().mesh.points[column as usize];
            assert_eq!(solid.position(node)[..2], [at.x, at.y]);
        }
    }
}
