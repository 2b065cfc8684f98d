//! What a reader of any file format hands on: shapes as drawn, in mm, before anybody asks what is wood.

use std::fmt;

use geo_types::Coord;

use super::Place;
use crate::shape::FillRule;

/// One shape element, in paint order.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    pub(crate) label: Label,
    /// `None`: an outline only.
    pub(crate) fill: Option<Fill>,
    /// Whether a line is drawn along it.
    pub(crate) lined: bool,
    pub(crate) contours: Vec<Contour>,
}

/// How an area is filled.
#[derive(Clone, Debug)]
pub(crate) struct Fill {
    /// Two shapes with the same paint are the same material.
    pub(crate) paint: String,
    pub(crate) rule: FillRule,
}

/// A run of straight pieces, x right, y up.
#[derive(Clone, Debug)]
pub(crate) struct Contour {
    /// The first point is not repeated at the end of a closed contour.
    pub(crate) points: Vec<Coord<f64>>,
    pub(crate) closed: bool,
}

/// What to call an element.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    /// The element: `path`.
    pub(crate) element: String,
    /// Its own id.
    pub(crate) id: Option<String>,
    /// The id of the nearest group around it that has one.
    pub(crate) group: Option<String>,
    /// The names of the layers it lies on, its own first.
    pub(crate) layers: Vec<String>,
    /// Line and column.
    pub(crate) line: Option<(u32, u32)>,
}

impl Label {
    /// Where the element stands in the file.
    pub(crate) fn place(&self) -> Place {
        Place { element: Some(self.named()), line: self.line, at_mm: None }
    }

    fn named(&self) -> String {
        match (&self.id, &self.group) {
            (Some(id), _) => format!("{} \"{id}\"", self.element),
            (None, Some(group)) => format!("{} in \"{group}\"", self.element),
            (None, None) => self.element.clone(),
        }
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.named())?;
        if let (None, Some((line, _))) = (&self.id, self.line) {
            write!(f, " (line {line})")?;
        }
        Ok(())
    }
}
