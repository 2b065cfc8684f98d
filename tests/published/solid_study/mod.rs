//! The solid model against our own study with an independent finite-element code.
//!
//! Standing: own study; a regression, not an outside check. The values were found once with throwaway models of other
//! elements (plane ones, and bricks of 27 nodes) written apart from this code: one wood (black cherry, flat-sawn),
//! linear, no test data. The tolerances are the study's own. Forces are in N, stresses those of a push of 1 N.
//!
//! What the study says of torsion, of scatter and of moisture is checked beside the closed form.

mod arm;
mod insert;
mod island;
mod model;
