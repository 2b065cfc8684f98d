//! The piece as seen from the face: one outer outline and any number of openings, cleaned.
//!
//! In comes a polygon from a drawing; out goes a [`Shape`] that keeps its promises: rings that are
//! finite, simple, noded and wound one way, in millimetres with y up. It knows nothing of wood.

mod box_tree;
mod bridge;
mod check;
mod hairs;
mod locator;
mod outline;
pub mod plane;
mod region;
mod tangle;

pub use outline::{Shape, ShapeError};
pub(crate) use {
    box_tree::{BoxTree, in_space},
    bridge::bridged,
    hairs::{THIN, hairs},
    locator::Locator,
    region::{FillRule, GRID_PER_MM, GridPoint, Region, Ring, doubled_area, edges, placed, snapped},
    tangle::{Edge, Tangle, Tangled},
};
