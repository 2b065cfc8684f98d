//! Any bytes as an SVG drawing: a named refusal, or pieces that keep the promises of a shape.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shortgrain::design::{Inner, Limits, Options, Page, read_svg};

fuzz_target!(|bytes: &[u8]| {
    // Small limits: what is sought is a crash, not a slow file.
    let limits = Limits { points: 20_000, elements: 2_000, shapes: 200, style: 2_000, ..Limits::default() };
    let options =
        Options { inner: Some(Inner::Opening), page: Some(Page::Wood), limits, ..Options::default() };
    if let Ok(design) = read_svg("fuzz.svg", bytes, &options) {
        assert!(!design.pieces.is_empty());
        for piece in &design.pieces {
            piece.shape.check().expect("a piece keeps the promises of a shape");
        }
    }
});
