//! The stiffness of a whole body, of its free unknowns.

use super::element::{InPlane, Through};
use super::{Held, Solid, SolidFault};

/// The stiffness of the free unknowns of a held solid: of each column the rows from its diagonal down, in order.
pub struct Matrix {
    pub(super) starts: Vec<u32>,
    pub(super) rows: Vec<u32>,
    pub(super) values: Vec<f64>,
    pub(super) skeleton: Skeleton,
    /// Of each unknown its row; `u32::MAX` where it is held.
    pub(super) free: Vec<u32>,
}

impl Solid {
    /// The stiffness of the unknowns that are not held. [`Solid::factor`] assembles by itself; this is for who wants
    /// the steps apart. Whether what is held is enough is not asked.
    ///
    /// # Errors
    ///
    /// [`SolidFault::TooLarge`] when it has more entries than can be numbered.
    pub fn assemble(&self, held: &Held) -> Result<Matrix, SolidFault> {
        Matrix::new(self, held)
    }
}

impl Matrix {
    pub(super) fn new(solid: &Solid, held: &Held) -> Result<Self, SolidFault> {
        let pattern = Pattern::new(solid, held)?;
        let values = pattern.values(solid);
        let skeleton = pattern.skeleton();
        Ok(Self { starts: pattern.starts, rows: pattern.rows, values, skeleton, free: pattern.free })
    }

    /// How many unknowns it has.
    pub const fn size(&self) -> usize {
        self.starts.len() - 1
    }

    /// The product with a vector.
    pub(super) fn times(&self, x: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; x.len()];
        for column in 0..self.size() {
            for at in self.starts[column] as usize..self.starts[column + 1] as usize {
                let (row, value) = (self.rows[at] as usize, self.values[at]);
                product[row] += value * x[column];
                if row != column {
                    product[column] += value * x[row];
                }
            }
        }
        product
    }
}

/// A matrix with far fewer entries that fills in just as the whole one does: of each column the rows above its diagonal.
///
/// A node's free unknowns are eliminated one after the other, so it is enough that the first of them meets every
/// unknown of the neighbours, and each meets the next of its own node: the rest is filled in.
pub(super) struct Skeleton {
    pub(super) starts: Vec<u32>,
    pub(super) rows: Vec<u32>,
}

/// Where the values of a matrix go.
struct Pattern {
    free: Vec<u32>,
    starts: Vec<u32>,
    rows: Vec<u32>,
    /// Of each node where its neighbours with numbers from its own up are listed.
    lists: Vec<usize>,
    /// Those neighbours in order, each with the place of its first row within the node's columns.
    neighbours: Vec<(u32, u32)>,
}

impl Pattern {
    fn new(solid: &Solid, held: &Held) -> Result<Self, SolidFault> {
        let (free, count) = held.free();
        let (ends, listed) = neighbours(solid);
        let mut pattern = Self {
            starts: Vec::with_capacity(count + 1),
            rows: Vec::new(),
            lists: ends,
            neighbours: Vec::with_capacity(listed.len()),
            free,
        };
        pattern.starts.push(0);
        let mut column_rows = Vec::new();
        for node in 0..solid.node_count() {
            column_rows.clear();
            for &neighbour in &listed[pattern.lists[node]..pattern.lists[node + 1]] {
                pattern.neighbours.push((neighbour, column_rows.len() as u32));
                column_rows.extend(pattern.free_of(neighbour));
            }
            // A node's own unknowns come first.
            for (above, _) in pattern.free_of(node as u32).enumerate() {
                pattern.rows.extend_from_slice(&column_rows[above..]);
                let end = u32::try_from(pattern.rows.len());
                pattern.starts.push(end.map_err(|_| SolidFault::TooLarge { unknowns: count })?);
            }
        }
        Ok(pattern)
    }

    /// The rows of a node's free unknowns, which follow each other.
    fn free_of(&self, node: u32) -> impl Iterator<Item = u32> + use<> {
        let first = 3 * node as usize;
        let own: [u32; 3] = std::array::from_fn(|axis| self.free[first + axis]);
        own.into_iter().filter(|&row| row != u32::MAX)
    }

    /// The place of a node's first row within the columns of another with a number as low or lower.
    fn place(&self, column: u32, row: u32) -> u32 {
        let list = &self.neighbours[self.lists[column as usize]..self.lists[column as usize + 1]];
        let at = list.partition_point(|&(neighbour, _)| neighbour < row);
        list[at].1
    }

