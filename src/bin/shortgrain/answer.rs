//! The way out of every verb: the files that were asked for, then the report or the JSON in its stead.

use crate::args::OutArgs;
use crate::files::Files;
use crate::talk::{self, Faults};

/// Writes the files, with the JSON where it goes into one, and prints what is to be printed.
///
/// # Errors
///
/// What could not be written or printed.
pub(crate) fn answer(
    out: &OutArgs,
    mut files: Files,
    json: impl FnOnce() -> String,
    report: impl FnOnce() -> String,
) -> Result<(), Faults> {
    let mut printed = None;
    match &out.json {
        Some(path) if path.as_os_str() == "-" => printed = Some(json()),
        Some(path) => files.add(path, json()),
        None => {}
    }
    files.write(out.force)?;
    match printed {
        Some(json) => talk::print(&json),
        None if out.quiet => Ok(()),
        None => talk::print(&report()),
    }
}
