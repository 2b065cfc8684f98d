//! Where words go: the answer to stdout, everything else to stderr.

use std::io::{self, Write};

/// Why there is no answer, each in a sentence.
pub(crate) type Faults = Vec<String>;

/// Each fault once, in the order they came up.
pub(crate) fn once(faults: impl IntoIterator<Item = String>) -> Faults {
    let mut all = Faults::new();
    for fault in faults {
        if !all.contains(&fault) {
            all.push(fault);
        }
    }
    all
}

/// Prints the answer. A reader that has gone away (`| head`) is no fault.
pub(crate) fn print(text: &str) -> Result<(), Faults> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(vec![format!("the answer could not be printed: {error}")])
        }
        _ => Ok(()),
    }
}

/// Prints lines to stderr.
pub(crate) fn say_as_it_is(lines: &str) {
    // Nobody is left to hear that stderr is closed.
    let _ = writeln!(io::stderr().lock(), "{lines}");
}

/// Prints a sentence to stderr, each of its lines under the program's name.
pub(crate) fn say(sentence: &str) {
    let mut out = io::stderr().lock();
    for line in sentence.lines() {
        // Nothing that was read may steer the terminal.
        let line: String =
            line.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect();
        // Nobody is left to hear that stderr is closed.
        let _ = writeln!(out, "shortgrain: {line}");
    }
}
