//! Pieces divided into sides as long as wanted.

use std::f64::consts::{FRAC_PI_3, SQRT_2, TAU};

use crate::shape::plane::{Point, distance};

use super::network::Network;

/// A side may be longer than wanted by this part before another is put in.
const STRETCH: f64 = 0.15;

/// Each piece's points from its lower-numbered end to the other, in the order of the network's pieces.
pub(super) struct Division {
    pub(super) points: Vec<Point>,
    pub(super) sizes: Vec<f64>,
    pub(super) chains: Vec<Vec<u32>>,
    /// The angle to the next piece round each end of each piece, if under 60°.
    pub(super) narrow: Vec<[bool; 2]>,
}

/// Divides every piece by the size wanted along it.
///
/// Two pieces that meet at less than 60° are divided at the same distances from their common end (powers
/// of two): otherwise each cut of one would ask for a shorter cut of the other, for ever.
pub(super) fn divided(network: &Network, size: &dyn Fn(Point) -> f64) -> Division {
    let narrow = narrow_ends(network);
    let mut points = network.points.clone();
    let mut sizes = network.sizes.clone();
    let mut chains = Vec::with_capacity(network.pieces.len());
    for (&[from, to], narrow) in network.pieces.keys().zip(&narrow) {
        let (a, b) = (network.points[from as usize], network.points[to as usize]);
        let wanted = [network.sizes[from as usize], network.sizes[to as usize]];
        let mut chain = vec![from];
        for at in cuts(a, b, wanted, *narrow, size) {
            let p = a + (b - a) * at;
            chain.push(points.len() as u32);
            points.push(p);
            sizes.push(size(p));
        }
        chain.push(to);
        chains.push(chain);
    }
    Division { points, sizes, chains, narrow }
}

/// Which ends of each piece have another piece within 60°.
fn narrow_ends(network: &Network) -> Vec<[bool; 2]> {
    // At each point the pieces that leave it: direction, piece, which of its ends.
    let mut leaving: Vec<Vec<(f64, usize, usize)>> = vec![Vec::new(); network.points.len()];
    for (number, ends) in network.pieces.keys().enumerate() {
        let [a, b] = ends.map(|end| network.points[end as usize]);
        let way = b - a;
        leaving[ends[0] as usize].push((libm::atan2(way.y, way.x), number, 0));
        leaving[ends[1] as usize].push((libm::atan2(-way.y, -way.x), number, 1));
    }
    let mut narrow = vec![[false; 2]; network.pieces.len()];
    for about in &mut leaving {
        about.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for i in 0..about.len() {
            let next = (i + 1) % about.len();
            let gap = (about[next].0 - about[i].0).rem_euclid(TAU);
            if about.len() > 1 && gap < FRAC_PI_3 {
                for (_, piece, end) in [about[i], about[next]] {
                    narrow[piece][end] = true;
                }
            }
        }
    }
    narrow
}

/// Where a piece is cut, as parts of its length.
fn cuts(a: Point, b: Point, wanted: [f64; 2], narrow: [bool; 2], size: &dyn Fn(Point) -> f64) -> Vec<f64> {
    let length = distance(a, b);
    let least = wanted[0].min(wanted[1]).min(size(a + (b - a) * 0.5));
    if length <= least {
        return Vec::new();
    }
    // How many sides fit up to each of many places along it: the integral of 1/size.
    let samples = (4.0 * length / least).ceil().clamp(4.0, 4096.0) as usize;
    let mut fits = vec![0.0; samples + 1];
    let mut before = 1.0 / wanted[0];
    for i in 1..=samples {
        let here = 1.0 / size(a + (b - a) * (i as f64 / samples as f64));
        fits[i] = fits[i - 1] + 0.5 * (before + here) * length / samples as f64;
        before = here;
    }
    let place = |fit: f64| {
        let i = fits.partition_point(|&f| f < fit).clamp(1, samples);
        (i as f64 - (fits[i] - fit) / (fits[i] - fits[i - 1])) / samples as f64
    };
    let all = fits[samples];
    let parts = (all - STRETCH).ceil().max(1.0);
    if parts < 2.0 {
        return Vec::new();
    }
    let step = all / parts;
    let fit = |at: f64| fit_at(&fits, at);
    let least = 0.3 * least / length;
    // Where the narrow ends are cut, as parts of the length from there.
    let mut ends = [Vec::new(), Vec::new()];
    if narrow[0] {
        ends[0] = shells(length, step, &place, &fit);
    }
    if narrow[1] {
        ends[1] = shells(length, step, &|fit| 1.0 - place(all - fit), &|at| all - fit(1.0 - at));
    }
    let reach = |ends: &[Vec<f64>; 2]| ends.iter().map(|end| end.last().unwrap_or(&0.0)).sum::<f64>();
    if reach(&ends) + least > 1.0 {
        ends.iter_mut().for_each(|end| end.truncate(1));
    }
    let [mut found, finish] = ends;
    let (low, high) = (found.last().copied(), finish.last().map(|at| 1.0 - at));
    let (from, to) = (low.map_or(0.0, fit), high.map_or(all, fit));
    if to > from {
        let between = (to - from - STRETCH).ceil().max(1.0);
        for i in 1..between as usize {
            found.push(place(from + (to - from) * i as f64 / between));
        }
        if high.is_some_and(|at| low.is_none_or(|low| at - low > least)) {
            found.extend(finish.iter().rev().map(|at| 1.0 - at));
        }
    }
    found
}

/// Where a piece is cut near a narrow end, as parts of its length from there: at a power of two, and at the next where a side
/// would reach farther. Over a longer one lies a triangle narrower than the angle the pieces meet at.
///
/// `way` is how far so many sides reach, and `fit` how many reach so far.
fn shells(length: f64, step: f64, way: &dyn Fn(f64) -> f64, fit: &dyn Fn(f64) -> f64) -> Vec<f64> {
    let first = power_of_two(way(step) * length) / length;
    let second = 2.0 * first;
    if second < way(fit(first) + step) { vec![first, second] } else { vec![first] }
}

fn fit_at(fits: &[f64], at: f64) -> f64 {
    let samples = fits.len() - 1;
    let place = (at * samples as f64).clamp(0.0, samples as f64);
    let i = (place.floor() as usize).min(samples - 1);
    fits[i] + (fits[i + 1] - fits[i]) * (place - i as f64)
}

/// The power of two nearest to a length, by ratio.
pub(super) fn power_of_two(length: f64) -> f64 {
    let mut power = 1.0;
    while power > length * SQRT_2 {
        power *= 0.5;
    }
    while power * SQRT_2 < length {
        power *= 2.0;
    }
    power
}
