//! Bridges that hold an island, moved to where the grain runs along them.
//!
//! The weak bridges are cut out, which leaves the island loose; straight bars along the grain then hold it, one on either side where the gap
//! is short and its walls stand square to the grain. With level grain a nought's bridges go from the top and bottom to 3 and 9 o'clock.

use geo_types::Coord;

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;
use crate::shape::plane::{Point, direction, distance, extent, left};

use super::ground::{Ground, heading, redrawn};
use super::patient::{TO_SPARE, Ward};
use super::remark::Remark;
use super::remedy::{Bar, Change, Kind, Remedy, Standing};

/// A bridge ends where its section is this much wider than its neck: our own rule.
const OPENS: f64 = 1.2;
/// The cut runs this far into the openings at its sides, and bars this far into the wood at their ends, in mm: our own
/// rule.
const OVERLAP: f64 = 0.3;
/// A bar is at most this many times as long as it is wide: our own rule.
const LONGEST: f64 = 6.0;
/// Widths tried, as parts of the old bridge's; and so many spots: our own rule.
const WIDTHS: [f64; 6] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0];
const SPOTS: usize = 3;
/// Spots looked at along an island, and lines across a bar: our own rule.
const LOOKS: usize = 32;
const LINES: usize = 7;
/// Away from the middle of the island counts this part of a longer gap: our own rule.
const OFF_MIDDLE: f64 = 0.3;
/// What is left over from a cut and is smaller than this, in mm², is sanded off: our own rule.
const CRUMB: f64 = 4.0;

/// Wood that only moved bridges will hold.
struct Island {
    shape: Shape,
    /// The weak bridges that held it.
    places: Vec<usize>,
    width: f64,
    /// Whether there is a gap along the grain for a bar.
    has_room: bool,
}

/// Islands cut loose.
struct Freed {
    /// What is cut out to free them: the weak bridges alone, with their numbers.
    taken: Vec<(usize, Vec<Point>)>,
    islands: Vec<Island>,
    /// The wood around them.
    main: Shape,
}

/// A bar between an island and the wood around it.
#[derive(Clone)]
struct Span {
    outline: Vec<Point>,
    middle: Point,
    price: f64,
}

