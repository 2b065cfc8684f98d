//! By which rule tractions are judged: on a plane of fibres, across them, or on a glued plane.

use crate::{
    shape::plane::{Point, cross, point},
    strength::{Index, Traction, fibre, glue, splitting},
    wood::Mechanics,
};

use super::super::finding::Family;

/// By which rule the tractions on a surface are judged.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule {
    /// A plane that contains the fibres.
    Grain,
    /// One that cuts them square.
    Fibre,
    /// A plane that cuts a ply's fibres, which run so much along its direction and square to it (a unit vector).
    Fibres([f64; 2]),
    /// A glued plane, between grains that run in these directions; the ply's rolling strength as a part of the board's.
    Glue { board: Point, ply: Point, rolling: f64 },
}

impl Rule {
    /// The index of a traction, and what is told of it.
    pub(super) fn index(self, traction: Traction, wood: &Mechanics) -> (Index, Traction) {
        match self {
            Self::Grain => (splitting(traction, wood), traction),
            Self::Fibre => (fibre(traction, wood), traction),
            // A strip pulled along its fibres, cut askew, passes the pull over a longer cut.
            Self::Fibres([along, square]) => {
                let turned = Traction {
                    normal: (traction.normal * square + traction.along * along) / square,
                    along: traction.along * square - traction.normal * along,
                    through: traction.through,
                };
                (fibre(turned, wood), turned)
            }
            Self::Glue { board, ply, rolling } => {
                let shear = point(traction.along, traction.through);
                let [across_board, across_ply] = [board, ply].map(|grain| cross(grain, shear));
                let index = glue(traction.normal, across_board, across_ply / rolling, wood);
                let told = Traction { normal: traction.normal, along: across_ply, through: across_board };
                (index, told)
            }
        }
    }

    /// Which strengths it holds a plane against.
    pub(super) const fn family(self) -> Family {
        match self {
            Self::Grain => Family::Grain,
            Self::Fibre | Self::Fibres(_) => Family::Fibre,
            Self::Glue { .. } => Family::Glue,
        }
    }
}
