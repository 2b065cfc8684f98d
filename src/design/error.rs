//! What can be wrong with a drawing: every fault of the file in one answer.

use std::fmt;

use geo_types::Coord;

use super::printable;
use super::reading::{first, listed};
use super::{Limits, Window};
use crate::shape::{THIN, Tangled, placed};
use crate::units::beyond;

/// Why a drawing cannot be used: all of its faults, in the order they were found.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignError {
    /// The file, as it was named.
    pub file: String,
    /// Never empty.
    pub faults: Vec<Fault>,
}

impl DesignError {
    /// What lies too far out is told once, since one wrong unit puts all of a drawing there.
    pub(crate) fn new(file: &str, faults: Vec<Fault>) -> Self {
        let mut told: Vec<Fault> = Vec::new();
        let mut first = None;
        for fault in faults {
            if matches!(fault.kind, FaultKind::FarOut { .. }) {
                match first.and_then(|at: usize| told.get_mut(at)) {
                    Some(Fault { kind: FaultKind::FarOut { others, .. }, .. }) => {
                        others.push(fault.place.to_string());
                        continue;
                    }
                    _ => first = Some(told.len()),
                }
            }
            told.push(fault);
        }
        Self { file: file.to_owned(), faults: told }
    }
}

impl std::error::Error for DesignError {}

impl fmt::Display for DesignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().take(MOST_TOLD).enumerate() {
            let end = if i == 0 { "" } else { "\n" };
            write!(f, "{end}{}: {}", self.file, printable::lines(&fault.to_string()))?;
        }
        match self.faults.len().checked_sub(MOST_TOLD) {
            None | Some(0) => Ok(()),
            Some(more) => write!(f, "\n{}: and {more} more faults; mend these first", self.file),
        }
    }
}

/// That more shapes are like the one that is told of.
fn others(more: usize) -> String {
    match more {
        0 => String::new(),
        1 => " (and one more like it)".to_owned(),
        n => format!(" (and {n} more like it)"),
    }
}

/// So many faults are told; nobody reads more at once.
const MOST_TOLD: usize = 100;

/// One thing wrong, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where in the file.
    pub place: Place,
    /// What is wrong.
    pub kind: FaultKind,
}

impl Fault {
    /// That lines cross more often than they may, of what lies at a place.
    pub(super) fn of_tangle(place: Place, found: &Tangled) -> Self {
        let &Tangled { at, crossing, lines, limit, .. } = found;
        Self { place: place.near(placed(at)), kind: FaultKind::Tangled { lines, limit, crossing } }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_whole_file() {
            write!(f, "{}: ", self.place)?;
        }
        write!(f, "{}", self.kind)
    }
}

/// A place in a drawing, as far as it is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Place {
    /// The element with its id: `path "rim"`.
    pub element: Option<String>,
    /// Line and column in the file, counted from 1.
    pub line: Option<(u32, u32)>,
    /// In mm from the lower left corner of the page, y up.
    pub at_mm: Option<Coord<f64>>,
}

impl Place {
    /// Whether the fault belongs to no part of the file more than another.
    pub const fn is_whole_file(&self) -> bool {
        self.element.is_none() && self.line.is_none() && self.at_mm.is_none()
    }

    pub(crate) const fn on_line(line: u32, column: u32) -> Self {
        Self { element: None, line: Some((line, column)), at_mm: None }
    }

    pub(crate) fn near(mut self, at: Coord<f64>) -> Self {
        self.at_mm = Some(at);
        self
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if let Some(element) = &self.element {
            parts.push(element.clone());
        }
        if let Some((line, column)) = self.line {
            parts.push(format!("line {line}:{column}"));
        }
        if let Some(at) = self.at_mm {
            parts.push(format!("at ({:.2}, {:.2}) mm", at.x, at.y));
        }
        f.write_str(&parts.join(", "))
    }
}

