//! Router template: webs both ways, so that no turn saves both.

use shortgrain::check::{Form, Place, Verdict, Why};

use crate::ask::{about, force, long, only, short};

#[test]
fn ten_upright_webs_are_short_grain_and_six_level_ones_are_long() {
    let finding = only("router-template").finding();
    let upright: Vec<_> = short(&finding).into_iter().filter(|place| place.neck_mm < 5.0).collect();
    let level = long(&finding);
    assert_eq!((upright.len(), level.len()), (10, 6));
    assert!(upright.iter().all(|web| web.crossing_deg > 89.0));
    assert!(level.iter().all(|web| (web.neck_mm - 4.8).abs() < 0.05 && web.verdict == Verdict::Sound));
    let by_section = |web: &&Place| web.face.closed_form_n.min(web.side.closed_form_n);
    let weakest_level = level.iter().map(by_section).fold(f64::INFINITY, f64::min);
    let strongest_upright = upright.iter().map(by_section).fold(0.0, f64::max);
    assert!(weakest_level > 5.0 * strongest_upright, "{weakest_level} {strongest_upright}");
    // A level web that is pushed leans on the upright ones it ends in, and their corners part first: still far later than they do themselves.
    let proved = |webs: &[&Place], least: fn(f64, f64) -> f64, start: f64| {
        webs.iter().map(|web| force(web)).fold(start, least)
    };
    assert!(proved(&level, f64::min, f64::INFINITY) > 4.0 * proved(&upright, f64::max, 0.0));
}

#[test]
fn the_webs_go_first_and_the_end_rims_bear_about_twice_as_much() {
    let finding = only("router-template").finding();
    assert!(finding.places[..10].iter().all(|place| place.neck_mm < 5.0));
    let at_the_end = |place: &&Place| place.neck_mm > 20.0 && (place.at.x < 40.0 || place.at.x > 275.0);
    let rims: Vec<&Place> = finding.places.iter().filter(at_the_end).collect();
    assert_eq!(rims.len(), 4, "each end rim in two stretches");
    for rim in rims {
        assert!(rim.crossing_deg > 85.0);
        about(force(rim) / force(&finding.places[0]), 2.2, 0.4);
    }
}

#[test]
fn no_grain_angle_makes_both_kinds_of_web_long_grain_or_gains_much() {
    let case = only("router-template");
    let drawn = force(&case.finding().places[0]);
    for degrees in (0..180).step_by(5) {
        let finding = case.with_grain(f64::from(degrees)).closed_form();
        let webs = finding.places.iter().filter(|place| place.neck_mm < 5.0 && place.form != Form::Along);
        assert!(webs.filter(|web| web.crossing_deg > 44.0).count() >= 6, "at {degrees}");
        assert!(force(&finding.places[0]) < 1.3 * drawn, "at {degrees}");
    }
}

/// How far apart two mirrored grain angles are found, of which the plate, alike on both sides, knows nothing.
fn apart(degrees: f64) -> f64 {
    let case = only("router-template");
    let weakest = |degrees: f64| force(&case.with_grain(degrees).closed_form().places[0]);
    (weakest(degrees) / weakest(180.0 - degrees) - 1.0).abs()
}

#[test]
fn grain_that_slopes_left_or_right_is_the_same_to_a_plate_that_is_alike_on_both_sides() {
    for degrees in (5..90).step_by(5).map(f64::from) {
        assert!(apart(degrees) < 0.02, "at {degrees}: {}", apart(degrees));
    }
}

/// What lies between the webs gives, of which the statics of rigid parts know nothing: pushed on a side, each bears more than its share.
#[test]
fn a_web_bears_more_than_its_share_of_a_side_push() {
    let finding = only("router-template").finding();
    for web in &finding.places[..10] {
        let solved = web.side.solved.as_ref().expect("it is solved");
        assert_eq!(solved.why(), Some(Why::SoftNeighbour), "{solved:?}");
    }
}
