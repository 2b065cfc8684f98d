//! A piece seen along a strip: `u` along the strip, `v` to the left of it.
//!
//! Distances, widths and free room around a strip are questions about axis-parallel boxes here, each
//! answered in one pass over the outline.

use geo::BooleanOps;
use geo_types::{Coord, LineString, MultiPolygon, Polygon};

/// A strip's own axes in the drawing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axes {
    /// Where `u` and `v` are 0.
    pub(super) origin: Coord<f64>,
    /// Unit direction of `u`.
    pub(super) along: Coord<f64>,
}

impl Axes {
    /// A point of the drawing.
    pub(super) fn inward(&self, point: Coord<f64>) -> Coord<f64> {
        self.inward_direction(point - self.origin)
    }

    /// A direction of the drawing.
    pub(super) fn inward_direction(&self, p: Coord<f64>) -> Coord<f64> {
        let d = self.along;
        Coord { x: p.x * d.x + p.y * d.y, y: p.y * d.x - p.x * d.y }
    }

    /// Back to the drawing.
    pub(super) fn outward(&self, point: Coord<f64>) -> Coord<f64> {
        let d = self.along;
        self.origin + Coord { x: point.x * d.x - point.y * d.y, y: point.x * d.y + point.y * d.x }
    }
}

/// The rings of a piece in a strip's own axes.
pub(super) struct Local {
    pub(super) axes: Axes,
    /// Outer ring first, each closed; none where the piece is elsewhere.
    rings: Vec<Vec<Coord<f64>>>,
}

/// A box in strip axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Box {
    pub(super) u: [f64; 2],
    pub(super) v: [f64; 2],
}

impl Local {
    /// The part of a piece that lies within `near`.
    ///
    /// Cutting it down first makes every later question cheap. Where the piece goes on, the cut itself
    /// counts as a wall, so room is never overrated.
    pub(super) fn new(piece: &Polygon<f64>, axes: Axes, near: &Box) -> Self {
        let rings = std::iter::once(piece.exterior()).chain(piece.interiors());
        let cut = rings.filter_map(|ring| {
            let points: Vec<_> = ring.coords().map(|&point| axes.inward(point)).collect();
            let mut cut = near.cut(&points);
            let &first = cut.first().filter(|_| cut.len() >= 3)?;
            cut.push(first);
            Some(cut)
        });
        Self { axes, rings: cut.collect() }
    }

    /// How far from `start` in a unit `direction` the first wall is; infinite where there is none.
    pub(super) fn to_wall(&self, start: Coord<f64>, direction: Coord<f64>) -> f64 {
        let mut nearest = f64::INFINITY;
        for (a, b) in self.rings.iter().flat_map(|ring| ring.iter().zip(&ring[1..])) {
            let (a, b) = (*a - start, *b - start);
            let (sa, sb) = (cross(direction, a), cross(direction, b));
            // Half-open, so that a ray through a corner meets it once.
            if (sa >= 0.0) != (sb >= 0.0) {
                let at = sa / (sa - sb);
                let distance = dot(direction, a) * (1.0 - at) + dot(direction, b) * at;
                if distance > 0.0 {
                    nearest = nearest.min(distance);
                }
            }
        }
        nearest
    }

    /// Whether there is wood at a point.
    pub(super) fn is_wood(&self, point: Coord<f64>) -> bool {
        self.rings.iter().filter(|ring| surrounds(ring, point)).count() % 2 == 1
    }

    /// Whether a box and `margin` around it lie within the outer rim; openings do not matter.
    pub(super) fn inside_rim(&self, area: &Box, margin: f64) -> bool {
        let grown = area.grown(margin);
        let Some(rim) = self.rings.first() else { return false };
        surrounds(rim, area.middle()) && !rim.iter().zip(&rim[1..]).any(|(a, b)| grown.meets(*a, *b))
    }

    /// The box as a polygon of the drawing, anticlockwise.
    pub(super) fn outline(&self, area: &Box) -> Polygon<f64> {
        let corners = area.corners().map(|corner| self.axes.outward(corner));
        Polygon::new(LineString::new(corners.to_vec()), Vec::new())
    }

