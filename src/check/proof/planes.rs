//! The planes a place may part on: through the corners at its ends, its neck, its middle, and where the closed form parts it.

use super::{
    super::{finding::Family, load::LEAST_WIDTH, places::Run, ply::Ply},
    beam::Across,
    jobs::touches,
};
use geo_types::Polygon;

use crate::{
    section::{Station, Stretch, StretchEnd, corner_ahead},
    shape::Shape,
    shape::plane::{
        Point, angle_between, cross, direction, distance, dot, left, nearest_on_segment, point, unit,
    },
    skeleton::{Mesh, WallPoint},
    units::Angle,
};

/// A straight interval through the wood, seen from the face, on which tractions are asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) family: Family,
    /// Its ends; the wood whose forces are asked lies to the left.
    pub(super) line: [Point; 2],
    /// Which ends lie on a wall; the other runs on into held wood.
    pub(super) free: [bool; 2],
    /// The length that windows are sized by, in mm.
    pub(super) ligament: f64,
    /// Whether it is the line at which a ply ends.
    pub(super) at_end_of_ply: bool,
    /// Whether it is one of those in between, which only a first look asks for itself.
    pub(super) between: bool,
    /// Whether stress may peak at an end of it, so that a mesh has to follow it even for a first look.
    pub(super) peaks: bool,
    /// Whether the floors beside it are asked too.
    pub(super) floors: bool,
    /// The section that the closed form judges there: square to the run, of a tongue the line itself.
    pub(super) section: Across,
}

/// The length over which wood softens before it parts: windows are never longer, in mm. The least of 13 to 28 mm
/// that (2/π)·E·G/f² gives for ordinary woods across the grain (our own estimate from published fracture energies);
/// only planes longer than four times this are touched by it.
pub(super) const SOFTENING: f64 = 13.0;
/// A window is this part of its plane's length.
pub(super) const WINDOW: f64 = 0.25;
/// A mesh is as fine as windows need all along a plane up to so many times its ligament.
const LONG: f64 = 32.0;
/// Lines nearer each other than this part of the place's neck are one.
const SAME: f64 = 0.03;
/// Of lines nearer each other than this part of their own length a first look keeps the weakest.
const ALIKE: f64 = 0.12;
/// Lines in between are drawn through every so many sections (about a third of a neck), but so many at the most.
const EVERY: usize = 3;
const MOST_BETWEEN: usize = 10;
/// A line through the inside of a place goes this far either way, as a part of the place's own length along it; half
/// of it would just reach the walls of an even one.
const INSIDE: f64 = 0.75;
/// A line beyond a place's end is its own from this part of its neck on.
const OWN: f64 = 0.9;
/// Shorter lines are crumbs, in mm.
const SHORTEST: f64 = 0.05;
/// A wall no longer than this part of the place's width is a chord of a curve.
const FLAT: f64 = 0.25;
/// A line leaves a wall at this angle at least (1°), in radians; else it runs along it.
const CLEAR: f64 = 0.02;

impl Candidate {
    /// The length of a window along it.
    pub(super) fn window(&self) -> f64 {
        SOFTENING.min(WINDOW * self.ligament.min(distance(self.line[0], self.line[1])))
    }

    /// The parts of it that a mesh has to be fine along: all of it, or, where it runs on far beyond what the place has of it, as much
    /// as the place has about each window.
    pub(super) fn fine_along(&self) -> Vec<[Point; 2]> {
        let [from, to] = self.line;
        let length = distance(from, to);
        if length <= LONG * self.ligament {
            return vec![self.line];
        }
        let part = (to - from) * (self.ligament / length);
        let middle = (from + to) / 2.0;
        let parts = [[from, from + part], [middle - part * 0.5, middle + part * 0.5], [to - part, to]];
        parts.into_iter().zip(0u8..).filter(|(_, spot)| self.at(*spot)).map(|(part, _)| part).collect()
    }

    /// Whether windows lie at its start (0), in its middle (1) or at its end (2): at free ends, and within where both are.
    pub(super) fn at(&self, spot: u8) -> bool {
        match spot {
            0 => self.free[0],
            1 => self.free[0] == self.free[1],
            _ => self.free[1],
        }
    }

    /// The middle of it, or of as much as the place has of it at the end that is free.
    fn middle(&self) -> Point {
        let [from, to] = self.line;
        let half = unit(to - from) * (self.ligament / 2.0);
        match self.free {
            [true, false] => from + half,
            [false, true] => to - half,
            _ => (from + to) / 2.0,
        }
    }

