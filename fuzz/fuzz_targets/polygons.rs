//! Random polygons, drawn on a lattice and a little off it, from the drawing to the findings.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shortgrain::check::{Options, Pushes, check};
use shortgrain::design::{self, Limits, Page, read_svg};
use shortgrain::units::{Angle, Length};
use shortgrain::wood::{Board, OwnValues, Rings, Wood};

/// Corners of one polygon, and the lattice they lie on in mm: more of them or a wider one make each run slow, since pieces are solved
/// many times slower here than by the released program.
const CORNERS: usize = 16;
const LATTICE: f64 = 3.0;

fuzz_target!(|bytes: &[u8]| {
    let Some((head, corners)) = bytes.split_first() else { return };
    let mut d = String::new();
    for (k, pair) in corners.chunks_exact(2).take(CORNERS).enumerate() {
        // Most corners lie on the lattice; every eighth is a hair off.
        let at = |byte: u8| f64::from(byte >> 3) * LATTICE + if byte & 7 == 7 { 0.003 } else { 0.0 };
        let lead = if k == 0 || (pair[0] == pair[1] && k > 2) { 'M' } else { 'L' };
        d += &format!("{lead}{} {}", at(pair[0]), at(pair[1]));
    }
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"160mm\" height=\"160mm\" viewBox=\"0 0 160 160\">\
         <path fill-rule=\"evenodd\" d=\"{d}Z\"/></svg>"
    );
    let reading = design::Options { page: Some(Page::Wood), limits: Limits::default(), ..design::Options::default() };
    let Ok(design) = read_svg("fuzz.svg", svg.as_bytes(), &reading) else { return };
    let board = Board {
        thickness: Length::mm(6.0 + f64::from(head >> 5) * 3.0),
        grain: Angle::deg(f64::from(head & 31) * 6.0),
        rings: Rings::Unknown,
        moisture_pct: 12.0,
    };
    let wood = Wood::find("black cherry").expect("it is in the table");
    let mechanics = wood.mechanics(&board, &OwnValues::default()).expect("it has all strengths");
    for piece in design.pieces.iter().take(2) {
        piece.shape.check().expect("a piece keeps the promises of a shape");
        // A named error is an answer.
        if let Ok(finding) =
            check(&piece.name, &piece.shape, &board, &mechanics, &Pushes::default(), &Options::default())
        {
            for place in &finding.places {
                for push in [&place.face, &place.side] {
                    assert!(push.breaks_at_n > 0.0 && (0.0..=1.0).contains(&push.risk), "{place:?}");
                }
            }
        }
    }
});
