//! Words and numbers as a design: letters to be cut out, or pierced through a panel.
//!
//! In come a text, a font and sizes; out go outlines in millimetres that can be checked like any drawing. `face` sets
//! the text in the font, `panel` gives the board around pierced letters, `bridge` holds what would fall out of them.
//! It knows nothing of wood but the direction bridges are to run in.

mod bridge;
mod error;
mod face;
mod hash;
mod panel;

#[cfg(test)]
mod tests;

pub use bridge::Bridge;
pub use error::LetterError;
pub use panel::Panel;

use std::sync::Arc;

use geo_types::Coord;
use kurbo::{Affine, BezPath};

use self::face::{Face, Glyph};
use crate::design::Font;
use crate::design::flat::flattened;
use crate::design::outline::ring;
use crate::shape::{FillRule, GRID_PER_MM, Locator, Region, Shape, placed};
use crate::units::{Angle, Length};

/// The largest distance between a letter's curves and its straight pieces, in mm.
const TOLERANCE: f64 = 0.005;

/// What is to be lettered.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// One line of text.
    pub text: String,
    /// How high its capitals are.
    pub height: Length,
    /// What is added between letters; less than nothing moves them together.
    pub spacing: Length,
    /// Letters of wood, or holes in a panel.
    pub form: Form,
}

/// What the letters are.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Each letter is a piece of wood.
    Cutout,
    /// The letters are openings in a panel; what they would set free is held by bridges.
    Pierced {
        /// The panel.
        panel: Panel,
        /// How wide a bridge is.
        bridge: Length,
        /// Which way bridges run, anticlockwise from left to right: along the grain they are long-grained.
        along: Angle,
    },
}

/// Letters as outlines.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    /// The pieces with their names, in mm from the page's lower left corner.
    pub pieces: Vec<(String, Shape)>,
    /// The bridges that hold what the letters would set free.
    pub bridges: Vec<Bridge>,
    /// Width and height of the page, in mm.
    pub page: [f64; 2],
    /// The area of all letters together, before any bridge, in mm².
    pub letters_mm2: f64,
    /// The font's full name.
    pub font: String,
    /// The SHA-256 of the font's file, in hexadecimal.
    pub sha256: String,
}

/// The font that is carried: DejaVu Sans Bold, with the letters of western European signs.
pub fn own_font() -> Font {
    let bytes = include_bytes!("font/sans-bold.ttf");
    Font { name: "DejaVu Sans Bold".to_owned(), bytes: Arc::new(bytes.to_vec()), face: 0 }
}

/// Sets a text.
///
/// Pierced letters stand in the middle of their panel, by their width and by the height of capitals. Every island gets a
/// bridge on both sides, straight, in one line, where the way across the opening is shortest.
///
/// # Errors
///
/// All of [`LetterError`]; sizes that cannot be are told at once.
///
/// # Accuracy
///
/// Curves become straight pieces within 5 µm; points are rounded to 1e-4 mm.
///
/// # Example
///
/// ```
/// use shortgrain::letter::{Form, Panel, Wanted, letter, own_font};
/// use shortgrain::units::{Angle, Length};
///
/// let panel = Panel::Rectangle { width: Length::mm(300.0), height: Length::mm(150.0), radius: Length::mm(8.0) };
/// let form = Form::Pierced { panel, bridge: Length::mm(6.0), along: Angle::deg(0.0) };
/// let wanted = Wanted { text: "408".to_owned(), height: Length::mm(100.0), spacing: Length::mm(0.0), form };
/// let sign = letter(&own_font(), &wanted)?;
/// // One panel; the 4 and the 0 hold one island each, the 8 two, each by two bridges.
/// assert_eq!((sign.pieces.len(), sign.bridges.len()), (1, 8));
/// # Ok::<(), shortgrain::letter::LetterError>(())
/// ```
pub fn letter(font: &Font, wanted: &Wanted) -> Result<Lettering, LetterError> {
    error::check(wanted)?;
    let face = Face::new(font)?;
    let glyphs = face.set(&wanted.text, wanted.height.as_mm(), wanted.spacing.as_mm())?;
    let sha256 = hash::sha256(&font.bytes);
    let font = face.name();
    let done = match &wanted.form {
        Form::Cutout => cutout(&glyphs),
        Form::Pierced { panel, bridge, along } => {
            pierced(&glyphs, wanted.height.as_mm(), panel, bridge.as_mm(), along.as_rad())?
        }
    };
    let Done { pieces, bridges, page, letters } = done;
    Ok(Lettering { pieces, bridges, page, letters_mm2: letters.area(), font, sha256 })
}

