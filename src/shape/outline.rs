//! One outer outline and its openings, checked once at the door.

use geo_types::{LineString, Polygon};

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

    /// The area of the wood in mm².
    pub fn area(&self) -> f64 {
        geo::Area::unsigned_area(&self.polygon)
    }
}
