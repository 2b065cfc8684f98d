//! Mean tractions on a floor: the horizontal plane between two layers, where an insert is glued.
//!
//! The wood below a floor is a free body. What its elements exert on the floor's nodes is what crosses
//! the floor, and a traction t that is quadratic over each triangle and does the same work on every node satisfies
//!
//! ```text
//!     M t = R,    M = ∫ N Nᵀ dA over the floor's triangles,    R = Σ (K u − f) over the elements below
//! ```
//!
//! as on an upright [`Plane`](super::Plane). The mean over a window is integrated exactly, by clipping each triangle to
//! the window, so an even traction has its exact mean on any mesh. The mean is `g·t` with `g = ∫ N dA / area`
//! over the window, hence `w·R` with `M w = g`: one small system for each window, and one linear form of the
//! displacements, [`Asked`].

use std::collections::{BTreeMap, BTreeSet};

use crate::shape::plane::{Point, cross, extents, meet};

use super::{
    Asked, Load, Solid,
    element::VALUES,
    free_body::FreeBody,
    load::{clipped, shape_at},
};

/// Weights below this part of a window's greatest are left out: tractions err by no more than a millionth for it, by a mesh they do by a hundredth.
const FADED: f64 = 1e-6;

/// The plane between two layers over some triangles, seen from below.
///
/// Give it all triangles over which the layers hang together there: at a pocket, those of the insert. Where the
/// floor ends at open walls or where it has come apart, tractions are right up to its rim. Where the
/// wood runs on beyond the triangles given, it also counts what the nearest of those left out pass on, so there
/// a window should keep two triangles off the rim.
#[derive(Clone, Debug)]
pub struct Floor {
    triangles: Vec<u32>,
    /// Of each of them its nodes' numbers on the floor, and its area in mm².
    parts: Vec<([u32; 6], f64)>,
    /// The diagonal of M, node by node.
    diagonal: Vec<f64>,
    /// Elements below it that hang together with it and have a node on it; places are numbers of nodes on the floor.
    body: FreeBody,
}

impl Floor {
    /// The floor on top of layer `below` over some triangles; nothing unless both it and the next layer up have wood
    /// over all of them.
    pub fn new(solid: &Solid, triangles: &[u32], below: u32) -> Option<Self> {
        let wood = |t: u32, k: u32| solid.element_nodes(t as usize, k as usize).is_some();
        if triangles.is_empty() || !triangles.iter().all(|&t| wood(t, below) && wood(t, below + 1)) {
            return None;
        }
        let mesh = &solid.body().mesh;
        let on: BTreeSet<u32> = triangles.iter().flat_map(|&t| mesh.triangles[t as usize]).collect();
        let elements = hanging_together(solid, triangles, &on, below);
        let nodes: Vec<u32> = on.into_iter().collect();
        let body = FreeBody::new(solid, &elements, |node, _, level| {
            nodes.binary_search(&node).ok().filter(|_| level == 2)
        });
        let number = |node: u32| nodes.partition_point(|&other| other < node) as u32;
        let part = |&t: &u32| (mesh.triangles[t as usize].map(number), 0.5 * mesh.doubled_area(t as usize));
        let parts: Vec<([u32; 6], f64)> = triangles.iter().map(part).collect();
        let mut diagonal = vec![0.0; nodes.len()];
        for (places, area) in &parts {
            (0..6).for_each(|i| diagonal[places[i] as usize] += area / 180.0 * VALUES[i][i]);
        }
        Some(Self { triangles: triangles.to_vec(), parts, diagonal, body })
    }

