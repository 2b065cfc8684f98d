//! How much stronger a section is of glued layers, by the closed form.
//!
//! Nothing slips at the glue lines, so the layers bend as one, and each is judged as a section as thick as the whole blank whose grain is its
//! own:
//!
//! - *bending* and *pulling*: it takes its part of the stress in proportion to its stiffness along the run;
//! - *shear through the thickness*: the most that the bent layers ask of it, `V·S/(E·I)`: more than in a plain board where stiff layers lie
//!   in the middle, less in those outside of them;
//! - *shear in the board's plane*: the same in all of them, since layers that cross at a right angle are equally stiff against it;
//! - *twist*: as though all layers had its grain. No layer takes torque off another, nor gets some for being stiffer, so that what twists is
//!   borne better only by a thicker blank. That may be wrong to either side.
//!
//! # Source
//!
//! The transformed section of any handbook of mechanics of materials.

use crate::check::{Forces, Place, PushKind};
use crate::strength::{BENDING_WINDOW, FaceForces, Section, SideForces, variation};
use crate::wood::Mechanics;

use super::mended::young_along_run;
use super::remedy::Ply;

/// The greatest shear in a plain section, as a multiple of `V/A`.
const PARABOLA: f64 = 1.5;

/// How many times stronger a place is of these layers, and how that scatters.
pub(super) fn gain(
    place: &Place,
    kind: PushKind,
    plies: &[Ply],
    grain: f64,
    wood: &Mechanics,
) -> Option<(f64, f64)> {
    let push = place.push(kind);
    let section = &push.section;
    // Layers across the board's grain cross the run at the rest of a right angle.
    let crossing = |ply: &Ply| {
        let off = (ply.grain_deg - grain).rem_euclid(180.0);
        if (off - 90.0).abs() < 1e-9 {
            std::f64::consts::FRAC_PI_2 - section.crossing
        } else {
            section.crossing
        }
    };
    let layers: Vec<(f64, f64)> = plies.iter().map(|ply| (ply.thickness_mm, crossing(ply))).collect();
    let (bare, worst) = match &push.forces {
        Forces::Face(forces) => (section.face(forces, wood), face(section, forces, &layers, wood)),
        Forces::Side(forces) => (section.side(forces, wood), side(section, forces, &layers, wood)),
    };
    let gain = bare.value / worst.value;
    (gain.is_finite() && gain > 0.0).then(|| (gain, variation(&worst.shares, wood)))
}

/// The worst index of the layers under a push on the face.
fn face(
    section: &Section,
    forces: &FaceForces,
    layers: &[(f64, f64)],
    wood: &Mechanics,
) -> crate::strength::Index {
    let whole: f64 = layers.iter().map(|(t, _)| t).sum();
    let young: Vec<f64> = layers.iter().map(|(_, crossing)| young_along_run(*crossing, wood)).collect();
    let mut front = 0.0;
    let spans: Vec<[f64; 2]> = layers
        .iter()
        .map(|(t, _)| {
            front += t;
            [front - t, front]
        })
        .collect();
    let stretch: f64 = young.iter().zip(layers).map(|(e, (t, _))| e * t).sum();
    let neutral =
        young.iter().zip(&spans).map(|(e, [a, b])| e * (b * b - a * a) / 2.0).sum::<f64>() / stretch;
    let cube = |z: f64| (z - neutral).powi(3) / 3.0;
    let stiffness: f64 = young.iter().zip(&spans).map(|(e, [a, b])| e * (cube(*b) - cube(*a))).sum();
    // What pulls or presses in front of a depth, for a curvature of 1/mm and a width of 1 mm; shear there holds it.
    let in_front = |z: f64| {
        let square = |z: f64| (z - neutral).powi(2) / 2.0;
        let of = |(e, [a, b]): (&f64, &[f64; 2])| e * (square(z.clamp(*a, *b)) - square(*a));
        young.iter().zip(&spans).map(of).sum::<f64>()
    };
    let indices = layers.iter().zip(&young).zip(&spans).map(|(((t, crossing), e), [a, b])| {
        // The mean over the outer quarter of the blank, or over the whole layer where that is less, on its worse side.
        let window = t.min(whole / 4.0);
        let away = (a + window / 2.0 - neutral).abs().max((b - window / 2.0 - neutral).abs());
        let stress = e * away / stiffness;
        // The moment that would stress a plain section as much in its own window: 0.75·6·M/(b·t²).
        let moment = forces.moment * stress * whole * whole / (6.0 * BENDING_WINDOW);
        // The shear that would stress a plain section as much at its middle.
        let shear = forces.shear * in_front(neutral.clamp(*a, *b)).abs() / stiffness * whole / PARABOLA;
        let section = Section { thickness: whole, crossing: *crossing, ..*section };
        section.face(&FaceForces { moment, shear, ..*forces }, wood)
    });
    worst(indices)
}

