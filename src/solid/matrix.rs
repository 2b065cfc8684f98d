//! The stiffness of a whole body, of its free unknowns.

use super::element::{InPlane, Through};
use super::{Held, Solid, SolidFault};

/// The stiffness of the free unknowns of a held solid: of each column the rows up to its diagonal, in order.
pub struct Matrix {
    pub(super) starts: Vec<u32>,
    pub(super) rows: Vec<u32>,
    pub(super) values: Vec<f64>,
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
        Ok(Self { starts: pattern.starts, rows: pattern.rows, values, free: pattern.free })
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

/// Where the values of a matrix go.
struct Pattern {
    free: Vec<u32>,
    starts: Vec<u32>,
    rows: Vec<u32>,
    /// Of each node where its neighbours with numbers up to its own are listed.
    lists: Vec<usize>,
    /// Those neighbours in order, each with the place of its first row within the node's columns.
    neighbours: Vec<(u32, u32)>,
}

impl Pattern {
    fn new(solid: &Solid, held: &Held) -> Result<Self, SolidFault> {
        let (free, count) = held.free();
        let lists = neighbours(solid);
        let mut pattern = Self {
            starts: Vec::with_capacity(count + 1),
            rows: Vec::new(),
            lists: vec![0],
            neighbours: Vec::new(),
            free,
        };
        pattern.starts.push(0);
        let mut column_rows = Vec::new();
        for (node, list) in lists.iter().enumerate() {
            column_rows.clear();
            for &neighbour in list {
                pattern.neighbours.push((neighbour, column_rows.len() as u32));
                let first = 3 * neighbour as usize;
                column_rows
                    .extend(pattern.free[first..first + 3].iter().copied().filter(|&row| row != u32::MAX));
            }
            pattern.lists.push(pattern.neighbours.len());
            for dof in 3 * node..3 * node + 3 {
                let column = pattern.free[dof];
                if column != u32::MAX {
                    pattern.rows.extend(column_rows.iter().take_while(|&&row| row <= column));
                    let end = u32::try_from(pattern.rows.len());
                    pattern.starts.push(end.map_err(|_| SolidFault::TooLarge { unknowns: count })?);
                }
            }
        }
        Ok(pattern)
    }

    /// The place of a node's first row within the columns of another with a number as high or higher.
    fn place(&self, column: u32, row: u32) -> u32 {
        let list = &self.neighbours[self.lists[column as usize]..self.lists[column as usize + 1]];
        let at = list.partition_point(|&(neighbour, _)| neighbour < row);
        list[at].1
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
                let (row, column) = (nodes[m], nodes[n]);
                if row > column {
                    continue;
                }
                let coupling = plane.coupling(through, m, n);
                let place = self.place(column, row) as usize;
                for t in 0..3 {
                    let at = self.free[3 * column as usize + t];
                    if at == u32::MAX {
                        continue;
                    }
                    let mut to = self.starts[at as usize] as usize + place;
                    for (s, coupling) in coupling.iter().enumerate() {
                        let from = self.free[3 * row as usize + s];
                        if from != u32::MAX && from <= at {
                            values[to] += coupling[t];
                            to += 1;
                        }
                    }
                }
            }
        }
    }
}

/// Of each node the nodes with numbers up to its own that share an element with it, in order.
fn neighbours(solid: &Solid) -> Vec<Vec<u32>> {
    let mut lists: Vec<Vec<u32>> = vec![Vec::new(); solid.node_count()];
    for (_, _, nodes) in solid.elements() {
        for &node in nodes {
            lists[node as usize].extend(nodes.iter().filter(|&&other| other <= node));
        }
    }
    for list in &mut lists {
        list.sort_unstable();
        list.dedup();
        list.shrink_to_fit();
    }
    lists
}
