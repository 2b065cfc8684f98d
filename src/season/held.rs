//! A layer held back by the long grain of another.

use std::{cmp::Ordering, fmt};

use super::Lag;
use crate::wood::Mechanics;

/// What is left of a strain after a season's creep: 0.3 to 0.5 of it (recalled); the larger is taken.
pub(super) const LEFT: f64 = 0.5;
/// Energy to split wood along its grain, in N/mm: of recalled tests 0.15 to 0.35 in softwoods and 0.24 to 0.7 in
/// hardwoods, little of it sure; one low value for all.
const SPLITTING: f64 = 0.3;
/// Below this part of its strength across the grain a layer is at ease: our own rule.
const AT_EASE: f64 = 0.5;

/// How a joint gets through the seasons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// Nothing to worry about.
    Mild,
    /// Think of where the piece will live.
    Think,
    /// It has the stress and the energy to split.
    WillSplit,
}

impl Word {
    /// As people and programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mild => "mild",
            Self::Think => "think",
            Self::WillSplit => "will split",
        }
    }
}

impl fmt::Display for Word {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// A joint across the grain is allowed this part of shear along it.
const ONE_THIRD: f64 = 1.0 / 3.0;

/// What a joint between layers of one wood, glued crosswise, bears in shear, in MPa: rolling shear, at most a third of shear along
/// the grain. What touches end grain bears nothing and is not asked.
///
/// # Source
///
/// ANC Bulletin 18, *Design of Wood Aircraft Structures* (1944), 2.910 (1); and 4.62 for end grain.
pub fn joint_strength(wood: &Mechanics) -> f64 {
    wood.rolling_shear.min(ONE_THIRD * wood.shear_along)
}

/// A layer at a joint, in the direction in which one of the two is held back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Its thickness, in mm.
    pub thickness: f64,
    /// Young's modulus in that direction, in MPa.
    pub young: f64,
    /// Shear modulus of that direction and the thickness: rolling across the grain.
    pub shear: f64,
    /// Whether it lies between two like ones, so that half of it belongs to either joint.
    pub between: bool,
}

impl Layer {
    /// What of its thickness belongs to one joint.
    fn part(&self) -> f64 {
        if self.between { self.thickness / 2.0 } else { self.thickness }
    }

    /// How a pull passes from it to another.
    pub fn lag(&self, other: &Self) -> Lag {
        Lag::new([self, other].map(|layer| [layer.young, layer.shear, layer.part()]))
    }
}

/// A layer that the other one of a joint holds back across its grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// How long the joint is in that direction, in mm.
    pub width: f64,
    /// The layer's thickness, in mm.
    pub thickness: f64,
    /// How much shorter than the other it would get over the joint if both were free, in mm; below zero when it swells
    /// more.
    pub mismatch: f64,
    /// Its greatest stress across the grain in the dry season, in MPa: pulled above zero.
    pub stress: f64,
    /// That of its strength across the grain.
    pub stress_part: f64,
    /// Shear at the joint's edges, in the worse season.
    pub edge_shear: f64,
    /// What the joint is taken to bear in shear, in MPa.
    pub joint_bears: f64,
    /// No thicker than this it lacks the energy to split, in mm: `2·G_c/(E·e²)`.
    pub splits_from: f64,
    /// The joint's length at which the stress reaches the strength; nothing where it never does.
    pub full_width: Option<f64>,
    /// The joint's length below which it is mild unless it would split: `2/λ`.
    pub mild_width: f64,
    /// What comes of it.
    pub word: Word,
}

impl Held {
    /// What a layer goes through that wants to move across its grain and is held by another.
    ///
    /// `mismatch` is what it would shrink in the dry season more than the other, and swell in the damp one, as parts of
    /// one and both at least 0; `strength` what it bears across its grain, `joint` what the joint bears in shear, in MPa.
    ///
    /// ```text
    /// σ = e·E/(1 + E·t/(E'·t'))·(1 − 1/cosh(λw/2))     τ = e·(k/λ)·tanh(λw/2)
    /// ```
    ///
    /// with `e` half the free mismatch: the rest creeps away over a season. It *will split* where the stress is more than
    /// it bears and it is thick enough to have the energy; else it is *mild* up to half the strength, or where the
    /// joint is shorter than `2/λ`, over which the stress has hardly built up.
    ///
    /// # Source
    ///
    /// Shear lag, see [`Lag`], and the energy of a cracked layer: our own derivation. How much is left after creep, and
    /// the energy of splitting, are recalled; the limits of the three words are our own rule. That wide joints are worse
    /// only up to some width, and thin layers do not crack, is what tests of crosswise glued boards show.
    pub fn new(
        layer: Layer,
        holding: Layer,
        width: f64,
        mismatch: [f64; 2],
        [strength, joint]: [f64; 2],
    ) -> Self {
        let lag = layer.lag(&holding);
        let [dry, damp] = mismatch.map(|strain| LEFT * strain);
        let endless =
            dry * layer.young / (1.0 + layer.young * layer.part() / (holding.young * holding.part()));
        let stress = endless * lag.built_up(width);
        let edge_shear = lag.edge_shear(dry.max(damp), width);
        let splits_from = 2.0 * SPLITTING / (layer.young * dry * dry);
        let mild_width = lag.mild_width();
        let word = if stress > strength && layer.thickness > splits_from {
            Word::WillSplit
        } else if width <= mild_width || (stress <= AT_EASE * strength && edge_shear <= joint) {
            Word::Mild
        } else {
            Word::Think
        };
        let [dry_free, damp_free] = mismatch;
        Self {
            width,
            thickness: layer.thickness,
            mismatch: width * if dry_free >= damp_free { dry_free } else { -damp_free },
            stress,
            stress_part: stress / strength,
            edge_shear,
            joint_bears: joint,
            splits_from,
            full_width: (endless > 0.0).then(|| lag.width_for(strength / endless)).flatten(),
            mild_width,
            word,
        }
    }

