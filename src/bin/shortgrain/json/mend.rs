//! The answer of `mend` as JSON.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use shortgrain::check::Finding;
use shortgrain::drawing::words;
use shortgrain::mend::{
    Change, Cut, Declined, GluedJoint, Kind, Lacks, Lost, Mending, Remedy, Seasons, Standing, Step, Strip,
    cures_of_all, weakest,
};
use shortgrain::season::{Adhesive, Held, Moves, Rule, Trade};
use shortgrain::units::Units;

use super::{judged, number, piece, polygon, spot};
use crate::fit::made_with;
use crate::mend::{Cared, Year};

/// The answer of `mend`, with the names of the files for cutting. Sentences are metric, as everything is.
/// The cautions are those of glue and clearance, which stand before all others.
pub(crate) fn mend(cared: &[Cared], files: &[&str], cautions: &[String]) -> String {
    let Some(first) = cared.first() else { return String::new() };
    let pieces = cared.iter().flat_map(|one| one.mendings.iter().map(|mending| of_piece(mending, one)));
    let set: Vec<&Mending> = cared.iter().flat_map(|one| &one.mendings).collect();
    let for_all = cures_of_all(&set, first.goal).into_iter().map(Kind::word);
    let found = json!({
        "goal": first.goal.verdict().to_string(),
        "pieces": pieces.collect::<Vec<_>>(),
        "for_all": for_all.collect::<Vec<_>>(),
        "files": files,
        "made_with": made_with(&first.fit),
        "seasons": year(&first.year),
    });
    judged("mend", cared.iter().map(|one| &one.given), cautions, found)
}

fn of_piece(mending: &Mending, one: &Cared) -> Value {
    let mut found = piece(&mending.before, &one.given.file, &None);
    found["remedies"] = mending
        .remedies
        .iter()
        .map(|remedy| {
            let mut found = of_remedy(remedy, &mending.before, one);
            let seasons = remedy.seasons.as_ref().zip(mending.moves.as_ref());
            found["seasons"] = seasons.map_or(Value::Null, |(seasons, moves)| of_seasons(seasons, moves));
            found
        })
        .collect();
    found["order"] = steps(&mending.order, &mending.before, &mending.before, &[]);
    found["declined"] = mending.declined.iter().map(declined).collect();
    found
}

fn declined(declined: &Declined) -> Value {
    let (shortfall, standing) = match declined.lacks {
        Lacks::Times { shortfall, standing } => (Some(number(shortfall, 4)), Some(standing.word())),
        Lacks::Untried | Lacks::Unjudged => (None, None),
    };
    json!({
        "kind": declined.kind.word(),
        "why": declined.why,
        "shortfall": shortfall,
        "standing": standing,
        "no_shortfall": declined.lacks.no_number(),
    })
}

fn of_remedy(remedy: &Remedy, before: &Finding, one: &Cared) -> Value {
    let mut found = json!({
        "kind": remedy.kind.word(),
        "summary": words::remedy(Units::Metric, remedy),
        "reaches_goal": remedy.reaches_goal,
        "shortfall": remedy.shortfall.map(|times| number(times, 4)),
        "gain": remedy.gain.map(|times| number(times, 4)),
        "standing": remedy.standing.word(),
        "after": Value::Null,
        "weakest_after": Value::Null,
    });
    if let Some(after) = &remedy.after {
        found["after"] = mended(after, before, one);
        if let Some(weak) = weakest(after, &one.given.job.pushes).1 {
            found["weakest_after"] = json!({
                "breaks_at_n": number(weak.breaks_at_n, 3),
                "push": weak.kind.to_string(),
                "at_mm": spot(weak.at),
                "standing": (if weak.is_solved { Standing::Proved } else { Standing::Estimate }).word(),
            });
        }
    }
    let (name, change) = of_change(remedy, one);
    found[name] = change;
    if let Some(empty) = &remedy.empty_pockets {
        found["empty_pockets"] = mended(empty, before, one);
        let standing = remedy.empty_standing(&one.given.job.pushes);
        found["empty_pockets_standing"] = json!(standing.map(Standing::word));
    }
    found["order"] = steps(&remedy.order, before, remedy.after.as_ref().unwrap_or(before), remedy.strips());
    found["breaks_sooner"] = remedy.lost.iter().map(lost).collect();
    found["remarks"] = json!(words::sentences(Units::Metric, &remedy.remarks));
    found
}

/// A push that breaks a place sooner than before.
fn lost(lost: &Lost) -> Value {
    json!({
        "place": lost.place,
        "push": lost.push.to_string(),
        "before_n": number(lost.before_n, 3),
        "after_n": number(lost.after_n, 3),
    })
}

