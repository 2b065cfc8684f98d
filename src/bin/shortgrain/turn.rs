//! The verb `turn`.

use std::fmt::Write;
use std::path::PathBuf;

use shortgrain::check::Prepared;
use shortgrain::design::Design;
use shortgrain::drawing::{self, PolarSheet, words};
use shortgrain::mend::{AtAngle, ProvedAngle, Turn, TurnOptions, Turning, turn};
use shortgrain::shape::Shape;
use shortgrain::units::Units;

use crate::args::TurnArgs;
use crate::check::{self, Asked};
use crate::columns::{Columns, wrap};
use crate::files::Files;
use crate::job::Job;
use crate::progress::Progress;
use crate::talk::{self, Faults};
use crate::{SOUND, WEAK, json, report};

/// One design, each of its pieces turned through every angle.
pub(crate) struct Turned {
    /// The file as it was named.
    pub(crate) file: String,
    pub(crate) job: Job,
    pub(crate) design: Design,
    /// One a piece, in the design's order.
    pub(crate) turns: Vec<Turn>,
}

/// Turns every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &TurnArgs) -> Result<u8, Faults> {
    let asked = Asked {
        designs: &args.designs,
        board: &args.board,
        pushes: &args.pushes,
        drawing: &args.drawing,
        out: &args.out,
        picture: args.picture.as_ref(),
    };
    let (designs, mut faults) = check::read(&asked);
    if args.drawing.measure {
        return if faults.is_empty() { check::measure(&designs) } else { Err(faults) };
    }
    let jobs = check::settle(&asked, &mut faults);
    faults.extend(check::targets_in_the_way(&asked));
    if !(0.5..=45.0).contains(&args.step.as_deg()) {
        faults.push("--step is an angle from 0.5deg to 45deg; 5deg is usual".to_owned());
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let turned = turn_all(designs, jobs, args)?;
    let json = args.out.json.as_ref().map(|path| (path, json::turn(&turned)));
    let mut files = Files::default();
    if let Some((path, text)) = json.as_ref().filter(|(path, _)| path.as_os_str() != "-") {
        files.add(path.as_path(), text.clone());
    }
    if let Some(path) = &args.picture {
        files.add(path, picture(&turned, args.out.units));
    }
    files.write(args.out.force)?;
    match json {
        Some((path, text)) if path.as_os_str() == "-" => talk::answer(&text)?,
        _ if args.out.quiet => {}
        _ => {
            let reports: Vec<String> =
                turned.iter().map(|one| of_design(one, args.out.units, args.explain)).collect();
            talk::answer(
                &(reports.join("\n")
                    + &report::cautions(turned.iter().map(|one| (one.file.as_str(), &one.job, &one.design)))),
            )?;
        }
    }
    let enough = |turn: &Turn| matches!(turn.turning, Turning::NotNeeded | Turning::Enough);
    Ok(if turned.iter().flat_map(|one| &one.turns).all(enough) { SOUND } else { WEAK })
}

fn turn_all(designs: Vec<(PathBuf, Design)>, jobs: Vec<Job>, args: &TurnArgs) -> Result<Vec<Turned>, Faults> {
    let progress = Progress::new();
    let mut all = Vec::new();
    let mut faults = Faults::new();
    for ((path, design), job) in designs.into_iter().zip(jobs) {
        let file = path.display().to_string();
        let options = TurnOptions { step: args.step, goal: args.goal.into(), check: job.options };
        let mut turns = Vec::new();
        for piece in &design.pieces {
            let watch = |doing: &str, done: usize, of: usize| {
                progress.tell(&format!("{}: {doing}", piece.name), done, of);
            };
            match Prepared::new(&piece.shape) {
                Ok(ready) => {
                    let (board, wood, pushes) = (&job.board, &job.mechanics, &job.pushes);
                    turns.push(turn(&piece.name, &ready, board, wood, pushes, &options, &watch));
                }
                Err(error) => faults.push(format!("{file}: {}: {error}", piece.name)),
            }
        }
        all.push(Turned { file, job, design, turns });
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

/// The report on one design.
fn of_design(turned: &Turned, units: Units, explain: bool) -> String {
    let mut text = String::new();
    let title = report::title(&turned.file);
    if let [turn] = turned.turns.as_slice() {
        let _ = writeln!(text, "{}  {title}", words::turning_headline(turn).to_uppercase());
    } else {
        let _ = writeln!(text, "{title}: {} pieces", turned.turns.len());
    }
    text.push_str(&wrap(&report::board(&turned.job, &turned.design, units), report::LINE, 0));
    text.push_str(&wrap(&report::pushes(&turned.job, units), report::LINE, 0));
    for (piece, turn) in turned.design.pieces.iter().zip(&turned.turns) {
        text.push('\n');
        if turned.turns.len() > 1 {
            let _ = writeln!(text, "{}: {}", piece.name, words::turning_headline(turn));
        }
        text.push_str(&wrap(&words::turning(turn), report::LINE, 0));
        text.push('\n');
        text.push_str(&proved(turn, units));
        if explain {
            text.push('\n');
            text.push_str(&every_angle(turn, units));
        }
    }
    if !explain {
        text.push_str("\n--explain shows every angle, --picture draws them.\n");
    }
    text
}

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
        row.extend(cells(&angle.proved, units));
        row.push(bears(&angle.closed_form, units));
        columns.row(row);
    }
    columns.text(0)
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
            one.design
                .pieces
                .iter()
                .zip(&one.turns)
                .map(|(piece, turn)| (piece.name.as_str(), &piece.shape, turn))
        })
        .collect();
    let title: Vec<String> = turned.iter().map(|one| report::title(&one.file)).collect();
    let facts = [report::board(&first.job, &first.design, units), report::pushes(&first.job, units)];
    let cautions = report::all_cautions(turned.iter().map(|one| (one.file.as_str(), &one.job, &one.design)));
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    drawing::polar(&PolarSheet {
        title: &title.join(", "),
        facts: &facts,
        pushes: &first.job.pushes,
        units,
        pieces: &pieces,
        cautions: &cautions,
    })
}
