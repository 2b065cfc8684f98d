//! A place in the axes of its strip: which strips have room, and how strong each makes it.

use super::crossed::Crossed;
use super::local::{Axes, Box, Local};
use super::mended::{Doubts, Joint, Mended, Weakest, backed, mended};
use super::patient::TO_SPARE;
use super::request::InsertRequest;
use crate::check::NoInsert;
use crate::season::Anchorage;
use crate::strength::{Index, variation};
use geo_types::Coord;
use std::cell::OnceCell;

/// Wood left between the strip and the outer rim unless told otherwise, so that no end grain shows there, in mm: our own rule.
pub(super) const RIM_MARGIN: f64 = 3.0;
/// How far the strip runs into an opening, to be trimmed when that is pierced, in mm: our own rule.
const OVERRUN: f64 = 2.0;
/// Least reach, in insert thicknesses: below it a piece is weaker with the insert than without (our own
/// study).
pub(super) const LEAST_REACH: f64 = 1.2;
/// What is measured on a clipped outline may be off by this, in mm.
const GRID: f64 = 1e-3;
/// Widths tried, in widths of the place: our own rule.
pub(super) const WIDTHS: [f64; 5] = [1.0, 1.25, 1.5, 1.75, 2.0];
/// Reaches tried, as parts of a middling one, the larger of 20 mm and two insert thicknesses: our own rule.
pub(super) const REACHES: [f64; 5] = [0.5, 0.75, 1.0, 1.5, 2.0];
/// How far a strip may reach where there is no room for the reach it needs is found to this, in mm.
const ROOM_STEP: f64 = 0.25;
/// How far beside the widest strip the piece is looked at, in mm; wood farther away only makes a
/// strip's end stronger. Our own rule.
const ROOM: f64 = 30.0;

/// The reach about which others are tried; how far a strip has to reach is for its anchorage to say.
pub(super) fn middling_reach(depth: f64) -> f64 {
    (2.0 * depth).max(20.0)
}

/// How far past its break lines a piece so thick is looked at; no strip has room to reach farther.
fn looked_at(thickness: f64) -> f64 {
    REACHES[REACHES.len() - 1] * middling_reach(thickness / 2.0) + ROOM
}

/// From where the reach counts at both ends, in a strip's axes: the outermost of the run's ends and of the break lines, as far as
/// the strip between `sides` meets them.
pub(super) fn roots(ends: [f64; 2], lines: &[[Coord<f64>; 2]], sides: [f64; 2]) -> [f64; 2] {
    let mut roots = ends;
    for &[a, b] in lines {
        for edge in sides {
            let (low, high) = (a.y.min(b.y), a.y.max(b.y));
            // Where the line ends within the strip its own end counts; lines beside the strip do not.
            let at = edge.clamp(low, high);
            if at < sides[0] || at > sides[1] {
                continue;
            }
            let part = if high > low { (at - a.y) / (b.y - a.y) } else { 0.5 };
            let u = a.x + (b.x - a.x) * part;
            roots = [roots[0].min(u), roots[1].max(u)];
        }
    }
    roots
}

/// A place in the axes of its strip.
pub(super) struct Site<'a> {
    pub(super) request: &'a InsertRequest<'a>,
    pub(super) local: Local,
    /// Unit direction of the strip.
    pub(super) along: Coord<f64>,
    /// The run's ends and its middle line.
    ends: [Coord<f64>; 2],
    middle: f64,
    /// Narrowest width square to the run.
    pub(super) width: f64,
    /// How far the run strays from a straight line, from side to side.
    pub(super) bow: f64,
    /// Sine of the angle between strip and grain.
    pub(super) sin: f64,
    /// Break lines in strip axes.
    lines: Vec<[Coord<f64>; 2]>,
    /// The place itself touches the rim, so the strip has to run out over it.
    pub(super) at_rim: bool,
}

/// A strip that has room.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    pub(super) strip: Box,
    /// Its joint, but for the depth.
    pub(super) joint: Joint,
}

/// A strip of some depth, and how far it is from making the place good enough.
#[derive(Clone, Copy, Debug)]
pub(super) struct Trial {
    pub(super) strip: Box,
    pub(super) joint: Joint,
    pub(super) mended: Mended,
    /// Mean force needed for the goal over the force reached, the worse push.
    pub(super) shortfall: f64,
    /// One of the pushes breaks the place sooner than without the strip.
    pub(super) weakens: bool,
    /// An insert that is good enough, but reaches less far than peel and shear in its floor ask for.
    pub(super) is_short: bool,
}

