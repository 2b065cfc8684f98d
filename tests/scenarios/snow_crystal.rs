//! Snow crystal: six arms, and no grain angle is good.

use std::sync::LazyLock;

use shortgrain::check::{Finding, Form, Verdict};

use crate::ask::{about, force, near, only, short};

/// Roots of the four arms at 60 degrees, and of the two along the grain.
const SLANTING: [[f64; 2]; 4] = [[46.9, 35.9], [46.9, 64.1], [63.1, 35.9], [63.1, 64.1]];
const LEVEL: [[f64; 2]; 2] = [[71.3, 50.0], [38.7, 50.0]];

/// The piece as it is; its places take the solid model a while.
static FINDING: LazyLock<Finding> = LazyLock::new(|| only("snow-crystal").finding());

#[test]
fn the_four_arms_at_60_degrees_break_at_their_roots_at_equal_pushes() {
    let finding = &FINDING;
    let first = &finding.places[0];
    for at in SLANTING {
        let root = near(finding, at);
        assert!(root.id <= 4 && root.form == Form::Arm && root.verdict == Verdict::Fragile, "{root:?}");
        about(root.crossing_deg, 60.0, 0.02);
        about(root.face.breaks_at_n / first.face.breaks_at_n, 1.0, 0.01);
        about(root.side.breaks_at_n / first.side.breaks_at_n, 1.0, 0.01);
    }
}

#[test]
fn the_two_arms_along_the_grain_bear_many_times_as_much() {
    let finding = &FINDING;
    let slanting = near(finding, SLANTING[0]);
    for at in LEVEL {
        let root = near(finding, at);
        assert_eq!(root.form, Form::Along);
        // The fibre bears about 20 times what the wood bears across it; sin² 60 gives back a quarter, and twist,
        // which the fibre does nothing for, takes its share.
        assert!((5.0..15.0).contains(&(root.face.breaks_at_n / slanting.face.breaks_at_n)));
        assert!((8.0..25.0).contains(&(root.side.breaks_at_n / slanting.side.breaks_at_n)));
    }
}

#[test]
fn no_grain_angle_is_good() {
    let case = only("snow-crystal");
    let mut forces = Vec::new();
    for degrees in (0..180).step_by(5) {
        let finding = case.with_grain(f64::from(degrees)).closed_form();
        assert_eq!(finding.verdict, Verdict::Fragile, "at {degrees}");
        assert!(short(&finding)[0].crossing_deg > 59.0, "at {degrees}");
        forces.push(force(&finding.places[0]));
    }
    let best = forces.iter().copied().fold(0.0, f64::max);
    let worst = forces.iter().copied().fold(f64::INFINITY, f64::min);
    // 1 / sin² 60: the best angle has the worst arm at 60 degrees, the worst one at 90.
    about(best / worst, 4.0 / 3.0, 0.05);
    assert!(best < 0.2 * case.pushes.side.as_n());
}
