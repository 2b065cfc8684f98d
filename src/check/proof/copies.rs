//! Cases that are one case, moved: what decides them is the same wood, line for line.
//!
//! A comb has a tooth fifty times over. What a case says depends on the wood that is loaded, on the held wood about its fences as far
//! as a mesh tells it, and on what is asked; where all of that is another case's, moved and neither turned nor mirrored, so is the
//! answer. It is worked out once. Cases that only look alike are worked out each for itself.

use crate::{
    shape::{
        Shape,
        plane::{Point, extents, nearest_on_segment},
    },
    solid::in_order,
};

use super::{Answer, Case, Outcome, Proof, jobs::Job, look::Sight, model::FAR, planes::Candidate};

/// Points are the same up to this distance, in mm: the finest that a drawing is read with. Our own rule.
const SAME: f64 = 0.0005;
/// Cases about which more sides of walls lie are not compared: our own rule.
const MOST_SIDES: usize = 400;
/// A case may take so much of the piece's area, in a box about it, that whatever it holds is far smaller than the rest: then it does
/// not matter how large the piece is. Our own rule.
const MOST_AREA: f64 = 0.5;

/// What each case is a copy of, and how far it is moved; of an original nothing.
pub(super) struct Copies(Vec<Option<(usize, Point)>>);

/// All that decides a case, as seen from the start of its first fence.
struct Signature {
    from: Point,
    sides: Vec<[Point; 2]>,
}

impl Copies {
    pub(super) fn among(jobs: &[Job], proof: &Proof<'_>) -> Self {
        // What is let in or glued on lies where it lies.
        if proof.mended || jobs.len() < 2 {
            return Self(vec![None; jobs.len()]);
        }
        let signatures: Vec<Option<Signature>> = jobs.iter().map(|job| signature(job, proof.shape)).collect();
        let mut copies: Vec<Option<(usize, Point)>> = Vec::with_capacity(jobs.len());
        for (j, job) in jobs.iter().enumerate() {
            let moved_from = |i: usize| {
                let (original, copy) = (signatures[i].as_ref()?, signatures[j].as_ref()?);
                let shift = copy.from - original.from;
                (asks_the_same(&jobs[i], job, shift) && original.is(copy)).then_some((i, shift))
            };
            let copy = (0..j).filter(|&i| copies[i].is_none()).find_map(moved_from);
            copies.push(copy);
        }
        Self(copies)
    }

    /// What `work` gives for every case, done for the originals alone and `moved` to the copies, each from its original.
    pub(super) fn each<T: Send + Sync>(
        &self,
        threads: usize,
        work: impl Fn(usize) -> T + Sync,
        moved: impl Fn(&T, usize, Point) -> T,
    ) -> Vec<T> {
        let originals: Vec<usize> = (0..self.0.len()).filter(|&j| self.0[j].is_none()).collect();
        let mut done = in_order(originals.len(), threads, |n| work(originals[n])).into_iter();
        let mut all: Vec<T> = Vec::with_capacity(self.0.len());
        for (j, copy) in self.0.iter().enumerate() {
            let one = match copy {
                Some((original, shift)) => moved(&all[*original], j, *shift),
                None => done.next().expect("one for every original"),
            };
            all.push(one);
        }
        all
    }
}

/// What was seen of a case, at its copy, which is asked of the one place.
pub(super) fn moved_sight(sight: &Sight, place: usize, shift: Point) -> Sight {
    let mut sight = sight.clone();
    sight.place = place;
    sight.peaks.iter_mut().for_each(|(spot, _)| spot.at = spot.at + shift);
    sight
}

/// The outcome of a case, at its copy, which is asked of the one place, for the same planes.
pub(super) fn moved_outcome(outcome: &Outcome, copy: &Job, shift: Point) -> Outcome {
    let (place, planes) = (copy.asked[0].0, &copy.asked[0].1);
    let answer = |answer: &Answer| {
        answer.map(|(mut weakest, plane)| {
            weakest.at = weakest.at + shift;
            weakest.centre = weakest.centre.map(|centre| centre + shift);
            let line = plane.line.map(|end| end + shift);
            (weakest, Candidate { line, ..planes[weakest.plane] })
        })
    };
    Outcome {
        weakest: outcome.weakest.iter().map(|(_, found)| (place, found.each_ref().map(answer))).collect(),
        crowded: outcome.crowded.iter().map(|_| place).collect(),
        left: Vec::new(),
    }
}