impl Trial {
    /// Good enough ones before others, the stronger the better; among good enough ones those that weaken neither push,
    /// then those that reach far enough, then the least wood.
    pub(super) fn better_first(a: &Self, b: &Self) -> std::cmp::Ordering {
        let (wanting_a, wanting_b) = (a.shortfall.max(1.0), b.shortfall.max(1.0));
        let by_wood = || a.wood().total_cmp(&b.wood());
        let by_flaws = || (a.weakens, a.is_short).cmp(&(b.weakens, b.is_short));
        wanting_a.total_cmp(&wanting_b).then_with(by_flaws).then_with(by_wood)
    }

    /// How much wood it takes, in mm³.
    pub(super) fn wood(&self) -> f64 {
        self.strip.length() * self.strip.width() * self.joint.depth
    }
}

impl<'a> Site<'a> {
    pub(super) fn new(request: &'a InsertRequest<'a>) -> Result<Self, NoInsert> {
        let (Some(&first), Some(&last)) = (request.run.first(), request.run.last()) else {
            return Err(NoInsert::NoDirection);
        };
        let chord = last - first;
        let length = chord.x.hypot(chord.y);
        if length.is_nan() || length <= 1e-6 {
            return Err(NoInsert::NoDirection);
        }
        let along = chord / length;
        let width = request.face.section.width.min(request.side.section.width);
        let axes = Axes { origin: first, along };
        let run: Vec<_> = request.run.iter().map(|&point| axes.inward(point)).collect();
        let low = run.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let high = run.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let lines: Vec<_> = request.lines().map(|line| line.map(|end| axes.inward(end))).collect();
        let local = {
            let beside = WIDTHS[WIDTHS.len() - 1] * width + ROOM;
            let beyond = looked_at(request.thickness);
            let u = run.iter().chain(lines.iter().flatten()).map(|p| p.x);
            let (u0, u1) = u.fold((0.0_f64, length), |(a, b), x| (a.min(x), b.max(x)));
            Local::new(
                request.piece,
                axes,
                &Box { u: [u0 - beyond, u1 + beyond], v: [low - beside, high + beside] },
            )
        };
        let (sin_grain, cos_grain) = request.grain.sin_cos();
        let mut site = Self {
            request,
            along,
            ends: [run[0], run[run.len() - 1]],
            middle: (low + high) / 2.0,
            width,
            bow: high - low,
            sin: (along.x * sin_grain - along.y * cos_grain).abs(),
            lines,
            at_rim: false,
            local,
        };
        let body = Box { u: [0.0, length], v: site.sides(width) };
        site.at_rim = !site.local.inside_rim(&body, request.rim);
        Ok(site)
    }

    /// The place itself in its strip's axes: as wide as it is, from root to root.
    pub(super) fn core(&self) -> Box {
        let sides = self.sides(self.width);
        Box { u: roots(self.ends.map(|end| end.x), &self.lines, sides), v: sides }
    }

    fn sides(&self, width: f64) -> [f64; 2] {
        [self.middle - width / 2.0, self.middle + width / 2.0]
    }

    /// A strip of this width, with this reach at either end that is held, when there is room for it.
    pub(super) fn fit(&self, width: f64, reaches: [f64; 2]) -> Option<Fit> {
        self.fit_between(self.sides(width), reaches)
    }

    /// The same, and where such a strip has no wood under one of its edges, those that lie off the run's middle, one edge at the place's wall.
    pub(super) fn fits_aside(&self, width: f64, reaches: [f64; 2]) -> Vec<Fit> {
        let middle = self.fit(width, reaches);
        let [low, high] = self.sides(self.width + self.bow);
        let aside = [[low, low + width], [high - width, high]];
        let bonded = |fit: &Fit| fit.joint.width >= fit.strip.width() - GRID;
        if width <= high - low + GRID || middle.as_ref().is_some_and(bonded) {
            return middle.into_iter().collect();
        }
        let aside = aside.into_iter().filter_map(|sides| self.fit_between(sides, reaches)).filter(bonded);
        middle.into_iter().chain(aside).collect()
    }

