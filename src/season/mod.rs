//! What the seasons do to wood that is glued across its grain.
//!
//! The air of the driest and of the dampest season gives the wood's moisture ([`Swing`]), and that its free movement
//! along and across the grain ([`Moves`]). Layers glued crosswise cannot both have their way: each is held back by the
//! other's long grain ([`Held`]), so that it is pulled across its own grain and the glue is sheared at the edges; and a
//! stack that is not the same on both sides warps ([`Laminate`]). How far a glued strip has to run past a break line
//! ([`Lag`], [`reach_by_peel`]) and which glue lives where the piece does ([`Service`]) stand here too.
//!
//! It knows layers, not pieces: which joints a remedy has is for others to say. Inside: mm, N, MPa, radians; moistures
//! in percent of the oven-dry mass, strains as parts of one.

mod air;
mod anchor;
mod held;
mod lag;
mod laminate;
mod moves;
mod service;
mod standing;
mod trade;

pub use air::Swing;
pub use anchor::{Anchorage, Pull, peel, reach_by_peel};
pub use held::{Held, Layer, Word, joint_strength};
pub use lag::Lag;
pub use laminate::{Lamina, Laminate, Warp};
pub use moves::Moves;
pub use service::{Adhesive, Air, Serves, Service};
pub use standing::Rule;
pub use trade::{Trade, TradeWord};
