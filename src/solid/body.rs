//! What a body is made of: plies on a mesh, and where they do not hang together.

use super::{Edge, Mesh, SolidFault, Stiffness};
use std::ops::Range;

/// A mesh with layers of wood on it, from the back up.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// The triangles seen from the face.
    pub mesh: Mesh,
    /// The layers from the back (z = 0) up, each lying on the one before.
    pub layers: Vec<Layer>,
    /// The woods that layers name by number, each turned to its grain.
    pub woods: Vec<Stiffness>,
    /// Walls that are open.
    pub cuts: Vec<Cut>,
    /// Floors that are open.
    pub partings: Vec<Parting>,
}

/// A layer of elements; a ply may be several of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Where it starts, in mm from the back.
    pub bottom: f64,
    /// Where it ends.
    pub top: f64,
    /// Its wood by number; `None` leaves it empty.
    pub wood: Option<usize>,
    /// Zones of the mesh where it is another wood or none; the last that applies wins.
    pub zones: Vec<(usize, Option<usize>)>,
}

/// Sides across which the wood of some layers does not hang together: an open wall, a crack.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The sides.
    pub sides: Vec<Edge>,
    /// The layers.
    pub layers: Range<usize>,
}

/// Triangles over which a layer is not joined to the next one up.
#[derive(Clone, Debug, PartialEq)]
pub struct Parting {
    /// The layer below.
    pub below: usize,
    /// The triangles.
    pub triangles: Vec<u32>,
}

impl Layer {
    /// A layer of one wood everywhere.
    pub const fn plain(bottom: f64, top: f64, wood: usize) -> Self {
        Self { bottom, top, wood: Some(wood), zones: Vec::new() }
    }

    /// Its thickness.
    pub const fn height(&self) -> f64 {
        self.top - self.bottom
    }

    /// The wood of a triangle that lies in `zones`, bit `i` for zone `i`.
    pub(super) fn wood_in(&self, zones: u32) -> Option<usize> {
        let inside = |zone: usize| zones >> zone & 1 == 1;
        self.zones.iter().rev().find(|(zone, _)| inside(*zone)).map_or(self.wood, |(_, wood)| *wood)
    }
}

impl Body {
    /// A body of plain layers that hang together everywhere.
    pub const fn new(mesh: Mesh, layers: Vec<Layer>, woods: Vec<Stiffness>) -> Self {
        Self { mesh, layers, woods, cuts: Vec::new(), partings: Vec::new() }
    }

    /// The wood of an element, if there is wood.
    pub fn wood(&self, triangle: usize, layer: usize) -> Option<&Stiffness> {
        self.layers[layer].wood_in(self.mesh.zones[triangle]).map(|wood| &self.woods[wood])
    }

    /// The triangles that lie in a zone.
    pub fn triangles_in(&self, zone: usize) -> Vec<u32> {
        let inside = |&triangle: &u32| self.mesh.zones[triangle as usize] >> zone & 1 == 1;
        (0..self.mesh.triangles.len() as u32).filter(inside).collect()
    }

    /// Every fault of it.
    pub(super) fn faults(&self) -> Vec<SolidFault> {
        let triangles = self.mesh.triangles.len();
        let mut faults = Vec::new();
        let mut known = |what: &'static str, found: usize, count: usize| {
            if found >= count {
                faults.push(SolidFault::Unknown { what, found, count });
            }
        };
        for layer in &self.layers {
            let woods = layer.zones.iter().filter_map(|zone| zone.1).chain(layer.wood);
            woods.for_each(|wood| known("wood", wood, self.woods.len()));
            layer.zones.iter().for_each(|zone| known("zone", zone.0, 32));
        }
        for cut in &self.cuts {
            known("the end of a cut at layer", cut.layers.end, self.layers.len() + 1);
        }
        for parting in &self.partings {
            known("the layer below a parting", parting.below, self.layers.len().saturating_sub(1));
            parting.triangles.iter().for_each(|&triangle| known("triangle", triangle as usize, triangles));
        }
        let mut floor = self.layers.first().map_or(0.0, |layer| layer.bottom);
        for (number, &Layer { bottom, top, .. }) in self.layers.iter().enumerate() {
            if !(bottom == floor && top > bottom && top.is_finite()) {
                faults.push(SolidFault::Layer { layer: number, bottom, top });
            }
            floor = top;
        }
        for triangle in 0..triangles {
            let [a, ..] = self.mesh.corner_points(triangle);
            let area = self.mesh.doubled_area(triangle);
            if area.is_nan() || area <= 0.0 {
                faults.push(SolidFault::FlatTriangle { triangle, x: a.x, y: a.y });
            }
        }
        if self.layers.iter().all(|layer| self.mesh.zones.iter().all(|&zones| layer.wood_in(zones).is_none()))
        {
            faults.push(SolidFault::NoWood);
        }
        faults
    }
}