    /// Whether both say about the same: one runs beside the other, no farther off than `near`.
    fn is_beside(&self, other: &Self, near: f64) -> bool {
        let beside = |&p: &Point| distance(nearest_on_segment(p, self.line[0], self.line[1]).0, p) <= near;
        let [one, two] = [self, other].map(|plane| distance(plane.line[0], plane.line[1]));
        self.family == other.family && other.line.iter().all(beside) && (one - two).abs() <= 2.0 * near
    }

    /// Whether a first look may let one of both stand for the other.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        let near = ALIKE * self.ligament.min(other.ligament);
        self.at_end_of_ply == other.at_end_of_ply && self.is_beside(other, near)
    }
}

/// The one plane of a tongue that only its grain line shows: the tongue lies on the side of `tip`.
pub(super) fn of_tongue(line: [Point; 2], tip: Point) -> Candidate {
    let line = if cross(line[1] - line[0], tip - line[0]) > 0.0 { line } else { [line[1], line[0]] };
    Candidate {
        family: Family::Grain,
        line,
        free: [true, true],
        ligament: distance(line[0], line[1]),
        at_end_of_ply: false,
        between: false,
        peaks: true,
        floors: true,
        section: Across {
            at: (line[0] + line[1]) / 2.0,
            run: left(unit(line[1] - line[0])),
            width: distance(line[0], line[1]),
            crossing: std::f64::consts::FRAC_PI_2,
            turn: 1.0,
            place: None,
        },
    }
}

/// What the planes of a place are drawn from.
pub(super) struct Drawn<'a> {
    /// The number of their stretch.
    pub(super) number: usize,
    pub(super) mesh: &'a Mesh,
    pub(super) grain: Angle,
    /// How far into held wood a line is followed, in mm.
    pub(super) reach: f64,
    /// The run of the place, and those of all others.
    pub(super) own: &'a Run,
    pub(super) others: &'a [&'a Run],
    /// The plies let in where the place lies.
    pub(super) plies: &'a [&'a Ply],
    /// The walls that run along the grain or square to it.
    pub(super) flat: &'a [[Point; 2]],
}

/// The walls that run along the grain or square to it, as the planes do.
pub(super) fn flat_walls(shape: &Shape, grain: Angle) -> Vec<[Point; 2]> {
    let along = direction(grain.as_rad());
    let is_flat = |[a, b]: &[Point; 2]| {
        let way = unit(*b - *a);
        cross(way, along).abs().min(dot(way, along).abs()) < CLEAR
    };
    shape.rings().flat_map(|ring| ring.lines()).map(|side| [side.start, side.end]).filter(is_flat).collect()
}

