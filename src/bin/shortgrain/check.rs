//! The verb `check`.

use std::path::{Path, PathBuf};

use geo_types::Polygon;
use shortgrain::check::{Finding, Verdict, check};
use shortgrain::design::{self, Design};
use shortgrain::drawing::{self, Sheet};
use shortgrain::mend::first_remedies;
use shortgrain::shape::Shape;
use shortgrain::units::Length;

use crate::args::{BoardArgs, CheckArgs, DrawingArgs, OutArgs, PushArgs};
use crate::files::{self, Files};
use crate::job::{self, Job};
use crate::talk::{self, Faults};
use crate::{SOUND, WEAK, json, report};

/// One design with its board, checked.
pub(crate) struct Checked {
    /// The file as it was named.
    pub(crate) file: String,
    pub(crate) job: Job,
    pub(crate) design: Design,
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

/// What every verb that reads drawings is told.
#[derive(Clone, Copy)]
pub(crate) struct Asked<'a> {
    pub(crate) designs: &'a [PathBuf],
    pub(crate) board: &'a BoardArgs,
    pub(crate) pushes: &'a PushArgs,
    pub(crate) drawing: &'a DrawingArgs,
    pub(crate) out: &'a OutArgs,
    pub(crate) picture: Option<&'a PathBuf>,
}

