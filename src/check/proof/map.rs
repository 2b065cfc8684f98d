//! The push map: every point of the face pushed in every case, with all planes asked.

use std::collections::BTreeSet;

use crate::{
    shape::plane::{Point, cross, distance, dot, nearest_on_segment, point},
    solid::{Elastic, Face, Mesh, in_order, threads_at_once},
};

use super::{
    super::{
        Case, EASY, Place,
        push_map::{PushMap, PushPoint},
    },
    Proof, Worth,
    jobs::{Job, Origin},
    model::{Fineness, Model},
    pushes::{self, Tried},
};

/// So many points of the grid lie over a piece at the most; its spacing is a whole number of half millimetres.
const MOST: f64 = 3000.0;
const STEP: f64 = 0.5;
/// Neighbours are never nearer, in mm: a pad is 10 mm wide.
const LEAST: f64 = 1.5;
/// Pads along a wall are no farther apart than this, in mm, or than so many times the grid's points, and one stands where a wall turns by
/// more than so many radians (20°).
const ALONG: f64 = 3.0;
const WIDER: f64 = 1.5;
const CORNER: f64 = 0.35;
/// How far a mesh may pass by the walls as they are drawn, in mm.
const STRAYS: f64 = 0.5;
/// A case counts once more for every so many pushes on it.
const PUSHES: usize = 1000;
/// So many small cases are cut at once, before it is known how many of them there is work for.
const AT_ONCE: usize = 8;

/// A case to be pushed.
struct Pushed {
    model: Model,
    tried: Vec<Tried>,
    /// Which of all points each pad stands on: those of the grid, then those off it.
    numbers: Vec<usize>,
}

impl Pushed {
    fn work(&self) -> usize {
        let unknowns = self.model.solid.dof_count();
        unknowns + unknowns * self.tried.len() / PUSHES
    }
}

