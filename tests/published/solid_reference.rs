//! Arms, bridges, a letter and a letter with an insert, as solids, against scikit-fem.
//!
//! Source: `tests/reference/solids.json`, made by `tests/reference/solids.py`: the same bodies on grids of hexahedra with 27
//! nodes, carried on to infinitely fine ones. Nothing but shapes, loads and constants is shared; our meshes of triangles
//! and layers are made here from the rings alone.
//!
//! Asked: work within 0.5 %; every mean traction within 3 % of the largest of its plane and load. Theirs were
//! carried on from the finest grid by up to 0.25 % (work) and 0.74 % (tractions); between the two finest grids one traction,
//! on the spine of the letter with the insert, moved by 2.3 %.
//!
//! How finely our meshes are cut was chosen with these numbers in sight: refined until all seven models agree. The
//! letter with the insert needs it most, as stress has no limit at the rim of its glue: with 1 mm sides at the walls and three
//! layers a ply its work was 2.1 % and one traction 8.5 % off. All works come out below theirs, as from a body a little too stiff.
//!
//! How the tractions are read is the reference's own rule. Where a plane carries its wood alone, the forces come from
//! everything on the loaded side. Where another ply is bonded to that wood across the plane, glue shear pulls at
//! the nodes both share; half the difference of the two sides is free of its first order.

use std::collections::BTreeMap;

use serde::Deserialize;
use shortgrain::{
    shape::plane::{Point, cross, distance, dot, left, nearest_on_segment, point, unit},
    solid::{
        Asked, Body, Cut, Edge, Elastic, Face, Factor, Grading, Held, Layer, Load, Mesh, Plan, Plane, Solid,
        Window,
    },
};

use crate::sound_mesh::sound_mesh;

#[derive(Deserialize)]
struct Reference {
    load_n: f64,
    wood: Constants,
    models: BTreeMap<String, Model>,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "the reference writes the constants so")]
struct Constants {
    E1: f64,
    E2: f64,
    E3: f64,
    nu12: f64,
    nu13: f64,
    nu32: f64,
    G12: f64,
    G13: f64,
    G23: f64,
}

#[derive(Deserialize)]
struct Model {
    ring: Vec<[f64; 2]>,
    held: Vec<Vec<[f64; 2]>>,
    plies: Vec<Ply>,
    loads: BTreeMap<String, Push>,
    work: BTreeMap<String, Work>,
    planes: Vec<Section>,
}

#[derive(Deserialize)]
struct Ply {
    z: [f64; 2],
    grain_deg: f64,
    zone: Option<Vec<[f64; 2]>>,
}

#[derive(Deserialize)]
struct Push {
    face: Option<Vec<[f64; 2]>>,
    wall: Option<[[f64; 2]; 2]>,
    direction: [f64; 3],
}

#[derive(Deserialize)]
struct Work {
    limit: f64,
}

#[derive(Deserialize)]
struct Section {
    name: String,
    from: [f64; 2],
    to: [f64; 2],
    wood: String,
    through: [f64; 2],
    loaded_side: String,
    windows: Vec<Reading>,
}

#[derive(Deserialize)]
struct Reading {
    at: String,
    along: [f64; 2],
    through: [f64; 2],
    /// By load: square to the plane, along it, up.
    #[serde(flatten)]
    tractions: BTreeMap<String, [f64; 3]>,
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("../reference/solids.json")).expect("the reference is well formed")
}

/// The largest differences of one model.
struct Apart {
    work: f64,
    traction: f64,
}

/// Sides of triangles in mm: at sharp corners, along planes, along the walls of an insert, along a plane that lies in
/// such a wall, and anywhere.
const CORNER: f64 = 0.12;
const ALONG: f64 = 1.0;
const RIM: f64 = 0.8;
const ALONG_RIM: f64 = 0.2;
const MOST: f64 = 4.0;
/// How fast sides grow with the distance from there.
const SLOPE: f64 = 0.4;
/// Layers of a ply that is alone: thinner at both faces, where shear has to end.
const ALONE: &[f64] = &[0.0, 0.17, 0.5, 0.83, 1.0];
/// Layers of a ply from its glue line to its face. Under the open walls stress grows without end towards the glue.
const FROM_GLUE: &[f64] = &[0.0, 0.02, 0.1, 0.32, 0.78, 1.0];

