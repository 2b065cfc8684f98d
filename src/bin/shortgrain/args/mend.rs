//! What may be typed after `mend`.

mod seasons;

use seasons::SeasonArgs;
pub(crate) use seasons::{Stated, place};

use std::path::PathBuf;
use std::sync::LazyLock;

use clap::Args as Group;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use shortgrain::mend::Kind;
use shortgrain::units::{Angle, Length};

use super::{DesignArgs, GoalArg, OutArgs};

/// Find what makes a piece strong enough, cheapest first, each remedy proved by a whole check of the mended piece.
///
/// Each is sized to reach the goal with the least wood and is shown with the place that is the weakest then. One that
/// falls short is listed with its shortfall. Numbers marked `estimate` are the closed form's; the others are proved by
/// the solid model.
///
/// Exit status: 0 when the piece reaches the goal as it is or is proved to by a remedy, 1 when nothing is proved to, 2
/// when there is no answer.
#[derive(Debug, Group)]
#[command(mut_arg("designs", |designs| designs.help("Drawings to mend (SVG or DXF)")))]
#[command(
    after_help = "Example: shortgrain mend sign.svg --wood cherry --thickness 3/4in --grain 0deg --without turn"
)]
pub(crate) struct MendArgs {
    #[command(flatten)]
    pub(crate) given: DesignArgs,

    /// What a remedy has to reach: sound or careful
    #[arg(
        long,
        value_name = "VERDICT",
        default_value = "sound",
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) goal: GoalArg,

    /// Try these kinds alone, such as turn,widen
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        value_parser = kind(),
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) only: Vec<Kind>,

    /// Leave these kinds out
    ///
    /// turn, move-bridge, widen, thicken, quarter-sawn, other-wood, insert, backer, three-ply, not-solid-wood.
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        value_parser = kind(),
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) without: Vec<Kind>,

    /// From one grain angle to the next, for a turn
    #[arg(
        long,
        value_name = "ANGLE",
        default_value = "5deg",
        allow_hyphen_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) step: Angle,

    #[command(flatten)]
    pub(crate) seasons: SeasonArgs,

    /// Wood left between an insert and the outline
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "3mm",
        allow_hyphen_values = true,
        hide_short_help = true,
        help_heading = "Remedies"
    )]
    pub(crate) rim: Length,

    /// The piece is pierced already: inserts stay inside the wood
    ///
    /// A weak place is then left with an empty pocket behind it until the glue has set: how strong it is meanwhile is told,
    /// and how to back it.
    #[arg(long, help_heading = "Remedies")]
    pub(crate) pierced_already: bool,

    /// Draw before and after, by the cheapest remedy that will do, as an SVG file
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
        value_parser = kind(),
        requires = "into",
        hide_possible_values = true,
        hide_short_help = true,
        help_heading = "Answer"
    )]
    pub(crate) take: Option<Kind>,

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
        let wanted =
            |kind: &Kind| (self.only.is_empty() || self.only.contains(kind)) && !self.without.contains(kind);
        Kind::ALL.into_iter().filter(wanted).collect()
    }
}

/// Every kind as it is typed, in the order of [`Kind::ALL`].
static TYPED: LazyLock<[String; Kind::ALL.len()]> =
    LazyLock::new(|| Kind::ALL.map(|kind| kind.word().replace('_', "-")));

fn kind() -> impl TypedValueParser<Value = Kind> {
    PossibleValuesParser::new(TYPED.iter().map(String::as_str)).try_map(|typed| {
        let found = Kind::ALL.into_iter().zip(&*TYPED).find(|(_, word)| **word == typed);
        found.map(|(kind, _)| kind).ok_or("there is no such kind")
    })
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;
    use crate::args::Args;

    #[test]
    fn help_names_every_kind() {
        let mut command = Args::command();
        let mend = command.find_subcommand_mut("mend").expect("the verb is there");
        let help = mend.render_long_help().to_string();
        let help: Vec<&str> = help.split_whitespace().collect();
        assert!(help.join(" ").contains(&TYPED.join(", ")), "{TYPED:?}");
    }
}
