//! What the arguments and the board file mean together.

use std::fs;
use std::path::{Path, PathBuf};

use shortgrain::check::{self, Pushes};
use shortgrain::design::{self, BoardFile, Design, Font};
use shortgrain::units::{Angle, Length};
use shortgrain::wood::{Board, Mechanics, OwnValues, Value, Wood, WoodError};

use crate::args::{DesignArgs, DrawingArgs, MAP, Most, UNKNOWNS};
use crate::files;
use crate::source;
use crate::talk::Faults;

/// The moisture woods are tested at.
pub(crate) const TESTED_AT: f64 = 12.0;

/// A board with its wood and the pushes, all of it known.
#[derive(Debug, PartialEq)]
pub(crate) struct Job {
    pub(crate) wood: &'static Wood,
    pub(crate) board: Board,
    /// The user's own figures for the wood.
    pub(crate) own: OwnValues,
    pub(crate) values: Vec<Value>,
    pub(crate) mechanics: Mechanics,
    pub(crate) cautions: Vec<String>,
    pub(crate) pushes: Pushes,
    /// Whether the pushes are the default ones.
    pub(crate) usual_pushes: bool,
    pub(crate) options: check::Options,
}

/// Where the board file of a design lies that names none.
pub(crate) fn beside(design: &Path) -> PathBuf {
    files::folder(design).join("board.toml")
}

/// The board file beside a design, or an empty one.
///
/// # Errors
///
/// What is wrong with it.
pub(crate) fn board_beside(design: &Path) -> Result<BoardFile, String> {
    let beside = beside(design);
    if beside.is_file() { named_board(&beside) } else { Ok(BoardFile::default()) }
}

/// The board file of that name.
///
/// # Errors
///
/// What is wrong with it.
pub(crate) fn named_board(path: &Path) -> Result<BoardFile, String> {
    let name = source::name(path);
    if path.is_dir() {
        let inside = path.join("board.toml");
        let such = if inside.is_file() { format!(", such as {}", inside.display()) } else { String::new() };
        return Err(format!("{name}: this is a directory; name a board file in it{such}"));
    }
    let text = String::from_utf8(source::read(path, MOST_OF_BOARD)?)
        .map_err(|_| format!("{name}: this is not text; write a board file as UTF-8"))?;
    design::read_board(&name, &text).map_err(|error| error.to_string())
}

/// Settles board and pushes for one design. Of a board file that cannot be read nobody knows what it would have said: nothing is
/// missing then.
///
/// # Errors
///
/// Everything that is missing or wrong, at once.
pub(crate) fn settle(design: &Path, file: Option<&BoardFile>, args: &DesignArgs) -> Result<Job, Faults> {
    let DesignArgs { board, pushes, .. } = args;
    let nothing = BoardFile::default();
    let is_readable = file.is_some();
    let file = file.unwrap_or(&nothing);
    let mut faults = Faults::new();
    let mut missing = Vec::new();
    let wood_name = board.wood.as_ref().or(file.wood.as_ref());
    let wood = match wood_name.map(|name| Wood::find(name)) {
        Some(Ok(wood)) => Some(wood),
        Some(Err(error)) => {
            faults.push(no_wood(&error));
            None
        }
        None => {
            missing.push("the wood (--wood cherry)");
            None
        }
    };
    let thickness = board.thickness.or(file.thickness);
    if thickness.is_none() && !args.refuses("--thickness") {
        missing.push("the board's thickness (--thickness 19mm or 3/4in)");
    }
    let grain = board.grain.or(file.grain);
    if grain.is_none() && !args.refuses("--grain") {
        missing.push("which way the grain runs (--grain 0deg along the drawing's x axis, 90deg up the page)");
    }
    if !missing.is_empty() && is_readable {
        faults.push(format!(
            "{}: this is not known: {}; add it, or write it in a board.toml beside the design",
            source::name(design),
            missing.join(", "),
        ));
    }
    let usual = Pushes::default();
    let face = pushes.push.or(file.push);
    let side = pushes.side.or(file.side);
    for (force, name) in [(face, "push"), (side, "side")] {
        if force.is_some_and(|force| force.as_n() <= 0.0) {
            faults.push(format!(
                "--{name} has to be above zero; write the force the piece must bear, such as 45N"
            ));
        }
    }
    if thickness.is_some_and(|thickness| !(0.5..=200.0).contains(&thickness.as_mm())) {
        faults.push("a board is from 0.5 mm to 200 mm thick; check --thickness and its unit".to_owned());
    }
    let crossing = pushes.crossing.as_deg();
    if !(10.0..=80.0).contains(&crossing) {
        faults.push("--crossing is an angle from 10deg to 80deg; 30deg is usual".to_owned());
    }
    let (Some(wood), Some(thickness), Some(grain), true) = (wood, thickness, grain, faults.is_empty()) else {
        return Err(faults);
    };
    let board = Board {
        thickness,
        grain,
        rings: board.rings.map(Into::into).or(file.rings).unwrap_or_default(),
        moisture_pct: board.moisture.or(file.moisture_pct).unwrap_or(TESTED_AT),
    };
    let own: &OwnValues = &file.values;
    let told = |error: WoodError| vec![error.to_string()];
    Ok(Job {
        wood,
        values: wood.values(&board, own).map_err(told)?,
        mechanics: wood.mechanics(&board, own).map_err(told)?,
        cautions: wood.cautions(&board, own).map_err(told)?,
        own: own.clone(),
        board,
        pushes: Pushes { face: face.unwrap_or(usual.face), side: side.unwrap_or(usual.side) },
        usual_pushes: face.is_none() && side.is_none(),
        options: check::Options {
            crossing: pushes.crossing,
            unknowns: work(&args.drawing, UNKNOWNS, check::Options::UNKNOWNS),
            map: work(&args.drawing, MAP, check::Options::MAP),
            ..check::Options::default()
        },
    })
}

