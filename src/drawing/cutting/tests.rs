//! What must hold for every set of files.

use geo::AffineOps;

use super::pages::PIN;
use super::*;
use crate::design::{self, Options as Reading};
use crate::fit::{Contour, Corners, Options, fit};
use crate::shape::plane::{Point, point};

fn file<'a>(files: &'a [File], ending: &str) -> &'a str {
    &files.iter().find(|file| file.name.ends_with(ending)).unwrap_or_else(|| panic!("no {ending}")).text
}

/// A plate with a round opening and round corners, as a drawing would give it.
fn plate() -> Shape {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="90mm" viewBox="0 0 160 90"><path fill-rule="evenodd"
        d="M20 10H130A10 10 0 0 1 140 20V70L120 80H20A10 10 0 0 1 10 70V20A10 10 0 0 1 20 10ZM60 45A15 15 0 0 0 30 45A15 15 0 0 0 60 45Z"/></svg>"#;
    let design = design::read("plate.svg", text.as_bytes(), &Reading::default()).expect("it can be read");
    design.pieces[0].shape.clone()
}

fn pocket(corners: Corners) -> Pocket {
    let strip = geo::Rect::new((70.0, 15.0), (95.0, 75.0)).to_polygon();
    let options = Options { corners, ..Options::default() };
    let fit = fit(&Shape::new(strip).expect("a bar"), Angle::deg(90.0), &options).expect("it fits");
    Pocket { fit, wood: Some("cherry".to_owned()) }
}

fn set() -> Set {
    let piece = Piece::of("plate", &plate(), Angle::deg(10.0))
        .with_board("cherry", Length::mm(19.0))
        .with_pocket(pocket(Corners::Round));
    Set::new("plate").with_piece(piece)
}

fn mirrored(shape: &Shape) -> Shape {
    let flip = geo::AffineTransform::scale(-1.0, 1.0, geo::Coord { x: 0.0, y: 0.0 });
    Shape::new(shape.polygon().affine_transform(&flip)).expect("still a shape")
}

/// Reads an SVG of ours at the door everybody uses, curves to half a thousandth.
fn read(text: &str) -> crate::design::Design {
    let reading = Reading { tolerance: Length::mm(0.0005), ..Reading::default() };
    design::read("ours.svg", text.as_bytes(), &reading).expect("our own file can be read")
}

#[test]
fn a_written_face_reads_back_to_a_thousandth() {
    let set = set();
    let design = read(file(&set.files(), "face.svg"));
    let piece = design.pieces.iter().find(|piece| piece.name == "plate").expect("it has its name");
    let outline = set.pieces[0]
        .outline
        .as_ref()
        .expect("it has one")
        .moved(Frame::of(&set.pieces[0]).expect("it has a place").shift);
    let points: Vec<Point> = piece.shape.rings().flat_map(|ring| ring.0.clone()).collect();
    assert!(points.iter().all(|p| outline.distance(*p) < 1e-3));
    for segment in outline.contours().flat_map(Contour::segments) {
        let read_back = Outline::of(&piece.shape, &Recovery::default());
        assert!((0..8).all(|k| read_back.distance(segment.at(f64::from(k) / 8.0)) < 1e-3));
    }
    assert_eq!(design.pieces.len(), 1, "the piece; pins are no wood");
}

#[test]
fn what_was_written_as_dxf_is_an_outline_to_fit_again() {
    let files = set().files();
    let read = |ending: &str, layers: &[Layer]| {
        let layers = layers.iter().map(|layer| layer.name().to_owned()).collect();
        let pick = design::Pick { layers, ..design::Pick::default() };
        design::read("ours.dxf", file(&files, ending).as_bytes(), &Reading { pick, ..Reading::default() })
            .unwrap_or_else(|error| panic!("{ending}: {error}"))
    };
    for (ending, layers) in [("insert.dxf", &[Layer::Insert][..]), ("back.dxf", &[Layer::PocketBack])] {
        // With and without the help of --layer it is the same.
        let (whole, picked) = (read(ending, &[]), read(ending, layers));
        assert_eq!(whole.pieces, picked.pieces, "{ending}: {}", whole.reading);
        let first = &whole.pieces[0].shape;
        assert!(fit(first, Angle::deg(90.0), &Options::default()).is_ok(), "{ending}");
    }
}

