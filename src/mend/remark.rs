//! What a person should read with a remedy, each said in a sentence: its `Display`.

use std::fmt;

use geo_types::Coord;

use crate::check::words::numbered;

/// A remark on a remedy.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Remark {
    /// Bridges that are not moved with the others.
    Stay(Stay),
    /// Openings that give no more wood.
    ThirdTaken(Vec<Taken>),
    /// An opening that stays open stops a widening.
    LeftOpen {
        /// So wide, in mm.
        mm: f64,
    },
    /// A place is wide enough already.
    Widest {
        /// So many times as wide as it was.
        times: f64,
    },
    /// The piece's size, or what an arm ends in, stops a widening.
    OutlineKept,
    /// What is weakest once others are wider has no wall that may be moved.
    WeakElsewhere {
        /// Where, in mm.
        at: Vec<Coord<f64>>,
    },
    /// Sizing ended before its proofs agreed, though an opening has more to give.
    Unsettled {
        /// Where, in mm.
        at: Vec<Coord<f64>>,
    },
    /// What quarter-sawn wood is good for.
    QuarterSawn,
    /// The solid model has answered for all inserts.
    InsertsProved,
    /// An insert reaches farther than it was first sized to, since its floor came off first.
    ReachesFarther(Reach),
    /// Inserts that are wider than their places, so that the bit gets into their pockets.
    WideAsBit {
        /// For these places, by number.
        places: Vec<usize>,
        /// So wide, in mm.
        width_mm: f64,
        /// For a bit of this diameter, in mm.
        bit_mm: f64,
    },
    /// An insert with a pocket too narrow for the bit: there is no room for a wider one.
    WantsSmallerBit {
        /// For these places, by number.
        places: Vec<usize>,
        /// The bit's diameter, in mm.
        bit_mm: f64,
        /// The widest bit that gets in, in mm.
        largest_mm: f64,
    },
    /// No solid model of the piece with its inserts could be solved.
    InsertsEstimated,
    /// Places without an insert.
    NoStrip {
        /// By number.
        places: Vec<usize>,
    },
    /// The solid model has answered for a blank glued up of layers.
    LayersProved,
    /// The glue of such a blank gives way before its wood, where that is worse than the board alone.
    GlueFirst {
        /// At these places, by number.
        places: Vec<usize>,
    },
    /// Boards glued on the back have the closed form's word alone.
    BackersEstimated,
    /// A blank glued up of layers has the closed form's word alone.
    LayersEstimated,
    /// No solid model was solved where the mended piece is weakest.
    NotSolvedThere {
        /// Where, in mm.
        at: Coord<f64>,
    },
    /// The last word.
    Plywood {
        /// Whether no other remedy is proved to do.
        is_needed: bool,
    },
}

/// Bridges that are not moved, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stay {
    /// Of which places, by number.
    pub places: Vec<usize>,
    /// Whether an island comes loose where they are cut: then there is no room for a bar along the grain round it.
    pub holds_island: bool,
}

impl Stay {
    fn told(&self, place: &str) -> String {
        let (stay, them) = if self.places.len() == 1 { ("stays", "it") } else { ("stay", "them") };
        let why = if self.holds_island {
            "no short gap along the grain lies round the island held by"
        } else {
            "no island comes loose by cutting"
        };
        format!("{} {stay} as drawn: {why} {them}", numbered(place, &self.places))
    }
}

/// How far an insert reaches past its break line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// At this place, by number.
    pub place: usize,
    /// As it was first sized, in mm.
    pub from_mm: f64,
    /// As it is.
    pub to_mm: f64,
}

/// What a widening takes of an opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// Beside this place.
    pub place: usize,
    /// So much, in mm.
    pub taken_mm: f64,
    /// Of so much.
    pub width_mm: f64,
}

impl Remark {
    /// Whether it is told with the remedy even where few words are wanted: it says what is needed to cut it, why its number counts for less, or
    /// where it does nothing, which may be why it is not enough.
    pub const fn has_to_be_told(&self) -> bool {
        matches!(
            self,
            Self::WideAsBit { .. }
                | Self::WantsSmallerBit { .. }
                | Self::NoStrip { .. }
                | Self::GlueFirst { .. }
                | Self::NotSolvedThere { .. }
        )
    }

