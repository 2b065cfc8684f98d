//! What a mesh promises, on every sample and on random pieces: nothing torn, doubled or flat, every wall and line followed, no side
//! longer than wanted, no angle narrower than the drawing asks for.

use proptest::prelude::*;
use shortgrain::{
    shape::{
        Shape,
        plane::{Point, cross, dot, point},
    },
    solid::{Mesh, MeshFault, Plan},
};

use crate::{
    mesh_plans::{lines, rings, thirds_of_width},
    pieces::{cases, random_shape, samples},
    plates::piece,
    sound_mesh::sound_mesh,
};

/// The least angle promised, in degrees.
const LEAST_ANGLE: f64 = 25.0;

/// The mesh of a piece, sound by the library's own look at it. Lines along and across the grain run through so many of its
/// re-entrant corners.
fn meshed(shape: &Shape, grain: f64, corners: usize, zones: &[Vec<Point>]) -> Result<Mesh, MeshFault> {
    let rings = rings(shape);
    let grading = thirds_of_width(&rings);
    let sizes = grading.sizes();
    let lines = lines(&rings, grain, corners);
    sound_mesh(&Plan { rings, lines, zones: zones.to_vec(), size: &|p| sizes.size(p) })
}

/// The narrowest angle of wood a drawing has at any of its corners, in radians.
fn narrowest_corner(shape: &Shape) -> f64 {
    // The outer ring runs anticlockwise and the openings clockwise: the wood is to the left.
    let at_corner = |ring: &[Point], i: usize| {
        let (to, back) =
            (ring[(i + 1) % ring.len()] - ring[i], ring[(i + ring.len() - 1) % ring.len()] - ring[i]);
        cross(to, back).atan2(dot(to, back)).rem_euclid(std::f64::consts::TAU)
    };
    let all = rings(shape);
    let angles = all.iter().flat_map(|ring| (0..ring.len()).map(|i| at_corner(ring, i)));
    angles.fold(std::f64::consts::PI, f64::min)
}

/// Of a piece without lines or zones only its own corners may ask for a narrow angle. Source: G. L. Miller, S. E. Pav and
/// N. J. Walkington, *When and why Ruppert's algorithm works* (2003): across a corner of θ no angle need be under
/// `atan(sin θ / (2 − cos θ))`.
fn is_as_round_as_its_drawing(shape: &Shape) {
    let mesh = meshed(shape, 0.0, 0, &[]).expect("a shape has a mesh");
    let narrowest = narrowest_corner(shape);
    let across = narrowest.sin().atan2(2.0 - narrowest.cos()).to_degrees();
    let bound =
        if narrowest < std::f64::consts::FRAC_PI_3 { LEAST_ANGLE.min(0.99 * across) } else { LEAST_ANGLE };
    assert!(mesh.least_angle() >= bound, "{} at a corner of {narrowest}", mesh.least_angle());
}

#[test]
fn every_sample_is_cut_into_sound_triangles() {
    for case in samples() {
        is_as_round_as_its_drawing(&case.shape);
        for corners in [4, 12, 40] {
            meshed(&case.shape, case.board.grain.as_rad(), corners, &[]).expect(&case.name);
        }
    }
}

/// An insert's outline, turned and not, that runs out of the wood and over the openings.
fn zone(turn: f64) -> Vec<Point> {
    let (sin, cos) = turn.sin_cos();
    [(-25.0, -4.0), (25.0, -4.0), (25.0, 4.0), (-25.0, 4.0)]
        .into_iter()
        .map(|(u, v)| point(45.0 + u * cos - v * sin, 30.0 + u * sin + v * cos))
        .collect()
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn a_random_piece_is_cut_into_sound_triangles(
        shape in random_shape(), grain in 0..24, corners in prop_oneof![Just(0_usize), Just(3), Just(12)], insert in any::<bool>(),
    ) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        is_as_round_as_its_drawing(&shape);
        let grain = f64::from(grain) * 7.5_f64.to_radians();
        let zones = if insert { vec![zone(grain + 0.3)] } else { Vec::new() };
        // Lines through corners a hair apart may be refused, which is said; never is a mesh unsound.
        if let Err(fault) = meshed(&shape, grain, corners, &zones) {
            prop_assert!(matches!(fault, MeshFault::Crowded { .. }) && corners > 0, "{fault}");
        }
    }

    #[test]
    fn a_random_plate_is_cut_into_sound_triangles(
        shape in piece(), grain in 0..24, corners in prop_oneof![Just(3_usize), Just(12)],
    ) {
        is_as_round_as_its_drawing(&shape);
        if let Err(fault) = meshed(&shape, f64::from(grain) * 7.5_f64.to_radians(), corners, &[]) {
            prop_assert!(matches!(fault, MeshFault::Crowded { .. }), "{fault}");
        }
    }
}