    /// The shear at the joint's edges as a part of what it bears.
    pub fn shear_part(&self) -> f64 {
        self.edge_shear / self.joint_bears
    }

    /// The one that fares worse is the greater: by its word, then by its part of what it bears.
    pub fn by_harm(&self, other: &Self) -> Ordering {
        self.word.cmp(&other.word).then(self.stress_part.total_cmp(&other.stress_part))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ACROSS: Layer = Layer { thickness: 12.0, young: 974.38, shear: 374.0, between: false };
    const ALONG: Layer = Layer { thickness: 6.0, young: 11_330.0, shear: 1665.0, between: false };

    fn held(thickness: f64, width: f64, dry: f64) -> Held {
        Held::new(Layer { thickness, ..ACROSS }, ALONG, width, [dry, 0.0], [3.9, 3.9])
    }

    #[test]
    fn short_joints_are_mild_and_thick_layers_split() {
        assert_eq!(held(12.0, 15.0, 0.012).word, Word::Mild);
        assert_eq!(held(6.0, 100.0, 0.012).word, Word::Think);
        assert_eq!(held(25.0, 200.0, 0.018).word, Word::WillSplit);
        assert_eq!(held(12.0, 200.0, 0.0).word, Word::Mild);
    }

    /// 2/λ of a joint is mild in a usual year (4.8 % of moisture between 30 and 60 % of humidity) and no longer where it would split.
    #[test]
    fn a_joint_of_the_mild_width_is_mild_in_a_usual_year() {
        let mild = held(9.5, 50.0, 0.012).mild_width;
        assert_eq!(held(9.5, mild, 4.8 * 2.48e-3).word, Word::Mild);
        assert_eq!(held(25.0, held(25.0, 50.0, 0.012).mild_width, 0.1).word, Word::WillSplit);
    }

    /// By hand: half of 1.2 % is 0.6 %; 974.38·0.006/(1 + 974.38·12/(11330·6)) = 4.9883 MPa over an endless joint. With k = 82.67
    /// N/mm³ and λ = 0.09101/mm, 50 mm of it build up 1 − 1/cosh 2.2753 = 0.7965 of that.
    #[test]
    fn half_of_what_it_wants_to_shrink_pulls_it() {
        for (width, stress) in [(2000.0, 4.988_3), (50.0, 3.973)] {
            let found = held(12.0, width, 0.012).stress;
            assert!((found / stress - 1.0).abs() < 1e-3, "{found} {stress}");
        }
    }

    #[test]
    fn the_word_counts_before_the_stress() {
        let (mild, think) = (held(12.0, 15.0, 0.012), held(6.0, 100.0, 0.012));
        assert_eq!((mild.by_harm(&think), think.by_harm(&mild)), (Ordering::Less, Ordering::Greater));
        let worse = Held { stress_part: 2.0 * mild.stress_part, ..mild };
        assert_eq!(worse.by_harm(&mild), Ordering::Greater);
    }

    #[test]
    fn at_its_full_width_a_layer_is_stressed_to_its_strength() {
        let width = held(12.0, 100.0, 0.012).full_width.expect("it gets there");
        assert!((held(12.0, width, 0.012).stress_part - 1.0).abs() < 1e-9);
        assert_eq!(held(12.0, 100.0, 0.002).full_width, None);
    }

    #[test]
    fn wood_that_only_swells_is_pressed_and_not_pulled() {
        let swollen = Held::new(ACROSS, ALONG, 100.0, [0.0, 0.012], [3.9, 3.9]);
        assert_eq!((swollen.stress, swollen.full_width), (0.0, None));
        assert!(swollen.edge_shear > 0.0 && swollen.mismatch < 0.0 && swollen.word != Word::WillSplit);
    }
}
