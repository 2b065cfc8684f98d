//! Files for cutting, of every piece with the remedy that was chosen for it.

use std::path::Path;

use shortgrain::design;
use shortgrain::drawing::cutting::{File, NotCut, Piece, Set, Tally};
use shortgrain::drawing::words;
use shortgrain::fit;
use shortgrain::mend::{Kind, Mending, Remedy};
use shortgrain::season::Adhesive;
use shortgrain::units::Units;

use super::{Cared, set};
use crate::args::{MendArgs, place};
use crate::columns::{LINE, capital, wrap};
use crate::gather::Given;
use crate::job::Job;
use crate::talk::{self, Faults};
use crate::{files, source};

/// What is written of one design, or of all as one set.
pub(super) struct Cut {
    pub(super) files: Vec<File>,
    /// How each piece is cut, in words.
    how: String,
    /// What is got out for it.
    tally: Tally,
}

/// Why files for cutting cannot be written, before any work is done: those that are written whatever the remedy.
pub(super) fn in_the_way(given: &[Given], args: &MendArgs) -> Faults {
    let Some(folder) = &args.into else { return Faults::new() };
    if let Some(none) = args.take.and_then(NotCut::of) {
        return vec![another(&none)];
    }
    if !folder.is_dir() {
        return vec![format!("{}: there is no such directory; make it first", folder.display())];
    }
    let names: Vec<String> = given.iter().map(|one| name(&one.file)).collect();
    let mut faults = Faults::new();
    for k in 0..names.len() {
        if names[..k].contains(&names[k]) {
            faults.push(format!("two designs are called {}; write their files one at a time", names[k]));
        }
    }
    for group in sets(given, args) {
        let mut set = Set::new(set_name(&group[0], args));
        for one in group {
            let pieces = one.design.pieces.iter();
            set.pieces
                .extend(pieces.map(|piece| as_drawn(set::name(one, piece, group.len()), piece, &one.job)));
        }
        let paths = set.files().into_iter().map(|file| folder.join(file.name));
        faults.extend(paths.filter_map(|path| files::in_the_way(&path, args.out.force)));
    }
    talk::once(faults)
}

/// What is written as one set: each drawing for itself, or all of them.
fn sets<'a, T>(all: &'a [T], args: &MendArgs) -> std::slice::Chunks<'a, T> {
    all.chunks(if args.set.is_some() { all.len().max(1) } else { 1 })
}

/// The name of the set that begins with a drawing.
fn set_name(first: &Given, args: &MendArgs) -> String {
    args.set.clone().unwrap_or_else(|| name(&first.file))
}