/// A limit on the work of solid models as it was typed, or as it usually is.
fn work(args: &DrawingArgs, name: &str, usual: usize) -> usize {
    let typed = args.limit.iter().rev().filter(|(other, _)| other == name);
    let numbers = typed.filter_map(|(_, most)| match most {
        Most::Number(most) => Some(*most),
        Most::Length(_) => None,
    });
    numbers.into_iter().next().unwrap_or(usual)
}

/// Why there is no wood of a name, and where all are shown.
pub(crate) fn no_wood(error: &WoodError) -> String {
    match error {
        // Its last word is of the sheet, which no list of woods holds.
        WoodError::NotSolid { .. } => error.to_string(),
        // It ends in a question of its own.
        WoodError::Unknown { nearest, .. } if !nearest.is_empty() => {
            format!("{error} `shortgrain wood` shows all")
        }
        _ => format!("{error}; `shortgrain wood` shows all"),
    }
}

/// What is wrong with how a drawing is to be read.
pub(crate) fn reading_faults(args: &DrawingArgs) -> Faults {
    let mut faults = Faults::new();
    let out = |length: Option<Length>, least: f64, most: f64| {
        length.is_some_and(|length| !(least..=most).contains(&length.as_mm()))
    };
    if out(args.tolerance, 0.0005, 1.0) {
        faults.push("--tolerance is from 0.0005mm to 1mm; 0.02mm is usual".to_owned());
    }
    if out(args.gap, 0.0, 5.0) {
        faults.push("--gap is from 0mm to 5mm; join wider gaps in the drawing".to_owned());
    }
    faults
}

/// What is wrong with the step from one grain angle to the next.
pub(crate) fn step_fault(step: Angle) -> Option<String> {
    let usual = (0.5..=45.0).contains(&step.as_deg());
    (!usual).then(|| "--step is an angle from 0.5deg to 45deg; 5deg is usual".to_owned())
}

/// How a drawing is to be read.
pub(crate) fn reading(args: &DrawingArgs, file: &BoardFile, fonts: &[Font]) -> design::Options {
    let usual = design::Options::default();
    let mut limits = usual.limits;
    for (name, most) in &args.limit {
        match most {
            Most::Number(most) => limits.set(name, *most),
            Most::Length(most) => limits.set_length(name, *most),
        };
    }
    design::Options {
        limits,
        scale: args.scale.unwrap_or(usual.scale),
        fonts: fonts.to_vec(),
        drawn_in: args.drawn_in.or(file.drawn_in),
        tolerance: args.tolerance.unwrap_or(usual.tolerance),
        gap: args.gap.unwrap_or(usual.gap),
        inner: args.inner.map(Into::into).or(file.inner),
        page: args.page.map(Into::into).or(file.page),
        pick: design::Pick { layers: args.layer.clone(), pieces: args.piece.clone() },
    }
}

/// Reads a drawing.
pub(crate) fn design(path: &Path, reading: &design::Options) -> Result<Design, String> {
    if path.is_dir() {
        return Err(directory(path));
    }
    let name = source::name(path);
    design::read(&name, &source::read(path, reading.limits.bytes)?, reading)
        .map_err(|error| error.to_string())
}

/// What to name instead of a directory.
fn directory(path: &Path) -> String {
    let is_drawing = |file: &PathBuf| {
        let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
        file.is_file() && (ending == "svg" || ending == "dxf")
    };
    let inside = fs::read_dir(path).into_iter().flatten().flatten().map(|entry| entry.path());
    let name = path.display();
    match inside.filter(is_drawing).min() {
        Some(drawing) => {
            format!("{name}: this is a directory; name a drawing in it, such as {}", drawing.display())
        }
        None => format!("{name}: this is a directory, and no drawing lies in it; name an SVG or DXF file"),
    }
}

/// So much of a board file is read, in bytes: more than it may have.
const MOST_OF_BOARD: usize = 1 << 20;
