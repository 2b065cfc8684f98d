//! Questions about the drawing itself: how far to the next wall, is there wood, and the same piece drawn anew.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use geo_types::{Coord, LineString, Polygon};

use super::rounded::Radii;
use crate::fit::{Outline, Recovery};
use crate::shape::plane::{self, Point, cross, unit};
use crate::shape::{FillRule, Region, Ring, Shape, placed, snapped};

/// What lies just behind a wall begins so far from it, in mm.
const HAIR: f64 = 1e-3;

/// A piece's walls, for rays to meet.
pub(super) struct Ground<'a> {
    pub(super) shape: &'a Shape,
    /// Each side of every ring, with its ring's number; 0 is the outer one.
    sides: Vec<(usize, [Point; 2])>,
    /// How round its openings are.
    pub(super) radii: Radii,
    /// Its outline with its arcs made round again, found when first asked for.
    arcs: OnceCell<Outline>,
}

/// Where a ray meets a wall.
#[derive(Clone, Copy, Debug)]
pub(super) struct Met {
    /// How far along the ray.
    pub(super) away: f64,
    /// Which ring; 0 is the outer one.
    pub(super) ring: usize,
}

impl<'a> Ground<'a> {
    pub(super) fn new(shape: &'a Shape) -> Self {
        let of_ring = |(ring, line): (usize, &geo_types::LineString<f64>)| {
            line.lines().map(|side| (ring, [side.start, side.end])).collect::<Vec<_>>()
        };
        Self {
            shape,
            sides: shape.rings().enumerate().flat_map(of_ring).collect(),
            radii: Radii::default(),
            arcs: OnceCell::new(),
        }
    }

    /// The first wall a ray meets, a hair after it starts.
    pub(super) fn ray(&self, from: Point, way: Point) -> Option<Met> {
        let mut nearest: Option<Met> = None;
        for &(ring, [a, b]) in &self.sides {
            let (side, rel) = (b - a, a - from);
            let turn = cross(way, side);
            if turn == 0.0 {
                continue;
            }
            let (away, part) = (cross(rel, side) / turn, cross(rel, way) / turn);
            if away > 1e-6 && (0.0..=1.0).contains(&part) && nearest.is_none_or(|met| away < met.away) {
                nearest = Some(Met { away, ring });
            }
        }
        nearest
    }

    /// The first wall a ray meets, and how far behind it the next one stands: endless where there is none.
    pub(super) fn walls_ahead(&self, from: Point, way: Point) -> Option<(Met, f64)> {
        let first = self.ray(from, way)?;
        let next = self.ray(from + way * (first.away + HAIR), way);
        Some((first, next.map_or(f64::INFINITY, |next| next.away)))
    }

    /// A point of a wall as near to it on the arc that the wall's short sides stand for, where they do.
    pub(super) fn on_arc(&self, wall: Point) -> Point {
        let how = Recovery::default();
        let arcs = self.arcs.get_or_init(|| Outline::of(self.shape, &how));
        arcs.on_arc(wall, how.off_chord).unwrap_or(wall)
    }

    /// Whether there is wood at a point.
    pub(super) fn is_wood(&self, at: Point) -> bool {
        let crossed = self.sides.iter().filter(|(_, [a, b])| {
            (a.y > at.y) != (b.y > at.y) && at.x < a.x + (b.x - a.x) * ((at.y - a.y) / (b.y - a.y))
        });
        crossed.count() % 2 == 1
    }

    /// How far the drawing reaches along a direction, from the least to the most.
    pub(super) fn extent(&self, way: Point) -> [f64; 2] {
        plane::extent(self.sides.iter().map(|(_, [a, _])| *a), way)
    }
}

/// The direction of a run at its `k`-th point.
pub(super) fn heading(run: &[Coord<f64>], k: usize) -> Point {
    let (before, after) = (k.saturating_sub(1), (k + 1).min(run.len() - 1));
    unit(run[after] - run[before])
}

/// The piece with some wood taken away, then some added: its parts, the biggest first. A part that is no proper shape is left out.
pub(super) fn redrawn(shape: &Shape, taken: &[Vec<Point>], added: &[Vec<Point>]) -> Vec<Shape> {
    let ring = |points: &Vec<Point>| points.iter().map(|at| snapped(*at)).collect::<Ring>();
    let drawn: Vec<Ring> = shape
        .rings()
        .map(|line| line.0[..line.0.len().saturating_sub(1)].iter().map(|at| snapped(*at)).collect())
        .collect();
    let corners: BTreeSet<[i64; 2]> = drawn.iter().flatten().map(|at| corner(&placed(*at))).collect();
    let mut region = Region::filled(&drawn, FillRule::EvenOdd);
    if !taken.is_empty() {
        let taken: Vec<Ring> = taken.iter().map(ring).collect();
        region = region.without(&Region::filled(&taken, FillRule::NonZero));
    }
    for added in added {
        region = Region::united([&region, &Region::filled(&[ring(added)], FillRule::NonZero)]);
    }
    let mut parts: Vec<Shape> = region
        .tidy()
        .polygons()
        .into_iter()
        .filter_map(|polygon| Shape::new(without_steps(polygon, &corners)).ok())
        .filter(|part| part.check().is_ok())
        .collect();
    parts.sort_by(|a, b| b.area().total_cmp(&a.area()));
    parts
}

