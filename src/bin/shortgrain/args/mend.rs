//! What may be typed after `mend`.

mod seasons;

use seasons::SeasonArgs;
pub(crate) use seasons::{Stated, place};

use std::path::PathBuf;
use std::sync::LazyLock;

use clap::Args as Group;
use shortgrain::drawing::words;
use shortgrain::fit;
use shortgrain::mend::Kind;
use shortgrain::units::{Angle, Length};

use super::{DesignArgs, GoalArg, OutArgs};
use crate::fit::GlueArg;

/// Find what makes a piece strong enough, cheapest first, and what it bears then.
///
/// Each remedy is sized to reach the goal with the least wood and is shown with the place that is the weakest then. One that
/// falls short is listed with its shortfall. Most are proved: the mended piece is checked as a whole by the solid model. What
/// no solid model could be solved of is marked `estimate`.
///
/// Every remedy that is proved takes several checks. On two cores all of them take some twenty seconds for a piece the size of a palm,
/// minutes for a large one with many places; a terminal shows how far it is. `--only` asks for less, and so does a
/// coarser `--step` of a turn.
///
/// Exit status: 0 when the piece reaches the goal as it is or is proved to by a remedy that no year splits, 1 when no remedy is
/// proved to do, 2 when there is no answer.
#[derive(Debug, Group)]
#[command(mut_arg("designs", |designs| designs.help("Drawings to mend (SVG or DXF; - is standard input)")))]
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

    /// Try these kinds alone, such as turn,widen (--help names all)
    ///
    /// turn, move-bridge, widen, thicken, quarter-sawn, other-wood, insert, part-backer, backer, three-ply, not-solid-wood; the names in the
    /// table of remedies do as well, such as "thicker blank".
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        value_parser = kind,
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) only: Vec<Kind>,

    /// Leave these kinds out
    #[arg(
        long,
        value_name = "KINDS",
        value_delimiter = ',',
        value_parser = kind,
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
        hide_short_help = true,
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
    /// For inserts and part backers: where they lie on the back, and themselves on a strip of stock. All files are written or none.
    #[arg(long = "out", value_name = "DIR", help_heading = "Answer")]
    pub(crate) into: Option<PathBuf>,

    /// Write all drawings as one set of this name, with one cut list
    ///
    /// Inserts of all are laid on the same strips; pieces are called after their drawings. Without it each drawing is a set of its own, called after itself.
    #[arg(long, value_name = "NAME", requires = "into", help_heading = "Answer")]
    pub(crate) set: Option<String>,

    /// Which remedy is written, such as insert [default: the cheapest that will do]
    #[arg(
        long,
        value_name = "KIND",
        value_parser = kind,
        requires = "into",
        hide_possible_values = true,
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

    /// Gap between insert and pocket, a side [default: 0.05mm]
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        hide_short_help = true,
        help_heading = "Answer"
    )]
    pub(crate) clearance: Option<Length>,

    /// What holds inserts and boards: pva, polyurethane or epoxy [default: pva]
    ///
    /// Whether the clearance suits it is told, and whether it lasts where the piece lives (--service).
    #[arg(
        long,
        value_name = "GLUE",
        hide_possible_values = true,
        hide_short_help = true,
        help_heading = "Answer"
    )]
    pub(crate) glue: Option<GlueArg>,

    /// Also a small pocket and insert to try the fit on scrap, where inserts are written
    #[arg(long, requires = "into", hide_short_help = true, help_heading = "Answer")]
    pub(crate) coupon: bool,

    /// Show every remedy's remarks, and how its weakest place then was judged
    #[arg(long, help_heading = "Answer")]
    pub(crate) explain: bool,

    #[command(flatten)]
    pub(crate) out: OutArgs,
}

impl MendArgs {
    /// How inserts are cut.
    pub(crate) fn fit(&self) -> fit::Options {
        let usual = fit::Options::default();
        let bit = self.bit.unwrap_or(usual.pocket_bit);
        fit::Options {
            clearance: self.clearance.unwrap_or(usual.clearance),
            pocket_bit: bit,
            insert_bit: bit,
            glue: self.glue.map_or(usual.glue, Into::into),
            ..usual
        }
    }

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

/// A kind by the name it is typed by, or as the table of remedies calls it.
fn kind(text: &str) -> Result<Kind, String> {
    let plain = |name: &str| name.trim().to_lowercase().replace([' ', '_'], "-");
    let is_called =
        |kind: Kind, typed: &str| [typed, &plain(words::kind(kind))].contains(&plain(text).as_str());
    let found = Kind::ALL.into_iter().zip(&*TYPED).find(|(kind, typed)| is_called(*kind, typed));
    found
        .map(|(kind, _)| kind)
        .ok_or_else(|| format!("there is no such remedy; name one of {}", TYPED.join(", ")))
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

    #[test]
    fn a_remedy_is_found_by_its_name_in_the_table() {
        for (one, typed) in Kind::ALL.into_iter().zip(&*TYPED) {
            assert_eq!(kind(typed), Ok(one));
            assert_eq!(kind(words::kind(one)), Ok(one));
        }
        assert!(kind("glue").is_err_and(|why| why.contains("three-ply")));
    }
}
