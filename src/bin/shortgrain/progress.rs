//! How far the work is, for a person who waits: on stderr, when that is a terminal and the work takes over a second.

use std::io::{self, IsTerminal, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// A line on the terminal that says how far the work is.
pub(crate) struct Progress {
    start: Instant,
    shown: bool,
    line: Mutex<Line>,
}

#[derive(Default)]
struct Line {
    wide: usize,
    last: Option<Instant>,
}

/// Nothing is said before this.
const PATIENCE: Duration = Duration::from_secs(1);
/// Nor more often than this.
const BREATH: Duration = Duration::from_millis(100);

impl Progress {
    pub(crate) fn new() -> Self {
        Self { start: Instant::now(), shown: io::stderr().is_terminal(), line: Mutex::default() }
    }

    /// Says what is being done, how much of it is done, and of how much.
    pub(crate) fn tell(&self, doing: &str, done: usize, of: usize) {
        if !self.shown || self.start.elapsed() < PATIENCE {
            return;
        }
        let Ok(mut line) = self.line.lock() else { return };
        if line.last.is_some_and(|last| last.elapsed() < BREATH) {
            return;
        }
        let words = format!("shortgrain: {doing}, {done} of {of}");
        let wide = words.chars().count();
        let fill = " ".repeat(line.wide.saturating_sub(wide));
        let mut err = io::stderr().lock();
        // Nobody is left to hear that stderr is closed.
        let _ = write!(err, "\r{words}{fill}").and_then(|()| err.flush());
        line.wide = wide;
        line.last = Some(Instant::now());
    }
}

/// The line goes before anything else is said.
impl Drop for Progress {
    fn drop(&mut self) {
        let Ok(line) = self.line.lock() else { return };
        if line.wide > 0 {
            let mut err = io::stderr().lock();
            let _ = write!(err, "\r{}\r", " ".repeat(line.wide)).and_then(|()| err.flush());
        }
    }
}