impl Ward<'_> {
    /// The weak bridges of islands, moved to where the grain helps, no wider than they have to be.
    pub(super) fn move_bridges(&self) -> Result<Remedy, String> {
        let ground = Ground::new(self.patient.shape);
        let bridges: Vec<&Place> = self
            .wanting()
            .filter(|place| matches!(place.form, Form::Island | Form::Bridge) && lies_inside(&ground, place))
            .collect();
        if bridges.is_empty() {
            return Err("no weak place is a bridge between openings".to_owned());
        }
        let freed = islands(&ground, &bridges, &self.before)
            .ok_or_else(|| "no island comes loose where the weak bridges are cut".to_owned())?
            .with_room(direction(self.patient.board.grain.as_rad()));
        let stay = self.stay(&freed);
        let moved = |shape: Shape, bars: Vec<Bar>, finding: Finding| {
            let change = Change::Outline { shape, bars };
            Remedy {
                remarks: stay.clone(),
                ..self.remedy(Kind::MoveBridge, change, finding, Standing::Proved)
            }
        };
        let mut best: Option<(f64, Shape, Vec<Bar>, Finding)> = None;
        let mut known: Option<Finding> = None;
        let mut proofs = 0;
        'spots: for spot in 0..SPOTS {
            for times in WIDTHS {
                let Some((shape, bars)) = self.moved(&freed, spot, times) else { continue };
                let Some(looked) = self.look(&shape) else { continue };
                let short = self.expected_shortfall(&looked, known.as_ref());
                if best.as_ref().is_none_or(|(least, ..)| short < *least) {
                    best = Some((short, shape.clone(), bars.clone(), looked));
                }
                if short * TO_SPARE > 1.0 {
                    continue;
                }
                let Some(finding) = self.prove(&shape) else { continue };
                proofs += 1;
                if self.patient.goal.is_reached_by(finding.verdict) || proofs > 1 {
                    return Ok(moved(shape, bars, finding));
                }
                known = Some(finding);
            }
            // Other spots are tried where these bars are what lacks, not where another place is.
            if best.as_ref().is_some_and(|(.., bars, looked)| !self.lacks_at(looked, bars)) {
                break 'spots;
            }
        }
        let Some((_, shape, bars, _)) = best else {
            return Err("round the island there is no short gap along the grain for a bridge".to_owned());
        };
        let finding = self
            .prove(&shape)
            .ok_or_else(|| "the piece with its bridges moved could not be judged".to_owned())?;
        Ok(moved(shape, bars, finding))
    }

    /// Which weak bridges stay where they are, and why.
    fn stay(&self, freed: &Freed) -> Vec<Remark> {
        let weak = || self.wanting().filter(|place| matches!(place.form, Form::Island | Form::Bridge));
        let holds = |id: usize| freed.islands.iter().any(|island| island.places.contains(&id));
        let moves = |id: usize| freed.moving().any(|island| island.places.contains(&id));
        let idle: Vec<usize> = weak().map(|place| place.id).filter(|&id| !holds(id)).collect();
        let cramped: Vec<usize> =
            weak().map(|place| place.id).filter(|&id| holds(id) && !moves(id)).collect();
        let idle = (!idle.is_empty()).then_some(Remark::HoldsNoIsland { places: idle });
        let cramped = (!cramped.is_empty()).then_some(Remark::NoGapAlong { places: cramped });
        idle.into_iter().chain(cramped).collect()
    }

    /// Whether one of the bars is among what is not good enough.
    fn lacks_at(&self, looked: &Finding, bars: &[Bar]) -> bool {
        self.expected(looked, None)
            .iter()
            .filter(|place| place.worst() * TO_SPARE > 1.0)
            .any(|place| bars.iter().any(|bar| distance(bar.at, place.at) <= 2.0 * bar.to_mm))
    }

    /// The piece with bars `times` as wide as the bridges were, at the `spot`-best place of every island.
    fn moved(
        &self,
        Freed { taken, islands, main }: &Freed,
        spot: usize,
        times: f64,
    ) -> Option<(Shape, Vec<Bar>)> {
        let along = direction(self.patient.board.grain.as_rad());
        let mut added = Vec::new();
        let mut bars = Vec::new();
        let mut is_new = spot == 0;
        for (k, island) in islands.iter().enumerate().filter(|(_, island)| island.has_room) {
            let width = times * island.width;
            let mut found = spots(&island.shape, main, &beside(islands, k), along, width);
            // An island with fewer spots than another has its bars at the last of them.
            is_new |= spot < found.len();
            found.truncate(spot + 1);
            let spans = found.pop()?;
            for span in spans {
                bars.push(Bar {
                    places: island.places.clone(),
                    at: span.middle,
                    from_mm: None,
                    to_mm: width,
                });
                added.push(span.outline);
            }
        }
        if !is_new {
            return None;
        }
        let moves =
            |place: &usize| islands.iter().any(|island| island.has_room && island.places.contains(place));
        let taken: Vec<Vec<Point>> =
            taken.iter().filter(|(place, _)| moves(place)).map(|(_, outline)| outline.clone()).collect();
        let mut parts = redrawn(self.patient.shape, &taken, &added).into_iter();
        let shape = parts.next()?;
        let whole = parts.all(|part| part.area() < CRUMB);
        whole.then_some((shape, bars))
    }
}

impl Freed {
    /// The islands whose bridges are moved.
    fn moving(&self) -> impl Iterator<Item = &Island> {
        self.islands.iter().filter(|island| island.has_room)
    }

    /// The same, knowing round which islands there is room for a bar along the grain.
    fn with_room(mut self, along: Point) -> Self {
        for k in 0..self.islands.len() {
            let Island { shape, width, .. } = &self.islands[k];
            let others = beside(&self.islands, k);
            let fits = |times: &f64| !spots(shape, &self.main, &others, along, times * width).is_empty();
            self.islands[k].has_room = WIDTHS.iter().any(fits);
        }
        self
    }
}

/// The other islands.
fn beside(islands: &[Island], k: usize) -> Vec<&Shape> {
    let others = islands.iter().enumerate().filter(|(other, _)| *other != k);
    others.map(|(_, other)| &other.shape).collect()
}

/// Whether openings lie on both sides of a place: a rim holds no island, and to cut it would cut the piece in two.
fn lies_inside(ground: &Ground<'_>, place: &Place) -> bool {
    let middle = place.run.len() / 2;
    let side = left(heading(&place.run, middle));
    [side, -side].iter().all(|way| ground.ray(place.run[middle], *way).is_some_and(|met| met.ring > 0))
}

