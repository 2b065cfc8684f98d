//! Areas on a fixed grid: cleaned, united, subtracted.

use geo_types::{Coord, LineString, Polygon};
use i_overlay::core::fill_rule::FillRule as Rule;
use i_overlay::core::overlay::{ContourDirection, IntOverlayOptions, Overlay};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::string::clip::{ClipRule, IntClip};

use super::box_tree::BoxTree;
use super::locator::Locator;

/// Grid lines a millimetre: points lie 0.1 µm apart, far below what wood shows and above the noise of
/// single-precision drawings (about 0.01 µm at 100 mm). Whatever is noded here stays noded as `f64`,
/// because every point is a whole number of steps.
pub(crate) const GRID_PER_MM: f64 = 10_000.0;

/// A ring thinner than this (twice its area over its length, in grid steps) is a leftover of two edges
/// that nearly coincide, not wood: 1 µm.
const SLIVER: f64 = 10.0;

/// A point on the grid.
pub(crate) type GridPoint = IntPoint;

/// A closed ring of grid points; the last point is not repeated.
pub(crate) type Ring = Vec<IntPoint>;

/// Which points a set of contours encloses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FillRule {
    /// Where the contours wind round the point at all.
    NonZero,
    /// Where a ray from the point crosses them an odd number of times.
    EvenOdd,
}

/// Any number of separate areas, each an outer ring (anticlockwise) and its openings (clockwise).
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Region {
    /// Outer ring first, then openings.
    pub(crate) shapes: Vec<Vec<Ring>>,
}

/// The grid point nearest to a place in mm.
///
/// The caller has bounded the coordinates: ±100 m is what the grid holds.
pub(crate) fn snapped(c: Coord<f64>) -> IntPoint {
    #[expect(clippy::cast_possible_truncation, reason = "bounded by the caller; the cast saturates")]
    IntPoint::new((c.x * GRID_PER_MM).round() as i32, (c.y * GRID_PER_MM).round() as i32)
}

/// The place of a grid point in mm.
pub(crate) fn placed(p: IntPoint) -> Coord<f64> {
    Coord { x: f64::from(p.x) / GRID_PER_MM, y: f64::from(p.y) / GRID_PER_MM }
}

impl Region {
    /// The area `contours` enclose by `rule`.
    pub(crate) fn filled(contours: &[Ring], rule: FillRule) -> Self {
        let rule = match rule {
            FillRule::NonZero => Rule::NonZero,
            FillRule::EvenOdd => Rule::EvenOdd,
        };
        Self::overlaid(contours, &[], OverlayRule::Subject, rule)
    }

