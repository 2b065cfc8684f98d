//! First remedies: every place that is not sound has an insert, or a remark that says why not.

use std::sync::LazyLock;

use geo::{Area, BooleanOps, Contains};
use geo_types::Polygon;
use shortgrain::{
    check::{Finding, Form, Insert, InsertRemark, NoInsert, Place, PlaceRemark, PushKind, Pushes, Verdict},
    mend::first_remedies,
    units::Force,
};

use crate::{
    ask::about,
    samples::{Case, samples},
};

/// Every sample with its first remedies.
static MENDED: LazyLock<Vec<(Case, Finding)>> =
    LazyLock::new(|| samples().into_iter().map(|case| (case.clone(), case.mended())).collect());

/// Every insert of every sample, with its piece and its place.
fn each_insert(mut look: impl FnMut(&Case, &Place, &Insert)) {
    let mut seen = 0;
    for (case, finding) in MENDED.iter() {
        for place in &finding.places {
            if let Some(insert) = &place.insert {
                seen += 1;
                look(case, place, insert);
            }
        }
    }
    assert!(seen > 20, "only {seen} inserts to look at");
}

#[test]
fn a_place_across_the_grain_that_is_not_sound_has_an_insert_or_a_remark_why_not() {
    for (case, finding) in MENDED.iter() {
        for place in finding.places.iter().filter(|place| place.form != Form::Along) {
            let why = place.remarks.iter().filter_map(PlaceRemark::no_insert).count();
            let answers = why + usize::from(place.insert.is_some());
            let wanted = usize::from(place.verdict != Verdict::Sound);
            assert_eq!(answers, wanted, "{} at {:?}: {:?}", case.name, place.at, place.remarks);
        }
    }
}

#[test]
fn a_place_along_the_grain_that_is_not_sound_says_that_no_insert_helps() {
    // A strip with its grain along such a place is the wood that is there already.
    let mut said = 0;
    for (case, finding) in MENDED.iter() {
        for place in finding.places.iter().filter(|place| place.form == Form::Along) {
            assert!(place.insert.is_none(), "{} at {:?}", case.name, place.at);
            let remark = place.remarks.contains(&PlaceRemark::NoInsert(NoInsert::AlongGrain));
            assert_eq!(remark, place.verdict != Verdict::Sound, "{} at {:?}", case.name, place.at);
            said += usize::from(remark);
        }
    }
    assert!(said > 0, "some sample shows it");
}

#[test]
fn remedies_change_nothing_but_inserts_and_remarks() {
    for case in samples() {
        let (bare, mut mended) = (case.finding(), case.finding());
        first_remedies(&mut mended, &case.shape, &case.board, &case.wood, &case.pushes);
        for (place, bare) in mended.places.iter_mut().zip(&bare.places) {
            place.insert = None;
            place.remarks.clone_from(&bare.remarks);
        }
        assert_eq!(mended, bare, "{}", case.name);
    }
}

#[test]
fn a_strip_lies_within_the_outer_rim_or_says_that_it_runs_out_over_it() {
    each_insert(|case, place, insert| {
        let body = Polygon::new(case.shape.polygon().exterior().clone(), Vec::new());
        let says = insert.remarks.contains(&InsertRemark::AtRim);
        assert!(says || body.contains(&insert.outline), "{} at {:?}", case.name, place.at);
    });
}

#[test]
fn what_the_piercing_leaves_of_a_strip_is_the_wood_in_it() {
    each_insert(|case, place, insert| {
        let wood = insert.outline.intersection(case.shape.polygon()).unsigned_area();
        let left: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
        assert!((left - wood).abs() < 1e-3 * wood, "{} at {:?}: {left} of {wood}", case.name, place.at);
        for part in &insert.after_piercing {
            let outside = part.difference(case.shape.polygon()).unsigned_area();
            assert!(outside < 1e-3 * wood, "{} at {:?}: {outside} outside", case.name, place.at);
        }
    });
}

