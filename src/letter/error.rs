//! What can be wrong with what is to be lettered.

use super::{Form, Panel, Wanted};
use crate::units::{Length, beyond};

/// Why a text cannot be lettered.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LetterError {
    /// Nothing but blanks.
    #[error("there is nothing to letter; write a text such as \"408\"")]
    NoLetters,
    /// More letters than a sign has.
    #[error(
        "the text has {0} letters and the most that is set in one line is {MOST}; make several signs of it"
    )]
    TooLong(usize),
    /// The font cannot be read, or is cut short.
    #[error("{font} is no font that can be read; name a whole TrueType or OpenType file")]
    BadFont {
        /// The file, or the font's name.
        font: String,
    },
    /// The font lacks a letter.
    #[error("{font} has no letter \"{}\"; name a font that has it, or write another", .letter.escape_debug())]
    MissingLetter {
        /// The letter.
        letter: String,
        /// The font's full name.
        font: String,
    },
    /// A size that cannot be.
    #[error("the {what} is {}, and has to be from {} to {}; check its unit", off(*.is, *.least, *.most), mm(*.least), mm(*.most))]
    Size {
        /// Which size.
        what: &'static str,
        /// As asked for.
        is: Length,
        /// The least it may be.
        least: Length,
        /// The most it may be.
        most: Length,
    },
    /// The letters do not go into the panel.
    #[error(
        "the letters need {} by {} with a bridge's width of wood around them{}, and the panel is {} by {}; take a larger panel \
         or a lesser height", enough(.needs[0]), enough(.needs[1]), within(*.corners), off(.panel[0], .needs[0], .needs[0]), off(.panel[1], .needs[1], .needs[1])
    )]
    TooLarge {
        /// What the letters need, across and up.
        needs: [Length; 2],
        /// What the panel has.
        panel: [Length; 2],
        /// The largest radius of such a panel's corners, where the one asked for is larger.
        corners: Option<Length>,
    },
    /// The letters come too near to the panel's round corners.
    #[error(
        "the panel's corners, of {} radius, leave less than a bridge's width of wood beside the letters; round them by {} at most, \
         or take a larger panel or a lesser height", off(*.radius, *.most, *.most), at_most(*.most)
    )]
    Corners {
        /// As asked for.
        radius: Length,
        /// The largest that would do.
        most: Length,
    },
    /// An island that no straight bridge in the asked direction reaches.
    #[error(
        "no bridge of this width in this direction holds the island at ({:.1}, {:.1}) mm; make it narrower, or turn it \
         (--bridges-along)", .at[0], .at[1]
    )]
    NotHeld {
        /// Its middle, in mm from the page's lower left corner.
        at: [f64; 2],
    },
}

/// Letters in one line.
const MOST: usize = 200;

fn mm(length: Length) -> String {
    format!("{:.1} mm", length.as_mm())
}

/// A length beside two others, never written as one of them when it is none.
fn off(length: Length, least: Length, most: Length) -> String {
    format!("{} mm", beyond(length.as_mm(), &[least.as_mm(), most.as_mm()], 1))
}

/// A length that does: in tenths, rounded up.
fn enough(length: Length) -> String {
    // What lies on a tenth but for the arithmetic is that tenth.
    mm(Length::mm((length.as_mm() * 10.0 - 1e-6).ceil() / 10.0))
}

/// A length that does: in tenths, rounded down.
fn at_most(length: Length) -> String {
    mm(Length::mm((length.as_mm() * 10.0 + 1e-6).floor() / 10.0))
}

/// What corners are allowed besides.
fn within(corners: Option<Length>) -> String {
    corners.map_or_else(String::new, |most| format!(" and corners of {} radius at most", at_most(most)))
}

/// Looks at every size.
pub(super) fn check(wanted: &Wanted) -> Result<(), LetterError> {
    let within = |what, is: Length, least: f64, most: f64| {
        let (least, most) = (Length::mm(least), Length::mm(most));
        if (least..=most).contains(&is) { Ok(()) } else { Err(LetterError::Size { what, is, least, most }) }
    };
    let letters = wanted.text.chars().count();
    if wanted.text.trim().is_empty() {
        return Err(LetterError::NoLetters);
    } else if letters > MOST {
        return Err(LetterError::TooLong(letters));
    }
    within("height", wanted.height, 5.0, 2000.0)?;
    within("spacing", wanted.spacing, -500.0, 500.0)?;
    let Form::Pierced { panel, bridge, .. } = &wanted.form else { return Ok(()) };
    within("bridge", *bridge, 0.5, 200.0)?;
    match panel {
        Panel::Rectangle { width, height, radius } => {
            within("panel's width", *width, 10.0, 5000.0)?;
            within("panel's height", *height, 10.0, 5000.0)?;
            within("corners' radius", *radius, 0.0, width.as_mm().min(height.as_mm()) / 2.0)
        }
        Panel::Disc { diameter } => within("disc's diameter", *diameter, 10.0, 5000.0),
    }
}
