//! The skeleton of any piece: its circles are the largest there are, and it does not care how the piece lies.

use geo::AffineOps;
use geo_types::Polygon;
use proptest::prelude::*;
use shortgrain::{
    section::{Crossing, Stretch, stretches},
    shape::{
        Shape,
        plane::{distance, nearest_on_segment},
    },
    skeleton::{Chord, End, Pruning, Skeleton},
    units::Angle,
};

use crate::plates::piece;

fn skeleton(shape: &Shape) -> Skeleton {
    Skeleton::new(shape, &Pruning::default()).expect("a skeleton")
}

fn chords(skeleton: &Skeleton) -> impl Iterator<Item = Chord> + '_ {
    let links = skeleton.branches().iter().flat_map(|branch| &branch.links);
    links.filter(|link| link.kept).filter_map(|link| link.chord)
}

/// Distance to the nearest wall, by asking every one.
fn to_nearest_wall(shape: &Shape, p: geo_types::Coord<f64>) -> f64 {
    let walls = shape.rings().flat_map(|ring| ring.lines());
    let away = walls.map(|wall| distance(p, nearest_on_segment(p, wall.start, wall.end).0));
    away.fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(crate::pieces::cases(500))]

    /// A radius may exceed the distance to the nearest wall by 0.2 % and 1e-4 mm (what the skeleton promises), and
    /// falls short of it never.
    #[test]
    fn every_circle_is_empty_and_touches(shape in piece()) {
        let skeleton = skeleton(&shape);
        for chord in chords(&skeleton) {
            let away = to_nearest_wall(&shape, chord.centre);
            prop_assert!(chord.radius <= away * 1.00201 + 1.001e-4, "{away}: {chord:?}");
            prop_assert!(chord.radius >= away - 1e-9, "{away}: {chord:?}");
            for touch in [chord.left, chord.right] {
                prop_assert!(to_nearest_wall(&shape, touch.at) < 1e-9, "{touch:?}");
                prop_assert!((distance(touch.at, chord.centre) - chord.radius).abs() < 1e-8, "{chord:?}");
            }
        }
    }

    #[test]
    fn triangles_fill_the_wood(shape in piece()) {
        let skeleton = skeleton(&shape);
        let mesh = skeleton.mesh();
        let area: f64 = (0..mesh.len()).map(|t| mesh.area(t)).sum();
        prop_assert!((area / shape.area() - 1.0).abs() < 1e-9, "{area} {}", shape.area());
    }

    #[test]
    fn branches_join_in_junctions_or_end_in_tips(shape in piece()) {
        let skeleton = skeleton(&shape);
        for branch in skeleton.branches() {
            prop_assert!(!branch.links.is_empty());
            for pair in branch.links.windows(2) {
                prop_assert_eq!(pair[0].between[1], pair[1].between[0]);
            }
            for end in branch.ends {
                if let End::Junction(triangle) = end {
                    let circle = skeleton.junction_circle(triangle);
                    prop_assert!(circle.is_none_or(|(_, radius)| radius.is_finite() && radius > 0.0));
                }
            }
        }
    }
}

/// A tee with a hole in its cap and a slanting tongue: necks of 5, 6, 6.5 and 8 mm.
fn tee() -> Polygon<f64> {
    let hole = (0..64).map(|i| {
        let (sin, cos) = (f64::from(i) / 64.0 * std::f64::consts::TAU).sin_cos();
        (60.0 + 12.0 * cos, 61.0 + 12.0 * sin)
    });
    polygon_of(
        &[
            (-8.0, -30.0),
            (0.0, -30.0),
            (0.0, 42.5),
            (110.0, 42.5),
            (110.0, 80.0),
            (30.0, 80.0),
            (12.0, 116.0),
            (6.633, 113.317),
            (23.292, 80.0),
            (-30.0, 80.0),
            (-30.0, 75.0),
            (-8.0, 75.0),
        ],
        hole.collect(),
    )
}

fn polygon_of(outer: &[(f64, f64)], hole: Vec<(f64, f64)>) -> Polygon<f64> {
    Polygon::new(outer.to_vec().into(), vec![hole.into()])
}

/// Necks of what crosses the grain, smallest first; each once, since a run that turns along the grain may end and
/// begin again.
fn necks(polygon: &Polygon<f64>, grain: f64) -> Vec<f64> {
    let skeleton = skeleton(&Shape::new(polygon.clone()).expect("a shape"));
    let crossing = Crossing { beyond: Angle::deg(30.0), hysteresis: Angle::deg(3.0) };
    let found: Vec<Stretch> = stretches(&skeleton, Angle::deg(grain), &crossing);
    // Stubs come and go with a tenth of their width; slender stretches do not.
    let slender = |stretch: &&Stretch| stretch.crosses && stretch.span() > 0.5 * stretch.neck;
    let mut necks: Vec<f64> = found.iter().filter(slender).map(|stretch| stretch.neck).collect();
    necks.sort_by(f64::total_cmp);
    necks.dedup_by(|next, neck| *next < *neck * 1.005);
    necks
}

