//! What a person should read with a piece or a place, each said in a sentence: its `Display`.

use std::fmt;

use geo_types::Coord;

use super::finding::PushKind;
use super::insert::NoInsert;
use super::words::short_by;

/// Of a whole piece.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum PieceRemark {
    /// It has no weak place.
    NoPlace,
    /// Somewhere it is too thin to be judged.
    Hair {
        /// Where, in mm.
        at: Coord<f64>,
        /// How thin, in mm.
        width_mm: f64,
    },
    /// Somewhere it is too thin for a solid model of it.
    Thread,
    /// Places that bear so little by the closed form that a solid model would not help them.
    Hopeless {
        /// How many are left to the closed form.
        places: usize,
    },
    /// Places that are left to the closed form because there are so many, or because models of them would be so large.
    TooMuchWork {
        /// How many.
        places: usize,
        /// About so many unknowns all models together may have.
        unknowns: usize,
    },
    /// Places that are not pushed everywhere for the push map, to save work.
    MapLeftOut {
        /// How many.
        places: usize,
        /// The work allowed.
        work: usize,
    },
    /// Places that are not pushed everywhere for the push map since no model of them with every push could be solved.
    MapUnsolved {
        /// How many.
        places: usize,
    },
}

impl PieceRemark {
    /// Whether it is of the push map.
    pub(crate) const fn is_of_map(&self) -> bool {
        matches!(self, Self::MapLeftOut { .. } | Self::MapUnsolved { .. })
    }
}

impl fmt::Display for PieceRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlace => f.write_str(
                "no part of it is slender, across the grain or along it, and no corner breaks off easily",
            ),
            Self::Hair { at, width_mm } => write!(
                f,
                "At {:.0}, {:.0} mm the wood is only {width_mm:.1} mm thin and is not judged: expect it to break; widen it or cut it \
                 through",
                at.x, at.y
            ),
            Self::Thread => f.write_str(
                "Some of its wood is thinner than 0.05 mm, which no solid model can follow, so all its numbers are the closed \
                 form's alone: cut that thread through in the drawing, or widen it",
            ),
            Self::Hopeless { places } => write!(
                f,
                "Of the places that bear less than a tenth of the push the weakest have a solid model. {} is left to the closed form (~): \
                 we take it that none would make it bear ten times as much (our own rule)",
                counted(*places)
            ),
            Self::TooMuchWork { places, unknowns } => write!(
                f,
                "{} is left to the closed form (~), the strongest there are: the solid models of a piece have about {unknowns} unknowns in \
                 all, fewer where it has very many places, unless you let them have more (--limit unknowns=NUMBER)",
                counted(*places)
            ),
            Self::MapLeftOut { places, work } => write!(
                f,
                "Push map: the pushes on {}, the strongest there {}, are not all tried; white wood there may break. A map's models have about \
                 {work} unknowns in all, unless you let them have more (--limit map=NUMBER)",
                counted_of_map(*places),
                if *places == 1 { "is" } else { "are" },
            ),
            Self::MapUnsolved { places } => write!(
                f,
                "Push map: the pushes on {} are not all tried, since the wood they load is too large or too finely drawn for one solid model; \
                 white wood there may break",
                counted_of_map(*places)
            ),
        }
    }
}

fn counted_of_map(places: usize) -> String {
    if places == 1 { "one place".to_owned() } else { format!("{places} places") }
}

fn counted(places: usize) -> String {
    if places == 1 { "One other place".to_owned() } else { format!("Each of {places} others") }
}

/// Of a place.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum PlaceRemark {
    /// It breaks soonest when wood is pushed that it carries together with other places.
    Carried {
        /// By the push of which kind; nothing where by both.
        only: Option<PushKind>,
        /// Whether that wood is an island.
        island: bool,
    },
    /// It is the whole piece.
    Whole,
    /// It is shorter than wide.
    Stubby,
    /// It is no slender part.
    Corner,
    /// The solid model holds the piece close by.
    Crowded,
    /// No solid model of it could be solved.
    Unproved,
    /// It is not sound and gets no insert.
    NoInsert(NoInsert),
    /// How far from sound the best insert would leave it, where none helps; apart from the reason, which many places share.
    BestInsert {
        /// Factor by which it falls short.
        shortfall: f64,
    },
}

impl PlaceRemark {
    /// Why the place gets no insert, if that is what it says.
    pub const fn no_insert(&self) -> Option<NoInsert> {
        match self {
            Self::NoInsert(why) => Some(*why),
            _ => None,
        }
    }
}

impl fmt::Display for PlaceRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Carried { only, island } => {
                let which = match only {
                    None => "both pushes are",
                    Some(PushKind::Face) => "the face push is",
                    Some(PushKind::Side) => "the side push is",
                };
                let what = if *island { "the island" } else { "the wood" };
                write!(f, "{which} worst on {what} it carries together with other places")
            }
            Self::Whole => f.write_str("it is the whole piece: one half is held, the other pushed"),
            Self::Stubby => f.write_str(
                "it is shorter than wide, so its numbers depend on how the wood at its ends is held",
            ),
            Self::Corner => {
                f.write_str("it is a corner or tongue without a slender part; its grain line alone tells")
            }
            Self::Crowded => f.write_str("little wood is left beyond it, so the hold begins close by"),
            Self::Unproved => {
                f.write_str("no solid model of it could be solved; its numbers are the closed form's alone")
            }
            Self::NoInsert(why) => write!(f, "No insert: {why}."),
            Self::BestInsert { shortfall } => write!(
                f,
                "By the estimate the best insert that fits would leave it short of sound by {}",
                short_by(*shortfall)
            ),
        }
    }
}
