//! Reads a `board.toml`: the board and the pushes, in the same words as the command line's flags.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use toml::de::{DeTable, DeValue};

use super::{Inner, Page};
use crate::units::{Angle, Force, Length, LengthUnit};
use crate::wood::{OwnValues, Rings};

/// What a `board.toml` says; what it leaves out is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoardFile {
    /// The wood's name, as typed.
    pub wood: Option<String>,
    /// The board's thickness.
    pub thickness: Option<Length>,
    /// Anticlockwise from +x to the fibres.
    pub grain: Option<Angle>,
    /// How the rings stand.
    pub rings: Option<Rings>,
    /// Moisture in percent of the oven-dry mass.
    pub moisture_pct: Option<f64>,
    /// The face push to judge by.
    pub push: Option<Force>,
    /// The side push to judge by.
    pub side: Option<Force>,
    /// The unit of the drawing's own numbers.
    pub drawn_in: Option<LengthUnit>,
    /// What a shape inside another with a different fill is.
    pub inner: Option<Inner>,
    /// What a rectangle as large as the page is.
    pub page: Option<Page>,
    /// The user's own figures for the wood, from the table `[values]`.
    pub values: OwnValues,
    /// What a good answer says, for people.
    pub answer: Option<String>,
    /// Anything else, for people.
    pub note: Option<String>,
}

/// The keys, in the order they are best written.
const KEYS: [&str; 13] = [
    "wood",
    "thickness",
    "grain",
    "rings",
    "moisture",
    "push",
    "side",
    "drawn-in",
    "inner",
    "page",
    "answer",
    "note",
    "values",
];

/// Why a `board.toml` cannot be used: all of its faults, in the file's order.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardError {
    /// The file, as it was named.
    pub file: String,
    /// Never empty.
    pub faults: Vec<BoardFault>,
}

impl std::error::Error for BoardError {}

impl fmt::Display for BoardError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            let end = if i == 0 { "" } else { "\n" };
            write!(f, "{end}{}: {fault}", self.file)?;
        }
        Ok(())
    }
}

/// One thing wrong in a `board.toml`.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum BoardFault {
    /// It is not TOML.
    NotToml {
        /// Line and column.
        line: (usize, usize),
        /// What the TOML parser says.
        reason: String,
    },
    /// A key that means nothing here.
    UnknownKey {
        /// Line and column.
        line: (usize, usize),
        /// The key as typed.
        key: String,
        /// The key that was probably meant.
        meant: Option<&'static str>,
    },
    /// A value that cannot be read.
    BadValue {
        /// Line and column.
        line: (usize, usize),
        /// Its key.
        key: String,
        /// What is wrong, and what to write.
        reason: String,
    },
    /// It is longer than anybody writes one.
    TooLong {
        /// The most bytes it may have.
        limit: usize,
    },
}

/// The longest board file that is read, in bytes: every key with a long note goes into a tenth of it.
const LONGEST: usize = 64 << 10;

impl BoardFault {
    const fn line(&self) -> (usize, usize) {
        match self {
            Self::NotToml { line, .. } | Self::UnknownKey { line, .. } | Self::BadValue { line, .. } => *line,
            Self::TooLong { .. } => (1, 1),
        }
    }
}

impl fmt::Display for BoardFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, column) = self.line();
        write!(f, "line {line}:{column}: ")?;
        match self {
            Self::NotToml { reason, .. } => {
                write!(f, "this is not TOML ({reason}); write lines such as thickness = \"19mm\"")
            }
            Self::UnknownKey { key, meant: Some(meant), .. } => {
                write!(f, "there is no key \"{key}\"; did you mean \"{meant}\"?")
            }
            Self::UnknownKey { key, meant: None, .. } => {
                write!(f, "there is no key \"{key}\"; the keys are {}", KEYS.join(", "))
            }
            Self::BadValue { key, reason, .. } => write!(f, "{key}: {reason}"),
            Self::TooLong { limit } => {
                write!(
                    f,
                    "a board file has at most {limit} bytes, and this one has more; is it a board file?"
                )
            }
        }
    }
}

/// Reads a `board.toml`; `file_name` is only for messages.
///
/// Every value is a string with its unit, except `moisture`, which is a number of percent. The table
/// `[values]` holds the user's own figures under the wood table's names.
///
/// # Errors
///
/// [`BoardError`] with every fault of the file.
///
/// # Example
///
/// ```
/// use shortgrain::design::read_board;
///
/// let board = read_board("board.toml", "wood = \"white oak\"\nthickness = \"3/4in\"\nmoisture = 8")?;
/// assert_eq!(board.thickness.map(|t| t.as_mm()), Some(19.049999999999997));
///
/// let bare = read_board("board.toml", "thickness = 19").unwrap_err();
/// assert_eq!(bare.to_string(), "board.toml: line 1:13: thickness: 19 has no unit; write 19mm or 19in");
/// # Ok::<(), shortgrain::design::BoardError>(())
/// ```
pub fn read_board(file_name: &str, text: &str) -> Result<BoardFile, BoardError> {
    if text.len() > LONGEST {
        let faults = vec![BoardFault::TooLong { limit: LONGEST }];
        return Err(BoardError { file: file_name.to_owned(), faults });
    }
    let mut reading = Reading { text, board: BoardFile::default(), faults: Vec::new() };
    let (table, errors) = DeTable::parse_recoverable(text);
    for error in errors {
        let line = reading.line(&error.span().unwrap_or_default());
        reading.faults.push(BoardFault::NotToml { line, reason: error.message().to_owned() });
    }
    for (key, value) in table.get_ref() {
        reading.entry(key.get_ref(), &key.span(), value.get_ref(), &value.span());
    }
    let Reading { board, mut faults, .. } = reading;
    faults.sort_by_key(BoardFault::line);
    if faults.is_empty() { Ok(board) } else { Err(BoardError { file: file_name.to_owned(), faults }) }
}

