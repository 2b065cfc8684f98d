//! Glued-up pieces by the whole check: strips in their pockets.

use crate::{
    check::{self, Finding, InsertSide, PlyWood, Push, PushKind},
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
        for place in &mut found.places {
            // The closed form's numbers, and so the order, may be others now; where a place lies is not.
            let Some(before) = self.before.places.iter().find(|before| before.at == place.at) else {
                continue;
            };
            let Some(strip) = strips.iter().find(|strip| strip.places.contains(&before.id)) else { continue };
            let mut insert = strip.insert.clone();
            insert.after = [PushKind::Face, PushKind::Side]
                .map(|kind| answer(place.push(kind), before.push(kind)))
                .into();
            insert.verdict = place.verdict;
            insert.reaches_goal = self.patient.goal.is_reached_by(place.verdict);
            // What is said of the closed form's numbers holds of these no longer.
            insert.remarks.retain(|remark| !remark.contains("estimate") && !remark.contains("weigh"));
            for kind in [PushKind::Face, PushKind::Side] {
                place.remarks.extend(told(place.push(kind)));
            }
            place.insert = Some(insert);
        }
        found
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

/// What gives way first, and what is left after the show face has cracked.
fn told(push: &Push) -> Vec<String> {
    let on = if push.kind == PushKind::Face { "the face" } else { "a side" };
    let Some(solved) = &push.solved else { return Vec::new() };
    let mut told = vec![format!("pushed on {on}, first gives way: {}", solved.part.words())];
    if let Some(crack) = solved.after_crack {
        let (first, then) = (crack.cracks_at_n, crack.bears_n);
        told.push(if then < first {
            format!("pushed on {on}, its show face would crack at about {first:.0} N, and the insert comes off at once")
        } else {
            format!("pushed on {on}, its show face would crack at about {first:.0} N; the insert then holds to about {then:.0} N")
        });
    }
    told
}
