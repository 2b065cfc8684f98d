//! Closed outlines and filled areas, as areas on the grid.

use std::cell::OnceCell;

use geo_types::Coord;

use super::drawn::{Contour, Drawn};
use crate::shape::{
    BoxTree, Edge, FillRule, GRID_PER_MM, GridPoint, Locator, Region, Ring, doubled_area, edges, placed,
    snapped,
};

/// An area with what is asked of it again and again.
#[derive(Clone, Debug)]
pub(crate) struct Area {
    /// The element it was drawn by, for its name and place.
    pub(crate) element: usize,
    /// `None`: an outline without a fill.
    pub(crate) paint: Option<String>,
    pub(crate) region: Region,
    /// In mm².
    pub(crate) size: f64,
    /// Smallest and largest x and y, in grid steps.
    pub(crate) bounds: [i32; 4],
    /// Made when it is first asked.
    locator: OnceCell<Locator>,
}

impl Area {
    /// `None` when nothing is enclosed.
    pub(crate) fn new(element: usize, paint: Option<String>, region: Region) -> Option<Self> {
        let bounds = region.bounds()?;
        let size = region.area();
        // A micrometre on average, the width of a coincidence.
        let empty = size <= 1e-3 * region.length() / 2.0;
        (!empty).then(|| Self { element, paint, region, size, bounds, locator: OnceCell::new() })
    }

    /// Whether a point lies inside or on the edge.
    pub(crate) fn holds(&self, p: GridPoint) -> bool {
        self.locator().holds(p)
    }

    fn locator(&self) -> &Locator {
        self.locator.get_or_init(|| Locator::new(self.region.rings()))
    }

    /// Whether `other` lies wholly inside, up to slivers as wide as `tolerance`: two curves along the same
    /// line may have become different straight pieces.
    pub(crate) fn contains(&self, other: &Self, tolerance: f64) -> bool {
        #[expect(clippy::cast_possible_truncation, reason = "a tolerance; the cast saturates")]
        let slack = (tolerance * GRID_PER_MM) as i32;
        let (b, o) = (self.bounds, other.bounds);
        if o[0] < b[0].saturating_sub(slack)
            || o[1] < b[1].saturating_sub(slack)
            || o[2] > b[2].saturating_add(slack)
            || o[3] > b[3].saturating_add(slack)
            || other.size > self.size * (1.0 + 1e-3)
        {
            return false;
        }
        if !self.locator().has_edges_in(o) {
            return other.region.rings().flatten().next().is_some_and(|p| self.holds(*p));
        }
        let rest = other.region.without(&self.region.near(o));
        rest.shapes.iter().all(|shape| {
            let alone = Region { shapes: vec![shape.clone()] };
            2.0 * alone.area() <= tolerance * alone.length()
        })
    }

    /// Whether both are the same area, up to slivers.
    pub(crate) fn equals(&self, other: &Self, tolerance: f64) -> bool {
        #[expect(clippy::cast_possible_truncation, reason = "a tolerance; the cast saturates")]
        let slack = (tolerance * GRID_PER_MM) as u32;
        self.bounds.iter().zip(other.bounds).all(|(a, b)| a.abs_diff(b) <= slack)
            && (self.size - other.size).abs() <= tolerance * self.region.length()
            && self.contains(other, tolerance)
            && other.contains(self, tolerance)
    }

    /// Whether it is one rectangle along the axes.
    pub(crate) fn is_upright_rectangle(&self) -> bool {
        let [x0, y0, x1, y1] = self.bounds.map(|b| f64::from(b) / GRID_PER_MM);
        self.region.rings().count() == 1 && self.size >= (x1 - x0) * (y1 - y0) * (1.0 - 1e-6)
    }
}

/// The grid ring through `points`, without repeated points.
pub(crate) fn ring(points: &[Coord<f64>]) -> Ring {
    let mut ring: Ring = points.iter().map(|c| snapped(*c)).collect();
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    ring
}