fn compared(name: &str) -> Apart {
    let reference = reference();
    let model = &reference.models[name];
    let built = Built::new(model, &reference.wood);
    let factor = built.factor(model);
    println!("{name}: {} triangles, {} unknowns", built.triangles(), factor.free_count());
    let mut apart = Apart { work: 0.0, traction: 0.0 };
    let sections: Vec<Recovered> =
        model.planes.iter().enumerate().map(|(k, section)| built.section(k, section)).collect();
    for (load_name, push) in &model.loads {
        let load = built.load(model, push, reference.load_n);
        let forces = load.forces(&built.solid);
        let moved = factor.solve(std::slice::from_ref(&forces)).remove(0);
        let work: f64 = forces.iter().map(|&(dof, force)| force * moved[dof as usize]).sum();
        let theirs = model.work[load_name].limit;
        println!(
            "  {load_name}: work {work:.4} N mm, theirs {theirs:.4}: {:+.2} %",
            100.0 * (work / theirs - 1.0)
        );
        apart.work = apart.work.max((work / theirs - 1.0).abs());
        for (section, recovered) in model.planes.iter().zip(&sections) {
            let (most, at) = recovered.apart(section, load_name, &moved, &load);
            println!("    {} ({}): {:.2} % at {at}", section.name, section.wood, 100.0 * most);
            apart.traction = apart.traction.max(most);
        }
    }
    apart
}

/// A model cut into elements.
struct Built {
    solid: Solid,
    /// The sides on each plane, in its direction.
    chains: Vec<Vec<Edge>>,
}

impl Built {
    fn new(model: &Model, wood: &Constants) -> Self {
        let ring = points(&model.ring);
        let zones: Vec<Vec<Point>> =
            model.plies.iter().filter_map(|ply| ply.zone.as_deref()).map(points).collect();
        let planes = model.planes.iter().map(|section| [section.from, section.to].map(at));
        let lines = planes.chain(inner_holds(model, &ring)).collect();
        let grading = grading(model, &ring, &zones);
        let size = |p: Point| grading.size(p);
        let plan = Plan { rings: vec![ring], lines, zones, size: &size };
        let mesh = sound_mesh(&plan).expect("the model can be meshed");
        let chains = mesh.lines_of(0..model.planes.len()).into_iter().map(|mut stretches| {
            assert_eq!(stretches.len(), 1, "a plane runs through wood all along");
            stretches.remove(0)
        });
        let chains = chains.collect();
        let layers = layers(&model.plies);
        let elastic = Elastic::new(
            [wood.E1, wood.E2, wood.E3],
            [wood.G12, wood.G13, wood.G23],
            [wood.nu12, wood.nu13, wood.nu32 * wood.E2 / wood.E3],
        );
        let elastic = elastic.expect("the reference's wood is one");
        let woods = model.plies.iter().map(|ply| elastic.stiffness(ply.grain_deg.to_radians())).collect();
        let cuts = open_walls(&mesh, &model.plies, &layers);
        let mut body = Body::new(mesh, layers, woods);
        body.cuts = cuts;
        Self { solid: Solid::new(body).expect("the model is a body"), chains }
    }

    fn triangles(&self) -> usize {
        self.solid.body().mesh.triangles.len()
    }

    fn factor(&self, model: &Model) -> Factor {
        let rings: Vec<Vec<Point>> = model.held.iter().map(|ring| points(ring)).collect();
        let held = Held::new(&self.solid, |[x, y, _], _| rings.iter().any(|ring| within(point(x, y), ring)));
        self.solid.factor(&held).expect("the model is held")
    }

    /// A load of `total` N. Ours push square to a face or a wall; the reference's go any way.
    fn load(&self, model: &Model, push: &Push, total: f64) -> Load {
        let mesh = &self.solid.body().mesh;
        let (mut load, inward) = if let Some(face) = &push.face {
            let all: Vec<u32> = (0..mesh.triangles.len() as u32).collect();
            let (load, ..) =
                Load::pressure(&self.solid, &points(face), &all, Face::Show).expect("the face is wood");
            (load, [0.0, 0.0, -1.0])
        } else {
            let [from, to] = push.wall.expect("a load stands on a face or a wall").map(at);
            let wall = sides(&points(&model.ring)).into_iter().find(|&side| on(from, side) && on(to, side));
            let [start, end] = wall.expect("the stretch lies on a wall");
            let mut reach = [distance(start, from), distance(start, to)];
            reach.sort_by(f64::total_cmp);
            let chain = mesh.edges_on(start, end);
            let (load, inward, _) =
                Load::wall(&self.solid, &chain, reach[0], reach[1]).expect("the wall is straight");
            (load, [inward.x, inward.y, 0.0])
        };
        for part in &mut load.parts {
            let size: f64 = part.force.iter().zip(inward).map(|(force, inward)| force * inward).sum();
            part.force = push.direction.map(|along| total * size * along);
        }
        load
    }

