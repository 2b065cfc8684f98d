//! The promises of a [`Shape`], looked at one by one.

use geo::{GeoNum, Kernel, Orientation};
use geo_types::{Coord, LineString};

use super::{BoxTree, Shape, ShapeError};

impl Shape {
    /// Looks whether the shape keeps its promises: finite points, closed rings with an area, no point
    /// twice in a ring, no two edges that cross, touch within an edge or run on each other, the outer
    /// ring anticlockwise, openings clockwise and inside it. Rings may meet at a point that both have.
    ///
    /// Takes about n log n steps for n points. The tests of every part call it.
    ///
    /// # Errors
    ///
    /// The first promise found broken, with its place.
    pub fn check(&self) -> Result<(), ShapeError> {
        self.rings().try_for_each(check_points)?;
        self.check_edges()?;
        // Only a ring that does not cross itself has a direction.
        self.rings().enumerate().try_for_each(|(i, ring)| check_direction(ring, i == 0))?;
        self.check_openings()
    }

    /// No two edges share more than an end.
    fn check_edges(&self) -> Result<(), ShapeError> {
        let edges: Vec<[Coord<f64>; 2]> =
            self.rings().flat_map(|ring| ring.lines().map(|l| [l.start, l.end])).collect();
        let mut found = Ok(());
        BoxTree::new(&edges).near_pairs(0.0, |i, j| {
            if let Some(at) = meeting(edges[i], edges[j]) {
                found = Err(ShapeError::Crossing { at });
            }
            found.is_ok()
        });
        found
    }

    /// Every opening lies inside the outer ring and outside the others. Edges do not cross any more,
    /// so one point of the opening that is not on the other ring decides.
    fn check_openings(&self) -> Result<(), ShapeError> {
        let rings: Vec<&LineString<f64>> = self.rings().collect();
        for (i, opening) in rings.iter().enumerate().skip(1) {
            for (j, other) in rings.iter().enumerate().filter(|(j, _)| *j != i) {
                // All of its points may lie on the other ring, where only points are shared; not its edges.
                let middles = opening.lines().map(|edge| (edge.start + edge.end) / 2.0);
                let mut places = opening.0.iter().copied().chain(middles);
                if places.find_map(|c| inside(other, c)) != Some(j == 0) {
                    return Err(ShapeError::OpeningOutside { at: opening.0[0] });
                }
            }
        }
        Ok(())
    }
}

fn check_points(ring: &LineString<f64>) -> Result<(), ShapeError> {
    let points = &ring.0;
    if points.iter().any(|c| !c.x.is_finite() || !c.y.is_finite()) {
        return Err(ShapeError::NotFinite);
    }
    if points.len() < 4 {
        return Err(ShapeError::NoArea);
    }
    if points.first() != points.last() {
        return Err(ShapeError::NotClosed { at: points[0] });
    }
    let mut sorted = points[1..].to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    if let Some(twice) = sorted.windows(2).find(|w| w[0] == w[1]) {
        return Err(ShapeError::RepeatedPoint { at: twice[0] });
    }
    Ok(())
}

fn check_direction(ring: &LineString<f64>, outer: bool) -> Result<(), ShapeError> {
    let points = &ring.0;
    let o = points[0];
    let area: f64 =
        points.windows(2).map(|w| (w[0].x - o.x) * (w[1].y - o.y) - (w[0].y - o.y) * (w[1].x - o.x)).sum();
    if area == 0.0 {
        Err(ShapeError::NoArea)
    } else if (area > 0.0) == outer {
        Ok(())
    } else {
        Err(ShapeError::WrongWay { at: o })
    }
}

/// Which side of the line through `a` and `b` the point `c` lies on, decided exactly.
fn side(a: Coord<f64>, b: Coord<f64>, c: Coord<f64>) -> Orientation {
    <f64 as GeoNum>::Ker::orient2d(a, b, c)
}

