//! What an insert is asked for.

use geo_types::{Coord, Polygon};

use crate::check::{Forces, Place, Push, Pushes};
use crate::shape::Shape;
use crate::strength::{FaceForces, Section, SideForces};
use crate::wood::{Board, Mechanics};

use super::goal::Goal;
use super::patient::Patient;

/// A place's worst section under a face push of 1 N, and the push it is to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceLoad {
    /// The section.
    pub section: Section,
    /// Forces on it under a push of 1 N.
    pub forces: FaceForces,
    /// The push to bear, in N.
    pub push: f64,
}

/// A place's worst section under a side push of 1 N, and the push it is to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideLoad {
    /// The section.
    pub section: Section,
    /// Forces on it under a push of 1 N.
    pub forces: SideForces,
    /// The push to bear, in N.
    pub push: f64,
}

/// What an insert is asked for.
#[derive(Clone, Copy, Debug)]
pub struct InsertRequest<'a> {
    /// The whole piece: outer ring and openings, in mm, seen from the face.
    pub piece: &'a Polygon<f64>,
    /// The board's thickness, in mm.
    pub thickness: f64,
    /// The board's grain, radians anticlockwise from +x.
    pub grain: f64,
    /// The board's wood; the insert is of the same.
    pub wood: &'a Mechanics,
    /// The place's skeleton from end to end.
    pub run: &'a [Coord<f64>],
    /// Which end of the run stands in wood that stays: both for a bridge, the root alone for an arm.
    pub held: [bool; 2],
    /// The lines along which the place breaks when its face is pushed, and when a side is.
    pub break_lines: [&'a [[Coord<f64>; 2]]; 2],
    /// The face push.
    pub face: FaceLoad,
    /// The side push.
    pub side: SideLoad,
    /// The verdict that the place is to reach.
    pub goal: Goal,
    /// Wood left between the strip and the outline, in mm; a place at the outline sends its strip out over it all the same.
    pub rim: f64,
    /// No strip is narrower than this, in mm, where there is room for one so wide: the bit has to get into its pocket.
    pub narrowest: f64,
}

impl InsertRequest<'_> {
    /// Every line along which the place breaks.
    pub(super) fn lines(&self) -> impl Iterator<Item = [Coord<f64>; 2]> + '_ {
        self.break_lines.into_iter().flatten().copied()
    }
}

/// A piece on its board with what it has to bear, and how much wood its inserts leave to the outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Whole<'a> {
    pub(super) piece: &'a Shape,
    pub(super) board: &'a Board,
    pub(super) wood: &'a Mechanics,
    pub(super) pushes: &'a Pushes,
    pub(super) goal: Goal,
    /// In mm.
    pub(super) rim: f64,
    /// Of an insert, in mm; nought asks for nothing.
    pub(super) narrowest: f64,
}

impl<'a> Whole<'a> {
    pub(super) const fn of(patient: &Patient<'a>, rim: f64) -> Self {
        let Patient { shape, board, mechanics, pushes, goal, .. } = *patient;
        Self { piece: shape, board, wood: mechanics, pushes, goal, rim, narrowest: 0.0 }
    }

    /// What is asked for one of its places; nothing where the forces on it are not of the usual kind.
    pub(super) fn request<'b>(&self, place: &'b Place) -> Option<InsertRequest<'b>>
    where
        'a: 'b,
    {
        let (Forces::Face(face), Forces::Side(side)) = (as_solved(&place.face), as_solved(&place.side))
        else {
            return None;
        };
        Some(InsertRequest {
            piece: self.piece.polygon(),
            thickness: self.board.thickness.as_mm(),
            grain: self.board.grain.as_rad(),
            wood: self.wood,
            run: &place.run,
            held: place.held,
            break_lines: [&place.face.break_line, &place.side.break_line],
            face: FaceLoad { section: place.face.section, forces: face, push: self.pushes.face.as_n() },
            side: SideLoad { section: place.side.section, forces: side, push: self.pushes.side.as_n() },
            goal: self.goal,
            rim: self.rim,
            narrowest: self.narrowest,
        })
    }
}

/// The forces of a push of 1 N. The strength formulas are the closed form's; the forces are raised or lowered so that the
/// place as it is breaks where the solid model says.
fn as_solved(push: &Push) -> Forces {
    push.forces.times(push.closed_form_n / push.breaks_at_n)
}
