//! What a fit depends on.

use std::fmt;

use super::Glue;
use crate::units::Length;

/// Clearance, bits, corners, depth and glue.
///
/// The defaults are common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// The gap between insert and pocket, a side.
    pub clearance: Length,
    /// Diameter of the bit that cuts the pocket.
    pub pocket_bit: Length,
    /// Diameter of the bit that cuts the insert.
    pub insert_bit: Length,
    /// What is done about the pocket's corners, which a round bit leaves round.
    pub corners: Corners,
    /// How deep the pocket is.
    pub depth: Length,
    /// How far the insert stands above the back before it is levelled: the flush allowance.
    pub proud: Length,
    /// The board's thickness, where it is known.
    pub board: Option<Length>,
    /// What holds the insert.
    pub glue: Glue,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            clearance: Length::mm(0.05),
            pocket_bit: Length::inch(0.25),
            insert_bit: Length::inch(0.25),
            corners: Corners::Round,
            depth: Length::mm(9.5),
            proud: Length::mm(0.4),
            board: None,
            glue: Glue::Pva,
        }
    }
}

impl Options {
    /// The narrowest bar that the pocket's bit gets into: as wide as that bit is. The clearance is what it has to spare.
    pub const fn narrowest(&self) -> Length {
        self.pocket_bit
    }
}

/// What is done about the pocket's corners, which a round bit leaves round.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Corners {
    /// The insert's corners are as round as the bit.
    #[default]
    Round,
    /// A bar's ends are half circles.
    Ends,
    /// The insert's corners stay sharp; the pocket's are cut out beyond them.
    Relieved,
}

impl Corners {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Round => "round corners",
            Self::Ends => "round ends",
            Self::Relieved => "relieved pocket corners",
        }
    }
}

/// Which of the two bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bit {
    /// It cuts the pocket.
    Pocket,
    /// It cuts the insert.
    Insert,
}

impl fmt::Display for Bit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Pocket => "pocket bit",
            Self::Insert => "insert bit",
        })
    }
}
