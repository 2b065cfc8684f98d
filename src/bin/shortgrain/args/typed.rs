//! What was typed, read as far as it can be: clap stops at the first value that cannot, and all of them are told.

use std::ffi::OsString;

use clap::Parser;
use clap::error::{ContextKind, ContextValue, Error, ErrorKind};

use super::{Args, DesignArgs, Verb, with_verbs};

/// The arguments, and what is wrong with values that are left out of them.
#[derive(Debug)]
pub(crate) struct Typed {
    pub(crate) args: Args,
    pub(crate) refused: Refused,
}

/// Values that cannot be read, in the order clap comes upon them.
#[derive(Debug, Default)]
pub(crate) struct Refused(Vec<Error>);

/// Reads a command line.
///
/// # Errors
///
/// What is wrong, where no more can be said by going on: help that was asked for, flags that nobody knows, values of a verb
/// that looks at nothing before it has all of them.
pub(crate) fn typed(mut words: Vec<OsString>) -> Result<Typed, Refused> {
    let mut refused = Refused::default();
    loop {
        let fault = match Args::try_parse_from(&words) {
            // Where a flag is not known its value may have stood for anything.
            Ok(_) if refused.0.iter().any(is_unknown) => return Err(refused),
            Ok(mut args) => match args.verb.given() {
                Some(given) => {
                    given.refused = refused.flags();
                    return Ok(Typed { args, refused });
                }
                None if refused.is_empty() => return Ok(Typed { args, refused }),
                None => return Err(refused),
            },
            Err(fault) => with_verbs(fault),
        };
        if let Some(rest) = without_value(&words, &fault).or_else(|| without_flag(&words, &fault)) {
            words = rest;
            refused.0.push(fault);
            continue;
        }
        // What is missing by now may have been typed and refused.
        if refused.is_empty() {
            refused.0.push(fault);
        }
        return Err(refused);
    }
}

impl Refused {
    pub(crate) const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The flags whose values they are.
    fn flags(&self) -> Vec<String> {
        self.0.iter().filter_map(flag).collect()
    }

    /// The only fault, which clap prints itself.
    pub(crate) fn alone(&self) -> Option<&Error> {
        self.0.first().filter(|_| self.0.len() == 1)
    }

    /// Every fault without the hint at the end that they share, and that hint.
    pub(crate) fn told(&self) -> (Vec<String>, &'static str) {
        const HINT: &str = "For more information, try '--help'.";
        let told =
            self.0.iter().map(|fault| fault.render().to_string().replace(HINT, "").trim_end().to_owned());
        (told.collect(), HINT)
    }
}

impl Verb {
    /// The designs that it judges. They are looked at though values were refused: whatever else is wrong is told then, and nothing
    /// is done.
    fn given(&mut self) -> Option<&mut DesignArgs> {
        match self {
            Self::Check(args) => Some(&mut args.given),
            Self::Turn(args) => Some(&mut args.given),
            Self::Mend(args) => Some(&mut args.given),
            Self::Fit(_) | Self::Letter(_) | Self::Wood(_) => None,
        }
    }
}

/// The flag whose value a fault is about.
fn flag(fault: &Error) -> Option<String> {
    let is_value = matches!(fault.kind(), ErrorKind::ValueValidation | ErrorKind::InvalidValue);
    let Some(ContextValue::String(arg)) = fault.get(ContextKind::InvalidArg).filter(|_| is_value) else {
        return None;
    };
    arg.split(' ').next().filter(|flag| flag.starts_with("--")).map(str::to_owned)
}

/// The command line without the value that a fault is about; `None` where it is about no value.
fn without_value(words: &[OsString], fault: &Error) -> Option<Vec<OsString>> {
    let flag = flag(fault)?;
    let Some(ContextValue::String(value)) = fault.get(ContextKind::InvalidValue) else { return None };
    // Where a flag takes several values it is one of them that is wrong.
    let holds = |word: &str| word == value || word.split(',').any(|one| one == value);
    let rest = |word: &str| {
        let others: Vec<&str> = word.split(',').filter(|one| word != value && one != value).collect();
        (!others.is_empty()).then(|| others.join(","))
    };
    for (i, word) in words.iter().enumerate().skip(1) {
        let word = word.to_str()?;
        let (end, typed) = match word.split_once('=') {
            Some((name, typed)) if name == flag => (i + 1, typed),
            None if word == flag => (i + 2, words.get(i + 1)?.to_str()?),
            _ => continue,
        };
        if holds(typed) {
            let kept = rest(typed).map(|rest| OsString::from(format!("{flag}={rest}")));
            return Some(
                words[..i].iter().cloned().chain(kept).chain(words[end..].iter().cloned()).collect(),
            );
        }
    }
    None
}

