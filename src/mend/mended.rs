//! The strength of a place with an insert glued in its back, in closed form.
//!
//! Four ways to give way, each an estimate, the least governs:
//!
//! - *show face*: the bare section with its bending divided by `1 + η·(Γ − 1)`. `Γ` is the transformed section's
//!   gain, an upper bound; `η` is how much of it solid models with open pocket walls left: 0.6 for a
//!   face push, 0.15 for a side push, 0.25 where the strip is at least twice as wide as the place. Shear, twisting
//!   and pulling are not relieved.
//! - *floor joint*: all that ties the insert to the held wood. For a face push it peels,
//!   `4V/(wL) + 6Mᵢ/(wL²)`, with the insert's own share of moment `Mᵢ = M·EIᵢ/EI`; solid models of arms found
//!   0.5 to 1.2 of this peel (the tests of `season/anchor.rs`). For a side push it is twisted in its own plane (see [`floor_side`]).
//! - *insert end*: where the strip ends in the held wood, the section with the pocket taken out, under
//!   the moment that has grown by then.
//! - *insert fibres*: the insert's own bending along its grain, with the full share of the transformed section.
//!
//! All of it is our own model, from our own study; nothing here is published.

use super::layered::{Flat, OnEdge};
use crate::check::{Part, Place};
use crate::season::peel;
use crate::strength::{BENDING_WINDOW, FaceForces, Index, Section, SideForces, Traction, fibre, glue};
use crate::wood::Mechanics;

/// What of the transformed section's gain is left in a face push: our own study.
const LEFT_FACE: f64 = 0.6;
/// The same in a side push: our own study.
const LEFT_SIDE: f64 = 0.15;
/// The same in a side push where the strip is at least twice as wide as the place: our own study.
const LEFT_SIDE_WIDE: f64 = 0.25;

/// An insert's joint to a place, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// Thickness of the insert.
    pub depth: f64,
    /// Width of the strip where it lies in the held wood.
    pub width: f64,
    /// Bonded length past the break line, in the held wood.
    pub reach: f64,
    /// Width square to the run of the held wood around the strip's end; none where the strip runs right
    /// through it.
    pub wood_at_end: Option<f64>,
}

/// The part that gives way first, and its index under a push of 1 N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weakest {
    /// In words.
    pub part: &'static str,
    /// Its index.
    pub index: Index,
}

/// All the parts of a mended place, for each push of 1 N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mended {
    /// Under a face push: show face, floor joint, insert fibres, insert end where there is one.
    pub face: [Option<Weakest>; 4],
    /// Under a side push, in the same order.
    pub side: [Option<Weakest>; 4],
}

/// How many times as weak a solid model found each part as the closed form does, under a face push and under a side push, in the order of
/// [`Mended`].
pub(super) type Doubts = [[f64; 4]; 2];

impl Mended {
    /// Takes in how far these forces were off from what was found on the place, part by part.
    pub(super) fn learn(&self, found: &Place, doubts: &mut Doubts) {
        let parts = [(&self.face, &found.face), (&self.side, &found.side)];
        for ((expected, push), doubts) in parts.into_iter().zip(doubts) {
            let solved = push.solved.iter().flat_map(|solved| &solved.parts);
            for (k, &(_, breaks_at_n)) in solved.filter_map(|found| Some((number(found.0)?, found))) {
                if let Some(expected) = expected[k] {
                    doubts[k] = expected.index.breaks_at() / breaks_at_n;
                }
            }
        }
    }

    /// The least of the parts.
    pub fn weakest(parts: &[Option<Weakest>; 4]) -> Weakest {
        let mut parts = parts.iter().flatten();
        let first = *parts.next().expect("the show face is always there");
        parts.fold(first, |worst, part| if part.index.value > worst.index.value { *part } else { worst })
    }
}

/// Which of the parts of [`Mended`] one is, in their order.
const fn number(part: Part) -> Option<usize> {
    match part {
        Part::ShowFace => Some(0),
        Part::FloorJoint => Some(1),
        Part::Insert => Some(2),
        Part::InsertEnd => Some(3),
        Part::Board | Part::CrossPly | Part::BackPly | Part::GlueLine => None,
    }
}

/// Every part of a place mended with `joint`: its worst section and forces under each push of 1 N.
///
/// The insert is of the same wood, its grain along the run.
pub fn mended(
    face: (&Section, &FaceForces),
    side: (&Section, &SideForces),
    joint: &Joint,
    wood: &Mechanics,
) -> Mended {
    Mended { face: face_parts(face.0, face.1, joint, wood), side: side_parts(side.0, side.1, joint, wood) }
}

