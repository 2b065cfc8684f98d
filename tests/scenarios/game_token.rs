//! Game token: of three webs at 120 degrees one always crosses the grain at 60 or more.

use shortgrain::check::{Form, Verdict};

use crate::ask::{about, distance, force, near, only};

const SQUAREST: [f64; 2] = [23.0, 33.6];
const SLANTING: [f64; 2] = [32.2, 17.7];
const ALONG: [f64; 2] = [13.8, 17.7];

#[test]
fn the_web_nearest_to_square_across_the_grain_goes_first() {
    assert_eq!(near(&only("game-token").finding(), SQUAREST).id, 1);
    let finding = only("game-token").closed_form();
    let (first, second) = (near(&finding, SQUAREST), near(&finding, SLANTING));
    assert_eq!((first.id, second.id), (1, 2));
    about(first.crossing_deg, 80.0, 0.03);
    about(second.crossing_deg, 40.0, 0.05);
    assert_eq!(first.verdict, Verdict::Fragile);
    // Across the grain a section is weaker by sin² of the crossing at most: (sin 80 / sin 40)² = 2.35, less what
    // both hang on together.
    about(second.face.breaks_at_n / first.face.breaks_at_n, 1.8, 0.25);
}

#[test]
fn the_web_along_the_grain_is_not_among_the_short_ones() {
    let finding = only("game-token").finding();
    let crosses = |place: &&shortgrain::check::Place| place.form != Form::Along;
    assert!(finding.places.iter().filter(crosses).all(|place| distance(place, ALONG) > 3.0));
}

#[test]
fn no_grain_angle_makes_it_sound_nor_brings_the_worst_web_under_60_degrees() {
    let case = only("game-token");
    let mut forces = Vec::new();
    for degrees in (0..180).step_by(5) {
        let finding = case.with_grain(f64::from(degrees)).closed_form();
        let first = &finding.places[0];
        assert_ne!(finding.verdict, Verdict::Sound, "at {degrees}");
        assert!(first.crossing_deg > 59.0, "at {degrees}: {first:?}");
        about(first.neck_mm, 3.2, 0.02);
        forces.push(force(first));
    }
    let best = forces.iter().copied().fold(0.0, f64::max);
    let worst = forces.iter().copied().fold(f64::INFINITY, f64::min);
    // Turning gains a seventh, no more.
    about(best / worst, 1.14, 0.06);
}
