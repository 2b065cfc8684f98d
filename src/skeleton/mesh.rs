//! The wood in triangles between its walls: who touches whom, and what a straight line meets.
//!
//! A constrained Delaunay triangulation of the wall points (`spade`, exact predicates). Walls are divided
//! first so that every edge is short against the wood opposite it; then each inner edge of the
//! triangulation joins two walls that face each other, which is what the skeleton is read from.

use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use crate::shape::{
    Shape,
    plane::{Point, cross, distance, dot, nearest_on_segment},
};

use super::walls::{WallPoint, Walls};

/// No triangle: the other side of a wall.
pub const NONE: u32 = u32::MAX;

/// The triangles of the wood.
#[derive(Clone, Debug)]
pub struct Mesh {
    walls: Walls,
    /// Corners, anticlockwise, as wall points.
    triangles: Vec<[u32; 3]>,
    /// `beyond[t][i]` is the triangle across the side from corner `i` to corner `i + 1`.
    beyond: Vec<[u32; 3]>,
    /// The triangle that leans on the wall edge that starts at a point.
    on_wall: Vec<u32>,
}

/// Why a shape has no mesh.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshError {
    /// Two walls cross or lie on each other.
    #[error("the outline touches or crosses itself at {0:.2}, {1:.2} mm; redraw it there")]
    WallsCross(f64, f64),
    /// A point cannot be placed.
    #[error("the outline has a point that cannot be placed ({0}); redraw it")]
    Point(String),
}

/// A wall edge longer than this part of the wood opposite is divided: two samples a half-width keep
/// facing points within 3 % of square to the run before they are polished.
const LONGEST_EDGE_TO_WIDTH: f64 = 0.25;
/// Edges are not divided below this length; nothing thinner can be cut or held (mm).
const SHORTEST_EDGE: f64 = 0.25;
/// Dividing stops by itself; this bounds it on shapes made to be nasty.
const MOST_PASSES: usize = 8;
/// An upper bound on wall points, far above any drawing of a piece.
const MOST_POINTS: usize = 3_000_000;
/// Triangles looked at about a circle; a circle between coarsely sampled walls meets fewer.
const MOST_SEEN: usize = 64;

impl Mesh {
    /// Triangulates the wood, dividing long walls.
    ///
    /// # Errors
    ///
    /// [`MeshError::WallsCross`] when the rings are not simple after all, [`MeshError::Point`] for a
    /// coordinate outside the triangulation's range.
    pub fn new(shape: &Shape) -> Result<Self, MeshError> {
        let mut mesh = Self::of_walls(Walls::new(shape))?;
        for _ in 0..MOST_PASSES {
            let parts = mesh.wanted_parts();
            let total: usize = parts.iter().map(|&n| n as usize).sum();
            if total == mesh.walls.len() || total > MOST_POINTS {
                break;
            }
            mesh = Self::of_walls(mesh.walls.divided(&parts))?;
        }
        Ok(mesh)
    }

    fn of_walls(walls: Walls) -> Result<Self, MeshError> {
        let points: Vec<_> = walls.points().iter().map(|p| Point2::new(p.x, p.y)).collect();
        let edges = (0..walls.len()).map(|i| [i, walls.next(i)]).collect();
        let mut crossing = None;
        let triangulation =
            ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(points, edges, |edge| {
                crossing.get_or_insert(edge[0]);
            })
            .map_err(|error| MeshError::Point(error.to_string()))?;
        if triangulation.num_vertices() != walls.len() {
            let p = first_double_point(&walls);
            return Err(MeshError::WallsCross(p.x, p.y));
        }
        if let Some(i) = crossing {
            let p = walls.point(i);
            return Err(MeshError::WallsCross(p.x, p.y));
        }

        // Faces in spade's order, the outer face left out.
        let faces: Vec<_> = triangulation.inner_faces().collect();
        let mut number = vec![NONE; triangulation.num_all_faces()];
        for (i, face) in faces.iter().enumerate() {
            number[face.fix().index()] = i as u32;
        }
        let mut corners = Vec::with_capacity(faces.len());
        let mut beyond = Vec::with_capacity(faces.len());
        for face in &faces {
            let sides = face.adjacent_edges();
            corners.push(sides.map(|side| side.from().fix().index() as u32));
            beyond
                .push(sides.map(|side| {
                    side.rev().face().as_inner().map_or(NONE, |face| number[face.fix().index()])
                }));
        }
        Ok(Self::inside(walls, corners, beyond))
    }

