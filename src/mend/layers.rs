//! Blanks glued up of layers: a backer behind the board, or three plies.
//!
//! The closed form (`glued_section.rs`) sizes the layers, the solid model proves them: by the glue's strength beside every break line
//! too. Where a backer's glue gives way first, what is left is the board alone, so that no place bears less than it did without.

use crate::check::{Finding, Part, PushKind, rejudged};
use crate::strength::{low, risk};

use super::glued_section::gain;
use super::patient::{TO_SPARE, Ward, least};
use super::remark::Remark;
use super::remedy::{Change, Kind, Ply, Remedy, Standing};

/// A backer is from this part of the board's thickness to as thick as the board, in mm at least this: our own rule.
const LEAST_BACKER: f64 = 0.25;
const LEAST_BACKER_MM: f64 = 2.0;
/// Three plies are as thick together as the board, or up to this many times that: our own rule.
const THICKEST: f64 = 2.0;
/// Thicknesses are searched to this, in mm; then they are rounded up to stock. Our own rule.
const CLOSE: f64 = 0.1;

impl Ward<'_> {
    /// A backer of the same wood behind the whole piece, its grain across, as thin as will do.
    pub(super) fn backer(&self) -> Result<Remedy, String> {
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
    pub(super) fn three_ply(&self) -> Result<Remedy, String> {
        let board = self.patient.board;
        let now = board.thickness.as_mm();
        let grain = board.grain.as_deg();
        let plies = |whole: f64| {
            let ply = |deg: f64| Ply { thickness_mm: whole / 3.0, grain_deg: deg };
            vec![ply(grain), ply((grain + 90.0).rem_euclid(180.0)), ply(grain)]
        };
        self.laminated(Kind::ThreePly, now, THICKEST * now, plies)
    }

    fn laminated(
        &self,
        kind: Kind,
        low: f64,
        high: f64,
        plies: impl Fn(f64) -> Vec<Ply>,
    ) -> Result<Remedy, String> {
        let lacks = |finding: &Finding| self.patient.goal.shortfall(finding, self.patient.pushes);
        let sized = |doubt: f64| {
            let enough = |size: f64| lacks(&self.with_layers(&plies(size))) * doubt <= 1.0;
            let size = if enough(low) { low } else { least(low, high, CLOSE, enough).unwrap_or(high) };
            self.stock_size(size)
        };
        let remedy = |size: f64, after: Finding, standing: Standing| {
            self.remedy(kind, Change::Layers { plies: plies(size) }, after, standing)
        };
        let first = sized(TO_SPARE);
        let Some(found) = self.proved_with_layers(&plies(first)) else {
            let mut estimate = remedy(first, self.with_layers(&plies(first)), Standing::Estimate);
            estimate.remarks.push(Remark::LayersEstimated);
            return Ok(estimate);
        };
        let mut best = (first, self.at_least_bare(found, &plies(first)));
        if !self.patient.goal.is_reached_by(best.1.0.verdict) {
            // Once more, by how much less the solid model found than the closed form expected.
            let doubt = TO_SPARE * lacks(&best.1.0) / lacks(&self.with_layers(&plies(first)));
            let second = sized(doubt);
            if second != first
                && let Some(found) = self.proved_with_layers(&plies(second))
            {
                let found = self.at_least_bare(found, &plies(second));
                if lacks(&found.0) < lacks(&best.1.0) {
                    best = (second, found);
                }
            }
        }
        let (size, (after, glue_first)) = best;
        let mut remedy = remedy(size, after, Standing::Proved);
        remedy.remarks.push(Remark::LayersProved);
        if !glue_first.is_empty() {
            remedy.remarks.push(Remark::GlueFirst { places: glue_first });
        }
        Ok(remedy)
    }

    /// What is found with layers where nothing is lost by them: behind the whole board, what is left once the glue has parted is
    /// the board, which bears what it did. With the places, by number, where that is more than the glue does.
    ///
    /// What was too strong for the solid model to be asked takes what the closed form expects, if that is less.
    fn at_least_bare(&self, mut found: Finding, layers: &[Ply]) -> (Finding, Vec<usize>) {
        let board_is_whole = layers[0].thickness_mm >= self.patient.board.thickness.as_mm();
        let expected = self.with_layers(layers);
        let mut glue_first = Vec::new();
        for place in &mut found.places {
            let same = |finding: &'_ Finding| finding.places.iter().position(|other| other.at == place.at);
            let (Some(bare), Some(expected)) = (
                same(&self.before).map(|k| &self.before.places[k]),
                same(&expected).map(|k| &expected.places[k]),
            ) else {
                continue;
            };
            let mut parted = false;
            for kind in [PushKind::Face, PushKind::Side] {
                let (was, should) = (bare.push(kind), expected.push(kind));
                let now = place.push_mut(kind);
                if now.solved.is_none() && !board_is_whole {
                    if should.breaks_at_n < now.breaks_at_n {
                        *now = should.clone();
                    }
                } else if board_is_whole && now.breaks_at_n < was.breaks_at_n {
                    parted |= now.solved.as_ref().is_some_and(|solved| solved.part == Part::GlueLine);
                    *now = was.clone();
                }
            }
            if parted {
                glue_first.push(bare.id);
            }
        }
        glue_first.sort_unstable();
        (rejudged(found, self.patient.pushes), glue_first)
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
