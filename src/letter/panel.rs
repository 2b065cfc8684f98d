//! The board around pierced letters.

use geo_types::Coord;
use kurbo::Shape as _;

use super::{LetterError, area};
use crate::shape::Region;
use crate::units::Length;

/// A panel, its lower left corner at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Panel {
    /// A rectangle with round corners.
    Rectangle {
        /// Across.
        width: Length,
        /// Up.
        height: Length,
        /// Of its corners; nothing for square ones.
        radius: Length,
    },
    /// A round board.
    Disc {
        /// Across.
        diameter: Length,
    },
}

/// Round to this, in mm, before it becomes straight pieces.
const ROUND: f64 = 1e-4;

/// A radius that is this much over, in mm, is no more than the arithmetic's doing.
const SLACK: f64 = 1e-9;

impl Panel {
    /// Width and height in mm.
    pub(super) const fn size(&self) -> [f64; 2] {
        match self {
            Self::Rectangle { width, height, .. } => [width.as_mm(), height.as_mm()],
            Self::Disc { diameter } => [diameter.as_mm(); 2],
        }
    }

    pub(super) fn area(&self) -> Region {
        let [width, height] = self.size();
        area(&match self {
            Self::Rectangle { radius, .. } if radius.as_mm() > 0.0 => {
                kurbo::RoundedRect::new(0.0, 0.0, width, height, radius.as_mm()).to_path(ROUND)
            }
            Self::Rectangle { .. } => kurbo::Rect::new(0.0, 0.0, width, height).to_path(ROUND),
            Self::Disc { .. } => kurbo::Circle::new((width / 2.0, width / 2.0), width / 2.0).to_path(ROUND),
        })
    }

    /// Whether letters leave `rim` mm of wood around them, their corners at `points`.
    ///
    /// What lies that far within the panel is bulging everywhere, so that straight sides between points lie there too.
    ///
    /// # Errors
    ///
    /// [`LetterError::TooLarge`] with the panel that would do, [`LetterError::Corners`] with the radius.
    pub(super) fn holds(&self, points: &[Coord<f64>], rim: f64) -> Result<(), LetterError> {
        let [width, height] = self.size();
        let away = |p: &Coord<f64>| [(p.x - width / 2.0).abs(), (p.y - height / 2.0).abs()];
        let farthest = |far: &dyn Fn([f64; 2]) -> f64| points.iter().map(away).map(far).fold(0.0, f64::max);
        let (needs, radius) = match self {
            Self::Rectangle { radius, .. } => {
                let [x, y] = [farthest(&|[x, _]| x), farthest(&|[_, y]| y)];
                ([2.0 * (x + rim), 2.0 * (y + rim)], radius.as_mm())
            }
            Self::Disc { .. } => ([2.0 * (farthest(&|[x, y]| x.hypot(y)) + rim); 2], 0.0),
        };
        // As large as it needs to be the panel may still be too round.
        let [wide, high] = [needs[0].max(width), needs[1].max(height)];
        let corner = |[x, y]: [f64; 2]| roundest(wide / 2.0 - x, high / 2.0 - y, rim);
        let most = points.iter().map(away).map(corner).fold(f64::INFINITY, f64::min);
        let corners = (radius > most + SLACK).then_some(Length::mm(most));
        if needs[0] > width || needs[1] > height {
            let panel = [width, height].map(Length::mm);
            return Err(LetterError::TooLarge { needs: needs.map(Length::mm), panel, corners });
        }
        corners.map_or(Ok(()), |most| Err(LetterError::Corners { radius: Length::mm(radius), most }))
    }
}

/// The largest radius of a corner that leaves `rim` between it and a point, `u` and `v` from its two sides and no nearer to them.
///
/// By the point the arc's middle is r − u and r − v away along the two sides, and it has to be within r − rim:
///
/// ```text
/// (r − u)² + (r − v)² = (r − rim)²,   r = u + v − rim + √(2 (u − rim) (v − rim))
/// ```
fn roundest(u: f64, v: f64, rim: f64) -> f64 {
    u + v - rim + (2.0 * (u - rim).max(0.0) * (v - rim).max(0.0)).sqrt()
}
