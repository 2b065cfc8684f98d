//! What a check found, as a person reads it: the verdict first, then the numbers, then what to do.

mod working;

use std::fmt::Write;
use std::path::Path;

use shortgrain::check::{Case, Finding, Form, Insert, Mode, PieceRemark, Place, Push, PushKind, Verdict};
use shortgrain::drawing::words;
use shortgrain::units::Units;
use shortgrain::wood::Rings;

use crate::check::Checked;
use crate::columns::{Columns, LINE, wrap};
use crate::gather::Given;
use crate::job::Job;

pub(crate) use working::both_ways;
use working::working;

/// A design's name: its file without folder and ending.
pub(crate) fn title(file: &str) -> String {
    Path::new(file).file_stem().map_or_else(|| file.to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// The report on one design.
pub(crate) fn check(checked: &Checked, units: Units, explain: bool) -> String {
    let mut text = String::new();
    let job = &checked.given.job;
    let verdict = checked.verdict().to_string().to_uppercase();
    let _ = writeln!(text, "{verdict}  {}: {}", title(&checked.given.file), headline(checked, units));
    text.push_str(&wrap(&board(&checked.given, units), LINE, 0));
    text.push_str(&wrap(&pushes(job, units), LINE, 0));
    if checked.verdict() != Verdict::Sound {
        text.push_str(&wrap(VERDICTS, LINE, 0));
    }
    let loose = loose(checked);
    for sentence in &loose {
        text.push_str(&wrap(sentence, LINE, 0));
    }
    if !loose.is_empty() {
        text.push_str(&wrap(LOOSE, LINE, 0));
    }
    if explain && units == Units::Inch {
        text.push_str("The working is in mm, N and MPa, the units its formulas hold in.\n");
    }
    for finding in &checked.findings {
        text.push('\n');
        if checked.findings.len() > 1 {
            let _ = writeln!(text, "{}: {}", finding.name, finding.verdict);
        }
        piece(&mut text, finding, job, units, explain);
    }
    text
}

/// What a loose piece does not do.
const LOOSE: &str = "Verdict and exit status speak of places that may break, not of what hangs on nothing.";

/// Each piece that hangs on nothing, in a sentence.
pub(crate) fn loose(checked: &Checked) -> Vec<String> {
    let pieces = checked.findings.iter().zip(&checked.loose);
    pieces
        .filter_map(|(finding, around)| {
            let around = around.as_ref()?;
            let name = &finding.name;
            Some(format!(
                "Comes loose: {name} lies in an opening of {around} and hangs on nothing. Unless it is a piece of its \
                 own, give it a bridge."
            ))
        })
        .collect()
}

/// What is left to the closed form, piece by piece.
pub(crate) fn left_out(checked: &Checked) -> Vec<String> {
    let is_left = |remark: &&PieceRemark| {
        matches!(remark, PieceRemark::Hopeless { .. } | PieceRemark::TooMuchWork { .. })
    };
    let remarks = checked.findings.iter().flat_map(|finding| finding.remarks.iter().filter(is_left));
    remarks.map(|remark| format!("{remark}.")).collect()
}

/// How many places are weak, in words.
fn headline(checked: &Checked, units: Units) -> String {
    let places: Vec<&Place> = checked.findings.iter().flat_map(|finding| &finding.places).collect();
    let count = |verdict: Verdict| places.iter().filter(|place| place.verdict == verdict).count();
    let (fragile, careful) = (count(Verdict::Fragile), count(Verdict::Careful));
    let weakest =
        places.iter().map(|place| worse(place)).min_by(|a, b| a.breaks_at_n.total_cmp(&b.breaks_at_n));
    let weakest = weakest.map(|push| breaks_at_about(push, units)).unwrap_or_default();
    let of = match (places.len(), fragile + careful) {
        (0, _) => return "no thin part runs across the grain, so it has no weak place".to_owned(),
        (1, 0) => return format!("its one slender place bears the push and breaks at {weakest}"),
        (1, _) => {
            let how = if fragile == 1 { "is fragile" } else { "needs care" };
            return format!("its one slender place {how} and breaks at {weakest}");
        }
        (all, _) => format!("{all} places"),
    };
    let is = |n: usize| if n == 1 { "is" } else { "are" };
    let need = |n: usize| if n == 1 { "needs" } else { "need" };
    let said = match (fragile, careful) {
        (0, 0) => format!("all {of} bear the push"),
        (0, n) => format!("{n} of {of} {} care", need(n)),
        (n, 0) => format!("{n} of {of} {} fragile", is(n)),
        (n, m) => format!("{n} of {of} {} fragile and {m} more {} care", is(n), need(m)),
    };
    format!("{said}; the weakest breaks at {weakest}")
}

/// `about 76 N`, and what stands behind it where that is not the solid model.
fn breaks_at_about(push: &Push, units: Units) -> String {
    let alone = if push.solved.is_none() { " by the closed form alone" } else { "" };
    format!("{}{alone}", words::about(units, push.breaks_at_n))
}

/// A table, and what the mark of the closed form `means` where one of its figures bears it.
pub(crate) fn with_mark(table: String, means: &str) -> String {
    if table.contains('~') { table + &wrap(means, LINE, 2) } else { table }
}

/// What the verdicts mean, for those who see one.
const VERDICTS: &str =
    "Sound: the push breaks it with a risk under 1 %; careful: 1 to 20 %; fragile: over 20 %.";

/// Wood, board and overall size in a sentence or two.
pub(crate) fn board(given: &Given, units: Units) -> String {
    let job = &given.job;
    let rings = match job.board.rings {
        Rings::Unknown => "rings not known (the weaker of radial and tangential counts)",
        known => words::sawn(known),
    };
    let [wide, tall] = given.design.reading.size();
    let other = match units {
        Units::Metric => Units::Inch,
        Units::Inch => Units::Metric,
    };
    format!(
        "{} x {} ({} x {}) overall, in {}, {} thick, {rings}, {} % moisture, grain at {}°.",
        words::bare_length(units, wide.as_mm()),
        words::length(units, tall.as_mm()),
        words::bare_length(other, wide.as_mm()),
        words::length(other, tall.as_mm()),
        job.wood.name(),
        words::size(units, job.board.thickness.as_mm()),
        trimmed(job.board.moisture_pct),
        trimmed(job.board.grain.as_deg().rem_euclid(180.0)),
    )
}

/// What it is judged for.
pub(crate) fn pushes(job: &Job, units: Units) -> String {
    format!(
        "Judged for {} on the face and {} on a side{}.",
        words::given_force(units, job.pushes.face.as_n()),
        words::given_force(units, job.pushes.side.as_n()),
        if job.usual_pushes { " (a firm thumb: common practice, no published source)" } else { "" },
    )
}

fn piece(text: &mut String, finding: &Finding, job: &Job, units: Units, explain: bool) {
    if finding.places.is_empty() && finding.remarks.is_empty() {
        text.push_str("No thin part runs across the grain here: there is no weak place to judge.\n");
    } else if !finding.places.is_empty() {
        text.push_str(&with_mark(table(finding, units), words::MARK_AMONG_PLACES));
    }
    let shown = |place: &&Place| explain || place.verdict != Verdict::Sound;
    if finding.places.iter().any(|place| shown(&place)) {
        text.push('\n');
    }
    let places: Vec<&Place> = finding.places.iter().filter(shown).collect();
    let often = often_said(&places, units);
    let seldom = |remark: &String| !often.iter().any(|(said, _)| said == remark);
    let same = |a: &&Place, b: &&Place| !explain && alike(a, b, units);
    for group in places.chunk_by(same) {
        let Some((place, others)) = group.split_first() else { continue };
        let number = format!("{:>2}  ", place.id);
        text.push_str(&indented(&number, &sentence(place, job, units)));
        if !others.is_empty() {
            let others: Vec<String> =
                others.iter().map(|other| format!("{} at {}", other.id, where_at(other.at, units))).collect();
            text.push_str(&indented("    ", &format!("alike: {}", others.join("; "))));
        }
        for remark in words::sentences(units, &place.remarks).iter().filter(|said| seldom(said)) {
            text.push_str(&indented("    ", remark));
        }
        if let Some(insert) = &place.insert {
            text.push_str(&indented("    ", &insert_sentence(insert, units)));
            for remark in words::sentences(units, &insert.remarks).iter().filter(|said| seldom(said)) {
                text.push_str(&indented("    ", remark));
            }
        }
        if explain {
            for push in [&place.face, &place.side] {
                text.push_str(&working(push, job, units));
            }
        }
    }
    for (remark, ids) in &often {
        text.push_str(&indented(&format!("Of {}: ", listed(ids)), remark));
    }
    let unsaid = finding.places.iter().filter(|place| !shown(place)).count();
    if unsaid > 0 && unsaid < finding.places.len() {
        text.push_str(&match unsaid {
            1 => "The other place is sound; --explain says more of it.\n".to_owned(),
            n => format!("The other {n} places are sound; --explain says more of them.\n"),
        });
    }
    if finding.places.len() > 1 && finding.verdict != Verdict::Sound {
        let [least, most] = finding.any_breaks.map(words::risk);
        let range = if least == most { least } else { format!("from {least} to {most}") };
        let _ = writeln!(text, "If each place is pushed once, the chance that any breaks is {range}.");
    }
    for remark in words::sentences(units, &finding.remarks) {
        text.push_str(&indented("", &remark));
    }
}

/// Whether one paragraph can speak of both places.
fn alike(a: &Place, b: &Place, units: Units) -> bool {
    /// In millimetres, so that places are alike in any units or in none.
    fn said<T: ToString>(remarks: &[T]) -> Vec<String> {
        words::sentences(Units::Metric, remarks)
    }
    let (row, other) = (cells(a, units), cells(b, units));
    let mended = |place: &Place| {
        place.insert.as_ref().map(|insert| (insert_sentence(insert, units), said(&insert.remarks)))
    };
    row[1] == other[1]
        && row[3..] == other[3..]
        && (worse(a).kind, worse(a).mode, worse(a).case) == (worse(b).kind, worse(b).mode, worse(b).case)
        && said(&a.remarks) == said(&b.remarks)
        && mended(a) == mended(b)
}

/// A remark heard at so many places is said once, after them all.
const OFTEN: usize = 3;

/// Every remark that is said often, with the places it is said of, in the order they come up.
fn often_said(places: &[&Place], units: Units) -> Vec<(String, Vec<usize>)> {
    let mut all: Vec<(String, Vec<usize>)> = Vec::new();
    for place in places {
        let of_insert = place.insert.iter().flat_map(|insert| words::sentences(units, &insert.remarks));
        for remark in words::sentences(units, &place.remarks).into_iter().chain(of_insert) {
            match all.iter_mut().find(|(said, _)| *said == remark) {
                Some((_, ids)) => ids.push(place.id),
                None => all.push((remark, vec![place.id])),
            }
        }
    }
    all.retain(|(_, ids)| ids.len() >= OFTEN);
    all
}

/// Numbers with runs drawn together: `1-4, 6`.
fn listed(ids: &[usize]) -> String {
    let runs: Vec<String> = ids
        .chunk_by(|a, b| a + 1 == *b)
        .map(|run| match run {
            [one] => one.to_string(),
            [one, other] => format!("{one}, {other}"),
            run => format!("{}-{}", run[0], run[run.len() - 1]),
        })
        .collect();
    runs.join(", ")
}

/// A sentence with a capital and a stop, after a number or a blank as wide.
fn indented(lead: &str, sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if sentence.ends_with(['.', '?', '!']) { "" } else { "." };
    let whole = format!("{first}{}{stop}", letters.as_str());
    // A long number does not push the following lines in; a blank does.
    let wide = lead.chars().count();
    let indent = if lead.trim().is_empty() { wide } else { wide.min(4) };
    format!("{lead}{}", wrap(&whole, LINE - lead.chars().count(), indent))
}

fn table(finding: &Finding, units: Units) -> String {
    let unit = units.length_unit();
    let mut columns = Columns::new("rlrrrrrrrl");
    columns.row(["", "", "at", "", "crosses", "face push", "", "side push"]);
    columns.row([
        "",
        "form",
        &format!("x, y {unit}"),
        "width",
        "grain at",
        "breaks at",
        "risk",
        "breaks at",
        "risk",
        "verdict",
    ]);
    let rows: Vec<[String; 10]> = finding.places.iter().map(|place| cells(place, units)).collect();
    // Neighbours that read alike but for their number and place share a row.
    for alike in rows.chunk_by(|a, b| a[1] == b[1] && a[3..] == b[3..]) {
        let mut row = alike[0].clone();
        if let [first, .., last] = alike {
            row[0] = format!("{}-{}", first[0], last[0]);
            row[2] = "several".to_owned();
        }
        columns.row(row);
    }
    columns.text(0)
}

/// A place's row of the table.
fn cells(place: &Place, units: Units) -> [String; 10] {
    let [width, crossing, face, face_risk, side, side_risk, verdict] = words::answers(units, place);
    let (id, form) = (place.id.to_string(), place.form.to_string());
    [id, form, where_at(place.at, units), width, crossing, face, face_risk, side, side_risk, verdict]
}

/// A place in the drawing: whole millimetres, hundredths of an inch.
pub(crate) fn where_at(at: geo_types::Coord<f64>, units: Units) -> String {
    match units {
        // Adding nought turns -0 into 0.
        Units::Metric => format!("{:.0}, {:.0}", at.x.round() + 0.0, at.y.round() + 0.0),
        Units::Inch => format!("{:.2}, {:.2}", at.x / 25.4 + 0.0, at.y / 25.4 + 0.0),
    }
}

/// The push that is the greater risk; of two alike, the one that breaks it sooner.
fn worse(place: &Place) -> &Push {
    let (face, side) = (&place.face, &place.side);
    match face.risk.total_cmp(&side.risk) {
        std::cmp::Ordering::Less => side,
        std::cmp::Ordering::Greater => face,
        std::cmp::Ordering::Equal if side.breaks_at_n < face.breaks_at_n => side,
        std::cmp::Ordering::Equal => face,
    }
}

fn stated(push: &Push, job: &Job) -> f64 {
    match push.kind {
        PushKind::Face => job.pushes.face.as_n(),
        PushKind::Side => job.pushes.side.as_n(),
    }
}

/// A place in one plain sentence.
fn sentence(place: &Place, job: &Job, units: Units) -> String {
    let push = worse(place);
    let width = words::length(units, place.width_mm);
    let wood = match place.form {
        Form::Along => format!("{width} of wood that runs along the grain"),
        _ => format!("{width} of wood along the grain, its run at {:.0}° to it", place.crossing_deg),
    };
    let load = match push.case {
        Case::Place => "",
        Case::Carried => ", with the wood it carries",
    };
    let what = match place.form {
        Form::Along => "long grain".to_owned(),
        form => form.to_string(),
    };
    format!(
        "{what} at {}: {wood}; pushed {} at {}{load}, it {}{} at {}. Risk at {}: {}.",
        where_at(place.at, units),
        words::on(push.kind),
        where_at(push.push_at, units),
        breaks(push.mode),
        through(push, units),
        words::about(units, push.breaks_at_n),
        words::given_force(units, stated(push, job)),
        words::risk(push.risk),
    )
}

/// Where it parts: the middle of each interval of the break line, which the picture draws in full.
fn through(push: &Push, units: Units) -> String {
    let middles: Vec<String> = push.break_line.iter().map(|line| middle(line, units)).collect();
    match middles.as_slice() {
        [] => String::new(),
        [one] => format!(" through {one}"),
        [first, .., last] if middles.len() == 2 => format!(" through {first} and {last}"),
        [first, ..] => format!(" through {first} and {} more", middles.len() - 1),
    }
}

/// The middle of an interval, as a place in the drawing.
fn middle([a, b]: &[geo_types::Coord<f64>; 2], units: Units) -> String {
    where_at(geo_types::Coord { x: f64::midpoint(a.x, b.x), y: f64::midpoint(a.y, b.y) }, units)
}

fn breaks(mode: Mode) -> &'static str {
    match mode {
        Mode::Split => "splits",
        Mode::ShearAlong => "shears along the grain",
        Mode::Rolling => "shears with fibres rolling over each other",
        Mode::Fibre => "breaks across its fibres",
        Mode::Glue => "parts at the glue line",
    }
}

fn insert_sentence(insert: &Insert, units: Units) -> String {
    let after: Vec<String> = insert
        .after
        .iter()
        .map(|side| {
            format!(
                "{} {} (first gives way: {})",
                words::about(units, side.breaks_at_n),
                words::on(side.kind),
                side.gives_way
            )
        })
        .collect();
    let goal = if insert.reaches_goal {
        String::new()
    } else {
        format!("; it falls short of sound by {}", words::short_by(insert.shortfall))
    };
    format!(
        "Insert: {} x {} x {}, its own grain at {:.0}°, glued in a pocket in the back; show face left {}. Then it breaks at \
         {}: {}{goal}.",
        words::bare_length(units, insert.length_mm),
        words::bare_length(units, insert.width_mm),
        words::length(units, insert.depth_mm),
        insert.grain_deg.rem_euclid(180.0),
        words::length(units, insert.show_face_mm),
        after.join(" and "),
        insert.verdict,
    )
}

/// Four digits that mean something.
pub(crate) fn significant(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { "none".to_owned() };
    }
    let before = value.abs().log10().floor() as i32;
    let digits = usize::try_from((3 - before).clamp(0, 6)).unwrap_or(0);
    trim(&format!("{value:.digits$}"))
}

