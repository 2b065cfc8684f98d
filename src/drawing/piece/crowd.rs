//! Places so near to each other that they are drawn larger, beside the piece.

use geo_types::Coord;

use super::pushed::shown_pushes;
use super::{bounds, ring_radius};
use crate::check::{Finding, PAD_RADIUS, Place};
use crate::shape::{Shape, plane::distance};
use crate::units::Units;

/// Where places hide each other.
pub(super) enum Crowd<'a> {
    /// Nowhere that drawing larger would help.
    Nowhere,
    /// In a part of the piece: those places, and the part they lie in.
    Here(Vec<&'a Place>, [f64; 4]),
    /// All over a small piece.
    AllOver,
}

/// So many places, each this near to the next, hide each other at true scale, in mm: what pictures showed.
const CROWDED: usize = 5;
const NEIGHBOURS: f64 = 14.0;
/// The widest part of a piece that is drawn larger, in mm.
const WINDOW: f64 = 70.0;

/// The longest side of a piece that is drawn larger as a whole, in mm: it still goes on a sheet as wide as its table.
const WHOLE: f64 = 115.0;

/// The largest crowd; one that spreads over much of a piece counts where rings lie on each other.
pub(super) fn crowd<'a>(shape: &Shape, finding: &'a Finding, units: Units) -> Crowd<'a> {
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
        return Crowd::Nowhere;
    }
    // What lies among them is drawn with them.
    let pushed = shown_pushes(finding, units);
    let mut places = largest;
    loop {
        let window = window(shape, &places, &pushed);
        let [x0, y0, x1, y1] = window;
        if x1 - x0 > WINDOW || y1 - y0 > WINDOW {
            let [x0, y0, x1, y1] = bounds(shape);
            let is_small = (x1 - x0).max(y1 - y0) <= WHOLE;
            return if is_small && covered(finding) >= CROWDED { Crowd::AllOver } else { Crowd::Nowhere };
        }
        let inside = |at: Coord<f64>| (x0..=x1).contains(&at.x) && (y0..=y1).contains(&at.y);
        let is_in = |place: &&Place| inside(place.at) || places.iter().any(|other| other.id == place.id);
        let all: Vec<&Place> = finding.places.iter().filter(is_in).collect();
        if all.len() == places.len() {
            return Crowd::Here(all, window);
        }
        places = all;
    }
}

/// How many rings lie on another.
fn covered(finding: &Finding) -> usize {
    let places = &finding.places;
    let on_another = |place: &&Place| {
        let reach = |other: &Place| ring_radius(place, 1.0) + ring_radius(other, 1.0);
        places.iter().any(|other| other.id != place.id && distance(other.at, place.at) < reach(other))
    };
    places.iter().filter(on_another).count()
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
    use super::super::{ZOOM, face};
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
        let Crowd::Here(places, [x0, y0, x1, y1]) = crowd(&shape, &finding, Units::Metric) else {
            panic!("they are crowded")
        };
        assert_eq!(places.len(), 6);
        let inside = |at: &Coord<f64>| (x0..=x1).contains(&at.x) && (y0..=y1).contains(&at.y);
        assert!(finding.places.iter().flat_map(|place| place.face.break_line.iter().flatten()).all(inside));
    }

    /// Twenty places along one side of a plate, so near that the rings round them lie on each other.
    #[test]
    fn a_small_piece_that_is_crowded_all_over_is_drawn_larger_as_a_whole() {
        let crowded = |across: f64| {
            let shape = sample::plate(2);
            let mut finding = sample::finding(&shape, 2);
            let place = finding.places[0].clone();
            let [x0, y0, ..] = bounds(&shape);
            finding.places = (0..20)
                .map(|k| {
                    let mut place = place.clone();
                    place.id = k + 1;
                    let at = Coord { x: x0 + across * k as f64 / 19.0, y: y0 };
                    let shift = at - place.at;
                    place.at = at;
                    for push in [&mut place.face, &mut place.side] {
                        push.push_at = push.push_at + shift;
                        push.break_line.iter_mut().flatten().for_each(|end| *end = *end + shift);
                    }
                    place
                })
                .collect();
            (shape, finding)
        };
        let (shape, finding) = crowded(90.0);
        let [x0, _, x1, _] = bounds(&shape);
        assert!(x1 - x0 <= WHOLE, "{}", x1 - x0);
        assert!(matches!(crowd(&shape, &finding, Units::Metric), Crowd::AllOver));
        let views = face(&shape, &finding, 0.0, Units::Metric, "key");
        assert_eq!(views.len(), 1);
        assert!(views[0].size[0] > ZOOM * (x1 - x0));
        assert!(views[0].group.to_string().contains("drawn at twice its size"));
    }
}
