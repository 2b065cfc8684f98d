//! Choir-stall numerals: with the grain up the figures, what runs level goes before what stands upright.

use shortgrain::check::{Finding, Form, Verdict};

use crate::ask::{force, near, piece};

fn figure(name: &str) -> Finding {
    piece("choir-numerals", name).finding()
}

/// The weakest place along the grain, or the stated figure's bound when none is slender.
fn weakest_stem(finding: &Finding) -> Option<f64> {
    let stems = finding.places.iter().filter(|place| place.form == Form::Along);
    stems.map(force).min_by(f64::total_cmp)
}

#[test]
fn the_foot_of_the_2_and_the_bars_of_4_5_and_7_are_short_grain() {
    for (name, at) in
        [("two", [32.0, 9.0]), ("four", [77.7, 24.7]), ("five", [133.0, 65.0]), ("seven", [185.4, 65.0])]
    {
        let finding = figure(name);
        let bar = near(&finding, at);
        assert!(bar.crossing_deg > 85.0 && bar.verdict == Verdict::Fragile, "{name}: {bar:?}");
        assert!((bar.neck_mm - 8.0).abs() < 0.1, "{name}: {bar:?}");
    }
}

#[test]
fn they_come_before_every_upright_stem() {
    for name in ["two", "four", "five", "seven"] {
        let finding = figure(name);
        let first = &finding.places[0];
        assert_ne!(first.form, Form::Along, "{name}");
        let bars = finding.places.iter().filter(|place| place.crossing_deg > 85.0 && place.neck_mm < 8.1);
        let bar = bars.map(force).min_by(f64::total_cmp).expect("a bar");
        if let Some(stem) = weakest_stem(&finding) {
            assert!(stem > 2.5 * bar, "{name}: {stem} {bar}");
        }
    }
}

#[test]
fn the_turn_of_the_bow_in_2_and_5_crosses_the_grain_too_and_carrying_more_goes_among_the_first() {
    for (name, top) in [("two", [25.8, 65.0]), ("five", [140.4, 37.9])] {
        let finding = figure(name);
        let bow = near(&finding, top);
        assert!(bow.id <= 2, "{name}: {bow:?}");
        assert_eq!((bow.form, bow.verdict), (Form::Arm, Verdict::Fragile), "{name}");
        assert!(bow.crossing_deg > 45.0, "{name}: {bow:?}");
    }
}

#[test]
fn the_stem_of_the_4_is_sound() {
    let finding = figure("four");
    let stem = near(&finding, [92.6, 45.1]);
    assert_eq!((stem.form, stem.verdict), (Form::Along, Verdict::Sound));
}