    /// Whether it says that a remedy's numbers are the solid model's.
    pub(super) const fn is_of_proof(&self) -> bool {
        matches!(self, Self::InsertsProved | Self::LayersProved)
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stay(stay) => write!(f, "{}.", stay.told("Place")),
            Self::ThirdTaken(taken) => {
                let all: Vec<String> = taken.iter().map(Taken::to_string).collect();
                write!(
                    f,
                    "No more than a third of an opening is taken (our own rule), which stops it here: {}.",
                    all.join("; ")
                )
            }
            Self::LeftOpen { mm } => write!(
                f,
                "An opening beside a widened place is left no narrower than {mm} mm (our own rule), so that a small bit still \
                 enters; that is what stops it here."
            ),
            Self::Widest { times } => write!(
                f,
                "A place is made no more than {times} times as wide (our own rule): beyond that it is another design."
            ),
            Self::OutlineKept => f.write_str(
                "A wider arm keeps the piece's overall size, and what it ends in stays as drawn (our own rules); that is what stops it \
                 here.",
            ),
            Self::WeakElsewhere { at } => write!(
                f,
                "What is weakest then lies elsewhere, at {}, where no wall can be moved outwards: wider neighbours do nothing more for it.",
                spots(at)
            ),
            Self::Unsettled { at } => write!(
                f,
                "At {} there is room for more, but no proof showed that it helps: it was sized as far as the proofs agreed.",
                spots(at)
            ),
            Self::QuarterSawn => f.write_str(
                "Tension across the grain is published as one value for both ways of sawing, so this gains little here; quarter-sawn \
                 wood moves about half as much, which is what it is chiefly good for.",
            ),
            Self::InsertsProved => f.write_str(
                "Proved by the solid model, pocket walls open and the floor glued, not by a test: glue one up in scrap of the same \
                 board and push it.",
            ),
            Self::ReachesFarther(Reach { place, from_mm, to_mm }) => write!(
                f,
                "At place {place} the insert reaches {to_mm:.1} mm past the break line: peel off its floor set that, which came off first at \
                 {from_mm:.1} mm, by the solid model."
            ),
            Self::WideAsBit { places, width_mm, bit_mm } => write!(
                f,
                "For {} the insert is {width_mm:.1} mm wide, wider than its place wants, so that a bit of {bit_mm:.2} mm gets into its pocket.",
                numbered("place", places)
            ),
            Self::WantsSmallerBit { places, bit_mm, largest_mm } => write!(
                f,
                "For {} the insert wants a bit of {largest_mm:.2} mm or less: one of {bit_mm:.2} mm does not get into its pocket, and there is no \
                 room for a wider one.",
                numbered("place", places)
            ),
            Self::InsertsEstimated => f.write_str(
                "The strength with these inserts is an estimate (transformed section, reduced as our own solid models showed): no \
                 solid model of the piece with all of them could be solved. Glue one up in scrap of the same board and push it.",
            ),
            Self::NoStrip { places } => {
                let get = if places.len() == 1 { "gets" } else { "get" };
                write!(f, "{} {get} none: no strip fits there, or none that helps.", numbered("Place", places))
            }
            Self::LayersProved => f.write_str(
                "Proved by the solid model, the glue whole all over, not by a test: glue one up in scrap of the same board and \
                 push it.",
            ),
            Self::GlueFirst { places } => write!(
                f,
                "At {} the glue gives way first under one push or both: under that push no more is counted than the board bears alone.",
                numbered("place", places)
            ),
            Self::BackersEstimated => f.write_str(
                "The strength with these boards behind it is an estimate (transformed section, reduced as our own solid models of inserts \
                 showed): no solid model of the piece with all of them could be solved. Glue one up in scrap of the same board and \
                 push it.",
            ),
            Self::LayersEstimated => f.write_str(
                "The strength of the glued-up blank is an estimate (transformed section, full glue lines, each layer twisted as if it \
                 were alone): no solid model of it could be solved. Glue one up in scrap of the same board and push it.",
            ),
            Self::NotSolvedThere { at } => write!(
                f,
                "Not proved: where it is weakest then, at {}, no solid model was solved. That force is the closed form's, which may read \
                 several times as strong.",
                spots(&[*at])
            ),
            Self::Plywood { is_needed: false } => {
                f.write_str("Not needed here, but plywood has no short grain and needs no insert.")
            }
            Self::Plywood { is_needed: true } => f.write_str(
                "None of the remedies that were proved is enough: plywood, or another design, is the honest answer.",
            ),
        }
    }
}

/// Points as people read them: `12, 3 mm; 40, 0 mm and 77, 5 mm`.
fn spots(at: &[Coord<f64>]) -> String {
    // No minus stands before a zero.
    let spot = |at: &Coord<f64>| format!("{:.0}, {:.0} mm", at.x.round() + 0.0, at.y.round() + 0.0);
    let spots: Vec<String> = at.iter().map(spot).collect();
    match spots.as_slice() {
        [others @ .., last] if !others.is_empty() => format!("{} and {last}", others.join("; ")),
        few => few.concat(),
    }
}

/// A clause, not yet a sentence.
impl fmt::Display for Stay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told("place"))
    }
}

impl fmt::Display for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { place, taken_mm, width_mm } = self;
        write!(f, "{taken_mm:.1} mm of {width_mm:.1} mm beside place {place}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_listed_as_people_read_them() {
        let spots = |at: &[[f64; 2]]| spots(&at.iter().map(|&[x, y]| Coord { x, y }).collect::<Vec<_>>());
        assert_eq!(spots(&[[12.3, -0.4]]), "12, 0 mm");
        assert_eq!(spots(&[[12.3, 3.0], [-40.0, 7.0]]), "12, 3 mm and -40, 7 mm");
        assert_eq!(spots(&[[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]]), "1, 2 mm; 3, 4 mm and 5, 6 mm");
    }
}