fn is_unknown(fault: &Error) -> bool {
    fault.kind() == ErrorKind::UnknownArgument
}

/// The command line without a flag that nobody knows and what may be its value.
fn without_flag(words: &[OsString], fault: &Error) -> Option<Vec<OsString>> {
    let Some(ContextValue::String(arg)) = fault.get(ContextKind::InvalidArg).filter(|_| is_unknown(fault))
    else {
        return None;
    };
    let named = |word: &OsString| word.to_str().is_some_and(|word| word.split('=').next() == Some(arg));
    let i = words.iter().position(named).filter(|_| arg.starts_with("--"))?;
    let value = words.get(i + 1).filter(|next| !next.to_string_lossy().starts_with('-'));
    let end = if value.is_some() && words[i] == **arg { i + 2 } else { i + 1 };
    Some(words[..i].iter().chain(&words[end..]).cloned().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Typed, Refused> {
        typed(line.split(' ').map(OsString::from).collect())
    }

    fn told(refused: &Refused) -> Vec<String> {
        refused.told().0
    }

    #[test]
    fn every_value_that_cannot_be_read_is_told() {
        let typed = read("shortgrain check a.svg --thickness 19 --wood oak --grain=0 --rings round --moisture 80 --push 45N")
            .expect("the rest can be read");
        let told = told(&typed.refused);
        assert_eq!(told.len(), 4, "{told:?}");
        assert!(told[0].ends_with("19 has no unit; write 19mm or 19in"), "{told:?}");
        assert!(
            told[1].contains("'0' for '--grain <ANGLE>'") && told[2].contains("possible values"),
            "{told:?}"
        );
        assert!(told.iter().all(|fault| !fault.contains("For more")), "{told:?}");
        let Verb::Check(args) = typed.args.verb else { panic!("it is check") };
        assert_eq!(args.given.refused, ["--thickness", "--grain", "--rings", "--moisture"]);
        assert_eq!(args.given.board.wood.as_deref(), Some("oak"));
        assert!(args.given.pushes.push.is_some());
    }

    #[test]
    fn every_wrong_kind_of_a_list_is_told() {
        let typed =
            read("shortgrain mend a.svg --only turn,pray,glue --step 5").expect("the rest can be read");
        assert_eq!(told(&typed.refused).len(), 3);
        let Verb::Mend(args) = typed.args.verb else { panic!("it is mend") };
        assert_eq!(args.only, [shortgrain::mend::Kind::Turn]);
    }

    #[test]
    fn a_flag_that_nobody_knows_is_told_beside_values() {
        let refused = read("shortgrain check a.svg --thickness 19 --grains 0 --colour=red --side 3")
            .expect_err("it is refused");
        let told = told(&refused);
        assert_eq!(told.len(), 4, "{told:?}");
        assert!(
            ["--thickness", "--grains", "--colour", "--side"]
                .iter()
                .all(|flag| told.iter().any(|one| one.contains(flag)))
        );
        assert!(read("shortgrain check --explian a.svg").is_err_and(|refused| refused.alone().is_some()));
    }

    #[test]
    fn what_was_typed_and_refused_is_not_called_missing() {
        let refused =
            read("shortgrain letter 8 --height 10 --as cutout --out a.svg").expect_err("it is refused");
        let told = told(&refused);
        assert!(told.len() == 1 && told[0].contains("10 has no unit"), "{told:?}");
    }

    #[test]
    fn help_is_given_as_ever() {
        let refused = read("shortgrain check --help").expect_err("help ends it");
        assert!(refused.alone().is_some_and(|help| help.exit_code() == 0));
    }
}
