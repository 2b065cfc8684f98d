//! What may be typed.

mod elsewhere;
mod mend;
mod turn;
mod typed;

use elsewhere::with_verbs;
pub(crate) use mend::{MendArgs, Stated, place};
pub(crate) use turn::{GoalArg, TurnArgs};
pub(crate) use typed::{Refused, Typed, typed};

use std::path::PathBuf;

use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use shortgrain::design;
use shortgrain::units::{Angle, Force, Length, LengthUnit, Units};
use shortgrain::wood::Rings;

use crate::talk::Faults;

/// Find the short-grain places of a wooden piece before it is cut.
///
/// shortgrain reads the outline of a piece from a drawing, finds the thin parts that run across the
/// grain, and says how hard each can be pushed before it breaks, how likely that is, and what a
/// cross-grain insert would do for it.
///
/// Exit status: 0 when all is sound, 1 when something is careful or fragile, 2 when there is no answer.
#[derive(Debug, Parser)]
#[command(
    name = "shortgrain",
    version,
    max_term_width = 100,
    subcommand_required = true,
    arg_required_else_help = true,
    after_help = "Begin with: shortgrain check sign.svg --wood cherry --thickness 3/4in --grain 0deg"
)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) verb: Verb,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Verb {
    Check(Box<CheckArgs>),
    Turn(Box<TurnArgs>),
    Mend(Box<MendArgs>),
    Fit(Box<crate::fit::FitArgs>),
    Letter(Box<crate::letter::LetterArgs>),
    Wood(WoodArgs),
}

/// What `check --help` teaches. A doc comment would run the lines of the file together.
const OF_CHECK: &str = "\
Find weak places, the push that breaks each, the risk and the verdict.

A piece is judged by its worst place: sound when the stated push breaks it with a risk under 1 %, careful up to 20 %, \
fragile above.

Every length, force and angle carries its unit: 19mm, 3/4in, 45N, 10lbf, 90deg. A file board.toml beside the design, or \
the one named by --board, holds the same keys:

  wood = \"white oak\"
  thickness = \"19mm\"
  grain = \"0deg\"
  push = \"45N\"

What is typed here stands before what the file says.

Exit status: 0 when all is sound, 1 when something is careful or fragile, 2 when there is no answer.";

/// Find weak places, the push that breaks each, the risk and the verdict
#[derive(Debug, Group)]
#[command(long_about = OF_CHECK)]
#[command(mut_arg("designs", |designs| designs.help("Drawings to check (SVG or DXF; - is standard input)")))]
#[command(after_help = "Example: shortgrain check sign.svg --wood cherry --thickness 3/4in --grain 0deg")]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    pub(crate) given: DesignArgs,

    /// Draw pieces and weak places at true scale into this SVG file
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    pub(crate) picture: Option<PathBuf>,

    /// Write each proposed insert's outline, true size, into this directory
    ///
    /// One SVG file each, DESIGN-place-N-insert.svg, seen from the back; with several pieces in a drawing
    /// DESIGN-PIECE-place-N-insert.svg. N is the place's number in the table.
    #[arg(long, value_name = "DIR", help_heading = "Answer")]
    pub(crate) inserts: Option<PathBuf>,

    /// Push the whole face point by point, and draw which force breaks the piece where into this SVG file
    ///
    /// It takes several times as long as the check. With --json the forces stand there too, as push_map.
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    pub(crate) push_map: Option<PathBuf>,

    /// Show every number of each answer, to redo it with a pencil
    #[arg(long, help_heading = "Answer")]
    pub(crate) explain: bool,

    #[command(flatten)]
    pub(crate) out: OutArgs,
}

// Drawings, and what is known of their boards: the same for every verb that judges them, but for what it does to them.
#[derive(Debug, Group)]
pub(crate) struct DesignArgs {
    #[arg(required = true, value_name = "DESIGN")]
    pub(crate) designs: Vec<PathBuf>,

    #[command(flatten)]
    pub(crate) board: BoardArgs,

    #[command(flatten)]
    pub(crate) pushes: PushArgs,

    #[command(flatten)]
    pub(crate) drawing: DrawingArgs,

