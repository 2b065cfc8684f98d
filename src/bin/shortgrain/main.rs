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
mod source;
mod talk;
mod turn;
mod wood;

use std::process::ExitCode;

use args::{Refused, Typed, Verb};
use talk::Faults;

/// All is sound.
const SOUND: u8 = 0;
/// Something is careful or fragile.
const WEAK: u8 = 1;
/// There is no answer; stderr says what, where and what to try.
const NO_ANSWER: u8 = 2;

fn main() -> ExitCode {
    let (outcome, refused) = match args::typed(std::env::args_os().collect()) {
        Ok(Typed { args, refused }) => (run(&args.verb), refused),
        Err(refused) => (Err(Faults::new()), refused),
    };
    match outcome {
        Ok(code) if refused.is_empty() => ExitCode::from(code),
        Ok(_) => no_answer(&refused, &Faults::new()),
        Err(faults) => no_answer(&refused, &faults),
    }
}

fn run(verb: &Verb) -> Result<u8, Faults> {
    match verb {
        Verb::Check(args) => check::run(args),
        Verb::Mend(args) => mend::run(args),
        Verb::Turn(args) => turn::run(args),
        Verb::Fit(args) => fit::run(args),
        Verb::Letter(args) => letter::run(args),
        Verb::Wood(args) => wood::run(args),
    }
}

/// Says everything that is wrong: the values that cannot be read, then the rest.
fn no_answer(refused: &Refused, faults: &Faults) -> ExitCode {
    if let Some(fault) = refused.alone().filter(|_| faults.is_empty()) {
        fault.exit();
    }
    let (values, hint) = refused.told();
    values.iter().for_each(|value| talk::say_as_it_is(value));
    faults.iter().for_each(|fault| talk::say(fault));
    if !refused.is_empty() {
        talk::say_as_it_is(&format!("\n{hint}"));
    }
    ExitCode::from(NO_ANSWER)
}
