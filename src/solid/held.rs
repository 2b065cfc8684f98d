//! What of a body is held, and whether that is enough.

use super::fault::LoosePart;
use super::links::Links;
use super::{Solid, SolidFault};
use std::collections::BTreeMap;

/// The unknowns of a solid that are held at zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    unknowns: Vec<bool>,
}

impl Held {
    /// Holds every unknown for which `holds(position, axis)` is true; axis 0 is x, 1 is y, 2 is z.
    pub fn new(solid: &Solid, holds: impl Fn([f64; 3], usize) -> bool) -> Self {
        let held = |node| {
            let at = solid.position(node);
            [0, 1, 2].map(|axis| holds(at, axis))
        };
        Self { unknowns: (0..solid.node_count()).flat_map(held).collect() }
    }

    /// Holds every node that stands over one of these mesh nodes, which come in rising order.
    pub fn over(solid: &Solid, columns: &[u32]) -> Self {
        let held = |node| [columns.binary_search(&solid.column(node)).is_ok(); 3];
        Self { unknowns: (0..solid.node_count()).flat_map(held).collect() }
    }

    /// Whether an unknown is held.
    pub fn contains(&self, dof: usize) -> bool {
        self.unknowns[dof]
    }

    /// Tells whether every part of `solid` that hangs together is held so that it cannot move as a whole.
    ///
    /// Elements are joined over whole faces only, so a part that hangs together has no hinge in it.
    ///
    /// # Errors
    ///
    /// [`SolidFault::Loose`] with every part that can still move.
    pub fn check(&self, solid: &Solid) -> Result<(), SolidFault> {
        let mut parts = parts(solid);
        parts.retain_mut(|part| {
            part.ways = 6 - self.ways_stopped(solid, part);
            part.ways > 0
        });
        if parts.is_empty() {
            return Ok(());
        }
        Err(SolidFault::Loose {
            parts: parts.into_iter().map(|part| LoosePart { at: part.middle, ways: part.ways }).collect(),
        })
    }

    /// How many of the six ways to move as a whole are stopped: the rank of those movements on the held unknowns.
    fn ways_stopped(&self, solid: &Solid, part: &Part) -> usize {
        let mut gram = [[0.0; 6]; 6];
        for &node in &part.nodes {
            let at = solid.position(node as usize);
            let [x, y, z] = std::array::from_fn(|axis| (at[axis] - part.middle[axis]) / part.size);
            // Displacements of three shifts and three turns, about x, y and z.
            let moves =
                [[1.0, 0.0, 0.0, 0.0, z, -y], [0.0, 1.0, 0.0, -z, 0.0, x], [0.0, 0.0, 1.0, y, -x, 0.0]];
            for (axis, row) in moves.iter().enumerate() {
                if self.contains(3 * node as usize + axis) {
                    for i in 0..6 {
                        for j in 0..6 {
                            gram[i][j] += row[i] * row[j];
                        }
                    }
                }
            }
        }
        rank(gram)
    }
}

/// Nodes that hang together.
struct Part {
    nodes: Vec<u32>,
    middle: [f64; 3],
    size: f64,
    ways: usize,
}

fn parts(solid: &Solid) -> Vec<Part> {
    let mut links = Links::new(solid.node_count());
    for (_, _, nodes) in solid.elements() {
        nodes.iter().for_each(|&node| links.join(nodes[0], node));
    }
    let mut found: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for node in 0..solid.node_count() as u32 {
        found.entry(links.first(node)).or_default().push(node);
    }
    found.into_values().map(|nodes| Part::new(solid, nodes)).collect()
}

impl Part {
    fn new(solid: &Solid, nodes: Vec<u32>) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for &node in &nodes {
            let at = solid.position(node as usize);
            for axis in 0..3 {
                low[axis] = low[axis].min(at[axis]);
                high[axis] = high[axis].max(at[axis]);
            }
        }
        let middle = std::array::from_fn(|axis| f64::midpoint(low[axis], high[axis]));
        let size = (0..3).map(|axis| high[axis] - low[axis]).fold(0.0, f64::max);
        Self { nodes, middle, size, ways: 0 }
    }
}

/// The rank of a matrix that is a sum of squares, by elimination with the largest pivot first.
fn rank(mut gram: [[f64; 6]; 6]) -> usize {
    // A hold one thousandth of the part wide leaves pivots of a millionth; rounding leaves 1e-15.
    const SMALL: f64 = 1e-11;
    let scale = (0..6).map(|i| gram[i][i]).fold(0.0, f64::max);
    let mut used = [false; 6];
    for step in 0..6 {
        let left = (0..6).filter(|&i| !used[i]);
        let Some(pivot) = left.max_by(|&i, &j| gram[i][i].total_cmp(&gram[j][j])) else { return step };
        if gram[pivot][pivot] <= SMALL * scale {
            return step;
        }
        used[pivot] = true;
        let row = gram[pivot];
        for (i, to) in gram.iter_mut().enumerate().filter(|(i, _)| !used[*i]) {
            let share = row[i] / row[pivot];
            to.iter_mut().zip(row).for_each(|(to, value)| *to -= share * value);
        }
    }
    6
}
