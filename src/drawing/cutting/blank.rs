//! A blank that is glued up of several boards: how large each is sawn, and the page that shows them.

use super::super::words;
use super::pages::{Frame, PIN, drawn_note, grain_note, order};
use super::plan::{Layer, Named, Plan, arrow_about};
use super::{Piece, Ply};
use crate::fit::{Contour, Node};
use crate::shape::plane::{Point, point};
use crate::units::Units;

/// Between two boards on the page, and round them, in mm.
const GAP: f64 = 8.0;
/// From a board's name to its arrow, in mm.
const BELOW: f64 = 5.0;

/// A board of the blank as it is sawn, in the piece's coordinates: a rectangle along its grain with room for the bit and so much wood round the
/// outline, and for as much wood round the pins.
pub(super) struct Sawn<'a> {
    pub(super) ply: &'a Ply,
    /// Length along its grain and width.
    pub(super) size: [f64; 2],
    /// In the piece's coordinates, seen from the face.
    pub(super) outline: Contour,
}

/// Every board of a piece's blank, from the face back; none where it is not glued up.
pub(super) fn sawn(piece: &Piece, web: f64) -> Vec<Sawn<'_>> {
    let (Some(outline), Some(frame)) = (&piece.outline, Frame::of(piece)) else { return Vec::new() };
    let of = |ply: &'_ Ply| {
        let turn = ply.grain.as_rad();
        let grown = |[x0, y0, x1, y1]: [f64; 4], by: f64| [x0 - by, y0 - by, x1 + by, y1 + by];
        let work = grown(outline.turned(-turn).bounds(), ply.bit.as_mm() + web);
        let pins = frame
            .pins()
            .into_iter()
            .map(|pin| grown(Contour::circle(pin - frame.shift, PIN / 2.0).turned(-turn).bounds(), web));
        let all = |a: [f64; 4], b: [f64; 4]| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])];
        let [x0, y0, x1, y1] = pins.fold(work, all);
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
        let outline = Contour::new(corners.map(|(x, y)| Node { at: point(x, y), bulge: 0.0 }).to_vec());
        ([x1 - x0, y1 - y0], outline.turned(turn))
    };
    let sawn = |ply| {
        let (size, outline) = of(ply);
        Sawn { ply, size, outline }
    };
    piece.plies.iter().map(sawn).collect()
}

/// The boards side by side, each as it lies in the piece, the outline in it to look at.
pub(super) fn plan(piece: &Piece, web: f64, units: Units) -> Plan {
    let sawn = sawn(piece, web);
    let sizes: Vec<[f64; 4]> = sawn.iter().map(|one| one.outline.bounds()).collect();
    let wide: f64 = sizes.iter().map(|[x0, _, x1, _]| x1 - x0 + GAP).sum();
    let high = sizes.iter().map(|[_, y0, _, y1]| y1 - y0).fold(0.0, f64::max);
    let mut plan = Plan::new(format!("{}, plies", piece.name), [wide + GAP, high + 2.0 * GAP]);
    plan.notes = vec![
        format!(
            "PLIES of {}, from the face back, each seen from the face: saw each board to its own edge, glue them up, then cut openings and \
             outline through all of them by the page of the face.",
            piece.name
        ),
        "Glue them up in this order in one press between flat cauls, and cut nothing for a day (common practice).".to_owned(),
    ];
    let (mut boards, mut edges, mut openings) = (Vec::new(), Vec::new(), Vec::new());
    let mut left = GAP;
    for (k, (one, [x0, y0, x1, y1])) in sawn.iter().zip(&sizes).enumerate() {
        let shift = point(left - x0, GAP - y0);
        left += x1 - x0 + GAP;
        let name = format!("{} {}", k + 1, one.ply.name);
        boards.push(Named { name: name.clone(), contour: one.outline.moved(shift) });
        if let Some(outline) = &piece.outline {
            let placed = outline.moved(shift);
            edges.push(Named { name: format!("{} in {name}", piece.name), contour: placed.outer });
            let named = |(i, contour)| Named { name: format!("opening {} in {name}", i + 1), contour };
            openings.extend(placed.openings.into_iter().enumerate().map(named));
        }
        let middle = point(f64::midpoint(*x0, *x1), f64::midpoint(*y0, *y1)) + shift;
        let below: Point = middle - point(0.0, BELOW);
        plan.grain.push(arrow_about(below, one.ply.grain.as_rad(), 0.5 * one.size[0].min(one.size[1])));
        plan.notes.push(told(&name, one, units));
        plan.labels.push((middle, name));
    }
    plan.put(Layer::Ply, true, boards);
    plan.put(Layer::Outline, false, edges);
    plan.put(Layer::Opening, false, openings);
    if let Some(one) = sawn.first() {
        plan.notes.push(format!(
            "Each is larger than the piece by a cut of the bit, {}, and {} of wood all round, and holds the registration pins.",
            words::fit_length(units, one.ply.bit.as_mm()),
            words::fit_length(units, web),
        ));
    }
    plan.notes.extend(order(piece));
    plan.notes.push(drawn_note());
    plan
}

/// `1 face ply: sugar maple, 4.75 x 62.70 x 74.00 mm (thickness, width, length along its grain). Its grain: ...`
fn told(name: &str, one: &Sawn<'_>, units: Units) -> String {
    let wood = one.ply.wood.as_ref().map_or_else(String::new, |wood| format!("{wood}, "));
    format!(
        "{name}: {wood}{} x {} x {} (thickness, width, length along its grain). {}",
        words::fit_length(units, one.ply.thickness.as_mm()),
        words::fit_length(units, one.size[1]),
        words::fit_length(units, one.size[0]),
        grain_note("Its grain", one.ply.grain.as_deg()),
    )
}
