//! Counts the hairs of an outline: spikes of wood that no saw cuts and no drawing of a piece has many of.

use geo_types::Coord;

use super::Shape;
use super::plane::{cross, distance, dot, unit};

/// A point nearer than this to the last one looked at is passed over, in mm: noise as fine as that makes no hair.
const STEP: f64 = 0.3;
/// A hair is thinner than this, in mm, so far behind its tip. Our own rule.
pub(crate) const THIN: f64 = 0.5;
const BEHIND: f64 = 1.0;
/// Its wall turns back at the tip by more than the angle of this cosine, 120°.
const TURN: f64 = -0.5;

/// How many hairs a shape has, and where the first of them ends.
pub(crate) fn hairs(shape: &Shape) -> Option<(usize, Coord<f64>)> {
    let tips: Vec<Coord<f64>> = shape.rings().flat_map(|ring| tips(&ring.0)).collect();
    Some((tips.len(), *tips.first()?))
}

/// The tips of the hairs of a closed ring that has the wood to its left.
fn tips(ring: &[Coord<f64>]) -> Vec<Coord<f64>> {
    let mut points: Vec<Coord<f64>> = Vec::new();
    for &p in ring {
        if points.last().is_none_or(|&last| distance(last, p) > STEP) {
            points.push(p);
        }
    }
    while points.len() > 1 && distance(points[0], points[points.len() - 1]) <= STEP {
        points.pop();
    }
    let count = points.len();
    let is_tip = |i: &usize| {
        let (before, tip, after) = (points[(i + count - 1) % count], points[*i], points[(i + 1) % count]);
        let (there, back) = (unit(tip - before), unit(after - tip));
        let behind = BEHIND.min(distance(before, tip)).min(distance(tip, after));
        cross(there, back) > 0.0 && dot(there, back) < TURN && distance(there * -behind, back * behind) < THIN
    };
    (0..count).filter(is_tip).map(|i| points[i]).collect()
}

#[cfg(test)]
mod tests {
    use geo_types::{LineString, Polygon};

    use super::*;

    /// Teeth so wide and high along the upper wall of a plate.
    fn comb(teeth: u32, width: f64, height: f64) -> Shape {
        let length = f64::from(teeth) * width;
        let mut ring = vec![(0.0, 0.0), (length, 0.0)];
        for k in (0..teeth).rev() {
            ring.extend([(width * (f64::from(k) + 0.5), 20.0 + height), (width * f64::from(k), 20.0)]);
        }
        Shape::new(Polygon::new(LineString::from(ring), Vec::new())).expect("a shape")
    }

    /// By hand: 1 mm behind its tip a tooth that is 0.4 mm wide at its root, 2 mm below, is 0.2 mm thick; one of 2 mm is 1 mm.
    #[test]
    fn teeth_thinner_than_half_a_millimetre_are_hairs() {
        assert_eq!(hairs(&comb(40, 0.4, 2.0)).map(|found| found.0), Some(40));
        assert_eq!(hairs(&comb(40, 2.0, 2.0)), None);
    }

    #[test]
    fn noise_and_slots_are_no_hairs() {
        assert_eq!(hairs(&comb(400, 0.1, 0.1)), None);
        // As thin, but slots in the wood, which stands 0.8 mm thick between them.
        let mut ring = vec![(-5.0, 0.0), (45.0, 0.0), (45.0, 20.0)];
        for k in (0..40).rev() {
            let at = f64::from(k);
            ring.extend([(at + 0.2, 20.0), (at + 0.1, 15.0), (at, 20.0)]);
        }
        ring.push((-5.0, 20.0));
        let comb = Shape::new(Polygon::new(LineString::from(ring), Vec::new())).expect("a shape");
        assert_eq!(hairs(&comb), None);
    }
}
