//! What holds of a whole body: patch tests, balance, and the beams of the textbooks.

use super::*;
use crate::shape::plane::{Point, point};
use crate::strength::tests::cherry;

/// A rectangle of irregular triangles: a grid whose inner corners are pushed about, by no more than they bear.
pub(super) fn irregular(from: Point, to: Point, across: usize, up: usize) -> Mesh {
    let plain = grid(from, to, across, up);
    let (dx, dy) = ((to.x - from.x) / across as f64, (to.y - from.y) / up as f64);
    let moved = |(number, &p): (usize, &Point)| {
        let inside = p.x > from.x + 0.5 * dx
            && p.x < to.x - 0.5 * dx
            && p.y > from.y + 0.5 * dy
            && p.y < to.y - 0.5 * dy;
        let push = if inside { 0.3 } else { 0.0 };
        let turn = number as f64 * 2.4;
        point(p.x + push * dx * turn.cos(), p.y + push * dy * turn.sin())
    };
    let corners = plain.points[..plain.corners].iter().enumerate().map(moved).collect();
    let triangles: Vec<[u32; 3]> = plain.triangles.iter().map(|&[a, b, c, ..]| [a, b, c]).collect();
    Mesh::new(corners, &triangles, plain.zones)
}

fn steel() -> Stiffness {
    Elastic::isotropic(210.0, 0.3).unwrap().stiffness(0.0)
}

fn wood(angle: f64) -> Stiffness {
    Elastic::of(&cherry()).unwrap().stiffness(angle)
}

/// Layers of the given heights and woods, one on the other.
fn stack(plies: &[(f64, usize)]) -> Vec<Layer> {
    let mut floor = 0.0;
    let layer = |&(height, wood): &(f64, usize)| {
        let bottom = floor;
        floor += height;
        Layer::plain(bottom, floor, wood)
    };
    plies.iter().map(layer).collect()
}

fn largest(values: impl IntoIterator<Item = f64>) -> f64 {
    values.into_iter().fold(0.0, |most, value| most.max(value.abs()))
}

/// With its rim displaced linearly, an unevenly cut body of one material is strained evenly: no force is left
/// on any inner node, and the stress is the material's own everywhere.
#[test]
fn even_strain_is_met_exactly() {
    const SLOPES: [[f64; 3]; 3] =
        [[1.1e-3, -0.4e-3, 0.3e-3], [0.7e-3, -0.9e-3, 0.5e-3], [-0.2e-3, 0.6e-3, 0.8e-3]];
    for material in [steel(), wood(0.0), wood(0.6)] {
        let mesh = irregular(point(0.0, 0.0), point(20.0, 14.0), 4, 3);
        let solid = Solid::new(Body::new(mesh, stack(&[(2.0, 0), (5.0, 0)]), vec![material])).unwrap();
        let mut field = vec![0.0; solid.dof_count()];
        for node in 0..solid.node_count() {
            let at = solid.position(node);
            for axis in 0..3 {
                field[3 * node + axis] = (0..3).map(|k| SLOPES[axis][k] * at[k]).sum();
            }
        }
        let forces = solid.forces(&field);
        let on_rim = |node: usize| {
            let [x, y, z] = solid.position(node);
            x == 0.0 || x == 20.0 || y == 0.0 || y == 14.0 || z == 0.0 || z == 7.0
        };
        let dofs = |rim: bool| (0..solid.dof_count()).filter(move |dof| on_rim(dof / 3) == rim);
        let inner = largest(dofs(false).map(|dof| forces[dof]));
        let outer = largest(dofs(true).map(|dof| forces[dof]));
        assert!(inner < 1e-12 * outer, "{inner} of {outer}");

        // The same by solving: the rim held where the field puts it.
        let held = Held::new(&solid, |[x, y, z], _| {
            x == 0.0 || x == 20.0 || y == 0.0 || y == 14.0 || z == 0.0 || z == 7.0
        });
        let rim: Vec<f64> =
            (0..solid.dof_count()).map(|dof| if on_rim(dof / 3) { field[dof] } else { 0.0 }).collect();
        let pull = solid.forces(&rim);
        let load: Sparse = dofs(false).map(|dof| (dof as u32, -pull[dof])).collect();
        let inside = solid.factor(&held).unwrap().solve(&[load]).remove(0);
        let missed = largest((0..solid.dof_count()).map(|dof| inside[dof] + rim[dof] - field[dof]));
        assert!(missed < 1e-12 * largest(field.iter().copied()), "{missed}");

        let [x, y, z] = SLOPES;
        let even_stress = material.stress([x[0], y[1], z[2], y[2] + z[1], x[2] + z[0], x[1] + y[0]]);
        for (triangle, layer, _) in solid.elements() {
            let found = solid.stress(&field, triangle, layer, [0.2, 0.3, 0.5], 0.3).unwrap();
            for (found, even) in found.iter().zip(even_stress) {
                assert!((found - even).abs() < 1e-12 * largest(even_stress), "{found} {even}");
            }
        }
    }
}

