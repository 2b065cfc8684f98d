//! Turns the curves of a drawing into straight pieces, the same for every file format.

use geo_types::Coord;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};

use super::drawn::{Contour, Drawn};
use super::{Fault, FaultKind, Options};

/// What is drawn, in straight pieces.
pub(crate) struct Flat {
    pub(crate) drawn: Vec<Drawn>,
    /// The largest distance between a curve and its straight pieces, in mm.
    pub(crate) tolerance: f64,
    /// How everything was moved.
    pub(crate) shift: Affine,
    pub(crate) faults: Vec<Fault>,
}

/// Flattens the path of every shape; `from_corner` moves the lower left corner of all to the origin.
///
/// Paths are in mm, finite and within the limits' reach.
pub(crate) fn flat(paths: Vec<(Drawn, BezPath)>, from_corner: bool, options: &Options) -> Flat {
    let all = paths.iter().map(|(_, path)| path.bounding_box()).reduce(|a, b| a.union(b));
    let size = all.map_or(0.0, |b: Rect| b.width().max(b.height()));
    let tolerance = for_size(options.tolerance.as_mm(), size);
    let shift = match all {
        Some(b) if from_corner => Affine::translate((-b.x0, -b.y0)),
        _ => Affine::IDENTITY,
    };
    let limit = options.limits.points;
    let mut flat = Flat { drawn: Vec::new(), tolerance, shift, faults: Vec::new() };
    let mut points = 0;
    for (mut shape, path) in paths {
        // Half on each side, so that a web between two curves is right to the tolerance.
        shape.contours = flattened(&(shift * path), tolerance / 2.0);
        points += shape.contours.iter().map(|c| c.points.len()).sum::<usize>();
        if points > limit {
            let kind = FaultKind::TooMuch { what: "points", limit };
            flat.faults.push(Fault { place: shape.label.place(), kind });
            flat.drawn.clear();
            break;
        }
        flat.drawn.push(shape);
    }
    flat
}

/// The tolerance for a drawing of a size: as asked, but small parts keep their roundness.
fn for_size(asked: f64, size: f64) -> f64 {
    /// Finer than the grid makes no sense.
    const FINEST: f64 = 1e-4;
    let scaled = if size > 0.0 { asked.min(size / 5000.0) } else { asked };
    if scaled >= FINEST { scaled } else { FINEST }
}

/// The straight pieces of every contour of a path.
pub(crate) fn flattened(path: &BezPath, tolerance: f64) -> Vec<Contour> {
    let mut contours: Vec<Contour> = Vec::new();
    let mut start = Coord { x: 0.0, y: 0.0 };
    let mut fresh = true;
    let place = |p: Point| Coord { x: p.x, y: p.y };
    kurbo::flatten(path, tolerance, |element| match element {
        PathEl::MoveTo(p) => {
            start = place(p);
            fresh = true;
        }
        PathEl::LineTo(p) => {
            if fresh {
                contours.push(Contour { points: vec![start], closed: false });
                fresh = false;
            }
            if let Some(contour) = contours.last_mut() {
                contour.points.push(place(p));
            }
        }
        PathEl::ClosePath => {
            // What follows without a move starts where this contour started.
            if let Some(contour) = contours.last_mut().filter(|_| !fresh) {
                contour.closed = true;
                if contour.points.len() > 1 && contour.points.last() == Some(&start) {
                    contour.points.pop();
                }
            }
            fresh = true;
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => unreachable!("kurbo::flatten gives straight pieces only"),
    });
    contours
}
