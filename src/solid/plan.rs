//! What a mesh has to respect.

use crate::shape::plane::Point;

/// The wood seen from the face, with every line the mesh has to follow and how fine it has to be.
pub struct Plan<'a> {
    /// Closed rings without their first point repeated; a point is in the wood when an odd number of
    /// rings surround it. Rings do not cross or touch each other.
    pub rings: Vec<Vec<Point>>,
    /// Straight lines the mesh follows wherever they run through the wood: break lines, fibre sections.
    /// They may cross each other, the rings and the zones.
    pub lines: Vec<[Point; 2]>,
    /// Closed outlines the mesh follows wherever they run through the wood; it tells of each triangle which
    /// of them it lies in. At most 32.
    pub zones: Vec<Vec<Point>>,
    /// The wanted length of a triangle's side about a point, in mm.
    pub size: &'a dyn Fn(Point) -> f64,
}