/// Sides shorter than this, in mm, that the drawing did not have are steps where an added wall all but meets a drawn one: no bit cuts them,
/// and a mesh that follows them has no end. Our own rule.
const STEP: f64 = 0.01;

/// A corner by what it is known by, to a nanometre.
pub(super) fn corner(at: &Coord<f64>) -> [i64; 2] {
    [at.x, at.y].map(|mm| (mm * 1e6).round() as i64)
}

/// A polygon without steps. Each is filled at its hollow corner, so that no wood is lost; a short side without one is no step.
fn without_steps(polygon: Polygon<f64>, drawn: &BTreeSet<[i64; 2]>) -> Polygon<f64> {
    // The wood lies to the left of an outer ring that runs anticlockwise, and of an opening that runs clockwise.
    let ring = |line: &LineString<f64>, is_outer: bool| {
        let mut points = line.0[..line.0.len().saturating_sub(1)].to_vec();
        let area: f64 = line.lines().map(|side| cross(side.start, side.end)).sum();
        let turn = if (area > 0.0) == is_outer { 1.0 } else { -1.0 };
        let mut k = 0;
        while k < points.len() && points.len() > 3 {
            let at = |k: usize| points[k % points.len()];
            let is_new = |k: usize| !drawn.contains(&corner(&at(k)));
            let is_hollow = |k: usize| {
                let before = at(k + points.len() - 1);
                turn * cross(at(k) - before, at(k + 1) - at(k)) < 0.0
            };
            let is_step = plane::distance(at(k), at(k + 1)) < STEP && (is_new(k) || is_new(k + 1));
            match [k, k + 1].into_iter().find(|&end| is_step && is_hollow(end)) {
                Some(end) => {
                    points.remove(end % points.len());
                    k = k.saturating_sub(1);
                }
                None => k += 1,
            }
        }
        LineString::new(points)
    };
    let (outer, openings) = polygon.into_inner();
    Polygon::new(ring(&outer, true), openings.iter().map(|opening| ring(opening, false)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo_types::polygon;

    fn plate() -> Shape {
        let plate = polygon![
            exterior: [(x: 0., y: 0.), (x: 60., y: 0.), (x: 60., y: 40.), (x: 0., y: 40.)],
            interiors: [[(x: 20., y: 10.), (x: 40., y: 10.), (x: 40., y: 30.), (x: 20., y: 30.)]],
        ];
        Shape::new(plate).expect("a shape")
    }

    #[test]
    fn a_ray_meets_the_nearest_wall_and_knows_whose_it_is() {
        let plate = plate();
        let ground = Ground::new(&plate);
        let met = ground.ray(Coord { x: 5.0, y: 20.0 }, Coord { x: 1.0, y: 0.0 }).expect("a wall");
        assert!((met.away - 15.0).abs() < 1e-9 && met.ring == 1);
        assert!(ground.is_wood(Coord { x: 5.0, y: 20.0 }) && !ground.is_wood(Coord { x: 30.0, y: 20.0 }));
        assert_eq!(ground.extent(Coord { x: 0.0, y: 1.0 }), [0.0, 40.0]);
    }

    #[test]
    fn a_wall_that_all_but_meets_another_leaves_no_step() {
        let bar = [(0.0, -3.0), (30.0, -3.0), (30.0, 0.0003), (0.0, 0.0003)];
        let bar: Vec<Point> = bar.map(|(x, y)| Coord { x, y }).to_vec();
        // The bar's upper wall lies a hair inside the plate; a second one ends a hair beside the plate's edge.
        let beside: Vec<Point> = [(60.0, 10.0), (70.0, 10.0), (70.0, 40.0003), (60.0, 40.0003)]
            .map(|(x, y)| Coord { x, y })
            .to_vec();
        let whole = redrawn(&plate(), &[], &[bar, beside]);
        let sides = whole[0].rings().flat_map(LineString::lines);
        let shortest = sides.map(|side| plane::distance(side.start, side.end)).fold(f64::INFINITY, f64::min);
        assert!(shortest >= STEP, "{shortest}");
        assert!((whole[0].area() - (2400.0 - 400.0 + 90.0 + 300.0)).abs() < 0.1, "{}", whole[0].area());
    }

    #[test]
    fn wood_is_taken_first_and_then_added() {
        let cut = vec![
            Coord { x: -1.0, y: 15.0 },
            Coord { x: 61.0, y: 15.0 },
            Coord { x: 61.0, y: 25.0 },
            Coord { x: -1.0, y: 25.0 },
        ];
        let parts = redrawn(&plate(), &[cut], &[]);
        assert_eq!(parts.len(), 2);
        assert!((parts[0].area() - (60.0 * 15.0 - 20.0 * 5.0)).abs() < 1e-6);
        let bar = vec![
            Coord { x: 0.0, y: 0.0 },
            Coord { x: 8.0, y: 0.0 },
            Coord { x: 8.0, y: 40.0 },
            Coord { x: 0.0, y: 40.0 },
        ];
        let whole = redrawn(&plate(), &[], &[bar]);
        assert_eq!((whole.len(), whole[0].polygon().interiors().len()), (1, 1));
    }
}
