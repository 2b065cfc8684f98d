//! What a round bit can reach: outlines opened and closed by its radius, and what is lost by that.

use std::collections::BTreeSet;

use geo::algorithm::buffer::{Buffer, BufferStyle, LineJoin};
use geo::{LineString, MultiPolygon, Polygon};

use crate::shape::BoxTree;
use crate::shape::plane::{Point, distance, nearest_on_segment, point};

/// The finest round joins the offset makes: a chord of this part of the radius. They leave the circle by up to 5e-4 of it, but
/// their ends lie on it, which is what the arcs are found by.
const FINE: f64 = 0.0314;

/// Moved outwards by `by` mm, inwards where it is negative, with round corners.
fn offset(wood: &MultiPolygon<f64>, by: f64) -> MultiPolygon<f64> {
    if wood.0.is_empty() {
        return MultiPolygon(Vec::new());
    }
    let moved = wood.buffer_with_style(BufferStyle::new(by).line_join(LineJoin::Round(FINE)));
    let tells = |ring: &LineString<f64>| area(&Polygon::new(ring.clone(), Vec::new())) > CRUMB;
    let cleaned = moved.into_iter().filter(|part| area(part) > CRUMB).map(|part| {
        let (outer, openings) = part.into_inner();
        Polygon::new(outer, openings.into_iter().filter(|ring| tells(ring)).collect())
    });
    MultiPolygon(cleaned.collect())
}

/// Where hollow corners are grown, the offset leaves holes of 1e-13 mm², and shrinking would make each as large as a disc. What is
/// left of a true opening at this size, in mm², is a hundredth of a millimetre across: no bit got into it.
const CRUMB: f64 = 1e-4;

/// Where a disc of this radius fits inside: convex corners become round, narrow parts go.
pub(super) fn opened(wood: &Polygon<f64>, radius: f64) -> MultiPolygon<f64> {
    offset(&offset(&MultiPolygon(vec![wood.clone()]), -radius), radius)
}

/// What a disc of this radius leaves from outside: hollow corners become round, narrow notches are filled.
pub(super) fn closed(wood: &Polygon<f64>, radius: f64) -> MultiPolygon<f64> {
    offset(&offset(&MultiPolygon(vec![wood.clone()]), radius), -radius)
}

/// What rounding changed: where the outline moved most, and how far, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Moved {
    pub(super) at: Point,
    pub(super) far: f64,
}

/// The corner of `before` that lies farthest from the edge of `after`.
pub(super) fn moved(before: &Polygon<f64>, after: &Polygon<f64>) -> Moved {
    let edges: Vec<[Point; 2]> =
        rings(after).flat_map(|ring| ring.lines().map(|l| [l.start, l.end])).collect();
    let mut most = Moved { at: point(0.0, 0.0), far: 0.0 };
    // The edge that was near the last corner is likely near the next one; one near enough settles a corner.
    let mut last = 0;
    for p in rings(before).flat_map(|ring| ring.0.iter()) {
        let mut near = f64::INFINITY;
        for k in 0..edges.len() {
            // Forwards and backwards by turns.
            let step = k.div_ceil(2);
            let e = if k % 2 == 1 { last + step } else { last + edges.len() - step } % edges.len();
            let [a, b] = edges[e];
            let apart = distance(*p, nearest_on_segment(*p, a, b).0);
            if apart < near {
                near = apart;
                if near <= most.far {
                    last = e;
                    break;
                }
            }
        }
        if near > most.far && near.is_finite() {
            most = Moved { at: *p, far: near };
        }
    }
    most
}

fn rings(polygon: &Polygon<f64>) -> impl Iterator<Item = &LineString<f64>> {
    std::iter::once(polygon.exterior()).chain(polygon.interiors())
}

/// How near two edges are that touch, in mm: arcs leave their chords by less.
const TOUCHES: f64 = 1e-3;

/// Where an outline that is opened or closed by this radius is no longer what it was; nothing where it is.
pub(super) fn broken(before: &Polygon<f64>, after: &MultiPolygon<f64>, radius: f64) -> Option<Point> {
    let at = kept(before, after, radius).err()?;
    let is_parted = !matches!(&after.0[..], [one] if one.interiors().len() == before.interiors().len());
    Some(is_parted.then(|| neck(before, after)).flatten().unwrap_or(at))
}

