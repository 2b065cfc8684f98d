//! Pieces that are made together: a row for each, and what would do for all of them.

use shortgrain::design::Piece;
use shortgrain::drawing::words;
use shortgrain::mend::{Mending, Remedy, weakest};
use shortgrain::units::Units;

use super::{Cared, cutting};
use crate::columns::{Columns, LINE, wrap};
use crate::gather::Given;
use crate::report;

/// A piece of a set by its name there, and what was found for it.
pub(super) struct Member<'a> {
    pub(super) name: String,
    one: &'a Cared,
    mending: &'a Mending,
}

/// Every piece of some drawings.
pub(super) fn members(cared: &[Cared]) -> Vec<Member<'_>> {
    let mut all = Vec::new();
    for one in cared {
        let pieces = one.given.design.pieces.iter().zip(&one.mendings);
        all.extend(pieces.map(|(piece, mending)| Member {
            name: name(&one.given, piece, cared.len()),
            one,
            mending,
        }));
    }
    all
}

/// What a piece is called in a set of so many drawings: where there are several, after its own.
pub(super) fn name(given: &Given, piece: &Piece, drawings: usize) -> String {
    match given.design.pieces.as_slice() {
        _ if drawings == 1 => piece.name.clone(),
        [_] => cutting::name(&given.file),
        _ => format!("{}-{}", cutting::name(&given.file), piece.name),
    }
}

/// How many pieces are well or can be made so, and the names of their drawings.
pub(super) fn headline(set: &[Member<'_>], titles: &str) -> String {
    let good = set.iter().filter(|member| member.one.is_cured(member.mending)).count();
    let of = match (good, set.len()) {
        (0, all) => format!("NONE OF {all} PIECES IS"),
        (2, 2) => "BOTH PIECES ARE".to_owned(),
        (good, all) if good == all => format!("ALL {all} PIECES ARE"),
        (1, all) => format!("1 OF {all} PIECES IS"),
        (good, all) => format!("{good} OF {all} PIECES ARE"),
    };
    let verdict = format!("{of} GOOD ENOUGH OR CAN BE MENDED");
    let one_line = format!("{verdict}  {titles}\n");
    match one_line.chars().count() {
        wide if wide <= LINE + 1 => one_line,
        _ => format!("{verdict}\n{}", wrap(titles, LINE, 0)),
    }
}

/// A row for each piece, with the cheapest remedy that will do for it, and the kinds of remedy that would do for all.
pub(super) fn told(set: &[Member<'_>], units: Units) -> String {
    let mut columns = Columns::new("llrlllr");
    columns.row(["piece", "is", "breaks at", "pushed", "cheapest that will do", "then it is", "bears"]);
    for member in set {
        columns.row(member.row(units));
    }
    let mut text = report::with_mark(columns.text(0), words::MARK);
    let named: Vec<(&str, &Mending)> =
        set.iter().map(|member| (member.name.as_str(), member.mending)).collect();
    let goal = set.first().map(|member| member.one.goal).unwrap_or_default();
    if let Some(said) = words::cures_of_all(units, &named, goal) {
        text.push_str(&wrap(&said, LINE, 0));
    }
    text
}

impl Member<'_> {
    fn row(&self, units: Units) -> Vec<String> {
        let Self { name, one, mending } = self;
        let pushes = &one.given.job.pushes;
        let before = &mending.before;
        let bears = |finding| match weakest(finding, pushes).1 {
            None => ["-".to_owned(), String::new()],
            Some(weak) => [
                words::marked(words::strength(units, weak.breaks_at_n), weak.is_solved),
                weak.kind.to_string(),
            ],
        };
        let [breaks_at, pushed] = bears(before);
        let mut row = vec![name.clone(), before.verdict.to_string(), breaks_at, pushed];
        match mending.cheapest() {
            _ if one.goal.is_reached_by(before.verdict) => row.push("nothing to mend".to_owned()),
            None => row.push("none".to_owned()),
            Some(remedy) => {
                let [then, _] = remedy.after.as_ref().map(bears).unwrap_or_default();
                let verdict = remedy.after.as_ref().map(|after| after.verdict.to_string());
                row.extend([what(remedy, units), verdict.unwrap_or_default(), then]);
            }
        }
        row
    }
}

/// `thicker blank, 16 mm`, and where it is not proved, that.
fn what(remedy: &Remedy, units: Units) -> String {
    let size = remedy.blank_mm().map(|mm| format!(", {}", words::size(units, mm))).unwrap_or_default();
    let sure = if remedy.cures() { "" } else { " (an estimate)" };
    format!("{}{size}{sure}", words::kind(remedy.kind))
}
