//! What the reader chose on the way, so that a person can compare it with what was meant.

use std::fmt;

use geo_types::Coord;

use super::error::plain;
use super::line::WIDE;
use super::printable;
use crate::units::{Length, LengthUnit};

/// Every choice made in reading a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// How the size is known.
    pub scale: Scale,
    /// Millimetres to one of the drawing's own numbers, across and up.
    pub mm_per_unit: [f64; 2],
    /// Whether the user said that it is larger or smaller than it says (`--scale`).
    pub enlarged: bool,
    /// Width and height of the page, where the drawing has one.
    pub page_mm: Option<[f64; 2]>,
    /// Where places are measured from.
    pub origin: Origin,
    /// Smallest and largest x and y of all wood: `[x0, y0, x1, y1]`.
    pub bounds_mm: [f64; 4],
    /// The largest distance between a drawn curve and the straight pieces it became.
    pub tolerance: Length,
    /// The widest gap closed unasked.
    pub gap: Length,
    /// What was done with what was drawn, in the file's order.
    pub notes: Vec<Note>,
}

impl Reading {
    /// Width and height of all wood.
    pub fn size(&self) -> [Length; 2] {
        let [x0, y0, x1, y1] = self.bounds_mm;
        [Length::mm(x1 - x0), Length::mm(y1 - y0)]
    }
}

/// Where the places of a design are measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Origin {
    /// The page's lower left corner.
    Page,
    /// The lower left corner of what is drawn.
    Corner,
    /// The drawing's own origin.
    Own,
}

/// How a drawing's size is known.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Scale {
    /// The page carries a size with a unit.
    Stated {
        /// The attribute as written: `width="305mm"`.
        as_written: String,
    },
    /// The page's size is in pixels, 96 to the inch.
    Pixels {
        /// The attribute as written: `width="305"`.
        as_written: String,
    },
    /// The file's header names the unit.
    Header {
        /// The value of `$INSUNITS`.
        code: i64,
        /// What it stands for.
        unit: &'static str,
    },
    /// The user said so.
    Told(LengthUnit),
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stated { as_written } => write!(f, "from the page's {as_written}"),
            Self::Pixels { as_written } => write!(
                f,
                "from the page's {as_written}, in pixels of 1/96 inch; compare one known dimension, and say \
                 --drawn-in mm (or another unit) if it is wrong"
            ),
            Self::Header { code, unit } => write!(f, "from the file's unit, {unit} ($INSUNITS {code})"),
            Self::Told(unit) => write!(f, "from --drawn-in {unit}"),
        }
    }
}

/// One thing the reader did.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Note {
    /// Shapes became a piece of wood.
    Piece {
        /// The piece's name.
        name: String,
        /// What was drawn for it.
        from: Vec<String>,
    },
    /// A shape became an opening, or several that overlap one.
    Opening {
        /// What was drawn for it.
        from: Vec<String>,
        /// The shape around it.
        around: String,
    },
    /// A shape was left out.
    LeftOut {
        /// The shape.
        what: String,
        /// Why.
        why: LeftOut,
    },
    /// A gap was closed.
    GapClosed {
        /// What was joined.
        what: String,
        /// Where.
        at: Coord<f64>,
        /// How wide it was, in mm.
        size: f64,
    },
    /// A part of a line that lies over another line was left out.
    Doubled {
        /// The line.
        what: String,
        /// Where the part begins, in mm.
        from: Coord<f64>,
        /// Where it ends.
        to: Coord<f64>,
    },
    /// An open outline's fill closes it with a straight side.
    ClosedByFill {
        /// The shape.
        what: String,
        /// Its last point, in mm.
        at: Coord<f64>,
        /// How long the side is, in mm.
        size: f64,
    },
    /// A clip path, or the edge of what a shape lies in, was applied to it.
    Clipped {
        /// The shape.
        what: String,
        /// What was applied.
        by: Window,
        /// Whether it took anything away.
        cut: bool,
    },
    /// A fill or a line refers to a gradient or pattern that is not there.
    NoPaint {
        /// The shape.
        what: String,
        /// Whether it is its fill, or else its line.
        fill: bool,
        /// What it refers to.
        reference: String,
        /// What it names to be used instead; without it counts as none.
        fallback: Option<String>,
    },
    /// Something changes what is seen and is not followed.
    NotFollowed {
        /// What it is: `a filter`.
        what: &'static str,
        /// The first element that asks for it, and its line.
        whose: String,
        /// How many more do.
        more: usize,
    },
    /// Lines are drawn with a width; the wood goes to their middle.
    Line {
        /// The shape with the widest.
        what: String,
        /// How wide, in mm; where it is stretched unevenly, at its widest.
        width: f64,
        /// How many others are wider than a line for drawing by is.
        more: usize,
    },
    /// Text was set in a font.
    Lettered {
        /// The text element.
        what: String,
        /// The words.
        words: String,
        /// The font.
        font: String,
        /// What it asks for and is not set in: family, weight, slant.
        asked: Vec<String>,
    },
    /// Wood lies outside the page.
    OffPage {
        /// The piece's name.
        name: String,
    },
}

