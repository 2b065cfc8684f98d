//! What to do about a weak place: remedies, each with the strength the place has afterwards.
//!
//! In come the piece, the place and the forces that a check found at its worst lines; out goes an
//! [`Insert`](crate::check::Insert): its outline, its depth, and how hard the mended place can be pushed.
//! Cutting it (clearance, corners for the bit) is left to others.

mod insert;
mod layered;
mod local;
mod mended;
mod site;

pub use insert::{FaceLoad, InsertRequest, NoInsert, SideLoad, first_remedies, first_remedy, insert};
pub use layered::{Flat, OnEdge};
pub use mended::{Joint, Mended, Weakest, mended};
