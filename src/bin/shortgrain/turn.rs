//! The verb `turn`.

use std::fmt::Write;

use shortgrain::check::Prepared;
use shortgrain::drawing::{self, PolarSheet, words};
use shortgrain::mend::{AtAngle, ProvedAngle, Turn, TurnOptions, turn};
use shortgrain::shape::Shape;
use shortgrain::units::Units;

use crate::answer::answer;
use crate::args::TurnArgs;
use crate::columns::{Columns, LINE, wrap};
use crate::files::Files;
use crate::gather::{self, Given};
use crate::job;
use crate::progress::Progress;
use crate::talk::Faults;
use crate::{SOUND, WEAK, json, report};

/// One design, each of its pieces turned through every angle.
pub(crate) struct Turned {
    pub(crate) given: Given,
    /// One a piece, in the design's order.
    pub(crate) turns: Vec<Turn>,
}

/// Turns every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &TurnArgs) -> Result<u8, Faults> {
    if args.given.drawing.measure {
        return gather::measure(&args.given);
    }
    let step = job::step_fault(args.step).into_iter().collect();
    let turned = turn_all(gather::gather(&args.given, &args.out, args.picture.as_ref(), step)?, args)?;
    let mut files = Files::default();
    if let Some(path) = &args.picture {
        files.add(path, picture(&turned, args.out.units));
    }
    let reports = turned.iter().map(|one| of_design(one, args.out.units, args.explain));
    answer(
        &args.out,
        files,
        || json::turn(&turned),
        || report::whole(reports, Vec::new(), turned.iter().map(|one| &one.given)),
    )?;
    let enough = turned.iter().flat_map(|one| &one.turns).all(|turn| turn.turning.is_enough());
    Ok(if enough { SOUND } else { WEAK })
}

fn turn_all(all: Vec<Given>, args: &TurnArgs) -> Result<Vec<Turned>, Faults> {
    let progress = Progress::new();
    let mut faults = Faults::new();
    let turn_one = |given: Given| {
        let job = &given.job;
        let options = TurnOptions { step: args.step, goal: args.goal.into(), check: job.options };
        let turns = gather::each_piece(&given, &mut faults, |piece| {
            let watch = |doing: &str, done: usize, of: usize| {
                progress.tell(&format!("{}: {doing}", piece.name), done, of);
            };
            let (board, wood, pushes) = (&job.board, &job.mechanics, &job.pushes);
            Prepared::new(&piece.shape)
                .map(|ready| turn(&piece.name, &ready, board, wood, pushes, &options, &watch))
        });
        Turned { given, turns }
    };
    let turned = all.into_iter().map(turn_one).collect();
    if faults.is_empty() { Ok(turned) } else { Err(faults) }
}

/// The report on one design.
fn of_design(turned: &Turned, units: Units, explain: bool) -> String {
    let mut text = String::new();
    let title = report::title(&turned.given.file);
    if let [turn] = turned.turns.as_slice() {
        let _ = writeln!(text, "{}  {title}", words::turning_headline(turn).to_uppercase());
    } else {
        let _ = writeln!(text, "{title}: {} pieces", turned.turns.len());
    }
    text.push_str(&wrap(&report::board(&turned.given, units), LINE, 0));
    text.push_str(&wrap(&report::pushes(&turned.given.job, units), LINE, 0));
    for (piece, turn) in turned.given.design.pieces.iter().zip(&turned.turns) {
        text.push('\n');
        if turned.turns.len() > 1 {
            let _ = writeln!(text, "{}: {}", piece.name, words::turning_headline(turn));
        }
        text.push_str(&wrap(&words::turning(turn), LINE, 0));
        text.push('\n');
        text.push_str(&proved(turn, units));
        if explain {
            text.push('\n');
            text.push_str(&wrap(CLOSED_FORM, LINE, 0));
            text.push_str(&every_angle(turn, units));
        }
    }
    if !explain {
        text.push_str("\n--explain shows every angle, --picture draws them.\n");
    }
    text
}