    // Flags whose values cannot be read: none of them is missing, and there will be no answer.
    #[arg(skip)]
    pub(crate) refused: Vec<String>,
}

impl DesignArgs {
    /// Whether a flag is typed with a value that cannot be read.
    pub(crate) fn refuses(&self, flag: &str) -> bool {
        self.refused.iter().any(|refused| refused == flag)
    }

    /// Whether it is not known how the drawings are to be read.
    pub(crate) fn refuses_reading(&self) -> bool {
        DrawingArgs::HOW.iter().any(|flag| self.refuses(flag))
    }

    /// Whether there can be no answer: with faults, or with values that cannot be read.
    pub(crate) const fn has_no_answer(&self, faults: &Faults) -> bool {
        !faults.is_empty() || !self.refused.is_empty()
    }
}

#[derive(Debug, Group)]
#[command(next_help_heading = "Board")]
pub(crate) struct BoardArgs {
    /// The wood, by any usual name (see `shortgrain wood`)
    #[arg(long, value_name = "NAME")]
    pub(crate) wood: Option<String>,

    /// Its thickness
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) thickness: Option<Length>,

    /// Which way the grain runs, anticlockwise from left to right
    ///
    /// 0deg is along the drawing's x axis, 90deg up the page, as seen from the face.
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    pub(crate) grain: Option<Angle>,

    /// How the growth rings stand [default: unknown, the weaker counts]
    #[arg(long, value_name = "SAWN")]
    pub(crate) rings: Option<RingsArg>,

    /// Moisture of the wood in percent [default: 12, as woods are tested]
    #[arg(long, value_name = "PERCENT", value_parser = percent, allow_hyphen_values = true)]
    pub(crate) moisture: Option<f64>,

    /// Read board and pushes from this file instead of a board.toml beside the design
    #[arg(long, value_name = "FILE")]
    pub(crate) board: Option<PathBuf>,
}

#[derive(Debug, Group)]
#[command(next_help_heading = "Pushes")]
pub(crate) struct PushArgs {
    /// The push on the face it has to bear [default: 45N, a firm thumb]
    ///
    /// It acts through the thickness on a round pad of 10 mm, wherever it harms most. The default, 45 N
    /// or 10 lbf, is common practice; no published source stands behind it.
    #[arg(long, value_name = "FORCE", allow_hyphen_values = true)]
    pub(crate) push: Option<Force>,

    /// The push on a side it has to bear [default: 45N]
    ///
    /// It acts in the board's plane, square to a wall, wherever it harms most.
    #[arg(long, value_name = "FORCE", allow_hyphen_values = true)]
    pub(crate) side: Option<Force>,

    /// From this angle between run and grain a part counts as short grain
    #[arg(
        long,
        hide_short_help = true,
        value_name = "ANGLE",
        default_value = "30deg",
        allow_hyphen_values = true
    )]
    pub(crate) crossing: Angle,
}

#[derive(Debug, Group)]
#[command(next_help_heading = "Drawing")]
pub(crate) struct DrawingArgs {
    /// Print the overall size and how the drawing was read, and stop
    ///
    /// Compare one dimension you know before you cut.
    #[arg(long)]
    pub(crate) measure: bool,

    /// The unit the drawing was drawn in, where the file's is missing or wrong
    #[arg(long, value_name = "UNIT")]
    pub(crate) drawn_in: Option<LengthUnit>,

    /// Read only what lies on this layer; may be given several times
    ///
    /// In SVG a layer is a group, by its id or by an attribute called label.
    #[arg(long, hide_short_help = true, value_name = "NAME")]
    pub(crate) layer: Vec<String>,

    /// Take only this piece; may be given several times
    ///
    /// Pieces are called as --measure tells: after an id, a group, a block or a layer, or by number.
    #[arg(long, value_name = "NAME")]
    pub(crate) piece: Vec<String>,

    /// How many times larger the drawing is than it says, such as 25.4 or 96/90
    #[arg(long, hide_short_help = true, value_name = "FACTOR", value_parser = factor)]
    pub(crate) scale: Option<f64>,

    /// The font that lettering is set in, a file or the name of an installed font; several may be given
    ///
    /// Text that names one of them is set in that one, other text in the first.
    #[arg(long, hide_short_help = true, value_name = "FONT")]
    pub(crate) font: Vec<String>,

