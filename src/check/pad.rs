//! A round pad on the face, clipped to the wood.

use std::f64::consts::PI;

use crate::shape::plane::{Point, cross, dot, point, unit};

use super::load::{FaceLoad, PAD_RADIUS};

/// A pad clipped to a region given by its edges, which has the wood to their left: its area there, and the
/// centroid of that.
pub(super) fn pad(centre: Point, edges: &[[Point; 2]]) -> Option<FaceLoad> {
    let mut clip = Clip::new(centre);
    for [a, b] in edges {
        clip.edge(*a, *b);
    }
    clip.load()
}

/// A pad being clipped, edge by edge.
///
/// Each edge adds the part of the disc between itself and the centre, counted with its sign: a triangle where the edge
/// runs inside the disc, a sector where it runs outside.
pub(super) struct Clip {
    centre: Point,
    area: f64,
    moment: Point,
}

/// An edge that does not cross the pad's rim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PlainEdge {
    /// It is added.
    Inside,
    /// It is for the caller to add, with others, as [`Clip::far`].
    Clear,
}

impl Clip {
    pub(super) const fn new(centre: Point) -> Self {
        Self { centre, area: 0.0, moment: point(0.0, 0.0) }
    }

    /// Adds an edge.
    pub(super) fn edge(&mut self, a: Point, b: Point) {
        let (p, q) = (a - self.centre, b - self.centre);
        let along = q - p;
        let length2 = dot(along, along);
        if length2 <= 0.0 {
            return;
        }
        // Where the edge meets the circle, as parts of the edge.
        let half_b = dot(p, along);
        let inside = half_b * half_b - length2 * (dot(p, p) - PAD_RADIUS * PAD_RADIUS);
        let (enter, exit) = if inside > 0.0 {
            let root = inside.sqrt();
            (((-half_b - root) / length2).clamp(0.0, 1.0), ((-half_b + root) / length2).clamp(0.0, 1.0))
        } else {
            (1.0, 1.0)
        };
        let (u, v) = (p + along * enter, p + along * exit);
        self.sector(p, u);
        let triangle = 0.5 * cross(u, v);
        self.area += triangle;
        self.moment = self.moment + (u + v) * (triangle / 3.0);
        self.sector(v, q);
    }

    /// How an edge lies that crosses no rim: adds one that lies inside; nothing where it may cross.
    pub(super) fn plain_edge(&mut self, a: Point, b: Point) -> Option<PlainEdge> {
        let (p, q) = (a - self.centre, b - self.centre);
        let (pp, qq) = (dot(p, p), dot(q, q));
        let radius2 = PAD_RADIUS * PAD_RADIUS;
        if pp < radius2 && qq < radius2 {
            let triangle = 0.5 * cross(p, q);
            self.within((triangle, (p + q) * (triangle / 3.0)));
            return Some(PlainEdge::Inside);
        }
        // One that crosses the pad between two points outside is longer than the tangent from either.
        let clear = pp > radius2 && qq > radius2 && dot(q - p, q - p) < pp.min(qq) - radius2;
        clear.then_some(PlainEdge::Clear)
    }

    /// Adds edges that stay clear of the pad, known only by where they start and end: how often they run
    /// round the pad does not matter, since whole turns are taken out at the end.
    pub(super) fn far(&mut self, from: Point, to: Point) {
        self.sector(from - self.centre, to - self.centre);
    }

    /// Adds edges that all run inside the pad, known by what lies between them and the centre: its area and first moment about it.
    pub(super) fn within(&mut self, (area, moment): (f64, Point)) {
        self.area += area;
        self.moment = self.moment + moment;
    }

    /// Adds the sector of the pad seen from its centre between two directions.
    fn sector(&mut self, from: Point, to: Point) {
        let turn = cross(from, to).atan2(dot(from, to));
        if turn == 0.0 {
            return;
        }
        let (s, e) = (unit(from), unit(to));
        self.area += 0.5 * PAD_RADIUS * PAD_RADIUS * turn;
        // ∫ r·(cos, sin) r dr dθ = R³/3·(sin, −cos) between both ends.
        self.moment = self.moment + point(e.y - s.y, s.x - e.x) * (PAD_RADIUS.powi(3) / 3.0);
    }

    /// The load; nothing when the pad does not lie on wood.
    pub(super) fn load(self) -> Option<FaceLoad> {
        let whole = PI * PAD_RADIUS * PAD_RADIUS;
        let area = self.area.rem_euclid(whole);
        // A pad wholly on wood has gone round once; rounding leaves it a hair above or below.
        let area = if area < 1e-6 && self.area > 0.5 * whole { whole } else { area };
        (area > 1e-6).then(|| FaceLoad { at: self.centre + self.moment / area, area })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::distance;

    fn square(side: f64) -> Vec<[Point; 2]> {
        let c = [point(0.0, 0.0), point(side, 0.0), point(side, side), point(0.0, side)];
        (0..4).map(|i| [c[i], c[(i + 1) % 4]]).collect()
    }

    /// Centroids of a half and a quarter disc: 4r/3π from each straight side (any handbook's table of areas).
    #[test]
    fn a_pad_is_clipped_to_the_wood() {
        use std::f64::consts::PI;
        let edges = square(100.0);
        let whole = pad(point(50.0, 50.0), &edges).expect("on wood");
        assert!((whole.area - PI * 25.0).abs() < 1e-9 && distance(whole.at, point(50.0, 50.0)) < 1e-9);
        let half = pad(point(50.0, 0.0), &edges).expect("on wood");
        let reach = 4.0 * PAD_RADIUS / (3.0 * PI);
        assert!((half.area - PI * 12.5).abs() < 1e-9 && distance(half.at, point(50.0, reach)) < 1e-9);
        let quarter = pad(point(0.0, 0.0), &edges).expect("on wood");
        assert!((quarter.area - PI * 6.25).abs() < 1e-9 && distance(quarter.at, point(reach, reach)) < 1e-9);
    }

    #[test]
    fn a_pad_larger_than_the_wood_covers_all_of_it() {
        let stub = pad(point(1.0, 1.0), &square(2.0)).expect("on wood");
        assert!((stub.area - 4.0).abs() < 1e-9 && distance(stub.at, point(1.0, 1.0)) < 1e-9);
    }
}
