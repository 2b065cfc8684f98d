//! All remedies for one piece, cheapest first, each proved.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::check::{EASY, Prepared};
use crate::fit;
use crate::season::{Moves, Swing};
use crate::skeleton::MeshError;
use crate::solid::in_order;
use crate::units::{Angle, Length};

use super::lost::lost;
use super::order::{order, order_of};
use super::patient::{Patient, Ward};
use super::remark::Remark;
use super::remedy::{Change, Declined, Kind, Mending, Refusal, Remedy, Standing, cheapest};
use super::seasons::Glued;
use super::site::RIM_MARGIN;
use super::turn::{Sweep, TurnOptions, turned, weakest};
use super::watch::{Watch, unwatched};

/// Which remedies are worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct MendOptions {
    /// The kinds wanted; their order does not matter.
    pub kinds: Vec<Kind>,
    /// From one grain angle to the next, for a turn.
    pub step: Angle,
    /// How much wood stays between an insert and the outline; where the weak place itself lies at the outline its strip runs out there.
    pub rim: Length,
    /// The piece is pierced already: an insert stays inside the wood, and no step pierces.
    pub pierced_already: bool,
    /// The year that glued remedies are asked about; nothing asks about none.
    pub swing: Option<Swing>,
    /// How inserts are cut: none is narrower than the bit gets into, where there is room for one that is not.
    pub fit: fit::Options,
}

/// So many remedies are worked out at once: while one is sized on a single thread the other is solved, and more would hold several of the
/// largest systems of equations in memory at a time.
const AT_ONCE: usize = 2;

impl Default for MendOptions {
    fn default() -> Self {
        Self {
            kinds: Kind::ALL.to_vec(),
            step: Angle::deg(5.0),
            rim: Length::mm(RIM_MARGIN),
            pierced_already: false,
            swing: None,
            fit: fit::Options::default(),
        }
    }
}

/// Everything that can be done for a piece that is not good enough, cheapest first, each sized to reach the goal and proved by the whole
/// check on the mended piece. What weakens the piece or does nothing for it is declined, with a reason. What a year does to the glued
/// ones is told where one is asked about.
///
/// # Errors
///
/// [`MeshError`] when the shape's rings touch or cross.
pub fn mend(patient: Patient<'_>, options: &MendOptions, watch: Watch<'_>) -> Result<Mending, MeshError> {
    let ward = Ward::new(patient, Prepared::new(patient.shape)?);
    let mut remedies: Vec<Remedy> = Vec::new();
    let mut declined = Vec::new();
    let mut kinds: Vec<Kind> = Kind::ALL.into_iter().filter(|kind| options.kinds.contains(kind)).collect();
    // A board whose moisture no wood has moves by no figure at hand.
    let moves =
        options.swing.and_then(|_| Moves::new(patient.wood, patient.board, patient.own).ok().flatten());
    let glued = moves.as_ref().zip(options.swing.as_ref());
    let glued = glued.map(|(moves, swing)| Glued::new(&patient, moves, swing, options.rim.as_mm()));
    let healthy = patient.goal.is_reached_by(ward.before.verdict);
    if healthy {
        kinds.clear();
    }
    let done = AtomicUsize::new(0);
    let found = in_order(kinds.len(), AT_ONCE, |k| {
        watch("proving remedies", done.load(Ordering::Relaxed), kinds.len());
        let found = ward.tried(kinds[k], options);
        watch("proving remedies", done.fetch_add(1, Ordering::Relaxed) + 1, kinds.len());
        found
    });
    for (&kind, found) in kinds.iter().zip(found) {
        match found.unwrap_or_else(|| Ok(not_solid_wood(&remedies))) {
            Ok(remedy) => {
                let order = order_of(&remedy, patient.shape, options.pierced_already);
                let seasons = glued.as_ref().and_then(|glued| glued.seasons(&ward.before, &remedy.change));
                let lost = remedy.after.as_ref().map_or_else(Vec::new, |after| lost(&ward.before, after));
                remedies.push(Remedy { order, seasons, lost, ..remedy });
            }
            Err(Refusal { why, lacks }) => declined.push(Declined { kind, why, lacks }),
        }
    }
    let order = if options.pierced_already { Vec::new() } else { order(patient.shape, &ward.before) };
    Ok(Mending { before: ward.before, moves, order, remedies, declined })
}

