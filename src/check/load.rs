//! The pushes that are tried: a pad on the face, a push on a wall.

use crate::{
    section::Station,
    shape::plane::{Point, cross, dot, left, norm, point, unit},
};

/// Radius of the pad of a face push, in mm. Common practice, no published source: about a thumb.
pub const PAD_RADIUS: f64 = 5.0;
/// Length of wall a side push acts on, in mm. Common practice, no published source: about a bit's diameter.
pub const WALL_LENGTH: f64 = 6.0;

/// Wood narrower or shorter than this at a tip, in mm, is no part to be broken off: sanding takes it. Our own choice.
pub const LEAST_WIDTH: f64 = 1.0;

/// A force and its two moments about the origin. Through the thickness: force, moment about x, about y.
/// In the plane: force along x, along y, moment.
pub(super) type Wrench = [f64; 3];

/// A push of 1 N through the thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FaceLoad {
    /// Where its resultant acts.
    pub(super) at: Point,
    /// Area of the pad on the wood, in mm².
    pub(super) area: f64,
}

/// A push of 1 N in the board's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SideLoad {
    /// Where its resultant acts.
    pub(super) at: Point,
    /// Its direction, length 1.
    pub(super) push: Point,
}

impl FaceLoad {
    pub(super) const fn wrench(&self) -> Wrench {
        face_wrench(self.at, 1.0)
    }
}

impl SideLoad {
    pub(super) fn wrench(&self) -> Wrench {
        side_wrench(self.at, self.push)
    }
}

pub(super) const fn face_wrench(at: Point, force: f64) -> Wrench {
    [force, at.y * force, -at.x * force]
}

pub(super) fn side_wrench(at: Point, force: Point) -> Wrench {
    [force.x, force.y, cross(at, force)]
}

/// A push on a slender stretch itself, spread over part of its length.
#[derive(Clone, Debug)]
pub(super) struct Spread {
    /// Length along the run and wrench of each strip.
    pub(super) strips: Vec<(f64, Wrench)>,
    /// Where the resultant acts.
    pub(super) at: Point,
    /// For a side push its direction.
    pub(super) push: Option<Point>,
    /// For a face push the pad's area on the wood, in mm².
    pub(super) area: f64,
}

impl Spread {
    /// The wrench of the whole push.
    pub(super) fn total(&self) -> Wrench {
        self.strips.iter().fold([0.0; 3], |sum, (_, w)| [sum[0] + w[0], sum[1] + w[1], sum[2] + w[2]])
    }
}

/// Strips a push on a stretch is divided into.
const STRIPS: usize = 12;
/// Pushes along a stretch are tried at this many places at the most.
const MOST_PLACES: usize = 32;

/// Places along a stretch where pushes are tried.
fn places(stations: &[Station]) -> Vec<usize> {
    let last = stations.len() - 1;
    let n = last.min(MOST_PLACES);
    (0..=n).map(|i| i * last / n).collect()
}

/// Pads on a stretch: on its middle and on both walls, all along.
pub(super) fn face_spreads(stations: &[Station]) -> Vec<Spread> {
    let mut spreads = Vec::new();
    for i in places(stations) {
        let station = &stations[i];
        for side in [-0.5, 0.0, 0.5] {
            if let Some(spread) = face_spread(stations, station.along, side * station.width) {
                spreads.push(spread);
            }
        }
    }
    spreads
}

