//! Layered wood as a three-dimensional orthotropic solid: a plan, plies and loads in, tractions on planes out.
//!
//! A piece, or the part of it about a weak place, is cut into triangles seen from the face ([`Plan`] →
//! [`Mesh`]) and into layers through its thickness. Each triangle of each layer is an element that bends
//! quadratically in every direction. What the wood is, which strengths it has and which planes count is
//! left to others: this folder knows only stiffness, holds, loads, and the mean tractions on a
//! plane asked for.
//!
//! Axes: x right, y up, z out of the face; the back is z = 0. Units: mm, N, MPa, radians.

mod body;
mod elastic;
mod element;
mod elements;
mod factor;
mod fault;
mod floor;
mod forms;
mod free_body;
mod held;
mod influence;
mod links;
mod load;
mod matrix;
mod mesh;
mod mirror;
mod nodes;
mod plan;
mod probe;
mod stiffness;
mod surface;
mod threads;
mod traction;

pub use body::{Body, Cut, Layer, Parting};
pub use elastic::Elastic;
pub use element::ElementStiffness;
pub use elements::{Solid, Sparse};
pub use factor::Factor;
pub use fault::{LoosePart, SolidFault};
pub use floor::Floor;
pub use free_body::Asked;
pub use held::Held;
pub use influence::Influence;
pub use load::{Face, Load, LoadPart};
pub use matrix::Matrix;
pub use mesh::{Edge, Flaw, Mesh, MeshFault, Part, grid};
pub use plan::{Grading, Plan, Sizes};
pub use probe::Spot;
pub use stiffness::Stiffness;
pub use surface::Flat;
pub(crate) use threads::{in_order, threads_at_once};
pub use traction::{Plane, Window};

#[cfg(test)]
mod tests;
