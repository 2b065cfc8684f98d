//! Every push that is tried on the loaded wood: pads along its walls and inside it, pushes on its walls.

use crate::{
    shape::plane::{Point, distance},
    solid::{Edge, Face, Load, Mesh, Solid},
};

use super::{
    super::{
        finding::PushKind,
        load::{PAD_RADIUS, WALL_LENGTH},
    },
    jobs::Spot,
};

/// A push of 1 N.
pub(super) struct Tried {
    pub(super) kind: PushKind,
    pub(super) load: Load,
    /// Where its resultant acts.
    pub(super) at: Point,
    /// For a face push the pad's own centre: of one that hangs over an edge its resultant acts nearer the wood.
    pub(super) centre: Option<Point>,
    /// For a side push its direction.
    pub(super) push: Option<Point>,
    /// For a face push: from which face, and the pad's area on the wood.
    pub(super) face: Option<(Face, f64)>,
    /// Whether it is tried only to tell what other pushes do to a plane: see `causes`.
    pub(super) probe: bool,
}

impl Tried {
    pub(super) fn spot(&self) -> Spot {
        Spot { kind: self.kind, face: self.face.map(|(face, _)| face), at: self.at }
    }
}

/// Steps between pushes along a wall, in mm; on big loaded parts about so many pushes of a kind are tried.
const STEP: f64 = 3.0;
const MOST: f64 = 160.0;

/// All pushes on loaded wood: on its walls, and on its triangles; `inside` are points within it where a pad is tried too.
pub(super) fn pushes(solid: &Solid, walls: &[Vec<Edge>], triangles: &[u32], inside: &[Point]) -> Vec<Tried> {
    let mesh = &solid.body().mesh;
    let total: f64 = walls.iter().flatten().map(|edge| length(mesh, edge)).sum();
    let step = STEP.max(total / MOST);
    let mut centres: Vec<Point> = inside.to_vec();
    let mut tried = Vec::new();
    for chain in walls {
        let whole: f64 = chain.iter().map(|edge| length(mesh, edge)).sum();
        // An even number of steps, so that the middle of a wall is among them.
        let steps = (2.0 * (whole / (2.0 * step)).ceil()).max(2.0) as usize;
        for i in 0..=steps {
            let middle = whole * i as f64 / steps as f64;
            centres.push(on(mesh, chain, middle));
            let (from, to) = ((middle - WALL_LENGTH / 2.0).max(0.0), (middle + WALL_LENGTH / 2.0).min(whole));
            if let Some((load, push, at)) = Load::wall(solid, chain, from, to) {
                tried.push(Tried {
                    kind: PushKind::Side,
                    load,
                    at,
                    centre: None,
                    push: Some(push),
                    face: None,
                    probe: false,
                });
            }
        }
    }
    centres.dedup_by(|a, b| distance(*a, *b) < 1e-9);
    // What is its own mirror image bears as much from behind.
    let faces: &[Face] =
        if solid.is_its_own_mirror_image() { &[Face::Show] } else { &[Face::Show, Face::Back] };
    for &face in faces {
        for &centre in &centres {
            tried.extend(pad(solid, centre, triangles, face));
        }
    }
    tried
}

/// A pad on the loaded triangles; nothing where it misses them.
pub(super) fn pad(solid: &Solid, centre: Point, triangles: &[u32], face: Face) -> Option<Tried> {
    let (load, at, area) = Load::pad(solid, centre, PAD_RADIUS, triangles, face)?;
    Some(Tried {
        kind: PushKind::Face,
        load,
        at,
        centre: Some(centre),
        push: None,
        face: Some((face, area)),
        probe: false,
    })
}

fn length(mesh: &Mesh, edge: &Edge) -> f64 {
    let [a, _, b] = edge.nodes.map(|n| mesh.points[n as usize]);
    distance(a, b)
}

/// The point of a chain of sides at a length along it.
fn on(mesh: &Mesh, chain: &[Edge], along: f64) -> Point {
    let mut left = along;
    for edge in chain {
        let [a, _, b] = edge.nodes.map(|n| mesh.points[n as usize]);
        let whole = distance(a, b);
        if left <= whole {
            return a + (b - a) * (left / whole);
        }
        left -= whole;
    }
    let last = chain[chain.len() - 1].nodes[2];
    mesh.points[last as usize]
}