struct Done {
    pieces: Vec<(String, Shape)>,
    bridges: Vec<Bridge>,
    page: [f64; 2],
    letters: Region,
}

/// The area of one glyph.
fn area(path: &BezPath) -> Region {
    let rings: Vec<_> = flattened(path, TOLERANCE).iter().map(|contour| ring(&contour.points)).collect();
    Region::filled(&rings, FillRule::NonZero)
}

/// The glyphs' areas after moving them all.
fn areas(glyphs: &[Glyph], by: Coord<f64>) -> Vec<Region> {
    glyphs.iter().map(|glyph| area(&(Affine::translate((by.x, by.y)) * glyph.path.clone()))).collect()
}

/// Left, low, right and high end of all glyphs, in mm.
fn extent(glyphs: &[Glyph]) -> [f64; 4] {
    let all = Region::united(&areas(glyphs, Coord { x: 0.0, y: 0.0 }));
    all.bounds().unwrap_or_default().map(|step| f64::from(step) / GRID_PER_MM)
}

fn cutout(glyphs: &[Glyph]) -> Done {
    /// Room around the letters, in mm.
    const MARGIN: f64 = 5.0;
    let [x0, y0, x1, y1] = extent(glyphs);
    let areas = areas(glyphs, Coord { x: MARGIN - x0, y: MARGIN - y0 });
    let letters = Region::united(&areas).tidy();
    let locators: Vec<Locator> = areas.iter().map(|area| Locator::new(area.rings())).collect();
    let mut names: Vec<String> = Vec::new();
    let mut pieces = Vec::new();
    for polygon in letters.polygons() {
        let corner = crate::shape::snapped(polygon.exterior().0[0]);
        let home = locators.iter().position(|area| area.holds(corner));
        let letter = home.map_or("letter", |i| glyphs[i].letters.as_str());
        let before = names.iter().filter(|name| *name == letter).count();
        names.push(letter.to_owned());
        let name = if before == 0 { letter.to_owned() } else { format!("{letter}-{}", before + 1) };
        if let Ok(shape) = Shape::new(polygon) {
            pieces.push((name, shape));
        }
    }
    Done { pieces, bridges: Vec::new(), page: [x1 - x0 + 2.0 * MARGIN, y1 - y0 + 2.0 * MARGIN], letters }
}

fn pierced(
    glyphs: &[Glyph],
    height: f64,
    panel: &Panel,
    bridge: f64,
    along: f64,
) -> Result<Done, LetterError> {
    let page = panel.size();
    let [x0, _, x1, _] = extent(glyphs);
    let middle = Coord { x: page[0] / 2.0 - f64::midpoint(x0, x1), y: (page[1] - height) / 2.0 };
    let letters = Region::united(&areas(glyphs, middle)).tidy();
    let points: Vec<_> = letters.rings().flatten().map(|p| placed(*p)).collect();
    panel.holds(&points, bridge)?;
    let wood = panel.area().without(&letters).tidy();
    let (wood, bridges) = bridge::held(&wood, bridge, along)?;
    let shapes = wood.polygons().into_iter().filter_map(|polygon| Shape::new(polygon).ok());
    let pieces = shapes.map(|shape| ("panel".to_owned(), shape)).collect();
    Ok(Done { pieces, bridges, page, letters })
}
