//! Weak places made wider, each just as wide as it has to be.
//!
//! A place is a band of wood between two walls. Both walls move outwards; one that is the piece's outer edge stays, so that the piece keeps its
//! size, and the other moves twice as far. What the walls face must stay open, and most of it: an opening is there for something. Where both
//! are outer edges the place is an arm, see [`super::arm`].

use geo::Area;
use geo_types::{LineString, Polygon};

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;
use crate::shape::plane::{self, Point, distance};

use super::arm;
use super::ground::{Ground, heading, redrawn};
use super::patient::{Expected, TO_SPARE, Ward, least};
use super::remedy::{Bar, Change, Kind, Remedy, Standing};

/// An opening beside a widened place stays at least this wide, in mm: a common small bit still enters. Our own rule.
pub(super) const LEFT_OPEN: f64 = 3.2;
/// No more than this part of an opening's width is taken by all the places that are widened into it: what was pierced is still the same
/// opening then. Our own rule.
const MOST_TAKEN: f64 = 1.0 / 3.0;
/// A place that is good enough and thinner than this, in mm, is a tip; it is not widened for its neighbours' sake: our own rule.
const LEAST_NECK: f64 = 1.0;
/// A place opens out where it is this many times as wide as at its narrowest: our own rule.
pub(super) const FLARES: f64 = 1.6;
/// Where a moved wall comes back to the old one it does so over this many times the way it was moved: our own rule.
const TAPER: f64 = 1.5;
/// An opening smaller than this that a band cuts off, in mm², is filled: our own rule.
const SLIVER: f64 = 4.0;
/// The band runs this far into the wood at its ends, in mm: our own rule.
const OVERLAP: f64 = 0.3;
/// A place is made at most this many times as wide: our own rule.
const WIDEST: f64 = 6.0;
/// Bands give way so many times, then nothing is drawn: our own rule.
const GIVES_WAY: usize = 24;
/// A band that takes this part of what it may of an opening is held back by it: our own rule.
const HELD_BACK: f64 = 0.98;
/// What is found to do is tried narrower, down to this part of what was added, to this part: our own rule.
const NARROWEST: f64 = 0.4;
const NARROWER: f64 = 0.03;
/// More bands than this are tried narrower all together: our own rule.
const MANY: usize = 8;
/// No widening gains more than this many times the square of the widths: our own rule.
const BEYOND: f64 = 1.5;
/// Rounds of sizing by the closed form: our own rule.
const ROUNDS: usize = 6;
/// What each proof is sized to have to spare: the more, the less the last one bore out: our own rule.
const SPARE: [f64; 3] = [TO_SPARE, 1.05, 1.12];
/// A piece that lacks no more than this part of what it bears is not sized again for less wood: our own rule.
const CLOSE_ENOUGH: f64 = 0.93;
/// Sizes are rounded up to this, in mm: our own rule.
const STEP: f64 = 0.1;

/// A place that is to be widened.
#[derive(Clone)]
pub(super) struct Band {
    place: usize,
    at: Point,
    pub(super) width: f64,
    /// Along the run: a point of each wall, left and right, and the way outwards.
    pub(super) walls: Vec<[(Point, Point); 2]>,
    /// At the start and the finish: which way the run goes on there, and how a moved wall ends.
    pub(super) ends: [Point; 2],
    pub(super) endings: [Ending; 2],
    /// Which walls are outer edges.
    outer: [bool; 2],
    /// Which part of what is added goes to the left and the right wall.
    pub(super) parts: [f64; 2],
    /// What lies beyond the left and the right wall.
    beyond: [Option<Beyond>; 2],
    /// How much may be added altogether, in mm.
    pub(super) most: f64,
    /// What allows no more.
    stops: Stop,
    /// Whether it is not good enough as it is.
    is_weak: bool,
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
enum Stop {
    /// An opening beside it.
    Opening,
    /// How wide it was.
    Width,
    /// The piece's overall size, or what an arm ends in.
    Outline,
}

impl Stop {
    /// In a sentence.
    fn told(self) -> String {
        match self {
            Self::Opening => format!(
                "An opening beside a widened place is left no narrower than {LEFT_OPEN} mm (our own rule), so that a small bit still \
                 enters; that is what stops it here."
            ),
            Self::Width => format!(
                "A place is made no more than {WIDEST} times as wide (our own rule): beyond that it is another design."
            ),
            Self::Outline => "A wider arm keeps the piece's overall size, and what it ends in stays as drawn (our own rules); that \
                              is what stops it here."
                .to_owned(),
        }
    }
}

/// What a wall faces, across the middle of its place.
#[derive(Clone, Copy, Debug)]
struct Beyond {
    /// On the run, and the way outwards.
    from: Point,
    way: Point,
    /// How far the wall is from there, and the next one.
    walls: [f64; 2],
}

impl Beyond {
    /// How wide it is there; endless outside of the piece.
    fn width(&self) -> f64 {
        self.walls[1] - self.walls[0]
    }

