//! Files for cutting: a set of pieces with their pockets and inserts as SVG and DXF, a cut list and paper patterns.
//!
//! In comes a [`Set`]; out go the [`File`]s, each with its name and its whole text. Nothing is written to disk here.
//!
//! ```
//! use shortgrain::drawing::cutting::{Piece, Pocket, Set};
//! use shortgrain::fit::{self, Options};
//! use shortgrain::shape::Shape;
//! use shortgrain::units::{Angle, Length};
//!
//! let plate = Shape::new(geo::Rect::new((0.0, 0.0), (120.0, 60.0)).to_polygon())?;
//! let strip = Shape::new(geo::Rect::new((20.0, 10.0), (40.0, 50.0)).to_polygon())?;
//! let fit = fit::fit(&strip, Angle::deg(90.0), &Options::default())?;
//! let piece = Piece::of("plate", &plate, Angle::deg(0.0))
//!     .with_board("cherry", Length::mm(19.0))
//!     .with_pocket(Pocket { fit, wood: Some("cherry".to_owned()) });
//! let files = Set::new("plate").with_piece(piece).files();
//! let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
//! assert_eq!(names[..4], ["plate-face.svg", "plate-face.dxf", "plate-back.svg", "plate-back.dxf"]);
//! assert_eq!(names[4..], ["plate-pattern.svg", "plate-insert.svg", "plate-insert.dxf", "plate-cut-list.csv"]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod dxf;
mod list;
mod mended;
mod pattern;
mod plan;
mod strip;
mod svg;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

pub use mended::{NoFit, NotCut};
pub use plan::Layer;
use plan::{Named, Plan, arrow_about, whole};
pub use strip::Stock;

use super::words::{self, Told};
use crate::fit::{Contour, Fit, Outline, Recovery};
use crate::shape::Shape;
use crate::shape::plane::{Point, point};
use crate::units::{Angle, Length, Units};

/// A file by its name and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name, with its ending and without a folder.
    pub name: String,
    /// Its whole text.
    pub text: String,
}

/// Everything that is cut together.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// Its name, which the files' names begin with.
    pub name: String,
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// A small pocket and insert to try the fit with.
    pub coupon: Option<Fit>,
    /// How strips for inserts are divided.
    pub stock: Stock,
    /// Units of the cut list and of what files say in words. Coordinates are always millimetres.
    pub units: Units,
}

/// A piece of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: String,
    /// Its outline and openings seen from the face; none when only its pockets are wanted.
    pub outline: Option<Outline>,
    /// Which way its grain runs, anticlockwise from +x.
    pub grain: Angle,
    /// Its wood's name.
    pub wood: Option<String>,
    /// Its thickness.
    pub thickness: Option<Length>,
    /// The pockets in its back.
    pub pockets: Vec<Pocket>,
    /// In which order it is cut; nothing where that is not known.
    pub steps: Vec<Told>,
}

/// A pocket in a piece's back with its insert.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Both outlines, in the piece's coordinates, seen from the face.
    pub fit: Fit,
    /// The insert's wood.
    pub wood: Option<String>,
}

impl Piece {
    /// A piece as it was read from a drawing; the arcs it was drawn with are made round again.
    pub fn of(name: impl Into<String>, shape: &Shape, grain: Angle) -> Self {
        Self { outline: Some(Outline::of(shape, &Recovery::default())), ..Self::pockets_only(name, grain) }
    }

    /// A piece of which nothing is cut but pockets.
    pub fn pockets_only(name: impl Into<String>, grain: Angle) -> Self {
        let (pockets, steps) = (Vec::new(), Vec::new());
        Self { name: name.into(), outline: None, grain, wood: None, thickness: None, pockets, steps }
    }

    /// With its wood and thickness.
    #[must_use]
    pub fn with_board(self, wood: impl Into<String>, thickness: Length) -> Self {
        Self { wood: Some(wood.into()), thickness: Some(thickness), ..self }
    }