    /// The area of all of `regions` together.
    pub(crate) fn united<'a>(regions: impl IntoIterator<Item = &'a Self>) -> Self {
        let rings: Vec<Ring> = regions.into_iter().flat_map(Self::rings).cloned().collect();
        Self::filled(&rings, FillRule::NonZero)
    }

    /// What is left of this area without `other`.
    pub(crate) fn without(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Difference)
    }

    /// What this area and `other` share.
    pub(crate) fn shared(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Intersect)
    }

    fn with(&self, other: &Self, rule: OverlayRule) -> Self {
        let [a, b] = [self, other].map(|region| region.rings().cloned().collect::<Vec<_>>());
        Self::overlaid(&a, &b, rule, Rule::NonZero)
    }

    fn overlaid(subject: &[Ring], clip: &[Ring], overlay: OverlayRule, fill: Rule) -> Self {
        // Collinear points must survive the overlay: where an opening touches the middle of an edge
        // the touching point is one of them. `tidy` drops the rest, and parts rings that meet at a point: left to part them itself (`ogc`),
        // the overlay panics where an opening hangs on nothing but corners.
        let options = IntOverlayOptions {
            preserve_input_collinear: true,
            output_direction: ContourDirection::CounterClockwise,
            preserve_output_collinear: true,
            min_output_area: 0,
            ogc: false,
        };
        let mut shapes =
            Overlay::with_contours_custom(subject, clip, options, Solver::default()).overlay(overlay, fill);
        // An opening that touches the rim can come out anticlockwise, and would count as wood from then on.
        for shape in &mut shapes {
            for (i, ring) in shape.iter_mut().enumerate() {
                if (doubled_area(ring) > 0.0) != (i == 0) {
                    ring.reverse();
                }
            }
        }
        Self { shapes }
    }

    /// The same area as far as a box reaches, with fewer points: what lies beyond one side of the box is drawn straight. What comes of
    /// it elsewhere means nothing.
    ///
    /// A line that is moved without ever coming to the box winds round every point there as often as before.
    pub(crate) fn near(&self, frame: [i32; 4]) -> Self {
        let rings = |shape: &Vec<Ring>| shape.iter().map(|ring| straightened(ring, frame)).collect();
        Self { shapes: self.shapes.iter().map(rings).collect() }
    }

    /// The parts of open runs that lie outside this area; what runs along its edge is inside.
    pub(crate) fn runs_outside(&self, runs: &[Vec<IntPoint>]) -> Vec<Vec<IntPoint>> {
        self.runs(runs, ClipRule { invert: true, boundary_included: true })
    }

    /// The parts of open runs that lie inside this area, its edge left out.
    pub(crate) fn runs_inside(&self, runs: &[Vec<IntPoint>]) -> Vec<Vec<IntPoint>> {
        self.runs(runs, ClipRule { invert: false, boundary_included: false })
    }

    /// The parts of open runs that lie inside this area or along its edge.
    pub(crate) fn runs_within(&self, runs: &[Vec<IntPoint>]) -> Vec<Vec<IntPoint>> {
        self.runs(runs, ClipRule { invert: false, boundary_included: true })
    }

    fn runs(&self, runs: &[Vec<IntPoint>], clip: ClipRule) -> Vec<Vec<IntPoint>> {
        self.shapes.clip_paths(runs, Rule::NonZero, clip)
    }

    /// All rings.
    pub(crate) fn rings(&self) -> impl Iterator<Item = &Ring> {
        self.shapes.iter().flatten()
    }

    /// The area in mm².
    pub(crate) fn area(&self) -> f64 {
        self.rings().map(|ring| doubled_area(ring)).sum::<f64>() / 2.0 / GRID_PER_MM.powi(2)
    }

    /// The length of all rings in mm.
    pub(crate) fn length(&self) -> f64 {
        self.rings().map(|ring| length(ring)).sum::<f64>() / GRID_PER_MM
    }

    /// Smallest and largest x and y, in grid steps; `None` when empty.
    pub(crate) fn bounds(&self) -> Option<[i32; 4]> {
        let mut points = self.rings().flatten();
        let first = points.next()?;
        Some(points.fold([first.x, first.y, first.x, first.y], |b, p| {
            [b[0].min(p.x), b[1].min(p.y), b[2].max(p.x), b[3].max(p.y)]
        }))
    }

    /// Drops slivers, points on straight runs and points one step apart that carry nothing.
    ///
    /// A point where two rings meet is kept even in the middle of a straight run, so that the rings
    /// stay noded.
    pub(crate) fn tidy(self) -> Self {
        let mut region = self;
        // Taking out a point moves an edge by less than a step, which can, rarely, put it across a
        // third point; a second cleaning nodes that again.
        for _ in 0..2 {
            let (thinned, changed) = region.thinned();
            region = thinned;
            if !changed {
                break;
            }
            let rings: Vec<Ring> = region.rings().cloned().collect();
            region = Self::filled(&rings, FillRule::EvenOdd);
        }
        region.thinned().0.assembled()
    }

    /// Puts the rings together anew: none passes a point twice, and every opening hangs on the outer ring it
    /// lies in.
    ///
    /// Where rings meet at points the overlay can leave two of them in one, or hang an opening on a
    /// neighbour. Wood lies to the left of every ring, so the turn of each loop says which kind it is.
    fn assembled(self) -> Self {
        let rings = self.shapes.into_iter().flatten().flat_map(loops).filter(|ring| !is_sliver(ring));
        let (outers, openings): (Vec<Ring>, Vec<Ring>) = rings.partition(|ring| doubled_area(ring) > 0.0);
        let frames: Vec<[i32; 4]> = outers.iter().map(|ring| frame(ring)).collect();
        let sizes: Vec<f64> = outers.iter().map(|ring| doubled_area(ring)).collect();
        let alone = outers.len() == 1;
        let tree = BoxTree::of_boxes(frames.iter().map(|frame| frame.map(f64::from)));
        let mut locators: Vec<Option<Locator>> = outers.iter().map(|_| None).collect();
        let mut shapes: Vec<Vec<Ring>> = outers.into_iter().map(|outer| vec![outer]).collect();
        for opening in openings {
            let f = frame(&opening);
            let mut around = Vec::new();
            tree.meeting([f[0], f[1], f[0], f[1]].map(f64::from), |i| {
                let o = frames[i];
                if o[0] <= f[0] && o[1] <= f[1] && f[2] <= o[2] && f[3] <= o[3] {
                    around.push(i);
                }
                true
            });
            around.sort_by(|a, b| sizes[*a].total_cmp(&sizes[*b]));
            let home = around.into_iter().find(|&i| {
                alone || locators[i].get_or_insert_with(|| Locator::new([&shapes[i][0]])).encloses(&opening)
            });
            // An opening in no wood at all is no opening.
            if let Some(home) = home {
                shapes[home].push(opening);
            }
        }
        Self { shapes }
    }

    /// One pass of `tidy`, and whether a point was dropped that did not lie exactly on a straight run.
    fn thinned(self) -> (Self, bool) {
        let mut all: Vec<IntPoint> = self.rings().flatten().copied().collect();
        all.sort_unstable();
        let meets = |p: IntPoint| {
            let i = all.partition_point(|q| *q < p);
            all.get(i + 1) == Some(&p)
        };
        let mut moved = false;
        let mut shapes = Vec::new();
        for shape in self.shapes {
            let mut kept: Vec<Ring> = Vec::new();
            for (i, ring) in shape.into_iter().enumerate() {
                let ring = thin(&ring, &meets, &mut moved);
                if !is_sliver(&ring) {
                    kept.push(ring);
                } else if i == 0 {
                    kept.clear();
                    break;
                }
            }
            if !kept.is_empty() {
                shapes.push(kept);
            }
        }
        (Self { shapes }, moved)
    }

    /// The areas as polygons in mm.
    pub(crate) fn polygons(&self) -> Vec<Polygon<f64>> {
        let line =
            |ring: &Ring| ring.iter().chain(ring.first()).map(|p| placed(*p)).collect::<LineString<f64>>();
        self.shapes
            .iter()
            .map(|shape| Polygon::new(line(&shape[0]), shape[1..].iter().map(line).collect()))
            .collect()
    }
}

