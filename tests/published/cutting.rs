//! Files for cutting, measured by shapely and read back by ezdxf.
//!
//! Source: `tests/reference/fit.json`, made by `tests/reference/fit.py` from the files in `tests/reference/cutting/made`. Here
//! those files are held against what is written now, and the measures against what was promised.
//!
//! Asked: a file for a file and a line for a line, 0.001 mm; the gap between pocket and insert, 0.001 mm; no error and no
//! repair in ezdxf's audit. The leaf is rounded by
//! GEOS, which is good to about that much; straight-sided outlines corner by corner.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use shortgrain::design;
use shortgrain::drawing::cutting::{File, Piece, Ply, Pocket, Set};
use shortgrain::fit::{self, Corners, Fit, Options};
use shortgrain::shape::Shape;
use shortgrain::units::{Angle, Length};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/cutting")
}

fn drawn(name: &str) -> Shape {
    let file = format!("{name}.svg");
    let bytes = fs::read(folder().join(&file)).expect("the drawing is there");
    let options = design::Options { tolerance: Length::mm(0.0005), ..design::Options::default() };
    design::read(&file, &bytes, &options).expect("it can be read").pieces.remove(0).shape
}

fn options(corners: Corners, pocket_bit: f64, insert_bit: f64, clearance: f64) -> Options {
    Options {
        corners,
        pocket_bit: Length::mm(pocket_bit),
        insert_bit: Length::mm(insert_bit),
        clearance: Length::mm(clearance),
        ..Options::default()
    }
}

fn alone(name: &str, fit: Fit) -> Set {
    let mut set = Set::new(name);
    set.stock.spares = Some(0);
    set.with_piece(Piece::pockets_only(name, Angle::deg(0.0)).with_pocket(Pocket { fit, wood: None }))
}

/// The plaque with a bar across its slot and another one at an angle.
fn plaque() -> Set {
    let bar = |x: f64, y: f64, length: f64, width: f64, turn: f64| {
        let (sin, cos) = turn.to_radians().sin_cos();
        let corner = |u: f64, v: f64| (x + u * cos - v * sin, y + u * sin + v * cos);
        let (l, w) = (length / 2.0, width / 2.0);
        let ring = vec![corner(-l, -w), corner(l, -w), corner(l, w), corner(-l, w)];
        let shape = Shape::new(geo_types::Polygon::new(ring.into(), Vec::new())).expect("a bar");
        let fit =
            fit::fit(&shape, Angle::deg(turn), &options(Corners::Round, 6.0, 6.0, 0.05)).expect("it fits");
        Pocket { fit, wood: Some("white oak".to_owned()) }
    };
    let piece = Piece::of("plaque", &drawn("plaque"), Angle::deg(15.0))
        .with_board("white oak", Length::mm(19.0))
        .with_pocket(bar(128.0, 64.0, 70.0, 24.0, 90.0))
        .with_pocket(bar(58.0, 32.0, 40.0, 16.0, -30.0));
    Set::new("plaque").with_piece(piece)
}

/// The plaque of three plies, the middle one across.
fn glued() -> Set {
    let ply = |name: &str, deg: f64| Ply {
        name: name.to_owned(),
        grain: Angle::deg(deg),
        thickness: Length::mm(6.0),
        wood: Some("white oak".to_owned()),
        bit: Length::mm(6.0),
    };
    let mut piece = Piece::of("glued", &drawn("plaque"), Angle::deg(15.0));
    piece.plies = vec![ply("face ply", 15.0), ply("middle ply", 105.0), ply("back ply", 15.0)];
    Set::new("glued").with_piece(piece.with_board("white oak", Length::mm(18.0)))
}

fn files() -> Vec<File> {
    let fitted = |name: &str, grain: f64, options: &Options| {
        fit::fit(&drawn(name), Angle::deg(grain), options).expect("it fits")
    };
    let bar = |length: f64, width: f64, options: &Options| {
        fit::bar(Length::mm(length), Length::mm(width), options).expect("it fits")
    };
    let sets = [
        alone("letter", fitted("letter", 23.0, &options(Corners::Round, 6.0, 8.0, 0.05))),
        alone("leaf", fitted("leaf", 0.0, &options(Corners::Round, 6.35, 3.175, 0.1))),
        alone("ends", bar(60.0, 12.0, &options(Corners::Ends, 6.35, 6.35, 0.05))),
        alone("relieved", bar(60.0, 25.0, &options(Corners::Relieved, 6.0, 6.0, 0.08))),
        plaque(),
        glued(),
    ];
    sets.iter().flat_map(Set::files).collect()
}