    /// With one more pocket.
    #[must_use]
    pub fn with_pocket(mut self, pocket: Pocket) -> Self {
        self.pockets.push(pocket);
        self
    }

    /// With its order of cuts, which its files tell.
    #[must_use]
    pub fn with_steps(self, steps: Vec<Told>) -> Self {
        Self { steps, ..self }
    }

    /// What its page has to hold.
    fn bounds(&self) -> Option<[f64; 4]> {
        let pockets = self.pockets.iter().map(|pocket| pocket.fit.pocket.bounds());
        self.outline
            .iter()
            .map(Outline::bounds)
            .chain(pockets)
            .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
    }
}

impl Set {
    /// An empty set.
    pub fn new(name: impl Into<String>) -> Self {
        let name = name.into();
        Self { name, pieces: Vec::new(), coupon: None, stock: Stock::default(), units: Units::Metric }
    }

    /// With one more piece.
    #[must_use]
    pub fn with_piece(mut self, piece: Piece) -> Self {
        self.pieces.push(piece);
        self
    }

    /// Every file, in the order they are needed at the bench.
    ///
    /// For each piece NAME (the set's name; with several pieces, the set's and the piece's):
    ///
    /// - `NAME-face.svg`, `.dxf`: outline and openings, seen from the face; pin marks;
    /// - `NAME-back.svg`, `.dxf`: the pockets, seen from the back: mirrored about the page's upright middle line; the same pins;
    /// - `NAME-pattern.svg`: a paper pattern at true size.
    ///
    /// For the set: `NAME-insert.svg`, `.dxf` (numbered when more than one strip is needed), `NAME-coupon.svg`, `.dxf` and
    /// `NAME-cut-list.csv`. Letters that no file system likes become `_`. The same set gives the same bytes.
    pub fn files(&self) -> Vec<File> {
        let mut files = Files::default();
        for piece in &self.pieces {
            let Some(frame) = Frame::of(piece) else { continue };
            let name = match self.pieces.as_slice() {
                [_] => self.name.clone(),
                _ => format!("{}-{}", self.name, piece.name),
            };
            let name = files.unused(&file_name(&name));
            if piece.outline.is_some() {
                files.both(&format!("{name}-face"), &face(piece, &frame, self.units));
            }
            if !piece.pockets.is_empty() {
                files.both(&format!("{name}-back"), &back(piece, &frame, self.units));
            }
            files.add(format!("{name}-pattern.svg"), pattern::written(piece, &frame, self.units));
        }
        let name = file_name(&self.name);
        let kinds = strip::kinds(self.inserts(), &self.stock);
        let strips = strip::strips(&kinds, &self.stock);
        for (i, strip) in strips.iter().enumerate() {
            let number = if strips.len() > 1 { format!("-{}", i + 1) } else { String::new() };
            files.both(&format!("{name}-insert{number}"), &strip_plan(strip, &self.name, self.units));
        }
        if let Some(coupon) = &self.coupon {
            files.both(&format!("{name}-coupon"), &coupon_plan(coupon, &self.name, self.units));
        }
        if !self.pieces.is_empty() {
            files.add(format!("{name}-cut-list.csv"), list::written(self, &kinds, &strips));
        }
        files.all
    }

    fn inserts(&self) -> Vec<strip::Kind> {
        let all =
            self.pieces.iter().flat_map(|piece| piece.pockets.iter().map(move |pocket| (piece, pocket)));
        all.map(|(piece, pocket)| strip::Kind::new(&pocket.fit, pocket.wood.clone(), &piece.name)).collect()
    }
}

#[derive(Default)]
struct Files {
    all: Vec<File>,
    /// Beginnings of names that are taken, in small letters: some file systems do not tell them apart.
    taken: BTreeSet<String>,
}

impl Files {
    fn add(&mut self, name: String, text: String) {
        self.all.push(File { name, text });
    }

    fn both(&mut self, name: &str, plan: &Plan) {
        self.add(format!("{name}.svg"), svg::written(plan));
        self.add(format!("{name}.dxf"), dxf::written(plan));
    }