/// What shows a shape only in part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Window {
    /// A clip path.
    ClipPath,
    /// The edge of a drawing within the drawing, or of a symbol.
    Edge,
}

/// Why a shape was left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum LeftOut {
    /// Neither fill nor line, hidden or see-through.
    Invisible,
    /// Its layer is off, frozen or not plotted, or it is invisible itself.
    Hidden,
    /// It lies on a sheet of paper, beside the drawing.
    OnPaper,
    /// Words, a dimension, a point or a table.
    Remark,
    /// Shading or a mask: what it fills counts only where it is drawn round by lines.
    Shading,
    /// A line for drawing by, without an end.
    Endless,
    /// A picture, or a sheet of another file.
    Picture,
    /// It lies on none of the layers that were asked for.
    NotAsked,
    /// An open line on a layer called GRAIN, or any on one called NOTE.
    Mark,
    /// A clip path leaves nothing of it.
    ClippedAway,
    /// It lies beyond the edge of what holds it.
    BeyondEdge,
    /// What it is filled or drawn with is not in the file.
    NoPaint,
    /// It encloses nothing.
    NoArea,
    /// The same outline is drawn once more.
    Duplicate,
    /// It lies inside wood and counts as decoration.
    Decoration,
    /// The page's background.
    Page,
    /// Filled like the wood around it, it changes nothing.
    SameFill,
    /// A `use` of something that draws nothing.
    NothingUsed,
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Invisible => "it is hidden, see-through, or has neither fill nor line",
            Self::Hidden => "its layer is off, frozen or not plotted, or it is invisible",
            Self::OnPaper => "it lies on a sheet of paper beside the drawing",
            Self::Remark => "it is a remark and has no outline",
            Self::Shading => "it is shading, and what it fills counts only where lines are drawn round it",
            Self::Endless => "it is a line without an end",
            Self::Picture => "it is a picture or a sheet of another file and has no outline",
            Self::NotAsked => "its layer was not asked for",
            Self::Mark => "its layer is one of marks (--layer NAME reads it)",
            Self::ClippedAway => "its clip path leaves nothing of it",
            Self::BeyondEdge => "it lies beyond the edge of the nested svg or symbol that holds it",
            Self::NoPaint => "what it is filled or drawn with is not in the file",
            Self::NoArea => "it encloses no area",
            Self::Duplicate => "the same outline is drawn once more",
            Self::Decoration => "it lies inside wood and counts as decoration",
            Self::Page => "it is the page's background",
            Self::SameFill => "it lies inside wood of the same fill",
            Self::NothingUsed => "what it refers to holds no outline",
        })
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Piece { name, from } if from.len() == 1 => write!(f, "wood: {name}, from {}", from[0]),
            Self::Piece { name, from } => {
                write!(f, "wood: {name}, united from {} shapes: {}", from.len(), listed(from))
            }
            Self::Opening { from, around } if from.len() == 1 => {
                write!(f, "opening: {} in {around}", from[0])
            }
            Self::Opening { from, around } => write!(
                f,
                "opening: united from {} shapes that overlap: {}; in {around}",
                from.len(),
                listed(from)
            ),
            Self::LeftOut { what, why } => write!(f, "left out: {what}, because {why}"),
            Self::GapClosed { what, at, size } => {
                write!(f, "closed: a gap of {size:.4} mm at ({:.2}, {:.2}) mm in {what}", at.x, at.y)
            }
            Self::Doubled { what, from, to } => write!(
                f,
                "left out: {what} from ({:.2}, {:.2}) to ({:.2}, {:.2}) mm, because it lies over another line there",
                from.x, from.y, to.x, to.y
            ),
            Self::ClosedByFill { what, at, size } => write!(
                f,
                "closed: {what} is open over {size:.2} mm from ({:.2}, {:.2}) mm on, and its fill closes it with a straight side",
                at.x, at.y
            ),
            Self::Clipped { what, by: Window::ClipPath, cut: true } => {
                write!(f, "cut: {what}, to its clip path")
            }
            Self::Clipped { what, by: Window::Edge, cut: true } => {
                write!(f, "cut: {what}, at the edge of the nested svg or symbol that holds it")
            }
            Self::Clipped { what, by, cut: false } => {
                let window = match by {
                    Window::ClipPath => "its clip path",
                    Window::Edge => "the edge of the nested svg or symbol that holds it",
                };
                write!(f, "whole: {what}, {window} takes nothing away")
            }
            Self::NoPaint { what, fill, reference, fallback } => {
                let of = if *fill { "fill" } else { "line" };
                write!(
                    f,
                    "paint: the {of} of {what} refers to \"{reference}\", no gradient or pattern of this file; "
                )?;
                match fallback {
                    Some(colour) => write!(f, "{colour}, named to stand in, counts"),
                    None => f.write_str("it counts as none"),
                }
            }
            Self::NotFollowed { what, whose, more } => {
                write!(f, "not followed: {}, though it changes what is seen", unfollowed(what, whose, *more))
            }
            Self::Line { what, width, more } => {
                let more =
                    if *more == 0 { String::new() } else { format!(", and {more} more over {WIDE} mm") };
                write!(
                    f,
                    "lines: up to {} mm wide ({what}{more}); the wood is judged to their middle",
                    plain(*width)
                )
            }
            Self::Lettered { what, words, font, asked } => {
                write!(f, "letters: {what}, \"{words}\" set in {font}")?;
                if asked.is_empty() {
                    Ok(())
                } else {
                    write!(f, "; it asks for {}", asked.join("; and for "))
                }
            }
            Self::OffPage { name } => write!(f, "note: {name} lies partly outside the page"),
        }
    }
}