    /// The wood within a box, as polygons of the drawing.
    ///
    /// The rings are first cut to a slightly larger box, which costs one pass; what that leaves is small,
    /// whatever the piece.
    pub(super) fn wood_within(&self, area: &Box) -> Vec<Polygon<f64>> {
        let larger = area.grown(1.0);
        let near = |ring: &Vec<Coord<f64>>| {
            let cut = larger.cut(ring);
            let polygon = (cut.len() >= 3).then(|| Polygon::new(LineString::new(cut), Vec::new()));
            MultiPolygon::new(polygon.into_iter().collect())
        };
        let strip =
            MultiPolygon::new(vec![Polygon::new(LineString::new(area.corners().to_vec()), Vec::new())]);
        let Some((rim, openings)) = self.rings.split_first() else { return Vec::new() };
        let mut wood = strip.intersection(&near(rim));
        for opening in openings {
            let opening = near(opening);
            if !opening.0.is_empty() {
                wood = wood.difference(&opening);
            }
        }
        use geo::MapCoords;
        wood.0.iter().map(|polygon| polygon.map_coords(|point| self.axes.outward(point))).collect()
    }
}

impl Box {
    /// The least one that holds some points.
    pub(super) fn about(points: impl Iterator<Item = Coord<f64>>) -> Self {
        let none = Self { u: [f64::INFINITY, f64::NEG_INFINITY], v: [f64::INFINITY, f64::NEG_INFINITY] };
        points.fold(none, |Self { u, v }, p| Self {
            u: [u[0].min(p.x), u[1].max(p.x)],
            v: [v[0].min(p.y), v[1].max(p.y)],
        })
    }

    /// The same and `margin` around it.
    pub(super) fn grown(&self, margin: f64) -> Self {
        Self { u: [self.u[0] - margin, self.u[1] + margin], v: [self.v[0] - margin, self.v[1] + margin] }
    }

    pub(super) fn length(&self) -> f64 {
        self.u[1] - self.u[0]
    }

    pub(super) fn width(&self) -> f64 {
        self.v[1] - self.v[0]
    }

    fn middle(&self) -> Coord<f64> {
        Coord { x: (self.u[0] + self.u[1]) / 2.0, y: (self.v[0] + self.v[1]) / 2.0 }
    }

    pub(super) fn corners(&self) -> [Coord<f64>; 5] {
        let [u0, u1] = self.u;
        let [v0, v1] = self.v;
        [(u0, v0), (u1, v0), (u1, v1), (u0, v1), (u0, v0)].map(Coord::from)
    }

    /// Whether a segment meets the open box (Liang and Barsky's clipping).
    fn meets(&self, a: Coord<f64>, b: Coord<f64>) -> bool {
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, step, [low, high]) in [(a.x, b.x - a.x, self.u), (a.y, b.y - a.y, self.v)] {
            if step == 0.0 {
                if start <= low || start >= high {
                    return false;
                }
                continue;
            }
            let (p, q) = ((low - start) / step, (high - start) / step);
            enter = enter.max(p.min(q));
            leave = leave.min(p.max(q));
        }
        enter < leave
    }

    /// A ring cut to the box, side by side (Sutherland and Hodgman). Parts of a ring that leaves the box
    /// and comes back stay joined along the box's own sides.
    fn cut(&self, ring: &[Coord<f64>]) -> Vec<Coord<f64>> {
        // Depth inside each side of the box.
        let sides = [
            |c: &Coord<f64>, near: &Self| c.x - near.u[0],
            |c: &Coord<f64>, near: &Self| near.u[1] - c.x,
            |c: &Coord<f64>, near: &Self| c.y - near.v[0],
            |c: &Coord<f64>, near: &Self| near.v[1] - c.y,
        ];
        let mut points = ring[..ring.len() - 1].to_vec();
        for depth in sides {
            let mut kept = Vec::with_capacity(points.len() + 4);
            for i in 0..points.len() {
                let (a, b) = (points[i], points[(i + 1) % points.len()]);
                let (da, db) = (depth(&a, self), depth(&b, self));
                if da >= 0.0 {
                    kept.push(a);
                }
                if (da >= 0.0) != (db >= 0.0) {
                    kept.push(a + (b - a) * (da / (da - db)));
                }
            }
            points = kept;
        }
        points
    }
}

fn surrounds(ring: &[Coord<f64>], point: Coord<f64>) -> bool {
    let mut inside = false;
    for (a, b) in ring.iter().zip(&ring[1..]) {
        if (a.y > point.y) != (b.y > point.y) && point.x < a.x + (b.x - a.x) * ((point.y - a.y) / (b.y - a.y))
        {
            inside = !inside;
        }
    }
    inside
}

fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

fn dot(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.x + a.y * b.y
}