#[test]
fn the_arcs_a_drawing_had_are_arcs_again() {
    let outline = Outline::of(&plate(), &Recovery::default());
    let mut radii: Vec<f64> =
        outline.contours().flat_map(Contour::segments).filter_map(|s| s.circle()).map(|(_, r)| r).collect();
    radii.sort_by(f64::total_cmp);
    assert_eq!(radii.len(), 5, "{radii:?}");
    for (found, want) in radii.iter().zip([10.0, 10.0, 10.0, 15.0, 15.0]) {
        assert!((found - want).abs() < 2e-3, "{radii:?}");
    }
}

#[test]
fn pocket_and_insert_read_back_a_clearance_apart() {
    for corners in [Corners::Round, Corners::Ends] {
        let piece = Piece::pockets_only("bar", Angle::deg(0.0)).with_pocket(pocket(corners));
        let files =
            Set { stock: Stock { spares: Some(0), ..Stock::default() }, ..Set::new("bar").with_piece(piece) }
                .files();
        let area = |ending: &str| read(file(&files, ending)).pieces[0].shape.area();
        let want = |outline: &Outline| outline.area();
        let fit = pocket(corners).fit;
        assert!((area("back.svg") - want(&fit.pocket)).abs() < 1e-3 * fit.pocket.outer.length());
        assert!((area("insert.svg") - want(&fit.insert)).abs() < 1e-3 * fit.insert.outer.length());
    }
}

#[test]
fn the_same_set_gives_the_same_bytes_and_a_mirrored_piece_its_own_back() {
    assert_eq!(set().files(), set().files());
    // Seen from the back, a piece is the mirrored piece seen from the face.
    let piece = Piece::of("plate", &plate(), Angle::deg(10.0));
    let other = Piece::of("plate", &mirrored(&plate()), Angle::deg(-10.0));
    let (frame, other_frame) = (Frame::of(&piece).expect("a place"), Frame::of(&other).expect("a place"));
    let seen = frame.place(piece.outline.as_ref().expect("an outline"), true);
    let mirror = other_frame.place(other.outline.as_ref().expect("an outline"), false);
    for segment in seen.contours().flat_map(Contour::segments) {
        assert!((0..5).all(|k| mirror.distance(segment.at(f64::from(k) / 5.0)) < 2e-3));
    }
}

#[test]
fn a_turned_board_lands_on_the_same_pins() {
    for turn in [0.0, 90.0] {
        let shape = plate()
            .polygon()
            .affine_transform(&geo::AffineTransform::rotate(turn, geo::Coord { x: 0.0, y: 0.0 }));
        let piece = Piece::of("plate", &Shape::new(shape).expect("a shape"), Angle::deg(turn));
        let frame = Frame::of(&piece).expect("a place");
        let pins = frame.pins();
        for pin in &pins {
            let over = point(frame.size[0] - pin.x, pin.y);
            assert!(pins.iter().any(|other| crate::shape::plane::distance(*other, over) < 1e-9));
            assert!(
                piece.outline.as_ref().is_some_and(|outline| outline.moved(frame.shift).distance(*pin) > PIN)
            );
        }
    }
}