/// Inside what was lost or filled between several rings: the neck that parts them, the web that was left between an opening and the edge, the mouth
/// of a notch. A corner that is rounded lies on one ring as it was and on one as it is; what lies on no more is none of these.
fn neck(before: &Polygon<f64>, after: &MultiPolygon<f64>) -> Option<Point> {
    use geo::{BooleanOps, InteriorPoint};
    let changed: Vec<Polygon<f64>> =
        before.xor(after).into_iter().filter(|part| area(part) > CRUMB).collect();
    let own = rings(before).chain(after.0.iter().flat_map(rings));
    let all: Vec<&LineString<f64>> = own.chain(changed.iter().map(Polygon::exterior)).collect();
    let known = all.len() - changed.len();
    let of = |(k, ring): (usize, &&LineString<f64>)| {
        ring.lines().map(|line| (k, [line.start, line.end])).collect::<Vec<_>>()
    };
    let (whose, edges): (Vec<usize>, Vec<[Point; 2]>) = all.iter().enumerate().flat_map(of).unzip();
    let mut touched = vec![BTreeSet::new(); changed.len()];
    BoxTree::new(&edges).near_pairs(TOUCHES, |i, j| {
        if whose[i] < known && whose[j] >= known && touch(edges[i], edges[j]) {
            touched[whose[j] - known].insert(whose[i]);
        }
        true
    });
    let parts = changed.iter().zip(touched).map(|(part, rings)| (rings.len(), part));
    let (most, neck) =
        parts.max_by(|(a, one), (b, other)| a.cmp(b).then(area(one).total_cmp(&area(other))))?;
    (most > 2).then(|| neck.interior_point()).flatten().map(Point::from)
}

/// Whether an end of either lies on the other.
fn touch(one: [Point; 2], other: [Point; 2]) -> bool {
    let on = |ends: [Point; 2], [a, b]: [Point; 2]| {
        ends.iter().any(|end| distance(*end, nearest_on_segment(*end, a, b).0) < TOUCHES)
    };
    on(one, other) || on(other, one)
}

/// The one area that is left, with as many openings as before and nowhere moved farther than a bit of this radius may; or
/// the place where it fails.
///
/// A corner loses `r (1/sin(θ/2) - 1)`: the whole radius at 60 degrees, which is as far as rounding a corner goes; a
/// little more is let pass for small bits, since a millimetre off a point is no loss. What loses more is a part of its own. That limit
/// is our own rule.
pub(super) fn kept(
    before: &Polygon<f64>,
    after: &MultiPolygon<f64>,
    radius: f64,
) -> Result<(Polygon<f64>, Moved), Point> {
    let Some(biggest) = after.0.iter().max_by(|a, b| area(a).total_cmp(&area(b))) else {
        return Err(middle(before));
    };
    let moved = moved(before, biggest);
    if after.0.len() > 1
        || biggest.interiors().len() != before.interiors().len()
        || moved.far > (1.05 * radius).max(1.0)
    {
        return Err(moved.at);
    }
    Ok((biggest.clone(), moved))
}

/// The largest radius in steps of 0.005 mm, below `radius`, that passes; `None` when even a quarter of a millimetre does not.
pub(super) fn largest(radius: f64, passes: impl Fn(f64) -> bool) -> Option<f64> {
    const STEP: f64 = 0.005;
    const LEAST: f64 = 0.25;
    if radius <= LEAST || !passes(LEAST) {
        return None;
    }
    let (mut low, mut high) = (LEAST, radius);
    while high - low > STEP / 2.0 {
        let middle = f64::midpoint(low, high);
        if passes(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some((low / STEP + 0.05).floor() * STEP)
}

fn area(polygon: &Polygon<f64>) -> f64 {
    geo::Area::unsigned_area(polygon)
}

fn middle(polygon: &Polygon<f64>) -> Point {
    use geo::BoundingRect;
    polygon.bounding_rect().map_or_else(|| point(0.0, 0.0), |rect| rect.center())
}
