//! In which order a piece is cut, so that every weak place has whole wood beside it as long as it can.
//!
//! A weak place is a band of wood between two sides, each the wall of an opening or the outline. Until both are cut the wood beyond one of
//! them still backs it; the cut that opens the second one *frees* it, and every cut after that shakes it. From this the order follows:
//!
//! - pockets are cut and inserts glued in while the wood is whole; pockets that run into each other one after the other;
//! - of the openings the last is one of those beside the weakest place, and so backwards: the fewest cuts come after the weakest place is
//!   freed, then the fewest after the next weakest, and so on. An island's bridges go before other places with the same verdict;
//! - the outline comes last: until then the blank holds everything.
//!
//! That the rule does what it says is our own arithmetic; that a piece is cut like this is common practice.

use geo::algorithm::{Distance, Euclidean, InteriorPoint};
use geo_types::{Coord, Point as Spot, Polygon};

use crate::check::{Finding, Form, Place, Verdict};
use crate::shape::Shape;
use crate::shape::plane::{self, distance, nearest_on_segment};

use super::ground::{Ground, heading};
use super::remedy::{Change, Kind, Remedy, Strip};

/// Pockets with less wood than this between them are cut one after the other, in mm: thinner, the wall would break out. Our own rule.
const BETWEEN_POCKETS: f64 = 1.0;

/// Something that is done to the blank.
#[derive(Clone, Debug, PartialEq)]
pub enum Cut {
    /// A piece that is pierced already is backed, before its pockets leave it weaker still.
    Support,
    /// Pockets in the back, by number from 1.
    Pockets(Vec<usize>),
    /// Their inserts, glued in and levelled.
    Glue(Vec<usize>),
    /// The layers of the blank, glued to each other.
    Laminate(Kind),
    /// An opening.
    Opening {
        /// By number from 1, in the drawing's order.
        number: usize,
        /// A point well inside of it, in mm.
        at: Coord<f64>,
    },
    /// The outline.
    Outline,
}

/// A step at the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub cut: Cut,
    /// The places that are open on both sides from now on, by number, the weakest first.
    pub frees: Vec<usize>,
}

impl Step {
    const fn freeing_nothing(cut: Cut) -> Self {
        Self { cut, frees: Vec::new() }
    }
}

/// The order in which a piece is pierced and cut out, its weak places known.
pub fn order(shape: &Shape, finding: &Finding) -> Vec<Step> {
    let ground = Ground::new(shape);
    let mut places: Vec<(&Place, [usize; 2])> = finding
        .places
        .iter()
        .filter(|place| place.form != Form::Along || place.verdict != Verdict::Sound)
        .map(|place| (place, sides(&ground, place)))
        .collect();
    // The places stand in order, the weakest first.
    places.sort_by_key(|(place, _)| (std::cmp::Reverse(place.verdict), place.form != Form::Island));
    let pairs: Vec<[usize; 2]> = places.iter().map(|(_, sides)| *sides).collect();
    let openings = shape.polygon().interiors();
    let rings = sequence(openings.len(), &pairs);
    let frees = freed(&rings, &pairs);
    let step = |(ring, freed): (usize, Vec<usize>)| Step {
        cut: match ring.checked_sub(1) {
            None => Cut::Outline,
            Some(k) => Cut::Opening { number: ring, at: inside(&openings[k]) },
        },
        frees: freed.into_iter().map(|k| places[k].0.id).collect(),
    };
    rings.into_iter().zip(frees).map(step).collect()
}

/// What is done for a remedy, in order. Nothing where no wood is cut.
pub(super) fn order_of(remedy: &Remedy, drawn: &Shape, pierced_already: bool) -> Vec<Step> {
    let Some(after) = remedy.after.as_ref().filter(|_| remedy.kind != Kind::NotSolidWood) else {
        return Vec::new();
    };
    let mut steps = Vec::new();
    match &remedy.change {
        Change::Layers { .. } | Change::Backers(_) => {
            steps.push(Step::freeing_nothing(Cut::Laminate(remedy.kind)))
        }
        Change::Inserts(strips) => {
            let is_weak = |finding: &Finding| finding.verdict != Verdict::Sound;
            if pierced_already && remedy.empty_pockets.as_ref().is_none_or(is_weak) {
                steps.push(Step::freeing_nothing(Cut::Support));
            }
            for round in rounds(strips) {
                steps.push(Step::freeing_nothing(Cut::Pockets(round.clone())));
                steps.push(Step::freeing_nothing(Cut::Glue(round)));
            }
            if pierced_already {
                return steps;
            }
        }
        _ => {}
    }
    steps.extend(order(remedy.shape().unwrap_or(drawn), after));
    steps
}

