//! The numbers of a mended piece's places: a place keeps the number it had before, one that is new gets the next.

use crate::check::{Finding, Place};
use crate::shape::plane::distance;

/// The number of every place of `after`, in its order, where `before` has the numbers that people know: reports, pictures and files for
/// cutting call it so.
pub fn numbers(before: &Finding, after: &Finding) -> Vec<usize> {
    let mut next = before.places.len();
    let mut all: Vec<usize> = Vec::new();
    for place in &after.places {
        let known = matching(before, place, &all);
        all.push(known.map_or_else(
            || {
                next += 1;
                next
            },
            |known| known.id,
        ));
    }
    all
}

/// The place of a finding that lies where another does, its number not taken yet.
fn matching<'a>(finding: &'a Finding, place: &Place, taken: &[usize]) -> Option<&'a Place> {
    let away = |other: &Place| distance(other.at, place.at);
    let near = finding.places.iter().filter(|other| {
        !taken.contains(&other.id) && away(other) <= other.neck_mm.max(place.neck_mm).max(3.0) / 2.0
    });
    near.min_by(|a, b| away(a).total_cmp(&away(b)))
}
