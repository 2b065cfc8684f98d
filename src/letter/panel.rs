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

    /// Whether letters leave `rim` mm of wood around them.
    ///
    /// # Errors
    ///
    /// [`LetterError::TooLarge`] with the panel that would do.
    pub(super) fn holds(
        &self,
        points: impl Iterator<Item = Coord<f64>>,
        rim: f64,
    ) -> Result<(), LetterError> {
        let [width, height] = self.size();
        let (cx, cy) = (width / 2.0, height / 2.0);
        let (mut x, mut y, mut r) = (0.0_f64, 0.0_f64, 0.0_f64);
        for p in points {
            let away = (p.x - cx, p.y - cy);
            (x, y, r) = (x.max(away.0.abs()), y.max(away.1.abs()), r.max(away.0.hypot(away.1)));
        }
        let needs = match self {
            Self::Rectangle { .. } => [2.0 * (x + rim), 2.0 * (y + rim)],
            Self::Disc { .. } => [2.0 * (r + rim); 2],
        };
        if needs[0] <= width && needs[1] <= height {
            Ok(())
        } else {
            Err(LetterError::TooLarge {
                needs: needs.map(Length::mm),
                panel: [width, height].map(Length::mm),
            })
        }
    }
}
