//! Checks against what others have published: a file per source, a line per check.
//!
//! Beside each stands where it is printed, and whether it was looked up (published), written down from memory
//! (recalled), comes from a separate study of ours, or is our own arithmetic.

#![allow(clippy::print_stdout, reason = "a test may show its numbers, with --nocapture")]

mod agreement;
mod by_hand;
mod causes;
mod cutting;
mod dxf;
mod geometry;
mod insert;
mod letters;
mod lognormal;
mod push_map;
mod season;
mod solid_mended;
mod solid_outside;
mod solid_reference;
mod solid_study;
#[path = "../common/sound_mesh.rs"]
mod sound_mesh;
mod strength;
mod torsion;
mod units;
mod wood_handbook;
