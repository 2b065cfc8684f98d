//! The whole judgement: a shape and its board in, weak places with forces and risks out.

mod finding;
mod options;
mod words;

pub use finding::{
    Case, Finding, Form, Insert, InsertSide, Mode, Place, Push, PushKind, Verdict, Working, WorkingLine,
};
pub use options::{Options, Pushes};
