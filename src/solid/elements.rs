//! A body cut into elements: its nodes, its stiffness, and what a displacement means in it.

use super::element::{self, ElementStiffness, InPlane, Through};
use super::nodes::Nodes;
use super::{Body, SolidFault};

/// A body cut into elements, ready to be held and loaded.
///
/// An element is a triangle in a layer. Its local node `6·level + i` is node `i` of the triangle at the bottom
/// (level 0), middle or top (2) of the layer. Unknown `3·node + axis` is the displacement of a node along x, y
/// or z in mm; forces on nodes are numbered alike, in N. Nodes that stand over one mesh node have consecutive
/// numbers; an open wall or floor has nodes of its own on either side.
#[derive(Clone, Debug)]
pub struct Solid {
    body: Body,
    nodes: Nodes,
}

/// Forces on, or measures of, some unknowns: pairs of unknown and value. An unknown may appear several times.
pub type Sparse = Vec<(u32, f64)>;

impl Solid {
    /// Cuts a body into elements.
    ///
    /// # Errors
    ///
    /// Every fault of the body: layers that do not lie on each other, names of what is not there, flat
    /// triangles, no wood at all.
    pub fn new(body: Body) -> Result<Self, Vec<SolidFault>> {
        let faults = body.faults();
        if !faults.is_empty() {
            return Err(faults);
        }
        let nodes = Nodes::new(&body);
        Ok(Self { body, nodes })
    }

    /// What it is made of.
    pub const fn body(&self) -> &Body {
        &self.body
    }

    /// How many nodes it has.
    pub const fn node_count(&self) -> usize {
        self.nodes.places.len()
    }

    /// How many unknowns it has: three a node, held or not.
    pub const fn dof_count(&self) -> usize {
        3 * self.node_count()
    }

    /// Where a node is, in mm.
    pub fn position(&self, node: usize) -> [f64; 3] {
        let (column, height) = self.nodes.places[node];
        let at = self.body.mesh.points[column as usize];
        [at.x, at.y, height]
    }

    /// The mesh node a node stands over.
    pub fn column(&self, node: usize) -> u32 {
        self.nodes.places[node].0
    }

    /// The 18 nodes of an element; `None` where there is no wood.
    pub fn element_nodes(&self, triangle: usize, layer: usize) -> Option<&[u32; 18]> {
        self.nodes.element(layer * self.body.mesh.triangles.len() + triangle)
    }

    /// Every element as triangle and layer, with its nodes; triangle by triangle from the back up.
    pub fn elements(&self) -> impl Iterator<Item = (usize, usize, &[u32; 18])> {
        let layers = self.body.layers.len();
        (0..self.body.mesh.triangles.len()).flat_map(move |triangle| {
            (0..layers).filter_map(move |layer| {
                self.element_nodes(triangle, layer).map(|nodes| (triangle, layer, nodes))
            })
        })
    }

    /// The stiffness of an element, unknown `3·local node + axis`; `None` where there is no wood.
    ///
    /// # Accuracy
    ///
    /// The integrals are exact, not sampled.
    pub fn element_stiffness(&self, triangle: usize, layer: usize) -> Option<Box<ElementStiffness>> {
        let wood = self.body.wood(triangle, layer)?;
        let plane = InPlane::new(&self.body.mesh, triangle, wood);
        Some(plane.stiffness(&Through::new(self.body.layers[layer].height())))
    }

    /// The forces on an element's nodes that keep it in its deformed shape, by local node; `None` where there
    /// is no wood.
    pub fn element_forces(
        &self,
        triangle: usize,
        layer: usize,
        displacement: &[f64],
    ) -> Option<[[f64; 3]; 18]> {
        self.forces_of(triangle, layer, &self.gathered(triangle, layer, displacement)?)
    }

    /// The forces that keep an element's nodes displaced so, by local node; `None` where there is no wood.
    pub(super) fn forces_of(
        &self,
        triangle: usize,
        layer: usize,
        displacements: &[[f64; 3]; 18],
    ) -> Option<[[f64; 3]; 18]> {
        let wood = self.body.wood(triangle, layer)?;
        let plane = InPlane::new(&self.body.mesh, triangle, wood);
        let through = Through::new(self.body.layers[layer].height());
        Some(plane.forces(&through, displacements))
    }

    /// The forces on all nodes that keep the body in its deformed shape, by unknown. Where nothing is held they
    /// equal the loads; where something is, they are the loads and what holds it.
    pub fn forces(&self, displacement: &[f64]) -> Vec<f64> {
        let mut forces = vec![0.0; self.dof_count()];
        for (triangle, layer, nodes) in self.elements() {
            let parts = self.element_forces(triangle, layer, displacement).expect("elements() has wood only");
            for (node, part) in nodes.iter().zip(parts) {
                for (axis, part) in part.into_iter().enumerate() {
                    forces[3 * *node as usize + axis] += part;
                }
            }
        }
        forces
    }

    /// The displacement in an element, at area coordinates and a height from 0 at the layer's bottom to 1 at
    /// its top; `None` where there is no wood.
    pub fn displacement(
        &self,
        displacement: &[f64],
        triangle: usize,
        layer: usize,
        area: [f64; 3],
        height: f64,
    ) -> Option<[f64; 3]> {
        let values = self.gathered(triangle, layer, displacement)?;
        let (shape, level) = (element::shape(area), element::level(height));
        let mut sum = [0.0; 3];
        for (local, value) in values.iter().enumerate() {
            let weight = shape[local % 6] * level[local / 6];
            for axis in 0..3 {
                sum[axis] += weight * value[axis];
            }
        }
        Some(sum)
    }

    /// The stress in an element, in MPa in the order xx, yy, zz, yz, xz, xy; otherwise as
    /// [`displacement`](Self::displacement).
    ///
    /// # Accuracy
    ///
    /// One order below the displacement, and it jumps between elements. Next to corners it grows without end as
    /// elements shrink; what breaks wood is read from nodal forces instead.
    pub fn stress(
        &self,
        displacement: &[f64],
        triangle: usize,
        layer: usize,
        area: [f64; 3],
        height: f64,
    ) -> Option<[f64; 6]> {
        let values = self.gathered(triangle, layer, displacement)?;
        let shape = element::shape(area);
        let slopes = element::slopes(self.body.mesh.corner_points(triangle), area);
        let (level, rise) = (element::level(height), element::level_slopes(height));
        let thickness = self.body.layers[layer].height();
        let mut gradient = [[0.0; 3]; 3];
        for (local, value) in values.iter().enumerate() {
            let (a, i) = (local / 6, local % 6);
            let slope = [slopes[i][0] * level[a], slopes[i][1] * level[a], shape[i] * rise[a] / thickness];
            for axis in 0..3 {
                for towards in 0..3 {
                    gradient[axis][towards] += value[axis] * slope[towards];
                }
            }
        }
        let [x, y, z] = gradient;
        let strain = [x[0], y[1], z[2], y[2] + z[1], x[2] + z[0], x[1] + y[0]];
        self.body.wood(triangle, layer).map(|wood| wood.stress(strain))
    }

    /// The values of an element's nodes.
    fn gathered(&self, triangle: usize, layer: usize, values: &[f64]) -> Option<[[f64; 3]; 18]> {
        let nodes = self.element_nodes(triangle, layer)?;
        Some(nodes.map(|node| std::array::from_fn(|axis| values[3 * node as usize + axis])))
    }
}