/// How far the tip of a bar along x moves against its root under a unit shear force along `axis`, on average. Its
/// root stays plane (no displacement along x) but is free to widen; both ends carry the parabola of shear.
fn tip_deflection(material: Stiffness, [length, width, height]: [f64; 3], axis: usize) -> f64 {
    let mesh = grid(point(0.0, -0.5 * width), point(length, 0.5 * width), 40, 2);
    let end = |x: f64| mesh.edges_on(point(x, -0.5 * width), point(x, 0.5 * width));
    let ends = [end(0.0), end(length)];
    let solid = Solid::new(Body::new(mesh, stack(&[(height, 0)]), vec![material])).unwrap();
    // Sideways only what moving as a whole takes: three points that the root's own change of shape leaves alone.
    let held = Held::new(&solid, |[x, y, z], axis| {
        let sideways = if axis == 1 { y == 0.0 } else { y.abs() == 0.5 * width };
        x == 0.0 && (axis == 0 || (z == 0.5 * height && sideways))
    });
    let shear = |sign: f64| {
        move |[_, y, z]: [f64; 3]| {
            let at = if axis == 1 { 2.0 * y / width } else { 2.0 * z / height - 1.0 };
            let value = sign * 1.5 * (1.0 - at * at) / (width * height);
            std::array::from_fn(|k| if k == axis { value } else { 0.0 })
        }
    };
    let mut load = solid.on_walls(&ends[0], 0..1, shear(-1.0));
    load.extend(solid.on_walls(&ends[1], 0..1, shear(1.0)));
    let displacement = solid.factor(&held).unwrap().solve(std::slice::from_ref(&load)).remove(0);
    load.iter().map(|&(dof, share)| share * displacement[dof as usize]).sum()
}

/// Timoshenko's cantilever, `F·l³/3EI + F·l/(5/6·G·A)` (S. Timoshenko, Strength of Materials; recalled). The bound
/// is what the root, which the formula lets warp, takes off.
#[test]
fn a_cantilever_bends_as_timoshenko_says() {
    const SIZE: [f64; 3] = [200.0, 8.0, 19.0];
    let [length, width, height] = SIZE;
    let check = |elastic: Elastic, grain: f64, young: f64, shear: [f64; 2], bounds: [f64; 2]| {
        for (axis, depth, other) in [(2, height, width), (1, width, height)] {
            let inertia = other * depth.powi(3) / 12.0;
            let exact = length.powi(3) / (3.0 * young * inertia)
                + length / (5.0 / 6.0 * shear[2 - axis] * width * height);
            let found = tip_deflection(elastic.stiffness(grain), SIZE, axis);
            let error = found / exact - 1.0;
            assert!(error.abs() < bounds[2 - axis], "axis {axis}: {error}");
        }
    };
    // Bounds for a push through the thickness, then sideways.
    check(Elastic::isotropic(1000.0, 0.0).unwrap(), 0.0, 1000.0, [500.0; 2], [1e-3, 3e-4]);
    check(Elastic::isotropic(1000.0, 0.3).unwrap(), 0.0, 1000.0, [1000.0 / 2.6; 2], [1.3e-3, 3e-4]);
    let wood = cherry();
    let cherry = Elastic::of(&wood).unwrap();
    let along = [wood.shear_modulus_through, wood.shear_modulus_face];
    let across = [wood.shear_modulus_rolling, wood.shear_modulus_face];
    check(cherry, 0.0, wood.young_along, along, [4e-3, 1e-3]);
    check(cherry, std::f64::consts::FRAC_PI_2, wood.young_in_plane, across, [2e-3, 1e-3]);
}

/// An unevenly cut block of plies of two woods and a metal; its right half is zone 0.
fn block(plies: &[(f64, usize)]) -> Body {
    let mut mesh = irregular(point(0.0, 0.0), point(24.0, 12.0), 6, 3);
    for triangle in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corner_points(triangle);
        mesh.zones[triangle] = u32::from(((a + b + c) / 3.0).x > 12.0);
    }
    Body::new(mesh, stack(plies), vec![wood(0.0), wood(1.1), steel()])
}

fn clamped_left(solid: &Solid) -> Held {
    Held::new(solid, |[x, ..], _| x == 0.0)
}

