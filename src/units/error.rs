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
    /// A unit that this quantity does not have.
    #[error("{typed} is not a {quantity}: \"{unit}\" is not one of its units; use {known}")]
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
    #[error("{typed} is not a {quantity}: {found} is not a number; write it as in {example}")]
    NotANumber {
        /// What was typed.
        typed: String,
        /// The part that should be a number, quoted, or "nothing".
        found: String,
        /// What was asked for ("length").
        quantity: &'static str,
        /// A text that would do.
        example: &'static str,
    },
    /// Not finite: infinite, not a number at all, too large to hold, or divided by zero.
    #[error("{typed} is not a {quantity} one can work with; write a finite number, as in {example}")]
    NotFinite {
        /// What was typed.
        typed: String,
        /// What was asked for ("length").
        quantity: &'static str,
        /// A text that would do.
        example: &'static str,
    },
}
