//! What a remedy is: what is done, what the piece bears then, and how sure that is.

use geo_types::Coord;

use crate::check::{Finding, Insert, Pushes};
use crate::fit::{Fit, FitError, Options, fit};
use crate::season::{Moves, Word};
use crate::shape::Shape;
use crate::units::{Angle, Length};
use crate::wood::Rings;

use super::lost::Lost;
use super::order::Step;
use super::remark::Remark;
use super::seasons::Seasons;
use super::turn::{Turn, weakest};

/// The kinds of remedy, cheapest first (common practice).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Turn the piece on its blank.
    Turn,
    /// Move the bridges that hold an island to where the grain helps.
    MoveBridge,
    /// Widen the weak places.
    Widen,
    /// Take a thicker blank.
    Thicken,
    /// Take a quarter-sawn board of the same wood.
    QuarterSawn,
    /// Take another wood.
    OtherWood,
    /// Glue inserts across the grain into pockets in the back.
    Insert,
    /// Glue boards on the back behind the weak places alone.
    PartBacker,
    /// Glue a backer behind the whole piece, its grain across.
    Backer,
    /// Make the blank of three plies.
    ThreePly,
    /// Take no solid wood for it.
    NotSolidWood,
}

impl Kind {
    /// Every kind, cheapest first.
    pub const ALL: [Self; 11] = [
        Self::Turn,
        Self::MoveBridge,
        Self::Widen,
        Self::Thicken,
        Self::QuarterSawn,
        Self::OtherWood,
        Self::Insert,
        Self::PartBacker,
        Self::Backer,
        Self::ThreePly,
        Self::NotSolidWood,
    ];

    /// Its name for programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Turn => "turn",
            Self::MoveBridge => "move_bridge",
            Self::Widen => "widen",
            Self::Thicken => "thicken",
            Self::QuarterSawn => "quarter_sawn",
            Self::OtherWood => "other_wood",
            Self::Insert => "insert",
            Self::PartBacker => "part_backer",
            Self::Backer => "backer",
            Self::ThreePly => "three_ply",
            Self::NotSolidWood => "not_solid_wood",
        }
    }

    /// Whether something is glued on or in.
    pub const fn is_glued(self) -> bool {
        matches!(self, Self::Insert | Self::PartBacker | Self::Backer | Self::ThreePly)
    }
}

/// What stands behind a remedy's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The whole check on the mended piece, solid model included.
    Proved,
    /// An estimate: the closed form alone, be it only where the mended piece is weakest.
    Estimate,
    /// Common practice, without a number.
    Practice,
}

impl Standing {
    /// Its word, as people and programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proved => "proved",
            Self::Estimate => "estimate",
            Self::Practice => "common practice",
        }
    }
}

/// A bar of wood that was moved or widened.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// The places it mends, by number.
    pub places: Vec<usize>,
    /// Its middle, in mm.
    pub at: Coord<f64>,
    /// Its width before, square to its run, in mm; nothing for a new one.
    pub from_mm: Option<f64>,
    /// Its width now.
    pub to_mm: f64,
}

/// Another wood that was tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Its name.
    pub name: &'static str,
    /// How many times stronger the piece would still have to be: 1 or less where it does.
    pub shortfall: f64,
    /// What stands behind that.
    pub standing: Standing,
}

/// An insert, or a board glued on the back, and the places it serves.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// By number.
    pub places: Vec<usize>,
    /// The strip itself.
    pub insert: Insert,
}

impl Strip {
    /// The insert and its pocket as they are cut into a board so thick; the depth is the insert's own, whatever the options say of it.
    ///
    /// # Errors
    ///
    /// [`FitError`] as [`fit`] has them: above all where the bit does not get into the pocket.
    pub fn fitted(&self, board: Length, options: &Options) -> Result<Fit, FitError> {
        let insert = &self.insert;
        let options = Options { depth: Length::mm(insert.depth_mm), board: Some(board), ..*options };
        let outline =
            Shape::new(insert.outline.clone()).map_err(|error| FitError { faults: vec![error.into()] })?;
        fit(&outline, Angle::deg(insert.grain_deg), &options)
    }
}