/// What is wrong with a drawing. Lengths are in mm.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FaultKind {
    /// The file holds nothing.
    Empty,
    /// The file is bigger than the reader takes.
    TooBig {
        /// How many bytes it has, as far as it was read.
        bytes: usize,
        /// The most it may have.
        limit: usize,
    },
    /// The ending of the file's name is none that is read.
    UnknownFormat {
        /// The ending.
        ending: String,
    },
    /// The bytes are not UTF-8 text.
    NotText {
        /// What they look like.
        looks_like: &'static str,
    },
    /// The text is not well-formed XML.
    BadXml {
        /// What the XML parser says.
        reason: String,
    },
    /// XML, but not a drawing.
    NotSvg {
        /// The root element's name.
        root: String,
    },
    /// The reader failed on a drawing that looked sound.
    ParserGaveUp {
        /// What it says.
        reason: String,
    },
    /// More elements, deeper nesting or more style text than the reader takes.
    TooMuch {
        /// What there is too much of.
        what: &'static str,
        /// How much of it may be there.
        limit: usize,
    },
    /// Outlines whose lines cross more often than the reader follows, or lie side by side in too great a number to be looked
    /// through for crossings.
    Tangled {
        /// How many straight lines they have.
        lines: usize,
        /// How many crossings there may be.
        limit: usize,
        /// Whether so many crossings were found.
        crossing: bool,
    },
    /// A piece whose outline has more spikes of wood than the reader takes, each thinner than any cut leaves it.
    Rough {
        /// How many there are.
        hairs: usize,
        /// How many there may be.
        limit: usize,
    },
    /// `use` elements that refer to each other in a circle or too deep.
    CircularUse,
    /// A `use` element whose target is not in the file.
    MissingTarget {
        /// What it refers to.
        href: String,
    },
    /// A `use` element that refers to another file.
    OtherFile {
        /// What it refers to.
        href: String,
    },
    /// An attribute that cannot be read.
    BadAttribute {
        /// The attribute.
        name: String,
        /// Its value, shortened.
        value: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A page size that cannot be read.
    BadSize {
        /// The attribute.
        name: String,
        /// Its value, shortened.
        value: String,
    },
    /// A shape with a width, height or radius of zero or less.
    NoExtent {
        /// The attribute that says so.
        attribute: &'static str,
        /// Its value; empty when it is missing.
        value: String,
    },
    /// A picture made of pixels.
    Picture,
    /// Lettering that is still text, and no font to set it in.
    Text,
    /// Lettering along a path, or with other elements in it.
    BentText,
    /// A letter that no font has.
    MissingLetter {
        /// The letter.
        letter: String,
        /// The font.
        font: String,
    },
    /// A font that cannot be used, or is cut short.
    BadFont {
        /// The file, or the font's name.
        font: String,
    },
    /// Several drawings in one page of another kind.
    SeveralDrawings {
        /// The root element's name.
        root: String,
        /// How many.
        count: usize,
    },
    /// A line that a clip path, or the edge of what it lies in, cuts through.
    CutLine {
        /// What cuts it.
        by: Window,
    },
    /// Something drawn in a way that has no outline.
    Foreign,
    /// A shape that is clipped or masked.
    Clipped {
        /// `clip path` or `mask`.
        by: &'static str,
    },
    /// Neither a unit nor a size.
    NoSize {
        /// Width and height of what is drawn, in the drawing's own numbers, when known.
        drawn: Option<[f64; 2]>,
    },
    /// A DXF that names no unit that a board may be drawn in.
    NoUnit {
        /// Width and height of what is drawn, in the drawing's own numbers.
        drawn: Option<[f64; 2]>,
        /// The value of `$INSUNITS`, where it is there.
        code: Option<i64>,
    },
    /// A line of a DXF that has to be a group code.
    NotAGroupCode {
        /// What stands there, shortened.
        found: String,
    },
    /// A DXF that ends in the middle.
    Truncated,
    /// A DXF in its binary form.
    BinaryDxf,
    /// A file called DXF that is something else.
    NotDxf {
        /// What it looks like.
        looks_like: &'static str,
    },
    /// An entity whose numbers make no sense.
    BadEntity {
        /// What is wrong.
        reason: String,
    },
    /// Entities that reach out of the drawing's plane.
    NotFlat {
        /// Their kind, with their layer where it has a name.
        kind: String,
        /// Their handles.
        handles: Vec<String>,
    },
    /// Entities that may be outlines, but none that are read.
    Unsupported {
        /// Their kind, with their layer where it has a name.
        kind: String,
        /// Their handles.
        handles: Vec<String>,
    },
    /// A block that is placed and not in the file.
    MissingBlock {
        /// Its name.
        name: String,
    },
    /// Blocks that hold themselves, directly or through others, or are nested too deep.
    CircularBlock {
        /// The block.
        name: String,
    },
    /// A layer that was asked for and is not in the drawing.
    NoSuchLayer {
        /// Its name as typed.
        name: String,
        /// Those that are.
        known: Vec<String>,
    },
    /// A piece that was asked for and is not in the drawing.
    NoSuchPiece {
        /// Its name as typed.
        name: String,
        /// Those that are.
        known: Vec<String>,
    },
    /// Nothing that could be wood.
    NoShapes {
        /// How many shapes were left out because they are hidden or have neither fill nor line.
        hidden: usize,
        /// All that was left out, each with the reason.
        left_out: Vec<String>,
    },
    /// A coordinate that is not finite, or absurdly far out.
    FarOut {
        /// How far from the page a shape may lie.
        limit: f64,
        /// What else lies as far out.
        others: Vec<String>,
    },
    /// A piece or drawing smaller than a piece of wood can be.
    TooSmall {
        /// Its larger side.
        size: f64,
        /// The least it may be.
        limit: f64,
        /// How many times as large the drawing would be of a usual size, if inches and millimetres were mistaken for each other.
        times: Option<f64>,
    },
    /// A piece larger than a board can be.
    TooLarge {
        /// Its larger side.
        size: f64,
        /// The most it may be.
        limit: f64,
        /// The outline at its other end, where no outline is too large alone.
        with: Option<String>,
        /// How many times as large the drawing would be of a usual size, if inches and millimetres were mistaken for each other.
        times: Option<f64>,
    },
    /// An outline without a fill whose ends do not meet.
    Open {
        /// The other end.
        to: Coord<f64>,
        /// From the end to the nearest other end.
        gap: f64,
        /// The widest gap that is closed unasked.
        limit: f64,
    },
    /// More outlines without a fill whose ends do not meet.
    MoreOpen {
        /// How many.
        more: usize,
    },
    /// An outline without a fill that crosses itself.
    CrossesItself,
    /// A shape wholly inside another that is filled differently: opening or decoration?
    Inside {
        /// The shape around it.
        around: String,
        /// How many more shapes lie in it in the same way.
        more: usize,
    },
    /// A shape across the edge of another that is filled differently, where shapes inside others are said to be openings.
    Across {
        /// The shape whose edge it lies across.
        around: String,
        /// How many more shapes lie across it in the same way.
        more: usize,
    },
    /// A rectangle as large as the page with other shapes on it: wood or background?
    PageSized,
}

