//! Where a piece lives: the air there, and which glues last in it.

use crate::fit::Glue;
use crate::units::Length;

/// Where a glued piece will live.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Service {
    /// In a heated house.
    #[default]
    Indoors,
    /// In a kitchen, a bath, an unheated shed: damp now and then.
    Damp,
    /// Outdoors, under a roof or painted.
    Outdoors,
    /// Near a stove, behind a sunny window.
    Hot,
}

/// Air over the year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Relative humidity of the driest and the dampest season, in percent.
    pub humidities_pct: [f64; 2],
    /// Its temperature, in degrees Celsius.
    pub room_c: f64,
}

impl Service {
    /// Every service, the mildest first.
    pub const ALL: [Self; 4] = [Self::Indoors, Self::Damp, Self::Outdoors, Self::Hot];

    /// Its word, as people and programs read it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Indoors => "indoors",
            Self::Damp => "damp",
            Self::Outdoors => "outdoors",
            Self::Hot => "hot",
        }
    }

    /// The air that is usual there: common practice, no published source.
    pub const fn air(self) -> Air {
        let (humidities_pct, room_c) = match self {
            Self::Indoors => ([30.0, 60.0], 20.0),
            Self::Damp => ([40.0, 80.0], 15.0),
            Self::Outdoors => ([50.0, 85.0], 10.0),
            Self::Hot => ([15.0, 50.0], 30.0),
        };
        Air { humidities_pct, room_c }
    }
}

/// A family of glues.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Adhesive {
    /// White or yellow wood glue.
    Pva,
    /// The same made to resist water.
    WaterResistantPva,
    /// Polyurethane, which foams.
    Polyurethane,
    /// Epoxy, which fills.
    Epoxy,
    /// Urea-formaldehyde.
    Urea,
    /// Resorcinol.
    Resorcinol,
}

/// Whether a glue lasts somewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Serves {
    /// Which glue.
    pub adhesive: Adhesive,
    /// Whether it does.
    pub serves: bool,
    /// The widest gap it is used with; nothing where no figure is at hand: it wants a close joint.
    pub widest_gap: Option<Length>,
    /// Why it does or does not, in words.
    pub why: &'static str,
    /// What stands behind that: `published`, `recalled` or `common practice`.
    pub standing: &'static str,
}

const PUBLISHED: &str = "published";
const RECALLED: &str = "recalled";
const PRACTICE: &str = "common practice";

impl Adhesive {
    /// Every family, the most usual first.
    pub const ALL: [Self; 6] =
        [Self::Pva, Self::WaterResistantPva, Self::Polyurethane, Self::Epoxy, Self::Urea, Self::Resorcinol];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pva => "PVA",
            Self::WaterResistantPva => "water-resistant PVA",
            Self::Polyurethane => "polyurethane",
            Self::Epoxy => "epoxy",
            Self::Urea => "urea-formaldehyde",
            Self::Resorcinol => "resorcinol",
        }
    }

    /// Whether it lasts there, and what stands behind that.
    ///
    /// # Source
    ///
    /// `docs/sources.md`, Seasons: classes D1 to D4 of EN 204 and Wood Handbook ch. 10, both recalled; FAA Advisory Circular
    /// 43.13-1B for urea-formaldehyde.
    pub const fn at(self, service: Service) -> Serves {
        use Service::{Damp, Hot, Indoors, Outdoors};
        let (serves, why, standing) = match (self, service) {
            (Self::Pva, Indoors) => (true, "the usual glue for dry rooms (EN 204 D1, D2)", RECALLED),
            (Self::Pva, Damp | Outdoors) => (false, "water softens it (EN 204 D1, D2)", RECALLED),
            (Self::Pva | Self::WaterResistantPva, Hot) => {
                (false, "it creeps under load when warm, and softens above about 60 °C", PRACTICE)
            }
            (Self::WaterResistantPva, Indoors | Damp) => {
                (true, "it bears short wetting (EN 204 D3)", RECALLED)
            }
            (Self::WaterResistantPva, Outdoors) => (
                false,
                "PVA joints in oak lost up to four fifths of their strength in the wettest exposure",
                PUBLISHED,
            ),
            (Self::Polyurethane, Indoors | Damp | Outdoors) => {
                (true, "it bears weather under a roof or paint (EN 204 D4)", RECALLED)
            }
            (Self::Polyurethane, Hot) => (false, "no figure for it in the heat is at hand", PRACTICE),
            (Self::Epoxy, Indoors | Damp | Outdoors) => (true, "it bears water and fills gaps", RECALLED),
            (Self::Epoxy, Hot) => (false, "set in a cool room it softens from about 50 °C", PRACTICE),
            (Self::Urea, Indoors) => (true, "it bears dry rooms", PRACTICE),
            (Self::Urea, Damp | Outdoors | Hot) => {
                (false, "it decays where it is hot and moist or swells and shrinks", PUBLISHED)
            }
            (Self::Resorcinol, _) => {
                (true, "it bears weather and heat; it wants a close joint and pressure", RECALLED)
            }
        };
        Serves { adhesive: self, serves, widest_gap: self.widest_gap(), why, standing }
    }

    /// The gap that the joint of such a glue may have at the most.
    const fn widest_gap(self) -> Option<Length> {
        let glue = match self {
            Self::Pva | Self::WaterResistantPva => Glue::Pva,
            Self::Polyurethane => Glue::Polyurethane,
            Self::Epoxy => Glue::Epoxy,
            Self::Urea | Self::Resorcinol => return None,
        };
        let [_, widest] = glue.clearance();
        Some(widest)
    }
}

impl From<Glue> for Adhesive {
    /// The plain kind of a glue.
    fn from(glue: Glue) -> Self {
        match glue {
            Glue::Pva => Self::Pva,
            Glue::Polyurethane => Self::Polyurethane,
            Glue::Epoxy => Self::Epoxy,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn some_glue_lasts_everywhere_and_the_usual_one_only_indoors() {
        for service in Service::ALL {
            assert!(Adhesive::ALL.into_iter().any(|glue| glue.at(service).serves), "{service:?}");
            assert_eq!(Adhesive::Pva.at(service).serves, service == Service::Indoors);
        }
    }
}
