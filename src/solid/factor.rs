//! The stiffness of a held body taken apart once, for as many loads as come.

use super::matrix::Matrix;
use super::{Held, Solid, SolidFault, Sparse};
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

/// How many loads are solved at once: enough that each number of the factor is used often while it is near.
pub(super) const BLOCK: usize = 32;

/// A held solid whose equations are solved but for the load.
///
/// It is the Cholesky factor `K = L·Lᵀ` of the stiffness of the free unknowns. Every method gives the same bits
/// for the same input, on however many threads.
pub struct Factor {
    /// Of each unknown its row; `u32::MAX` where it is held.
    pub(super) rows: Vec<u32>,
    pub(super) size: usize,
    pub(super) symbolic: SymbolicCholesky<u32>,
    pub(super) values: Vec<f64>,
}

impl Solid {
    /// Holds the solid and takes its stiffness apart.
    ///
    /// # Errors
    ///
    /// [`SolidFault::Loose`] when parts of it can still move; [`SolidFault::Unsolvable`] when a trial load does not
    /// come back right; [`SolidFault::TooLarge`] when it does not fit into memory.
    pub fn factor(&self, held: &Held) -> Result<Factor, SolidFault> {
        held.check(self)?;
        let matrix = Matrix::new(self, held)?;
        let unknowns = matrix.size();
        let too_large = |_| SolidFault::TooLarge { unknowns };
        let pattern =
            SymbolicSparseColMatRef::new_checked(unknowns, unknowns, &matrix.starts, None, &matrix.rows);
        // Nodes are numbered in the order of elimination already. Half solves need supernodes in small systems too.
        let parameters = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..CholeskySymbolicParams::default()
        };
        let symbolic =
            factorize_symbolic_cholesky(pattern, Side::Upper, SymmetricOrdering::Identity, parameters)
                .map_err(too_large)?;
        let mut values = vec![0.0; symbolic.len_val()];
        let scratch = symbolic.factorize_numeric_llt_scratch::<f64>(Par::Seq, Default::default());
        let mut memory = MemBuffer::try_new(scratch).map_err(|_| SolidFault::TooLarge { unknowns })?;
        symbolic
            .factorize_numeric_llt(
                &mut values,
                SparseColMatRef::new(pattern, &matrix.values),
                Side::Upper,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Default::default(),
            )
            .map_err(|_| SolidFault::Unsolvable { error: f64::INFINITY })?;
        drop(memory);
        let factor = Factor { rows: matrix.free.clone(), size: unknowns, symbolic, values };
        factor.try_out(&matrix)?;
        Ok(factor)
    }
}

impl Factor {
    /// How many unknowns are free.
    pub const fn free_count(&self) -> usize {
        self.size
    }

    /// How many numbers the factor holds.
    pub fn value_count(&self) -> usize {
        self.values.len()
    }

    /// The displacement of every unknown under each load; zero where it is held. Loads on held unknowns move
    /// nothing.
    pub fn solve(&self, loads: &[Sparse]) -> Vec<Vec<f64>> {
        let mut found = Vec::with_capacity(loads.len());
        for block in loads.chunks(BLOCK) {
            let mut columns = vec![0.0; self.size * block.len()];
            for (column, load) in columns.chunks_exact_mut(self.size).zip(block) {
                for &(dof, value) in load {
                    if let Some(row) = self.row(dof) {
                        column[row] += value;
                    }
                }
            }
            self.solve_in_place(&mut columns, block.len());
            let spread = |column: &[f64]| {
                let value = |&row: &u32| if row == u32::MAX { 0.0 } else { column[row as usize] };
                self.rows.iter().map(value).collect()
            };
            found.extend(columns.chunks_exact(self.size).map(spread));
        }
        found
    }

    /// The row of an unknown, if it is free.
    pub(super) fn row(&self, dof: u32) -> Option<usize> {
        let row = self.rows[dof as usize];
        (row != u32::MAX).then_some(row as usize)
    }

    fn solve_in_place(&self, columns: &mut [f64], count: usize) {
        let scratch = self.symbolic.solve_in_place_scratch::<f64>(count, Par::Seq);
        let mut memory = MemBuffer::new(scratch);
        LltRef::new(&self.symbolic, &self.values).solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(columns, self.size, count),
            Par::Seq,
            MemStack::new(&mut memory),
        );
    }

    /// Solves one load and sees whether the answer, bettered once, is in balance. That elimination went through proves
    /// little: rounding can make a pivot of nothing, and then bettering does not help.
    fn try_out(&self, matrix: &Matrix) -> Result<(), SolidFault> {
        // Sound systems leave 1e-10, very slender ones 1e-8; a part held by rounding alone leaves 1e-4 and more.
        const BALANCED: f64 = 1e-6;
        let load: Vec<f64> = (0..self.size).map(|row| if row % 7 < 3 { 1.0 } else { -0.5 }).collect();
        let missed = |answer: &[f64]| -> Vec<f64> {
            matrix.times(answer).iter().zip(&load).map(|(got, load)| load - got).collect()
        };
        let mut answer = load.clone();
        self.solve_in_place(&mut answer, 1);
        let mut better = missed(&answer);
        self.solve_in_place(&mut better, 1);
        answer.iter_mut().zip(better).for_each(|(answer, better)| *answer += better);
        let error = missed(&answer).iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        if error <= BALANCED { Ok(()) } else { Err(SolidFault::Unsolvable { error }) }
    }
}
