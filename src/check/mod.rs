//! The whole judgement: a shape and its board in, weak places with forces and risks out.

mod finding;
mod options;
mod words;

pub use crate::strength::{Mode, Working, WorkingLine};
pub use finding::{Case, Finding, Form, Insert, InsertSide, Place, Push, PushKind, Verdict};
pub use options::{Options, Pushes};
