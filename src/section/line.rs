//! A branch of a skeleton as a line of chords.

use crate::{
    shape::plane::{Point, angle_between, direction, distance, dot, unit},
    skeleton::{Branch, Chord, End, Link, Mesh, Skeleton, WallPoint},
    units::Angle,
};

use super::stretch::Crossing;

/// A hair is this part as wide as the wood on either side of it, or less.
pub(super) const PINCH: f64 = 0.5;
/// Chords along a run are this close, as a part of the radius, and at the most so many between two of the mesh.
const CLOSE: f64 = 0.2;
const MOST_FILLED: f64 = 24.0;

/// One chord of a branch with its place along it.
#[derive(Clone, Copy)]
pub(super) struct Stop {
    /// The link of the branch it stands on; nothing for a stop filled in between two.
    pub(super) link: Option<usize>,
    /// Whether the wood is wide open before it: links there are not kept, over more than a radius.
    ///
    /// Circles whose walls open by 30° each are just those the skeleton does not keep (120° seen from the
    /// centre, cos 60° of growth), so the growth up to such a gap may stay below it.
    pub(super) after_gap: bool,
    pub(super) chord: Chord,
    pub(super) along: f64,
    pub(super) crossing: f64,
    pub(super) triangle: usize,
}

/// A branch as a line of chords.
pub(super) struct Line<'a> {
    pub(super) mesh: &'a Mesh,
    pub(super) grain: Point,
    pub(super) stops: Vec<Stop>,
    /// Links in the order of the stops (a closed branch is opened where its run turns along the grain).
    order: Vec<usize>,
    pub(super) ends: [End; 2],
    /// The circles inscribed at the junctions it ends in: centre and radius.
    pub(super) circles: [Option<(Point, f64)>; 2],
}

impl<'a> Line<'a> {
    pub(super) fn new(skeleton: &'a Skeleton, branch: &Branch, grain: Angle, limits: &Crossing) -> Self {
        let grain = direction(grain.as_rad());
        let usable = |link: &Link| if link.kept { link.chord } else { None };
        let crossing = |chord: &Chord| angle_between(chord.run(), grain);
        let count = branch.links.len();
        let mut first = 0;
        if branch.ends[0] == End::Closed {
            let crossings: Vec<(usize, f64)> = branch
                .links
                .iter()
                .enumerate()
                .filter_map(|(i, link)| usable(link).map(|chord| (i, crossing(&chord))))
                .collect();
            first = opens_at(&crossings, limits.leave());
        }
        let order: Vec<usize> = (0..count).map(|i| (first + i) % count).collect();
        let circles = branch.ends.map(|end| match end {
            End::Junction(triangle) => skeleton.junction_circle(triangle),
            End::Tip | End::Closed => None,
        });
        let within = Within::new(branch.links.iter().filter_map(usable), circles);
        let mut stops: Vec<Stop> = Vec::new();
        let mut skipped = false;
        for &i in &order {
            let triangle = branch.links[i].between[0];
            let Some(chord) = usable(&branch.links[i]) else {
                skipped = true;
                continue;
            };
            if within.leaves_out(&chord) {
                continue;
            }
            let last = stops.last().map(|stop| stop.chord);
            let after_gap = skipped
                && last
                    .is_some_and(|last| distance(last.centre, chord.centre) > last.radius.max(chord.radius));
            skipped = false;
            let stop = |link, after_gap, chord| Stop {
                link,
                after_gap,
                chord,
                along: 0.0,
                crossing: crossing(&chord),
                triangle,
            };
            if let Some(last) = last.filter(|_| !after_gap) {
                fill(skeleton, &last, &chord, &mut |chord| stops.push(stop(None, false, chord)));
            }
            stops.push(stop(Some(i), after_gap, chord));
        }
        if branch.ends[0] == End::Closed && !skipped {
            close(&mut stops, skeleton, limits.leave(), crossing);
        }
        for i in 1..stops.len() {
            stops[i].along = stops[i - 1].along + distance(stops[i - 1].chord.centre, stops[i].chord.centre);
        }
        Self { mesh: skeleton.mesh(), grain, stops, order, ends: branch.ends, circles }
    }

    pub(super) fn spacing(&self, i: usize) -> f64 {
        let before = if i > 0 { self.stops[i].along - self.stops[i - 1].along } else { 0.0 };
        let after =
            if i + 1 < self.stops.len() { self.stops[i + 1].along - self.stops[i].along } else { 0.0 };
        before.max(after)
    }

    /// How far beyond a stop the wood goes on.
    pub(super) fn tip_beyond(&self, stop: &Stop, step: isize) -> f64 {
        let triangle = self.mesh.locate(stop.chord.centre, stop.triangle);
        let tip = self.mesh.leaves_at(stop.chord.centre, stop.chord.run() * step as f64, triangle);
        distance(tip.at, stop.chord.centre)
    }

    /// All links of the branch from stop `lo` to stop `hi`, those without a usable chord too; where there is none
    /// in between, the one nearest.
    pub(super) fn links_between(&self, lo: usize, hi: usize) -> Vec<usize> {
        let inside: Vec<usize> = self.stops[lo..=hi].iter().filter_map(|stop| stop.link).collect();
        let (Some(first), Some(last)) = (inside.first(), inside.last()) else {
            let after = self.stops[hi..].iter().find_map(|stop| stop.link);
            let before = || self.stops[..lo].iter().rev().find_map(|stop| stop.link);
            return after.or_else(before).into_iter().collect();
        };
        // The order runs round from its first link.
        let count = self.order.len();
        let position = |link: &usize| (link + count - self.order[0]) % count;
        self.order[position(first)..=position(last)].to_vec()
    }

