//! The verb `mend`.

mod cutting;
mod seasons;
mod set;

use std::fmt::Write;

use shortgrain::check::Finding;
use shortgrain::drawing::{self, Mended, words};
use shortgrain::fit;
use shortgrain::mend::{
    Goal, Kind, MendOptions, Mending, Patient, Remedy, Step, WeakestPush, mend, weakest, weakest_place,
};
use shortgrain::units::Units;

use self::cutting::Cut;
pub(crate) use self::seasons::Year;
use crate::answer::answer;
use crate::args::MendArgs;
use crate::columns::{Columns, LINE, wrap};
use crate::files::Files;
use crate::gather::{self, Given};
use crate::job;
use crate::progress::Progress;
use crate::talk::Faults;
use crate::{SOUND, WEAK, json, report};

/// One design, each of its pieces with what can be done for it.
pub(crate) struct Cared {
    pub(crate) given: Given,
    /// One a piece, in the design's order.
    pub(crate) mendings: Vec<Mending>,
    /// The wanted verdict.
    pub(crate) goal: Goal,
    /// The year that was asked about.
    pub(crate) year: Year,
    /// How inserts are cut.
    pub(crate) fit: fit::Options,
}

/// Mends every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &MendArgs) -> Result<u8, Faults> {
    if args.given.drawing.measure {
        return gather::measure(&args.given);
    }
    let mut faults: Faults = job::step_fault(args.step).into_iter().collect();
    if !(0.0..=50.0).contains(&args.rim.as_mm()) {
        faults.push("--rim is a length from 0mm to 50mm; 3mm is usual".to_owned());
    }
    if args.kinds().is_empty() {
        faults.push("--only and --without leave no kind of remedy; name fewer with --without".to_owned());
    }
    if let Some(take) = args.take.filter(|take| !args.kinds().contains(take)) {
        faults.push(format!(
            "--take {} names a remedy that --only and --without leave out; let them try it",
            take.word().replace('_', "-")
        ));
    }
    faults.extend(cutting::no_fit(args));
    let given = gather::gather(&args.given, &args.out, args.picture.as_ref(), faults)?;
    let faults = cutting::in_the_way(&given, args);
    if !faults.is_empty() {
        return Err(faults);
    }
    let cared = mend_all(given, args)?;
    // What was found is told all the same where it cannot be cut: it took a while.
    let (cut, mut faults) = match cutting::cut(&cared, args) {
        Ok(cut) => (cut, Faults::new()),
        Err(faults) => (Vec::new(), faults),
    };
    let cut_files = || cut.iter().flat_map(|one| &one.files);
    let names: Vec<&str> = cut_files().map(|file| file.name.as_str()).collect();
    let mut files = Files::default();
    if let Some(folder) = &args.into {
        cut_files().for_each(|file| files.add(folder.join(&file.name), file.text.clone()));
    }
    if let Some(path) = &args.picture {
        files.add(path, picture(&cared, args.out.units));
    }
    let told = answer(
        &args.out,
        files,
        || json::mend(&cared, &names, &cutting::cautions(&cared, args, Units::Metric)),
        || written(&cared, &cut, args),
    );
    faults.extend(told.err().into_iter().flatten());
    if !faults.is_empty() {
        return Err(faults);
    }
    let cured = |one: &Cared| one.mendings.iter().all(|mending| one.is_cured(mending));
    Ok(if cared.iter().all(cured) { SOUND } else { WEAK })
}