/// Where two edges share more than a common end.
fn meeting([a, b]: [Coord<f64>; 2], [c, d]: [Coord<f64>; 2]) -> Option<Coord<f64>> {
    use Orientation::Collinear;
    let on = |p: Coord<f64>, u: Coord<f64>, v: Coord<f64>| {
        side(u, v, p) == Collinear
            && p.x >= u.x.min(v.x)
            && p.x <= u.x.max(v.x)
            && p.y >= u.y.min(v.y)
            && p.y <= u.y.max(v.y)
    };
    // An end within the other edge, or on it, that is not also its end.
    for (p, u, v) in [(a, c, d), (b, c, d), (c, a, b), (d, a, b)] {
        if p != u && p != v && on(p, u, v) {
            return Some(p);
        }
    }
    if (a == c && b == d) || (a == d && b == c) {
        return Some(a);
    }
    if a == c || a == d || b == c || b == d {
        return None;
    }
    let crosses = side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b);
    crosses.then(|| {
        let (ab, cd) = (b - a, d - c);
        let t = ((c.x - a.x) * cd.y - (c.y - a.y) * cd.x) / (ab.x * cd.y - ab.y * cd.x);
        Coord { x: a.x + t * ab.x, y: a.y + t * ab.y }
    })
}

/// Whether `p` lies inside the ring; `None` when it lies on it.
fn inside(ring: &LineString<f64>, p: Coord<f64>) -> Option<bool> {
    use geo::coordinate_position::{CoordPos, coord_pos_relative_to_ring};
    match coord_pos_relative_to_ring(p, ring) {
        CoordPos::Inside => Some(true),
        CoordPos::Outside => Some(false),
        CoordPos::OnBoundary => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo_types::{Polygon, polygon};

    fn checked(outer: Vec<(f64, f64)>, openings: Vec<Vec<(f64, f64)>>) -> Result<(), ShapeError> {
        let openings = openings.into_iter().map(LineString::from).collect();
        Shape::new(Polygon::new(LineString::from(outer), openings)).and_then(|shape| shape.check())
    }

    #[test]
    fn a_plate_with_a_hole_passes() {
        let plate = vec![(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let hole = vec![(4.0, 4.0), (6.0, 4.0), (5.0, 6.0)];
        assert_eq!(checked(plate, vec![hole]), Ok(()));
    }

    #[test]
    fn a_ring_that_crosses_itself_is_found_with_its_place() {
        let ring = vec![(0.0, 0.0), (10.0, 0.0), (0.0, 10.0), (12.0, 10.0)];
        let Err(ShapeError::Crossing { at }) = checked(ring, vec![]) else {
            panic!("the crossing was not found");
        };
        assert!((at.x + at.y - 10.0).abs() < 1e-12 && (at.x * 10.0 / 12.0 - at.y).abs() < 1e-12);
    }

    #[test]
    fn an_opening_may_meet_the_rim_at_a_shared_point_only() {
        let hole = vec![(5.0, 0.0), (7.0, 2.0), (3.0, 2.0)];
        let noded = vec![(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let bare = vec![(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        assert_eq!(checked(noded, vec![hole.clone()]), Ok(()));
        assert!(matches!(checked(bare, vec![hole]), Err(ShapeError::Crossing { .. })));
    }

    #[test]
    fn an_opening_outside_the_rim_is_found() {
        let plate = vec![(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let hole = vec![(14.0, 4.0), (16.0, 4.0), (15.0, 6.0)];
        assert!(matches!(checked(plate, vec![hole]), Err(ShapeError::OpeningOutside { .. })));
    }

    #[test]
    fn an_opening_within_an_opening_is_found() {
        let plate = vec![(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let hole = vec![(2.0, 2.0), (8.0, 2.0), (8.0, 8.0), (2.0, 8.0)];
        let inner = vec![(4.0, 4.0), (6.0, 4.0), (5.0, 6.0)];
        assert!(matches!(checked(plate, vec![hole, inner]), Err(ShapeError::OpeningOutside { .. })));
    }

    #[test]
    fn a_repeated_point_is_found() {
        let shape =
            Shape::new(polygon![(x: 0.0, y: 0.0), (x: 9.0, y: 0.0), (x: 9.0, y: 0.0), (x: 0.0, y: 9.0)]);
        assert!(matches!(shape.and_then(|s| s.check()), Err(ShapeError::RepeatedPoint { .. })));
    }
}