    /// The triangles that the elements asked stand on; a load on no other has no part that acts on them.
    pub fn acted_on(&self) -> impl Iterator<Item = u32> + '_ {
        self.body.triangles()
    }

    /// The part of a load that acts on the elements asked; [`Asked::direct`] gives the same for it as for the whole.
    pub fn share(&self, load: &Load) -> Load {
        self.body.share(load)
    }

    /// Its triangles.
    pub fn triangles(&self) -> &[u32] {
        &self.triangles
    }

    /// Its area in mm².
    pub fn area(&self) -> f64 {
        self.parts.iter().map(|(_, area)| area).sum()
    }

    /// The mean tractions over a convex window (anticlockwise), on the wood below: along x and along y, and across
    /// the floor (pulling is positive); in MPa. Only the part of the window that lies on the floor counts; nothing
    /// if there is none.
    pub fn mean(&self, solid: &Solid, window: &[Point]) -> Option<[Asked; 3]> {
        let mesh = &solid.body().mesh;
        let mut wanted = vec![0.0; self.diagonal.len()];
        let mut area = 0.0;
        let over = extents(window);
        for (&triangle, (places, _)) in self.triangles.iter().zip(&self.parts) {
            let corners = mesh.corner_points(triangle as usize);
            if !meet(extents(&corners), over) {
                continue;
            }
            let shared = clipped(&corners, window);
            for i in 1..shared.len().saturating_sub(1) {
                let [a, b, c] = [shared[0], shared[i], shared[i + 1]];
                let part = cross(b - a, c - a) / 2.0;
                area += part;
                // The middles of the sides integrate a quadratic exactly.
                for p in [(a + b) * 0.5, (b + c) * 0.5, (c + a) * 0.5] {
                    let values = shape_at(&corners, p);
                    places.iter().zip(values).for_each(|(&i, n)| wanted[i as usize] += n * part / 3.0);
                }
            }
        }
        if area <= 0.0 {
            return None;
        }
        wanted.iter_mut().for_each(|value| *value /= area);
        let weights = self.solve_mass(wanted);
        Some([0, 1, 2].map(|axis| self.asked(axis, |i| weights[i])))
    }

    /// The force the floor passes to the wood below, along x, y and z, in N.
    pub fn resultant(&self) -> [Asked; 3] {
        [0, 1, 2].map(|axis| self.asked(axis, |_| 1.0))
    }

    /// The form Σ w·R of one axis, for weights at the floor's nodes.
    fn asked(&self, axis: usize, weight: impl Fn(usize) -> f64) -> Asked {
        self.body.asked(|place| std::array::from_fn(|other| if other == axis { weight(place) } else { 0.0 }))
    }

    /// Solves M w = g by conjugate gradients, scaled by the diagonal: that leaves eigenvalues between those of a single
    /// triangle, 0.39 and 2.06 (Wathen, *IMA J. Numer. Anal.* 7, 1987), whatever the mesh, so some thirty steps
    /// come within 1e-12, far closer than the mesh is to the wood.
    fn solve_mass(&self, wanted: Vec<f64>) -> Vec<f64> {
        let times = |values: &[f64]| {
            let mut product = vec![0.0; values.len()];
            for (places, area) in &self.parts {
                let own = places.map(|place| values[place as usize]);
                for (place, row) in places.iter().zip(&VALUES) {
                    let sum: f64 = row.iter().zip(own).map(|(n, value)| n * value).sum();
                    product[*place as usize] += area / 180.0 * sum;
                }
            }
            product
        };
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let scaled =
            |values: &[f64]| values.iter().zip(&self.diagonal).map(|(v, d)| v / d).collect::<Vec<f64>>();

        let mut found = vec![0.0; wanted.len()];
        let mut missed = wanted;
        let mut better = scaled(&missed);
        let mut way = better.clone();
        let mut size = dot(&missed, &better);
        let enough = 1e-24 * size;
        for _ in 0..200 {
            if size <= enough {
                break;
            }
            let ahead = times(&way);
            let step = size / dot(&way, &ahead);
            found.iter_mut().zip(&way).for_each(|(found, way)| *found += step * way);
            missed.iter_mut().zip(&ahead).for_each(|(missed, ahead)| *missed -= step * ahead);
            better = scaled(&missed);
            let next = dot(&missed, &better);
            way.iter_mut().zip(&better).for_each(|(way, better)| *way = better + next / size * *way);
            size = next;
        }
        // They fall off by more than half from one triangle to the next; what has faded so far counts for nothing, and is most of a big floor.
        let most = found.iter().fold(0.0_f64, |most, weight| most.max(weight.abs()));
        found.iter_mut().filter(|weight| weight.abs() < FADED * most).for_each(|weight| *weight = 0.0);
        found
    }
}