    fn fit_between(&self, sides: [f64; 2], reaches: [f64; 2]) -> Option<Fit> {
        let width = sides[1] - sides[0];
        let roots = roots(self.ends.map(|end| end.x), &self.lines, sides);
        let mut u = roots;
        let mut joint = Joint { depth: 0.0, width, reach: f64::INFINITY, wood_at_end: None };
        for (end, sign) in [(0, -1.0), (1, 1.0)] {
            let root = roots[end];
            if !self.request.held[end] {
                u[end] = self.tip(end, sign, root, sides);
                continue;
            }
            let (stop, bonded, around) = self.anchor(root, sign, reaches[end])?;
            // A place at the rim sends its strip out over it on that side, to be cut flush with the
            // outline; what lies between the place's own walls still has to end inside.
            let (sides, past, margin) = if self.at_rim {
                (self.sides(0.9 * self.width), self.request.rim, 0.0)
            } else {
                (sides, 0.0, self.request.rim)
            };
            let near = root + sign * RIM_MARGIN.min(bonded / 2.0);
            let far = stop + sign * past;
            if !self.local.inside_rim(&Box { u: [near.min(far), near.max(far)], v: sides }, margin) {
                return None;
            }
            u[end] = stop;
            joint.reach = joint.reach.min(bonded);
            joint.wood_at_end = match (joint.wood_at_end, around) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
            if !self.bonded_across(root, sign, bonded, sides) {
                joint.width = joint.width.min(self.width);
            }
        }
        let strip = Box { u, v: sides };
        let fits =
            joint.reach.is_finite() && (self.at_rim || self.local.inside_rim(&strip, self.request.rim));
        fits.then_some(Fit { strip, joint })
    }

    /// The place with a fitting strip of this depth, unless its reach is too short for it.
    pub(super) fn trial(&self, fit: &Fit, depth: f64) -> Option<Trial> {
        let joint = Joint { depth, ..fit.joint };
        if joint.reach < LEAST_REACH * depth - GRID {
            return None;
        }
        let (face, side) = (&self.request.face, &self.request.side);
        let mended =
            mended((&face.section, &face.forces), (&side.section, &side.forces), &joint, self.request.wood);
        let trial = self.tried(fit.strip, joint, mended);
        Some(Trial { is_short: trial.shortfall <= 1.0 && self.anchorage(&joint).is_short(), ..trial })
    }

    /// The place with a strip of this width for each of some depths, from shallow to deep, that reaches as far as peel and shear in its floor ask for
    /// with a little to spare, or as far as there is room.
    pub(super) fn anchored(&self, width: f64, depths: &[f64]) -> Vec<Trial> {
        let Some(&shallow) = depths.first() else { return Vec::new() };
        let fit = |reach: f64| self.fit(width, [reach; 2]);
        // Asked for once at the most.
        let room = OnceCell::new();
        let farthest = |most: f64| {
            fit(most).or_else(|| {
                let room = room.get_or_init(|| self.room(width, [LEAST_REACH * shallow, most]));
                room.filter(|room| *room <= most).and_then(fit)
            })
        };
        let with_depth = |&depth: &f64| {
            let enough = |width: f64| {
                let joint = Joint { depth, width, reach: 0.0, wood_at_end: None };
                TO_SPARE * self.anchorage(&joint).needed
            };
            let found = farthest(enough(width))?;
            // Glued over less than its width it has to reach farther.
            let bonded = found.joint.width;
            let found = if bonded < width { farthest(enough(bonded)).unwrap_or(found) } else { found };
            self.trial(&found, depth)
        };
        depths.iter().filter_map(with_depth).collect()
    }

    /// The farthest that a strip of this width can reach, between one reach and another that has no room.
    fn room(&self, width: f64, [mut low, mut high]: [f64; 2]) -> Option<f64> {
        let has_room = |reach: f64| self.fit(width, [reach; 2]).is_some();
        if !has_room(low) {
            return None;
        }
        high = high.min(looked_at(self.request.thickness));
        while high - low > ROOM_STEP {
            let middle = f64::midpoint(low, high);
            if has_room(middle) { low = middle } else { high = middle }
        }
        Some(low)
    }