    /// How much of its width is wood in a piece drawn anew.
    fn taken(&self, anew: &Ground<'_>) -> f64 {
        let Some(near) = anew.ray(self.from, self.way) else { return 0.0 };
        let wall = near.away.min(self.walls[1]);
        let far = anew.ray(self.from + self.way * (wall + 1e-3), self.way);
        let left = far.map_or(f64::INFINITY, |far| far.away).min(self.walls[1] - wall);
        (self.width() - left).max(0.0)
    }
}

impl Band {
    fn new(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<Self> {
        let found = Self::between(ground, place, is_weak)?;
        if found.is_arm() { Self::of_arm(ground, place, is_weak) } else { Some(found) }
    }

    /// Whether both walls are outer edges.
    fn is_arm(&self) -> bool {
        self.outer == [true; 2]
    }

    /// An outer arm: its straight stretch, whose walls move as far as the outline allows.
    fn of_arm(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<Self> {
        let arm::Stretch { walls, ends, endings } = arm::stretch(ground, place)?;
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
            outer: [true; 2],
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

    /// A place with something beyond one of its walls at least.
    fn between(ground: &Ground<'_>, place: &Place, is_weak: bool) -> Option<Self> {
        let run = &place.run;
        if run.len() < 2 || distance(run[0], run[run.len() - 1]) < 1e-6 {
            return None;
        }
        let mut walls = Vec::new();
        let (mut outer, mut room) = ([0_usize; 2], [Vec::new(), Vec::new()]);
        for (k, &at) in run.iter().enumerate() {
            let left = plane::left(heading(run, k));
            let mut pair = [(at, left); 2];
            for (side, way) in [(0, left), (1, -left)] {
                let met = ground.ray(at, way)?;
                // Beyond its own reach the wall is another's.
                if met.away > 2.0 * place.neck_mm.max(place.width_mm) {
                    pair[side] = (at + way * (place.neck_mm / 2.0), way);
                    continue;
                }
                let wall = at + way * met.away;
                pair[side] = (wall, way);
                outer[side] += usize::from(met.ring == 0);
                let ahead = ground.ray(wall + way * 1e-3, way);
                let next = met.away + ahead.map_or(f64::INFINITY, |ahead| ahead.away);
                room[side].push(Beyond { from: at, way, walls: [met.away, next] });
            }
            walls.push(pair);
        }
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
        let walls = walls[first..=last].to_vec();
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
        let width_of = |side: usize| beyond[side].as_ref().map_or(0.0, Beyond::width);
        let room = (0..2)
            .filter(|&side| parts[side] > 0.0)
            .map(|side| ((width_of(side) - LEFT_OPEN) / 2.0).max(0.0) / parts[side])
            .fold(f64::INFINITY, f64::min);
        let widest = (WIDEST - 1.0) * narrowest.max(place.neck_mm);
        let (most, stops) = if widest < room { (widest, Stop::Width) } else { (room, Stop::Opening) };
        Some(Self {
            place: place.id,
            at: place.at,
            width: narrowest.min(place.neck_mm),
            walls,
            ends: [-heading(run, first), heading(run, last)],
            endings,
            outer,
            parts,
            beyond,
            most,
            stops,
            is_weak,
        })
    }

    /// What a piece drawn anew with this band takes of the opening it takes most of, and how wide that is.
    fn taken(&self, anew: &Ground<'_>) -> Option<[f64; 2]> {
        let openings = self.beyond.iter().zip(self.parts).filter(|(_, part)| *part > 0.0);
        let taken =
            openings.filter_map(|(beyond, _)| beyond.map(|beyond| [beyond.taken(anew), beyond.width()]));
        taken.max_by(|a, b| (a[0] / a[1]).total_cmp(&(b[0] / b[1])))
    }

    /// What is expected of the place nearest to it. Where a place that was good enough is no longer found, it lacks nothing: what is said of
    /// another place is no concern of it.
    fn nearest<'a>(&self, all: &'a [Expected]) -> Option<&'a Expected> {
        let is_own = |one: &&Expected| self.is_weak || self.away(one.at) <= self.width;
        all.iter().filter(is_own).min_by(|a, b| distance(a.at, self.at).total_cmp(&distance(b.at, self.at)))
    }

    /// How far a point is from its middle line.
    fn away(&self, at: Point) -> f64 {
        let middles = self.walls.iter().map(|[a, b]| (a.0 + b.0) / 2.0);
        middles.map(|middle| distance(middle, at)).fold(distance(self.at, at), f64::min)
    }

    /// Whether it has grown as far as it may, in a piece drawn anew.
    fn is_held_back(&self, added: f64, anew: &Ground<'_>) -> bool {
        let step = self.beyond.iter().flatten().map(|beyond| 2.0 * STEP / (MOST_TAKEN * beyond.width()));
        added >= self.most - STEP || self.too_much(anew) + step.fold(0.0, f64::max) >= 1.0
    }

    /// How many times too much of an opening it takes; 1 or less where it does not.
    fn too_much(&self, anew: &Ground<'_>) -> f64 {
        self.taken(anew).map_or(0.0, |[taken, width]| (taken - 1e-3) / (MOST_TAKEN * width))
    }

    /// The band with so much added to its width.
    fn outline(&self, ground: &Ground<'_>, added: f64) -> Vec<Point> {
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
            let mut line: Vec<Point> = moved.collect();
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

/// Bands drawn into a piece, each so much wider; nothing where that closes an opening, cuts one in two or opens one.
fn widened(ground: &Ground<'_>, bands: &[Band], added: &[f64]) -> Option<Shape> {
    let outlines: Vec<Vec<Point>> = bands
        .iter()
        .zip(added)
        .filter(|(_, added)| **added > 0.0)
        .map(|(band, added)| band.outline(ground, *added))
        .collect();
    let shape = without_slivers(ground.shape, redrawn(ground.shape, &[], &outlines).into_iter().next()?)?;
    let openings = |shape: &Shape| shape.polygon().interiors().len();
    (openings(&shape) == openings(ground.shape)).then_some(shape)
}

/// A piece with its bands drawn in.
struct Drawn {
    shape: Shape,
    /// How much wider each is.
    added: Vec<f64>,
    /// Whether some had to be drawn narrower than was asked for.
    gave_way: bool,
}

/// Bands drawn into a piece, each so much wider as there is room: where they meet or close an opening all of them give way until they do not,
/// where one takes too much of an opening it does alone. Nothing where they can hardly be wider at all.
fn drawn(ground: &Ground<'_>, bands: &[Band], wanted: &[f64]) -> Option<Drawn> {
    let (mut added, mut gave_way) = (wanted.to_vec(), false);
    // What is good enough as it is gives way first.
    if widened(ground, bands, &added).is_none() {
        let stays = |(band, added): (&Band, &f64)| if band.is_weak { *added } else { 0.0 };
        added = bands.iter().zip(&added).map(stays).collect();
    }
    for _ in 0..GIVES_WAY {
        if let Some(shape) = widened(ground, bands, &added) {
            let anew = Ground::new(&shape);
            let too_much: Vec<f64> = bands.iter().map(|band| band.too_much(&anew)).collect();
            let over = |k: usize| added[k] > 0.0 && too_much[k] > 1.0;
            let over: Vec<usize> = (0..bands.len()).filter(|&k| over(k)).collect();
            if over.is_empty() {
                return Some(Drawn { shape, added, gave_way });
            }
            over.into_iter()
                .for_each(|k| added[k] = (added[k] / too_much[k].max(1.01) / STEP).floor() * STEP);
        } else {
            added.iter_mut().for_each(|added| *added *= 0.8);
        }
        gave_way = true;
    }
    None
}

/// Fills what a band leaves of an opening's rounded corner: no bit would enter it. Where the drawing has openings as small, nothing is filled.
fn without_slivers(before: &Shape, after: Shape) -> Option<Shape> {
    let area = |ring: &LineString<f64>| Polygon::new(ring.clone(), Vec::new()).unsigned_area();
    if before.polygon().interiors().iter().any(|ring| area(ring) < SLIVER) {
        return Some(after);
    }
    let (outer, openings) = after.polygon().clone().into_inner();
    let kept = openings.into_iter().filter(|ring| area(ring) >= SLIVER).collect();
    Shape::new(Polygon::new(outer, kept)).ok()
}

impl Ward<'_> {
    /// Every place that is not good enough, made as wide as it has to be and no wider.
    pub(super) fn widen(&self) -> Result<Remedy, String> {
        let ground = Ground::new(self.patient.shape);
        // Places that are good enough as they are may lack something once their neighbours are stiffer, so they are sized too.
        let places = self.before.places.iter();
        // A corner that only its grain line shows has no run to be widened along: it wants rounding.
        let sized = places.filter(|place| {
            let slender = place.run.len() > 2;
            let wanting = !self.patient.goal.is_reached_by(place.verdict);
            slender && (wanting || (place.form != Form::Along && place.neck_mm >= LEAST_NECK))
        });
        let is_weak = |place: &Place| !self.patient.goal.is_reached_by(place.verdict);
        let bands: Vec<Band> = sized.filter_map(|place| Band::new(&ground, place, is_weak(place))).collect();
        let weak = || bands.iter().filter(|band| band.is_weak);
        if weak().next().is_none() {
            return Err("no weak place has two walls that could stand farther apart".to_owned());
        }
        if weak().all(|band| band.most < STEP) {
            let by_outline = weak().any(|band| band.stops == Stop::Outline);
            return Err(if by_outline {
                "a wider arm would change the piece's overall size or run over what the arm ends in"
                    .to_owned()
            } else {
                "the openings beside the weak places are too narrow to give any wood".to_owned()
            });
        }
        let mut known: Option<(Finding, Vec<f64>)> = None;
        let mut best: Option<(Shape, Vec<f64>, Finding)> = None;
        for spare in SPARE {
            let Some((shape, added)) = self.sized(&ground, &bands, known.as_ref(), spare) else { break };
            if known.as_ref().is_some_and(|(_, before)| *before == added) {
                break;
            }
            let Some(finding) = self.prove(&shape) else { break };
            let reached = self.patient.goal.is_reached_by(finding.verdict);
            let lack = self.patient.goal.shortfall(&finding, self.patient.pushes);
            let held_back = !reached && self.is_held_back(&finding, &bands, &added, &Ground::new(&shape));
            known = Some((finding.clone(), added.clone()));
            // What has been proved to do is only given up for less wood that does too.
            let better = best.as_ref().is_none_or(|(other, _, then)| {
                if self.patient.goal.is_reached_by(then.verdict) {
                    reached && shape.area() < other.area()
                } else {
                    lack < self.patient.goal.shortfall(then, self.patient.pushes)
                }
            });
            if better {
                best = Some((shape, added, finding));
            }
            if held_back || (reached && lack > CLOSE_ENOUGH) {
                break;
            }
        }
        let Some((shape, added, finding)) = best else {
            let hair: Vec<f64> =
                bands.iter().map(|band| if band.is_weak { STEP.min(band.most) } else { 0.0 }).collect();
            return Err(if widened(&ground, &bands, &hair).is_some() {
                "the piece with its weak places wider could not be judged".to_owned()
            } else {
                "even a hair wider, the weak places would close an opening beside them or cut it in two"
                    .to_owned()
            });
        };
        let anew = Ground::new(&shape);
        let widened = || bands.iter().zip(&added).filter(|(_, added)| **added > 0.0);
        let held_back = widened().filter(|(band, _)| band.too_much(&anew) > HELD_BACK);
        let held_back: Vec<String> = held_back
            .filter_map(|(band, _)| {
                let [taken, width] = band.taken(&anew)?;
                Some(format!("{taken:.1} mm of {width:.1} mm beside place {}", band.place))
            })
            .collect();
        let bars: Vec<Bar> = widened()
            .map(|(band, added)| Bar {
                places: vec![band.place],
                at: band.at,
                from_mm: Some(band.width),
                to_mm: band.width + added,
            })
            .collect();
        let stopped = stops(&bands, &added);
        let change = Change::Outline { shape, bars };
        let mut remedy = self.remedy(Kind::Widen, change, finding, Standing::Proved);
        // Strength goes with the width, or with its square; more means that a place grew too stout to be judged as slender.
        let widest = widened().map(|(band, added)| (band.width + added) / band.width).fold(1.0, f64::max);
        if remedy.gain.is_some_and(|gain| gain > BEYOND * widest * widest) {
            return Err(
                "what would be wide enough is too stout to be judged as a slender part, so nothing vouches for it".to_owned()
            );
        }
        if !remedy.reaches_goal && !held_back.is_empty() {
            remedy.remarks.push(format!(
                "No more than a third of an opening is taken (our own rule), which stops it here: {}.",
                held_back.join("; ")
            ));
        }
        remedy.remarks.extend(stopped.into_iter().map(Stop::told));
        Ok(remedy)
    }

    /// The widths that the closed form asks for, put right by what the solid model has shown.
    fn sized(
        &self,
        ground: &Ground<'_>,
        bands: &[Band],
        known: Option<&(Finding, Vec<f64>)>,
        spare: f64,
    ) -> Option<(Shape, Vec<f64>)> {
        // From what was proved last, on the piece as it is or with its bands so much wider.
        let unwidened = vec![0.0; bands.len()];
        let (proved, from) = known.map_or((&self.before, &unwidened), |(finding, added)| (finding, added));
        let start = self.proved(proved);
        // Nothing that fell short is made narrower, and what did is not at once made much narrower: the two answers part differently at
        // other widths.
        let floor: Vec<f64> = from
            .iter()
            .map(|from| if self.patient.goal.is_reached_by(proved.verdict) { 0.5 * from } else { *from })
            .collect();
        let known = known.map(|(finding, _)| finding);
        let mut added: Vec<f64> = bands
            .iter()
            .zip(from)
            .map(|(band, from)| self.more(band, *from, band.nearest(&start), spare))
            .collect();
        let (mut last, mut before) = (None, None);
        for _ in 0..ROUNDS {
            for ((added, band), floor) in added.iter_mut().zip(bands).zip(&floor) {
                *added = ((added.max(*floor) / STEP - 1e-6).ceil() * STEP).min(band.most).max(0.0);
            }
            let Drawn { shape, added: tried, gave_way } = drawn(ground, bands, &added)?;
            let finding = self.look(&shape)?;
            let expected = self.expected(&finding, known);
            let enough = expected.iter().all(|expected| expected.worst() * spare <= 1.0);
            let next: Vec<f64> = bands
                .iter()
                .zip(&tried)
                .map(|(band, added)| self.more(band, *added, band.nearest(&expected), spare))
                .collect();
            let settled = next.iter().zip(&tried).all(|(next, now)| (next - now).abs() < 1.5 * STEP);
            let now = tried.clone();
            last = Some((shape, tried, enough && !gave_way));
            // What gave way is asked again for what it could not give, or the first proof would be of less than there is room for.
            let stuck = gave_way && before.as_ref() == Some(&now);
            before = Some(now);
            if stuck || (enough && settled) {
                break;
            }
            added = next;
        }
        let (shape, added, enough) = last?;
        if !enough {
            return Some((shape, added));
        }
        // Each in turn narrower, as far as that is still enough; where there are many, all of them together.
        let is_enough = |tried: &[f64]| {
            let looked = drawn(ground, bands, tried).and_then(|drawn| self.look(&drawn.shape));
            looked.is_some_and(|found| {
                self.expected(&found, known).iter().all(|one| one.worst() * spare <= 1.0)
            })
        };
        let mut narrow = added.clone();
        let each: Vec<usize> = (0..bands.len()).filter(|&k| added[k] > STEP).collect();
        let turns = if each.len() <= MANY { each.iter().map(|k| vec![*k]).collect() } else { vec![each] };
        for turn in turns {
            let with = |scale: f64| {
                let mut tried = narrow.clone();
                turn.iter().for_each(|&k| tried[k] = (added[k] * scale / STEP - 1e-6).ceil() * STEP);
                tried
            };
            if let Some(scale) = least(NARROWEST, 1.0, NARROWER, |scale| is_enough(&with(scale))) {
                narrow = with(scale);
            }
        }
        drawn(ground, bands, &narrow).map(|drawn| (drawn.shape, drawn.added)).or(Some((shape, added)))
    }

    /// How much is to be added to a band that now has `added`, from what it still lacks: strength goes with the width for a push on the
    /// face and with its square for one on a side.
    fn more(&self, band: &Band, added: f64, expected: Option<&Expected>, spare: f64) -> f64 {
        let Some(expected) = expected else { return added };
        // A place that is good enough as it is has to stay so, no more.
        let spare = if band.is_weak { spare } else { 1.0 };
        let now = band.width + added;
        let factor = (expected.face * spare).max((expected.side * spare).sqrt());
        (now * factor.clamp(0.5, 2.0) - band.width).clamp(0.0, band.most)
    }
}

impl Ward<'_> {
    /// Whether all that still lacks something has grown as far as it may: no other widths do better then.
    fn is_held_back(&self, found: &Finding, bands: &[Band], added: &[f64], anew: &Ground<'_>) -> bool {
        let lacking = self.proved(found);
        let mut lacking = lacking.iter().filter(|place| place.worst() > 1.0).peekable();
        lacking.peek().is_some()
            && lacking.all(|place| {
                let near = bands.iter().zip(added).filter(|(_, added)| **added > 0.0);
                let near = near.min_by(|(a, _), (b, _)| a.away(place.at).total_cmp(&b.away(place.at)));
                near.is_some_and(|(band, added)| band.is_held_back(*added, anew))
            })
    }
}

/// What stopped those bands that are as wide as they may be.
fn stops(bands: &[Band], added: &[f64]) -> Vec<Stop> {
    let is_at_most = |band: &Band, added: f64| added > 0.0 && added >= band.most - STEP;
    let by = |stop: &Stop| {
        bands.iter().zip(added).any(|(band, added)| band.stops == *stop && is_at_most(band, *added))
    };
    [Stop::Opening, Stop::Width, Stop::Outline].into_iter().filter(by).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::Case;
    use geo_types::Coord;

    /// A plate with two windows 24 x 60 and a web 6 wide between them.
    fn windows() -> Shape {
        let ring = |x0: f64, y0: f64, x1: f64, y1: f64| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let plate = Polygon::new(
            ring(0.0, 0.0, 84.0, 100.0),
            vec![ring(15.0, 20.0, 39.0, 80.0), ring(45.0, 20.0, 69.0, 80.0)],
        );
        Shape::new(plate).expect("a shape")
    }

    fn band(walls: [[f64; 2]; 2], parts: [f64; 2]) -> Band {
        let at = |x: f64, y: f64| Coord { x, y };
        let pair = |y: f64| [(at(walls[0][0], y), at(-1.0, 0.0)), (at(walls[1][0], y), at(1.0, 0.0))];
        Band {
            place: 1,
            at: at(42.0, 50.0),
            width: 6.0,
            walls: vec![pair(22.0), pair(50.0), pair(78.0)],
            ends: [at(0.0, -1.0), at(0.0, 1.0)],
            endings: [Ending::Wood; 2],
            outer: [false; 2],
            parts,
            beyond: [-1.0, 1.0]
                .map(|x| Some(Beyond { from: at(42.0, 50.0), way: at(x, 0.0), walls: [3.0, 27.0] })),
            most: 20.0,
            stops: Stop::Opening,
            is_weak: true,
        }
    }

    #[test]
    fn a_web_grows_evenly_into_both_windows() {
        let plate = windows();
        let ground = Ground::new(&plate);
        let wide = widened(&ground, &[band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5])], &[4.0])
            .expect("still two windows");
        assert!((wide.area() - plate.area() - 4.0 * 60.0).abs() < 0.01, "{}", wide.area() - plate.area());
        assert_eq!(wide.polygon().interiors().len(), 2);
        let met =
            Ground::new(&wide).ray(Coord { x: 42.0, y: 25.0 }, Coord { x: 1.0, y: 0.0 }).expect("a wall");
        assert!((met.away - 5.0).abs() < 1e-3);
    }