/// The islands that the weak bridges hold, what is cut out to free them, and the wood around them.
fn islands<'a>(ground: &Ground<'_>, bridges: &[&'a Place], before: &'a Finding) -> Option<Freed> {
    // The weak bridges alone are asked first. Sound bridges may hold the same islands: they stay, but without them there is no island to
    // see. A place may also be the island itself, so what is asked is which of them have to go for most weak bridges to hold something.
    let others = |form: Form| {
        let other = move |place: &&Place| bridges.iter().all(|bridge| bridge.id != place.id);
        let inside = move |place: &&Place| place.form == form && lies_inside(ground, place);
        before.places.iter().filter(other).filter(inside)
    };
    let with = |more: &[&'a Place]| bridges.iter().chain(more).copied().collect::<Vec<&'a Place>>();
    let known: Vec<&Place> = others(Form::Island).collect();
    let each = known.iter().map(|place| with(&[*place]));
    let beside = others(Form::Bridge).map(|place| with(&[known.as_slice(), &[place]].concat()));
    // A weak place may be the island itself as well.
    let all_but = bridges.iter().map(|own| {
        let set = with(&[]).into_iter().filter(|place| place.id != own.id);
        set.collect::<Vec<&'a Place>>()
    });
    let sets = [with(&[]), with(&known)].into_iter().chain(each).chain(beside).chain(all_but);
    let mut best: Option<([f64; 2], Freed)> = None;
    for set in sets {
        let Some(found) = freed(ground, bridges, &set) else { continue };
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

/// The islands that come loose when all of `set` are cut, as far as they hang on one of the weak bridges.
fn freed(ground: &Ground<'_>, bridges: &[&Place], set: &[&Place]) -> Option<Freed> {
    let all: Vec<Vec<Point>> = set.iter().filter_map(|place| cut(ground, place)).collect();
    let mut parts = redrawn(ground.shape, &all, &[]).into_iter();
    let main = parts.next()?;
    let rim = ground.shape.polygon().exterior();
    let at_rim = |part: &Shape| {
        let corners = &part.polygon().exterior().0;
        corners.iter().any(|at| rim.0.iter().any(|other| distance(*at, *other) < 1e-3))
    };
    let mut islands: Vec<Island> = parts
        .filter(|part| part.area() >= CRUMB && !at_rim(part))
        .map(|shape| Island { shape, places: Vec::new(), width: 0.0, has_room: false })
        .collect();
    let mut taken = Vec::new();
    for place in bridges.iter().filter(|bridge| set.iter().any(|place| place.id == bridge.id)) {
        let Some(outline) = cut(ground, place) else { continue };
        let mut holds = false;
        for island in &mut islands {
            let walls = Ground::new(&island.shape);
            let touches = [place.run[0], place.run[place.run.len() - 1]].iter().any(|end| {
                let near = |at: &Coord<f64>| distance(*at, *end);
                let corners =
                    island.shape.polygon().exterior().coords().map(near).fold(f64::INFINITY, f64::min);
                corners < 1.5 * place.neck_mm || walls.is_wood(*end)
            });
            if touches {
                island.places.push(place.id);
                island.width = island.width.max(place.neck_mm);
                holds = true;
            }
        }
        if holds {
            taken.push((place.id, outline));
        }
    }
    islands.retain(|island| !island.places.is_empty());
    (!islands.is_empty()).then_some(Freed { taken, islands, main })
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

/// Bars along the grain between an island and the wood around it, a bar on either side, the best spot first.
fn spots(island: &Shape, main: &Shape, others: &[&Shape], along: Point, width: f64) -> Vec<Vec<Span>> {
    let across = left(along);
    let (own, around) = (Ground::new(island), Ground::new(main));
    let others: Vec<Ground<'_>> = others.iter().map(|other| Ground::new(other)).collect();
    let [low, high] = own.extent(across);
    let middle = f64::midpoint(low, high);
    let room = [low + 0.5 * width + 0.5, high - 0.5 * width - 0.5];
    if room[1] < room[0] {
        return Vec::new();
    }
    let mut all: Vec<(f64, f64, Vec<Span>)> = (0..=LOOKS)
        .filter_map(|k| {
            let v = room[0] + (room[1] - room[0]) * k as f64 / LOOKS as f64;
            let spans: Vec<Span> = [1.0, -1.0]
                .iter()
                .filter_map(|sign| span(&own, &around, &others, along * *sign, v * sign, width))
                .collect();
            // One bar alone lets the island swing; it counts as the dearer.
            let price =
                spans.iter().map(|span| span.price).sum::<f64>() + if spans.len() == 1 { 1e3 } else { 0.0 };
            (!spans.is_empty()).then_some((price + OFF_MIDDLE * (v - middle).abs(), v, spans))
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    // The next best spot is another spot, not the same a hair aside.
    let mut spots: Vec<(f64, Vec<Span>)> = Vec::new();
    for (_, v, spans) in all {
        if spots.iter().all(|(other, _)| (v - other).abs() >= width) {
            spots.push((v, spans));
        }
    }
    spots.into_iter().map(|(_, spans)| spans).collect()
}

/// A bar from an island to the wood around it, `way` along the grain and `v` to the left of it; nothing where they do not face each other
/// there.
fn span(
    own: &Ground<'_>,
    around: &Ground<'_>,
    others: &[Ground<'_>],
    way: Point,
    v: f64,
    width: f64,
) -> Option<Span> {
    let [low, high] = own.extent(way);
    let far = high - low + 2.0;
    let mut starts = Vec::new();
    let mut ends = Vec::new();
    for k in 0..LINES {
        let offset = width * (k as f64 / (LINES - 1) as f64 - 0.5);
        let outside = left(way) * (v + offset) + way * (high + 1.0);
        let back = own.ray(outside, -way).filter(|met| met.away < far)?;
        let start = outside - way * back.away;
        let gap = around.ray(start + way * 1e-3, way)?;
        if around.is_wood(start + way * 0.01) || gap.away > LONGEST * width {
            return None;
        }
        if others.iter().any(|other| other.ray(start, way).is_some_and(|met| met.away < gap.away)) {
            return None;
        }
        starts.push(start - way * OVERLAP);
        ends.push(start + way * (gap.away + OVERLAP));
    }
    let spread = |points: &[Point]| {
        let [low, high] = extent(points.iter().copied(), way);
        high - low
    };
    let gap = starts.iter().zip(&ends).map(|(a, b)| distance(*a, *b)).fold(0.0, f64::max);
    let price = gap + spread(&starts) + spread(&ends);
    let centre = LINES / 2;
    let middle = (starts[centre] + ends[centre]) / 2.0;
    let outline = starts.into_iter().chain(ends.into_iter().rev()).collect();
    Some(Span { outline, middle, price })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::sample::Case;
    use geo_types::polygon;

    fn circle(radius: f64) -> Vec<Point> {
        (0..72)
            .map(|k| {
                let (sin, cos) = (f64::from(k) * 5.0).to_radians().sin_cos();
                Coord { x: 50.0 + radius * cos, y: 50.0 + radius * sin }
            })
            .collect()
    }

    fn bar(x: f64, y: f64, wide: f64, high: f64) -> Vec<Point> {
        let (a, b) = (wide / 2.0, high / 2.0);
        [(-a, -b), (a, -b), (a, b), (-a, b)].map(|(u, v)| Coord { x: x + u, y: y + v }).to_vec()
    }

    /// A plate with a nought pierced in it, its counter held by bridges 5 wide at the top and the bottom.
    fn nought() -> Shape {
        let plate = polygon![(x: 0., y: 0.), (x: 100., y: 0.), (x: 100., y: 100.), (x: 0., y: 100.)];
        let plate = Shape::new(plate).expect("a shape");
        let hole = redrawn(&plate, &[circle(30.0)], &[]).remove(0);
        redrawn(&hole, &[], &[circle(18.0), bar(50.0, 26.0, 5.0, 14.0), bar(50.0, 74.0, 5.0, 14.0)]).remove(0)
    }

    #[test]
    fn the_bridges_of_a_nought_go_to_3_and_9_o_clock_where_the_grain_is_level() {
        let case = Case::of(nought().polygon().clone());
        let ward = case.ward();
        let remedy = ward.move_bridges().expect("its bridges can be moved");
        let Change::Outline { shape: mended, bars } = &remedy.change else { panic!("an outline") };
        assert_eq!(bars.len(), 2);
        for (bar, x) in bars.iter().zip([74.0, 26.0]) {
            assert!((bar.at.x - x).abs() < 0.5 && (bar.at.y - 50.0).abs() < 1.0, "{bar:?}");
        }
        assert_eq!(mended.polygon().interiors().len(), 2);
        // The frame beside the hole is the weakest then.
        assert!(remedy.gain.is_some_and(|gain| gain > 1.3), "{:?}", remedy.gain);
        // Nothing is left where the bridges were.
        let ground = Ground::new(mended);
        assert!(!ground.is_wood(Coord { x: 50.0, y: 26.0 }) && !ground.is_wood(Coord { x: 50.0, y: 74.0 }));
    }
}
