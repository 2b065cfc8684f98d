//! How an answer was come by, every number of it: what `--explain` adds.

use std::fmt::Write;

use shortgrain::check::{Case, Family, Push, Why};
use shortgrain::drawing::words;
use shortgrain::solid::Face;
use shortgrain::units::Units;

use super::{breaks, indented, middle, significant, stated, where_at};
use crate::columns::Columns;
use crate::job::Job;

/// Every number of an answer, in columns. Formulas hold in the units they are printed in.
pub(super) fn working(push: &Push, job: &Job, units: Units) -> String {
    let mut text = format!(
        "    pushed {}: breaks at {}, low (5 % point) {}, risk at {} {}\n",
        words::on(push.kind),
        words::about(units, push.breaks_at_n),
        words::strength(units, push.low_n),
        words::given_force(units, stated(push, job)),
        words::risk(push.risk),
    );
    text.push_str(&both_ways(push, units, "      "));
    let mut columns = Columns::new("lrlll");
    for line in &push.working.lines {
        let value = significant(line.value);
        columns.row([line.name.as_str(), &value, line.unit, &line.formula, &line.source]);
    }
    text.push_str(&columns.text(6));
    if let Some(dents) = push.dents_at_n {
        let _ = writeln!(
            text,
            "      the pad dents the wood, without breaking it, at {}",
            words::about(units, dents)
        );
    }
    text
}

/// The closed form's answer: the push and the line that its number and the columns are of.
fn of_closed_form(push: &Push, units: Units) -> String {
    let closed = &push.closed_form;
    let carried = if closed.case == Case::Carried { " with the wood it carries" } else { "" };
    format!(
        "pushed at {}{carried}, it {} through {} at {}",
        where_at(closed.push_at, units),
        breaks(closed.mode),
        middle(&closed.break_line, units),
        words::strength(units, push.closed_form_n),
    )
}

/// The closed form and the solid model side by side, and why they differ where they do; every line set in by `indent`.
pub(crate) fn both_ways(push: &Push, units: Units, indent: &str) -> String {
    let Some(solved) = &push.solved else {
        return indented(indent, &format!("by the closed form alone: {}", of_closed_form(push, units)));
    };
    let plane = match solved.family {
        Family::Grain => "a grain plane",
        Family::Fibre => "a section across the fibres",
        Family::Glue => "a glued plane",
    };
    let from = match solved.from {
        Some(Face::Back) => ", pushed from the back",
        Some(Face::Show) => ", pushed from the face",
        None => "",
    };
    let parts = [
        (solved.traction.normal, "square to it"),
        (solved.traction.along, "along it"),
        (solved.traction.through, "through the thickness"),
    ];
    let parts: Vec<String> =
        parts.iter().map(|(mpa, way)| format!("{} {way}", words::stress(units, *mpa))).collect();
    let mut text = indented(
        indent,
        &format!(
            "closed form: {}; solid model {}{from}: {plane} parts, first at {}, {}, under {}",
            of_closed_form(push, units),
            words::strength(units, push.breaks_at_n),
            solved.along,
            solved.through,
            parts.join(", "),
        ),
    );
    if let Some(why) = solved.why() {
        let whole = push.closed_form_n / push.breaks_at_n;
        let why = match why {
            Why::Corner => "stress gathers at the corner, which a straight section does not know",
            Why::Twist => {
                "the push twists it, and where it joins the wood it cannot warp as a straight bar does"
            }
            Why::NearPush => "the push acts so near this plane that it does not spread over it as in a bar",
            Why::Lengthwise => "this plane runs lengthwise through the place, the closed form's across it",
            Why::ShortStub => {
                "the place is too short for its width to spread the stress evenly over this plane"
            }
            Why::Uneven => "this plane is stressed otherwise than a straight section",
            Why::SoftNeighbour => "the wood about it gives, so more of the push comes to this plane",
            Why::StiffNeighbour => "the wood about it is stiff and takes part of the push off this plane",
            Why::Elsewhere if whole > 1.0 => "the closed form has not looked at this plane under this push",
            Why::Elsewhere => {
                "the closed form is weakest on another plane or under another push, which the solid model does not bear out"
            }
            Why::NoSection => {
                "this plane is no section of the place that statics can be asked of, so the causes are not told apart"
            }
            Why::Ply => "the closed form is that of the bare board, without the ply over this plane",
        };
        text.push_str(&indented(
            indent,
            &format!(
                "the closed form's is {} times the solid model's: {why}{}",
                factor(whole),
                parts_of(&solved.factors)
            ),
        ));
    }
    text
}

/// What each cause makes of a difference, where there are several.
fn parts_of(factors: &[(Why, f64)]) -> String {
    let name = |why: Why| match why {
        Why::Corner => "corner",
        Why::Twist => "twist",
        Why::NearPush => "a near push",
        Why::Lengthwise => "a plane lengthwise",
        Why::ShortStub => "a short stub",
        Why::Uneven => "uneven stress",
        Why::SoftNeighbour | Why::StiffNeighbour => "neighbours",
        Why::Elsewhere => "another plane or push",
        Why::NoSection => "no section",
        Why::Ply => "the ply",
    };
    let parts: Vec<String> = factors
        .iter()
        .map(|(why, times)| (name(*why), factor(*times)))
        .filter(|(_, times)| times != "1.00")
        .map(|(name, times)| format!("{name} {times}"))
        .collect();
    if parts.len() > 1 { format!(" ({})", parts.join(" x ")) } else { String::new() }
}

fn factor(times: f64) -> String {
    format!("{times:.2}")
}
