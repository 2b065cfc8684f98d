//! The closed form asked of a plane of the solid model: as the section of its place square to the run, and as a section of its own.

use crate::{
    section::Station,
    shape::plane::{Point, angle_between, cross, distance, dot, left, point, unit},
    strength::{Index, Section},
    wood::Mechanics,
};

use super::{
    super::{PushKind, finding::Family, frame::Joint, load::Wrench},
    planes::Candidate,
};

/// A plane at less than this angle to the run of its place runs lengthwise through it (30°): our own rule.
const LENGTHWISE: f64 = std::f64::consts::FRAC_PI_6;

/// A section square to a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Across {
    pub(super) at: Point,
    pub(super) run: Point,
    pub(super) width: f64,
    pub(super) crossing: f64,
    pub(super) turn: f64,
    /// The stretch, by number, and how far along it stands; nothing for a tongue.
    pub(super) place: Option<(usize, f64)>,
}

impl Across {
    pub(super) const fn of(stretch: usize, station: &Station) -> Self {
        let &Station { at, run, width, crossing, turn, along, .. } = station;
        Self { at, run, width, crossing, turn, place: Some((stretch, along)) }
    }

    fn joint(&self, thickness: f64, wood: &Mechanics) -> Joint {
        let Self { at, run, width, crossing, turn, place } = *self;
        let section = Section { width, thickness, crossing, turn };
        let along = place.map_or(0.0, |(_, along)| along);
        Joint { at, run, along, section, resistance: section.against(wood) }
    }
}

/// A plane as the sections that the closed form knows.
pub(super) struct Beam {
    line: [Point; 2],
    /// Along the run, or against it where the plane's loaded wood lies there.
    sign: f64,
    pub(super) is_lengthwise: bool,
    /// Square to the run; of a plane that runs lengthwise itself.
    pub(super) section: Joint,
    /// The plane as a section of its own, where it goes from wall to wall and is not that already.
    own: Option<Joint>,
}

impl Beam {
    pub(super) fn new(plane: &Candidate, thickness: f64, wood: &Mechanics) -> Self {
        let [from, to] = plane.line;
        let along = unit(to - from);
        let normal = -left(along);
        let run = plane.section.run;
        let sign = if dot(normal, run) < 0.0 { -1.0 } else { 1.0 };
        let is_lengthwise = angle_between(run, along) < LENGTHWISE;
        let crossing = match plane.family {
            Family::Grain => std::f64::consts::FRAC_PI_2,
            Family::Fibre | Family::Glue => 0.0,
        };
        let (at, run, width) = ((from + to) / 2.0, normal * sign, distance(from, to));
        let own = Across { at, run, width, crossing, turn: 1.0, place: None }.joint(thickness, wood);
        let (section, own) = if is_lengthwise {
            (own, None)
        } else {
            (plane.section.joint(thickness, wood), (plane.free == [true, true]).then_some(own))
        };
        Self { line: plane.line, sign, is_lengthwise, section, own }
    }

    /// How long a plane like this one is where its place is straight.
    pub(super) fn straight(&self) -> f64 {
        let [from, to] = self.line;
        self.section.section.width / angle_between(self.section.run, to - from).sin()
    }

    /// The six forces of a plane, as [`Weakest`](super::study::Weakest) has them, as the wrench that crosses it from finish to start of the run.
    pub(super) fn wrench(&self, kind: PushKind, forces: &[f64; 6]) -> Wrench {
        let [from, to] = self.line;
        let (along, middle) = (unit(to - from), (from + to) / 2.0);
        let normal = -left(along);
        let [square, lengthwise, shear, bending, turning, torsion] = *forces;
        let wrench = match kind {
            PushKind::Face => {
                let moment = along * bending + normal * torsion + point(middle.y, -middle.x) * shear;
                [shear, moment.x, moment.y]
            }
            PushKind::Side => {
                let force = normal * square + along * lengthwise;
                [force.x, force.y, cross(middle, force) - turning]
            }
        };
        wrench.map(|part| self.sign * part)
    }

    /// The closed form's index for what crosses the plane: the greater of that of the section square to the run and that of the plane as a
    /// section of its own.
    pub(super) fn index(&self, kind: PushKind, wrench: Wrench) -> Index {
        let of = |joint: &Joint| match kind {
            PushKind::Face => joint.resistance.face(&joint.face_forces(wrench)),
            PushKind::Side => joint.resistance.side(&joint.side_forces(wrench)),
        };
        let (one, other) = (of(&self.section), self.own.as_ref().map(of));
        other.filter(|other| other.value > one.value).unwrap_or(one)
    }
}
