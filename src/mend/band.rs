//! A weak place as a band of wood between two walls, and how far those may move.
//!
//! Both walls move outwards; one that is the piece's outer edge stays, so that the piece keeps its size, and the other moves twice as far. What
//! the walls face must stay open, and most of it: an opening is there for something. Where one has no more to give, the other wall moves
//! farther, see [`super::sharing`]. Where both are outer edges the place is an arm, see [`super::arm`].

use crate::check::Place;
use crate::shape::plane::{self, Point, distance};

use super::arm;
use super::drawn::widened;
use super::ground::{Ground, heading};
use super::patient::Expected;
use super::remark::Remark;
use crate::fit::{Recovery, smoothed};

/// An opening beside a widened place stays at least this wide, in mm: a common small bit still enters. Our own rule.
pub(super) const LEFT_OPEN: f64 = 3.2;
/// No more than this part of an opening's width is taken by all the places that are widened into it: what was pierced is still the same
/// opening then. Our own rule.
const MOST_TAKEN: f64 = 1.0 / 3.0;
/// A place opens out where it is this many times as wide as at its narrowest: our own rule.
pub(super) const FLARES: f64 = 1.6;
/// Where a moved wall comes back to the old one it does so over this many times the way it was moved: our own rule.
const TAPER: f64 = 1.5;
/// The band runs this far into the wood at its ends, in mm: our own rule.
const OVERLAP: f64 = 0.3;
/// A wall that turns outwards by more than this (3°) from one section to the next has come to a rounded corner, if it does so no farther
/// than this part of the narrowest width from the end: our own rules.
const TURNS: f64 = 0.05;
const ROUNDED: f64 = 0.3;
/// A place is made at most this many times as wide: our own rule.
const WIDEST: f64 = 6.0;
/// An opening that has given this part of what it may is said to stop a band: our own rule.
const HELD_BACK: f64 = 0.9;
/// A point farther than this part of an arm's width from the end of its stretch lies beyond it: our own rule.
const BEYOND_END: f64 = 0.25;
/// Sizes are rounded up to this, in mm: our own rule.
pub(super) const STEP: f64 = 0.1;

/// A moved wall is drawn of arcs and straight lines that pass its points within 0.01 mm, so that they can be cut as such, and leave its sides by
/// no more than 0.1 mm: our own rules.
const WALL: Recovery = Recovery { on_circle: 0.01, off_chord: 0.1, expected: [None; 2] };
/// Chords of an arc leave it by no more than this, in mm, as those of a drawing that is read do.
const GAP: f64 = 0.02;

/// A place that is to be widened.
#[derive(Clone)]
pub(super) struct Band {
    pub(super) place: usize,
    pub(super) at: Point,
    pub(super) width: f64,
    /// Along the run: a point of each wall, left and right, and the way outwards.
    pub(super) walls: Vec<[(Point, Point); 2]>,
    /// At the start and the finish: which way the run goes on there, and how a moved wall ends.
    pub(super) ends: [Point; 2],
    pub(super) endings: [Ending; 2],
    /// Which part of what is added goes to the left and the right wall.
    pub(super) parts: [f64; 2],
    /// What lies beyond the left and the right wall.
    pub(super) beyond: [Option<Beyond>; 2],
    /// How much may be added altogether, in mm: the room of both sides, of those that move, however it is parted between them.
    pub(super) most: f64,
    /// What allows no more.
    pub(super) stops: Stop,
    /// Whether it is not good enough as it is.
    pub(super) is_weak: bool,
}

/// How a moved wall ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// In the wood ahead, where there is some.
    Wood,
    /// The same, or flush with the tip of a place that ends there.
    Tip,
    /// Back at the old wall: what lies ahead stays as drawn.
    Back,
}

/// What stops a band from growing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stop {
    /// An opening beside it.
    Opening,
    /// How wide it was.
    Width,
    /// The piece's overall size, or what an arm ends in.
    Outline,
    /// An opening has given what it may.
    Third,
}

impl Stop {
    /// What a person should read of it, where that is no matter of how much an opening has given.
    pub(super) const fn remark(self) -> Option<Remark> {
        match self {
            Self::Opening => Some(Remark::LeftOpen { mm: LEFT_OPEN }),
            Self::Width => Some(Remark::Widest { times: WIDEST }),
            Self::Outline => Some(Remark::OutlineKept),
            Self::Third => None,
        }
    }
}

