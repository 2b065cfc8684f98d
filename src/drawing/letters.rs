//! How wide a line of text may come out, and where to break a long one.
//!
//! The reader's own sans-serif draws the letters, so their width is only bounded here, from the wide side.

/// An upper bound for the width of `text` at a font size, in mm; bold is a tenth wider.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let ems: f64 = text.chars().map(letter).sum();
    ems * size * if bold { 1.1 } else { 1.0 }
}

/// The advance of one letter in ems, as in the wider common sans-serif faces.
fn letter(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '|' | '\'' => 0.29,
        ' ' | '.' | ',' | ':' | ';' | '!' | 'I' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '/' => 0.41,
        'm' | 'M' | 'w' | 'W' | '@' | '%' | '×' | '—' | '→' => 0.98,
        'A'..='Z' => 0.73,
        c if c.is_ascii() || c == '–' => 0.64,
        c if (c as u32) < 0x2000 => 0.72,
        _ => 1.05,
    }
}

/// Breaks `text` at spaces into lines no wider than `limit` mm.
pub(super) fn wrap(text: &str, size: f64, limit: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is always a line");
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if line.is_empty() || width(&longer, size, false) <= limit {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// Text that is safe in a drawing: control characters, which XML forbids, become spaces.
pub(super) fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || c == '\u{fffe}' || c == '\u{ffff}' { ' ' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_lines_fit_and_lose_no_word() {
        let text =
            "Advice, not a guarantee: wood varies from board to board; test on scrap of the same board.";
        let lines = wrap(text, 2.4, 40.0);
        assert!(lines.len() > 2);
        assert!(lines.iter().all(|line| width(line, 2.4, false) <= 40.0));
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn control_characters_do_not_reach_the_drawing() {
        assert_eq!(clean("a\u{0}b\tc"), "a b c");
    }
}
