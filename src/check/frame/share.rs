//! What each chain of a frame carries of a wrench on one of its parts.
//!
//! A wrench about the origin is the same all along a chain, so balance is a matter of which chains lie between which parts alone.
//! Chains are chosen that tie every part to the held one in a single way, a tree: without the others each carries what is on the
//! parts beyond it, whole. Each other chain closes a ring, round which a wrench may run besides without loading
//! any part. These are found from the ends of the cut rings meeting again:
//!
//! ```text
//! (Bᵀ·F·B)·X = −Bᵀ·F·T        W = T + B·X
//! ```
//!
//! `T` is what the tree alone carries, `B` tells which chains a ring runs along and which way, `F` holds the flexibilities. The matrix is
//! symmetric and positive. Movements, far greater than what chains give when many of them lie in a row, are never subtracted:
//! where there is no ring, all is exact.
//!
//! # Source
//!
//! The method of forces: any text on structures (Timoshenko and Young, *Theory of Structures*, from memory).

use std::collections::VecDeque;

use faer::{
    Mat, Par,
    dyn_stack::{MemBuffer, MemStack},
    linalg::cholesky::llt::{factor, inverse},
};

use super::{Matrix, inverse_of};

const NOTHING: Matrix = [[0.0; 3]; 3];
const WHOLE: Matrix = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

/// The wrench in every chain, from its start to its finish, for a unit wrench on every part.
#[derive(Clone, Debug)]
pub(super) struct Shares {
    parts: usize,
    /// Chain by chain, then part by part.
    blocks: Vec<Matrix>,
}

impl Shares {
    /// `ends[c]` are the parts chain `c` starts and finishes at. What does not hang on the held part carries nothing.
    pub(super) fn new(flexibilities: &[Matrix], ends: &[[usize; 2]], parts: usize, held: usize) -> Self {
        let tree = Tree::new(ends, parts, held);
        let rings = Rings::new(&tree, ends);
        let mut blocks = vec![NOTHING; ends.len() * parts];
        for part in 0..parts {
            for (chain, _, sign) in tree.way_down(part) {
                add(&mut blocks[chain * parts + part], &WHOLE, sign);
            }
        }
        let running = rings.running(flexibilities, &tree, parts);
        for (chain, along) in rings.along.iter().enumerate() {
            for &(ring, sign) in along {
                for part in 0..parts {
                    add(&mut blocks[chain * parts + part], &running[part * rings.count + ring], sign);
                }
            }
        }
        Self { parts, blocks }
    }

    /// What a chain carries of a unit wrench on a part.
    #[inline]
    pub(super) fn of(&self, chain: usize, on: usize) -> &Matrix {
        &self.blocks[chain * self.parts + on]
    }
}

/// The chains that tie every part to the held one, by as few as can be.
struct Tree {
    /// The parts, each after the one it hangs on.
    order: Vec<usize>,
    /// Of each part the chain it hangs by, the part it hangs on, and 1 where the chain finishes at it, −1 where it starts.
    hangs: Vec<Option<(usize, usize, f64)>>,
    /// By how many chains; nothing where it does not hang on the held part.
    depth: Vec<Option<usize>>,
}

impl Tree {
    fn new(ends: &[[usize; 2]], parts: usize, held: usize) -> Self {
        let mut beside: Vec<Vec<(usize, usize, f64)>> = vec![Vec::new(); parts];
        for (chain, &[start, finish]) in ends.iter().enumerate() {
            beside[start].push((chain, finish, 1.0));
            beside[finish].push((chain, start, -1.0));
        }
        let mut tree = Self { order: Vec::new(), hangs: vec![None; parts], depth: vec![None; parts] };
        tree.depth[held] = Some(0);
        let mut ahead = VecDeque::from([(held, 0)]);
        while let Some((part, depth)) = ahead.pop_front() {
            tree.order.push(part);
            for &(chain, next, sign) in &beside[part] {
                if tree.depth[next].is_none() {
                    tree.depth[next] = Some(depth + 1);
                    tree.hangs[next] = Some((chain, part, sign));
                    ahead.push_back((next, depth + 1));
                }
            }
        }
        tree
    }

    /// The chains from a part to the held one, as they hang on each other.
    fn way_down(&self, part: usize) -> impl Iterator<Item = (usize, usize, f64)> {
        std::iter::successors(self.hangs[part], |(_, below, _)| self.hangs[*below])
    }

    fn is_in(&self, chain: usize, [start, finish]: [usize; 2]) -> bool {
        [start, finish].iter().any(|&part| self.hangs[part].is_some_and(|(by, ..)| by == chain))
    }
}

