//! A straight section square to the run: from the forces on it to its index.
//!
//! Axes on the section: `r` along the run, from the held wood towards the loaded; `s` to the left of it in
//! the board's plane, seen from the face; `z` out of the face. The grain lies in the board's plane at
//! `crossing` from the run, turned to the left (`turn` +1) or to the right (−1):
//!
//! ```text
//!              s
//!              |     / grain, turn +1          grain g = cosφ·r + turn·sinφ·s
//!              |   /                           normal of the grain plane n = turn·sinφ·r − cosφ·s
//!              | /  φ
//!   held ------+------------ r  loaded
//! ```

use super::{Index, Shares, Torsion, Traction, index::Strengths};
use crate::wood::Mechanics;

/// A bending edge's stress, averaged over the quarter of the section next to it: `1 − ¼`.
pub const BENDING_WINDOW: f64 = 0.75;

/// The middle of a shear parabola averaged over the middle quarter: `1.5·(1 − 1/48) = 1.469`, as a
/// multiple of `V/A`.
pub const SHEAR_WINDOW: f64 = 1.47;

/// A straight rectangular section square to the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Width square to the run, in the board's plane, in mm.
    pub width: f64,
    /// Thickness, in mm.
    pub thickness: f64,
    /// Angle between run and grain, 0 to π/2.
    pub crossing: f64,
    /// +1 where the grain, pointing forwards along the run, leans to the left of it (seen from the face);
    /// −1 to the right.
    ///
    /// It decides whether twisting adds to bending or takes from it, and likewise shear to pulling; at
    /// 0 and π/2 it does not matter.
    pub turn: f64,
}

/// What a push through the thickness does to a section.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaceForces {
    /// Bending moment in N·mm; positive stretches the face.
    pub moment: f64,
    /// Twisting moment about the run, right-handed, in N·mm, about the section's centre.
    pub torsion: f64,
    /// Shear through the thickness, in N.
    pub shear: f64,
}

/// What a push in the board's plane does to a section.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SideForces {
    /// Bending moment in N·mm; positive stretches the wall on the left.
    pub moment: f64,
    /// Force along the run, in N; pulling is positive.
    pub normal: f64,
    /// Shear in the board's plane, positive to the left, in N.
    pub shear: f64,
}

impl FaceForces {
    /// Of a push out of the face (`push` positive) that acts `ahead` of the section's centre along the run
    /// and to the `left` of it, in mm.
    #[inline]
    pub const fn of_push(push: f64, ahead: f64, left: f64) -> Self {
        Self { moment: -push * ahead, torsion: push * left, shear: push }
    }
}

impl SideForces {
    /// Of a push with parts `forwards` along the run and `leftwards` of it, that acts `ahead` of the
    /// section's centre and to the `left` of it, in mm.
    #[inline]
    pub const fn of_push(forwards: f64, leftwards: f64, ahead: f64, left: f64) -> Self {
        Self { moment: forwards * left - leftwards * ahead, normal: forwards, shear: leftwards }
    }
}

impl Section {
    /// Index under a face push; the worse of a push on the face and one on the back.
    ///
    /// Many forces on one section: [`Section::against`] once, then [`Resistance::face`].
    #[inline]
    pub fn face(&self, forces: &FaceForces, wood: &Mechanics) -> Index {
        self.against(wood).face(forces)
    }

    /// Index under a side push, the worse of both walls and the middle.
    #[inline]
    pub fn side(&self, forces: &SideForces, wood: &Mechanics) -> Index {
        self.against(wood).side(forces)
    }

    /// Everything about this section in this wood that does not depend on the forces.
    #[inline]
    pub fn against(&self, wood: &Mechanics) -> Resistance {
        let (sin, cos) = self.crossing.sin_cos();
        let area = self.width * self.thickness;
        Resistance {
            area,
            face_modulus: area * self.thickness / 6.0,
            side_modulus: area * self.width / 6.0,
            torsion: Torsion::new(self.width, self.thickness, self.crossing, wood),
            sin: self.turn * sin,
            cos,
            strengths: Strengths::of(wood),
        }
    }
}

/// A section in its wood, ready to be asked about many forces.
#[derive(Clone, Copy, Debug)]
pub struct Resistance {
    area: f64,
    face_modulus: f64,
    side_modulus: f64,
    torsion: Torsion,
    /// Part of the grain to the left of the run, signed.
    sin: f64,
    /// Part of the grain along the run.
    cos: f64,
    strengths: Strengths,
}

/// Where on a section a window lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Spot {
    /// At the face when it is stretched as the forces say.
    Edge,
    /// The other face, or the same one pushed from the other side; for a side push, the right wall.
    OtherEdge,
    Middle,
}

