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
    shape::plane::{Point, angle_between, cross, distance, dot, left, nearest_on_segment, unit},
    strength::{FaceForces, Index, Resistance, Section, SideForces},
    wood::Mechanics,
};

use super::{
    super::{
        Case, PushKind,
        finding::{Family, Why},
        load::Wrench,
        statics::{Asked, Statics},
    },
    Proof,
    jobs::Job,
    planes::{Across, Candidate},
    study::{Answers, Planes, Weakest},
};

/// A plane at less than this angle to the run of its place runs lengthwise through it (30°): our own rule.
const LENGTHWISE: f64 = std::f64::consts::FRAC_PI_6;
/// A push nearer to a plane than this part of its length does not spread over it: our own rule, after Saint-Venant.
const NEAR: f64 = 0.5;
/// A place is a stub where it is so short that it has less than this part of the plane's length: our own rule.
const STUB: f64 = 0.6;
/// Where statics and the solid model differ by more than this in what a plane carries, it is no section of its place: our own rule.
const TRUSTED: f64 = 3.0;
/// A twist that takes more times the push in other pads than this to be taken off is not told from bending: our own rule.
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
        let found = beam.index(kind, &weakest.forces).breaks_at();
        if beam.is_lengthwise {
            // Of a plane that runs on into held wood it is not known what of its forces is the place's.
            if !goes_through || found.is_infinite() {
                return vec![(Why::Lengthwise, whole)];
            }
            let mut factors = vec![(Why::Lengthwise, closed_form / found)];
            factors.extend(self.of_stress(&beam, weakest, plane, found / solid, near));
            return factors;
        }
        let asked = Asked { kind, at: weakest.at, push: weakest.push, case: job.case, way: job.way };
        let crosses = plane.section.place.and_then(|(s, along)| statics.wrench(s, along, &asked));
        let shared = crosses.map(|wrench| beam.index(kind, &beam.of_wrench(kind, wrench)).breaks_at());
        let shared = shared.filter(|force| force.is_finite());
        // Statics stand for what is found where a plane runs on, and what is found for them where they do not say which end is held.
        let (shared, found) = match shared {
            Some(shared) if !goes_through && !near => (shared, shared),
            Some(shared) if goes_through && (1.0 / TRUSTED..TRUSTED).contains(&(shared / found)) => {
                (shared, found)
            }
            None if goes_through && job.case == Case::Place => (found, found),
            _ => return vec![(if near { Why::NearPush } else { Why::Elsewhere }, whole)],
        };
        let mut factors = vec![(Why::Elsewhere, closed_form / shared)];
        if goes_through {
            let sharing = shared / found;
            factors.push((if sharing > 1.0 { Why::SoftNeighbour } else { Why::StiffNeighbour }, sharing));
        }
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
            let with = beam.index(weakest.kind, &weakest.forces).value;
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
        // The wood lies to the left of its walls: where they turn right, it is re-entrant.
        let turn = |i: usize| {
            let ((a, b), (_, c)) = (walls.edge(walls.previous(i)), walls.edge(i));
            cross(b - a, c - b).atan2(dot(b - a, c - b))
        };
        near.map(|i| -turn(i).min(0.0)).sum::<f64>() > TURNS_IN
    }
}

/// The cause that does most of a difference.
pub(super) fn greatest(factors: &[(Why, f64)]) -> Option<Why> {
    let whole: f64 = factors.iter().map(|(_, factor)| factor.ln()).sum();
    let does = |(_, factor): &&(Why, f64)| whole.signum() * factor.ln();
    factors.iter().max_by(|a, b| does(a).total_cmp(&does(b))).map(|(why, _)| *why)
}

/// The closed form asked of a plane of a place.
pub(super) struct Beam {
    line: [Point; 2],
    /// The section whose forces are asked: square to the run, or the plane itself where that runs lengthwise.
    section: Across,
    is_lengthwise: bool,
    /// Square to the run; and the plane as a section of its own, where it goes from wall to wall.
    across: Option<Resistance>,
    own: Option<Resistance>,
}

