//! The verb `mend`.

mod cutting;

use std::fmt::Write;
use std::path::PathBuf;

use shortgrain::check::PushKind;
use shortgrain::design::Design;
use shortgrain::drawing::{self, Mended, words};
use shortgrain::mend::{MendOptions, Mending, Patient, Remedy, Standing, WeakestPush, mend, weakest};
use shortgrain::units::Units;

use self::cutting::Cut;
use crate::args::MendArgs;
use crate::check::{self, Asked};
use crate::columns::{Columns, wrap};
use crate::files::Files;
use crate::job::Job;
use crate::progress::Progress;
use crate::talk::{self, Faults};
use crate::{SOUND, WEAK, json, report};

/// One design, each of its pieces with what can be done for it.
pub(crate) struct Cared {
    /// The file as it was named.
    pub(crate) file: String,
    pub(crate) job: Job,
    pub(crate) design: Design,
    /// One a piece, in the design's order.
    pub(crate) mendings: Vec<Mending>,
    /// The wanted verdict.
    pub(crate) goal: shortgrain::mend::Goal,
}

/// Mends every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &MendArgs) -> Result<u8, Faults> {
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
    if args.kinds().is_empty() {
        faults.push("--only and --without leave no kind of remedy; name fewer with --without".to_owned());
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    faults.extend(cutting::in_the_way(&designs, &jobs, args));
    if !faults.is_empty() {
        return Err(faults);
    }
    let cared = mend_all(designs, jobs, args)?;
    let cut = match cutting::cut(&cared, args) {
        Ok(cut) => cut,
        // What was found is told all the same: it took a while.
        Err(faults) => {
            if args.out.json.is_none() && !args.out.quiet {
                talk::answer(&written(&cared, &[], args))?;
            }
            return Err(faults);
        }
    };
    let cut_files = || cut.iter().flat_map(|one| &one.files);
    let names: Vec<&str> = cut_files().map(|file| file.name.as_str()).collect();
    let json = args.out.json.as_ref().map(|path| (path, json::mend(&cared, &names)));
    let mut files = Files::default();
    if let Some(folder) = &args.into {
        cut_files().for_each(|file| files.add(folder.join(&file.name), file.text.clone()));
    }
    if let Some((path, text)) = json.as_ref().filter(|(path, _)| path.as_os_str() != "-") {
        files.add(path.as_path(), text.clone());
    }
    if let Some(path) = &args.picture {
        files.add(path, picture(&cared, args.out.units));
    }
    files.write(args.out.force)?;
    match json {
        Some((path, text)) if path.as_os_str() == "-" => talk::answer(&text)?,
        _ if args.out.quiet => {}
        _ => talk::answer(&written(&cared, &cut, args))?,
    }
    let cured = |one: &Cared| one.mendings.iter().all(|mending| one.is_cured(mending));
    Ok(if cared.iter().all(cured) { SOUND } else { WEAK })
}

/// The report on every design, with what was written of it.
fn written(cared: &[Cared], cut: &[Cut], args: &MendArgs) -> String {
    let mut reports: Vec<String> =
        cared.iter().map(|one| of_design(one, args.out.units, args.explain)).collect();
    if let Some(folder) = &args.into {
        for (report, cut) in reports.iter_mut().zip(cut) {
            report.push_str(&cut.report(folder, args.out.units));
        }
    }
    reports.join("\n") + &report::cautions(cared.iter().map(|one| (one.file.as_str(), &one.job, &one.design)))
}

impl Cared {
    /// Whether a piece reaches the goal, as it is or by a remedy that is proved to.
    fn is_cured(&self, mending: &Mending) -> bool {
        self.goal.is_reached_by(mending.before.verdict) || mending.cheapest().is_some_and(Remedy::cures)
    }
}

