//! Bridges that hold an island, moved to where the grain runs along them.
//!
//! The weak bridges are cut out, which leaves the island loose; straight bars along the grain then hold it, one on either side where the gap
//! is short and its walls stand square to the grain. With level grain a nought's bridges go from the top and bottom to 3 and 9 o'clock.

use crate::check::{Finding, Form, Place};
use crate::shape::Shape;
use crate::shape::plane::{Point, direction, distance, extent, left};

use super::ground::{Ground, redrawn};
use super::island::{CRUMB, Freed, Island, lies_inside};
use super::patient::{TO_SPARE, Ward};
use super::remark::{Remark, Stay};
use super::remedy::{Bar, Change, Kind, Refusal, Remedy, Standing};

/// Bars run this far into the wood at their ends, in mm: our own rule.
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
/// What lacks less by no more than this part is no better, as how a piece lies may move a force by so much: our own rule.
const HARDLY: f64 = 1e-5;

/// A bar between an island and the wood around it.
#[derive(Clone)]
struct Span {
    outline: Vec<Point>,
    middle: Point,
    price: f64,
}

impl Ward<'_> {
    /// The weak bridges of islands, moved to where the grain helps, no wider than they have to be.
    pub(super) fn move_bridges(&self) -> Result<Remedy, Refusal> {
        let ground = Ground::new(self.patient.shape);
        let bridges: Vec<&Place> = self
            .wanting()
            .filter(|place| matches!(place.form, Form::Island | Form::Bridge) && lies_inside(&ground, place))
            .collect();
        if bridges.is_empty() {
            return Err(Refusal::untried("no weak place is a bridge between openings"));
        }
        let freed = Freed::new(&ground, &bridges, &self.before)
            .ok_or_else(|| Refusal::untried("no island comes loose where the weak bridges are cut"))?;
        let gaps = Gaps::new(freed, direction(self.patient.board.grain.as_rad()));
        let (shape, bars, finding) = self.held_anew(&gaps)?;
        let change = Change::Outline { shape, bars };
        let remedy = self.remedy(Kind::MoveBridge, change, finding, Standing::Proved);
        let stay = self.stay(&gaps);
        // Fewer weak places are no gain here: bridges moved for nothing only leave the weakest place where it was.
        if remedy.is_idle()
            && let Some(after) = &remedy.after
        {
            let stay: String = stay.iter().map(|stay| format!("; {stay}")).collect();
            let why = format!("{}{stay}", Remedy::IDLE);
            return Err(self.refusal(&*why, after));
        }
        Ok(Remedy { remarks: stay.into_iter().map(Remark::Stay).collect(), ..remedy })
    }

    /// The piece with bars in place of its weak bridges that lacks least, and what is found on it.
    fn held_anew(&self, gaps: &Gaps) -> Result<(Shape, Vec<Bar>, Finding), Refusal> {
        // Each lacks less than the one before, by its look.
        let mut best: Vec<(f64, Shape, Vec<Bar>, Finding)> = Vec::new();
        let mut proved: Vec<(Shape, Vec<Bar>, Finding)> = Vec::new();
        'spots: for spot in 0..SPOTS {
            for times in WIDTHS {
                let Some((shape, bars)) = self.moved(gaps, spot, times) else { continue };
                let Some(looked) = self.look(&shape) else { continue };
                let known = proved.last().map(|(.., finding)| finding);
                let short = self.expected_shortfall(&looked, known);
                if best.last().is_none_or(|(least, ..)| short < *least * (1.0 - HARDLY)) {
                    best.push((short, shape.clone(), bars.clone(), looked));
                }
                if short * TO_SPARE > 1.0 {
                    continue;
                }
                let Some(finding) = self.prove(&shape) else { continue };
                let reaches_goal = self.patient.goal.is_reached_by(finding.verdict);
                proved.push((shape, bars, finding));
                if reaches_goal || proved.len() > 1 {
                    break 'spots;
                }
            }
            // Other spots are tried where these bars are what lacks, not where another place is.
            if best.last().is_some_and(|(.., bars, looked)| !self.lacks_at(looked, bars)) {
                break 'spots;
            }
        }
        if best.is_empty() {
            let why = "round the island there is no short gap along the grain for a bridge";
            return Err(Refusal::untried(why));
        }
        let is_enough =
            |(.., finding): &(Shape, Vec<Bar>, Finding)| self.patient.goal.is_reached_by(finding.verdict);
        if proved.len() < 2 && !proved.iter().any(is_enough) {
            // Wide bars may look best and leave slivers beside them, which only a proof tells: the next best is proved as well.
            for (_, shape, bars, _) in best.into_iter().rev().take(2) {
                if proved.iter().all(|(known, ..)| *known != shape)
                    && let Some(finding) = self.prove(&shape)
                {
                    proved.push((shape, bars, finding));
                }
            }
        }
        self.least_short(proved)
            .ok_or_else(|| Refusal::unjudged("the piece with its bridges moved could not be judged"))
    }

    /// Of pieces that were proved the one that lacks least; of two alike the first.
    fn least_short(&self, proved: Vec<(Shape, Vec<Bar>, Finding)>) -> Option<(Shape, Vec<Bar>, Finding)> {
        let short = |(.., finding): &(Shape, Vec<Bar>, Finding)| self.shortfall(finding);
        proved.into_iter().min_by(|a, b| short(a).total_cmp(&short(b)))
    }

    /// Which weak bridges stay where they are, and why.
    fn stay(&self, gaps: &Gaps) -> Vec<Stay> {
        let weak = || self.wanting().filter(|place| matches!(place.form, Form::Island | Form::Bridge));
        let those = |holds_island: bool| {
            let stays = |id: usize| gaps.holds(id) == holds_island && !gaps.moves(id);
            let places: Vec<usize> = weak().map(|place| place.id).filter(|&id| stays(id)).collect();
            (!places.is_empty()).then_some(Stay { places, holds_island })
        };
        [those(false), those(true)].into_iter().flatten().collect()
    }

    /// Whether one of the bars is among what is not good enough.
    fn lacks_at(&self, looked: &Finding, bars: &[Bar]) -> bool {
        self.expected(looked, None)
            .iter()
            .filter(|place| place.worst() * TO_SPARE > 1.0)
            .any(|place| bars.iter().any(|bar| distance(bar.at, place.at) <= 2.0 * bar.to_mm))
    }

    /// The piece with bars `times` as wide as the bridges were, at the `spot`-best place of every island.
    fn moved(&self, gaps: &Gaps, spot: usize, times: f64) -> Option<(Shape, Vec<Bar>)> {
        let mut added = Vec::new();
        let mut bars = Vec::new();
        let mut is_new = spot == 0;
        for (k, island) in gaps.moving() {
            let mut found = gaps.spots(k, times);
            // An island with fewer spots than another has its bars at the last of them.
            is_new |= spot < found.len();
            found.truncate(spot + 1);
            for span in found.pop()? {
                bars.push(Bar {
                    places: island.places.clone(),
                    at: span.middle,
                    from_mm: None,
                    to_mm: times * island.width,
                });
                added.push(span.outline);
            }
        }
        if !is_new {
            return None;
        }
        let taken = gaps.freed.taken.iter().filter(|(place, _)| gaps.moves(*place));
        let taken: Vec<Vec<Point>> = taken.map(|(_, outline)| outline.clone()).collect();
        let mut parts = redrawn(self.patient.shape, &taken, &added).into_iter();
        let shape = parts.next()?;
        let whole = parts.all(|part| part.area() < CRUMB);
        whole.then_some((shape, bars))
    }
}

