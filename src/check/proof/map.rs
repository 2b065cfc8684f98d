//! The push map: every point of the face pushed in every case, with all planes asked.

use crate::{
    shape::plane::{Point, cross, point},
    solid::{Elastic, Face, Load, Mesh, in_order, threads_at_once},
};

use super::{
    super::{
        Case, EASY, Place,
        finding::PushKind,
        load::PAD_RADIUS,
        push_map::{PushMap, PushPoint},
    },
    Proof,
    jobs::{Job, Origin},
    model::{Fineness, Model},
    pushes::Tried,
};

/// So many points of the grid lie over a piece at the most; its spacing is a whole number of half millimetres.
const MOST: f64 = 3000.0;
const STEP: f64 = 0.5;
/// Neighbours are never nearer, in mm: a pad is 10 mm wide.
const LEAST: f64 = 1.5;

impl Proof<'_> {
    /// The least force on each point of the face that breaks any place it loads; places are given by their number in
    /// the list, counted from zero. `closed_form` are the places before they were `proved`.
    pub(in super::super) fn push_map(
        &self,
        closed_form: &[Place],
        proved: &[Place],
        origins: &[Origin],
    ) -> PushMap {
        let mut map = self.grid();
        let Ok(elastic) = Elastic::of(self.wood) else { return map };
        // The map ends where the push is far from breaking anything.
        let (chosen, _) = self.chosen(closed_form, |k| proved[k].face.over(self.pushes) < EASY);
        let threads = threads_at_once();
        let mut jobs = self.jobs(closed_form, origins, &chosen);
        let worth = self.narrowed(&jobs, &elastic, threads);
        // Of the lines in between those that a first look finds worth it; all others may be the weakest under some push.
        for (place, planes) in jobs.iter_mut().flat_map(|job| &mut job.asked) {
            let kept = || worth.iter().flat_map(|job| &job.asked).filter(|(kept, _)| kept == place);
            planes.retain(|plane| {
                !plane.between || kept().flat_map(|(_, planes)| planes).any(|kept| kept.line == plane.line)
            });
        }
        let most = EASY * self.pushes.face.as_n();
        let pushed = |j: usize| {
            let job: &Job = &jobs[j];
            // With all planes the biggest may be too big: then those that the first look finds worth it have to do.
            let fewer = || worth.iter().find(|narrowed| narrowed.is_of(job));
            let fineness = if job.case == Case::Carried { Fineness::COARSE } else { self.fineness(job) };
            let model = self.model(job, &elastic, fineness);
            let model = model.or_else(|| self.model(fewer()?, &elastic, fineness));
            model.map_or_else(Vec::new, |model| pushed_all_over(&model, &map))
        };
        for found in in_order(jobs.len(), threads, pushed) {
            for (index, new) in found {
                let old = &mut map.points[index];
                if new.breaks_at_n <= most && old.is_none_or(|old| new.breaks_at_n < old.breaks_at_n) {
                    *old = Some(new);
                }
            }
        }
        map
    }

    /// An empty map over the piece.
    fn grid(&self) -> PushMap {
        let points = || self.shape.polygon().exterior().coords();
        let low = points().fold([f64::INFINITY; 2], |low, p| [low[0].min(p.x), low[1].min(p.y)]);
        let high = points().fold([f64::NEG_INFINITY; 2], |high, p| [high[0].max(p.x), high[1].max(p.y)]);
        let [wide, tall] = [high[0] - low[0], high[1] - low[1]];
        let spacing = LEAST.max(((wide * tall / MOST).sqrt() / STEP).ceil() * STEP);
        let count = |length: f64| (length / spacing).floor() as usize + 1;
        let (columns, rows) = (count(wide), count(tall));
        let start = |low: f64, length: f64, count: usize| low + (length - spacing * (count - 1) as f64) / 2.0;
        PushMap {
            spacing_mm: spacing,
            first: point(start(low[0], wide, columns), start(low[1], tall, rows)),
            columns,
            rows,
            points: vec![None; columns * rows],
        }
    }
}

/// The points that one case loads, with what breaks there.
fn pushed_all_over(model: &Model, map: &PushMap) -> Vec<(usize, PushPoint)> {
    let mut tried = Vec::new();
    let mut numbers = Vec::new();
    for (index, at) in points_on(&model.solid.body().mesh, &model.loaded, map) {
        if let Some((load, at, area)) = Load::pad(&model.solid, at, PAD_RADIUS, &model.loaded, Face::Show) {
            let face = Some((Face::Show, area));
            tried.push(Tried { kind: PushKind::Face, load, at, push: None, face });
            numbers.push(index);
        }
    }
    let Some(answers) = model.answers(&tried) else { return Vec::new() };
    let mut greatest: Vec<(f64, usize)> = vec![(0.0, 0); tried.len()];
    let peaks = model.planes.peaks(&answers, model.candidates.len());
    for (plane, parts) in peaks.iter().enumerate() {
        for (old, &peak) in parts.values().flat_map(|peaks| peaks.iter().enumerate()) {
            if peak > greatest[old].0 {
                greatest[old] = (peak, model.owners[plane]);
            }
        }
    }
    let known = numbers.into_iter().zip(greatest).filter(|(_, (peak, _))| *peak > 0.0);
    known.map(|(index, (peak, place))| (index, PushPoint { breaks_at_n: 1.0 / peak, place })).collect()
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
                if [(a, b), (b, c), (c, a)].iter().all(|&(a, b)| cross(b - a, p - a) >= -1e-9) {
                    found.insert(row * map.columns + column, p);
                }
            }
        }
    }
    found.into_iter().collect()
}