#[test]
fn a_strips_grain_runs_along_the_place_and_so_does_its_length() {
    each_insert(|case, place, insert| {
        let (a, b) = (place.run[0], place.run[place.run.len() - 1]);
        let run = (b.y - a.y).atan2(b.x - a.x).to_degrees();
        let apart = (insert.grain_deg - run).rem_euclid(180.0);
        assert!(apart.min(180.0 - apart) < 0.5, "{} at {:?}: {apart}", case.name, place.at);
        let corners: Vec<_> = insert.outline.exterior().coords().collect();
        let radians = insert.grain_deg.to_radians();
        let along = corners.iter().map(|p| p.x * radians.cos() + p.y * radians.sin());
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), u| (l.min(u), h.max(u)));
        about(high - low, insert.length_mm, 1e-6);
        about(insert.outline.unsigned_area(), insert.length_mm * insert.width_mm, 1e-6);
    });
}

#[test]
fn depth_and_show_face_make_up_the_board() {
    each_insert(|case, place, insert| {
        let thickness = case.board.thickness.as_mm();
        about(insert.depth_mm + insert.show_face_mm, thickness, 1e-9);
        assert!(insert.show_face_mm >= (thickness / 3.0).max(3.0) - 1e-9, "{} at {:?}", case.name, place.at);
        assert!(insert.depth_mm >= 1.0);
    });
}

#[test]
fn gains_are_told_against_the_place_as_it_is() {
    each_insert(|case, place, insert| {
        for side in &insert.after {
            let before = match side.kind {
                PushKind::Face => place.face.breaks_at_n,
                PushKind::Side => place.side.breaks_at_n,
            };
            assert!(
                (side.gain * before / side.breaks_at_n - 1.0).abs() < 1e-6,
                "{} at {:?}: {side:?} of {before}",
                case.name,
                place.at
            );
        }
    });
}

#[test]
fn an_insert_that_reaches_its_goal_weakens_neither_push() {
    each_insert(|case, place, insert| {
        assert_eq!(insert.reaches_goal, insert.verdict == Verdict::Sound);
        if insert.reaches_goal {
            let gains: Vec<f64> = insert.after.iter().map(|side| side.gain).collect();
            assert!(
                gains.iter().all(|gain| *gain >= 1.0 - 1e-9),
                "{} at {:?}: {gains:?}",
                case.name,
                place.at
            );
            assert!(gains.iter().any(|gain| *gain > 1.02), "{} at {:?}: {gains:?}", case.name, place.at);
        }
    });
}

#[test]
fn an_insert_that_weakens_one_push_says_so_and_lowers_the_worse_risk_all_the_same() {
    each_insert(|case, place, insert| {
        let weakens = insert.after.iter().any(|side| side.gain < 1.0 - 1e-9);
        let says = insert.remarks.contains(&InsertRemark::Weakens);
        assert_eq!(weakens, says, "{} at {:?}: {:?}", case.name, place.at, insert.remarks);
        let before = place.face.risk.max(place.side.risk);
        let after = insert.after.iter().map(|side| side.risk).fold(0.0, f64::max);
        assert!(after <= before + 1e-9, "{} at {:?}: {after} {before}", case.name, place.at);
    });
}

/// What the best strip lacks is what it says: pushed so much less, with 5 % to spare, the place has enough, as it is or with a strip; pushed
/// 10 % more than that it has not.
#[test]
fn the_best_strip_that_helps_nothing_falls_short_by_what_is_said() {
    let lacking = |(case, finding): &(Case, Finding)| {
        let lacks = |place: &Place| {
            let said = place.remarks.iter().find_map(|remark| match remark {
                PlaceRemark::BestInsert { shortfall } => Some(*shortfall),
                _ => None,
            });
            said.map(|shortfall| (case.clone(), place.at, shortfall))
        };
        finding.places.iter().find_map(lacks)
    };
    let (case, at, shortfall) = MENDED
        .iter()
        .filter(|(case, _)| case.name.starts_with("house-number"))
        .find_map(lacking)
        .expect("place 1");
    let is_enough = |part: f64| {
        let pushes = [case.pushes.face, case.pushes.side].map(|push| Force::n(push.as_n() * part));
        let less = Case { pushes: Pushes { face: pushes[0], side: pushes[1] }, ..case.clone() };
        let finding = less.mended();
        let place = finding.places.iter().find(|place| place.at == at).expect("the same place");
        place.verdict == Verdict::Sound || place.insert.as_ref().is_some_and(|insert| insert.reaches_goal)
    };
    assert!(shortfall > 1.2, "{shortfall}");
    assert!(is_enough(0.95 / shortfall) && !is_enough(1.1 / shortfall), "{shortfall}");
}