    /// Keeps the triangles on the wood's side of the walls.
    fn inside(walls: Walls, corners: Vec<[u32; 3]>, beyond: Vec<[u32; 3]>) -> Self {
        let is_wall =
            |a: u32, b: u32| walls.next(a as usize) == b as usize || walls.next(b as usize) == a as usize;
        let mut wood = vec![false; corners.len()];
        let mut stack = Vec::new();
        for (t, c) in corners.iter().enumerate() {
            let on_wall = (0..3).any(|i| walls.next(c[i] as usize) == c[(i + 1) % 3] as usize);
            if on_wall {
                wood[t] = true;
                stack.push(t);
            }
        }
        while let Some(t) = stack.pop() {
            for i in 0..3 {
                let other = beyond[t][i];
                let crosses_wall = is_wall(corners[t][i], corners[t][(i + 1) % 3]);
                if other != NONE && !crosses_wall && !wood[other as usize] {
                    wood[other as usize] = true;
                    stack.push(other as usize);
                }
            }
        }
        let mut number = vec![NONE; corners.len()];
        let mut kept = 0;
        for (t, &keep) in wood.iter().enumerate() {
            if keep {
                number[t] = kept;
                kept += 1;
            }
        }
        let mut on_wall = vec![NONE; walls.len()];
        let mut triangles = Vec::with_capacity(kept as usize);
        let mut neighbours = Vec::with_capacity(kept as usize);
        for t in (0..corners.len()).filter(|&t| wood[t]) {
            let mut across = [NONE; 3];
            for i in 0..3 {
                let (a, b) = (corners[t][i], corners[t][(i + 1) % 3]);
                if walls.next(a as usize) == b as usize {
                    on_wall[a as usize] = number[t];
                } else if !is_wall(a, b) && beyond[t][i] != NONE {
                    across[i] = number[beyond[t][i] as usize];
                }
            }
            triangles.push(corners[t]);
            neighbours.push(across);
        }
        Self { walls, triangles, beyond: neighbours, on_wall }
    }

    /// Into how many parts each wall edge should be divided.
    fn wanted_parts(&self) -> Vec<u32> {
        let mut parts = vec![1; self.walls.len()];
        for (edge, &triangle) in self.on_wall.iter().enumerate() {
            let (a, b) = self.walls.edge(edge);
            let length = distance(a, b);
            if triangle == NONE || length <= SHORTEST_EDGE {
                continue;
            }
            let next = self.walls.next(edge);
            let Some(&apex) =
                self.triangles[triangle as usize].iter().find(|&&c| c as usize != edge && c as usize != next)
            else {
                continue;
            };
            let apex = apex as usize;
            let (foot, _) = nearest_on_segment(self.walls.point(apex), a, b);
            let width = distance(foot, self.walls.point(apex));
            // Round a corner the opposite wall is the next wall itself: dividing would never end.
            let as_wall_point =
                |i: usize| WallPoint { at: self.walls.point(i), edge: i, arc: self.walls.arc(i) };
            let way = self
                .walls
                .shorter_way(as_wall_point(apex), as_wall_point(edge))
                .min(self.walls.shorter_way(as_wall_point(apex), as_wall_point(next)));
            if way < 1.5 * width && length <= 1.2 * way {
                continue;
            }
            let wanted = (LONGEST_EDGE_TO_WIDTH * width).max(SHORTEST_EDGE);
            if length > 1.01 * wanted {
                parts[edge] = (length / wanted).ceil().min(64.0) as u32;
            }
        }
        parts
    }

    /// The walls, as divided.
    pub const fn walls(&self) -> &Walls {
        &self.walls
    }

    /// How many triangles there are.
    pub fn len(&self) -> usize {
        self.triangles.len()
    }

    /// Whether there is no triangle at all.
    pub fn is_empty(&self) -> bool {
        self.triangles.is_empty()
    }

    /// A triangle's corners, anticlockwise, as wall points.
    #[inline]
    pub fn corners(&self, triangle: usize) -> [u32; 3] {
        self.triangles[triangle]
    }

    /// The triangles across the sides of one; [`NONE`] across a wall.
    #[inline]
    pub fn beyond(&self, triangle: usize) -> [u32; 3] {
        self.beyond[triangle]
    }

    /// The triangle that leans on the wall edge that starts at a point.
    #[inline]
    pub fn on_wall(&self, edge: usize) -> u32 {
        self.on_wall[edge]
    }

    /// A triangle's area in mm².
    pub fn area(&self, triangle: usize) -> f64 {
        let [a, b, c] = self.triangles[triangle].map(|i| self.walls.point(i as usize));
        0.5 * cross(b - a, c - a)
    }

    /// Whether a wall comes nearer to a point than a distance, as far as the first triangles about the one that
    /// holds it tell.
    ///
    /// All corners lie on walls, so as long as no wall comes near the triangles hang together like a tree.
    pub(super) fn has_wall_within(&self, p: Point, away: f64, holds: usize) -> bool {
        let mut ahead = [(holds as u32, NONE); MOST_SEEN];
        let (mut next, mut count) = (0, 1);
        while next < count {
            let (t, came_from) = ahead[next];
            next += 1;
            let corners = self.triangles[t as usize].map(|i| self.walls.point(i as usize));
            for (i, &other) in self.beyond[t as usize].iter().enumerate() {
                if other != NONE && other == came_from {
                    continue;
                }
                let to_side = nearest_on_segment(p, corners[i], corners[(i + 1) % 3]).0 - p;
                if dot(to_side, to_side) >= away * away {
                    continue;
                }
                if other == NONE {
                    return true;
                }
                if count < MOST_SEEN {
                    ahead[count] = (other, t);
                    count += 1;
                }
            }
        }
        false
    }

