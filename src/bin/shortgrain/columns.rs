//! Plain text in columns.

/// Letters in a line.
pub(crate) const LINE: usize = 100;

/// Rows of cells, each column as wide as its widest cell.
pub(crate) struct Columns {
    /// Which columns are set from the right.
    numbers: Vec<bool>,
    rows: Vec<Vec<String>>,
}

impl Columns {
    /// Columns by a letter each: `l` set from the left, `r` from the right.
    pub(crate) fn new(sides: &str) -> Self {
        Self { numbers: sides.chars().map(|side| side == 'r').collect(), rows: Vec::new() }
    }

    /// Adds a row; missing cells at its end are empty.
    pub(crate) fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// The rows as lines, two spaces between columns, each line after `indent` spaces.
    pub(crate) fn text(&self, indent: usize) -> String {
        let count = self.numbers.len();
        let wide = |column: usize| {
            self.rows
                .iter()
                .filter_map(|row| row.get(column))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths: Vec<usize> = (0..count).map(wide).collect();
        let mut text = String::new();
        for row in &self.rows {
            let mut line = " ".repeat(indent);
            for (column, cell) in row.iter().enumerate().take(count) {
                if column > 0 {
                    line.push_str("  ");
                }
                let fill = " ".repeat(widths[column] - cell.chars().count());
                if self.numbers[column] {
                    line.push_str(&fill);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&fill);
                }
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
}

/// Units that follow their number after a space.
const UNITS: [&str; 7] = ["mm", "in", "N", "lbf", "MPa", "psi", "%"];

/// Breaks a sentence at spaces into lines of at most `limit` letters; the later ones get `indent` spaces more. A
/// number and its unit stay together.
pub(crate) fn wrap(sentence: &str, limit: usize, indent: usize) -> String {
    let mut text = String::new();
    let mut used = 0;
    let mut words: Vec<String> = Vec::new();
    for word in sentence.split_whitespace() {
        let unit = UNITS.contains(&word.trim_end_matches(['.', ',', ';', ':', ')']));
        match words.last_mut() {
            Some(before) if unit && before.ends_with(|c: char| c.is_ascii_digit()) => {
                before.push(' ');
                before.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    for word in &words {
        let wide = word.chars().count();
        if used > 0 && used + 1 + wide > limit {
            text.push('\n');
            text.push_str(&" ".repeat(indent));
            used = 0;
        } else if used > 0 {
            text.push(' ');
            used += 1;
        }
        text.push_str(word);
        used += wide;
    }
    text.push('\n');
    text
}

/// A sentence that begins with a capital letter.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_line_up_at_their_ends() {
        let mut columns = Columns::new("rl");
        columns.row(["9", "a"]);
        columns.row(["10°", "bb"]);
        assert_eq!(columns.text(1), "   9  a\n 10°  bb\n");
    }

    #[test]
    fn wrapped_words_keep_their_order_and_their_indent() {
        assert_eq!(wrap("one two three four", 9, 2), "one two\n  three\n  four\n");
        assert_eq!(wrap("risk about 70 %.", 13, 2), "risk about\n  70 %.\n");
    }
}
