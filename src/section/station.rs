//! One section of a stretch: square to the run, and along the grain.

use crate::{
    shape::plane::{Point, angle_between, cross, distance, dot, left},
    skeleton::{Mesh, WallPoint},
};

/// A section of a slender part, measured on its true walls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Middle of the section square to the run.
    pub at: Point,
    /// Direction of the run, length 1.
    pub run: Point,
    /// Length along the run from the stretch's start, in mm.
    pub along: f64,
    /// Where the section meets the walls: on its left and on its right. It stands square to the run.
    pub square: [WallPoint; 2],
    /// Width square to the run, in mm.
    pub width: f64,
    /// Angle between run and grain, 0 to π/2.
    pub crossing: f64,
    /// +1 where the grain, pointing forwards, leans to the left of the run, −1 to the right.
    pub turn: f64,
    /// Where the line along the grain through the middle meets the walls: backwards and forwards along the grain.
    pub grain_line: [WallPoint; 2],
    /// A triangle of the mesh that holds the middle.
    pub triangle: usize,
}

impl Station {
    /// Measures the section square to the run through `p`, a point of the wood in or near `triangle`.
    pub(super) fn square(
        mesh: &Mesh,
        (p, run): (Point, Point),
        along: f64,
        grain: Point,
        triangle: usize,
    ) -> Self {
        let triangle = mesh.locate(p, triangle);
        let across = left(run);
        let walls = [across, -across].map(|way| mesh.leaves_at(p, way, triangle));
        Self::between(mesh, walls, run, along, grain, triangle)
    }

    /// The section between two points of the walls, on the left and on the right.
    pub(super) fn between(
        mesh: &Mesh,
        walls: [WallPoint; 2],
        run: Point,
        along: f64,
        grain: Point,
        triangle: usize,
    ) -> Self {
        let at = (walls[0].at + walls[1].at) / 2.0;
        let triangle = mesh.locate(at, triangle);
        Self {
            at,
            run,
            along,
            square: walls,
            width: distance(walls[0].at, walls[1].at),
            crossing: angle_between(run, grain),
            turn: if cross(run, grain) * dot(run, grain) < 0.0 { -1.0 } else { 1.0 },
            grain_line: [mesh.leaves_at(at, -grain, triangle), mesh.leaves_at(at, grain, triangle)],
            triangle,
        }
    }

    /// Length of the line along the grain, from wall to wall, in mm.
    pub fn grain_width(&self) -> f64 {
        distance(self.grain_line[0].at, self.grain_line[1].at)
    }
}
