//! Published properties of woods, each value with its source and status.
//!
//! A name comes in and a [`Wood`] goes out; with a [`Board`] and perhaps the user's own figures it gives the
//! numbers the strength rules ask for ([`Mechanics`]) and, for people, every [`Value`] with where it comes from.
//! Blanks are estimated by published rules and say so; nothing is invented. What breaks is for others to judge.
//!
//! Sources stand in `docs/sources.md`.

mod board;
mod catalogue;
mod derive;
mod error;
mod estimate;
mod grain_angle;
mod in_board;
mod mechanics;
mod moisture;
mod movement;
mod name;
mod own;
mod property;
mod rift;
mod species;
mod table;
mod value;

pub use board::{Board, Rings};
pub use error::WoodError;
pub use estimate::{Class, gravity_at};
pub use grain_angle::hankinson;
pub use mechanics::Mechanics;
pub use moisture::{DryGreen, across_the_grain, moisture_in_air};
pub use movement::{movement, movement_by_shrinkage};
pub use own::OwnValues;
pub use property::Property;
pub use species::Wood;
pub use value::{Status, Value};