/// The gaps round islands that bars along the grain may span.
struct Gaps {
    freed: Freed,
    along: Point,
    /// Round which islands there is room for a bar: those whose bridges are moved.
    has_room: Vec<bool>,
}

impl Gaps {
    fn new(freed: Freed, along: Point) -> Self {
        let mut gaps = Self { has_room: Vec::new(), freed, along };
        let fits = |k: usize| WIDTHS.iter().any(|times| !gaps.spots(k, *times).is_empty());
        gaps.has_room = (0..gaps.freed.islands.len()).map(fits).collect();
        gaps
    }

    /// The islands whose bridges are moved.
    fn moving(&self) -> impl Iterator<Item = (usize, &Island)> {
        self.freed.islands.iter().enumerate().filter(|(k, _)| self.has_room[*k])
    }

    /// Whether a place, by number, is a bridge that is moved.
    fn moves(&self, place: usize) -> bool {
        self.moving().any(|(_, island)| island.places.contains(&place))
    }

    /// Whether it holds an island.
    fn holds(&self, place: usize) -> bool {
        self.freed.islands.iter().any(|island| island.places.contains(&place))
    }

    /// Where bars `times` as wide as its bridges were may hold an island, the best spot first.
    fn spots(&self, k: usize, times: f64) -> Vec<Vec<Span>> {
        let Freed { islands, main, .. } = &self.freed;
        let others = islands.iter().enumerate().filter(|(other, _)| *other != k);
        let others: Vec<&Shape> = others.map(|(_, other)| &other.shape).collect();
        spots(&islands[k].shape, main, &others, self.along, times * islands[k].width)
    }
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
    use geo_types::{Coord, polygon};

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