/// The straight lines of a shape, on the grid; where it is filled, every outline is closed.
pub(crate) fn sides(owner: usize, shape: &Drawn) -> impl Iterator<Item = Edge> + '_ {
    let filled = shape.fill.is_some();
    shape.contours.iter().flat_map(move |Contour { points, closed }| {
        let end = points.first().filter(|_| *closed || filled);
        let after = points.iter().skip(1).chain(end);
        points.iter().zip(after).map(move |(a, b)| (owner, [snapped(*a), snapped(*b)]))
    })
}

/// The area inside one closed outline, or where the outline crosses itself so that it has none.
///
/// A crossing that encloses less than a square of `gap` is an overlap of the pen, not a figure eight.
pub(crate) fn enclosed(points: &[Coord<f64>], gap: f64) -> Result<Region, Coord<f64>> {
    let ring = ring(points);
    let rings = std::slice::from_ref(&ring);
    let parity = Region::filled(rings, FillRule::EvenOdd);
    let winding = Region::filled(rings, FillRule::NonZero);
    let drawn = doubled_area(&ring).abs() / 2.0 / GRID_PER_MM.powi(2);
    let (p, w) = (parity.area(), winding.area());
    if (p - w).abs() <= gap * gap && (drawn - w).abs() <= gap * gap {
        return Ok(winding);
    }
    Err(first_crossing(&ring))
}

/// Where a ring crosses itself; its first point when it only runs along itself.
fn first_crossing(ring: &Ring) -> Coord<f64> {
    let edges: Vec<[Coord<f64>; 2]> = edges(ring).map(|[a, b]| [placed(a), placed(b)]).collect();
    let mut found = edges[0][0];
    BoxTree::new(&edges).near_pairs(0.0, |i, j| {
        let ([a, b], [c, d]) = (edges[i], edges[j]);
        let cross = |u: Coord<f64>, v: Coord<f64>| u.x * v.y - u.y * v.x;
        let (ab, cd) = (b - a, d - c);
        let apart = |u: f64, v: f64| (u > 0.0 && v < 0.0) || (u < 0.0 && v > 0.0);
        let crosses = apart(cross(ab, c - a), cross(ab, d - a)) && apart(cross(cd, a - c), cross(cd, b - c));
        if crosses {
            found = a + ab * (cross(c - a, cd) / cross(ab, cd));
        }
        !crosses
    });
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Coord<f64>> {
        list.iter().map(|p| Coord::from(*p)).collect()
    }

    fn area(list: &[(f64, f64)]) -> Area {
        let region = enclosed(&points(list), 0.05).unwrap();
        Area::new(0, None, region).unwrap()
    }

    #[test]
    fn a_bow_tie_encloses_nothing_clear_and_its_crossing_is_named() {
        let bow = points(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        assert_eq!(enclosed(&bow, 0.05), Err(Coord { x: 5.0, y: 5.0 }));
    }

    #[test]
    fn a_pen_that_overshoots_its_start_by_a_hair_is_no_crossing() {
        let hair =
            points(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.01, 10.0), (0.01, -0.01), (0.0, -0.01)]);
        assert!(enclosed(&hair, 0.05).is_ok());
    }

    #[test]
    fn containment_is_decided_by_the_area_and_not_by_the_box() {
        let corner = area(&[(0.0, 0.0), (10.0, 0.0), (10.0, 2.0), (2.0, 2.0), (2.0, 10.0), (0.0, 10.0)]);
        let free = area(&[(5.0, 5.0), (8.0, 5.0), (8.0, 8.0)]);
        let held = area(&[(5.0, 0.5), (8.0, 0.5), (8.0, 1.5)]);
        let touching = area(&[(5.0, 0.0), (8.0, 0.0), (8.0, 2.0)]);
        assert!(!corner.contains(&free, 0.02));
        assert!(corner.contains(&held, 0.02));
        assert!(corner.contains(&touching, 0.02));
        assert!(!held.contains(&corner, 0.02));
    }
}
