//! Turns the curves of a drawing into straight pieces, the same for every file format.

use geo_types::Coord;
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};

use super::drawn::{Contour, Drawn};
use super::{Fault, FaultKind, Options};
use crate::shape::plane::{cross, distance};

/// A contour of more points than this was not drawn by hand but sampled, and points are left out where that stays within
/// the tolerance.
const FINE: usize = 2000;

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
        for contour in shape.contours.iter_mut().filter(|contour| contour.points.len() > FINE) {
            contour.points = thinned(&contour.points, tolerance / 2.0);
        }
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

/// The same line with fewer points: none that is left out lies farther than `tolerance` from what stays.
///
/// From each point that stays, the next is the farthest that all between lie close enough to, as seen in an ever narrower
/// wedge; each point is looked at once.
fn thinned(points: &[Coord<f64>], tolerance: f64) -> Vec<Coord<f64>> {
    let Some(&first) = points.first() else { return Vec::new() };
    let mut kept = vec![first];
    let (mut anchor, mut last, mut far) = (first, first, 0.0_f64);
    let mut wedge: Option<[Coord<f64>; 2]> = None;
    for &q in &points[1..] {
        let (mut way, mut away) = (q - anchor, distance(q, anchor));
        let ahead = away + tolerance >= far;
        if !ahead || wedge.is_some_and(|[low, high]| cross(low, way) < 0.0 || cross(way, high) < 0.0) {
            kept.push(last);
            (anchor, far, wedge) = (last, 0.0, None);
            (way, away) = (q - anchor, distance(q, anchor));
        }
        (last, far) = (q, far.max(away));
        if away > tolerance {
            let (sin, cos) = (tolerance / away, (1.0 - (tolerance / away).powi(2)).sqrt());
            let turned = |sin: f64| Coord { x: way.x * cos - way.y * sin, y: way.x * sin + way.y * cos };
            let (low, high) = (turned(-sin), turned(sin));
            wedge = Some(wedge.map_or([low, high], |[l, h]| {
                [if cross(l, low) > 0.0 { low } else { l }, if cross(high, h) > 0.0 { high } else { h }]
            }));
        }
    }
    kept.push(last);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::nearest_on_segment;

    /// A wavy line, and one that turns back on itself.
    fn line(n: u32) -> Vec<Coord<f64>> {
        let wave = |k: u32| {
            let t = f64::from(k) / f64::from(n);
            Coord { x: 100.0 * t, y: 3.0 * (t * 40.0).sin() }
        };
        let back = |k: u32| Coord { x: 100.0 - 50.0 * f64::from(k) / f64::from(n), y: 3.0 * 40.0_f64.sin() };
        (0..=n).map(wave).chain((1..=n).map(back)).collect()
    }

    #[test]
    fn what_is_left_out_lies_within_the_tolerance_of_what_stays() {
        let points = line(20_000);
        let kept = thinned(&points, 0.01);
        assert!(kept.len() < 400, "{}", kept.len());
        assert_eq!((kept.first(), kept.last()), (points.first(), points.last()));
        let off = points.iter().map(|p| {
            let edges = kept.windows(2).map(|w| distance(nearest_on_segment(*p, w[0], w[1]).0, *p));
            edges.fold(f64::INFINITY, f64::min)
        });
        let worst = off.fold(0.0, f64::max);
        assert!(worst <= 0.01 + 1e-9, "{worst}");
    }
}
