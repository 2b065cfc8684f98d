//! What to do about a weak place: remedies, each with the strength the place has afterwards.
//!
//! In come the piece, the place and the forces that a check found at its worst lines; out goes an
//! [`Insert`](crate::check::Insert): its outline, its depth, and how hard the mended place can be pushed.
//! Cutting it (clearance, corners for the bit) is left to others.

mod angles;
mod apart;
mod arm;
mod band;
mod blank;
mod bridge;
mod crossed;
mod cup;
mod depths;
mod drawn;
mod first;
mod glued;
mod glued_section;
mod goal;
mod ground;
mod insert;
mod island;
mod layered;
mod layers;
mod local;
mod lost;
mod mended;
mod mending;
mod numbers;
mod order;
mod part_backer;
mod patient;
mod remark;
mod remedy;
mod request;
mod rounded;
#[cfg(test)]
pub(crate) mod sample;
mod seasons;
mod set;
mod sharing;
mod site;
mod stopped;
mod strips;
mod turn;
mod watch;
mod widen;

pub use cup::Cup;
pub use depths::AtDepth;
pub use first::{first_remedies, first_remedy};
pub use goal::Goal;
pub use insert::insert;
pub use layered::{Flat, OnEdge};
pub use lost::Lost;
pub use mended::{Joint, Mended, Weakest, mended};
pub use mending::{MendOptions, mend};
pub use numbers::numbers;
pub use order::{Cut, Step, order};
pub use patient::Patient;
pub use remark::{Reach, Remark, Stay, Taken};
pub use remedy::{Bar, Change, Declined, Kind, Lacks, Mending, Ply, Remedy, Standing, Strip, Tried};
pub use request::{FaceLoad, InsertRequest, SideLoad};
pub use seasons::{DepthCup, GluedJoint, NoDepths, Seasons};
pub use set::cures_of_all;
pub use turn::{AtAngle, ProvedAngle, Turn, TurnOptions, Turning, WeakestPush, turn, weakest, weakest_place};
pub use watch::{Watch, unwatched};
