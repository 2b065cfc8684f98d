//! The answer of `mend` as JSON.

use serde_json::{Value, json};
use shortgrain::drawing::words;
use shortgrain::mend::{Change, Cut, Mending, Remedy, Step, Strip, weakest};
use shortgrain::units::Units;

use super::{judged, number, piece, polygon, spot};
use crate::mend::Cared;

/// The answer of `mend`, with the names of the files for cutting. Sentences are metric, as everything is.
pub(crate) fn mend(cared: &[Cared], files: &[&str]) -> String {
    let Some(first) = cared.first() else { return String::new() };
    let pieces = cared.iter().flat_map(|one| one.mendings.iter().map(|mending| of_piece(mending, one)));
    let found = json!({
        "goal": first.goal.verdict().to_string(),
        "pieces": pieces.collect::<Vec<_>>(),
        "files": files,
    });
    judged("mend", cared.iter().map(|one| &one.given), found)
}

fn of_piece(mending: &Mending, one: &Cared) -> Value {
    let mut found = piece(&mending.before, &one.given.file, &None);
    found["remedies"] = mending.remedies.iter().map(|remedy| of_remedy(remedy, one)).collect();
    found["order"] = mending.order.iter().map(step).collect();
    found["declined"] = mending
        .declined
        .iter()
        .map(|declined| json!({ "kind": declined.kind.word(), "why": declined.why }))
        .collect();
    found
}

fn of_remedy(remedy: &Remedy, one: &Cared) -> Value {
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
        let mut whole = piece(after, &one.given.file, &None);
        whole["remedies"] = json!([]);
        found["after"] = whole;
        if let Some(weak) = weakest(after, &one.given.job.pushes).1 {
            found["weakest_after"] = json!({
                "breaks_at_n": number(weak.breaks_at_n, 3),
                "push": weak.kind.to_string(),
                "at_mm": spot(weak.at),
            });
        }
    }
    let (name, change) = of_change(&remedy.change);
    found[name] = change;
    if let Some(empty) = &remedy.empty_pockets {
        let mut whole = piece(empty, &one.given.file, &None);
        whole["remedies"] = json!([]);
        found["empty_pockets"] = whole;
    }
    found["order"] = remedy.order.iter().map(step).collect();
    found["remarks"] = json!(remedy.remarks);
    found
}

/// What is done, under a name of its own.
fn of_change(change: &Change) -> (&'static str, Value) {
    match change {
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
        Change::Inserts(strips) => ("inserts", strips.iter().map(strip).collect()),
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

fn step(step: &Step) -> Value {
    let (what, numbers, at) = match &step.cut {
        Cut::Support => ("support", Vec::new(), Value::Null),
        Cut::Pockets(numbers) => ("pockets", numbers.clone(), Value::Null),
        Cut::Glue(numbers) => ("inserts", numbers.clone(), Value::Null),
        Cut::Opening { number, at } => ("opening", vec![*number], spot(*at)),
        Cut::Outline => ("outline", Vec::new(), Value::Null),
    };
    json!({ "cut": what, "numbers": numbers, "at_mm": at, "frees": step.frees })
}

fn strip(strip: &Strip) -> Value {
    let mut found = super::insert(&strip.insert);
    found["places"] = json!(strip.places);
    found
}
