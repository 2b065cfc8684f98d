//! The stiffness of a held body taken apart once, for as many loads as come.

use super::influence::Tree;
use super::matrix::{Matrix, System};
use super::mirror::Unknowns;
use super::{Held, Solid, SolidFault, Sparse};
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::cholesky::simplicial::prefactorize_symbolic_cholesky;
use faer::sparse::linalg::cholesky::supernodal::{
    SupernodalLltRef, SymbolicSupernodalCholesky, factorize_supernodal_numeric_llt,
    factorize_supernodal_numeric_llt_scratch, factorize_supernodal_symbolic_cholesky,
    factorize_supernodal_symbolic_cholesky_scratch,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par};
use std::sync::{Mutex, PoisonError};

/// How many loads are solved at once: enough that each number of the factor is used often while it is near.
pub(super) const BLOCK: usize = 32;

/// A held solid whose equations are solved but for the load.
///
/// It is the Cholesky factor `K = L·Lᵀ` of the stiffness of the free unknowns, or where the solid is its own mirror image two of
/// half the size, one of what stretches it and one of what bends it. Every method gives the same bits for the same input, on
/// however many threads.
pub struct Factor {
    pub(super) parts: Vec<PartFactor>,
    unknowns: usize,
}

/// The factor of equations that hang together.
pub(super) struct PartFactor {
    pub(super) unknowns: Unknowns,
    pub(super) size: usize,
    pub(super) symbolic: SymbolicSupernodalCholesky<u32>,
    pub(super) values: Vec<f64>,
    pub(super) tree: Tree,
}

/// Room of factors that are done with, for the next ones: a check has dozens one after another, and fresh memory for each
/// costs a tenth of its time.
static SPARE: Mutex<Vec<Vec<f64>>> = Mutex::new(Vec::new());
/// No more than this is kept, however many threads there are.
const SPARES: usize = 2;

/// Room for so many numbers, whatever stands in it.
fn room(count: usize) -> Vec<f64> {
    let mut spare = SPARE.lock().unwrap_or_else(PoisonError::into_inner);
    let fits = (0..spare.len()).filter(|&k| spare[k].capacity() >= count);
    if let Some(k) = fits.min_by_key(|&k| spare[k].capacity()) {
        let mut values = spare.swap_remove(k);
        values.resize(count, 0.0);
        return values;
    }
    // What is too small is let go first.
    spare.pop();
    drop(spare);
    vec![0.0; count]
}

impl Drop for PartFactor {
    fn drop(&mut self) {
        let mut spare = SPARE.lock().unwrap_or_else(PoisonError::into_inner);
        if spare.len() < SPARES {
            spare.push(std::mem::take(&mut self.values));
        }
    }
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
        self.assemble(held)?.factor()
    }
}

impl Matrix {
    /// Takes it apart.
    ///
    /// # Errors
    ///
    /// [`SolidFault::Unsolvable`] when a trial load does not come back right, as it does not where nothing stops a part
    /// from moving; [`SolidFault::TooLarge`] when it does not fit into memory.
    pub fn factor(self) -> Result<Factor, SolidFault> {
        Factor::new(self)
    }
}

impl Factor {
    fn new(matrix: Matrix) -> Result<Self, SolidFault> {
        let parts: Vec<PartFactor> =
            matrix.systems.into_iter().map(PartFactor::new).collect::<Result<_, _>>()?;
        let unknowns = parts[0].unknowns.of_solid();
        Ok(Self { parts, unknowns })
    }

    /// How many unknowns are free.
    pub fn free_count(&self) -> usize {
        self.parts.iter().map(|part| part.size).sum()
    }

    /// How many numbers the factor holds.
    pub fn value_count(&self) -> usize {
        self.parts.iter().map(|part| part.values.len()).sum()
    }

    /// The displacement of every unknown under each load; zero where it is held. Loads on held unknowns move
    /// nothing.
    pub fn solve(&self, loads: &[Sparse]) -> Vec<Vec<f64>> {
        let mut found = vec![vec![0.0; self.unknowns]; loads.len()];
        for part in &self.parts {
            part.add_solutions(loads, &mut found);
        }
        found
    }
}

impl PartFactor {
    pub(super) fn new(matrix: System) -> Result<Self, SolidFault> {
        let unknowns = matrix.size();
        let too_large = || SolidFault::TooLarge { unknowns };
        let symbolic = fill(&matrix).ok_or_else(too_large)?;
        let mut values = room(symbolic.len_val());
        let scratch =
            factorize_supernodal_numeric_llt_scratch::<u32, f64>(&symbolic, Par::Seq, Default::default());
        let mut memory = MemBuffer::try_new(scratch).map_err(|_| too_large())?;
        let pattern =
            SymbolicSparseColMatRef::new_checked(unknowns, unknowns, &matrix.starts, None, &matrix.rows);
        factorize_supernodal_numeric_llt(
            &mut values,
            SparseColMatRef::new(pattern, &matrix.values),
            LltRegularization::default(),
            &symbolic,
            Par::Seq,
            MemStack::new(&mut memory),
            Default::default(),
        )
        .map_err(|_| SolidFault::Unsolvable { error: f64::INFINITY })?;
        drop(memory);
        let tree = Tree::new(SupernodalLltRef::new(&symbolic, &values), unknowns);
        let factor = Self { unknowns: matrix.unknowns.clone(), size: unknowns, symbolic, values, tree };
        // Where no pivot lost more than this to elimination, rounding, some 1e-16 times what it lost, made none of them.
        const SOUND: f64 = 1e-7;
        if factor.least_pivot(&matrix) < SOUND {
            factor.try_out(&matrix)?;
        }
        Ok(factor)
    }