/// A frame 9 wide on all sides about a window 60 x 40 whose corners are rounded by so much, drawn from one of its corners on.
fn frame(radius: f64, from: usize) -> Polygon<f64> {
    let mut window = Vec::new();
    for (k, (x, y)) in [(0.0, 0.0), (0.0, 40.0), (60.0, 40.0), (60.0, 0.0)].into_iter().enumerate() {
        let (cx, cy) = (f64::clamp(x, radius, 60.0 - radius), f64::clamp(y, radius, 40.0 - radius));
        for i in 0..=10 {
            // Clockwise, each from the side before to the side after.
            let angle = (270.0 - 90.0 * k as f64 - 9.0 * f64::from(i)).to_radians();
            window.push((cx + radius * angle.cos(), cy + radius * angle.sin()));
        }
    }
    let outer = [(-9.0, -9.0), (69.0, -9.0), (69.0, 49.0), (-9.0, 49.0)];
    let outer: Vec<(f64, f64)> = (0..5).map(|k| outer[(k + from) % 4]).collect();
    polygon_of(&outer, window)
}

/// A frame's four bars run straight from corner to corner, wherever its outline begins and however its window's corners are rounded.
#[test]
fn a_frame_has_four_straight_bars_alike_two_by_two() {
    for radius in [0.5, 1.0, 1.8] {
        for from in 0..4 {
            let skeleton = skeleton(&Shape::new(frame(radius, from)).expect("a shape"));
            let crossing = Crossing { beyond: Angle::deg(30.0), hysteresis: Angle::deg(3.0) };
            let found: Vec<Stretch> = stretches(&skeleton, Angle::deg(0.0), &crossing);
            assert_eq!(found.len(), 4, "{radius} {from}");
            for stretch in &found {
                let degrees = if stretch.crosses { 90.0 } else { 0.0 };
                let length = if stretch.crosses { 40.0 } else { 60.0 };
                // A rounded corner has turned by 30° half its radius on from where it begins.
                assert!(
                    (stretch.span() - (length - radius)).abs() < 0.1 * radius + 0.01,
                    "{radius} {from} {}",
                    stretch.span()
                );
                for station in &stretch.stations {
                    assert!(
                        (station.crossing.to_degrees() - degrees).abs() < 0.01,
                        "{radius} {from} {station:?}"
                    );
                }
            }
            for crosses in [true, false] {
                let alike: Vec<f64> =
                    found.iter().filter(|stretch| stretch.crosses == crosses).map(Stretch::span).collect();
                assert!(alike.len() == 2 && (alike[0] - alike[1]).abs() < 1e-6, "{radius} {from} {alike:?}");
            }
        }
    }
}

#[test]
fn the_tee_has_its_drawn_necks() {
    let at = |grain: f64| necks(&tee(), grain);
    for (grain, drawn) in [(0.0, vec![6.0, 8.0]), (90.0, vec![5.0, 6.5, 7.0])] {
        let found = at(grain);
        for neck in drawn {
            assert!(found.iter().any(|found| (found / neck - 1.0_f64).abs() < 0.005), "{neck} in {found:?}");
        }
    }
}

/// Holds the necks of the tee against those of the same piece laid another way.
fn lies(how: &str, laid: impl Fn(&Polygon<f64>) -> Polygon<f64>, grain: impl Fn(f64) -> f64, scale: f64) {
    // No run of the tee lies near the limit of 30° to these.
    for degrees in [0.0, 50.0, 90.0, 130.0] {
        let (before, after) = (necks(&tee(), degrees), necks(&laid(&tee()), grain(degrees)));
        assert_eq!(before.len(), after.len(), "{how}, grain {degrees}: {before:.3?} {after:.3?}");
        for (a, b) in before.iter().zip(&after) {
            assert!((a * scale / b - 1.0).abs() < 0.005, "{how}, grain {degrees}: {before:.3?} {after:.3?}");
        }
    }
}

fn affine(a: f64, b: f64, x: f64, d: f64, e: f64, y: f64) -> impl Fn(&Polygon<f64>) -> Polygon<f64> {
    move |polygon| polygon.affine_transform(&geo::AffineTransform::new(a, b, x, d, e, y))
}

#[test]
fn a_moved_piece_has_the_same_necks() {
    lies("moved", affine(1.0, 0.0, 1234.567, 0.0, 1.0, -987.654), |grain| grain, 1.0);
}

#[test]
fn a_turned_piece_has_the_same_necks() {
    for degrees in [30.7_f64, 90.0, 180.0] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        lies("turned", affine(cos, -sin, 0.0, sin, cos, 0.0), |grain| grain + degrees, 1.0);
    }
}

#[test]
fn a_mirrored_piece_has_the_same_necks() {
    lies("mirrored", affine(-1.0, 0.0, 0.0, 0.0, 1.0, 0.0), |grain| -grain, 1.0);
}

#[test]
fn a_scaled_piece_has_scaled_necks() {
    lies("three times as large", affine(3.0, 0.0, 0.0, 0.0, 3.0, 0.0), |grain| grain, 3.0);
}
