//! Applies clip paths to the shapes they hide parts of.

use kurbo::Affine;

use super::trace::Tracing;
use crate::design::drawn::{Contour, Drawn};
use crate::design::flat::flattened;
use crate::design::outline::ring;
use crate::design::{Fault, FaultKind, LeftOut, Note};
use crate::shape::{FillRule, Region, placed};

impl Tracing<'_> {
    /// The shapes as far as their clip paths show them; `shift` is what moved the shapes.
    ///
    /// A filled area is cut exactly. A line is taken whole or not at all: cut, its outline would be open.
    pub(super) fn applied(&mut self, drawn: Vec<Drawn>, shift: Affine, tolerance: f64) -> Vec<Drawn> {
        let windows: Vec<Region> = self.clips.iter().map(|shapes| window(shapes, shift, tolerance)).collect();
        let clipped = std::mem::take(&mut self.clipped);
        let mut kept = Vec::new();
        for (shape, clips) in drawn.into_iter().zip(clipped) {
            let Some(first) = clips.first() else {
                kept.push(shape);
                continue;
            };
            let window = clips[1..].iter().fold(windows[*first].clone(), |all, i| all.shared(&windows[*i]));
            let (rings, rule) = match &shape.fill {
                Some(fill) => (shape.contours.iter().map(|c| ring(&c.points)).collect::<Vec<_>>(), fill.rule),
                None => (shape.contours.iter().map(|c| ring(&c.points)).collect(), FillRule::NonZero),
            };
            let whole = Region::filled(&rings, rule);
            let left = whole.shared(&window);
            let what = shape.label.to_string();
            let nothing = |region: &Region| 2.0 * region.area() <= tolerance * region.length();
            if nothing(&whole.without(&window)) {
                self.notes.push(Note::Clipped { what, cut: false });
                kept.push(shape);
            } else if nothing(&left) {
                self.notes.push(Note::LeftOut { what, why: LeftOut::ClippedAway });
            } else if let Some(fill) = shape.fill {
                self.notes.push(Note::Clipped { what, cut: true });
                let contour = |ring: &crate::shape::Ring| Contour {
                    points: ring.iter().map(|p| placed(*p)).collect(),
                    closed: true,
                };
                let contours = left.rings().map(contour).collect();
                let fill = Some(crate::design::drawn::Fill { rule: FillRule::NonZero, ..fill });
                kept.push(Drawn { fill, contours, ..shape });
            } else {
                self.faults.push(Fault { place: shape.label.place(), kind: FaultKind::CutLine });
            }
        }
        kept
    }
}

/// The area a clip path shows.
fn window(shapes: &[(kurbo::BezPath, FillRule)], shift: Affine, tolerance: f64) -> Region {
    let areas: Vec<Region> = shapes
        .iter()
        .map(|(path, rule)| {
            let contours = flattened(&(shift * path.clone()), tolerance / 2.0);
            let rings: Vec<_> = contours.iter().map(|c| ring(&c.points)).collect();
            Region::filled(&rings, *rule)
        })
        .collect();
    Region::united(&areas)
}