/// Pockets that can be cut together, by number: of two that run into each other the later one waits until the first is filled.
fn rounds(strips: &[Strip]) -> Vec<Vec<usize>> {
    let apart = |a: &Strip, b: &Strip| Euclidean.distance(&a.insert.outline, &b.insert.outline);
    let mut round_of: Vec<usize> = Vec::new();
    for (k, strip) in strips.iter().enumerate() {
        let before = (0..k).filter(|&other| apart(&strips[other], strip) < BETWEEN_POCKETS);
        round_of.push(before.map(|other| round_of[other] + 1).max().unwrap_or(0));
    }
    let last = round_of.iter().max().map_or(0, |last| last + 1);
    let of = |round: usize| (0..strips.len()).filter(|&k| round_of[k] == round).map(|k| k + 1).collect();
    (0..last).map(of).collect()
}

/// The rings on either side of a place where it is narrowest; 0 is the outline.
fn sides(ground: &Ground<'_>, place: &Place) -> [usize; 2] {
    let nearest = |at: Coord<f64>| {
        let away = |line: &geo_types::LineString<f64>| {
            let sides = line.lines().map(|side| distance(nearest_on_segment(at, side.start, side.end).0, at));
            sides.fold(f64::INFINITY, f64::min)
        };
        let rings = ground.shape.rings().map(away).enumerate();
        rings.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(ring, _)| ring)
    };
    let near = |k: &usize| distance(place.run[*k], place.at);
    let neck = (0..place.run.len()).min_by(|a, b| near(a).total_cmp(&near(b)));
    // A corner that only its grain line shows has no run; it lies between that line's ends.
    if let Some(neck) = neck.filter(|_| place.run.len() > 2) {
        let left = plane::left(heading(&place.run, neck));
        let ring = |way| ground.ray(place.run[neck], way).map(|met| met.ring);
        if let (Some(left), Some(right)) = (ring(left), ring(-left)) {
            return [left, right];
        }
    }
    let lines = place.face.break_line.iter().chain(&place.side.break_line);
    let away = |line: &&[Coord<f64>; 2]| distance((line[0] + line[1]) / 2.0, place.at);
    let line = lines.min_by(|a, b| away(a).total_cmp(&away(b)));
    line.map_or([0, 0], |line| line.map(nearest))
}

/// Every opening's ring, then the outline's, such that the fewest cuts come after the first of the pairs is open on both sides, of those
/// orders the one with the fewest after the second pair, and so on; of what is alike the lower number comes first.
///
/// It is found backwards. The last opening is a side of the first pair; of the two, whichever is a side of the next pair as well, and so
/// on. With all pairs it settles set aside, the same question is asked again for the last but one.
fn sequence(openings: usize, pairs: &[[usize; 2]]) -> Vec<usize> {
    let mut left: Vec<usize> = (1..=openings).collect();
    // Beside the outline a place is freed by the last cut, whatever comes before.
    let mut waiting: Vec<[usize; 2]> = pairs.iter().filter(|pair| !pair.contains(&0)).copied().collect();
    let mut backwards = vec![0];
    while !left.is_empty() {
        let mut last = left.clone();
        for pair in &waiting {
            if last.iter().any(|ring| pair.contains(ring)) {
                last.retain(|ring| pair.contains(ring));
            }
        }
        let last = last.pop().expect("it starts with all that are left and is never emptied");
        left.retain(|ring| *ring != last);
        waiting.retain(|pair| !pair.contains(&last));
        backwards.push(last);
    }
    backwards.reverse();
    backwards
}

/// Which pairs each cut of a sequence opens on the second side.
fn freed(rings: &[usize], pairs: &[[usize; 2]]) -> Vec<Vec<usize>> {
    let at = |ring: usize| rings.iter().position(|other| *other == ring);
    let when: Vec<Option<usize>> = pairs.iter().map(|pair| at(pair[0]).max(at(pair[1]))).collect();
    (0..rings.len()).map(|k| (0..pairs.len()).filter(|&p| when[p] == Some(k)).collect()).collect()
}

