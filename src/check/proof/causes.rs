//! Why the two answers differ: both asked again, with one thing changed at a time.
//!
//! The closed form's force over the solid model's is a product:
//!
//! ```text
//! closed form     closed form, at its own plane and push      elsewhere
//! ----------- =   -----------------------------------------
//!    solid        closed form, at the solid model's
//!
//!             ×   closed form's share of the push             neighbours
//!                 -----------------------------------------
//!                 the forces that the solid model finds
//!
//!             ×   what is left with the place twisted, over   twist
//!                 what is left without
//!
//!             ×   the rest                                    corner, ...
//! ```
//!
//! A plane that runs lengthwise through its place, or that is no section of it, has no such sections: that is told instead.
//!
//! Twist is taken off by more pushes: of all sums of pads that twist the place back without bending or shearing it, the least. As all
//! answers are linear, that is a sum of what is known.

use crate::{
    shape::plane::{distance, nearest_on_segment},
    strength::FaceForces,
};

use super::{
    super::{
        Case, PushKind,
        finding::Why,
        statics::{AskedPush, Statics},
    },
    Proof,
    beam::Beam,
    jobs::Job,
    planes::Candidate,
    study::{Answers, Planes, Weakest},
};

/// A push nearer to a plane than this part of its length does not spread over it: our own rule, after Saint-Venant.
const NEAR: f64 = 0.5;
/// A place is a stub where it is so short that it has less than this part of the plane's length: our own rule.
const STUB: f64 = 0.6;
/// Where statics make so many times more or less of a push than what they find weakest, or, of one near the plane, than the solid model finds, they are no
/// measure of what comes to the plane: our own rule.
const TRUSTED: f64 = 3.0;
/// A twist is not told from bending where the squares of what it takes in pads to be taken off come to more than the square of so many times the
/// push: each pad's answer errs for itself, and that is how errors add up. Our own rule.
const MOST_PADS: f64 = 2.0;
/// Walls that turn in by more than this (20°), in radians, within a window's length of a plane's end are a corner.
const TURNS_IN: f64 = 0.349;

impl Proof<'_> {
    /// What each cause makes of the difference between the closed form and the solid model on a plane of the bare board.
    pub(super) fn factors(
        &self,
        statics: &mut Statics<'_>,
        closed_form: f64,
        weakest: &Weakest,
        plane: &Candidate,
        job: &Job,
    ) -> Vec<(Why, f64)> {
        let (kind, solid) = (weakest.kind, weakest.index.breaks_at());
        let whole = closed_form / solid;
        let beam = Beam::new(plane, self.thickness, self.wood);
        let [from, to] = plane.line;
        let near =
            distance(nearest_on_segment(weakest.at, from, to).0, weakest.at) < NEAR * distance(from, to);
        let goes_through = plane.free == [true, true];
        let found = beam.index(kind, beam.wrench(kind, &weakest.forces)).breaks_at();
        if beam.is_lengthwise {
            // Of a plane that runs on into held wood it is not known what of its forces is the place's.
            if !goes_through || found.is_infinite() {
                return vec![(Why::Lengthwise, whole)];
            }
            let mut factors = vec![(Why::Lengthwise, closed_form / found)];
            factors.extend(self.of_stress(&beam, weakest, plane, found / solid, near));
            return factors;
        }
        let (at, centre, push) = (weakest.at, weakest.centre, weakest.push);
        let asked = AskedPush { kind, at, centre, push, case: job.case, way: job.way };
        let crosses = plane.section.place.and_then(|(s, along)| statics.wrench(s, along, &asked));
        let shared = crosses.map(|wrench| beam.index(kind, wrench).breaks_at());
        let shared = shared.filter(|force| force.is_finite());
        let is_trusted = |ratio: f64| (1.0 / TRUSTED..TRUSTED).contains(&ratio);
        // Statics stand for what is found where a plane runs on, and what is found for them where they do not say which end is held.
        let (shared, found) = match shared {
            Some(shared) if !goes_through && !near => (shared, shared),
            Some(shared) if goes_through && found.is_finite() && (!near || is_trusted(shared / found)) => {
                (shared, found)
            }
            None if goes_through && found.is_finite() && job.case == Case::Place => (found, found),
            _ => return vec![(if near { Why::NearPush } else { Why::NoSection }, whole)],
        };
        let mut factors = if goes_through && is_trusted(closed_form / shared) {
            let sharing = shared / found;
            let neighbour = if sharing > 1.0 { Why::SoftNeighbour } else { Why::StiffNeighbour };
            vec![(Why::Elsewhere, closed_form / shared), (neighbour, sharing)]
        } else {
            vec![(Why::Elsewhere, closed_form / found)]
        };
        factors.extend(self.of_stress(&beam, weakest, plane, found / solid, near));
        factors
    }

    /// What makes the same forces break a plane sooner than a straight section, or later: factors whose product is `stress`.
    fn of_stress(
        &self,
        beam: &Beam,
        weakest: &Weakest,
        plane: &Candidate,
        stress: f64,
        near: bool,
    ) -> Vec<(Why, f64)> {
        if near {
            return vec![(Why::NearPush, stress)];
        }
        // Of a push that does nothing but twist nothing is left without.
        let without = weakest.untwisted.filter(|without| without.solid > 0.0 && without.beam > 0.0);
        let twist = without.map_or(1.0, |without| {
            let with = beam.index(weakest.kind, beam.wrench(weakest.kind, &weakest.forces)).value;
            (weakest.index.value / without.solid) / (with / without.beam)
        });
        let rest = stress / twist;
        let [from, to] = plane.line;
        let why = match () {
            () if plane.ligament < STUB * beam.straight().min(distance(from, to)) => Why::ShortStub,
            () if rest > 1.0 && self.is_at_corner(plane, weakest.window[0]) => Why::Corner,
            () => Why::Uneven,
        };
        vec![(Why::Twist, twist), (why, rest)]
    }

    /// Whether a plane runs into a re-entrant corner at its start (0) or its end (2).
    fn is_at_corner(&self, plane: &Candidate, spot: u8) -> bool {
        let end = match spot {
            0 => plane.line[0],
            2 => plane.line[1],
            _ => return false,
        };
        let walls = self.skeleton.mesh().walls();
        let near = (0..walls.len()).filter(|&i| distance(walls.point(i), end) <= plane.window());
        near.map(|i| walls.turn(i).max(0.0)).sum::<f64>() > TURNS_IN
    }
}

