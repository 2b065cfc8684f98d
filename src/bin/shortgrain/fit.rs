//! The verb `fit`.

mod args;
mod json;
mod report;

use shortgrain::design::{BoardFile, Design};
use shortgrain::drawing::cutting::{File, Piece, Pocket, Set, Stock};
use shortgrain::drawing::words;
use shortgrain::fit::{self, Fit, FitError, Options};
use shortgrain::units::{Angle, Length};
use shortgrain::wood::Wood;

pub(crate) use args::{FitArgs, GlueArg};
pub(crate) use json::made_with;

use crate::answer::answer;
use crate::files::Files;
use crate::size::{self, SizeError};
use crate::talk::{self, Faults};
use crate::{SOUND, WEAK, gather, job, source};

/// One insert with its pocket.
struct Fitted {
    name: String,
    /// The file it was drawn in.
    design: Option<String>,
    /// The question whether that drawing's size is right.
    doubt: Option<String>,
    fit: Fit,
}

/// Fits what was asked for, writes the files, and gives the exit status.
pub(crate) fn run(args: &FitArgs) -> Result<u8, Faults> {
    let mut faults = Faults::new();
    if args.design.is_none() && args.bar.is_empty() {
        faults.push(
            "what is to be fitted? Name a drawing, or give a bar's size, such as --bar 60mm x 12mm"
                .to_owned(),
        );
        return Err(faults);
    }
    let board = beside(args, &mut faults);
    let reading = job::reading(&args.drawing.as_usual(), &board, &[]);
    let design = args.design.as_deref().map(|path| job::design(path, &reading)).transpose();
    let design = design.unwrap_or_else(|fault| {
        faults.push(fault);
        None
    });
    if let (true, Some(design)) = (args.drawing.measure, &design) {
        return if faults.is_empty() {
            talk::print(&format!("{}\n", design.reading)).map(|()| SOUND)
        } else {
            Err(faults)
        };
    }
    let wood = wood(args, &board, &mut faults);
    faults.extend(targets_in_the_way(args));
    let options = options(args, &board, &mut faults);
    let mut fitted = Vec::new();
    if let Some(options) = &options {
        match &design {
            Some(design) => outlines(args, design, options, &mut fitted, &mut faults),
            None if args.design.is_none() => bar_of(args, options, &mut fitted, &mut faults),
            None => {}
        }
    }
    let (Some(options), true) = (options, faults.is_empty()) else { return Err(talk::once(faults)) };
    let set = set(args, &fitted, &options, wood)?;
    write(args, &fitted, &set)
}

/// The board file beside the design: it knows the board's thickness and wood.
fn beside(args: &FitArgs, faults: &mut Faults) -> BoardFile {
    let Some(design) = &args.design else { return BoardFile::default() };
    job::board_beside(design).unwrap_or_else(|fault| {
        faults.push(fault);
        BoardFile::default()
    })
}

/// The wood's own name, where one was given.
fn wood(args: &FitArgs, board: &BoardFile, faults: &mut Faults) -> Option<String> {
    let name = args.stock.wood.as_ref().or(board.wood.as_ref())?;
    match Wood::find(name) {
        Ok(wood) => Some(wood.name().to_owned()),
        Err(error) => {
            faults.push(job::no_wood(&error));
            None
        }
    }
}

fn options(args: &FitArgs, board: &BoardFile, faults: &mut Faults) -> Option<Options> {
    let (made, usual) = (&args.made, Options::default());
    let thickness = made.thickness.or(board.thickness);
    let half = thickness.map(|thickness| Length::mm(thickness.as_mm() / 2.0));
    let Some(depth) = made.depth.or(half) else {
        faults.push(
            "how deep the pocket is to be is not known; add --depth 9.5mm, or --thickness with the board's, of which half is taken"
                .to_owned(),
        );
        return None;
    };
    let pocket_bit = made.pocket_bit.unwrap_or(usual.pocket_bit);
    Some(Options {
        clearance: made.clearance.unwrap_or(usual.clearance),
        pocket_bit,
        insert_bit: made.insert_bit.unwrap_or(pocket_bit),
        corners: made.corners.into(),
        depth,
        proud: made.proud.unwrap_or(usual.proud),
        board: thickness,
        glue: made.glue.into(),
    })
}

