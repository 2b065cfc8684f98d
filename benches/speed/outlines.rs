//! The pieces that are timed: two drawings, and two families that grow.

use geo_types::{LineString, Polygon};
use shortgrain::{design, shape::Shape};

/// The one piece of a drawing.
pub(crate) fn read(drawing: &[u8]) -> Shape {
    let mut design = design::read("bench.svg", drawing, &design::Options::default()).expect("a design");
    assert_eq!(design.pieces.len(), 1);
    design.pieces.remove(0).shape
}

/// A disc with seven round openings, drawn with about `points` points evenly along its walls.
pub(crate) fn rosette(points: usize) -> Shape {
    let (outer, opening, ring) = (75.0, 18.0, 48.0);
    let each = |radius: f64| (points as f64 * radius / (outer + 7.0 * opening)).round() as usize;
    let mut openings = vec![circle(0.0, 0.0, opening, each(opening))];
    for k in 0..6 {
        let (sin, cos) = (f64::from(k) * 60.0 + 10.0).to_radians().sin_cos();
        openings.push(circle(ring * cos, ring * sin, opening, each(opening)));
    }
    shape(circle(0.0, 0.0, outer, each(outer)), openings)
}

/// A plate with rows of round openings, 60 points each, webs 2.5 mm wide between them.
pub(crate) fn lace(points: usize) -> Shape {
    let (radius, pitch) = (5.0, 12.5);
    let side = ((points as f64 / 60.0).sqrt().round() as usize).max(1);
    let edge = pitch * side as f64 + 10.0;
    let outer = vec![(0.0, 0.0), (edge, 0.0), (edge, edge), (0.0, edge)].into();
    let at = |i: usize| 5.0 + pitch * (i as f64 + 0.5);
    let openings = (0..side * side).map(|k| circle(at(k % side), at(k / side), radius, 60));
    shape(outer, openings.collect())
}

fn circle(x: f64, y: f64, radius: f64, points: usize) -> LineString<f64> {
    let at = |i: usize| {
        let (sin, cos) = (i as f64 / points as f64 * std::f64::consts::TAU).sin_cos();
        (x + radius * cos, y + radius * sin)
    };
    (0..points).map(at).collect::<Vec<_>>().into()
}

fn shape(outer: LineString<f64>, openings: Vec<LineString<f64>>) -> Shape {
    Shape::new(Polygon::new(outer, openings)).expect("a shape")
}
