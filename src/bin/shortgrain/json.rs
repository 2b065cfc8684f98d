//! The answers as JSON, always metric. A number that does not exist is `null`, never NaN.

use geo_types::{Coord, LineString, Polygon};
use serde_json::{Map, Value, json};
use shortgrain::check::{Case, Family, Finding, Insert, Place, Push, PushKind, PushPoint, Solved, Why};
use shortgrain::drawing::words;
use shortgrain::mend::Standing;
use shortgrain::solid::Face;
use shortgrain::units::Units;
use shortgrain::wood::{Board, Rings, Wood};

mod mend;
mod turn;

pub(crate) use mend::mend;
pub(crate) use turn::turn;

use crate::check::Checked;
use crate::gather::Given;
use crate::job::Job;
use crate::report;

/// The answer of `check`.
pub(crate) fn check(checked: &[Checked]) -> String {
    let pieces = checked.iter().flat_map(|one| {
        let pieces = one.findings.iter().zip(&one.loose);
        pieces.map(|(finding, loose)| piece(finding, &one.given.file, loose))
    });
    judged(
        "check",
        checked.iter().map(|one| &one.given),
        &[],
        json!({ "pieces": pieces.collect::<Vec<_>>() }),
    )
}

/// The answer of a verb that judges designs: their board, what it found, the cautions, its own first.
fn judged<'a>(
    verb: &str,
    given: impl Iterator<Item = &'a Given> + Clone,
    own: &[String],
    found: Value,
) -> String {
    let Some(Given { job, .. }) = given.clone().next() else { return String::new() };
    let mut answer = json!({
        "schema": format!("shortgrain/{verb}/1"),
        "board": board(job.wood.name(), &job.board),
        "wood": { "name": job.wood.name(), "values": values(&job.values) },
        "push": stated(job),
    });
    if let Value::Object(found) = found {
        for (name, value) in found {
            answer[name] = value;
        }
    }
    answer["cautions"] = json!([own, report::all_cautions(given).as_slice()].concat());
    pretty(&answer)
}

fn stated(job: &Job) -> Value {
    json!({
        "face_n": number(job.pushes.face.as_n(), 6),
        "side_n": number(job.pushes.side.as_n(), 6),
        "from": if job.usual_pushes { "common practice, no published source" } else { "stated" },
    })
}

/// The answer of `wood`.
pub(crate) fn woods(woods: &[(&Wood, Vec<shortgrain::wood::Value>)], board: &Board) -> String {
    let all: Vec<Value> = woods
        .iter()
        .map(|(wood, all)| {
            json!({
                "name": wood.name(),
                "key": wood.key(),
                "printed_name": wood.printed_name(),
                "botanical": wood.botanical(),
                "class": wood.class().word(),
                "note": wood.note(),
                "values": values(all),
            })
        })
        .collect();
    pretty(&json!({
        "schema": "shortgrain/wood/1",
        "board": { "rings": rings(board.rings), "moisture_pct": number(board.moisture_pct, 3) },
        "woods": all,
    }))
}

fn pretty(answer: &Value) -> String {
    // A value built above has only text keys and finite numbers, so it can always be written.
    format!("{answer:#}\n")
}

fn board(wood: &str, board: &Board) -> Value {
    json!({
        "wood": wood,
        "thickness_mm": number(board.thickness.as_mm(), 6),
        "grain_deg": number(board.grain.as_deg(), 6),
        "rings": rings(board.rings),
        "moisture_pct": number(board.moisture_pct, 3),
    })
}

const fn rings(rings: Rings) -> &'static str {
    match rings {
        Rings::Unknown => "unknown",
        Rings::Flat => "flat",
        Rings::Quarter => "quarter",
        Rings::Rift => "rift",
    }
}

fn values(all: &[shortgrain::wood::Value]) -> Vec<Value> {
    all.iter()
        .map(|value| {
            let mut one = json!({
                "name": value.name,
                "value": number(value.value, 6),
                "unit": value.unit,
                "status": value.status.word(),
                "source": value.source,
            });
            if let Some(note) = &value.note {
                one["note"] = json!(note);
            }
            one
        })
        .collect()
}

