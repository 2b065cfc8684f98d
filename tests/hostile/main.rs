//! Files that nobody wants to read: each is refused with a named fault, or read sanely, and soon.
//!
//! Every file in this folder opens with why it is nasty and what should happen. Files too large to keep are
//! made here.

#![allow(missing_docs, reason = "a test binary has no readers of its documentation")]
#![allow(clippy::print_stdout, reason = "a test may show its times, with --nocapture")]

mod boards;
mod bombs;
mod dxf;
mod files;
mod fits;
#[cfg(all(feature = "cli", unix))]
mod pipes;
mod random;
#[cfg(feature = "cli")]
mod soon;

use shortgrain::design::{Design, DesignError, Options, read_svg};

/// Reads an SVG and checks every shape that comes out.
fn read(bytes: &[u8], options: &Options) -> Result<Design, DesignError> {
    let design = read_svg("hostile.svg", bytes, options)?;
    assert!(!design.pieces.is_empty());
    for piece in &design.pieces {
        piece.shape.check().unwrap_or_else(|error| panic!("{}: {error}", piece.name));
    }
    Ok(design)
}

/// What is said when it is refused.
#[track_caller]
fn refusal(bytes: &[u8]) -> String {
    match read(bytes, &Options::default()) {
        Err(error) => error.to_string(),
        Ok(design) => panic!("it was read: {:?}", design.pieces.iter().map(|p| &p.name).collect::<Vec<_>>()),
    }
}

/// Asserts that each text is in a line of its own, in any order, and that there are no other lines.
#[track_caller]
fn says(message: &str, lines: &[&[&str]]) {
    assert_eq!(message.lines().count(), lines.len(), "{message}");
    for parts in lines {
        let found = message.lines().any(|line| parts.iter().all(|part| line.contains(part)));
        assert!(found, "{parts:?} is not in:\n{message}");
    }
}

/// Reads a file by what its name says it is.
fn read_by_name(name: &str, bytes: &[u8]) -> Result<Design, DesignError> {
    shortgrain::design::read(name, bytes, &Options::default())
}
