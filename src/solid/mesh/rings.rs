//! Rings with no more points than their shape needs.

use crate::{
    shape::plane::{Point, cross, distance, dot, nearest_on_segment},
    solid::plan::Plan,
};

/// A point is left out when the ring without it stays this near, as a part of the size wanted there ...
const NEAR_TO_SIZE: f64 = 0.01;
/// ... and never farther than this (mm): as much as a drawing's curves were flattened by.
const NEAR_AT_MOST: f64 = 0.02;
/// A ring that turns more than this at a point has a corner there (the cosine of 25°).
const CORNER_COSINE: f64 = 0.906_307_787_036_65;
/// A line or zone this near to a point of a ring was drawn through it (mm).
const DRAWN_THROUGH: f64 = 1e-6;
/// Points of a ring nearer to each other than this are one (mm): less than any drawing means, and than any bit cuts.
const HAIR: f64 = 1e-3;
/// At most so many points are left out in a row, which bounds the work.
const LONGEST_RUN: usize = 64;

/// The plan's rings without the points their shape does not need: a curve flattened finely would ask
/// for triangles as small as its edges. Corners stay, and so do points a line or a zone runs through.
pub(super) fn coarsened(plan: &Plan) -> Vec<Vec<Point>> {
    let lines: Vec<[Point; 2]> =
        plan.lines.iter().copied().chain(plan.zones.iter().flat_map(|zone| edges(zone))).collect();
    let boxes: Vec<[Point; 2]> = lines.iter().map(around).collect();
    plan.rings
        .iter()
        .map(|ring| {
            let drawn_through = |p: Point| {
                lines.iter().zip(&boxes).any(|(&[a, b], [low, high])| {
                    p.x >= low.x
                        && p.y >= low.y
                        && p.x <= high.x
                        && p.y <= high.y
                        && distance(p, nearest_on_segment(p, a, b).0) <= DRAWN_THROUGH
                })
            };
            thinned(ring, drawn_through, |p| NEAR_AT_MOST.min(NEAR_TO_SIZE * (plan.size)(p)))
        })
        .collect()
}

/// The edges of a closed outline.
pub(super) fn edges(ring: &[Point]) -> impl Iterator<Item = [Point; 2]> {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(&a, &b)| [a, b])
}

fn around(&[a, b]: &[Point; 2]) -> [Point; 2] {
    let margin = Point { x: DRAWN_THROUGH, y: DRAWN_THROUGH };
    let low = Point { x: a.x.min(b.x), y: a.y.min(b.y) };
    let high = Point { x: a.x.max(b.x), y: a.y.max(b.y) };
    [low - margin, high + margin]
}

fn thinned(ring: &[Point], drawn_through: impl Fn(Point) -> bool, near: impl Fn(Point) -> f64) -> Vec<Point> {
    let ring = without_hairs(ring);
    let count = ring.len();
    if count < 4 {
        return ring;
    }
    let at = |i: usize| ring[i % count];
    let is_corner = |i: usize| {
        let (before, after) = (at(i) - at(i + count - 1), at(i + 1) - at(i));
        let straight = dot(before, after);
        straight <= 0.0
            || straight * straight <= CORNER_COSINE * CORNER_COSINE * dot(before, before) * dot(after, after)
    };
    let mut kept: Vec<usize> = (0..count).filter(|&i| is_corner(i) || drawn_through(at(i))).collect();
    if kept.len() < 2 {
        // A smooth ring is held by two points far from each other.
        let first = kept.first().copied().unwrap_or(0);
        let far = (0..count)
            .max_by(|&i, &j| distance(at(i), at(first)).total_cmp(&distance(at(j), at(first))))
            .unwrap_or(first);
        kept = vec![first.min(far), first.max(far)];
    }
    let near: Vec<f64> = ring.iter().map(|&p| near(p)).collect();
    let mut thin = Vec::new();
    for (n, &from) in kept.iter().enumerate() {
        let to = if n + 1 < kept.len() { kept[n + 1] } else { kept[0] + count };
        thin.extend(evenly(&ring, &near, from, to).into_iter().map(at));
    }
    let area = |ring: &[Point]| -> f64 {
        (0..ring.len()).map(|i| cross(ring[i] - ring[0], ring[(i + 1) % ring.len()] - ring[0])).sum()
    };
    // A ring hardly larger than the tolerance keeps its form.
    if thin.len() < 3 || area(&thin) * area(&ring) <= 0.0 { ring } else { thin }
}

/// A ring without points that lie on the one before; one that is hardly larger than that keeps them.
fn without_hairs(ring: &[Point]) -> Vec<Point> {
    let apart = |nearer: f64| {
        let mut ring = ring.to_vec();
        ring.dedup_by(|point, before| distance(*point, *before) <= nearer);
        while ring.len() > 1 && distance(ring[0], ring[ring.len() - 1]) <= nearer {
            ring.pop();
        }
        ring
    };
    let ring = apart(HAIR);
    if ring.len() < 3 { apart(0.0) } else { ring }
}

/// The points kept from `from` up to but without `to`: as few as the tolerance allows, then as even as
/// that number allows.
fn evenly(ring: &[Point], near: &[f64], from: usize, to: usize) -> Vec<usize> {
    let mut best = runs(ring, near, from, to, 1.0);
    if best.len() < 2 {
        return best;
    }
    let (mut too_strict, mut enough) = (0.0, 1.0);
    for _ in 0..6 {
        let strictness = f64::midpoint(too_strict, enough);
        let found = runs(ring, near, from, to, strictness);
        if found.len() == best.len() {
            (best, enough) = (found, strictness);
        } else {
            too_strict = strictness;
        }
    }
    best
}

fn runs(ring: &[Point], near: &[f64], from: usize, to: usize, part: f64) -> Vec<usize> {
    let count = ring.len();
    let mut kept = vec![from];
    let mut start = from;
    let mut end = from + 1;
    while end < to {
        let (a, b) = (ring[start % count], ring[(end + 1) % count]);
        let fits = (start + 1..=end).all(|i| {
            let p = ring[i % count];
            distance(p, nearest_on_segment(p, a, b).0) <= part * near[i % count]
        });
        if !fits || end + 1 - start > LONGEST_RUN {
            kept.push(end);
            start = end;
        }
        end += 1;
    }
    kept
}
