//! Islands: wood that comes loose when the weak bridges that hold it are cut out.

use std::collections::{BTreeMap, BTreeSet};

use geo_types::Coord;

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;
use crate::shape::plane::{Point, distance, left};

use super::ground::{Ground, heading, redrawn};

/// A bridge ends where its section is this much wider than its neck: our own rule.
const OPENS: f64 = 1.2;
/// The cut runs this far into the openings at its sides, in mm: our own rule.
const OVERLAP: f64 = 0.3;
/// What is left over from a cut and is smaller than this, in mm², is sanded off: our own rule.
pub(super) const CRUMB: f64 = 4.0;

/// Wood that only moved bridges will hold.
pub(super) struct Island {
    pub(super) shape: Shape,
    /// The weak bridges that held it, by number.
    pub(super) places: Vec<usize>,
    /// How wide the widest of them was, in mm.
    pub(super) width: f64,
}

/// Islands cut loose.
pub(super) struct Freed {
    /// What is cut out to free them: the weak bridges alone, with their numbers.
    pub(super) taken: Vec<(usize, Vec<Point>)>,
    pub(super) islands: Vec<Island>,
    /// The wood around them.
    pub(super) main: Shape,
}

/// Whether openings lie on both sides of a place: a rim holds no island, and to cut it would cut the piece in two.
pub(super) fn lies_inside(ground: &Ground<'_>, place: &Place) -> bool {
    let middle = place.run.len() / 2;
    let side = left(heading(&place.run, middle));
    [side, -side].iter().all(|way| ground.ray(place.run[middle], *way).is_some_and(|met| met.ring > 0))
}

impl Freed {
    /// The islands that weak bridges hold; nothing where none comes loose.
    pub(super) fn new(ground: &Ground<'_>, bridges: &[&Place], before: &Finding) -> Option<Self> {
        let mut saw = Saw { ground, bridges, cuts: BTreeMap::new() };
        let mut tried = BTreeSet::new();
        let mut best: Option<([f64; 2], Self)> = None;
        for set in sets(ground, bridges, before) {
            if !tried.insert(set.iter().map(|place| place.id).collect::<Vec<_>>()) {
                continue;
            }
            let Some(found) = saw.free(&set) else { continue };
            let area = found.islands.iter().map(|island| island.shape.area()).sum();
            let worth = [found.taken.len() as f64, area];
            let all = found.taken.len() == bridges.len();
            if best.as_ref().is_none_or(|(most, _)| worth > *most) {
                best = Some((worth, found));
            }
            if all {
                break;
            }
        }
        best.map(|(_, found)| found)
    }
}

/// What may be cut out to see the islands that weak bridges hold, the likeliest first.
///
/// The weak bridges alone are asked first. Sound bridges may hold the same islands: they stay, but without them there is no island to
/// see. A weak place may also be the island itself, so what is asked is which of them have to go for most weak bridges to hold something.
fn sets<'a>(
    ground: &'a Ground<'_>,
    bridges: &'a [&'a Place],
    before: &'a Finding,
) -> impl Iterator<Item = Vec<&'a Place>> {
    let others = move |form: Form| {
        let other = move |place: &&Place| bridges.iter().all(|bridge| bridge.id != place.id);
        let inside = move |place: &&Place| place.form == form && lies_inside(ground, place);
        before.places.iter().filter(other).filter(inside)
    };
    let known: Vec<&Place> = others(Form::Island).collect();
    let with = |more: &[&'a Place]| [bridges, more].concat();
    let first = [with(&[]), with(&known)];
    let each: Vec<_> = known.iter().map(|place| with(&[*place])).collect();
    let all_but = bridges.iter().map(move |own| {
        let left = bridges.iter().filter(|place| place.id != own.id);
        left.copied().collect::<Vec<&'a Place>>()
    });
    let beside = others(Form::Bridge).map(move |place| [bridges, known.as_slice(), &[place]].concat());
    first.into_iter().chain(each).chain(beside).chain(all_but)
}