#[test]
fn inserts_lie_apart_on_their_strip_and_every_eight_get_a_spare() {
    let mut set = Set::new("many");
    for i in 0..11 {
        let piece = Piece::pockets_only(format!("p{i}"), Angle::deg(0.0)).with_pocket(pocket(Corners::Round));
        set = set.with_piece(piece);
    }
    let kinds = strip::kinds(set.inserts(), &set.stock);
    assert_eq!((kinds.len(), kinds[0].spares), (1, 2));
    let strips = strip::strips(&kinds, &set.stock);
    assert_eq!(strips[0].laid.len(), 13);
    assert!(strips[0].size[0] <= 600.0);
    // Its grain runs along the strip: what stood 60 high lies 60 long.
    assert!((kinds[0].size()[0] - 60.0).abs() < 1e-9);
    let boxes: Vec<[f64; 4]> = strips[0].laid.iter().map(|(outline, _)| outline.bounds()).collect();
    for (i, a) in boxes.iter().enumerate() {
        assert!(a[0] > 9.3 && a[1] > 9.3 && a[2] < strips[0].size[0] - 9.3 && a[3] < strips[0].size[1] - 9.3);
        for b in &boxes[..i] {
            let apart = (a[0] - b[2]).max(b[0] - a[2]).max(a[1] - b[3]).max(b[1] - a[3]);
            assert!(apart > 2.0 * 6.35 + 3.0 - 1e-9, "{a:?} {b:?}");
        }
    }
    let list = file(&set.files(), "cut-list.csv").to_owned();
    assert!(list.contains("insert,spare,2,cherry,9.90,25.00,60.00"), "{list}");
}

#[test]
fn pieces_called_alike_have_files_of_their_own() {
    let piece = |name: &str| Piece::of(name, &plate(), Angle::deg(0.0));
    let set = Set::new("set").with_piece(piece("a/b")).with_piece(piece("a?b")).with_piece(piece("A_b"));
    let files = set.files();
    let mut names: Vec<String> = files.iter().map(|file| file.name.to_lowercase()).collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), files.len());
    assert!(names.iter().all(|name| !name.contains(['/', '?'])));
}

/// By hand: the insert is 60 long and 25 wide, 9.5 deep and 0.4 proud; a strip leaves a bit of 6.35 and 3 mm round each, so that one with three
/// inserts and a spare is 25 + 2·9.35 = 43.7 wide and 4·60 + 3·(2·6.35 + 3) + 2·9.35 = 305.8 long. A piece whose grain runs up the drawing is
/// as long as it is high.
#[test]
fn a_pattern_lists_what_is_got_out_for_its_own_piece_and_for_all() {
    let piece = |name: &str| {
        Piece::of(name, &plate(), Angle::deg(0.0))
            .with_board("cherry", Length::mm(19.0))
            .with_pocket(pocket(Corners::Round))
    };
    let plain = Piece::of("plain", &plate(), Angle::deg(0.0)).with_board("oak", Length::mm(12.0));
    let twice = piece("two").with_pocket(pocket(Corners::Round));
    let upright = Piece::of("upright", &plate(), Angle::deg(90.0)).with_board("cherry", Length::mm(19.0));
    let set =
        Set::new("set").with_piece(piece("one")).with_piece(twice).with_piece(plain).with_piece(upright);
    let files = set.files();
    let list = file(&files, "cut-list.csv");
    assert!(list.contains("strip,inserts,1,cherry,9.90,43.70,305.80,"), "{list}");
    assert!(list.contains("piece,upright,1,cherry,19.00,130.00,70.00,"), "{list}");
    let listed = |ending: &str, line: [&str; 4]| {
        let sheet = file(&files, ending);
        let cells =
            line.map(|cell| sheet.match_indices(&format!(">{cell}<")).map(|(at, _)| at).collect::<Vec<_>>());
        // The four cells of a row stand one after the other.
        cells[2].iter().any(|size| cells.iter().all(|cell| cell.iter().any(|at| at.abs_diff(*size) < 700)))
    };
    let insert = "9.90 x 25.00 x 60.00 mm";
    assert!(listed("one-pattern.svg", ["piece", "1", "19.00 x 70.00 x 130.00 mm", "cherry"]));
    assert!(listed("one-pattern.svg", ["insert", "1", insert, "cherry"]));
    assert!(listed("two-pattern.svg", ["insert", "2", insert, "cherry"]));
    assert!(listed("plain-pattern.svg", ["piece", "1", "12.00 x 70.00 x 130.00 mm", "oak"]));
    assert!(!listed("plain-pattern.svg", ["insert", "1", insert, "cherry"]));
    for pattern in ["one-pattern.svg", "two-pattern.svg", "plain-pattern.svg"] {
        assert!(listed(pattern, ["spare insert", "1", insert, "cherry"]), "{pattern}");
        assert!(file(&files, pattern).contains(">strip for inserts<"), "{pattern}");
    }
}