impl Drawn<'_> {
    /// All planes of a stretch; `outward` is which way along its run the loaded wood lies, and `parted` are the lines
    /// the closed form parts it on.
    pub(super) fn of_stretch(
        &self,
        stretch: &Stretch,
        outward: bool,
        is_bridge: bool,
        parted: &[[Point; 2]],
    ) -> Vec<Candidate> {
        let mut found = Found { candidates: Vec::new(), neck: stretch.neck, between: false };
        let ends = [&stretch.stations[0], &stretch.stations[stretch.stations.len() - 1]];
        let span = stretch.span();
        for (last, (station, end)) in ends.iter().zip(stretch.ends).enumerate() {
            if end == StretchEnd::Tip {
                continue;
            }
            let near = Near { station, span, inside: stretch.neck_at, outward };
            for (right, wall) in station.square.into_iter().enumerate() {
                let (corner, edges) = snapped(self.mesh, wall, stretch.neck);
                self.at_wall(corner, &edges, &near, &mut found);
                if matches!(end, StretchEnd::Turns | StretchEnd::Junction) {
                    // The wood lies left of its walls: on the right wall the ring runs with the run.
                    self.beyond(wall, last == right, &near, &mut found);
                }
            }
        }
        let mut inner = vec![stretch.station_near(stretch.neck_along)];
        if is_bridge {
            inner.push(stretch.station_near(span / 2.0));
        }
        for station in inner {
            let near = Near { station, span, inside: stretch.neck_at, outward };
            self.through(station.at, station.triangle, &near, &mut found);
        }
        for line in parted {
            let middle = (line[0] + line[1]) / 2.0;
            let station = nearest(&stretch.stations, middle);
            let near = Near { station, span, inside: stretch.neck_at, outward };
            self.through(middle, station.triangle, &near, &mut found);
        }
        found.between = true;
        let step = EVERY.max(stretch.stations.len().div_ceil(MOST_BETWEEN));
        for station in stretch.stations.iter().step_by(step) {
            let near = Near { station, span, inside: stretch.neck_at, outward };
            self.through(station.at, station.triangle, &near, &mut found);
        }
        found.between = false;
        for ply in self.plies {
            for (end, station) in ends_of(ply, stretch).into_iter().filter(|(end, _)| self.is_own(ply, *end))
            {
                let near = Near { station, span, inside: stretch.neck_at, outward };
                let triangle = self.mesh.locate(end, station.triangle);
                self.across_end(end, triangle, &near, &mut found);
            }
        }
        for plane in &mut found.candidates {
            plane.section = Across::of(self.number, nearest(&stretch.stations, plane.middle()));
        }
        found.candidates
    }

    /// Whether a ply's end is this place's: of all that the ply runs through it lies nearest to the end, or to the ply's middle. A strip for one
    /// place may run on through the next, which has nothing to do with its far end.
    fn is_own(&self, ply: &Ply, end: Point) -> bool {
        let Some(outline) = &ply.outline else { return true };
        let meets = |run: &Run| run.pieces().any(|piece| touches(ply, &piece));
        let rivals: Vec<&Run> = self.others.iter().copied().filter(|run| meets(run)).collect();
        let is_nearest = |p: Point| rivals.iter().all(|run| self.own.away(p) <= run.away(p));
        is_nearest(end) || is_nearest(middle_of(outline))
    }

    /// The line along the grain at the end of a ply.
    fn across_end(&self, p: Point, triangle: usize, near: &Near, found: &mut Found) {
        let [a, b, c] = self.mesh.corners(triangle).map(|i| self.mesh.walls().point(i as usize));
        // Past a wall nothing ends.
        if ![(a, b), (b, c), (c, a)].iter().all(|&(a, b)| cross(b - a, p - a) > -1e-9) {
            return;
        }
        let along = direction(self.grain.as_rad());
        let ends = [-along, along].map(|way| self.mesh.leaves_at(p, way, triangle).at);
        if ends.iter().any(|end| distance(*end, p) < SHORTEST) {
            return;
        }
        let line = self.candidate(Family::Grain, ends, p, near);
        found.keep(line.map(|line| Candidate { at_end_of_ply: true, ..line }));
    }

    /// Lines from the corner that a run turns about, or that a junction has, beyond where the run ends.
    fn beyond(&self, wall: WallPoint, with_ring: bool, near: &Near, found: &mut Found) {
        let walls = self.mesh.walls();
        let Some(i) = corner_ahead(walls, wall, with_ring, near.station.width) else { return };
        let mut beyond = Found { candidates: Vec::new(), neck: found.neck, between: false };
        self.at_wall(walls.point(i), &[walls.previous(i), i], near, &mut beyond);
        // A line much shorter than this place is wide parts another that begins there.
        let own = |line: &Candidate| distance(line.line[0], line.line[1]) > OWN * found.neck;
        let own: Vec<Candidate> = beyond.candidates.into_iter().filter(own).collect();
        own.into_iter().for_each(|line| found.keep(Some(line)));
    }

    /// Lines both ways along the grain and across it from a point of the wall.
    fn at_wall(&self, corner: Point, edges: &[usize], near: &Near, found: &mut Found) {
        let along = direction(self.grain.as_rad());
        for (family, way) in [(Family::Grain, along), (Family::Fibre, left(along))] {
            for way in [way, -way] {
                let Some(start) = self.wood_beyond(corner, edges, way) else { continue };
                let end = self.mesh.leaves_at(corner + way * 1e-5, way, start).at;
                found.keep(self.candidate(family, [corner, end], corner, near));
            }
        }
    }

    /// Lines along the grain and across it through a point of the wood, from wall to wall; `triangle` lies near it.
    fn through(&self, p: Point, triangle: usize, near: &Near, found: &mut Found) {
        let along = direction(self.grain.as_rad());
        for (family, way) in [(Family::Grain, along), (Family::Fibre, left(along))] {
            let p = found.in_line(family, p);
            let triangle = self.mesh.locate(p, triangle);
            let ends = [-way, way].map(|way| self.mesh.leaves_at(p, way, triangle));
            found.keep(self.candidate(family, ends.map(|wall| wall.at), p, near));
        }
    }

    /// The triangle a way from a wall point runs into, if it runs into wood.
    fn wood_beyond(&self, p: Point, edges: &[usize], way: Point) -> Option<usize> {
        let walls = self.mesh.walls();
        let clear = |edge: usize| {
            let (a, b) = walls.edge(edge);
            let u = unit(b - a);
            // Angle from the wall, anticlockwise, into the wood on its left.
            cross(u, way).atan2(dot(u, way))
        };
        let inside = match *edges {
            [edge] => clear(edge).sin() > CLEAR,
            [before, after] => {
                let full = std::f64::consts::TAU;
                let (a, b) = walls.edge(before);
                let back = a - b;
                let u = walls.edge(after);
                let u = unit(u.1 - u.0);
                let opening = cross(u, back).atan2(dot(u, back)).rem_euclid(full);
                let angle = clear(after).rem_euclid(full);
                angle > CLEAR && angle < opening - CLEAR
            }
            _ => false,
        };
        if !inside {
            return None;
        }
        let start = p + way * 1e-5;
        let near = edges.iter().map(|&edge| self.mesh.on_wall(edge) as usize);
        let holds = |t: usize| {
            let [a, b, c] = self.mesh.corners(t).map(|i| walls.point(i as usize));
            [(a, b), (b, c), (c, a)].iter().all(|&(a, b)| cross(b - a, start - a) >= -1e-9)
        };
        let mut tried: Vec<usize> = near.collect();
        // The triangles round the corner, one after another.
        let mut k = 0;
        while k < tried.len() && k < 64 {
            let t = tried[k];
            if holds(t) {
                return Some(t);
            }
            for other in self.mesh.beyond(t).into_iter().filter(|&o| o != crate::skeleton::NONE) {
                let touches = self
                    .mesh
                    .corners(other as usize)
                    .iter()
                    .any(|&i| distance(walls.point(i as usize), p) < 1e-9);
                if touches && !tried.contains(&(other as usize)) {
                    tried.push(other as usize);
                }
            }
            k += 1;
        }
        tried.first().map(|&t| self.mesh.locate(start, t))
    }

    /// Where a line from a point of the place first meets a wall that runs along it, other than a curve's: from there on there is nothing
    /// to part.
    fn to_flat_wall(&self, point: Point, end: Point, width: f64) -> Point {
        let near = lies_on(width);
        let whole = distance(point, end);
        if whole < SHORTEST {
            return end;
        }
        let way = (end - point) / whole;
        let met = self.flat.iter().filter_map(|wall| {
            let off = wall.map(|p| cross(way, p - point).abs());
            let [a, b] = wall.map(|p| dot(way, p - point));
            let first = a.min(b);
            (off[0].max(off[1]) <= near && first > near && (a - b).abs() > FLAT * width).then_some(first)
        });
        point + way * met.fold(whole, f64::min)
    }

    /// A line from wall to wall with its window's size, cut off where it runs along a wall or far from its point of the place, the loaded
    /// side to its left.
    fn candidate(&self, family: Family, line: [Point; 2], point: Point, near: &Near) -> Option<Candidate> {
        let [from, to] = line.map(|end| self.to_flat_wall(point, end, near.station.width));
        let line = [from, to];
        let length = distance(from, to);
        // A line that parts another place only is that place's.
        let theirs = !self.own.is_crossed_by(&line) && self.others.iter().any(|run| run.is_crossed_by(&line));
        if length < SHORTEST || theirs {
            return None;
        }
        let way = (to - from) / length;
        let (sin, cos) = {
            let crossing = angle_between(near.station.run, way);
            (crossing.sin(), crossing.cos())
        };
        // The place's own length along such a line: from wall to wall, or from end to end.
        let own = (near.station.width / sin.max(1e-9)).min(near.span / cos.max(1e-9));
        // A line from a corner is followed into held wood; one through the place's inside keeps to the place, with room for
        // its walls to widen.
        let at_wall = distance(from, point) < SHORTEST;
        let longest = if at_wall { self.reach.max(1.5 * own) } else { INSIDE * own };
        let free = [from, to].map(|end| distance(end, point) <= longest);
        let from = if free[0] { from } else { point - way * longest };
        let to = if free[1] { to } else { point + way * longest };
        let flip = {
            let offset = cross(way, near.inside - from);
            let outward = near.station.run * if near.outward { 1.0 } else { -1.0 };
            let side = if offset.abs() > 0.05 * near.station.width { offset } else { cross(way, outward) };
            side < 0.0
        };
        let (line, free) = if flip { ([to, from], [free[1], free[0]]) } else { ([from, to], free) };
        let ligament = own.min(length);
        Some(Candidate {
            family,
            line,
            free,
            ligament,
            at_end_of_ply: false,
            between: false,
            peaks: at_wall || !self.plies.is_empty(),
            floors: true,
            section: Across::of(self.number, near.station),
        })
    }
}

