//! What a check finds: each piece with its weak places, each place with what breaks it.

use crate::strength::{FaceForces, Mode, Section, SideForces, Working};
use geo_types::{Coord, Polygon};

/// How sure a place or a piece is at the stated push.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Risk under 1 %.
    Sound,
    /// Risk from 1 % to 20 %.
    Careful,
    /// Risk over 20 %.
    Fragile,
}

/// What a weak place is to the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Taking it away cuts something loose.
    Arm,
    /// Taking it away cuts nothing loose.
    Bridge,
    /// Wood held only by several weak places, broken off with them.
    Island,
    /// A slender stretch that runs along the grain; listed to show that thin is not weak.
    Along,
}

/// Which of the two pushes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PushKind {
    /// Through the thickness, on a 10 mm pad.
    Face,
    /// In the board's plane, square to a wall.
    Side,
}

/// What was held while the place was pushed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Case {
    /// All that remains when the place alone is taken out (its biggest part, for an arm).
    Place,
    /// The biggest part that remains when all weak places are taken out; all else is loaded.
    Carried,
}

/// The forces on the section that breaks, for a push of 1 N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Forces {
    /// Of a face push.
    Face(FaceForces),
    /// Of a side push.
    Side(SideForces),
}

/// The least push of one kind that breaks a place, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Push {
    /// Face or side.
    pub kind: PushKind,
    /// The force at which the index reaches 1 with mean strengths, in N.
    pub breaks_at_n: f64,
    /// The 5 % point of the capacity, in N.
    pub low_n: f64,
    /// The probability that the stated push breaks it, 0 to 1.
    pub risk: f64,
    /// Where the push acts, in mm.
    pub push_at: Coord<f64>,
    /// For a side push: the direction it pushes in, degrees anticlockwise from +x.
    pub direction_deg: Option<f64>,
    /// How the wood gives way.
    pub mode: Mode,
    /// The closed form's answer, in N (the same as `breaks_at_n` while it is the only engine).
    pub closed_form_n: f64,
    /// The intervals that part, each from end to end.
    pub break_line: Vec<[Coord<f64>; 2]>,
    /// For a face push: the force that dents the wood under the pad without breaking it, in N.
    pub dents_at_n: Option<f64>,
    /// What was held.
    pub case: Case,
    /// The worst section square to the run (for a break that only its grain line shows, the grain plane).
    pub section: Section,
    /// Forces on it for a push of 1 N, such that it breaks at `breaks_at_n`.
    pub forces: Forces,
    /// Every number of the formula, so that a person can redo it with a pencil.
    pub working: Working,
}

/// A weak place.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// 1 is the weakest.
    pub id: usize,
    /// What it is to the piece.
    pub form: Form,
    /// Narrowest width measured along the grain (for [`Form::Along`]: across it), in mm.
    pub width_mm: f64,
    /// Narrowest inscribed circle's diameter, in mm.
    pub neck_mm: f64,
    /// Length along the skeleton, in mm.
    pub span_mm: f64,
    /// Angle between run and grain at the break line, 0 to 90 degrees.
    pub crossing_deg: f64,
    /// Its middle (the neck), in mm.
    pub at: Coord<f64>,
    /// The skeleton from end to end, in mm.
    pub run: Vec<Coord<f64>>,
    /// Which ends of the run stand in wood that is held: both of a bridge, the root of an arm.
    pub held: [bool; 2],
    /// The least face push.
    pub face: Push,
    /// The least side push.
    pub side: Push,
    /// Its verdict at the stated pushes.
    pub verdict: Verdict,
    /// The first remedy, where the place is not sound.
    pub insert: Option<Insert>,
    /// Sentences a person should read with it.
    pub remarks: Vec<String>,
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
    /// Whether it reaches `sound`.
    pub reaches_goal: bool,
    /// Factor by which the weaker answer falls short of sound (1 when it reaches it).
    pub shortfall: f64,
    /// Sentences a person should read with it.
    pub remarks: Vec<String>,
}

/// What is found on one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The piece's name in its drawing.
    pub name: String,
    /// Smallest and largest x and y, in mm: `[x0, y0, x1, y1]`.
    pub bounds_mm: [f64; 4],
    /// Area of the wood, in mm².
    pub area_mm2: f64,
    /// How many openings it has.
    pub openings: usize,
    /// Weakest first; [`Form::Along`] stretches stand in the same order.
    pub places: Vec<Place>,
    /// The worst place's verdict; sound when there is none.
    pub verdict: Verdict,
    /// Chance that any of the places breaks when each is pushed once: the worst alone, and the
    /// bound for independent places.
    pub any_breaks: [f64; 2],
    /// Sentences about the whole piece.
    pub remarks: Vec<String>,
}
