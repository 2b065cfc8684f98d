//! Plans to mesh, from a piece's outline: lines through its re-entrant corners, sizes from its widths.

use shortgrain::{
    shape::{
        Shape,
        plane::{Point, cross, direction, distance, dot, left, point, unit},
    },
    solid::Grading,
};

/// A shape's rings without their first points repeated.
pub(crate) fn rings(shape: &Shape) -> Vec<Vec<Point>> {
    let polygon = shape.polygon();
    std::iter::once(polygon.exterior())
        .chain(polygon.interiors())
        .map(|ring| ring.0[..ring.0.len() - 1].to_vec())
        .collect()
}

/// Corners where the wood opens out, sharper than 25°.
pub(crate) fn reentrant_corners(rings: &[Vec<Point>]) -> Vec<Point> {
    let mut found = Vec::new();
    for ring in rings {
        for i in 0..ring.len() {
            let (a, b, c) = (ring[(i + ring.len() - 1) % ring.len()], ring[i], ring[(i + 1) % ring.len()]);
            if cross(b - a, c - b).atan2(dot(b - a, c - b)) < -0.44 {
                found.push(b);
            }
        }
    }
    found
}

/// Lines along and across a grain through so many re-entrant corners, and on through the whole piece.
pub(crate) fn lines(rings: &[Vec<Point>], grain: f64, most: usize) -> Vec<[Point; 2]> {
    let corners = reentrant_corners(rings);
    let step = corners.len().div_ceil(most.max(1)).max(1);
    corners
        .iter()
        .step_by(step)
        .take(most)
        .flat_map(|&corner| {
            let along = direction(grain);
            [along, left(along)].map(|way| [corner - way * 500.0, corner + way * 500.0])
        })
        .collect()
}

/// A third of the wood's width, 3.5 mm at most, growing by a quarter of the way.
pub(crate) fn thirds_of_width(rings: &[Vec<Point>]) -> Grading {
    let edges: Vec<[Point; 2]> = rings
        .iter()
        .flat_map(|ring| (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]]))
        .collect();
    let mut grading = Grading::new(3.5, 0.25);
    let mut last = point(f64::INFINITY, f64::INFINITY);
    for &[a, b] in &edges {
        let inward = left(unit(b - a));
        let parts = (distance(a, b) / 2.0).ceil().max(1.0) as usize;
        for i in 0..parts {
            let p = a + (b - a) * ((i as f64 + 0.5) / parts as f64);
            let width = edges
                .iter()
                .filter_map(|&[c, d]| {
                    let across = cross(inward, d - c);
                    let at = cross(inward, p - c) / across;
                    let far = cross(c - p, d - c) / across;
                    (across != 0.0 && (0.0..=1.0).contains(&at) && far > 1e-6).then_some(far.abs())
                })
                .fold(f64::INFINITY, f64::min);
            let wanted = (width / 3.0).max(0.4);
            if wanted < 3.5 && distance(p, last) > 0.5 * wanted {
                grading.at(p, wanted);
                last = p;
            }
        }
    }
    grading
}
