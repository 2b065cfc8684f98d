//! The method of forces against that of movements, against balance, and on a tree against what hangs on each chain.

use super::*;
use crate::{
    check::{
        PushKind,
        frame::{
            Chain, inverse,
            tests::{bar, plain},
        },
    },
    shape::plane::point,
};

/// A grid of bars both ways and here and there slantwise, with the parts each is tied to.
fn lattice(columns: usize, rows: usize) -> (Vec<Chain>, Vec<[usize; 2]>) {
    let at =
        |x: usize, y: usize| point(14.0 * x as f64 + 2.0 * (y % 3) as f64 - 40.0, 11.0 * y as f64 - 25.0);
    let (mut chains, mut ends) = (Vec::new(), Vec::new());
    for (x, y) in (0..rows).flat_map(|y| (0..columns).map(move |x| (x, y))) {
        for (dx, dy) in [(1, 0), (0, 1), (1, 1)] {
            let is_slant = dx + dy == 2 && (x + 2 * y) % 3 > 0;
            if x + dx < columns && y + dy < rows && !is_slant {
                let (from, to) = (at(x, y), at(x + dx, y + dy));
                // Bars end short of the middles of the parts they join.
                let way = to - from;
                let width = 2.0 + ((3 * x + 5 * y + dx) % 4) as f64;
                let stations = bar(from + way * 0.2, to - way * 0.2, width, 6);
                chains.push(Chain::new(&stations, [false; 2], 12.0, &plain(900.0, 350.0)));
                ends.push([y * columns + x, (y + dy) * columns + x + dx]);
            }
        }
    }
    // Some run the other way.
    ends.iter_mut().step_by(3).for_each(|ends| ends.reverse());
    (chains, ends)
}

fn flexibilities(chains: &[Chain], kind: PushKind) -> Vec<Matrix> {
    chains.iter().map(|chain| chain.flexibility(kind)).collect()
}

fn largest(block: &Matrix) -> f64 {
    block.iter().flatten().fold(0.0, |most, x| x.abs().max(most))
}

/// What the chains carry by the method of movements: their stiffnesses put together, the held part's lines struck out, all eliminated.
fn by_movements(flexibilities: &[Matrix], ends: &[[usize; 2]], parts: usize, held: usize) -> Vec<Matrix> {
    let stiffnesses: Vec<Matrix> = flexibilities.iter().map(inverse).collect();
    let mut matrix = vec![vec![0.0; 3 * parts]; 3 * parts];
    for (k, &[start, finish]) in stiffnesses.iter().zip(ends) {
        for (a, b, sign) in
            [(start, start, 1.0), (finish, finish, 1.0), (start, finish, -1.0), (finish, start, -1.0)]
        {
            for (i, j) in (0..3).flat_map(|i| (0..3).map(move |j| (i, j))) {
                matrix[3 * a + i][3 * b + j] += sign * k[i][j];
            }
        }
    }
    for row in 3 * held..3 * held + 3 {
        matrix.iter_mut().for_each(|line| line[row] = 0.0);
        matrix[row] = vec![0.0; 3 * parts];
        matrix[row][row] = 1.0;
    }
    let moved = inverse_of(matrix);
    let movement = |a: usize, b: usize| {
        let moves = f64::from(u8::from(a != held && b != held));
        [0, 1, 2].map(|i| [0, 1, 2].map(|j| moves * moved[3 * a + i][3 * b + j]))
    };
    let mut shares = Vec::new();
    for (k, &[start, finish]) in stiffnesses.iter().zip(ends) {
        for on in 0..parts {
            let mut apart = movement(finish, on);
            add(&mut apart, &movement(start, on), -1.0);
            shares.push(product(k, &apart));
        }
    }
    shares
}

#[test]
fn chains_carry_what_the_method_of_movements_says() {
    // Movements are subtracted there, and the more of them lie in a row the more digits are lost.
    let lattices = [(2, 1, 0, 1e-9), (2, 1, 1, 1e-9), (3, 3, 4, 1e-9), (4, 3, 0, 1e-8), (7, 6, 41, 1e-7)];
    for (columns, rows, held, digits) in lattices {
        let (chains, ends) = lattice(columns, rows);
        let parts = columns * rows;
        for kind in [PushKind::Face, PushKind::Side] {
            let flexibilities = flexibilities(&chains, kind);
            let ours = Shares::new(&flexibilities, &ends, parts, held);
            let theirs = by_movements(&flexibilities, &ends, parts, held);
            for (theirs, (chain, on)) in
                theirs.iter().zip((0..chains.len()).flat_map(|c| (0..parts).map(move |on| (c, on))))
            {
                let ours = ours.of(chain, on);
                let mut apart = *ours;
                add(&mut apart, theirs, -1.0);
                assert!(
                    largest(&apart) <= digits * largest(theirs).max(1.0),
                    "{kind:?}, {columns} by {rows}, chain {chain}, on {on}: {ours:?} {theirs:?}"
                );
            }
        }
    }
}

