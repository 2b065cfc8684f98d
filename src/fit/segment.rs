//! One piece of a contour: a straight line or an arc of a circle.

use std::f64::consts::TAU;

use crate::shape::plane::{
    Point, cross, direction, distance, dot, left, nearest_on_segment, norm, point, unit,
};

/// A straight line or an arc from one point to another, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// A straight line.
    Line {
        /// Its first point.
        from: Point,
        /// Its last point.
        to: Point,
    },
    /// An arc of a circle.
    Arc {
        /// Its first point.
        from: Point,
        /// Its last point.
        to: Point,
        /// The tangent of a quarter of the angle it turns through, positive anticlockwise: 1 is half a circle.
        bulge: f64,
    },
}

impl Segment {
    /// The first point.
    pub const fn from(&self) -> Point {
        match *self {
            Self::Line { from, .. } | Self::Arc { from, .. } => from,
        }
    }

    /// The last point.
    pub const fn to(&self) -> Point {
        match *self {
            Self::Line { to, .. } | Self::Arc { to, .. } => to,
        }
    }

    /// The bulge; 0 for a line.
    pub const fn bulge(&self) -> f64 {
        match *self {
            Self::Line { .. } => 0.0,
            Self::Arc { bulge, .. } => bulge,
        }
    }

    /// The angle an arc turns through, in radians, positive anticlockwise; 0 for a line.
    pub fn sweep(&self) -> f64 {
        4.0 * self.bulge().atan()
    }

    /// An arc's centre and radius.
    pub fn circle(&self) -> Option<(Point, f64)> {
        let Self::Arc { from, to, bulge } = *self else { return None };
        let chord = to - from;
        let centre = (from + to) / 2.0 + left(chord) * ((1.0 - bulge * bulge) / (4.0 * bulge));
        Some((centre, norm(chord) * (1.0 + bulge * bulge) / (4.0 * bulge.abs())))
    }

    /// How long it is.
    pub fn length(&self) -> f64 {
        self.circle()
            .map_or_else(|| distance(self.from(), self.to()), |(_, radius)| radius * self.sweep().abs())
    }

    /// The point a part of the way along: 0 at the first point, 1 at the last.
    pub fn at(&self, part: f64) -> Point {
        match self.circle() {
            None => self.from() + (self.to() - self.from()) * part,
            Some((centre, _)) => centre + turned(self.from() - centre, part * self.sweep()),
        }
    }

    /// The unit vector it runs along at its first point.
    pub fn first_direction(&self) -> Point {
        turned(unit(self.to() - self.from()), -self.sweep() / 2.0)
    }

    /// The unit vector it runs along at its last point.
    pub fn last_direction(&self) -> Point {
        turned(unit(self.to() - self.from()), self.sweep() / 2.0)
    }

    /// How far a point lies from it.
    pub fn distance(&self, p: Point) -> f64 {
        match self.circle() {
            None => distance(p, nearest_on_segment(p, self.from(), self.to()).0),
            Some((centre, radius)) if self.passes(p - centre, centre) => (distance(p, centre) - radius).abs(),
            Some(_) => distance(p, self.from()).min(distance(p, self.to())),
        }
    }

    /// Smallest and largest x and y: `[x0, y0, x1, y1]`.
    pub fn bounds(&self) -> [f64; 4] {
        let (a, b) = (self.from(), self.to());
        let mut all = [a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)];
        if let Some((centre, radius)) = self.circle() {
            for (side, way) in
                [(0, point(-1.0, 0.0)), (1, point(0.0, -1.0)), (2, point(1.0, 0.0)), (3, point(0.0, 1.0))]
            {
                if self.passes(way, centre) {
                    let end = centre + way * radius;
                    all[side] = if side % 2 == 0 { end.x } else { end.y };
                }
            }
        }
        all
    }

    /// Whether an arc about `centre` passes the direction `way`, seen from there.
    fn passes(&self, way: Point, centre: Point) -> bool {
        let start = self.from() - centre;
        let sweep = self.sweep();
        let angle = cross(start, way).atan2(dot(start, way)) * sweep.signum();
        angle.rem_euclid(TAU) <= sweep.abs()
    }

    /// The area between it and its chord, positive where an anticlockwise contour gains by it.
    pub(super) fn cap(&self) -> f64 {
        let sweep = self.sweep();
        self.circle().map_or(0.0, |(_, radius)| radius * radius / 2.0 * (sweep - sweep.sin()))
    }

    /// Where it meets a circle, each as a part of its way, in order.
    pub(super) fn meets_circle(&self, centre: Point, radius: f64) -> Vec<f64> {
        let mut parts = match self.circle() {
            None => {
                let (start, along) = (self.from() - centre, self.to() - self.from());
                let (a, b, c) = (dot(along, along), dot(start, along), dot(start, start) - radius * radius);
                let root = b * b - a * c;
                if root < 0.0 || a <= 0.0 {
                    return Vec::new();
                }
                [-1.0, 1.0].map(|sign| (-b + sign * root.sqrt()) / a).to_vec()
            }
            Some((own, own_radius)) => {
                let apart = distance(own, centre);
                let along = (apart * apart + own_radius * own_radius - radius * radius) / (2.0 * apart);
                let high = own_radius * own_radius - along * along;
                if apart <= 0.0 || high < 0.0 {
                    return Vec::new();
                }
                let way = unit(centre - own);
                let sweep = self.sweep();
                [-1.0, 1.0]
                    .map(|sign| {
                        let to = way * along + left(way) * (sign * high.sqrt());
                        let start = self.from() - own;
                        let angle = cross(start, to).atan2(dot(start, to)) * sweep.signum();
                        angle.rem_euclid(TAU) / sweep.abs()
                    })
                    .to_vec()
            }
        };
        parts.retain(|part| (-1e-9..=1.0 + 1e-9).contains(part));
        parts.sort_by(f64::total_cmp);
        parts
    }
}

/// A vector turned anticlockwise by an angle in radians.
pub(super) fn turned(v: Point, angle: f64) -> Point {
    let way = direction(angle);
    point(v.x * way.x - v.y * way.y, v.x * way.y + v.y * way.x)
}
