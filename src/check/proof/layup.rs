//! Which layers of elements a case has, and which wood fills them where.

use std::ops::Range;

use crate::{
    shape::plane::{Point, direction, left},
    solid::{Body, Cut, Edge, Elastic, Layer, Mesh, Stiffness},
    wood::Mechanics,
};

use super::super::ply::Ply;

/// The board's wood in a body's list; plies follow.
pub(super) const BOARD: usize = 0;
/// Outlines nearer than this to the ends of a layer are at it, in mm.
const SAME_HEIGHT: f64 = 1e-6;

/// A ply in a body: zone and wood by number, layers by range.
pub(super) struct Laid<'a> {
    /// The zone of the mesh it fills; nothing where it goes through all of the piece.
    pub(super) zone: Option<usize>,
    pub(super) layers: Range<usize>,
    /// Its wood among the body's, with what it bears; nothing for an empty pocket.
    pub(super) wood: Option<(usize, &'a Mechanics)>,
    /// The direction of its grain.
    pub(super) grain: Point,
}

impl Laid<'_> {
    /// Whether it is one with all of the piece.
    pub(super) const fn is_layer(&self) -> bool {
        self.zone.is_none()
    }

    /// Whether it lies in wood of such zones.
    pub(super) fn lies_in(&self, zones: u32) -> bool {
        self.zone.is_none_or(|zone| zones >> zone & 1 == 1)
    }
}

/// All layers of a body, from the back up.
pub(super) struct LayUp<'a> {
    pub(super) layers: Vec<Layer>,
    pub(super) plies: Vec<Laid<'a>>,
}

impl<'a> LayUp<'a> {
    /// A board so thick, in so many layers; with plies in it, in so many for each of them and for what is left between. Those whose zone is
    /// not `there` are left out.
    pub(super) fn new(
        thickness: f64,
        plies: &'a [Ply],
        there: impl Fn(usize) -> bool,
        plain: usize,
        each: usize,
    ) -> Self {
        let mut zones = 0..;
        let numbered = plies.iter().map(|ply| (ply.outline.as_ref().and_then(|_| zones.next()), ply));
        let plies: Vec<(Option<usize>, &Ply)> =
            numbered.filter(|(zone, _)| zone.is_none_or(&there)).collect();
        let mut heights: Vec<f64> =
            plies.iter().flat_map(|(_, ply)| ply.heights_mm).chain([0.0, thickness]).collect();
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| (*a - *b).abs() < SAME_HEIGHT);
        // One layer for each of a blank's: two move what its wood bears by 3 % as a rule, and the glue then bears more, not less.
        let each = match () {
            () if heights.len() == 2 => plain,
            () if plies.iter().any(|(_, ply)| ply.is_layer()) => 1,
            () => each,
        };
        let mut layers = Vec::new();
        for pair in heights.windows(2) {
            let height = |k: usize| {
                if k == each { pair[1] } else { pair[0] + (pair[1] - pair[0]) * k as f64 / each as f64 }
            };
            layers.extend((0..each).map(|k| {
                let board = height(k) >= -SAME_HEIGHT && height(k + 1) <= thickness + SAME_HEIGHT;
                Layer {
                    bottom: height(k),
                    top: height(k + 1),
                    wood: board.then_some(BOARD),
                    zones: Vec::new(),
                }
            }));
        }
        let mut woods = BOARD;
        let laid = plies.into_iter().map(|(zone, ply)| {
            let [bottom, top] = ply.heights_mm;
            let within =
                |layer: &Layer| layer.bottom >= bottom - SAME_HEIGHT && layer.top <= top + SAME_HEIGHT;
            let first = layers.iter().position(&within).unwrap_or(0);
            let count = layers.iter().filter(|layer| within(layer)).count();
            let wood = ply.wood.as_ref().map(|wood| {
                woods += 1;
                (woods, &wood.mechanics)
            });
            let grain = ply.wood.as_ref().map_or(0.0, |wood| wood.grain.as_rad());
            Laid { zone, layers: first..first + count, wood, grain: direction(grain) }
        });
        let plies: Vec<Laid> = laid.collect();
        for ply in &plies {
            let wood = ply.wood.map(|(wood, _)| wood);
            for layer in &mut layers[ply.layers.clone()] {
                match ply.zone {
                    Some(zone) => layer.zones.push((zone, wood)),
                    None => layer.wood = wood,
                }
            }
        }
        Self { layers, plies }
    }

    /// Whether some layer of another grain goes through all of the piece.
    pub(super) fn is_layered(&self) -> bool {
        self.plies.iter().any(Laid::is_layer)
    }

    /// The body on a mesh whose zones are the plies that are let in: their walls are open.
    ///
    /// Nothing where a ply's wood has no stiffness.
    pub(super) fn body(&self, mesh: Mesh, board: Stiffness) -> Option<Body> {
        let mut woods = vec![board];
        for ply in &self.plies {
            if let Some((_, mechanics)) = ply.wood {
                let grain = ply.grain.y.atan2(ply.grain.x);
                woods.push(Elastic::of(mechanics).ok()?.stiffness(grain));
            }
        }
        let edges = mesh.edges();
        let cuts = self.plies.iter().map(|ply| {
            let inside = |t: Option<u32>| t.is_some_and(|t| ply.lies_in(mesh.zones[t as usize]));
            let wall =
                |edge: &&Edge| inside(edge.sides[0]) != inside(edge.sides[1]) && !edge.sides.contains(&None);
            Cut { sides: edges.iter().filter(wall).copied().collect(), layers: ply.layers.clone() }
        });
        let cuts = cuts.filter(|cut: &Cut| !cut.sides.is_empty()).collect();
        Some(Body { mesh, layers: self.layers.clone(), woods, cuts, partings: Vec::new() })
    }
}

