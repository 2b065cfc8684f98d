//! The stiffness of a whole body, of its free unknowns.

use super::element::{InPlane, Through};
use super::mirror::{Mirror, Parity, Piece, Pieces, Unknowns};
use super::{Held, Solid, SolidFault};

/// The stiffness of the free unknowns of a held solid.
pub struct Matrix {
    /// One; or where body and hold are their own mirror image two that have nothing to do with each other.
    pub(super) systems: Vec<System>,
}

/// Equations that hang together: of each column the rows from its diagonal down, in order.
pub(super) struct System {
    pub(super) starts: Vec<u32>,
    pub(super) rows: Vec<u32>,
    pub(super) values: Vec<f64>,
    pub(super) skeleton: Skeleton,
    pub(super) unknowns: Unknowns,
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
        let mirror = Mirror::of(solid, held);
        let system = |&parity: &Parity| {
            let unknowns = Unknowns::new(solid, held, mirror.as_ref(), parity);
            System::new(solid, mirror.as_ref(), unknowns)
        };
        Ok(Self { systems: Parity::of(mirror.as_ref()).iter().map(system).collect::<Result<_, _>>()? })
    }

    /// How many unknowns it has.
    pub fn size(&self) -> usize {
        self.systems.iter().map(System::size).sum()
    }
}

impl System {
    pub(super) fn new(
        solid: &Solid,
        mirror: Option<&Mirror>,
        unknowns: Unknowns,
    ) -> Result<Self, SolidFault> {
        let pieces = Pieces::new(solid, mirror);
        let pattern = Pattern::new(solid, &pieces, unknowns)?;
        let values = pattern.values(solid, &pieces);
        let skeleton = pattern.skeleton();
        let Pattern { starts, rows, unknowns, .. } = pattern;
        Ok(Self { starts, rows, values, skeleton, unknowns })
    }

    /// How many unknowns it has.
    pub(super) const fn size(&self) -> usize {
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
    unknowns: Unknowns,
    starts: Vec<u32>,
    rows: Vec<u32>,
    /// Of each node where its neighbours with numbers from its own up are listed.
    lists: Vec<usize>,
    /// Those neighbours in order, each with the place of its first row within the node's columns.
    neighbours: Vec<(u32, u32)>,
}

impl Pattern {
    fn new(solid: &Solid, pieces: &Pieces<'_>, unknowns: Unknowns) -> Result<Self, SolidFault> {
        let count = unknowns.count;
        let (ends, listed) = neighbours(solid.node_count(), pieces);
        let mut pattern = Self {
            starts: Vec::with_capacity(count + 1),
            rows: Vec::new(),
            lists: ends,
            neighbours: Vec::with_capacity(listed.len()),
            unknowns,
        };
        pattern.starts.push(0);
        let mut column_rows = Vec::new();
        for node in 0..solid.node_count() {
            // One that another stands for has no neighbours of its own.
            if pattern.lists[node] == pattern.lists[node + 1] {
                continue;
            }
            column_rows.clear();
            for &neighbour in &listed[pattern.lists[node]..pattern.lists[node + 1]] {
                pattern.neighbours.push((neighbour, column_rows.len() as u32));
                column_rows.extend(pattern.unknowns.of_node(neighbour));
            }
            // A node's own unknowns come first.
            for (above, _) in pattern.unknowns.of_node(node as u32).enumerate() {
                pattern.rows.extend_from_slice(&column_rows[above..]);
                let end = u32::try_from(pattern.rows.len());
                pattern.starts.push(end.map_err(|_| SolidFault::TooLarge { unknowns: count })?);
            }
        }
        Ok(pattern)
    }

    fn skeleton(&self) -> Skeleton {
        let nodes = self.lists.len() - 1;
        // Of each node with free unknowns the first rows of its neighbours with lower numbers, in order.
        let mut below = vec![Vec::new(); nodes];
        for node in 0..nodes {
            let Some(first) = self.unknowns.of_node(node as u32).next() else { continue };
            // It is the first of its own neighbours.
            for &(other, _) in self.neighbours[self.lists[node]..self.lists[node + 1]].iter().skip(1) {
                below[other as usize].push(first);
            }
        }
        let mut skeleton = Skeleton { starts: vec![0], rows: Vec::new() };
        for (node, below) in below.iter().enumerate() {
            if self.lists[node] == self.lists[node + 1] {
                continue;
            }
            let mut last = None;
            for row in self.unknowns.of_node(node as u32) {
                skeleton.rows.extend(below.iter().copied().chain(last));
                skeleton.starts.push(skeleton.rows.len() as u32);
                last = Some(row);
            }
        }
        skeleton
    }

