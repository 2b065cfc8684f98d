//! What a reader may be told where a drawing leaves something open.

use std::collections::BTreeSet;

use super::{Fault, FaultKind, Font, Place, printable};
use crate::units::{Length, LengthUnit};

/// What a reader may be told.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// The unit of the drawing's own numbers, whatever the file says (`--drawn-in`).
    pub drawn_in: Option<LengthUnit>,
    /// The largest distance between a curve and the straight pieces it becomes. The default, 0.02 mm, is what
    /// a small shop can just see in a template; drawings under 100 mm get a five-thousandth of their size.
    pub tolerance: Length,
    /// The widest gap between two ends that is closed unasked. The default, 0.05 mm, is wider than the
    /// rounding of any drawing program and thinner than any kerf.
    pub gap: Length,
    /// What a shape wholly inside another with a different fill is (`--inner`).
    pub inner: Option<Inner>,
    /// What a rectangle as large as the page is (`--page`).
    pub page: Option<Page>,
    /// Which layers and pieces are wanted (`--layer`, `--piece`).
    pub pick: Pick,
    /// How many times larger the drawing is than it says (`--scale`).
    pub scale: f64,
    /// Fonts that lettering may be set in (`--font`); without any, lettering that is still text is refused.
    pub fonts: Vec<Font>,
    /// How much is read before the reader refuses.
    pub limits: Limits,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            drawn_in: None,
            tolerance: Length::mm(0.02),
            gap: Length::mm(0.05),
            inner: None,
            page: None,
            pick: Pick::default(),
            scale: 1.0,
            fonts: Vec::new(),
            limits: Limits::default(),
        }
    }
}

/// What a shape wholly inside another with a different fill is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inner {
    /// Cut out.
    Opening,
    /// Decoration on the wood: it changes nothing.
    Wood,
}

/// What a rectangle as large as the page is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// Background: left out.
    Ignore,
    /// A shape like any other.
    Wood,
}

/// Which parts of a drawing are wanted; an empty list takes all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pick {
    /// Names of layers; capitals and small letters are alike.
    pub layers: Vec<String>,
    /// Names of pieces, as the reader names them.
    pub pieces: Vec<String>,
}

impl Pick {
    /// Whether what lies on these layers is wanted.
    pub(crate) fn takes_layers(&self, layers: &[String]) -> bool {
        self.layers.is_empty()
            || self.layers.iter().any(|wanted| layers.iter().any(|layer| alike(layer, wanted)))
    }

    /// Whether a piece is wanted.
    pub(crate) fn takes_piece(&self, name: &str) -> bool {
        self.pieces.is_empty() || self.pieces.iter().any(|wanted| alike(name, wanted))
    }

    /// A fault for every layer that is wanted and not among those the drawing has.
    pub(crate) fn missing_layers(&self, known: &BTreeSet<String>) -> Vec<Fault> {
        let wanted = self.layers.iter().filter(|wanted| !known.iter().any(|layer| alike(layer, wanted)));
        let kind = |name: &String| FaultKind::NoSuchLayer {
            name: printable::name(name),
            known: known.iter().cloned().collect(),
        };
        wanted.map(|name| Fault { place: Place::default(), kind: kind(name) }).collect()
    }
}

/// Capitals and small letters are alike; a long name may be typed whole or as it is told. A piece's own is told already, with a number
/// where another is told the same, and is not cut again.
fn alike(told: &str, wanted: &str) -> bool {
    let told = told.to_lowercase();
    [wanted.to_lowercase(), printable::name(wanted).to_lowercase()].contains(&told)
}

/// How much is read before the reader refuses: bounds on time and memory for files that nobody drew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Size of the file in bytes.
    pub bytes: usize,
    /// Elements, each counted as often as it is used.
    pub elements: usize,
    /// Shapes that are drawn.
    pub shapes: usize,
    /// Elements within elements.
    pub depth: usize,
    /// Bytes of all style sheets, fewer in a drawing of very many elements.
    pub style: usize,
    /// Attributes of one element.
    pub attributes: usize,
    /// Different namespaces of a file.
    pub namespaces: usize,
    /// Letters, in bytes, that entities come to where they are named.
    pub letters: usize,
    /// Points of all outlines.
    pub points: usize,
    /// Places where lines of outlines cross, or run along each other.
    pub crossings: usize,
    /// Spikes of wood of one piece that are thinner than any cut leaves them.
    pub hairs: usize,
    /// The least a piece may measure in its larger direction.
    pub smallest: Length,
    /// The most a piece may measure.
    pub largest: Length,
    /// How far from the page's lower left corner anything may lie.
    pub reach: Length,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            bytes: 64 << 20,
            elements: 200_000,
            shapes: 10_000,
            depth: 128,
            style: 64 << 10,
            attributes: 10_000,
            namespaces: 2_000,
            letters: 1 << 20,
            points: 2_000_000,
            crossings: 50_000,
            hairs: 300,
            smallest: Length::mm(1.0),
            largest: Length::mm(5000.0),
            reach: Length::mm(20_000.0),
        }
    }
}

impl Limits {
    /// The names of those that are numbers.
    pub const NAMES: [&str; 11] = [
        "bytes",
        "elements",
        "shapes",
        "depth",
        "style",
        "attributes",
        "namespaces",
        "letters",
        "points",
        "crossings",
        "hairs",
    ];

    /// The names of those that are lengths.
    pub const LENGTHS: [&str; 3] = ["smallest", "largest", "reach"];

    /// The name of the limit on what there is too much of, which begins with that name or a usual word for it.
    pub(crate) fn on(what: &str) -> Option<&'static str> {
        let word = what.split([' ', ',']).next()?;
        let name = match word {
            "levels" => "depth",
            "lines" => "points",
            other => other,
        };
        Self::NAMES.into_iter().find(|known| *known == name)
    }

    /// Sets a length by its name; `false` when there is none of that name, or it is below zero or more than the 100 m that the reader's
    /// grid holds.
    pub fn set_length(&mut self, name: &str, most: Length) -> bool {
        const HELD: f64 = 100_000.0;
        let limit = match name {
            "smallest" => &mut self.smallest,
            "largest" => &mut self.largest,
            "reach" => &mut self.reach,
            _ => return false,
        };
        let held = (0.0..=HELD).contains(&most.as_mm());
        if held {
            *limit = most;
        }
        held
    }

    /// Sets one by its name; `false` when there is none of that name.
    pub fn set(&mut self, name: &str, most: usize) -> bool {
        let limit = match name {
            "bytes" => &mut self.bytes,
            "elements" => &mut self.elements,
            "shapes" => &mut self.shapes,
            "depth" => &mut self.depth,
            "style" => &mut self.style,
            "attributes" => &mut self.attributes,
            "namespaces" => &mut self.namespaces,
            "letters" => &mut self.letters,
            "points" => &mut self.points,
            "crossings" => &mut self.crossings,
            "hairs" => &mut self.hairs,
            _ => return false,
        };
        *limit = most;
        true
    }
}
