//! Published properties of woods, each value with its source and status.

mod board;
mod mechanics;

pub use board::{Board, Rings};
pub use mechanics::Mechanics;