/// What lies nearer to a wall or a corner than this, in mm, lies on it, beside wood so wide.
fn lies_on(width: f64) -> f64 {
    (2e-3 * width).max(0.02)
}

/// A wall point, moved onto the outline's own corner where it lies all but on it, with the wall edges that meet there.
pub(super) fn snapped(mesh: &Mesh, wall: WallPoint, width: f64) -> (Point, Vec<usize>) {
    let walls = mesh.walls();
    let near = lies_on(width);
    for i in [wall.edge, walls.next(wall.edge)] {
        if distance(walls.point(i), wall.at) <= near {
            return (walls.point(i), vec![walls.previous(i), i]);
        }
    }
    (wall.at, vec![wall.edge])
}

/// Where the middle of a ply ends, along its place's run, with the section nearest to it.
fn ends_of<'a>(ply: &Ply, stretch: &'a Stretch) -> Vec<(Point, &'a Station)> {
    let station = stretch.station_near(stretch.neck_along);
    let Some(outline) = &ply.outline else { return Vec::new() };
    let ring = &outline.exterior().0;
    let corners = &ring[..ring.len().saturating_sub(1)];
    // Its middle line runs along the run.
    let middle = middle_of(outline);
    let along = longest_way(corners).unwrap_or(station.run);
    let crossing = |pair: &[Point]| {
        let (a, b) = (pair[0], pair[1]);
        let (before, after) = (cross(along, a - middle), cross(along, b - middle));
        (before * after < 0.0).then(|| a + (b - a) * (before / (before - after)))
    };
    let ends = ring.windows(2).filter_map(crossing);
    ends.map(|end| (end, nearest(&stretch.stations, end))).collect()
}

