//! What the solid model costs, in time and memory, beside scikit-fem with its best direct solver.
//!
//! `cargo bench --bench solid` prints three tables: each step on a plate with an arm, from 5 000 to 300 000 unknowns; the same
//! plate by scikit-fem, which needs what `tests/reference/requirements.txt` names, in `.venv` or by `python3`; and a whole
//! check, on one thread and on all. `-- --quick` leaves out what takes long.
//!
//! Every row is a process of its own, so that its peak memory is its own. Times are the least of some runs: the
//! machine's other work only ever adds.

#![expect(clippy::print_stdout, reason = "a benchmark prints its table")]

mod child;
mod plate;
#[path = "../../tests/common/samples.rs"]
#[expect(dead_code, reason = "only named samples are checked here")]
mod samples;
mod scikit;
mod whole;

use plate::Row;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.first().map(String::as_str) {
        Some("plate") => plate::measure(&arguments[1]),
        Some("whole") => whole::measure(&arguments[1]),
        _ => tables(arguments.iter().any(|argument| argument == "--quick")),
    }
}

fn tables(quick: bool) {
    let sizes: &[usize] =
        if quick { &[5_000, 20_000] } else { &[5_000, 10_000, 20_000, 50_000, 100_000, 200_000, 300_000] };
    println!("A plate with an arm, two layers (three from 150 000 unknowns), one thread; times in ms\n");
    Row::heading();
    let rows: Vec<Row> = sizes.iter().map(|size| Row::of(*size)).collect();
    if !quick {
        scikit::beside(&rows);
    }
    println!("\nA whole check of a drawing, solid model included\n");
    whole::heading();
    let samples: &[&str] = if quick { &["coat-hook-10"] } else { &["coat-hook-10", "house-number"] };
    samples.iter().for_each(|sample| whole::rows(sample));
}