fn mend_all(designs: Vec<(PathBuf, Design)>, jobs: Vec<Job>, args: &MendArgs) -> Result<Vec<Cared>, Faults> {
    let progress = Progress::new();
    let options = MendOptions { kinds: args.kinds(), step: args.step };
    let goal = args.goal.into();
    let mut all = Vec::new();
    let mut faults = Faults::new();
    for ((path, design), job) in designs.into_iter().zip(jobs) {
        let file = path.display().to_string();
        let mut mendings = Vec::new();
        for piece in &design.pieces {
            let watch = |doing: &str, done: usize, of: usize| {
                progress.tell(&format!("{}: {doing}", piece.name), done, of);
            };
            let patient = Patient {
                name: &piece.name,
                shape: &piece.shape,
                board: &job.board,
                wood: job.wood,
                own: &job.own,
                mechanics: &job.mechanics,
                pushes: &job.pushes,
                units: args.out.units,
                goal,
                check: job.options,
            };
            match mend(patient, &options, &watch) {
                Ok(mending) => mendings.push(mending),
                Err(error) => faults.push(format!("{file}: {}: {error}", piece.name)),
            }
        }
        all.push(Cared { file, job, design, mendings, goal });
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

/// The report on one design.
fn of_design(cared: &Cared, units: Units, explain: bool) -> String {
    let mut text = String::new();
    let title = report::title(&cared.file);
    if let [mending] = cared.mendings.as_slice() {
        let _ = writeln!(text, "{}  {title}", headline(cared, mending));
    } else {
        let _ = writeln!(text, "{title}: {} pieces", cared.mendings.len());
    }
    text.push_str(&wrap(&report::board(&cared.job, &cared.design, units), report::LINE, 0));
    text.push_str(&wrap(&report::pushes(&cared.job, units), report::LINE, 0));
    for (piece, mending) in cared.design.pieces.iter().zip(&cared.mendings) {
        text.push('\n');
        if cared.mendings.len() > 1 {
            let _ = writeln!(text, "{}: {}", piece.name, headline(cared, mending).to_lowercase());
        }
        of_piece(&mut text, cared, mending, units, explain);
    }
    text
}

fn headline(cared: &Cared, mending: &Mending) -> String {
    if cared.goal.is_reached_by(mending.before.verdict) {
        return format!("NOTHING TO MEND, {} AS IT IS", mending.before.verdict.to_string().to_uppercase());
    }
    let reaching = mending.remedies.iter().filter(|remedy| remedy.reaches_goal);
    let (proved, estimated): (Vec<&Remedy>, Vec<&Remedy>) = reaching.partition(|remedy| remedy.cures());
    let words = match proved.len() {
        0 if estimated.is_empty() => "NO REMEDY TRIED WILL DO".to_owned(),
        0 => "NO REMEDY IS PROVED TO DO".to_owned(),
        1 => "ONE REMEDY WILL DO".to_owned(),
        n => format!("{n} REMEDIES WILL DO"),
    };
    match estimated.len() {
        0 => words,
        n if proved.is_empty() => format!("{words}, {n} BY AN ESTIMATE"),
        n => format!("{words}, {n} MORE BY AN ESTIMATE"),
    }
}

fn of_piece(text: &mut String, cared: &Cared, mending: &Mending, units: Units, explain: bool) {
    let pushes = &cared.job.pushes;
    let (_, before) = weakest(&mending.before, pushes);
    let now = before.map_or_else(
        || "As it is, it has no weak place.".to_owned(),
        |weak| format!("As it is, it is {} and breaks at {}.", mending.before.verdict, bears(&weak, units)),
    );
    text.push_str(&wrap(&now, report::LINE, 0));
    if mending.remedies.is_empty() && mending.declined.is_empty() {
        return;
    }
    if let Some(cheapest) = words::cheapest(units, mending) {
        text.push_str(&wrap(&cheapest, report::LINE, 0));
    }
    text.push('\n');
    text.push_str(&table(cared, mending, units));
    text.push('\n');
    for (k, remedy) in mending.remedies.iter().enumerate() {
        let mut letters = words::remedy(units, remedy);
        if let Some(first) = letters.get(..1).map(str::to_uppercase) {
            letters.replace_range(..1, &first);
        }
        let number = format!("{:>2}  ", k + 1);
        text.push_str(&format!("{number}{}", wrap(&format!("{letters}."), report::LINE - 4, 4)));
        if let Some(short) = short(cared, remedy) {
            text.push_str(&format!("    {}", wrap(&short, report::LINE - 4, 4)));
        }
        if explain || remedy.after.is_none() {
            for remark in &remedy.remarks {
                text.push_str(&format!("    {}", wrap(&words::sentence(units, remark), report::LINE - 4, 4)));
            }
        }
    }
    for declined in &mending.declined {
        let why = format!(
            "Not offered: {}, since {}.",
            words::kind(declined.kind),
            words::sentence(units, &declined.why)
        );
        text.push_str(&wrap(&why, report::LINE, 4));
    }
}

/// What a remedy lacks, in a sentence.
fn short(cared: &Cared, remedy: &Remedy) -> Option<String> {
    let after = remedy.after.as_ref().filter(|_| !remedy.reaches_goal)?;
    let goal = cared.goal.verdict();
    Some(format!(
        "It is not enough: {}, short of {goal} by {}.",
        after.verdict,
        report::short_by(remedy.shortfall?)
    ))
}

/// One row a remedy: the verdict, and what is the weakest then.
fn table(cared: &Cared, mending: &Mending, units: Units) -> String {
    let mut columns = Columns::new("rllrlrll");
    let at = format!("weakest at x, y {}", units.length_unit());
    columns.row(["", "remedy", "then it is", "bears", "pushed", "times as much", &at, "numbers"]);
    for (k, remedy) in mending.remedies.iter().enumerate() {
        let mut row = vec![(k + 1).to_string(), words::kind(remedy.kind).to_owned()];
        let weak = remedy.after.as_ref().map(|after| (after, weakest(after, &cared.job.pushes).1));
        match weak {
            None => row.extend(["-", "-", "", "", "", remedy.standing.word()].map(str::to_owned)),
            Some((after, weak)) => {
                let [bears, pushed, at] = weak.map_or_else(
                    || ["-", "", ""].map(str::to_owned),
                    |weak| {
                        let bears = words::strength(units, weak.breaks_at_n);
                        [bears, weak.kind.to_string(), report::where_at(weak.at, units)]
                    },
                );
                let gain = remedy.gain.filter(|gain| gain.is_finite());
                let gain = gain.map_or_else(|| "-".to_owned(), |gain| format!("{gain:.1}"));
                let standing = match remedy.standing {
                    Standing::Proved => "proved",
                    other => other.word(),
                };
                row.extend([after.verdict.to_string(), bears, pushed, gain, at, standing.to_owned()]);
            }
        }
        columns.row(row);
    }
    columns.text(0)
}

/// `about 76 N on the face, at 68, 66`.
fn bears(weak: &WeakestPush, units: Units) -> String {
    let on = if weak.kind == PushKind::Face { "the face" } else { "a side" };
    format!(
        "about {} on {on}, at {}",
        words::strength(units, weak.breaks_at_n),
        report::where_at(weak.at, units)
    )
}

/// Every piece before and after its cheapest remedy that reaches the goal, or else the one that comes nearest to it.
fn picture(cared: &[Cared], units: Units) -> String {
    let Some(first) = cared.first() else { return String::new() };
    let pieces: Vec<Mended<'_>> = cared
        .iter()
        .flat_map(|one| {
            one.design.pieces.iter().zip(&one.mendings).map(|(piece, mending)| Mended {
                shape: &piece.shape,
                mending,
                grain: one.job.board.grain,
            })
        })
        .collect();
    let title: Vec<String> = cared.iter().map(|one| report::title(&one.file)).collect();
    let cautions = report::all_cautions(cared.iter().map(|one| (one.file.as_str(), &one.job, &one.design)));
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    drawing::before_and_after(&drawing::MendedSheet {
        title: &title.join(", "),
        wood: first.job.wood.name(),
        board: &first.job.board,
        pushes: &first.job.pushes,
        units,
        pieces: &pieces,
        cautions: &cautions,
    })
}