    /// The least part of a diagonal value that elimination left.
    fn least_pivot(&self, matrix: &System) -> f64 {
        let factor = self.supernodes();
        let supernodes = (0..self.symbolic.n_supernodes()).map(|number| factor.supernode(number));
        let left = supernodes.flat_map(|node| {
            (0..node.val().ncols()).map(move |k| {
                let pivot = node.val()[(k, k)];
                // A column starts at its diagonal.
                pivot * pivot / matrix.values[matrix.starts[node.start() + k] as usize]
            })
        });
        left.fold(1.0, f64::min)
    }

    pub(super) fn supernodes(&self) -> SupernodalLltRef<'_, u32, f64> {
        SupernodalLltRef::new(&self.symbolic, &self.values)
    }

    /// Adds to displacements what this part has of them, load by load.
    fn add_solutions(&self, loads: &[Sparse], found: &mut [Vec<f64>]) {
        for (loads, found) in loads.chunks(BLOCK).zip(found.chunks_mut(BLOCK)) {
            let mut columns = vec![0.0; self.size * loads.len()];
            for (column, load) in columns.chunks_exact_mut(self.size).zip(loads) {
                for (row, value) in self.unknowns.folded(load) {
                    column[row as usize] = value;
                }
            }
            self.solve_in_place(&mut columns, loads.len());
            for (column, found) in columns.chunks_exact(self.size).zip(found) {
                for (dof, value) in found.iter_mut().enumerate() {
                    if let Some((row, sign)) = self.unknowns.row(dof) {
                        *value += sign * column[row];
                    }
                }
            }
        }
    }

    fn solve_in_place(&self, columns: &mut [f64], count: usize) {
        let scratch = self.symbolic.solve_in_place_scratch::<f64>(count, Par::Seq);
        let mut memory = MemBuffer::new(scratch);
        self.supernodes().solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(columns, self.size, count),
            Par::Seq,
            MemStack::new(&mut memory),
        );
    }

    /// Solves one load whose answer is put in, and sees whether it is in balance. That elimination went through
    /// proves little: rounding can make a pivot of nothing.
    fn try_out(&self, matrix: &System) -> Result<(), SolidFault> {
        // A stocky body misses by 1e-12, a bar fifty times longer than thick by 1e-7; one held by rounding alone
        // by about 1.
        const BALANCED: f64 = 1e-4;
        let load: Vec<f64> = (0..self.size).map(|row| if row % 7 < 3 { 1.0 } else { -0.5 }).collect();
        let mut answer = load.clone();
        self.solve_in_place(&mut answer, 1);
        let largest = |values: &[f64]| values.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        let missed: Vec<f64> =
            matrix.times(&answer).iter().zip(&load).map(|(got, load)| got - load).collect();
        let error = largest(&missed);
        if error <= BALANCED { Ok(()) } else { Err(SolidFault::Unsolvable { error }) }
    }
}

/// Where the factor of a matrix has numbers, in supernodes: nodes are numbered in the order of elimination already.
/// `None` where it does not fit into memory.
fn fill(matrix: &System) -> Option<SymbolicSupernodalCholesky<u32>> {
    let size = matrix.size();
    let skeleton = &matrix.skeleton;
    let pattern = SymbolicSparseColMatRef::new_checked(size, size, &skeleton.starts, None, &skeleton.rows);
    let (mut tree, mut counts) = (vec![0i32; size], vec![0u32; size]);
    // The tree needs one number for each column, the supernodes four.
    let scratch = factorize_supernodal_symbolic_cholesky_scratch::<u32>(size);
    let mut memory = MemBuffer::try_new(scratch).ok()?;
    let tree = prefactorize_symbolic_cholesky(&mut tree, &mut counts, pattern, MemStack::new(&mut memory));
    let stack = MemStack::new(&mut memory);
    factorize_supernodal_symbolic_cholesky(pattern, tree, &counts, stack, Default::default()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::plane::point;
    use crate::solid::{Body, Elastic, Layer, grid};

    /// Elimination may go through although nothing holds the body; the trial load tells.
    #[test]
    fn rounding_does_not_pass_for_a_hold() {
        let wood = Elastic::isotropic(1000.0, 0.3).unwrap().stiffness(0.0);
        for cells in [1, 2, 3, 5, 8] {
            let mesh = grid(point(0.0, 0.0), point(7.3, 3.1), cells, 2);
            let solid = Solid::new(Body::new(mesh, vec![Layer::plain(0.0, 1.7, 0)], vec![wood])).unwrap();
            for held in
                [Held::new(&solid, |_, _| false), Held::new(&solid, |[x, ..], axis| x == 0.0 && axis == 0)]
            {
                assert!(matches!(solid.factor(&held), Err(SolidFault::Loose { .. })));
                let unasked = Factor::new(Matrix::new(&solid, &held).unwrap());
                assert!(matches!(unasked, Err(SolidFault::Unsolvable { .. })), "{cells}");
            }
        }
    }
}
