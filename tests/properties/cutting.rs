//! Inserts and files for cutting, on random pieces: what goes in has room all round, what is mirrored has mirrored files.

use geo::AffineOps;
use proptest::prelude::*;
use shortgrain::{
    design,
    drawing::cutting::{File, Layer, Piece, Pocket, Set},
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

/// How far a point lies from the edge of a shape.
fn to_edge(shape: &Shape, point: geo::Coord<f64>) -> f64 {
    use geo::{Distance, Euclidean};
    let edge = geo::MultiLineString(shape.rings().cloned().collect());
    Euclidean.distance(&geo::Point(point), &edge)
}

/// How far the corners of one outline lie from the edge of another.
fn off(a: &Shape, b: &Shape) -> f64 {
    a.rings().flat_map(|ring| ring.0.iter()).map(|p| to_edge(b, *p)).fold(0.0, f64::max)
}

/// What stands on some layers of a file of some kind and name.
fn on_layers(files: &[File], name: &str, layers: &[Layer]) -> Vec<Shape> {
    let file = files.iter().find(|file| file.name == name).unwrap_or_else(|| panic!("no {name}"));
    let layers = layers.iter().map(|layer| layer.name().to_owned()).collect();
    let pick = design::Pick { layers, ..design::Pick::default() };
    let options = design::Options { tolerance: Length::mm(0.0005), pick, ..design::Options::default() };
    let design = design::read(&file.name, file.text.as_bytes(), &options).expect("our own file can be read");
    design.pieces.into_iter().map(|piece| piece.shape).collect()
}

/// An SVG with the piece's edges switched on, which the back's has but to look at.
fn with_edges(file: &File) -> File {
    let group = |part: &str| {
        let (tag, rest) = part.split_once('>').unwrap_or((part, ""));
        let is_edge = tag.contains("id=\"OUTLINE\"") || tag.contains("id=\"OPENING\"");
        let tag = if is_edge {
            tag.replace(" display=\"none\"", "").replace("display=\"none\" ", "")
        } else {
            tag.to_owned()
        };
        if rest.is_empty() { tag } else { format!("{tag}>{rest}") }
    };
    let parts: Vec<String> = file.text.split("<g ").map(group).collect();
    File { name: file.name.clone(), text: parts.join("<g ") }
}

/// Seen the other way round on a page so wide.
fn over_the_page(shape: &Shape, wide: f64) -> Shape {
    let polygon =
        shape.polygon().affine_transform(&geo::AffineTransform::new(-1.0, 0.0, wide, 0.0, 1.0, 0.0));
    Shape::new(polygon).expect("still a shape")
}

/// The width of a page, as its SVG has it.
fn page_width(files: &[File], name: &str) -> f64 {
    let file = files.iter().find(|file| file.name == name).unwrap_or_else(|| panic!("no {name}"));
    let (_, width) = file.text.split_once("viewBox=\"0 0 ").expect("a page");
    width.split(' ').next().and_then(|width| width.parse().ok()).expect("a width")
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
        // A drawing's points lie on the arcs that are found in it to a thousandth; what is written are these arcs, and each reads back to
        // another one, both ways round.
        let drawn = on_its_page(&shape);
        let written = Outline::of(&drawn, &Recovery::default());
        let corners = |shape: &Shape| shape.rings().flat_map(|ring| ring.0.clone()).collect::<Vec<_>>();
        let found = corners(&drawn).into_iter().map(|p| written.distance(p)).fold(0.0, f64::max);
        prop_assert!(found < 1e-3 + 1e-9, "{found}");
        let read = corners(&here).into_iter().map(|p| written.distance(p)).fold(0.0, f64::max);
        prop_assert!(read < 1e-3, "{read}");
        let along = written.contours().flat_map(Contour::segments);
        let along = along.flat_map(|one| (0..8).map(move |k| one.at(f64::from(k) / 8.0)));
        let missed = along.map(|p| to_edge(&here, p)).fold(0.0, f64::max);
        prop_assert!(missed < 1e-3, "{missed}");
        // Seen the other way round, other points of a rough curve make an arc; each is within 0.025 mm of the chords.
        let mirror = on_its_page(&mirrored(&here));
        let apart = off(&there, &mirror).max(off(&mirror, &there));
        prop_assert!(apart < 0.03, "{apart}");
    }

    /// A plate with a pocket of any shape, its insert's grain at any angle, and the same seen in a mirror: face, back and strip are each seen in a
    /// mirror too, as SVG and as DXF. Face and back about their page's upright middle; an insert, which is turned to lie along its
    /// strip, about the strip's.
    #[test]
    fn a_mirrored_piece_mirrors_all_its_files(shape in random_shape(), grain in 0..12, bit in 1.0..4.0) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let (grain, bit) = (f64::from(grain) * 15.0, Length::mm(bit));
        let options = Options { pocket_bit: bit, insert_bit: bit, ..Options::default() };
        let corners = vec![(-60.0, -50.0), (180.0, -50.0), (180.0, 70.0), (150.0, 130.0), (-60.0, 130.0)];
        let window = vec![(90.0, -40.0), (140.0, -40.0), (140.0, -15.0), (100.0, -10.0)];
        let plate = geo_types::Polygon::new(corners.into(), vec![window.into()]);
        let plate = Shape::new(plate).expect("a shape");
        let files = |plate: &Shape, insert: &Shape, grain: f64| {
            let fit = fit::fit(insert, Angle::deg(grain), &options).ok()?;
            let piece = Piece::of("p", plate, Angle::deg(10.0)).with_pocket(Pocket { fit, wood: None });
            let mut set = Set::new("p").with_piece(piece);
            set.stock.spares = Some(0);
            Some(set.files())
        };
        let here = files(&plate, &shape, grain);
        let there = files(&mirrored(&plate), &mirrored(&shape), -grain);
        prop_assert_eq!(here.is_some(), there.is_some());
        let (Some(here), Some(there)) = (here, there) else { return Err(TestCaseError::reject("too narrow")) };
        for (page, layers) in [
            ("face", &[Layer::Outline, Layer::Opening][..]),
            ("back", &[Layer::PocketBack]),
            ("shown back", &[Layer::Outline, Layer::Opening]),
            ("insert", &[Layer::Insert]),
        ] {
            let (shown, page) = page.strip_prefix("shown ").map_or((false, page), |page| (true, page));
            let wide = page_width(&here, &format!("p-{page}.svg"));
            let other = page_width(&there, &format!("p-{page}.svg"));
            prop_assert!((wide - other).abs() < 2e-3, "{page}: {wide} {other}");
            for ending in if shown { &["svg"][..] } else { &["svg", "dxf"] } {
                let name = format!("p-{page}.{ending}");
                let all = |files: &Vec<File>| if shown { files.iter().map(with_edges).collect() } else { files.clone() };
                let [one, other] = [&here, &there].map(|files| on_layers(&all(files), &name, layers));
                prop_assert!(!one.is_empty() && one.len() == other.len(), "{name}");
                for (one, other) in one.iter().zip(&other) {
                    let mirror = over_the_page(other, wide);
                    let apart = off(one, &mirror).max(off(&mirror, one));
                    prop_assert!(apart < 5e-3, "{name} {layers:?}: {apart}");
                }
            }
        }
    }
}
