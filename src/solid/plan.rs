//! What a mesh has to respect, and how fine it has to be where.

use crate::shape::plane::{Point, dot, nearest_on_segment};

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
    /// The wanted length of a triangle's side about a point, in mm. It should not change faster than by
    /// about a third of a millimetre for each millimetre of way: triangles can grow no faster. [`Grading`] keeps to that.
    pub size: &'a dyn Fn(Point) -> f64,
}

/// Sizes wanted at some places, growing with the distance from them.
///
/// ```text
/// size(p) = min(most, min over the places of (size there + slope · distance from p))
/// ```
///
/// # Example
///
/// ```
/// use shortgrain::{shape::plane::point, solid::Grading};
///
/// let mut grading = Grading::new(6.0, 0.25);
/// grading.along([point(0.0, 0.0), point(8.0, 0.0)], 1.0);
/// assert_eq!(grading.size(point(4.0, 4.0)), 2.0);
/// assert_eq!(grading.size(point(4.0, 40.0)), 6.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Grading {
    places: Vec<([Point; 2], f64)>,
    most: f64,
    slope: f64,
}

impl Grading {
    /// A size of `most` everywhere, to be lowered; it will grow by `slope` mm for each mm of way.
    pub const fn new(most: f64, slope: f64) -> Self {
        Self { places: Vec::new(), most, slope }
    }

    /// Asks for a size at a point.
    pub fn at(&mut self, place: Point, size: f64) {
        self.along([place, place], size);
    }

    /// Asks for a size all along a straight line.
    pub fn along(&mut self, line: [Point; 2], size: f64) {
        self.places.push((line, size));
    }

    /// The size wanted at a point.
    pub fn size(&self, p: Point) -> f64 {
        let mut least = self.most;
        for &([from, to], size) in &self.places {
            // Only a place nearer than this can still lower the size: most are dismissed without a root.
            let reach = (least - size) / self.slope;
            if reach <= 0.0 {
                continue;
            }
            let away = nearest_on_segment(p, from, to).0 - p;
            let squared = dot(away, away);
            if squared < reach * reach {
                least = self.slope.mul_add(squared.sqrt(), size);
            }
        }
        least
    }
}
