//! The table of weak places that goes with a picture.

use svg::node::element::Group;

use super::letters;
use super::mark;
use super::pen::{Hang, Pen, Spot, Type, line, text};
use super::words;
use crate::check::{Finding, Insert, Place};
use crate::units::Units;

/// Height of a row, in mm.
const ROW: f64 = 6.2;
/// Size of its letters.
const SIZE: f64 = 3.0;

/// A column: its head in two lines, its width, and whether it is set from the right.
struct Column {
    head: [&'static str; 2],
    wide: f64,
    number: bool,
}

const COLUMNS: [Column; 9] = [
    Column { head: ["", "place"], wide: 18.0, number: false },
    Column { head: ["", "form"], wide: 17.0, number: false },
    Column { head: ["", "width"], wide: 19.0, number: true },
    Column { head: ["crosses", "the grain at"], wide: 23.0, number: true },
    Column { head: ["face push", "breaks at about"], wide: 27.0, number: true },
    Column { head: ["", "risk"], wide: 20.0, number: true },
    Column { head: ["side push", "breaks at about"], wide: 30.0, number: true },
    Column { head: ["", "risk"], wide: 20.0, number: true },
    Column { head: ["", "verdict"], wide: 22.0, number: false },
];

/// Width of the whole table, in mm.
pub(super) fn width() -> f64 {
    COLUMNS.iter().map(|column| column.wide).sum()
}

/// Draws a table of pieces, its upper left corner at the origin, and gives its height.
pub(super) fn table(findings: &[&Finding], named: bool, units: Units) -> (Group, f64) {
    let mut group = heads();
    let mut y = 2.0 * 4.0 + 1.5;
    group = group.add(line([0.0, y], [width(), y], Pen::solid(0.4)));
    for finding in findings {
        if named {
            group = group.add(text([0.0, y + 4.6], &finding.name, Type::bold(SIZE)));
            y += ROW;
        }
        if finding.places.is_empty() {
            let words = "No weak place: no thin part runs across the grain.";
            group = group.add(text([0.0, y + 4.2], words, Type::plain(SIZE)));
            y += ROW;
        }
        for alike in runs(&finding.places, units) {
            group = group.add(row(alike, units, y));
            y += ROW;
            if let Some(insert) = &alike[0].insert {
                let with = if alike.len() > 1 { "each with" } else { "with" };
                for words in insert_words(insert, with, units) {
                    group = group.add(text([COLUMNS[0].wide, y + 3.2], &words, Type::plain(2.6)));
                    y += 4.4;
                }
            }
            group = group.add(line([0.0, y], [width(), y], Pen::solid(0.12)));
        }
    }
    (group, y)
}

fn heads() -> Group {
    let mut group = Group::new();
    let mut x = 0.0;
    for column in &COLUMNS {
        for (i, head) in column.head.iter().enumerate() {
            let base = 3.2 + 4.0 * i as f64;
            group = group.add(cell(column, x, base, head, Type::plain(2.6)));
        }
        x += column.wide;
    }
    group
}

fn cell(column: &Column, x: f64, base: f64, words: &str, face: Type) -> svg::node::element::Element {
    if column.number {
        text([x + column.wide - 3.0, base], words, face.hung(Hang::End))
    } else {
        text([x, base], words, face)
    }
}

/// Neighbours in the list that read alike share a row; their inserts have to read alike too.
pub(super) fn runs(places: &[Place], units: Units) -> Vec<&[Place]> {
    let mended = |place: &Place| place.insert.as_ref().map(|insert| insert_words(insert, "", units));
    let alike = |a: &Place, b: &Place| cells(a, units) == cells(b, units) && mended(a) == mended(b);
    places.chunk_by(alike).collect()
}

/// What a place's row says.
fn cells(place: &Place, units: Units) -> [String; 8] {
    let [width, crossing, face, face_risk, side, side_risk, verdict] = words::answers(units, place);
    [place.form.to_string(), width, crossing, face, face_risk, side, side_risk, verdict]
}

fn row(alike: &[Place], units: Units, y: f64) -> Group {
    let base = y + 4.2;
    let first = &alike[0];
    let number = match alike.len() {
        1 => first.id.to_string(),
        n => format!("{}–{}", first.id, alike[n - 1].id),
    };
    let half = mark::badge_half(&number);
    let centre: Spot = [half[0].max(2.6) + 0.4, y + ROW / 2.0];
    let mut group = Group::new().add(mark::badge(centre, &number, first.verdict));
    let words = cells(first, units);
    let mut x = COLUMNS[0].wide;
    for (column, words) in COLUMNS[1..].iter().zip(&words) {
        let last = column.head[1] == "verdict";
        let face = if last { Type::bold(SIZE) } else { Type::plain(SIZE) };
        group = group.add(cell(column, x, base, words, face));
        x += column.wide;
    }
    group
}

/// What an insert is and does, in lines no wider than the table.
fn insert_words(insert: &Insert, with: &str, units: Units) -> Vec<String> {
    let sizes = [insert.length_mm, insert.width_mm, insert.depth_mm].map(|mm| words::bare_length(units, mm));
    let mut words = format!("{with} an insert {} {}", sizes.join(" × "), units.length_unit());
    for side in &insert.after {
        words.push_str(&format!(", {} push {}", side.kind, words::about(units, side.breaks_at_n)));
        words.push_str(&format!(" (risk {})", words::risk(side.risk)));
    }
    words.push_str(&format!(": {}", insert.verdict));
    letters::wrap(&words, 2.6, width() - COLUMNS[0].wide)
}
