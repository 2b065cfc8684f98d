//! Pushes as consistent nodal forces: an even pressure on part of a face, an even push on part of a wall.
//!
//! Every force remembers the element it acts on, since the free body on one side of a plane has to be
//! told from the other when a push reaches across it ([`Plane`](super::Plane)).

use std::collections::BTreeMap;

use crate::shape::plane::{Point, cross, distance, left, norm, point, unit};

use super::{Edge, Solid, Sparse, element};

/// A push as forces on the nodes of elements, in N.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Load {
    /// Each part: the element it acts on, which of its 18 nodes, and the force along x, y and z.
    pub parts: Vec<LoadPart>,
}

/// A force on one node of one element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadPart {
    /// The triangle of the element.
    pub triangle: u32,
    /// Its layer.
    pub layer: u32,
    /// Which of its 18 nodes.
    pub node: u8,
    /// Along x, y and z.
    pub force: [f64; 3],
}

/// Which face a push through the thickness acts on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The show face: pushed down.
    Show,
    /// The back: pushed up.
    Back,
}

/// The corners of the polygon a round pad is taken for; with the same area as the circle.
const PAD_SIDES: usize = 24;

impl Load {
    /// The forces by unknown.
    ///
    /// # Panics
    ///
    /// If the load is not one on this solid.
    pub fn forces(&self, solid: &Solid) -> Sparse {
        let mut forces = BTreeMap::new();
        for part in &self.parts {
            let nodes = solid.element_nodes(part.triangle as usize, part.layer as usize);
            let node = nodes.expect("a load acts on wood")[part.node as usize];
            for (axis, force) in (0..).zip(part.force).filter(|(_, force)| *force != 0.0) {
                *forces.entry(3 * node + axis).or_insert(0.0) += force;
            }
        }
        forces.into_iter().collect()
    }

    /// A force of 1 N spread evenly over a round pad, clipped to some triangles, and its resultant's place
    /// with the area left; nothing where the pad misses them.
    pub fn pad(
        solid: &Solid,
        centre: Point,
        radius: f64,
        triangles: &[u32],
        face: Face,
    ) -> Option<(Self, Point, f64)> {
        // A regular polygon with the area of the circle.
        let angle = std::f64::consts::TAU / PAD_SIDES as f64;
        let reach = radius * (angle / angle.sin()).sqrt();
        let pad: Vec<Point> = (0..PAD_SIDES)
            .map(|i| centre + crate::shape::plane::direction(i as f64 * angle) * reach)
            .collect();
        Self::pressure(solid, &pad, triangles, face)
    }

    /// A force of 1 N spread evenly over a convex polygon (anticlockwise), clipped to some triangles.
    pub fn pressure(
        solid: &Solid,
        polygon: &[Point],
        triangles: &[u32],
        face: Face,
    ) -> Option<(Self, Point, f64)> {
        let mesh = &solid.body().mesh;
        let (mut area, mut moment) = (0.0, point(0.0, 0.0));
        let mut shares: Vec<(u32, [f64; 6])> = Vec::new();
        let low = polygon.iter().fold([f64::INFINITY; 2], |m, p| [m[0].min(p.x), m[1].min(p.y)]);
        let high = polygon.iter().fold([f64::NEG_INFINITY; 2], |m, p| [m[0].max(p.x), m[1].max(p.y)]);
        for &triangle in triangles {
            let corners = mesh.corner_points(triangle as usize);
            let misses = |axis: fn(Point) -> f64, low: f64, high: f64| {
                corners.iter().all(|c| axis(*c) < low) || corners.iter().all(|c| axis(*c) > high)
            };
            if misses(|p| p.x, low[0], high[0]) || misses(|p| p.y, low[1], high[1]) {
                continue;
            }
            let shared = clipped(&corners, polygon);
            let mut share = [0.0; 6];
            for i in 1..shared.len().saturating_sub(1) {
                let [a, b, c] = [shared[0], shared[i], shared[i + 1]];
                let part = cross(b - a, c - a) / 2.0;
                // The middles of the sides integrate a quadratic exactly.
                for p in [(a + b) * 0.5, (b + c) * 0.5, (c + a) * 0.5] {
                    let n = shape_at(&corners, p);
                    share.iter_mut().zip(n).for_each(|(s, n)| *s += n * part / 3.0);
                    moment = moment + p * (part / 3.0);
                }
                area += part;
            }
            shares.push((triangle, share));
        }
        if area <= 1e-6 {
            return None;
        }
        let (down, level) = match face {
            Face::Show => (-1.0, 2),
            Face::Back => (1.0, 0),
        };
        let mut parts = Vec::new();
        for (triangle, share) in shares {
            let mut present = layers_at(solid, triangle);
            let layer = match face {
                Face::Show => present.next_back(),
                Face::Back => present.next(),
            };
            let Some(layer) = layer else { continue };
            for (i, s) in (0u8..).zip(share).filter(|(_, s)| *s != 0.0) {
                let force = [0.0, 0.0, down * s / area];
                parts.push(LoadPart { triangle, layer, node: 6 * level + i, force });
            }
        }
        Some((Self { parts }, moment / area, area))
    }