impl Beam {
    pub(super) fn new(plane: &Candidate, thickness: f64, wood: &Mechanics) -> Self {
        let line = plane.line;
        let width = distance(line[0], line[1]);
        let is_lengthwise = angle_between(plane.section.run, line[1] - line[0]) < LENGTHWISE;
        let crossing = match plane.family {
            Family::Grain => std::f64::consts::FRAC_PI_2,
            Family::Fibre | Family::Glue => 0.0,
        };
        let own = Across {
            at: (line[0] + line[1]) / 2.0,
            run: left(unit(line[1] - line[0])),
            width,
            crossing,
            turn: 1.0,
            place: plane.section.place,
        };
        let section = if is_lengthwise { own } else { plane.section };
        let against = |Across { width, crossing, turn, .. }: Across| {
            Section { width, thickness, crossing, turn }.against(wood)
        };
        Self {
            line,
            section,
            is_lengthwise,
            across: (!is_lengthwise).then(|| against(section)),
            own: (is_lengthwise || plane.free == [true, true]).then(|| against(own)),
        }
    }

    /// How long a plane like this one is where its place is straight.
    fn straight(&self) -> f64 {
        let [from, to] = self.line;
        self.section.width / angle_between(self.section.run, to - from).sin()
    }

    /// Along the plane, square to it out of the loaded wood, and its middle.
    fn axes(&self) -> [Point; 3] {
        let [from, to] = self.line;
        let along = unit(to - from);
        [along, left(along) * -1.0, (from + to) / 2.0]
    }

    /// The forces of a plane as those on the section square to the run.
    fn face_forces(&self, forces: &[f64; 6]) -> FaceForces {
        let [along, normal, middle] = self.axes();
        let [_, _, shear, bending, _, torsion] = *forces;
        let away = middle - self.section.at;
        let moment = along * bending + normal * torsion + Point { x: away.y, y: -away.x } * shear;
        let run = self.section.run;
        FaceForces { moment: dot(moment, left(run)), torsion: dot(moment, run), shear }
    }

    fn side_forces(&self, forces: &[f64; 6]) -> SideForces {
        let [along, normal, middle] = self.axes();
        let [square, lengthwise, _, _, turning, _] = *forces;
        let run = self.section.run;
        let sign = if dot(normal, run) < 0.0 { -1.0 } else { 1.0 };
        let force = normal * square + along * lengthwise;
        let moment = cross(middle - self.section.at, force) - turning;
        SideForces {
            moment: -sign * moment,
            normal: sign * dot(force, run),
            shear: sign * dot(force, left(run)),
        }
    }

    /// The closed form's index, for the forces on the plane as a whole: the greater of that of the section square to the run and that of
    /// the plane as a section of its own.
    pub(super) fn index(&self, kind: PushKind, forces: &[f64; 6]) -> Index {
        let [normal, along, through, bending, turning, torsion] = *forces;
        let (across, own) = match kind {
            PushKind::Face => (
                self.across.map(|across| across.face(&self.face_forces(forces))),
                self.own.map(|own| own.face(&FaceForces { moment: bending, torsion, shear: through })),
            ),
            PushKind::Side => (
                self.across.map(|across| across.side(&self.side_forces(forces))),
                self.own.map(|own| own.side(&SideForces { moment: turning, normal, shear: along })),
            ),
        };
        let worse = |one: Index, other: Index| if one.value >= other.value { one } else { other };
        across.into_iter().chain(own).reduce(worse).expect("a plane is a section of its place or of its own")
    }

    /// The forces on the plane of a wrench that crosses it, from finish to start of the run.
    pub(super) fn of_wrench(&self, kind: PushKind, wrench: Wrench) -> [f64; 6] {
        let [along, normal, middle] = self.axes();
        let sign = if dot(normal, self.section.run) < 0.0 { -1.0 } else { 1.0 };
        let [a, b, c] = wrench.map(|part| sign * part);
        match kind {
            PushKind::Face => {
                let moment = Point { x: b - middle.y * a, y: c + middle.x * a };
                [0.0, 0.0, a, dot(moment, along), 0.0, dot(moment, normal)]
            }
            PushKind::Side => {
                let force = Point { x: a, y: b };
                [dot(force, normal), dot(force, along), 0.0, 0.0, cross(middle, force) - c, 0.0]
            }
        }
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
            let FaceForces { moment, torsion, shear } = beam.face_forces(forces);
            [shear * beam.section.width, moment, torsion]
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
        Some(Self { solid: reading.peak(windowed), beam: beam.index(PushKind::Face, &reading.forces).value })
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
