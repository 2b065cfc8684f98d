//! Why an insert and its pocket cannot be made to go together.

use std::fmt;

use super::Bit;
use crate::shape::ShapeError;
use crate::shape::plane::Point;
use crate::units::{Length, beyond};

/// Every fault of a fit, each with what to try.
#[derive(Clone, Debug, PartialEq)]
pub struct FitError {
    /// Never empty.
    pub faults: Vec<Fault>,
}

/// One sentence a line.
impl fmt::Display for FitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.faults.iter().map(Fault::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl std::error::Error for FitError {}

/// One reason.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// No insert goes into a pocket of its own size, and none holds in one that is far too wide.
    #[error("a clearance of {} a side is not from 0.02 mm to 1 mm; 0.05 mm is usual, and a coupon shows whether it suits", off(.0, 0.02, 1.0))]
    Clearance(Length),
    /// Not a bit's diameter.
    #[error("the {which} of {} is not from 0.5 mm to 50 mm; give its diameter with its unit, such as 6.35 mm", off(.given, 0.5, 50.0))]
    BitSize {
        /// Which bit.
        which: Bit,
        /// The diameter asked for.
        given: Length,
    },
    /// Not a pocket's depth.
    #[error("a pocket {} deep is not from 0.5 mm to 100 mm; about half the board's thickness is usual", off(.0, 0.5, 100.0))]
    Depth(Length),
    /// The pocket leaves no wood in front of it.
    #[error("a pocket {} deep leaves nothing of a board of {}; about half its thickness is usual", mm(.depth), mm(.board))]
    NoShowFace {
        /// The pocket's depth.
        depth: Length,
        /// The board's thickness.
        board: Length,
    },
    /// Not an allowance.
    #[error("an insert that stands {} proud is not from 0 mm to 5 mm; 0.4 mm is usual", off(.0, 0.0, 5.0))]
    Proud(Length),
    /// A bar that cannot be handled.
    #[error("a bar of {} x {} is not from 1 mm to 2000 mm either way; check both lengths and their units", off(&.0[0], 1.0, 2000.0), off(&.0[1], 1.0, 2000.0))]
    BarSize([Length; 2]),
    /// The outline is not one of a piece.
    #[error("this is no outline for an insert: {0}")]
    Outline(#[from] ShapeError),
    /// The outline is drawn finer than any insert needs.
    #[error("the outline has {0} points, more than 20000; draw it simpler")]
    TooFine(usize),
    /// A part of the pocket is too narrow for the bit, or so pointed that too much of it would go.
    #[error("the {which} of {} does not get into the {what} at x {:.1} mm, y {:.1} mm{}", mm(.bit), .at.x, .at.y, remedy(.largest))]
    TooNarrow {
        /// Which bit.
        which: Bit,
        /// What it does not get into: a part of the pocket, or a notch of the insert.
        what: &'static str,
        /// Where.
        at: Point,
        /// Its diameter.
        bit: Length,
        /// The widest bit that would do, where there is one.
        largest: Option<Length>,
    },
    /// Round ends need a bar.
    #[error("round ends are for a bar, and this outline is no rectangle; choose round corners")]
    EndsNeedBar,
    /// Two reliefs meet, or one runs past the end of a side.
    #[error(
        "the side at x {:.1} mm, y {:.1} mm is too short for a relief of {} at its corner; choose round corners or a smaller \
         pocket bit", .at.x, .at.y, mm(.relief)
    )]
    ShortSide {
        /// The corner.
        at: Point,
        /// The relief's diameter.
        relief: Length,
    },
    /// A small round corner is no corner to relieve, and too tight for the bit.
    #[error(
        "the curve at x {:.1} mm, y {:.1} mm is tighter than the pocket bit of {}, and only sharp corners can be relieved; choose \
         round corners or a smaller pocket bit", .at.x, .at.y, mm(.bit)
    )]
    TightCurve {
        /// Where.
        at: Point,
        /// The bit's diameter.
        bit: Length,
    },
}

impl FitError {
    /// The widest pocket bit that gets into every part of the pocket; nothing where that is no fault of this fit, or no bit would.
    pub fn largest_pocket_bit(&self) -> Option<Length> {
        let largest = |fault: &Fault| match fault {
            Fault::TooNarrow { which: Bit::Pocket, largest, .. } => *largest,
            _ => None,
        };
        self.faults.iter().filter_map(largest).min_by(|a, b| a.as_mm().total_cmp(&b.as_mm()))
    }
}

impl Fault {
    /// Whether it hangs on the outline; the others are said once, however many outlines are fitted.
    pub const fn is_of_outline(&self) -> bool {
        !matches!(
            self,
            Self::Clearance(_)
                | Self::BitSize { .. }
                | Self::Depth(_)
                | Self::NoShowFace { .. }
                | Self::Proud(_)
        )
    }
}

fn remedy(largest: &Option<Length>) -> String {
    match largest {
        Some(bit) => format!("; the largest bit that would is {}", mm(bit)),
        None => ", and no bit of 0.5 mm or more would; draw that part wider or blunter".to_owned(),
    }
}

/// A length without digits that say nothing.
fn mm(length: &Length) -> String {
    trimmed(&format!("{:.3}", length.as_mm()))
}

/// The same of one that is not between two others: it is never written as one of them.
fn off(length: &Length, least: f64, most: f64) -> String {
    trimmed(&beyond(length.as_mm(), &[least, most], 3))
}

fn trimmed(number: &str) -> String {
    // Zeros at the end of a whole number, or of a power of ten, say a lot.
    let is_decimal = number.contains('.') && !number.contains('e');
    let number = if is_decimal { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    format!("{number} mm")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_off_its_limits_is_told_as_it_is() {
        let told = |size: f64| off(&Length::mm(size), 1.0, 2000.0);
        assert_eq!(
            [1e300, 1e12, 3000.0, 2000.5, 0.5].map(told),
            ["1e300 mm", "1e12 mm", "3000 mm", "2000.5 mm", "0.5 mm"]
        );
        assert_eq!(mm(&Length::mm(20.0)), "20 mm");
    }
}
