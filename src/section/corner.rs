//! Re-entrant corners, sharp or rounded: where the wall turns away from the wood.

use crate::{
    shape::plane::{Point, distance},
    skeleton::{WallPoint, Walls},
};

/// A rounded corner turns by this much (30°) at least, and less than the end of a slot (150°).
const ROUNDED: std::ops::Range<f64> = 0.52..2.62;
/// It is no longer along the wall than this part of the radius of the circle that meets it: a fillet of under 0.57 of that radius at
/// a square corner. What is rounder is a hollow.
const LENGTH: f64 = 0.9;

/// The re-entrant corner a touching point lies on.
fn corner_at(walls: &Walls, touch: WallPoint) -> Option<usize> {
    point_at(walls, touch).filter(|&i| walls.is_corner(i))
}

/// The point of the wall a touching point lies on.
fn point_at(walls: &Walls, touch: WallPoint) -> Option<usize> {
    let mut ends = [touch.edge, walls.next(touch.edge)].into_iter();
    ends.find(|&i| distance(walls.point(i), touch.at) < 1e-6)
}

/// Whether a circle that touches a wall here turns about a re-entrant corner, sharp or rounded.
pub(super) fn turns_about_corner(walls: &Walls, touch: WallPoint, radius: f64) -> bool {
    let (edge, next) = (touch.edge, walls.next(touch.edge));
    match point_at(walls, touch) {
        Some(i) => walls.is_corner(i) || is_rounded_corner(walls, i, radius),
        None => walls.bend(next).is_some() && is_rounded_corner(walls, edge, radius),
    }
}

/// Whether a point of the wall belongs to a rounded corner, for a circle of this radius.
fn is_rounded_corner(walls: &Walls, i: usize, radius: f64) -> bool {
    let most = LENGTH * radius;
    let Some(bend) = walls.bend(i) else { return false };
    if bend.length <= most {
        return ROUNDED.contains(&bend.turn);
    }
    // Straight walls longer than that part it into corners, each one for itself.
    bend.longest > most && part_of_bend(walls, i, most).is_some_and(|turn| ROUNDED.contains(&turn))
}

/// How far the part of a bend turns that a point lies in, between sides longer than `most`; nothing where that part is longer itself.
fn part_of_bend(walls: &Walls, i: usize, most: f64) -> Option<f64> {
    let (mut turn, mut length) = (walls.turn(i), 0.0);
    for forward in [true, false] {
        let mut at = i;
        loop {
            let next = if forward { walls.next(at) } else { walls.previous(at) };
            let step = distance(walls.point(at), walls.point(next));
            if walls.bend(next).is_none() || next == i || step > most {
                break;
            }
            (turn, length, at) = (turn + walls.turn(next), length + step, next);
            if length > most {
                return None;
            }
        }
    }
    Some(turn)
}

/// Where the wood opens out at the first re-entrant corner along a wall from a touching point, within `reach`: at the corner itself, or
/// where one that is rounded, for a circle of this radius, has turned by 30°.
///
/// In between the wood grows wider by less than the lever does, if that is longer than 1.7 widths: an arm may break there.
pub(super) fn opens_ahead(
    walls: &Walls,
    touch: WallPoint,
    with_ring: bool,
    reach: f64,
    radius: f64,
) -> Option<Point> {
    let corner = |i: usize| walls.is_corner(i) || is_rounded_corner(walls, i, radius);
    let mut at = first_ahead(walls, touch, with_ring, reach, corner)?;
    let mut turn = walls.turn(at);
    // Of a corner that the circle has rounded in part already less may be left.
    while turn < ROUNDED.start && !walls.is_corner(at) {
        let next = if with_ring { walls.next(at) } else { walls.previous(at) };
        if walls.bend(next).is_none() {
            break;
        }
        at = next;
        turn += walls.turn(at);
    }
    Some(walls.point(at))
}

/// The first re-entrant corner along a wall from a touching point, within `reach`: the wall turns there
/// away from the wood.
pub(crate) fn corner_ahead(walls: &Walls, touch: WallPoint, with_ring: bool, reach: f64) -> Option<usize> {
    first_ahead(walls, touch, with_ring, reach, |i| walls.is_corner(i))
}

fn first_ahead(
    walls: &Walls,
    touch: WallPoint,
    with_ring: bool,
    reach: f64,
    wanted: impl Fn(usize) -> bool,
) -> Option<usize> {
    if let Some(corner) = corner_at(walls, touch) {
        return Some(corner);
    }
    let mut i = if with_ring { walls.next(touch.edge) } else { touch.edge };
    let mut gone = distance(touch.at, walls.point(i));
    while gone <= reach {
        let p = walls.point(i);
        if wanted(i) {
            return Some(i);
        }
        i = if with_ring { walls.next(i) } else { walls.previous(i) };
        gone += distance(p, walls.point(i)).max(f64::MIN_POSITIVE);
    }
    None
}