/// A ring of which every stretch that lies beyond one side of a box is one straight line.
fn straightened(ring: &Ring, [x0, y0, x1, y1]: [i32; 4]) -> Ring {
    let beyond = |p: &IntPoint| [p.x < x0, p.x > x1, p.y < y0, p.y > y1];
    let mut kept = Ring::new();
    let mut i = 0;
    while let Some(&first) = ring.get(i) {
        kept.push(first);
        let mut sides = beyond(&first);
        let mut last = i;
        for (k, p) in ring.iter().enumerate().skip(i + 1) {
            let both = beyond(p);
            let common: [bool; 4] = std::array::from_fn(|side| sides[side] && both[side]);
            if common == [false; 4] {
                break;
            }
            (sides, last) = (common, k);
        }
        i = last.max(i + 1);
    }
    kept
}

/// A ring cut at every point it passes twice.
fn loops(ring: Ring) -> Vec<Ring> {
    let mut sorted = ring.clone();
    sorted.sort_unstable();
    if sorted.windows(2).all(|pair| pair[0] != pair[1]) {
        return vec![ring];
    }
    let mut whole = Vec::new();
    let mut open: Ring = Vec::new();
    let mut stands = std::collections::BTreeMap::new();
    for p in ring {
        if let Some(&start) = stands.get(&p) {
            let part: Ring = open.drain(start..).collect();
            part.iter().for_each(|q| {
                stands.remove(q);
            });
            whole.push(part);
        }
        stands.insert(p, open.len());
        open.push(p);
    }
    whole.push(open);
    whole
}

fn is_sliver(ring: &[IntPoint]) -> bool {
    ring.len() < 3 || doubled_area(ring).abs() < SLIVER * length(ring)
}

/// Smallest and largest x and y of a ring.
fn frame(ring: &[IntPoint]) -> [i32; 4] {
    ring.iter().fold([i32::MAX, i32::MAX, i32::MIN, i32::MIN], |b, p| {
        [b[0].min(p.x), b[1].min(p.y), b[2].max(p.x), b[3].max(p.y)]
    })
}

