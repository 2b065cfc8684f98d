//! What a remedy takes from places that it is not for: pushes that break one sooner than before.

use crate::check::{Finding, Place, PushKind};

use super::numbers::numbers;

/// A place bears less for a remedy when it breaks at less than this part of what broke it: another mesh of the same place alone moves an answer
/// by up to a hundredth. Our own rule.
const TOLD: f64 = 0.98;

/// A push that breaks a place of the mended piece sooner than it did before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lost {
    /// The place, by its number in the piece as it is.
    pub place: usize,
    /// On the face or on a side.
    pub push: PushKind,
    /// What broke it before, in N.
    pub before_n: f64,
    /// What breaks it then.
    pub after_n: f64,
}

impl Lost {
    /// What it bears then, as a part of what it bore.
    pub fn part(&self) -> f64 {
        self.after_n / self.before_n
    }
}

/// Every push that breaks a place sooner by more than two hundredths, in the order of the places as they were.
///
/// Like is held against like: what the solid model says now against what it said, or the closed form's word against its own; where only one of the
/// two was asked of the solid model the two forces do not compare.
pub(super) fn lost(before: &Finding, after: &Finding) -> Vec<Lost> {
    let now: Vec<(usize, &Place)> = numbers(before, after).into_iter().zip(&after.places).collect();
    let mut all = Vec::new();
    for was in &before.places {
        let Some((_, now)) = now.iter().find(|(number, _)| *number == was.id) else { continue };
        for push in [PushKind::Face, PushKind::Side] {
            let (then, now) = (was.push(push), now.push(push));
            let lost = Lost { place: was.id, push, before_n: then.breaks_at_n, after_n: now.breaks_at_n };
            let is_known = lost.before_n.is_finite() && lost.after_n.is_finite();
            if is_known && then.solved.is_some() == now.solved.is_some() && lost.part() < TOLD {
                all.push(lost);
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::Case;
    use geo_types::{LineString, Polygon};

    fn found() -> Finding {
        let ring = |x0: f64, x1: f64| {
            LineString::from(vec![(x0, 30.0), (x1, 30.0), (x1, 70.0), (x0, 70.0), (x0, 30.0)])
        };
        let outer =
            LineString::from(vec![(0.0, 0.0), (140.0, 0.0), (140.0, 100.0), (0.0, 100.0), (0.0, 0.0)]);
        Case::of(Polygon::new(outer, vec![ring(20.0, 46.0), ring(54.0, 80.0), ring(88.0, 114.0)])).found()
    }

    #[test]
    fn a_push_that_breaks_a_place_sooner_is_named_with_what_it_bore() {
        let before = found();
        assert_eq!(lost(&before, &before), []);
        let mut after = before.clone();
        // The places stand in another order then, and keep their numbers.
        after.places.reverse();
        let count = after.places.len();
        assert!(count >= 2);
        for (place, id) in after.places.iter_mut().zip(1..) {
            place.id = id;
        }
        let was = &before.places[1];
        let side = was.side.breaks_at_n;
        after.places[count - 2].side.breaks_at_n = 0.93 * side;
        // Nothing of the one that loses no more than another mesh makes of it.
        after.places[count - 1].face.breaks_at_n *= 0.985;
        let found = lost(&before, &after);
        let want = Lost { place: was.id, push: PushKind::Side, before_n: side, after_n: 0.93 * side };
        assert_eq!(found, [want]);
        assert!((found[0].part() - 0.93).abs() < 1e-12);
    }
}
