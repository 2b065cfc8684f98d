//! The push map against statics and against the check itself.

use geo_types::Polygon;
use shortgrain::{
    check::{Options, Pushes, check},
    shape::Shape,
    units::{Angle, Force, Length},
    wood::{Board, Rings},
};

use crate::{solid_mended::ring, strength::cherry};

/// An arm 8 wide and 40 long on a block: a push half as far out has to be twice as great (the lever, elementary statics).
/// Points within a thickness of the root, where shear and corner have a part, and pads that hang over the tip are left out. → 4 %.
/// The least force of the map is that of the check's worst pad, between whose spots it falls. → 5 % below, 10 % above.
#[test]
fn on_an_arm_force_times_lever_is_one_number() {
    let outline = [
        [-30., -40.],
        [30., -40.],
        [30., 0.],
        [4., 0.],
        [4., 40.],
        [-4., 40.],
        [-4., 0.],
        [-30., 0.],
        [-30., -40.],
    ];
    let arm = Shape::new(Polygon::new(ring(&outline), Vec::new())).unwrap();
    let board =
        Board { thickness: Length::mm(9.5), grain: Angle::deg(0.0), rings: Rings::Flat, moisture_pct: 12.0 };
    let pushes = Pushes { face: Force::n(45.0), side: Force::n(45.0) };
    let options = Options { push_map: true, ..Options::default() };
    let found = check("arm", &arm, &board, &cherry(), &pushes, &options).unwrap();
    let map = found.push_map.expect("it was asked for");
    let on_arm = map.known().filter(|(at, _)| at.x.abs() < 1.0 && at.y > 12.0 && at.y < 34.0);
    let moments: Vec<f64> = on_arm.map(|(at, point)| at.y * point.breaks_at_n).collect();
    let (low, high) = moments.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), m| (l.min(*m), h.max(*m)));
    println!("{low:.1} to {high:.1} N mm");
    assert!(moments.len() > 5 && high / low < 1.04, "{moments:?}");
    let least = map.known().map(|(_, point)| point.breaks_at_n).fold(f64::INFINITY, f64::min);
    let checked = found.places[0].face.breaks_at_n;
    assert!((0.95..1.10).contains(&(least / checked)), "{least} {checked}");
}

/// The corner of an arm 8 x 30 on 19 mm cherry: the pad centred on it, of which a quarter lies on wood, is the map's own, and so is that
/// on the other corner, which mirrors it. The check's worst pad stands on one of them. → 3 % between all three.
#[test]
fn both_corners_of_an_arm_are_pushed_where_their_pads_are_centred() {
    let outline = [
        [0., 0.],
        [72., 0.],
        [72., 50.],
        [40., 50.],
        [40., 80.],
        [32., 80.],
        [32., 50.],
        [0., 50.],
        [0., 0.],
    ];
    let arm = Shape::new(Polygon::new(ring(&outline), Vec::new())).unwrap();
    let board =
        Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings: Rings::Flat, moisture_pct: 12.0 };
    let pushes = Pushes { face: Force::n(45.0), side: Force::n(45.0) };
    let options = Options { push_map: true, ..Options::default() };
    let found = check("arm", &arm, &board, &cherry(), &pushes, &options).unwrap();
    let map = found.push_map.expect("it was asked for");
    let checked = &found.places[0].face;
    let pad = checked.solved.as_ref().and_then(|solved| solved.pad_at).expect("a pad");
    // Its resultant acts inside the corner, its centre does not.
    assert!((pad.y - 80.0).abs() < 1e-6 && checked.push_at.y < 79.0, "{pad:?} {:?}", checked.push_at);
    let corner = |x: f64| {
        let at = map.off_grid.iter().filter(|(at, _)| (at.x - x).abs() < 0.5 && (at.y - 80.0).abs() < 0.5);
        at.map(|(_, point)| point.breaks_at_n).fold(f64::INFINITY, f64::min)
    };
    let forces = [corner(32.0), corner(40.0), checked.breaks_at_n];
    println!("{forces:?}");
    let (low, high) = forces.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), n| (l.min(*n), h.max(*n)));
    assert!(high / low < 1.03, "{forces:?}");
    // Beside it less of the pad hangs over, nearer the root: nothing on the grid is weaker.
    let on_grid = map.points.iter().flatten().map(|point| point.breaks_at_n).fold(f64::INFINITY, f64::min);
    assert!(on_grid > 0.99 * low, "{on_grid} {forces:?}");
}
