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