fn piece(finding: &Finding, file: &str, loose: &Option<String>) -> Value {
    let mut one = json!({
        "name": finding.name,
        "design": file,
        "bounds_mm": finding.bounds_mm.map(|mm| number(mm, 4)),
        "area_mm2": number(finding.area_mm2, 3),
        "openings": finding.openings,
        "loose": loose.is_some(),
        "verdict": finding.verdict.to_string(),
        "any_breaks": finding.any_breaks.map(|risk| number(risk, 6)),
        "weak_places": finding.places.iter().map(place).collect::<Vec<_>>(),
        "remedies": finding.places.iter().filter_map(remedy).collect::<Vec<_>>(),
        "remarks": words::sentences(Units::Metric, &finding.remarks),
    });
    if let Some(map) = &finding.push_map {
        let point = |(at, point): (Coord<f64>, &PushPoint)| json!({ "at_mm": spot(at), "breaks_at_n": number(point.breaks_at_n, 3), "place": point.place });
        one["push_map"] = json!({
            "spacing_mm": number(map.spacing_mm, 3),
            "points": map.known().map(point).collect::<Vec<_>>(),
            "left_out": map.left_out,
            "unsolved": map.unsolved,
        });
    }
    one
}

fn place(place: &Place) -> Value {
    json!({
        "id": place.id,
        "form": place.form.to_string(),
        "width_mm": number(place.width_mm, 4),
        "neck_mm": number(place.neck_mm, 4),
        "span_mm": number(place.span_mm, 4),
        "crossing_deg": number(place.crossing_deg, 3),
        "at_mm": spot(place.at),
        "face_push": push(&place.face),
        "side_push": push(&place.side),
        "verdict": place.verdict.to_string(),
        "remarks": words::sentences(Units::Metric, &place.remarks),
    })
}

fn push(push: &Push) -> Value {
    let mut one = json!({
        "breaks_at_n": number(push.breaks_at_n, 3),
        "low_n": number(push.low_n, 3),
        "risk": number(push.risk, 6),
        "push_at_mm": spot(push.push_at),
        "mode": push.mode.to_string(),
        "held": held(push.case),
        "closed_form_n": number(push.closed_form_n, 3),
        "closed_form": closed_form(push),
        "break_line_mm": push.break_line.iter().map(|line| line.map(spot)).collect::<Vec<_>>(),
    });
    one["solid"] = push.solved.as_ref().map_or(Value::Null, solid);
    match push.kind {
        PushKind::Face => {
            let back = push.solved.as_ref().is_some_and(|solved| solved.from == Some(Face::Back));
            one["from"] = json!(if back { "back" } else { "face" });
            one["dents_at_n"] = push.dents_at_n.map_or(Value::Null, |n| number(n, 3));
        }
        PushKind::Side => {
            one["direction_deg"] = push.direction_deg.map_or(Value::Null, |deg| number(deg, 3));
        }
    }
    one
}

const fn held(case: Case) -> &'static str {
    match case {
        Case::Place => "place",
        Case::Carried => "carried",
    }
}

/// The push and the line that the closed form's own number is of.
fn closed_form(push: &Push) -> Value {
    let closed = &push.closed_form;
    let mut one = json!({
        "push_at_mm": spot(closed.push_at),
        "mode": closed.mode.to_string(),
        "held": held(closed.case),
        "break_line_mm": closed.break_line.map(spot).to_vec(),
    });
    if push.kind == PushKind::Side {
        one["direction_deg"] = closed.direction_deg.map_or(Value::Null, |deg| number(deg, 3));
    }
    one
}

/// How the solid model came to its answer.
fn solid(solved: &Solved) -> Value {
    let traction = [solved.traction.normal, solved.traction.along, solved.traction.through];
    json!({
        "plane": match solved.family {
            Family::Grain => "grain",
            Family::Fibre => "fibre",
            Family::Glue => "glue",
        },
        "traction_mpa": traction.map(|mpa| number(mpa, 4)).to_vec(),
        "same_forces_n": solved.same_forces_n.map_or(Value::Null, |n| number(n.min(MOST), 3)),
        "why": solved.why().map(cause),
        "why_factors": solved.factors.iter()
            .map(|(why, factor)| (cause(*why).to_owned(), number(factor.min(MOST), 4)))
            .collect::<Map<_, _>>(),
        "part": solved.part.words(),
        "after_crack": solved.after_crack.map(|crack| {
            json!({
                "cracks_at_n": number(crack.cracks_at_n, 3),
                "bears_n": number(crack.bears_n, 3),
                "bears_standing": Standing::Estimate.word(),
            })
        }),
    })
}

