//! The few vector operations of the plane, on [`Coord`].

use geo_types::Coord;

/// A point or a vector in the plane, in mm.
pub type Point = Coord<f64>;

/// A point from its coordinates.
pub const fn point(x: f64, y: f64) -> Point {
    Coord { x, y }
}

/// The scalar product.
#[inline]
pub fn dot(a: Point, b: Point) -> f64 {
    a.x * b.x + a.y * b.y
}

/// The vector product's only component: positive when `b` lies to the left of `a`.
#[inline]
pub fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}

/// The length.
#[inline]
pub fn norm(a: Point) -> f64 {
    a.x.hypot(a.y)
}

/// The distance between two points.
#[inline]
pub fn distance(a: Point, b: Point) -> f64 {
    norm(a - b)
}

/// The length of a line through points, from the first to the last.
pub fn length(points: &[Point]) -> f64 {
    points.windows(2).map(|side| distance(side[0], side[1])).sum()
}

/// Turned a quarter to the left.
#[inline]
pub const fn left(a: Point) -> Point {
    Coord { x: -a.y, y: a.x }
}

/// The same direction with length 1; a zero vector stays zero.
#[inline]
pub fn unit(a: Point) -> Point {
    let length = norm(a);
    if length > 0.0 { a / length } else { a }
}

/// The unit vector at an angle anticlockwise from +x, in radians.
pub fn direction(angle: f64) -> Point {
    let (sin, cos) = angle.sin_cos();
    Coord { x: cos, y: sin }
}

/// From where to where points lie along a direction; the other way round where there are none.
pub fn extent(points: impl Iterator<Item = Point>, way: Point) -> [f64; 2] {
    let at = points.map(|point| dot(point, way));
    at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], u| [low.min(u), high.max(u)])
}

/// From where to where points lie, in x and in y.
pub fn extents(points: &[Point]) -> [[f64; 2]; 2] {
    [point(1.0, 0.0), point(0.0, 1.0)].map(|way| extent(points.iter().copied(), way))
}

/// Whether two boxes, from where to where in x and in y, share a point.
pub fn meet(one: [[f64; 2]; 2], other: [[f64; 2]; 2]) -> bool {
    one.iter().zip(&other).all(|(a, b)| a[0] <= b[1] && b[0] <= a[1])
}

/// The acute angle between two undirected directions, 0 to π/2.
pub fn angle_between(a: Point, b: Point) -> f64 {
    cross(a, b).abs().atan2(dot(a, b).abs())
}

/// The point of the segment from `a` to `b` that is nearest to `p`, and where it lies: 0 at `a`, 1 at `b`.
#[inline]
pub fn nearest_on_segment(p: Point, a: Point, b: Point) -> (Point, f64) {
    let along = b - a;
    let length_squared = dot(along, along);
    if length_squared <= 0.0 {
        return (a, 0.0);
    }
    let at = (dot(p - a, along) / length_squared).clamp(0.0, 1.0);
    (a + along * at, at)
}