/// The same of a place with a board as thick as the joint's depth glued behind it: all of the place's own wood stays in front, and where the
/// board ends that is bare again.
///
/// What solid models left of an insert's gain is taken for a board's too.
pub(super) fn backed(
    face: (&Section, &FaceForces),
    side: (&Section, &SideForces),
    joint: &Joint,
    wood: &Mechanics,
) -> Mended {
    let thicker = |section: &Section| Section { thickness: section.thickness + joint.depth, ..*section };
    let glued = Joint { wood_at_end: None, ..*joint };
    let mut parts = mended((&thicker(face.0), face.1), (&thicker(side.0), side.1), &glued, wood);
    if let Some(around) = joint.wood_at_end {
        let bare = |section: &Section| Section { width: around.max(section.width), ..*section };
        let grown = |moment: f64, shear: f64| moment.abs() + shear.abs() * joint.reach;
        let flat = FaceForces { moment: grown(face.1.moment, face.1.shear), ..*face.1 };
        let moment = grown(side.1.moment, side.1.shear).copysign(side.1.moment);
        let on_edge = SideForces { moment, ..*side.1 };
        let end = |index: Index| Some(Weakest { part: "board at its end", index });
        parts.face[3] = end(bare(face.0).face(&flat, wood));
        parts.side[3] = end(bare(side.0).side(&on_edge, wood));
    }
    parts
}

fn face_parts(
    section: &Section,
    forces: &FaceForces,
    joint: &Joint,
    wood: &Mechanics,
) -> [Option<Weakest>; 4] {
    let host = section.thickness - joint.depth;
    let flat = Flat::new(young_along_run(section.crossing, wood), wood.young_along, host, joint.depth);
    let relief = 1.0 + LEFT_FACE * (flat.window_gain - 1.0);
    let show = section.face(&FaceForces { moment: forces.moment / relief, ..*forces }, wood);
    let own = forces.moment.abs() * flat.insert_share();
    let floor = glue(peel(forces.shear, own, joint.width, joint.reach), 0.0, 0.0, wood);
    let stress = forces.moment.abs() / section.width * flat.back_stress;
    let fibres = fibre(Traction { normal: BENDING_WINDOW * stress, ..Traction::default() }, wood);
    let end = joint.wood_at_end.map(|around| {
        let whole = Section { width: around.max(joint.width), ..*section };
        let (w, t) = (whole.width, whole.thickness);
        let modulus = joint.width * host * host + (w - joint.width) * t * t;
        let area = w * t - joint.width * joint.depth;
        let moment = (forces.moment.abs() + forces.shear.abs() * joint.reach) * (w * t * t / modulus);
        whole
            .face(&FaceForces { moment, torsion: forces.torsion, shear: forces.shear * (w * t / area) }, wood)
    });
    [
        Some(Weakest { part: "show face", index: show }),
        Some(Weakest { part: "floor joint", index: floor }),
        Some(Weakest { part: "insert fibres", index: fibres }),
        end.map(|index| Weakest { part: "insert end", index }),
    ]
}

fn side_parts(
    section: &Section,
    forces: &SideForces,
    joint: &Joint,
    wood: &Mechanics,
) -> [Option<Weakest>; 4] {
    let host = section.thickness - joint.depth;
    let edge = OnEdge::new(young_along_run(section.crossing, wood), wood.young_along, host, joint.depth);
    // A hair of slack, so that a strip cut exactly twice as wide counts as that.
    let wide = joint.width >= 2.0 * section.width * (1.0 - 1e-9);
    let relief = 1.0 + if wide { LEFT_SIDE_WIDE } else { LEFT_SIDE } * (edge.gain - 1.0);
    let show = section.side(&SideForces { moment: forces.moment / relief, ..*forces }, wood);
    let (own, shear) = (forces.moment.abs() * edge.insert_share, forces.shear.abs() * edge.insert_share);
    let floor = floor_side(own, shear, joint, wood);
    let modulus = joint.depth * section.width * section.width / 6.0;
    let pull = (forces.normal * edge.insert_share).max(0.0) / (joint.depth * section.width);
    let stress = BENDING_WINDOW * own / modulus + pull;
    let fibres = fibre(Traction { normal: stress, ..Traction::default() }, wood);
    let end = joint.wood_at_end.map(|around| {
        let whole = Section { width: around.max(joint.width), ..*section };
        let (w, t) = (whole.width, whole.thickness);
        let inertia = t * w.powi(3) - joint.depth * joint.width.powi(3);
        let grown = forces.moment.abs() + forces.shear.abs() * joint.reach;
        let moment = grown.copysign(forces.moment) * (t * w.powi(3) / inertia);
        let net = w * t / (w * t - joint.width * joint.depth);
        whole.side(&SideForces { moment, normal: forces.normal * net, shear: forces.shear * net }, wood)
    });
    [
        Some(Weakest { part: "show face", index: show }),
        Some(Weakest { part: "floor joint", index: floor }),
        Some(Weakest { part: "insert fibres", index: fibres }),
        end.map(|index| Weakest { part: "insert end", index }),
    ]
}

