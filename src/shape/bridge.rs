//! Closes hairline gaps between separate areas.

use geo_types::Coord;

use super::region::{FillRule, GridPoint, Region, Ring, edges as ring_edges, placed, snapped};
use super::tangle::{Tangle, Tangled};
use super::{BoxTree, GRID_PER_MM};

/// Where a gap was and how wide.
pub(crate) type Gap = (Coord<f64>, f64);

/// Joins areas that lie within `gap` mm of each other: the later one's corners move onto the earlier one's
/// outline, and where the earlier one has a corner the later one's edge bends to it. Gaps within one area,
/// such as slots, stay.
///
/// Gives the joined region and, for every two areas, where the gap was widest among what was moved, and how
/// wide. Nothing changes unless areas really become one.
///
/// # Errors
///
/// [`Tangled`], by the number of an area, when so much is moved that lines cross more than `limit` times.
pub(crate) fn bridged(region: &Region, gap: f64, limit: usize) -> Result<(Region, Vec<Gap>), Tangled> {
    let mut edges = Vec::new();
    let mut places = Vec::new();
    for (s, shape) in region.shapes.iter().enumerate() {
        for (r, ring) in shape.iter().enumerate() {
            for (k, edge) in ring_edges(ring).enumerate() {
                edges.push(edge.map(placed));
                places.push((s, r, k));
            }
        }
    }
    if region.shapes.len() < 2 {
        return Ok((region.clone(), Vec::new()));
    }
    let mut moved: Moves = Moves::default();
    BoxTree::new(&edges).near_pairs(gap, |i, j| {
        let (early, late) = if places[i].0 < places[j].0 { (i, j) } else { (j, i) };
        if places[early].0 != places[late].0 {
            moved.consider(edges[early], edges[late], places[early].0, places[late], gap);
        }
        true
    });
    if moved.corners.is_empty() && moved.bends.is_empty() {
        return Ok((region.clone(), Vec::new()));
    }
    let (owners, rings): (Vec<usize>, Vec<Ring>) = region
        .shapes
        .iter()
        .enumerate()
        .flat_map(|(s, shape)| shape.iter().enumerate().map(move |(r, ring)| (s, r, ring)))
        .map(|(s, r, ring)| (s, moved.applied(s, r, ring)))
        .unzip();
    let edges = owners.iter().zip(&rings).flat_map(|(s, ring)| ring_edges(ring).map(|edge| (*s, edge)));
    Tangle::new(limit).count(edges.collect())?;
    let joined = Region::filled(&rings, FillRule::NonZero).tidy();
    if joined.shapes.len() < region.shapes.len() {
        Ok((joined, moved.gaps.into_values().collect()))
    } else {
        Ok((region.clone(), Vec::new()))
    }
}

/// Shape, ring and edge; the edge's number is also its first corner's.
type Spot = (usize, usize, usize);

#[derive(Default)]
struct Moves {
    /// Corners of later areas: how far they move, and where to.
    corners: std::collections::BTreeMap<Spot, (f64, GridPoint)>,
    /// Edges of later areas: how far along they bend, and to which point.
    bends: std::collections::BTreeMap<Spot, Vec<(f64, GridPoint)>>,
    /// For every two areas the widest move.
    gaps: std::collections::BTreeMap<(usize, usize), (Coord<f64>, f64)>,
}

impl Moves {
    fn consider(&mut self, early: [Coord<f64>; 2], late: [Coord<f64>; 2], s: usize, spot: Spot, gap: f64) {
        let (_, onto, apart) = nearest(late[0], early);
        if apart <= gap {
            self.note((s, spot.0), onto, apart);
            let best = self.corners.entry(spot).or_insert((f64::INFINITY, snapped(onto)));
            if apart < best.0 {
                *best = (apart, snapped(onto));
            }
        }
        let (along, _, apart) = nearest(early[0], late);
        if apart <= gap && along > 0.0 && along < 1.0 {
            self.note((s, spot.0), early[0], apart);
            self.bends.entry(spot).or_default().push((along, snapped(early[0])));
        }
    }

    fn note(&mut self, pair: (usize, usize), at: Coord<f64>, apart: f64) {
        let widest = self.gaps.entry(pair).or_insert((at, apart));
        if apart > widest.1 {
            *widest = (at, apart);
        }
    }

    fn applied(&self, s: usize, r: usize, ring: &Ring) -> Ring {
        let mut out = Ring::new();
        for (k, p) in ring.iter().enumerate() {
            out.push(self.corners.get(&(s, r, k)).map_or(*p, |(_, onto)| *onto));
            if let Some(bends) = self.bends.get(&(s, r, k)) {
                let mut bends = bends.clone();
                bends.sort_by(|a, b| a.0.total_cmp(&b.0));
                out.extend(bends.into_iter().map(|(_, p)| p));
            }
        }
        out
    }
}

/// Where on the edge the point nearest to `p` lies: how far along (0 to 1), the point, and how far off.
fn nearest(p: Coord<f64>, [a, b]: [Coord<f64>; 2]) -> (f64, Coord<f64>, f64) {
    let run = b - a;
    let squared = run.x * run.x + run.y * run.y;
    let along = ((p.x - a.x) * run.x + (p.y - a.y) * run.y) / squared.max(GRID_PER_MM.powi(-4));
    let along = along.clamp(0.0, 1.0);
    let onto = a + run * along;
    (along, onto, (p.x - onto.x).hypot(p.y - onto.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(x: f64, y: f64, w: f64, h: f64) -> Region {
        let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
        Region::filled(&[corners.map(|c| snapped(Coord::from(c))).to_vec()], FillRule::NonZero)
    }

    fn joined(blocks: &[Region]) -> (Region, Vec<(Coord<f64>, f64)>) {
        bridged(&Region::united(blocks).tidy(), 0.05, 100).unwrap()
    }

    #[test]
    fn a_hairline_between_two_blocks_is_closed_and_reported() {
        for other in [block(10.03, 2.0, 5.0, 4.0), block(10.03, -5.0, 5.0, 20.0)] {
            let (wood, gaps) = joined(&[block(0.0, 0.0, 10.0, 10.0), other]);
            assert_eq!(wood.shapes.len(), 1);
            assert_eq!(gaps.len(), 1);
            assert!((gaps[0].1 - 0.03).abs() < 1e-9);
        }
    }

    #[test]
    fn a_gap_wider_than_told_stays() {
        let (wood, gaps) = joined(&[block(0.0, 0.0, 10.0, 10.0), block(10.06, 2.0, 5.0, 4.0)]);
        assert_eq!((wood.shapes.len(), gaps.len()), (2, 0));
    }

    #[test]
    fn a_thin_slot_in_one_block_stays() {
        let slot = block(4.0, 0.0, 0.03, 8.0);
        let (wood, _) = joined(&[block(0.0, 0.0, 10.0, 10.0).without(&slot), block(20.0, 0.0, 5.0, 5.0)]);
        assert!((wood.area() - (100.0 - 0.24 + 25.0)).abs() < 1e-9);
    }
}