/// The elements of a layer reached from triangles without crossing an open wall, as far as they have a node
/// on the floor.
fn hanging_together(solid: &Solid, triangles: &[u32], on: &BTreeSet<u32>, layer: u32) -> Vec<(u32, u32)> {
    let body = solid.body();
    let cuts = body.cuts.iter().filter(|cut| cut.layers.contains(&(layer as usize)));
    let open: BTreeSet<u32> = cuts.flat_map(|cut| &cut.sides).map(|side| side.nodes[1]).collect();
    let mut beside: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for side in body.mesh.edges() {
        let [Some(left), Some(right)] = side.sides else { continue };
        if !open.contains(&side.nodes[1]) && side.nodes.iter().any(|node| on.contains(node)) {
            beside.entry(left).or_default().push(right);
            beside.entry(right).or_default().push(left);
        }
    }
    let mut found = BTreeSet::new();
    let mut stack = triangles.to_vec();
    while let Some(t) = stack.pop() {
        if solid.element_nodes(t as usize, layer as usize).is_some() && found.insert(t) {
            stack.extend(beside.get(&t).into_iter().flatten());
        }
    }
    found.into_iter().map(|t| (t, layer)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        shape::plane::point,
        solid::{Body, Cut, Elastic, Face, Held, Layer, Parting, tests::irregular},
        strength::tests::cherry,
    };

    fn rectangle(from: Point, to: Point) -> [Point; 4] {
        [from, point(to.x, from.y), to, point(from.x, to.y)]
    }

    /// One stress everywhere, held in balance by what its rim is loaded with: every window sees it, at the rim and
    /// inside, whatever the mesh (arithmetic).
    #[test]
    fn even_stress_is_seen_exactly() {
        const SLOPES: [[f64; 3]; 3] =
            [[1.1e-3, -0.4e-3, 0.3e-3], [0.7e-3, -0.9e-3, 0.5e-3], [-0.2e-3, 0.6e-3, 0.8e-3]];
        let (from, to) = (point(0.0, 0.0), point(20.0, 14.0));
        let wood = Elastic::of(&cherry()).unwrap().stiffness(0.6);
        let layers = vec![Layer::plain(0.0, 2.0, 0), Layer::plain(2.0, 7.0, 0)];
        let body = Body::new(irregular(from, to, 4, 3), layers, vec![wood]);
        let solid = Solid::new(body).unwrap();
        let moved: Vec<f64> = (0..solid.dof_count())
            .map(|dof| {
                solid.position(dof / 3).iter().zip(SLOPES[dof % 3]).map(|(at, slope)| at * slope).sum()
            })
            .collect();
        let [x, y, z] = SLOPES;
        let [xx, yy, zz, yz, xz, xy] = wood.stress([x[0], y[1], z[2], y[2] + z[1], x[2] + z[0], x[1] + y[0]]);
        let mut rim = Load::default();
        let corners = rectangle(from, to);
        let pulls = [[-xy, -yy, -yz], [xx, xy, xz], [xy, yy, yz], [-xx, -xy, -xz]];
        for (i, pull) in pulls.into_iter().enumerate() {
            let side = solid.body().mesh.edges_on(corners[i], corners[(i + 1) % 4]);
            let length = crate::shape::plane::distance(corners[i], corners[(i + 1) % 4]);
            let (push, way, _) = Load::wall(&solid, &side, 0.0, length).unwrap();
            let share = |force: [f64; 3]| (force[0] * way.x + force[1] * way.y) * length * 7.0;
            rim.parts.extend(push.parts.into_iter().map(|mut part| {
                let share = share(part.force);
                part.force = pull.map(|pull| pull * share);
                part
            }));
        }
        let all: Vec<u32> = (0..solid.body().mesh.triangles.len() as u32).collect();
        let floor = Floor::new(&solid, &all, 0).unwrap();
        let windows =
            [(0.0, 0.0, 5.0, 3.5), (15.5, 9.0, 20.0, 14.0), (6.1, 3.3, 7.0, 9.2), (0.0, 0.0, 20.0, 14.0)];
        for (left, low, right, high) in windows {
            let window = rectangle(point(left, low), point(right, high));
            let seen = floor.mean(&solid, &window).unwrap().map(|asked| asked.value(&moved, &rim));
            for (seen, even) in seen.into_iter().zip([xz, yz, zz]) {
                assert!((seen - even).abs() < 1e-10, "{seen} {even}");
            }
        }
    }

    /// A strip let into a plate's back, its walls open: what it is pushed with leaves it through its floor, also
    /// where part of the floor has come apart.
    #[test]
    fn what_crosses_a_floor_is_the_load() {
        let mut mesh = irregular(point(0.0, 0.0), point(24.0, 18.0), 6, 6);
        let middle = |corners: [Point; 3]| (corners[0] + corners[1] + corners[2]) / 3.0;
        for t in 0..mesh.triangles.len() {
            let at = middle(mesh.corner_points(t));
            // Whole cells of the grid, two of each row's six.
            mesh.zones[t] = u32::from((4..8).contains(&(t % 12)) && at.y > 6.0);
        }
        let inside = |t: Option<u32>| t.is_some_and(|t| mesh.zones[t as usize] == 1);
        let walls = mesh.edges().into_iter().filter(|side| inside(side.sides[0]) != inside(side.sides[1]));
        let sides = walls.collect();
        let mut layers = vec![Layer::plain(0.0, 4.0, 0), Layer::plain(4.0, 9.0, 0)];
        layers[0].zones = vec![(0, Some(1))];
        let elastic = Elastic::of(&cherry()).unwrap();
        let woods = vec![elastic.stiffness(0.0), elastic.stiffness(std::f64::consts::FRAC_PI_2)];
        for apart in [false, true] {
            let mut body = Body::new(mesh.clone(), layers.clone(), woods.clone());
            body.cuts.push(Cut { sides: Vec::clone(&sides), layers: 0..1 });
            let strip = body.triangles_in(0);
            assert!(strip.len() > 6);
            let (loose, joined): (Vec<u32>, Vec<u32>) =
                strip.iter().partition(|&&t| apart && middle(body.mesh.corner_points(t as usize)).y > 12.0);
            body.partings.push(Parting { below: 0, triangles: loose });
            let solid = Solid::new(body).unwrap();
            let held = Held::new(&solid, |at, _| at[1] < 1e-9);
            let (load, ..) =
                Load::pressure(&solid, &rectangle(point(0.0, 0.0), point(24.0, 18.0)), &strip, Face::Back)
                    .unwrap();
            let moved = solid.factor(&held).unwrap().solve(&[load.forces(&solid)]).remove(0);
            let floor = Floor::new(&solid, &joined, 0).unwrap();
            let whole = floor.resultant().map(|asked| asked.value(&moved, &load));
            for (found, expected) in whole.into_iter().zip([0.0, 0.0, -1.0]) {
                assert!((found - expected).abs() < 1e-9, "{found} {expected}");
            }
            let all = rectangle(point(0.0, 0.0), point(24.0, 18.0));
            let mean = floor.mean(&solid, &all).unwrap().map(|asked| asked.value(&moved, &load));
            assert!((mean[2] * floor.area() + 1.0).abs() < 1e-9, "{mean:?}");
        }
    }

    #[test]
    fn a_window_beside_the_floor_has_no_mean() {
        let wood = Elastic::of(&cherry()).unwrap().stiffness(0.0);
        let mesh = irregular(point(0.0, 0.0), point(8.0, 8.0), 2, 2);
        let layers = vec![Layer::plain(0.0, 2.0, 0), Layer::plain(2.0, 4.0, 0)];
        let solid = Solid::new(Body::new(mesh, layers, vec![wood])).unwrap();
        let floor = Floor::new(&solid, &[0, 1], 0).unwrap();
        assert!(floor.mean(&solid, &rectangle(point(9.0, 9.0), point(10.0, 10.0))).is_none());
        assert!(Floor::new(&solid, &[0, 1], 1).is_none(), "there is nothing above the uppermost layer");
        assert!(Floor::new(&solid, &[], 0).is_none());
    }
}