/// Drops the points of a ring that carry nothing.
fn thin(ring: &Ring, meets: &impl Fn(IntPoint) -> bool, moved: &mut bool) -> Ring {
    let mut out: Ring = Vec::with_capacity(ring.len());
    let n = ring.len();
    for (i, p) in ring.iter().enumerate() {
        let before = out.last().copied().unwrap_or(ring[n - 1]);
        let after = ring[(i + 1) % n];
        if before == *p {
            continue;
        }
        if !meets(*p) {
            let (a, b) = (*p - before, after - *p);
            if cross(a, b) == 0 && dot(a, b) >= 0 {
                continue;
            }
            if dot(a, a) <= 4 && !out.is_empty() {
                *moved = true;
                continue;
            }
        }
        out.push(*p);
    }
    out
}

/// Twice the area a ring encloses, in square grid steps; positive when it runs anticlockwise.
pub(crate) fn doubled_area(ring: &[IntPoint]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    // Sums of products up to 2^62 would overflow 64 bits.
    let sum: i128 = edges(ring).map(|[a, b]| i128::from(cross(a - o, b - o))).sum();
    #[expect(clippy::cast_precision_loss, reason = "an area; 53 bits are plenty")]
    let sum = sum as f64;
    sum
}

/// The length of a ring, in grid steps.
pub(crate) fn length(ring: &[IntPoint]) -> f64 {
    edges(ring).map(|[a, b]| f64::from(a.x - b.x).hypot(f64::from(a.y - b.y))).sum()
}

/// The edges of a ring.
pub(crate) fn edges(ring: &[IntPoint]) -> impl Iterator<Item = [IntPoint; 2]> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| [*a, *b])
}

pub(super) fn cross(a: IntPoint, b: IntPoint) -> i64 {
    i64::from(a.x) * i64::from(b.y) - i64::from(a.y) * i64::from(b.x)
}