/// A force on the top of the last triangles and one on a wall.
fn some_loads(solid: &Solid) -> Vec<Sparse> {
    let count = solid.body().mesh.triangles.len() as u32;
    let top = solid.body().layers.len() - 1;
    let right = solid.body().mesh.edges_on(point(24.0, 0.0), point(24.0, 12.0));
    (0..count)
        .rev()
        .step_by(3)
        .map(|triangle| {
            solid.on_flat([triangle], top, Flat::Top, |[x, y, _]| [0.1 * x, 0.2, -1.0 + 0.01 * y])
        })
        .chain((0..=top).map(|layer| solid.on_walls(&right, layer..layer + 1, |_| [1.0, -2.0, 0.5])))
        .collect()
}

#[test]
fn reactions_balance_loads_in_every_order_of_plies() {
    for plies in [
        vec![(4.0, 0)],
        vec![(4.0, 0), (2.0, 1)],
        vec![(2.0, 1), (4.0, 0)],
        vec![(2.0, 0), (3.0, 1), (2.0, 0)],
        vec![(1.0, 2), (3.0, 1), (2.0, 0), (2.5, 1)],
    ] {
        let solid = Solid::new(block(&plies)).unwrap();
        let factor = solid.factor(&clamped_left(&solid)).unwrap();
        let loads = some_loads(&solid);
        for (load, displacement) in loads.iter().zip(factor.solve(&loads)) {
            let mut applied = vec![0.0; solid.dof_count()];
            load.iter().for_each(|&(dof, value)| applied[dof as usize] += value);
            let forces = solid.forces(&displacement);
            let (mut force, mut moment, mut scale) = ([0.0; 3], [0.0; 3], 0.0_f64);
            for node in 0..solid.node_count() {
                let at = solid.position(node);
                let f: [f64; 3] = std::array::from_fn(|axis| {
                    let dof = 3 * node + axis;
                    // What holds: nothing where the solid is free.
                    if at[0] == 0.0 { forces[dof] - applied[dof] } else { 0.0 }
                });
                let g: [f64; 3] = std::array::from_fn(|axis| f[axis] + applied[3 * node + axis]);
                for axis in 0..3 {
                    let (j, k) = ((axis + 1) % 3, (axis + 2) % 3);
                    force[axis] += g[axis];
                    moment[axis] += at[j] * g[k] - at[k] * g[j];
                    scale += f[axis].abs();
                }
            }
            assert!(largest(force) < 1e-9 * scale && largest(moment) < 1e-9 * scale * 24.0);
        }
    }
}

#[test]
fn pushes_and_measures_give_what_solutions_give_and_may_be_swapped() {
    let mut body = block(&[(2.0, 0), (3.0, 1), (2.0, 0)]);
    body.layers[0].zones.push((0, None));
    let solid = Solid::new(body).unwrap();
    let held = clamped_left(&solid);
    let factor = solid.factor(&held).unwrap();
    let loads = some_loads(&solid);
    let asked: Vec<Sparse> = (0..90u32)
        .map(|k| vec![(k * 17 % solid.dof_count() as u32, 1.0), (k * 41 % solid.dof_count() as u32, -0.3)])
        .collect();
    let halves = factor.influence(&loads, &asked, 1);
    let whole = factor.solve(&loads);
    let wholes = |asked: &Sparse, load: usize| {
        asked.iter().map(|&(dof, q)| q * whole[load][dof as usize]).sum::<f64>()
    };
    let scale = largest(whole.iter().flatten().copied());
    for (k, asked) in asked.iter().enumerate() {
        for load in 0..loads.len() {
            assert!((halves.at(k, load) - wholes(asked, load)).abs() < 1e-10 * scale);
        }
    }
    let swapped = factor.influence(&asked, &loads, 1);
    for k in 0..asked.len() {
        for load in 0..loads.len() {
            assert!((halves.at(k, load) - swapped.at(load, k)).abs() < 1e-10 * scale);
        }
    }
    for threads in 2..5 {
        assert_eq!(halves, factor.influence(&loads, &asked, threads), "bit for bit");
    }
    // As many loads as measures, of which halves are less work.
    let whole = factor.solve(&asked);
    let scale = largest(whole.iter().flatten().copied());
    let halves = factor.influence(&asked, &asked, 2);
    for (k, asked) in asked.iter().enumerate() {
        for (load, displacement) in whole.iter().enumerate() {
            let value: f64 = asked.iter().map(|&(dof, q)| q * displacement[dof as usize]).sum();
            assert!((halves.at(k, load) - value).abs() < 1e-10 * scale);
        }
    }
    assert_eq!(factor.influence(&loads, &[] as &[Sparse], 2).under(3), &[] as &[f64]);
    let held_only = vec![vec![
        (0..solid.dof_count() as u32)
            .find(|&dof| held.contains(dof as usize))
            .map_or((0, 0.0), |dof| (dof, 5.0)),
    ]];
    assert_eq!(factor.influence(&held_only, &asked[..1], 1).at(0, 0), 0.0);
}

