//! What stands behind the rules of the seasons.

/// A rule or a number that the answers rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// Its word, as programs read it.
    pub word: &'static str,
    /// What it says, as people read it.
    pub says: &'static str,
    /// What stands behind it; the sources are in `docs/sources.md`.
    pub standing: &'static str,
}

impl Rule {
    /// Every rule, in the order in which they are used.
    #[rustfmt::skip]
    pub const ALL: [Self; 18] = [
        rule("along", ESTIMATE, "movement along the grain, the middle of a published range spread evenly over the moisture"),
        rule("creep", RECALLED, "half of what the layers would move apart is left as stress, the rest creeps away"),
        rule("glue_line", RECALLED, "a glue line a tenth of a millimetre thick, its shear modulus 500 MPa"),
        rule("stress", DERIVED, "stress and edge shear of a layer held back"),
        rule("joint", PUBLISHED, "rolling shear for a joint across the grain, a third of shear along it at most: that third"),
        rule("energy", RECALLED, "the energy to split, one low value for all woods"),
        rule("word", OWN, "mild, think, will split"),
        rule("reach_by_shear", RECALLED, "the reach that shear asks for"),
        rule("useful_reach", OWN, "of that no more than 2.5 of the lengths over which shear dies away"),
        rule("reach_by_peel", DERIVED, "the reach that peel asks for"),
        rule("least_reach", COMMON, "a reach of two thicknesses, at least 10 mm"),
        rule("shortest_reach", STUDY, "no strip with a reach under 1.2 thicknesses"),
        rule("lacking", OWN, "a reach that lacks less than 0.5 mm is long enough"),
        rule("cup", ESTIMATE, "how far it cups"),
        rule("flat", OWN, "flat up to a two-hundredth of the width"),
        rule("depths", ESTIMATE, "other depths, by the closed form"),
        rule("trade_reach", COMMON, "the trade's reaches, two thicknesses and one and a half widths, which are shown for comparison"),
        rule("trade_length", COMMON, "its limits to a length along the insert's grain, 50 mm and 100 mm, which warn and decide nothing"),
    ];
}

const PUBLISHED: &str = "published";
const RECALLED: &str = "recalled";
const DERIVED: &str = "our own derivation";
const STUDY: &str = "our own study";
const OWN: &str = "our own rule";
const COMMON: &str = "common practice";
const ESTIMATE: &str = "estimate";

const fn rule(word: &'static str, standing: &'static str, says: &'static str) -> Rule {
    Rule { word, says, standing }
}
