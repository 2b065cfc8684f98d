//! How moisture changes strength, and which moisture the air gives.

use super::WoodError;

/// The moistures a board may have: oven-dry to fibre saturation. Wetter wood is no weaker, and nobody
/// judges a pierced piece in it.
pub(super) const MOISTURE: [f64; 2] = [0.0, 30.0];

/// Above this the rule for tension across the grain has no published support left.
pub(super) const WET: f64 = 20.0;

/// Below this nothing is known of tension across the grain, and it scatters more.
pub(super) const VERY_DRY: f64 = 6.0;

/// A strength measured at two moistures: dry, and green. Mp has to lie above the dry moisture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DryGreen {
    /// The dry value.
    pub dry: f64,
    /// The moisture of the dry value, in percent: 12 in nearly all tables.
    pub dry_pct: f64,
    /// The green value.
    pub green: f64,
    /// The moisture below which drying begins to tell (Mp), in percent.
    pub intersection_pct: f64,
}

impl DryGreen {
    /// The strength at `moisture_pct`, on a line through both values of logarithmic strength:
    ///
    /// ```text
    /// P = P₁₂·(P₁₂/P_g)^((12 − M)/(Mp − 12))
    /// ```
    ///
    /// At and above Mp it is the green value. Not for tension across the grain nor for shock, which do not
    /// follow it; see [`across_the_grain`].
    ///
    /// # Source
    ///
    /// Wood Handbook, FPL-GTR-190 (2010), Eq. 5-3; Mp from its Table 5-13. Compared with the handbook's
    /// worked example in `tests/published/wood_handbook.rs`.
    pub fn at(self, moisture_pct: f64) -> f64 {
        let moisture = moisture_pct.min(self.intersection_pct);
        let reach = (self.dry_pct - moisture) / (self.intersection_pct - self.dry_pct);
        self.dry * (self.dry / self.green).powf(reach)
    }
}

/// Strength pulled across the grain at `moisture_pct`, from its value at 12 % and, where known, the green
/// one with its Mp.
///
/// Up to 12 % the 12 % value holds: dry wood tests stronger in most woods but weaker in some, and checks as it
/// dries. Above, it falls on a straight line to four fifths at 20 % and stays there; or on the line to the
/// green value at Mp, wherever that one is lower. It never rises with moisture.
///
/// # Source
///
/// That Eq. 5-3 does not hold here: Wood Handbook, FPL-GTR-190 (2010), ch. 5, under Eq. 5-3. The fall to
/// four fifths is written down from memory. That up to 12 % nothing is credited is our own caution.
pub fn across_the_grain(dry: f64, green: Option<(f64, f64)>, moisture_pct: f64) -> f64 {
    let wetness = (moisture_pct - 12.0).max(0.0);
    let usual = dry * (1.0 - 0.20 * (wetness / 8.0).min(1.0));
    let own = green.map_or(usual, |(green, intersection_pct)| {
        dry + (green - dry) * (wetness / (intersection_pct - 12.0)).min(1.0)
    });
    usual.min(own)
}

/// The moisture wood comes to, in percent, in air of `temperature_c` degrees Celsius and `humidity_pct` percent
/// relative humidity.
///
/// # Errors
///
/// [`WoodError::OutOfRange`] outside −1 to 132 °C or 0 to 100 %.
///
/// # Accuracy
///
/// Within 0.06 of the handbook's Table 4-2. Real boards lag behind the air by days to months, and species differ by
/// a percent or so.
///
/// # Source
///
/// Wood Handbook, FPL-GTR-190 (2010), Eq. 4-5.
///
/// # Example
///
/// ```
/// let indoors = shortgrain::wood::moisture_in_air(21.0, 40.0)?;
/// assert!((indoors - 7.7).abs() < 0.1);
/// # Ok::<(), shortgrain::wood::WoodError>(())
/// ```
pub fn moisture_in_air(temperature_c: f64, humidity_pct: f64) -> Result<f64, WoodError> {
    let refuse =
        |what, found, low, high, unit, hint| WoodError::OutOfRange { what, found, low, high, unit, hint };
    if !(-1.2..=132.3).contains(&temperature_c) {
        return Err(refuse(
            "air temperature",
            temperature_c,
            -1.0,
            132.0,
            "°C",
            "give it in degrees Celsius",
        ));
    }
    if !(0.0..=100.0).contains(&humidity_pct) {
        return Err(refuse("relative humidity", humidity_pct, 0.0, 100.0, "%", "give it in percent"));
    }
    let (t, h) = (temperature_c, humidity_pct / 100.0);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let first = k1 * kh;
    let second = k1 * k2 * kh * kh;
    Ok(1800.0 / w * (kh / (1.0 - kh) + (first + 2.0 * second) / (1.0 + first + second)))
}
