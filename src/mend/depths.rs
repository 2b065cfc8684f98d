//! How deep an insert goes: what stays in front of it, and what other depths would do.

use crate::check::Place;

use super::mended::{Mended, Weakest};
use super::request::Whole;
use super::site::Site;

/// Least show face: this much, and a third of the thickness, in mm: common practice.
const LEAST_SHOW_FACE: f64 = 3.0;
/// A thinner insert is veneer, in mm: our own rule.
pub(super) const LEAST_DEPTH: f64 = 1.0;

/// How much of a board stays in front of an insert, at the least.
pub(super) fn least_show_face(thickness: f64) -> f64 {
    (thickness / 3.0).max(LEAST_SHOW_FACE)
}

/// What a place bears with a strip of some depth, by the closed form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtDepth {
    /// The strip's depth, in mm.
    pub depth_mm: f64,
    /// Show face left, in mm.
    pub show_face_mm: f64,
    /// Whether that is as much as the trade leaves: a third of the thickness, at least 3 mm.
    pub usual: bool,
    /// The least push on the face and on a side that breaks the mended place, in N; nothing where the strip is too short
    /// for its depth.
    pub bears_n: Option<[f64; 2]>,
    /// Whether it is the depth that the strip has.
    pub is_own: bool,
}

/// From this part of the thickness to that one, in twelfths, a strip's depth is traded off: our own rule.
const TWELFTHS: std::ops::RangeInclusive<u8> = 2..=9;

/// What a place bears with a strip so wide, which reaches so far past its break lines at either end, from shallow to deep; its own
/// depth among them. Nothing where such a strip has no room.
pub(super) fn by_depth(
    place: &Place,
    whole: &Whole<'_>,
    width: f64,
    reaches: [f64; 2],
    own_depth: f64,
) -> Option<Vec<AtDepth>> {
    let thickness = whole.board.thickness.as_mm();
    let mut depths: Vec<f64> = TWELFTHS.map(|k| f64::from(k) / 12.0 * thickness).collect();
    depths.push(own_depth);
    depths.retain(|depth| *depth >= LEAST_DEPTH);
    depths.sort_by(f64::total_cmp);
    depths.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let least = least_show_face(thickness);
    let request = whole.request(place)?;
    let site = Site::new(&request).ok()?;
    let fit = site.fit(width, reaches)?;
    let row = |depth: f64| {
        let bears = |parts: &[Option<Weakest>; 4]| Mended::weakest(parts).index.breaks_at();
        let trial = site.trial(&fit, depth);
        AtDepth {
            depth_mm: depth,
            show_face_mm: thickness - depth,
            usual: thickness - depth >= least - 1e-9,
            is_own: (depth - own_depth).abs() < 1e-6,
            bears_n: trial.map(|trial| [bears(&trial.mended.face), bears(&trial.mended.side)]),
        }
    };
    Some(depths.into_iter().map(row).collect())
}
