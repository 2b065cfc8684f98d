//! What stands behind the rules of the seasons.

/// A rule or a number that the answers rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Movement along the grain.
    Along,
    /// How much of a mismatch is left as stress after a season's creep.
    Creep,
    /// How a layer is held back.
    Stress,
    /// What a joint across the grain bears in shear.
    Joint,
    /// The energy that splits wood.
    Energy,
    /// Mild, think, will split.
    Word,
    /// The reach that shear asks for.
    ReachByShear,
    /// The reach that peel asks for.
    ReachByPeel,
    /// The least reach.
    LeastReach,
    /// How far a piece cups.
    Cup,
    /// What other depths of an insert would do.
    Depths,
}

impl Rule {
    /// Every rule, in the order in which they are used.
    pub const ALL: [Self; 11] = [
        Self::Along,
        Self::Creep,
        Self::Stress,
        Self::Joint,
        Self::Energy,
        Self::Word,
        Self::ReachByShear,
        Self::ReachByPeel,
        Self::LeastReach,
        Self::Cup,
        Self::Depths,
    ];

    /// Its word, as programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Along => "along",
            Self::Creep => "creep",
            Self::Stress => "stress",
            Self::Joint => "joint",
            Self::Energy => "energy",
            Self::Word => "word",
            Self::ReachByShear => "reach_by_shear",
            Self::ReachByPeel => "reach_by_peel",
            Self::LeastReach => "least_reach",
            Self::Cup => "cup",
            Self::Depths => "depths",
        }
    }

    /// What it says, as people read it.
    pub const fn says(self) -> &'static str {
        match self {
            Self::Along => {
                "movement along the grain, the middle of a published range spread evenly over the moisture"
            }
            Self::Creep => "half of what the layers would move apart is left as stress, the rest creeps away",
            Self::Stress => "stress and edge shear of a layer held back",
            Self::Joint => {
                "rolling shear for a joint across the grain, a third of shear along it at most: that third"
            }
            Self::Energy => "the energy to split, one low value for all woods",
            Self::Word => "mild, think, will split",
            Self::ReachByShear => "the reach that shear asks for",
            Self::ReachByPeel => "the reach that peel asks for",
            Self::LeastReach => "a reach of two thicknesses, at least 10 mm",
            Self::Cup => "how far it cups",
            Self::Depths => "other depths, by the closed form",
        }
    }

    /// What stands behind it; the sources are in `docs/sources.md`.
    pub const fn standing(self) -> &'static str {
        match self {
            Self::Along | Self::Cup | Self::Depths => "estimate",
            Self::Creep | Self::Energy | Self::ReachByShear => "recalled",
            Self::Stress | Self::ReachByPeel => "our own derivation",
            Self::Joint => "published",
            Self::Word => "our own rule",
            Self::LeastReach => "common practice",
        }
    }
}
