//! What can be wrong with a typed quantity.

/// Why a piece of text is not a length, force, stress or angle.
///
/// Each variant keeps what was typed, so that the message can repeat it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum UnitError {
    /// Nothing was typed.
    #[error("there is no {quantity} here; write one with its unit, such as {example}")]
    Empty {
        /// What was asked for ("length").
        quantity: &'static str,
        /// A text that would do.
        example: &'static str,
    },
    /// A number without a unit.
    #[error("{typed} has no unit; write {typed}{first} or {typed}{second}")]
    NoUnit {
        /// What was typed.
        typed: String,
        /// The likeliest unit.
        first: &'static str,
        /// The next likeliest.
        second: &'static str,
    },
    /// A thickness as lumber is sold, in quarters of an inch, and what that is in inches.
    #[error(
        "{typed} has no unit; lumber sold as {typed} is {inches} thick when rough and thinner once planed (common practice): \
         write what it measures, such as {inches}"
    )]
    Quarters {
        /// What was typed.
        typed: String,
        /// The same with its unit ("2in").
        inches: String,
    },
    /// A unit that this quantity does not have.
    #[error("{typed} is not {article} {quantity}: \"{unit}\" is not one of its units; use {known}", article = article(quantity))]
    UnknownUnit {
        /// What was typed.
        typed: String,
        /// The part that should be a unit.
        unit: String,
        /// What was asked for ("length").
        quantity: &'static str,
        /// The units there are.
        known: &'static str,
    },
    /// The part before the unit is not a number.
    #[error("{typed} is not {article} {quantity}: {found}; write it as in {example}", article = article(quantity))]
    NotANumber {
        /// What was typed.
        typed: String,
        /// What stands where the number should: `"wide" is not a number`.
        found: String,
        /// What was asked for ("length").
        quantity: &'static str,
        /// A text that would do.
        example: &'static str,
    },
    /// Not finite: infinite, not a number at all, too large to hold, or divided by zero.
    #[error("{typed} is not {article} {quantity} one can work with; write a finite number, as in {example}", article = article(quantity))]
    NotFinite {
        /// What was typed.
        typed: String,
        /// What was asked for ("length").
        quantity: &'static str,
        /// A text that would do.
        example: &'static str,
    },
    /// So many turns that nobody can mean them, and that the digits of a number do not say which way it points.
    #[error("{typed} is more than any angle is; write one of at most {most} either way, such as 90deg")]
    TooFarRound {
        /// What was typed.
        typed: String,
        /// The largest angle.
        most: &'static str,
    },
}

/// The article before a quantity's name.
fn article(quantity: &str) -> &'static str {
    if quantity.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}