struct Reading<'a> {
    text: &'a str,
    board: BoardFile,
    faults: Vec<BoardFault>,
}

impl Reading<'_> {
    fn line(&self, span: &Range<usize>) -> (usize, usize) {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        (before.matches('\n').count() + 1, column)
    }

    fn entry(&mut self, key: &str, key_span: &Range<usize>, value: &DeValue<'_>, span: &Range<usize>) {
        let bad = match key {
            "wood" => store(&mut self.board.wood, written(value)),
            "thickness" => store(&mut self.board.thickness, parsed(value).and_then(above_zero)),
            "grain" => store(&mut self.board.grain, parsed(value)),
            "rings" => store(&mut self.board.rings, word(value, &RINGS)),
            "moisture" => store(&mut self.board.moisture_pct, percent(value)),
            "push" => store(&mut self.board.push, parsed(value).and_then(above_zero)),
            "side" => store(&mut self.board.side, parsed(value).and_then(above_zero)),
            "drawn-in" => store(&mut self.board.drawn_in, parsed(value)),
            "inner" => store(
                &mut self.board.inner,
                word(value, &[("opening", Inner::Opening), ("wood", Inner::Wood)]),
            ),
            "page" => {
                store(&mut self.board.page, word(value, &[("ignore", Page::Ignore), ("wood", Page::Wood)]))
            }
            "answer" => store(&mut self.board.answer, written(value)),
            "note" => store(&mut self.board.note, written(value)),
            "values" => return self.values(value, span),
            _ => {
                let line = self.line(key_span);
                self.faults.push(BoardFault::UnknownKey { line, key: key.to_owned(), meant: nearest(key) });
                return;
            }
        };
        if let Err(reason) = bad {
            let line = self.line(span);
            self.faults.push(BoardFault::BadValue { line, key: key.to_owned(), reason });
        }
    }

    fn values(&mut self, value: &DeValue<'_>, span: &Range<usize>) {
        let Some(table) = value.as_table() else {
            let reason = "this has to be a table; write [values] on a line of its own".to_owned();
            let line = self.line(span);
            self.faults.push(BoardFault::BadValue { line, key: "values".to_owned(), reason });
            return;
        };
        for (key, value) in table {
            let name = key.get_ref();
            let read = plain(value.get_ref())
                .and_then(|text| self.board.values.read(name, &text).map_err(|error| error.to_string()));
            if let Err(reason) = read {
                let line = self.line(&value.span());
                self.faults.push(BoardFault::BadValue { line, key: format!("values.{name}"), reason });
            }
        }
    }
}

const RINGS: [(&str, Rings); 7] = [
    ("flat", Rings::Flat),
    ("quarter", Rings::Quarter),
    ("rift", Rings::Rift),
    ("unknown", Rings::Unknown),
    ("flat-sawn", Rings::Flat),
    ("quarter-sawn", Rings::Quarter),
    ("rift-sawn", Rings::Rift),
];

fn store<T>(slot: &mut Option<T>, value: Result<T, String>) -> Result<(), String> {
    *slot = Some(value?);
    Ok(())
}

/// A string or number as it was typed; a number without its unit is refused by whoever reads it.
fn plain(value: &DeValue<'_>) -> Result<String, String> {
    match value {
        DeValue::String(text) => Ok(text.clone().into_owned()),
        DeValue::Integer(number) => Ok(number.as_str().to_owned()),
        DeValue::Float(number) => Ok(number.as_str().to_owned()),
        other => Err(format!(
            "{} says nothing here; write a string with its unit, such as \"19mm\"",
            other.type_str()
        )),
    }
}

fn written(value: &DeValue<'_>) -> Result<String, String> {
    let text = value.as_str().map(str::trim).filter(|text| !text.is_empty());
    text.map(str::to_owned).ok_or_else(|| "this has to be words in quotes".to_owned())
}

