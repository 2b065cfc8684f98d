//! The closed form's statics: slender stretches as beams between parts of the wood that stay rigid.
//!
//! A *chain* is a stretch with its sections. What crosses it is one wrench, taken about the origin, so that
//! it is the same in every section that no load lies between. The strain energy of a unit wrench gives
//! the chain's flexibility, by how much the two parts at its ends move against each other:
//!
//! ```text
//! u_finish − u_start = F·W        F = ∫ Sᵀ·C·S ds
//! ```
//!
//! `S` reads bending moment, twist and shear (or normal force) of a section off the wrench, `C` holds their
//! compliances: `1/EI` and `1/GJ` through the thickness, `1/EI` and `1/EA` in the plane. Shear is left
//! out (slender beams, Euler and Bernoulli), so the hand formulas come out exactly: `4FL/27` is the greatest moment at the end of
//! a beam built in at both ends, `FL/8` the one under a load in its middle.
//!
//! Through the thickness and in the plane are two problems of three unknowns a closed ring each (see [`share`]); a flat
//! board keeps them apart.
//!
//! # Source
//!
//! Flexibility of curved and tapered bars: Castigliano's theorem, any text on structures (Timoshenko and
//! Young, *Theory of Structures*, from memory).

use std::ops::Range;

use crate::{
    section::Station,
    shape::plane::{Point, distance, dot, left},
    strength::{FaceForces, Resistance, Section, SideForces},
    wood::Mechanics,
};

use super::{
    finding::PushKind,
    load::{LEAST_WIDTH, Spread, Wrench},
};

mod share;

use share::Shares;

type Matrix = [[f64; 3]; 3];

/// Steps of integration between two stations.
const STEPS: usize = 4;

/// A stretch as a beam.
#[derive(Clone, Debug)]
pub(super) struct Chain {
    /// Its sections.
    pub(super) stations: Vec<Joint>,
    /// The sections judged: all but those at the very tip.
    pub(super) judged: Range<usize>,
    /// Flexibility from the start up to each step, per kind of push.
    grown: [Vec<(f64, Matrix)>; 2],
    /// Inverse of the whole flexibility.
    stiffness: [Matrix; 2],
    /// Indices under a unit of each force, per section and kind of push; the last entry holds the largest of all.
    unit_indices: [Vec<[f64; 3]>; 2],
    /// The middle of the first and last section, and how far from it the others lie.
    middle: Point,
    reach: f64,
}

/// A section of a chain, ready to be judged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joint {
    pub(super) at: Point,
    pub(super) run: Point,
    pub(super) along: f64,
    pub(super) section: Section,
    pub(super) resistance: Resistance,
}

impl Joint {
    pub(super) fn new(station: &Station, thickness: f64, wood: &Mechanics) -> Self {
        let section =
            Section { width: station.width, thickness, crossing: station.crossing, turn: station.turn };
        Self {
            at: station.at,
            run: station.run,
            along: station.along,
            section,
            resistance: section.against(wood),
        }
    }

    /// Indices under a unit of moment, twist or normal force, and shear, the worse of both signs.
    pub(super) fn unit_indices(&self, kind: PushKind) -> [f64; 3] {
        let index = |unit: [f64; 3]| match kind {
            PushKind::Face => {
                let [moment, torsion, shear] = unit;
                self.resistance.face(&FaceForces { moment, torsion, shear }).value
            }
            PushKind::Side => {
                let [moment, normal, shear] = unit;
                self.resistance.side(&SideForces { moment, normal, shear }).value
            }
        };
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
            .map(|unit| index(unit).max(index(unit.map(|part: f64| -part))))
    }

    /// Forces of a wrench through the thickness on this section.
    #[inline]
    pub(super) fn face_forces(&self, w: Wrench) -> FaceForces {
        let moment = Point { x: w[1] - self.at.y * w[0], y: w[2] + self.at.x * w[0] };
        FaceForces { moment: dot(moment, left(self.run)), torsion: dot(moment, self.run), shear: w[0] }
    }