/// A pad centred at a length along the run and to the left of it, clipped to the stretch.
pub(super) fn face_spread(stations: &[Station], along: f64, offset: f64) -> Option<Spread> {
    let span = stations[stations.len() - 1].along;
    let (from, to) = ((along - PAD_RADIUS).max(0.0), (along + PAD_RADIUS).min(span));
    let strip = (to - from) / STRIPS as f64;
    let mut parts = Vec::with_capacity(STRIPS);
    let (mut area, mut middle) = (0.0, point(0.0, 0.0));
    for k in 0..STRIPS {
        let s = from + (k as f64 + 0.5) * strip;
        let (axis, run, width) = between(stations, s);
        let half = (PAD_RADIUS * PAD_RADIUS - (s - along) * (s - along)).max(0.0).sqrt();
        let (low, high) = ((offset - half).max(-width / 2.0), (offset + half).min(width / 2.0));
        if high <= low {
            continue;
        }
        let at = axis + left(run) * ((low + high) / 2.0);
        let part = (high - low) * strip;
        area += part;
        middle = middle + at * part;
        parts.push((s, at, part));
    }
    if area <= 1e-6 {
        return None;
    }
    let strips = parts.into_iter().map(|(s, at, part)| (s, face_wrench(at, part / area))).collect();
    Some(Spread { strips, at: middle / area, push: None, area })
}

/// Side pushes on both walls of a stretch, all along.
pub(super) fn side_spreads(stations: &[Station]) -> Vec<Spread> {
    let mut spreads = Vec::new();
    for i in places(stations) {
        for wall in [0, 1] {
            if let Some(spread) = side_spread(stations, stations[i].along, wall) {
                spreads.push(spread);
            }
        }
    }
    spreads
}

/// An even push on the left (0) or right (1) wall about a length along the run, clipped to the stretch.
pub(super) fn side_spread(stations: &[Station], along: f64, wall: usize) -> Option<Spread> {
    let wall_along = beside_the_run(stations, wall);
    let (from, to) =
        ((along - WALL_LENGTH / 2.0).max(wall_along[0]), (along + WALL_LENGTH / 2.0).min(wall_along[1]));
    if to <= from {
        return None;
    }
    let strip = (to - from) / STRIPS as f64;
    let on_wall = |s: f64| {
        let (axis, run, width) = between(stations, s);
        axis + left(run) * (width / 2.0 * if wall == 0 { 1.0 } else { -1.0 })
    };
    let mut parts = Vec::with_capacity(STRIPS);
    let (mut push, mut middle) = (point(0.0, 0.0), point(0.0, 0.0));
    for k in 0..STRIPS {
        let s = from + (k as f64 + 0.5) * strip;
        let tangent = unit(on_wall(s + strip / 2.0) - on_wall(s - strip / 2.0));
        let inward = if wall == 0 { -left(tangent) } else { left(tangent) };
        let at = on_wall(s);
        push = push + inward;
        middle = middle + at;
        parts.push((s, at, inward));
    }
    let size = norm(push);
    if !size.is_finite() || size < 0.5 * STRIPS as f64 {
        return None;
    }
    let strips = parts.into_iter().map(|(s, at, inward)| (s, side_wrench(at, inward / size))).collect();
    Some(Spread { strips, at: middle / STRIPS as f64, push: Some(push / size), area: 0.0 })
}

/// From where to where along the run its left (0) or right (1) wall lies beside it. At a tip sections may end on the
/// wall across the tip, steeper than 45° to the run: that is another wall, pushed another way. Of a hair between two
/// corners no wall lies beside the run; there the corner is pushed.
fn beside_the_run(stations: &[Station], wall: usize) -> [f64; 2] {
    let steep = |pair: &[Station]| {
        let way = pair[1].square[wall].at - pair[0].square[wall].at;
        dot(way, left(pair[0].run)).abs() > dot(way, pair[0].run).abs()
    };
    let first = stations.windows(2).position(|pair| !steep(pair));
    let last = stations.windows(2).rposition(|pair| !steep(pair));
    match (first, last) {
        (Some(first), Some(last)) => [stations[first].along, stations[last + 1].along],
        _ => [0.0, stations[stations.len() - 1].along],
    }
}

