//! Another blank for the same outline: thicker, quarter-sawn, of another wood.

use crate::check::Finding;
use crate::solid::{in_order, threads_at_once};
use crate::units::Length;
use crate::wood::{Board, Mechanics, OwnValues, Rings, Wood};

use super::patient::{TO_SPARE, Ward, least};
use super::remark::Remark;
use super::remedy::{Change, Kind, Refusal, Remedy, Standing, Tried};

/// No blank is taken thicker than this many times what it is, in mm: then it is another piece. Our own rule.
const THICKEST: f64 = 3.0;
const THICKEST_MM: f64 = 60.0;
/// Thicknesses are searched to this, in mm; then they are rounded up to stock. Our own rule.
const CLOSE: f64 = 0.1;
/// So many are proved: our own rule.
const THICKNESSES: usize = 4;
/// So many woods are named, and so many are proved: our own rule.
const NAMED: usize = 6;
const PROVED: usize = 2;

impl Ward<'_> {
    /// The least thickness that reaches the goal.
    pub(super) fn thicken(&self) -> Result<Remedy, Refusal> {
        let patient = &self.patient;
        let now = patient.board.thickness.as_mm();
        let most = (THICKEST * now).min(THICKEST_MM);
        if most <= now {
            return Err(self.refusal(format!("the blank is {now:.0} mm thick already"), &self.before));
        }
        let board = |mm: f64| Board { thickness: Length::mm(mm), ..*patient.board };
        let mut known: Option<Finding> = None;
        let mut range = [now, most];
        let mut will_do: Option<(f64, Finding)> = None;
        // The closed form sizes it, the solid model proves it; where that falls short or leaves wood to spare, again with what it has shown.
        for _ in 0..THICKNESSES {
            let fits = |mm: f64| {
                let finding = self.on(&board(mm), patient.mechanics, &self.closed_form());
                self.expected_shortfall(&finding, known.as_ref()) * TO_SPARE <= 1.0
            };
            let sized = least(range[0], range[1], CLOSE, fits);
            let mm = self.stock_size(sized.unwrap_or(range[1])).min(self.stock_size(most));
            if will_do.as_ref().is_some_and(|(least, _)| mm >= *least) {
                break;
            }
            let finding = self.on(&board(mm), patient.mechanics, &patient.check);
            if patient.goal.is_reached_by(finding.verdict) {
                range[1] = mm;
                will_do = Some((mm, finding.clone()));
            } else if will_do.is_none() && (sized.is_none() || known.is_some()) {
                will_do = Some((mm, finding));
                break;
            } else {
                range[0] = mm;
            }
            known = Some(finding);
        }
        let (to_mm, finding) = will_do.expect("two that fall short end it");
        Ok(self.remedy(Kind::Thicken, Change::Thickness { to_mm }, finding, Standing::Proved))
    }

    /// The same wood, quarter-sawn.
    pub(super) fn quarter(&self) -> Result<Remedy, Refusal> {
        let patient = &self.patient;
        if patient.board.rings == Rings::Quarter {
            return Err(self.refusal("the board is quarter-sawn already", &self.before));
        }
        let board = Board { rings: Rings::Quarter, ..*patient.board };
        let Ok(wood) = patient.wood.mechanics(&board, patient.own) else {
            return Err(Refusal::unjudged("too little is known of the wood when it is quarter-sawn"));
        };
        let finding = self.on(&board, &wood, &patient.check);
        let mut remedy =
            self.remedy(Kind::QuarterSawn, Change::Rings(Rings::Quarter), finding, Standing::Proved);
        remedy.remarks.push(Remark::QuarterSawn);
        Ok(remedy)
    }

    /// The woods that would do, the surest first.
    pub(super) fn other_woods(&self) -> Result<Remedy, Refusal> {
        let patient = &self.patient;
        let others: Vec<(&'static Wood, Mechanics)> = Wood::all()
            .iter()
            .filter(|wood| wood.key() != patient.wood.key())
            .filter_map(|wood| Some((wood, wood.mechanics(patient.board, &OwnValues::none()).ok()?)))
            // Estimated strengths are no ground to buy wood on.
            .filter(|(_, mechanics)| mechanics.variation_estimate == 0.0)
            .collect();
        let short = in_order(others.len(), threads_at_once(), |k| {
            let finding = self.on(patient.board, &others[k].1, &self.closed_form());
            self.expected_shortfall(&finding, None)
        });
        let mut ranked: Vec<(f64, usize)> = short.into_iter().zip(0..).collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let now = self.shortfall(&self.before);
        let nearest = ranked.first().map(|(short, _)| *short);
        ranked.retain(|(short, _)| *short < now);
        if ranked.is_empty() {
            let why = "no wood of the table with a published strength across the grain is stronger";
            return Err(nearest.map_or_else(
                || Refusal::untried(why),
                |short| Refusal::lacking(why, short, Standing::Estimate),
            ));
        }
        let mut tried: Vec<Tried> = Vec::new();
        let mut best = None;
        for &(_, k) in ranked.iter().take(PROVED) {
            let finding = self.on(patient.board, &others[k].1, &patient.check);
            let shortfall = self.shortfall(&finding);
            tried.push(Tried { name: others[k].0.name(), shortfall, standing: Standing::Proved });
            let better = best.as_ref().is_none_or(|(least, _)| shortfall < *least);
            if better {
                best = Some((shortfall, finding));
            }
            if shortfall <= 1.0 {
                break;
            }
        }
        tried.sort_by(|a, b| a.shortfall.total_cmp(&b.shortfall));
        let named: Vec<Tried> = ranked
            .iter()
            .map(|&(shortfall, k)| Tried {
                name: others[k].0.name(),
                shortfall,
                standing: Standing::Estimate,
            })
            .filter(|other| tried.iter().all(|known| known.name != other.name) && other.shortfall <= 1.0)
            .take(NAMED - 1)
            .collect();
        tried.extend(named);
        let (_, finding) = best.expect("at least one wood was proved");
        Ok(self.remedy(Kind::OtherWood, Change::Woods(tried), finding, Standing::Proved))
    }
}
