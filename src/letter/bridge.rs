//! Holds what pierced letters would set free.

use geo_types::Coord;

use super::LetterError;
use crate::shape::plane::{Point, cross, direction, dot, left};
use crate::shape::{FillRule, Region, Ring, placed, snapped};
use crate::units::Length;

/// A straight bridge over an opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridge {
    /// The middle of its end on the island, in mm.
    pub from: Coord<f64>,
    /// The middle of its other end.
    pub to: Coord<f64>,
    /// How wide it is.
    pub width: Length,
}

/// Lines tried over a bridge's width, to see where it meets wood.
const LINES: u32 = 25;

/// Places tried for the bridges of an island.
const PLACES: u32 = 61;

/// Joins every part of the wood to its largest by bridges that run in the direction `along`, in radians.
///
/// # Errors
///
/// [`LetterError::NotHeld`] for the first island that no bridge reaches.
pub(super) fn held(wood: &Region, width: f64, along: f64) -> Result<(Region, Vec<Bridge>), LetterError> {
    let sight = Sight::new(wood, along);
    let mut islands: Vec<usize> = (0..sight.parts.len()).collect();
    islands.sort_by(|a, b| sight.parts[*b].size.total_cmp(&sight.parts[*a].size));
    // By part, whether a bridge already ends on its near and its far side.
    let mut ends = vec![[false; 2]; sight.parts.len()];
    let (mut bridges, mut strips) = (Vec::new(), vec![wood.clone()]);
    for island in islands.into_iter().skip(1) {
        let sides: Vec<usize> = (0..2).filter(|side| !ends[island][*side]).collect();
        let Some(found) = sight.shortest(island, &sides, width) else {
            let b = Region { shapes: vec![wood.shapes[island].clone()] }.bounds().unwrap_or_default();
            let [x0, y0, x1, y1] = b.map(|step| f64::from(step) / crate::shape::GRID_PER_MM);
            return Err(LetterError::NotHeld { at: [f64::midpoint(x0, x1), f64::midpoint(y0, y1)] });
        };
        for Span { from, to, height, side, lands } in found {
            // A bridge that ends on another island holds that one too, from its other side.
            ends[island][side] = true;
            ends[lands][1 - side] = true;
            bridges.push(Bridge {
                from: sight.place(from, height),
                to: sight.place(to, height),
                width: Length::mm(width),
            });
            strips.push(sight.strip(from, to, height, width));
        }
    }
    let joined = Region::united(&strips).tidy();
    match joined.shapes.len() {
        0 | 1 => Ok((joined, bridges)),
        _ => {
            let loose = joined.shapes.iter().min_by(|a, b| size(a).total_cmp(&size(b)));
            let corner = loose.map_or(Coord { x: 0.0, y: 0.0 }, |rings| placed(rings[0][0]));
            Err(LetterError::NotHeld { at: [corner.x, corner.y] })
        }
    }
}

fn size(rings: &[Ring]) -> f64 {
    rings.iter().map(|ring| crate::shape::doubled_area(ring)).sum()
}

/// The wood as seen along the bridges: s runs along them, v across.
struct Sight {
    axis: Point,
    parts: Vec<Part>,
}

/// One part of the wood.
struct Part {
    size: f64,
    /// Least and largest v.
    reach: [f64; 2],
    /// Pairs of s and v.
    edges: Vec<[[f64; 2]; 2]>,
}

/// A bridge over an opening, from an island to whatever wood is next.
struct Span {
    from: f64,
    to: f64,
    height: f64,
    /// 0 towards smaller s, 1 towards larger.
    side: usize,
    /// The part it ends on.
    lands: usize,
}