/// Middle, run and width at a length along a stretch.
fn between(stations: &[Station], along: f64) -> (Point, Point, f64) {
    let k = stations.partition_point(|s| s.along <= along).clamp(1, stations.len() - 1);
    let (a, b) = (&stations[k - 1], &stations[k]);
    let part = ((along - a.along) / (b.along - a.along).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    let mix = |x: Point, y: Point| x * (1.0 - part) + y * part;
    (mix(a.at, b.at), unit(mix(a.run, b.run)), a.width + (b.width - a.width) * part)
}

/// Of many face loads those on the hull of their places: the index is convex, so no other can be worse.
pub(super) fn outermost_faces(loads: &[FaceLoad]) -> Vec<FaceLoad> {
    let mut sorted = loads.to_vec();
    sorted.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
    sorted.dedup_by(|a, b| a.at == b.at);
    if sorted.len() < 3 {
        return sorted;
    }
    let chain = |loads: &mut dyn Iterator<Item = &FaceLoad>| {
        let mut hull: Vec<FaceLoad> = Vec::new();
        for load in loads {
            while hull.len() > 1
                && cross(hull[hull.len() - 1].at - hull[hull.len() - 2].at, load.at - hull[hull.len() - 1].at)
                    <= 0.0
            {
                hull.pop();
            }
            hull.push(*load);
        }
        hull.pop();
        hull
    };
    let mut hull = chain(&mut sorted.iter());
    hull.extend(chain(&mut sorted.iter().rev()));
    hull
}

/// Of many side loads, in each of 120 directions the two that turn most either way about their middle. (About a point
/// far off, which of two turns more would hang on the hair's breadth between their directions.)
pub(super) fn outermost_sides(loads: &[SideLoad]) -> Vec<SideLoad> {
    const DIRECTIONS: f64 = 120.0;
    let middle = loads.iter().fold(point(0.0, 0.0), |sum, load| sum + load.at) / loads.len().max(1) as f64;
    let mut best: std::collections::BTreeMap<i64, [(f64, SideLoad); 2]> = std::collections::BTreeMap::new();
    for load in loads {
        let angle = load.push.y.atan2(load.push.x) / std::f64::consts::TAU;
        let bin = ((angle + 1.0) * DIRECTIONS).round() as i64 % DIRECTIONS as i64;
        let moment = cross(load.at - middle, load.push);
        let pair = best.entry(bin).or_insert([(moment, *load), (moment, *load)]);
        if moment < pair[0].0 {
            pair[0] = (moment, *load);
        }
        if moment > pair[1].0 {
            pair[1] = (moment, *load);
        }
    }
    let mut kept: Vec<SideLoad> = Vec::new();
    for [low, high] in best.into_values() {
        kept.push(low.1);
        if high.1 != low.1 {
            kept.push(high.1);
        }
    }
    kept
}

/// The loads on one part, reduced to those that can be worst.
#[derive(Clone, Debug, Default)]
pub(super) struct Loads {
    pub(super) faces: Vec<FaceLoad>,
    pub(super) sides: Vec<SideLoad>,
}

impl Loads {
    /// The loads on a stretch that stays whole; `tips` are those round its tips.
    pub(super) fn on_stretch(stations: &[Station], tips: &[SideLoad]) -> Self {
        let faces: Vec<_> =
            face_spreads(stations).iter().map(|s| FaceLoad { at: s.at, area: s.area }).collect();
        let sides: Vec<_> = side_spreads(stations)
            .iter()
            .filter_map(|s| s.push.map(|push| SideLoad { at: resultant(s, push), push }))
            .chain(tips.iter().copied())
            .collect();
        Self { faces: outermost_faces(&faces), sides: outermost_sides(&sides) }
    }

    /// All loads of several parts together.
    pub(super) fn together<'a>(parts: impl Iterator<Item = &'a Self>) -> Self {
        let (mut faces, mut sides) = (Vec::new(), Vec::new());
        for part in parts {
            faces.extend_from_slice(&part.faces);
            sides.extend_from_slice(&part.sides);
        }
        Self { faces: outermost_faces(&faces), sides: outermost_sides(&sides) }
    }
}

/// The point of a spread side push's line of action nearest its middle.
fn resultant(spread: &Spread, push: Point) -> Point {
    let moment = spread.total()[2];
    spread.at - left(push) * (moment - cross(spread.at, push)) / dot(push, push)
}