/// What is done to a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// The grain runs another way.
    Grain {
        /// Its direction in the drawing, in degrees.
        deg: f64,
        /// How far the piece is turned on its blank, anticlockwise.
        by_deg: f64,
    },
    /// The outline is drawn anew.
    Outline {
        /// The piece as it is cut then.
        shape: Shape,
        /// The bars that differ.
        bars: Vec<Bar>,
    },
    /// The blank is thicker.
    Thickness {
        /// So thick, in mm.
        to_mm: f64,
    },
    /// The rings stand another way.
    Rings(Rings),
    /// Other woods, the one that was proved first.
    Woods(Vec<Tried>),
    /// Strips glued into the back.
    Inserts(Vec<Strip>),
    /// Boards glued on the back, all as thick. Of each the depth is its thickness, and the whole piece its show face.
    Backers(Vec<Strip>),
    /// Layers glued together from face to back: thickness in mm and grain in degrees.
    Layers {
        /// From the face back.
        plies: Vec<Ply>,
    },
    /// Nothing that keeps it solid wood.
    None,
}

/// A layer of a blank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ply {
    /// Its thickness, in mm.
    pub thickness_mm: f64,
    /// Its grain, degrees anticlockwise from +x seen from the face.
    pub grain_deg: f64,
}

/// A remedy, with what the piece bears once it is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// Its kind.
    pub kind: Kind,
    /// What is done.
    pub change: Change,
    /// What is found on the mended piece; nothing where no number stands behind the remedy.
    pub after: Option<Finding>,
    /// What stands behind the numbers.
    pub standing: Standing,
    /// Whether it reaches the goal.
    pub reaches_goal: bool,
    /// How many times stronger it would still have to be; 1 when it reaches the goal, nothing where no number stands behind it.
    pub shortfall: Option<f64>,
    /// How many times what breaks the piece as it is breaks the mended one; nothing where no number stands behind it.
    pub gain: Option<f64>,
    /// Of inserts: what is found on the pierced piece while its pockets are cut and nothing is in them yet, by the solid model.
    pub empty_pockets: Option<Finding>,
    /// What the seasons do to it; nothing where nothing is glued, or no year was asked about.
    pub seasons: Option<Seasons>,
    /// The pushes that break a place sooner with it than without, where that is by more than two hundredths.
    pub lost: Vec<Lost>,
    /// What is done at the bench, in order; the places that a step frees are numbered as in `after`.
    pub order: Vec<Step>,
    /// What a person should read with it.
    pub remarks: Vec<Remark>,
}

/// Below this gain a remedy would change the piece for nothing. Our own rule.
const NO_GAIN: f64 = 1.02;
/// Below this it makes the piece weaker; another mesh of the same place alone moves an answer by up to a hundredth. Our
/// own rule.
const SPOILT: f64 = 0.99;
/// Below this, where plies are glued: all places of such a piece at once have one layer a ply, by which wood beside a ply and glue read up to eight
/// hundredths less (docs/mechanics.md). Our own rule.
const SPOILT_BY_GLUE: f64 = 0.93;

impl Remedy {
    /// Why one that [is idle](Self::is_idle) is none.
    pub(super) const IDLE: &str = "the piece would be no stronger for it";

    /// Whether the piece falls short with it, and would break at as much as without it.
    pub(super) fn is_idle(&self) -> bool {
        let least = if self.kind == Kind::Turn { Turn::NO_GAIN } else { NO_GAIN };
        let gain = self.gain.unwrap_or(1.0);
        !self.reaches_goal && (self.spoilt()..least).contains(&gain)
    }

    /// How many times what breaks the piece as it is breaks it with this remedy, where that is less.
    pub(super) fn spoils(&self) -> Option<f64> {
        self.gain.filter(|gain| *gain < self.spoilt())
    }

    const fn spoilt(&self) -> f64 {
        if self.kind.is_glued() { SPOILT_BY_GLUE } else { SPOILT }
    }

    /// Whether a year splits what it glues.
    pub fn splits(&self) -> bool {
        self.seasons.as_ref().is_some_and(|seasons| seasons.word == Word::WillSplit)
    }

    /// Whether it reaches the goal, and no year splits it.
    pub fn lasts(&self) -> bool {
        self.reaches_goal && !self.splits()
    }

    /// Whether it is a cure: it reaches the goal, a whole check of the mended piece says so, and no year splits it.
    pub fn cures(&self) -> bool {
        self.lasts() && self.standing == Standing::Proved
    }

    /// The outline after it, where it changes that.
    pub const fn shape(&self) -> Option<&Shape> {
        match &self.change {
            Change::Outline { shape, .. } => Some(shape),
            _ => None,
        }
    }

    /// How thick the blank has to be, in mm, where that is what it changes.
    pub fn blank_mm(&self) -> Option<f64> {
        match &self.change {
            Change::Thickness { to_mm } => Some(*to_mm),
            Change::Layers { plies } => Some(plies.iter().map(|ply| ply.thickness_mm).sum()),
            _ => None,
        }
    }

