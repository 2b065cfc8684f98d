//! What many loads do to many measures, without a single displacement being worked out.
//!
//! A measure q of the displacement under a load f is `qᵀ·K⁻¹·f`, and with `K = L·Lᵀ` that is
//!
//! ```text
//! qᵀ·K⁻¹·f = (L⁻¹q)ᵀ·(L⁻¹f)
//! ```
//!
//! so loads and measures need only half a solution each. Such a half is short: what touches a few unknowns
//! reaches only the columns of L on the way from those to the root of the elimination tree, a few percent of
//! all. Loads that stand close together share most of that way and go in one block.

use super::factor::{BLOCK, Factor};
use super::{Sparse, threads};
use faer::linalg::matmul::matmul;
use faer::linalg::triangular_solve::solve_lower_triangular_in_place;
use faer::sparse::linalg::cholesky::supernodal::SupernodalLltRef;
use faer::{Accum, MatMut, MatRef, Par};

/// Every measure under every load.
#[derive(Clone, Debug, PartialEq)]
pub struct Influence {
    loads: usize,
    values: Vec<f64>,
}

impl Influence {
    /// Measure `asked` under load `load`.
    pub fn at(&self, asked: usize, load: usize) -> f64 {
        self.row(asked)[load]
    }

    /// Measure `asked` under each load.
    pub fn row(&self, asked: usize) -> &[f64] {
        &self.values[asked * self.loads..(asked + 1) * self.loads]
    }
}

/// The elimination tree, by supernodes: columns of the factor with one pattern, kept together.
pub(super) struct Tree {
    /// Of each row its supernode.
    of: Vec<u32>,
    /// Of each supernode the one its pattern starts in; itself at a root.
    parent: Vec<u32>,
}

impl Tree {
    pub(super) fn new(factor: SupernodalLltRef<'_, u32, f64>, size: usize) -> Self {
        let count = factor.symbolic().n_supernodes();
        let mut of = vec![0; size];
        for number in 0..count {
            let node = factor.supernode(number);
            of[node.start()..node.start() + node.val().ncols()].fill(number as u32);
        }
        let parent = |number: usize| {
            factor.supernode(number).pattern().first().map_or(number as u32, |&row| of[row as usize])
        };
        let parent = (0..count).map(parent).collect();
        Self { of, parent }
    }

    /// All supernodes on the ways from `rows` to the roots, in order.
    fn ways(&self, rows: impl Iterator<Item = usize>) -> Vec<u32> {
        let mut seen = vec![false; self.parent.len()];
        let mut ways = Vec::new();
        for row in rows {
            let mut node = self.of[row];
            while !seen[node as usize] {
                seen[node as usize] = true;
                ways.push(node);
                node = self.parent[node as usize];
            }
        }
        ways.sort_unstable();
        ways
    }
}

/// `L⁻¹` times a block of loads, of the rows that are not zero: those of some supernodes, one after the other.
struct Half {
    supernodes: Vec<u32>,
    /// Where the rows of each supernode start; and the count of all.
    starts: Vec<usize>,
    columns: usize,
    values: Vec<f64>,
}

impl Half {
    fn values(&self) -> MatRef<'_, f64> {
        MatRef::from_column_major_slice(&self.values, *self.starts.last().expect("it ends"), self.columns)
    }
}

impl Factor {
    /// Every measure in `asked` of the displacement under every load: `qᵀ·K⁻¹·f`. Both are sparse; what
    /// they say of held unknowns is passed over.
    ///
    /// A load is force on unknowns; a measure is how much each unknown's displacement counts. Loads and measures
    /// may be swapped and give the same (reciprocity). The result is the same, bit for bit, on any number of
    /// `threads`.
    ///
    /// # Accuracy
    ///
    /// As [`solve`](Self::solve) followed by the sum: they differ by rounding alone.
    pub fn influence(&self, loads: &[Sparse], asked: &[Sparse], threads: usize) -> Influence {
        // Halves of the measures are kept, in portions that stay below some hundred megabytes.
        const KEPT: usize = 1024;
        let (load_order, asked_order) = (self.by_elimination(loads), self.by_elimination(asked));
        let load_blocks: Vec<_> = load_order.chunks(BLOCK).collect();
        let mut values = vec![0.0; loads.len() * asked.len()];
        for portion in asked_order.chunks(KEPT) {
            let asked_blocks: Vec<_> = portion.chunks(BLOCK).collect();
            let halves =
                threads::in_order(asked_blocks.len(), threads, |index| self.half(asked, asked_blocks[index]));
            let products = threads::in_order(load_blocks.len(), threads, |index| {
                let half = self.half(loads, load_blocks[index]);
                halves.iter().map(|other| product(other, &half)).collect::<Vec<_>>()
            });
            for (load_block, products) in load_blocks.iter().zip(products) {
                for (asked_block, product) in asked_blocks.iter().zip(products) {
                    for (load, column) in load_block.iter().zip(product.chunks_exact(asked_block.len())) {
                        for (asked, value) in asked_block.iter().zip(column) {
                            values[asked * loads.len() + load] = *value;
                        }
                    }
                }
            }
        }
        Influence { loads: loads.len(), values }
    }