    /// Adds up the elements in a fixed order.
    fn values(&self, solid: &Solid, pieces: &Pieces<'_>) -> Vec<f64> {
        let body = solid.body();
        let layers: Vec<_> = body.layers.iter().map(|layer| Through::new(layer.height())).collect();
        let mut values = zeros(self.rows.len());
        let mut last: Option<(usize, Vec<(usize, InPlane)>)> = None;
        for piece in pieces.each() {
            let (triangle, layer) = (piece.triangle, piece.layer);
            if last.as_ref().is_none_or(|(of, _)| *of != triangle) {
                last = Some((triangle, Vec::new()));
            }
            let (_, planes) = last.as_mut().expect("just set");
            let wood = body.layers[layer].wood_in(body.mesh.zones[triangle]).expect("pieces are wood only");
            if !planes.iter().any(|(of, _)| *of == wood) {
                planes.push((wood, InPlane::new(&body.mesh, triangle, &body.woods[wood])));
            }
            let (_, plane) = planes.iter().find(|(of, _)| *of == wood).expect("just added");
            let through = &layers[layer];
            if piece.in_the_middle {
                let halves = through.halves(self.unknowns.parity == Parity::Even);
                self.add(&mut values, &piece, |m, n| plane.coupling_of_halves(&halves, m, n));
            } else {
                self.add(&mut values, &piece, |m, n| plane.coupling(through, m, n));
            }
        }
        values
    }

    fn add(&self, values: &mut [f64], piece: &Piece<'_>, coupling: impl Fn(usize, usize) -> [[f64; 3]; 3]) {
        let rows: [[u32; 3]; 18] = piece.nodes.map(|node| self.unknowns.rows_of(node));
        let is_free = |n: usize| rows[n].iter().all(|&row| row != u32::MAX);
        let mut rising: Vec<usize> = piece.local().collect();
        rising.sort_unstable_by_key(|&n| piece.nodes[n]);
        for (k, &m) in rising.iter().enumerate() {
            let column = piece.nodes[m];
            let Some(first) = self.unknowns.of_node(column).next() else { continue };
            let list = &self.neighbours[self.lists[column as usize]..self.lists[column as usize + 1]];
            let mut at = 0;
            for &n in &rising[k..] {
                let row = piece.nodes[n];
                // Most follow the one before, or are the same.
                if list[at].0 != row {
                    at += 1;
                    if list[at].0 != row {
                        at += list[at..].partition_point(|&(neighbour, _)| neighbour < row);
                    }
                }
                let place = list[at].1 as usize;
                let coupling = coupling(m, n);
                // Each of a node's columns starts a row further down than the one before.
                if m != n && is_free(m) && is_free(n) {
                    for (s, (coupling, &own)) in coupling.iter().zip(&rows[m]).enumerate() {
                        let to = self.starts[own as usize] as usize + place - s;
                        let to = &mut values[to..to + 3];
                        to.iter_mut().zip(coupling).for_each(|(to, coupling)| *to += piece.weight * coupling);
                    }
                    continue;
                }
                for (coupling, &own) in coupling.iter().zip(&rows[m]).filter(|(_, row)| **row != u32::MAX) {
                    let start = self.starts[own as usize] as usize;
                    let mut to = start + place - if m == n { 0 } else { (own - first) as usize };
                    for (coupling, &other) in coupling.iter().zip(&rows[n]) {
                        if other != u32::MAX && (m != n || other >= own) {
                            values[to] += piece.weight * coupling;
                            to += 1;
                        }
                    }
                }
            }
        }
    }
}

/// So many zeros, each of them written. Memory that the system only promises to be zero costs twice where sums are begun in it: it is
/// read before it is written, and given out for each.
pub(super) fn zeros(count: usize) -> Vec<f64> {
    let mut values = Vec::with_capacity(count);
    values.resize(count, 0.0);
    values
}

/// Of each node the nodes with numbers from its own up that share an element with it, in order: where each list starts,
/// and all lists.
fn neighbours(count: usize, pieces: &Pieces<'_>) -> (Vec<usize>, Vec<u32>) {
    let all: Vec<&[u32]> = pieces.each().map(|piece| &piece.nodes[piece.local()]).collect();
    let mut starts = vec![0usize; count + 1];
    for nodes in &all {
        nodes.iter().for_each(|&node| starts[node as usize + 1] += 1);
    }
    for node in 0..count {
        starts[node + 1] += starts[node];
    }
    let mut filled = starts.clone();
    let mut elements: Vec<u32> = vec![0; starts[count]];
    for (element, nodes) in (0u32..).zip(&all) {
        for &node in *nodes {
            elements[filled[node as usize]] = element;
            filled[node as usize] += 1;
        }
    }
    let (mut ends, mut listed) = (vec![0], Vec::new());
    let mut seen = vec![u32::MAX; count];
    for node in 0..count {
        let start = listed.len();
        for &other in elements[starts[node]..starts[node + 1]].iter().flat_map(|&e| all[e as usize]) {
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