/// Checks every design, writes what was asked for, and gives the exit status.
pub(crate) fn run(args: &CheckArgs) -> Result<u8, Faults> {
    let asked = Asked {
        designs: &args.designs,
        board: &args.board,
        pushes: &args.pushes,
        drawing: &args.drawing,
        out: &args.out,
        picture: args.picture.as_ref(),
    };
    let (designs, mut faults) = read(&asked);
    if args.drawing.measure {
        return if faults.is_empty() { measure(&designs) } else { Err(faults) };
    }
    let mut jobs = settle(&asked, &mut faults);
    jobs.iter_mut().for_each(|job| job.options.push_map = args.push_map.is_some());
    faults.extend(targets_in_the_way(&asked));
    if let Some(path) = &args.push_map {
        faults.extend(files::in_the_way(path, args.out.force));
        let taken = args.designs.iter().chain(&args.picture).chain(&args.out.json);
        if taken.into_iter().any(|other| other == path) {
            faults.push(format!("--push-map names {} a second time; choose another name", path.display()));
        }
    }
    if let Some(folder) = args.inserts.as_ref().filter(|folder| !folder.is_dir()) {
        faults.push(format!("{}: there is no such directory; make it first", folder.display()));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let checked = check_all(designs, jobs)?;
    let json = args.out.json.as_ref().map(|path| (path, json::check(&checked)));
    write(&checked, args, json.as_ref())?;
    match json {
        Some((path, text)) if path.as_os_str() == "-" => talk::answer(&text)?,
        _ if args.out.quiet => {}
        _ => {
            let report = |one| report::check(one, args.out.units, args.explain);
            let reports: Vec<String> = checked.iter().map(report).collect();
            talk::answer(
                &(reports.join("\n")
                    + &report::cautions(
                        checked.iter().map(|one| (one.file.as_str(), &one.job, &one.design)),
                    )),
            )?;
        }
    }
    let sound = checked.iter().all(|one| one.verdict() == Verdict::Sound);
    Ok(if sound { SOUND } else { WEAK })
}

/// Writes every file that was asked for.
fn write(checked: &[Checked], args: &CheckArgs, json: Option<&(&PathBuf, String)>) -> Result<(), Faults> {
    let mut files = Files::default();
    if let Some((path, text)) = json.filter(|(path, _)| path.as_os_str() != "-") {
        files.add(path.as_path(), text.clone());
    }
    if let Some(path) = &args.picture {
        files.add(path, drawn(checked, args, drawing::picture));
    }
    if let Some(path) = &args.push_map {
        files.add(path, drawn(checked, args, drawing::push_map));
    }
    for (path, text) in inserts(checked, args.inserts.as_deref()) {
        files.add(path, text);
    }
    files.write(args.out.force)
}

/// Reads all drawings, with the faults of all of them.
pub(crate) fn read(args: &Asked<'_>) -> (Vec<(PathBuf, Design)>, Faults) {
    let mut designs = Vec::new();
    let mut faults = job::reading_faults(args.drawing);
    for path in args.designs {
        let name = path.display().to_string();
        // A board file that cannot be read is told of where the board is settled; here its words are missing.
        let file = job::board_file(path, args.board).unwrap_or_default();
        let options = job::reading(args.drawing, &file);
        let design = job::read(path)
            .and_then(|bytes| design::read(&name, &bytes, &options).map_err(|error| error.to_string()));
        match design {
            Ok(design) => designs.push((path.clone(), design)),
            Err(fault) => faults.push(fault),
        }
    }
    (designs, faults)
}

/// Settles the board of every design; what is wrong with one is said once.
pub(crate) fn settle(args: &Asked<'_>, faults: &mut Faults) -> Vec<Job> {
    let mut jobs: Vec<Job> = Vec::new();
    for path in args.designs {
        let job = job::board_file(path, args.board)
            .map_err(|fault| vec![fault])
            .and_then(|file| job::settle(path, &file, args.board, args.pushes));
        match job {
            Ok(job) => jobs.push(job),
            Err(more) => {
                for fault in more {
                    if !faults.contains(&fault) {
                        faults.push(fault);
                    }
                }
            }
        }
    }
    let one_board = jobs.windows(2).all(|pair| pair[0] == pair[1]);
    if !one_board && (args.out.json.is_some() || args.picture.is_some()) {
        faults.push(
            "these designs have different boards or pushes, and one JSON file or picture holds one board; check them \
             one at a time, or name one board with --board"
                .to_owned(),
        );
    }
    jobs
}

/// Why something that was asked for cannot be written, before any work is done.
pub(crate) fn targets_in_the_way(args: &Asked<'_>) -> Faults {
    let force = args.out.force;
    let json = args.out.json.as_ref().filter(|path| path.as_os_str() != "-");
    let mut faults: Faults =
        json.into_iter().chain(args.picture).filter_map(|path| files::in_the_way(path, force)).collect();
    if json.is_some() && json == args.picture {
        faults.push("--json and --picture name the same file; choose two names".to_owned());
    }
    for path in json.into_iter().chain(args.picture) {
        if args.designs.contains(path) {
            faults.push(format!("{} is the design itself; choose another name", path.display()));
        }
    }
    faults
}

pub(crate) fn measure(designs: &[(PathBuf, Design)]) -> Result<u8, Faults> {
    let several = designs.len() > 1;
    let mut text = String::new();
    for (path, design) in designs {
        if several {
            text.push_str(&format!("{}\n", path.display()));
        }
        text.push_str(&format!("{}\n", design.reading));
        let area: f64 = design.pieces.iter().map(|piece| piece.shape.area()).sum();
        let square_inches = area / Length::inch(1.0).as_mm().powi(2);
        text.push_str(&format!("area: {area:.2} mm² ({square_inches:.3} sq in) of wood\n"));
    }
    talk::answer(&text)?;
    Ok(SOUND)
}

fn check_all(designs: Vec<(PathBuf, Design)>, jobs: Vec<Job>) -> Result<Vec<Checked>, Faults> {
    let mut all = Vec::new();
    let mut faults = Faults::new();
    for ((path, design), job) in designs.into_iter().zip(jobs) {
        match check_one(&path, design, job) {
            Ok(checked) => all.push(checked),
            Err(more) => faults.extend(more),
        }
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

fn check_one(path: &Path, design: Design, job: Job) -> Result<Checked, Faults> {
    let file = path.display().to_string();
    let mut findings = Vec::new();
    let mut faults = Faults::new();
    for piece in &design.pieces {
        match check(&piece.name, &piece.shape, &job.board, &job.mechanics, &job.pushes, &job.options) {
            Ok(mut finding) => {
                first_remedies(&mut finding, &piece.shape, &job.board, &job.mechanics, &job.pushes);
                findings.push(finding);
            }
            Err(error) => faults.push(format!("{file}: {}: {error}", piece.name)),
        }
    }
    let loose = design.pieces.iter().map(|piece| lies_in(&piece.shape, &design)).collect();
    if faults.is_empty() { Ok(Checked { file, job, design, findings, loose }) } else { Err(faults) }
}

/// The piece in whose opening a shape lies.
pub(crate) fn lies_in(shape: &Shape, design: &Design) -> Option<String> {
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
        .flat_map(|one| one.design.pieces.iter().map(|piece| &piece.shape).zip(&one.findings))
        .collect();
    let title: Vec<String> = checked.iter().map(|one| report::title(&one.file)).collect();
    let notes: Vec<String> = checked.iter().flat_map(report::loose).collect();
    let notes: Vec<&str> = notes.iter().map(String::as_str).collect();
    let cautions = report::all_cautions(checked.iter().map(|one| (one.file.as_str(), &one.job, &one.design)));
    let cautions: Vec<&str> = cautions.iter().map(String::as_str).collect();
    draw(&Sheet {
        title: &title.join(", "),
        wood: first.job.wood.name(),
        board: &first.job.board,
        pushes: &first.job.pushes,
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
                        1 => report::title(&one.file),
                        _ => format!("{}-{}", report::title(&one.file), finding.name),
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