    /// The numbers of some loads, those near each other in the elimination side by side.
    fn by_elimination(&self, loads: &[Sparse]) -> Vec<usize> {
        let first = |load: &usize| self.rows_of(&loads[*load]).map(|(row, _)| row).min();
        let mut order: Vec<usize> = (0..loads.len()).collect();
        order.sort_by_key(first);
        order
    }

    fn rows_of<'a>(&'a self, load: &'a Sparse) -> impl Iterator<Item = (usize, f64)> + 'a {
        load.iter().filter_map(|&(dof, value)| Some((self.row(dof)?, value)))
    }

    fn half(&self, loads: &[Sparse], block: &[usize]) -> Half {
        let factor = self.supernodes();
        let supernodes =
            self.tree.ways(block.iter().flat_map(|&load| self.rows_of(&loads[load])).map(|(row, _)| row));
        let mut starts = vec![0];
        // Of each supernode on the way, where its rows are minus where they are in the whole.
        let mut shift = vec![0isize; self.tree.parent.len()];
        let (mut rows, mut longest) = (0, 0);
        for &number in &supernodes {
            let node = factor.supernode(number as usize);
            shift[number as usize] = rows as isize - node.start() as isize;
            rows += node.val().ncols();
            longest = longest.max(node.pattern().len());
            starts.push(rows);
        }
        let place = |row: usize| row.wrapping_add_signed(shift[self.tree.of[row] as usize]);
        let mut values = vec![0.0; rows * block.len()];
        for (column, &load) in block.iter().enumerate() {
            for (row, value) in self.rows_of(&loads[load]) {
                values[column * rows + place(row)] += value;
            }
        }
        let mut below = vec![0.0; longest * block.len()];
        for (&number, &start) in supernodes.iter().zip(&starts) {
            let node = factor.supernode(number as usize);
            let (diagonal, rest) = node.val().split_at_row(node.val().ncols());
            let mut whole = MatMut::from_column_major_slice_mut(&mut values, rows, block.len());
            let mut own = whole.as_mut().subrows_mut(start, diagonal.ncols());
            solve_lower_triangular_in_place(diagonal, own.as_mut(), Par::Seq);
            if rest.nrows() == 0 {
                continue;
            }
            let mut product = MatMut::from_column_major_slice_mut(
                &mut below[..rest.nrows() * block.len()],
                rest.nrows(),
                block.len(),
            );
            matmul(product.as_mut(), Accum::Replace, rest, own.as_ref(), 1.0, Par::Seq);
            let places: Vec<usize> = node.pattern().iter().map(|&row| place(row as usize)).collect();
            for (column, product) in values.chunks_exact_mut(rows).zip(below.chunks_exact(rest.nrows())) {
                for (&place, product) in places.iter().zip(product) {
                    column[place] -= product;
                }
            }
        }
        Half { supernodes, starts, columns: block.len(), values }
    }
}

/// Products of all columns of two halves, column by column of the second.
fn product(a: &Half, b: &Half) -> Vec<f64> {
    let mut values = vec![0.0; a.columns * b.columns];
    let mut product = MatMut::from_column_major_slice_mut(&mut values, a.columns, b.columns);
    let mut add = |a_rows: std::ops::Range<usize>, b_rows: std::ops::Range<usize>| {
        let a = a.values().subrows(a_rows.start, a_rows.len());
        let b = b.values().subrows(b_rows.start, b_rows.len());
        matmul(product.as_mut(), Accum::Add, a.transpose(), b, 1.0, Par::Seq);
    };
    // Rows both have, in runs as long as they lie side by side in both.
    let (mut i, mut j) = (0, 0);
    while i < a.supernodes.len() && j < b.supernodes.len() {
        if a.supernodes[i] != b.supernodes[j] {
            if a.supernodes[i] < b.supernodes[j] {
                i += 1
            } else {
                j += 1
            }
            continue;
        }
        let (from_a, from_b) = (i, j);
        while i < a.supernodes.len() && j < b.supernodes.len() && a.supernodes[i] == b.supernodes[j] {
            (i, j) = (i + 1, j + 1);
        }
        add(a.starts[from_a]..a.starts[i], b.starts[from_b]..b.starts[j]);
    }
    values
}
