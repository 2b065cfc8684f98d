//! What many loads do to many measures.
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
//!
//! Where there are far fewer loads than measures, or the other way round, whole solutions of those, `L⁻ᵀ·L⁻¹·f`, are less work than
//! halves of the many: then each of these is a short sum over such a solution. The multiplications of both ways are counted beforehand.

use super::factor::{BLOCK, Factor, PartFactor};
use super::forms::{Form, Forms};
use super::matrix::{System, zeros};
use super::mirror::{Mirror, Parity, Unknowns};
use super::{Held, Solid, SolidFault, Sparse, threads};
use faer::linalg::matmul::matmul;
use faer::linalg::triangular_solve::{solve_lower_triangular_in_place, solve_upper_triangular_in_place};
use faer::sparse::linalg::cholesky::supernodal::SupernodalLltRef;
use faer::{Accum, MatMut, MatRef, Par};
use std::borrow::Borrow;
use std::ops::Range;

/// Every measure under every load.
#[derive(Clone, Debug, PartialEq)]
pub struct Influence {
    asked: usize,
    /// Load by load.
    values: Vec<f64>,
}

impl Influence {
    /// Of that many loads and measures, all of them nothing.
    pub(crate) fn none(loads: usize, asked: usize) -> Self {
        Self { asked, values: zeros(loads * asked) }
    }

    /// Measure `asked` under load `load`.
    pub fn at(&self, asked: usize, load: usize) -> f64 {
        self.under(load)[asked]
    }

    /// Every measure under load `load`.
    pub fn under(&self, load: usize) -> &[f64] {
        &self.values[load * self.asked..(load + 1) * self.asked]
    }