    /// The windows are 24 wide: a third is 8 to either side, and what is taken from the far side counts as well.
    #[test]
    fn a_third_of_a_window_is_taken_and_no_more() {
        let plate = windows();
        let ground = Ground::new(&plate);
        let web = || band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5]);
        let taken = |bands: &[Band], added: &[f64]| {
            let wide = widened(&ground, bands, added).expect("still two windows");
            let [taken, width] = bands[0].taken(&Ground::new(&wide)).expect("a window lies beside it");
            assert!((width - 24.0).abs() < 1e-9);
            taken
        };
        assert!((taken(&[web()], &[18.0]) - 9.0).abs() < 1e-3);
        let rim = || Band { parts: [0.0, 1.0], ..band([[0.0, 0.0], [15.0, 0.0]], [0.0, 1.0]) };
        assert!((taken(&[web(), rim()], &[12.0, 4.0]) - 10.0).abs() < 1e-3);
        // What may be taken is drawn as asked; of what is too much, as much as may be.
        let of = |bands: &[Band], added: &[f64]| drawn(&ground, bands, added).expect("some room");
        let asked = of(&[web()], &[16.0]);
        assert!(!asked.gave_way && asked.added == [16.0]);
        // It can hardly grow any more then, which spares another proof.
        let is_held_back = |added: f64| {
            let wide = widened(&ground, &[web()], &[added]).expect("still two windows");
            web().is_held_back(added, &Ground::new(&wide))
        };
        assert!(is_held_back(16.0) && is_held_back(15.9) && !is_held_back(15.0));
        let less = of(&[web()], &[18.0]);
        assert!(less.gave_way && (15.7..=16.01).contains(&less.added[0]), "{:?}", less.added);
        let both = of(&[web(), rim()], &[12.0, 4.0]);
        assert!(both.gave_way && taken(&[web(), rim()], &both.added) <= 8.001, "{:?}", both.added);
    }

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
            let bands = [band];
            assert_eq!(stops(&bands, &[most - 1.0]), []);
            assert_eq!(stops(&bands, &[bands[0].most]), [stop]);
            let told = stop.told();
            assert!(
                told.contains("our own rule") && told.contains("3.2 mm") == (stop == Stop::Opening),
                "{told}"
            );
        }
    }

    #[test]
    fn what_closes_a_window_is_not_drawn() {
        let plate = windows();
        let ground = Ground::new(&plate);
        assert!(widened(&ground, &[band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5])], &[49.0]).is_none());
    }
}
