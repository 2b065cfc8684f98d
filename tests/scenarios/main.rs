//! The twelve sample designs: which of their places goes first, by how much, and what it takes to change that.
//!
//! A file per sample; what it claims is what the sample's line in `shapes/README.md` says. Forces are compared
//! with each other, not with numbers of newtons: what a sample has to show is an order and its ratios. A formula
//! that is wrong by a factor of two, or an exponent by one, fails here.

#[path = "../common/again.rs"]
mod again;
mod ask;
mod bee_hive;
mod choir_numerals;
mod clock_dial;
mod coat_hook;
mod drawer_label;
mod drawn_here;
mod game_token;
mod house_number;
mod mending;
mod number_tray;
mod pasta_gauge;
mod planter_markers;
mod remedies;
mod router_template;
#[path = "../common/samples.rs"]
mod samples;
mod snow_crystal;
mod turning;
