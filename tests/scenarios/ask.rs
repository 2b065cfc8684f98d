//! Asking a sample: its piece, what is found where, and the same piece drawn a little differently.

use geo::{Area, BooleanOps, Rotate};
use geo_types::{Coord, MultiPolygon, Polygon, Rect, point};
use shortgrain::{
    check::{Finding, Form, Place, Pushes},
    mend::first_remedies,
    shape::Shape,
    units::{Angle, Length},
    wood::{Board, OwnValues, Rings, Wood},
};

use crate::samples::{Case, sample};

/// A sample of one piece.
pub(crate) fn only(name: &str) -> Case {
    let mut pieces = sample(name);
    assert_eq!(pieces.len(), 1, "{name} is one piece");
    pieces.remove(0)
}

/// A piece of a sample of several.
pub(crate) fn piece(sample_name: &str, piece: &str) -> Case {
    let name = format!("{sample_name}/{piece}");
    sample(sample_name).into_iter().find(|case| case.name == name).expect("a piece of that name")
}

impl Case {
    /// The same piece on a board whose grain runs another way.
    pub(crate) fn with_grain(&self, degrees: f64) -> Self {
        let mut turned = self.clone();
        turned.board.grain = Angle::deg(degrees);
        turned
    }

    /// The same piece with more wood.
    pub(crate) fn with_wood(&self, added: &Polygon<f64>) -> Self {
        self.redrawn(&self.shape.polygon().union(added))
    }

    /// The same piece with less wood.
    pub(crate) fn without(&self, taken: &Polygon<f64>) -> Self {
        self.redrawn(&self.shape.polygon().difference(taken))
    }

    fn redrawn(&self, parts: &MultiPolygon<f64>) -> Self {
        let biggest = parts.iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()));
        let shape = Shape::new(biggest.expect("wood is left").clone()).expect("still a shape");
        Self { shape, ..self.clone() }
    }

    /// The finding with its first remedies.
    pub(crate) fn mended(&self) -> Finding {
        let mut finding = self.finding();
        first_remedies(&mut finding, &self.shape, &self.board, &self.wood, &self.pushes);
        finding
    }
}

/// An upright box from its middle.
pub(crate) fn block(x: f64, y: f64, width: f64, height: f64) -> Polygon<f64> {
    let half = Coord { x: width / 2.0, y: height / 2.0 };
    let middle = Coord { x, y };
    Rect::new(middle - half, middle + half).to_polygon()
}

/// The same outline turned about a point, anticlockwise.
pub(crate) fn turned(outline: &Polygon<f64>, degrees: f64, about: [f64; 2]) -> Polygon<f64> {
    outline.rotate_around_point(degrees, point! { x: about[0], y: about[1] })
}

/// How far a place's run lies from a point, in mm.
pub(crate) fn distance(place: &Place, [x, y]: [f64; 2]) -> f64 {
    place.run.iter().map(|at| (at.x - x).hypot(at.y - y)).fold(f64::INFINITY, f64::min)
}

/// The place whose run is nearest to a point, within 3 mm.
pub(crate) fn near(finding: &Finding, at: [f64; 2]) -> &Place {
    let nearest = finding.places.iter().min_by(|a, b| distance(a, at).total_cmp(&distance(b, at)));
    let place = nearest.expect("there are places");
    assert!(distance(place, at) < 3.0, "no place at {at:?} but at {:?}", place.at);
    place
}

/// Whether a place is one of those at the given points.
pub(crate) fn is_one_of(place: &Place, points: &[[f64; 2]]) -> bool {
    points.iter().any(|&at| distance(place, at) < 2.0)
}

/// The lesser of the two pushes that break a place, in N; all samples name equal pushes for face and side.
pub(crate) fn force(place: &Place) -> f64 {
    place.face.breaks_at_n.min(place.side.breaks_at_n)
}

/// The places that cross the grain, weakest first.
pub(crate) fn short(finding: &Finding) -> Vec<&Place> {
    finding.places.iter().filter(|place| place.form != Form::Along).collect()
}

/// The slender stretches along the grain.
pub(crate) fn long(finding: &Finding) -> Vec<&Place> {
    finding.places.iter().filter(|place| place.form == Form::Along).collect()
}

/// Asserts that a ratio is as expected, give or take a part of it.
#[track_caller]
pub(crate) fn about(ratio: f64, expected: f64, part: f64) {
    assert!((ratio / expected - 1.0).abs() <= part, "{ratio:.3} is not {expected} within {part}");
}

/// A piece on a board 18 mm thick.
pub(crate) fn drawn(name: &str, piece: Polygon<f64>, wood: &str, grain: f64) -> Case {
    let board = Board {
        thickness: Length::mm(18.0),
        grain: Angle::deg(grain),
        rings: Rings::Unknown,
        moisture_pct: 12.0,
    };
    let wood = Wood::find(wood).expect("a known wood");
    let wood = wood.mechanics(&board, &OwnValues::none()).expect("a whole wood");
    let shape = Shape::new(piece).expect("a shape");
    Case { name: name.to_owned(), shape, board, wood, pushes: Pushes::default() }
}
