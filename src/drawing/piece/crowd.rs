//! Places so near to each other that they are drawn larger, beside the piece.

use geo_types::Coord;

use super::pushed::shown_pushes;
use super::{bounds, ring_radius};
use crate::check::{Finding, PAD_RADIUS, Place};
use crate::shape::{Shape, plane::distance};
use crate::units::Units;

/// Places that hide each other, and the part of the piece they lie in.
pub(super) struct Crowd<'a> {
    pub(super) places: Vec<&'a Place>,
    pub(super) window: [f64; 4],
}

/// So many places, each this near to the next, hide each other at true scale, in mm: what pictures showed.
const CROWDED: usize = 5;
const NEIGHBOURS: f64 = 14.0;
/// The widest part of a piece that is drawn larger, in mm.
const WINDOW: f64 = 70.0;

/// The largest crowd, unless it is none or spreads over much of the piece.
pub(super) fn crowd<'a>(shape: &Shape, finding: &'a Finding, units: Units) -> Option<Crowd<'a>> {
    let mut left: Vec<&Place> = finding.places.iter().collect();
    let mut largest: Vec<&Place> = Vec::new();
    while let Some(first) = left.pop() {
        let mut crowd = vec![first];
        let mut next = 0;
        while let Some(place) = crowd.get(next).copied() {
            crowd.extend(left.extract_if(.., |other| distance(other.at, place.at) <= NEIGHBOURS));
            next += 1;
        }
        if crowd.len() > largest.len() {
            largest = crowd;
        }
    }
    if largest.len() < CROWDED {
        return None;
    }
    // What lies among them is drawn with them.
    let pushed = shown_pushes(finding, units);
    let mut places = largest;
    loop {
        let window = window(shape, &places, &pushed);
        let [x0, y0, x1, y1] = window;
        if x1 - x0 > WINDOW || y1 - y0 > WINDOW {
            return None;
        }
        let inside = |at: Coord<f64>| (x0..=x1).contains(&at.x) && (y0..=y1).contains(&at.y);
        let is_in = |place: &&Place| inside(place.at) || places.iter().any(|other| other.id == place.id);
        let all: Vec<&Place> = finding.places.iter().filter(is_in).collect();
        if all.len() == places.len() {
            return Some(Crowd { places: all, window });
        }
        places = all;
    }
}

/// The part of a piece that holds every mark of some places.
fn window(shape: &Shape, places: &[&Place], pushed: &[&Place]) -> [f64; 4] {
    let [x0, y0, x1, y1] = bounds(shape);
    let mut window = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    let mut hold = |at: Coord<f64>, reach: f64| {
        window[0] = window[0].min(at.x - reach).max(x0 - 2.0);
        window[1] = window[1].min(at.y - reach).max(y0 - 2.0);
        window[2] = window[2].max(at.x + reach).min(x1 + 2.0);
        window[3] = window[3].max(at.y + reach).min(y1 + 2.0);
    };
    for place in places {
        hold(place.at, ring_radius(place, 1.0) + 1.0);
        for push in [&place.face, &place.side] {
            push.break_line.iter().flatten().for_each(|end| hold(*end, 2.0));
            if pushed.iter().any(|other| other.id == place.id) {
                hold(push.push_at, PAD_RADIUS + 1.0);
            }
        }
        let insert = place.insert.iter().flat_map(|insert| insert.outline.exterior().coords());
        insert.for_each(|corner| hold(*corner, 1.0));
    }
    window
}

#[cfg(test)]
mod tests {
    use super::super::super::sample;
    use super::super::face;
    use super::*;

    #[test]
    fn places_that_hide_each_other_are_drawn_larger_beside_the_piece() {
        let shape = sample::plate(6);
        let mut finding = sample::finding(&shape, 6);
        let views = |finding: &Finding| face(&shape, finding, 0.0, Units::Metric, "key").len();
        assert_eq!(views(&finding), 1, "thirty millimetres apart each has room");
        let first = finding.places[0].at.x;
        for (i, place) in finding.places.iter_mut().enumerate() {
            let shift = first + 3.0 * i as f64 - place.at.x;
            place.at.x += shift;
            for push in [&mut place.face, &mut place.side] {
                push.push_at.x += shift;
                push.break_line.iter_mut().flatten().for_each(|end| end.x += shift);
            }
        }
        assert_eq!(views(&finding), 2);
        let found = crowd(&shape, &finding, Units::Metric).expect("they are crowded");
        assert_eq!(found.places.len(), 6);
        let [x0, y0, x1, y1] = found.window;
        let inside = |at: &Coord<f64>| (x0..=x1).contains(&at.x) && (y0..=y1).contains(&at.y);
        assert!(finding.places.iter().flat_map(|place| place.face.break_line.iter().flatten()).all(inside));
    }
}
