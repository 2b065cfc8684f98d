//! What is let into the back of a piece or glued behind it.

use geo_types::Polygon;

use crate::{
    shape::plane::{extents, meet},
    units::Angle,
    wood::Mechanics,
};

/// A ply in a piece: an insert in its pocket, a pocket still empty, a backer, a layer of a three-ply.
#[derive(Clone, Debug, PartialEq)]
pub struct Ply {
    /// Its outline seen from the face, in mm, without holes. It may reach over openings and past the rim, where it is cut
    /// with the piece: only what lies on the piece counts. Nothing where it is one with all of the piece, as a backer and a
    /// layer of a three-ply are.
    pub outline: Option<Polygon<f64>>,
    /// Where it begins and ends through the thickness: heights above the board's back, in mm. An insert 6 mm thick fills
    /// `[0.0, 6.0]`, a backer 5 mm thick `[-5.0, 0.0]`, the middle ply of three in a board of 18 mm `[6.0, 12.0]`.
    pub heights_mm: [f64; 2],
    /// What it is made of; nothing for a pocket that is still empty.
    pub wood: Option<PlyWood>,
}

impl Ply {
    /// Whether it is one with all of the piece.
    pub const fn is_layer(&self) -> bool {
        self.outline.is_none()
    }

    /// Whether the box about it shares a point with a box, from where to where in x and in y.
    pub(super) fn meets(&self, window: [[f64; 2]; 2]) -> bool {
        self.outline.as_ref().is_none_or(|outline| meet(extents(&outline.exterior().0), window))
    }
}

/// The wood of a ply.
#[derive(Clone, Debug, PartialEq)]
pub struct PlyWood {
    /// What it bears.
    pub mechanics: Mechanics,
    /// Which way its grain runs, anticlockwise from +x as seen from the face.
    pub grain: Angle,
}

/// Which part of a mended place gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The board itself, through all its wood.
    Board,
    /// The board's wood in front of a ply.
    ShowFace,
    /// The glued plane between board and ply, or the board's wood where that plane runs on past a pocket.
    FloorJoint,
    /// The board's wood at the end of a ply.
    InsertEnd,
    /// The ply itself.
    Insert,
    /// Of a blank glued up of layers, those that run another way than the board.
    CrossPly,
    /// The board's own wood behind such a layer.
    BackPly,
    /// The glue between them.
    GlueLine,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Board,
        Self::ShowFace,
        Self::FloorJoint,
        Self::InsertEnd,
        Self::Insert,
        Self::CrossPly,
        Self::BackPly,
        Self::GlueLine,
    ];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Board => "board",
            Self::ShowFace => "show face",
            Self::FloorJoint => "floor joint",
            Self::InsertEnd => "insert end",
            Self::Insert => "insert fibres",
            Self::CrossPly => "cross ply",
            Self::BackPly => "back ply",
            Self::GlueLine => "glue line",
        }
    }
}
