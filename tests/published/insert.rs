//! A place mended with an insert, against the transformed section by hand and our own solid models.
//!
//! Standing: the transformed section is handbook mechanics with our own arithmetic. The solid values are
//! from our own study with three-dimensional finite elements of black cherry, not published and not tested
//! in wood.

use crate::strength::{agrees, cherry};
use shortgrain::mend::{Flat, Joint, Mended, OnEdge, mended};
use shortgrain::strength::{FaceForces, Section, SideForces};
use std::f64::consts::FRAC_PI_2;

/// Host 6 mm of 974 MPa, insert 6 mm of 11 330 MPa, bent in the board's plane: host stress 6.316 times
/// less, the insert takes 0.9208. Four digits → 0.1 %.
#[test]
fn layers_side_by_side() {
    let edge = OnEdge::new(974.0, 11330.0, 6.0, 6.0);
    agrees(edge.gain, 6.316, 1e-3);
    agrees(edge.insert_share, 0.9208, 1e-3);
}

/// The same bent through the thickness, for each mm of width. Three or four digits → 0.5 %.
#[test]
fn layers_one_behind_the_other() {
    let flat = Flat::new(974.0, 11330.0, 6.0, 6.0);
    agrees(flat.neutral_from_front, 8.525, 5e-3);
    agrees(flat.stiffness, 415_200.0, 5e-3);
    agrees(flat.front_stress, 0.0200, 5e-3);
    agrees(flat.back_stress, 0.0948, 5e-3);
    agrees(flat.front_stress * flat.gain, 0.041_667, 1e-4);
}

/// The gain as the strength rules see it, over windows: an insert 9.5 in 19, and 6.3 in 9.5. Source: our
/// own study, three digits → 0.5 %.
#[test]
fn gains_over_a_window() {
    for (host, insert, through, in_plane) in [(9.5, 9.5, 1.90, 6.3), (3.2, 6.3, 3.16, 8.05)] {
        agrees(Flat::new(974.38, 11330.0, host, insert).window_gain, through, 5e-3);
        agrees(OnEdge::new(974.38, 11330.0, host, insert).gain, in_plane, 5e-3);
    }
}

/// Index by part of the arm of the solid study: 8 x 19, 20 long, pushed at its tip by 1 N, an insert 9.5
/// deep in its back that runs to the tip, in a block so large that the strip's end does not count.
fn arm(width: f64, reach: f64) -> (Mended, [f64; 2]) {
    let section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };
    let (face, side) = (FaceForces::of_push(1.0, 20.0, 0.0), SideForces::of_push(0.0, 1.0, 20.0, 0.0));
    let joint = Joint { depth: 9.5, width, reach, wood_at_end: None };
    let wood = cherry();
    let bare = [section.face(&face, &wood).breaks_at(), section.side(&side, &wood).breaks_at()];
    (mended((&section, &face), (&section, &side), &joint, &wood), bare)
}

fn part(parts: &[Option<shortgrain::mend::Weakest>; 4], name: &str) -> f64 {
    parts.iter().flatten().find(|part| part.part == name).expect("the part is there").index.breaks_at()
}

/// The floor joint (S10, S11, S12): the closed form is on the safe side of the solid model, by 15 to 30 % where the strip reaches as far as the trade
/// leaves it, two thicknesses, by up to a half where it reaches but one. The solid floors are the study's, and our solid model finds
/// them again to 4 or 5 % (`solid_study/insert.rs`). Rows: strip width, reach, solid floor from face and back, what the solid's peel may
/// be of the closed form's.
#[test]
fn the_floor_peels_no_more_than_the_closed_form_says_and_not_much_less() {
    for (width, reach, solid, range) in [
        (8.0, 20.0, [118.0, 125.0], 0.7..=0.85),
        (8.0, 10.0, [58.0, 43.0], 0.5..=0.8),
        (16.0, 20.0, [235.0, 218.0], 0.7..=0.85),
    ] {
        let ours = part(&arm(width, reach).0.face, "floor joint");
        for theirs in solid {
            let peel = ours / theirs;
            println!(
                "strip {width} wide, reach {reach}: floor {ours:.0} N, solid {theirs} N, peel ratio {peel:.2}"
            );
            assert!(range.contains(&peel), "{peel}");
        }
    }
}

/// The floor under a side push (S10), reach 20: solid 93 N. Ours is a stiff plate on an even bed, derived
/// without that number → 5 %, as near as our solid model finds the study's floors again.
#[test]
fn the_floor_twists_as_the_solid_model_finds() {
    let ours = part(&arm(8.0, 20.0).0.side, "floor joint");
    println!("floor, side push: {ours:.0} N, solid 93 N, ratio {:.2}", ours / 93.0);
    agrees(ours, 93.0, 0.05);
}

/// First crack of the show face (S10, S12): the gain over the bare arm. The reductions 0.6, 0.15 and 0.25 were set to
/// these solid gains (1.56 and 1.80 for a strip as wide as the arm), so this holds the arithmetic, it
/// proves no rule; the force itself lacks the sharp corner's 12 to 20 % and may be that much high.
#[test]
fn the_show_face_gains_what_the_solid_model_gains() {
    let (answer, bare) = arm(8.0, 20.0);
    let (face, side) = (part(&answer.face, "show face"), part(&answer.side, "show face"));
    println!("first crack: face {face:.0} N, solid 165 N; side {side:.0} N, solid 88 N");
    agrees(face / bare[0], 1.56, 0.03);
    agrees(side / bare[1], 1.80, 0.03);
    assert!((1.0..=1.2).contains(&(face / 165.0)) && (1.0..=1.2).contains(&(side / 88.0)), "{face} {side}");
    // Twice as wide: solid 182 and 124.
    let (answer, _) = arm(16.0, 20.0);
    assert!((0.8..=1.2).contains(&(part(&answer.face, "show face") / 182.0)));
    assert!((0.8..=1.2).contains(&(part(&answer.side, "show face") / 124.0)));
}

/// By hand: the insert's back fibres at the root, `0.0948`-like factor of this section times M/b, against
/// the modulus of rupture. EI = 1 648 300, neutral axis 13.498, so 11 330·(19 − 13.498)/1 648 300·20/8 =
/// 0.0945 MPa a newton: 899 N. In the plane 0.9208·20·6/(9.5·64) = 0.1817: 468 N.
#[test]
fn the_insert_breaks_across_its_fibres_at_the_hand_worked_force() {
    let (answer, _) = arm(8.0, 20.0);
    agrees(part(&answer.face, "insert fibres"), 899.0, 2e-3);
    agrees(part(&answer.side, "insert fibres"), 468.0, 2e-3);
}