/// Whether two cases ask the same, of one place each.
fn asks_the_same(one: &Job, other: &Job, shift: Point) -> bool {
    let same = |a: Point, b: Point| is_same(a + shift, b);
    let same_line = |a: [Point; 2], b: [Point; 2]| same(a[0], b[0]) && same(a[1], b[1]);
    let ([(place, planes)], [(other_place, other_planes)]) = (&one.asked[..], &other.asked[..]) else {
        return false;
    };
    let same_plane = |(a, b): (&Candidate, &Candidate)| {
        let of = |plane: &Candidate| {
            (plane.family, plane.free, plane.at_end_of_ply, plane.between, plane.peaks, plane.floors)
        };
        of(a) == of(b) && same_line(a.line, b.line) && (a.ligament - b.ligament).abs() <= SAME
    };
    let alike =
        one.strong.contains(place) == other.strong.contains(other_place) && one.opened == other.opened;
    let fences = one.fences.iter().zip(&other.fences);
    let spots = match (&one.only, &other.only) {
        (None, None) => true,
        (Some(one), Some(other)) => {
            let mut pairs = one.iter().zip(other);
            one.len() == other.len()
                && pairs.all(|(a, b)| a.kind == b.kind && a.face == b.face && same(a.at, b.at))
        }
        _ => false,
    };
    alike
        && spots
        && one.fences.len() == other.fences.len()
        && fences.into_iter().all(|(a, b)| same_line(a.line, b.line) && (a.give - b.give).abs() <= SAME)
        && planes.len() == other_planes.len()
        && planes.iter().zip(other_planes).all(same_plane)
        && one.inside.len() == other.inside.len()
        && one.inside.iter().zip(&other.inside).all(|(a, b)| same(*a, *b))
}

fn is_same(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() <= SAME && (a.y - b.y).abs() <= SAME
}

impl Signature {
    /// Whether both have the same sides; they are listed in the order of the rings, wherever those begin.
    fn is(&self, other: &Self) -> bool {
        let count = self.sides.len();
        let mut next = 0;
        let mut taken = vec![false; count];
        count == other.sides.len()
            && self.sides.iter().all(|side| {
                let found = (0..count)
                    .map(|n| (next + n) % count)
                    .find(|&k| !taken[k] && (0..2).all(|end| is_same(side[end], other.sides[k][end])));
                found.is_some_and(|k| {
                    taken[k] = true;
                    next = (k + 1) % count;
                    true
                })
            })
    }
}

/// The box about all that decides a place taken out alone: the wood that is loaded, and the held wood as far as it gives and the size of a
/// triangle more. Nothing where it is not told which wood is loaded.
pub(super) fn window(job: &Job, shape: &Shape) -> Option<[[f64; 2]; 2]> {
    if job.case != Case::Place || job.fences.is_empty() {
        return None;
    }
    let give = job.fences.iter().map(|fence| fence.give).fold(0.0, f64::max);
    let mut about: Vec<Point> = job.fences.iter().flat_map(|fence| fence.line).collect();
    // Along the walls from each fence's end to the fence that comes next: so the loaded wood is gone round.
    for fence in &job.fences {
        let start = on_wall(shape, fence.line[1])?;
        let ends = job.fences.iter().filter_map(|fence| on_wall(shape, fence.line[0]));
        let end = ends
            .filter(|end| end.ring == start.ring)
            .min_by(|a, b| start.ahead(a).total_cmp(&start.ahead(b)))?;
        about.extend(start.walls_to(shape, &end));
    }
    // Triangles of the held wood count by their middles.
    let reach = give + FAR;
    Some(extents(&about).map(|[low, high]| [low - reach, high + reach]))
}