impl Proof<'_> {
    /// The least force on each point of the face that breaks any place it loads; places are given by their number in
    /// the list, counted from zero. `closed_form` are the places before they were `proved`, by the cases `worth` solving.
    pub(in super::super) fn push_map(
        &self,
        closed_form: &[Place],
        proved: &[Place],
        origins: &[Origin],
        worth: &Worth,
    ) -> PushMap {
        let mut map = self.grid();
        let Ok(elastic) = Elastic::of(self.wood) else { return map };
        // The map ends where the push is far from breaking anything.
        let over = |k: usize| proved[k].face.over(self.pushes);
        let (chosen, rest) = self.chosen(closed_form, |k| over(k) < EASY);
        let mut jobs = self.jobs(closed_form, origins, &chosen);
        // Of the lines in between those that a first look found worth it; all others may be the weakest under some push.
        for (place, planes) in jobs.iter_mut().flat_map(|job| &mut job.asked) {
            let kept = || worth.0.iter().flat_map(|job| &job.asked).filter(|(kept, _)| kept == place);
            planes.retain(|plane| {
                !plane.between || kept().flat_map(|(_, planes)| planes).any(|kept| kept.line == plane.line)
            });
        }
        let weakest = |job: &Job| job.asked.iter().map(|(k, _)| over(*k)).fold(f64::INFINITY, f64::min);
        jobs.sort_by(|a, b| weakest(a).total_cmp(&weakest(b)));
        let off_grid = self.off_grid(proved, map.spacing_mm);
        let mut known: Vec<Option<PushPoint>> = vec![None; map.points.len() + off_grid.len()];
        let mut left_out: BTreeSet<usize> = rest.into_iter().collect();
        let mut unsolved = BTreeSet::new();
        let places = |job: &Job| job.asked.iter().map(|(k, _)| *k).collect::<Vec<_>>();
        let threads = threads_at_once();
        let (mut spent, mut todo) = (0, &jobs[..]);
        while !todo.is_empty() {
            // All places at once are one mesh, as big as all others together.
            let small = todo.iter().take(AT_ONCE).take_while(|job| job.case == Case::Place).count();
            let (now, later) = todo.split_at(small.max(1));
            todo = later;
            let cut = |j: usize| self.pushed(&now[j], &elastic, worth, &map, &off_grid);
            let mut cases = Vec::new();
            for (job, case) in now.iter().zip(in_order(now.len(), threads, cut)) {
                let Some(case) = case else {
                    unsolved.extend(places(job));
                    continue;
                };
                // The weakest case is pushed however big it is.
                if spent > 0 && spent + case.work() > self.map {
                    spent = self.map;
                    left_out.extend(places(job));
                } else {
                    spent += case.work();
                    cases.push((job, case));
                }
            }
            let found = in_order(cases.len(), threads, |c| cases[c].1.answers());
            for ((job, _), found) in cases.iter().zip(found) {
                let Some(found) = found else {
                    unsolved.extend(places(job));
                    continue;
                };
                for (number, new) in found {
                    let old = &mut known[number];
                    if old.is_none_or(|old| new.breaks_at_n < old.breaks_at_n) {
                        *old = Some(new);
                    }
                }
            }
            if spent >= self.map {
                left_out.extend(todo.iter().flat_map(places));
                break;
            }
        }
        let most = EASY * self.pushes.face.as_n();
        let kept = |point: Option<PushPoint>| point.filter(|point| point.breaks_at_n <= most);
        let beside = known.split_off(map.points.len());
        map.points = known.into_iter().map(kept).collect();
        let beside = off_grid.into_iter().zip(beside);
        map.off_grid = beside.filter_map(|(at, point)| Some((at, kept(point)?))).collect();
        map.left_out = left_out.into_iter().collect();
        map.unsolved = unsolved.into_iter().collect();
        map
    }

    /// A case with a pad on each point of its loaded wood; nothing where it cannot be cut.
    fn pushed(
        &self,
        job: &Job,
        elastic: &Elastic,
        worth: &Worth,
        map: &PushMap,
        off_grid: &[Point],
    ) -> Option<Pushed> {
        // With all planes the biggest may be too big: then those that the first look found worth it have to do.
        let fewer = || worth.0.iter().find_map(|narrowed| narrowed.of_places(job));
        let fineness = if job.case == Case::Carried { Fineness::COARSE } else { self.fineness(job) };
        let model = self.model(job, elastic, fineness);
        let model = model.or_else(|| self.model(&fewer()?, elastic, fineness))?;
        let (mut tried, mut numbers) = (Vec::new(), Vec::new());
        let on_grid = points_on(&model.solid.body().mesh, &model.loaded, map);
        let beside = (map.points.len()..).zip(off_grid);
        let beside = beside.filter_map(|(number, &at)| Some((number, on_loaded(&model, at)?)));
        for (number, at) in on_grid.into_iter().chain(beside) {
            if let Some(pad) = pushes::pad(&model.solid, at, &model.loaded, Face::Show) {
                tried.push(pad);
                numbers.push(number);
            }
        }
        Some(Pushed { model, tried, numbers })
    }

    /// Where pads stand off the grid: along the walls, whatever case loads them, and where the check pushes hardest on each place.
    fn off_grid(&self, proved: &[Place], spacing: f64) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for ring in self.shape.rings() {
            along_ring(&ring.0[..ring.0.len() - 1], ALONG.max(WIDER * spacing), &mut points);
        }
        for pad in proved.iter().filter_map(|place| place.face.solved.as_ref()?.pad_at) {
            if !points.contains(&pad) {
                points.push(pad);
            }
        }
        points
    }

    /// An empty map over the piece.
    fn grid(&self) -> PushMap {
        let points = || self.shape.polygon().exterior().coords();
        let low = points().fold([f64::INFINITY; 2], |low, p| [low[0].min(p.x), low[1].min(p.y)]);
        let high = points().fold([f64::NEG_INFINITY; 2], |high, p| [high[0].max(p.x), high[1].max(p.y)]);
        let [wide, tall] = [high[0] - low[0], high[1] - low[1]];
        let spacing = LEAST.max(((wide * tall / MOST).sqrt() / STEP).ceil() * STEP);
        // The outermost lie on the walls or beyond, so that all wood lies between points.
        let count = |length: f64| (length / spacing).ceil() as usize + 1;
        let (columns, rows) = (count(wide), count(tall));
        let start = |low: f64, length: f64, count: usize| low + (length - spacing * (count - 1) as f64) / 2.0;
        PushMap {
            spacing_mm: spacing,
            first: point(start(low[0], wide, columns), start(low[1], tall, rows)),
            columns,
            rows,
            points: vec![None; columns * rows],
            off_grid: Vec::new(),
            left_out: Vec::new(),
            unsolved: Vec::new(),
        }
    }
}

