//! What one file for cutting holds, before it is written as SVG or DXF.

use crate::fit::{Contour, Outline};
use crate::shape::plane::Point;

/// A layer, named by what its lines mean in the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// The piece's outer edge, cut through.
    Outline,
    /// An opening, cut through.
    Opening,
    /// A pocket in the back, as deep as its note says.
    PocketBack,
    /// An insert, cut from a strip of its own.
    Insert,
    /// A board that is glued on a part of the back, cut from a strip of its own.
    Backer,
    /// A board of a blank that is glued up of several, sawn to size.
    Ply,
    /// A hole for a registration pin.
    Pin,
    /// Which way the grain runs; not cut.
    Grain,
    /// Words and what is only to be looked at; not cut.
    Note,
}

impl Layer {
    /// Every layer, in the order files list them.
    pub const ALL: [Self; 9] = [
        Self::Outline,
        Self::Opening,
        Self::PocketBack,
        Self::Insert,
        Self::Backer,
        Self::Ply,
        Self::Pin,
        Self::Grain,
        Self::Note,
    ];

    /// Its name in the files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Outline => "OUTLINE",
            Self::Opening => "OPENING",
            Self::PocketBack => "POCKET_BACK",
            Self::Insert => "INSERT",
            Self::Backer => "BACKER",
            Self::Ply => "PLY",
            Self::Pin => "PIN",
            Self::Grain => "GRAIN",
            Self::Note => "NOTE",
        }
    }
}

/// The lines of one layer.
pub(super) struct Sheet {
    pub(super) layer: Layer,
    /// Whether it is cut from this side. What is not is there to be looked at: its layer is switched off.
    pub(super) is_cut: bool,
    pub(super) contours: Vec<Named>,
}

/// A contour with the name it reads back with.
pub(super) struct Named {
    pub(super) name: String,
    pub(super) contour: Contour,
}

/// One file: everything in mm, x right and y up from the lower left corner of the page.
pub(super) struct Plan {
    pub(super) title: String,
    pub(super) size: [f64; 2],
    pub(super) sheets: Vec<Sheet>,
    /// Arrows along the grain, tail and tip.
    pub(super) grain: Vec<[Point; 2]>,
    /// Words at a place.
    pub(super) labels: Vec<(Point, String)>,
    /// What a person should read, a sentence each.
    pub(super) notes: Vec<String>,
}

impl Plan {
    pub(super) fn new(title: String, size: [f64; 2]) -> Self {
        Self { title, size, sheets: Vec::new(), grain: Vec::new(), labels: Vec::new(), notes: Vec::new() }
    }

    /// Adds a layer unless nothing lies on it.
    pub(super) fn put(&mut self, layer: Layer, is_cut: bool, contours: Vec<Named>) {
        if !contours.is_empty() {
            self.sheets.push(Sheet { layer, is_cut, contours });
        }
    }
}

/// An outline's contours, all on one layer.
pub(super) fn whole(name: &str, outline: &Outline) -> Vec<Named> {
    outline.contours().map(|contour| Named { name: name.to_owned(), contour: contour.clone() }).collect()
}

/// The points of an arrow: its shaft and its two barbs, in one stroke.
pub(super) fn arrow([tail, tip]: [Point; 2]) -> [Point; 5] {
    use crate::shape::plane::{left, unit};
    let way = unit(tip - tail);
    let barb = |side: f64| tip - way * BARB + left(way) * (side * BARB * 0.4);
    [tail, tip, barb(1.0), tip, barb(-1.0)]
}

/// Length of an arrow's barbs, in mm.
const BARB: f64 = 3.0;

/// An arrow of this length about a point, at an angle in radians.
pub(super) fn arrow_about(middle: Point, angle: f64, length: f64) -> [Point; 2] {
    let half = crate::shape::plane::direction(angle) * (length / 2.0);
    [middle - half, middle + half]
}

/// Millimetres with six decimals at most, no trailing zeros, never -0.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