#[test]
fn what_was_measured_is_what_is_written() {
    let made = folder().join("made");
    let files = files();
    if std::env::var_os("SHORTGRAIN_ACCEPT").is_some() {
        for file in &files {
            fs::write(made.join(&file.name), &file.text).expect("it can be written");
        }
    }
    for file in &files {
        let stands = fs::read_to_string(made.join(&file.name)).expect("it is stored");
        assert!(
            stands == file.text,
            "{} is not what is stored: accept it, then remake tests/reference/fit.json",
            file.name
        );
    }
    let stored = fs::read_dir(&made).expect("the folder is there").count();
    assert_eq!(stored, files.len(), "files are stored that nobody writes");
}

#[derive(Deserialize)]
struct Measured {
    files: BTreeMap<String, Dxf>,
    fits: BTreeMap<String, Gap>,
    plaque: Plaque,
    glued: Vec<Board>,
}

/// A DXF as ezdxf reads it, with its SVG beside it.
#[derive(Deserialize)]
struct Dxf {
    version: String,
    units: i32,
    errors: usize,
    fixes: usize,
    open_on_cut_layers: usize,
    layers: BTreeMap<String, usize>,
    off: Vec<String>,
    svg_apart_mm: f64,
}

#[derive(Deserialize)]
struct Gap {
    asked_mm: f64,
    gap_mm: [f64; 2],
    from_rounded_mm: f64,
    pocket_bit_short_mm: f64,
    insert_bit_short_mm: f64,
    /// The tightest convex and hollow arc.
    insert_radii_mm: [Option<f64>; 2],
    pocket_radii_mm: [Option<f64>; 2],
    lost_mm2: f64,
}

#[derive(Deserialize)]
struct Plaque {
    face_from_drawn_mm: f64,
    back_from_mirrored_face_mm: f64,
    area_apart_mm2: f64,
    pins_after_turning_mm: f64,
    between_inserts_mm: f64,
}

/// A board of a glued-up blank.
#[derive(Deserialize)]
struct Board {
    /// From its edge to the outline, and to the pins' holes.
    outline_mm: f64,
    pins_mm: f64,
    sides_mm: [f64; 2],
    first_side_deg: f64,
    square: f64,
    outline_apart_mm: f64,
}

fn measured() -> Measured {
    let text = fs::read_to_string(folder().with_file_name("fit.json")).expect("the measures are there");
    serde_json::from_str(&text).expect("they can be read")
}

#[test]
fn ezdxf_reads_every_file_without_a_repair() {
    let measured = measured();
    assert_eq!(measured.files.len(), 13);
    for (name, file) in &measured.files {
        assert_eq!(
            (file.version.as_str(), file.units, file.errors, file.fixes),
            ("AC1015", 4, 0, 0),
            "{name}"
        );
        assert_eq!(file.open_on_cut_layers, 0, "{name}");
        assert!(file.svg_apart_mm < 1e-3, "{name}: {} mm from its SVG", file.svg_apart_mm);
    }
    let face = &measured.files["plaque-face"];
    let count = |layer: &str| face.layers.get(layer).copied().unwrap_or_default();
    assert_eq!([count("OUTLINE"), count("OPENING"), count("PIN"), count("GRAIN")], [1, 3, 2, 1]);
    assert!(face.off.is_empty());
    assert_eq!(measured.files["plaque-back"].off, ["OPENING", "OUTLINE"]);
    assert_eq!(measured.files["plaque-back"].layers["POCKET_BACK"], 2);
    let plies = &measured.files["glued-plies"];
    assert_eq!(plies.off, ["OPENING", "OUTLINE"]);
    assert_eq!([plies.layers["PLY"], plies.layers["OUTLINE"], plies.layers["GRAIN"]], [3, 3, 3]);
}

