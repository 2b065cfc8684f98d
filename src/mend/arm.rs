//! An outer arm, widened: only the stretch that runs straight or in one long bend, so that the piece keeps its overall size and what the arm ends
//! in stays as drawn.
//!
//! Both walls of an arm are outer edges, so nothing but the piece's own outline says how far they may move. At its root a moved wall runs into
//! the wood that the arm stands on; at its loose end it comes back to the old wall, before a hook or a lip begins. Where hooks stand on both sides
//! it comes back farther from them, so that what hangs there still has room.

use crate::check::Place;
use crate::shape::plane::{self, Point, cross, distance, left, point, unit};

use super::band::{Band, Ending, FLARES, LEFT_OPEN};
use super::ground::{Ground, heading};

/// Points along an arm stand no farther apart than this part of its width: our own rule.
const SPACING: f64 = 0.25;
/// An arm bends where it turns by more than this, in radians, over its own width: our own rule.
const BENDS: f64 = 0.2;
/// An arm that bends by no more than this over its own width, for at least so many widths, is a curved one; else that is a corner: our own
/// rules.
const TIGHT: f64 = 0.7;
const LONG_BEND: f64 = 3.0;
/// A stretch between hooks is at least so many widths long: our own rule.
const LEFT_LONG: f64 = 2.0;
/// A lip begins where the width grows by more than this part of the way along: our own rule.
const STEEP: f64 = 0.5;
/// The root lies within so many widths of the end of the stretch: our own rule.
const NEAR_ROOT: f64 = 1.5;
/// A hook or a lip stands within so many widths of the end of the stretch: our own rule.
const NEAR_HOOK: f64 = 2.0;
/// It is looked for this part of the way outside of the wall: our own rule.
const LIFT: f64 = 0.02;
/// A new hollow corner that turns by more than this, in radians, is a notch, unless it lies within so many mm of a wall's own end: our own
/// rules.
const NOTCH: f64 = 0.2;
const OWN_END: f64 = 1.0;
/// A hair, in mm.
const HAIR: f64 = 1e-3;

/// The stretch of an arm that is widened.
#[derive(Clone)]
pub(super) struct Stretch {
    /// Along it: a point of each wall, left and right, and the way outwards.
    pub(super) walls: Vec<[(Point, Point); 2]>,
    /// Which way the run goes on at the start and the finish, and how a moved wall ends there.
    pub(super) ends: [Point; 2],
    pub(super) endings: [Ending; 2],
}

