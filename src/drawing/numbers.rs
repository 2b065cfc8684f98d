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

/// The mended finding with these numbers.
pub(super) fn numbered(before: &Finding, after: &Finding) -> Finding {
    let numbers = numbers(before, after);
    let mut after = after.clone();
    for (place, number) in after.places.iter_mut().zip(numbers) {
        place.id = number;
    }
    after
}

/// The place of a finding that lies where another does, its number not taken yet.
fn matching<'a>(finding: &'a Finding, place: &Place, taken: &[usize]) -> Option<&'a Place> {
    let away = |other: &Place| distance(other.at, place.at);
    let near = finding.places.iter().filter(|other| {
        !taken.contains(&other.id) && away(other) <= other.neck_mm.max(place.neck_mm).max(3.0) / 2.0
    });
    near.min_by(|a, b| away(a).total_cmp(&away(b)))
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn a_place_keeps_its_number_and_a_new_one_gets_the_next() {
        let before = sample::finding(&sample::plate(3), 3);
        assert_eq!(numbers(&before, &before), [1, 2, 3]);
        let mut after = before.clone();
        after.places.swap(0, 2);
        after.places[1].at.y += 30.0;
        for (place, id) in after.places.iter_mut().zip(1..) {
            place.id = id;
        }
        assert_eq!(numbers(&before, &after), [3, 4, 1]);
        assert_eq!(numbered(&before, &after).places[1].id, 4);
    }

    #[test]
    fn two_places_at_one_spot_have_two_numbers() {
        let mut before = sample::finding(&sample::plate(2), 2);
        before.places[1].at = before.places[0].at;
        assert_eq!(numbers(&before, &before), [1, 2]);
    }
}
