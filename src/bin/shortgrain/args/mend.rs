//! What may be typed after `mend`.

use std::path::PathBuf;

use clap::{Args as Group, ValueEnum};
use shortgrain::mend::Kind;
use shortgrain::units::{Angle, Length};

use super::{BoardArgs, DrawingArgs, GoalArg, OutArgs, PushArgs};

/// Find what makes a piece strong enough, cheapest first, each remedy proved by a whole check of the mended piece.
///
/// Each is sized to reach the goal with the least wood and is shown with the place that is the weakest then. One that
/// falls short is listed with its shortfall. Numbers marked `estimate` are the closed form's; the others are proved by
/// the solid model.
///
/// Exit status: 0 when the piece reaches the goal as it is or is proved to by a remedy, 1 when nothing is proved to, 2
/// when there is no answer.
#[derive(Debug, Group)]
#[command(
    after_help = "Example: shortgrain mend sign.svg --wood cherry --thickness 3/4in --grain 0deg --without turn"
)]
pub(crate) struct MendArgs {
    /// Drawings to mend (SVG)
    #[arg(required = true, value_name = "DESIGN")]
    pub(crate) designs: Vec<PathBuf>,

    #[command(flatten)]
    pub(crate) board: BoardArgs,

    #[command(flatten)]
    pub(crate) pushes: PushArgs,

    #[command(flatten)]
    pub(crate) drawing: DrawingArgs,

    /// What a remedy has to reach
    #[arg(long, value_name = "VERDICT", default_value = "sound", help_heading = "Remedies")]
    pub(crate) goal: GoalArg,

    /// Try these kinds alone, such as turn,widen
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) only: Vec<KindArg>,

    /// Leave these kinds out
    ///
    /// turn, move-bridge, widen, thicken, quarter-sawn, other-wood, insert, backer, three-ply, not-solid-wood.
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) without: Vec<KindArg>,

    /// From one grain angle to the next, for a turn
    #[arg(
        long,
        value_name = "ANGLE",
        default_value = "5deg",
        allow_hyphen_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) step: Angle,

    /// Draw the piece before and after the cheapest remedy that reaches the goal into this SVG file
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    pub(crate) picture: Option<PathBuf>,

    /// Write SVG and DXF for cutting, a cut list and a pattern into this directory
    ///
    /// Of every piece with its cheapest remedy that will do, or the one named by --take; of a piece that needs none as drawn.
    /// For inserts: their pockets in the back, and the inserts on a strip of stock. All files are written or none.
    #[arg(long = "out", value_name = "DIR", help_heading = "Answer")]
    pub(crate) into: Option<PathBuf>,

    /// Which remedy is written, such as insert [default: the cheapest that will do]
    #[arg(
        long,
        value_name = "KIND",
        requires = "into",
        hide_possible_values = true,
        hide_short_help = true,
        help_heading = "Answer"
    )]
    pub(crate) take: Option<KindArg>,

    /// Diameter of the bit that cuts pockets and inserts [default: 1/4in]
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "into",
        allow_hyphen_values = true,
        hide_short_help = true,
        help_heading = "Answer"
    )]
    pub(crate) bit: Option<Length>,

    /// Show every remedy's remarks, and why the others are none
    #[arg(long, help_heading = "Answer")]
    pub(crate) explain: bool,

    #[command(flatten)]
    pub(crate) out: OutArgs,
}

impl MendArgs {
    /// The kinds that are wanted.
    pub(crate) fn kinds(&self) -> Vec<Kind> {
        let named = |all: &[KindArg], kind: Kind| all.iter().any(|arg| Kind::from(*arg) == kind);
        let wanted =
            |kind: &Kind| (self.only.is_empty() || named(&self.only, *kind)) && !named(&self.without, *kind);
        Kind::ALL.into_iter().filter(wanted).collect()
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum KindArg {
    Turn,
    MoveBridge,
    Widen,
    Thicken,
    QuarterSawn,
    OtherWood,
    Insert,
    Backer,
    ThreePly,
    NotSolidWood,
}

impl From<KindArg> for Kind {
    fn from(arg: KindArg) -> Self {
        match arg {
            KindArg::Turn => Self::Turn,
            KindArg::MoveBridge => Self::MoveBridge,
            KindArg::Widen => Self::Widen,
            KindArg::Thicken => Self::Thicken,
            KindArg::QuarterSawn => Self::QuarterSawn,
            KindArg::OtherWood => Self::OtherWood,
            KindArg::Insert => Self::Insert,
            KindArg::Backer => Self::Backer,
            KindArg::ThreePly => Self::ThreePly,
            KindArg::NotSolidWood => Self::NotSolidWood,
        }
    }
}
