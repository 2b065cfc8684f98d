//! A branch of a skeleton as a line of chords, cut where the run turns and where the wood opens out.

use std::ops::Range;

use crate::{
    section::corner::{corner_ahead, corner_at},
    shape::plane::{Point, angle_between, distance, dot, unit},
    skeleton::{Branch, Chord, End, Link, Mesh, Skeleton, WallPoint},
    units::Angle,
};

use super::{
    in_turn::{Sections, clear_of_corners, in_turn, misses},
    station::Station,
    stretch::{Crossing, Stretch, StretchEnd},
};

/// Growth of the radius per length of run beyond which wood opens out: walls 30° off the run each.
const OPENS: f64 = 0.5;
/// Growth below which walls count as parallel (7°); a corner or small fillet goes from here to
/// [`OPENS`] within [`CORNER`] of a radius.
const PARALLEL: f64 = 0.12;
/// See [`PARALLEL`].
const CORNER: f64 = 0.6;
/// Stretches shorter than this part of their neck are no stretches at all, only a narrowing of a wall or two.
const SHORTEST: f64 = 0.1;
/// But a hair, this part as wide as the wood on either side of it or less, counts however short it is: as if it were so
/// long.
const PINCH: f64 = 0.5;
/// A part that ends in a tip has a straight way of at least this part of its neck.
const CORE: f64 = 0.2;
/// The sections at a stretch's ends are measured this part of its neck inside at the most.
const BESIDE: f64 = 0.1;
/// Along the grain, less slender than this (span to neck) is not worth a line.
const SLENDER: f64 = 2.0;
/// Chords along a run are this close, as a part of the radius, and at the most so many between two of the mesh.
const CLOSE: f64 = 0.2;
const MOST_FILLED: f64 = 24.0;
/// Sections a neck's width along the run, and the least and greatest number in a stretch.
const STATIONS_PER_NECK: f64 = 10.0;
const LEAST_STATIONS: usize = 8;
const MOST_STATIONS: usize = 96;

/// One chord of a branch with its place along it.
#[derive(Clone, Copy)]
struct Stop {
    /// The link of the branch it stands on; nothing for a stop filled in between two.
    link: Option<usize>,
    /// Whether the wood is wide open before it: links there are not kept, over more than a radius.
    ///
    /// Circles whose walls open as fast as [`OPENS`] are just those the skeleton does not keep (120° seen from the
    /// centre, cos 60° of growth), so the growth up to such a gap may stay below it.
    after_gap: bool,
    chord: Chord,
    along: f64,
    crossing: f64,
    triangle: usize,
}

/// A branch as a line of chords.
pub(super) struct Line<'a> {
    mesh: &'a Mesh,
    grain: Point,
    stops: Vec<Stop>,
    /// Links in the order of the stops (a closed branch is opened where its run turns along the grain).
    order: Vec<usize>,
    ends: [End; 2],
    /// The circles inscribed at the junctions it ends in: centre and radius.
    circles: [Option<(Point, f64)>; 2],
}

