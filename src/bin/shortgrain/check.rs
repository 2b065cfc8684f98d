//! The verb `check`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use geo_types::Polygon;
use shortgrain::check::{Finding, Verdict, check};
use shortgrain::design::Design;
use shortgrain::drawing::{self, Sheet};
use shortgrain::mend::first_remedies;
use shortgrain::shape::Shape;

use crate::answer::answer;
use crate::args::CheckArgs;
use crate::files::{self, Files};
use crate::gather::{self, Given};
use crate::talk::Faults;
use crate::{SOUND, WEAK, json, report};

/// One design with its board, checked.
pub(crate) struct Checked {
    pub(crate) given: Given,
    /// One a piece, in the design's order.
    pub(crate) findings: Vec<Finding>,
    /// For each piece, the piece whose opening it lies in, joined to nothing.
    pub(crate) loose: Vec<Option<String>>,
}

impl Checked {
    /// The worst piece's verdict.
    pub(crate) fn verdict(&self) -> Verdict {
        self.findings.iter().map(|finding| finding.verdict).max().unwrap_or(Verdict::Sound)
    }
}

/// Checks every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &CheckArgs) -> Result<u8, Faults> {
    if args.given.drawing.measure {
        return gather::measure(&args.given);
    }
    let mut given =
        gather::gather(&args.given, &args.out, args.picture.as_ref(), more_targets_in_the_way(args))?;
    given.iter_mut().for_each(|one| one.job.options.push_map = args.push_map.is_some());
    let checked = check_all(given)?;
    let reports = checked.iter().map(|one| report::check(one, args.out.units, args.explain));
    answer(
        &args.out,
        files(&checked, args),
        || json::check(&checked),
        || report::whole(reports, Vec::new(), checked.iter().map(|one| &one.given)),
    )?;
    let sound = checked.iter().all(|one| one.verdict() == Verdict::Sound);
    Ok(if sound { SOUND } else { WEAK })
}

/// Why what only `check` writes cannot be written.
fn more_targets_in_the_way(args: &CheckArgs) -> Faults {
    let mut faults = Faults::new();
    if let Some(path) = &args.push_map {
        faults.extend(files::no_picture(path, args.out.force));
        let mut taken = args.given.designs.iter().chain(&args.picture).chain(&args.out.json);
        if taken.any(|other| other == path) {
            faults.push(format!("--push-map names {} a second time; choose another name", path.display()));
        }
    }
    if let Some(folder) = args.inserts.as_ref().filter(|folder| !folder.is_dir()) {
        faults.push(format!("{}: there is no such directory; make it first", folder.display()));
    }
    faults
}

fn check_all(all: Vec<Given>) -> Result<Vec<Checked>, Faults> {
    let mut faults = Faults::new();
    let check_one = |given: Given| {
        let Given { job, design, .. } = &given;
        // A sheet of a hundred equal tags is one tag, a hundred times.
        let mut known = BTreeMap::new();
        let findings = gather::each_piece(&given, &mut faults, |piece| {
            let (start, outline) = piece.shape.from_its_start();
            if let Some((first, finding)) = known.get(&outline) {
                let finding: &Finding = finding;
                return Ok(finding.moved(&piece.name, start - *first));
            }
            let found =
                check(&piece.name, &piece.shape, &job.board, &job.mechanics, &job.pushes, &job.options);
            found.map(|mut finding| {
                first_remedies(&mut finding, &piece.shape, &job.board, &job.mechanics, &job.pushes);
                known.insert(outline, (start, finding.clone()));
                finding
            })
        });
        let loose = design.pieces.iter().map(|piece| lies_in(&piece.shape, design)).collect();
        Checked { given, findings, loose }
    };
    let checked = all.into_iter().map(check_one).collect();
    if faults.is_empty() { Ok(checked) } else { Err(faults) }
}

/// Every drawing that was asked for.
fn files(checked: &[Checked], args: &CheckArgs) -> Files {
    let mut files = Files::default();
    if let Some(path) = &args.picture {
        files.add(path, drawn(checked, args, drawing::picture));
    }
    if let Some(path) = &args.push_map {
        files.add(path, drawn(checked, args, drawing::push_map));
    }
    for (path, text) in inserts(checked, args.inserts.as_deref()) {
        files.add(path, text);
    }
    files
}

/// The piece in whose opening a shape lies.
fn lies_in(shape: &Shape, design: &Design) -> Option<String> {
    let corner = shape.polygon().exterior().0.first()?;
    let around = design.pieces.iter().find(|piece| {
        piece
            .shape
            .polygon()
            .interiors()
            .iter()
            .any(|opening| geo::Contains::contains(&Polygon::new(opening.clone(), Vec::new()), corner))
    })?;
    Some(around.name.clone())
}

/// One sheet with every piece.
fn drawn(checked: &[Checked], args: &CheckArgs, draw: fn(&Sheet<'_>) -> String) -> String {
    let Some(first) = checked.first() else { return String::new() };
    let pieces: Vec<(&Shape, &Finding)> = checked
        .iter()
        .flat_map(|one| one.given.design.pieces.iter().map(|piece| &piece.shape).zip(&one.findings))
        .collect();
    let given = || checked.iter().map(|one| &one.given);
    let job = &first.given.job;
    let mut notes: Vec<String> = checked.iter().flat_map(report::loose).collect();
    notes.extend(checked.iter().flat_map(report::left_out));
    let notes: Vec<&str> = notes.iter().map(String::as_str).collect();
    let cautions = report::all_cautions(given());
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    draw(&Sheet {
        title: &report::titles(given()),
        wood: job.wood.name(),
        board: &job.board,
        pushes: &job.pushes,
        units: args.out.units,
        pieces: &pieces,
        notes: &notes,
        cautions: &cautions,
    })
}

/// The outline of every proposed insert, with the file it goes to.
fn inserts(checked: &[Checked], folder: Option<&Path>) -> Vec<(PathBuf, String)> {
    let Some(folder) = folder else { return Vec::new() };
    let mut all = Vec::new();
    for one in checked {
        for finding in &one.findings {
            for place in &finding.places {
                if let Some(insert) = &place.insert {
                    let piece = match one.findings.len() {
                        1 => report::title(&one.given.file),
                        _ => format!("{}-{}", report::title(&one.given.file), finding.name),
                    };
                    let name = format!("{piece}-place-{}-insert", place.id);
                    let file = unused(&all, folder, &file_name(&name));
                    all.push((file, drawing::insert_outline(&name, insert)));
                }
            }
        }
    }
    all
}

/// A file name of its own, though designs or pieces are called alike.
fn unused(all: &[(PathBuf, String)], folder: &Path, name: &str) -> PathBuf {
    let numbered = (2..).map(|n| format!("{name}-{n}"));
    std::iter::once(name.to_owned())
        .chain(numbered)
        .map(|name| folder.join(format!("{name}.svg")))
        .find(|file| all.iter().all(|(other, _)| other != file))
        .expect("there are more numbers than files")
}

/// A piece's name as a file's: letters, digits and a few marks, the rest as `_`.
fn file_name(name: &str) -> String {
    name.chars().map(|c| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '_' }).collect()
}