/// Something that is not followed, and whose it is.
fn unfollowed(what: &str, whose: &str, more: usize) -> String {
    match more {
        0 => format!("{what} ({whose})"),
        more => format!("{what} ({whose}, and {more} more)"),
    }
}

/// The first few of a list, and how many more.
pub(crate) fn listed(names: &[String]) -> String {
    first(4, names, ", ")
}

/// As many of a list as are shown, and how many more.
pub(crate) fn first(shown: usize, names: &[String], between: &str) -> String {
    let mut text = names[..names.len().min(shown)].join(between);
    if names.len() > shown {
        text += &format!(" and {} more", names.len() - shown);
    }
    text
}

/// All that was left out, each with the reason.
pub(crate) fn all_left_out(notes: &[Note]) -> Vec<String> {
    let left_out = notes.iter().filter_map(|note| match note {
        Note::LeftOut { what, why } => Some(format!("{what}, because {why}")),
        _ => None,
    });
    left_out.collect()
}

impl Reading {
    /// The outlines that only their fill closes, the widest of them named; nothing where every end meets another.
    pub fn closed_by_fill(&self) -> Option<String> {
        let sides = || {
            self.notes.iter().filter_map(|note| match note {
                Note::ClosedByFill { what, at, size } => Some((what, at, size)),
                _ => None,
            })
        };
        let (what, at, size) = sides().max_by(|a, b| a.2.total_cmp(b.2))?;
        let more = match sides().count() {
            1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        Some(format!(
            "{what} is open over {size:.1} mm from {:.1}, {:.1} mm on, and its fill closes it with a straight side{more}. If that side is not \
             meant, join the ends.",
            at.x, at.y
        ))
    }

    /// The line so wide that it may be meant as wood itself, the widest of them; nothing where lines are thin.
    pub fn drawn_wide(&self) -> Option<String> {
        self.notes.iter().find_map(|note| match note {
            Note::Line { what, width, more } if *width > WIDE => {
                let more = if *more == 0 { String::new() } else { format!(" (and {more} more over {WIDE} mm)") };
                Some(format!(
                    "{what} is drawn with a line {} mm wide{more}: the wood is judged to its middle; expand the stroke if the line itself is \
                     the wood.",
                    plain(*width)
                ))
            }
            _ => None,
        })
    }

    /// What changes how the drawing looks and is not followed; nothing where all is.
    pub fn not_followed(&self) -> Option<String> {
        let all = self.notes.iter().filter_map(|note| match note {
            Note::NotFollowed { what, whose, more } => Some(unfollowed(what, whose, *more)),
            _ => None,
        });
        let all: Vec<String> = all.collect();
        (!all.is_empty()).then(|| {
            format!(
                "What is seen is changed by {}. None of it is followed: the wood is judged as drawn without. Compare the picture, and \
                 where it matters draw the outline itself.",
                all.join("; ")
            )
        })
    }
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [w, h] = self.size();
        writeln!(
            f,
            "overall: {:.2} x {:.2} mm ({:.3} x {:.3} in)",
            w.as_mm(),
            h.as_mm(),
            w.as_inch(),
            h.as_inch()
        )?;
        if let Some(doubt) = self.doubt() {
            writeln!(f, "{doubt}")?;
        }
        writeln!(f, "size: {}", self.scale)?;
        let [sx, sy] = self.mm_per_unit;
        let enlarged = if self.enlarged { ", --scale included" } else { "" };
        if (sx - sy).abs() > 1e-9 * sx {
            writeln!(f, "scale: one unit of the drawing is {sx:.6} mm across and {sy:.6} mm up{enlarged}")?;
        } else {
            writeln!(f, "scale: one unit of the drawing is {sx:.6} mm{enlarged}")?;
        }
        match self.page_mm {
            Some([w, h]) => write!(f, "page: {w:.2} x {h:.2} mm; ")?,
            None => write!(f, "page: none; ")?,
        }
        let from = match self.origin {
            Origin::Page => "its lower left corner",
            Origin::Corner => "the lower left corner of what is drawn",
            Origin::Own => "the drawing's own origin",
        };
        writeln!(f, "places are measured from {from}")?;
        write!(
            f,
            "curves: straight pieces within {:.4} mm; gaps up to {:.3} mm are closed",
            self.tolerance.as_mm(),
            self.gap.as_mm()
        )?;
        for note in &self.notes {
            write!(f, "\n{}", printable::lines(&note.to_string()))?;
        }
        Ok(())
    }
}
