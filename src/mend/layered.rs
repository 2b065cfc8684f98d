//! Host and insert bending as one: the transformed section.
//!
//! The host's front layer lies on the insert's; both stretch alike where they meet, and each carries
//! stress in proportion to its stiffness along the run. Nothing slips, nothing opens: an upper bound.
//!
//! # Source
//!
//! The transformed section of any handbook of mechanics of materials.

use crate::strength::BENDING_WINDOW;

/// Two layers bent through the thickness, for each mm of width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flat {
    /// From the front face to the line without stress, in mm.
    pub neutral_from_front: f64,
    /// Bending stiffness, in N·mm²/mm.
    pub stiffness: f64,
    /// The insert's own bending stiffness, about its own middle.
    pub insert_stiffness: f64,
    /// Stress at the front face for a moment of 1 N·mm/mm, in MPa.
    pub front_stress: f64,
    /// Stress at the insert's back for the same moment, in MPa.
    pub back_stress: f64,
    /// How many times less the front is stressed than in the host alone at full thickness.
    pub gain: f64,
    /// The same for the mean over the window that the strength rules read, the front quarter of the
    /// thickness: somewhat less, since the stress falls off more slowly behind the front.
    pub window_gain: f64,
}

impl Flat {
    /// A host layer in front, an insert behind it: Young's moduli along the run in MPa, thicknesses in mm.
    pub fn new(young_host: f64, young_insert: f64, host: f64, insert: f64) -> Self {
        let (front, back) = (young_host * host, young_insert * insert);
        let neutral = (front * host / 2.0 + back * (host + insert / 2.0)) / (front + back);
        let own = |young: f64, t: f64| young * t.powi(3) / 12.0;
        let shifted = |force: f64, middle: f64| force * (middle - neutral).powi(2);
        let insert_stiffness = own(young_insert, insert);
        let stiffness = own(young_host, host)
            + shifted(front, host / 2.0)
            + insert_stiffness
            + shifted(back, host + insert / 2.0);
        let thickness = host + insert;
        let front_stress = young_host * neutral / stiffness;
        let back_stress = young_insert * (thickness - neutral) / stiffness;
        let alone = 6.0 / (thickness * thickness);
        let window = young_host * (neutral - thickness / 8.0) / stiffness;
        Self {
            neutral_from_front: neutral,
            stiffness,
            insert_stiffness,
            front_stress,
            back_stress,
            gain: alone / front_stress,
            window_gain: BENDING_WINDOW * alone / window,
        }
    }

    /// The part of the moment that the insert takes by bending about its own middle.
    pub fn insert_share(&self) -> f64 {
        self.insert_stiffness / self.stiffness
    }
}

/// Two layers bent in the board's plane, side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnEdge {
    /// The part of moment and force that the insert takes.
    pub insert_share: f64,
    /// How many times less the host is stressed than alone at full thickness.
    pub gain: f64,
}

impl OnEdge {
    /// See [`Flat::new`].
    pub fn new(young_host: f64, young_insert: f64, host: f64, insert: f64) -> Self {
        let (front, back) = (young_host * host, young_insert * insert);
        Self { insert_share: back / (front + back), gain: (front + back) / (young_host * (host + insert)) }
    }
}
