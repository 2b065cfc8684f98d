//! True-scale pictures and outlines, in millimetres, from what a check found.
//!
//! In come shapes with their findings; out goes SVG text that reads in black and white: words,
//! numbers and line styles carry every meaning, colour only repeats it. The same input gives the
//! same bytes. Nothing here judges a piece, and nothing here touches a file.
//!
//! - [`picture`] draws a whole sheet: every piece with its weak places ringed and numbered, where each
//!   breaks and where it was pushed, a table, a scale bar.
//! - [`push_map`] draws a face in bands of the force that breaks it there.
//! - [`polar`] draws what a piece bears at every grain angle.
//! - [`before_and_after`] draws a piece beside what a remedy makes of it, at one scale.
//! - [`insert_outline`] draws one insert for cutting.
//! - [`cutting`] makes the files that pieces, pockets and inserts are cut by.
//! - [`lettering`] draws letters, or the panel they are pierced through, for cutting.
//! - [`words`] says lengths, forces and risks the way a person at the bench reads them.

mod before_after;
pub mod cutting;
mod depths;
mod key;
mod label;
mod lettering;
mod letters;
mod mark;
mod numbers;
mod outline;
mod pen;
mod picture;
mod piece;
mod polar;
mod push_map;
#[cfg(test)]
mod sample;
mod stack;
mod table;
pub mod words;

pub use before_after::{Mended, MendedSheet, before_and_after};
pub use lettering::lettering;
pub use outline::insert_outline;
pub use picture::{Sheet, picture};
pub use polar::{PolarSheet, polar};
pub use push_map::push_map;
