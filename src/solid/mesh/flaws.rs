//! What a mesh must never be, looked for one by one.

use std::collections::BTreeMap;

use crate::{
    shape::plane::{Point, cross, distance, dot, nearest_on_segment},
    solid::plan::Plan,
};

use super::{
    Mesh,
    network::{MOST_BENT, snap},
    refine::LONGEST_TO_SIZE,
};

/// Something a mesh promises and does not keep.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Flaw {
    /// Two corners at one place.
    Doubled(Point),
    /// A corner no triangle uses.
    Unused(Point),
    /// A middle node that is not in the middle of its side.
    OffMiddle(Point),
    /// A triangle without area, or clockwise.
    Overturned(Point),
    /// A triangle whose doubled area is under a millionth of its longest side squared.
    Sliver(Point),
    /// A side with more than two triangles, or two on the same side of it.
    Overlap(Point),
    /// A side with one triangle that lies on no ring, or a ring's side with two.
    Torn(Point),
    /// The triangles' areas do not sum to the rings' area: found, expected, in mm².
    Area(f64, f64),
    /// Corners less sides plus triangles, against what so many rings make: found, expected.
    Euler(i64, i64),
    /// An angle under 25° that no corner of the plan asks for: where, and the angle in degrees.
    Narrow(Point, f64),
    /// A ring of the mesh strays from the plan's: where, and how far in mm.
    Strays(Point, f64),
    /// A line of the plan that runs through wood there without sides of the mesh on it.
    LineMissing(usize, Point),
    /// A side longer than the plan allows: where, and how many times the size wanted.
    Long(Point, f64),
}

/// No angle is smaller than this (degrees) unless the plan asks for it.
const LEAST_ANGLE: f64 = 25.0;

impl Mesh {
    /// Everything about this mesh that is not as [`Mesh::generate`] promises; empty for a good one.
    ///
    /// A mesh put together by hand has no rings: then any side with one triangle is a wall, and area and
    /// Euler's number are not looked at.
    pub fn faults(&self) -> Vec<Flaw> {
        let mut flaws = self.loose_points();
        flaws.extend(self.bad_triangles());
        flaws.extend(self.bad_sides());
        if !self.rings.is_empty() {
            flaws.extend(self.bad_sums());
        }
        flaws
    }

    /// [`Mesh::faults`], and everything that is not as the plan asks.
    pub fn faults_against(&self, plan: &Plan) -> Vec<Flaw> {
        let mut flaws = self.faults();
        flaws.extend(self.straying_rings(plan));
        flaws.extend(self.missing_lines(plan));
        flaws.extend(self.long_sides(plan));
        flaws
    }

    /// The smallest angle of all triangles, in degrees.
    pub fn least_angle(&self) -> f64 {
        (0..self.triangles.len()).map(|t| self.smallest_angle(t).0).fold(180.0, f64::min)
    }

    /// A triangle's smallest angle in degrees, and the corner it is at.
    fn smallest_angle(&self, triangle: usize) -> (f64, usize) {
        let corners = self.corner_points(triangle);
        (0..3)
            .map(|i| {
                let (to, back) = (corners[(i + 1) % 3] - corners[i], corners[(i + 2) % 3] - corners[i]);
                (libm::atan2(cross(to, back), dot(to, back)).to_degrees(), i)
            })
            .fold((180.0, 0), |least, angle| if angle.0 < least.0 { angle } else { least })
    }

