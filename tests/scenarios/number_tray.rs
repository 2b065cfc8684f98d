//! Number tray: here turning is enough.

use shortgrain::{
    check::{Finding, Forces, Form, Place, Verdict},
    strength::Section,
};

use crate::ask::{about, distance, force, near, piece};

/// The neck of a knob, from the middle of its tile's left edge.
const NECKS: [(&str, [f64; 2]); 2] = [("tile-0", [57.5, 43.0]), ("tile-1", [147.5, 43.0])];

fn neck(finding: &Finding, at: [f64; 2]) -> &Place {
    near(finding, at)
}

#[test]
fn with_upright_grain_the_necks_are_short_and_go_first() {
    for (tile, at) in NECKS {
        let finding = piece("number-tray", tile).finding();
        let neck = neck(&finding, at);
        assert_eq!((neck.id, neck.form, neck.verdict), (1, Form::Arm, Verdict::Careful));
        about(neck.neck_mm, 6.4, 0.01);
        about(neck.crossing_deg, 90.0, 0.01);
        assert!(finding.places.iter().skip(1).all(|other| force(other) > 5.0 * force(neck)));
    }
}

#[test]
fn turned_along_the_row_they_are_long_grain_and_bear_3_to_11_times_as_much() {
    for (tile, at) in NECKS {
        let case = piece("number-tray", tile);
        let upright = case.finding();
        let before = neck(&upright, at);
        let (Forces::Face(face), Forces::Side(side)) = (before.face.forces, before.side.forces) else {
            panic!("a face push has face forces and a side push side forces")
        };
        let along = |section: Section| Section { crossing: 0.0, ..section };
        let from_face = along(before.face.section).face(&face, &case.wood).breaks_at();
        let from_side = along(before.side.section).side(&side, &case.wood).breaks_at();
        about(from_face / before.face.breaks_at_n, 3.0, 0.3);
        about(from_side / before.side.breaks_at_n, 11.0, 0.3);

        let level = case.with_grain(0.0).finding();
        assert_eq!(level.verdict, Verdict::Sound);
        assert!(
            level.places.iter().all(|place| distance(place, at) > 6.0),
            "a neck along the grain is not short"
        );
        assert!(level.places.iter().all(|place| force(place) > 3.0 * force(before)));
    }
}

#[test]
fn the_tile_without_a_knob_is_sound_either_way() {
    let case = piece("number-tray", "tile-9");
    assert_eq!(case.finding().verdict, Verdict::Sound);
    assert_eq!(case.with_grain(0.0).finding().verdict, Verdict::Sound);
}