/// A cut of 6 mm and 3 mm of wood round the outline, 3 mm round the pins; sawn along the grain.
#[test]
fn the_boards_of_a_blank_hold_outline_and_pins_and_lie_along_their_grain() {
    let boards = measured().glued;
    assert_eq!(boards.len(), 3);
    let least = |of: fn(&Board) -> f64| boards.iter().map(of).fold(f64::INFINITY, f64::min);
    assert!((least(|board| board.outline_mm) - 9.0).abs() < 1e-3);
    assert!(least(|board| board.pins_mm) > 3.0 - 1e-3);
    for (board, grain) in boards.iter().zip([15.0, 105.0, 15.0]) {
        assert!((board.first_side_deg - grain).abs() < 1e-3, "{}", board.first_side_deg);
        assert!(board.square.abs() < 1e-2 && board.outline_apart_mm < 1e-3);
    }
    // The same blank three times, the middle one's length the others' width.
    let [face, middle, back] = [0, 1, 2].map(|k| boards[k].sides_mm);
    for (one, other) in face.iter().chain(&face).zip(middle.iter().rev().chain(&back)) {
        assert!((one - other).abs() < 1e-3, "{face:?} {middle:?} {back:?}");
    }
}

#[test]
fn pocket_and_insert_are_a_clearance_apart_all_round() {
    for (name, fit) in &measured().fits {
        assert!((fit.gap_mm[0] - fit.asked_mm).abs() < 1e-3, "{name}: gap {:?}", fit.gap_mm);
        // A relief is wider on purpose; elsewhere nothing is.
        if name != "relieved" {
            assert!((fit.gap_mm[1] - fit.asked_mm).abs() < 1e-3, "{name}: gap {:?}", fit.gap_mm);
        }
    }
}

#[test]
fn corners_are_rounded_as_shapely_rounds_them_and_both_bits_reach_everything() {
    for (name, fit) in &measured().fits {
        assert!(fit.from_rounded_mm < 1e-3, "{name}: {} mm", fit.from_rounded_mm);
        // A disc as wide as the bit touches every point of the edge and comes no nearer to any other.
        assert!(fit.pocket_bit_short_mm < 1e-3, "{name}: {} mm", fit.pocket_bit_short_mm);
        assert!(fit.insert_bit_short_mm < 1e-3, "{name}: {} mm", fit.insert_bit_short_mm);
        assert!(fit.lost_mm2.abs() < 0.05, "{name}: {} mm²", fit.lost_mm2);
    }
}

#[test]
fn every_arc_is_as_wide_as_its_bit_asks() {
    // Convex at least the pocket bit's radius, hollow at least the insert bit's and the clearance; the pocket's a clearance more
    // and less. The bits are those of `files` above; relieved corners are cut by a circle a clearance wider than the bit.
    let want = [
        ("letter", [Some(3.0), Some(4.05)], [Some(3.05), Some(4.0)]),
        ("ends", [Some(6.0), None], [Some(6.05), None]),
        ("relieved", [None, None], [Some(3.08), None]),
    ];
    let measured = measured();
    for (name, insert, pocket) in want {
        let fit = &measured.fits[name];
        for (found, want) in
            fit.insert_radii_mm.iter().zip(insert).chain(fit.pocket_radii_mm.iter().zip(pocket))
        {
            assert_eq!(
                found.is_some(),
                want.is_some(),
                "{name}: {:?} {:?}",
                fit.insert_radii_mm,
                fit.pocket_radii_mm
            );
            let apart = found.unwrap_or_default() - want.unwrap_or_default();
            assert!(apart.abs() < 1e-3, "{name}: {found:?} for {want:?}");
        }
    }
    let [convex, hollow] = measured.fits["leaf"].insert_radii_mm;
    assert!(convex.is_some_and(|r| r > 3.175 - 1e-3) && hollow.is_some_and(|r| r > 1.5875 + 0.1 - 1e-3));
}

#[test]
fn the_back_is_the_mirrored_face_and_both_share_their_pins() {
    let plaque = measured().plaque;
    assert!(plaque.face_from_drawn_mm < 1e-3, "{}", plaque.face_from_drawn_mm);
    assert!(plaque.back_from_mirrored_face_mm < 1e-6, "{}", plaque.back_from_mirrored_face_mm);
    assert!(plaque.area_apart_mm2.abs() < 0.05, "{}", plaque.area_apart_mm2);
    assert!(plaque.pins_after_turning_mm < 1e-6, "{}", plaque.pins_after_turning_mm);
    // Two cuts of a 6 mm bit and 3 mm of wood.
    assert!(plaque.between_inserts_mm > 15.0 - 1e-6, "{}", plaque.between_inserts_mm);
}
