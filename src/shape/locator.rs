//! Which wood of many outlines a place lies in, asked often.

use super::box_tree::{BoxTree, in_space};
use super::region::{GridPoint, Ring, edges};

/// A place in half steps, so that the middle between two grid points is one too.
type Doubled = [i64; 2];

fn doubled(p: GridPoint) -> Doubled {
    [2 * i64::from(p.x), 2 * i64::from(p.y)]
}

/// Rings that do not cross, made ready to be asked often what lies in them.
#[derive(Clone, Debug)]
pub(crate) struct Locator {
    edges: Vec<[Doubled; 2]>,
    tree: BoxTree,
}

impl Locator {
    pub(crate) fn new<'a>(rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let edges: Vec<[Doubled; 2]> =
            rings.into_iter().flat_map(|ring| edges(ring)).map(|edge| edge.map(doubled)).collect();
        let frame = |[a, b]: &[Doubled; 2]| {
            [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])].map(exact)
        };
        let frames: Vec<[f64; 4]> = edges.iter().map(frame).collect();
        let order = in_space(&frames);
        let tree = BoxTree::of_boxes(order.iter().map(|i| frames[*i]));
        Self { edges: order.into_iter().map(|i| edges[i]).collect(), tree }
    }

    /// Whether `p` lies inside or on a ring.
    pub(crate) fn holds(&self, p: GridPoint) -> bool {
        self.inside(doubled(p)) != Some(false)
    }

    /// Whether an edge comes into a box, as far as boxes tell.
    pub(crate) fn has_edges_in(&self, frame: [i32; 4]) -> bool {
        let mut any = false;
        self.tree.meeting(frame.map(|side| 2.0 * f64::from(side)), |_| {
            any = true;
            false
        });
        any
    }

    /// Whether `inner`, which crosses no edge and shares none, lies in it.
    pub(super) fn encloses(&self, inner: &Ring) -> bool {
        let corners = inner.iter().map(|p| doubled(*p));
        // The sum of both ends is twice their middle.
        let middles =
            edges(inner).map(|[a, b]| [i64::from(a.x) + i64::from(b.x), i64::from(a.y) + i64::from(b.y)]);
        corners.chain(middles).find_map(|p| self.inside(p)) == Some(true)
    }

    /// Whether `p` lies inside, by how many edges a ray from it to the right crosses; `None` when it lies on one.
    ///
    /// Rings do not overlap, so all of them together give the parity.
    fn inside(&self, p: Doubled) -> Option<bool> {
        let mut inside = Some(false);
        let [x, y] = p.map(exact);
        self.tree.meeting([x, y, f64::INFINITY, y], |edge| {
            let [a, b] = self.edges[edge];
            // Up to 2^33 · 2^33.
            let turn = i128::from(b[0] - a[0]) * i128::from(p[1] - a[1])
                - i128::from(b[1] - a[1]) * i128::from(p[0] - a[0]);
            let between = |k: usize| a[k].min(b[k]) <= p[k] && p[k] <= a[k].max(b[k]);
            if turn == 0 && between(0) && between(1) {
                inside = None;
            } else if (a[1] > p[1]) != (b[1] > p[1]) && (turn > 0) == (b[1] > a[1]) {
                inside = inside.map(|inside| !inside);
            }
            inside.is_some()
        });
        inside
    }
}

/// A doubled step is a whole number far below 2^53.
#[expect(clippy::cast_precision_loss, reason = "whole numbers up to 2^32")]
fn exact(steps: i64) -> f64 {
    steps as f64
}
