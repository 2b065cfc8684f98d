//! Inserts and files for cutting, on random pieces: what goes in has room all round, what is mirrored has mirrored files.

use geo::AffineOps;
use proptest::prelude::*;
use shortgrain::{
    design,
    drawing::cutting::{Piece, Set},
    fit::{self, Contour, Corners, Options, Outline, Recovery},
    shape::Shape,
    units::{Angle, Length},
};

use crate::pieces::{cases, random_shape};

fn mirrored(shape: &Shape) -> Shape {
    let origin = geo::Coord { x: 0.0, y: 0.0 };
    let polygon = shape.polygon().affine_transform(&geo::AffineTransform::scale(-1.0, 1.0, origin));
    Shape::new(polygon).expect("still a shape")
}

/// The piece that a face's file reads back as.
fn face(shape: &Shape) -> Shape {
    let files = Set::new("p").with_piece(Piece::of("p", shape, Angle::deg(0.0))).files();
    let text = &files.iter().find(|file| file.name == "p-face.svg").expect("it has a face").text;
    let options = design::Options { tolerance: Length::mm(0.0005), ..design::Options::default() };
    let design = design::read("p.svg", text.as_bytes(), &options).expect("our own file can be read");
    design.pieces.into_iter().find(|piece| piece.name == "p").expect("it has its name").shape
}

/// How far the corners of one outline lie from the edge of another.
fn off(a: &Shape, b: &Shape) -> f64 {
    use geo::{Distance, Euclidean};
    let edge = geo::MultiLineString(b.rings().cloned().collect());
    a.rings()
        .flat_map(|ring| ring.0.iter())
        .map(|p| Euclidean.distance(&geo::Point(*p), &edge))
        .fold(0.0, f64::max)
}

/// Moved to where its face's page has it: 20 mm from the left and the lower edge.
fn on_its_page(shape: &Shape) -> Shape {
    use geo::Translate;
    let [x0, y0, ..] = Outline::of(shape, &Recovery::default()).bounds();
    Shape::new(shape.polygon().translate(20.0 - x0, 20.0 - y0)).expect("still a shape")
}

proptest! {
    #![proptest_config(cases(10))]

    #[test]
    fn an_insert_has_the_clearance_all_round_or_is_refused(shape in random_shape(), bit in 1.0..6.0, relieved: bool) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let corners = if relieved { Corners::Relieved } else { Corners::Round };
        let bit = Length::mm(bit);
        let options = Options { pocket_bit: bit, insert_bit: bit, corners, ..Options::default() };
        let Ok(fit) = fit::fit(&shape, Angle::deg(0.0), &options) else { return Err(TestCaseError::reject("too narrow")) };
        for segment in fit.pocket.contours().flat_map(Contour::segments) {
            for k in 0..4 {
                let gap = fit.insert.distance(segment.at(f64::from(k) / 4.0));
                prop_assert!(gap > 0.049, "{gap}");
                prop_assert!(relieved || gap < 0.051, "{gap}");
            }
        }
        let hollow = fit.insert.contours().flat_map(Contour::segments).filter(|arc| arc.sweep() < 0.0);
        // A sliver of an arc says little of its radius.
        for arc in hollow.filter(|arc| arc.length() > 0.5) {
            let radius = arc.circle().map_or(0.0, |(_, radius)| radius);
            prop_assert!(radius > bit.as_mm() / 2.0 + 0.05 - 0.01, "{radius}");
        }
    }

    #[test]
    fn a_face_reads_back_to_a_thousandth_and_a_mirrored_piece_has_a_mirrored_face(shape in random_shape()) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let (here, there) = (face(&shape), face(&mirrored(&shape)));
        // Arcs are found to 0.001 mm of the points, and the file is read to half of that.
        let apart = off(&on_its_page(&shape), &here);
        prop_assert!(apart < 1.6e-3, "{apart}");
        // Seen the other way round, other points of a rough curve make an arc; each is within 0.025 mm of the chords.
        let mirror = on_its_page(&mirrored(&here));
        let apart = off(&there, &mirror).max(off(&mirror, &there));
        prop_assert!(apart < 0.03, "{apart}");
    }
}