/// The middle of an outline's corners.
fn middle_of(outline: &Polygon<f64>) -> Point {
    let ring = &outline.exterior().0;
    let corners = &ring[..ring.len().saturating_sub(1)];
    corners.iter().fold(point(0.0, 0.0), |sum, &p| sum + p) / corners.len().max(1) as f64
}

/// The way from the middle of a four-sided outline's one short side to that of the other.
fn longest_way(corners: &[Point]) -> Option<Point> {
    let longest = (0..corners.len()).map(|i| corners[(i + 1) % corners.len()] - corners[i]);
    longest.max_by(|a, b| dot(*a, *a).total_cmp(&dot(*b, *b))).map(unit)
}

/// The section of a place that a plane belongs to.
struct Near<'a> {
    station: &'a Station,
    span: f64,
    /// A point within the place.
    inside: Point,
    outward: bool,
}

/// Planes without those that say the same twice.
struct Found {
    candidates: Vec<Candidate>,
    neck: f64,
    /// Whether what is found now lies in between.
    between: bool,
}

impl Found {
    /// A point a hair beside a line of the family is put on it: a mesh that follows two lines side by side has to be as fine all along
    /// as they are near each other.
    fn in_line(&self, family: Family, p: Point) -> Point {
        let foot = |old: &Candidate| {
            let [from, to] = old.line;
            let way = unit(to - from);
            from + way * dot(p - from, way)
        };
        let feet = self.candidates.iter().filter(|old| old.family == family).map(foot);
        feet.filter(|foot| distance(*foot, p) <= SAME * self.neck)
            .min_by(|a, b| distance(*a, p).total_cmp(&distance(*b, p)))
            .unwrap_or(p)
    }

    fn keep(&mut self, candidate: Option<Candidate>) {
        let Some(new) = candidate else { return };
        // What a short line parts from a wide place is a crumb of a corner, and so is what a long one has of the place at its tip.
        let [length, own] = [distance(new.line[0], new.line[1]), new.ligament];
        if length < LEAST_WIDTH.min(self.neck / 2.0) || own < SHORTEST.min(self.neck / 2.0) {
            return;
        }
        if !self.candidates.iter().any(|old| old.is_beside(&new, SAME * self.neck)) {
            let beside = self.candidates.iter().any(|old| old.is_beside(&new, ALIKE * self.neck));
            self.candidates.push(Candidate { between: self.between || beside, ..new });
        }
    }
}

fn nearest(stations: &[Station], p: Point) -> &Station {
    stations
        .iter()
        .min_by(|a, b| distance(a.at, p).total_cmp(&distance(b.at, p)))
        .expect("a stretch has stations")
}