const fn cause(why: Why) -> &'static str {
    match why {
        Why::Corner => "corner",
        Why::Twist => "twist",
        Why::NearPush => "near_push",
        Why::Lengthwise => "lengthwise",
        Why::ShortStub => "short_stub",
        Why::Uneven => "uneven",
        Why::SoftNeighbour => "soft_neighbour",
        Why::StiffNeighbour => "stiff_neighbour",
        Why::Elsewhere => "elsewhere",
        Why::NoSection => "no_section",
        Why::Ply => "ply",
    }
}

/// Forces above this, in N, and factors mean: not in this way.
const MOST: f64 = 1e9;

fn remedy(place: &Place) -> Option<Value> {
    let insert = place.insert.as_ref()?;
    let reach = if insert.reaches_goal {
        format!("makes place {} {}", place.id, insert.verdict)
    } else {
        format!(
            "leaves place {} {}, short of sound by {}",
            place.id,
            insert.verdict,
            words::short_by(insert.shortfall)
        )
    };
    Some(json!({
        "kind": "insert",
        "place": place.id,
        "summary": format!(
            "a cross-grain insert {:.1} x {:.1} x {:.1} mm in the back {reach}",
            insert.length_mm, insert.width_mm, insert.depth_mm
        ),
        "reaches_goal": insert.reaches_goal,
        "shortfall": number(insert.shortfall, 4),
        "after": after(insert),
        "insert": self::insert(insert),
        "remarks": words::sentences(Units::Metric, &insert.remarks),
    }))
}

fn insert(insert: &Insert) -> Value {
    let mut found = strip(insert);
    found["depth_mm"] = number(insert.depth_mm, 4);
    found["show_face_mm"] = number(insert.show_face_mm, 4);
    found
}

/// What is laid across a weak place, let in or glued on: all but how thick it is.
fn strip(insert: &Insert) -> Value {
    json!({
        "outline_mm": polygon(&insert.outline),
        "after_piercing_mm": insert.after_piercing.iter().map(polygon).collect::<Vec<_>>(),
        "grain_deg": number(insert.grain_deg, 3),
        "length_mm": number(insert.length_mm, 4),
        "width_mm": number(insert.width_mm, 4),
    })
}

fn after(insert: &Insert) -> Value {
    let mut after = json!({ "verdict": insert.verdict.to_string() });
    for side in &insert.after {
        after[format!("{}_push", side.kind)] = json!({
            "breaks_at_n": number(side.breaks_at_n, 3),
            "low_n": number(side.low_n, 3),
            "risk": number(side.risk, 6),
            "gain": number(side.gain, 4),
            "gives_way": side.gives_way,
        });
    }
    after
}

fn polygon(polygon: &Polygon<f64>) -> Vec<Vec<Value>> {
    let ring = |ring: &LineString<f64>| ring.coords().map(|at| spot(*at)).collect();
    std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(ring).collect()
}

fn spot(at: Coord<f64>) -> Value {
    json!([number(at.x, 4), number(at.y, 4)])
}

/// A number to so many decimals, so that every machine writes the same; `null` when it is none.
pub(crate) fn number(value: f64, decimals: i32) -> Value {
    if !value.is_finite() {
        return Value::Null;
    }
    let scale = 10_f64.powi(decimals);
    let rounded = (value * scale).round() / scale;
    // Beyond what fits, the number itself is as good; adding nought turns -0 into 0.
    json!(if rounded.is_finite() { rounded + 0.0 } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_null() {
        assert_eq!(number(f64::NAN, 3), Value::Null);
        assert_eq!(number(f64::INFINITY, 3), Value::Null);
        assert_eq!(number(-0.000_1, 3).to_string(), "0.0");
        assert_eq!(number(6.399_999_999, 4).to_string(), "6.4");
        assert_eq!(number(1e300, 3).to_string(), "1e+300");
    }
}
