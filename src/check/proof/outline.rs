//! An outline with as few points as a mesh of the wanted fineness needs.
//!
//! A drawing's curves come as many short sides, each of which would be a triangle's. Where the mesh may be coarse they
//! are replaced by longer ones that stray from them by a small part of the triangles' size.

use crate::shape::plane::{Point, distance, nearest_on_segment};

/// A longer side strays from the outline by this part of the size wanted there, and by no more than so many mm.
const STRAYS: f64 = 0.02;
const FARTHEST: f64 = 0.08;
/// About a point to be kept the outline stays as it is, over so many times the size wanted there.
const UNTOUCHED: f64 = 2.0;
/// Steps in a wall are no deeper than this where they do not count, in mm.
const NOTCH: f64 = 0.1;

/// A ring (its first point not repeated) without the points that a mesh of a size does not need; about `kept`, points on the
/// outline, nothing is left out.
pub(super) fn simplified(ring: &[Point], size: &dyn Fn(Point) -> f64, kept: &[Point]) -> Vec<Point> {
    let about: Vec<(Point, f64)> = kept.iter().map(|&k| (k, UNTOUCHED * size(k))).collect();
    let is_free = |p: Point| about.iter().all(|&(k, near)| distance(p, k) > near);
    // Neighbours of a side on which a point to be kept lies stay too, however long the side.
    let bears = |a: Point, b: Point| kept.iter().any(|&k| distance(nearest_on_segment(k, a, b).0, k) < 1e-6);
    let count = ring.len();
    let mut stays = vec![false; count];
    for i in 0..count {
        let next = (i + 1) % count;
        stays[i] |= !is_free(ring[i]);
        if bears(ring[i], ring[next]) {
            stays[i] = true;
            stays[next] = true;
        }
    }
    let strays = |from: Point, to: Point, p: Point| {
        distance(nearest_on_segment(p, from, to).0, p) > (STRAYS * size(p)).min(FARTHEST)
    };
    let mut found = vec![ring[0]];
    let mut from = 0;
    while from < count {
        let mut to = from + 1;
        // The ring's first point is kept, so that the last side ends there.
        while to < count && !stays[to] {
            let next = ring[(to + 1) % count];
            if distance(ring[from], next) > size(ring[to])
                || (from + 1..=to).any(|i| strays(ring[from], next, ring[i]))
            {
                break;
            }
            to += 1;
        }
        if to < count {
            found.push(ring[to]);
        }
        from = to;
    }
    if found.len() < 3 { ring.to_vec() } else { found }
}

/// A ring without the points nearer to the one before than a notch is deep that no bit cuts.
pub(super) fn without_notches(ring: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for &p in ring {
        if kept.last().is_none_or(|&last| distance(last, p) > NOTCH) {
            kept.push(p);
        }
    }
    while kept.len() > 3 && distance(kept[0], kept[kept.len() - 1]) <= NOTCH {
        kept.pop();
    }
    if kept.len() < 3 { ring.to_vec() } else { kept }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::point;

    fn circle(radius: f64, count: usize) -> Vec<Point> {
        let at = |i: usize| {
            let turn = std::f64::consts::TAU * i as f64 / count as f64;
            point(radius * turn.cos(), radius * turn.sin())
        };
        (0..count).map(at).collect()
    }

    #[test]
    fn a_finely_drawn_circle_loses_points_but_not_its_shape() {
        let ring = circle(50.0, 400);
        let found = simplified(&ring, &|_| 8.0, &[]);
        assert!(found.len() < 100, "{}", found.len());
        for pair in found.windows(2) {
            let middle = (pair[0] + pair[1]) / 2.0;
            assert!(50.0 - distance(middle, point(0.0, 0.0)) <= FARTHEST + 1e-9);
        }
    }

    #[test]
    fn about_a_point_to_be_kept_nothing_is_left_out() {
        let ring = circle(50.0, 400);
        let found = simplified(&ring, &|_| 8.0, &[ring[10]]);
        let near = |ring: &[Point], p: Point| ring.iter().filter(|q| distance(**q, p) < 15.0).count();
        assert_eq!(near(&found, ring[10]), near(&ring, ring[10]));
        assert!(found.len() < 150);
    }

    #[test]
    fn corners_stay() {
        let mut ring = Vec::new();
        for side in [
            [(0.0, 0.0), (20.0, 0.0)],
            [(20.0, 0.0), (20.0, 10.0)],
            [(20.0, 10.0), (0.0, 10.0)],
            [(0.0, 10.0), (0.0, 0.0)],
        ] {
            let [a, b] = side.map(|(x, y)| point(x, y));
            ring.extend((0..10).map(|i| a + (b - a) * (f64::from(i) / 10.0)));
        }
        let found = simplified(&ring, &|_| 30.0, &[]);
        for corner in [point(0.0, 0.0), point(20.0, 0.0), point(20.0, 10.0), point(0.0, 10.0)] {
            assert!(found.iter().any(|p| distance(*p, corner) < 1e-9));
        }
        assert_eq!(found.len(), 4);
    }

    #[test]
    fn a_step_that_no_bit_cuts_is_left_out_of_a_ring() {
        let step = [[0.0, 0.0], [70.0, 0.0], [70.0015, 0.0], [70.0015, 0.06], [90.0, 20.0], [0.0, 0.05]];
        let found = without_notches(&step.map(|[x, y]| point(x, y)));
        assert_eq!(found, [[0.0, 0.0], [70.0, 0.0], [90.0, 20.0]].map(|[x, y]| point(x, y)));
        // Of a ring that is nothing but such steps nothing would be left.
        let crumb = [[0.0, 0.0], [0.05, 0.0], [0.05, 0.05], [0.0, 0.05]].map(|[x, y]| point(x, y));
        assert_eq!(without_notches(&crumb), crumb);
    }
}
