//! Clock dial: turning does not help.

use shortgrain::check::{Form, Verdict};

use crate::ask::{about, block, distance, force, near, only, short, turned};

const MIDDLE: [f64; 2] = [133.35, 133.35];
/// Twelve spokes of 3/8 in, the first at 15 degrees.
const SPOKE: f64 = 9.525;

fn spoke(k: u32) -> f64 {
    15.0 + 30.0 * f64::from(k)
}

#[test]
fn at_every_grain_angle_spokes_and_rim_across_the_grain_are_short() {
    let case = only("clock-dial");
    for degrees in (0..180).step_by(5) {
        let finding = case.with_grain(f64::from(degrees)).closed_form();
        let places = short(&finding);
        let steep = |place: &&&shortgrain::check::Place| place.crossing_deg > 53.0;
        // Spokes start 38 mm from the dial's middle, the rim lies 117 from it.
        let spokes =
            places.iter().filter(steep).filter(|place| (30.0..60.0).contains(&distance(place, MIDDLE)));
        let rim = places.iter().filter(steep).filter(|place| distance(place, MIDDLE) > 110.0);
        assert!(spokes.count() >= 4 && rim.count() >= 4, "at {degrees}");
    }
}

#[test]
fn no_grain_angle_is_much_better_than_another() {
    let case = only("clock-dial");
    let forces: Vec<f64> = (0..180)
        .step_by(5)
        .map(|degrees| force(&case.with_grain(f64::from(degrees)).closed_form().places[0]))
        .collect();
    let best = forces.iter().copied().fold(0.0, f64::max);
    let worst = forces.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(best / worst < 1.4, "{best} {worst}");
}

#[test]
fn a_dial_turned_by_one_spoke_is_the_same_dial() {
    let case = only("clock-dial");
    let weakest = |degrees: f64| force(&case.with_grain(degrees).closed_form().places[0]);
    for degrees in [0.0, 5.0, 10.0, 15.0, 20.0, 25.0] {
        about(weakest(degrees + 30.0) / weakest(degrees), 1.0, 0.02);
    }
}

#[test]
fn spokes_half_as_wide_again_bear_as_much_more_from_the_face_and_its_square_from_the_side() {
    let case = only("clock-dial");
    let wide = (0..12).fold(case.clone(), |dial, k| {
        let bar = block(MIDDLE[0] + 73.0, MIDDLE[1], 73.0, 1.5 * SPOKE);
        dial.with_wood(&turned(&bar, spoke(k), MIDDLE))
    });
    let (before, after) = (case.finding(), wide.finding());
    let at = [MIDDLE[0] + 72.1 * 75_f64.to_radians().cos(), MIDDLE[1] + 72.1 * 75_f64.to_radians().sin()];
    let (before, after) = (near(&before, at), near(&after, at));
    about(after.neck_mm / before.neck_mm, 1.5, 0.02);
    about(after.face.breaks_at_n / before.face.breaks_at_n, 1.5, 0.15);
    about(after.side.breaks_at_n / before.side.breaks_at_n, 2.25, 0.15);
}

#[test]
fn spokes_along_the_grain_are_sound() {
    let finding = only("clock-dial").finding();
    let spokes: Vec<_> = finding
        .places
        .iter()
        .filter(|place| place.form == Form::Along && (30.0..60.0).contains(&distance(place, MIDDLE)))
        .collect();
    assert_eq!(spokes.len(), 4, "those at 15 degrees to the grain");
    assert!(
        spokes
            .iter()
            .all(|spoke| spoke.verdict == Verdict::Sound && force(spoke) > 3.0 * force(&finding.places[0]))
    );
}
