//! The pairs of lines a DXF file is made of: a group code, and its value.

use crate::design::{Fault, FaultKind, Place};

/// One pair.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tag<'a> {
    pub(super) code: i32,
    /// Without the blanks around it.
    pub(super) value: &'a str,
}

impl Tag<'_> {
    /// The value as a number; `None` when it is none, or not finite.
    pub(super) fn number(&self) -> Option<f64> {
        self.value.parse().ok().filter(|number: &f64| number.is_finite())
    }

    /// The value as a whole number; 0 when it is none, as for flags.
    pub(super) fn flags(&self) -> i64 {
        self.value.parse().unwrap_or(0)
    }
}

/// Walks over the pairs of a stretch of the file.
#[derive(Clone, Debug)]
pub(super) struct Tags<'a> {
    rest: &'a str,
}

impl<'a> Tags<'a> {
    pub(super) const fn new(text: &'a str) -> Self {
        Self { rest: text }
    }
}

impl<'a> Iterator for Tags<'a> {
    type Item = Tag<'a>;

    /// Stretches hold only pairs that `records` has read before.
    fn next(&mut self) -> Option<Tag<'a>> {
        let (code, after) = line(self.rest)?;
        let (value, after) = line(after)?;
        self.rest = after;
        Some(Tag { code: code.parse().ok()?, value })
    }
}

/// What stands from one pair with code 0 to the next: an entity, or the mark of a section, table or block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Record<'a> {
    /// The value of code 0: `LINE`.
    pub(super) kind: &'a str,
    /// The line of that value, counted from 1.
    pub(super) line: u32,
    /// The pairs after it.
    body: &'a str,
}

impl<'a> Record<'a> {
    /// Its pairs.
    pub(super) const fn tags(&self) -> Tags<'a> {
        Tags::new(self.body)
    }

    /// The first value with a code.
    pub(super) fn get(&self, code: i32) -> Option<Tag<'a>> {
        self.tags().find(|tag| tag.code == code)
    }
}

/// Cuts a file into its records; comments are left out.
///
/// # Errors
///
/// The first line that should be a group code and is none, and a file that ends within a pair.
pub(super) fn records(text: &str) -> Result<Vec<Record<'_>>, Vec<Fault>> {
    let mut records: Vec<Record<'_>> = Vec::new();
    let mut rest = text;
    let mut number = 0_u32;
    let fault = |number: u32, kind| vec![Fault { place: Place::on_line(number, 1), kind }];
    let mut body_start = text;
    // Text from one slice of the file up to where another starts.
    let until = |from: &'_ str, to: &str| from.len() - to.len();
    while let Some((code, after)) = line(rest) {
        number = number.saturating_add(1);
        if code.is_empty() && after.trim().is_empty() {
            break;
        }
        let Ok(code) = code.parse::<i32>() else {
            let found = crate::design::svg::shortened(code);
            return Err(fault(number, FaultKind::NotAGroupCode { found }));
        };
        let Some((value, after)) = line(after) else {
            return Err(fault(number, FaultKind::Truncated));
        };
        number = number.saturating_add(1);
        if code == 0 {
            let start = rest;
            if let Some(last) = records.last_mut() {
                last.body = &body_start[..until(body_start, start)];
            }
            body_start = after;
            records.push(Record { kind: value, line: number, body: "" });
        }
        rest = after;
    }
    if let Some(last) = records.last_mut() {
        last.body = &body_start[..until(body_start, rest)];
    }
    Ok(records)
}

/// The first line without the blanks around it, and what follows; `None` at the end.
fn line(text: &str) -> Option<(&str, &str)> {
    if text.is_empty() {
        return None;
    }
    let (line, after) = text.split_once('\n').unwrap_or((text, ""));
    Some((line.trim(), after))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_run_from_one_zero_to_the_next() {
        let records =
            records("999\nmade by hand\r\n0\r\nLINE\r\n  8\r\nRIM\r\n 10\r\n1.5\r\n0\r\nEOF\r\n").unwrap();
        let kinds: Vec<(&str, u32)> = records.iter().map(|r| (r.kind, r.line)).collect();
        assert_eq!(kinds, [("LINE", 4), ("EOF", 10)]);
        let tags: Vec<(i32, &str)> = records[0].tags().map(|tag| (tag.code, tag.value)).collect();
        assert_eq!(tags, [(8, "RIM"), (10, "1.5")]);
    }

    #[test]
    fn a_line_that_is_no_code_is_named() {
        let fault = &records("0\nLINE\nten\n1.5\n").unwrap_err()[0];
        assert_eq!(fault.place.line, Some((3, 1)));
    }

    #[test]
    fn a_number_that_is_none_or_infinite_is_none() {
        let number = |value| Tag { code: 10, value }.number();
        assert_eq!(
            (number("1e3"), number("NaN"), number("inf"), number("1e999")),
            (Some(1000.0), None, None, None)
        );
    }
}
