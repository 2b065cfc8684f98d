//! The command line: the only code that prints.
//!
//! `args` is what was typed, `job` what it means; `gather` brings in the drawings, the verbs do what they are for, and
//! `answer` hands out what `report` and `json` say of it. stdout is the answer, stderr the talk.

mod answer;
mod args;
mod check;
mod columns;
mod files;
mod fit;
mod fonts;
mod gather;
mod job;
mod json;
mod letter;
mod mend;
mod progress;
mod report;
mod size;
mod talk;
mod turn;
mod wood;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Verb};

/// All is sound.
const SOUND: u8 = 0;
/// Something is careful or fragile.
const WEAK: u8 = 1;
/// There is no answer; stderr says what, where and what to try.
const NO_ANSWER: u8 = 2;

fn main() -> ExitCode {
    let args = Args::try_parse().unwrap_or_else(|fault| args::with_verbs(fault).exit());
    let outcome = match &args.verb {
        Verb::Check(args) => check::run(args),
        Verb::Mend(args) => mend::run(args),
        Verb::Turn(args) => turn::run(args),
        Verb::Fit(args) => fit::run(args),
        Verb::Letter(args) => letter::run(args),
        Verb::Wood(args) => wood::run(args),
    };
    match outcome {
        Ok(code) => ExitCode::from(code),
        Err(faults) => {
            for fault in faults {
                talk::say(&fault);
            }
            ExitCode::from(NO_ANSWER)
        }
    }
}
