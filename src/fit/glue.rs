//! Glues, by the gap each of them fills.

use crate::units::Length;

/// What holds the insert.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Glue {
    /// White or yellow wood glue.
    #[default]
    Pva,
    /// Polyurethane, which foams.
    Polyurethane,
    /// Epoxy, which fills.
    Epoxy,
}

impl Glue {
    /// Every glue, the tightest joint first.
    pub const ALL: [Self; 3] = [Self::Pva, Self::Polyurethane, Self::Epoxy];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pva => "PVA",
            Self::Polyurethane => "polyurethane",
            Self::Epoxy => "epoxy",
        }
    }

    /// The least and the widest clearance a side it is used with.
    ///
    /// # Source
    ///
    /// The widest gaps are those glue makers print (PVA 0.15 mm, polyurethane 0.23 mm; epoxy fills 0.5 mm and more). That they
    /// are taken as a clearance a side, and that an insert wants 0.05 mm to go in at all, is common practice.
    pub const fn clearance(self) -> [Length; 2] {
        let widest = match self {
            Self::Pva => 0.15,
            Self::Polyurethane => 0.23,
            Self::Epoxy => 0.5,
        };
        [Length::mm(0.05), Length::mm(widest)]
    }

    /// What to bear in mind when it has set.
    pub const fn service(self) -> &'static str {
        match self {
            Self::Pva => "PVA softens in heat: do not rely on it under load above about 60 °C",
            Self::Polyurethane => {
                "polyurethane foams as it sets: clamp the insert down on the pocket's floor"
            }
            Self::Epoxy => "epoxy has to wet both sides: do not clamp it dry",
        }
    }
}
