//! Reads a bar's size, `60mm x 12mm`.

use shortgrain::units::Length;

/// Length and width from what was typed after `--bar`, however the shell has parted it.
///
/// A unit at the end holds for both: `60x12mm`. A unit may have an x of its own (`px`), so every x is tried.
///
/// # Errors
///
/// What is wrong with it, and what to write.
pub(super) fn read(typed: &[String]) -> Result<[Length; 2], String> {
    let text = typed.join(" ");
    let parts: Vec<(&str, &str)> = text
        .char_indices()
        .filter(|(_, c)| matches!(c, 'x' | 'X' | '×' | '*'))
        .map(|(at, c)| (text[..at].trim(), text[at + c.len_utf8()..].trim()))
        .filter(|(length, width)| !length.is_empty() && !width.is_empty())
        .collect();
    let both = parts.iter().find_map(|(length, width)| {
        let width_read: Length = width.parse().ok()?;
        let length: Length = length.parse().or_else(|_| format!("{length}{}", unit(width)).parse()).ok()?;
        Some([length, width_read])
    });
    both.ok_or_else(|| match parts.first() {
        None => format!("--bar {text}: this is one size; write length and width, such as 60mm x 12mm"),
        Some((length, width)) => {
            // What is wrong with the width is wrong with the whole, since its unit may hold for both.
            let why = match (width.parse::<Length>(), length.parse::<Length>()) {
                (Err(error), _) | (Ok(_), Err(error)) => error.to_string(),
                (Ok(_), Ok(_)) => String::new(),
            };
            format!("--bar {text}: {why}; write length and width, such as 60mm x 12mm or 2-1/2in x 1/2in")
        }
    })
}

/// The unit a size ends with.
fn unit(size: &str) -> &str {
    let end = size.rfind(|c: char| c.is_ascii_digit() || c == '.' || c == '/').map_or(0, |at| at + 1);
    size[end..].trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(typed: &[&str]) -> Result<[f64; 2], String> {
        let typed: Vec<String> = typed.iter().map(|word| (*word).to_owned()).collect();
        read(&typed).map(|both| both.map(|length| (length.as_mm() * 1e6).round() / 1e6))
    }

    #[test]
    fn sizes_are_read_as_people_write_them() {
        for typed in [
            &["60mm", "x", "12mm"][..],
            &["60mm x 12mm"],
            &["60x12mm"],
            &["60mmx12mm"],
            &["60", "X", "12mm"],
            &["6cm", "×", "12mm"],
        ] {
            assert_eq!(mm(typed), Ok([60.0, 12.0]), "{typed:?}");
        }
        for typed in [
            &["2-1/2in", "x", "1/2in"][..],
            &["2", "1/2in", "x", "1/2in"],
            &["2-1/2 x 1/2in"],
            &["2.5\" x 0.5\""],
        ] {
            assert_eq!(mm(typed), Ok([63.5, 12.7]), "{typed:?}");
        }
        assert_eq!(mm(&["96px x 48px"]), Ok([25.4, 12.7]));
    }

    #[test]
    fn a_size_without_a_unit_or_a_width_is_refused() {
        for (typed, part) in [
            ("60 x 12", "has no unit"),
            ("60mm x 12", "12 has no unit"),
            ("60mm", "one size"),
            ("60mm x", "one size"),
            ("60mm x wide", "wide"),
            ("NaNmm x 3mm", "NaN"),
        ] {
            let said = mm(&[typed]).expect_err(typed);
            assert!(said.contains(part), "{said}");
        }
    }
}
