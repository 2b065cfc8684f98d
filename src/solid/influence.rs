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

use super::factor::{BLOCK, Factor, PartFactor};
use super::matrix::{System, zeros};
use super::mirror::{Mirror, Parity, Unknowns};
use super::{Held, Solid, SolidFault, Sparse, threads};
use faer::linalg::matmul::matmul;
use faer::linalg::triangular_solve::solve_lower_triangular_in_place;
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

/// `L⁻¹` times a block of loads, of the rows that are not zero: those of some supernodes, one after the other. Numbers of one row
/// lie side by side.
struct Half {
    supernodes: Vec<u32>,
    /// Where the rows of each supernode start; and the count of all.
    starts: Vec<usize>,
    columns: usize,
    values: Vec<f64>,
}

impl Half {
    fn values(&self) -> MatRef<'_, f64> {
        MatRef::from_row_major_slice(&self.values, *self.starts.last().expect("it ends"), self.columns)
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
    rows: Vec<Vec<(u32, f64)>>,
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
    fn add_influence(&self, loads: &Distinct, asked: &Distinct, threads: usize, influence: &mut Influence) {
        // Halves of the fewer are kept, in portions that stay below some hundred megabytes; those of the others come by once.
        const KEPT: usize = 1024;
        let asked_are_kept = asked.rows.len() < loads.rows.len();
        let (kept, passing) = if asked_are_kept { (asked, loads) } else { (loads, asked) };
        let passing_blocks: Vec<_> = blocks(0..passing.rows.len(), BLOCK).collect();
        for portion in blocks(0..kept.rows.len(), KEPT) {
            let kept_blocks: Vec<_> = blocks(portion, BLOCK).collect();
            let halves = threads::in_order(kept_blocks.len(), threads, |index| {
                self.half(&kept.rows[kept_blocks[index].clone()])
            });
            let products = threads::in_order(passing_blocks.len(), threads, |index| {
                let half = self.half(&passing.rows[passing_blocks[index].clone()]);
                let with =
                    |kept: &Half| if asked_are_kept { product(kept, &half) } else { product(&half, kept) };
                halves.iter().map(with).collect::<Vec<_>>()
            });
            for (passing, products) in passing_blocks.iter().zip(products) {
                for (kept, product) in kept_blocks.iter().zip(products) {
                    let (asked_block, load_block) =
                        if asked_are_kept { (kept, passing) } else { (passing, kept) };
                    for (load, column) in load_block.clone().zip(product.chunks_exact(asked_block.len())) {
                        for (asked, value) in asked.of[asked_block.clone()].iter().zip(column) {
                            for &(asked, sign) in asked {
                                for &(load, turned) in &loads.of[load] {
                                    influence.values[load * influence.asked + asked] += sign * turned * value;
                                }
                            }
                        }
                    }
                }
            }
        }
    }

    fn half(&self, block: &[Vec<(u32, f64)>]) -> Half {
        let factor = self.supernodes();
        let supernodes = self.tree.ways(block.iter().flatten().map(|&(row, _)| row as usize));
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
        let columns = block.len();
        let mut values = zeros(rows * columns);
        for (column, load) in block.iter().enumerate() {
            for &(row, value) in load {
                values[place(row as usize) * columns + column] = value;
            }
        }
        let mut below = vec![0.0; longest * columns];
        for (&number, &start) in supernodes.iter().zip(&starts) {
            let node = factor.supernode(number as usize);
            let (diagonal, rest) = node.val().split_at_row(node.val().ncols());
            let mut whole = MatMut::from_row_major_slice_mut(&mut values, rows, columns);
            let mut own = whole.as_mut().subrows_mut(start, diagonal.ncols());
            solve_lower_triangular_in_place(diagonal, own.as_mut(), Par::Seq);
            if rest.nrows() == 0 {
                continue;
            }
            let below = &mut below[..rest.nrows() * columns];
            let product = MatMut::from_row_major_slice_mut(below, rest.nrows(), columns);
            matmul(product, Accum::Replace, rest, own.as_ref(), 1.0, Par::Seq);
            for (&row, product) in node.pattern().iter().zip(below.chunks_exact(columns)) {
                let to = place(row as usize) * columns;
                values[to..to + columns].iter_mut().zip(product).for_each(|(to, product)| *to -= product);
            }
        }
        Half { supernodes, starts, columns, values }
    }
}

/// Numbers in runs of so many.
fn blocks(all: Range<usize>, size: usize) -> impl Iterator<Item = Range<usize>> {
    let end = all.end;
    all.step_by(size).map(move |start| start..end.min(start + size))
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