    /// Forces of a wrench in the plane on this section.
    #[inline]
    pub(super) fn side_forces(&self, w: Wrench) -> SideForces {
        let force = Point { x: w[0], y: w[1] };
        let moment = w[2] - (self.at.x * force.y - self.at.y * force.x);
        SideForces { moment: -moment, normal: dot(force, self.run), shear: dot(force, left(self.run)) }
    }
}

impl Chain {
    /// `tips` are the ends, start and finish, that are tips of the wood.
    pub(super) fn new(stations: &[Station], tips: [bool; 2], thickness: f64, wood: &Mechanics) -> Self {
        let joints: Vec<Joint> = stations.iter().map(|s| Joint::new(s, thickness, wood)).collect();
        let grown = [PushKind::Face, PushKind::Side].map(|kind| grown(&joints, thickness, wood, kind));
        let stiffness = grown.each_ref().map(|steps| {
            let whole = steps.last().map_or([[0.0; 3]; 3], |step| step.1);
            inverse(&whole)
        });
        let judged = short_of_tips(&joints, tips);
        let unit_indices = [PushKind::Face, PushKind::Side].map(|kind| {
            let mut indices: Vec<[f64; 3]> = joints.iter().map(|joint| joint.unit_indices(kind)).collect();
            let largest = |i: usize| indices[judged.clone()].iter().map(|index| index[i]).fold(0.0, f64::max);
            indices.push([0, 1, 2].map(largest));
            indices
        });
        let middle = (joints[0].at + joints[joints.len() - 1].at) / 2.0;
        let reach = joints.iter().map(|joint| distance(joint.at, middle)).fold(0.0, f64::max);
        Self { stations: joints, judged, grown, stiffness, unit_indices, middle, reach }
    }

    /// An index no section reaches under a wrench.
    ///
    /// The index is a length of sorts: that of a sum of forces is at most the sum of theirs. So bounds are cheap,
    /// and most pushes need not be judged section by section.
    pub(super) fn bound(&self, kind: PushKind, w: Wrench) -> f64 {
        let largest = self.unit_indices[kind as usize][self.stations.len()];
        let (x, y) = (self.middle.x, self.middle.y);
        match kind {
            PushKind::Face => {
                let moment = (w[1] - y * w[0]).hypot(w[2] + x * w[0]) + self.reach * w[0].abs();
                moment * (largest[0] + largest[1]) + w[0].abs() * largest[2]
            }
            PushKind::Side => {
                let force = w[0].hypot(w[1]);
                let moment = (w[2] - (x * w[1] - y * w[0])).abs() + self.reach * force;
                moment * largest[0] + force * (largest[1] + largest[2])
            }
        }
    }

    /// An index a section does not exceed under face forces.
    #[inline]
    pub(super) fn face_bound(&self, joint: usize, forces: &FaceForces) -> f64 {
        let [moment, torsion, shear] = self.unit_indices[PushKind::Face as usize][joint];
        forces.moment.abs() * moment + forces.torsion.abs() * torsion + forces.shear.abs() * shear
    }

    /// An index a section does not exceed under side forces.
    #[inline]
    pub(super) fn side_bound(&self, joint: usize, forces: &SideForces) -> f64 {
        let [moment, normal, shear] = self.unit_indices[PushKind::Side as usize][joint];
        forces.moment.abs() * moment + forces.normal.abs() * normal + forces.shear.abs() * shear
    }

    /// How far its ends move apart under a unit of each wrench.
    fn flexibility(&self, kind: PushKind) -> Matrix {
        self.grown[kind as usize].last().map_or([[0.0; 3]; 3], |step| step.1)
    }

    /// Wrench for a unit of relative movement of both ends.
    const fn stiffness(&self, kind: PushKind) -> &Matrix {
        &self.stiffness[kind as usize]
    }

    /// The wrench that a spread push leaves in the finish end when both ends are held.
    pub(super) fn held_at_both_ends(&self, kind: PushKind, spread: &Spread) -> Wrench {
        let mut moved = [0.0; 3];
        for (along, w) in &spread.strips {
            let flexibility = self.flexibility_to(kind, *along);
            add(&mut moved, times(&flexibility, *w));
        }
        times(self.stiffness(kind), moved).map(|x| -x)
    }

