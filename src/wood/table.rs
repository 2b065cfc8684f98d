//! The shipped tables: plain text with one row a line and tabs between the fields.
//!
//! They are part of the program, so a table that cannot be read is our own fault and panics with its name and line;
//! a test reads them all.

use super::{Property, Status};
use std::collections::BTreeMap;

/// One row of a table, its fields by column name.
pub(super) struct Row {
    table: &'static str,
    line: usize,
    fields: BTreeMap<&'static str, &'static str>,
}

/// A number as it stands in a table, with its standing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Printed {
    pub(super) value: f64,
    pub(super) status: Status,
    pub(super) source: &'static str,
    pub(super) note: &'static str,
}

/// Numbers of one wood by property.
pub(super) type Sheet = BTreeMap<Property, Printed>;

/// Reads a table whose first line names its columns.
pub(super) fn rows(table: &'static str, text: &'static str) -> Vec<Row> {
    let mut lines = text.lines();
    let columns: Vec<_> = lines.next().expect("a table starts with its column names").split('\t').collect();
    let row = |(index, line): (usize, &'static str)| {
        let fields: Vec<_> = line.split('\t').collect();
        let line = index + 2;
        assert!(fields.len() == columns.len(), "{table}, line {line}: as many fields as columns");
        Row { table, line, fields: columns.iter().copied().zip(fields).collect() }
    };
    lines.enumerate().map(row).collect()
}

impl Row {
    /// The text of `column`.
    pub(super) fn text(&self, column: &str) -> &'static str {
        self.fields.get(column).unwrap_or_else(|| panic!("{}: it has a column {column}", self.table))
    }

    /// The number in `column`, if there is one.
    pub(super) fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        let read = || {
            let value = text.parse().ok().filter(|value: &f64| value.is_finite() && *value > 0.0);
            value.unwrap_or_else(|| self.broken(column))
        };
        (!text.is_empty()).then(read)
    }

    /// The number in `column`, which every row has.
    pub(super) fn required(&self, column: &str) -> f64 {
        self.number(column).unwrap_or_else(|| self.broken(column))
    }

    /// The standing in `column`.
    pub(super) fn status(&self, column: &str) -> Status {
        match self.text(column) {
            "published" => Status::Published,
            "recalled" => Status::Recalled,
            _ => self.broken(column),
        }
    }

    /// Stops: this table was shipped with a field that means nothing.
    pub(super) fn broken(&self, column: &str) -> ! {
        panic!("{}, line {}: {column} cannot be {:?}", self.table, self.line, self.text(column))
    }
}
