//! Letters against another font library.
//!
//! Source: `tests/reference/letters.json`, made by `tests/reference/letters.py`: fontTools, areas by Green's theorem along
//! each glyph's own curves. Agreement asked: 0.1 %; curves become straight pieces within 5 µm.

use std::{collections::BTreeMap, path::Path};

use serde::Deserialize;
use shortgrain::letter::{Form, Wanted, letter, own_font};
use shortgrain::units::Length;

use super::agreement::agrees;

#[derive(Deserialize)]
struct Reference {
    texts: BTreeMap<String, Text>,
}

#[derive(Deserialize)]
struct Text {
    area_mm2: f64,
}

#[test]
fn letters_have_the_area_that_another_library_finds() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/letters.json");
    let text = std::fs::read_to_string(file).expect("it is stored");
    let reference: Reference = serde_json::from_str(&text).expect("it is what letters.py writes");
    assert!(reference.texts.len() >= 6);
    for (text, theirs) in reference.texts {
        let wanted = Wanted {
            text: text.clone(),
            height: Length::mm(100.0),
            // Apart, so that kerning brings no two letters to overlap.
            spacing: Length::mm(5.0),
            form: Form::Cutout,
        };
        let made = letter(&own_font(), &wanted).unwrap_or_else(|error| panic!("{text}: {error}"));
        println!("{text}: {:.3} mm², theirs {:.3}", made.letters_mm2, theirs.area_mm2);
        agrees(made.letters_mm2, theirs.area_mm2, 1e-3, &text);
    }
}