/// What a wall faces, across the middle of its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beyond {
    /// On the run, and the way outwards.
    pub(super) from: Point,
    pub(super) way: Point,
    /// How far the wall is from there, and the next one.
    pub(super) walls: [f64; 2],
}

impl Beyond {
    /// How wide it is there; endless outside of the piece.
    fn width(&self) -> f64 {
        self.walls[1] - self.walls[0]
    }

    /// How far one wall may move into it, so that it stays open though its opposite wall moves as far.
    fn left_open(&self) -> f64 {
        ((self.width() - LEFT_OPEN) / 2.0).max(0.0)
    }

    /// How much of its width is wood in a piece drawn anew.
    fn taken(&self, anew: &Ground<'_>) -> f64 {
        let Some((near, gap)) = anew.walls_ahead(self.from, self.way) else { return 0.0 };
        let left = gap.min(self.walls[1] - near.away).max(0.0);
        (self.width() - left).max(0.0)
    }
}

impl Band {
    pub(super) fn new(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<Self> {
        let (found, outer) = Self::between(ground, place, is_weak)?;
        if outer == [true; 2] { Self::of_arm(ground, place, is_weak) } else { Some(found) }
    }

    /// An outer arm: a stretch of it, whose walls move as far as the outline allows.
    fn of_arm(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<Self> {
        let stretch = arm::stretch(ground, place)?;
        let whole = Self::along(ground, place, is_weak, stretch.clone())?;
        if whole.most >= STEP {
            return Some(whole);
        }
        let between = stretch.short_of_hooks(ground, whole.width);
        let between = between.and_then(|stretch| Self::along(ground, place, is_weak, stretch));
        Some(between.filter(|between| between.most >= STEP).unwrap_or(whole))
    }

    /// A stretch of an arm, both its walls moved or the one that may move farther.
    fn along(ground: &Ground<'_>, place: &Place, is_weak: bool, stretch: arm::Stretch) -> Option<Self> {
        let arm::Stretch { walls, ends, endings } = stretch;
        let walls = round(ground, &walls);
        let width = walls.iter().map(|[a, b]| distance(a.0, b.0)).fold(f64::INFINITY, f64::min);
        let [a, b] = walls[walls.len() / 2];
        let widest = (WIDEST - 1.0) * width;
        let arm = Self {
            place: place.id,
            at: (a.0 + b.0) / 2.0,
            width,
            walls,
            ends,
            endings,
            parts: [0.5; 2],
            beyond: [None; 2],
            most: widest,
            stops: Stop::Width,
            is_weak,
        };
        // Both walls where that goes as far as one alone.
        let ways = [[0.5, 0.5], [1.0, 0.0], [0.0, 1.0]].map(|parts| {
            let one = Self { parts, ..arm.clone() };
            let most = one.cleanly(ground, widest);
            Self { most, stops: if most < widest { Stop::Outline } else { Stop::Width }, ..one }
        });
        ways.into_iter().reduce(|best, next| if next.most > best.most + STEP { next } else { best })
    }

    /// How much can be added to an arm so that its outline stays clean, up to so much.
    fn cleanly(&self, ground: &Ground<'_>, most: f64) -> f64 {
        let is_clean = |added: f64| {
            widened(ground, std::slice::from_ref(self), &[added])
                .is_some_and(|shape| arm::is_clean(ground, self, added, &Ground::new(&shape)))
        };
        if is_clean(most) {
            return most;
        }
        let (mut clean, mut not) = (0.0, most);
        while not - clean > STEP {
            let middle = f64::midpoint(clean, not);
            if is_clean(middle) { clean = middle } else { not = middle }
        }
        (clean / STEP).floor() * STEP
    }

    /// A place with something beyond one of its walls at least; and which of its walls are outer edges.
    fn between(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<(Self, [bool; 2])> {
        let mut run = place.run.as_slice();
        if run.len() < 2 || distance(run[0], run[run.len() - 1]) < 1e-6 {
            return None;
        }
        let mut sides = Sides::along(ground, run, place)?;
        let straight = sides.without_rounded_ends(ground, run, place.neck_mm);
        if straight.len() < run.len() {
            run = &run[straight];
            sides = Sides::along(ground, run, place)?;
        }
        let Sides { walls, outer, room } = sides;
        let width = |pair: &[(Point, Point); 2]| distance(pair[0].0, pair[1].0);
        let narrowest = walls.iter().map(width).fold(f64::INFINITY, f64::min);
        // Where the place opens out it is wide enough: only the stretch about its narrowest part is widened.
        let neck = walls.iter().position(|pair| width(pair) <= narrowest)?;
        let is_narrow = |pair: &[(Point, Point); 2]| width(pair) <= FLARES * narrowest;
        let first = walls[..neck].iter().rposition(|pair| !is_narrow(pair)).map_or(0, |k| k + 1);
        let last =
            walls[neck..].iter().position(|pair| !is_narrow(pair)).map_or(walls.len(), |k| neck + k) - 1;
        let free = [first == 0 && !place.held[0], last + 1 == walls.len() && !place.held[1]];
        let endings = free.map(|free| if free { Ending::Tip } else { Ending::Wood });
        let walls = round(ground, &walls[first..=last]);
        // At a corner a wall may meet the outline that does not on the whole.
        let outer = [0, 1].map(|side: usize| 2 * outer[side] > room[side].len());
        let parts = match outer {
            [true, false] => [0.0, 1.0],
            [false, true] => [1.0, 0.0],
            _ => [0.5, 0.5],
        };
        // An opening runs out in corners beside the ends of a place: what counts is how wide it is beside the middle of it. A neighbour
        // across the opening may grow towards it as well.
        let beyond = room.map(|mut room: Vec<Beyond>| {
            room.sort_by(|a, b| a.width().total_cmp(&b.width()));
            room.get(room.len() / 2).copied()
        });
        let room = (0..2).filter(|&side| parts[side] > 0.0).filter_map(|side| beyond[side]);
        let room = room.map(|beyond| beyond.left_open()).sum::<f64>();
        let widest = (WIDEST - 1.0) * narrowest.max(place.neck_mm);
        let (most, stops) = if widest < room { (widest, Stop::Width) } else { (room, Stop::Opening) };
        let band = Self {
            place: place.id,
            at: place.at,
            width: narrowest.min(place.neck_mm),
            walls,
            ends: [-heading(run, first), heading(run, last)],
            endings,
            parts,
            beyond,
            most,
            stops,
            is_weak,
        };
        Some((band, outer))
    }

    /// What a piece drawn anew with this band takes of the opening it takes most of, and how wide that is.
    pub(super) fn taken(&self, anew: &Ground<'_>) -> Option<[f64; 2]> {
        let openings = self.beyond.iter().zip(self.parts).filter(|(_, part)| *part > 0.0);
        let taken =
            openings.filter_map(|(beyond, _)| beyond.map(|beyond| [beyond.taken(anew), beyond.width()]));
        taken.max_by(|a, b| (a[0] / a[1]).total_cmp(&(b[0] / b[1])))
    }

    /// What is expected of the place nearest to it. Where a place that was good enough is no longer found, it lacks nothing: what is said of
    /// another place is no concern of it.
    pub(super) fn nearest<'a>(&self, all: &'a [Expected]) -> Option<&'a Expected> {
        let is_own = |one: &&Expected| self.is_weak || self.away(one.at) <= self.width;
        all.iter().filter(is_own).min_by(|a, b| distance(a.at, self.at).total_cmp(&distance(b.at, self.at)))
    }

    /// How far a point is from its middle line.
    pub(super) fn away(&self, at: Point) -> f64 {
        let middles = self.walls.iter().map(|[a, b]| (a.0 + b.0) / 2.0);
        middles.map(|middle| distance(middle, at)).fold(distance(self.at, at), f64::min)
    }

    /// Whether nothing of the piece lies beyond its walls.
    pub(super) fn is_arm(&self) -> bool {
        self.beyond.iter().all(Option::is_none)
    }

    /// Whether a point lies beyond the ends of an arm's stretch, where the arm stays as drawn.
    pub(super) fn is_beyond(&self, at: Point) -> bool {
        let middles = self.walls.iter().map(|[a, b]| distance((a.0 + b.0) / 2.0, at)).enumerate();
        let nearest = middles.min_by(|(_, a), (_, b)| a.total_cmp(b));
        let at_end = |k: usize| k == 0 || k + 1 == self.walls.len();
        self.is_arm() && nearest.is_some_and(|(k, away)| at_end(k) && away > BEYOND_END * self.width)
    }

    /// What allows no more than was added, in a piece drawn anew; nothing where there is room.
    pub(super) fn stop(&self, added: f64, anew: &Ground<'_>) -> Option<Stop> {
        if added >= self.most - STEP {
            return Some(self.stops);
        }
        let sides = (0..2).filter_map(|side| Some((self.room(side)?, self.beyond[side]?)));
        let full = sides.filter(|([own, all], beyond)| beyond.taken(anew) >= HELD_BACK * own.min(*all));
        let by = full.map(|([own, all], _)| if own < all { Stop::Opening } else { Stop::Third });
        by.min_by_key(|stop| *stop == Stop::Opening)
    }

    /// How far a wall may move, and how far all that move into what lies before it; nothing for a wall that stays, or an arm's.
    pub(super) fn room(&self, side: usize) -> Option<[f64; 2]> {
        let stays = self.parts[side] == 0.0 || self.is_arm();
        let beyond = self.beyond[side];
        (!stays).then(|| beyond.map_or([0.0; 2], |beyond| [beyond.left_open(), MOST_TAKEN * beyond.width()]))
    }

    /// Where the opening ends that a wall faces, and which way that is.
    pub(super) fn far_wall(&self, side: usize) -> Option<(Point, Point)> {
        self.beyond[side].map(|beyond| (beyond.from + beyond.way * beyond.walls[1], beyond.way))
    }

    /// How many times too much of an opening it takes; 1 or less where it does not.
    pub(super) fn too_much(&self, anew: &Ground<'_>) -> f64 {
        self.taken(anew).map_or(0.0, |[taken, width]| (taken - 1e-3) / (MOST_TAKEN * width))
    }

    /// The band with so much added to its width.
    pub(super) fn outline(&self, ground: &Ground<'_>, added: f64) -> Vec<Point> {
        let moved = |side: usize| {
            let by = added * self.parts[side];
            if by == 0.0 {
                // A wall that stays is no concern of the band's: it reaches to the run.
                return self.walls.iter().map(|pair| (pair[0].0 + pair[1].0) / 2.0).collect();
            }
            let wall = |k: usize, by: f64| self.walls[k][side].0 + self.walls[k][side].1 * by;
            let last = self.walls.len() - 1;
            let ends = [(0, 0), (last, 1)].map(|(k, end)| {
                let from = wall(k, by);
                (from, self.run_on(ground, from, end, added))
            });
            // Where no wood lies ahead the moved wall comes back to the old one, or its corner would break off.
            let loose = ends.map(|(from, to)| from == to);
            let along = |k: usize, end: usize| {
                let (a, b) = if end == 0 { (0, k) } else { (k, last) };
                (a..b).map(|i| distance(self.walls[i][side].0, self.walls[i + 1][side].0)).sum::<f64>()
            };
            let moved = (0..=last).map(|k| {
                let most = (0..2).filter(|&end| loose[end]).map(|end| along(k, end) / TAPER);
                wall(k, most.fold(by, f64::min))
            });
            let mut line = smoothed(&moved.collect::<Vec<_>>(), &WALL, GAP);
            if !loose[0] {
                line.insert(0, ends[0].1);
            }
            if !loose[1] {
                line.push(ends[1].1);
            }
            line
        };
        let (left, right) = (moved(0), moved(1));
        right.into_iter().chain(left.into_iter().rev()).collect()
    }

    /// From an end of a moved wall on to the wood ahead, and a little into it.
    pub(super) fn run_on(&self, ground: &Ground<'_>, from: Point, end: usize, added: f64) -> Point {
        let way = self.ends[end];
        if self.endings[end] == Ending::Back {
            return from;
        }
        let inside = ground.is_wood(from + way * 1e-3);
        let ahead = ground.ray(from, way).map_or(f64::INFINITY, |met| met.away);
        let reach = 2.0 * (self.width + added);
        if inside {
            // Already in the wood, or a hair before it; not out of it on the other side.
            let within = ground.ray(from + way * 1e-3, way).map_or(f64::INFINITY, |met| met.away);
            return from + way * OVERLAP.min(0.5 * within);
        }
        if ahead <= reach {
            return from + way * (ahead + OVERLAP);
        }
        if self.endings[end] == Ending::Tip {
            // A tip: flush with what is there.
            let pair = &self.walls[if end == 0 { 0 } else { self.walls.len() - 1 }];
            let middle = (pair[0].0 + pair[1].0) / 2.0;
            let tip = ground.ray(middle, way).map_or(0.0, |met| met.away);
            if tip <= reach {
                return from + way * tip;
            }
        }
        from
    }
}

/// Walls with their points on the arcs that their short sides stand for: an arc that is moved is one again.
fn round(ground: &Ground<'_>, walls: &[[(Point, Point); 2]]) -> Vec<[(Point, Point); 2]> {
    walls.iter().map(|pair| pair.map(|(at, out)| (ground.on_arc(at), out))).collect()
}

/// What lies either side of a run, point by point.
struct Sides {
    /// A point of each wall, left and right, and the way outwards.
    walls: Vec<[(Point, Point); 2]>,
    /// How often the left and the right wall is the piece's outer edge.
    outer: [usize; 2],
    /// What lies beyond them.
    room: [Vec<Beyond>; 2],
}

impl Sides {
    fn along(ground: &Ground<'_>, run: &[Point], place: &Place) -> Option<Self> {
        let mut walls = Vec::new();
        let (mut outer, mut room) = ([0_usize; 2], [Vec::new(), Vec::new()]);
        for (k, &at) in run.iter().enumerate() {
            let left = plane::left(heading(run, k));
            let mut pair = [(at, left); 2];
            for (side, way) in [(0, left), (1, -left)] {
                let (met, gap) = ground.walls_ahead(at, way)?;
                // Beyond its own reach the wall is another's.
                if met.away > 2.0 * place.neck_mm.max(place.width_mm) {
                    pair[side] = (at + way * (place.neck_mm / 2.0), way);
                    continue;
                }
                pair[side] = (at + way * met.away, way);
                outer[side] += usize::from(met.ring == 0);
                room[side].push(Beyond { from: at, way, walls: [met.away, met.away + gap] });
            }
            walls.push(pair);
        }
        Some(Self { walls, outer, room })
    }