impl Sight {
    fn new(wood: &Region, along: f64) -> Self {
        let axis = direction(along);
        let seen = |p: &crate::shape::GridPoint| {
            let p = placed(*p);
            [dot(axis, p), cross(axis, p)]
        };
        let parts = wood.shapes.iter().map(|rings| {
            let edges: Vec<_> = rings
                .iter()
                .flat_map(|ring| {
                    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| [seen(a), seen(b)])
                })
                .collect();
            let reach = edges
                .iter()
                .fold([f64::INFINITY, f64::NEG_INFINITY], |r, [a, _]| [r[0].min(a[1]), r[1].max(a[1])]);
            Part { size: size(rings), reach, edges }
        });
        Self { axis, parts: parts.collect() }
    }

    fn place(&self, s: f64, v: f64) -> Coord<f64> {
        self.axis * s + left(self.axis) * v
    }

    /// The bridge itself, reaching a hair into the wood at both ends.
    fn strip(&self, from: f64, to: f64, height: f64, width: f64) -> Region {
        let into = 0.02 * width * (to - from).signum();
        let half = width / 2.0;
        let corners = [(from - into, -half), (to + into, -half), (to + into, half), (from - into, half)];
        let ring: Ring = corners.into_iter().map(|(s, v)| snapped(self.place(s, height + v))).collect();
        Region::filled(&[ring], FillRule::NonZero)
    }

    /// The bridges of an island on the sides asked for, in one line, where they are shortest; of places alike the one
    /// nearest the island's middle.
    fn shortest(&self, island: usize, sides: &[usize], width: f64) -> Option<Vec<Span>> {
        let [low, high] = self.parts[island].reach;
        let middle = f64::midpoint(low, high);
        let room = ((high - low - width) / 2.0).max(0.0);
        let mut best: Option<(f64, Vec<Span>)> = None;
        for k in 0..PLACES {
            let height = middle + room * (2.0 * f64::from(k) / f64::from(PLACES - 1) - 1.0);
            let spans: Option<Vec<Span>> =
                sides.iter().map(|side| self.span(island, *side, height, width)).collect();
            let Some(spans) = spans else { continue };
            let length: f64 = spans.iter().map(|span| (span.to - span.from).abs()).sum();
            let cost = length + 0.25 * (height - middle).abs();
            if best.as_ref().is_none_or(|(least, _)| cost < *least - 1e-9) {
                best = Some((cost, spans));
            }
        }
        best.map(|(_, spans)| spans)
    }

    /// The bridge on one side at a height; `None` where it would not meet the island, or no wood beyond.
    fn span(&self, island: usize, side: usize, height: f64, width: f64) -> Option<Span> {
        // Everything is looked at towards larger s.
        let way = if side == 0 { -1.0 } else { 1.0 };
        let (mut from, mut to, mut lands) = (f64::INFINITY, f64::NEG_INFINITY, None);
        for k in 0..LINES {
            // Not quite at the edges, where a line would run along an outline.
            let v = height + 0.499 * width * (2.0 * f64::from(k) / f64::from(LINES - 1) - 1.0);
            let Some(edge) = self.parts[island].crossings(v).map(|s| way * s).reduce(f64::max) else {
                continue;
            };
            let others = (0..self.parts.len()).filter(|part| *part != island);
            let next = others
                .flat_map(|part| self.parts[part].crossings(v).map(move |s| (way * s, part)))
                .filter(|(s, _)| *s > edge)
                .min_by(|a, b| a.0.total_cmp(&b.0))?;
            from = from.min(edge);
            if next.0 > to {
                (to, lands) = (next.0, Some(next.1));
            }
        }
        Some(Span { from: way * from, to: way * to, height, side, lands: lands? })
    }
}

impl Part {
    /// Where the line at height v crosses its outline.
    fn crossings(&self, v: f64) -> impl Iterator<Item = f64> + '_ {
        self.edges.iter().filter(move |[a, b]| (a[1] > v) != (b[1] > v)).map(move |[a, b]| {
            let share = (v - a[1]) / (b[1] - a[1]);
            a[0] + share * (b[0] - a[0])
        })
    }
}