/// The longest stretch of an arm that runs straight or in one long bend.
pub(super) fn stretch(ground: &Ground<'_>, place: &Place) -> Option<Stretch> {
    let width = place.width_mm.min(place.neck_mm);
    let run = dense(&place.run, SPACING * width);
    let walls: Vec<Option<[(Point, Point); 2]>> = (0..run.len())
        .map(|k| {
            let side = left(heading(&run, k));
            let wall = |way: Point| Some((run[k] + way * ground.ray(run[k], way)?.away, way));
            Some([wall(side)?, wall(-side)?])
        })
        .collect();
    let wide = |k: usize| walls[k].map_or(f64::INFINITY, |[a, b]| distance(a.0, b.0));
    let half = (0.5 / SPACING).ceil() as usize;
    // Both the run and its walls: round a corner the outer wall bends later than the run.
    let turn = |a: Point, b: Point| cross(a, b).atan2(plane::dot(a, b)).abs();
    let bend = |k: usize| {
        let (before, after) = (k.saturating_sub(half), (k + half).min(run.len() - 1));
        let wall = |side: usize| {
            let [a, b, c] = [before, k, after].map(|k| walls[k].map(|pair| pair[side].0));
            let (Some(a), Some(b), Some(c)) = (a, b, c) else { return 0.0 };
            if distance(a, b) < HAIR || distance(b, c) < HAIR { 0.0 } else { turn(b - a, c - b) }
        };
        turn(heading(&run, before), heading(&run, after)).max(wall(0)).max(wall(1))
    };
    let steps = |k: usize| {
        let next = (k + 1).min(run.len() - 1);
        (wide(next) - wide(k)).abs() > STEEP * distance(run[k], run[next]).max(HAIR)
    };
    let bend: Vec<f64> = (0..run.len()).map(bend).collect();
    let is_even = even(&run, &bend, width);
    let is_even = |k: usize| is_even[k] && walls[k].is_some();
    let narrowest = (0..run.len()).filter(|&k| is_even(k)).map(wide).fold(f64::INFINITY, f64::min);
    let belongs = |k: usize| is_even(k) && wide(k) <= FLARES * narrowest;
    let mut best: Option<[usize; 2]> = None;
    let mut first = 0;
    for k in 0..run.len() {
        let goes_on = belongs(k) && k + 1 < run.len() && belongs(k + 1) && !steps(k);
        if !goes_on {
            if belongs(k) && best.is_none_or(|[a, b]| k - first > b - a) {
                best = Some([first, k]);
            }
            first = k + 1;
        }
    }
    let [first, last] = best.filter(|[a, b]| b > a)?;
    let left_over = [plane::length(&run[..=first]), plane::length(&run[last..])];
    let ends = [-heading(&run, first), heading(&run, last)];
    let walls: Vec<[(Point, Point); 2]> = walls[first..=last].iter().copied().flatten().collect();
    let endings = [0, 1].map(|end| {
        let near = left_over[end] <= NEAR_ROOT * narrowest;
        let pair = walls[if end == 0 { 0 } else { walls.len() - 1 }];
        let stands = place.held[end] || pair.iter().all(|wall| is_body(ground, *wall, ends[end], narrowest));
        if near && stands { Ending::Wood } else { Ending::Back }
    });
    Some(Stretch { walls, ends, endings })
}

impl Stretch {
    /// The same, ended so far before the hooks or lips at its loose ends that neither wall runs up to one; nothing where little is left.
    pub(super) fn short_of_hooks(mut self, ground: &Ground<'_>, width: f64) -> Option<Self> {
        for end in [0, 1] {
            while self.endings[end] == Ending::Back && self.walls.len() > 2 {
                let (last, before) =
                    if end == 0 { (0, 1) } else { (self.walls.len() - 1, self.walls.len() - 2) };
                let meets = |side: usize| {
                    let wall = self.walls[last][side];
                    ahead(ground, wall, unit(wall.0 - self.walls[before][side].0), NEAR_HOOK * width)
                        .is_some()
                };
                if !meets(0) && !meets(1) {
                    break;
                }
                self.walls.remove(last);
            }
        }
        let left: Vec<Point> = self.walls.iter().map(|[left, _]| left.0).collect();
        (plane::length(&left) >= LEFT_LONG * width).then_some(self)
    }
}

/// Which points of a run lie where it goes straight or in one long bend; `bend` is how far it turns at each over an arm's width.
fn even(run: &[Point], bend: &[f64], width: f64) -> Vec<bool> {
    let mut is_even = Vec::new();
    for stretch in bend.chunk_by(|a, b| (*a > BENDS) == (*b > BENDS)) {
        let from = is_even.len();
        let is_long = plane::length(&run[from..from + stretch.len()]) >= LONG_BEND * width;
        let is_curve = is_long && stretch.iter().all(|bend| *bend <= TIGHT);
        is_even.extend(stretch.iter().map(|bend| is_curve || *bend <= BENDS));
    }
    is_even
}

/// A run with no two points farther apart than so much.
fn dense(run: &[Point], spacing: f64) -> Vec<Point> {
    let mut points = vec![run[0]];
    for side in run.windows(2) {
        let parts = (distance(side[0], side[1]) / spacing).ceil().max(1.0) as usize;
        points.extend((1..=parts).map(|k| side[0] + (side[1] - side[0]) * (k as f64 / parts as f64)));
    }
    points.dedup_by(|a, b| distance(*a, *b) < HAIR);
    points
}

