//! The words a person and a file read for verdicts, forms, ways of breaking and pushes.

use std::fmt;

use super::{Form, Mode, PushKind, Verdict};

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
