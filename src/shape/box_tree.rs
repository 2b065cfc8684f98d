//! Finds the segments of outlines that come near each other.

use geo_types::Coord;

/// Boxes over runs of consecutive segments, halved down to single ones.
///
/// Neighbours along an outline are neighbours in space, so the order the segments come in is a good
/// enough tree: no sorting, no balancing, and the same visits on every machine.
pub(crate) struct BoxTree {
    /// A heap: node `i` covers nodes `2i` and `2i + 1`; the leaves start at `leaves`.
    boxes: Vec<[f64; 4]>,
    leaves: usize,
}

/// A box that touches nothing.
const EMPTY: [f64; 4] = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];

impl BoxTree {
    /// Builds the tree over `segments`.
    pub(crate) fn new(segments: &[[Coord<f64>; 2]]) -> Self {
        let leaves = segments.len().next_power_of_two();
        let mut boxes = vec![EMPTY; 2 * leaves];
        for (node, [a, b]) in boxes[leaves..].iter_mut().zip(segments) {
            *node = [a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)];
        }
        for node in (1..leaves).rev() {
            let (l, r) = (boxes[2 * node], boxes[2 * node + 1]);
            boxes[node] = [l[0].min(r[0]), l[1].min(r[1]), l[2].max(r[2]), l[3].max(r[3])];
        }
        Self { boxes, leaves }
    }

    /// Visits every pair `i < j` whose boxes come within `distance` of each other, until told to stop.
    pub(crate) fn near_pairs(&self, distance: f64, mut visit: impl FnMut(usize, usize) -> bool) {
        let mut waiting = vec![(1, 1)];
        while let Some((a, b)) = waiting.pop() {
            if a == b {
                if a < self.leaves {
                    let (l, r) = (2 * a, 2 * a + 1);
                    waiting.extend([(r, r), (l, r), (l, l)]);
                }
            } else if self.near(a, b, distance) {
                // Both nodes always stand at the same depth.
                if a >= self.leaves {
                    if !visit(a - self.leaves, b - self.leaves) {
                        return;
                    }
                } else {
                    let (a, b) = (2 * a, 2 * b);
                    waiting.extend([(a + 1, b + 1), (a + 1, b), (a, b + 1), (a, b)]);
                }
            }
        }
    }

    fn near(&self, a: usize, b: usize, distance: f64) -> bool {
        let (a, b) = (&self.boxes[a], &self.boxes[b]);
        a[0] <= b[2] + distance
            && b[0] <= a[2] + distance
            && a[1] <= b[3] + distance
            && b[1] <= a[3] + distance
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_near_pair_is_visited_once() {
        let segments: Vec<[Coord<f64>; 2]> = (0..37)
            .map(|i| {
                let x = f64::from(i % 6) * 1.1;
                let y = f64::from(i / 6) * 0.7;
                [Coord { x, y }, Coord { x: x + 1.0, y: y + 0.5 }]
            })
            .collect();
        let mut found = Vec::new();
        BoxTree::new(&segments).near_pairs(0.15, |i, j| {
            found.push((i, j));
            true
        });
        found.sort_unstable();
        let mut expected = Vec::new();
        for i in 0..segments.len() {
            for j in i + 1..segments.len() {
                let [a, b] = [segments[i], segments[j]];
                let apart = |lo: f64, hi: f64, lo2: f64, hi2: f64| (lo2 - hi).max(lo - hi2);
                if apart(a[0].x, a[1].x, b[0].x, b[1].x) <= 0.15
                    && apart(a[0].y, a[1].y, b[0].y, b[1].y) <= 0.15
                {
                    expected.push((i, j));
                }
            }
        }
        assert_eq!(found, expected);
    }
}
