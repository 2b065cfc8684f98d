//! What a check finds: each piece with its weak places, each place with what breaks it.

use crate::solid::Face;
use crate::strength::{FaceForces, Mode, Section, SideForces, Traction, Working};
use geo_types::Coord;

use super::insert::Insert;
use super::remark::{PieceRemark, PlaceRemark};
use super::{Pushes, ply::Part, push_map::PushMap};

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

impl Forces {
    /// The forces of a push so many times as great.
    #[must_use]
    pub const fn times(self, factor: f64) -> Self {
        match self {
            Self::Face(FaceForces { moment, torsion, shear }) => Self::Face(FaceForces {
                moment: factor * moment,
                torsion: factor * torsion,
                shear: factor * shear,
            }),
            Self::Side(SideForces { moment, normal, shear }) => Self::Side(SideForces {
                moment: factor * moment,
                normal: factor * normal,
                shear: factor * shear,
            }),
        }
    }
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
    /// How the solid model came to it; without, it is the closed form's, which is so only where that is high above the push.
    pub solved: Option<Solved>,
    /// The closed form's answer, in N.
    pub closed_form_n: f64,
    /// The push it is the answer to; `working` is of that one.
    pub closed_form: ClosedForm,
    /// The intervals that part, each from end to end.
    pub break_line: Vec<[Coord<f64>; 2]>,
    /// For a face push: the force that dents the wood under the pad without breaking it, in N.
    pub dents_at_n: Option<f64>,
    /// What was held.
    pub case: Case,
    /// The worst section square to the run (for a break that only its grain line shows, the grain plane).
    pub section: Section,
    /// Forces on it for a push of 1 N, such that it breaks at `closed_form_n`.
    pub forces: Forces,
    /// Every number of the formula, so that a person can redo it with a pencil.
    pub working: Working,
}

impl Push {
    /// How many times the stated push of its kind breaks the place.
    pub const fn over(&self, pushes: &Pushes) -> f64 {
        self.breaks_at_n / pushes.of(self.kind).as_n()
    }
}

/// What the closed form finds weakest: where, and how. The solid model may find another push, or another line.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosedForm {
    /// Where the push acts, in mm.
    pub push_at: Coord<f64>,
    /// For a side push: the direction it pushes in, degrees anticlockwise from +x.
    pub direction_deg: Option<f64>,
    /// How the wood gives way.
    pub mode: Mode,
    /// What was held.
    pub case: Case,
    /// The line that parts, from end to end.
    pub break_line: [Coord<f64>; 2],
}

/// Which strengths a plane is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// It contains the fibres.
    Grain,
    /// It cuts the fibres square.
    Fibre,
    /// It is a glued plane between plies.
    Glue,
}

/// How the solid model came to an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// What the plane is to the fibres.
    pub family: Family,
    /// Where along the plane it starts to part.
    pub along: &'static str,
    /// And where through the thickness.
    pub through: &'static str,
    /// The mean traction there at the break, in MPa.
    pub traction: Traction,
    /// What the closed form gives for the forces that the model finds on the plane as a whole, in N; nothing on a mended
    /// place, which it does not know.
    pub same_forces_n: Option<f64>,
    /// Of a face push, from which side.
    pub from: Option<Face>,
    /// Of a face push the pad's centre, in mm: of a pad that hangs over an edge the resultant acts nearer the wood. Nothing where a place just
    /// like it was solved instead.
    pub pad_at: Option<Coord<f64>>,
    /// What each cause makes of the difference to the closed form where that is more than 1.3, as a factor of the closed form's force over the
    /// solid model's; their product is the whole. Nothing where no cause is asked.
    pub factors: Vec<(Why, f64)>,
    /// What gives way.
    pub part: Part,
    /// The least force for each part of a mended place, in N; of a bare one the board's alone.
    pub parts: Vec<(Part, f64)>,
    /// For a place with a ply behind it: when the wood in front cracks, and what is left then.
    pub after_crack: Option<AfterCrack>,
}

impl Solved {
    /// Why the closed form differs, where that is asked: the cause that does most of it.
    pub fn why(&self) -> Option<Why> {
        let whole: f64 = self.factors.iter().map(|(_, factor)| factor.ln()).sum();
        let does = |(_, factor): &&(Why, f64)| whole.signum() * factor.ln();
        self.factors.iter().max_by(|a, b| does(a).total_cmp(&does(b))).map(|(why, _)| *why)
    }
}

/// The first crack of the wood in front of a ply, and what bears on after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AfterCrack {
    /// The push that cracks it, in N.
    pub cracks_at_n: f64,
    /// The push that then takes off or breaks the ply, in N; where it is less than the first, all comes off at once.
    pub bears_n: f64,
}

/// Why the closed form and the solid model differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Stress gathers at a re-entrant corner that the plane runs into, which a straight section does not know.
    Corner,
    /// The push twists the place, which cannot warp where it joins the wood as a straight bar would: that pulls at its corners.
    Twist,
    /// The push acts nearer to the plane than half its length, so that it does not spread over it as in a bar.
    NearPush,
    /// The plane runs lengthwise through the place, where the closed form asks sections across it.
    Lengthwise,
    /// The place is so short for its width that stress has no room to spread evenly over the plane.
    ShortStub,
    /// The plane is stressed otherwise than a straight section, for none of these reasons.
    Uneven,
    /// The wood about the place gives, so more of the push comes to this plane.
    SoftNeighbour,
    /// The wood about the place is stiff and takes part of the push off this plane.
    StiffNeighbour,
    /// The closed form is weakest on another plane, or under another push: where it is the stronger it has not looked at this one.
    Elsewhere,
    /// The plane is no section of the place that statics can be asked of, so that causes are not told apart.
    NoSection,
    /// A ply lies over the plane, of which the closed form, that of the bare board, knows nothing.
    Ply,
}

impl Why {
    /// From this factor on the two are said to differ.
    const PARTS: f64 = 1.3;

    /// Whether the two differ so much that a cause is told.
    pub(super) fn is_asked(closed_form: f64, solid: f64) -> bool {
        !(1.0 / Self::PARTS..=Self::PARTS).contains(&(closed_form / solid))
    }
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
    /// What a person should read with it.
    pub remarks: Vec<PlaceRemark>,
}

impl Place {
    /// Its least push of a kind.
    pub const fn push(&self, kind: PushKind) -> &Push {
        match kind {
            PushKind::Face => &self.face,
            PushKind::Side => &self.side,
        }
    }

    /// The push that needs least over the stated one of its kind; of equal ones that on the face.
    pub fn weaker(&self, pushes: &Pushes) -> &Push {
        if self.side.over(pushes) < self.face.over(pushes) { &self.side } else { &self.face }
    }

    /// The least push over the stated one of its kind: below 1 the stated push breaks it, on the average.
    pub fn over(&self, pushes: &Pushes) -> f64 {
        self.weaker(pushes).over(pushes)
    }

    pub(crate) const fn push_mut(&mut self, kind: PushKind) -> &mut Push {
        match kind {
            PushKind::Face => &mut self.face,
            PushKind::Side => &mut self.side,
        }
    }

    /// The worse verdict of its two pushes.
    pub(super) fn worst_verdict(&self) -> Verdict {
        super::verdict(self.face.risk).max(super::verdict(self.side.risk))
    }
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
    /// What a person should read with the whole piece.
    pub remarks: Vec<PieceRemark>,
    /// Where on the face how little force breaks it, if it was asked for.
    pub push_map: Option<PushMap>,
}
