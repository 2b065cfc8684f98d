//! A mended piece's places by the numbers they had before.

use crate::check::Finding;

pub use crate::mend::numbers;

/// The mended finding with these numbers.
pub(super) fn numbered(before: &Finding, after: &Finding) -> Finding {
    let numbers = numbers(before, after);
    let mut after = after.clone();
    for (place, number) in after.places.iter_mut().zip(numbers) {
        place.id = number;
    }
    after
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
