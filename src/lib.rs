//! Finds where a piece to be cut from a board is short-grained, and how hard each place can be pushed.

pub mod check;
pub mod design;
pub mod drawing;
pub mod fit;
pub mod letter;
pub mod mend;
pub mod season;
pub mod section;
pub mod shape;
pub mod skeleton;
pub mod solid;
pub mod strength;
pub mod units;
pub mod wood;
