//! Any text as a board file: a board, or faults that can be shown.

#![no_main]

use libfuzzer_sys::fuzz_target;
use shortgrain::design::read_board;

fuzz_target!(|text: &str| {
    if let Err(error) = read_board("fuzz.toml", text) {
        assert!(!error.faults.is_empty() && !error.to_string().is_empty());
    }
});
