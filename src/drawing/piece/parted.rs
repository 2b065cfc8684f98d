//! Where places break that break away from their rings: the middle of each such line, with the numbers of its places.

use super::super::pen::Spot;
use super::broken::same_line;
use super::{Canvas, distance, ring_radius};
use crate::check::{Finding, Place, Push};
use geo_types::Coord;

/// A line that lies away from the rings of the places that break along it.
pub(super) struct Parted {
    pub(super) line: [Spot; 2],
    ids: Vec<usize>,
}

impl Parted {
    pub(super) const fn middle(&self) -> Spot {
        middle(self.line)
    }

    /// `1 breaks`, `1, 3 break`.
    pub(super) fn words(&self) -> String {
        let ids: Vec<String> = self.ids.iter().map(usize::to_string).collect();
        format!("{} {}", ids.join(", "), if ids.len() == 1 { "breaks" } else { "break" })
    }
}

/// Whether any place of a finding breaks away from its ring.
pub(in crate::drawing) fn breaks_afar(finding: &Finding) -> bool {
    let both = |place: &Place| [&place.face, &place.side].into_iter().any(|push| afar(place, push).is_some());
    finding.places.iter().any(both)
}

/// The nearest part of a push's break line, where even that lies farther from the ring than the place is wide.
fn afar(place: &Place, push: &Push) -> Option<[Coord<f64>; 2]> {
    let spot = |at: Coord<f64>| [at.x, at.y];
    let away = |line: &[Coord<f64>; 2]| distance(middle(line.map(spot)), spot(place.at));
    let nearest = push.break_line.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
    (away(nearest) > ring_radius(place, 1.0) + place.width_mm.max(LEAST)).then_some(*nearest)
}

/// Nearer than this to its ring a line needs no number, in mm.
const LEAST: f64 = 4.0;

/// Two lines of a place whose middles are nearer than this share their number, in mm on the page.
const BESIDE: f64 = 12.0;

impl Canvas<'_> {
    /// Every line that needs a number, once.
    pub(super) fn parted(&self) -> Vec<Parted> {
        let mut all: Vec<Parted> = Vec::new();
        for place in &self.shown {
            for line in [&place.face, &place.side].into_iter().filter_map(|push| afar(place, push)) {
                let line = line.map(|end| self.spot(end));
                let near = |other: &Parted| {
                    other.ids.contains(&place.id) && distance(other.middle(), middle(line)) < BESIDE
                };
                if all.iter().any(near) {
                    continue;
                }
                match all.iter_mut().find(|other| same_line(other.line, line)) {
                    Some(other) => other.ids.push(place.id),
                    None => all.push(Parted { line, ids: vec![place.id] }),
                }
            }
        }
        all
    }
}

const fn middle([a, b]: [Spot; 2]) -> Spot {
    [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
}

#[cfg(test)]
mod tests {
    use super::super::super::sample;
    use super::*;

    #[test]
    fn only_a_line_away_from_its_ring_needs_a_number() {
        let mut finding = sample::finding(&sample::plate(2), 2);
        for place in &mut finding.places {
            place.at.y = 24.0;
        }
        assert!(!breaks_afar(&finding));
        // The break lines of a sample lie at y = 22 and 26, their places are 6 mm wide.
        finding.places[0].at.y = 24.0 + 30.0;
        assert!(breaks_afar(&finding));
    }
}