/// Mean stress in one window, in MPa.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stress {
    /// Along the run.
    pub(super) run: f64,
    /// Shear in the board's plane.
    pub(super) in_plane: f64,
    /// Shear through the thickness.
    pub(super) through: f64,
}

/// The plane that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plane {
    Grain,
    Fibres,
    /// The whole section pressed along its fibres.
    Pressed,
}

/// The worst window and plane of a section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Worst {
    pub(super) spot: Spot,
    pub(super) plane: Plane,
    pub(super) stress: Stress,
    pub(super) traction: Traction,
    squares: Shares,
}

impl Worst {
    #[inline]
    pub(super) fn index(&self) -> Index {
        Index::from_squares(self.squares)
    }
}

impl Resistance {
    /// Index under a face push; see [`Section::face`].
    #[inline]
    pub fn face(&self, forces: &FaceForces) -> Index {
        self.worst_face(forces).index()
    }

    /// Index under a side push; see [`Section::side`].
    #[inline]
    pub fn side(&self, forces: &SideForces) -> Index {
        self.worst_side(forces).index()
    }

    /// Section modulus against a face push, `w·t²/6`, in mm³.
    #[inline]
    pub const fn face_modulus(&self) -> f64 {
        self.face_modulus
    }

    /// Section modulus against a side push, `t·w²/6`, in mm³.
    #[inline]
    pub const fn side_modulus(&self) -> f64 {
        self.side_modulus
    }

    /// The resistances against twisting.
    #[inline]
    pub const fn torsion(&self) -> Torsion {
        self.torsion
    }

    /// Area, in mm².
    #[inline]
    pub const fn area(&self) -> f64 {
        self.area
    }

    #[inline]
    pub(super) fn worst_face(&self, forces: &FaceForces) -> Worst {
        let bending = BENDING_WINDOW * forces.moment / self.face_modulus;
        // T = ∫(s·τ_rz − z·τ_rs): at the face, z > 0, the shear in plane runs against the torque.
        let twisting = -BENDING_WINDOW * forces.torsion / self.torsion.face;
        let edge = Stress { run: bending, in_plane: twisting, through: 0.0 };
        // On the back both signs are the other way about; a push from the other side turns the face's
        // signs in the same way, so these two stand for both faces and both pushes.
        let other = Stress { run: -bending, in_plane: -twisting, through: 0.0 };
        // Half way up the walls twisting shears through the thickness, as the push itself does;
        // on one of the two walls they add.
        let through = SHEAR_WINDOW * forces.shear.abs() / self.area
            + BENDING_WINDOW * forces.torsion.abs() / self.torsion.wall;
        let middle = Stress { run: 0.0, in_plane: 0.0, through };
        self.worst([(Spot::Edge, edge), (Spot::OtherEdge, other), (Spot::Middle, middle)])
    }

    #[inline]
    pub(super) fn worst_side(&self, forces: &SideForces) -> Worst {
        let bending = BENDING_WINDOW * forces.moment / self.side_modulus;
        let mean = forces.normal / self.area;
        let left = Stress { run: mean + bending, ..Stress::default() };
        let right = Stress { run: mean - bending, ..Stress::default() };
        let middle = Stress { run: mean, in_plane: SHEAR_WINDOW * forces.shear / self.area, through: 0.0 };
        let worst = self.worst([(Spot::Edge, left), (Spot::OtherEdge, right), (Spot::Middle, middle)]);
        // Over the whole section bending pulls as much as it presses; the mean is what presses.
        let stress = Stress { run: mean, ..Stress::default() };
        let traction = Traction { normal: mean * self.cos * self.cos, ..Traction::default() };
        let squares = self.strengths.pressed(traction.normal);
        let pressed = Worst { spot: Spot::Middle, plane: Plane::Pressed, stress, traction, squares };
        if pressed.squares.sum() > worst.squares.sum() { pressed } else { worst }
    }

    /// Both planes in every window; the first named wins a tie.
    #[inline]
    fn worst(&self, windows: [(Spot, Stress); 3]) -> Worst {
        let judge = |spot, stress, plane| {
            let (traction, squares) = match plane {
                Plane::Grain => {
                    let traction = self.on_grain_plane(stress);
                    (traction, self.strengths.grain(traction))
                }
                _ => {
                    let traction = self.on_fibre_section(stress);
                    (traction, self.strengths.fibres(traction))
                }
            };
            Worst { spot, plane, stress, traction, squares }
        };
        let mut worst = judge(windows[0].0, windows[0].1, Plane::Grain);
        for (spot, stress) in windows {
            for plane in [Plane::Grain, Plane::Fibres] {
                let next = judge(spot, stress, plane);
                if next.squares.sum() > worst.squares.sum() {
                    worst = next;
                }
            }
        }
        worst
    }

