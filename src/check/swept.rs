//! Areas and first moments under stretches of a wall, by subtraction: what a pad holds of a wall of very many edges.

use crate::{
    shape::plane::{Point, cross, point},
    skeleton::{WallPoint, Walls},
};

/// Sums up to each wall point over the edges of its ring before it.
pub(super) struct Swept {
    sums: Vec<Sums>,
    /// Of each whole ring.
    rings: Vec<Sums>,
}

/// With edges from p to q about the ring's first point: Σ p×q, Σ (p×q)(p + q) and Σ (q - p)y (p + q)x.
#[derive(Clone, Copy, Default)]
struct Sums {
    area: f64,
    moment: Point,
    mixed: f64,
}

impl Sums {
    fn add(&mut self, p: Point, q: Point) {
        let area = cross(p, q);
        self.area += area;
        self.moment = self.moment + (p + q) * area;
        self.mixed += (q.y - p.y) * (p.x + q.x);
    }

    fn plus(self, other: Self, times: f64) -> Self {
        Self {
            area: self.area + other.area * times,
            moment: self.moment + other.moment * times,
            mixed: self.mixed + other.mixed * times,
        }
    }
}

impl Swept {
    pub(super) fn new(walls: &Walls) -> Self {
        let mut sums = vec![Sums::default(); walls.len()];
        let mut rings = Vec::new();
        for ring in 0..walls.rings() {
            let edges = walls.ring(ring);
            let origin = walls.point(edges.start);
            let mut sum = Sums::default();
            for i in edges {
                sums[i] = sum;
                let (a, b) = walls.edge(i);
                sum.add(a - origin, b - origin);
            }
            rings.push(sum);
        }
        Self { sums, rings }
    }

    /// Area and first moment, about `centre`, of the triangles from there to the wall from one point of a ring to a later one, less
    /// than a whole ring on.
    pub(super) fn about(&self, walls: &Walls, centre: Point, from: WallPoint, to: WallPoint) -> (f64, Point) {
        let ring = walls.ring_of(from.edge);
        let origin = walls.point(walls.ring(ring).start);
        let (p, q, c) = (from.at - origin, to.at - origin, centre - origin);
        // From each edge's first point up to the wall point on it.
        let up_to = |wall: &WallPoint| {
            let mut sums = self.sums[wall.edge];
            sums.add(walls.point(wall.edge) - origin, wall.at - origin);
            sums
        };
        let mut sums = up_to(&to).plus(up_to(&from), -1.0);
        if to.arc < from.arc {
            sums = sums.plus(self.rings[ring], 1.0);
        }
        // Moved to the centre: (p - c)×(q - c) = p×q - c×(q - p); products of one coordinate telescope, mixed ones nearly.
        let doubled = sums.area - cross(c, q - p);
        let mixed = 2.0 * (q.x * q.y - p.x * p.y) - sums.mixed;
        let squares = point(q.x * q.x - p.x * p.x, q.y * q.y - p.y * p.y);
        let turned = point(c.x * sums.mixed - c.y * squares.x, c.x * squares.y - c.y * mixed);
        let moment = sums.moment - turned - c * (2.0 * doubled);
        (0.5 * doubled, moment / 6.0)
    }
}

#[cfg(test)]
mod tests {
    use geo_types::{LineString, Polygon};

    use super::*;
    use crate::shape::Shape;

    /// Held against the sum over the triangles one by one.
    #[test]
    fn what_lies_under_a_stretch_of_wall_is_the_sum_of_its_triangles() {
        let ring =
            [(120.0, 80.0), (160.0, 81.0), (158.0, 95.0), (170.0, 130.0), (131.0, 127.0), (125.0, 99.0)];
        let shape = Shape::new(Polygon::new(LineString::from(ring.to_vec()), Vec::new())).expect("a shape");
        let walls = Walls::new(&shape);
        let (swept, length) = (Swept::new(&walls), walls.ring_length(0));
        for start in 0..13 {
            for part in 1..12 {
                let from = walls.at(0, length * f64::from(start) / 13.0);
                let gone = length * f64::from(part) / 12.0;
                let to = walls.at(0, from.arc + gone);
                let centre = point(f64::from(part) * 10.0 + 90.0, 100.0 - f64::from(start));
                let mut points = vec![from.at];
                let (mut edge, mut way) =
                    (from.edge, crate::shape::plane::distance(from.at, walls.edge(from.edge).1));
                while way < gone - 1e-9 {
                    edge = walls.next(edge);
                    points.push(walls.point(edge));
                    way += crate::shape::plane::distance(walls.edge(edge).0, walls.edge(edge).1);
                }
                points.push(to.at);
                let (mut area, mut moment) = (0.0, point(0.0, 0.0));
                for pair in points.windows(2) {
                    let (u, v) = (pair[0] - centre, pair[1] - centre);
                    area += 0.5 * cross(u, v);
                    moment = moment + (u + v) * (cross(u, v) / 6.0);
                }
                let found = swept.about(&walls, centre, from, to);
                let away = crate::shape::plane::distance(found.1, moment);
                assert!(
                    (found.0 - area).abs() < 1e-8 && away < 1e-6,
                    "{start} {part}: {found:?}, {area} {moment:?}"
                );
            }
        }
    }
}
