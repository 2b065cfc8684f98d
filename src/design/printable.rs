//! Words of a file as they may be printed: nothing in them steers a terminal, turns the direction of writing or fills a screen.

/// So many letters of a name are kept. Nobody reads more in a table, and with `-insert.svg` behind it a file may still be called so. Our own
/// rule.
const LETTERS: usize = 60;

/// A name, on one line; of a longer one its first letters and an ellipsis.
pub(crate) fn name(text: &str) -> String {
    let mut letters = text.chars().map(plain);
    let mut kept: String = letters.by_ref().take(LETTERS).collect();
    if letters.next().is_some() {
        kept.pop();
        kept.push('…');
    }
    kept
}

/// What is told, in as many lines as it has.
pub(crate) fn lines(text: &str) -> String {
    text.chars().map(|c| if c == '\n' { c } else { plain(c) }).collect()
}

fn plain(c: char) -> char {
    if steers(c) { char::REPLACEMENT_CHARACTER } else { c }
}

fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_replaced_and_letters_stay() {
        assert_eq!(
            name("Maß 3/4\u{201d} \u{1b}[31m\u{9b}2J\u{202e}gpj\n"),
            "Maß 3/4\u{201d} \u{fffd}[31m\u{fffd}2J\u{fffd}gpj\u{fffd}"
        );
        assert_eq!(lines("one\ntwo\r"), "one\ntwo\u{fffd}");
    }

    #[test]
    fn a_name_is_cut_and_what_is_told_is_not() {
        let sixty = "ß".repeat(60);
        assert_eq!(name(&sixty), sixty);
        assert_eq!(name(&"ß".repeat(61)), "ß".repeat(59) + "…");
        assert_eq!(lines(&"m".repeat(100)), "m".repeat(100));
    }
}