/// What is done, under a name of its own.
fn of_change(remedy: &Remedy, one: &Cared) -> (&'static str, Value) {
    match &remedy.change {
        Change::Grain { deg, by_deg } => {
            ("grain", json!({ "deg": number(*deg, 3), "turn_by_deg": number(*by_deg, 3) }))
        }
        Change::Outline { shape, bars } => {
            let bars: Vec<Value> = bars
                .iter()
                .map(|bar| {
                    json!({
                        "places": bar.places,
                        "at_mm": spot(bar.at),
                        "from_mm": bar.from_mm.map_or(Value::Null, |mm| number(mm, 4)),
                        "to_mm": number(bar.to_mm, 4),
                    })
                })
                .collect();
            ("outline", json!({ "outline_mm": polygon(shape.polygon()), "bars": bars }))
        }
        Change::Thickness { to_mm } => ("thickness_mm", number(*to_mm, 4)),
        Change::Rings(rings) => ("rings", json!(super::rings(*rings))),
        Change::Woods(tried) => {
            let woods: Vec<Value> = tried
                .iter()
                .map(|one| {
                    json!({
                        "name": one.name,
                        "reaches_goal": one.shortfall <= 1.0,
                        "shortfall": number(one.shortfall.max(1.0), 4),
                        "standing": one.standing.word(),
                    })
                })
                .collect();
            ("woods", json!(woods))
        }
        Change::Inserts(strips) => {
            let inserts = strips.iter().enumerate().map(|(k, strip)| insert(k, strip, remedy, one));
            ("inserts", inserts.collect())
        }
        Change::Backers(strips) => ("backers", strips.iter().map(backer).collect()),
        Change::Layers { plies } => {
            let plies: Vec<Value> = plies
                .iter()
                .map(|ply| {
                    json!({ "thickness_mm": number(ply.thickness_mm, 4), "grain_deg": number(ply.grain_deg, 3) })
                })
                .collect();
            ("plies", json!(plies))
        }
        Change::None => ("material", json!("plywood")),
    }
}

/// A mended piece, each of its places with the number that it is called by.
fn mended(after: &Finding, before: &Finding, one: &Cared) -> Value {
    let mut whole = piece(after, &one.given.file, &None);
    whole["remedies"] = json!([]);
    if let Some(places) = whole["weak_places"].as_array_mut() {
        for (place, number) in places.iter_mut().zip(words::numbers(before, after)) {
            place["number"] = json!(number);
        }
    }
    whole
}

/// Steps at the bench; the places that one frees are those of `after`, and are called by their numbers in `before` too.
fn steps(steps: &[Step], before: &Finding, after: &Finding, strips: &[Strip]) -> Value {
    let called: BTreeMap<usize, usize> =
        after.places.iter().map(|place| place.id).zip(words::numbers(before, after)).collect();
    steps.iter().map(|one| step(one, &called, strips)).collect()
}

fn step(step: &Step, called: &BTreeMap<usize, usize>, strips: &[Strip]) -> Value {
    let (what, numbers, at) = match &step.cut {
        Cut::Support => ("support", Vec::new(), Value::Null),
        Cut::Pockets(numbers) => ("pockets", numbers.clone(), Value::Null),
        Cut::Glue(numbers) => ("inserts", numbers.clone(), Value::Null),
        Cut::Laminate(_) => ("layers", Vec::new(), Value::Null),
        Cut::Opening { number, at } => ("opening", vec![*number], spot(*at)),
        Cut::Outline => ("outline", Vec::new(), Value::Null),
    };
    let for_places: Vec<usize> = match &step.cut {
        Cut::Pockets(numbers) | Cut::Glue(numbers) => {
            let strips = numbers.iter().filter_map(|number| strips.get(number.checked_sub(1)?));
            strips.flat_map(|strip| strip.places.iter().copied()).collect()
        }
        _ => Vec::new(),
    };
    let frees_places: Vec<usize> = step.frees.iter().filter_map(|id| called.get(id).copied()).collect();
    json!({
        "cut": what,
        "numbers": numbers,
        "for_places": for_places,
        "at_mm": at,
        "frees": step.frees,
        "frees_places": frees_places,
    })
}

/// The insert of that number.
fn insert(k: usize, strip: &Strip, remedy: &Remedy, one: &Cared) -> Value {
    let mut found = super::insert(&strip.insert);
    found["places"] = json!(strip.places);
    found["pocket_mm"] = pocket(strip, one);
    found["mismatch_mm"] = mismatch(remedy, k);
    found
}

/// How far a pocket's arcs may lie from the straight lines that stand for them, in mm.
const CHORD: f64 = 0.005;

/// The pocket as it is cut: the strip with its corners as round as the bit, grown by the clearance; null where the bit does not get in.
fn pocket(strip: &Strip, one: &Cared) -> Value {
    let fitted = strip.fitted(one.given.job.board.thickness, &one.fit).ok();
    json!(fitted.map(|fit| polygon(&fit.pocket.polygon(CHORD))))
}

/// What the show face would move over the insert's length, were they not glued, in the year that is asked about.
fn mismatch(remedy: &Remedy, strip: usize) -> Value {
    let joint = remedy.seasons.as_ref().and_then(|seasons| seasons.joints.get(strip));
    joint.map_or(Value::Null, |joint| number(joint.layers[0].1.mismatch, 4))
}

