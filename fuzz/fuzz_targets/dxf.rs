//! Any bytes as a DXF drawing: a named refusal, or pieces that keep the promises of a shape.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shortgrain::design::{Limits, Options, read_dxf};
use shortgrain::units::LengthUnit;

fuzz_target!(|bytes: &[u8]| {
    // Small limits: what is sought is a crash, not a slow file.
    let limits = Limits { points: 20_000, elements: 2_000, shapes: 200, ..Limits::default() };
    let options = Options { drawn_in: Some(LengthUnit::Mm), limits, ..Options::default() };
    if let Ok(design) = read_dxf("fuzz.dxf", bytes, &options) {
        assert!(!design.pieces.is_empty());
        for piece in &design.pieces {
            piece.shape.check().expect("a piece keeps the promises of a shape");
        }
    }
});