    /// The same, to be set right.
    pub(crate) fn under_mut(&mut self, load: usize) -> &mut [f64] {
        &mut self.values[load * self.asked..(load + 1) * self.asked]
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

/// The rows of some supernodes, one after the other; with a column for each of a block of loads.
struct Rows {
    supernodes: Vec<u32>,
    /// Where the rows of each supernode start; and the count of all.
    starts: Vec<usize>,
    /// Of every supernode where its rows are minus where they are in the whole.
    shift: Vec<isize>,
    columns: usize,
    /// Numbers of one row lie side by side.
    values: Vec<f64>,
}

impl Rows {
    fn count(&self) -> usize {
        *self.starts.last().expect("it ends")
    }

    fn values(&self) -> MatRef<'_, f64> {
        MatRef::from_row_major_slice(&self.values, self.count(), self.columns)
    }

    /// Where the numbers of a row of the whole stand.
    fn place(&self, tree: &Tree, row: u32) -> Range<usize> {
        let row = (row as usize).wrapping_add_signed(self.shift[tree.of[row as usize] as usize]);
        row * self.columns..(row + 1) * self.columns
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
    pub fn influence<L, A>(&self, loads: &[L], asked: &[A], threads: usize) -> Influence
    where
        L: Borrow<Sparse>,
        A: Borrow<Sparse>,
    {
        let mut influence = Influence::none(loads.len(), asked.len());
        for part in &self.parts {
            let (loads, asked) = (Distinct::new(&part.unknowns, loads), Distinct::new(&part.unknowns, asked));
            part.add_influence(&loads, &asked, threads, &mut influence);
        }
        influence
    }
}

impl Solid {
    /// As [`Factor::influence`], of a solid that is held, on as many threads as there are; what no load moves is not factored at all.
    ///
    /// # Errors
    ///
    /// As [`Solid::factor`].
    pub fn influence<L, A>(&self, held: &Held, loads: &[L], asked: &[A]) -> Result<Influence, SolidFault>
    where
        L: Borrow<Sparse>,
        A: Borrow<Sparse>,
    {
        held.check(self)?;
        // One case may be as big as all others together: then it is solved on every thread there is.
        let threads = threads::threads_at_once();
        let mut influence = Influence::none(loads.len(), asked.len());
        let mirror = Mirror::of(self, held);
        for &parity in Parity::of(mirror.as_ref()) {
            let unknowns = Unknowns::new(self, held, mirror.as_ref(), parity);
            let (loads, asked) = (Distinct::new(&unknowns, loads), Distinct::new(&unknowns, asked));
            if !loads.rows.is_empty() && !asked.rows.is_empty() {
                // Remedies worked out at once have more cases at hand than there are threads; each would hold its factor.
                let _turn = threads::Turn::wait();
                let part = PartFactor::new(System::new(self, mirror.as_ref(), unknowns)?)?;
                part.add_influence(&loads, &asked, threads, &mut influence);
            }
        }
        Ok(influence)
    }
}

/// Loads or measures by rows of a part, each one once: many are the same as another, or that one turned round, once they are seen
/// by halves.
struct Distinct {
    /// In the order of elimination.
    rows: Vec<Form>,
    /// Of each of them who is it, and how it counts.
    of: Vec<Vec<(usize, f64)>>,
}

/// Values that differ by less than this part of the greatest are one.
const SAME: f64 = 1e-12;

impl Distinct {
    fn new(unknowns: &Unknowns, loads: &[impl Borrow<Sparse>]) -> Self {
        let mut folded: Vec<(usize, Vec<(u32, f64)>)> =
            loads.iter().map(|load| unknowns.folded(load.borrow())).enumerate().collect();
        folded.retain(|(_, rows)| !rows.is_empty());
        // Those near each other in the elimination stand side by side.
        folded.sort_by_key(|(_, rows)| (rows[0].0, rows.len()));
        let mut found = Self { rows: Vec::new(), of: Vec::new() };
        for (number, rows) in folded {
            let begins = |other: &Vec<(u32, f64)>| (other[0].0, other.len()) == (rows[0].0, rows.len());
            let like = (0..found.rows.len()).rev().take_while(|&k| begins(&found.rows[k]));
            let like = like.filter_map(|k| Some((k, sign(&found.rows[k], &rows)?))).next();
            match like {
                Some((k, sign)) => found.of[k].push((number, sign)),
                None => {
                    found.rows.push(rows);
                    found.of.push(vec![(number, 1.0)]);
                }
            }
        }
        found
    }
}

/// Whether two are the same, 1, or each other's opposite, −1.
fn sign(a: &[(u32, f64)], b: &[(u32, f64)]) -> Option<f64> {
    let most = a.iter().fold(0.0_f64, |most, (_, value)| most.max(value.abs()));
    let same =
        |sign: f64| a.iter().zip(b).all(|(a, b)| a.0 == b.0 && (a.1 - sign * b.1).abs() <= SAME * most);
    [1.0, -1.0].into_iter().find(|&sign| same(sign))
}

impl PartFactor {
    /// Measures are asked by two halves, or by whole solutions of the fewer, loads or measures, whichever is less work.
    fn add_influence(&self, loads: &Distinct, asked: &Distinct, threads: usize, influence: &mut Influence) {
        let asked_are_few = asked.rows.len() < loads.rows.len();
        let (few, many) = if asked_are_few { (asked, loads) } else { (loads, asked) };
        let mut add = |few_k: usize, many_k: usize, value: f64| {
            let (load, measure) = if asked_are_few { (many_k, few_k) } else { (few_k, many_k) };
            for &(measure, sign) in &asked.of[measure] {
                for &(load, turned) in &loads.of[load] {
                    influence.values[load * influence.asked + measure] += sign * turned * value;
                }
            }
        };
        let all = self.ways(&many.rows);
        if self.work_by_solutions(few, &all) < self.work_by_halves(few, many) {
            let few_blocks: Vec<_> = blocks(0..few.rows.len(), BLOCK).collect();
            let forms = Forms::grouped(&many.rows);
            let found = threads::in_order(few_blocks.len(), threads, |index| {
                let solution = self.solution(&self.half(&few.rows[few_blocks[index].clone()]), all.clone());
                let row = |row: u32| &solution.values[solution.place(&self.tree, row)];
                let mut sums = Vec::with_capacity(many.rows.len() * solution.columns);
                forms.iter().for_each(|forms| forms.append(solution.columns, row, &mut sums));
                sums
            });
            for (block, found) in few_blocks.iter().zip(found) {
                for (many_k, values) in found.chunks_exact(block.len()).enumerate() {
                    block.clone().zip(values).for_each(|(few_k, value)| add(few_k, many_k, *value));
                }
            }
            return;
        }
        // Halves of the fewer are kept, in portions that stay below some hundred megabytes; those of the others come by once.
        const KEPT: usize = 1024;
        let many_blocks: Vec<_> = blocks(0..many.rows.len(), BLOCK).collect();
        for portion in blocks(0..few.rows.len(), KEPT) {
            let few_blocks: Vec<_> = blocks(portion, BLOCK).collect();
            let halves = threads::in_order(few_blocks.len(), threads, |index| {
                self.half(&few.rows[few_blocks[index].clone()])
            });
            let products = threads::in_order(many_blocks.len(), threads, |index| {
                let half = self.half(&many.rows[many_blocks[index].clone()]);
                halves.iter().map(|few| product(few, &half)).collect::<Vec<_>>()
            });
            for (many_block, products) in many_blocks.iter().zip(products) {
                for (few_block, product) in few_blocks.iter().zip(products) {
                    for (many_k, column) in many_block.clone().zip(product.chunks_exact(few_block.len())) {
                        few_block.clone().zip(column).for_each(|(few_k, value)| add(few_k, many_k, *value));
                    }
                }
            }
        }
    }

    /// Multiplications that whole solutions of some loads take, in the rows of the supernodes that are asked for.
    fn work_by_solutions(&self, loads: &Distinct, all: &[u32]) -> usize {
        let back = self.entries(all);
        let of_block = |block: &[Vec<(u32, f64)>]| block.len() * (back + self.entries(&self.ways(block)));
        loads.rows.chunks(BLOCK).map(of_block).sum()
    }

    /// Multiplications that halves of loads and of measures take, with the products of all with all.
    fn work_by_halves(&self, few: &Distinct, many: &Distinct) -> usize {
        let of_block = |block: &[Vec<(u32, f64)>], others: usize| {
            let ways = self.ways(block);
            block.len() * (self.entries(&ways) + others * self.row_count(&ways))
        };
        let of_few: usize = few.rows.chunks(BLOCK).map(|block| of_block(block, 0)).sum();
        let of_many: usize = many.rows.chunks(BLOCK).map(|block| of_block(block, few.rows.len())).sum();
        of_few + of_many
    }

    fn ways(&self, block: &[Vec<(u32, f64)>]) -> Vec<u32> {
        self.tree.ways(block.iter().flatten().map(|&(row, _)| row as usize))
    }

    /// The entries of the factor in the columns of some supernodes.
    fn entries(&self, supernodes: &[u32]) -> usize {
        let factor = self.supernodes();
        let of = |&number: &u32| {
            let node = factor.supernode(number as usize);
            node.val().ncols() * node.val().nrows()
        };
        supernodes.iter().map(of).sum()
    }

    fn row_count(&self, supernodes: &[u32]) -> usize {
        let factor = self.supernodes();
        supernodes.iter().map(|&number| factor.supernode(number as usize).val().ncols()).sum()
    }

    /// The rows of some supernodes, all zero.
    fn rows(&self, supernodes: Vec<u32>, columns: usize) -> Rows {
        let factor = self.supernodes();
        let mut starts = vec![0];
        let mut shift = vec![0isize; self.tree.parent.len()];
        let mut count = 0;
        for &number in &supernodes {
            let node = factor.supernode(number as usize);
            shift[number as usize] = count as isize - node.start() as isize;
            count += node.val().ncols();
            starts.push(count);
        }
        Rows { supernodes, starts, shift, columns, values: zeros(count * columns) }
    }

    /// The most rows below the diagonal of some supernodes.
    fn longest(&self, supernodes: &[u32]) -> usize {
        let factor = self.supernodes();
        let below = supernodes.iter().map(|&number| factor.supernode(number as usize).pattern().len());
        below.max().unwrap_or(0)
    }

    /// `L⁻¹` times a block of loads, of the rows that are not zero.
    fn half(&self, block: &[Vec<(u32, f64)>]) -> Rows {
        let factor = self.supernodes();
        let columns = block.len();
        let mut half = self.rows(self.ways(block), columns);
        for (column, load) in block.iter().enumerate() {
            for &(row, value) in load {
                let place = half.place(&self.tree, row).start + column;
                half.values[place] = value;
            }
        }
        let mut below = vec![0.0; self.longest(&half.supernodes) * columns];
        for k in 0..half.supernodes.len() {
            let node = factor.supernode(half.supernodes[k] as usize);
            let (diagonal, rest) = node.val().split_at_row(node.val().ncols());
            let own = half.starts[k] * columns..half.starts[k + 1] * columns;
            let mut own = MatMut::from_row_major_slice_mut(&mut half.values[own], diagonal.ncols(), columns);
            solve_lower_triangular_in_place(diagonal, own.as_mut(), Par::Seq);
            if rest.nrows() == 0 {
                continue;
            }
            let below = &mut below[..rest.nrows() * columns];
            let product = MatMut::from_row_major_slice_mut(below, rest.nrows(), columns);
            matmul(product, Accum::Replace, rest, own.as_ref(), 1.0, Par::Seq);
            for (&row, product) in node.pattern().iter().zip(below.chunks_exact(columns)) {
                let to = half.place(&self.tree, row);
                half.values[to].iter_mut().zip(product).for_each(|(to, product)| *to -= product);
            }
        }
        half
    }

    /// `L⁻ᵀ` times a half, in the rows of some supernodes with all on their ways to the roots.
    fn solution(&self, half: &Rows, supernodes: Vec<u32>) -> Rows {
        let factor = self.supernodes();
        let columns = half.columns;
        let mut found = self.rows(supernodes, columns);
        for (k, &number) in half.supernodes.iter().enumerate() {
            if let Ok(there) = found.supernodes.binary_search(&number) {
                let from = half.starts[k] * columns..half.starts[k + 1] * columns;
                let to = found.starts[there] * columns..found.starts[there + 1] * columns;
                found.values[to].copy_from_slice(&half.values[from]);
            }
        }
        let mut below = vec![0.0; self.longest(&found.supernodes) * columns];
        for k in (0..found.supernodes.len()).rev() {
            let node = factor.supernode(found.supernodes[k] as usize);
            let (diagonal, rest) = node.val().split_at_row(node.val().ncols());
            let below = &mut below[..rest.nrows() * columns];
            for (&row, below) in node.pattern().iter().zip(below.chunks_exact_mut(columns)) {
                below.copy_from_slice(&found.values[found.place(&self.tree, row)]);
            }
            let own = found.starts[k] * columns..found.starts[k + 1] * columns;
            let mut own = MatMut::from_row_major_slice_mut(&mut found.values[own], diagonal.ncols(), columns);
            if rest.nrows() > 0 {
                let below = MatRef::from_row_major_slice(below, rest.nrows(), columns);
                matmul(own.as_mut(), Accum::Add, rest.transpose(), below, -1.0, Par::Seq);
            }
            solve_upper_triangular_in_place(diagonal.transpose(), own, Par::Seq);
        }
        found
    }
}

/// Numbers in runs of so many.
fn blocks(all: Range<usize>, size: usize) -> impl Iterator<Item = Range<usize>> {
    let end = all.end;
    all.step_by(size).map(move |start| start..end.min(start + size))
}

/// Products of all columns of two halves, column by column of the second.
fn product(a: &Rows, b: &Rows) -> Vec<f64> {
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
