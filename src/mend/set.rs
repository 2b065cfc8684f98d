//! Pieces that are made together: what would do for every one of them.

use super::goal::Goal;
use super::remedy::{Kind, Mending, Remedy};

/// The kinds of remedy that cure every piece which is not good enough as it is, cheapest first; none where all are.
///
/// Each piece is cured by its own remedy of that kind: a thicker blank may be a thicker one for one piece than for another.
pub fn cures_of_all(set: &[&Mending], goal: Goal) -> Vec<Kind> {
    let ailing: Vec<&&Mending> =
        set.iter().filter(|piece| !goal.is_reached_by(piece.before.verdict)).collect();
    if ailing.is_empty() {
        return Vec::new();
    }
    let cures = |kind: Kind| ailing.iter().all(|piece| piece.remedy(kind).is_some_and(Remedy::cures));
    Kind::ALL.into_iter().filter(|kind| cures(*kind)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::{Finding, Verdict};
    use crate::mend::Standing;
    use crate::mend::sample::{Case, remedy};

    fn piece(verdict: Verdict, remedies: Vec<Remedy>) -> Mending {
        let found = Case::of(geo::Rect::new((0.0, 0.0), (50.0, 50.0)).to_polygon()).found();
        let before = Finding { verdict, ..found };
        Mending { before, moves: None, order: Vec::new(), remedies, declined: Vec::new() }
    }

    #[test]
    fn what_does_for_all_cures_every_piece_that_is_not_good_enough() {
        let [sure, guess] = [Standing::Proved, Standing::Estimate];
        let ailing = piece(
            Verdict::Careful,
            vec![
                remedy(Kind::Widen, sure, false),
                remedy(Kind::Thicken, sure, true),
                remedy(Kind::Insert, guess, true),
                remedy(Kind::ThreePly, sure, true),
            ],
        );
        let worse = piece(
            Verdict::Fragile,
            [Kind::Widen, Kind::Thicken, Kind::Insert, Kind::ThreePly]
                .map(|kind| remedy(kind, sure, true))
                .into(),
        );
        let well = piece(Verdict::Sound, Vec::new());
        assert_eq!(cures_of_all(&[&ailing, &well, &worse], Goal::Sound), [Kind::Thicken, Kind::ThreePly]);
        assert_eq!(cures_of_all(&[&well, &well], Goal::Sound), []);
        // With less to reach the first is good enough as it is.
        assert_eq!(cures_of_all(&[&ailing, &worse], Goal::Careful).len(), 4);
        let lost = piece(Verdict::Fragile, Vec::new());
        assert_eq!(cures_of_all(&[&ailing, &lost], Goal::Sound), []);
    }
}
