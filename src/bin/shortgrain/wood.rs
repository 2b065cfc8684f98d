//! The verb `wood`.

use std::fmt::Write;

use shortgrain::drawing::words;
use shortgrain::units::{Angle, Force, Length, Stress, Units};
use shortgrain::wood::{Board, OwnValues, Property, Status, Value, Wood};

use crate::answer::answer;
use crate::args::WoodArgs;
use crate::columns::{Columns, LINE, wrap};
use crate::files::Files;
use crate::job::{TESTED_AT, no_wood};
use crate::talk::Faults;
use crate::{SOUND, json, report};

/// Shows all woods, or one in full.
pub(crate) fn run(args: &WoodArgs) -> Result<u8, Faults> {
    let told = |error: shortgrain::wood::WoodError| vec![error.to_string()];
    let board = Board {
        // Neither changes any property.
        thickness: Length::mm(19.0),
        grain: Angle::deg(0.0),
        rings: args.rings.map(Into::into).unwrap_or_default(),
        moisture_pct: args.moisture.unwrap_or(TESTED_AT),
    };
    let name = args.name.join(" ");
    let chosen: Vec<&Wood> = if name.is_empty() {
        Wood::all().iter().collect()
    } else {
        vec![Wood::find(&name).map_err(|error| vec![no_wood(&error)])?]
    };
    let mut woods = Vec::new();
    for wood in chosen {
        woods.push((wood, wood.values(&board, &OwnValues::none()).map_err(told)?));
    }
    let report = || match woods.as_slice() {
        [(wood, values)] => one(wood, values, &board, args.out.units),
        all => table(all, &board, args.out.units),
    };
    answer(&args.out, Files::default(), || json::woods(&woods, &board), report)?;
    Ok(SOUND)
}

/// A column of the table of all woods: its property, its head, its decimals in metric units.
type Shown = (Property, [&'static str; 2], usize);

const SHOWN: [Shown; 6] = [
    (Property::Gravity, ["specific", "gravity"], 2),
    (Property::TensionAcross, ["tension", "across"], 1),
    (Property::RollingShear, ["rolling", "shear"], 1),
    (Property::ShearAlong, ["shear", "along"], 1),
    (Property::Bending, ["bending", "along"], 0),
    (Property::YoungAlong, ["stiffness", "along"], 0),
];

fn table(woods: &[(&Wood, Vec<Value>)], board: &Board, units: Units) -> String {
    let mut columns = Columns::new("lrlrlrlrlrlrl");
    for line in 0..2 {
        let mut row = vec![if line == 1 { "wood".to_owned() } else { String::new() }];
        for (_, head, _) in SHOWN {
            row.extend([head[line].to_owned(), String::new()]);
        }
        columns.row(row);
    }
    for (wood, values) in woods {
        let mut row = vec![wood.printed_name().to_owned()];
        for (property, _, decimals) in SHOWN {
            match values.iter().find(|value| value.property == property) {
                Some(value) => {
                    let decimals =
                        if property == Property::Gravity || units == Units::Metric { decimals } else { 0 };
                    let number = in_units(value, units).0;
                    row.extend([format!("{number:.decimals$}"), mark(value.status).to_owned()]);
                }
                None => row.extend(["-".to_owned(), String::new()]),
            }
        }
        columns.row(row);
    }
    let unit = if units == Units::Metric { "MPa" } else { "psi" };
    let mut text = columns.text(0);
    let _ = write!(
        text,
        "\nIn {unit}, at {} % moisture. Unmarked: published. r: recalled, from memory. e: estimated by a published \
         rule.\n`shortgrain wood NAME` shows one wood in full, with the source of every value.\n",
        board.moisture_pct
    );
    text
}

fn mark(status: Status) -> &'static str {
    match status {
        Status::Published => "",
        Status::Recalled => "r",
        Status::Estimated => "e",
        Status::Yours => "y",
    }
}

fn one(wood: &Wood, values: &[Value], board: &Board, units: Units) -> String {
    let mut text = format!("{} ({})", wood.name(), wood.printed_name());
    if let Some(botanical) = wood.botanical() {
        let _ = write!(text, ", {botanical}");
    }
    let _ = writeln!(text, ", {}", wood.class().word());
    if let Some(note) = wood.note() {
        text.push_str(&wrap(&words::sentence(units, note), LINE, 0));
    }
    let _ = writeln!(text, "At {} % moisture:\n", board.moisture_pct);
    // Sources are long and often the same: each is said once, below.
    let mut sources: Vec<&str> = Vec::new();
    let mut columns = Columns::new("lrlll");
    for value in values {
        let (number, unit) = shown(value, units);
        let source = match sources.iter().position(|source| *source == value.source) {
            Some(known) => known,
            None => {
                sources.push(&value.source);
                sources.len() - 1
            }
        };
        let source = format!("[{}]", source + 1);
        columns.row([value.property.label(), &number, unit, value.status.word(), &source]);
    }
    text.push_str(&columns.text(0));
    text.push('\n');
    for (i, source) in sources.iter().enumerate() {
        text.push_str(&wrap(&format!("[{}] {source}", i + 1), LINE - 4, 4));
    }
    let notes: Vec<&Value> = values.iter().filter(|value| value.note.is_some()).collect();
    if !notes.is_empty() {
        text.push('\n');
    }
    for value in notes {
        let note = format!("- {}: {}", value.property.label(), value.note.as_deref().unwrap_or_default());
        text.push_str(&wrap(&words::sentence(units, &note), LINE, 2));
    }
    text
}

/// A value as a person reads it, with its unit.
fn shown(value: &Value, units: Units) -> (String, &'static str) {
    let (number, unit) = in_units(value, units);
    (report::significant(number), unit)
}

fn in_units(value: &Value, units: Units) -> (f64, &'static str) {
    match (units, value.unit) {
        (Units::Inch, "MPa") => (Stress::mpa(value.value).as_psi(), "psi"),
        (Units::Inch, "N") => (Force::n(value.value).as_lbf(), "lbf"),
        _ => (value.value, value.unit),
    }
}