fn dot(a: IntPoint, b: IntPoint) -> i64 {
    i64::from(a.x) * i64::from(b.x) + i64::from(a.y) * i64::from(b.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: i32, y: i32, side: i32) -> Ring {
        let s = 10_000;
        [(0, 0), (1, 0), (1, 1), (0, 1)]
            .map(|(u, v)| IntPoint::new((x + u * side) * s, (y + v * side) * s))
            .to_vec()
    }

    #[test]
    fn overlapping_squares_unite_by_winding_and_cancel_by_parity() {
        let rings = [square(0, 0, 10), square(5, 5, 10)];
        assert!((Region::filled(&rings, FillRule::NonZero).area() - 175.0).abs() < 1e-9);
        assert!((Region::filled(&rings, FillRule::EvenOdd).area() - 150.0).abs() < 1e-9);
    }

    #[test]
    fn an_opening_that_touches_an_edge_leaves_a_point_there() {
        let diamond =
            [(5, 0), (7, 2), (5, 4), (3, 2)].map(|(x, y)| IntPoint::new(x * 10_000, y * 10_000)).to_vec();
        let region = Region::filled(&[square(0, 0, 10), diamond], FillRule::EvenOdd).tidy();
        assert_eq!(region.shapes.len(), 1);
        let shape = &region.shapes[0];
        assert_eq!((shape.len(), shape[0].len(), shape[1].len()), (2, 5, 4));
        assert!(shape[0].contains(&IntPoint::new(50_000, 0)));
    }

    #[test]
    fn an_opening_that_touches_any_edge_stays_an_opening() {
        let plate = square(0, 0, 10);
        let mut triangle = [(5, 10), (7, 6), (3, 6)].map(|(x, y)| (x * 10_000, y * 10_000));
        for _ in 0..4 {
            triangle = triangle.map(|(x, y)| (100_000 - y, x));
            let ring = triangle.map(|(x, y)| IntPoint::new(x, y)).to_vec();
            let raw = Region::filled(&[plate.clone(), ring], FillRule::EvenOdd);
            assert!((raw.area() - 92.0).abs() < 1e-9, "{triangle:?}: {raw:?}");
            let region = raw.tidy();
            assert!((region.area() - 92.0).abs() < 1e-9, "{triangle:?}: {region:?}");
            assert_eq!(region.shapes.len(), 1);
        }
    }

    #[test]
    fn a_ring_that_passes_a_point_twice_is_cut_there() {
        let [a, b, c, d, e] = [(0, 0), (4, 0), (2, 2), (4, 4), (0, 4)].map(|(x, y)| IntPoint::new(x, y));
        let mut parts = loops(vec![a, b, c, d, e, c]);
        parts.sort();
        assert_eq!(parts, [vec![a, b, c], vec![c, d, e]]);
    }

    #[test]
    fn squares_that_meet_at_a_corner_stay_two() {
        let region = Region::united(&[
            Region::filled(&[square(0, 0, 10)], FillRule::NonZero),
            Region::filled(&[square(10, 10, 10)], FillRule::NonZero),
        ]);
        assert_eq!(region.tidy().shapes.len(), 2);
    }

    /// A star of many points and squares about its rim: what the two share or not is the same, found with a few of its points.
    #[test]
    fn a_region_is_the_same_near_a_box() {
        let star: Ring = (0..4000)
            .map(|k| {
                let (sin, cos) = (f64::from(k) / 4000.0 * std::f64::consts::TAU).sin_cos();
                let reach = 50.0 + f64::from(k % 7);
                snapped(Coord { x: reach * cos, y: reach * sin })
            })
            .collect();
        let region = Region::filled(&[star, square(-10, -10, 20)], FillRule::EvenOdd);
        for (x, y, side) in
            [(45, -5, 10), (-60, -8, 30), (0, 40, 9), (-70, -70, 140), (-3, -3, 6), (20, 20, 4), (80, 0, 5)]
        {
            let small = Region::filled(&[square(x, y, side)], FillRule::NonZero);
            let frame = small.bounds().expect("a square");
            let near = region.near(frame);
            assert!(
                (near.shared(&small).area() - region.shared(&small).area()).abs() < 1e-9,
                "{x} {y} {side}"
            );
            assert!(
                (small.without(&near).area() - small.without(&region).area()).abs() < 1e-9,
                "{x} {y} {side}"
            );
            let points = |region: &Region| region.rings().map(Vec::len).sum::<usize>();
            assert!(side > 30 || points(&near) < 1000, "{}", points(&near));
        }
    }

    #[test]
    fn points_on_straight_runs_go() {
        let mut ring = square(0, 0, 10);
        ring.insert(1, IntPoint::new(30_000, 0));
        let region = Region::filled(&[ring], FillRule::NonZero).tidy();
        assert_eq!(region.shapes[0][0].len(), 4);
    }

    #[test]
    fn a_spike_without_width_goes() {
        let mut ring = square(0, 0, 10);
        ring.insert(1, IntPoint::new(50_000, 0));
        ring.insert(2, IntPoint::new(50_000, -40_000));
        ring.insert(3, IntPoint::new(50_000, 0));
        let region = Region::filled(&[ring], FillRule::NonZero).tidy();
        assert_eq!(region.shapes[0][0].len(), 4);
        assert!((region.area() - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_run_is_cut_where_it_leaves_an_area_and_its_edge_is_inside() {
        let region = Region::filled(&[square(0, 0, 10), square(4, 4, 2)], FillRule::EvenOdd);
        let run = |points: &[(i32, i32)]| {
            points.iter().map(|(x, y)| IntPoint::new(x * 10_000, y * 10_000)).collect::<Vec<_>>()
        };
        let length = |runs: Vec<Vec<IntPoint>>| {
            let edges = runs.iter().flat_map(|run| run.windows(2));
            edges.map(|e| f64::from(e[0].x - e[1].x).hypot(f64::from(e[0].y - e[1].y))).sum::<f64>()
                / 10_000.0
        };
        // Fifteen long: eight in the area, two in its opening, five beyond.
        let across = [run(&[(0, 5), (15, 5)])];
        assert_eq!((length(region.runs_inside(&across)), length(region.runs_outside(&across))), (8.0, 7.0));
        let along = [run(&[(2, 0), (8, 0)]), run(&[(10, 1), (10, 9)])];
        assert_eq!((length(region.runs_inside(&along)), length(region.runs_outside(&along))), (0.0, 0.0));
        assert_eq!(length(region.runs_within(&along)), 14.0);
        let away = [run(&[(20, 20), (30, 20), (30, 30)])];
        assert_eq!((length(region.runs_inside(&away)), length(region.runs_outside(&away))), (0.0, 20.0));
    }

    #[test]
    fn a_point_on_a_ring_is_held_and_one_in_an_opening_is_not() {
        let region = Region::filled(&[square(0, 0, 10), square(4, 4, 2)], FillRule::EvenOdd);
        let locator = Locator::new(region.rings());
        let at = |x: f64, y: f64| locator.holds(snapped(Coord { x, y }));
        assert!(at(0.0, 5.0) && at(1.0, 1.0) && at(4.0, 5.0));
        assert!(!at(5.0, 5.0) && !at(-0.1, 5.0) && !at(5.0, 10.1));
    }
}