    fn skeleton(&self) -> Skeleton {
        let nodes = self.lists.len() - 1;
        // Of each node with free unknowns the first rows of its neighbours with lower numbers, in order.
        let mut below = vec![Vec::new(); nodes];
        for node in 0..nodes {
            let Some(first) = self.free_of(node as u32).next() else { continue };
            for &(other, _) in &self.neighbours[self.lists[node] + 1..self.lists[node + 1]] {
                below[other as usize].push(first);
            }
        }
        let mut skeleton = Skeleton { starts: vec![0], rows: Vec::new() };
        for (node, below) in below.iter().enumerate() {
            let mut last = None;
            for row in self.free_of(node as u32) {
                skeleton.rows.extend(below.iter().copied().chain(last));
                skeleton.starts.push(skeleton.rows.len() as u32);
                last = Some(row);
            }
        }
        skeleton
    }

    /// Adds up the elements in a fixed order.
    fn values(&self, solid: &Solid) -> Vec<f64> {
        let body = solid.body();
        let layers: Vec<_> = body.layers.iter().map(|layer| Through::new(layer.height())).collect();
        let mut values = vec![0.0; self.rows.len()];
        let mut last: Option<(usize, Vec<(usize, InPlane)>)> = None;
        for (triangle, layer, nodes) in solid.elements() {
            if last.as_ref().is_none_or(|(of, _)| *of != triangle) {
                last = Some((triangle, Vec::new()));
            }
            let (_, planes) = last.as_mut().expect("just set");
            let wood =
                body.layers[layer].wood_in(body.mesh.zones[triangle]).expect("elements() has wood only");
            if !planes.iter().any(|(of, _)| *of == wood) {
                planes.push((wood, InPlane::new(&body.mesh, triangle, &body.woods[wood])));
            }
            let (_, plane) = planes.iter().find(|(of, _)| *of == wood).expect("just added");
            self.add(&mut values, plane, &layers[layer], nodes);
        }
        values
    }

    fn add(&self, values: &mut [f64], plane: &InPlane, through: &Through, nodes: &[u32; 18]) {
        for n in 0..18 {
            for m in 0..18 {
                let (column, row) = (nodes[m], nodes[n]);
                if column > row {
                    continue;
                }
                let Some(first) = self.free_of(column).next() else { continue };
                let coupling = plane.coupling(through, m, n);
                let place = self.place(column, row);
                for (s, coupling) in coupling.iter().enumerate() {
                    let at = self.free[3 * column as usize + s];
                    if at == u32::MAX {
                        continue;
                    }
                    // Each of a node's columns starts a row further down than the one before.
                    let column_start = self.starts[at as usize] as usize;
                    let mut to =
                        column_start + place as usize - if column == row { 0 } else { (at - first) as usize };
                    for (t, coupling) in coupling.iter().enumerate() {
                        let from = self.free[3 * row as usize + t];
                        if from != u32::MAX && (column != row || from >= at) {
                            values[to] += coupling;
                            to += 1;
                        }
                    }
                }
            }
        }
    }
}

/// Of each node the nodes with numbers from its own up that share an element with it, in order: where each list starts,
/// and all lists.
fn neighbours(solid: &Solid) -> (Vec<usize>, Vec<u32>) {
    let count = solid.node_count();
    let mut starts = vec![0usize; count + 1];
    for (_, _, nodes) in solid.elements() {
        nodes.iter().for_each(|&node| starts[node as usize + 1] += 1);
    }
    for node in 0..count {
        starts[node + 1] += starts[node];
    }
    let mut filled = starts.clone();
    let mut elements: Vec<&[u32; 18]> = vec![&[0; 18]; starts[count]];
    for (_, _, nodes) in solid.elements() {
        for &node in nodes {
            elements[filled[node as usize]] = nodes;
            filled[node as usize] += 1;
        }
    }
    let (mut ends, mut listed) = (vec![0], Vec::new());
    let mut seen = vec![u32::MAX; count];
    for node in 0..count {
        let start = listed.len();
        for &other in elements[starts[node]..starts[node + 1]].iter().copied().flatten() {
            if other as usize >= node && seen[other as usize] != node as u32 {
                seen[other as usize] = node as u32;
                listed.push(other);
            }
        }
        listed[start..].sort_unstable();
        ends.push(listed.len());
    }
    (ends, listed)
}
