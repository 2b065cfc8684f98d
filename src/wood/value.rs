//! One value of a wood, with its source and how far to trust it.

use super::Property;
use crate::units::{Force, Stress, Units};
use serde::Serialize;
use std::fmt;

/// Where a value stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Printed in the named source, or brought to the board's moisture from printed values by a printed rule.
    Published,
    /// As published, but written down from memory and not looked up again.
    Recalled,
    /// Worked out from other properties, or taken over from a kindred wood.
    Estimated,
    /// The user's own.
    Yours,
}

impl Status {
    /// The status of what is worked out from values of both kinds: the less sure one. What rests on a
    /// user's own value is an estimate, since nobody measured it.
    pub(super) fn and(self, other: Self) -> Self {
        match self.max(other) {
            Self::Yours => Self::Estimated,
            status => status,
        }
    }

    /// In one word ("published").
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Recalled => "recalled",
            Self::Estimated => "estimated",
            Self::Yours => "yours",
        }
    }
}

impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// One value of a wood at a board's moisture. Serialized, it has the names of the JSON answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Value {
    /// Which property it is.
    #[serde(skip)]
    pub property: Property,
    /// The property's name ("tension_across_mpa").
    pub name: &'static str,
    /// The number, in `unit`.
    pub value: f64,
    /// "MPa", "N", "%", "1/%" or "".
    pub unit: &'static str,
    /// Where it stands.
    pub status: Status,
    /// Table, equation or rule it comes from.
    pub source: String,
    /// What a careful reader should know about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Value {
    pub(super) fn new(property: Property, value: f64, status: Status, source: impl Into<String>) -> Self {
        Self {
            property,
            name: property.name(),
            value,
            unit: property.unit(),
            status,
            source: source.into(),
            note: None,
        }
    }

    /// Adds a sentence to the note.
    pub(super) fn remark(mut self, sentence: impl AsRef<str>) -> Self {
        let sentence = sentence.as_ref();
        if !sentence.is_empty() {
            let before = self.note.take().map_or_else(String::new, |note| note + " ");
            self.note = Some(before + sentence);
        }
        self
    }

    /// The number for people, with its unit: `3.9 MPa`, `566 psi`, `0.63`, `0.00248 per %`.
    pub fn shown(&self, units: Units) -> String {
        match self.unit {
            "MPa" => units.stress(Stress::mpa(self.value)),
            "N" => units.force(Force::n(self.value)),
            "%" => format!("{:.1} %", self.value),
            "1/%" => format!("{:.5} per %", self.value),
            _ => format!("{:.2}", self.value),
        }
    }
}
