//! Beams and islands against references made by numpy: closed formulas, finite differences, and a stiffness and a
//! flexibility solution that agree with each other (`tests/reference/frames.json`, made by `frames.py` beside it).

use serde::Deserialize;

use super::*;
use crate::{
    check::load::{face_wrench, side_wrench},
    shape::plane::{distance, point, unit},
    skeleton::WallPoint,
    strength::tests::cherry,
};

#[derive(Deserialize)]
struct Reference {
    fixed_beam: Vec<FixedBeam>,
    moving_load: MovingLoad,
    island_on_two_bridges: Vec<Island>,
}

#[derive(Deserialize)]
struct FixedBeam {
    load_at: f64,
    left_end: f64,
    right_end: f64,
    under_load: f64,
}

#[derive(Deserialize)]
struct MovingLoad {
    largest_end_moment: f64,
    load_at: f64,
}

#[derive(Deserialize)]
struct Island {
    name: String,
    island_mm: [f64; 2],
    bridge_width_mm: f64,
    bridge_lengths_mm: [f64; 2],
    thickness_mm: f64,
    bridge_x_mm: [f64; 2],
    e_mpa: f64,
    g_mpa: f64,
    torsion_constant_mm4: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    load: String,
    at_mm: [f64; 3],
    force: [f64; 3],
    upper: Ends,
    lower: Ends,
}

/// Force x, y, z and moment x, y, z at both ends of a bridge.
#[derive(Deserialize)]
struct Ends {
    island_end: [f64; 6],
    rim_end: [f64; 6],
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../../../tests/reference/frames.json"))
        .expect("the reference is well formed")
}

/// Sections of a straight bar of even width, across a grain that lies along x.
pub(super) fn bar(from: Point, to: Point, width: f64, parts: usize) -> Vec<Station> {
    let (run, length) = (unit(to - from), distance(from, to));
    let station = |i: usize| {
        let along = length * i as f64 / parts as f64;
        let at = from + run * along;
        let wall = |side: f64| WallPoint { at: at + left(run) * (side * width / 2.0), edge: 0, arc: 0.0 };
        Station {
            at,
            run,
            along,
            square: [wall(1.0), wall(-1.0)],
            width,
            crossing: crate::shape::plane::angle_between(run, point(1.0, 0.0)),
            turn: 1.0,
            grain_line: [wall(-1.0), wall(1.0)],
            triangle: 0,
        }
    };
    (0..=parts).map(station).collect()
}

/// A wood with one modulus across the grain and one shear modulus, so that bars across it are plain ones.
pub(super) fn plain(young: f64, shear: f64) -> Mechanics {
    Mechanics { young_in_plane: young, shear_modulus_face: shear, shear_modulus_rolling: shear, ..cherry() }
}

/// A push on one point of a chain.
fn point_load(kind: PushKind, along: f64, at: Point) -> Spread {
    let wrench = match kind {
        PushKind::Face => face_wrench(at, 1.0),
        PushKind::Side => side_wrench(at, point(1.0, 0.0)),
    };
    Spread { strips: vec![(along, wrench)], at, push: None, area: 1.0 }
}

fn moment(kind: PushKind, joint: &Joint, wrench: Wrench) -> f64 {
    match kind {
        PushKind::Face => joint.face_forces(wrench).moment,
        PushKind::Side => joint.side_forces(wrench).moment,
    }
}

/// End moments, and that under the load, of a bar built in at both ends, as parts of force times length.
fn built_in(kind: PushKind, load_at: f64) -> [f64; 3] {
    // Slanting and away from the origin, so that nothing cancels by luck.
    let (from, to) = (point(37.0, -12.0), point(37.0, 28.0));
    let length = distance(from, to);
    // As many sections as a stretch four times as long as wide gets.
    let chain = Chain::new(&bar(from, to, 10.0, 40), [false; 2], 19.0, &plain(1000.0, 400.0));
    let at = from + (to - from) * load_at;
    let spread = point_load(kind, load_at * length, at);
    let finish = chain.held_at_both_ends(kind, &spread);
    let mut start = spread.total();
    add(&mut start, finish);
    let joint = |place: f64| {
        let mut joint = chain.stations[0];
        joint.at = from + (to - from) * place;
        joint
    };
    let ends = [(0.0, start), (1.0, finish), (load_at, start)];
    ends.map(|(place, wrench)| moment(kind, &joint(place), wrench).abs() / length)
}

#[test]
fn a_beam_built_in_at_both_ends_has_the_book_s_moments() {
    let rows = reference().fixed_beam;
    assert_eq!(rows.len(), 6);
    for kind in [PushKind::Face, PushKind::Side] {
        for row in &rows {
            let ours = built_in(kind, row.load_at);
            for (ours, theirs) in ours.into_iter().zip([row.left_end, row.right_end, row.under_load]) {
                // Asked: 0.5 %. Loads between two steps of integration are worth some 0.1 %.
                let apart = (ours - theirs).abs() / theirs;
                assert!(apart < 0.005, "{kind:?} at {}: ours {ours}, theirs {theirs}", row.load_at);
            }
        }
    }
}

