//! What holds of the seasons, whatever the piece: they do not know which way it lies, and a wider swing is never milder.

use std::f64::consts::FRAC_PI_3;

use geo::{Rotate, point};
use geo_types::{Polygon, polygon};
use shortgrain::{
    check::{Options, Pushes},
    mend::{DepthCup, Goal, Kind, MendOptions, Mending, Seasons},
    season::Swing,
    shape::Shape,
    units::{Angle, Length},
    wood::{Board, OwnValues, Rings, Wood},
};

use crate::pieces::Case;

/// Two tines on a bar, across the grain.
fn fork() -> Polygon<f64> {
    polygon![
        (x: 0., y: 0.), (x: 100., y: 0.), (x: 100., y: 20.), (x: 82., y: 20.), (x: 82., y: 60.), (x: 70., y: 60.), (x: 70., y: 20.),
        (x: 26., y: 20.), (x: 26., y: 60.), (x: 20., y: 60.), (x: 20., y: 20.), (x: 0., y: 20.),
    ]
}

/// The fork turned with its grain, each glued remedy's seasons in order.
fn of_fork(turned: f64, rings: Rings, swing: Swing) -> Vec<Seasons> {
    let remedies = mended_fork(turned, rings, swing).remedies;
    remedies.into_iter().map(|remedy| remedy.seasons.expect("each is glued")).collect()
}

/// The same fork with every glued remedy, by the closed form.
fn mended_fork(turned: f64, rings: Rings, swing: Swing) -> Mending {
    let shape =
        Shape::new(fork().rotate_around_point(turned.to_degrees(), point! { x: 0.0, y: 0.0 })).unwrap();
    let board = Board { thickness: Length::mm(19.0), grain: Angle::rad(turned), rings, moisture_pct: 9.0 };
    let wood = Wood::find("cherry").unwrap().mechanics(&board, &OwnValues::none()).unwrap();
    let case = Case { name: "fork".to_owned(), shape, board, wood, pushes: Pushes::default() };
    let kinds = vec![Kind::Insert, Kind::PartBacker, Kind::Backer, Kind::ThreePly];
    let options = MendOptions { kinds, swing: Some(swing), ..MendOptions::default() };
    case.remedied("cherry", Goal::Sound, Options { solid: false, ..Options::default() }, &options)
}

/// Every number of a remedy's seasons.
fn numbers(found: &Seasons) -> Vec<f64> {
    let layers = found.joints.iter().flat_map(|joint| &joint.layers);
    let mut all: Vec<f64> = layers
        .flat_map(|(_, held)| [held.width, held.mismatch, held.stress, held.edge_shear, held.splits_from])
        .collect();
    all.extend(
        found.joints.iter().filter_map(|joint| joint.anchorage).flat_map(|reach| [reach.needed, reach.there]),
    );
    let depths = found.joints.iter().filter_map(|joint| joint.depths.as_ref()?.as_ref().ok());
    all.extend(depths.flatten().map(|row| row.cup_mm));
    all.extend([found.cup.rise_mm, found.cup.over_mm]);
    all
}

#[test]
fn turning_the_piece_with_its_grain_changes_nothing() {
    let swing = Swing::between([6.0, 11.0]);
    let level = of_fork(0.0, Rings::Flat, swing);
    assert!(level.len() == 4 && level[0].joints.len() == 2, "{level:#?}");
    let reaches: Vec<f64> = level[0].joints.iter().filter_map(|joint| Some(joint.anchorage?.there)).collect();
    assert_eq!(reaches.len(), 2, "both tines have a root");
    for turned in [0.4, FRAC_PI_3, 2.5] {
        for (level, turned) in level.iter().zip(of_fork(turned, Rings::Flat, swing)) {
            assert_eq!(
                (level.word, level.cup.face_hollow_when_dry),
                (turned.word, turned.cup.face_hollow_when_dry)
            );
            let (level_numbers, turned_numbers) = (numbers(level), numbers(&turned));
            assert_eq!(level_numbers.len(), turned_numbers.len());
            for (a, b) in level_numbers.into_iter().zip(turned_numbers) {
                assert!((a - b).abs() <= 1e-6 * a.abs().max(1e-3), "{a} {b}");
            }
        }
    }
}

/// Before any proof a strip's numbers are the closed form's, and so is the table of depths: at the strip's own depth the same.
#[test]
fn at_its_own_depth_a_strip_bears_what_it_was_said_to() {
    let mending = mended_fork(0.4, Rings::Flat, Swing::between([6.0, 11.0]));
    let remedy = mending.remedy(Kind::Insert).expect("two strips fit");
    let joints = &remedy.seasons.as_ref().expect("they are glued").joints;
    assert_eq!((remedy.strips().len(), joints.len()), (2, 2));
    for (strip, joint) in remedy.strips().iter().zip(joints) {
        let rows = joint.depths.as_ref().expect("a strip has depths").as_ref().expect("it has room");
        let is_own = |row: &&DepthCup| (row.at.depth_mm - strip.insert.depth_mm).abs() < 1e-6;
        let bears = rows.iter().find(is_own).expect("its own depth is among them").at.bears_n;
        let bears = bears.expect("it reaches far enough for its own depth");
        for (found, said) in bears.into_iter().zip(&strip.insert.after) {
            assert!((found / said.breaks_at_n - 1.0).abs() < 1e-5, "{found} {said:?}");
        }
    }
}

#[test]
fn a_wider_swing_is_never_milder_and_quarter_sawn_moves_less() {
    let of = |rings, wide: f64| of_fork(0.0, rings, Swing::between([10.0 - wide, 10.0]));
    for (narrow, wide) in [(0.5, 1.0), (1.0, 2.0), (2.0, 4.0)] {
        for (narrow, wide) in of(Rings::Flat, narrow).iter().zip(of(Rings::Flat, wide)) {
            assert!(wide.word >= narrow.word && wide.cup.rise_mm >= narrow.cup.rise_mm);
            for (a, b) in narrow
                .joints
                .iter()
                .flat_map(|joint| &joint.layers)
                .zip(wide.joints.iter().flat_map(|joint| &joint.layers))
            {
                assert!(b.1.stress >= a.1.stress && b.1.edge_shear >= a.1.edge_shear);
            }
        }
    }
    // Radial movement is half the tangential in cherry, so the free mismatch is too, whatever stands on it.
    let free = |rings| of(rings, 4.0)[0].joints[0].layers[0].1;
    let (flat, quarter) = (free(Rings::Flat), free(Rings::Quarter));
    assert!(quarter.mismatch / quarter.width < 0.55 * flat.mismatch / flat.width);
}

#[test]
fn wood_that_never_dries_below_its_glue_up_is_not_pulled() {
    for found in of_fork(0.0, Rings::Flat, Swing { glued_pct: Some(6.0), ..Swing::between([6.0, 12.0]) }) {
        for (name, held) in found.joints.iter().flat_map(|joint| &joint.layers) {
            assert!(held.stress == 0.0 && held.mismatch < 0.0 && held.edge_shear > 0.0, "{name} {held:?}");
        }
    }
}
