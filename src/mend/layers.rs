//! Blanks glued up of layers: a backer behind the board, or three plies.
//!
//! The closed form (`glued_section.rs`) sizes the layers, the solid model proves them: by the glue's strength beside every break line
//! too. Where a backer's glue gives way first, what is left is the board alone, so that no place bears less than it did without.

use crate::check::{Finding, Part, PushKind, rejudged};
use crate::strength::{low, risk};

use super::glued_section::gain;
use super::patient::{TO_SPARE, Ward, least};
use super::remark::Remark;
use super::remedy::{Change, Kind, Ply, Refusal, Remedy, Standing};

/// A backer is from this part of the board's thickness to as thick as the board, in mm at least this: our own rule.
const LEAST_BACKER: f64 = 0.25;
const LEAST_BACKER_MM: f64 = 2.0;
/// Three plies are as thick together as the board, or up to this many times that: our own rule.
const THICKEST: f64 = 2.0;
/// Thicknesses are searched to this, in mm; then they are rounded up to stock. Our own rule.
const CLOSE: f64 = 0.1;

/// So many thicknesses are proved at the most.
const TRIES: usize = 3;

/// What is found on a blank of layers, and the places, by number, where a backer's glue bears less than the board.
struct Settled {
    after: Finding,
    glue_first: Vec<usize>,
}

impl Ward<'_> {
    /// A backer of the same wood behind the whole piece, its grain across, as thin as will do.
    pub(super) fn backer(&self) -> Result<Remedy, Refusal> {
        let board = self.patient.board;
        let now = board.thickness.as_mm();
        let grain = board.grain.as_deg();
        let plies = |back: f64| {
            vec![
                Ply { thickness_mm: now, grain_deg: grain },
                Ply { thickness_mm: back, grain_deg: (grain + 90.0).rem_euclid(180.0) },
            ]
        };
        let low = (LEAST_BACKER * now).max(LEAST_BACKER_MM).min(now);
        self.laminated(Kind::Backer, low, now, plies)
    }

    /// Three plies of the same wood, the middle one across, no thicker than the board where that will do.
    pub(super) fn three_ply(&self) -> Result<Remedy, Refusal> {
        let board = self.patient.board;
        let now = board.thickness.as_mm();
        let grain = board.grain.as_deg();
        let plies = |whole: f64| {
            let ply = |deg: f64| Ply { thickness_mm: whole / 3.0, grain_deg: deg };
            vec![ply(grain), ply((grain + 90.0).rem_euclid(180.0)), ply(grain)]
        };
        self.laminated(Kind::ThreePly, now, THICKEST * now, plies)
    }

    /// Layers as thin as will do by the closed form, proved; where they fall short, thicker by what that has shown.
    fn laminated(
        &self,
        kind: Kind,
        low: f64,
        high: f64,
        plies: impl Fn(f64) -> Vec<Ply>,
    ) -> Result<Remedy, Refusal> {
        let lacks = |finding: &Finding| self.patient.goal.shortfall(finding, self.patient.pushes);
        let expected = |size: f64| self.with_layers(&plies(size));
        let sized = |doubt: f64| {
            let enough = |size: f64| lacks(&expected(size)) * doubt <= 1.0;
            let size = if enough(low) { low } else { least(low, high, CLOSE, enough).unwrap_or(high) };
            self.stock_size(size)
        };
        let remedy = |size: f64, after: Finding, standing: Standing, remark: Remark| {
            let mut remedy = self.remedy(kind, Change::Layers { plies: plies(size) }, after, standing);
            remedy.remarks.push(remark);
            remedy
        };
        let mut doubt = TO_SPARE;
        let mut best: Option<(f64, Settled)> = None;
        let mut tried: Vec<f64> = Vec::new();
        while tried.len() < TRIES {
            let size = sized(doubt);
            if tried.contains(&size) {
                break;
            }
            tried.push(size);
            let Some(found) = self.proved_with_layers(&plies(size)) else { break };
            let found = self.settled(found, &plies(size));
            let lacking = lacks(&found.after);
            doubt = TO_SPARE * lacking / lacks(&expected(size));
            if best.as_ref().is_none_or(|(_, best)| lacking < lacks(&best.after)) {
                best = Some((size, found));
            }
            if lacking <= 1.0 {
                break;
            }
        }
        let Some((size, found)) = best else {
            let size = sized(TO_SPARE);
            return Ok(remedy(size, expected(size), Standing::Estimate, Remark::LayersEstimated));
        };
        let mut proved = remedy(size, found.after, Standing::Proved, Remark::LayersProved);
        if !found.glue_first.is_empty() {
            proved.remarks.push(Remark::GlueFirst { places: found.glue_first });
        }
        Ok(proved)
    }

    /// What the solid model's answers come to. Behind a board that keeps its thickness what is left once the glue has parted is the
    /// board, which bears what it did: no place counts for less. Of plies that share the board's thickness, what was too strong for
    /// the solid model to be asked counts for what the closed form expects, if that is less.
    fn settled(&self, found: Finding, layers: &[Ply]) -> Settled {
        let board_is_whole = layers[0].thickness_mm >= self.patient.board.thickness.as_mm();
        let layered;
        let expected = if board_is_whole {
            &self.before
        } else {
            layered = self.with_layers(layers);
            &layered
        };
        let mut settled = Settled { after: found, glue_first: Vec::new() };
        for place in &mut settled.after.places {
            let Some(other) = expected.places.iter().find(|other| other.at == place.at) else { continue };
            let mut parted = false;
            for kind in [PushKind::Face, PushKind::Side] {
                let (now, other) = (place.push_mut(kind), other.push(kind));
                let takes_over = if board_is_whole {
                    now.breaks_at_n < other.breaks_at_n
                } else {
                    now.solved.is_none() && other.breaks_at_n < now.breaks_at_n
                };
                if takes_over {
                    parted |= now.solved.as_ref().is_some_and(|solved| solved.part == Part::GlueLine);
                    *now = other.clone();
                }
            }
            if parted {
                settled.glue_first.push(other.id);
            }
        }
        settled.glue_first.sort_unstable();
        settled.after = rejudged(settled.after, self.patient.pushes);
        settled
    }

    /// What the closed form expects of the same outline cut from layers: every place's answers, as many times greater as it says.
    fn with_layers(&self, plies: &[Ply]) -> Finding {
        let mut finding = self.before.clone();
        let wood = self.patient.mechanics;
        let grain = self.patient.board.grain.as_deg();
        for place in &mut finding.places {
            for kind in [PushKind::Face, PushKind::Side] {
                let Some((gain, spread)) = gain(place, kind, plies, grain, wood) else { continue };
                let stated = self.patient.pushes.of(kind).as_n();
                let push = place.push_mut(kind);
                push.breaks_at_n *= gain;
                push.low_n = low(push.breaks_at_n, spread);
                push.risk = risk(stated, push.breaks_at_n, spread);
                push.solved = None;
            }
        }
        rejudged(finding, self.patient.pushes)
    }
}