    /// Centre and direction of the run at a length along the line, and where its circle touches the walls; before the first
    /// and after the last stop there is none.
    pub(super) fn at(&self, along: f64, lo: usize, hi: usize) -> (Point, Point, Option<[WallPoint; 2]>) {
        let stops = &self.stops[lo..=hi];
        let k = stops.partition_point(|stop| stop.along <= along);
        if k == 0 || k == stops.len() {
            let stop = if k == 0 { &stops[0] } else { &stops[stops.len() - 1] };
            let run = stop.chord.run();
            let ahead = along - stop.along;
            let touches = (ahead.abs() < 1e-9).then_some([stop.chord.left, stop.chord.right]);
            return (stop.chord.centre + run * ahead, run, touches);
        }
        let (a, b) = (&stops[k - 1], &stops[k]);
        let part = (along - a.along) / (b.along - a.along).max(f64::MIN_POSITIVE);
        let centre = a.chord.centre + (b.chord.centre - a.chord.centre) * part;
        let run = unit(a.chord.run() * (1.0 - part) + b.chord.run() * part);
        let nearest = if part < 0.5 { a } else { b };
        (centre, run, Some(nearest.chord.touches_from(self.mesh.walls(), centre)))
    }
}

/// The circles inscribed at a branch's junctions: what lies in them is the junction's, but for a hair.
///
/// A circle goes round no wall, so wood much narrower than it can only lie at its rim, between two walls that come
/// close together there. Where the branch is nowhere else as narrow, that is a stretch of its own.
struct Within {
    /// Centre, radius, and the radius up to which chords inside are a hair's.
    circles: [Option<(Point, f64, f64)>; 2],
}

impl Within {
    fn new(chords: impl Iterator<Item = Chord> + Clone, circles: [Option<(Point, f64)>; 2]) -> Self {
        let is_in = |chord: &Chord, (centre, radius): (Point, f64)| distance(centre, chord.centre) < radius;
        let narrowest = |inside: &dyn Fn(&Chord) -> bool| {
            chords.clone().filter(inside).map(|chord| chord.radius).fold(f64::INFINITY, f64::min)
        };
        let outside = narrowest(&|chord| !circles.iter().flatten().any(|&circle| is_in(chord, circle)));
        let circles = circles.map(|circle| {
            circle.map(|circle| {
                let inside = narrowest(&|chord| is_in(chord, circle));
                let hair = inside <= PINCH * circle.1 && inside < (1.0 - 1e-3) * outside;
                (circle.0, circle.1, if hair { PINCH * circle.1 } else { 0.0 })
            })
        });
        Self { circles }
    }

    fn leaves_out(&self, chord: &Chord) -> bool {
        let circles = self.circles.iter().flatten();
        circles
            .clone()
            .any(|&(centre, radius, hair)| distance(centre, chord.centre) < radius && chord.radius > hair)
    }
}

/// The link a closed branch is opened at: past its steepest one, where the run first turns along the grain, so that no
/// stretch is cut in two.
fn opens_at(crossings: &[(usize, f64)], leave: f64) -> usize {
    let steepest = (0..crossings.len()).rev().max_by(|&a, &b| crossings[a].1.total_cmp(&crossings[b].1));
    let Some(steepest) = steepest else { return 0 };
    let (before, after) = crossings.split_at(steepest);
    after
        .iter()
        .chain(before)
        .find(|(_, crossing)| *crossing <= leave)
        .map_or(crossings[0].0, |&(link, _)| link)
}

/// Fills a closed branch round from its last stop to its first: up to where the run turns along the grain at the end, and from there on before the
/// first.
fn close(stops: &mut Vec<Stop>, skeleton: &Skeleton, leave: f64, crossing: impl Fn(&Chord) -> f64) {
    let [first, .., last] = &stops[..] else { return };
    let mut closing = Vec::new();
    let stop = |chord| Stop { link: None, after_gap: false, chord, crossing: crossing(&chord), ..*last };
    fill(skeleton, &last.chord, &first.chord, &mut |chord| closing.push(stop(chord)));
    let turned = closing.iter().position(|stop| stop.crossing <= leave).unwrap_or(closing.len());
    let before = closing.split_off(turned);
    stops.extend(closing);
    stops.splice(0..0, before);
}

/// Adds chords between two neighbours so that none is farther from the next than [`CLOSE`] of its radius: where
/// the mesh happens to have its edges must not decide where a stretch ends. Where the run turns a corner in between, both runs are
/// followed up to the corner's circle.
fn fill(skeleton: &Skeleton, from: &Chord, to: &Chord, push: &mut impl FnMut(Chord)) {
    // Across a leap (a corner of the skeleton, or a place without chords) there is nothing to fill.
    if distance(from.centre, to.centre) > 4.0 * from.radius.max(to.radius) {
        return;
    }
    match skeleton.turn_between(from, to) {
        Some([before, after]) => {
            fill_evenly(skeleton, from, &before, push);
            push(before);
            push(after);
            fill_evenly(skeleton, &after, to, push);
        }
        None => fill_evenly(skeleton, from, to, push),
    }
}

fn fill_evenly(skeleton: &Skeleton, from: &Chord, to: &Chord, push: &mut impl FnMut(Chord)) {
    let way = distance(from.centre, to.centre);
    let radius = from.radius.min(to.radius);
    let parts = (way / (CLOSE * radius)).ceil().clamp(1.0, MOST_FILLED);
    for k in 1..parts as usize {
        let Some(chord) = skeleton.chord_between(from, to, k as f64 / parts) else { continue };
        let ahead = dot(chord.centre - from.centre, to.centre - from.centre);
        if ahead > 0.0 && ahead < way * way {
            push(chord);
        }
    }
}