#[test]
fn a_moving_load_is_worst_at_a_third() {
    let theirs = reference().moving_load;
    for kind in [PushKind::Face, PushKind::Side] {
        let moments = (1..600).map(|i| f64::from(i) / 600.0).map(|at| (built_in(kind, at)[0], at));
        let (largest, at) = moments.max_by(|a, b| a.0.total_cmp(&b.0)).expect("there are loads");
        assert!((largest / theirs.largest_end_moment - 1.0).abs() < 0.005, "{largest}");
        assert!((at - theirs.load_at).abs() < 0.01, "{at}");
    }
}

/// All six forces of a section, put together from what the strength rules are told.
fn section_forces(kind: PushKind, joint: &Joint, wrench: Wrench) -> [f64; 6] {
    let (run, side) = (joint.run, left(joint.run));
    match kind {
        PushKind::Face => {
            let forces = joint.face_forces(wrench);
            let moment = side * forces.moment + run * forces.torsion;
            [0.0, 0.0, forces.shear, moment.x, moment.y, 0.0]
        }
        PushKind::Side => {
            let forces = joint.side_forces(wrench);
            let force = run * forces.normal + side * forces.shear;
            [force.x, force.y, 0.0, 0.0, 0.0, -forces.moment]
        }
    }
}

#[test]
fn an_island_on_two_bridges_loads_them_as_two_other_methods_say() {
    let islands = reference().island_on_two_bridges;
    assert_eq!(islands.len(), 10);
    for island in islands {
        let wood = plain(island.e_mpa, island.g_mpa);
        // From the rim to the island: what crosses a section then is what the island's side does to the rim's.
        let chains = [1.0, -1.0].map(|side| {
            let which = usize::from(side < 0.0);
            let x = island.bridge_x_mm[which];
            let near = point(x, side * island.island_mm[1] / 2.0);
            let far = point(x, near.y + side * island.bridge_lengths_mm[which]);
            Chain::new(&bar(far, near, island.bridge_width_mm, 20), [false; 2], island.thickness_mm, &wood)
        });
        let rigidity = chains[0].stations[0].resistance.torsion().rigidity;
        let theirs = island.g_mpa * island.torsion_constant_mm4;
        assert!((rigidity / theirs - 1.0).abs() < 1e-5, "{}: {rigidity} {theirs}", island.name);

        let ends = [[0, 1]; 2];
        let frame = Frame::new(&chains, &ends, 2, 0);
        assert_eq!(island.cases.len(), 6);
        for case in &island.cases {
            let at = point(case.at_mm[0], case.at_mm[1]);
            let kind = if case.force[2] == 0.0 { PushKind::Side } else { PushKind::Face };
            let load = match kind {
                PushKind::Face => face_wrench(at, case.force[2]),
                PushKind::Side => side_wrench(at, point(case.force[0], case.force[1])),
            };
            for (c, (chain, theirs)) in chains.iter().zip([&case.upper, &case.lower]).enumerate() {
                let wrench = frame.wrench(kind, c, 1, load);
                let last = &chain.stations[chain.stations.len() - 1];
                let pairs = [(last, &theirs.island_end), (&chain.stations[0], &theirs.rim_end)];
                for (joint, theirs) in pairs {
                    let ours = section_forces(kind, joint, wrench);
                    // Forces are parts of 1 N, moments of 1 N times the piece's size.
                    for (i, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
                        let size = if i < 3 { 1.0 } else { island.bridge_lengths_mm[0] };
                        let apart = (ours - theirs).abs() / size;
                        assert!(apart < 1e-5, "{}, {}, {i}: {ours} {theirs}", island.name, case.load);
                    }
                }
            }
        }
    }
}

/// The bounds are only worth having while nothing exceeds them.
#[test]
fn no_section_exceeds_its_bound() {
    use crate::shape::plane::direction;
    for degrees in [3.0, 30.0, 55.0, 90.0_f64] {
        let mut stations = bar(point(12.0, 5.0), point(31.0, 24.0), 7.0, 9);
        for (i, station) in stations.iter_mut().enumerate() {
            station.crossing = degrees.to_radians();
            station.width += 0.4 * i as f64;
            station.run = direction((40.0 + 2.0 * i as f64).to_radians());
        }
        let chain = Chain::new(&stations, [false; 2], 12.0, &cherry());
        for turn in 0..64 {
            let (a, b) = (direction(f64::from(turn) * 0.7), direction(f64::from(turn) * 1.9));
            let wrench = [a.x, 30.0 * a.y * b.x, 30.0 * b.y];
            for joint in 0..chain.stations.len() {
                let forces = chain.stations[joint].face_forces(wrench);
                let index = chain.stations[joint].resistance.face(&forces).value;
                assert!(index <= chain.face_bound(joint, &forces) * (1.0 + 1e-12));
                assert!(index <= chain.bound(PushKind::Face, wrench) * (1.0 + 1e-12));
                let forces = chain.stations[joint].side_forces(wrench);
                let index = chain.stations[joint].resistance.side(&forces).value;
                assert!(index <= chain.side_bound(joint, &forces) * (1.0 + 1e-12));
                assert!(index <= chain.bound(PushKind::Side, wrench) * (1.0 + 1e-12));
            }
        }
    }
}
