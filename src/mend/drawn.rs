//! Bands drawn into a piece, each so much wider, as far as there is room.

use geo::Area;
use geo_types::{LineString, Polygon};

use crate::shape::Shape;
use crate::shape::plane::Point;

use super::band::{Band, STEP};
use super::ground::{Ground, redrawn};
use super::sharing::{Shared, shared};

/// An opening smaller than this that a band cuts off, in mm², is filled: our own rule.
const SLIVER: f64 = 4.0;
/// Bands give way so many times, then nothing is drawn: our own rule.
const GIVES_WAY: usize = 24;

/// Bands drawn into a piece, each so much wider; nothing where that closes an opening, cuts one in two or opens one.
pub(super) fn widened(ground: &Ground<'_>, bands: &[Band], added: &[f64]) -> Option<Shape> {
    let outlines: Vec<Vec<Point>> = bands
        .iter()
        .zip(added)
        .filter(|(_, added)| **added > 0.0)
        .map(|(band, added)| band.outline(ground, *added))
        .collect();
    let shape = without_slivers(ground.shape, redrawn(ground.shape, &[], &outlines).into_iter().next()?)?;
    let shape = ground.radii.rounded(ground.shape, &shape)?;
    let openings = |shape: &Shape| shape.polygon().interiors().len();
    (openings(&shape) == openings(ground.shape)).then_some(shape)
}

/// A piece with its bands drawn in.
pub(super) struct Drawn {
    pub(super) shape: Shape,
    /// How much wider each is.
    pub(super) added: Vec<f64>,
    /// Whether some had to be drawn narrower than was asked for.
    pub(super) gave_way: bool,
}

/// Bands drawn into a piece, each so much wider as there is room: openings are shared, then where bands meet or close an opening all of them
/// give way until they do not, where one takes too much of an opening it does alone. Nothing where they can hardly be wider at all.
pub(super) fn drawn(ground: &Ground<'_>, bands: &[Band], wanted: &[f64]) -> Option<Drawn> {
    let Shared { bands, mut added } = shared(bands, wanted);
    let bands = bands.as_slice();
    let mut gave_way = added.iter().zip(wanted).any(|(added, wanted)| added + STEP / 2.0 < *wanted);
    // What is good enough as it is gives way first.
    if widened(ground, bands, &added).is_none() {
        let stays = |(band, added): (&Band, &f64)| if band.is_weak { *added } else { 0.0 };
        added = bands.iter().zip(&added).map(stays).collect();
    }
    for _ in 0..GIVES_WAY {
        if let Some(shape) = widened(ground, bands, &added) {
            let anew = Ground::new(&shape);
            let too_much: Vec<f64> = bands.iter().map(|band| band.too_much(&anew)).collect();
            let over = |k: usize| added[k] > 0.0 && too_much[k] > 1.0;
            let over: Vec<usize> = (0..bands.len()).filter(|&k| over(k)).collect();
            if over.is_empty() {
                return Some(Drawn { shape, added, gave_way });
            }
            over.into_iter()
                .for_each(|k| added[k] = (added[k] / too_much[k].max(1.01) / STEP).floor() * STEP);
        } else {
            added.iter_mut().for_each(|added| *added *= 0.8);
        }
        gave_way = true;
    }
    None
}

