//! The way in of `check`, `turn` and `mend`: the drawings that were named, each with its board and pushes.

use std::fmt::Display;
use std::path::{Path, PathBuf};

use shortgrain::design::{BoardFile, Design, Piece};
use shortgrain::units::Length;

use crate::args::{DesignArgs, OutArgs};
use crate::job::{self, Job};
use crate::talk::{self, Faults};
use crate::{SOUND, files, fonts, source};

/// One design with its board.
pub(crate) struct Given {
    /// The file as it was named.
    pub(crate) file: String,
    pub(crate) job: Job,
    pub(crate) design: Design,
}

/// Reads every drawing, settles its board and looks whether what is asked for can be written.
///
/// # Errors
///
/// Everything that is wrong, at once; last comes what the verb itself finds wrong.
pub(crate) fn gather(
    args: &DesignArgs,
    out: &OutArgs,
    picture: Option<&PathBuf>,
    of_verb: Faults,
) -> Result<Vec<Given>, Faults> {
    once_each(args)?;
    let boards = boards(args);
    let (designs, mut faults) = read(args, &boards);
    let jobs = settle(args, &boards, &mut faults);
    if jobs.windows(2).any(|pair| pair[0] != pair[1]) && (out.json.is_some() || picture.is_some()) {
        faults.push(
            "these designs have different boards or pushes, and one JSON file or picture holds one board; check them \
             one at a time, or name one board with --board"
                .to_owned(),
        );
    }
    faults.extend(targets_in_the_way(&args.designs, args.board.board.as_deref(), out, picture));
    faults.extend(of_verb);
    if args.has_no_answer(&faults) {
        return Err(faults);
    }
    let named = args.designs.iter().map(|path| source::name(path));
    let given = named.zip(jobs).zip(designs);
    Ok(given.map(|((file, job), design)| Given { file, job, design }).collect())
}

/// Prints the overall size of every drawing and how it was read.
///
/// # Errors
///
/// What is wrong with each.
pub(crate) fn measure(args: &DesignArgs) -> Result<u8, Faults> {
    once_each(args)?;
    let boards = boards(args);
    let (designs, faults) = read(args, &boards);
    let faults = talk::once(faults.into_iter().chain(boards.into_iter().filter_map(Result::err)));
    if args.has_no_answer(&faults) {
        return Err(faults);
    }
    let mut text = String::new();
    for (path, design) in args.designs.iter().zip(&designs) {
        if designs.len() > 1 {
            text.push_str(&format!("{}\n", source::name(path)));
        }
        text.push_str(&format!("{}\n", design.reading));
        let area: f64 = design.pieces.iter().map(|piece| piece.shape.area()).sum();
        let square_inches = area / Length::inch(1.0).as_mm().powi(2);
        text.push_str(&format!("area: {area:.2} mm² ({square_inches:.3} sq in) of wood\n"));
    }
    talk::print(&text)?;
    Ok(SOUND)
}

/// What a verb finds for every piece of a design, in the design's order; what is wrong joins `faults`.
pub(crate) fn each_piece<T, E: Display>(
    given: &Given,
    faults: &mut Faults,
    mut find: impl FnMut(&Piece) -> Result<T, E>,
) -> Vec<T> {
    let told = |piece: &Piece, error| format!("{}: {}: {error}", given.file, piece.name);
    let found = given.design.pieces.iter().map(|piece| find(piece).map_err(|error| told(piece, error)));
    found.filter_map(|found| found.map_err(|fault| faults.push(fault)).ok()).collect()
}

/// Why something that was asked for cannot be written, before any work is done.
pub(crate) fn targets_in_the_way(
    designs: &[PathBuf],
    board: Option<&Path>,
    out: &OutArgs,
    picture: Option<&PathBuf>,
) -> Faults {
    let json = out.json.as_ref().filter(|path| path.as_os_str() != "-");
    let named: Vec<&PathBuf> = json.into_iter().chain(picture).collect();
    let mut faults: Faults = json.into_iter().filter_map(|path| files::in_the_way(path, out.force)).collect();
    faults.extend(picture.and_then(|path| files::no_picture(path, out.force)));
    if json.zip(picture).is_some_and(|(json, picture)| files::is_same(json, picture)) {
        faults.push("--json and --picture name the same file; choose two names".to_owned());
    }
    for path in named {
        let beside = designs.iter().map(|design| job::beside(design));
        if designs.iter().any(|design| files::is_same(design, path)) {
            faults.push(format!("{} is the design itself; choose another name", path.display()));
        } else if board
            .map(Path::to_owned)
            .into_iter()
            .chain(beside)
            .any(|board| files::is_same(&board, path))
        {
            faults.push(format!("{} is the board file; choose another name", path.display()));
        }
    }
    faults
}

/// What comes in by standard input can be read once.
fn once_each(args: &DesignArgs) -> Result<(), Faults> {
    let named = args.designs.iter().chain(&args.board.board).filter(|path| source::is_standard_input(path));
    match named.count() {
        0 | 1 => Ok(()),
        _ => Err(vec![
            "standard input (-) is named more than once and can be read once; name files for the rest"
                .to_owned(),
        ]),
    }
}

/// The board file of every design, or what is wrong with it. One that was named is read once: it may be a pipe.
fn boards(args: &DesignArgs) -> Vec<Result<BoardFile, String>> {
    match args.board.board.as_deref() {
        Some(named) => vec![job::named_board(named); args.designs.len()],
        None => args.designs.iter().map(|path| job::board_beside(path)).collect(),
    }
}

/// All drawings, and the faults of those that cannot be read; none where it is not known how to read them.
fn read(args: &DesignArgs, boards: &[Result<BoardFile, String>]) -> (Vec<Design>, Faults) {
    let mut faults = job::reading_faults(&args.drawing);
    if args.refuses_reading() {
        return (Vec::new(), faults);
    }
    let fonts = fonts::find_all(&args.drawing.font, &mut faults);
    let one = |(path, board): (&PathBuf, &Result<BoardFile, String>)| -> Result<Design, String> {
        // A board file that cannot be read is told of where the board is settled; here its words are missing.
        let file = board.clone().unwrap_or_default();
        job::design(path, &job::reading(&args.drawing, &file, &fonts))
    };
    let designs = args
        .designs
        .iter()
        .zip(boards)
        .filter_map(|given| one(given).map_err(|fault| faults.push(fault)).ok());
    (designs.collect(), faults)
}

/// The board of every design; what is wrong with one is said once.
fn settle(args: &DesignArgs, boards: &[Result<BoardFile, String>], faults: &mut Faults) -> Vec<Job> {
    let one = |path: &Path, board: &Result<BoardFile, String>| match board {
        Ok(file) => job::settle(path, Some(file), args),
        Err(fault) => {
            let more = job::settle(path, None, args).err().unwrap_or_default();
            Err([fault.clone()].into_iter().chain(more).collect())
        }
    };
    let mut jobs = Vec::new();
    for (path, board) in args.designs.iter().zip(boards) {
        match one(path, board) {
            Ok(job) => jobs.push(job),
            Err(more) => *faults = talk::once(std::mem::take(faults).into_iter().chain(more)),
        }
    }
    jobs
}
