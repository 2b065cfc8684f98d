//! What becomes of inserts once they are pushed too hard, in sentences.

use super::{about, numbers, on, places, strength};
use crate::check::{Finding, Part, Place, PushKind};
use crate::mend::Remedy;
use crate::units::Units;

/// Forces that differ by no more than this part are told as equal: what glued models are good for (docs/mechanics.md). Our own rule.
const AS_MUCH: f64 = 0.04;

/// At what push the show face in front of each insert cracks and what the insert still bears then, under either push; places of which the same
/// is said are named together. Nothing of what no solid model was solved for.
pub fn after_cracks(units: Units, before: &Finding, remedy: &Remedy) -> Vec<String> {
    let Some(after) = &remedy.after else { return Vec::new() };
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for (place, number) in after.places.iter().zip(numbers(before, after)) {
        let is_served = remedy.strips().iter().any(|strip| strip.places.contains(&number));
        let Some(said) = is_served.then(|| of_place(units, place)).flatten() else { continue };
        match groups.iter_mut().find(|(other, _)| *other == said) {
            Some((_, ids)) => ids.push(number),
            None => groups.push((said, vec![number])),
        }
    }
    let told = |(said, mut ids): (String, Vec<usize>)| {
        ids.sort_unstable();
        format!("At {}: {said}.", places(&ids))
    };
    groups.into_iter().map(told).collect()
}

fn of_place(units: Units, place: &Place) -> Option<String> {
    let pushes = [PushKind::Face, PushKind::Side].into_iter();
    let said: Vec<String> = pushes.filter_map(|kind| of_push(units, place, kind)).collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// `pushed on the face, the show face cracks at about 83 N; the insert then still bears 96 N`.
fn of_push(units: Units, place: &Place, kind: PushKind) -> Option<String> {
    let push = place.push(kind);
    let solved = push.solved.as_ref()?;
    let crack = solved.after_crack?;
    let pushed = format!("pushed {}", on(kind));
    if solved.part != Part::ShowFace && push.breaks_at_n < crack.cracks_at_n {
        let part = solved.part.words();
        let at = about(units, push.breaks_at_n);
        return Some(format!("{pushed}, it gives way at its {part} at {at}, before the show face cracks"));
    }
    let at = about(units, crack.cracks_at_n);
    let bears = strength(units, crack.bears_n);
    let times = crack.bears_n / crack.cracks_at_n;
    Some(if (1.0 - AS_MUCH..1.0 + AS_MUCH).contains(&times) {
        format!(
            "{pushed}, the show face cracks at {at} and the insert alone bears about as much: it may come off at once"
        )
    } else if times > 1.0 {
        format!("{pushed}, the show face cracks at {at} and the insert then still bears {bears}")
    } else {
        format!(
            "{pushed}, the show face cracks at {at} and the insert alone bears no more than {bears}: it comes off at once"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::AfterCrack;
    use crate::drawing::sample::{finding, plate, solved};

    /// The first place of a made-up finding, its push on the face answered so.
    fn told(part: Part, breaks_at_n: f64, cracks_at_n: f64, bears_n: f64) -> Option<String> {
        let mut place = finding(&plate(1), 1).places.remove(0);
        place.face.breaks_at_n = breaks_at_n;
        let after_crack = Some(AfterCrack { cracks_at_n, bears_n });
        place.face.solved = Some(crate::check::Solved { part, after_crack, ..solved() });
        of_place(Units::Metric, &place)
    }

    #[test]
    fn what_an_insert_bears_after_the_first_crack_is_told() {
        let said = told(Part::ShowFace, 83.2, 83.2, 96.4).expect("it cracks");
        assert_eq!(
            said,
            "pushed on the face, the show face cracks at about 83 N and the insert then still bears 96 N"
        );
    }

    #[test]
    fn what_bears_less_than_cracked_it_comes_off_at_once() {
        let said = told(Part::ShowFace, 83.2, 83.2, 61.0).expect("it cracks");
        assert!(
            said.contains("cracks at about 83 N") && said.contains("61 N: it comes off at once"),
            "{said}"
        );
        assert!(!said.contains("still bears"), "{said}");
    }

    /// By a hair either way it says the same.
    #[test]
    fn what_bears_about_as_much_may_come_off() {
        for bears in [80.5, 83.0, 83.5, 86.0] {
            let said = told(Part::ShowFace, 83.2, 83.2, bears).expect("it cracks");
            assert!(
                said.ends_with(
                    "cracks at about 83 N and the insert alone bears about as much: it may come off at once"
                ),
                "{said}"
            );
        }
    }

    #[test]
    fn a_floor_that_lets_go_first_leaves_no_crack_to_tell_of() {
        let said = told(Part::FloorJoint, 43.0, 88.0, 61.0).expect("it gives way");
        assert_eq!(
            said,
            "pushed on the face, it gives way at its floor joint at about 43 N, before the show face cracks"
        );
    }

    #[test]
    fn what_no_solid_model_was_solved_for_is_not_told() {
        assert_eq!(of_place(Units::Metric, &finding(&plate(1), 1).places[0]), None);
    }
}
