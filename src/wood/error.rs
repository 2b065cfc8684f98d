//! What can be wrong when a wood is asked for.

use crate::units::UnitError;

/// Why there is no answer about a wood.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum WoodError {
    /// No wood has this name.
    #[error("no wood is called \"{typed}\"{}", did_you_mean(nearest))]
    Unknown {
        /// What was typed.
        typed: String,
        /// Names that look like it, nearest first; may be empty.
        nearest: Vec<String>,
    },
    /// It is made of wood, but glued of layers, chips or fibres.
    #[error(
        "\"{typed}\" is no solid wood: its layers, chips or fibres run several ways, so it has no short grain, and only solid woods are \
         judged here; name one, or cut the piece from the sheet without this check"
    )]
    NotSolid {
        /// What was typed.
        typed: String,
    },
    /// Several woods have this name.
    #[error("\"{typed}\" may be any of these woods: {}; name one of them", candidates.join(", "))]
    Ambiguous {
        /// What was typed.
        typed: String,
        /// The woods it may mean.
        candidates: Vec<String>,
    },
    /// No property has this name.
    #[error("a wood has no property \"{typed}\"; did you mean {nearest}?")]
    UnknownProperty {
        /// What was typed.
        typed: String,
        /// The name most like it.
        nearest: &'static str,
    },
    /// A number outside what it can be.
    #[error("{what} is {found}, but it has to be from {low} to {high} {unit}; {hint}")]
    OutOfRange {
        /// What the number is.
        what: &'static str,
        /// The number.
        found: f64,
        /// The smallest it can be.
        low: f64,
        /// The largest it can be.
        high: f64,
        /// Its unit, as printed.
        unit: &'static str,
        /// What to try.
        hint: &'static str,
    },
    /// A user's own value that cannot be read.
    #[error("{property}: {reason}")]
    NotAValue {
        /// Which property it was for.
        property: &'static str,
        /// What is wrong with it.
        reason: UnitError,
    },
    /// Values that are neither printed nor given, and that nothing allows to estimate.
    #[error(
        "nothing says the {} of {wood}; give {} of your own, or a specific gravity to estimate strengths from",
        missing.join(", "),
        if missing.len() == 1 { "a value" } else { "values" }
    )]
    Missing {
        /// The wood's name.
        wood: String,
        /// What is missing, in words.
        missing: Vec<&'static str>,
    },
}

fn did_you_mean(nearest: &[String]) -> String {
    if nearest.is_empty() {
        return "; see the list of woods".to_owned();
    }
    format!("; did you mean {}?", nearest.join(" or "))
}