    /// The points but those at either end that lie in a rounded corner, where a wall has begun to turn outwards: what is widened runs
    /// straight on into the wood ahead instead.
    fn without_rounded_ends(&self, ground: &Ground<'_>, run: &[Point], neck: f64) -> std::ops::Range<usize> {
        let walls = &self.walls;
        // Seen from the inside, square to the run there: the last step along a wall against the one before.
        let turns = |before: usize, last: usize, end: usize| {
            (0..2).any(|side| {
                let [(before, _), (last, outwards)] = [before, last].map(|k| walls[k][side]);
                let met = ground.ray(run[end], outwards).map(|met| run[end] + outwards * met.away);
                let slope = |step: Point| plane::dot(plane::unit(step), outwards);
                met.is_some_and(|end| slope(end - last) - slope(last - before) > TURNS)
            })
        };
        let near = |k: usize, end: usize| distance(run[k], run[end]) <= ROUNDED * neck;
        let (mut from, mut to) = (0, walls.len());
        while to - from > 3 && near(from, 0) && turns(from + 2, from + 1, from) {
            from += 1;
        }
        while to - from > 3 && near(to - 1, walls.len() - 1) && turns(to - 3, to - 2, to - 1) {
            to -= 1;
        }
        from..to
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::Case;
    use geo_types::{LineString, Polygon};

    /// The web between windows 24 wide may take 10.4 mm on either side; between windows 200 wide it may grow by five times its width.
    #[test]
    fn what_stops_a_band_is_told_by_its_own_rule() {
        let band = |window: f64| {
            let ring = |x0: f64, x1: f64, y0: f64, y1: f64| {
                LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
            };
            let plate = Polygon::new(
                ring(0.0, 2.0 * window + 36.0, 0.0, 100.0),
                vec![
                    ring(15.0, 15.0 + window, 20.0, 80.0),
                    ring(21.0 + window, 21.0 + 2.0 * window, 20.0, 80.0),
                ],
            );
            let case = Case::of(plate);
            let found = case.found();
            let web = |place: &&Place| (place.at.x - window - 18.0).abs() < 0.5;
            let place = found.places.iter().find(web).expect("the web is weak");
            Band::new(&Ground::new(&case.shape), place, true).expect("it has two walls")
        };
        for (window, most, stop) in [(24.0, 20.8, Stop::Opening), (200.0, 30.0, Stop::Width)] {
            let band = band(window);
            assert!((band.most - most).abs() < 0.1 && band.stops == stop, "{} {:?}", band.most, band.stops);
            let told = stop.remark().expect("it has a rule").to_string();
            assert!(
                told.contains("our own rule") && told.contains("3.2 mm") == (stop == Stop::Opening),
                "{told}"
            );
        }
    }
}