/// The sides of all walls about a case; nothing where it is not told which wood is loaded, or the case is too large.
fn signature(job: &Job, shape: &Shape) -> Option<Signature> {
    if job.asked.len() != 1 {
        return None;
    }
    let from = job.fences.first()?.line[0];
    let window = window(job, shape)?;
    let whole = extents(&shape.polygon().exterior().0);
    let [width, height] =
        [0, 1].map(|axis| window[axis][1].min(whole[axis][1]) - window[axis][0].max(whole[axis][0]));
    if width * height > MOST_AREA * shape.area() {
        return None;
    }
    let mut sides = Vec::new();
    for ring in shape.rings() {
        for side in ring.lines() {
            if let Some(inside) = clipped([side.start, side.end], window) {
                sides.push(inside.map(|p| p - from));
                if sides.len() > MOST_SIDES {
                    return None;
                }
            }
        }
    }
    Some(Signature { from, sides })
}

/// A point of a wall: its ring, the side, how far along that side as a part of it, and how many sides the ring has.
struct OnWall {
    ring: usize,
    side: usize,
    along: f64,
    count: usize,
}

/// The point of a wall that a fence ends at.
fn on_wall(shape: &Shape, p: Point) -> Option<OnWall> {
    for (ring, wall) in shape.rings().enumerate() {
        let count = wall.0.len() - 1;
        for (side, line) in wall.lines().enumerate() {
            let (nearest, along) = nearest_on_segment(p, line.start, line.end);
            if is_same(nearest, p) {
                return Some(OnWall { ring, side, along, count });
            }
        }
    }
    None
}

impl OnWall {
    /// How far ahead another point of the same ring lies, in sides.
    fn ahead(&self, other: &Self) -> f64 {
        let at = |point: &Self| point.side as f64 + point.along;
        (at(other) - at(self)).rem_euclid(self.count as f64)
    }

    /// The corners on the way to another point of the same ring.
    fn walls_to(&self, shape: &Shape, other: &Self) -> Vec<Point> {
        let Some(wall) = shape.rings().nth(self.ring) else { return Vec::new() };
        let corners = (self.along + self.ahead(other)).ceil() as usize;
        (1..=corners).map(|n| wall.0[(self.side + n) % self.count]).collect()
    }
}

/// The part of a side that lies in a window or along its edge.
fn clipped([from, to]: [Point; 2], [x, y]: [[f64; 2]; 2]) -> Option<[Point; 2]> {
    let way = to - from;
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (start, way, [least, most]) in [(from.x, way.x, x), (from.y, way.y, y)] {
        if way == 0.0 {
            if start < least || start > most {
                return None;
            }
            continue;
        }
        let (a, b) = ((least - start) / way, (most - start) / way);
        first = first.max(a.min(b));
        last = last.min(a.max(b));
    }
    (first < last).then(|| [from + way * first, from + way * last])
}

#[cfg(test)]
mod tests {
    use geo_types::{LineString, Polygon};

    use super::*;
    use crate::{
        check::{Options, Place, PushKind, Pushes, check},
        shape::plane::{distance, point},
        strength::tests::cherry,
        units::{Angle, Length},
        wood::{Board, Rings},
    };

    /// A comb of twenty teeth 4 wide and 20 long on a spine; every tooth lies off its even place by as much as `off` says.
    fn teeth(off: impl Fn(usize) -> f64) -> Vec<Place> {
        let mut ring = vec![point(0.0, 0.0), point(206.0, 0.0), point(206.0, 30.0), point(0.0, 30.0)];
        for tooth in (0..20).rev() {
            let x = 6.0 + 10.0 * tooth as f64 + off(tooth);
            ring.extend([point(x + 4.0, 30.0), point(x + 4.0, 50.0), point(x, 50.0), point(x, 30.0)]);
        }
        // Those of the spine's upper side come between its ends.
        let last = ring.remove(3);
        ring.push(last);
        let shape = Shape::new(Polygon::new(LineString::new(ring), Vec::new())).expect("a comb");
        let board = Board {
            thickness: Length::mm(12.0),
            grain: Angle::deg(0.0),
            rings: Rings::Flat,
            moisture_pct: 12.0,
        };
        let finding = check("comb", &shape, &board, &cherry(), &Pushes::default(), &Options::default());
        let mut places = finding.expect("it is judged").places;
        places.retain(|place| place.width_mm < 5.0);
        places.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
        places
    }

