//! A measurement in a process of its own, and what that process has used.

use std::{
    process::Command,
    time::{Duration, Instant},
};

/// Runs this benchmark again for one row; on one processor alone if asked. Gives what it printed.
pub(crate) fn run(arguments: &[&str], alone: bool) -> Option<String> {
    let own = std::env::current_exe().ok()?;
    let mut command = if alone {
        let mut command = Command::new("taskset");
        command.args(["--cpu-list", status("Cpus_allowed_list:")?.split(['-', ',']).next()?]).arg(own);
        command
    } else {
        Command::new(own)
    };
    let output = command.args(arguments).output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The most memory this process has held, in MB of a million bytes; NaN where the system does not tell.
pub(crate) fn peak() -> f64 {
    let kilobytes = status("VmHWM:").and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    kilobytes.map_or(f64::NAN, |kilobytes| kilobytes * 1024.0 / 1e6)
}

/// The processor time this process has used, in s; NaN where the system does not tell.
pub(crate) fn busy() -> f64 {
    // Fields 14 and 15, in hundredths; the second, in brackets, may hold spaces.
    let ticks = |text: String| {
        let fields = text.rsplit(')').next()?.split_whitespace().skip(11).take(2);
        Some(fields.filter_map(|field| field.parse::<f64>().ok()).sum::<f64>())
    };
    std::fs::read_to_string("/proc/self/stat").ok().and_then(ticks).map_or(f64::NAN, |ticks| ticks / 100.0)
}

fn status(key: &str) -> Option<String> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    text.lines().find_map(|line| Some(line.strip_prefix(key)?.trim().to_owned()))
}

/// What some work gives, and how long it takes in ms.
pub(crate) fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let started = Instant::now();
    let made = work();
    (made, milliseconds(started.elapsed()))
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
