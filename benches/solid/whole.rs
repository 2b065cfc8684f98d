//! A whole check of a sample, from the read shape to its finding, on one thread and on all.

use shortgrain::check::Options;

use crate::{child, samples};

pub(crate) fn heading() {
    println!(
        "{:20} {:>8} {:>7} {:>7} {:>9} {:>9} {:>9}",
        "", "threads", "pieces", "places", "time, ms", "busy, ms", "peak MB"
    );
}

/// One row for one thread, one for all, and whether both answers are the same, bit for bit.
pub(crate) fn rows(sample: &str) {
    let mut answers = Vec::new();
    for alone in [true, false] {
        let Some(printed) = child::run(&["whole", sample], alone) else {
            println!(
                "{sample:20} did not run{}",
                if alone { " on one processor: is taskset there?" } else { "" }
            );
            continue;
        };
        let (row, answer) = printed.split_once('\n').expect("a row, then the answer");
        println!("{row}");
        answers.push(answer.to_owned());
    }
    // Numbers are printed so that reading them gives the same bits.
    assert!(answers.windows(2).all(|two| two[0] == two[1]), "{sample}: the answer depends on the threads");
}

/// Measures one sample and prints its row, then its findings in full.
pub(crate) fn measure(sample: &str) {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let cases = samples::sample(sample);
    let options = Options::default();
    let check = || cases.iter().map(|case| case.afresh(&options)).collect::<Vec<_>>();
    let (findings, mut least) = child::timed(check);
    let (peak, mut busy) = (child::peak(), f64::INFINITY);
    for _ in 0..2 {
        let before = child::busy();
        least = least.min(child::timed(check).1);
        busy = busy.min(child::busy() - before);
    }
    let places: usize = findings.iter().map(|finding| finding.places.len()).sum();
    println!(
        "{sample:20} {threads:>8} {:>7} {places:>7} {least:>9.0} {:>9.0} {peak:>9.0}",
        cases.len(),
        busy * 1e3
    );
    println!("{findings:?}");
}