    /// A strip so deep and the wood in front of it.
    pub(super) fn crossed(&self, depth: f64) -> Crossed<'a> {
        Crossed::new(self.request.wood, self.request.thickness, depth, self.sin.min(1.0).asin())
    }

    /// How far a strip has to reach past the break lines, and how far it does.
    pub(super) fn anchorage(&self, joint: &Joint) -> Anchorage {
        let &InsertRequest { face, goal, .. } = self.request;
        self.crossed(joint.depth).anchorage(joint.width, &[face], goal, joint.reach)
    }

    fn tried(&self, strip: Box, joint: Joint, mended: Mended) -> Trial {
        let (face, side) = (&self.request.face, &self.request.side);
        let shortfall = self.shortfall(&mended.face, face.push).max(self.shortfall(&mended.side, side.push));
        let weakens = Mended::weakest(&mended.face).index.value > self.bare_face().value
            || Mended::weakest(&mended.side).index.value > self.bare_side().value;
        Trial { strip, joint, mended, shortfall, weakens, is_short: false }
    }

    /// The place with a board so thick glued behind it where a fitting strip lies.
    pub(super) fn backed(&self, fit: &Fit, thickness: f64) -> Trial {
        let joint = Joint { depth: thickness, ..fit.joint };
        let (face, side) = (&self.request.face, &self.request.side);
        let mended =
            backed((&face.section, &face.forces), (&side.section, &side.forces), &joint, self.request.wood);
        self.tried(fit.strip, joint, mended)
    }

    /// Where a strip stops in the held wood, how much of it is bonded, and the wood around its end if it
    /// ends in wood.
    fn anchor(&self, root: f64, sign: f64, reach: f64) -> Option<(f64, f64, Option<f64>)> {
        let axis = Coord { x: root, y: self.middle };
        let wall = self.local.to_wall(axis, Coord { x: sign, y: 0.0 });
        if !wall.is_finite() {
            return None;
        }
        if reach + OVERRUN >= wall {
            return Some((root + sign * (wall + OVERRUN), wall, None));
        }
        let stop = root + sign * reach;
        let (sin, cos) = self.request.grain.sin_cos();
        let grain = self.local.axes.inward_direction(Coord { x: cos, y: sin });
        let end = Coord { x: stop, y: self.middle };
        let around = self.local.to_wall(end, grain) + self.local.to_wall(end, grain * -1.0);
        Some((stop, reach, Some(around * self.sin)))
    }

    /// Whether there is wood under both edges of a strip where it lies in the held part.
    fn bonded_across(&self, root: f64, sign: f64, bonded: f64, sides: [f64; 2]) -> bool {
        [0.3, 0.8].iter().all(|part| {
            sides.iter().all(|side| {
                let middle = f64::midpoint(sides[0], sides[1]);
                let inset = middle + (side - middle) * 0.95;
                self.local.is_wood(Coord { x: root + sign * part * bonded, y: inset })
            })
        })
    }

    /// Where a strip ends at a tip: past it where there is an opening to run into, flush with it at the
    /// rim.
    fn tip(&self, end: usize, sign: f64, root: f64, sides: [f64; 2]) -> f64 {
        let start = self.ends[end];
        let wall = self.local.to_wall(start, Coord { x: sign, y: 0.0 });
        let flush = if wall.is_finite() { start.x + sign * wall } else { root };
        let flush = if sign > 0.0 { flush.max(root) } else { flush.min(root) };
        let past = flush + sign * OVERRUN;
        let beyond = Box { u: [flush.min(past), flush.max(past)], v: sides };
        if self.local.inside_rim(&beyond, self.request.rim) { past } else { flush }
    }

    /// Mean force needed for the goal over the force of the part that lacks most.
    pub(super) fn shortfall(&self, parts: &[Option<Weakest>; 4], push: f64) -> f64 {
        parts.iter().flatten().map(|part| self.wanting(part, push)).fold(0.0, f64::max)
    }

    /// Mean force needed for the goal over the force of a part.
    pub(super) fn wanting(&self, part: &Weakest, push: f64) -> f64 {
        self.lacking(&part.index, push)
    }

    /// The same of the part that lacks most with a strip whose parts are so many times as weak as the closed form says.
    pub(super) fn doubted(&self, trial: &Trial, doubts: &Doubts) -> f64 {
        let pushes = [self.request.face.push, self.request.side.push];
        let parts = [&trial.mended.face, &trial.mended.side].into_iter().zip(pushes).zip(doubts);
        let lacks = parts.flat_map(|((parts, push), doubts)| {
            let doubted = parts.iter().zip(doubts);
            doubted.filter_map(move |(part, doubt)| Some(doubt * self.wanting(part.as_ref()?, push)))
        });
        lacks.fold(0.0, f64::max)
    }

    /// What the place lacks without a strip.
    pub(super) fn bare_shortfall(&self) -> f64 {
        let (face, side) = (&self.request.face, &self.request.side);
        self.lacking(&self.bare_face(), face.push).max(self.lacking(&self.bare_side(), side.push))
    }

    fn lacking(&self, index: &Index, push: f64) -> f64 {
        let variation = variation(&index.shares, self.request.wood);
        push * self.request.goal.factor(variation) * index.value
    }

    /// Index of the bare place under a face push of 1 N.
    pub(super) fn bare_face(&self) -> Index {
        self.request.face.section.face(&self.request.face.forces, self.request.wood)
    }

    /// Index of the bare place under a side push of 1 N.
    pub(super) fn bare_side(&self) -> Index {
        self.request.side.section.side(&self.request.side.forces, self.request.wood)
    }
}
