//! House number 408: the bridges that hold the counters lead, and what widening or moving them is worth.

use shortgrain::{
    check::{Forces, Form, Mode, Verdict},
    strength::Section,
};

use crate::{
    ask::{about, block, force, is_one_of, near, only, short},
    samples::Case,
};

/// Middles of the bridges: above and below the counter of the 4, of the 0, and the three of the 8.
const BRIDGES: [[f64; 2]; 7] = [
    [83.9, 119.1],
    [83.9, 61.2],
    [163.15, 119.0],
    [163.15, 37.0],
    [243.5, 125.0],
    [243.5, 84.4],
    [243.5, 36.9],
];
/// Middle of the 0, the radii of its ends, its height and the width of its stroke.
const ZERO: [f64; 2] = [163.15, 81.0];
const OUTER: f64 = 33.0;
const HEIGHT: f64 = 102.0;
const STROKE: f64 = 12.7;
const BRIDGE: f64 = 6.4;

/// The plaque with both bridges of the 0 made wider.
fn widened(case: &Case, times: f64) -> Case {
    let middle = (HEIGHT - STROKE) / 2.0;
    [-middle, middle].iter().fold(case.clone(), |plaque, up| {
        plaque.with_wood(&block(ZERO[0], ZERO[1] + up, times * BRIDGE, STROKE + 3.0))
    })
}

/// The plaque with the bridges of the 0 at 3 and 9 o'clock.
fn moved(case: &Case) -> Case {
    let middle = (HEIGHT - STROKE) / 2.0;
    let beside = OUTER - STROKE / 2.0;
    let held = [-beside, beside].iter().fold(case.clone(), |plaque, right| {
        plaque.with_wood(&block(ZERO[0] + right, ZERO[1], STROKE + 1.0, BRIDGE))
    });
    // A hair wider than the bridge, and from the flank of one arc to the flank of the other.
    [-middle, middle].iter().fold(held, |plaque, up| {
        let inward = -0.2 * up.signum();
        plaque.without(&block(ZERO[0], ZERO[1] + up + inward, BRIDGE + 0.1, STROKE + 0.1))
    })
}

#[test]
fn the_seven_bridges_lead_the_list_and_all_are_short_grain() {
    let finding = only("house-number").finding();
    for place in &finding.places[..7] {
        assert!(is_one_of(place, &BRIDGES), "{place:?}");
        about(place.neck_mm, BRIDGE, 0.01);
        assert!(place.crossing_deg > 85.0, "{place:?}");
    }
    // Those of the 0 and the outermost of each figure hold a counter that nothing else holds.
    assert!(finding.places[..7].iter().filter(|place| place.form == Form::Island).count() >= 6);
    assert_ne!(finding.verdict, Verdict::Sound);
}

#[test]
fn everything_else_is_far_stronger() {
    let finding = only("house-number").finding();
    let seventh = force(&finding.places[6]);
    assert!(finding.places[7..].iter().all(|place| force(place) > 2.0 * seventh));
}

#[test]
fn twice_the_width_is_three_times_the_strength_from_the_face_and_four_times_from_the_side() {
    let case = only("house-number");
    // Of the closed form: a stub's corners count the same before and after, but not its neighbours.
    let (before, after) = (case.closed_form(), widened(&case, 2.0).closed_form());
    for at in [BRIDGES[2], BRIDGES[3]] {
        let (before, after) = (near(&before, at), near(&after, at));
        about(after.neck_mm, 2.0 * BRIDGE, 0.02);
        // From the side it bends with the square of the width. From the face the counter, pushed at its edge,
        // twists it: 2 times in shear alone, 3.5 in twist alone (a bar of 6.4 x 19 mm and one of 12.8 x 19).
        assert_eq!(before.face.mode, Mode::Rolling);
        about(after.side.breaks_at_n / before.side.breaks_at_n, 4.0, 0.15);
        about(after.face.breaks_at_n / before.face.breaks_at_n, 3.0, 0.2);
    }
}

#[test]
fn moved_to_3_and_9_o_clock_the_bridges_of_the_0_are_no_weak_place() {
    let case = only("house-number");
    let after = moved(&case).finding();
    let beside = OUTER - STROKE / 2.0;
    let new = [[ZERO[0] - beside, ZERO[1]], [ZERO[0] + beside, ZERO[1]]];
    let all = [BRIDGES[2], BRIDGES[3], new[0], new[1]];
    assert!(short(&after).iter().all(|place| !is_one_of(place, &all)), "{:?}", after.places);
    // The bridges of 4 and 8 are as they were.
    let left: Vec<_> = BRIDGES.iter().filter(|at| !all.contains(at)).collect();
    assert!(after.places[..5].iter().all(|place| left.iter().any(|&&at| is_one_of(place, &[at]))));
}

#[test]
fn along_the_grain_a_bridge_bears_3_times_as_much_where_shear_governs_and_9_where_bending_does() {
    let case = only("house-number");
    let finding = case.closed_form();
    for at in [BRIDGES[2], BRIDGES[3]] {
        let bridge = near(&finding, at);
        let (Forces::Face(face), Forces::Side(side)) = (bridge.face.forces, bridge.side.forces) else {
            panic!("a face push has face forces and a side push side forces")
        };
        let along = |section: Section| Section { crossing: 0.0, ..section };
        let from_face = along(bridge.face.section).face(&face, &case.wood).breaks_at();
        let from_side = along(bridge.side.section).side(&side, &case.wood).breaks_at();
        about(from_face / bridge.face.breaks_at_n, 3.0, 0.3);
        about(from_side / bridge.side.breaks_at_n, 9.0, 0.3);
    }
}

#[test]
fn turned_upright_the_board_makes_the_bridges_long_grain() {
    let finding = only("house-number").with_grain(90.0).finding();
    assert!(short(&finding).iter().all(|place| !is_one_of(place, &BRIDGES)), "{:?}", finding.places[0]);
}

/// Where the strokes of the 4 come together one ends in a section that runs out of it, to the plaque's rim: that parts nothing, so the place
/// is parted at the next that does.
#[test]
fn every_place_has_a_solid_model() {
    let finding = only("house-number").finding();
    let solved =
        |place: &shortgrain::check::Place| place.face.solved.is_some() && place.side.solved.is_some();
    assert!(finding.places.iter().all(solved), "{:?}", finding.places.iter().find(|place| !solved(place)));
}
