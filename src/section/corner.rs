//! Re-entrant corners: where the wall turns away from the wood.

use crate::{
    shape::plane::distance,
    skeleton::{WallPoint, Walls},
};

/// The re-entrant corner a touching point lies on.
pub(super) fn corner_at(walls: &Walls, touch: WallPoint) -> Option<usize> {
    let mut ends = [touch.edge, walls.next(touch.edge)].into_iter();
    ends.find(|&i| walls.is_corner(i) && distance(walls.point(i), touch.at) < 1e-6)
}

/// The first re-entrant corner along a wall from a touching point, within `reach`: the wall turns there
/// away from the wood.
pub(crate) fn corner_ahead(walls: &Walls, touch: WallPoint, with_ring: bool, reach: f64) -> Option<usize> {
    if let Some(corner) = corner_at(walls, touch) {
        return Some(corner);
    }
    let mut i = if with_ring { walls.next(touch.edge) } else { touch.edge };
    let mut gone = distance(touch.at, walls.point(i));
    while gone <= reach {
        let p = walls.point(i);
        if walls.is_corner(i) {
            return Some(i);
        }
        i = if with_ring { walls.next(i) } else { walls.previous(i) };
        gone += distance(p, walls.point(i)).max(f64::MIN_POSITIVE);
    }
    None
}