    /// The name, or with a number when another piece is called alike.
    fn unused(&mut self, name: &str) -> String {
        let numbered = (2..).map(|n| format!("{name}-{n}"));
        let free = std::iter::once(name.to_owned())
            .chain(numbered)
            .find(|name| !self.taken.contains(&name.to_lowercase()))
            .expect("there are more numbers than pieces");
        self.taken.insert(free.to_lowercase());
        free
    }
}

/// A name as a file's: letters, digits and a few marks, the rest as `_`.
fn file_name(name: &str) -> String {
    let name: String =
        name.chars().map(|c| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '_' }).collect();
    if name.trim_matches('.').is_empty() { format!("_{name}") } else { name }
}

/// Diameter of a pin's hole, in mm.
const PIN: f64 = 6.0;
/// From the piece to a pin's middle.
const TO_PIN: f64 = 12.0;
/// From a pin's middle, or from a pocket alone, to the edge of the page.
const RIM: f64 = 8.0;

/// Where a piece lies on its pages; face and back share it.
pub(super) struct Frame {
    /// Width and height of the page.
    size: [f64; 2],
    /// From the piece's coordinates to the page's.
    shift: Point,
    /// The piece's, in its own coordinates.
    bounds: [f64; 4],
    pinned: bool,
}

impl Frame {
    fn of(piece: &Piece) -> Option<Self> {
        let bounds @ [x0, y0, x1, y1] = piece.bounds()?;
        let pinned = piece.outline.is_some();
        let margin = if pinned { TO_PIN + RIM } else { RIM };
        let size = [x1 - x0 + 2.0 * margin, y1 - y0 + 2.0 * margin];
        Some(Self { size, shift: point(margin - x0, margin - y0), bounds, pinned })
    }

    /// The middles of the two pins: on the longer middle line of the page, outside the piece. Turning the board over about the
    /// upright middle line puts each hole on the other's pin, or on its own.
    fn pins(&self) -> Vec<Point> {
        let [width, height] = self.size;
        let [x, y] = [width / 2.0, height / 2.0];
        match self.pinned {
            false => Vec::new(),
            true if width >= height => vec![point(RIM, y), point(width - RIM, y)],
            true => vec![point(x, RIM), point(x, height - RIM)],
        }
    }

    fn marks(&self) -> Vec<Named> {
        let mark = |(i, at): (usize, Point)| Named {
            name: format!("pin {}", i + 1),
            contour: Contour::circle(at, PIN / 2.0),
        };
        self.pins().into_iter().enumerate().map(mark).collect()
    }

    /// A contour's place on the face's page or, mirrored, on the back's.
    fn place(&self, outline: &Outline, from_back: bool) -> Outline {
        let placed = outline.moved(self.shift);
        if from_back { placed.mirrored(self.size[0] / 2.0) } else { placed }
    }
}

/// Outline and openings, seen from the face.
fn face(piece: &Piece, frame: &Frame, units: Units) -> Plan {
    let mut plan = Plan::new(format!("{}, face", piece.name), frame.size);
    if let Some(outline) = &piece.outline {
        edges(&mut plan, piece, &frame.place(outline, false), true);
    }
    plan.put(Layer::Pin, true, frame.marks());
    plan.grain.push(arrow_about(beside(frame), piece.grain.as_rad(), ASIDE));
    plan.notes = vec![
        format!("FACE of {}{}.", piece.name, board(piece, units)),
        grain_note("Grain of the board", piece.grain.as_deg()),
        pin_note(units),
        "Drawn in millimetres at true size; zero is the lower left corner of the page.".to_owned(),
    ];
    plan.notes.extend(order(piece));
    for (k, step) in piece.steps.iter().enumerate() {
        let spot = |at: &Point| (*at + frame.shift, format!("step {}", k + 1));
        plan.labels.extend(step.openings.iter().map(spot));
    }
    plan
}

