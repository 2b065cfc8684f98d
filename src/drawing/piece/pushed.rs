//! Where places were pushed: which of them show it, and which share a mark.

use super::super::mark::ARROW;
use super::super::pen::Spot;
use super::super::table;
use super::{Canvas, distance};
use crate::check::{Finding, Place, PushKind, Verdict};
use crate::units::Units;

/// The places that show where they were pushed: all that are not sound, the weakest when all are sound, but in a
/// crowd only the first few, and of neighbours that read alike one.
pub(in crate::drawing) fn shown_pushes(finding: &Finding, units: Units) -> Vec<&Place> {
    let weak = finding.places.iter().filter(|place| place.verdict != Verdict::Sound).count();
    let shown = &finding.places[..weak.max(1).min(finding.places.len())];
    if weak > CROWD {
        table::runs(shown, units).into_iter().filter_map(|alike| alike.first()).take(FEW).collect()
    } else {
        shown.iter().collect()
    }
}

/// Pushes of more places than this would hide the piece.
const CROWD: usize = 6;
/// That many show them then.
const FEW: usize = 4;

/// Where something was pushed, and the numbers of the places it broke.
pub(super) struct Pushed {
    pub(super) kind: PushKind,
    pub(super) at: Spot,
    pub(super) tail: Spot,
    pub(super) words: String,
    /// It acts inside the ring of the one place it breaks, and needs no number.
    pub(super) in_own_ring: bool,
}

impl Canvas<'_> {
    /// Where places were pushed; those pushed alike share a mark.
    pub(super) fn pushes(&self) -> Vec<Pushed> {
        let mut all: Vec<Pushed> = Vec::new();
        let is_shown = |place: &&Place| self.shown.iter().any(|shown| shown.id == place.id);
        for place in shown_pushes(self.finding, self.units).into_iter().filter(is_shown) {
            for push in [&place.face, &place.side] {
                let at = self.spot(push.push_at);
                let tail = push.direction_deg.map_or(at, |deg| {
                    let [ux, uy] = self.heading(deg);
                    [at[0] - ARROW * ux, at[1] - ARROW * uy]
                });
                let near = |other: &&mut Pushed| {
                    other.kind == push.kind
                        && distance(other.at, at) < 3.0
                        && distance(other.tail, tail) < 4.0
                };
                let inside = |spot: Spot| distance(spot, self.spot(place.at)) < self.radius(place);
                if let Some(other) = all.iter_mut().find(near) {
                    other.words.push_str(&format!(", {}", place.id));
                    other.in_own_ring = false;
                } else {
                    let (kind, words) = (push.kind, place.id.to_string());
                    // An arrow stands out of any ring.
                    let in_own_ring = kind == PushKind::Face && inside(at);
                    all.push(Pushed { kind, at, tail, words, in_own_ring });
                }
            }
        }
        all
    }
}
