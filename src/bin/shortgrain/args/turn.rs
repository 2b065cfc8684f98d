//! What may be typed after `turn`.

use std::path::PathBuf;

use clap::{Args as Group, ValueEnum};
use shortgrain::mend::Goal;
use shortgrain::units::Angle;

use super::{DesignArgs, OutArgs};

/// Try every grain angle: the best, how much better it is, and whether turning is enough.
///
/// The closed form ranks all angles, the solid model proves three: the piece as it lies, the best and the
/// worst. A piece whose thin parts run every way (rings, spokes, hexagons, snowflakes) is not saved by any
/// turn, and is told so.
///
/// On two cores a piece the size of a palm takes some three seconds, a large one with many places half a minute; a terminal shows how far it is.
/// A coarser `--step` asks for less.
///
/// Exit status: 0 when turning is enough or not needed, 1 when it is not enough, 2 when there is no answer.
#[derive(Debug, Group)]
#[command(mut_arg("designs", |designs| designs.help("Drawings to turn (SVG or DXF; - is standard input)")))]
#[command(
    after_help = "Example: shortgrain turn sign.svg --wood cherry --thickness 3/4in --grain 0deg --step 2deg"
)]
pub(crate) struct TurnArgs {
    #[command(flatten)]
    pub(crate) given: DesignArgs,

    /// From one grain angle to the next; round the best it looks five times closer
    #[arg(
        long,
        value_name = "ANGLE",
        default_value = "5deg",
        allow_hyphen_values = true,
        help_heading = "Turning"
    )]
    pub(crate) step: Angle,

    /// What turning has to reach to be enough
    #[arg(long, value_name = "VERDICT", default_value = "sound", help_heading = "Turning")]
    pub(crate) goal: GoalArg,

    /// Draw what the piece bears at every grain angle into this SVG file
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    pub(crate) picture: Option<PathBuf>,

    /// Show every angle with its weakest place
    #[arg(long, help_heading = "Answer")]
    pub(crate) explain: bool,

    #[command(flatten)]
    pub(crate) out: OutArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum GoalArg {
    /// A risk under 1 %
    Sound,
    /// A risk up to 20 %
    Careful,
}

impl From<GoalArg> for Goal {
    fn from(arg: GoalArg) -> Self {
        match arg {
            GoalArg::Sound => Self::Sound,
            GoalArg::Careful => Self::Careful,
        }
    }
}