    /// What stands behind the force that breaks the pierced piece while its pockets are empty.
    pub fn empty_standing(&self, pushes: &Pushes) -> Option<Standing> {
        let weak = weakest(self.empty_pockets.as_ref()?, pushes).1?;
        Some(if weak.is_solved { Standing::Proved } else { Standing::Estimate })
    }

    /// The boards it glues on the back, where those are not behind the whole piece.
    pub fn backers(&self) -> &[Strip] {
        match &self.change {
            Change::Backers(strips) => strips,
            _ => &[],
        }
    }

    /// The strips it glues in.
    pub fn strips(&self) -> &[Strip] {
        match &self.change {
            Change::Inserts(strips) => strips,
            _ => &[],
        }
    }
}

/// A kind that has nothing to offer here, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Declined {
    /// The kind.
    pub kind: Kind,
    /// Why, in a sentence.
    pub why: String,
    /// How far the piece would be from the goal with it.
    pub lacks: Lacks,
}

/// How far a piece would be from the goal with a kind that is not offered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lacks {
    /// It would be found so far from it.
    Times {
        /// How many times stronger it would still have to be, 1 at the least.
        shortfall: f64,
        /// What stands behind that.
        standing: Standing,
    },
    /// There is nothing here to try, and so no number.
    Untried,
    /// What was tried could not be judged, and so there is no number.
    Unjudged,
}

impl Lacks {
    /// Why there is no number, in words; nothing where there is one.
    pub const fn no_number(&self) -> Option<&'static str> {
        match self {
            Self::Times { .. } => None,
            Self::Untried => Some("there is nothing to try"),
            Self::Unjudged => Some("what was tried could not be judged"),
        }
    }
}

/// Why a kind is not offered.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Refusal {
    pub(super) why: String,
    pub(super) lacks: Lacks,
}

impl Refusal {
    /// There is nothing to try.
    pub(super) fn untried(why: impl Into<String>) -> Self {
        Self { why: why.into(), lacks: Lacks::Untried }
    }

    /// What was tried could not be judged.
    pub(super) fn unjudged(why: impl Into<String>) -> Self {
        Self { why: why.into(), lacks: Lacks::Unjudged }
    }

    /// It would be so far from the goal.
    pub(super) fn lacking(why: impl Into<String>, shortfall: f64, standing: Standing) -> Self {
        Self { why: why.into(), lacks: Lacks::Times { shortfall: shortfall.max(1.0), standing } }
    }
}

/// A piece with all that can be done for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mending {
    /// What is found on it as it is.
    pub before: Finding,
    /// How its wood moves; nothing where no year was asked about, or no movement of the wood is at hand.
    pub moves: Option<Moves>,
    /// In which order it is cut as it is; the places that a step frees are numbered as in `before`.
    pub order: Vec<Step>,
    /// The remedies, cheapest first, whether they reach the goal or not.
    pub remedies: Vec<Remedy>,
    /// The kinds that have nothing to offer.
    pub declined: Vec<Declined>,
}

impl Mending {
    /// The remedy of a kind.
    pub fn remedy(&self, kind: Kind) -> Option<&Remedy> {
        self.remedies.iter().find(|remedy| remedy.kind == kind)
    }

    /// The cheapest remedy that is proved to reach the goal; only where none is, the cheapest that is estimated to. [`Remedy::cures`]
    /// tells which. One that a year splits is neither.
    pub fn cheapest(&self) -> Option<&Remedy> {
        cheapest(&self.remedies)
    }
}

/// The same of some remedies, cheapest first.
pub(super) fn cheapest(remedies: &[Remedy]) -> Option<&Remedy> {
    let proved = remedies.iter().find(|remedy| remedy.cures());
    proved.or_else(|| remedies.iter().find(|remedy| remedy.lasts()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::remedy;

    #[test]
    fn an_estimate_is_the_cheapest_only_where_nothing_is_proved_to_do() {
        let weak = remedy(Kind::Turn, Standing::Proved, false);
        let guess = remedy(Kind::Insert, Standing::Estimate, true);
        let sure = remedy(Kind::Backer, Standing::Proved, true);
        let cheapest = |all: &[&Remedy]| {
            let all: Vec<Remedy> = all.iter().map(|&one| one.clone()).collect();
            cheapest(&all).map(|one| (one.kind, one.cures()))
        };
        assert_eq!(cheapest(&[&weak, &guess, &sure]), Some((Kind::Backer, true)));
        assert_eq!(cheapest(&[&weak, &guess]), Some((Kind::Insert, false)));
        assert_eq!(cheapest(&[&weak]), None);
    }
}
