//! A point of the skeleton: the largest circle there, and the two wall points it touches.

use crate::shape::plane::{Point, cross, distance, dot, left, norm, unit};

use super::{
    mesh::{Mesh, NONE},
    walls::{WallPoint, Walls},
};

/// A point of the skeleton with the chord between the two wall points its circle touches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chord {
    /// The circle's centre.
    pub centre: Point,
    /// The circle's radius in mm; the neck here is twice this.
    pub radius: f64,
    /// The touching point to the left of the run.
    pub left: WallPoint,
    /// The touching point to the right of the run.
    pub right: WallPoint,
}

impl Chord {
    /// The direction of the run here: square to the chord, the left touching point on its left.
    pub fn run(&self) -> Point {
        unit(left(self.right.at - self.left.at))
    }

    /// The angle at the centre between both touching points, π where the walls are parallel.
    pub fn opening(&self) -> f64 {
        let half = distance(self.left.at, self.right.at) / (2.0 * self.radius);
        2.0 * half.min(1.0).asin()
    }

    /// Whether no wall reaches into the circle.
    ///
    /// Polishing may carry the centre far from the edge it started at, and a third wall may be nearer there. Where
    /// walls are sampled finely, a circle that grows from a touching point first meets the third corner of
    /// the triangle that leans on the wall there, so those corners are asked; where coarsely, few triangles
    /// lie within the circle, and their walls are.
    pub(super) fn is_clear(&self, mesh: &Mesh, near: usize) -> bool {
        let walls = mesh.walls();
        let least = self.radius - slack(self.radius);
        let corner_beyond = |edge: usize| {
            let triangle = mesh.on_wall(edge);
            let corners = if triangle == NONE { [edge as u32; 3] } else { mesh.corners(triangle as usize) };
            let next = walls.next(edge);
            corners.into_iter().map(|i| i as usize).find(|&i| i != edge && i != next)
        };
        let beyond = [self.left, self.right].into_iter().flat_map(|touch| {
            // At a corner both its walls count.
            let at_corner = touch.at == walls.point(touch.edge);
            [Some(touch.edge), at_corner.then(|| walls.previous(touch.edge))]
        });
        beyond
            .flatten()
            .filter_map(corner_beyond)
            .all(|i| distance(self.centre, walls.nearest_from(self.centre, i).at) >= least)
            && !mesh.has_wall_within(self.centre, least, mesh.locate(self.centre, near))
    }

    /// The wall points nearest a point of the skeleton next to this one: on its left and on its right.
    pub(crate) fn touches_from(&self, walls: &Walls, p: Point) -> [WallPoint; 2] {
        [self.left, self.right].map(|touch| walls.nearest_from(p, touch.edge))
    }

    /// The same chord for a run in the opposite direction.
    pub const fn turned(&self) -> Self {
        Self { left: self.right, right: self.left, ..*self }
    }
}

/// Rounds of Newton's method before a chord is given up; four are usual.
const MOST_ROUNDS: usize = 24;
/// Agreement of the two distances, relative to the radius.
const AGREEMENT: f64 = 1e-10;
/// How much nearer a third wall may come, relative to the radius and in mm, before the chord is no chord:
/// between wall points the empty circle is only known to about the square of their spacing.
const INTRUSION: (f64, f64) = (2e-3, 1e-4);

/// Moves the middle between two facing wall points onto the skeleton.
///
/// Finds the point on the line between the two nearest wall points that is equally far from both, by
/// Newton's method on the difference of the distances. The nearest points are taken on the true
/// walls, so the radius holds to rounding, however coarsely the walls are sampled.
///
/// Nothing when the two sides are one and the same wall, or when the wood beside (`apexes`) is nearer.
pub(super) fn polish(walls: &Walls, p: usize, q: usize, apexes: [usize; 2]) -> Option<Chord> {
    let centre = (walls.point(p) + walls.point(q)) / 2.0;
    let chord = settle(walls, centre, p, q)?;
    let least = chord.radius - slack(chord.radius);
    let intruded =
        apexes.iter().any(|&apex| distance(chord.centre, walls.nearest_from(chord.centre, apex).at) < least);
    (!intruded).then_some(chord)
}

/// The chord a part of the way from one to the next on the same branch.
pub(super) fn between(walls: &Walls, from: &Chord, to: &Chord, part: f64) -> Option<Chord> {
    let centre = from.centre + (to.centre - from.centre) * part;
    let near = if part < 0.5 { from } else { to };
    settle(walls, centre, near.left.edge, near.right.edge)
}