    fn section(&self, number: usize, section: &Section) -> Recovered {
        let body = self.solid.body();
        let chain = &self.chains[number];
        let turned: Vec<Edge> = chain.iter().rev().map(|edge| edge.turned()).collect();
        let level = |z: f64| body.layers.iter().position(|layer| (layer.bottom - z).abs() < 1e-9);
        let count = body.layers.len();
        let first = level(section.through[0]).expect("a band starts with a layer");
        let own = first..level(section.through[1]).unwrap_or(count);
        let open = |edge: &Edge, layer: usize| {
            let cuts = body.cuts.iter().filter(|cut| cut.layers.contains(&layer));
            cuts.flat_map(|cut| &cut.sides).any(|side| side.nodes[1] == edge.nodes[1])
        };
        let alone = (0..count)
            .filter(|layer| !own.contains(layer))
            .all(|layer| chain.iter().all(|edge| open(edge, layer)));
        let range = |layers: std::ops::Range<usize>| layers.start as u32..layers.end as u32;
        let plane = |chain: &[Edge], bonded: std::ops::Range<usize>| {
            Plane::carrying(&self.solid, chain, range(own.clone()), range(bonded))
                .expect("wood on both sides")
        };
        let (left, right) = match (alone, section.loaded_side.as_str()) {
            (true, "left") => (Some(plane(chain, 0..count)), None),
            (true, _) => (None, Some(plane(&turned, 0..count))),
            (false, _) => (Some(plane(chain, own.clone())), Some(plane(&turned, own.clone()))),
        };
        let length = distance(at(section.from), at(section.to));
        let windows = section.windows.iter().map(|reading| {
            let Reading { along: [from, to], through, .. } = *reading;
            // The file's seven digits may reach past the plane's end.
            let to = to.min(length);
            let mut sides = Vec::new();
            sides
                .extend(left.as_ref().map(|plane| (plane.mean(&Window { along: [from, to], through }), 1.0)));
            sides.extend(
                right.as_ref().map(|plane| {
                    (plane.mean(&Window { along: [length - to, length - from], through }), -1.0)
                }),
            );
            sides
        });
        Recovered { windows: windows.collect() }
    }
}

/// Of each window the tractions asked from one side or both, with which way "up" counts there.
struct Recovered {
    windows: Vec<Vec<([Asked; 3], f64)>>,
}

impl Recovered {
    /// The largest difference, in parts of the largest traction, and where.
    fn apart(&self, section: &Section, load_name: &str, moved: &[f64], load: &Load) -> (f64, String) {
        let theirs = |reading: &Reading| reading.tractions[load_name];
        let largest =
            section.windows.iter().flat_map(theirs).fold(0.0_f64, |most, traction| most.max(traction.abs()));
        let mut worst = (0.0, String::new());
        for (reading, sides) in section.windows.iter().zip(&self.windows) {
            for axis in 0..3 {
                // Seen from the other side both the normal and the direction along turn round, so their tractions keep.
                let seen = |(asked, up): &([Asked; 3], f64)| {
                    asked[axis].value(moved, load) * if axis == 2 { *up } else { 1.0 }
                };
                let ours = sides.iter().map(seen).sum::<f64>() / sides.len() as f64;
                let part = (ours - theirs(reading)[axis]).abs() / largest;
                if part > worst.0 {
                    worst = (part, format!("{}, {}", reading.at, ["normal", "along", "up"][axis]));
                }
            }
        }
        worst
    }
}

/// Fine at the ends of planes, at corners where the wood opens out and where walls meet a hold, coarse elsewhere.
fn grading(model: &Model, ring: &[Point], zones: &[Vec<Point>]) -> Grading {
    let mut grading = Grading::new(MOST, SLOPE);
    let rims: Vec<[Point; 2]> = zones.iter().flat_map(|zone| sides(zone)).collect();
    rims.iter().for_each(|&rim| grading.along(rim, RIM));
    for section in &model.planes {
        let line @ [from, to] = [at(section.from), at(section.to)];
        let in_a_wall = rims.iter().any(|&rim| on(to, rim) && on((from + to) * 0.5, rim));
        grading.along(line, if in_a_wall { ALONG_RIM } else { ALONG });
        line.into_iter().for_each(|end| grading.at(end, CORNER));
    }
    for (i, &p) in ring.iter().enumerate() {
        let (before, after) = (ring[(i + ring.len() - 1) % ring.len()], ring[(i + 1) % ring.len()]);
        if cross(p - before, after - p) < 0.0 {
            grading.at(p, 2.0 * CORNER);
        }
    }
    for end in inner_holds(model, ring).into_iter().flatten() {
        grading.at(end, 4.0 * CORNER);
    }
    grading
}

