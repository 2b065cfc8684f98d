//! What a mesh has to respect, and how fine it has to be where.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::shape::plane::{Point, dot, nearest_on_segment, point};

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
        self.least(p, self.places.iter())
    }

    /// The same, made ready to be asked at very many points.
    pub const fn sizes(&self) -> Sizes<'_> {
        Sizes { grading: self, cells: RefCell::new(BTreeMap::new()), blocks: RefCell::new(BTreeMap::new()) }
    }

    fn least<'a>(&self, p: Point, places: impl Iterator<Item = &'a ([Point; 2], f64)>) -> f64 {
        let mut least = self.most;
        for &([from, to], size) in places {
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

/// A grading that keeps in mind, square by square, which of its places can be the one that counts.
#[derive(Debug)]
pub struct Sizes<'a> {
    grading: &'a Grading,
    cells: RefCell<BTreeMap<[i64; 2], Vec<u32>>>,
    /// The same of larger squares, from which those of the small ones are taken.
    blocks: RefCell<BTreeMap<[i64; 2], Vec<u32>>>,
}

impl Sizes<'_> {
    /// Side of a square, in mm, and of a larger one.
    const CELL: f64 = 4.0;
    const BLOCK: f64 = 32.0;

    /// The size wanted at a point.
    pub fn size(&self, p: Point) -> f64 {
        let number = |side: f64| [p.x, p.y].map(|x| (x / side).floor() as i64);
        let (cell, block) = (number(Self::CELL), number(Self::BLOCK));
        let mut cells = self.cells.borrow_mut();
        let counting = cells.entry(cell).or_insert_with(|| {
            let mut blocks = self.blocks.borrow_mut();
            let all = 0..self.grading.places.len() as u32;
            let block = blocks.entry(block).or_insert_with(|| self.counting(block, Self::BLOCK, all));
            self.counting(cell, Self::CELL, block.iter().copied())
        });
        self.grading.least(p, counting.iter().map(|&place| &self.grading.places[place as usize]))
    }

    /// The places among some that may be the least somewhere in a square: none that asks for more all over it than another does
    /// anywhere in it.
    fn counting(&self, square: [i64; 2], side: f64, among: impl Iterator<Item = u32>) -> Vec<u32> {
        let Grading { places, most, slope } = self.grading;
        let [x, y] = square.map(|number| (number as f64 + 0.5) * side);
        let middle = point(x, y);
        // From the middle to a corner, and a hair more.
        let reach = slope * (std::f64::consts::FRAC_1_SQRT_2 * side + 1e-6);
        let size = |place: u32| {
            let ([from, to], size) = places[place as usize];
            let away = nearest_on_segment(middle, from, to).0 - middle;
            size + slope * dot(away, away).sqrt()
        };
        let in_the_middle: Vec<(u32, f64)> = among.map(|place| (place, size(place))).collect();
        let least = in_the_middle.iter().fold(*most, |least, (_, size)| least.min(size + reach));
        let counts = in_the_middle.into_iter().filter(|(_, size)| *size - reach <= least);
        counts.map(|(place, _)| place).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn square_by_square_the_same_size_is_found() {
        let mut grading = Grading::new(6.0, 0.3);
        for k in 0..40 {
            let at = |k: i32| point(f64::from(k * 37 % 101) - 30.0, f64::from(k * 53 % 89) - 20.0);
            grading.along([at(k), at(k + 1) * 0.3], 0.2 + f64::from(k % 7));
        }
        let sizes = grading.sizes();
        for k in 0..4000 {
            let p = point(f64::from(k % 63) * 1.7 - 40.0, f64::from(k / 63) * 1.3 - 30.0);
            assert_eq!(sizes.size(p), grading.size(p));
        }
    }
}