    /// A push of 1 N on walls, even over a stretch of them and over their full height, square to them; its
    /// direction, and where its resultant acts. The wood lies to the left of the sides; `from` and `to` are lengths
    /// along them. Nothing where the walls turn so far that their pushes undo each other.
    pub fn wall(solid: &Solid, sides: &[Edge], from: f64, to: f64) -> Option<(Self, Point, Point)> {
        let mesh = &solid.body().mesh;
        let mut parts = Vec::new();
        let (mut start, mut total) = (0.0, 0.0);
        let (mut push, mut middle, mut moment) = (point(0.0, 0.0), point(0.0, 0.0), 0.0);
        for side in sides {
            let [a, _, b] = side.nodes.map(|n| mesh.points[n as usize]);
            let length = distance(a, b);
            let (low, high) = (((from - start) / length).max(0.0), ((to - start) / length).min(1.0));
            start += length;
            if low >= high {
                continue;
            }
            let Some(triangle) = side.sides[0] else { continue };
            let inward = left(unit(b - a));
            let centre = a + (b - a) * ((low + high) / 2.0);
            let share = (high - low) * length;
            push = push + inward * share;
            middle = middle + centre * share;
            moment += cross(centre, inward) * share;
            total += share;
            let along = quadratics_over(low, high).map(|x| x * length);
            let layers: Vec<u32> = layers_at(solid, triangle).collect();
            let height: f64 = layers.iter().map(|&k| solid.body().layers[k as usize].height()).sum();
            for layer in layers {
                let part = solid.body().layers[layer as usize].height() / height;
                for (level, z) in (0u8..).zip([1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0]) {
                    for (n, x) in side.nodes.into_iter().zip(along) {
                        let i = mesh.triangles[triangle as usize].iter().position(|&m| m == n);
                        let i = u8::try_from(i.expect("a side's nodes are its triangle's")).expect("under 6");
                        let force = inward * (x * z * part);
                        let force = [force.x, force.y, 0.0];
                        parts.push(LoadPart { triangle, layer, node: 6 * level + i, force });
                    }
                }
            }
        }
        let size = norm(push);
        if total <= 0.0 || size < 0.5 * total {
            return None;
        }
        for part in &mut parts {
            part.force = part.force.map(|f| f / size);
        }
        let push = push / size;
        // The resultant's line of action, where it passes the middle of the walls pushed on.
        let middle = middle / total;
        let offset = moment / size - cross(middle, push);
        Some((Self { parts }, push, middle - left(push) * offset))
    }
}

/// The layers in which a triangle has wood, from the back up.
fn layers_at(solid: &Solid, triangle: u32) -> impl DoubleEndedIterator<Item = u32> {
    let count = u32::try_from(solid.body().layers.len()).expect("few layers");
    (0..count).filter(move |&layer| solid.element_nodes(triangle as usize, layer as usize).is_some())
}

/// The part of a triangle inside a convex polygon, both anticlockwise.
pub(super) fn clipped(triangle: &[Point; 3], polygon: &[Point]) -> Vec<Point> {
    let mut kept = triangle.to_vec();
    for (i, &a) in polygon.iter().enumerate() {
        let along = polygon[(i + 1) % polygon.len()] - a;
        let depth = |p: Point| cross(along, p - a);
        let mut next = Vec::with_capacity(kept.len() + 1);
        for (k, &p) in kept.iter().enumerate() {
            let q = kept[(k + 1) % kept.len()];
            let (dp, dq) = (depth(p), depth(q));
            if dp >= 0.0 {
                next.push(p);
            }
            if (dp >= 0.0) != (dq >= 0.0) {
                next.push(p + (q - p) * (dp / (dp - dq)));
            }
        }
        kept = next;
        if kept.is_empty() {
            break;
        }
    }
    kept
}

/// The six functions of a triangle at a point.
pub(super) fn shape_at(&[a, b, c]: &[Point; 3], p: Point) -> [f64; 6] {
    let whole = cross(b - a, c - a);
    element::shape([cross(b - p, c - p) / whole, cross(c - p, a - p) / whole, cross(a - p, b - p) / whole])
}

/// Integrals of the three quadratic functions of a side (start, middle, end) over part of its length, 0 to 1.
pub(super) fn quadratics_over(low: f64, high: f64) -> [f64; 3] {
    let upto = |x: f64| {
        let (x2, x3) = (x * x, x * x * x);
        [x - 1.5 * x2 + 2.0 / 3.0 * x3, 2.0 * x2 - 4.0 / 3.0 * x3, 2.0 / 3.0 * x3 - 0.5 * x2]
    };
    let (a, b) = (upto(low), upto(high));
    [b[0] - a[0], b[1] - a[1], b[2] - a[2]]
}
