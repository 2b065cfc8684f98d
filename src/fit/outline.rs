//! An outer contour with its openings.

use geo_types::Polygon;

use super::contour::Contour;
use super::recover::{Recovery, recovered};
use crate::shape::Shape;
use crate::shape::plane::{Point, unit};

/// What is cut: one outer contour, anticlockwise, and openings, clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Anticlockwise.
    pub outer: Contour,
    /// Clockwise; wood that stands in a pocket, or a hole in an insert.
    pub openings: Vec<Contour>,
}

impl Outline {
    /// A shape's outline with its arcs made round again.
    ///
    /// A drawing is read as short straight lines; where their ends lie on a circle, they stood for an arc.
    pub fn of(shape: &Shape, how: &Recovery) -> Self {
        Self::of_polygon(shape.polygon(), how)
    }

    pub(super) fn of_polygon(polygon: &Polygon<f64>, how: &Recovery) -> Self {
        use geo::algorithm::orient::{Direction, Orient};
        let polygon = polygon.orient(Direction::Default);
        Self {
            outer: recovered(polygon.exterior(), how),
            openings: polygon.interiors().iter().map(|ring| recovered(ring, how)).collect(),
        }
    }

    /// All contours, the outer one first.
    pub fn contours(&self) -> impl Iterator<Item = &Contour> {
        std::iter::once(&self.outer).chain(&self.openings)
    }

    /// The area in mm²; exact for arcs.
    pub fn area(&self) -> f64 {
        self.contours().map(Contour::area).sum()
    }

    /// Smallest and largest x and y: `[x0, y0, x1, y1]`.
    pub fn bounds(&self) -> [f64; 4] {
        self.outer.bounds()
    }

    /// How far a point lies from the nearest contour.
    pub fn distance(&self, p: Point) -> f64 {
        self.contours().map(|contour| contour.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// The nearest point of its arcs; nothing where none passes within so many mm.
    pub fn on_arc(&self, p: Point, within: f64) -> Option<Point> {
        let near = self.contours().flat_map(Contour::segments).filter_map(|segment| {
            let (centre, radius) = segment.circle()?;
            let away = segment.distance(p);
            (away <= within).then(|| (away, centre + unit(p - centre) * radius))
        });
        near.min_by(|(a, _), (b, _)| a.total_cmp(b)).map(|(_, at)| at)
    }

    /// The outline as a polygon, arcs as chords that leave them by no more than `gap` mm.
    pub fn polygon(&self, gap: f64) -> Polygon<f64> {
        Polygon::new(
            self.outer.points(gap),
            self.openings.iter().map(|contour| contour.points(gap)).collect(),
        )
    }

    /// Mirrored about the upright line at `x`.
    #[must_use]
    pub fn mirrored(&self, x: f64) -> Self {
        self.each(|contour| contour.mirrored(x))
    }

    /// Moved by a vector.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        self.each(|contour| contour.moved(by))
    }

    /// Turned anticlockwise about the origin by an angle in radians.
    #[must_use]
    pub fn turned(&self, angle: f64) -> Self {
        self.each(|contour| contour.turned(angle))
    }

    fn each(&self, made: impl Fn(&Contour) -> Contour) -> Self {
        Self { outer: made(&self.outer), openings: self.openings.iter().map(made).collect() }
    }
}
