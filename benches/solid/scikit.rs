//! The same plates by scikit-fem, by `tests/reference/solid_speed.py`.

use std::{path::Path, process::Command};

use serde::Deserialize;

use crate::plate::Row;

#[derive(Deserialize)]
struct Theirs {
    solver: String,
    unknowns: usize,
    basis_s: f64,
    assemble_s: f64,
    factor_s: f64,
    solve_s: std::collections::BTreeMap<String, f64>,
    whole_s: f64,
    peak_mb: f64,
}

/// Prints theirs beside ours, or says that it cannot.
pub(crate) fn beside(rows: &[Row]) {
    println!("\nThe same unknowns by scikit-fem with oneMKL's Cholesky on one thread; times in ms\n");
    let Some(theirs) = theirs(rows) else {
        println!("tests/reference/solid_speed.py did not run; see tests/reference/README.md");
        return;
    };
    println!(
        "{:>9} {:>10} {:>8} {:>9} {:>8} {:>8} {:>9} {:>8} {:>8} {:>8} {:>7}",
        "unknowns",
        "solver",
        "basis",
        "assemble",
        "factor",
        "solve 1",
        "1 of 32",
        "peak MB",
        "whole",
        "ours",
        "ratio"
    );
    for (theirs, ours) in theirs.iter().zip(rows) {
        assert_eq!(theirs.unknowns, ours.unknowns, "both have as many unknowns");
        println!(
            "{:>9} {:>10} {:>8.1} {:>9.1} {:>8.1} {:>8.1} {:>9.2} {:>8.0} {:>8.1} {:>8.1} {:>7.1}",
            theirs.unknowns,
            theirs.solver,
            theirs.basis_s * 1e3,
            theirs.assemble_s * 1e3,
            theirs.factor_s * 1e3,
            theirs.solve_s["1"] * 1e3,
            theirs.solve_s["32"] * 1e3 / 32.0,
            theirs.peak_mb * 1.048_576,
            theirs.whole_s * 1e3,
            ours.whole(),
            theirs.whole_s * 1e3 / ours.whole(),
        );
    }
    println!(
        "\nwhole: basis or nodes, assembling, factoring and the first solution; meshing left out for both"
    );
}

fn theirs(rows: &[Row]) -> Option<Vec<Theirs>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = here.join(".venv/bin/python");
    let python = std::env::var_os("PYTHON")
        .map_or_else(|| if own.exists() { own } else { "python3".into() }, std::path::PathBuf::from);
    // A process for each, so that each peak is its own.
    let one = |row: &Row| {
        let script = here.join("tests/reference/solid_speed.py");
        let output = Command::new(&python).arg(script).arg(row.wanted.to_string()).output().ok()?;
        serde_json::from_slice(&output.stdout).ok()
    };
    rows.iter().map(one).collect()
}
