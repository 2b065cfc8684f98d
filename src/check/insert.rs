//! The first remedy for a weak place: a cross-grain insert, or why there is none.

use std::fmt;

use geo_types::Polygon;

use super::finding::{PushKind, Verdict};
use super::words::numbered;

/// A cross-grain insert glued in a pocket in the back.
#[derive(Clone, Debug, PartialEq)]
pub struct Insert {
    /// The strip as cut and glued, in mm, seen from the face.
    pub outline: Polygon<f64>,
    /// What the piercing leaves of it.
    pub after_piercing: Vec<Polygon<f64>>,
    /// Its own grain, degrees anticlockwise from +x, seen from the face.
    pub grain_deg: f64,
    /// Pocket depth and insert thickness, in mm.
    pub depth_mm: f64,
    /// Show face left, in mm.
    pub show_face_mm: f64,
    /// Length along its grain, in mm.
    pub length_mm: f64,
    /// Width across its grain, in mm.
    pub width_mm: f64,
    /// Face and side push with the insert in place.
    pub after: Vec<InsertSide>,
    /// The verdict with the insert.
    pub verdict: Verdict,
    /// Whether it reaches the verdict that is wanted, `sound` unless another was asked for.
    pub reaches_goal: bool,
    /// Factor by which the weaker answer falls short of that (1 when it reaches it).
    pub shortfall: f64,
    /// What a person should read with it.
    pub remarks: Vec<InsertRemark>,
}

/// How a mended place answers one push.
#[derive(Clone, Debug, PartialEq)]
pub struct InsertSide {
    /// Face or side.
    pub kind: PushKind,
    /// Force at which the mended place breaks, mean, in N.
    pub breaks_at_n: f64,
    /// Its 5 % point, in N.
    pub low_n: f64,
    /// The risk at the stated push.
    pub risk: f64,
    /// How many times stronger than before.
    pub gain: f64,
    /// What gives way first, in words ("show face", "floor joint", "insert end", "insert fibres").
    pub gives_way: &'static str,
}

/// What a person should read with an insert; its `Display` is the sentence.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum InsertRemark {
    /// Its strength is the closed form's.
    Estimate,
    /// By the closed form it trades one push for the other.
    Weakens,
    /// It ends too close to where the place breaks.
    ShortReach {
        /// How far it reaches past the break line, in mm.
        reach_mm: f64,
        /// How far it should.
        needed_mm: f64,
        /// What asks for that, with its standing: `peel off its floor (our own derivation) asks for`.
        asks: &'static str,
    },
    /// The place lies at the outer rim.
    AtRim,
    /// The place is curved and the strip is straight.
    Curved {
        /// How far the one strays from the other, in mm.
        strays_mm: f64,
    },
    /// Its joint is longer than a usual year is mild to, or than the trade is easy about.
    LongJoint {
        /// How long it is, in mm.
        length_mm: f64,
        /// Up to which length it would be mild.
        mild_mm: f64,
        /// What the trade makes of such a length: `the trade thinks twice between 50 mm and 100 mm`.
        trade: &'static str,
    },
    /// It overlaps the inserts of other places.
    Overlaps {
        /// Which, by number.
        places: Vec<usize>,
    },
}

impl InsertRemark {
    /// Whether it speaks of the closed form's numbers, which no longer hold once the solid model has answered.
    pub const fn is_of_estimate(&self) -> bool {
        matches!(self, Self::Estimate | Self::Weakens)
    }

    /// Whether it speaks of the strip's size: of its reach, its length or its neighbours.
    pub const fn is_of_size(&self) -> bool {
        matches!(self, Self::ShortReach { .. } | Self::LongJoint { .. } | Self::Overlaps { .. })
    }
}

impl fmt::Display for InsertRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Estimate => f.write_str(
                "The strength with the insert is an estimate (transformed section, reduced as our own solid models showed), not a \
                 proof: mend asks the solid model, which may find it weaker, even than without. Glue one up in scrap of the same \
                 board and push it.",
            ),
            Self::Weakens => f.write_str(
                "One of the two pushes breaks the mended place sooner than before; weigh it against the other.",
            ),
            Self::ShortReach { reach_mm, needed_mm, asks } => write!(
                f,
                "The strip reaches {reach_mm:.1} mm past the break line where {asks} {needed_mm:.1} mm: short by {:.1} mm.",
                needed_mm - reach_mm
            ),
            Self::AtRim => f.write_str(
                "The place lies at the outer rim, so the strip runs out there: glue it in before the outline is cut; its edge will show.",
            ),
            Self::Curved { strays_mm } => write!(
                f,
                "The place is curved: it strays {strays_mm:.0} mm from a straight strip, whose grain follows it only on the whole."
            ),
            Self::LongJoint { length_mm, mild_mm, trade } => write!(
                f,
                "The strip is glued across the grain over {length_mm:.1} mm: {trade} (common practice, no published source). Up to \
                 {mild_mm:.1} mm a usual year is mild to such a joint (our own rule). The stress decides: how hard your year pulls at \
                 it, mend says."
            ),
            Self::Overlaps { places } => {
                let (inserts, advice) = match places.as_slice() {
                    [_] => ("insert", "cut one strip that serves both, or leave one out"),
                    _ => ("inserts", "cut strips that serve several, or leave some out"),
                };
                write!(f, "It overlaps the {inserts} of {}: {advice}.", numbered("place", places))
            }
        }
    }
}

/// Why a place gets no insert.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoInsert {
    /// Less than 1 mm would be left for the insert.
    #[error(
        "the board is {thickness:.1} mm thick, too thin for an insert behind a show face of \
         {show_face:.1} mm; try a thicker board or a backer"
    )]
    TooThin {
        /// The board's thickness, in mm.
        thickness: f64,
        /// The show face it has to keep, in mm.
        show_face: f64,
    },
    /// No strip reaches far enough past the break lines.
    #[error(
        "there is no room for an insert: it has to reach {reach:.0} mm past the break line and stay \
         {rim:.0} mm inside the rim; try a backer or a wider place"
    )]
    NoRoom {
        /// The least reach of the thinnest insert, in mm.
        reach: f64,
        /// The margin it has to keep, in mm.
        rim: f64,
    },
    /// The place bears both pushes as it is.
    #[error("the place is good enough as it is")]
    NotNeeded,
    /// The best strip leaves the place hardly stronger than it is.
    #[error(
        "by the estimate none that fits would help, as the {gives_way} would give way about as soon or sooner; mend asks the solid model, or try a \
         backer or a wider place"
    )]
    NoGain {
        /// What would break first.
        gives_way: &'static str,
        /// Factor by which the best that fits falls short of the verdict that is wanted.
        shortfall: f64,
    },
    /// The run comes back to where it starts.
    #[error("the place curves back on itself, so no straight strip follows it; try a backer")]
    NoDirection,
    /// A strip with its grain along the place would be the wood that is there already.
    #[error("it runs along the grain already; make it wider or thicker, or put a backer behind it")]
    AlongGrain,
}
