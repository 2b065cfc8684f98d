//! Lengths, forces, stresses and angles, each read and shown with its unit.
//!
//! Text such as `3/4in` comes in, a typed value goes out; a number without a unit is refused with both things
//! it may have meant. Inside, lengths are millimetres, forces newtons, stresses megapascals and angles radians.

mod angle;
mod beyond;
mod error;
mod force;
mod length;
mod quantity;
mod stress;
mod system;

pub use angle::Angle;
pub(crate) use beyond::beyond;
pub use error::UnitError;
pub use force::Force;
pub use length::{Length, LengthUnit};
pub(crate) use quantity::plain_number;
pub use stress::Stress;
pub use system::Units;