    fn loose_points(&self) -> Vec<Flaw> {
        let mut used = vec![false; self.points.len()];
        self.triangles.iter().flatten().for_each(|&node| used[node as usize] = true);
        let mut sorted = self.points.clone();
        sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        let doubled = sorted.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| Flaw::Doubled(pair[0]));
        let unused = used.iter().zip(&self.points).filter(|(used, _)| !**used).map(|(_, &p)| Flaw::Unused(p));
        doubled.chain(unused).collect()
    }

    fn bad_triangles(&self) -> Vec<Flaw> {
        let mut flaws = Vec::new();
        for (t, &[a, b, c, ab, bc, ca]) in self.triangles.iter().enumerate() {
            let [p, q, r] = self.corner_points(t);
            for ([from, to], middle) in [([a, b], ab), ([b, c], bc), ([c, a], ca)] {
                let [from, middle, to] = [from, middle, to].map(|node| self.points[node as usize]);
                if distance((from + to) * 0.5, middle) > 1e-12 * (1.0 + distance(from, to)) {
                    flaws.push(Flaw::OffMiddle(middle));
                }
            }
            let centre = (p + q + r) / 3.0;
            let area = self.doubled_area(t);
            let longest = [q - p, r - q, p - r].map(|side| dot(side, side)).into_iter().fold(0.0, f64::max);
            if area.is_nan() || area <= 0.0 {
                flaws.push(Flaw::Overturned(centre));
            } else if area < 1e-6 * longest {
                flaws.push(Flaw::Sliver(centre));
            }
            let (angle, at) = self.smallest_angle(t);
            if angle < LEAST_ANGLE && !self.allowed(t, angle, at) {
                flaws.push(Flaw::Narrow(centre, angle));
            }
        }
        flaws
    }

    /// Whether a triangle may be so narrow: it lies in a narrow corner of the plan, or its
    /// shortest side spans one, both ends equally far from it. Such a triangle's angle is bounded too.
    ///
    /// The bound is Miller, Pav and Walkington's (2003): tan α ≥ sin θ / (2 − cos θ) where the plan's angle is θ.
    fn allowed(&self, triangle: usize, angle: f64, at: usize) -> bool {
        let corners = self.corner_points(triangle);
        let (apex, p, q) = (corners[at], corners[(at + 1) % 3], corners[(at + 2) % 3]);
        self.narrow.iter().any(|&(corner, narrow)| {
            let (sin, cos) = (libm::sin(narrow), libm::cos(narrow));
            let bound = libm::atan2(sin, 2.0 - cos).to_degrees();
            if apex == corner {
                return angle > 0.999 * narrow.to_degrees();
            }
            let (near, far) = (distance(corner, p), distance(corner, q));
            let spanned = libm::atan2(cross(p - corner, q - corner).abs(), dot(p - corner, q - corner));
            (near - far).abs() <= 1e-5 * near && spanned < 1.05 && angle > 0.99 * bound
        })
    }

    fn bad_sides(&self) -> Vec<Flaw> {
        let mut ways: BTreeMap<[u32; 2], usize> = BTreeMap::new();
        for &[a, b, c, ..] in &self.triangles {
            for way in [[a, b], [b, c], [c, a]] {
                *ways.entry(way).or_default() += 1;
            }
        }
        let mut walls: BTreeMap<[u32; 2], usize> = BTreeMap::new();
        for ring in &self.rings {
            for (i, &from) in ring.iter().enumerate() {
                let to = ring[(i + 1) % ring.len()];
                *walls.entry([from.min(to), from.max(to)]).or_default() += 1;
            }
        }
        let mut flaws = Vec::new();
        for (&[from, to], &count) in &ways {
            let middle = (self.points[from as usize] + self.points[to as usize]) * 0.5;
            if count > 1 {
                flaws.push(Flaw::Overlap(middle));
            }
            let is_wall = walls.remove(&[from.min(to), from.max(to)]).is_some();
            if is_wall == ways.contains_key(&[to, from]) && !self.rings.is_empty() {
                flaws.push(Flaw::Torn(middle));
            }
        }
        flaws.extend(walls.keys().map(|&[from, _]| Flaw::Torn(self.points[from as usize])));
        flaws
    }

    fn bad_sums(&self) -> Vec<Flaw> {
        let mut flaws = Vec::new();
        let found: f64 = (0..self.triangles.len()).map(|t| self.doubled_area(t)).sum::<f64>() / 2.0;
        // A ring inside an odd number of others takes its area away.
        let rings: Vec<Vec<Point>> =
            self.rings.iter().map(|ring| ring.iter().map(|&c| self.points[c as usize]).collect()).collect();
        let mut expected = 0.0;
        let mut euler = 0;
        for (i, ring) in rings.iter().enumerate() {
            let depth =
                rings.iter().enumerate().filter(|&(j, other)| i != j && holds(other, ring[0])).count();
            let sign = if depth % 2 == 0 { 1 } else { -1 };
            euler += sign;
            expected += f64::from(sign as i32) * enclosed(ring).abs();
        }
        if (found - expected).abs() > 1e-9 * expected {
            flaws.push(Flaw::Area(found, expected));
        }
        let sides = self.points.len() - self.corners;
        let counted = self.corners as i64 - sides as i64 + self.triangles.len() as i64;
        if counted != euler {
            flaws.push(Flaw::Euler(counted, euler));
        }
        flaws
    }

    fn straying_rings(&self, plan: &Plan) -> Vec<Flaw> {
        let mut flaws = Vec::new();
        for (ring, drawn) in self.rings.iter().zip(&plan.rings) {
            let mesh: Vec<Point> = ring.iter().map(|&corner| self.points[corner as usize]).collect();
            let mut look = |points: &[Point], ring: &[Point]| {
                for &p in points {
                    let away = (0..ring.len())
                        .map(|i| distance(p, nearest_on_segment(p, ring[i], ring[(i + 1) % ring.len()]).0))
                        .fold(f64::INFINITY, f64::min);
                    if away > 0.0201 {
                        flaws.push(Flaw::Strays(p, away));
                    }
                }
            };
            look(drawn, &mesh);
            look(&mesh, drawn);
        }
        flaws
    }

    /// A line must stay near where it was drawn: within twice the greatest distance at which points on it become one, as a line
    /// bent to one point may have to meet another there. It is sampled too; a sample in the wood, clear of the walls, must
    /// have a stretch as near beside it, and one out of the wood none.
    fn missing_lines(&self, plan: &Plan) -> Vec<Flaw> {
        let mut flaws = Vec::new();
        for (number, &[from, to]) in plan.lines.iter().enumerate() {
            let stretches: Vec<Vec<Point>> =
                self.lines[number].iter().map(|stretch| self.bends(stretch)).collect();
            let bends = || stretches.iter().flatten();
            let near = MOST_BENT * bends().map(|&p| snap((plan.size)(p))).fold(0.0, f64::max);
            let strays = |p: &&Point| distance(**p, nearest_on_segment(**p, from, to).0) > near;
            flaws.extend(bends().filter(strays).map(|&p| Flaw::LineMissing(number, p)));
            for i in 0..200 {
                let p = from + (to - from) * ((f64::from(i) + 0.5) / 200.0);
                let wood = plan.rings.iter().filter(|ring| holds(ring, p)).count() % 2 == 1;
                let clear = MOST_BENT * snap(f64::INFINITY) + 0.03;
                let clear = plan.rings.iter().all(|ring| to_ring(ring, p) > clear);
                let mut runs = stretches.iter().flat_map(|bends| bends.windows(2));
                let beside = runs.any(|run| distance(p, nearest_on_segment(p, run[0], run[1]).0) <= near);
                if clear && wood != beside {
                    flaws.push(Flaw::LineMissing(number, p));
                }
            }
        }
        flaws
    }

    /// The corners of a chain at which it is not straight, and its ends.
    fn bends(&self, chain: &[u32]) -> Vec<Point> {
        let mut bends: Vec<Point> = Vec::new();
        for p in chain.iter().map(|&corner| self.points[corner as usize]) {
            if let &[.., from, to] = &bends[..]
                && cross(to - from, p - to).abs() <= 1e-9 * dot(to - from, p - to)
            {
                bends.pop();
            }
            bends.push(p);
        }
        bends
    }

    fn long_sides(&self, plan: &Plan) -> Vec<Flaw> {
        let mut flaws = Vec::new();
        for t in 0..self.triangles.len() {
            let corners = self.corner_points(t);
            let wanted = corners.iter().map(|&p| (plan.size)(p)).sum::<f64>() / 3.0;
            let longest = (0..3).map(|i| distance(corners[i], corners[(i + 1) % 3])).fold(0.0, f64::max);
            if longest > 1.001 * LONGEST_TO_SIZE * wanted {
                flaws.push(Flaw::Long(corners[0], longest / wanted));
            }
        }
        flaws
    }
}