/// A line for each step.
fn order(piece: &Piece) -> impl Iterator<Item = String> {
    let heading = (!piece.steps.is_empty()).then(|| "Order of cuts:".to_owned());
    let steps = piece.steps.iter().enumerate().map(|(k, step)| format!("{}. {}.", k + 1, step.labelled));
    heading.into_iter().chain(steps)
}

/// The pockets, seen from the back, with the piece's edges to look at.
fn back(piece: &Piece, frame: &Frame, units: Units) -> Plan {
    let mut plan = Plan::new(format!("{}, back", piece.name), frame.size);
    if let Some(outline) = &piece.outline {
        edges(&mut plan, piece, &frame.place(outline, true), false);
    }
    let mut pockets = Vec::new();
    let line = words::fit_length(units, frame.size[0] / 2.0);
    plan.notes = vec![
        format!("BACK of {}{}, seen from the back.", piece.name, board(piece, units)),
        format!(
            "Mirrored about the upright line {line} from the left edge of the page: turn the board over like a page."
        ),
    ];
    for (i, pocket) in piece.pockets.iter().enumerate() {
        let placed = frame.place(&pocket.fit.pocket, true);
        let [x0, y0, x1, y1] = placed.bounds();
        let at = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        let options = &pocket.fit.options;
        let depth = words::fit_length(units, options.depth.as_mm());
        plan.labels.push((at, format!("{} deep {depth}", i + 1)));
        plan.grain.push(arrow_about(
            at,
            -pocket.fit.grain.as_rad(),
            0.5 * pocket.fit.insert_size()[0].as_mm(),
        ));
        plan.notes.push(format!(
            "Pocket {}: {depth} deep, bit {}. {}",
            i + 1,
            words::fit_length(units, options.pocket_bit.as_mm()),
            grain_note("Grain of its insert", -pocket.fit.grain.as_deg()),
        ));
        pockets.extend(whole(&format!("pocket {}", i + 1), &placed));
    }
    plan.notes.extend(order(piece));
    plan.put(Layer::PocketBack, true, pockets);
    plan.put(Layer::Pin, true, frame.marks());
    if piece.outline.is_some() {
        plan.grain.push(arrow_about(beside(frame), -piece.grain.as_rad(), ASIDE));
        plan.notes.push(grain_note("Grain of the board", -piece.grain.as_deg()));
    }
    if frame.pinned {
        plan.notes.push(pin_note(units));
    }
    plan.notes
        .push("Drawn in millimetres at true size; zero is the lower left corner of the page.".to_owned());
    plan
}

/// A piece's outline and openings on their layers.
fn edges(plan: &mut Plan, piece: &Piece, placed: &Outline, is_cut: bool) {
    let outer = Named { name: piece.name.clone(), contour: placed.outer.clone() };
    plan.put(Layer::Outline, is_cut, vec![outer]);
    let opening = |(i, contour): (usize, &Contour)| Named {
        name: format!("{} opening {}", piece.name, i + 1),
        contour: contour.clone(),
    };
    plan.put(Layer::Opening, is_cut, placed.openings.iter().enumerate().map(opening).collect());
}

fn strip_plan(strip: &strip::Strip, name: &str, units: Units) -> Plan {
    let [length, width] = strip.size;
    let mut plan = Plan::new(format!("{name}, inserts"), strip.size);
    let mut inserts = Vec::new();
    for (i, (outline, owner)) in strip.laid.iter().enumerate() {
        inserts.extend(whole(&format!("insert {}", i + 1), outline));
        let [x0, y0, x1, y1] = outline.bounds();
        let at = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        plan.labels.push((at, format!("{} {owner}", i + 1)));
    }
    plan.put(Layer::Insert, true, inserts);
    plan.put(
        Layer::Note,
        false,
        vec![Named { name: "strip".to_owned(), contour: rectangle([length, width]) }],
    );
    plan.grain.push(arrow_about(point(length / 2.0, width / 2.0), 0.0, length * 0.6));
    let wood = strip.wood.as_ref().map_or_else(String::new, |wood| format!(" of {wood}"));
    plan.notes = vec![
        format!(
            "INSERTS{wood}, seen from the back: cut them with the side up that will show on the back. Strip {} x {} x {} (length \
             along the grain, width, thickness), bit {}.",
            words::fit_length(units, length),
            words::fit_length(units, width),
            words::fit_length(units, strip.thickness_mm),
            words::fit_length(units, strip.bit_mm),
        ),
        grain_note("Grain of the strip", 0.0),
        "Drawn in millimetres at true size; zero is the lower left corner of the page.".to_owned(),
    ];
    plan
}

