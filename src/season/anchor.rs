//! How far a glued strip has to run past a break line.

use super::Lag;

/// A reach is at least so many thicknesses of the strip, and so many millimetres: common practice.
pub(super) const LEAST: [f64; 2] = [2.0, 10.0];
/// Beyond so many lengths of decay more reach passes on no more pull: our own rule, from the curve of [`Lag::passes`].
const USEFUL: f64 = 2.5;
/// A reach that lacks less than this is long enough, in mm: our own rule.
const LACKING: f64 = 0.5;

/// What asks for the longest reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pull {
    /// Shear in the floor, where the strip's pull passes into the board.
    Shear,
    /// Peel, as a push bends the strip off its floor.
    Peel,
    /// Neither; the least that the trade leaves.
    Least,
}

impl Pull {
    /// Its word, as people and programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shear => "shear",
            Self::Peel => "peel",
            Self::Least => "least",
        }
    }

    /// What asks, in a sentence: `peel off its floor (our own derivation) asks for`.
    pub const fn asks(self) -> &'static str {
        match self {
            Self::Shear => "shear in its floor (recalled) asks for",
            Self::Peel => "peel off its floor (our own derivation) asks for",
            Self::Least => "the trade (common practice) asks for",
        }
    }
}

/// How far a strip reaches past a break line, and how far it has to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchorage {
    /// Needed, in mm.
    pub needed: f64,
    /// There.
    pub there: f64,
    /// What asks for it.
    pub by: Pull,
    /// What the floor's shear alone asks for, at most the useful length.
    pub by_shear: f64,
    /// What peel alone asks for.
    pub by_peel: f64,
    /// Beyond this more reach passes on no more pull.
    pub useful: f64,
    /// No reach passes on the whole pull: the shear in the floor passes its limit at an end whatever its length.
    pub overfull: bool,
}

impl Anchorage {
    /// A strip so thick, pulled by `pull` (N/mm of width) at the break line, over a floor that bears `limit` in shear;
    /// `by_peel` is the reach that peel asks for, `there` the one it has.
    ///
    /// Shear is greatest at a lap's ends, so that reach helps less and less; past two and a half lengths of decay it is
    /// asked for no longer. Wood yields before it parts, so that the limit at the ends is a cautious one. Peel knows no
    /// such cap.
    ///
    /// # Source
    ///
    /// See [`Lag`] and [`reach_by_peel`]; the least reach is common practice.
    pub fn new(lag: &Lag, thickness: f64, pull: f64, limit: f64, by_peel: f64, there: f64) -> Self {
        let useful = USEFUL / lag.rate;
        let length = lag.length_for(pull, limit);
        let by_shear = length.unwrap_or(useful).min(useful);
        let least = least_reach(thickness);
        let needed = least.max(by_shear).max(by_peel);
        let by = if by_peel >= needed {
            Pull::Peel
        } else if by_shear >= needed {
            Pull::Shear
        } else {
            Pull::Least
        };
        Self { needed, there, by, by_shear, by_peel, useful, overfull: length.is_none() }
    }

    /// How much is lacking, in mm: 0 where it reaches far enough.
    pub fn short_by(&self) -> f64 {
        (self.needed - self.there).max(0.0)
    }

    /// Whether so much is lacking that it is told.
    pub fn is_short(&self) -> bool {
        self.short_by() >= LACKING
    }
}

/// The least reach that the trade leaves a strip so thick, in mm.
pub(super) fn least_reach(thickness: f64) -> f64 {
    (LEAST[0] * thickness).max(LEAST[1])
}

/// Greatest peel on a floor `width` by `reach` when the strip passes a force and a moment into it: `4V/(wL) + 6M/(wL²)`, that
/// of a stiff strip on an even bed. In N, N·mm, mm and MPa.
///
/// # Source
///
/// Our own derivation. Floors of inserts in arms came off, in solid models of our own, at 0.5 to 1.2 of this peel (the tests); one of a board
/// glued behind a bridge that bears an island at 2.1.
pub fn peel(shear: f64, moment: f64, width: f64, reach: f64) -> f64 {
    4.0 * shear.abs() / (width * reach) + 6.0 * moment.abs() / (width * reach * reach)
}

/// The reach at which that [`peel`] is `strength`.
pub fn reach_by_peel(shear: f64, moment: f64, width: f64, strength: f64) -> f64 {
    let bears = strength * width;
    let half = 2.0 * shear.abs() / bears;
    half + (half * half + 6.0 * moment.abs() / bears).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reach_by_peel_peels_just_so() {
        let (shear, moment, width, strength) = (45.0, 900.0, 8.0, 3.9);
        let reach = reach_by_peel(shear, moment, width, strength);
        let by_hand = 4.0 * shear / (width * reach) + 6.0 * moment / (width * reach * reach);
        for peel in [peel(shear, moment, width, reach), by_hand] {
            assert!((peel / strength - 1.0).abs() < 1e-12, "{peel}");
        }
    }

    /// The floors of `tests/published/solid_mended.rs`, an arm 8 wide and 20 long of cherry, 19 mm thick, pushed on its end, an insert 9.5 thick in
    /// it: its own share of the moment is 0.4911 (transformed section, by hand); after the first crack it bears what stands there. Reach 20, 10,
    /// 20 with a strip twice as wide, each from the face and from behind; 20 and 30 with the show face cracked. The solid's index counts
    /// shear beside peel.
    #[test]
    fn floors_come_off_at_half_to_one_and_a_fifth_of_this_peel() {
        let own = 0.4911 * 20.0;
        let floors = [
            (1.0, own, 8.0, 20.0, 118.0),
            (1.0, own, 8.0, 20.0, 125.0),
            (1.0, own, 8.0, 10.0, 58.0),
            (1.0, own, 8.0, 10.0, 43.0),
            (1.0, own, 16.0, 20.0, 235.0),
            (1.0, own, 16.0, 20.0, 218.0),
            (1.03, 19.4, 8.0, 20.0, 61.0),
            (1.03, 19.4, 8.0, 30.0, 97.0),
        ];
        let found = floors
            .map(|(shear, moment, width, reach, off_at)| 3.9 / off_at / peel(shear, moment, width, reach));
        let [least, most] =
            [f64::min, f64::max].map(|of| found.into_iter().reduce(of).expect("there are some"));
        assert!((0.5..0.6).contains(&least) && (1.15..1.25).contains(&most), "{found:?}");
    }

    #[test]
    fn the_one_that_asks_for_most_decides() {
        let lag = Lag::between(80.0, 68_000.0, 11_700.0);
        let of = |pull, peel| Anchorage::new(&lag, 3.0, pull, 3.9, peel, 12.0);
        assert_eq!((of(1.0, 5.0).by, of(1.0, 5.0).needed, of(1.0, 5.0).short_by()), (Pull::Least, 10.0, 0.0));
        assert_eq!((of(1.0, 30.0).by, of(1.0, 30.0).short_by()), (Pull::Peel, 18.0));
        let pulled = of(0.9 * lag.passes_at_most(3.9), 5.0);
        assert!(pulled.by == Pull::Shear && !pulled.overfull && pulled.needed <= pulled.useful);
        let torn = of(2.0 * lag.passes_at_most(3.9), 5.0);
        assert!(torn.overfull && torn.needed == torn.useful);
    }
}