    #[test]
    fn what_is_copied_answers_as_if_it_were_worked_out() {
        let (even, uneven) = (teeth(|_| 0.0), teeth(|tooth| [0.0, 0.004, 0.009][tooth % 3]));
        assert_eq!((even.len(), uneven.len()), (20, 20));
        let forces = |place: &Place| [place.face.breaks_at_n, place.side.breaks_at_n];
        // Far from both ends all are one, to the last digit; and so is what the closed form makes of the same forces, to rounding.
        let same_forces = |place: &Place, kind: PushKind| {
            place.push(kind).solved.as_ref().and_then(|solved| solved.same_forces_n).expect("a bare place")
        };
        for pair in even[8..12].windows(2) {
            assert_eq!(forces(&pair[0]), forces(&pair[1]));
            for kind in [PushKind::Face, PushKind::Side] {
                let [one, other] = [0, 1].map(|k| same_forces(&pair[k], kind));
                assert!((one / other - 1.0).abs() < 1e-9, "{one} {other}");
            }
        }
        // By hand: teeth 20 long, the pad's half on them acts 4·5/(3·π) within the tip, at 17.88; W = 4·12²/6 = 96 mm³, f = 3.9 MPa, a quarter's mean 3/4.
        let by_hand = 3.9 * 96.0 / (0.75 * 17.88);
        assert!((same_forces(&even[8], PushKind::Face) / by_hand - 1.0).abs() < 0.03, "{by_hand}");
        // Each parts at its own root and is pushed at its own tip, 10 mm from the next.
        for tooth in 8..12 {
            let x = 6.0 + 10.0 * tooth as f64;
            for kind in [PushKind::Face, PushKind::Side] {
                let push = even[tooth].push(kind);
                let [line] = push.break_line[..] else { panic!("one line, not {:?}", push.break_line) };
                let mut line = line.to_vec();
                line.sort_by(|a, b| a.x.total_cmp(&b.x));
                for (end, root) in line.iter().zip([point(x, 30.0), point(x + 4.0, 30.0)]) {
                    assert!(distance(*end, root) < 1e-6, "{tooth} {kind:?}: {line:?}");
                }
                let moved = push.push_at - even[8].push(kind).push_at;
                assert!(distance(moved, point(10.0 * (tooth - 8) as f64, 0.0)) < 1e-6, "{tooth} {moved:?}");
            }
        }
        // Teeth off their places are each worked out; meshes differ.
        assert!(uneven[8..12].windows(2).any(|pair| forces(&pair[0]) != forces(&pair[1])));
        for (even, uneven) in even.iter().zip(&uneven) {
            assert!((even.face.push_at.x - uneven.face.push_at.x).abs() < 4.1, "{even:?}");
            for (one, other) in forces(even).into_iter().zip(forces(uneven)) {
                assert!((one / other - 1.0).abs() < 0.02, "{one} {other}");
            }
        }
    }

    #[test]
    fn a_side_is_clipped_to_a_window() {
        let window = [[0.0, 10.0]; 2];
        let clip = |from: [f64; 2], to: [f64; 2]| clipped([from, to].map(|[x, y]| point(x, y)), window);
        assert_eq!(clip([-5.0, 5.0], [20.0, 5.0]), Some([point(0.0, 5.0), point(10.0, 5.0)]));
        assert_eq!(clip([2.0, 2.0], [2.0, 30.0]), Some([point(2.0, 2.0), point(2.0, 10.0)]));
        assert_eq!(clip([-5.0, 2.0], [2.0, -5.0]), None);
    }
}
