//! Finds the segments of outlines that come near each other, and those that lie at a place.

use geo_types::Coord;

/// Boxes over runs of consecutive segments, halved down to single ones.
///
/// Neighbours along an outline are neighbours in space, so the order its segments come in is a good
/// enough tree: no sorting, no balancing, and the same visits on every machine. Those of many outlines are put [`in_space`] first.
#[derive(Clone, Debug)]
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
        let frame = |[a, b]: &[Coord<f64>; 2]| [a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)];
        Self::of_boxes(segments.iter().map(frame))
    }

    /// Builds the tree over boxes: smallest and largest x and y of each.
    pub(crate) fn of_boxes(all: impl ExactSizeIterator<Item = [f64; 4]>) -> Self {
        let leaves = all.len().next_power_of_two();
        let mut boxes = vec![EMPTY; 2 * leaves];
        for (node, one) in boxes[leaves..].iter_mut().zip(all) {
            *node = one;
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

    /// Visits, in order, every one whose box and `frame` share a point, until told to stop.
    pub(crate) fn meeting(&self, frame: [f64; 4], mut visit: impl FnMut(usize) -> bool) {
        let mut waiting = vec![1];
        while let Some(node) = waiting.pop() {
            if !near(&self.boxes[node], &frame, 0.0) {
            } else if node < self.leaves {
                waiting.extend([2 * node + 1, 2 * node]);
            } else if !visit(node - self.leaves) {
                return;
            }
        }
    }

    fn near(&self, a: usize, b: usize, distance: f64) -> bool {
        near(&self.boxes[a], &self.boxes[b], distance)
    }
}

/// The order of boxes in which those that lie near each other come near each other: along a curve that fills the plane, Morton's, by
/// their middles. For boxes in no order of their own.
pub(crate) fn in_space(boxes: &[[f64; 4]]) -> Vec<usize> {
    const STEPS: f64 = 65_535.0;
    let all =
        boxes.iter().fold(EMPTY, |a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])]);
    let scale = STEPS / (all[2] - all[0]).max(all[3] - all[1]).max(f64::MIN_POSITIVE);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 0 to the steps; the cast saturates"
    )]
    let step = |middle: f64, from: f64| ((middle - from) * scale) as u32;
    // Every bit is followed by a gap.
    let spread = |step: u32| {
        let mut bits = u64::from(step) & 0xffff;
        for (shift, mask) in [(8, 0x00ff_00ff), (4, 0x0f0f_0f0f), (2, 0x3333_3333), (1, 0x5555_5555)] {
            bits = (bits | (bits << shift)) & mask;
        }
        bits
    };
    let code = |b: &[f64; 4]| {
        let [x, y] = [f64::midpoint(b[0], b[2]), f64::midpoint(b[1], b[3])];
        spread(step(x, all[0])) | (spread(step(y, all[1])) << 1)
    };
    let mut order: Vec<(u64, usize)> = boxes.iter().map(code).zip(0..).collect();
    order.sort_unstable();
    order.into_iter().map(|(_, i)| i).collect()
}

fn near(a: &[f64; 4], b: &[f64; 4], distance: f64) -> bool {
    a[0] <= b[2] + distance && b[0] <= a[2] + distance && a[1] <= b[3] + distance && b[1] <= a[3] + distance
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slopes() -> Vec<[Coord<f64>; 2]> {
        (0..37)
            .map(|i| {
                let x = f64::from(i % 6) * 1.1;
                let y = f64::from(i / 6) * 0.7;
                [Coord { x, y }, Coord { x: x + 1.0, y: y + 0.5 }]
            })
            .collect()
    }

    #[test]
    fn those_at_a_place_are_visited_in_order_until_told_to_stop() {
        let segments = slopes();
        let frame = [2.0, 0.6, 3.5, 1.5];
        let expected: Vec<usize> = (0..segments.len())
            .filter(|i| {
                let [a, b] = segments[*i];
                a.x <= frame[2] && b.x >= frame[0] && a.y <= frame[3] && b.y >= frame[1]
            })
            .collect();
        assert!(expected.len() > 3 && expected.len() < 20);
        for most in [1, 3, usize::MAX] {
            let mut found = Vec::new();
            BoxTree::new(&segments).meeting(frame, |i| {
                found.push(i);
                found.len() < most
            });
            assert_eq!(found, expected[..most.min(expected.len())]);
        }
        BoxTree::new(&[]).meeting(frame, |_| panic!("there is none"));
    }

    #[test]
    fn squares_of_four_come_together_along_the_curve() {
        // A square of sixteen, by rows.
        let boxes: Vec<[f64; 4]> = (0..16)
            .map(|i| {
                let [x, y] = [f64::from(i % 4), f64::from(i / 4)];
                [x, y, x + 0.5, y + 0.5]
            })
            .collect();
        assert_eq!(in_space(&boxes), [0, 1, 4, 5, 2, 3, 6, 7, 8, 9, 12, 13, 10, 11, 14, 15]);
        assert!(in_space(&[]).is_empty());
    }

    #[test]
    fn every_near_pair_is_visited_once() {
        let segments = slopes();
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
