//! Why a plan has no mesh.

use crate::shape::plane::Point;

/// Why a plan has no mesh.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshFault {
    /// A coordinate is infinite or not a number.
    #[error("a ring, line or zone of the plan has a point that is not a finite number; leave it out")]
    NotFinite,
    /// The wanted size is no length.
    #[error("the size wanted at {} is {found}, but it has to be above zero", place(.at))]
    Size {
        /// Where, in mm.
        at: Point,
        /// The size asked for, in mm.
        found: f64,
    },
    /// More zones than a triangle can tell of.
    #[error("the plan has {found} zones, but at most 32 can be told apart; join some")]
    TooManyZones {
        /// How many zones there are.
        found: usize,
    },
    /// Two rings cross or touch, or one crosses itself.
    #[error("the walls cross or touch at {}; pull them apart there", place(.at))]
    WallsMeet {
        /// Where, in mm.
        at: Point,
    },
    /// Lines and zones run so close together that they cannot be told apart.
    #[error("lines or zones crowd too closely at {} to be told apart; leave one out", place(.at))]
    Crowded {
        /// Where, in mm.
        at: Point,
    },
    /// No ring encloses any wood.
    #[error("the plan's rings enclose no wood; give at least one ring of three points")]
    NoWood,
    /// The size wanted asks for too many triangles.
    #[error("the sizes wanted need more than {most} nodes; ask for larger triangles about {}", place(.at))]
    TooFine {
        /// Where the mesh was being made finer, in mm.
        at: Point,
        /// The most corners a mesh may have.
        most: usize,
    },
}

/// A place as people read it.
fn place(at: &Point) -> String {
    format!("({:.3}, {:.3}) mm", at.x, at.y)
}