/// A board glued on the back.
fn backer(strip: &Strip) -> Value {
    let mut found = super::strip(&strip.insert);
    found["places"] = json!(strip.places);
    found["thickness_mm"] = number(strip.insert.depth_mm, 4);
    found
}

/// The swing that was judged for, and which glue lasts.
fn year(year: &Year) -> Value {
    let swing = &year.stated.swing;
    let glues: Vec<Value> = Adhesive::ALL
        .iter()
        .map(|glue| {
            let serves = glue.at(year.service);
            json!({
                "name": glue.name(),
                "lasts": serves.serves,
                "widest_gap_mm": serves.widest_gap.map(|gap| number(gap.as_mm(), 3)),
                "why": serves.why,
                "standing": serves.standing,
            })
        })
        .collect();
    json!({
        "service": year.service.word(),
        "dry_pct": number(swing.dry_pct, 3),
        "damp_pct": number(swing.damp_pct, 3),
        "glued_pct": swing.glued_pct.map(|pct| number(pct, 3)),
        "from": year.stated.from(Units::Metric),
        "glues": glues,
        "standing": Rule::ALL.iter().map(|rule| (rule.word, rule.standing)).collect::<BTreeMap<_, _>>(),
    })
}

/// What the seasons do to a glued remedy.
fn of_seasons(found: &Seasons, moves: &Moves) -> Value {
    let cup = &found.cup;
    json!({
        "word": found.word.word(),
        "across_per_pct": number(moves.across_per_pct, 6),
        "along_per_pct": number(moves.along_per_pct, 6),
        "across_is": moves.across_is,
        "status": moves.status.word(),
        "cup": {
            "rise_mm": number(cup.rise_mm, 3),
            "over_mm": number(cup.over_mm, 3),
            "limit_mm": number(cup.limit_mm(), 3),
            "flat": cup.is_flat(),
            "hollow_when_dry": if cup.face_hollow_when_dry { "face" } else { "back" },
        },
        "joints": found.joints.iter().map(joint).collect::<Vec<_>>(),
    })
}

fn joint(joint: &GluedJoint) -> Value {
    let (rows, why) = match &joint.depths {
        None => (&[][..], None),
        Some(Ok(rows)) => (rows.as_slice(), None),
        Some(Err(why)) => (&[][..], Some(why.to_string())),
    };
    json!({
        "places": joint.places,
        "bears_mpa": number(joint.layers[0].1.joint_bears, 4),
        "layers": joint.layers.iter().map(|(name, held)| layer(name, held)).collect::<Vec<_>>(),
        "reach": joint.anchorage.map(|reach| json!({
            "needed_mm": number(reach.needed, 3),
            "there_mm": number(reach.there, 3),
            "short_by_mm": number(reach.short_by(), 3),
            "by": reach.by.word(),
            "by_shear_mm": number(reach.by_shear, 3),
            "by_peel_mm": number(reach.by_peel, 3),
            "useful_mm": number(reach.useful, 3),
            "overfull": reach.overfull,
        })),
        "trade": joint.trade.as_ref().map(trade),
        "depths": rows.iter().map(|row| json!({
            "depth_mm": number(row.at.depth_mm, 4),
            "show_face_mm": number(row.at.show_face_mm, 4),
            "usual": row.at.usual,
            "face_n": row.at.bears_n.map(|[face, _]| number(face, 3)),
            "side_n": row.at.bears_n.map(|[_, side]| number(side, 3)),
            "cup_mm": number(row.cup_mm, 3),
        })).collect::<Vec<_>>(),
        "no_depths": why,
    })
}

/// The trade's rules, which decide nothing.
fn trade(trade: &Trade) -> Value {
    let [no_worry, avoid] = Trade::LENGTHS;
    json!({
        "reach_by_thickness_mm": number(trade.by_thickness, 3),
        "reach_by_width_mm": number(trade.by_width, 3),
        "length_mm": number(trade.length, 3),
        "no_worry_mm": number(no_worry, 3),
        "avoid_mm": number(avoid, 3),
        "word": trade.word().word(),
    })
}

fn layer(name: &str, held: &Held) -> Value {
    json!({
        "layer": name,
        "word": held.word.word(),
        "width_mm": number(held.width, 3),
        "thickness_mm": number(held.thickness, 3),
        "mismatch_mm": number(held.mismatch, 4),
        "stress_mpa": number(held.stress, 4),
        "stress_part": number(held.stress_part, 4),
        "edge_shear_mpa": number(held.edge_shear, 4),
        "shear_part": number(held.shear_part(), 4),
        "splits_from_mm": number(held.splits_from, 3),
        "full_width_mm": held.full_width.map(|mm| number(mm, 3)),
        "mild_width_mm": number(held.mild_width, 3),
    })
}