/// What a push on the face does to a plane without the part of it that twists its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Untwisted {
    /// The greatest index that the solid model finds on the plane, and the closed form's for the forces on it as a whole.
    pub(super) solid: f64,
    pub(super) beam: f64,
}

impl Untwisted {
    /// Takes the twist off by other pushes on the face: of all sums of them that twist the place as much the other way without
    /// bending or shearing it the least one. Nothing where no such sum is.
    pub(super) fn of(
        planes: &Planes,
        answers: &Answers<'_>,
        weakest: &Weakest,
        plane: &Candidate,
        thickness: f64,
    ) -> Option<Self> {
        let windowed = &planes.windowed[weakest.number];
        if weakest.kind != PushKind::Face || windowed.resultant.is_none() {
            return None;
        }
        let beam = Beam::new(plane, thickness, &windowed.wood);
        let reading = |pushes: &[(usize, f64)]| planes.reading(answers, weakest.number, pushes);
        let on_section = |forces: &[f64; 6]| {
            let joint = &beam.section;
            let FaceForces { moment, torsion, shear } =
                joint.face_forces(beam.wrench(PushKind::Face, forces));
            [shear * joint.section.width, moment, torsion]
        };
        let pads = (0..answers.tried.len()).filter(|&l| answers.tried[l].kind == PushKind::Face);
        let pads: Vec<(usize, [f64; 3])> =
            pads.map(|l| (l, on_section(&reading(&[(l, 1.0)]).forces))).collect();
        let [.., torsion] = on_section(&weakest.forces);
        let mut pushes = least(&pads, [0.0, 0.0, -torsion])?;
        let size: f64 = pushes.iter().map(|(_, times)| times * times).sum();
        if size > MOST_PADS * MOST_PADS {
            return None;
        }
        pushes.push((weakest.load, 1.0));
        let reading = reading(&pushes);
        let wrench = beam.wrench(PushKind::Face, &reading.forces);
        Some(Self { solid: reading.peak(windowed), beam: beam.index(PushKind::Face, wrench).value })
    }
}

/// The least times so many pushes each by which they come to wanted forces together.
fn least(pushes: &[(usize, [f64; 3])], wanted: [f64; 3]) -> Option<Vec<(usize, f64)>> {
    let mut products = [[0.0; 3]; 3];
    for (_, forces) in pushes {
        for (row, a) in products.iter_mut().zip(forces) {
            row.iter_mut().zip(forces).for_each(|(sum, b)| *sum += a * b);
        }
    }
    let times = solved(&products, wanted)?;
    let of = |forces: &[f64; 3]| forces.iter().zip(times).map(|(a, b)| a * b).sum();
    Some(pushes.iter().map(|(load, forces)| (*load, of(forces))).collect())
}

/// Solves three equations by Cramer's rule; nothing where they do not stand on their own.
fn solved(m: &[[f64; 3]; 3], b: [f64; 3]) -> Option<[f64; 3]> {
    let minor = |i: usize, j: usize| {
        let [a, c, d, e] = [(i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3];
        m[a][d] * m[c][e] - m[a][e] * m[c][d]
    };
    let whole: f64 = (0..3).map(|j| m[0][j] * minor(0, j)).sum();
    let is_own = whole > 1e-9 * m[0][0] * m[1][1] * m[2][2];
    is_own.then(|| [0, 1, 2].map(|i| (0..3).map(|j| minor(j, i) * b[j]).sum::<f64>() / whole))
}
