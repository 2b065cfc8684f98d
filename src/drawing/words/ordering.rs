//! The order of cuts, in numbered steps.

use geo_types::Coord;

use super::super::numbers::numbers;
use super::mending::place;
use super::{about, on};
use crate::check::words::numbered;
use crate::check::{Finding, Place, Pushes, Verdict};
use crate::mend::{Cut, Kind, Remedy, Step, weakest};
use crate::units::Units;

/// A step as a person does it: openings that free nothing are one step.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What is done, without a capital or a stop.
    pub words: String,
    /// The same where the openings are labelled with their steps: without a spot of the drawing.
    pub labelled: String,
    /// A point in each opening that is pierced.
    pub openings: Vec<Coord<f64>>,
}

/// So many openings are named by where they lie; of more only their number is told.
const NAMED: usize = 4;

/// Every step in order, its places those of `after`, called by their numbers in `before`; a place that is new there has the next.
pub fn steps(units: Units, steps: &[Step], before: &Finding, after: &Finding) -> Vec<Told> {
    let places = &Numbered { places: &after.places, numbers: numbers(before, after) };
    let mut told = Vec::new();
    let all = steps.iter().filter(|step| matches!(step.cut, Cut::Opening { .. })).count();
    let mut together: Vec<Coord<f64>> = Vec::new();
    for step in steps {
        let Cut::Opening { at, .. } = step.cut else {
            pierced(units, &mut told, &mut together, all);
            let labelled = done(&step.cut);
            let mut words = labelled.clone();
            if step.cut == Cut::Outline {
                words.push_str(&outline(units, step, places));
            }
            told.push(Told { words, labelled, openings: Vec::new() });
            continue;
        };
        if step.frees.is_empty() {
            together.push(at);
            continue;
        }
        pierced(units, &mut told, &mut together, all);
        let words = format!("pierce the opening at {}; {}", place(units, at), frees(units, step, places));
        told.push(Told { words, labelled: labelled(1, told.len() + 1), openings: vec![at] });
    }
    told
}

/// Says what the pierced piece bears while its pockets are empty, and what follows from that: for one that is pierced already, or is
/// still to be.
pub fn empty_pockets(
    units: Units,
    remedy: &Remedy,
    pierced_already: bool,
    pushes: &Pushes,
) -> Option<String> {
    let empty = remedy.empty_pockets.as_ref()?;
    let weak = weakest(empty, pushes).1?;
    let at = format!("{} {}, at {}", about(units, weak.breaks_at_n), on(weak.kind), place(units, weak.at));
    let verdict = empty.verdict;
    Some(if pierced_already {
        format!("While its pockets are cut and nothing is in them yet, it is {verdict} and breaks at {at}.")
    } else {
        let so = if verdict == Verdict::Sound {
            "the inserts could go in after that too"
        } else {
            "the inserts go in first"
        };
        format!(
            "Pierced and cut out first, with nothing in its pockets yet, it would be {verdict} and break at {at}; so {so}."
        )
    })
}

fn done(cut: &Cut) -> String {
    match cut {
        Cut::Support => "back it first: lay it face down on a flat board, double-sided tape under the whole face, offcuts packed into the \
                         openings beside the weak places (common practice)"
            .to_owned(),
        Cut::Pockets(ids) => format!("cut {} into the back", numbered("pocket", ids)),
        Cut::Glue(ids) => format!("glue in {}, and level when the glue has set", numbered("insert", ids)),
        Cut::Laminate(Kind::Backer) => "glue the backer on while the board is whole; of a piece that is pierced already the openings are \
                                        cut through it after"
            .to_owned(),
        Cut::Laminate(Kind::PartBacker) => "glue the part backers onto the back while the board is whole, where the page of the back shows them, and \
                                            shim the rest of the back as thick, so that the board lies flat (common practice); of a piece that is \
                                            pierced already the openings are cut through them after"
            .to_owned(),
        Cut::Laminate(_) => "glue the blank up of its plies".to_owned(),
        Cut::Opening { .. } => String::new(),
        Cut::Outline => "cut the outline last, tabs on long grain only (common practice)".to_owned(),
    }
}

/// Ends a run of openings that free nothing.
fn pierced(units: Units, told: &mut Vec<Told>, together: &mut Vec<Coord<f64>>, all: usize) {
    let openings = std::mem::take(together);
    let spots = || openings.iter().map(|at| place(units, *at)).collect::<Vec<_>>().join("; ");
    let words = match openings.len() {
        0 => return,
        1 => format!("pierce the opening at {}", spots()),
        n if n == all => "pierce the openings, in any order".to_owned(),
        n if n <= NAMED => format!("pierce the openings at {}, in any order", spots()),
        n if told.iter().all(|told| told.openings.is_empty()) => {
            format!("pierce {n} of the openings, in any order: all but those named below")
        }
        n => format!("pierce these {n} openings, in any order: {}", spots()),
    };
    told.push(Told { words, labelled: labelled(openings.len(), told.len() + 1), openings });
}

fn labelled(openings: usize, step: usize) -> String {
    match openings {
        1 => format!("pierce the opening labelled step {step}"),
        _ => format!("pierce the openings labelled step {step}, in any order"),
    }
}

/// Places with the numbers they are called by.
struct Numbered<'a> {
    places: &'a [Place],
    numbers: Vec<usize>,
}

fn frees(units: Units, step: &Step, places: &Numbered<'_>) -> String {
    let of = |id: &usize| places.places.iter().zip(&places.numbers).find(|(place, _)| place.id == *id);
    let all: Vec<String> = step
        .frees
        .iter()
        .filter_map(of)
        .map(|(one, number)| format!("{number} at {}", place(units, one.at)))
        .collect();
    match all.as_slice() {
        [one] => format!("it frees place {one}"),
        some if some.len() <= NAMED => format!("it frees places {}", some.join("; ")),
        many => format!("it frees {} places", many.len()),
    }
}

fn outline(units: Units, step: &Step, places: &Numbered<'_>) -> String {
    if step.frees.is_empty() { String::new() } else { format!("; {}", frees(units, step, places)) }
}