fn enclosed(ring: &[Point]) -> f64 {
    0.5 * (1..ring.len() - 1).map(|i| cross(ring[i] - ring[0], ring[i + 1] - ring[0])).sum::<f64>()
}

fn to_ring(ring: &[Point], p: Point) -> f64 {
    (0..ring.len())
        .map(|i| distance(p, nearest_on_segment(p, ring[i], ring[(i + 1) % ring.len()]).0))
        .fold(f64::INFINITY, f64::min)
}

/// Whether a ring surrounds a point.
fn holds(ring: &[Point], p: Point) -> bool {
    let mut inside = false;
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > p.y) != (b.y > p.y) && (cross(b - *a, p - *a) > 0.0) == (b.y > a.y) {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{shape::plane::point, solid::Grading};

    /// A plate 24 x 12 with a window and a line across the wood beside it, spoiled in one way.
    fn spoiled(spoil: impl FnOnce(&mut Mesh, &mut Plan<'_>)) -> Vec<Flaw> {
        let rectangle =
            |x: f64, y: f64, u: f64, v: f64| vec![point(x, y), point(u, y), point(u, v), point(x, v)];
        let mut grading = Grading::new(3.0, 0.3);
        grading.at(point(8.0, 4.0), 1.0);
        let size = |p: Point| grading.size(p);
        let mut plan = Plan {
            rings: vec![rectangle(0.0, 0.0, 24.0, 12.0), rectangle(8.0, 4.0, 16.0, 8.0)],
            lines: vec![[point(8.0, -1.0), point(8.0, 4.0)]],
            zones: Vec::new(),
            size: &size,
        };
        let mut mesh = Mesh::generate(&plan).expect("a mesh");
        assert_eq!(mesh.faults_against(&plan), []);
        spoil(&mut mesh, &mut plan);
        mesh.faults_against(&plan)
    }

    /// Our own arithmetic: what is wrong was made so.
    #[test]
    fn a_spoiled_mesh_is_told_from_a_good_one() {
        use Flaw::*;
        let found = |flaws: &[Flaw], kind: fn(&Flaw) -> bool| flaws.iter().any(kind);
        let flaws = spoiled(|mesh, _| mesh.points[mesh.corners].x += 1e-6);
        assert!(matches!(flaws[..], [OffMiddle(_), ..]), "{flaws:?}");
        let flaws = spoiled(|mesh, _| mesh.points.push(mesh.points[3]));
        assert!(found(&flaws, |flaw| matches!(flaw, Doubled(_))), "{flaws:?}");
        assert!(found(&flaws, |flaw| matches!(flaw, Unused(_))), "{flaws:?}");
        let flaws = spoiled(|mesh, _| mesh.triangles.truncate(mesh.triangles.len() - 1));
        assert!(found(&flaws, |flaw| matches!(flaw, Torn(_))), "{flaws:?}");
        assert!(found(&flaws, |flaw| matches!(flaw, Area(..))), "{flaws:?}");
        assert!(found(&flaws, |flaw| matches!(flaw, Euler(..))), "{flaws:?}");
        let flaws = spoiled(|mesh, _| mesh.triangles.push(mesh.triangles[0]));
        assert!(found(&flaws, |flaw| matches!(flaw, Overlap(_))), "{flaws:?}");
        let flaws = spoiled(|mesh, _| {
            let [a, b, c, ab, bc, ca] = mesh.triangles[0];
            mesh.triangles[0] = [b, a, c, ab, ca, bc];
        });
        assert!(found(&flaws, |flaw| matches!(flaw, Overturned(_))), "{flaws:?}");
        // A corner put very near another, and near enough for a narrow angle alone.
        for (part, sliver) in [(1e-7, true), (0.2, false)] {
            let flaws = spoiled(|mesh, _| {
                let [a, b, c, ..] = mesh.triangles[0].map(|corner| corner as usize);
                let (from, to) = (mesh.points[a], mesh.points[b]);
                mesh.points[c] = from + (to - from) * 0.5 + crate::shape::plane::left(to - from) * part;
            });
            assert_eq!(found(&flaws, |flaw| matches!(flaw, Sliver(_))), sliver, "{flaws:?}");
            assert!(found(&flaws, |flaw| matches!(flaw, Narrow(..))), "{flaws:?}");
        }
        let flaws = spoiled(|_, plan| plan.rings[0][2] = point(24.0, 12.03));
        assert!(found(&flaws, |flaw| matches!(flaw, Strays(..))), "{flaws:?}");
        for aside in [point(0.3, 0.0), point(9.0, 0.0)] {
            let flaws = spoiled(|_, plan| plan.lines[0] = plan.lines[0].map(|end| end + aside));
            assert!(found(&flaws, |flaw| matches!(flaw, LineMissing(0, _))), "{flaws:?}");
        }
        let flaws = spoiled(|_, plan| plan.size = &|_| 1.0);
        assert!(found(&flaws, |flaw| matches!(flaw, Long(..))), "{flaws:?}");
    }
}
