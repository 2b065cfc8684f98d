//! What `turn` says of each sample: enough, a help, or no cure.

use geo_types::{Polygon, Rect};
use shortgrain::{
    check::{Prepared, Verdict},
    drawing::{PolarSheet, polar},
    mend::{Turn, TurnOptions, Turning, turn, unwatched},
    shape::Shape,
    units::{Angle, Force, Units},
};

use crate::{
    ask::{about, only, piece},
    samples::Case,
};

fn turned(case: &Case) -> Turn {
    let options = TurnOptions { step: Angle::deg(15.0), ..TurnOptions::default() };
    let ready = Prepared::new(&case.shape).expect("a sample has a skeleton");
    turn(&case.name, &ready, &case.board, &case.wood, &case.pushes, &options, &unwatched)
}

/// No turn fixes it, and the answer does not say so. Pushed so many times as hard as its board says.
fn no_cure(name: &str, times: f64) -> Turn {
    let mut case = only(name);
    case.pushes.face = Force::n(times * case.pushes.face.as_n());
    case.pushes.side = Force::n(times * case.pushes.side.as_n());
    let turn = turned(&case);
    assert!(matches!(turn.turning, Turning::Useless | Turning::AtItsBest), "{name}: {:?}", turn.turning);
    assert_ne!(turn.best.proved.verdict, Verdict::Sound, "{name}");
    turn
}

#[test]
fn spokes_and_a_ring_are_not_saved_by_a_turn() {
    let turn = no_cure("clock-dial", 1.0);
    assert_eq!(turn.turning, Turning::Useless);
    assert!(turn.always_crossing_deg > 53.0, "{}", turn.always_crossing_deg);
}

fn always_crosses(name: &str) {
    let turn = no_cure(name, 1.0);
    assert!(turn.always_crossing_deg > 55.0, "{name}: {}", turn.always_crossing_deg);
}

#[test]
fn a_snow_crystal_is_not_either() {
    always_crosses("snow-crystal");
}

#[test]
#[ignore = "sixty places at three angles: cargo test --release --test scenarios -- --ignored"]
fn hexagons_are_not_either() {
    always_crosses("bee-hive");
}

#[test]
fn a_token_of_three_webs_gains_a_seventh() {
    let turn = no_cure("game-token", 1.0);
    assert_eq!(turn.turning, Turning::Useless);
    about(turn.spread, 1.14, 0.06);
}

#[test]
#[ignore = "takes a minute: cargo test --release --test scenarios -- --ignored"]
fn a_template_of_webs_both_ways_gains_no_more_than_a_quarter() {
    let turn = no_cure("router-template", 1.0);
    assert!(turn.gain <= 1.25, "{}", turn.gain);
}

#[test]
fn a_drawer_label_lies_as_well_as_it_can() {
    assert_eq!(turned(&only("drawer-label")).turning, Turning::AtItsBest);
}

#[test]
fn a_knob_on_its_tile_is_cured_by_a_turn() {
    let turn = turned(&piece("number-tray", "tile-0"));
    assert_eq!(turn.turning, Turning::Enough);
    assert!(
        turn.best.closed_form.deg < 30.0 || turn.best.closed_form.deg > 150.0,
        "{}",
        turn.best.closed_form.deg
    );
    assert!(turn.gain > 3.0, "{}", turn.gain);
}

#[test]
fn a_house_number_turned_upright_has_long_grain_in_all_its_bridges() {
    let turn = turned(&only("house-number"));
    assert!(turn.gain > 2.0, "{}", turn.gain);
    assert!((turn.best.closed_form.deg - 90.0).abs() < 30.0, "{}", turn.best.closed_form.deg);
}

/// A square says that the solid model bore a number out; one is in the key.
#[test]
fn what_no_solid_model_bore_out_has_no_square() {
    let squares = |case: &Case| {
        let turn = turned(case);
        let sheet = PolarSheet {
            title: "label",
            facts: &[],
            pushes: &case.pushes,
            units: Units::Metric,
            pieces: &[("label", &case.shape, &turn)],
            cautions: &[],
        };
        polar(&sheet).matches(r#"width="2.6""#).count() - 1
    };
    let label = only("drawer-label");
    assert!(squares(&label) >= 4);
    // A thread 0.04 mm wide, which no solid model is made of.
    let ring = |x0: f64, y0: f64, x1: f64, y1: f64| Rect::new((x0, y0), (x1, y1)).to_polygon().into_inner().0;
    let plate = Polygon::new(ring(0.0, 0.0, 60.0, 40.0), vec![ring(0.04, 10.0, 50.0, 30.0)]);
    let thread = Case { shape: Shape::new(plate).expect("a shape"), ..label };
    assert_eq!(squares(&thread), 0);
}
