//! A flag that was typed after the wrong verb: which verbs know it.

use clap::CommandFactory;
use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, Error, ErrorKind};

use shortgrain::drawing::words::listed;

use super::Args;

/// The same fault with the verbs that know the flag as its tip, where some do.
pub(crate) fn with_verbs(mut fault: Error) -> Error {
    if fault.kind() != ErrorKind::UnknownArgument {
        return fault;
    }
    let Some(ContextValue::String(typed)) = fault.get(ContextKind::InvalidArg) else { return fault };
    let verbs = verbs_with(typed);
    if !verbs.is_empty() {
        let tip = format!("{typed} belongs to {}", listed(&verbs));
        fault.insert(ContextKind::Suggested, ContextValue::StyledStrs(vec![StyledStr::from(tip)]));
    }
    fault
}

/// The verbs that know a flag, quoted.
fn verbs_with(flag: &str) -> Vec<String> {
    let knows = |verb: &clap::Command| {
        verb.get_arguments().any(|arg| arg.get_long().is_some() && arg.get_long() == flag.strip_prefix("--"))
    };
    let command = Args::command();
    let verbs = command.get_subcommands().filter(|verb| knows(verb));
    verbs.map(|verb| format!("`{}`", verb.get_name())).collect()
}

#[cfg(test)]
mod tests {
    use clap::Parser;

    use super::*;

    fn told(typed: &[&str]) -> String {
        with_verbs(Args::try_parse_from(typed).expect_err("it is refused")).to_string()
    }

    #[test]
    fn a_flag_of_another_verb_is_told_with_its_verbs() {
        let told = told(&["shortgrain", "check", "sign.svg", "--step", "2deg"]);
        assert!(told.contains("tip: --step belongs to `turn` and `mend`"), "{told}");
        assert!(!told.contains("-- --step"), "{told}");
    }

    #[test]
    fn a_flag_of_no_verb_is_told_as_ever() {
        assert!(!told(&["shortgrain", "check", "sign.svg", "--colour"]).contains("belongs to"));
    }
}
