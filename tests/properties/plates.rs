//! Pieces drawn at random: plates and wild outlines with openings of any shape between them.

use geo_types::{LineString, Polygon};
use proptest::prelude::*;
use shortgrain::shape::Shape;

/// Rows and columns of openings.
const CELLS: i32 = 3;
/// Distance between their middles in mm.
const PITCH: f64 = 20.0;

/// A star about a point: `radii` in turn, evenly round, the first at `turn` radians.
fn star(x: f64, y: f64, turn: f64, radii: &[f64]) -> LineString<f64> {
    let step = std::f64::consts::TAU / radii.len() as f64;
    let corner = |(i, r): (usize, &f64)| {
        let (sin, cos) = (turn + step * i as f64).sin_cos();
        (x + r * cos, y + r * sin)
    };
    radii.iter().enumerate().map(corner).collect::<Vec<_>>().into()
}

/// An opening with three to fourteen corners, or a round one, that stays 0.4 mm inside its cell.
fn opening() -> impl Strategy<Value = (f64, Vec<f64>)> {
    let radii = prop_oneof![
        prop::collection::vec(2.0..9.6, 3..14),
        (1.0..9.6).prop_map(|radius: f64| vec![radius; 48]),
    ];
    (0.0..1.5, radii)
}

/// A piece: a rectangle or a star, openings in some of its cells.
pub(crate) fn piece() -> impl Strategy<Value = Shape> {
    let openings = prop::collection::vec(prop::option::weighted(0.7, opening()), (CELLS * CELLS) as usize);
    let outline = prop_oneof![Just(None), prop::collection::vec(45.0..70.0, 8..20).prop_map(Some)];
    (outline, openings, 0.0..std::f64::consts::TAU).prop_map(|(outline, openings, turn)| {
        let half = f64::from(CELLS) * PITCH / 2.0;
        let outer = match outline {
            None => vec![(-half, -half), (half, -half), (half, half), (-half, half)].into(),
            Some(radii) => star(0.0, 0.0, 0.3, &radii),
        };
        let middle = |k: i32| (f64::from(k) + 0.5) * PITCH - half;
        let openings = openings.iter().enumerate().filter_map(|(i, opening)| {
            let (turn, radii) = opening.as_ref()?;
            Some(star(middle(i as i32 % CELLS), middle(i as i32 / CELLS), *turn, radii))
        });
        let drawn = Polygon::new(outer, openings.collect());
        Shape::new(turned(&drawn, turn)).expect("rings that stay in their cells do not touch")
    })
}

fn turned(polygon: &Polygon<f64>, turn: f64) -> Polygon<f64> {
    use geo::Rotate;
    polygon.rotate_around_point(turn.to_degrees(), geo_types::point! { x: 0.0, y: 0.0 })
}
