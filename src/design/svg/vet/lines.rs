//! Lines and columns of a text, found at once however many are asked for.

/// Where the lines of a text begin, and how many letters stand before certain places of it.
pub(super) struct Lines<'a> {
    text: &'a str,
    /// The byte each line begins with.
    starts: Vec<usize>,
    /// How many letters stand before every [`APART`]th byte.
    letters: Vec<usize>,
}

/// So many bytes lie between places whose letters are counted beforehand.
const APART: usize = 1024;

/// A byte that begins a letter.
const fn begins(byte: u8) -> bool {
    byte & 0xc0 != 0x80
}

impl<'a> Lines<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        let count = |part: &[u8]| part.iter().filter(|byte| begins(**byte)).count();
        let counts = text.as_bytes().chunks(APART).scan(0, |before, part| {
            let here = *before;
            *before += count(part);
            Some(here)
        });
        Self { text, starts: std::iter::once(0).chain(breaks).collect(), letters: counts.collect() }
    }

    /// Line and column of a byte, counted from 1.
    pub(super) fn at(&self, byte: usize) -> (u32, u32) {
        let line = self.starts.partition_point(|start| *start <= byte) - 1;
        let column = self.before(byte) - self.before(self.starts[line]);
        (super::count(line), super::count(column))
    }

    /// How many letters stand before a byte.
    fn before(&self, byte: usize) -> usize {
        let mark = (byte / APART).min(self.letters.len().saturating_sub(1));
        let rest = self.text.as_bytes().get(mark * APART..byte).unwrap_or_default();
        self.letters.get(mark).copied().unwrap_or(0) + rest.iter().filter(|byte| begins(**byte)).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted letter by letter.
    #[test]
    fn lines_and_columns_are_those_that_a_person_counts() {
        let text = "ab\u{e4}c\n\n\u{20ac}".to_owned() + &"x\u{e4}\u{1f600}".repeat(1000) + "\nlast";
        let lines = Lines::new(&text);
        let (mut line, mut column) = (1, 1);
        for (at, letter) in text.char_indices() {
            assert_eq!(lines.at(at), (line, column), "{at}");
            (line, column) = if letter == '\n' { (line + 1, 1) } else { (line, column + 1) };
        }
        assert_eq!((lines.at(text.len()), Lines::new("").at(0)), ((4, 5), (1, 1)));
    }
}
