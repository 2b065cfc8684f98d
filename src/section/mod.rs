//! Where a piece would part: stretches of its skeleton cut square to their run and along the grain.
//!
//! A [`Skeleton`](crate::skeleton::Skeleton) and a grain direction come in; [`Stretch`]es come out,
//! slender parts between the wood that carries them, each with its [`Station`]s: sections whose widths are measured on the true
//! walls. What breaks them is left to others.

mod corner;
mod cut;
mod in_turn;
mod line;
mod station;
mod stretch;

pub(crate) use corner::corner_ahead;
pub use station::Station;
pub use stretch::{Crossing, Stretch, StretchEnd, stretches};
