//! What a check may be told: the pushes to judge by, and where short grain begins.

use crate::units::{Angle, Force, Length};

use super::PushKind;

/// The pushes a piece has to bear. The default, 45 N (10 lbf) on face and side, is common practice: no
/// published source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pushes {
    /// Through the thickness.
    pub face: Force,
    /// In the board's plane.
    pub side: Force,
}

impl Pushes {
    /// The push of a kind.
    pub const fn of(&self, kind: PushKind) -> Force {
        match kind {
            PushKind::Face => self.face,
            PushKind::Side => self.side,
        }
    }
}

impl Default for Pushes {
    fn default() -> Self {
        Self { face: Force::n(45.0), side: Force::n(45.0) }
    }
}

/// Where short grain begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// A run that crosses the grain by more than this is short grain.
    pub crossing: Angle,
    /// How far the crossing must fall below that before a stretch ends, so that it does not flicker.
    pub hysteresis: Angle,
    /// Distance between the grain lines that are tried one by one; by default 1 mm, more on pieces over 400 mm;
    /// about the weakest ones a tenth of it.
    pub sweep: Option<Length>,
    /// Stubs, too short to be slender, are places where a board no thicker than this would let them be sheared off easily; `None`: the board that is
    /// checked. `mend` gives the board as it is, so that its places stay places in a thicker blank.
    pub stubs: Option<Length>,
    /// Whether the solid model proves the places; without it the closed form's numbers stand alone.
    pub solid: bool,
    /// Whether the whole face is pushed point by point ([`PushMap`](super::PushMap)); it takes several times as long as the check.
    pub push_map: bool,
    /// About so many unknowns the solid models of a piece may have together; places beyond that, the strongest, are left to the closed
    /// form. By default [`UNKNOWNS`](Self::UNKNOWNS).
    pub unknowns: usize,
    /// The work of the push map, in unknowns: what the solid models that are pushed for it have together, each once more for every thousand
    /// pushes. The weakest cases go first. By default [`MAP`](Self::MAP).
    pub map: usize,
}

impl Options {
    /// Half as many again as the finest of our samples comes to, a honeycomb of sixty bars: some seconds. Our own rule.
    pub const UNKNOWNS: usize = 1_500_000;
    /// Of our samples the router template and the bee hive come to a little more: some seconds. Our own rule.
    pub const MAP: usize = 1_500_000;
}

impl Default for Options {
    fn default() -> Self {
        Self {
            crossing: Angle::deg(30.0),
            hysteresis: Angle::deg(3.0),
            sweep: None,
            stubs: None,
            solid: true,
            push_map: false,
            unknowns: Self::UNKNOWNS,
            map: Self::MAP,
        }
    }
}
