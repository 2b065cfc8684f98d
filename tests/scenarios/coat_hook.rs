//! Coat-hook disc 10: the counter of the 0 hangs on two bridges, and nothing else holds it.

use shortgrain::check::{Form, Verdict};

use crate::ask::{about, distance, force, near, only, short};

/// The bridges below and on top of the counter; the web between 1 and 0; the tongue of wood under the 1's flag.
const BRIDGES: [[f64; 2]; 2] = [[67.5, 33.5], [67.5, 66.5]];
const WEB: [f64; 2] = [48.0, 48.0];
const TONGUE: [f64; 2] = [35.1, 59.7];

#[test]
fn of_what_holds_something_the_bridges_of_the_0_go_first_and_equal() {
    let finding = only("coat-hook-10").finding();
    let holding: Vec<_> = short(&finding).into_iter().filter(|place| distance(place, TONGUE) > 2.0).collect();
    let [below, above] = BRIDGES.map(|at| near(&finding, at));
    for bridge in [below, above] {
        assert_eq!(bridge.form, Form::Island);
        about(bridge.neck_mm, 5.0, 0.01);
        assert!(holding.iter().take(2).any(|place| place.id == bridge.id), "{bridge:?}");
    }
    // The disc stands out farther to one side of the counter than to the other, and both hang on the bridges.
    let closed = only("coat-hook-10").closed_form();
    let [below, above] = BRIDGES.map(|at| force(near(&closed, at)));
    about(below / above, 1.0, 0.1);
}

#[test]
fn only_the_tongue_under_the_flag_of_the_1_chips_as_easily() {
    let finding = only("coat-hook-10").finding();
    let tongue = near(&finding, TONGUE);
    assert_eq!(tongue.form, Form::Arm);
    about(force(tongue) / force(near(&finding, BRIDGES[0])), 0.95, 0.15);
}

#[test]
fn the_web_between_1_and_0_is_stronger_by_half_and_more() {
    let finding = only("coat-hook-10").finding();
    let web = near(&finding, WEB);
    about(web.neck_mm, 9.0, 0.01);
    assert!(force(web) > 1.5 * force(near(&finding, BRIDGES[0])));
}

#[test]
fn the_rim_of_the_disc_is_sound() {
    let finding = only("coat-hook-10").finding();
    let middle = [55.0, 55.0];
    let rim = finding.places.iter().filter(|place| distance(place, middle) > 30.0);
    assert!(rim.filter(|place| place.verdict == Verdict::Sound).count() >= 3);
    // Only the bridges of the 0, whose counter twists them, are not.
    assert_eq!(finding.verdict, Verdict::Careful);
}