    /// Traction on the plane whose normal is `n = turn·sinφ·r − cosφ·s`.
    #[inline]
    fn on_grain_plane(&self, stress: Stress) -> Traction {
        let (sin, cos) = (self.sin, self.cos);
        Traction {
            normal: stress.run * sin * sin - 2.0 * stress.in_plane * sin * cos,
            along: stress.run * sin * cos + stress.in_plane * (sin * sin - cos * cos),
            through: stress.through * sin,
        }
    }

    /// Traction on the plane whose normal is the grain `g = cosφ·r + turn·sinφ·s`.
    #[inline]
    fn on_fibre_section(&self, stress: Stress) -> Traction {
        let (sin, cos) = (self.sin, self.cos);
        Traction {
            normal: stress.run * cos * cos + 2.0 * stress.in_plane * sin * cos,
            along: stress.run * sin * cos + stress.in_plane * (sin * sin - cos * cos),
            through: stress.through * cos,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Mode;
    use super::*;
    use crate::strength::tests::cherry;
    use proptest::prelude::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    const ACROSS: Section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };

    #[test]
    fn a_push_off_centre_bends_and_twists() {
        let forces = FaceForces::of_push(2.0, 30.0, -4.0);
        assert_eq!(forces, FaceForces { moment: -60.0, torsion: -8.0, shear: 2.0 });
        let forces = SideForces::of_push(1.0, 2.0, 30.0, 5.0);
        assert_eq!(forces, SideForces { moment: -55.0, normal: 1.0, shear: 2.0 });
    }

    #[test]
    fn a_stub_breaks_by_rolling_shear() {
        let index = ACROSS.face(&FaceForces { shear: 1.0, ..FaceForces::default() }, &cherry());
        assert_eq!(index.mode, Mode::Rolling);
        assert!((index.breaks_at() - 8.0 * 19.0 * 3.9 / 1.47).abs() < 1e-9);
    }

    #[test]
    fn a_side_push_knows_the_stretched_wall_from_the_pressed_one() {
        let pulled = SideForces { moment: 100.0, normal: 5.0, shear: 0.0 };
        let other = SideForces { moment: -100.0, ..pulled };
        let wood = cherry();
        assert_eq!(ACROSS.side(&pulled, &wood).value, ACROSS.side(&other, &wood).value);
        let pressed = SideForces { normal: -5.0, ..pulled };
        assert!(ACROSS.side(&pressed, &wood).value < ACROSS.side(&pulled, &wood).value);
    }

    #[test]
    fn a_stub_along_the_grain_is_crushed_by_a_force_along_it() {
        let section = Section { crossing: 0.0, ..ACROSS };
        let index = section.side(&SideForces { normal: -1.0, ..SideForces::default() }, &cherry());
        assert_eq!(index.mode, Mode::Fibre);
        assert!((index.breaks_at() - 8.0 * 19.0 * 49.0).abs() < 1e-9);
    }

    #[test]
    fn no_force_never_breaks() {
        let index = ACROSS.face(&FaceForces::default(), &cherry());
        assert_eq!((index.value, index.shares.sum()), (0.0, 0.0));
        assert!(index.breaks_at().is_infinite());
    }

    /// The same bar described from its other end, or seen in a mirror.
    #[test]
    fn mirrored_and_reversed_sections_are_equally_strong() {
        let wood = cherry();
        let section = Section { crossing: 0.7, ..ACROSS };
        let mirrored = Section { turn: -1.0, ..section };
        let face = FaceForces { moment: 90.0, torsion: 40.0, shear: 1.0 };
        // In a mirror that swaps left and right, twisting about the run turns the other way.
        let seen = FaceForces { torsion: -face.torsion, ..face };
        assert!((section.face(&face, &wood).value - mirrored.face(&seen, &wood).value).abs() < 1e-12);
        assert!((section.face(&face, &wood).value - section.face(&seen, &wood).value).abs() > 1e-3);
        let side = SideForces { moment: 9.0, normal: 30.0, shear: 60.0 };
        let seen = SideForces { moment: -side.moment, shear: -side.shear, ..side };
        assert!((section.side(&side, &wood).value - mirrored.side(&seen, &wood).value).abs() < 1e-12);
        assert!((section.side(&side, &wood).value - section.side(&seen, &wood).value).abs() > 1e-3);
    }

    prop_compose! {
        fn any_section()(width in 1.0..60.0, thickness in 2.0..40.0, crossing in 0.0..FRAC_PI_2, left: bool)
            -> Section
        {
            Section { width, thickness, crossing, turn: if left { 1.0 } else { -1.0 } }
        }
    }

    prop_compose! {
        fn any_face()(m in -1e3..1e3, t in -1e3..1e3, v in -50.0..50.0) -> FaceForces {
            FaceForces { moment: m, torsion: t, shear: v }
        }
    }

    prop_compose! {
        fn any_side()(m in -1e3..1e3, n in -50.0..50.0, v in -50.0..50.0) -> SideForces {
            SideForces { moment: m, normal: n, shear: v }
        }
    }

    fn mix_face(a: &FaceForces, b: &FaceForces, part: f64) -> FaceForces {
        let mix = |x: f64, y: f64| x + (y - x) * part;
        FaceForces {
            moment: mix(a.moment, b.moment),
            torsion: mix(a.torsion, b.torsion),
            shear: mix(a.shear, b.shear),
        }
    }

    fn mix_side(a: &SideForces, b: &SideForces, part: f64) -> SideForces {
        let mix = |x: f64, y: f64| x + (y - x) * part;
        SideForces {
            moment: mix(a.moment, b.moment),
            normal: mix(a.normal, b.normal),
            shear: mix(a.shear, b.shear),
        }
    }

    proptest! {
        #[test]
        fn a_mixture_of_two_loads_is_no_worse_than_the_mixture_of_their_indices(
            section in any_section(), a in any_face(), b in any_face(), c in any_side(), d in any_side(),
            part in 0.0..1.0,
        ) {
            let ready = section.against(&cherry());
            let mixed = ready.face(&mix_face(&a, &b, part)).value;
            let bound = ready.face(&a).value * (1.0 - part) + ready.face(&b).value * part;
            prop_assert!(mixed <= bound * (1.0 + 1e-12));
            let mixed = ready.side(&mix_side(&c, &d, part)).value;
            let bound = ready.side(&c).value * (1.0 - part) + ready.side(&d).value * part;
            prop_assert!(mixed <= bound * (1.0 + 1e-12));
        }

        #[test]
        fn twice_the_force_is_twice_the_index(
            section in any_section(), a in any_face(), b in any_side(), times in 0.01..100.0,
        ) {
            let ready = section.against(&cherry());
            let zero = FaceForces::default();
            let grown = ready.face(&mix_face(&zero, &a, times)).value;
            prop_assert!((grown - times * ready.face(&a).value).abs() <= 1e-12 * grown);
            let zero = SideForces::default();
            let grown = ready.side(&mix_side(&zero, &b, times)).value;
            prop_assert!((grown - times * ready.side(&b).value).abs() <= 1e-12 * grown);
        }

        #[test]
        fn a_face_push_is_as_bad_from_the_back(section in any_section(), a in any_face()) {
            let ready = section.against(&cherry());
            let back = mix_face(&FaceForces::default(), &a, -1.0);
            prop_assert_eq!(ready.face(&a).value, ready.face(&back).value);
        }

        #[test]
        fn stronger_wood_never_lowers_the_force(
            section in any_section(), a in any_face(), b in any_side(), which in 0_usize..5, times in 1.0..3.0,
        ) {
            let wood = cherry();
            let mut stronger = wood.clone();
            *[
                &mut stronger.tension_across,
                &mut stronger.shear_along,
                &mut stronger.rolling_shear,
                &mut stronger.bending,
                &mut stronger.compression_along,
            ][which] *= times;
            prop_assert!(section.face(&a, &stronger).value <= section.face(&a, &wood).value);
            prop_assert!(section.side(&b, &stronger).value <= section.side(&b, &wood).value);
        }

        /// Independent of the closed formulas: the tensor rotated numerically, component by component.
        #[test]
        fn stress_is_resolved_as_a_tensor(
            section in any_section(), run in -9.0..9.0, in_plane in -9.0..9.0, through in -9.0..9.0,
        ) {
            let ready = section.against(&cherry());
            let angle = section.turn * section.crossing;
            let tensor = [[run, in_plane, through], [in_plane, 0.0, 0.0], [through, 0.0, 0.0]];
            let project = |a: [f64; 3], b: [f64; 3]| -> f64 {
                (0..3).flat_map(|i| (0..3).map(move |j| (i, j))).map(|(i, j)| a[i] * tensor[i][j] * b[j]).sum()
            };
            let grain = [angle.cos(), angle.sin(), 0.0];
            let normal = [(angle + 1.5 * PI).cos(), (angle + 1.5 * PI).sin(), 0.0];
            let up = [0.0, 0.0, 1.0];
            let stress = Stress { run, in_plane, through };
            let plane = ready.on_grain_plane(stress);
            let fibres = ready.on_fibre_section(stress);
            for (ours, theirs) in [
                (plane.normal, project(normal, normal)),
                (plane.along, project(normal, grain)),
                (plane.through, project(normal, up)),
                (fibres.normal, project(grain, grain)),
                (fibres.along, project(grain, normal)),
                (fibres.through, project(grain, up)),
            ] {
                prop_assert!((ours - theirs).abs() < 1e-12, "{ours} {theirs}");
            }
        }
    }
}
