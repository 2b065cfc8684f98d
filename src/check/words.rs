//! The words a person and a file read for verdicts, forms, ways of breaking and pushes, and lists in a sentence.

use std::fmt;

use super::{Form, Mode, PushKind, Verdict};

/// Things in a sentence: `a`, `a and b`, `a, b and c`.
pub fn listed<T: ToString>(things: &[T]) -> String {
    let words: Vec<String> = things.iter().map(T::to_string).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [others @ .., last] => format!("{} and {last}", others.join(", ")),
    }
}

/// Things called by number: `place 1`, `places 1, 2 and 5`, `no place`.
pub(crate) fn numbered(what: &str, ids: &[usize]) -> String {
    match ids {
        [] => format!("no {what}"),
        [one] => format!("{what} {one}"),
        several => format!("{what}s {}", listed(several)),
    }
}

/// How much stronger something would have to be: `about 35 %`, `a factor of 2.1`.
pub fn short_by(factor: f64) -> String {
    match (factor - 1.0) * 100.0 {
        percent if percent < 1.0 => "less than 1 %".to_owned(),
        percent if percent < 50.0 => format!("about {percent:.0} %"),
        _ => format!("a factor of {factor:.1}"),
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Sound => "sound",
            Self::Careful => "careful",
            Self::Fragile => "fragile",
        })
    }
}

impl fmt::Display for Form {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Arm => "arm",
            Self::Bridge => "bridge",
            Self::Island => "island",
            Self::Along => "along",
        })
    }
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Split => "split",
            Self::ShearAlong => "shear_along",
            Self::Rolling => "rolling",
            Self::Fibre => "fibre",
            Self::Glue => "glue",
        })
    }
}

impl fmt::Display for PushKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Face => "face",
            Self::Side => "side",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_of_a_list_comes_after_an_and() {
        assert_eq!(listed::<usize>(&[]), "");
        assert_eq!(listed(&[4]), "4");
        assert_eq!(listed(&["`turn`", "`mend`"]), "`turn` and `mend`");
        assert_eq!(listed(&[1, 2, 5]), "1, 2 and 5");
    }

    #[test]
    fn one_thing_is_called_otherwise_than_several() {
        assert_eq!(numbered("place", &[]), "no place");
        assert_eq!(numbered("place", &[1]), "place 1");
        assert_eq!(numbered("pocket", &[1, 2, 5]), "pockets 1, 2 and 5");
    }
}
