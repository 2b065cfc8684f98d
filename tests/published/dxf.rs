//! Drawings in DXF against another reader.
//!
//! Source: `tests/reference/dxf.json`, made by `tests/reference/dxf.py`: ezdxf writes the drawings, resolves and
//! flattens them within 1e-4 mm; shapely joins and nests the outlines. Agreement asked: bounds and area to what
//! both flattenings may differ by, 1.1 µm along the outline, and 0.02 % of the area; openings exactly.

use std::{collections::BTreeMap, path::Path};

use geo::BoundingRect;
use serde::Deserialize;
use shortgrain::design::{self, Options};
use shortgrain::units::{Length, LengthUnit};

#[derive(Deserialize)]
struct Reference {
    drawings: BTreeMap<String, Drawing>,
}

#[derive(Deserialize)]
struct Drawing {
    units: i64,
    pieces: Vec<Piece>,
}

#[derive(Deserialize)]
struct Piece {
    bounds_mm: [f64; 4],
    area_mm2: f64,
    perimeter_mm: f64,
    openings: usize,
}

#[test]
fn drawings_hold_the_pieces_that_another_reader_finds() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("tests/reference/dxf.json")).expect("it is stored");
    let reference: Reference = serde_json::from_str(&text).expect("it is what dxf.py writes");
    assert_eq!(reference.drawings.len(), 6);
    for (name, drawing) in reference.drawings {
        let file = root.join(format!("tests/drawings/dxf/{name}.dxf"));
        let bytes = std::fs::read(&file).expect("it is stored");
        // The reference takes millimetres where a drawing names no unit.
        let drawn_in = (drawing.units == 0).then_some(LengthUnit::Mm);
        let options = Options { drawn_in, tolerance: Length::mm(0.001), ..Options::default() };
        let design =
            design::read(&format!("{name}.dxf"), &bytes, &options).unwrap_or_else(|error| panic!("{error}"));
        let mut ours: Vec<_> = design
            .pieces
            .iter()
            .map(|piece| {
                piece.shape.check().unwrap_or_else(|error| panic!("{name}: {error}"));
                let b = piece.shape.polygon().bounding_rect().expect("a piece has points");
                ([b.min().x, b.min().y, b.max().x, b.max().y], &piece.shape)
            })
            .collect();
        ours.sort_by(|(a, _), (b, _)| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        assert_eq!(ours.len(), drawing.pieces.len(), "{name}");
        let tolerance = design.reading.tolerance.as_mm() + 1e-4;
        for ((bounds, shape), theirs) in ours.iter().zip(&drawing.pieces) {
            for (ours, theirs) in bounds.iter().zip(theirs.bounds_mm) {
                assert!((ours - theirs).abs() <= tolerance, "{name}: bounds {bounds:?}, theirs {:?}", theirs);
            }
            assert_eq!(shape.polygon().interiors().len(), theirs.openings, "{name}");
            let (area, theirs, length) = (shape.area(), theirs.area_mm2, theirs.perimeter_mm);
            println!("{name}: {area:.3} mm², theirs {theirs:.3}, {:+.4} %", (area / theirs - 1.0) * 100.0);
            assert!((area - theirs).abs() <= tolerance * length, "{name}: {area} mm², theirs {theirs}");
            assert!((area / theirs - 1.0).abs() <= 2e-4, "{name}: {area} mm², theirs {theirs}");
        }
    }
}
