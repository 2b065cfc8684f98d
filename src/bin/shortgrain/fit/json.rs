//! The answer of `fit` as JSON, always metric.

use serde_json::{Value, json};
use shortgrain::fit::{Contour, Corners, Options, Outline};
use shortgrain::units::Length;

use super::{Fitted, report};
use crate::json::number;

/// The whole answer.
pub(super) fn written(fitted: &[Fitted], files: &[String]) -> String {
    let Some(first) = fitted.first() else { return String::new() };
    let answer = json!({
        "schema": "shortgrain/fit/1",
        "made_with": made_with(&first.fit.options),
        "fits": fitted.iter().map(one).collect::<Vec<_>>(),
        "files": files,
        "cautions": report::cautions(fitted),
    });
    format!("{answer:#}\n")
}

/// What inserts and pockets are made with.
pub(crate) fn made_with(options: &Options) -> Value {
    let [least, most] = options.glue.clearance();
    json!({
        "clearance_mm": mm(options.clearance),
        "pocket_bit_mm": mm(options.pocket_bit),
        "insert_bit_mm": mm(options.insert_bit),
        "corners": match options.corners {
            Corners::Round => "round",
            Corners::Ends => "ends",
            Corners::Relieved => "relieved",
        },
        "proud_mm": mm(options.proud),
        "thickness_mm": options.board.map(mm),
        "glue": {
            "name": options.glue.name(),
            "least_clearance_mm": mm(least),
            "most_clearance_mm": mm(most),
            "from": "the most as glue makers print it; the rest common practice",
        },
    })
}

fn one(fitted: &Fitted) -> Value {
    let fit = &fitted.fit;
    let part = |outline: &Outline, [length, width]: [Length; 2]| {
        json!({
            "length_mm": mm(length),
            "width_mm": mm(width),
            "area_mm2": number(outline.area(), 4),
            "contours_mm": outline.contours().map(contour).collect::<Vec<_>>(),
        })
    };
    let mut insert = part(&fit.insert, fit.insert_size());
    insert["thickness_mm"] = mm(fit.insert_thickness());
    let mut pocket = part(&fit.pocket, fit.pocket_size());
    pocket["depth_mm"] = mm(fit.options.depth);
    pocket["reliefs"] = json!(fit.reliefs);
    json!({
        "name": fitted.name,
        "design": fitted.design,
        "grain_deg": number(fit.grain.as_deg(), 4),
        "insert": insert,
        "pocket": pocket,
        "cut_back_mm": number(fit.rounded.cut_back_mm, 4),
        "filled_mm": number(fit.rounded.filled_mm, 4),
        "show_face_mm": fit.show_face().map(mm),
        "careful": !fit.cautions.is_empty(),
    })
}

/// `[x, y, bulge]` for each node: the segment from there to the next, the last one's to the first.
fn contour(contour: &Contour) -> Value {
    let node = |node: &shortgrain::fit::Node| {
        json!([number(node.at.x, 6), number(node.at.y, 6), number(node.bulge, 10)])
    };
    contour.nodes().iter().map(node).collect()
}

fn mm(length: Length) -> Value {
    number(length.as_mm(), 6)
}
