//! Lengths, forces, stresses and angles, each read and shown with its unit.
//!
//! Text such as `3/4in` comes in, a typed value goes out. Inside, lengths are millimetres, forces
//! newtons, stresses megapascals and angles radians.

mod angle;
mod force;
mod length;
mod stress;

pub use angle::Angle;
pub use force::Force;
pub use length::Length;
pub use stress::Stress;
