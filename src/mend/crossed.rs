//! A strip and the wood in front of it: two layers glued crosswise, and how far the strip has to run past a break line.

use std::f64::consts::FRAC_PI_2;

use crate::season::{Anchorage, Layer, joint_strength, reach_by_peel};
use crate::strength::{Shares, variation};
use crate::wood::Mechanics;

use super::goal::Goal;
use super::layered::Flat;
use super::mended::young_along_run;
use super::request::FaceLoad;

/// A strip of the board's own wood behind what is left of the board.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossed<'a> {
    wood: &'a Mechanics,
    /// Thickness of the board that is left in front, and of the strip, in mm.
    front: f64,
    depth: f64,
    /// Between their grains, from 0 to a right angle.
    crossing: f64,
}

impl<'a> Crossed<'a> {
    /// In a board so thick a strip so deep, its grain at an angle to the board's.
    pub(super) const fn new(wood: &'a Mechanics, thickness: f64, depth: f64, crossing: f64) -> Self {
        Self { wood, front: thickness - depth, depth, crossing }
    }

    /// The board that the strip holds along its own grain, and the strip.
    pub(super) fn along(&self) -> [Layer; 2] {
        [layer(self.wood, self.front, self.crossing), layer(self.wood, self.depth, 0.0)]
    }

    /// The strip that the board holds square to the strip's grain, and the board.
    pub(super) fn square(&self) -> [Layer; 2] {
        [layer(self.wood, self.depth, FRAC_PI_2), layer(self.wood, self.front, FRAC_PI_2 - self.crossing)]
    }

    /// Up to this length a usual year is mild to the strip's joint.
    pub(super) fn mild_length(&self) -> f64 {
        let [board, strip] = self.along();
        board.lag(&strip).mild_width()
    }

    /// How far a strip so wide has to run past the break lines of places that are loaded so, when it runs `there`, for them to be good enough.
    pub(super) fn anchorage(&self, width: f64, loads: &[FaceLoad], goal: Goal, there: f64) -> Anchorage {
        let [board, strip] = self.along();
        let by_peel = loads.iter().map(|load| self.by_peel(width, load, goal)).fold(0.0, f64::max);
        let pull = self.wood.tension_across * self.depth;
        Anchorage::new(&strip.lag(&board), self.depth, pull, joint_strength(self.wood), by_peel, there)
    }

    /// The reach at which the floor peels no more than that of a place that is good enough may.
    fn by_peel(&self, width: f64, load: &FaceLoad, goal: Goal) -> f64 {
        let shares = Shares { across: 1.0, ..Shares::default() };
        let push = load.push * goal.factor(variation(&shares, self.wood));
        let host = young_along_run(load.section.crossing, self.wood);
        let share = Flat::new(host, self.wood.young_along, self.front, self.depth).insert_share();
        let moment = push * load.forces.moment * share;
        reach_by_peel(push * load.forces.shear, moment, width, self.wood.tension_across)
    }
}

/// A layer that is asked for in a direction at an angle to its grain.
pub(super) fn layer(wood: &Mechanics, thickness: f64, crossing: f64) -> Layer {
    let (sin, cos) = crossing.sin_cos();
    let give = sin * sin / wood.shear_modulus_rolling + cos * cos / wood.shear_modulus_through;
    Layer { thickness, young: young_along_run(crossing, wood), shear: 1.0 / give, between: false }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::{FaceForces, Section, tests::cherry};

    /// By hand, 9.5 mm of cherry across 9.5 mm of it, by Volkersen's shear lag (*Luftfahrtforschung* 15 (1938), 41; the formula recalled)
    /// with an interface that gives as either layer's shear by a parabola and the glue do (our own derivation):
    ///
    /// ```text
    /// 1/k = 9.5/(3·373.89) + 0.1/500 + 9.5/(3·1665.51) = 0.008 469 5 + 0.000 2 + 0.001 901 3    k = 94.600 N/mm³
    /// λ² = k·(1/(974.38·9.5) + 1/(11 330·9.5)) = 94.600·(1.080 31e-4 + 9.290 7e-6)    λ = 0.105 350 /mm    2/λ = 18.984 mm
    /// ```
    #[test]
    fn a_joint_is_mild_up_to_two_lengths_over_which_slip_dies_away() {
        let found = Crossed::new(&cherry(), 19.0, 9.5, FRAC_PI_2).mild_length();
        assert!((found / 18.984 - 1.0).abs() < 1e-4, "{found}");
    }

    /// By hand, 9.5 mm of cherry on 9.5 mm of it, a push of 45 N with a lever of 20 mm on a strip 8 mm wide. A sound place bears the
    /// push e^(s²/2 + 2.3263·s) times, s² = ln(1 + 0.25² + 0.20²): 2.1717 times, 97.72 N. The strip bends about its own middle
    /// with 0.4911 of the moment, 959.8 N·mm. 4·97.72/(8·L) + 6·959.8/(8·L²) is 3.9 MPa at L = 21.23 mm. One that need only be careful bears
    /// e^(s²/2 + 0.8416·s) = 1.3656 times its push, 61.45 N, of whose moment the strip has 603.6 N·mm: 15.41 mm.
    #[test]
    fn the_floor_peels_just_as_much_as_a_sound_place_may() {
        let wood = cherry();
        let load = FaceLoad {
            section: Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 },
            forces: FaceForces::of_push(1.0, 20.0, 0.0),
            push: 45.0,
        };
        let anchorage = |goal| Crossed::new(&wood, 19.0, 9.5, FRAC_PI_2).anchorage(8.0, &[load], goal, 15.0);
        let found = anchorage(Goal::Sound);
        assert!((found.by_peel / 21.225 - 1.0).abs() < 1e-3, "{}", found.by_peel);
        assert!((found.short_by() - (21.225 - 15.0)).abs() < 0.02, "{found:?}");
        let careful = anchorage(Goal::Careful);
        assert!((careful.by_peel / 15.41 - 1.0).abs() < 1e-3, "{}", careful.by_peel);
    }
}