impl Ward<'_> {
    /// What a kind has to offer, or why it has nothing; nothing of the last word, which the others have to be known for.
    fn tried(&self, kind: Kind, options: &MendOptions) -> Option<Result<Remedy, Refusal>> {
        let found = match kind {
            Kind::Turn => self.turn(options.step),
            Kind::MoveBridge => self.move_bridges(),
            Kind::Widen => self.widen(),
            Kind::Thicken => self.thicken(),
            Kind::QuarterSawn => self.quarter(),
            Kind::OtherWood => self.other_woods(),
            Kind::Insert => self.inserts(options),
            Kind::PartBacker => self.part_backer(options),
            Kind::Backer => self.backer(),
            Kind::ThreePly => self.three_ply(),
            Kind::NotSolidWood => return None,
        };
        Some(
            found.and_then(|remedy| worthwhile(self, remedy)).map(|remedy| self.as_sure_as_its_least(remedy)),
        )
    }

    /// The remedy as it is; but an estimate where the force that decides it is the closed form's, unless that is so great that a check asks no
    /// solid model.
    fn as_sure_as_its_least(&self, mut remedy: Remedy) -> Remedy {
        let Some(after) = &remedy.after else { return remedy };
        let (over, least) = weakest(after, self.patient.pushes);
        if let Some(least) = least.filter(|least| !least.is_solved && over < EASY)
            && remedy.standing == Standing::Proved
        {
            remedy.standing = Standing::Estimate;
            remedy.remarks.retain(|remark| !remark.is_of_proof());
            remedy.remarks.push(Remark::NotSolvedThere { at: least.at });
        }
        remedy
    }

    /// The best grain angle.
    fn turn(&self, step: Angle) -> Result<Remedy, Refusal> {
        let patient = &self.patient;
        let sweep = Sweep {
            name: patient.name,
            piece: &self.ready,
            board: patient.board,
            wood: patient.mechanics,
            pushes: patient.pushes,
            options: &TurnOptions { step, goal: patient.goal, check: patient.check },
            proves_worst: false,
            watch: &unwatched,
        };
        let turn = turned(&sweep, Some(&self.before));
        if turn.best.closed_form.deg == turn.present.closed_form.deg {
            let why = "it lies as well as it can, or turning gains too little to be proved";
            return Err(self.refusal(why, &self.before));
        }
        let change = Change::Grain { deg: turn.best.closed_form.deg, by_deg: turn.by_deg() };
        Ok(self.remedy(Kind::Turn, change, turn.best.finding, Standing::Proved))
    }
}

/// The remedy, or why it is none: it spoils the piece, or does nothing for it, neither for the weakest of its places nor for any other
/// that lacks strength.
fn worthwhile(ward: &Ward<'_>, remedy: Remedy) -> Result<Remedy, Refusal> {
    let Some(after) = &remedy.after else { return Ok(remedy) };
    if let (Some(gain), Some(now)) = (remedy.spoils(), weakest(after, ward.patient.pushes).1) {
        let why = format!(
            "the piece would be weaker with it: it would break at {:.0}, {:.0} mm at {gain:.2} of what breaks it now",
            now.at.x, now.at.y
        );
        return Err(ward.refusal(why, after));
    }
    let goal = ward.patient.goal;
    let left = after.places.iter().filter(|place| !goal.is_reached_by(place.verdict)).count();
    let is_idle = remedy.is_idle() && left >= ward.wanting().count();
    if is_idle { Err(ward.refusal(Remedy::IDLE, after)) } else { Ok(remedy) }
}

/// The honest last word.
fn not_solid_wood(others: &[Remedy]) -> Remedy {
    let is_needed = !cheapest(others).is_some_and(Remedy::cures);
    Remedy {
        kind: Kind::NotSolidWood,
        change: Change::None,
        after: None,
        standing: Standing::Practice,
        reaches_goal: false,
        shortfall: None,
        gain: None,
        empty_pockets: None,
        seasons: None,
        lost: Vec::new(),
        order: Vec::new(),
        remarks: vec![Remark::Plywood { is_needed }],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Options;
    use crate::mend::sample::Case;
    use geo_types::{LineString, Polygon};

    /// A plate of cherry with a web 8 wide across the grain between two windows, and a thicker blank for it.
    fn thickened(solid: bool) -> Mending {
        let ring = |x0: f64, x1: f64, y0: f64, y1: f64| {
            LineString::from(vec![(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
        };
        let windows = vec![ring(20.0, 46.0, 30.0, 70.0), ring(54.0, 80.0, 30.0, 70.0)];
        let case = Case::of(Polygon::new(ring(0.0, 100.0, 0.0, 100.0), windows));
        let check = Options { solid, ..Options::default() };
        let options = MendOptions { kinds: vec![Kind::Thicken], ..MendOptions::default() };
        mend(Patient { check, ..case.patient() }, &options, &unwatched).expect("a skeleton")
    }

    #[test]
    fn what_no_solid_model_bears_out_at_its_weakest_is_no_cure() {
        let mending = thickened(false);
        let remedy = mending.remedy(Kind::Thicken).unwrap_or_else(|| panic!("{:?}", mending.declined));
        assert!(remedy.reaches_goal && remedy.standing == Standing::Estimate && !remedy.cures());
        assert!(
            remedy.remarks.iter().any(|remark| matches!(remark, Remark::NotSolvedThere { .. })),
            "{:?}",
            remedy.remarks
        );
    }

    #[test]
    fn what_the_solid_model_bears_out_is_a_cure() {
        let mending = thickened(true);
        let remedy = mending.remedy(Kind::Thicken).unwrap_or_else(|| panic!("{:?}", mending.declined));
        assert!(remedy.cures() && remedy.remarks.is_empty(), "{remedy:?}");
    }
}
