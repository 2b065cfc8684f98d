//! Lays inserts on strips of stock, their grain along the strip.

use super::Backer;
use super::list::Part;
use super::plan::Layer;
use crate::fit::{Fit, Outline};
use crate::shape::plane::point;
use crate::units::Length;

/// How a strip is divided. The defaults are common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// The longest strip, along the grain; a longer insert gets a longer one.
    pub longest: Length,
    /// Wood left between two inserts' cuts, and at the rim, so that the strip keeps its stiffness.
    pub web: Length,
    /// How many spares of each kind of insert are laid out; by default one for every eight begun.
    pub spares: Option<usize>,
}

impl Default for Stock {
    fn default() -> Self {
        Self { longest: Length::mm(600.0), web: Length::mm(3.0), spares: None }
    }
}

/// Inserts that are alike.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Kind {
    /// As it lies on the strip: seen from the back, grain along x, its lower left corner at the origin.
    pub(super) outline: Outline,
    /// For whom, in order.
    pub(super) owners: Vec<String>,
    pub(super) spares: usize,
    pub(super) wood: Option<String>,
    pub(super) thickness_mm: f64,
    pub(super) bit_mm: f64,
}

impl Kind {
    /// Length along the grain and width.
    pub(super) fn size(&self) -> [f64; 2] {
        let [x0, y0, x1, y1] = self.outline.bounds();
        [x1 - x0, y1 - y0]
    }

    pub(super) fn new(fit: &Fit, wood: Option<String>, owner: &str) -> Self {
        // Seen from the back the grain leans the other way; then it is turned to lie along x.
        let seen = fit.insert.mirrored(0.0).turned(fit.grain.as_rad());
        let [x0, y0, ..] = seen.bounds();
        Self {
            outline: seen.moved(point(-x0, -y0)),
            owners: vec![owner.to_owned()],
            spares: 0,
            wood,
            thickness_mm: fit.insert_thickness().as_mm(),
            bit_mm: fit.options.insert_bit.as_mm(),
        }
    }

    pub(super) fn of_backer(backer: &Backer, owner: &str) -> Self {
        let seen = backer.outline.mirrored(0.0).turned(backer.grain.as_rad());
        let [x0, y0, ..] = seen.bounds();
        Self {
            outline: seen.moved(point(-x0, -y0)),
            owners: vec![owner.to_owned()],
            spares: 0,
            wood: backer.wood.clone(),
            thickness_mm: backer.thickness.as_mm(),
            bit_mm: backer.bit.as_mm(),
        }
    }

    /// Whether one may be taken for the other, to a thousandth of a millimetre.
    fn is_like(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
        let ([l, w], [m, v]) = (self.size(), other.size());
        self.goes_with(other)
            && near(l, m, 1e-3)
            && near(w, v, 1e-3)
            && near(self.outline.area(), other.outline.area(), 1e-3 * (l + w))
            && self.outline.contours().count() == other.outline.contours().count()
            && self
                .outline
                .contours()
                .flat_map(crate::fit::Contour::segments)
                .all(|segment| [0.0, 0.5].iter().all(|part| other.outline.distance(segment.at(*part)) < 2e-3))
    }

    /// Whether both can be cut from one strip with one bit.
    fn goes_with(&self, other: &Self) -> bool {
        self.wood == other.wood
            && (self.thickness_mm - other.thickness_mm).abs() < 1e-6
            && (self.bit_mm - other.bit_mm).abs() < 1e-6
    }
}

/// All inserts, or all boards for backs, laid on strips.
pub(super) struct Laid {
    /// What they are.
    pub(super) layer: Layer,
    pub(super) kinds: Vec<Kind>,
    pub(super) strips: Vec<Strip>,
}

impl Laid {
    pub(super) fn new(layer: Layer, all: Vec<Kind>, stock: &Stock) -> Self {
        let kinds = kinds(all, stock);
        let strips = strips(&kinds, stock);
        Self { layer, kinds, strips }
    }

    /// What one of them is.
    pub(super) const fn part(&self) -> Part<'static> {
        match self.layer {
            Layer::Backer => Part::Backer,
            _ => Part::Insert,
        }
    }
}

/// Puts alike inserts together and adds the spares.
pub(super) fn kinds(all: Vec<Kind>, stock: &Stock) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for one in all {
        match kinds.iter_mut().find(|kind| kind.is_like(&one)) {
            Some(kind) => kind.owners.extend(one.owners),
            None => kinds.push(one),
        }
    }
    for kind in &mut kinds {
        kind.spares = stock.spares.unwrap_or(kind.owners.len().div_ceil(8));
    }
    kinds
}

/// A strip with what lies on it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Strip {
    /// Length along the grain and width, in mm.
    pub(super) size: [f64; 2],
    pub(super) thickness_mm: f64,
    pub(super) wood: Option<String>,
    pub(super) bit_mm: f64,
    /// Each insert where it lies, and whom it is for.
    pub(super) laid: Vec<(Outline, String)>,
}

/// Strips that hold every insert: rows along the grain, widest first, so that each row can be sawn off.
///
/// Between two inserts there are two widths of the bit and the web, so that neither cut runs into the other.
pub(super) fn strips(kinds: &[Kind], stock: &Stock) -> Vec<Strip> {
    let mut strips: Vec<(&Kind, Vec<&Kind>)> = Vec::new();
    for kind in kinds {
        match strips.iter_mut().find(|(first, _)| first.goes_with(kind)) {
            Some((_, others)) => others.push(kind),
            None => strips.push((kind, vec![kind])),
        }
    }
    strips.into_iter().map(|(first, kinds)| laid(first, kinds, stock)).collect()
}

fn laid(first: &Kind, mut kinds: Vec<&Kind>, stock: &Stock) -> Strip {
    let (bit, web) = (first.bit_mm, stock.web.as_mm());
    let (rim, gap) = (bit + web, 2.0 * bit + web);
    kinds.sort_by(|a, b| b.size()[1].total_cmp(&a.size()[1]).then(b.size()[0].total_cmp(&a.size()[0])));
    let longest = kinds.iter().map(|kind| kind.size()[0] + 2.0 * rim).fold(stock.longest.as_mm(), f64::max);
    let mut strip = Strip {
        size: [0.0, rim],
        thickness_mm: first.thickness_mm,
        wood: first.wood.clone(),
        bit_mm: bit,
        laid: Vec::new(),
    };
    // The row's lower edge, where its next insert begins, and its height: that of its first.
    let (mut low, mut next, mut high) = (rim, rim, 0.0);
    for kind in kinds {
        let [length, width] = kind.size();
        let spare = std::iter::repeat_n("spare", kind.spares);
        for owner in kind.owners.iter().map(String::as_str).chain(spare) {
            if next > rim && next + length + rim > longest + 1e-9 {
                low += high + gap;
                (next, high) = (rim, 0.0);
            }
            high = f64::max(high, width);
            strip.laid.push((kind.outline.moved(point(next, low)), owner.to_owned()));
            strip.size = [strip.size[0].max(next + length + rim), low + high + rim];
            next += length + gap;
        }
    }
    strip
}