/// Wood left round the coupon's pocket, in mm.
const COUPON_RIM: f64 = 15.0;

/// A block of scrap with the small pocket, and beside it the small insert.
fn coupon_plan(coupon: &Fit, name: &str, units: Units) -> Plan {
    let [x0, y0, x1, y1] = coupon.pocket.bounds();
    let block = [x1 - x0 + 2.0 * COUPON_RIM, y1 - y0 + 2.0 * COUPON_RIM];
    let [u0, v0, u1, v1] = coupon.insert.bounds();
    let beside = block[0] + 2.0 * coupon.options.insert_bit.as_mm() + COUPON_RIM;
    let mut plan = Plan::new(format!("{name}, coupon"), [beside + u1 - u0 + COUPON_RIM, block[1]]);
    plan.put(
        Layer::PocketBack,
        true,
        whole("coupon pocket", &coupon.pocket.moved(point(COUPON_RIM - x0, COUPON_RIM - y0))),
    );
    let up = (block[1] - (v1 - v0)) / 2.0;
    plan.put(Layer::Insert, true, whole("coupon insert", &coupon.insert.moved(point(beside - u0, up - v0))));
    plan.put(Layer::Note, false, vec![Named { name: "block".to_owned(), contour: rectangle(block) }]);
    plan.notes = vec![
        "COUPON: cut both on scrap of the same board and try the fit before the real ones.".to_owned(),
        format!(
            "Pocket {} deep, bit {}; insert {} thick, bit {}; clearance {} a side.",
            words::fit_length(units, coupon.options.depth.as_mm()),
            words::fit_length(units, coupon.options.pocket_bit.as_mm()),
            words::fit_length(units, coupon.insert_thickness().as_mm()),
            words::fit_length(units, coupon.options.insert_bit.as_mm()),
            words::fit_length(units, coupon.options.clearance.as_mm()),
        ),
        "Drawn in millimetres at true size; zero is the lower left corner of the page.".to_owned(),
    ];
    plan
}

fn rectangle([width, height]: [f64; 2]) -> Contour {
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    Contour::new(corners.map(|(x, y)| crate::fit::Node { at: point(x, y), bulge: 0.0 }).to_vec())
}

/// Length of the arrow beside a piece, in mm, and where its middle lies: in the lower left corner of the page, off the work.
const ASIDE: f64 = 12.0;

fn beside(frame: &Frame) -> Point {
    let [x0, y0, ..] = frame.bounds;
    point(x0 - 10.0, y0 - 10.0) + frame.shift
}

/// What a file says of the board, after the piece's name.
fn board(piece: &Piece, units: Units) -> String {
    let mut text = String::new();
    if let Some(wood) = &piece.wood {
        text.push_str(&format!(", {wood}"));
    }
    if let Some(thickness) = piece.thickness {
        text.push_str(&format!(", {} thick", words::size(units, thickness.as_mm())));
    }
    text
}

fn grain_note(what: &str, degrees: f64) -> String {
    // Adding nought turns -0 into 0; a half turn is no turn, also after rounding.
    let degrees = (degrees.rem_euclid(180.0) * 10.0).round() / 10.0 % 180.0 + 0.0;
    if degrees == 0.0 {
        return format!("{what}: left to right on this page.");
    }
    format!("{what}: {degrees} degrees anticlockwise from left to right on this page.")
}

fn pin_note(units: Units) -> String {
    format!("Two registration pins of {}, the same holes from both sides.", words::fit_length(units, PIN))
}
