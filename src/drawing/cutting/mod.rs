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

mod blank;
mod dxf;
mod list;
mod mended;
mod pages;
mod pattern;
mod plan;
mod strip;
mod svg;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

pub use mended::{NoFit, NotCut};
use pages::{Frame, back, coupon_plan, face, strip_plan};
pub use plan::Layer;
use plan::Plan;
pub use strip::Stock;

use super::words::Told;
use crate::fit::{Fit, Outline, Recovery};
use crate::shape::Shape;
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

/// How many things a set is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tally {
    /// Blanks, one a piece.
    pub blanks: usize,
    /// Of how many sizes and woods they are.
    pub sizes: usize,
    /// Boards that blanks are glued up of.
    pub boards: usize,
    /// Inserts that are glued in.
    pub inserts: usize,
    /// Inserts more, in case one is spoilt.
    pub spares: usize,
    /// Boards that are glued on backs.
    pub backers: usize,
    /// Strips that inserts and boards are cut from.
    pub strips: usize,
    /// Pieces that are cut from both sides.
    pub turned_over: usize,
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
    /// The boards that are glued on its back.
    pub backers: Vec<Backer>,
    /// The boards its blank is glued up of, from the face back; none where it is one board.
    pub plies: Vec<Ply>,
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

/// A board glued on a part of a piece's back before it is pierced.
#[derive(Clone, Debug, PartialEq)]
pub struct Backer {
    /// Its outline before piercing, in the piece's coordinates, seen from the face.
    pub outline: Outline,
    /// Which way its own grain runs, anticlockwise from +x.
    pub grain: Angle,
    /// Its thickness.
    pub thickness: Length,
    /// Its wood.
    pub wood: Option<String>,
    /// Diameter of the bit that cuts it out.
    pub bit: Length,
}

/// A board of a blank that is glued up of several.
#[derive(Clone, Debug, PartialEq)]
pub struct Ply {
    /// What it is called.
    pub name: String,
    /// Which way its own grain runs, anticlockwise from +x.
    pub grain: Angle,
    /// Its thickness.
    pub thickness: Length,
    /// Its wood.
    pub wood: Option<String>,
    /// Diameter of the bit that cuts the outline through all of them.
    pub bit: Length,
}

impl Piece {
    /// A piece as it was read from a drawing; the arcs it was drawn with are made round again.
    pub fn of(name: impl Into<String>, shape: &Shape, grain: Angle) -> Self {
        Self { outline: Some(Outline::of(shape, &Recovery::default())), ..Self::pockets_only(name, grain) }
    }

    /// A piece of which nothing is cut but pockets.
    pub fn pockets_only(name: impl Into<String>, grain: Angle) -> Self {
        Self {
            name: name.into(),
            outline: None,
            grain,
            wood: None,
            thickness: None,
            pockets: Vec::new(),
            backers: Vec::new(),
            plies: Vec::new(),
            steps: Vec::new(),
        }
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
            .chain(self.backers.iter().map(|backer| backer.outline.bounds()))
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
    /// - `NAME-back.svg`, `.dxf`: the pockets, and where boards are glued on, seen from the back: mirrored about the page's upright middle line; the same pins;
    /// - `NAME-plies.svg`, `.dxf`: the boards that its blank is glued up of, seen from the face;
    /// - `NAME-pattern.svg`: a paper pattern at true size.
    ///
    /// For the set: `NAME-insert.svg`, `.dxf` and `NAME-backer.svg`, `.dxf` (numbered when more than one strip is needed), `NAME-coupon.svg`, `.dxf` and
    /// `NAME-cut-list.csv`. Letters that no file system likes become `_`. The same set gives the same bytes.
    pub fn files(&self) -> Vec<File> {
        let mut files = Files::default();
        let laid = self.laid();
        let list = list::rows(self, &laid);
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
            if !(piece.pockets.is_empty() && piece.backers.is_empty()) {
                files.both(&format!("{name}-back"), &back(piece, &frame, self.units));
            }
            if !piece.plies.is_empty() {
                let plan = blank::plan(piece, self.stock.web.as_mm(), self.units);
                files.both(&format!("{name}-plies"), &plan);
            }
            files.add(format!("{name}-pattern.svg"), pattern::written(piece, &frame, &list, self.units));
        }
        let name = file_name(&self.name);
        for laid in &laid {
            for (i, strip) in laid.strips.iter().enumerate() {
                let number = if laid.strips.len() > 1 { format!("-{}", i + 1) } else { String::new() };
                let plan = strip_plan(strip, laid.layer, &self.name, self.units);
                files.both(&format!("{name}-{}{number}", laid.part().word()), &plan);
            }
        }
        if let Some(coupon) = &self.coupon {
            files.both(&format!("{name}-coupon"), &coupon_plan(coupon, &self.name, self.units));
        }
        if !self.pieces.is_empty() {
            files.add(format!("{name}-cut-list.csv"), list::written(&list, self.units));
        }
        files.all
    }

    /// What comes to the saw and the router for the whole set.
    pub fn tally(&self) -> Tally {
        let laid = self.laid();
        let rows = list::rows(self, &laid);
        let count = |is: fn(&list::Part<'_>) -> bool, spare: bool| {
            let rows = rows.iter().filter(|row| is(&row.part) && row.owners.is_empty() == spare);
            rows.map(|row| row.count).sum()
        };
        let is_insert = |part: &list::Part<'_>| *part == list::Part::Insert;
        Tally {
            blanks: count(|part| *part == list::Part::Piece, false),
            sizes: rows.iter().filter(|row| row.part == list::Part::Piece).count(),
            boards: count(|part| matches!(part, list::Part::Board(_)), false),
            inserts: count(is_insert, false),
            spares: count(is_insert, true),
            backers: count(|part| *part == list::Part::Backer, false),
            strips: count(|part| *part == list::Part::Strip, true),
            turned_over: self.pieces.iter().filter(|piece| !piece.pockets.is_empty()).count(),
        }
    }

    /// Inserts and boards for backs, each on their strips.
    fn laid(&self) -> [strip::Laid; 2] {
        let inserts = strip::Laid::new(Layer::Insert, self.inserts(), &self.stock);
        // A board that is spoilt is sawn anew.
        let no_spares = Stock { spares: Some(0), ..self.stock };
        [inserts, strip::Laid::new(Layer::Backer, self.backers(), &no_spares)]
    }

    fn backers(&self) -> Vec<strip::Kind> {
        let all =
            self.pieces.iter().flat_map(|piece| piece.backers.iter().map(move |backer| (piece, backer)));
        all.map(|(piece, backer)| strip::Kind::of_backer(backer, &piece.name)).collect()
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