/// Fills what a band leaves of an opening's rounded corner: no bit would enter it. Where the drawing has openings as small, nothing is filled.
fn without_slivers(before: &Shape, after: Shape) -> Option<Shape> {
    let area = |ring: &LineString<f64>| Polygon::new(ring.clone(), Vec::new()).unsigned_area();
    if before.polygon().interiors().iter().any(|ring| area(ring) < SLIVER) {
        return Some(after);
    }
    let (outer, openings) = after.polygon().clone().into_inner();
    let kept = openings.into_iter().filter(|ring| area(ring) >= SLIVER).collect();
    Shape::new(Polygon::new(outer, kept)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::band::{Beyond, Ending, Stop};
    use geo_types::Coord;

    /// A plate with two windows 24 x 60 and a web 6 wide between them.
    fn windows() -> Shape {
        let ring = |x0: f64, y0: f64, x1: f64, y1: f64| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let plate = Polygon::new(
            ring(0.0, 0.0, 84.0, 100.0),
            vec![ring(15.0, 20.0, 39.0, 80.0), ring(45.0, 20.0, 69.0, 80.0)],
        );
        Shape::new(plate).expect("a shape")
    }

    fn band(walls: [[f64; 2]; 2], parts: [f64; 2]) -> Band {
        let at = |x: f64, y: f64| Coord { x, y };
        let pair = |y: f64| [(at(walls[0][0], y), at(-1.0, 0.0)), (at(walls[1][0], y), at(1.0, 0.0))];
        Band {
            place: 1,
            at: at(42.0, 50.0),
            width: 6.0,
            walls: vec![pair(22.0), pair(50.0), pair(78.0)],
            ends: [at(0.0, -1.0), at(0.0, 1.0)],
            endings: [Ending::Wood; 2],
            parts,
            beyond: [-1.0, 1.0]
                .map(|x| Some(Beyond { from: at(42.0, 50.0), way: at(x, 0.0), walls: [3.0, 27.0] })),
            most: 20.0,
            stops: Stop::Opening,
            is_weak: true,
        }
    }

    #[test]
    fn a_web_grows_evenly_into_both_windows() {
        let plate = windows();
        let ground = Ground::new(&plate);
        let wide = widened(&ground, &[band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5])], &[4.0])
            .expect("still two windows");
        assert!((wide.area() - plate.area() - 4.0 * 60.0).abs() < 0.01, "{}", wide.area() - plate.area());
        assert_eq!(wide.polygon().interiors().len(), 2);
        let met =
            Ground::new(&wide).ray(Coord { x: 42.0, y: 25.0 }, Coord { x: 1.0, y: 0.0 }).expect("a wall");
        assert!((met.away - 5.0).abs() < 1e-3);
    }

    /// The windows are 24 wide: a third is 8 to either side, and what is taken from the far side counts as well.
    #[test]
    fn a_third_of_a_window_is_taken_and_no_more_but_that_much_is() {
        let plate = windows();
        let ground = Ground::new(&plate);
        let web = || band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5]);
        let taken = |bands: &[Band], added: &[f64]| {
            let wide = widened(&ground, bands, added).expect("still two windows");
            let [taken, width] = bands[0].taken(&Ground::new(&wide)).expect("a window lies beside it");
            assert!((width - 24.0).abs() < 1e-9);
            taken
        };
        assert!((taken(&[web()], &[18.0]) - 9.0).abs() < 1e-3);
        let rim = || Band { parts: [0.0, 1.0], ..band([[0.0, 0.0], [15.0, 0.0]], [0.0, 1.0]) };
        assert!((taken(&[web(), rim()], &[12.0, 4.0]) - 10.0).abs() < 1e-3);
        // What may be taken is drawn as asked; of what is too much, as much as may be.
        let of = |bands: &[Band], added: &[f64]| drawn(&ground, bands, added).expect("some room");
        let asked = of(&[web()], &[16.0]);
        assert!(!asked.gave_way && asked.added == [16.0]);
        // It can hardly grow any more then, and is said to be stopped by that.
        let stop = |added: f64| {
            let wide = widened(&ground, &[web()], &[added]).expect("still two windows");
            web().stop(added, &Ground::new(&wide))
        };
        assert_eq!([16.0, 15.9, 12.0].map(stop), [Some(Stop::Third), Some(Stop::Third), None]);
        let less = of(&[web()], &[18.0]);
        assert!(less.gave_way && (15.7..=16.01).contains(&less.added[0]), "{:?}", less.added);
        // Where the rim wants some of one window the web takes more of the other, and only then both take less.
        let both = of(&[web(), rim()], &[12.0, 3.9]);
        assert!(!both.gave_way && both.added == [12.0, 3.9], "{:?}", both.added);
        let both = of(&[web(), rim()], &[12.0, 6.0]);
        let taken = web().taken(&Ground::new(&both.shape)).expect("a window lies beside it")[0];
        assert!(both.gave_way && (7.7..=8.001).contains(&taken), "{taken} {:?}", both.added);
    }

    #[test]
    fn what_closes_a_window_is_not_drawn() {
        let plate = windows();
        let ground = Ground::new(&plate);
        assert!(widened(&ground, &[band([[39.0, 0.0], [45.0, 0.0]], [0.5, 0.5])], &[49.0]).is_none());
    }
}