/// Each part is in balance: what comes in less what goes out is the wrench on it.
#[test]
fn every_part_is_in_balance() {
    let (chains, ends) = lattice(8, 7);
    for kind in [PushKind::Face, PushKind::Side] {
        let shares = Shares::new(&flexibilities(&chains, kind), &ends, 56, 20);
        for (part, on) in (0..56).flat_map(|part| (0..56).map(move |on| (part, on))) {
            let mut sum = NOTHING;
            for (chain, &[start, finish]) in ends.iter().enumerate() {
                let way = f64::from(u8::from(finish == part)) - f64::from(u8::from(start == part));
                add(&mut sum, shares.of(chain, on), way);
            }
            let due = f64::from(u8::from(part == on)) - f64::from(u8::from(part == 20));
            (0..3).for_each(|i| sum[i][i] -= due);
            assert!(largest(&sum) < 1e-9, "{kind:?}, part {part}, on {on}: {sum:?}");
        }
    }
}

/// The parts can move so that every chain gives as what it carries makes it give: with balance that settles all. They are walked to by
/// other ways than those the chains were chosen by.
#[test]
fn chains_give_as_their_parts_move() {
    let (chains, ends) = lattice(8, 7);
    for kind in [PushKind::Face, PushKind::Side] {
        let flexibilities = flexibilities(&chains, kind);
        let shares = Shares::new(&flexibilities, &ends, 56, 20);
        for on in 0..56 {
            let gives: Vec<Matrix> =
                (0..chains.len()).map(|chain| product(&flexibilities[chain], shares.of(chain, on))).collect();
            let mut moved: Vec<Option<Matrix>> = vec![None; 56];
            moved[20] = Some(NOTHING);
            let mut ahead = vec![20];
            while let Some(part) = ahead.pop() {
                let here = moved[part].expect("it was walked to");
                for (give, &[start, finish]) in gives.iter().zip(&ends).rev() {
                    for (from, to, sign) in [(start, finish, 1.0), (finish, start, -1.0)] {
                        if from == part && moved[to].is_none() {
                            let mut there = here;
                            add(&mut there, give, sign);
                            moved[to] = Some(there);
                            ahead.push(to);
                        }
                    }
                }
            }
            let moved: Vec<Matrix> =
                moved.into_iter().map(|moved| moved.expect("all hang together")).collect();
            for (i, j) in (0..3).flat_map(|i| (0..3).map(move |j| (i, j))) {
                let most = moved.iter().fold(0.0_f64, |most, moved| most.max(moved[i][j].abs()));
                for (give, &[start, finish]) in gives.iter().zip(&ends) {
                    let gap = moved[finish][i][j] - moved[start][i][j] - give[i][j];
                    assert!(gap.abs() <= 1e-8 * most, "{kind:?}, on {on}: {gap} of {most}");
                }
            }
        }
    }
}

/// Where nothing closes a ring each chain carries what is beyond it, to the last digit, however many lie in a row.
#[test]
fn chains_in_a_row_carry_all_that_is_beyond_them() {
    let parts = 400;
    let ends: Vec<[usize; 2]> = (1..parts).map(|part| [part - 1, part]).collect();
    let at = |part: usize| point(12.0 * part as f64, 7.0 * (part % 2) as f64);
    let chains: Vec<Chain> = ends
        .iter()
        .map(|&[start, finish]| {
            Chain::new(&bar(at(start), at(finish), 2.0, 3), [false; 2], 12.0, &plain(900.0, 350.0))
        })
        .collect();
    let held = 150;
    let shares = Shares::new(&flexibilities(&chains, PushKind::Face), &ends, parts, held);
    for (chain, on) in (0..chains.len()).flat_map(|chain| (0..parts).map(move |on| (chain, on))) {
        let [start, finish] = ends[chain];
        let carried = if start >= held && on >= finish {
            1.0
        } else if finish <= held && on <= start {
            -1.0
        } else {
            0.0
        };
        let expected = [0, 1, 2].map(|i| [0, 1, 2].map(|j| if i == j { carried } else { 0.0 }));
        assert_eq!(shares.of(chain, on), &expected, "chain {chain}, on {on}");
    }
}

/// What hangs on nothing, or on loose parts alone, carries nothing, and the others all the same.
#[test]
fn loose_parts_leave_the_others_alone() {
    let (chains, ends) = lattice(3, 2);
    let (mut all, mut moved): (Vec<Chain>, Vec<[usize; 2]>) =
        (chains.clone(), ends.iter().map(|ends| ends.map(|part| part + 3)).collect());
    // Two parts that hang on each other, and one by itself.
    all.push(chains[0].clone());
    moved.push([0, 1]);
    for kind in [PushKind::Face, PushKind::Side] {
        let alone = Shares::new(&flexibilities(&chains, kind), &ends, 6, 4);
        let shares = Shares::new(&flexibilities(&all, kind), &moved, 9, 7);
        for (chain, on) in (0..all.len()).flat_map(|chain| (0..9).map(move |on| (chain, on))) {
            let expected = if chain < chains.len() && on >= 3 { alone.of(chain, on - 3) } else { &NOTHING };
            assert_eq!(shares.of(chain, on), expected, "chain {chain}, on {on}");
        }
    }
}

/// A ring of chains that do not give at all has no flexibility to invert: it goes through, and what the tree carries stands.
#[test]
fn a_ring_that_does_not_give_goes_through() {
    let shares = Shares::new(&[NOTHING; 2], &[[0, 1]; 2], 2, 0);
    let carried: f64 = (0..2).map(|chain| shares.of(chain, 1)[0][0]).sum();
    assert_eq!(carried, 1.0);
}