/// A point well inside a ring.
fn inside(ring: &geo_types::LineString<f64>) -> Coord<f64> {
    let at = Polygon::new(ring.clone(), Vec::new()).interior_point();
    at.or_else(|| ring.points().next()).map_or(Coord { x: 0.0, y: 0.0 }, |at: Spot<f64>| at.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// How many cuts come after each pair is open on both sides, in the pairs' own order.
    fn after(rings: &[usize], pairs: &[[usize; 2]]) -> Vec<usize> {
        let at = |ring: usize| rings.iter().position(|other| *other == ring).expect("every ring is cut");
        pairs.iter().map(|pair| rings.len() - 1 - at(pair[0]).max(at(pair[1]))).collect()
    }

    /// Every order of the openings, the outline last.
    fn all(openings: usize) -> Vec<Vec<usize>> {
        let mut all = vec![vec![0]];
        for opening in 1..=openings {
            let with = |one: &Vec<usize>| {
                (0..one.len()).map(|at| [&one[..at], &[opening], &one[at..]].concat()).collect::<Vec<_>>()
            };
            all = all.iter().flat_map(with).collect();
        }
        all
    }

    proptest! {
        #[test]
        fn no_order_at_all_leaves_the_weakest_places_free_for_fewer_cuts(
            openings in 1_usize..6, seeds in prop::collection::vec((0_usize..6, 0_usize..6), 0..7)
        ) {
            let pairs: Vec<[usize; 2]> =
                seeds.iter().map(|(a, b)| [a % (openings + 1), b % (openings + 1)]).collect();
            let found = sequence(openings, &pairs);
            let best = all(openings).iter().map(|order| after(order, &pairs)).min().expect("some order");
            prop_assert_eq!(after(&found, &pairs), best);
        }

        /// Moved up, a later cut would free that place or a weaker one even sooner, or leave a weaker one free longer.
        #[test]
        fn no_place_is_open_on_both_sides_before_a_cut_that_could_have_been_made_first(
            openings in 2_usize..9, seeds in prop::collection::vec((0_usize..9, 0_usize..9), 1..10)
        ) {
            let pairs: Vec<[usize; 2]> =
                seeds.iter().map(|(a, b)| [a % (openings + 1), b % (openings + 1)]).collect();
            let found = sequence(openings, &pairs);
            let now = after(&found, &pairs);
            for (k, frees) in freed(&found, &pairs).iter().enumerate().filter(|(_, frees)| !frees.is_empty()) {
                for later in k + 1..openings {
                    let mut moved = found.clone();
                    let cut = moved.remove(later);
                    moved.insert(k, cut);
                    let then = after(&moved, &pairs);
                    let first = (0..pairs.len()).find(|&p| then[p] != now[p]);
                    prop_assert!(first.is_none_or(|p| then[p] > now[p]), "{cut} before {frees:?} of {pairs:?}");
                }
            }
        }

        #[test]
        fn every_opening_is_cut_once_and_the_outline_last(
            openings in 0_usize..12, seeds in prop::collection::vec((0_usize..12, 0_usize..12), 0..9)
        ) {
            let pairs: Vec<[usize; 2]> =
                seeds.iter().map(|(a, b)| [a % (openings + 1), b % (openings + 1)]).collect();
            let mut found = sequence(openings, &pairs);
            prop_assert_eq!(found.pop(), Some(0));
            found.sort_unstable();
            prop_assert_eq!(found, (1..=openings).collect::<Vec<_>>());
        }
    }

    /// By hand: the second runs into the first, the third lies apart, the fourth a hair beside the second.
    #[test]
    fn a_pocket_that_runs_into_another_waits_until_that_is_filled() {
        let at = |x: f64, y: f64| crate::mend::sample::strip(1, x, y, 40.0);
        let strips = [at(0.0, 0.0), at(9.0, 10.0), at(50.0, 0.0), at(19.5, 10.0)];
        assert_eq!(rounds(&strips), [vec![1, 3], vec![2], vec![4]]);
        assert_eq!(rounds(&[]), Vec::<Vec<usize>>::new());
    }

    /// By hand: four windows in a row, the web between the second and the third the weakest, then that between first and second.
    #[test]
    fn the_windows_beside_the_weakest_web_come_last() {
        let found = sequence(4, &[[2, 3], [1, 2], [3, 4]]);
        // 2 last frees the two weakest at once; of the others 4 comes last, for the web between 3 and 4.
        assert_eq!(found, [1, 3, 4, 2, 0]);
        assert_eq!(freed(&found, &[[2, 3], [1, 2], [3, 4]]), [vec![], vec![], vec![2], vec![0, 1], vec![]]);
    }

    #[test]
    fn a_tongue_within_one_opening_keeps_that_opening_to_the_last() {
        assert_eq!(sequence(3, &[[1, 1]]), [2, 3, 1, 0]);
    }
}
