//! The moisture of wood over the seasons.

use crate::wood::{WoodError, moisture_in_air};

/// From how dry to how damp a piece of wood gets over the seasons, and how wet it was when it was glued.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// Its moisture in the driest season, in percent.
    pub dry_pct: f64,
    /// In the dampest.
    pub damp_pct: f64,
    /// When it was glued up; where that is not known, whichever end of the swing is worse.
    pub glued_pct: Option<f64>,
}

impl Swing {
    /// The swing of wood that lives long enough in air of these relative humidities, in percent, at `room_c` degrees
    /// Celsius; in whichever order they are given.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] outside −1 to 132 °C or 0 to 100 %.
    ///
    /// # Source
    ///
    /// Wood Handbook, FPL-GTR-190 (2010), Eq. 4-5. Real boards lag behind the air and see less of the swing.
    ///
    /// # Example
    ///
    /// ```
    /// use shortgrain::season::Swing;
    ///
    /// let heated_room = Swing::in_air([30.0, 60.0], 21.0)?;
    /// assert!((heated_room.dry_pct - 6.2).abs() < 0.1 && (heated_room.damp_pct - 11.0).abs() < 0.1);
    /// # Ok::<(), shortgrain::wood::WoodError>(())
    /// ```
    pub fn in_air(humidities_pct: [f64; 2], room_c: f64) -> Result<Self, WoodError> {
        let [a, b] = humidities_pct;
        Ok(Self::between([moisture_in_air(room_c, a)?, moisture_in_air(room_c, b)?]))
    }

    /// The swing between two moistures of the wood itself.
    pub fn between([a, b]: [f64; 2]) -> Self {
        Self { dry_pct: a.min(b), damp_pct: a.max(b), glued_pct: None }
    }

    /// How far it dries below what it was when it was glued: from which moisture to which.
    pub fn drying(&self) -> [f64; 2] {
        let glued = self.glued_pct.unwrap_or(self.damp_pct);
        [glued, self.dry_pct.min(glued)]
    }

    /// How far it gets damper than it was when it was glued.
    pub fn damping(&self) -> [f64; 2] {
        let glued = self.glued_pct.unwrap_or(self.dry_pct);
        [glued, self.damp_pct.max(glued)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wood_glued_in_the_middle_dries_and_swells_by_half_each() {
        let unknown = Swing::between([11.0, 6.0]);
        assert_eq!((unknown.drying(), unknown.damping()), ([11.0, 6.0], [6.0, 11.0]));
        let known = Swing { glued_pct: Some(8.0), ..unknown };
        assert_eq!((known.drying(), known.damping()), ([8.0, 6.0], [8.0, 11.0]));
        // Glued drier than it ever is again: it only swells.
        let dry = Swing { glued_pct: Some(4.0), ..unknown };
        assert_eq!((dry.drying(), dry.damping()), ([4.0, 4.0], [4.0, 11.0]));
    }
}