/// The same under a push on a side: the layers lie beside each other, and each takes its part of what bends and what pulls.
fn side(
    section: &Section,
    forces: &SideForces,
    layers: &[(f64, f64)],
    wood: &Mechanics,
) -> crate::strength::Index {
    let whole: f64 = layers.iter().map(|(t, _)| t).sum();
    let young: Vec<f64> = layers.iter().map(|(_, crossing)| young_along_run(*crossing, wood)).collect();
    let stretch: f64 = young.iter().zip(layers).map(|(e, (t, _))| e * t).sum();
    let indices = layers.iter().zip(&young).map(|((_, crossing), e)| {
        let part = e * whole / stretch;
        let section = Section { thickness: whole, crossing: *crossing, ..*section };
        section.side(
            &SideForces { moment: forces.moment * part, normal: forces.normal * part, shear: forces.shear },
            wood,
        )
    });
    worst(indices)
}

fn worst(indices: impl Iterator<Item = crate::strength::Index>) -> crate::strength::Index {
    indices.max_by(|a, b| a.value.total_cmp(&b.value)).expect("a blank has layers")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::{Flat, OnEdge};
    use crate::strength::tests::cherry;
    use std::f64::consts::FRAC_PI_2;

    const SECTION: Section = Section { width: 8.0, thickness: 12.0, crossing: FRAC_PI_2, turn: 1.0 };

    /// Bent, sheared and twisted.
    const FLAT: FaceForces = FaceForces { moment: 30.0, torsion: 11.0, shear: 4.0 };
    const ON_EDGE: SideForces = SideForces { moment: 30.0, normal: 2.0, shear: 4.0 };

    fn close(found: f64, want: f64) {
        assert!((found / want - 1.0).abs() < 1e-9, "{found} for {want}");
    }

    #[test]
    fn layers_that_all_run_one_way_are_the_board_of_all_their_thickness() {
        let wood = cherry();
        let sheared = FaceForces { shear: 400.0, ..FaceForces::default() };
        for crossing in [FRAC_PI_2, 1.0, 0.0] {
            let board = |thickness| Section { thickness, crossing, ..SECTION };
            for thick in [&[12.0, 6.0][..], &[9.0, 9.0], &[6.0, 6.0, 6.0], &[18.0]] {
                let layers: Vec<(f64, f64)> = thick.iter().map(|t| (*t, crossing)).collect();
                for forces in [FLAT, sheared] {
                    let found = face(&board(12.0), &forces, &layers, &wood).value;
                    close(found, board(18.0).face(&forces, &wood).value);
                }
                let found = side(&board(12.0), &ON_EDGE, &layers, &wood).value;
                close(found, board(18.0).side(&ON_EDGE, &wood).value);
            }
        }
    }

    /// The same two layers as an insert behind its show face.
    #[test]
    fn two_layers_bend_as_a_show_face_and_its_insert() {
        let wood = cherry();
        let layers = [(12.0, FRAC_PI_2), (6.0, 0.0)];
        let (young_host, whole) = (wood.young_in_plane, Section { thickness: 18.0, ..SECTION });
        let bent = FaceForces { moment: 30.0, ..FaceForces::default() };
        let gain = whole.face(&bent, &wood).value / face(&SECTION, &bent, &layers, &wood).value;
        close(gain, Flat::new(young_host, wood.young_along, 12.0, 6.0).window_gain);
        let bent = SideForces { moment: 30.0, ..SideForces::default() };
        let gain = whole.side(&bent, &wood).value / side(&SECTION, &bent, &layers, &wood).value;
        close(gain, OnEdge::new(young_host, wood.young_along, 12.0, 6.0).gain);
    }

    /// By hand: three equal plies, the middle one n = E_L/E_T times as stiff. With b = t = 1 and E_T = 1: I = (26 + n)/324; in front of
    /// the middle S = 1/9 + n/72, of the glue line 1/9. So the greatest shear is 4.5·(8 + n)/(26 + n) of V/A in the middle ply, for
    /// the plain section's 1.5, and 36/(26 + n) in the others.
    #[test]
    fn a_stiff_middle_ply_is_sheared_more_than_a_board_and_the_others_less() {
        let wood = cherry();
        let n = wood.young_along / wood.young_in_plane;
        let layers = [(4.0, FRAC_PI_2), (4.0, 0.0), (4.0, FRAC_PI_2)];
        let sheared = FaceForces { shear: 400.0, ..FaceForces::default() };
        let of = |crossing, peak: f64| {
            let forces = FaceForces { shear: 400.0 * peak / 1.5, ..FaceForces::default() };
            Section { crossing, ..SECTION }.face(&forces, &wood).value
        };
        let (middle, outer) = (of(0.0, 4.5 * (8.0 + n) / (26.0 + n)), of(FRAC_PI_2, 36.0 / (26.0 + n)));
        close(face(&SECTION, &sheared, &layers, &wood).value, middle.max(outer));
    }

    /// A layer twisted is judged as though the whole blank had its grain: crossing the plies changes nothing, thickness does.
    #[test]
    fn plies_bear_twist_as_the_worse_of_their_grains_does_in_a_board_as_thick() {
        let wood = cherry();
        let twisted = FaceForces { torsion: 11.0, ..FaceForces::default() };
        let layers = [(6.0, FRAC_PI_2), (6.0, 0.0), (6.0, FRAC_PI_2)];
        let board = |crossing| Section { thickness: 18.0, crossing, ..SECTION }.face(&twisted, &wood).value;
        close(face(&SECTION, &twisted, &layers, &wood).value, board(FRAC_PI_2).max(board(0.0)));
    }

    /// By hand: n = E_L/E_T. On edge the cross ply takes n/(n + 2) and the face plies a third of what they did times 3/(n + 2). Flat,
    /// I = (26 + n)/27 of the plain section's in the face plies' wood; the window of a quarter of the whole lies inside the face ply.
    #[test]
    fn three_plies_bend_as_their_transformed_section_says() {
        let wood = cherry();
        let n = wood.young_along / wood.young_in_plane;
        let layers = [(4.0, FRAC_PI_2), (4.0, 0.0), (4.0, FRAC_PI_2)];
        let flat = FaceForces { moment: 30.0, ..FaceForces::default() };
        let gain = SECTION.face(&flat, &wood).value / face(&SECTION, &flat, &layers, &wood).value;
        assert!((gain / ((26.0 + n) / 27.0) - 1.0).abs() < 1e-9, "{gain}");
        let edge = SideForces { moment: 30.0, ..SideForces::default() };
        let gain = SECTION.side(&edge, &wood).value / side(&SECTION, &edge, &layers, &wood).value;
        assert!((gain / ((n + 2.0) / 3.0) - 1.0).abs() < 1e-9, "{gain}");
    }
}