/// Where holds end within the wood; their other sides lie on the ring.
fn inner_holds(model: &Model, ring: &[Point]) -> Vec<[Point; 2]> {
    let ring = sides(ring);
    let mut holds: Vec<[Point; 2]> = model.held.iter().flat_map(|held| sides(&points(held))).collect();
    holds.retain(|&[a, b]| !ring.iter().any(|&side| on(a, side) && on(b, side)));
    holds
}

/// The layers of one ply, or of two glued together; `plies` that lie in a zone replace the wood there.
fn layers(plies: &[Ply]) -> Vec<Layer> {
    let mut floors: Vec<f64> = plies.iter().flat_map(|ply| ply.z).collect();
    floors.sort_by(f64::total_cmp);
    floors.dedup();
    let heights = match floors[..] {
        [back, face] => ALONE.iter().map(|part| back + (face - back) * part).collect(),
        [back, glue, face] => {
            let below = FROM_GLUE.iter().rev().map(|part| glue - (glue - back) * part);
            let above = FROM_GLUE[1..].iter().map(|part| glue + (face - glue) * part);
            below.chain(above).collect::<Vec<_>>()
        }
        _ => panic!("models have one ply or two"),
    };
    let layer = |ends: &[f64]| {
        let inlaid = plies.iter().enumerate().filter(|(_, ply)| ply.zone.is_some());
        let here = inlaid.enumerate().filter(|(_, (_, ply))| ply.z[0] <= ends[0] && ends[1] <= ply.z[1]);
        let zones = here.map(|(zone, (wood, _))| (zone, Some(wood))).collect();
        Layer { zones, ..Layer::plain(ends[0], ends[1], 0) }
    };
    heights.windows(2).map(layer).collect()
}

/// All walls of the plies that lie in a zone.
fn open_walls(mesh: &Mesh, plies: &[Ply], layers: &[Layer]) -> Vec<Cut> {
    let inlaid = plies.iter().filter(|ply| ply.zone.is_some());
    let cut = |(zone, ply): (usize, &Ply)| {
        let inside = |triangle: Option<u32>| triangle.map(|t| mesh.zones[t as usize] >> zone & 1);
        let wall = |edge: &Edge| match edge.sides.map(inside) {
            [Some(left), Some(right)] => left != right,
            _ => false,
        };
        let first = layers.iter().position(|layer| layer.bottom >= ply.z[0]).expect("a ply has layers");
        let count = layers.iter().filter(|layer| ply.z[0] <= layer.bottom && layer.top <= ply.z[1]).count();
        Cut { sides: mesh.edges().into_iter().filter(wall).collect(), layers: first..first + count }
    };
    inlaid.enumerate().map(cut).collect()
}

const fn at([x, y]: [f64; 2]) -> Point {
    point(x, y)
}

fn points(ring: &[[f64; 2]]) -> Vec<Point> {
    ring.iter().copied().map(at).collect()
}

fn sides(ring: &[Point]) -> Vec<[Point; 2]> {
    (0..ring.len()).map(|i| [ring[i], ring[(i + 1) % ring.len()]]).collect()
}

fn on(p: Point, [a, b]: [Point; 2]) -> bool {
    distance(p, nearest_on_segment(p, a, b).0) < 1e-6
}

/// Whether a point lies in a ring or on it.
fn within(p: Point, ring: &[Point]) -> bool {
    let crosses = |&[a, b]: &[Point; 2]| {
        (a.y > p.y) != (b.y > p.y) && (dot(p - a, left(unit(b - a))) > 0.0) == (b.y > a.y)
    };
    let sides = sides(ring);
    sides.iter().any(|&side| on(p, side)) || sides.iter().filter(|side| crosses(side)).count() % 2 == 1
}

/// Fails unless a model agrees with the reference.
fn agrees(name: &str) {
    let Apart { work, traction } = compared(name);
    println!("  largest: work {:.2} %, tractions {:.2} %", 100.0 * work, 100.0 * traction);
    assert!(work < 0.005, "{name}: work {:.2} % apart", 100.0 * work);
    assert!(traction < 0.03, "{name}: tractions {:.2} % apart", 100.0 * traction);
}

#[test]
fn an_arm_square_across_the_grain() {
    agrees("arm_90");
}

#[test]
fn an_arm_at_60_degrees_to_the_grain() {
    agrees("arm_60");
}

#[test]
fn an_arm_at_45_degrees_to_the_grain() {
    agrees("arm_45");
}

#[test]
fn a_bridge_square_across_the_grain() {
    agrees("bridge_90");
}

#[test]
fn a_bridge_at_60_degrees_to_the_grain() {
    agrees("bridge_60");
}

#[test]
fn a_letter() {
    agrees("letter");
}

#[test]
fn a_letter_with_an_insert() {
    agrees("letter_with_insert");
}
