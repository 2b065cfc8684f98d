//! Linear forms of solutions, those of like rows together.
//!
//! The windows of a plane weigh the same unknowns, each otherwise: taken one by one, their sums read the same rows of a solution over and
//! over. Gathered once, the rows times the weights of all of them are one small dense product.

use faer::linalg::matmul::matmul;
use faer::{Accum, MatMut, MatRef, Par};

/// Forms that are summed together: no more than this, and with no more zeros among their weights than would be as much work: our own rule.
const TOGETHER: usize = 32;
const FILLED: f64 = 1.5;

/// A form of a solution: rows in rising order, each with its weight.
pub(super) type Form = Vec<(u32, f64)>;

/// Some forms that follow each other, over the rows that any of them weighs.
pub(super) struct Forms {
    rows: Vec<u32>,
    count: usize,
    /// Form by form.
    weights: Vec<f64>,
}

impl Forms {
    /// All forms in their order, those next to each other together where their rows are about the same.
    pub(super) fn grouped(forms: &[Form]) -> Vec<Self> {
        let mut groups = Vec::new();
        let mut first = 0;
        while first < forms.len() {
            let mut rows: Vec<u32> = rows_of(&forms[first]).collect();
            let mut weights = rows.len();
            let mut count = 1;
            while let Some(next) = forms.get(first + count).filter(|_| count < TOGETHER) {
                let both = union(&rows, rows_of(next));
                if ((count + 1) * both.len()) as f64 > FILLED * (weights + next.len()) as f64 {
                    break;
                }
                (rows, weights, count) = (both, weights + next.len(), count + 1);
            }
            groups.push(Self::over(rows, &forms[first..first + count]));
            first += count;
        }
        groups
    }

    fn over(rows: Vec<u32>, forms: &[Form]) -> Self {
        let mut weights = vec![0.0; forms.len() * rows.len()];
        for (form, weights) in forms.iter().zip(weights.chunks_exact_mut(rows.len().max(1))) {
            let mut place = 0;
            for &(row, weight) in form {
                while rows[place] != row {
                    place += 1;
                }
                weights[place] = weight;
            }
        }
        Self { rows, count: forms.len(), weights }
    }

    /// Every form of each of so many columns, form by form, added to `sums`; `row` gives the numbers of a row, side by side.
    pub(super) fn append<'a>(&self, columns: usize, row: impl Fn(u32) -> &'a [f64], sums: &mut Vec<f64>) {
        let first = sums.len();
        sums.resize(first + self.count * columns, 0.0);
        let mut gathered = Vec::with_capacity(self.rows.len() * columns);
        self.rows.iter().for_each(|&number| gathered.extend_from_slice(row(number)));
        matmul(
            MatMut::from_row_major_slice_mut(&mut sums[first..], self.count, columns),
            Accum::Replace,
            MatRef::from_row_major_slice(&self.weights, self.count, self.rows.len()),
            MatRef::from_row_major_slice(&gathered, self.rows.len(), columns),
            1.0,
            Par::Seq,
        );
    }
}

fn rows_of(form: &Form) -> impl Iterator<Item = u32> {
    form.iter().map(|(row, _)| *row)
}

/// Rows of either, each once, in rising order.
fn union(rows: &[u32], others: impl Iterator<Item = u32>) -> Vec<u32> {
    let mut both = Vec::with_capacity(rows.len());
    let mut rows = rows.iter().copied().peekable();
    for other in others {
        while let Some(row) = rows.next_if(|row| *row < other) {
            both.push(row);
        }
        rows.next_if_eq(&other);
        both.push(other);
    }
    both.extend(rows);
    both
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forms of a solution of three columns, by hand: row r holds r, 2r and 1.
    #[test]
    fn forms_together_are_what_each_is_alone() {
        let forms: Vec<Form> = vec![
            vec![(1, 2.0), (4, -1.0)],
            vec![(1, 0.5), (3, 1.0), (4, 1.0)],
            vec![(0, 1.0), (9, 3.0)],
            vec![],
            vec![(9, 1.0)],
        ];
        let values: Vec<[f64; 3]> = (0..10).map(|r| [f64::from(r), 2.0 * f64::from(r), 1.0]).collect();
        let groups = Forms::grouped(&forms);
        assert_eq!(groups.iter().map(|group| group.count).sum::<usize>(), forms.len());
        assert!(groups[0].count == 2 && groups[0].rows == [1, 3, 4], "{:?}", groups[0].rows);
        let mut sums = Vec::new();
        groups.iter().for_each(|group| group.append(3, |row| &values[row as usize], &mut sums));
        let by_hand = [-2.0, -4.0, 1.0, 7.5, 15.0, 2.5, 27.0, 54.0, 4.0, 0.0, 0.0, 0.0, 9.0, 18.0, 1.0];
        assert_eq!(sums, by_hand);
    }
}