/// The report on every design, with what was written of it; of several first what they come to together.
fn written(cared: &[Cared], cut: &[Cut], args: &MendArgs) -> String {
    let mut reports: Vec<String> = cared.iter().map(|one| of_design(one, args)).collect();
    if let Some(folder) = &args.into {
        // What is written as one set is told after the last of its drawings.
        let first = if args.set.is_some() { reports.len() - 1 } else { 0 };
        for (report, cut) in reports[first..].iter_mut().zip(cut) {
            report.push_str(&cut.report(folder));
        }
    }
    if cared.len() > 1 {
        let members = set::members(cared);
        let head = set::headline(&members, &report::titles(cared.iter().map(|one| &one.given)));
        reports.insert(0, format!("{head}\n{}", set::told(&members, args.out.units)));
    }
    let own = cutting::cautions(cared, args, args.out.units);
    report::whole(reports.into_iter(), own, cared.iter().map(|one| &one.given))
}

impl Cared {
    /// Whether a piece reaches the goal, as it is or by a remedy that is proved to.
    fn is_cured(&self, mending: &Mending) -> bool {
        self.goal.is_reached_by(mending.before.verdict) || mending.cheapest().is_some_and(Remedy::cures)
    }
}

fn mend_all(all: Vec<Given>, args: &MendArgs) -> Result<Vec<Cared>, Faults> {
    let progress = Progress::new();
    let stated = args.seasons.swing().map_err(|error| vec![error.to_string()])?;
    let options = MendOptions {
        kinds: args.kinds(),
        step: args.step,
        rim: args.rim,
        pierced_already: args.pierced_already,
        swing: Some(stated.swing),
        fit: args.fit(),
    };
    let goal = args.goal.into();
    let mut faults = Faults::new();
    let mend_one = |given: Given| {
        let job = &given.job;
        let mendings = gather::each_piece(&given, &mut faults, |piece| {
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
            mend(patient, &options, &watch)
        });
        Cared {
            given,
            mendings,
            goal,
            year: Year { stated: stated.clone(), service: args.seasons.service },
            fit: args.fit(),
        }
    };
    let cared = all.into_iter().map(mend_one).collect();
    if faults.is_empty() { Ok(cared) } else { Err(faults) }
}

/// The report on one design.
fn of_design(cared: &Cared, args: &MendArgs) -> String {
    let units = args.out.units;
    let mut text = String::new();
    let title = report::title(&cared.given.file);
    let set = set::members(std::slice::from_ref(cared));
    if let [mending] = cared.mendings.as_slice() {
        let _ = writeln!(text, "{}  {title}", headline(cared, mending));
    } else {
        text.push_str(&set::headline(&set, &title));
    }
    text.push_str(&wrap(&report::board(&cared.given, units), LINE, 0));
    text.push_str(&wrap(&report::pushes(&cared.given.job, units), LINE, 0));
    if set.len() > 1 {
        text.push('\n');
        text.push_str(&set::told(&set, units));
    }
    for (piece, mending) in cared.given.design.pieces.iter().zip(&cared.mendings) {
        text.push('\n');
        if cared.mendings.len() > 1 {
            let _ = writeln!(text, "{}: {}", piece.name, headline(cared, mending).to_lowercase());
        }
        of_piece(&mut text, cared, mending, args);
    }
    if let Some(year) = cared.year.told(&cared.mendings, args.explain, units) {
        text.push('\n');
        text.push_str(&year);
    }
    text
}

fn headline(cared: &Cared, mending: &Mending) -> String {
    if cared.goal.is_reached_by(mending.before.verdict) {
        return format!("NOTHING TO MEND, {} AS IT IS", mending.before.verdict.to_string().to_uppercase());
    }
    let count = |is: fn(&Remedy) -> bool| mending.remedies.iter().filter(|remedy| is(remedy)).count();
    let proved = count(Remedy::cures);
    let estimated = count(|remedy| remedy.lasts() && !remedy.cures());
    let splitting = count(|remedy| remedy.reaches_goal && remedy.splits());
    let mut words = match proved {
        0 if estimated == 0 => "NO REMEDY TRIED WILL DO".to_owned(),
        0 => "NO REMEDY IS PROVED TO DO".to_owned(),
        1 => "ONE REMEDY WILL DO".to_owned(),
        n => format!("{n} REMEDIES WILL DO"),
    };
    let more = if proved == 0 { "" } else { " MORE" };
    if estimated > 0 {
        words.push_str(&format!(", {estimated}{more} BY AN ESTIMATE"));
    }
    if splitting > 0 {
        words.push_str(&format!("; {splitting} WOULD BUT FOR THE SEASONS"));
    }
    words
}

