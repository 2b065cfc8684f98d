//! What was worked out for the cases of one piece, kept for the next check of it.
//!
//! A remedy is found by several checks of one piece, with other strips glued in each time. A case depends on the plies about it alone: as long as
//! those stay, so does what it answers.

use std::sync::{Arc, Mutex, PoisonError};

use crate::{units::Angle, wood::Mechanics};

use super::{super::ply::Ply, Outcome, Proof, copies, jobs::Job, look::Sight};

/// All that the answer to a case of a given piece depends on.
#[derive(Clone, Debug, PartialEq)]
struct Question {
    job: Job,
    plies: Vec<Ply>,
    /// Whether it will do to cut it coarsely.
    coarse: bool,
    thickness: f64,
    grain: Angle,
    wood: Mechanics,
}

/// Answers by question.
type Answered<T> = Mutex<Vec<(Question, T)>>;

/// A case as it was seen: whole, or in parts; nothing of what could not be seen.
pub(super) type Seen = Vec<(Job, Option<Vec<Sight>>)>;

/// What is known of the cases of one piece, under the same options and pushes.
#[derive(Debug, Default)]
pub(crate) struct Known {
    seen: Answered<Arc<Seen>>,
    solved: Answered<Option<Outcome>>,
}

/// The answer to a question, worked out where it is not known.
fn answer<T: Clone>(all: &Answered<T>, question: Question, work: impl FnOnce() -> T) -> T {
    let lock = || all.lock().unwrap_or_else(PoisonError::into_inner);
    let known = lock().iter().find(|(other, _)| *other == question).map(|(_, answer)| answer.clone());
    known.unwrap_or_else(|| {
        let found = work();
        lock().push((question, found.clone()));
        found
    })
}

impl Proof<'_> {
    /// What a first look at a case shows, with the plies about it.
    pub(super) fn seen_once(&self, job: &Job, look: impl Fn(&Proof<'_>) -> Seen) -> Arc<Seen> {
        self.about(job, |proof| match self.known {
            Some(known) => answer(&known.seen, proof.question(job, false), || Arc::new(look(proof))),
            None => Arc::new(look(proof)),
        })
    }

    /// The weakest answers of a case, with the plies about it.
    pub(super) fn solved_once(
        &self,
        job: &Job,
        solve: impl Fn(&Proof<'_>) -> Option<Outcome>,
    ) -> Option<Outcome> {
        self.about(job, |proof| match self.known {
            Some(known) => {
                answer(&known.solved, proof.question(job, proof.will_do_coarse(job)), || solve(proof))
            }
            None => solve(proof),
        })
    }

    /// Something of a case, where no other plies are than those about it.
    pub(super) fn about<T>(&self, job: &Job, ask: impl FnOnce(&Proof<'_>) -> T) -> T {
        let plies: Vec<Ply> = match copies::window(job, self.shape) {
            Some(window) => self.plies.iter().filter(|ply| ply.meets(window)).cloned().collect(),
            None => self.plies.to_vec(),
        };
        ask(&Proof { plies: &plies, ..*self })
    }

    fn question(&self, job: &Job, coarse: bool) -> Question {
        Question {
            job: job.clone(),
            plies: self.plies.to_vec(),
            coarse,
            thickness: self.thickness,
            grain: self.grain,
            wood: self.wood.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use geo_types::{LineString, Polygon, Rect, coord};

    use super::*;
    use crate::{
        check::{Finding, Options, PlyWood, Prepared, Pushes, Terms},
        shape::Shape,
        strength::tests::cherry,
        units::Length,
        wood::{Board, Rings},
    };

    fn ring(x: [f64; 2], y: [f64; 2]) -> LineString<f64> {
        let outline = Rect::new(coord! { x: x[0], y: y[0] }, coord! { x: x[1], y: y[1] });
        outline.to_polygon().into_inner().0
    }

    /// A board with two pairs of windows far apart, a web across the grain between either pair.
    fn two_webs() -> Shape {
        let windows = [10.0, 190.0]
            .into_iter()
            .flat_map(|x| [ring([x, x + 22.0], [15.0, 45.0]), ring([x + 28.0, x + 50.0], [15.0, 45.0])]);
        let board = Polygon::new(ring([0.0, 250.0], [0.0, 60.0]), windows.collect());
        Shape::new(board).expect("a shape")
    }

    /// A strip along the web about `x`.
    fn strip(x: f64, reach: f64) -> Ply {
        let outline = Polygon::new(ring([x - 3.0, x + 3.0], [15.0 - reach, 45.0 + reach]), Vec::new());
        let wood = PlyWood { mechanics: cherry(), grain: Angle::deg(90.0) };
        Ply { outline: Some(outline), heights_mm: [0.0, 5.0], wood: Some(wood) }
    }

    fn checked(plies: &[Ply], known: &Known) -> Finding {
        let (shape, wood, pushes, options) = (two_webs(), cherry(), Pushes::default(), Options::default());
        let board = Board {
            thickness: Length::mm(12.0),
            grain: Angle::deg(0.0),
            rings: Rings::Flat,
            moisture_pct: 12.0,
        };
        let terms = Terms { name: "webs", board: &board, wood: &wood, pushes: &pushes, options: &options };
        let piece = Prepared::new(&shape).expect("a skeleton");
        piece.check_knowing(&terms, plies, known, true)
    }

    fn counts(known: &Known) -> [usize; 2] {
        [known.seen.lock().expect("no panic").len(), known.solved.lock().expect("no panic").len()]
    }

    #[test]
    fn what_is_known_is_answered_alike_and_not_worked_out_again() {
        let known = Known::default();
        let plies = [strip(35.0, 9.0)];
        let first = checked(&plies, &known);
        let before = counts(&known);
        assert!(before[0] > 1 && before[1] > 1, "{before:?}");
        let again = checked(&plies, &known);
        assert_eq!((counts(&known), format!("{again:?}")), (before, format!("{first:?}")));
        assert_eq!(format!("{:?}", checked(&plies, &Known::default())), format!("{first:?}"));
    }

    /// A strip in one web is nothing to the other.
    #[test]
    fn what_lies_elsewhere_changes_no_case() {
        let known = Known::default();
        checked(&[strip(35.0, 9.0)], &known);
        let before = counts(&known);
        let far = [strip(35.0, 11.0)];
        let changed = checked(&far, &known);
        let added = [0, 1].map(|k| counts(&known)[k] - before[k]);
        assert!((0..2).all(|k| added[k] > 0 && added[k] < before[k]), "{added:?} of {before:?}");
        assert_eq!(format!("{changed:?}"), format!("{:?}", checked(&far, &Known::default())));
    }
}