fn parsed<T>(value: &DeValue<'_>) -> Result<T, String>
where
    T: FromStr,
    T::Err: fmt::Display,
{
    plain(value)?.parse().map_err(|error: T::Err| error.to_string())
}

fn above_zero<T: PartialOrd + Zero + fmt::Display>(value: T) -> Result<T, String> {
    if value > T::ZERO { Ok(value) } else { Err(format!("{value} is not above zero; check the figure")) }
}

/// What has to be above zero.
trait Zero {
    const ZERO: Self;
}

impl Zero for Length {
    const ZERO: Self = Self::mm(0.0);
}

impl Zero for Force {
    const ZERO: Self = Self::n(0.0);
}

fn word<T: Copy>(value: &DeValue<'_>, words: &[(&str, T)]) -> Result<T, String> {
    let typed = plain(value)?;
    let spelt = typed.trim().to_lowercase();
    words.iter().find(|(word, _)| *word == spelt).map(|(_, meaning)| *meaning).ok_or_else(|| {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        format!("\"{typed}\" is not one of its words; write {}", known.join(", "))
    })
}

/// A number of percent, with or without the sign.
fn percent(value: &DeValue<'_>) -> Result<f64, String> {
    let typed = plain(value)?;
    let number = typed.trim().trim_end_matches('%').trim_end().parse::<f64>();
    let bounded = number.ok().filter(|number| (0.0..=200.0).contains(number));
    bounded.ok_or_else(|| format!("{typed} is not a moisture; write percent of the dry mass, such as 8"))
}

/// The key most like what was typed, when it is like one at all.
fn nearest(typed: &str) -> Option<&'static str> {
    let typed = typed.to_lowercase().replace('_', "-");
    let best = KEYS.iter().map(|key| (edits(&typed, key), *key)).min()?;
    let prefix =
        KEYS.iter().find(|key| typed.len() > 2 && (key.starts_with(&typed) || typed.starts_with(**key)));
    (best.0 <= 2).then_some(best.1).or(prefix.copied())
}

/// How many letters have to be put in, taken out or changed (Levenshtein's distance).
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let changed = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = changed.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wood::Property;

    fn refused(text: &str) -> String {
        read_board("board.toml", text).unwrap_err().to_string()
    }

    #[test]
    fn every_key_is_read() {
        let board = read_board(
            "board.toml",
            "wood = \"hard maple\"\nthickness = \"3/4in\"\ngrain = \"90deg\"\nrings = \"flat-sawn\"\nmoisture = 8\n\
             push = \"10lbf\"\nside = \"45N\"\ndrawn-in = \"mm\"\ninner = \"opening\"\npage = \"ignore\"\n\
             answer = \"turn it\"\nnote = \"ours\"\n[values]\ntension_across = \"4.2MPa\"\n",
        )
        .unwrap();
        assert_eq!(board.wood.as_deref(), Some("hard maple"));
        assert!((board.thickness.unwrap().as_mm() - 19.05).abs() < 1e-9);
        assert!((board.grain.unwrap().as_deg() - 90.0).abs() < 1e-9);
        assert_eq!((board.rings, board.moisture_pct), (Some(Rings::Flat), Some(8.0)));
        assert!((board.push.unwrap().as_n() - 44.48).abs() < 0.01);
        assert_eq!((board.side, board.drawn_in), (Some(Force::n(45.0)), Some(LengthUnit::Mm)));
        assert_eq!((board.inner, board.page), (Some(Inner::Opening), Some(Page::Ignore)));
        assert_eq!(board.answer.as_deref(), Some("turn it"));
        assert_eq!(board.values.get(Property::TensionAcross), Some(4.2));
    }

    #[test]
    fn an_empty_file_says_nothing() {
        assert_eq!(read_board("board.toml", ""), Ok(BoardFile::default()));
    }

    #[test]
    fn bare_numbers_are_refused_with_both_readings() {
        assert!(refused("thickness = 19").contains("19 has no unit; write 19mm or 19in"));
        assert!(refused("grain = 90").contains("line 1:9: grain: 90 has no unit"));
        assert!(refused("[values]\ntension_across = 4.2").contains("4.2 has no unit"));
    }

    #[test]
    fn unknown_keys_are_refused_with_the_likely_one() {
        assert!(refused("thicknes = \"19mm\"").contains("no key \"thicknes\"; did you mean \"thickness\"?"));
        assert!(refused("drawn_in = \"mm\"").contains("did you mean \"drawn-in\"?"));
        assert!(refused("colour = \"red\"").contains("the keys are wood, thickness"));
    }

    #[test]
    fn every_fault_comes_in_one_answer_in_the_files_order() {
        let message = refused("side = \"-3N\"\nrings = \"plain\"\nmoisture = \"wet\"\nthickness = [1]\n");
        let lines: Vec<&str> = message.lines().collect();
        assert_eq!(lines.len(), 4);
        assert!(lines[0].contains("line 1:8: side: -3 N is not above zero"), "{message}");
        assert!(lines[1].contains("\"plain\" is not one of its words; write flat, quarter, rift"));
        assert!(lines[2].contains("wet is not a moisture"));
        assert!(lines[3].contains("array says nothing here"), "{message}");
    }

    #[test]
    fn broken_toml_is_named_with_its_line() {
        assert!(refused("wood = \"oak\"\nthickness = \n").contains("line 2:"));
    }
}