    /// The triangle a point of the wood lies in, searched from a triangle near it; the last one on the
    /// way when the straight way leaves the wood.
    pub fn locate(&self, p: Point, near: usize) -> usize {
        let mut triangle = near;
        let mut came_from = NONE;
        for _ in 0..self.triangles.len() {
            let corners = self.triangles[triangle].map(|i| self.walls.point(i as usize));
            let mut out = None;
            let mut worst = -1e-12;
            for i in 0..3 {
                let (a, b) = (corners[i], corners[(i + 1) % 3]);
                let side = cross(b - a, p - a);
                let other = self.beyond[triangle][i];
                if side < worst && other != NONE && other != came_from {
                    (out, worst) = (Some(other), side);
                }
            }
            let Some(next) = out else { return triangle };
            came_from = triangle as u32;
            triangle = next as usize;
        }
        triangle
    }

    /// Where the straight line from `p` along `along` leaves the wood; `triangle` holds `p`.
    pub fn leaves_at(&self, p: Point, along: Point, triangle: usize) -> WallPoint {
        let mut triangle = triangle;
        let mut entered = NONE;
        let mut fallback = None;
        for _ in 0..=self.triangles.len() {
            let corners = self.triangles[triangle];
            // The line leaves by the side it crosses outward, farthest along among ties at a corner.
            let mut best: Option<(f64, usize)> = None;
            for i in 0..3 {
                let (a, b) =
                    (self.walls.point(corners[i] as usize), self.walls.point(corners[(i + 1) % 3] as usize));
                let outward = cross(along, b - a);
                if outward <= 0.0 || (self.beyond[triangle][i] != NONE && self.beyond[triangle][i] == entered)
                {
                    continue;
                }
                let (sa, sb) = (cross(along, a - p), cross(along, b - p));
                // A side is met when its ends lie on either side of the line, or nearly.
                let miss = (sa.max(0.0) + (-sb).max(0.0)) / outward;
                if best.is_none_or(|(least, _)| miss < least) {
                    best = Some((miss, i));
                }
            }
            let Some((_, i)) = best else { break };
            let other = self.beyond[triangle][i];
            if other == NONE {
                let edge = corners[i] as usize;
                let (a, b) = self.walls.edge(edge);
                let part = (cross(along, p - a) / cross(along, b - a)).clamp(0.0, 1.0);
                return WallPoint {
                    at: a + (b - a) * part,
                    edge,
                    arc: self.walls.arc(edge) + part * distance(a, b),
                };
            }
            fallback = Some(corners[i] as usize);
            entered = triangle as u32;
            triangle = other as usize;
        }
        // Reached only through rounding at a corner the line runs through exactly.
        let edge = fallback.unwrap_or(self.triangles[triangle][0] as usize);
        WallPoint { at: self.walls.point(edge), edge, arc: self.walls.arc(edge) }
    }
}

fn first_double_point(walls: &Walls) -> Point {
    let mut order: Vec<usize> = (0..walls.len()).collect();
    let key = |i: usize| (walls.point(i).x, walls.point(i).y);
    order.sort_by(|&a, &b| key(a).partial_cmp(&key(b)).expect("a shape's points are finite"));
    order
        .windows(2)
        .find(|pair| key(pair[0]) == key(pair[1]))
        .map_or_else(|| walls.point(0), |pair| walls.point(pair[0]))
}

#[cfg(test)]
mod tests {
    use geo_types::polygon;

    use super::*;
    use crate::shape::plane::point;

    fn bar() -> Mesh {
        let shape = Shape::new(polygon![
            (x: 0.0, y: 0.0), (x: 60.0, y: 0.0), (x: 60.0, y: 6.0), (x: 0.0, y: 6.0)
        ])
        .expect("a bar is a shape");
        Mesh::new(&shape).expect("a bar has a mesh")
    }

    #[test]
    fn triangles_fill_the_wood() {
        let mesh = bar();
        let area: f64 = (0..mesh.len()).map(|t| mesh.area(t)).sum();
        assert!((area - 360.0).abs() < 1e-9, "{area}");
        assert!(mesh.walls().len() > 40, "long walls are divided: {}", mesh.walls().len());
        assert!(mesh.walls().len() < 400, "but not without end: {}", mesh.walls().len());
    }

    #[test]
    fn a_line_leaves_where_the_wall_is() {
        let mesh = bar();
        let from = point(10.3, 2.0);
        let triangle = mesh.locate(from, 0);
        let up = mesh.leaves_at(from, point(0.0, 1.0), triangle);
        assert!(distance(up.at, point(10.3, 6.0)) < 1e-12, "{up:?}");
        let right = mesh.leaves_at(from, point(1.0, 0.0), triangle);
        assert!(distance(right.at, point(60.0, 2.0)) < 1e-12, "{right:?}");
    }
}