impl fmt::Display for FaultKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the file is empty; save the drawing again"),
            Self::TooBig { limit, .. } => write!(
                f,
                "the file has more than {limit} bytes, the most that are read; leave out what is not outline, or raise the limit \
                 (--limit bytes=NUMBER)"
            ),
            Self::UnknownFormat { ending } if ending.is_empty() => f.write_str(
                "a file without an ending such as .svg or .dxf is read when what is in it is one of both, and this is neither; save the drawing as \
                 SVG or DXF",
            ),
            Self::UnknownFormat { ending } => {
                write!(f, "files ending in \"{ending}\" are not read; save the drawing as SVG or DXF")
            }
            Self::NotText { looks_like } => {
                write!(f, "this is not UTF-8 text but {looks_like}; save the drawing as plain SVG in UTF-8")
            }
            Self::BadXml { reason } => {
                write!(f, "the XML is broken ({reason}); save the drawing again or mend that place")
            }
            Self::NotSvg { root } => {
                write!(f, "this is XML but not an SVG drawing: it starts with <{root}>; save the drawing as SVG")
            }
            Self::ParserGaveUp { reason } => {
                write!(f, "the drawing could not be resolved ({reason}); save it again as plain shapes")
            }
            Self::TooMuch { what, limit } => {
                match Limits::on(what) {
                    Some(name) => write!(
                        f,
                        "the drawing has more than {limit} {what}; simplify it, split it into several files, or raise the \
                         limit (--limit {name}=NUMBER)"
                    ),
                    None => {
                        write!(f, "the drawing has more than {limit} {what}; simplify it, or split it into several files")
                    }
                }
            }
            Self::Tangled { lines, limit, crossing } => {
                if *crossing {
                    write!(f, "the {lines} lines of the outlines cross more than {limit} times, most of all here")?;
                } else {
                    write!(
                        f,
                        "so many of the {lines} lines of the outlines lie side by side here that they are not looked through for crossings, \
                         of which {limit} are followed"
                    )?;
                }
                f.write_str(
                    "; draw the outline once, where the cut runs, without hatching, texture or noise, or raise the limit \
                     (--limit crossings=NUMBER)",
                )
            }
            Self::Rough { hairs, limit } => write!(
                f,
                "the outline is rough: it has {hairs} spikes of wood under {THIN} mm thin, the first of them here, and up to {limit} are judged; \
                 smooth it, trace it with fewer points, check the unit (--drawn-in), or raise the limit (--limit hairs=NUMBER)"
            ),
            Self::CircularUse => f.write_str(
                "this <use> refers to itself, directly or through others, or too deep; replace it by a copy of the shape",
            ),
            Self::MissingTarget { href } => write!(
                f,
                "this <use> refers to \"{href}\", which is not in the file; replace it by a copy of the shape"
            ),
            Self::OtherFile { href } => write!(
                f,
                "this <use> refers to another file, \"{href}\", and no other file is opened; copy the shape into the drawing"
            ),
            Self::BadAttribute { name, value, reason } => {
                write!(f, "{name}=\"{value}\" cannot be read: {reason}; mend the number or draw the shape again")
            }
            Self::BadSize { name, value } => write!(
                f,
                "{name}=\"{value}\" is not a length such as 305mm or 12in; write one, or leave it out and say \
                 --drawn-in mm (or in, px)"
            ),
            Self::NoExtent { attribute, value } if value.is_empty() => {
                write!(f, "the shape has no {attribute} and so no area; give it one or delete the shape")
            }
            Self::NoExtent { attribute, value } => {
                write!(f, "{attribute}=\"{value}\" leaves the shape without area; give it a size or delete it")
            }
            Self::Picture => f.write_str(
                "this is a picture made of pixels, and only outlines can be read; trace it to outlines or delete it",
            ),
            Self::Text => f.write_str(
                "this lettering is still text, whose shape depends on the fonts of each machine; name its font \
                 with --font FILE, convert the text to outlines (often called \"object to path\"), or delete it",
            ),
            Self::BentText => f.write_str(
                "this lettering runs along a path or holds other elements, and only plain text is set; convert it to \
                 outlines (often called \"object to path\")",
            ),
            Self::MissingLetter { letter, font } => write!(
                f,
                "there is no letter \"{letter}\" in {font}; name a font that has it with --font, or convert the text to outlines"
            ),
            Self::BadFont { font } => {
                write!(f, "{font} is no font that can be read; name a whole TrueType or OpenType file with --font")
            }
            Self::SeveralDrawings { root, count } => write!(
                f,
                "this is a page (<{root}>) with {count} drawings in it; save the one that is meant as an SVG of its own"
            ),
            Self::CutLine { by: Window::ClipPath } => f.write_str(
                "a clip path cuts through this line and would leave its outline open; cut the outline itself to shape, \
                 or give the shape a fill",
            ),
            Self::CutLine { by: Window::Edge } => f.write_str(
                "the edge of the nested svg or symbol that holds this line cuts through it and would leave its outline open; \
                 cut the outline itself to shape, give the shape a fill, or show the whole with overflow=\"visible\" there",
            ),
            Self::Foreign => f.write_str("this is not a shape that has an outline; draw it as a path or delete it"),
            Self::Clipped { by } => write!(
                f,
                "a {by} hides part of this shape, and what is meant to be wood is unclear; \
                 cut the outline itself to shape and release the {by}"
            ),
            Self::NoSize { drawn: Some([w, h]) } => write!(
                f,
                "the drawing says neither its unit nor its size: as drawn it is {w:.2} x {h:.2} mm with \
                 --drawn-in mm, or {:.2} x {:.2} mm with --drawn-in px (96 to the inch); say which, or give \
                 the svg element a width and a height with a unit",
                w * 25.4 / 96.0,
                h * 25.4 / 96.0
            ),
            Self::NoSize { drawn: None } => f.write_str(
                "the drawing says neither its unit nor its size; say --drawn-in mm (or in, px), or give the svg \
                 element a width and a height with a unit",
            ),
            Self::NoUnit { drawn, code } => {
                match code {
                    None | Some(0) => f.write_str("the drawing does not say what its numbers are in")?,
                    Some(code) => write!(f, "the drawing's unit ($INSUNITS {code}) is none that a board is drawn in")?,
                }
                match drawn {
                    Some([w, h]) => write!(
                        f,
                        ": is it {0} mm or {0} in across? say --drawn-in mm for {0} x {1} mm, or --drawn-in in for \
                         {2} x {3} mm",
                        plain(*w),
                        plain(*h),
                        plain(w * 25.4),
                        plain(h * 25.4)
                    ),
                    None => f.write_str("; say --drawn-in mm or --drawn-in in"),
                }
            }
            Self::NotAGroupCode { found } => write!(
                f,
                "a group code, a whole number, should stand here and not \"{found}\"; save the drawing again as DXF in text"
            ),
            Self::Truncated => {
                f.write_str("the file ends in the middle, and what is missing may be wood; save or copy it again")
            }
            Self::BinaryDxf => f.write_str("this is a DXF in binary form; save the drawing as DXF in text (ASCII)"),
            Self::NotDxf { looks_like } => {
                write!(f, "this is not a DXF in text but {looks_like}; save the drawing as DXF in text (ASCII)")
            }
            Self::BadEntity { reason } => write!(f, "{reason}; draw it again or delete it"),
            Self::NotFlat { kind, handles } => write!(
                f,
                "{} of kind {kind} ({}) is not flat, and only flat outlines are read; draw its outline in one plane, \
                 or put it on a layer of its own and pick the outline's with --layer",
                counted(handles),
                handles_of(handles)
            ),
            Self::Unsupported { kind, handles } => write!(
                f,
                "{} of kind {kind} ({}) cannot be read as an outline; explode it to lines and arcs, or put it on a \
                 layer of its own and pick the outline's with --layer",
                counted(handles),
                handles_of(handles)
            ),
            Self::MissingBlock { name } => write!(
                f,
                "this places the block \"{name}\", which is not in the file; copy the block into the drawing or delete this"
            ),
            Self::CircularBlock { name } => write!(
                f,
                "the block \"{name}\" holds itself, directly or through others; explode it"
            ),
            Self::NoSuchLayer { name, known } if known.is_empty() => {
                write!(f, "there is no layer \"{name}\", and no layer has a name; leave out --layer")
            }
            Self::NoSuchLayer { name, known } => {
                write!(f, "there is no layer \"{name}\"; the layers are {}", listed(known))
            }
            Self::NoSuchPiece { name, known } => {
                write!(f, "there is no piece \"{name}\"; the pieces are {}", listed(known))
            }
            Self::NoShapes { hidden: 0, left_out } => {
                f.write_str(if left_out.is_empty() { "nothing is drawn here" } else { "nothing of what is drawn here is read as an outline" })?;
                write!(f, "; draw the piece as a closed outline or a filled shape{}", all_left_out(left_out))
            }
            Self::NoShapes { hidden, left_out } => write!(
                f,
                "nothing visible is drawn here: {hidden} shape(s) are hidden, see-through or have neither fill \
                 nor line; show them or give them a fill{}",
                all_left_out(left_out)
            ),
            Self::FarOut { limit, others } => {
                write!(f, "a coordinate is not finite or lies more than {limit} mm away")?;
                if !others.is_empty() {
                    write!(f, ", and so it is with {}", listed(others))?;
                }
                f.write_str(
                    "; mend the number, the transform or the unit (--drawn-in mm), or raise the limit (--limit reach=LENGTH)",
                )
            }
            Self::TooSmall { size, limit, times } => {
                let size_told = beyond(*size, &[*limit], 3);
                write!(f, "this is {size_told} mm in its larger direction and the least that is read is {limit} mm; ")?;
                match times {
                    Some(times) => write!(
                        f,
                        "if inches were read as millimetres it is {:.1} mm: then say --scale 25.4, or delete the speck",
                        size * times
                    )?,
                    None => f.write_str("check the unit (--drawn-in) or delete the speck")?,
                }
                f.write_str(", or lower the limit (--limit smallest=LENGTH)")
            }
            Self::TooLarge { size, limit, with, times } => {
                match with {
                    Some(with) => write!(f, "from here to {with} it is")?,
                    None => f.write_str("this is")?,
                }
                write!(
                    f,
                    " {} mm in its larger direction and the most that is read is {limit} mm; ",
                    beyond(*size, &[*limit], 0)
                )?;
                match times {
                    Some(times) => write!(
                        f,
                        "if millimetres were read as inches it is {:.1} mm: then say --scale 1/25.4",
                        size * times
                    )?,
                    None => f.write_str("check the unit (--drawn-in)")?,
                }
                f.write_str(", or raise the limit (--limit largest=LENGTH)")
            }
            Self::Open { to, gap, limit } => write!(
                f,
                "this outline is open: the nearest other end, at ({:.2}, {:.2}) mm, is {} mm away and gaps \
                 are closed up to {limit} mm; join the ends, raise --gap, give the shape a fill, or, if it is only a mark, \
                 pick the outline's layer with --layer NAME",
                to.x,
                to.y,
                beyond(*gap, &[*limit], 3)
            ),
            Self::MoreOpen { more } => {
                write!(f, "{more} more outlines are open in the same way; join their ends, or raise --gap")
            }
            Self::CrossesItself => f.write_str(
                "this outline crosses itself here and has no fill to say what is inside; untangle it, or fill it",
            ),
            Self::Across { around, more } => write!(
                f,
                "this shape{} lies across the edge of {around} with another fill, and --inner opening says only of shapes wholly inside that they \
                 are cut out: draw {around} as it is to be cut, give both one fill where both are wood, or say --inner wood",
                others(*more)
            ),
            Self::Inside { around, more } => {
                let others = others(*more);
                write!(
                    f,
                    "this shape{others} lies wholly inside {around} with another fill: say --inner opening to cut \
                     it out, or --inner wood to ignore it as decoration"
                )
            }
            Self::PageSized => f.write_str(
                "this rectangle is as large as the page and other shapes lie on it: say --page ignore if it is \
                 only background, or --page wood if it is the board itself",
            ),
        }
    }
}

/// A size without needless digits.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What was left out, in a few lines below the fault.
fn all_left_out(left_out: &[String]) -> String {
    if left_out.is_empty() {
        String::new()
    } else {
        format!("\n  left out: {}", first(12, left_out, "\n  left out: "))
    }
}

/// By what entities are found again.
fn handles_of(handles: &[String]) -> String {
    first(24, handles, ", ")
}

/// How many entities.
fn counted(handles: &[String]) -> String {
    match handles.len() {
        1 => "an entity".to_owned(),
        n => format!("each of {n} entities"),
    }
}