impl<'a> Line<'a> {
    pub(super) fn new(skeleton: &'a Skeleton, branch: &Branch, grain: Angle, limits: &Crossing) -> Self {
        let grain = crate::shape::plane::direction(grain.as_rad());
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
        let mut last: Option<Chord> = None;
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
            let after_gap = skipped
                && last
                    .is_some_and(|last| distance(last.centre, chord.centre) > last.radius.max(chord.radius));
            skipped = false;
            let mut push = |link: Option<usize>, chord: Chord| {
                let after_gap = after_gap && link.is_some();
                let along =
                    stops.last().map_or(0.0, |last| last.along + distance(last.chord.centre, chord.centre));
                stops.push(Stop { link, after_gap, chord, along, crossing: crossing(&chord), triangle });
            };
            if let Some(last) = last.filter(|_| !after_gap) {
                fill(skeleton, &last, &chord, &mut |chord| push(None, chord));
            }
            push(Some(i), chord);
            last = Some(chord);
        }
        Self { mesh: skeleton.mesh(), grain, stops, order, ends: branch.ends, circles }
    }

    /// Runs of stops that cross the grain, and what lies between them.
    pub(super) fn runs(&self, crossing: &Crossing) -> Vec<(Range<usize>, bool)> {
        let enter = crossing.enter();
        let leave = crossing.leave();
        let mut runs: Vec<(Range<usize>, bool)> = Vec::new();
        let mut from = 0;
        while from < self.stops.len() {
            let over = self.stops[from].crossing > leave;
            let to = (from..self.stops.len())
                .find(|&i| (self.stops[i].crossing > leave) != over)
                .unwrap_or(self.stops.len());
            let crosses = over && self.stops[from..to].iter().any(|stop| stop.crossing > enter);
            match runs.last_mut() {
                Some((range, last)) if *last == crosses => range.end = to,
                _ => runs.push((from..to, crosses)),
            }
            from = to;
        }
        runs
    }

    /// Cuts a run into slender parts at the places where the wood opens out, narrowest first.
    pub(super) fn slender_parts(
        &self,
        range: Range<usize>,
        crosses: bool,
        branch: usize,
        found: &mut Vec<Stretch>,
    ) {
        if range.is_empty() {
            return;
        }
        let neck = self.narrowest(&range);
        let up = self.opening(neck, &range, 1);
        let down = self.opening(neck, &range, -1);
        let lo = down.map_or(range.start, |open| open.last);
        let hi = up.map_or(range.end - 1, |open| open.last);
        if let Some(stretch) = self.stretch(neck, lo, hi, &range, [down, up], crosses, branch) {
            found.push(stretch);
        }
        // What lies beyond an opening may narrow again; both ways the look starts at the wide stop itself.
        let next_up = up.map(|open| open.wide.max(hi + 1));
        let next_down = down.map(|open| open.wide.min(lo.saturating_sub(1)));
        if let Some(start) = next_up.filter(|&start| start < range.end) {
            let rest = self.past_opening(start..range.end, 1);
            self.slender_parts(rest, crosses, branch, found);
        }
        if let Some(end) = next_down.filter(|_| lo > range.start) {
            let rest = self.past_opening(range.start..end + 1, -1);
            self.slender_parts(rest, crosses, branch, found);
        }
    }

    /// The narrowest stop of a range; of an even part the one in its middle, of several even parts the longest's.
    fn narrowest(&self, range: &Range<usize>) -> usize {
        let least = range.clone().map(|i| self.stops[i].chord.radius).fold(f64::INFINITY, f64::min);
        let narrow = |i: usize| self.stops[i].chord.radius <= least * (1.0 + 1e-4);
        let along = |i: usize| self.stops[i].along;
        let mut best = (range.start, -1.0);
        let mut from = range.start;
        while from < range.end {
            let to = (from..range.end).find(|&i| !narrow(i)).unwrap_or(range.end);
            if to > from {
                let length = along(to - 1) - along(from);
                if length > best.1 + 1e-9 {
                    let middle = along(from) + length / 2.0;
                    let nearer = |a: &usize, b: &usize| {
                        (along(*a) - middle).abs().total_cmp(&(along(*b) - middle).abs())
                    };
                    best = ((from..to).min_by(nearer).unwrap_or(from), length);
                }
            }
            from = to.max(from) + 1;
        }
        best.0
    }

    /// What is left of a range once the wood no longer opens, seen from the narrow side; all of it beyond a gap.
    fn past_opening(&self, range: Range<usize>, step: isize) -> Range<usize> {
        let mut left = range;
        while !left.is_empty() {
            let at = if step > 0 { left.start } else { left.end - 1 };
            let gap = if step > 0 { at } else { at + 1 };
            let past_gap = self.stops.get(gap).is_some_and(|stop| stop.after_gap);
            if past_gap || self.growth(at, &left, step) <= PARALLEL {
                break;
            }
            if step > 0 { left.start += 1 } else { left.end -= 1 }
        }
        left
    }

    /// Growth of the radius per length, outward from stop `i`, over about a third of the radius.
    fn growth(&self, i: usize, range: &Range<usize>, step: isize) -> f64 {
        let window = 0.15 * self.stops[i].chord.radius;
        let reach = |step: isize| {
            let mut k = i;
            loop {
                let next = k.wrapping_add_signed(step);
                if !range.contains(&next) {
                    return k;
                }
                k = next;
                if (self.stops[k].along - self.stops[i].along).abs() >= window {
                    return k;
                }
            }
        };
        let (outer, inner) = (reach(step), reach(-step));
        let length = (self.stops[outer].along - self.stops[inner].along).abs();
        if length <= 0.0 {
            return 0.0;
        }
        (self.stops[outer].chord.radius - self.stops[inner].chord.radius) / length
    }

    /// Where the wood opens out on the way from the neck, and where the slender part ends before that.
    fn opening(&self, neck: usize, range: &Range<usize>, step: isize) -> Option<Opening> {
        let mut wide = neck;
        loop {
            let growth = self.growth(wide, range, step);
            if growth > OPENS || (growth > PARALLEL && self.turns_about_corner(wide)) {
                break;
            }
            let next = wide.wrapping_add_signed(step);
            if !range.contains(&next) {
                return None;
            }
            if self.stops[wide.max(next)].after_gap {
                return Some(Opening { last: wide, wide, corner: false });
            }
            wide = next;
        }
        let mut last = wide;
        while last != neck && (self.growth(last, range, step) > PARALLEL || self.turns_about_corner(last)) {
            last = last.wrapping_add_signed(-step);
        }
        let way = (self.stops[wide].along - self.stops[last].along).abs();
        if way > CORNER * self.stops[last].chord.radius + self.spacing(last) {
            // A smooth hollow: it ends where it has opened.
            return Some(Opening { last: wide, wide, corner: false });
        }
        Some(Opening { last, wide, corner: true })
    }

    /// Whether a circle touches a re-entrant corner, so that the wood turns or opens about it.
    fn turns_about_corner(&self, i: usize) -> bool {
        let chord = &self.stops[i].chord;
        [chord.left, chord.right].into_iter().any(|touch| corner_at(self.mesh.walls(), touch).is_some())
    }

    fn spacing(&self, i: usize) -> f64 {
        let before = if i > 0 { self.stops[i].along - self.stops[i - 1].along } else { 0.0 };
        let after =
            if i + 1 < self.stops.len() { self.stops[i + 1].along - self.stops[i].along } else { 0.0 };
        before.max(after)
    }

    #[expect(clippy::too_many_arguments, reason = "the parts of one decision, used once")]
    fn stretch(
        &self,
        neck: usize,
        lo: usize,
        hi: usize,
        range: &Range<usize>,
        openings: [Option<Opening>; 2],
        crosses: bool,
        branch: usize,
    ) -> Option<Stretch> {
        let neck_stop = self.stops[neck];
        let width = 2.0 * neck_stop.chord.radius;
        let start = self.in_own_wood(lo, self.end(lo, range, openings[0], -1), -1);
        let finish = self.in_own_wood(hi, self.end(hi, range, openings[1], 1), 1);
        let mut base = self.stops[lo].along - start.beyond;
        let mut span = self.stops[hi].along + finish.beyond - base;
        // One drawn exactly so long stays on the one side, however it is rounded.
        let least = if crosses { SHORTEST } else { SLENDER } * (1.0 - 1e-4);
        let hair = span < least * width && self.is_pinched(neck);
        if hair && span < SHORTEST * width {
            span = SHORTEST * width;
            base = neck_stop.along - span / 2.0;
        }
        // The rounding of a tip adds to a slender part; alone, as in a disc, it is none.
        let core = self.stops[hi].along - self.stops[lo].along;
        let tip = [start.kind, finish.kind].contains(&StretchEnd::Tip);
        if (span < least * width && !hair) || (tip && core < CORE * width) {
            return None;
        }
        let mut places: Vec<f64> = {
            let wanted = (span / width * STATIONS_PER_NECK).ceil() as usize;
            let n = wanted.clamp(LEAST_STATIONS, MOST_STATIONS);
            (0..=n).map(|i| span * i as f64 / n as f64).collect()
        };
        let neck_along = (neck_stop.along - base).clamp(0.0, span);
        let nearest = places
            .iter_mut()
            .skip(1)
            .rev()
            .skip(1)
            .min_by(|a, b| (**a - neck_along).abs().total_cmp(&(**b - neck_along).abs()));
        if let Some(nearest) = nearest {
            *nearest = neck_along.clamp(0.01 * span, 0.99 * span);
        }
        let mut triangle = self.stops[lo].triangle;
        let sections: Vec<Sections> = places
            .into_iter()
            .map(|along| {
                let measured = |off: f64| {
                    let (p, run, _) = self.at(base + along.clamp(off, span - off), lo, hi);
                    Station::square(self.mesh, (p, run), along, self.grain, triangle)
                };
                let square = if along > 0.0 && along < (1.0 - 1e-9) * span {
                    measured(0.0)
                } else {
                    clear_of_corners(measured, (BESIDE * width).min(0.3 * span / LEAST_STATIONS as f64))
                };
                triangle = square.triangle;
                let (p, run, touches) = self.at(base + along, lo, hi);
                let touching = touches
                    .map(|touches| Station::between(self.mesh, touches, run, along, self.grain, triangle));
                let misses = touching.is_some_and(|touching| misses(p, &square, &touching));
                Sections { square, touching, misses }
            })
            .collect();
        let stations = in_turn(&sections, neck_along);
        let links = self.links_between(lo, hi);
        let full_start = if start.kind == StretchEnd::Tip { start.beyond } else { 0.0 };
        let full_end = if finish.kind == StretchEnd::Tip { span - finish.beyond } else { span };
        Some(Stretch {
            stations,
            ends: [start.kind, finish.kind],
            crosses,
            neck: width,
            neck_at: neck_stop.chord.centre,
            neck_along,
            branch,
            links,
            full: full_start - 1e-9..full_end + 1e-9,
        })
    }

    /// Whether the wood on both sides of a neck soon is much wider.
    fn is_pinched(&self, neck: usize) -> bool {
        [-1, 1].into_iter().all(|step| self.widens(neck, step))
    }

    fn widens(&self, neck: usize, step: isize) -> bool {
        let Stop { chord: Chord { centre, radius, .. }, along, .. } = self.stops[neck];
        let wide = radius / PINCH;
        // Farther off it has not opened but grown.
        let reach = (wide - radius) / PARALLEL;
        let mut last = neck;
        while let Some(stop) = self.stops.get(last.wrapping_add_signed(step)) {
            let next = last.wrapping_add_signed(step);
            // Past a gap the wood has opened.
            if stop.chord.radius >= wide || self.stops[last.max(next)].after_gap {
                return true;
            }
            if stop.chord.radius < (1.0 - 1e-3) * radius || (stop.along - along).abs() > reach {
                return false;
            }
            last = next;
        }
        let end = &self.stops[last];
        match (self.ends[usize::from(step > 0)], self.circles[usize::from(step > 0)]) {
            (End::Junction(_), Some((c, r))) => r >= wide && distance(c, centre) < r + reach,
            // A head too round to have a skeleton of its own.
            (End::Tip, _) => self.tip_beyond(end, step) >= wide,
            _ => false,
        }
    }

    /// How far beyond a stop the wood goes on.
    fn tip_beyond(&self, stop: &Stop, step: isize) -> f64 {
        let triangle = self.mesh.locate(stop.chord.centre, stop.triangle);
        let tip = self.mesh.leaves_at(stop.chord.centre, stop.chord.run() * step as f64, triangle);
        distance(tip.at, stop.chord.centre)
    }

    /// All links of the branch from stop `lo` to stop `hi`, those without a usable chord too; where there is none
    /// in between, the one nearest.
    fn links_between(&self, lo: usize, hi: usize) -> Vec<usize> {
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

    /// What ends the stretch at stop `i`, and how far beyond the stop that lies.
    fn end(&self, i: usize, range: &Range<usize>, opening: Option<Opening>, step: isize) -> Finish {
        let stop = &self.stops[i];
        if let Some(opening) = opening {
            let way = (self.stops[opening.wide].along - stop.along).abs() + self.spacing(opening.wide);
            let corner = if opening.corner { self.corner_beyond(i, step, way) } else { None };
            let beyond = corner.unwrap_or(0.0);
            return Finish { kind: StretchEnd::OpensOut, beyond };
        }
        let last_of_line = if step > 0 { self.stops.len() - 1 } else { 0 };
        let last_of_range = if step > 0 { range.end - 1 } else { range.start };
        if i == last_of_range && i != last_of_line {
            return Finish { kind: StretchEnd::Turns, beyond: 0.0 };
        }
        match self.ends[usize::from(step > 0)] {
            End::Tip => Finish { kind: StretchEnd::Tip, beyond: self.tip_beyond(stop, step) },
            End::Junction(_) => {
                let circle = self.circles[usize::from(step > 0)];
                let to_circle = circle.map_or(0.0, |(c, r)| (distance(c, stop.chord.centre) - r).max(0.0));
                let corner = self.corner_beyond(i, step, to_circle + self.spacing(i));
                Finish { kind: StretchEnd::Junction, beyond: corner.unwrap_or(to_circle) }
            }
            End::Closed => Finish { kind: StretchEnd::Turns, beyond: 0.0 },
        }
    }

    /// How far beyond a stop the first re-entrant corner lies that the wood opens about, looked for along
    /// both walls over `way` and a radius more; nothing where the walls only curve.
    fn corner_beyond(&self, i: usize, step: isize, way: f64) -> Option<f64> {
        let chord = &self.stops[i].chord;
        let run = chord.run() * step as f64;
        let reach = way + chord.radius;
        // The wood lies left of its walls: on the right wall the ring runs with the run.
        let corners = [(chord.left, step < 0), (chord.right, step > 0)].map(|(touch, with_ring)| {
            let walls = self.mesh.walls();
            corner_ahead(walls, touch, with_ring, reach).map(|i| dot(walls.point(i) - chord.centre, run))
        });
        let near = way + 0.3 * chord.radius;
        corners.into_iter().flatten().filter(|ahead| *ahead <= near).min_by(f64::total_cmp)
    }

    /// An end that is no farther beyond its stop than sections square to the run still reach the walls of its own wood.
    fn in_own_wood(&self, i: usize, end: Finish, step: isize) -> Finish {
        if end.kind == StretchEnd::Tip || end.beyond <= 0.0 {
            return end;
        }
        let Stop { chord, triangle, .. } = self.stops[i];
        let run = chord.run();
        // Exactly at a corner the line may pass it.
        let p = chord.centre + run * (step as f64 * (end.beyond - 2.0 * BESIDE * chord.radius).max(0.0));
        let square = Station::square(self.mesh, (p, run), 0.0, self.grain, triangle);
        let touching = Station::between(self.mesh, [chord.left, chord.right], run, 0.0, self.grain, triangle);
        if misses(p, &square, &touching) { Finish { beyond: 0.0, ..end } } else { end }
    }

    /// Centre and direction of the run at a length along the line, and where its circle touches the walls; before the first
    /// and after the last stop there is none.
    fn at(&self, along: f64, lo: usize, hi: usize) -> (Point, Point, Option<[WallPoint; 2]>) {
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

/// Where a slender part ends because the wood opens out.
#[derive(Clone, Copy)]
struct Opening {
    /// The last stop of the slender part.
    last: usize,
    /// The stop where the wood has opened.
    wide: usize,
    /// Whether it opens at a corner or small fillet rather than a long hollow.
    corner: bool,
}

/// An end of a stretch: what it is and how far beyond the last stop.
struct Finish {
    kind: StretchEnd,
    beyond: f64,
}

/// Adds chords between two neighbours so that none is farther from the next than [`CLOSE`] of its radius: where
/// the mesh happens to have its edges must not decide where a stretch ends.
fn fill(skeleton: &Skeleton, from: &Chord, to: &Chord, push: &mut impl FnMut(Chord)) {
    let way = distance(from.centre, to.centre);
    let radius = from.radius.min(to.radius);
    let parts = (way / (CLOSE * radius)).ceil().clamp(1.0, MOST_FILLED);
    // Across a leap (a corner of the skeleton, or a place without chords) there is nothing to fill.
    if way > 4.0 * radius.max(from.radius).max(to.radius) {
        return;
    }
    for k in 1..parts as usize {
        let Some(chord) = skeleton.chord_between(from, to, k as f64 / parts) else { continue };
        let ahead = dot(chord.centre - from.centre, to.centre - from.centre);
        if ahead > 0.0 && ahead < way * way {
            push(chord);
        }
    }
}
