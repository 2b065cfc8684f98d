//! Router template: webs both ways, so that no turn saves both.

use shortgrain::check::{Form, Verdict};

use crate::ask::{about, force, long, only, short};

#[test]
fn ten_upright_webs_are_short_grain_and_six_level_ones_are_long() {
    let finding = only("router-template").finding();
    let upright: Vec<_> = short(&finding).into_iter().filter(|place| place.neck_mm < 5.0).collect();
    let level = long(&finding);
    assert_eq!((upright.len(), level.len()), (10, 6));
    assert!(upright.iter().all(|web| web.crossing_deg > 89.0));
    assert!(level.iter().all(|web| (web.neck_mm - 4.8).abs() < 0.05 && web.verdict == Verdict::Sound));
    let weakest_level = level.iter().map(|web| force(web)).fold(f64::INFINITY, f64::min);
    let strongest_upright = upright.iter().map(|web| force(web)).fold(0.0, f64::max);
    assert!(weakest_level > 8.0 * strongest_upright, "{weakest_level} {strongest_upright}");
}

#[test]
fn the_end_rims_are_weak_with_the_webs() {
    let finding = only("router-template").finding();
    let first = &finding.places[0];
    let rims: Vec<_> = finding.places.iter().filter(|place| place.id <= 4 && place.neck_mm > 20.0).collect();
    assert_eq!(rims.len(), 4, "each end rim in two stretches");
    assert!(rims.iter().all(|rim| (rim.at.x < 40.0 || rim.at.x > 275.0) && rim.crossing_deg > 85.0));
    let web = finding.places.iter().find(|place| place.neck_mm < 5.0).expect("there are webs");
    about(force(web) / force(first), 1.03, 0.1);
}

#[test]
fn no_grain_angle_makes_both_kinds_of_web_long_grain_or_gains_much() {
    let case = only("router-template");
    let drawn = force(&case.finding().places[0]);
    for degrees in (0..180).step_by(5) {
        let finding = case.with_grain(f64::from(degrees)).finding();
        let webs = finding.places.iter().filter(|place| place.neck_mm < 5.0 && place.form != Form::Along);
        assert!(webs.filter(|web| web.crossing_deg > 44.0).count() >= 6, "at {degrees}");
        assert!(force(&finding.places[0]) < 1.3 * drawn, "at {degrees}");
    }
}

/// How far apart two mirrored grain angles are found, of which the plate, alike on both sides, knows nothing.
fn apart(degrees: f64) -> f64 {
    let case = only("router-template");
    let weakest = |degrees: f64| force(&case.with_grain(degrees).finding().places[0]);
    (weakest(degrees) / weakest(180.0 - degrees) - 1.0).abs()
}

// At 30 and 60 degrees one kind of web lies just where short grain begins: rounding decides.

#[test]
fn grain_that_slopes_left_or_right_is_the_same_to_a_plate_that_is_alike_on_both_sides() {
    for degrees in [5.0, 15.0, 25.0, 65.0, 75.0, 85.0] {
        assert!(apart(degrees) < 0.01, "at {degrees}: {}", apart(degrees));
    }
}

#[test]
fn known_gap_between_35_and_55_degrees_left_and_right_differ() {
    // They should agree here as well, and are found up to a fifth apart: more parts are nearly as big as the biggest
    // than are held in turn, and which ones are left out hangs on how they are numbered. When this fails the gap is closed: move
    // the angles to the test above.
    assert!([35.0, 45.0, 55.0].iter().any(|&degrees| apart(degrees) > 0.05));
}