    /// What start and finish pass on of a spread push: what they would hold if they could not give.
    pub(super) fn passed_on(&self, kind: PushKind, spread: &Spread) -> [Wrench; 2] {
        let base = self.held_at_both_ends(kind, spread);
        let mut at_start = spread.total();
        add(&mut at_start, base);
        [at_start, base.map(|part| -part)]
    }

    fn flexibility_to(&self, kind: PushKind, along: f64) -> Matrix {
        let steps = &self.grown[kind as usize];
        let k = steps.partition_point(|step| step.0 <= along).clamp(1, steps.len() - 1);
        let (a, b) = (&steps[k - 1], &steps[k]);
        let part = ((along - a.0) / (b.0 - a.0).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        [0, 1, 2].map(|i| [0, 1, 2].map(|j| a.1[i][j] + (b.1[i][j] - a.1[i][j]) * part))
    }
}

/// The sections left when those at the very tips are taken away: narrower than [`LEAST_WIDTH`], with nothing wider
/// beyond. A hair elsewhere is judged.
fn short_of_tips(joints: &[Joint], [start, finish]: [bool; 2]) -> Range<usize> {
    let widest = joints.iter().map(|joint| joint.section.width).fold(0.0, f64::max);
    let wide = |joint: &Joint| joint.section.width >= LEAST_WIDTH.min(widest / 2.0);
    let first = joints.iter().position(wide).filter(|_| start).unwrap_or(0);
    let last = joints.iter().rposition(wide).filter(|_| finish).unwrap_or(joints.len() - 1);
    first..last + 1
}

/// Flexibility from the start on, at every step.
fn grown(joints: &[Joint], thickness: f64, wood: &Mechanics, kind: PushKind) -> Vec<(f64, Matrix)> {
    let mut sum = [[0.0; 3]; 3];
    let mut steps = vec![(joints[0].along, sum)];
    for pair in joints.windows(2) {
        let density = pair.iter().map(|joint| compliance(joint, thickness, wood, kind)).collect::<Vec<_>>();
        for step in 0..STEPS {
            // Simpson's rule: exact for even beams, whose density is a parabola.
            let from = step as f64 / STEPS as f64;
            let length = (pair[1].along - pair[0].along) / STEPS as f64;
            for (place, weight) in [(0.0, 1.0), (0.5, 4.0), (1.0, 1.0)] {
                let part = from + place / STEPS as f64;
                let at = pair[0].at * (1.0 - part) + pair[1].at * part;
                let run = crate::shape::plane::unit(pair[0].run * (1.0 - part) + pair[1].run * part);
                let mix = |i: usize| density[0][i] * (1.0 - part) + density[1][i] * part;
                let readers = readers(at, run, kind);
                for (reader, c) in readers.iter().zip([mix(0), mix(1)]) {
                    for i in 0..3 {
                        for j in 0..3 {
                            sum[i][j] += reader[i] * reader[j] * c * length * weight / 6.0;
                        }
                    }
                }
            }
            steps.push((pair[0].along + length * (step + 1) as f64, sum));
        }
    }
    steps
}

/// Compliances of a section: bending and twisting, or bending and pulling.
fn compliance(joint: &Joint, thickness: f64, wood: &Mechanics, kind: PushKind) -> [f64; 2] {
    let young = young_along_run(joint.section.crossing, wood);
    // A section at the very tip has no width; it carries nothing either.
    let width = joint.section.width.max(1e-3);
    match kind {
        PushKind::Face => {
            let inertia = width * thickness.powi(3) / 12.0;
            [1.0 / (young * inertia), 1.0 / joint.resistance.torsion().rigidity.max(1e-9)]
        }
        PushKind::Side => {
            let inertia = thickness * width.powi(3) / 12.0;
            [1.0 / (young * inertia), 1.0 / (young * width * thickness)]
        }
    }
}

/// Young's modulus of a run that crosses the grain at an angle, by the rotation of compliances
/// (Bodig and Jayne, *Mechanics of Wood and Wood Composites*, from memory).
fn young_along_run(crossing: f64, wood: &Mechanics) -> f64 {
    let (sin, cos) = crossing.sin_cos();
    let (s2, c2) = (sin * sin, cos * cos);
    let shear = 1.0 / wood.shear_modulus_face - 2.0 * wood.poisson_face / wood.young_along;
    1.0 / (c2 * c2 / wood.young_along + s2 * s2 / wood.young_in_plane + s2 * c2 * shear)
}

/// The two rows of `S` that store energy.
fn readers(at: Point, run: Point, kind: PushKind) -> [Wrench; 2] {
    let side = left(run);
    match kind {
        // moment = (w1 − y·w0, w2 + x·w0)·side, torsion the same along the run.
        PushKind::Face => {
            let row = |d: Point| [at.x * d.y - at.y * d.x, d.x, d.y];
            [row(side), row(run)]
        }
        PushKind::Side => [[at.y, -at.x, 1.0], [run.x, run.y, 0.0]],
    }
}

/// Several chains between a few rigid parts, some of them held.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    /// What its chains carry, under both kinds of push.
    shares: [Shares; 2],
}

