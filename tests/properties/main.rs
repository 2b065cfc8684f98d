//! What holds for every piece, held on pieces drawn at random and on the samples.
//!
//! A failing random piece is made as small as it will go and printed; `proptest` keeps its seed beside the test.

mod pieces;
mod skeleton;