/// A given number, without digits that were not given.
pub(crate) fn trimmed(value: f64) -> String {
    trim(&format!("{value:.2}"))
}

fn trim(text: &str) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text.to_owned()
    }
}

/// What a person should bear in mind whatever the answer is.
const CAUTIONS: [&str; 4] = [
    "Advice, not a guarantee: wood varies from board to board. Test on scrap of the same board.",
    "After loading a drawing measure one dimension you know (--measure) before you cut.",
    "Knots, cracks and grain that wanders are not in these numbers.",
    "Not for wood that carries people's weight or guards a hazard: local codes and licensed practice decide.",
];

/// The cautions of all designs, sizes that look wrong, ends that do not meet, lines that are wide and the wood's own first, each once.
pub(crate) fn all_cautions<'a>(all: impl Iterator<Item = &'a Given>) -> Vec<String> {
    let all: Vec<&Given> = all.collect();
    let of_size = sizes_in_doubt(&all);
    let of_ends = all
        .iter()
        .filter_map(|one| Some(format!("{}: {}", title(&one.file), one.design.reading.closed_by_fill()?)));
    let of_looks = all
        .iter()
        .filter_map(|one| Some(format!("{}: {}", title(&one.file), one.design.reading.not_followed()?)));
    let of_lines = all
        .iter()
        .filter_map(|one| Some(format!("{}: {}", title(&one.file), one.design.reading.drawn_wide()?)));
    let of_wood = all.iter().flat_map(|one| one.job.cautions.iter().cloned());
    let mut each: Vec<String> = Vec::new();
    for caution in of_size
        .into_iter()
        .chain(of_ends)
        .chain(of_looks)
        .chain(of_lines)
        .chain(of_wood)
        .chain(CAUTIONS.map(str::to_owned))
    {
        if !each.contains(&caution) {
            each.push(caution);
        }
    }
    each
}

