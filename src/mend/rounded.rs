//! Corners that a remedy draws into an opening, rounded as the opening's own corners are: a bit that made those makes these.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use geo::algorithm::buffer::Buffer;
use geo::{Area, Contains, InteriorPoint, Polygon};
use geo_types::LineString;

use crate::shape::Shape;
use crate::shape::plane::{Point, cross, distance, dot, left, unit};

use super::band::LEFT_OPEN;
use super::ground::corner;

/// Corners are rounded by this radius at the most, in mm: the common small bit that is to enter every opening. Our own rule.
const MOST: f64 = LEFT_OPEN / 2.0;
/// Opened by its own radius an outline of arcs drawn as chords loses no more than this part of its radius squared.
const SAME: f64 = 0.02;
/// A wall that turns by less than this (30°) has no corner to be rounded.
const SHARP: f64 = 0.52;
/// An arc takes up this part of a straight side at the most, so that the one at its other end fits too.
const HALF: f64 = 0.49;
/// Chords of an arc turn by this (9°): the curve leaves them by 0.3 % of its radius.
const CHORD: f64 = 0.157;

/// The openings of a piece as drawn, found when first asked for.
#[derive(Default)]
pub(super) struct Radii(OnceCell<Vec<Opening>>);

struct Opening {
    polygon: Polygon<f64>,
    corners: BTreeSet<[i64; 2]>,
    /// The radius that all its corners have at least, in mm, up to [`MOST`].
    radius: f64,
}

impl Opening {
    fn new(ring: &LineString<f64>) -> Self {
        let corners = ring.0.iter().map(corner).collect();
        Self { polygon: Polygon::new(ring.clone(), Vec::new()), corners, radius: own_radius(ring) }
    }
}

impl Radii {
    /// A piece drawn anew, with wood added, whose new corners are as round as the others of their openings.
    pub(super) fn rounded(&self, before: &Shape, after: &Shape) -> Option<Shape> {
        let drawn = self.0.get_or_init(|| before.polygon().interiors().iter().map(Opening::new).collect());
        let (outer, openings) = after.polygon().clone().into_inner();
        let openings = openings.into_iter().map(|ring| {
            // What is left of an opening lies in it.
            let inside = Polygon::new(ring.clone(), Vec::new()).interior_point();
            let of = drawn.iter().find(|opening| inside.is_some_and(|at| opening.polygon.contains(&at)));
            match of {
                Some(Opening { corners, radius, .. }) if *radius > 0.0 => with_arcs(&ring, corners, *radius),
                _ => ring,
            }
        });
        Shape::new(Polygon::new(outer, openings.collect())).ok()
    }
}

/// The radius of an opening's least rounded corner, in mm: the biggest disc that gets into all of them. Nought where one is sharp.
fn own_radius(ring: &LineString<f64>) -> f64 {
    let opening = Polygon::new(ring.clone(), Vec::new());
    let fits = |radius: f64| {
        let opened = opening.buffer(-radius).buffer(radius);
        opening.unsigned_area() - opened.unsigned_area() < SAME * radius * radius
    };
    if fits(MOST) {
        return MOST;
    }
    let (mut fit, mut not) = (0.0, MOST);
    while not - fit > 0.01 {
        let middle = f64::midpoint(fit, not);
        if fits(middle) { fit = middle } else { not = middle }
    }
    fit
}

/// An opening's ring with an arc at every corner that the drawing did not have, where two straight sides leave room for it.
fn with_arcs(ring: &LineString<f64>, drawn: &BTreeSet<[i64; 2]>, radius: f64) -> LineString<f64> {
    let points = &ring.0[..ring.0.len().saturating_sub(1)];
    let area: f64 = ring.lines().map(|side| cross(side.start, side.end)).sum();
    let mut rounded: Vec<Point> = Vec::with_capacity(points.len());
    for (k, &at) in points.iter().enumerate() {
        let (before, after) = (points[(k + points.len() - 1) % points.len()], points[(k + 1) % points.len()]);
        let (way, on) = (unit(at - before), unit(after - at));
        // A corner of the opening, not one of wood that reaches into it.
        let turn = cross(way, on).atan2(dot(way, on)) * area.signum();
        let off = radius * (turn / 2.0).tan();
        let room = HALF * distance(before, at).min(distance(at, after));
        if drawn.contains(&corner(&at)) || turn < SHARP || !(0.0..=room).contains(&off) {
            rounded.push(at);
            continue;
        }
        let inward = left(way) * area.signum();
        let centre = at - way * off + inward * radius;
        let chords = (turn / CHORD).ceil();
        rounded.extend((0..=chords as usize).map(|i| {
            let (sin, cos) = (turn * i as f64 / chords).sin_cos();
            centre - inward * (radius * cos) + way * (radius * sin)
        }));
    }
    rounded.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(corner: f64) -> LineString<f64> {
        let ring = vec![(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0), (0.0, 0.0)];
        if corner > 0.0 { with_arcs(&ring.into(), &BTreeSet::new(), corner) } else { ring.into() }
    }

    #[test]
    fn an_opening_is_as_round_as_its_sharpest_corner() {
        assert!(own_radius(&window(0.0)) < 0.2);
        for radius in [0.8, 1.5] {
            assert!((own_radius(&window(radius)) - radius).abs() < 0.1, "{}", own_radius(&window(radius)));
        }
        assert!((own_radius(&window(5.0)) - MOST).abs() < 1e-9);
    }

    /// A square corner loses (1 − π/4)·r² to an arc: any handbook's table of areas.
    #[test]
    fn an_arc_takes_what_it_should_of_each_corner() {
        let area = |ring: &LineString<f64>| Polygon::new(ring.clone(), Vec::new()).unsigned_area();
        let lost = area(&window(0.0)) - area(&window(1.5));
        let expected = 4.0 * (1.0 - std::f64::consts::FRAC_PI_4) * 1.5 * 1.5;
        assert!((lost / expected - 1.0).abs() < 0.02, "{lost} {expected}");
        // Run round the other way it is the same.
        let turned: LineString<f64> = window(0.0).0.into_iter().rev().collect();
        assert!((area(&with_arcs(&turned, &BTreeSet::new(), 1.5)) - area(&window(1.5))).abs() < 1e-9);
    }
}
