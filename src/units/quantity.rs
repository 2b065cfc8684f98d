//! The grammar all quantities share: a number, perhaps as a fraction, then a unit.
//!
//! ```text
//! quantity = number unit          19mm   1.9 cm   -3.5e1mm
//!          | fraction unit        3/4in
//!          | whole fraction unit  1 3/8in   1-3/8in
//! ```

use super::UnitError;

/// What one kind of quantity is called, and the units it may carry.
pub(super) struct Kind {
    /// "length"
    pub(super) name: &'static str,
    /// A text that reads well.
    pub(super) example: &'static str,
    /// The two units a bare number most likely means.
    pub(super) likely: [&'static str; 2],
    /// The units as a sentence lists them.
    pub(super) known: &'static str,
    /// Spellings in lower case, each with how many of our own unit it makes.
    pub(super) units: &'static [(&'static str, f64)],
}

impl Kind {
    /// Reads `text` and gives its size in our own unit.
    pub(super) fn read(&self, text: &str) -> Result<f64, UnitError> {
        let typed = text.trim();
        if typed.is_empty() {
            return Err(UnitError::Empty { quantity: self.name, example: self.example });
        }
        let (number, unit) = split(typed);
        let value = self.number(typed, number)?;
        if unit.is_empty() {
            let [first, second] = self.likely;
            return Err(UnitError::NoUnit { typed: typed.to_owned(), first, second });
        }
        let spelling = unit.to_lowercase();
        let Some((_, size)) = self.units.iter().find(|(name, _)| *name == spelling) else {
            return Err(self.unknown(typed, unit));
        };
        self.finite(typed, value * size)
    }

    fn number(&self, typed: &str, number: &str) -> Result<f64, UnitError> {
        // Spelled like numbers, but nothing can be done with them.
        let word = typed.trim_start_matches(['+', '-']).to_lowercase();
        if number.trim_matches(['+', '-']).is_empty() && (word.starts_with("nan") || word.starts_with("inf"))
        {
            return self.finite(typed, f64::NAN);
        }
        let value = parse_number(number).ok_or_else(|| UnitError::NotANumber {
            typed: typed.to_owned(),
            found: if number.is_empty() {
                "there is no number in front".to_owned()
            } else {
                format!("\"{number}\" is not a number")
            },
            quantity: self.name,
            example: self.example,
        })?;
        self.finite(typed, value)
    }

    fn unknown(&self, typed: &str, unit: &str) -> UnitError {
        let (typed, unit) = (typed.to_owned(), unit.to_owned());
        UnitError::UnknownUnit { typed, unit, quantity: self.name, known: self.known }
    }

    fn finite(&self, typed: &str, value: f64) -> Result<f64, UnitError> {
        if value.is_finite() {
            return Ok(value);
        }
        Err(UnitError::NotFinite { typed: typed.to_owned(), quantity: self.name, example: self.example })
    }
}

/// Parts `text` where its unit begins, both sides trimmed.
fn split(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .find(|&(at, c)| !(c.is_ascii_digit() || "+-./, ".contains(c) || is_exponent(text, at)))
        .map_or(text.len(), |(at, _)| at);
    (text[..end].trim(), text[end..].trim())
}

/// Whether the letter at `at` is the `e` of `4e-3`, and not the beginning of a unit.
fn is_exponent(text: &str, at: usize) -> bool {
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let sign = bytes.get(at + 1).is_some_and(|b| b"+-".contains(b));
    matches!(bytes[at], b'e' | b'E')
        && at > 0
        && (digit(at - 1) || bytes[at - 1] == b'.')
        && (digit(at + 1) || (sign && digit(at + 2)))
}

/// Reads `0.75`, `3/4`, `1 3/8` or `1-3/8`.
fn parse_number(text: &str) -> Option<f64> {
    let Some((over, under)) = text.split_once('/') else {
        return text.parse().ok();
    };
    let over = over.trim();
    // The break between whole and fraction; a sign in front is not one.
    let Some(gap) = over.rfind([' ', '-']).filter(|&gap| gap > 0) else {
        return Some(over.parse::<f64>().ok()? / digits(under)?);
    };
    let whole: f64 = over[..gap].trim().parse().ok()?;
    let part = digits(&over[gap + 1..])? / digits(under)?;
    Some(if over.starts_with('-') { whole - part } else { whole + part })
}

/// A number without a sign.
fn digits(text: &str) -> Option<f64> {
    let text = text.trim();
    text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse().ok())?
}

/// Reads a number that has no unit, such as a specific gravity.
pub(crate) fn plain_number(text: &str) -> Result<f64, UnitError> {
    const PLAIN: Kind =
        Kind { name: "plain number", example: "0.63", likely: ["", ""], known: "none", units: &[] };
    let typed = text.trim();
    if typed.is_empty() {
        return Err(UnitError::Empty { quantity: PLAIN.name, example: PLAIN.example });
    }
    let (number, unit) = split(typed);
    let value = PLAIN.number(typed, number)?;
    if unit.is_empty() { Ok(value) } else { Err(PLAIN.unknown(typed, unit)) }
}
