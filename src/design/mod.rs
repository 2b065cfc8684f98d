//! A file a person drew in, a checked [`Design`] out: its pieces as shapes in mm, and every choice made in
//! reading them.
//!
//! A reader of one format ([`read_svg`], [`read_dxf`]) turns the file into shapes as drawn; `settle` then decides, the
//! same for every format, what of it is wood, and refuses what is not clear. [`read_board`] reads the board that
//! goes with it. Nothing here opens another file than the one handed in.
//!
//! What is wood: a filled area by its fill rule; an outline without a fill by how deep it is nested
//! (outermost wood, next opening, next wood); never the width of a line, which is told. A shape wholly inside another
//! with a different fill, and a rectangle as large as the page, could mean two things and are refused until
//! [`Options::inner`] or [`Options::page`] says which.

mod board;
mod doubt;
mod drawn;
mod dxf;
mod error;
pub(crate) mod flat;
pub(crate) mod font;
mod join;
mod line;
mod nest;
mod options;
pub(crate) mod outline;
mod printable;
mod reading;
mod settle;
mod svg;

pub use board::{BoardError, BoardFault, BoardFile, read_board};
pub use doubt::Doubt;
pub use dxf::read_dxf;
pub use error::{DesignError, Fault, FaultKind, Place};
pub use font::Font;
pub use options::{Inner, Limits, Options, Page, Pick};
pub use reading::{LeftOut, Note, Origin, Reading, Scale, Window};
pub use svg::read_svg;

use crate::shape::Shape;

/// Reads on a thread of its own, whose stack is as deep as the file may be nested; what goes wrong there is a fault of the file.
fn apart(
    options: &Options,
    read: impl FnOnce() -> Result<Design, Vec<Fault>> + Send,
) -> Result<Design, Vec<Fault>> {
    /// So many levels fit into this even in a debug build.
    const STACK: usize = 64 << 20;
    const LEVELS: usize = 128;
    /// More no machine has to give; the program that is run needs a tenth of it for each level.
    const MOST: usize = 2 << 30;
    let gave_up = |reason: String| {
        Err(vec![Fault { place: Place::default(), kind: FaultKind::ParserGaveUp { reason } }])
    };
    let stack = STACK.saturating_mul(options.limits.depth.div_ceil(LEVELS).max(1)).min(MOST);
    std::thread::scope(|scope| {
        std::thread::Builder::new()
            .stack_size(stack)
            .spawn_scoped(scope, read)
            .map(|thread| thread.join().unwrap_or_else(|_| gave_up("it panicked".to_owned())))
            .unwrap_or_else(|error| gave_up(error.to_string()))
    })
}

/// The layer on which files for cutting have the holes for registration pins: beside the work, and no wood.
const PIN: &str = "PIN";

/// A drawing read and checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// In the order they were drawn; never empty.
    pub pieces: Vec<Piece>,
    /// What the reader chose on the way.
    pub reading: Reading,
}

/// One piece of wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// From the id of its shape or group, or "piece 1"; no two pieces of a design share one.
    pub name: String,
    /// Its outline, in mm from the lower left corner of the page, y up.
    pub shape: Shape,
}

/// Reads a drawing in the format that its first bytes show, or else the ending of its name.
///
/// # Errors
///
/// [`DesignError`] with every fault of the file; [`FaultKind::UnknownFormat`] when it is neither SVG nor DXF.
pub fn read(file_name: &str, bytes: &[u8], options: &Options) -> Result<Design, DesignError> {
    let ending = file_name.rsplit_once('.').map_or("", |(_, ending)| ending);
    let ends = |known| ending.eq_ignore_ascii_case(known);
    if dxf::is_dxf(bytes) {
        read_dxf(file_name, bytes, options)
    } else if svg::is_svg(bytes) || ends("svg") {
        read_svg(file_name, bytes, options)
    } else if ends("dxf") {
        read_dxf(file_name, bytes, options)
    } else {
        let kind = if bytes.is_empty() {
            FaultKind::Empty
        } else {
            FaultKind::UnknownFormat { ending: ending.to_owned() }
        };
        Err(DesignError { file: file_name.to_owned(), faults: vec![Fault { place: Place::default(), kind }] })
    }
}
