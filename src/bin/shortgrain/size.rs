//! Reads the size of a rectangle, `60mm x 12mm`.

use shortgrain::units::{Length, UnitError};

/// Why a text is no size.
#[derive(Debug, PartialEq)]
pub(crate) enum SizeError {
    /// It is one length, or none.
    One,
    /// One of its two lengths is none.
    Length(UnitError),
}

/// Both lengths of a size.
///
/// A unit at the end holds for both: `60x12mm`. A unit may have an x of its own (`px`), so every x is tried.
///
/// # Errors
///
/// What is wrong with it.
pub(crate) fn read(text: &str) -> Result<[Length; 2], SizeError> {
    let parts: Vec<(&str, &str)> = text
        .char_indices()
        .filter(|(_, c)| matches!(c, 'x' | 'X' | '×' | '*'))
        .map(|(at, c)| (text[..at].trim(), text[at + c.len_utf8()..].trim()))
        .filter(|(first, second)| !first.is_empty() && !second.is_empty())
        .collect();
    let first = parts.first().ok_or(SizeError::One)?;
    let read = parts.iter().find_map(|pair| both(*pair).ok());
    read.map_or_else(|| both(*first).map_err(SizeError::Length), Ok)
}

fn both((first, second): (&str, &str)) -> Result<[Length; 2], UnitError> {
    // What is wrong with the second is wrong with the whole, since its unit may hold for both.
    let read = second.parse()?;
    let first =
        first.parse().or_else(|error| format!("{first}{}", unit(second)).parse().map_err(|_| error))?;
    Ok([first, read])
}

/// The unit a size ends with.
fn unit(size: &str) -> &str {
    let end = size.rfind(|c: char| c.is_ascii_digit() || c == '.' || c == '/').map_or(0, |at| at + 1);
    size[end..].trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(typed: &str) -> Result<[f64; 2], SizeError> {
        read(typed).map(|both| both.map(|length| (length.as_mm() * 1e6).round() / 1e6))
    }

    #[test]
    fn sizes_are_read_as_people_write_them() {
        for typed in ["60mm x 12mm", "60x12mm", "60mmx12mm", "60 X 12mm", "6cm × 12mm", "60*12mm"] {
            assert_eq!(mm(typed), Ok([60.0, 12.0]), "{typed}");
        }
        for typed in ["2-1/2in x 1/2in", "2 1/2in x 1/2in", "2-1/2 x 1/2in", "2.5\" x 0.5\""] {
            assert_eq!(mm(typed), Ok([63.5, 12.7]), "{typed}");
        }
        assert_eq!(mm("96px x 48px"), Ok([25.4, 12.7]));
    }

    #[test]
    fn a_size_without_a_unit_or_a_second_length_is_refused() {
        for typed in ["60mm", "60mm x", "x 60mm", ""] {
            assert_eq!(mm(typed), Err(SizeError::One), "{typed}");
        }
        for (typed, part) in [
            ("60 x 12", "has no unit"),
            ("60mm x 12", "12 has no unit"),
            ("60mm x wide", "wide"),
            ("NaNmm x 3mm", "NaN"),
        ] {
            let Err(SizeError::Length(error)) = mm(typed) else { panic!("{typed} is no size") };
            assert!(error.to_string().contains(part), "{error}");
        }
    }
}