    /// Read or work more than usual before refusing, such as points=5000000
    ///
    /// bytes (of a file; usually 67108864), elements (each as often as it is used; 200000), shapes (10000), depth (of
    /// nesting; 128), points (of all outlines; 2000000), crossings (of their lines; 50000), hairs (spikes of a piece under 0.5 mm thin; 300), smallest and largest (of a piece in its larger direction; 1mm and
    /// 5000mm), reach (from the page's corner; 20000mm); of SVG also style (bytes of all style sheets, fewer in a drawing of
    /// more than 7600 elements; 65536), attributes (of one element; 10000), namespaces (2000), letters (that entities
    /// come to; 1048576). And unknowns (of all solid models of a piece, about; 1500000): places beyond are left to the
    /// closed form. And map (of the solid models of a piece's push map, each once more for every thousand pushes; 1500000): the
    /// strongest cases beyond are left out.
    #[arg(long, hide_short_help = true, value_name = "NAME=MOST", value_parser = limit)]
    pub(crate) limit: Vec<(String, Most)>,

    /// What a shape inside another with a different fill is
    #[arg(long, hide_short_help = true, value_name = "MEANING")]
    pub(crate) inner: Option<InnerArg>,

    /// What a rectangle as large as the page is
    #[arg(long, hide_short_help = true, value_name = "MEANING")]
    pub(crate) page: Option<PageArg>,

    /// Largest distance between a curve and the straight pieces that stand for it [default: 0.02mm]
    #[arg(long, hide_short_help = true, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) tolerance: Option<Length>,

    /// Widest gap in an outline that is closed unasked [default: 0.05mm]
    #[arg(long, hide_short_help = true, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) gap: Option<Length>,
}

impl DrawingArgs {
    /// The flags that say how a drawing is to be read and whose values may be refused.
    const HOW: [&str; 7] = ["--drawn-in", "--scale", "--limit", "--inner", "--page", "--tolerance", "--gap"];
}

#[derive(Debug, Group)]
#[command(next_help_heading = "Answer")]
pub(crate) struct OutArgs {
    /// Write the answer as JSON, always metric; - prints it instead of the report
    #[arg(long, value_name = "FILE|-")]
    pub(crate) json: Option<PathBuf>,

    /// Units for people: mm (with N) or in (with lbf)
    #[arg(long, value_name = "mm|in", default_value = "mm")]
    pub(crate) units: Units,

    /// Print no report; the exit status is the answer
    #[arg(long)]
    pub(crate) quiet: bool,

    /// Replace files that exist already
    #[arg(long)]
    pub(crate) force: bool,
}

/// Show all woods, or one in full with the source of every value.
///
/// Any usual name will do, in any order: "hard maple", "sugar maple", "maple, sugar", "Acer saccharum".
///
/// Each value says where it stands: published (printed in the named source), recalled (as published,
/// from memory), estimated (by a published rule from other values), yours. Everything known of a wood is
/// shown, and there is nothing to draw: --explain and --picture belong to `check`.
#[derive(Debug, Group)]
#[command(after_help = "Example: shortgrain wood hard maple --moisture 8")]
pub(crate) struct WoodArgs {
    /// The wood to show in full; all woods when it is left out
    #[arg(value_name = "NAME")]
    pub(crate) name: Vec<String>,

    /// How the growth rings stand
    #[arg(long, value_name = "SAWN", help_heading = "Board")]
    pub(crate) rings: Option<RingsArg>,

    /// Moisture of the wood in percent [default: 12, as woods are tested]
    #[arg(long, value_name = "PERCENT", value_parser = percent, allow_hyphen_values = true, help_heading = "Board")]
    pub(crate) moisture: Option<f64>,