/// The rings that the chains outside the tree close.
struct Rings {
    count: usize,
    /// Of each chain the rings that run along it, with 1 where from its start to its finish, −1 where the other way.
    along: Vec<Vec<(usize, f64)>>,
}

impl Rings {
    fn new(tree: &Tree, ends: &[[usize; 2]]) -> Self {
        let mut rings = Self { count: 0, along: vec![Vec::new(); ends.len()] };
        for (chain, &[start, finish]) in ends.iter().enumerate() {
            if start == finish || tree.depth[start].is_none() || tree.is_in(chain, [start, finish]) {
                continue;
            }
            rings.along[chain].push((rings.count, 1.0));
            // From the finish down the tree and up again to the start.
            let (mut up, mut down) = (start, finish);
            while up != down {
                let from_start = tree.depth[up] >= tree.depth[down];
                let part = if from_start { &mut up } else { &mut down };
                let Some((by, below, sign)) = tree.hangs[*part] else { break };
                rings.along[by].push((rings.count, if from_start { sign } else { -sign }));
                *part = below;
            }
            rings.count += 1;
        }
        rings
    }

    /// The wrench that runs round each ring for a unit wrench on each part: part by part, then ring by ring.
    fn running(&self, flexibilities: &[Matrix], tree: &Tree, parts: usize) -> Vec<Matrix> {
        let inverse = positive_inverse(self.flexibility(flexibilities));
        let mut running = vec![NOTHING; parts * self.count];
        for &part in &tree.order {
            let Some((chain, below, sign)) = tree.hangs[part] else { continue };
            // A part's wrench runs down the chain it hangs by, and then as one on the part below.
            for ring in 0..self.count {
                let mut opened = NOTHING;
                for &(other, way) in &self.along[chain] {
                    let block = [0, 1, 2].map(|i| [0, 1, 2].map(|j| inverse[(3 * ring + i, 3 * other + j)]));
                    add(&mut opened, &block, -sign * way);
                }
                let mut wrench = running[below * self.count + ring];
                add(&mut wrench, &product(&opened, &flexibilities[chain]), 1.0);
                running[part * self.count + ring] = wrench;
            }
        }
        running
    }

    /// How far cut rings gape under unit wrenches round them.
    fn flexibility(&self, flexibilities: &[Matrix]) -> Mat<f64> {
        let mut whole = Mat::zeros(3 * self.count, 3 * self.count);
        for (along, flexibility) in self.along.iter().zip(flexibilities) {
            for &(a, sign_a) in along {
                for &(b, sign_b) in along {
                    for i in 0..3 {
                        for j in 0..3 {
                            whole[(3 * a + i, 3 * b + j)] += sign_a * sign_b * flexibility[i][j];
                        }
                    }
                }
            }
        }
        whole
    }
}

/// Inverse of a symmetric positive matrix; where rounding spoils a pivot, by elimination, which goes through with whatever it meets.
fn positive_inverse(matrix: Mat<f64>) -> Mat<f64> {
    let size = matrix.nrows();
    let mut factored = matrix.clone();
    let scratch = factor::cholesky_in_place_scratch::<f64>(size, Par::Seq, Default::default());
    let is_positive = factor::cholesky_in_place(
        factored.as_mut(),
        factor::LltRegularization::default(),
        Par::Seq,
        MemStack::new(&mut MemBuffer::new(scratch)),
        Default::default(),
    );
    if is_positive.is_err() {
        let lines = (0..size).map(|i| (0..size).map(|j| matrix[(i, j)]).collect()).collect();
        let inverse = inverse_of(lines);
        return Mat::from_fn(size, size, |i, j| inverse[i][j]);
    }
    let mut found = matrix;
    let mut memory = MemBuffer::new(inverse::inverse_scratch::<f64>(size, Par::Seq));
    inverse::inverse(found.as_mut(), factored.as_ref(), Par::Seq, MemStack::new(&mut memory));
    // Only what lies from the diagonal down is told.
    for j in 0..size {
        for i in 0..j {
            found[(i, j)] = found[(j, i)];
        }
    }
    found
}

fn add(sum: &mut Matrix, m: &Matrix, times: f64) {
    for i in 0..3 {
        for j in 0..3 {
            sum[i][j] += times * m[i][j];
        }
    }
}

fn product(a: &Matrix, b: &Matrix) -> Matrix {
    a.map(|row| [0, 1, 2].map(|j| row[0] * b[0][j] + row[1] * b[1][j] + row[2] * b[2][j]))
}

#[cfg(test)]
mod tests;
