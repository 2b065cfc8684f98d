//! Tells how wide lines are drawn: the wood is judged to their middle, whatever is seen of them.

use std::collections::BTreeSet;

use super::drawn::Label;
use super::reading::Note;

/// How wide the line along a shape is drawn, in mm.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    /// The shape.
    pub(crate) what: String,
    pub(crate) width: f64,
}

impl Line {
    pub(crate) fn new(label: &Label, width: f64) -> Self {
        Self { what: label.to_string(), width }
    }
}

/// A line wider than this, in mm, may be meant as wood: a rule of our own. Pencils, hair lines and the one pixel of a drawing
/// program are thinner.
pub(crate) const WIDE: f64 = 1.0;

/// The widest line that is not thinner than the gaps closed unasked, and how many others are wide, of shapes that were not left out.
pub(crate) fn widest(lines: Vec<Line>, gap: f64, notes: &[Note]) -> Option<Note> {
    let left_out = notes.iter().filter_map(|note| match note {
        Note::LeftOut { what, .. } => Some(what),
        _ => None,
    });
    let left_out: BTreeSet<&String> = left_out.collect();
    let counts = |line: &Line| line.width.is_finite() && line.width > gap && !left_out.contains(&line.what);
    let mut lines: Vec<Line> = lines.into_iter().filter(counts).collect();
    // Of equal ones the first.
    lines.sort_by(|a, b| b.width.total_cmp(&a.width));
    let more = lines.iter().skip(1).filter(|line| line.width > WIDE).count();
    lines.into_iter().next().map(|Line { what, width }| Note::Line { what, width, more })
}