/// The question of every size that looks wrong.
fn sizes_in_doubt(all: &[&Given]) -> Vec<String> {
    let asked = |one: &&Given| Some(format!("{}: {}", title(&one.file), one.design.reading.doubt()?));
    all.iter().filter_map(asked).collect()
}

/// The reports on all designs, and the cautions as the last lines, the verb's own first. Sizes that look wrong are asked about before anything else:
/// all of it hangs on them.
pub(crate) fn whole<'a>(
    reports: impl Iterator<Item = String>,
    own: Vec<String>,
    all: impl Iterator<Item = &'a Given>,
) -> String {
    let reports: Vec<String> = reports.collect();
    let all: Vec<&Given> = all.collect();
    let asked = sizes_in_doubt(&all);
    let mut text: String = asked.iter().map(|asked| wrap(asked, LINE, 0) + "\n").collect();
    text += &(reports.join("\n") + "\n");
    let cautions = own.into_iter().chain(all_cautions(all.into_iter()));
    for caution in cautions.filter(|caution| !asked.contains(caution)) {
        text.push_str("- ");
        text.push_str(&wrap(&caution, LINE - 2, 2));
    }
    text
}

/// The names of all designs, for the head of a sheet.
pub(crate) fn titles<'a>(all: impl Iterator<Item = &'a Given>) -> String {
    let titles: Vec<String> = all.map(|one| title(&one.file)).collect();
    titles.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_numbers_are_drawn_together() {
        assert_eq!(listed(&[1, 2, 3, 4, 6, 8, 9]), "1-4, 6, 8, 9");
    }

    #[test]
    fn worked_numbers_show_four_digits() {
        assert_eq!(significant(481.33), "481.3");
        assert_eq!(significant(0.012_345_6), "0.01235");
        assert_eq!(significant(123_456.0), "123456");
        assert_eq!(significant(0.0), "0");
        assert_eq!(significant(f64::INFINITY), "none");
    }
}