/// How thick the wood is that stands ahead of a wall, just outside of it, within reach.
fn ahead(ground: &Ground<'_>, (wall, out): (Point, Point), way: Point, reach: f64) -> Option<f64> {
    let from = wall + out * (LIFT * reach);
    if ground.is_wood(from) {
        return None;
    }
    let (met, thick) = ground.walls_ahead(from, way)?;
    (met.away <= reach).then_some(thick)
}

/// Whether a wall runs against wood at least as thick as the arm: that is no hook, the arm is a waist between two bodies.
fn is_body(ground: &Ground<'_>, wall: (Point, Point), way: Point, width: f64) -> bool {
    ahead(ground, wall, way, NEAR_HOOK * width).is_some_and(|thick| thick >= 2.0 * width)
}

/// Whether an arm so much wider leaves a clean outline: the same overall size, hooks and lips as drawn, no notch beside it and no slit.
pub(super) fn is_clean(before: &Ground<'_>, arm: &Band, added: f64, after: &Ground<'_>) -> bool {
    let size =
        |ground: &Ground<'_>| [point(1.0, 0.0), point(0.0, 1.0)].map(|way| ground.extent(way)).concat();
    let (old, new) = (size(before), size(after));
    if old.iter().zip(new).any(|(old, new)| (old - new).abs() > HAIR) {
        return false;
    }
    let last = arm.walls.len() - 1;
    let mut own_ends = Vec::new();
    for (side, part) in arm.parts.into_iter().enumerate().filter(|(_, part)| *part > 0.0) {
        for (end, k) in [(0, 0), (1, last)] {
            let (wall, out) = arm.walls[k][side];
            let moved = wall + out * (added * part);
            // The wall's own way: where the run begins to bend its heading would lead through the arm itself.
            let along = unit(wall - arm.walls[if end == 0 { 1 } else { last - 1 }][side].0);
            match arm.endings[end] {
                // A hook or a lip on this side would be run over, if only in part.
                Ending::Back if ahead(before, (wall, out), along, NEAR_HOOK * arm.width).is_some() => {
                    return false;
                }
                Ending::Back => own_ends.push(wall),
                _ => {
                    let to = arm.run_on(before, moved, end, added);
                    // Short of the wood it stands on it would be none the stronger there.
                    if to == moved {
                        return false;
                    }
                    own_ends.push(to);
                }
            }
        }
        // Round the inside of a bend a wall moved too far would run back.
        let runs_back = |pairs: &[[(Point, Point); 2]]| {
            let [(a, by_a), (b, by_b)] = [pairs[0][side], pairs[1][side]];
            plane::dot(b - a, b + by_b * (added * part) - a - by_a * (added * part)) < 0.0
        };
        if arm.walls.windows(2).any(runs_back) {
            return false;
        }
        let beside = arm.walls[1..last].iter().map(|pair| pair[side]);
        let is_tight = |(wall, out): (Point, Point)| {
            after.walls_ahead(wall - out * HAIR, out).is_none_or(|(_, gap)| gap < LEFT_OPEN)
        };
        if beside.into_iter().any(is_tight) {
            return false;
        }
    }
    notches(before, after).into_iter().all(|at| own_ends.iter().any(|end| distance(*end, at) <= OWN_END))
}

/// The hollow corners of a piece drawn anew that the drawing did not have.
fn notches(before: &Ground<'_>, after: &Ground<'_>) -> Vec<Point> {
    let old: Vec<Point> = before.shape.rings().flat_map(|ring| ring.0.clone()).collect();
    let ring = after.shape.polygon().exterior();
    let points = &ring.0[..ring.0.len().saturating_sub(1)];
    let corner = |k: usize| {
        let n = points.len();
        let (a, b, c) = (points[(k + n - 1) % n], points[k], points[(k + 1) % n]);
        let (into, out) = (unit(b - a), unit(c - b));
        // The outer ring runs anticlockwise.
        let turn = cross(into, out).atan2(plane::dot(into, out));
        (turn < -NOTCH && old.iter().all(|other| distance(*other, b) > HAIR)).then_some(b)
    };
    (0..points.len()).filter_map(corner).collect()
}
