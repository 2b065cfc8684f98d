//! Glued-up pieces by the whole check: strips in their pockets.

use crate::{
    check::{self, Finding, Insert, InsertSide, Place, PlyWood, Push, PushKind},
    units::Angle,
};

use super::{patient::Ward, remedy::Strip};

impl Ward<'_> {
    /// What is found on the piece with strips glued into its back.
    pub(super) fn proved_with_strips(&self, strips: &[Strip]) -> Finding {
        let ply = |strip: &Strip| check::Ply {
            outline: strip.insert.outline.clone(),
            heights_mm: [0.0, strip.insert.depth_mm],
            wood: Some(self.own_wood(strip.insert.grain_deg)),
        };
        let plies: Vec<check::Ply> = strips.iter().map(ply).collect();
        let patient = &self.patient;
        let (name, board, wood) = (patient.name, patient.board, patient.mechanics);
        let mut found = self.ready.check_mended(name, board, wood, patient.pushes, &patient.check, &plies);
        for strip in strips {
            let served = self.served(strip, &found);
            for (before, now) in served {
                let place = &mut found.places[now];
                place.insert = Some(self.answered(&strip.insert, &[(before, place)]));
            }
        }
        found
    }

    /// What is found on the pierced piece with the pockets for some strips cut and nothing in them.
    pub(super) fn with_empty_pockets(&self, strips: &[Strip]) -> Finding {
        let pocket = |strip: &Strip| check::Ply {
            outline: strip.insert.outline.clone(),
            heights_mm: [0.0, strip.insert.depth_mm],
            wood: None,
        };
        let plies: Vec<check::Ply> = strips.iter().map(pocket).collect();
        let patient = &self.patient;
        let (name, board, wood) = (patient.name, patient.board, patient.mechanics);
        self.ready.check_mended(name, board, wood, patient.pushes, &patient.check, &plies)
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
