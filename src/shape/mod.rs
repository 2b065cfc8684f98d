//! The piece as seen from the face: one outer outline and any number of openings, cleaned.
//!
//! In comes a polygon from a drawing; out goes a [`Shape`] that keeps its promises: rings that are
//! finite, simple, noded and wound one way, in millimetres with y up. It knows nothing of wood.

mod outline;
pub mod plane;

pub use outline::{Shape, ShapeError};