impl Pushed {
    /// The points that the case loads, with what breaks there; nothing where the equations cannot be solved.
    fn answers(&self) -> Option<Vec<(usize, PushPoint)>> {
        let Self { model, tried, numbers } = self;
        let answers = model.answers(tried)?;
        let mut greatest: Vec<(f64, usize)> = vec![(0.0, 0); tried.len()];
        let peaks = model.planes.peaks(&answers, model.candidates.len());
        for (plane, parts) in peaks.iter().enumerate() {
            for (old, &peak) in parts.values().flat_map(|peaks| peaks.iter().enumerate()) {
                if peak > greatest[old].0 {
                    greatest[old] = (peak, model.owners[plane]);
                }
            }
        }
        let known = numbers.iter().zip(greatest).filter(|(_, (peak, _))| *peak > 0.0);
        let point = |(&number, (peak, place))| (number, PushPoint { breaks_at_n: 1.0 / peak, place });
        Some(known.map(point).collect())
    }
}

/// Points along a ring (its first not repeated): its corners, and evenly between them, the middle of each wall among them.
fn along_ring(ring: &[Point], step: f64, points: &mut Vec<Point>) {
    let count = ring.len();
    let at = |i: usize| ring[i % count];
    let turns = |i: usize| {
        let (before, after) = (at(i + count) - at(i + count - 1), at(i + 1) - at(i));
        cross(before, after).atan2(dot(before, after)).abs() > CORNER
    };
    let corners: Vec<usize> = (0..count).filter(|&i| turns(i)).collect();
    let first = corners.first().copied().unwrap_or(0);
    let mut ends: Vec<usize> = if corners.is_empty() { vec![0] } else { corners };
    ends.push(first + count);
    for wall in ends.windows(2) {
        let sides = || (wall[0]..wall[1]).map(|i| [at(i), at(i + 1)]);
        let whole: f64 = sides().map(|[a, b]| distance(a, b)).sum();
        let steps = (2.0 * (whole / (2.0 * step)).ceil()).max(2.0) as usize;
        let mut side = sides();
        let Some([mut a, mut b]) = side.next() else { continue };
        let mut behind = 0.0;
        for k in 0..steps {
            let along = whole * k as f64 / steps as f64;
            while behind + distance(a, b) < along {
                behind += distance(a, b);
                let Some(next) = side.next() else { break };
                [a, b] = next;
            }
            points.push(a + (b - a) * ((along - behind) / distance(a, b).max(f64::MIN_POSITIVE)));
        }
    }
}

/// A point on the loaded wood of a case, or on its wall where that passes by; nothing where it is not loaded.
fn on_loaded(model: &Model, at: Point) -> Option<Point> {
    let mesh = &model.solid.body().mesh;
    let inside = |&&t: &&u32| is_in(mesh.corner_points(t as usize), at);
    if model.loaded.iter().find(inside).is_some() {
        return Some(at);
    }
    let walls = model.walls.iter().flatten().map(|edge| edge.nodes.map(|n| mesh.points[n as usize]));
    let nearest = walls.map(|[a, _, b]| nearest_on_segment(at, a, b).0);
    let nearest = nearest.min_by(|a, b| distance(*a, at).total_cmp(&distance(*b, at)))?;
    (distance(nearest, at) <= STRAYS).then_some(nearest)
}

fn is_in([a, b, c]: [Point; 3], p: Point) -> bool {
    [(a, b), (b, c), (c, a)].iter().all(|&(a, b)| cross(b - a, p - a) >= -1e-9)
}

/// The points of a map that lie on some triangles, in order.
fn points_on(mesh: &Mesh, triangles: &[u32], map: &PushMap) -> Vec<(usize, Point)> {
    let mut found = std::collections::BTreeMap::new();
    for &t in triangles {
        let [a, b, c] = mesh.corner_points(t as usize);
        let range = |axis: fn(Point) -> f64, first: f64, count: usize| {
            let low = axis(a).min(axis(b)).min(axis(c));
            let high = axis(a).max(axis(b)).max(axis(c));
            let from = ((low - first) / map.spacing_mm).ceil().max(0.0) as usize;
            let to = ((high - first) / map.spacing_mm).floor();
            from..if to < 0.0 { 0 } else { (to as usize + 1).min(count) }
        };
        for row in range(|p| p.y, map.first.y, map.rows) {
            for column in range(|p| p.x, map.first.x, map.columns) {
                let p = map.at(column, row);
                if is_in([a, b, c], p) {
                    found.insert(row * map.columns + column, p);
                }
            }
        }
    }
    found.into_iter().collect()
}
