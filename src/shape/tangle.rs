//! Counts how often outlines cross, before work is done that grows with it.

use super::box_tree::{BoxTree, in_space};
use super::region::{GridPoint, cross};

/// An edge of an outline and whose it is.
pub(crate) type Edge = (usize, [GridPoint; 2]);

/// So many pairs of edges are compared for each crossing that may be there, and for so many at the least: in drawings a few, between lines that lie
/// slantwise side by side as many as there are lines.
const COMPARED: usize = 1000;
const AT_LEAST: usize = 50_000;

/// What of a drawing has been counted.
pub(crate) struct Tangle {
    limit: usize,
    crossings: usize,
    compared: usize,
}

/// That there are more than may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tangled {
    /// Whose edge has most of the crossings counted.
    pub(crate) owner: usize,
    /// Where one of its edges with a crossing begins.
    pub(crate) at: GridPoint,
    /// Whether too many cross; else too many lie side by side to be looked through.
    pub(crate) crossing: bool,
    /// How many lines were looked at, and how often they may cross.
    pub(crate) lines: usize,
    pub(crate) limit: usize,
}

impl Tangle {
    pub(crate) fn new(limit: usize) -> Self {
        Self { limit, crossings: 0, compared: 0 }
    }

    /// Counts the places where two of `edges` meet otherwise than by ends of both, and stops where there are more than may be.
    ///
    /// # Errors
    ///
    /// [`Tangled`] when, with what was counted before, there are more than the limit.
    pub(crate) fn count(&mut self, mut edges: Vec<Edge>) -> Result<(), Tangled> {
        let (lines, limit) = (edges.len(), self.limit);
        edges.retain(|(_, [a, b])| a != b);
        let frames: Vec<[f64; 4]> = edges.iter().map(|(_, edge)| frame(*edge)).collect();
        let order = in_space(&frames);
        let tree = BoxTree::of_boxes(order.iter().map(|i| frames[*i]));
        let most = self.limit.max(AT_LEAST).saturating_mul(COMPARED);
        let mut met: Vec<usize> = Vec::new();
        let mut last = 0;
        tree.near_pairs(0.0, |i, j| {
            let [i, j] = [order[i].min(order[j]), order[i].max(order[j])];
            self.compared += 1;
            last = i;
            if meet(edges[i].1, edges[j].1) {
                self.crossings += 1;
                met.extend([i, j]);
            }
            self.crossings <= limit && self.compared <= most
        });
        let crossing = self.crossings > limit;
        if !crossing && self.compared <= most {
            return Ok(());
        }
        // Whose edges come earliest in the drawing, of those that cross most.
        met.sort_unstable();
        let owners = met.chunk_by(|a, b| edges[*a].0 == edges[*b].0).rev().max_by_key(|run| run.len());
        let first = owners.filter(|_| crossing).map_or(last, |run| run[0]);
        let (owner, [at, _]) = edges[first];
        Err(Tangled { owner, at, crossing, lines, limit })
    }
}

fn frame([a, b]: [GridPoint; 2]) -> [f64; 4] {
    [a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)].map(f64::from)
}

/// Whether two edges share more than an end of both. One that is drawn twice is one.
fn meet([a, b]: [GridPoint; 2], [c, d]: [GridPoint; 2]) -> bool {
    let side = |p: GridPoint, q: GridPoint, r: GridPoint| cross(q - p, r - p).signum();
    let [c_side, d_side, a_side, b_side] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
    if c_side == 0 && d_side == 0 {
        let twice = (a == c && b == d) || (a == d && b == c);
        let along = |p: GridPoint| if a.x == b.x { p.y } else { p.x };
        let [from, to] = [along(a).min(along(b)), along(a).max(along(b))];
        return !twice && along(c).min(along(d)) < to && from < along(c).max(along(d));
    }
    let end = a == c || a == d || b == c || b == d;
    !end && c_side * d_side <= 0 && a_side * b_side <= 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: i32, y: i32) -> GridPoint {
        GridPoint::new(x, y)
    }

    /// Every second one of `n` lines goes up, every other across.
    fn lattice(n: usize) -> Vec<Edge> {
        let line = |k: i32| if k % 2 == 0 { [at(k, -9), at(k, 9999)] } else { [at(-9, k), at(9999, k)] };
        (0..n).zip((0..).map(line)).collect()
    }

    #[test]
    fn edges_meet_where_they_share_more_than_an_end_of_both() {
        let edge = [at(0, 0), at(10, 4)];
        for (other, meets) in [
            ([at(0, 4), at(10, 0)], true),
            ([at(5, 2), at(5, 9)], true),
            ([at(5, 3), at(5, 9)], false),
            ([at(10, 4), at(0, 9)], false),
            ([at(10, 4), at(20, 8)], false),
            ([at(5, 2), at(20, 8)], true),
            ([at(10, 4), at(0, 0)], false),
            ([at(10, 4), at(-5, -2)], true),
            ([at(15, 6), at(20, 8)], false),
        ] {
            for [a, b] in [other, [other[1], other[0]]] {
                assert_eq!(meet(edge, [a, b]), meets, "{a:?} {b:?}");
                assert_eq!(meet([a, b], edge), meets, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn a_lattice_has_as_many_crossings_as_pairs_of_its_lines() {
        // 30 lines up and 30 across.
        assert_eq!(Tangle::new(900).count(lattice(60)), Ok(()));
        let tangled = Tangle::new(899).count(lattice(60)).unwrap_err();
        assert!(tangled.crossing);
        // What was counted before counts.
        let mut tangle = Tangle::new(1799);
        assert_eq!(tangle.count(lattice(60)), Ok(()));
        assert!(tangle.count(lattice(60)).is_err());
    }

    #[test]
    fn the_outline_with_most_crossings_is_named() {
        // Forty lines of their own, and one that goes to and fro across all of them and comes last.
        let mut edges: Vec<Edge> = (0..40).map(|k| (k as usize, [at(k, -9), at(k, 9999)])).collect();
        edges.extend((0..20).map(|k| (99, [at(-5, 3 * k), at(45, 3 * k + 1)])));
        let tangled = Tangle::new(700).count(edges).unwrap_err();
        assert_eq!((tangled.owner, tangled.crossing), (99, true));
    }

    #[test]
    fn lines_side_by_side_are_given_up_too() {
        let slanted = |k: i32| (0, [at(k, 0), at(k + 1_000_000, 1_000_000)]);
        // 10 000 lines are 49 995 000 pairs.
        assert_eq!(Tangle::new(0).count((0..10_000).map(slanted).collect()), Ok(()));
        assert!(!Tangle::new(0).count((0..10_002).map(slanted).collect()).unwrap_err().crossing);
    }
}
