//! The answer of `turn` as JSON.

use serde_json::{Value, json};
use shortgrain::drawing::words;
use shortgrain::mend::{AtAngle, ProvedAngle, Turn};

use super::{judged, number, piece, spot};
use crate::turn::Turned;

/// The answer of `turn`.
pub(crate) fn turn(turned: &[Turned]) -> String {
    let pieces = turned.iter().flat_map(|one| {
        let pieces = one.given.design.pieces.iter().zip(&one.turns);
        pieces.map(|(piece, turn)| of_piece(&piece.name, &one.given.file, turn))
    });
    let found = json!({
        "numbers": {
            "angles": "closed form",
            "present, best, worst": "solid model, with the closed form beside it",
            "flat_deg, spread, always_crossing_deg": "closed form",
            "gain": "solid model",
        },
        "pieces": pieces.collect::<Vec<_>>(),
    });
    judged("turn", turned.iter().map(|one| &one.given), &[], found)
}

fn of_piece(name: &str, file: &str, turn: &Turn) -> Value {
    json!({
        "name": name,
        "design": file,
        "best_deg": number(turn.best.closed_form.deg, 3),
        "turning_is_enough": turn.turning.is_enough(),
        "turning": turn.turning.word(),
        "summary": words::turning(turn),
        "turn_by_deg": number(turn.by_deg(), 3),
        "gain": number(turn.gain, 4),
        "spread": number(turn.spread, 4),
        "flat_deg": turn.flat_deg.map(|deg| number(deg, 2)),
        "always_crossing_deg": number(turn.always_crossing_deg, 3),
        "present": proved(&turn.present, name, file),
        "best": proved(&turn.best, name, file),
        "worst": proved(&turn.worst, name, file),
        "angles": turn.angles.iter().map(angle).collect::<Vec<_>>(),
    })
}

/// An angle with both answers, and all that was found there.
fn proved(proved: &ProvedAngle, name: &str, file: &str) -> Value {
    let mut one = angle(&proved.proved);
    one["closed_form"] = angle(&proved.closed_form);
    let finding = shortgrain::check::Finding { name: name.to_owned(), ..proved.finding.clone() };
    one["piece"] = piece(&finding, file, &None);
    one
}

fn angle(angle: &AtAngle) -> Value {
    let weakest = angle.weakest;
    json!({
        "deg": number(angle.deg, 3),
        "weakest_n": weakest.map_or(Value::Null, |weakest| number(weakest.breaks_at_n, 3)),
        "over_push": number(angle.over, 4),
        "push": weakest.map(|weakest| weakest.kind.to_string()),
        "weak_place_at_mm": weakest.map_or(Value::Null, |weakest| spot(weakest.at)),
        "form": weakest.map(|weakest| weakest.form.to_string()),
        "crossing_deg": weakest.map_or(Value::Null, |weakest| number(weakest.crossing_deg, 3)),
        "verdict": angle.verdict.to_string(),
    })
}
