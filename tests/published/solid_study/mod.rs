//! The solid model against our own study with an independent finite-element code.
//!
//! Standing: own study; a regression, not an outside check. The values were found once with throwaway models of other
//! elements (plane ones, and bricks of 27 nodes) written apart from this code: one wood (black cherry, flat-sawn),
//! linear, no test data. The tolerances are the study's own. Forces are in N, stresses those of a push of 1 N.
//!
//! Some of its rows leave a geometry, a load or a set of windows open. There the reading was chosen after the fact,
//! as the one that meets the row, and is said beside it: such a row guards against change, and proves less than one that
//! left no choice (bare arms, thin and short inserts, the insert after the crack).
//!
//! S1 to S22 are the study's values as docs/sources.md lists them, with the reading of each.
//! What the study says of torsion, of scatter and of moisture is checked beside the closed form.

mod arm;
mod insert;
mod island;
mod model;
