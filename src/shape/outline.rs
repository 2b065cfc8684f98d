//! One outer outline and its openings, checked once at the door.

use geo_types::{Coord, LineString, Polygon};

/// The outline of a piece with its openings: millimetres, x right, y up, seen from the face.
///
/// The outer ring runs anticlockwise and every opening clockwise, so the wood always lies to the
/// left of a ring's direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    polygon: Polygon<f64>,
}

/// Why a polygon is not the shape of a piece.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ShapeError {
    /// A coordinate is infinite or not a number.
    #[error("an outline has a point that is not a finite number; redraw it")]
    NotFinite,
    /// A ring encloses nothing.
    #[error("an outline encloses no area; draw it as a closed contour of at least three points")]
    NoArea,
    /// A ring does not come back to its first point.
    #[error("the outline that starts at {} is not closed; join its ends", place(.at))]
    NotClosed {
        /// Its first point, in mm.
        at: Coord<f64>,
    },
    /// A ring passes a point twice.
    #[error("an outline has the point at {} twice; take one of them out", place(.at))]
    RepeatedPoint {
        /// The point, in mm.
        at: Coord<f64>,
    },
    /// Two edges cross, touch within an edge or run on each other.
    #[error("edges meet at {} without a common end; pull them apart or join them there", place(.at))]
    Crossing {
        /// Where, in mm.
        at: Coord<f64>,
    },
    /// The outer ring runs clockwise or an opening anticlockwise.
    #[error("the outline that starts at {} runs the wrong way round; reverse it", place(.at))]
    WrongWay {
        /// Its first point, in mm.
        at: Coord<f64>,
    },
    /// An opening lies outside the outer ring or inside another opening.
    #[error("the opening that starts at {} does not lie in the wood; move or delete it", place(.at))]
    OpeningOutside {
        /// Its first point, in mm.
        at: Coord<f64>,
    },
}

/// A place as people read it.
fn place(at: &Coord<f64>) -> String {
    format!("({:.3}, {:.3}) mm", at.x, at.y)
}

impl Shape {
    /// Checks and orients a polygon whose rings are already simple and noded.
    ///
    /// # Errors
    ///
    /// [`ShapeError::NotFinite`] and [`ShapeError::NoArea`], each for the first ring that shows it.
    pub fn new(polygon: Polygon<f64>) -> Result<Self, ShapeError> {
        use geo::algorithm::orient::{Direction, Orient};
        let (outer, openings) = polygon.into_inner();
        let keep = |ring: &LineString<f64>| -> Result<(), ShapeError> {
            if ring.coords().any(|c| !c.x.is_finite() || !c.y.is_finite()) {
                return Err(ShapeError::NotFinite);
            }
            let area = geo::Area::unsigned_area(&Polygon::new(ring.clone(), Vec::new()));
            if area > 0.0 { Ok(()) } else { Err(ShapeError::NoArea) }
        };
        keep(&outer)?;
        for opening in &openings {
            keep(opening)?;
        }
        Ok(Self { polygon: Polygon::new(outer, openings).orient(Direction::Default) })
    }

    /// The polygon: outer ring anticlockwise, openings clockwise, each closed.
    pub const fn polygon(&self) -> &Polygon<f64> {
        &self.polygon
    }

    /// All rings, the outer one first.
    pub fn rings(&self) -> impl Iterator<Item = &LineString<f64>> {
        std::iter::once(self.polygon.exterior()).chain(self.polygon.interiors())
    }

    /// Where its outer ring starts, and all its rings as seen from there, in millionths of a micrometre: the same for two shapes of which
    /// one is the other moved, neither turned nor mirrored.
    ///
    /// Only shapes whose rings start at the same point and come in the same order are known again, as those of a drawing do; their
    /// points are rounded to 1e-4 mm where they lie.
    pub fn from_its_start(&self) -> (Coord<f64>, Vec<Vec<[i64; 2]>>) {
        const STEP: f64 = 1e-9;
        let start = self.polygon.exterior().0[0];
        #[expect(clippy::cast_possible_truncation, reason = "kilometres fit; the cast saturates")]
        let seen = |c: &Coord<f64>| [c.x - start.x, c.y - start.y].map(|off| (off / STEP).round() as i64);
        (start, self.rings().map(|ring| ring.0.iter().map(seen).collect()).collect())
    }

    /// The area of the wood in mm².
    pub fn area(&self) -> f64 {
        geo::Area::unsigned_area(&self.polygon)
    }
}
