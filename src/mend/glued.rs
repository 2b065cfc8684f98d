//! Glued-up pieces by the whole check: strips in their pockets, and blanks of layers.

use crate::{
    check::{self, Finding, Insert, InsertSide, Place, PlyWood, Push, PushKind},
    units::{Angle, Length},
    wood::Board,
};

use super::{
    patient::Ward,
    remedy::{Ply, Strip},
};

/// Whether it is told what plies still bear once the wood in front of them has cracked: of what is only tried nobody asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cracks {
    Told,
    Untold,
}

impl Ward<'_> {
    /// What is found on the piece with strips glued into its back; after a first crack too where that is asked.
    pub(super) fn proved_with_strips(&self, strips: &[Strip], cracks: Cracks) -> Finding {
        let wood = |strip: &Strip| Some(self.own_wood(strip.insert.grain_deg));
        let mut found = self.with_plies(strips, |depth| [0.0, depth], wood, cracks);
        for strip in strips {
            let served = self.served(strip, &found);
            for (before, now) in served {
                let place = &mut found.places[now];
                place.insert = Some(self.answered(&strip.insert, &[(before, place)]));
            }
        }
        found
    }

    /// What is found on the piece with boards glued on its back.
    pub(super) fn proved_with_backers(&self, strips: &[Strip], cracks: Cracks) -> Finding {
        let wood = |strip: &Strip| Some(self.own_wood(strip.insert.grain_deg));
        self.with_plies(strips, |depth| [-depth, 0.0], wood, cracks)
    }

    /// What is found on the pierced piece with the pockets for some strips cut and nothing in them.
    pub(super) fn with_empty_pockets(&self, strips: &[Strip]) -> Finding {
        self.with_plies(strips, |depth| [0.0, depth], |_| None, Cracks::Untold)
    }

    fn with_plies(
        &self,
        strips: &[Strip],
        heights: impl Fn(f64) -> [f64; 2],
        wood: impl Fn(&Strip) -> Option<PlyWood>,
        cracks: Cracks,
    ) -> Finding {
        let ply = |strip: &Strip| check::Ply {
            outline: Some(strip.insert.outline.clone()),
            heights_mm: heights(strip.insert.depth_mm),
            wood: wood(strip),
        };
        let plies: Vec<check::Ply> = strips.iter().map(ply).collect();
        self.ready.check_knowing(&self.patient.terms(), &plies, &self.known, cracks == Cracks::Told)
    }

    /// What is found on the same outline cut from a blank of layers, from the face back, the foremost of the board's grain; nothing
    /// where some place has no solid model's answer any more, or none has one.
    pub(super) fn proved_with_layers(&self, layers: &[Ply]) -> Option<Finding> {
        let patient = &self.patient;
        let own = |ply: &Ply| ply.grain_deg == patient.board.grain.as_deg();
        let mut front = 0.0;
        let spans = layers.iter().map(|ply| {
            front -= ply.thickness_mm;
            [front, front + ply.thickness_mm]
        });
        let spans: Vec<([f64; 2], &Ply)> = spans.zip(layers).collect();
        // The board reaches from the face to the back of the last layer of its grain.
        let back = spans.iter().filter(|(_, ply)| own(ply)).fold(0.0, |_, ([bottom, _], _)| *bottom);
        let plies = spans.iter().filter(|(_, ply)| !own(ply)).map(|(span, ply)| check::Ply {
            outline: None,
            heights_mm: span.map(|height| height - back),
            wood: Some(self.own_wood(ply.grain_deg)),
        });
        let plies: Vec<check::Ply> = plies.collect();
        let board = Board { thickness: Length::mm(-back), ..*patient.board };
        let (name, wood) = (patient.name, patient.mechanics);
        let found = self.ready.check_mended(name, &board, wood, patient.pushes, &patient.check, &plies);
        let is_solved = |place: &Place, kind: PushKind| place.push(kind).solved.is_some();
        let kinds = [PushKind::Face, PushKind::Side];
        // What is by far strong enough in a thicker blank is not asked of the solid model.
        let is_told = |now: &Place, kind: PushKind| {
            is_solved(now, kind) || now.push(kind).over(patient.pushes) >= check::EASY
        };
        let answered = |before: &Place| {
            let now = found.places.iter().find(|now| now.at == before.at);
            kinds
                .into_iter()
                .all(|kind| !is_solved(before, kind) || now.is_some_and(|now| is_told(now, kind)))
        };
        let any = found.places.iter().any(|now| kinds.into_iter().any(|kind| is_solved(now, kind)));
        (any && self.before.places.iter().all(answered)).then_some(found)
    }

    /// A strip with the answers of the whole check in place of the closed form's: of several places the weaker counts.
    pub(super) fn with_answers(&self, strip: &Strip, found: &Finding) -> Strip {
        let served = self.served(strip, found).into_iter();
        let served: Vec<(&Place, &Place)> =
            served.map(|(before, now)| (before, &found.places[now])).collect();
        Strip { insert: self.answered(&strip.insert, &served), ..strip.clone() }
    }

    /// The places a strip serves, as they were and by their numbers in what is found with it. The order may be another then;
    /// where a place lies is not.
    pub(super) fn served(&self, strip: &Strip, found: &Finding) -> Vec<(&Place, usize)> {
        let before = self.before.places.iter().filter(|place| strip.places.contains(&place.id));
        let now = |place: &Place| found.places.iter().position(|now| now.at == place.at);
        before.filter_map(|place| Some((place, now(place)?))).collect()
    }

    fn answered(&self, insert: &Insert, served: &[(&Place, &Place)]) -> Insert {
        let weaker = |kind: PushKind| {
            let answers = served.iter().map(|(before, now)| answer(now.push(kind), before.push(kind)));
            answers.min_by(|a, b| a.breaks_at_n.total_cmp(&b.breaks_at_n))
        };
        let verdict = served.iter().map(|(_, now)| now.verdict).max().unwrap_or(insert.verdict);
        Insert {
            after: [PushKind::Face, PushKind::Side].into_iter().filter_map(weaker).collect(),
            verdict,
            reaches_goal: self.patient.goal.is_reached_by(verdict),
            remarks: insert.remarks.iter().filter(|remark| !remark.is_of_estimate()).cloned().collect(),
            ..insert.clone()
        }
    }

    /// The board's own wood with its grain another way.
    fn own_wood(&self, grain_deg: f64) -> PlyWood {
        PlyWood { mechanics: self.patient.mechanics.clone(), grain: Angle::deg(grain_deg) }
    }
}

/// How a mended place answers a push, beside what it did before.
fn answer(now: &Push, before: &Push) -> InsertSide {
    InsertSide {
        kind: now.kind,
        breaks_at_n: now.breaks_at_n,
        low_n: now.low_n,
        risk: now.risk,
        gain: now.breaks_at_n / before.breaks_at_n,
        gives_way: now.solved.as_ref().map_or("board", |solved| solved.part.words()),
    }
}