/// Where a run turns between two neighbouring chords: a new wall comes nearer than one that was followed up to there. The
/// circle that touches all three belongs to both runs; its chord along the one, and its chord along the other.
///
/// Nothing where both chords lie on the same two walls, or both walls change at once.
pub(super) fn turn_between(walls: &Walls, from: &Chord, to: &Chord) -> Option<[Chord; 2]> {
    let turned = |others: [usize; 2], kept: usize, is_left: bool| {
        let (centre, radius) = inscribed(walls, [others[0], others[1], kept])?;
        let [first, second, kept] = [others[0], others[1], kept].map(|edge| walls.nearest_from(centre, edge));
        let apart = |a: WallPoint, b: WallPoint| distance(a.at, b.at) > slack(radius);
        let touches = [first, second, kept]
            .iter()
            .all(|touch| (distance(centre, touch.at) - radius).abs() <= slack(radius));
        let chord = |other| {
            let (left, right) = if is_left { (other, kept) } else { (kept, other) };
            Chord { centre, radius, left, right }
        };
        (radius > 0.0 && touches && apart(first, second) && apart(first, kept) && apart(second, kept))
            .then(|| [chord(first), chord(second)])
    };
    let chords = turned([from.left.edge, to.left.edge], from.right.edge, true)
        .or_else(|| turned([from.right.edge, to.right.edge], from.left.edge, false))?;
    // Between the two, seen along the way from one to the other.
    let way = to.centre - from.centre;
    let ahead = dot(chords[0].centre - from.centre, way);
    (ahead > 0.0 && ahead < dot(way, way)).then_some(chords)
}

/// Moves a centre onto the skeleton between the walls near two wall points, the first on its left.
fn settle(walls: &Walls, mut centre: Point, p: usize, q: usize) -> Option<Chord> {
    let (mut a, mut b) = (walls.nearest_from(centre, p), walls.nearest_from(centre, q));
    for _ in 0..MOST_ROUNDS {
        let (to_a, to_b) = (distance(centre, a.at), distance(centre, b.at));
        let gap = to_a - to_b;
        if gap.abs() <= AGREEMENT * to_a {
            return settled(centre, a, b);
        }
        let along = unit(b.at - a.at);
        let rate = dot(along, (centre - a.at) / to_a) - dot(along, (centre - b.at) / to_b);
        if !rate.is_finite() || rate < 1e-3 {
            return None;
        }
        let step = (gap / rate).clamp(-to_a, to_b);
        centre = centre - along * step;
        a = walls.nearest_from(centre, a.edge);
        b = walls.nearest_from(centre, b.edge);
    }
    None
}

fn settled(centre: Point, a: WallPoint, b: WallPoint) -> Option<Chord> {
    let radius = distance(centre, a.at);
    (radius > 0.0 && distance(a.at, b.at) > slack(radius)).then_some(Chord {
        centre,
        radius,
        left: a,
        right: b,
    })
}

/// See [`INTRUSION`].
fn slack(radius: f64) -> f64 {
    INTRUSION.0 * radius + INTRUSION.1
}

/// The circle that touches the three walls at a triangle's corners: centre and radius.
///
/// Starts at the triangle's circumcircle and follows the nearest wall points, by Newton's method on the
/// differences of the three distances. Nothing when the walls do not enclose a circle.
pub(super) fn inscribed(walls: &Walls, corners: [usize; 3]) -> Option<(Point, f64)> {
    let mut centre = circumcentre(corners.map(|i| walls.point(i)))?;
    for _ in 0..MOST_ROUNDS {
        let touches = corners.map(|i| walls.nearest_from(centre, i).at);
        let away = touches.map(|touch| distance(centre, touch));
        let radius = (away[0] + away[1] + away[2]) / 3.0;
        if away.iter().all(|d| (d - radius).abs() <= AGREEMENT * radius) {
            return Some((centre, radius));
        }
        let [u, v, w] = [0, 1, 2].map(|i| (centre - touches[i]) / away[i]);
        let (first, second) = (u - v, u - w);
        let determinant = cross(first, second);
        if !determinant.is_finite() || determinant.abs() < 1e-6 {
            return Some((centre, radius));
        }
        let (f, g) = (away[1] - away[0], away[2] - away[0]);
        let step = Point {
            x: (f * second.y - g * first.y) / determinant,
            y: (g * first.x - f * second.x) / determinant,
        };
        centre = centre + step * (radius / norm(step).max(radius));
    }
    None
}

fn circumcentre([a, b, c]: [Point; 3]) -> Option<Point> {
    let (u, v) = (b - a, c - a);
    let twice = 2.0 * cross(u, v);
    if twice.abs() < 1e-12 {
        return None;
    }
    let (uu, vv) = (dot(u, u), dot(v, v));
    Some(a + Point { x: v.y * uu - u.y * vv, y: u.x * vv - v.x * uu } / twice)
}

/// What belongs to the skeleton, and what only reaches into a corner or follows a rough wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pruning {
    /// The least angle at the centre between both touching points, in radians. A wedge's skeleton has
    /// π minus the wedge's angle, so 120° keeps points sharper than 60° and leaves out square corners.
    pub least_opening: f64,
    /// The least detour in mm: the way along the wall from one touching point to the other, less the
    /// straight way. It tells a stroke from a roughness.
    pub least_detour: f64,
}

impl Default for Pruning {
    fn default() -> Self {
        Self { least_opening: 120_f64.to_radians(), least_detour: 1.0 }
    }
}

impl Pruning {
    /// Whether a chord belongs to the skeleton proper.
    pub(super) fn keeps(&self, mesh: &Mesh, chord: &Chord) -> bool {
        chord.opening() >= self.least_opening
            && mesh.walls().shorter_way(chord.left, chord.right) - distance(chord.left.at, chord.right.at)
                >= self.least_detour
    }
}