/// Turning body, grain and load together, or mirroring them, changes no energy.
#[test]
fn a_turned_or_mirrored_body_stores_the_same_energy() {
    let energy = |turn: &dyn Fn(Point) -> Point, angle: &dyn Fn(f64) -> f64, flipped: bool| {
        let plain = block(&[(2.0, 0), (3.0, 1)]);
        let moved = plain.mesh.points[..plain.mesh.corners].iter().map(|&p| turn(p)).collect();
        let triangles: Vec<[u32; 3]> = plain
            .mesh
            .triangles
            .iter()
            .map(|&[a, b, c, ..]| if flipped { [a, c, b] } else { [a, b, c] })
            .collect();
        let left: Vec<Point> = (0..=3).map(|j| turn(point(0.0, 4.0 * f64::from(j)))).collect();
        let ends = [turn(point(24.0, 0.0)), turn(point(24.0, 12.0))];
        let mesh = Mesh::new(moved, &triangles, plain.mesh.zones);
        let right = mesh.edges_on(ends[0], ends[1]);
        assert_eq!(right.len(), 3);
        let body = Body::new(mesh, plain.layers, [0.3, 1.1].map(|grain| wood(angle(grain))).to_vec());
        let solid = Solid::new(body).unwrap();
        let on_left = |x: f64, y: f64| {
            let along = left[3] - left[0];
            let from = point(x, y) - left[0];
            (along.x * from.y - along.y * from.x).abs() < 1e-9
        };
        let held = Held::new(&solid, |[x, y, _], _| on_left(x, y));
        let pull = turn(point(1.0, 0.5)) - turn(point(0.0, 0.0));
        let load = solid.on_walls(&right, 0..2, |_| [pull.x, pull.y, -0.7]);
        let displacement = solid.factor(&held).unwrap().solve(std::slice::from_ref(&load)).remove(0);
        load.iter().map(|&(dof, force)| force * displacement[dof as usize]).sum::<f64>()
    };
    let plain = energy(&|p| p, &|angle| angle, false);
    let (sin, cos) = 0.8_f64.sin_cos();
    let turned =
        energy(&|p| point(cos * p.x - sin * p.y, sin * p.x + cos * p.y), &|angle| angle + 0.8, false);
    let mirrored = energy(&|p| point(-p.x, p.y), &|angle| -angle, true);
    assert!((turned / plain - 1.0).abs() < 1e-10, "{turned} {plain}");
    assert!((mirrored / plain - 1.0).abs() < 1e-10, "{mirrored} {plain}");
}

#[test]
fn what_is_not_held_is_named_with_the_ways_it_can_move() {
    let mut body = block(&[(2.0, 0), (3.0, 1)]);
    body.layers[1].zones.push((0, None));
    body.partings.push(Parting { below: 0, triangles: (0..body.mesh.triangles.len() as u32).collect() });
    let solid = Solid::new(body).unwrap();
    let ways = |held: &Held| match held.check(&solid) {
        Ok(()) => vec![],
        Err(SolidFault::Loose { parts }) => parts.iter().map(|part| part.ways).collect(),
        Err(other) => panic!("{other}"),
    };
    let mut all = ways(&Held::new(&solid, |_, _| false));
    all.sort_unstable();
    assert_eq!(all, [6, 6], "two plies that are parted are two parts");
    assert_eq!(ways(&clamped_left(&solid)), [] as [usize; 0]);
    // The lower ply, held along one line of its rim, turns about that line.
    let hinge = |[x, _, z]: [f64; 3], _| x == 0.0 && (z == 0.0 || z > 2.0);
    assert_eq!(ways(&Held::new(&solid, hinge)), [1]);
    let fault = solid.factor(&Held::new(&solid, hinge)).err().expect("one ply swings");
    assert!(fault.to_string().contains("free to move in 1 of 6 ways) is not held"), "{fault}");
    // Not up or down: three ways are left to each part on a smooth table, and the table is enough against tilt.
    let mut table = ways(&Held::new(&solid, |_, axis| axis == 2));
    table.sort_unstable();
    assert_eq!(table, [3, 3]);
}
