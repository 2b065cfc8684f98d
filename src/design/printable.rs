//! Words of a file as they may be printed: nothing in them steers a terminal or turns the direction of writing.

/// A name, on one line.
pub(crate) fn name(text: &str) -> String {
    text.chars().map(|c| if steers(c) { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

/// What is told, in as many lines as it has.
pub(crate) fn lines(text: &str) -> String {
    text.split('\n').map(name).collect::<Vec<_>>().join("\n")
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
}
