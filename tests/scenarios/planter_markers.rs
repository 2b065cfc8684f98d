//! Planter markers: the grain has to follow the stake, so the level bridges are the short ones.

use shortgrain::check::{Finding, Form, Options, Place, Verdict, Why, check};
use shortgrain::units::Length;
use shortgrain::wood::Board;

use crate::ask::{about, force, near, piece, short};

/// Letters with counters: each bridge's middle.
const LETTERS: [(&str, &[[f64; 2]]); 4] = [
    ("marker-B", &[[23.6, 164.0], [23.6, 151.0], [35.6, 151.0], [35.7, 164.0]]),
    ("marker-D", &[[136.1, 157.5], [156.9, 157.5]]),
    ("marker-P", &[[198.4, 164.1], [212.4, 164.1]]),
    ("marker-R", &[[256.3, 164.1], [270.3, 164.1]]),
];

/// Slender places across the grain, weakest first; a place shorter than half its width is a corner that comes
/// close to the rim.
fn slender(finding: &Finding) -> Vec<&Place> {
    short(finding).into_iter().filter(|place| place.span_mm > 0.5 * place.neck_mm).collect()
}

#[test]
fn the_level_bridges_are_the_short_ones_and_go_first_of_all_that_is_slender() {
    for (marker, bridges) in LETTERS {
        let finding = piece("planter-markers", marker).finding();
        let first: Vec<usize> = slender(&finding).iter().take(bridges.len()).map(|place| place.id).collect();
        for &at in bridges {
            let bridge = near(&finding, at);
            about(bridge.neck_mm, 3.2, 0.02);
            about(bridge.crossing_deg, 90.0, 0.01);
            assert!(bridge.form == Form::Island && bridge.verdict != Verdict::Sound, "{marker}: {bridge:?}");
            assert!(first.contains(&bridge.id), "{marker}: {} of {first:?}", bridge.id);
        }
    }
}

#[test]
fn what_else_goes_first_is_the_rim_where_a_corner_of_the_letter_comes_close_to_it() {
    for (marker, bridges) in LETTERS {
        let finding = piece("planter-markers", marker).finding();
        let weakest = bridges.iter().map(|&at| near(&finding, at).id).min().expect("bridges");
        for place in finding.places.iter().take_while(|place| place.id < weakest) {
            assert!(place.span_mm < 0.5 * place.neck_mm && place.neck_mm < 9.0, "{marker}: {place:?}");
        }
    }
}

/// A corner of the R that comes close to the rim is a stub: in a thicker blank it is not easily sheared off any more, and breaks as before when the part of
/// the head that hangs on it is pushed. Bent through its thickness it bears as the square of that (W = w·t²/6, any book on beams), and what twists it grows with it more slowly.
#[test]
fn the_rim_beside_a_corner_stays_the_weakest_in_a_thicker_board() {
    let thin = piece("planter-markers", "marker-R");
    let square = (14.0_f64 / 9.5).powi(2);
    let thick = Board { thickness: Length::mm(14.0), ..thin.board };
    let options = Options { stubs: Some(thin.board.thickness), ..Options::default() };
    let after = check("R", &thin.shape, &thick, &thin.wood, &thin.pushes, &options).expect("a skeleton");
    let before = thin.finding();
    for corner in [[275.0, 139.0], [250.0, 139.0]] {
        let [before, after] = [&before, &after].map(|finding| near(finding, corner));
        assert!(after.id <= 2 && after.verdict == Verdict::Fragile, "{after:?}");
        about(after.face.breaks_at_n / before.face.breaks_at_n, square, 0.15);
    }
}

#[test]
fn with_level_grain_the_same_bridges_are_not_short() {
    for (marker, _) in LETTERS {
        let finding = piece("planter-markers", marker).with_grain(0.0).finding();
        assert!(short(&finding).iter().all(|place| place.neck_mm > 3.3), "{marker}");
    }
}

#[test]
fn the_tip_of_the_stake_is_thin_and_sound() {
    for (k, letter) in ["B", "C", "D", "P", "R", "S"].iter().enumerate() {
        let finding = piece("planter-markers", &format!("marker-{letter}")).finding();
        let stake = near(&finding, [30.5 + 58.0 * k as f64, 8.5]);
        assert_eq!((stake.form, stake.verdict), (Form::Along, Verdict::Sound), "{letter}");
        about(stake.neck_mm, 6.0, 0.02);
        assert!(force(stake) > 2.5 * force(&finding.places[0]), "{letter}");
    }
}

/// The counters of B and D each hang on two bridges in a row: of a side push on one statics and the solid model find alike what comes to the plane
/// that parts, within a tenth; the closed form is weakest under another push, which the solid model does not bear out.
#[test]
fn short_bridges_in_a_row_share_a_side_push_as_statics_say() {
    for (marker, bridge) in
        [("marker-B", [37.4, 151.0]), ("marker-B", [37.4, 164.0]), ("marker-D", [156.9, 157.5])]
    {
        let finding = piece("planter-markers", marker).finding();
        let solved = near(&finding, bridge).side.solved.clone().expect("it is solved");
        assert_eq!(solved.why(), Some(Why::Elsewhere), "{marker}: {:?}", solved.factors);
        let is_neighbour = |why: Why| [Why::SoftNeighbour, Why::StiffNeighbour].contains(&why);
        let shared = solved.factors.iter().find(|(why, _)| is_neighbour(*why)).expect("it is told").1;
        about(shared, 1.0, 0.1);
    }
}
