//! The first triangles: those of the wood between the divided pieces.

use std::collections::BTreeMap;

use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use crate::shape::plane::{Point, point};

use super::{MeshFault, division::Division, network::Network};

/// No triangle, or no piece.
pub(super) const NONE: u32 = u32::MAX;

/// A triangle while the mesh is being made.
#[derive(Clone, Copy, Debug)]
pub(super) struct Triangle {
    /// Anticlockwise.
    pub(super) corners: [u32; 3],
    /// Across the side from corner `i` to corner `i + 1`; [`NONE`] across a wall.
    pub(super) beyond: [u32; 3],
    /// The piece that side lies on, or [`NONE`].
    pub(super) piece: [u32; 3],
    pub(super) zones: u32,
}

/// The triangles of the wood between all pieces (`spade`'s constrained Delaunay triangulation).
///
/// Which triangles are wood and which zones they lie in follows from the pieces alone: far outside there is
/// neither, and each piece tells what changes across it. No point is ever sought in a polygon.
pub(super) fn triangles(network: &Network, division: &Division) -> Result<Vec<Triangle>, MeshFault> {
    let mut sides: BTreeMap<[u32; 2], u32> = BTreeMap::new();
    for (piece, chain) in division.chains.iter().enumerate() {
        for ends in chain.windows(2) {
            sides.insert([ends[0].min(ends[1]), ends[0].max(ends[1])], piece as u32);
        }
    }
    let pieces: Vec<_> = network.pieces.values().copied().collect();
    let count = division.points.len();
    let mut vertices: Vec<_> = division.points.iter().map(|p| Point2::new(p.x, p.y)).collect();
    // Far corners: nothing of the plan lies on the hull, and what is beyond everything is known.
    vertices.extend(far_corners(&division.points).map(|p| Point2::new(p.x, p.y)));
    let edges = sides.keys().map(|ends| ends.map(|end| end as usize)).collect();
    let mut crossed = None;
    let cdt =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(vertices, edges, |[a, _]| {
            crossed.get_or_insert(a);
        })
        .map_err(|_| MeshFault::NotFinite)?;
    if let Some(a) = crossed {
        return Err(MeshFault::Crowded { at: division.points[a] });
    }
    if cdt.num_vertices() != count + 4 {
        return Err(MeshFault::Crowded { at: doubled(&division.points) });
    }

    let faces = cdt.num_all_faces();
    let mut all = vec![None; faces];
    let mut outermost = None;
    for face in cdt.inner_faces() {
        let ways = face.adjacent_edges();
        let corners = ways.map(|way| way.from().fix().index() as u32);
        let beyond =
            ways.map(|way| way.rev().face().as_inner().map_or(NONE, |face| face.fix().index() as u32));
        if beyond.contains(&NONE) {
            outermost.get_or_insert(face.fix().index());
        }
        let piece = std::array::from_fn(|i| {
            if ways[i].is_constraint_edge() {
                let (a, b) = (corners[i], corners[(i + 1) % 3]);
                sides.get(&[a.min(b), a.max(b)]).copied().unwrap_or(NONE)
            } else {
                NONE
            }
        });
        all[face.fix().index()] = Some(Triangle { corners, beyond, piece, zones: 0 });
    }

    // From the outside inward: is it wood, and in which zones?
    let mut state: Vec<Option<(bool, u32)>> = vec![None; faces];
    let mut waiting = Vec::new();
    if let Some(first) = outermost {
        state[first] = Some((false, 0));
        waiting.push(first);
    }
    while let Some(face) = waiting.pop() {
        let (Some(triangle), Some((wood, zones))) = (all[face], state[face]) else { continue };
        for i in 0..3 {
            let other = triangle.beyond[i] as usize;
            if triangle.beyond[i] != NONE && state[other].is_none() {
                let change = pieces.get(triangle.piece[i] as usize).copied().unwrap_or_default();
                state[other] = Some((wood ^ change.wall, zones ^ change.zones));
                waiting.push(other);
            }
        }
    }

    let mut number = vec![NONE; faces];
    let mut found = Vec::new();
    for face in 0..faces {
        if let (Some(triangle), Some((true, zones))) = (all[face], state[face]) {
            number[face] = found.len() as u32;
            found.push(Triangle { zones, ..triangle });
        }
    }
    for triangle in &mut found {
        triangle.beyond =
            triangle.beyond.map(|other| if other == NONE { NONE } else { number[other as usize] });
    }
    Ok(found)
}

fn far_corners(points: &[Point]) -> [Point; 4] {
    let mut low = point(f64::INFINITY, f64::INFINITY);
    let mut high = point(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for p in points {
        low = point(low.x.min(p.x), low.y.min(p.y));
        high = point(high.x.max(p.x), high.y.max(p.y));
    }
    let margin = 1.0 + (high.x - low.x) + (high.y - low.y);
    let (low, high) = (point(low.x - margin, low.y - margin), point(high.x + margin, high.y + margin));
    [low, point(high.x, low.y), high, point(low.x, high.y)]
}

fn doubled(points: &[Point]) -> Point {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.windows(2).find(|pair| pair[0] == pair[1]).map_or(points[0], |pair| pair[0])
}