impl Frame {
    /// `ends[c]` are the parts chain `c` starts and finishes at; part `held` stays where it is.
    pub(super) fn new(chains: &[Chain], ends: &[[usize; 2]], parts: usize, held: usize) -> Self {
        let shares = [PushKind::Face, PushKind::Side].map(|kind| {
            let flexibilities: Vec<Matrix> = chains.iter().map(|chain| chain.flexibility(kind)).collect();
            Shares::new(&flexibilities, ends, parts, held)
        });
        Self { shares }
    }

    /// The wrench in a chain, by its number, for a wrench on part `on`.
    pub(super) fn wrench(&self, kind: PushKind, chain: usize, on: usize, load: Wrench) -> Wrench {
        times(self.shares[kind as usize].of(chain, on), load)
    }
}

#[inline]
fn times(m: &Matrix, v: Wrench) -> Wrench {
    [0, 1, 2].map(|i| m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2])
}

pub(super) fn add(sum: &mut Wrench, w: Wrench) {
    for i in 0..3 {
        sum[i] += w[i];
    }
}

/// Inverse of a symmetric positive 3 × 3 matrix.
fn inverse(m: &Matrix) -> Matrix {
    let lines = m.iter().map(|row| row.to_vec()).collect();
    let inverse = inverse_of(lines);
    [0, 1, 2].map(|i| [inverse[i][0], inverse[i][1], inverse[i][2]])
}

/// Inverse by elimination with row exchange, rows scaled first since forces and moments differ in size.
fn inverse_of(mut matrix: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let n = matrix.len();
    let mut inverse: Vec<Vec<f64>> =
        (0..n).map(|i| (0..n).map(|j| if i == j { 1.0 } else { 0.0 }).collect()).collect();
    for i in 0..n {
        let scale = matrix[i].iter().fold(0.0_f64, |largest, x| largest.max(x.abs()));
        if scale > 0.0 {
            for j in 0..n {
                matrix[i][j] /= scale;
                inverse[i][j] /= scale;
            }
        }
    }
    for column in 0..n {
        let pivot = (column..n)
            .max_by(|&a, &b| matrix[a][column].abs().total_cmp(&matrix[b][column].abs()))
            .expect("there is a row left");
        matrix.swap(column, pivot);
        inverse.swap(column, pivot);
        let divisor = matrix[column][column];
        if divisor == 0.0 {
            continue;
        }
        for j in 0..n {
            matrix[column][j] /= divisor;
            inverse[column][j] /= divisor;
        }
        let (row, inverse_row) = (matrix[column].clone(), inverse[column].clone());
        for i in (0..n).filter(|&i| i != column) {
            let factor = matrix[i][column];
            if factor != 0.0 {
                for j in 0..n {
                    matrix[i][j] -= factor * row[j];
                    inverse[i][j] -= factor * inverse_row[j];
                }
            }
        }
    }
    inverse
}

#[cfg(test)]
mod tests;
