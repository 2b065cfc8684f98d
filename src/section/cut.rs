//! Where a line of chords is cut: where the run turns, and where the wood opens out.

use std::ops::Range;

use crate::{
    section::corner::{opens_ahead, turns_about_corner},
    shape::plane::{distance, dot},
    skeleton::{Chord, End},
};

use super::{
    in_turn::{Sections, clear_of_corners, in_turn, misses},
    line::{Line, PINCH, Stop},
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
/// Stretches shorter than this part of their neck are no stretches at all, only a narrowing of a wall or two; but a hair
/// ([`PINCH`]) counts however short it is, as if it were so long.
const SHORTEST: f64 = 0.1;
/// A part that ends in a tip has a straight way of at least this part of its neck.
const CORE: f64 = 0.2;
/// The sections at a stretch's ends are measured this part of its neck inside at the most.
const BESIDE: f64 = 0.1;
/// Along the grain, less slender than this (span to neck) is not worth a line.
const SLENDER: f64 = 2.0;
/// Sections a neck's width along the run, and the least and greatest number in a stretch.
const STATIONS_PER_NECK: f64 = 10.0;
const LEAST_STATIONS: usize = 8;
const MOST_STATIONS: usize = 96;

impl Line<'_> {
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
        let walls = self.mesh.walls();
        [chord.left, chord.right].into_iter().any(|touch| turns_about_corner(walls, touch, chord.radius))
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
        let neck_along = (neck_stop.along - base).clamp(0.0, span);
        let mut triangle = self.stops[lo].triangle;
        let sections: Vec<Sections> = places(span, width, neck_along)
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
            opens_ahead(walls, touch, with_ring, reach, chord.radius).map(|p| dot(p - chord.centre, run))
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
}

/// Where the sections of a stretch are measured along its span, one of them at its neck.
fn places(span: f64, width: f64, neck_along: f64) -> Vec<f64> {
    let wanted = (span / width * STATIONS_PER_NECK).ceil() as usize;
    let n = wanted.clamp(LEAST_STATIONS, MOST_STATIONS);
    let mut places: Vec<f64> = (0..=n).map(|i| span * i as f64 / n as f64).collect();
    let away = |place: f64| (place - neck_along).abs();
    // The last of equally near ones.
    let nearest = places[1..n].iter_mut().rev().min_by(|a, b| away(**a).total_cmp(&away(**b)));
    if let Some(nearest) = nearest {
        *nearest = neck_along.clamp(0.01 * span, 0.99 * span);
    }
    places
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