/// Said above the table of all angles.
const CLOSED_FORM: &str = "Every angle by the closed form alone, which ranks them and may read several times as strong; force and verdict are \
                           proved only for the angles above, by the solid model:";

/// The three angles that the solid model proved.
fn proved(turn: &Turn, units: Units) -> String {
    let unit = units.length_unit();
    let mut columns = Columns::new("lrrllrlr");
    let at = format!("at x, y {unit}");
    columns.row(["", "grain", "bears", "pushed", &at, "crossing", "verdict", "closed form"]);
    let mut shown: Vec<(String, &ProvedAngle)> = vec![("as it lies".to_owned(), &turn.present)];
    for (name, angle) in [("best", &turn.best), ("worst", &turn.worst)] {
        match shown.iter_mut().find(|(_, other)| other.closed_form.deg == angle.closed_form.deg) {
            Some((names, _)) => names.push_str(&format!(", {name}")),
            None => shown.push((name.to_owned(), angle)),
        }
    }
    for (name, angle) in shown {
        let mut row = vec![name];
        let mut proved = cells(&angle.proved, units);
        let is_solved = angle.proved.weakest.is_none_or(|weakest| weakest.is_solved);
        proved[1] = words::marked(std::mem::take(&mut proved[1]), is_solved);
        row.extend(proved);
        row.push(bears(&angle.closed_form, units));
        columns.row(row);
    }
    report::with_mark(columns.text(0), words::MARK)
}

/// All angles by the closed form, with a bar as long as what each bears.
fn every_angle(turn: &Turn, units: Units) -> String {
    let most = turn.angles.iter().map(|angle| angle.over).filter(|over| over.is_finite()).fold(0.0, f64::max);
    let mut columns = Columns::new("rrllrll");
    let at = format!("at x, y {}", units.length_unit());
    columns.row(["grain", "bears", "pushed", &at, "crossing", "verdict", "closed form"]);
    for angle in &turn.angles {
        let part = if most > 0.0 { (angle.over / most).min(1.0) } else { 1.0 };
        let mut row: Vec<String> = cells(angle, units).into();
        row.push("=".repeat((24.0 * part).round() as usize));
        columns.row(row);
    }
    columns.text(0)
}

fn cells(angle: &AtAngle, units: Units) -> [String; 6] {
    let [pushed, at, crossing] = angle.weakest.map_or_else(
        || ["", "", ""].map(str::to_owned),
        |weakest| {
            let crossing = format!("{:.0}°", weakest.crossing_deg);
            [weakest.kind.to_string(), report::where_at(weakest.at, units), crossing]
        },
    );
    [words::degrees(angle.deg), bears(angle, units), pushed, at, crossing, angle.verdict.to_string()]
}

fn bears(angle: &AtAngle, units: Units) -> String {
    angle.weakest.map_or_else(|| "-".to_owned(), |weakest| words::strength(units, weakest.breaks_at_n))
}

/// One sheet with every piece.
fn picture(turned: &[Turned], units: Units) -> String {
    let Some(first) = turned.first() else { return String::new() };
    let pieces: Vec<(&str, &Shape, &Turn)> = turned
        .iter()
        .flat_map(|one| {
            one.given
                .design
                .pieces
                .iter()
                .zip(&one.turns)
                .map(|(piece, turn)| (piece.name.as_str(), &piece.shape, turn))
        })
        .collect();
    let given = || turned.iter().map(|one| &one.given);
    let job = &first.given.job;
    let cautions = report::all_cautions(given());
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    drawing::polar(&PolarSheet {
        title: &report::titles(given()),
        facts: &[report::board(&first.given, units), report::pushes(job, units)],
        pushes: &job.pushes,
        units,
        pieces: &pieces,
        cautions: &cautions,
    })
}