fn of_piece(text: &mut String, cared: &Cared, mending: &Mending, args: &MendArgs) {
    let (units, explain) = (args.out.units, args.explain);
    let pushes = &cared.given.job.pushes;
    let (_, before) = weakest(&mending.before, pushes);
    let now = before.map_or_else(
        || "As it is, it has no weak place.".to_owned(),
        |weak| format!("As it is, it is {} and breaks at {}.", mending.before.verdict, bears(&weak, units)),
    );
    text.push_str(&wrap(&now, LINE, 0));
    if mending.remedies.is_empty() && mending.declined.is_empty() {
        text.push_str(&order(&mending.order, &mending.before, &mending.before, units));
        return;
    }
    if let Some(cheapest) = words::cheapest(units, mending) {
        text.push_str(&wrap(&cheapest, LINE, 0));
    }
    text.push('\n');
    if !mending.remedies.is_empty() {
        text.push_str(&table(cared, mending, units));
        text.push('\n');
    }
    for (k, remedy) in mending.remedies.iter().enumerate() {
        let mut letters = words::remedy(units, remedy);
        if let Some(first) = letters.get(..1).map(str::to_uppercase) {
            letters.replace_range(..1, &first);
        }
        let number = format!("{:>2}  ", k + 1);
        text.push_str(&format!("{number}{}", wrap(&format!("{letters}."), LINE - 4, 4)));
        if let Some(short) = short(cared, remedy) {
            text.push_str(&format!("    {}", wrap(&short, LINE - 4, 4)));
        }
        if let Some(lost) = words::lost(units, pushes, remedy) {
            text.push_str(&format!("    {}", wrap(&lost, LINE - 4, 4)));
        }
        for cracks in words::after_cracks(units, &mending.before, remedy) {
            text.push_str(&format!("    {}", wrap(&cracks, LINE - 4, 4)));
        }
        if let Some(empty) = words::empty_pockets(units, remedy, args.pierced_already, pushes) {
            text.push_str(&format!("    {}", wrap(&empty, LINE - 4, 4)));
            if explain && let Some(standing) = remedy.empty_standing(pushes) {
                let line = format!("What stands behind that force: {}.", standing.word());
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
        }
        if explain && let Some(place) = remedy.after.as_ref().and_then(|after| weakest_place(after, pushes)) {
            let push = place.weaker(pushes);
            let _ = writeln!(text, "    The weakest then, pushed {}:", words::on(push.kind));
            text.push_str(&report::both_ways(push, units, "      "));
        }
        if let Some(season) = &remedy.seasons {
            text.push_str(&seasons::of_remedy(season, units, explain));
        }
        let stopped = remedy.kind == Kind::Widen && !remedy.reaches_goal;
        let all = explain || remedy.after.is_none() || stopped;
        for remark in remedy.remarks.iter().filter(|remark| all || remark.has_to_be_told()) {
            let remark = words::sentence(units, &remark.to_string());
            text.push_str(&format!("    {}", wrap(&remark, LINE - 4, 4)));
        }
    }
    for declined in &mending.declined {
        let why = words::declined(units, cared.goal, declined);
        text.push_str(&wrap(&format!("{why}."), LINE, 4));
    }
    if let Some(remedy) = cutting::wanted(mending, args.take)
        && let Some(after) = &remedy.after
    {
        text.push_str(&order(&remedy.order, &mending.before, after, units));
    }
}

/// The steps at the bench; nothing where there is but one.
fn order(steps: &[Step], before: &Finding, after: &Finding, units: Units) -> String {
    let told = words::steps(units, steps, before, after);
    if told.len() < 2 {
        return String::new();
    }
    let mut text =
        "\nOrder of cuts; a place is free once both its sides are cut, the weakest last:\n".to_owned();
    for (k, step) in told.iter().enumerate() {
        text.push_str(&format!("{:>2}  {}", k + 1, wrap(&format!("{}.", step.words), LINE - 4, 4)));
    }
    text
}

/// What a remedy lacks, in a sentence.
fn short(cared: &Cared, remedy: &Remedy) -> Option<String> {
    let after = remedy.after.as_ref().filter(|_| !remedy.reaches_goal)?;
    let goal = cared.goal.verdict();
    Some(format!(
        "It is not enough: {}, short of {goal} by {}.",
        after.verdict,
        words::short_by(remedy.shortfall?)
    ))
}

/// One row a remedy: the verdict, and what is the weakest then.
fn table(cared: &Cared, mending: &Mending, units: Units) -> String {
    let mut columns = Columns::new("rllrlrll");
    let at = format!("weakest at x, y {}", units.length_unit());
    columns.row(["", "remedy", "then it is", "bears", "pushed", "times as much", &at, "numbers"]);
    for (k, remedy) in mending.remedies.iter().enumerate() {
        let mut row = vec![(k + 1).to_string(), words::kind(remedy.kind).to_owned()];
        let weak = remedy.after.as_ref().map(|after| (after, weakest(after, &cared.given.job.pushes).1));
        match weak {
            None => row.extend(["-", "-", "", "", "", remedy.standing.word()].map(str::to_owned)),
            Some((after, weak)) => {
                let [bears, pushed, at] = weak.map_or_else(
                    || ["-", "", ""].map(str::to_owned),
                    |weak| {
                        let bears = words::marked(words::strength(units, weak.breaks_at_n), weak.is_solved);
                        [bears, weak.kind.to_string(), report::where_at(weak.at, units)]
                    },
                );
                let gain = remedy.gain.filter(|gain| gain.is_finite());
                let is_solved = weak.is_none_or(|weak| weak.is_solved);
                let gain = gain
                    .map_or_else(|| "-".to_owned(), |gain| words::marked(format!("{gain:.1}"), is_solved));
                let splits = if remedy.splits() { ", will split" } else { "" };
                let then = format!("{}{splits}", after.verdict);
                row.extend([then, bears, pushed, gain, at, remedy.standing.word().to_owned()]);
            }
        }
        columns.row(row);
    }
    report::with_mark(columns.text(0), words::MARK)
}

/// `about 76 N on the face, at 68, 66`.
fn bears(weak: &WeakestPush, units: Units) -> String {
    let alone = if weak.is_solved { "" } else { " by the closed form alone" };
    format!(
        "{}{alone} {}, at {}",
        words::about(units, weak.breaks_at_n),
        words::on(weak.kind),
        report::where_at(weak.at, units)
    )
}

/// Every piece before and after its cheapest remedy that will do, or else the one that comes nearest to it.
fn picture(cared: &[Cared], units: Units) -> String {
    let Some(first) = cared.first() else { return String::new() };
    let pieces: Vec<Mended<'_>> = cared
        .iter()
        .flat_map(|one| {
            one.given.design.pieces.iter().zip(&one.mendings).map(|(piece, mending)| Mended {
                shape: &piece.shape,
                mending,
                grain: one.given.job.board.grain,
                thickness: one.given.job.board.thickness,
            })
        })
        .collect();
    let given = || cared.iter().map(|one| &one.given);
    let job = &first.given.job;
    let cautions = report::all_cautions(given());
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    drawing::before_and_after(&drawing::MendedSheet {
        title: &report::titles(given()),
        wood: job.wood.name(),
        board: &job.board,
        pushes: &job.pushes,
        units,
        pieces: &pieces,
        cautions: &cautions,
    })
}