/// The files of every design.
///
/// # Errors
///
/// A sentence for each piece that has no remedy to be cut, and for each insert that the bit does not get into.
pub(super) fn cut(cared: &[Cared], args: &MendArgs) -> Result<Vec<Cut>, Faults> {
    if args.into.is_none() {
        return Ok(Vec::new());
    }
    let mut faults = Faults::new();
    let mut all = Vec::new();
    for group in sets(cared, args) {
        let mut set = Set { units: args.out.units, ..Set::new(set_name(&group[0].given, args)) };
        let mut how = Vec::new();
        for one in group {
            for (piece, mending) in one.given.design.pieces.iter().zip(&one.mendings) {
                match mended(one, set::name(&one.given, piece, group.len()), piece, mending, args) {
                    Ok((piece, with)) => {
                        how.push(format!("{} {with}", piece.name));
                        set.pieces.push(piece);
                    }
                    Err(more) => faults.extend(more),
                }
            }
        }
        let first =
            set.pieces.iter().flat_map(|piece| &piece.pockets).next().map(|pocket| pocket.fit.options);
        if let Some(options) = first {
            how.push(gap(&options, args.out.units));
        }
        if args.coupon {
            match first.map(|options| fit::coupon(&options)) {
                Some(Ok(coupon)) => set.coupon = Some(coupon),
                // The same bits and clearance have been asked about before any work was done.
                Some(Err(error)) => faults.extend(told(&error, args.out.units)),
                None => how.push("no coupon, since nothing is let in".to_owned()),
            }
        }
        all.push(Cut { files: set.files(), how: how.join(", "), tally: set.tally() });
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

impl Cut {
    /// What was written, in sentences.
    pub(super) fn report(&self, folder: &Path) -> String {
        let names: Vec<&str> = self.files.iter().map(|file| file.name.as_str()).collect();
        let written = format!("Written into {}, {}: {}.", folder.display(), self.how, names.join(", "));
        let tally = words::tally(&self.tally);
        format!("\n{}{}", wrap(&written, LINE, 0), wrap(&tally, LINE, 0))
    }
}

/// A piece as it is cut, and with which remedy. One that is good enough is cut as drawn.
fn mended(
    one: &Cared,
    named: String,
    piece: &design::Piece,
    mending: &Mending,
    args: &MendArgs,
) -> Result<(Piece, String), Faults> {
    if one.goal.is_reached_by(mending.before.verdict) {
        let steps = words::steps(args.out.units, &mending.order, &mending.before, &mending.before);
        return Ok((as_drawn(named, piece, &one.given.job).with_steps(steps), "as drawn".to_owned()));
    }
    let told = |why: String| format!("{named}: {why}");
    let remedy = chosen(mending, args.take, args.out.units).map_err(|why| vec![told(why)])?;
    let options = args.fit();
    let (board, wood) = (&one.given.job.board, one.given.job.wood.name());
    let cut = Piece::mended(named.clone(), &piece.shape, board, wood, remedy, &options);
    let with = format!("with {}", words::kind(remedy.kind));
    let steps_of = |after| words::steps(args.out.units, &remedy.order, &mending.before, after);
    let steps = || remedy.after.as_ref().map(steps_of);
    cut.map(|piece| (piece.with_steps(steps().unwrap_or_default()), with)).map_err(|error| match error {
        NotCut::NoFit(inserts) => {
            let each = inserts.iter().flat_map(|insert| {
                let of = insert.places.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
                let sentence = move |fault| format!("the insert for place {of}: {fault}");
                insert.error.faults.iter().map(sentence)
            });
            each.map(|why| told(words::fit_sentence(args.out.units, &why))).collect()
        }
        other => vec![told(another(&other))],
    })
}

/// Why no insert at all can be cut with the bits and the clearance that were typed.
pub(super) fn no_fit(args: &MendArgs) -> Faults {
    fit::coupon(&args.fit()).err().map_or_else(Faults::new, |error| told(&error, args.out.units))
}

fn told(error: &fit::FitError, units: Units) -> Faults {
    error.faults.iter().map(|fault| words::fit_sentence(units, &fault.to_string())).collect()
}

/// `pockets 0.05 mm wider a side than their inserts, for PVA (0.05 mm to 0.15 mm a side)`.
fn gap(options: &fit::Options, units: Units) -> String {
    let [least, most] = options.glue.clearance().map(|length| words::fit_length(units, length.as_mm()));
    let clearance = words::fit_length(units, options.clearance.as_mm());
    format!(
        "pockets {clearance} wider a side than their inserts, for {} (used with {least} to {most})",
        options.glue.name()
    )
}

/// What of clearance and glue a person should know, where one of the remedies is glued.
pub(super) fn cautions(cared: &[Cared], args: &MendArgs, units: Units) -> Vec<String> {
    let remedies = || cared.iter().flat_map(|one| &one.mendings).flat_map(|mending| &mending.remedies);
    let options = args.fit();
    let mut all = Vec::new();
    if remedies().any(|remedy| !remedy.strips().is_empty())
        && let Ok(coupon) = fit::coupon(&options)
    {
        all.extend(coupon.cautions.iter().map(|said| capital(&words::fit_sentence(units, said)) + "."));
    }
    if args.glue.is_some() && remedies().any(|remedy| remedy.kind.is_glued()) {
        let service = args.seasons.service;
        let glue = Adhesive::from(options.glue).at(service);
        if !glue.serves {
            let why = words::sentence(units, glue.why);
            let name = options.glue.name();
            all.push(format!("{name} does not last {}: {why} ({}).", place(service), glue.standing));
        }
    }
    all
}

fn another(none: &NotCut) -> String {
    format!("{none}; take another remedy with --take")
}

/// The remedy whose cuts are told: the one that was asked for, or else the one that is recommended, or the only one.
pub(super) fn wanted(mending: &Mending, take: Option<Kind>) -> Option<&Remedy> {
    match take {
        None => mending.cheapest().or(match mending.remedies.as_slice() {
            [only] => Some(only),
            _ => None,
        }),
        Some(kind) => mending.remedy(kind),
    }
}

/// The remedy that was asked for, or else the one that is recommended.
fn chosen(mending: &Mending, take: Option<Kind>, units: Units) -> Result<&Remedy, String> {
    let Some(kind) = take else {
        return mending.cheapest().ok_or_else(|| {
            "no remedy will do, so nothing is written for cutting; name with --take the one to be cut all the same"
                .to_owned()
        });
    };
    mending.remedy(kind).ok_or_else(|| {
        let word = kind.word().replace('_', "-");
        let declined = mending.declined.iter().find(|declined| declined.kind == kind);
        let why = declined.map_or_else(
            || "--only and --without leave it out".to_owned(),
            |declined| words::sentence(units, &declined.why),
        );
        format!("{word} is not offered, since {why}; take another remedy with --take")
    })
}

fn as_drawn(named: String, piece: &design::Piece, job: &Job) -> Piece {
    Piece::of(named, &piece.shape, job.board.grain).with_board(job.wood.name(), job.board.thickness)
}

/// What a design's files are called after.
pub(super) fn name(file: &str) -> String {
    if file == source::name(Path::new("-")) {
        return "standard-input".to_owned();
    }
    Path::new(file).file_stem().unwrap_or_default().to_string_lossy().into_owned()
}
