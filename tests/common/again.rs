//! A piece mended through the public door, and a mended one checked once more, from nothing but what its remedy says is done.

use shortgrain::{
    check::{Finding, Options, Ply, PlyWood, check_mended},
    mend::{Change, Goal, MendOptions, Mending, Patient, Remedy, Strip, mend, unwatched},
    units::{Angle, Length, Units},
    wood::{OwnValues, Wood},
};

use crate::samples::Case;

impl Case {
    /// What can be done for it, of a wood by name.
    pub(crate) fn remedied(&self, wood: &str, goal: Goal, check: Options, options: &MendOptions) -> Mending {
        let patient = Patient {
            name: &self.name,
            shape: &self.shape,
            board: &self.board,
            wood: Wood::find(wood).expect("a known wood"),
            own: &OwnValues::none(),
            mechanics: &self.wood,
            pushes: &self.pushes,
            units: Units::Metric,
            goal,
            check,
        };
        mend(patient, options, &unwatched).expect("the piece has a skeleton")
    }

    /// What a check says of the piece once a remedy is done; nothing where no check can, as of an estimate.
    pub(crate) fn checked_again(&self, remedy: &Remedy, options: &Options) -> Option<Finding> {
        let mut case = self.clone();
        let mut plies = Vec::new();
        let let_in = |strip: &Strip, bottom: f64| Ply {
            outline: Some(strip.insert.outline.clone()),
            heights_mm: [bottom, bottom + strip.insert.depth_mm],
            wood: Some(PlyWood { mechanics: self.wood.clone(), grain: Angle::deg(strip.insert.grain_deg) }),
        };
        match &remedy.change {
            Change::Grain { deg, .. } => case.board.grain = Angle::deg(*deg),
            Change::Outline { shape, .. } => case.shape = shape.clone(),
            Change::Thickness { to_mm } => case.board.thickness = Length::mm(*to_mm),
            Change::Inserts(strips) => plies.extend(strips.iter().map(|strip| let_in(strip, 0.0))),
            Change::Backers(strips) => {
                plies.extend(strips.iter().map(|strip| let_in(strip, -strip.insert.depth_mm)));
            }
            Change::Rings(_) | Change::Woods(_) | Change::Layers { .. } | Change::None => return None,
        }
        let found =
            check_mended(&case.name, &case.shape, &case.board, &case.wood, &case.pushes, options, &plies);
        Some(found.expect("a mended piece has a skeleton"))
    }
}