/// Index of a floor twisted in its own plane by the insert's share of a side push.
///
/// The floor, `w` by `L`, takes the share `Mᵢ` and `Vᵢ` at the break line, so about its own middle the
/// couple `C = Mᵢ + Vᵢ·L/2`. A stiff plate on an even bed answers with shear that grows with the distance
/// from the middle, `J = w·L·(w² + L²)/12`. In the window at a corner, a quarter of the length by a
/// quarter of the width:
///
/// ```text
/// across the insert's grain   0.75·C·(L/2)/J + Vᵢ/(w·L)
/// across the host's grain     0.75·C·(w/2)/J
/// ```
///
/// For a run square to the grain; for others the same, as an estimate.
fn floor_side(moment: f64, shear: f64, joint: &Joint, wood: &Mechanics) -> Index {
    let (w, l) = (joint.width, joint.reach);
    let couple = moment + shear * l / 2.0;
    let polar = w * l * (w * w + l * l) / 12.0;
    let across_insert = BENDING_WINDOW * couple * (l / 2.0) / polar + shear / (w * l);
    let across_host = BENDING_WINDOW * couple * (w / 2.0) / polar;
    glue(0.0, across_host, across_insert, wood)
}

/// The host's Young's modulus along a run at `crossing` to its grain (rotation of compliances).
pub(super) fn young_along_run(crossing: f64, wood: &Mechanics) -> f64 {
    let (sin, cos) = crossing.sin_cos();
    let (s2, c2) = (sin * sin, cos * cos);
    let mixed = 1.0 / wood.shear_modulus_face - 2.0 * wood.poisson_face / wood.young_along;
    1.0 / (c2 * c2 / wood.young_along + s2 * s2 / wood.young_in_plane + s2 * c2 * mixed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strength::tests::cherry;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn the_host_is_as_stiff_along_and_across_as_its_wood() {
        let wood = cherry();
        assert!((young_along_run(0.0, &wood) - wood.young_along).abs() < 1e-6);
        assert!((young_along_run(FRAC_PI_2, &wood) - wood.young_in_plane).abs() < 1e-9);
    }

    #[test]
    fn a_short_insert_is_weaker_than_none() {
        let wood = cherry();
        let section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };
        let (face, side) = (FaceForces::of_push(1.0, 20.0, 0.0), SideForces::of_push(0.0, 1.0, 20.0, 0.0));
        let bare = section.face(&face, &wood).breaks_at();
        let at = |reach| {
            let joint = Joint { depth: 9.5, width: 8.0, reach, wood_at_end: Some(60.0) };
            Mended::weakest(&mended((&section, &face), (&section, &side), &joint, &wood).face)
                .index
                .breaks_at()
        };
        assert!(at(5.0) < bare && bare < at(40.0), "{} {bare} {}", at(5.0), at(40.0));
    }

    /// By hand: 10 mm past the break line a push of 1 N with a lever of 20 mm bends the bare board with 30 N·mm; before it the board and the backer bend
    /// as a board and an insert of the thickness of both.
    #[test]
    fn a_backed_place_is_an_insert_s_in_a_thicker_board_and_bare_where_the_backer_ends() {
        let wood = cherry();
        let section = Section { width: 8.0, thickness: 12.0, crossing: FRAC_PI_2, turn: 1.0 };
        let (face, side) = (FaceForces::of_push(1.0, 20.0, 0.0), SideForces::of_push(0.0, 1.0, 20.0, 0.0));
        let joint = Joint { depth: 6.0, width: 8.0, reach: 10.0, wood_at_end: Some(40.0) };
        let found = backed((&section, &face), (&section, &side), &joint, &wood);
        let thick = Section { thickness: 18.0, ..section };
        let insert = mended((&thick, &face), (&thick, &side), &Joint { wood_at_end: None, ..joint }, &wood);
        assert_eq!((&found.face[..3], &found.side[..3]), (&insert.face[..3], &insert.side[..3]));
        let bare = Section { width: 40.0, ..section }.face(&FaceForces { moment: 30.0, ..face }, &wood);
        assert_eq!(found.face[3].map(|end| end.index.value), Some(bare.value));
        // Nothing of the board is taken away, so it is stronger before the backer than alone.
        let alone = section.face(&face, &wood).value;
        assert!(found.face[0].is_some_and(|show| show.index.value < alone));
    }

    #[test]
    fn where_no_wood_stands_beside_the_strip_its_end_leaves_the_front_layer_alone() {
        let wood = cherry();
        let section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };
        let joint = Joint { depth: 9.5, width: 8.0, reach: 20.0, wood_at_end: Some(8.0) };
        let forces = FaceForces { moment: 20.0, ..FaceForces::default() };
        let end = face_parts(&section, &forces, &joint, &wood)[3].expect("an end was asked for");
        let front = Section { thickness: 9.5, ..section }.face(&forces, &wood);
        assert!((end.index.value / front.value - 1.0).abs() < 1e-12);
    }
}