/// Fits the outlines of a drawing.
fn outlines(
    args: &FitArgs,
    design: &Design,
    options: &Options,
    fitted: &mut Vec<Fitted>,
    faults: &mut Faults,
) {
    let file = args.design.as_ref().map(|path| source::name(path));
    let doubt = design.reading.doubt().map(|doubt| doubt.to_string());
    for name in &args.piece {
        if design.pieces.iter().all(|piece| piece.name != *name) {
            let known: Vec<&str> = design.pieces.iter().map(|piece| piece.name.as_str()).collect();
            faults.push(format!("no outline is called \"{name}\"; the drawing has {}", known.join(", ")));
        }
    }
    let wanted = |name: &String| args.piece.is_empty() || args.piece.contains(name);
    for piece in design.pieces.iter().filter(|piece| wanted(&piece.name)) {
        let grain = args.stock.grain.unwrap_or_else(|| fit::long_way(&piece.shape));
        match fit::fit(&piece.shape, grain, options) {
            Ok(fit) => {
                let (name, design, doubt) = (piece.name.clone(), file.clone(), doubt.clone());
                fitted.push(Fitted { name, design, doubt, fit });
            }
            Err(error) => faults.extend(told(&piece.name, &error, args)),
        }
    }
}

fn bar_of(args: &FitArgs, options: &Options, fitted: &mut Vec<Fitted>, faults: &mut Faults) {
    // However the shell has parted it.
    let typed = args.bar.join(" ");
    match size::read(&typed) {
        Ok([length, width]) => match fit::bar(length, width, options) {
            Ok(fit) => fitted.push(Fitted { name: "bar".to_owned(), design: None, doubt: None, fit }),
            Err(error) => faults.extend(told("bar", &error, args)),
        },
        Err(SizeError::One) => faults
            .push(format!("--bar {typed}: this is one size; write length and width, such as 60mm x 12mm")),
        Err(SizeError::Length(why)) => faults.push(format!(
            "--bar {typed}: {why}; write length and width, such as 60mm x 12mm or 2-1/2in x 1/2in"
        )),
    }
}

/// Every fault of a fit in the reader's units; of what does not hang on the outline its name is left out.
fn told(name: &str, error: &FitError, args: &FitArgs) -> Faults {
    let sentence = |fault: &fit::Fault| {
        let said = words::fit_sentence(args.answer.units, &fault.to_string());
        if fault.is_of_outline() { format!("{name}: {said}") } else { said }
    };
    error.faults.iter().map(sentence).collect()
}

/// Everything that can be written of it.
fn set(args: &FitArgs, fitted: &[Fitted], options: &Options, wood: Option<String>) -> Result<Set, Faults> {
    let name = args.design.as_ref().map_or_else(
        || "bar".to_owned(),
        |path| path.file_stem().unwrap_or_default().to_string_lossy().into_owned(),
    );
    let mut piece = Piece::pockets_only(name.clone(), Angle::deg(0.0));
    piece.thickness = options.board;
    for one in fitted {
        piece = piece.with_pocket(Pocket { fit: one.fit.clone(), wood: wood.clone() });
    }
    let coupon = match args.coupon {
        true => Some(fit::coupon(options).map_err(|error| told("coupon", &error, args))?),
        false => None,
    };
    let spares = args.stock.spares.map(usize::from);
    let stock = Stock { spares, ..Stock::default() };
    Ok(Set { coupon, stock, units: args.answer.units, ..Set::new(name).with_piece(piece) })
}

/// Writes every file that was asked for, then the answer.
fn write(args: &FitArgs, fitted: &[Fitted], set: &Set) -> Result<u8, Faults> {
    let all: Vec<File> = if args.out.is_some() || args.picture.is_some() { set.files() } else { Vec::new() };
    let mut files = Files::default();
    let mut names = Vec::new();
    if let Some(folder) = &args.out {
        for file in &all {
            files.add(folder.join(&file.name), file.text.clone());
            names.push(file.name.clone());
        }
    }
    if let Some(path) = &args.picture {
        let pattern = all.iter().find(|file| file.name.ends_with("-pattern.svg"));
        files.add(path.as_path(), pattern.map(|file| file.text.clone()).unwrap_or_default());
    }
    let folder = args.out.as_ref().map(|folder| folder.display().to_string());
    let written = folder.as_deref().map(|folder| (folder, names.as_slice()));
    answer(
        &args.answer,
        files,
        || json::written(fitted, &names),
        || report::written(fitted, args.answer.units, args.explain, written),
    )?;
    let careful = fitted.iter().any(|one| !one.fit.cautions.is_empty());
    Ok(if careful { WEAK } else { SOUND })
}

/// Why something that was asked for cannot be written, before any work is done. Files of `--out` are looked at when they are
/// written, since their names are known only then.
fn targets_in_the_way(args: &FitArgs) -> Faults {
    let mut faults =
        gather::targets_in_the_way(args.design.as_slice(), None, &args.answer, args.picture.as_ref());
    if let Some(folder) = args.out.as_ref().filter(|folder| !folder.is_dir()) {
        faults.push(format!("{}: there is no such directory; make it first", folder.display()));
    }
    faults
}