/// Cuts places out of a piece, each drawn once.
struct Saw<'a> {
    ground: &'a Ground<'a>,
    /// The weak bridges.
    bridges: &'a [&'a Place],
    /// The wood of every place that was cut, by number; nothing where it cannot be told.
    cuts: BTreeMap<usize, Option<Vec<Point>>>,
}

impl Saw<'_> {
    fn cut(&mut self, place: &Place) -> Option<Vec<Point>> {
        self.cuts.entry(place.id).or_insert_with(|| cut(self.ground, place)).clone()
    }

    /// The islands that come loose when all of `set` are cut, as far as they hang on one of the weak bridges.
    fn free(&mut self, set: &[&Place]) -> Option<Freed> {
        let shape = self.ground.shape;
        let all: Vec<Vec<Point>> = set.iter().filter_map(|place| self.cut(place)).collect();
        let mut parts = redrawn(shape, &all, &[]).into_iter();
        let main = parts.next()?;
        let rim = shape.polygon().exterior();
        let at_rim = |part: &Shape| {
            let corners = &part.polygon().exterior().0;
            corners.iter().any(|at| rim.0.iter().any(|other| distance(*at, *other) < 1e-3))
        };
        let mut islands: Vec<Island> = parts
            .filter(|part| part.area() >= CRUMB && !at_rim(part))
            .map(|shape| Island { shape, places: Vec::new(), width: 0.0 })
            .collect();
        let mut taken = Vec::new();
        for place in self.bridges.iter().filter(|bridge| set.iter().any(|place| place.id == bridge.id)) {
            let Some(outline) = self.cut(place) else { continue };
            let held: Vec<&mut Island> = islands.iter_mut().filter(|island| island.touches(place)).collect();
            if held.is_empty() {
                continue;
            }
            taken.push((place.id, outline));
            for island in held {
                island.places.push(place.id);
                island.width = island.width.max(place.neck_mm);
            }
        }
        islands.retain(|island| !island.places.is_empty());
        (!islands.is_empty()).then_some(Freed { taken, islands, main })
    }
}

impl Island {
    /// Whether a place ends at it.
    fn touches(&self, place: &Place) -> bool {
        let walls = Ground::new(&self.shape);
        [place.run[0], place.run[place.run.len() - 1]].iter().any(|end| {
            let near = |at: &Coord<f64>| distance(*at, *end);
            let corners = self.shape.polygon().exterior().coords().map(near).fold(f64::INFINITY, f64::min);
            corners < 1.5 * place.neck_mm || walls.is_wood(*end)
        })
    }
}

/// The wood of a bridge, from where it opens out to where it opens out.
fn cut(ground: &Ground<'_>, place: &Place) -> Option<Vec<Point>> {
    let last = place.run.len().checked_sub(1).filter(|last| *last > 0)?;
    let mut run = place.run.clone();
    for (end, way) in [(0, -heading(&place.run, 0)), (last, heading(&place.run, last))] {
        let mut on = place.run[end];
        let mut gone = 0.0;
        while gone < place.neck_mm {
            gone += 0.1;
            let at = place.run[end] + way * gone;
            let side = left(way);
            let width = ground.ray(at, side)?.away + ground.ray(at, -side)?.away;
            if width > OPENS * place.neck_mm {
                break;
            }
            on = at;
        }
        if distance(on, place.run[end]) > 1e-6 {
            if end == 0 { run.insert(0, on) } else { run.push(on) }
        }
    }
    let mut sides: [Vec<Point>; 2] = [Vec::new(), Vec::new()];
    for (k, &at) in run.iter().enumerate() {
        let side = left(heading(&run, k));
        for (which, way) in [(0, side), (1, -side)] {
            let away = ground.ray(at, way)?.away.min(OPENS * place.neck_mm);
            sides[which].push(at + way * (away + OVERLAP));
        }
    }
    let [left, right] = sides;
    Some(right.into_iter().chain(left.into_iter().rev()).collect())
}
