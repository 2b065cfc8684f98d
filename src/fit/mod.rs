//! An insert and its pocket that go together, and can be cut with the bits at hand.
//!
//! In comes an outline (a [`Shape`](crate::shape::Shape) or a bar's length and width) with [`Options`]: the clearance a side,
//! the two bits, the corners, the depth, the glue. Out goes a [`Fit`]: the insert's and the pocket's [`Outline`], made of lines
//! and true arcs. Or a [`FitError`] with every fault at once. What the wood bears is left to others, and so are files.
//!
//! How the two go together:
//!
//! - every convex corner of the insert is at least as round as the bit that cuts the pocket, every hollow one at least
//!   as round as the bit that cuts the insert plus the clearance;
//! - the pocket is the insert grown by the clearance, so the gap is the same all round;
//! - with [`Corners::Relieved`] the insert's corners stay sharp and the pocket's are cut out beyond them instead.

mod bar;
mod contour;
mod error;
mod fitted;
mod glue;
mod grown;
mod options;
mod outline;
mod reach;
mod recover;
mod relief;
mod segment;
#[cfg(test)]
mod tests;

pub use bar::{bar, coupon};
pub use contour::{Contour, Node};
pub use error::{Fault, FitError};
pub use fitted::{Fit, Rounded, fit, long_way};
pub use glue::Glue;
pub use options::{Bit, Corners, Options};
pub use outline::Outline;
pub use recover::Recovery;
pub(crate) use recover::smoothed;
pub use segment::Segment;
