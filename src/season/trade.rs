//! What the trade goes by where a strip is glued across the grain. It is shown beside our own numbers and warns; the stress decides.

use super::anchor::{LEAST, least_reach};

/// A reach of so many widths of the strip past a break line: common practice, no published source.
const WIDTHS: f64 = 1.5;
/// Up to the first length along its own grain a strip is no worry to the trade, beyond the second it takes no solid wood, in mm: common
/// practice, no published source.
const LENGTHS: [f64; 2] = [50.0, 100.0];

/// A strip by the trade's rules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trade {
    /// The reach past a break line by two thicknesses of the strip, at least 10 mm; in mm.
    pub by_thickness: f64,
    /// The same by one and a half of its widths.
    pub by_width: f64,
    /// How long it is along its own grain, in mm.
    pub length: f64,
}

/// What the trade makes of a strip's length along its own grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TradeWord {
    /// No worry.
    NoWorry,
    /// One thinks twice.
    Think,
    /// One takes no solid wood.
    Avoid,
}

impl Trade {
    /// Up to the first length a strip is no worry, beyond the second it is avoided, in mm.
    pub const LENGTHS: [f64; 2] = LENGTHS;
    /// No reach by thickness is less, in mm.
    pub const LEAST_REACH: f64 = LEAST[1];

    /// Of a strip of this length along its own grain, width and thickness, in mm.
    pub fn new([length, width, thickness]: [f64; 3]) -> Self {
        Self { by_thickness: least_reach(thickness), by_width: WIDTHS * width, length }
    }

    /// The word for its length.
    pub fn word(&self) -> TradeWord {
        let [no_worry, avoid] = LENGTHS;
        // Nobody saws to a tenth of a micrometre.
        match self.length - 1e-4 {
            length if length <= no_worry => TradeWord::NoWorry,
            length if length <= avoid => TradeWord::Think,
            _ => TradeWord::Avoid,
        }
    }
}

impl TradeWord {
    /// As programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NoWorry => "no worry",
            Self::Think => "think",
            Self::Avoid => "avoid",
        }
    }

    /// As people read it, after the length.
    pub const fn says(self) -> &'static str {
        match self {
            Self::NoWorry => "no worry to the trade, up to 50 mm",
            Self::Think => "the trade thinks twice between 50 mm and 100 mm",
            Self::Avoid => "the trade avoids solid wood over 100 mm",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: twice 9.5 and one and a half times 12; twice 3 is less than 10.
    #[test]
    fn a_strip_by_the_trades_rules() {
        let of = |length, thickness| Trade::new([length, 12.0, thickness]);
        assert_eq!((of(50.0, 9.5).by_thickness, of(50.0, 9.5).by_width), (19.0, 18.0));
        assert_eq!(of(50.0, 3.0).by_thickness, 10.0);
        let words = [50.0, 50.1, 100.0, 100.1].map(|length| of(length, 9.5).word());
        assert_eq!(words, [TradeWord::NoWorry, TradeWord::Think, TradeWord::Think, TradeWord::Avoid]);
        let [no_worry, avoid] = Trade::LENGTHS.map(|mm| format!("{mm} mm"));
        assert!(words[0].says().contains(&no_worry) && words[3].says().contains(&avoid));
        assert!(words[1].says().contains(&no_worry) && words[1].says().contains(&avoid));
    }
}