    #[command(flatten)]
    pub(crate) out: OutArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum RingsArg {
    /// Not known: the weaker of radial and tangential counts
    Unknown,
    /// Flat-sawn
    Flat,
    /// Quarter-sawn
    Quarter,
    /// Rift-sawn
    Rift,
}

impl From<RingsArg> for Rings {
    fn from(arg: RingsArg) -> Self {
        match arg {
            RingsArg::Unknown => Self::Unknown,
            RingsArg::Flat => Self::Flat,
            RingsArg::Quarter => Self::Quarter,
            RingsArg::Rift => Self::Rift,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum InnerArg {
    /// An opening: it is cut out
    Opening,
    /// Decoration on the wood: it changes nothing
    Wood,
}

impl From<InnerArg> for design::Inner {
    fn from(arg: InnerArg) -> Self {
        match arg {
            InnerArg::Opening => Self::Opening,
            InnerArg::Wood => Self::Wood,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum PageArg {
    /// Background: it is left out
    Ignore,
    /// Wood like any other shape
    Wood,
}

impl From<PageArg> for design::Page {
    fn from(arg: PageArg) -> Self {
        match arg {
            PageArg::Ignore => Self::Ignore,
            PageArg::Wood => Self::Wood,
        }
    }
}

/// A number above zero, or one over another.
fn factor(text: &str) -> Result<f64, String> {
    let (over, under) = text.split_once('/').unwrap_or((text, "1"));
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| *number > 0.0);
    let factor = number(over).zip(number(under)).map(|(over, under)| over / under);
    factor
        .filter(|factor| (1e-4..=1e4).contains(factor))
        .ok_or_else(|| "this is not a factor; write a number such as 25.4, or 96/90".to_owned())
}

/// The limit on the work of solid models.
pub(crate) const UNKNOWNS: &str = "unknowns";
/// The limit on the work of push maps.
pub(crate) const MAP: &str = "map";

/// How much a limit lets in.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Most {
    Number(usize),
    Length(Length),
}

/// A limit's name and how much is read.
fn limit(text: &str) -> Result<(String, Most), String> {
    let numbers = design::Limits::NAMES.into_iter().chain([UNKNOWNS, MAP]);
    match text.split_once('=').map(|(name, most)| (name.trim(), most.trim())) {
        Some((name, most)) if design::Limits::LENGTHS.contains(&name) => {
            let length = most.parse().map_err(|why| format!("{why}"))?;
            let fits = design::Limits::default().set_length(name, length);
            let out = || format!("{most} is not from 0mm to 100m; write a length such as {name}=8m");
            fits.then(|| (name.to_owned(), Most::Length(length))).ok_or_else(out)
        }
        Some((name, most)) if numbers.clone().any(|known| known == name) => {
            let number = most
                .parse()
                .map_err(|_| format!("\"{most}\" is not a number; write one, such as {name}=5000000"));
            Ok((name.to_owned(), Most::Number(number?)))
        }
        Some((name, _)) => {
            let known: Vec<&str> = numbers.chain(design::Limits::LENGTHS).collect();
            Err(format!("there is no limit on \"{name}\"; the limits are {}", known.join(", ")))
        }
        None => Err("write a limit's name and a number, such as points=5000000".to_owned()),
    }
}

/// A percentage, with or without its sign.
fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('%').trim_end();
    match number.parse::<f64>() {
        Ok(value) if (0.0..=30.0).contains(&value) => Ok(value),
        Ok(_) => {
            Err("moisture is from 0 to 30 percent; heated rooms give 6 to 10, a shed 12 to 16".to_owned())
        }
        Err(_) => Err("this is not a number; write a percentage such as 8 or 8%".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_flags_do_not_contradict_each_other() {
        Args::command().debug_assert();
    }

    #[test]
    fn the_flags_that_say_how_a_drawing_is_read_are_flags() {
        for verb in ["check", "turn", "mend"] {
            let command = Args::command();
            let verb = command.find_subcommand(verb).expect("the verb is there");
            let flags: Vec<String> =
                verb.get_arguments().filter_map(|arg| Some(format!("--{}", arg.get_long()?))).collect();
            for how in DrawingArgs::HOW {
                assert!(flags.iter().any(|flag| flag == how), "{how}: {flags:?}");
            }
        }
    }

    #[test]
    fn short_help_fits_a_screen() {
        for verb in ["check", "turn", "mend", "fit", "letter", "wood"] {
            let mut command = Args::command();
            let help =
                command.find_subcommand_mut(verb).expect("the verb is there").render_help().to_string();
            assert!(help.lines().count() <= 48, "{verb} -h has {} lines", help.lines().count());
        }
    }
}
