//! A contour moved outwards by the same distance all along.

use super::contour::{Contour, Node};
use super::outline::Outline;
use crate::shape::plane::{dot, left};

/// Everything grown by `by` mm, away from the wood: openings become smaller.
///
/// Exact where segments run into each other without a corner, as they do once corners are rounded: lines move, arcs keep
/// their centres. At a corner the moved lines meet in a point. Hollow arcs have to be wider than `by`.
pub(super) fn grown(outline: &Outline, by: f64) -> Outline {
    Outline {
        outer: moved_out(&outline.outer, by),
        openings: outline.openings.iter().map(|contour| moved_out(contour, by)).collect(),
    }
}

fn moved_out(contour: &Contour, by: f64) -> Contour {
    let segments: Vec<_> = contour.segments().collect();
    let node = |i: usize| {
        let before = segments[(i + segments.len() - 1) % segments.len()];
        // The wood lies to the left, so outwards is to the right of the way.
        let (a, b) = (-left(before.last_direction()), -left(segments[i].first_direction()));
        let at = segments[i].from() + (a + b) * (by / (1.0 + dot(a, b)));
        Node { at, bulge: segments[i].bulge() }
    };
    Contour::new((0..segments.len()).map(node).collect())
}