impl LayUp<'_> {
    /// The board's foremost wood standing open all along a chain.
    pub(super) fn crack(&self, body: &Body, chain: &[Edge]) -> Option<Cut> {
        let columns: Vec<Vec<Joint>> = chain.iter().map(|edge| column(body, edge)).collect();
        let layers = body.layers.len();
        let board = |layer: &usize| columns.iter().all(|column| column[*layer] == Joint::Whole(BOARD));
        let front = (0..layers).rev().take_while(board).count();
        (front > 0 && front < layers).then(|| Cut { sides: chain.to_vec(), layers: layers - front..layers })
    }
}

/// What stands on either side of a side of the mesh, layer by layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Joint {
    /// One wood, by number, that goes through.
    Whole(usize),
    /// Wood that ends there: nothing holds.
    Open,
    /// No wood on either side.
    Empty,
}

/// Every layer of a body at a side.
pub(super) fn column(body: &Body, edge: &Edge) -> Vec<Joint> {
    let [Some(a), Some(b)] = edge.sides else { return vec![Joint::Open; body.layers.len()] };
    let cut = |layer: usize| {
        body.cuts.iter().any(|cut| {
            let same = |side: &Edge| side.nodes[1] == edge.nodes[1];
            cut.layers.contains(&layer) && cut.sides.iter().any(same)
        })
    };
    let wood = |t: u32, layer: usize| {
        let zones = body.mesh.zones[t as usize];
        let last = body.layers[layer].zones.iter().rev().find(|(zone, _)| zones >> zone & 1 == 1);
        last.map_or(body.layers[layer].wood, |(_, wood)| *wood)
    };
    let joint = |layer: usize| match (wood(a, layer), wood(b, layer)) {
        (Some(one), Some(other)) if one == other && !cut(layer) => Joint::Whole(one),
        (None, None) => Joint::Empty,
        _ => Joint::Open,
    };
    (0..body.layers.len()).map(joint).collect()
}

/// A ply's outline as the mesh follows it, if it has one.
pub(super) fn zone(ply: &Ply) -> Option<Vec<Point>> {
    let ring = &ply.outline.as_ref()?.exterior().0;
    Some(ring[..ring.len().saturating_sub(1)].to_vec())
}

/// Lengths along and across a direction.
pub(super) fn in_axes(p: Point, along: Point) -> [f64; 2] {
    let across = left(along);
    [p.x * along.x + p.y * along.y, p.x * across.x + p.y * across.y]
}
