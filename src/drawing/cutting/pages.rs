//! What stands on each page: the face, the back with its pockets, strips and the coupon; and where a piece lies on its pages.

use super::super::words;
use super::plan::{Layer, Named, Plan, arrow_about, whole};
use super::{Piece, strip};
use crate::fit::{Contour, Fit, Outline};
use crate::shape::plane::{Point, point};
use crate::units::Units;

/// Diameter of a pin's hole, in mm.
pub(super) const PIN: f64 = 6.0;
/// From the piece to a pin's middle.
const TO_PIN: f64 = 12.0;
/// From a pin's middle, or from a pocket alone, to the edge of the page.
const RIM: f64 = 8.0;

/// Where a piece lies on its pages; face and back share it.
pub(super) struct Frame {
    /// Width and height of the page.
    pub(super) size: [f64; 2],
    /// From the piece's coordinates to the page's.
    pub(super) shift: Point,
    /// The piece's, in its own coordinates.
    pub(super) bounds: [f64; 4],
    pinned: bool,
}

impl Frame {
    pub(super) fn of(piece: &Piece) -> Option<Self> {
        let bounds @ [x0, y0, x1, y1] = piece.bounds()?;
        let pinned = piece.outline.is_some();
        let margin = if pinned { TO_PIN + RIM } else { RIM };
        let size = [x1 - x0 + 2.0 * margin, y1 - y0 + 2.0 * margin];
        Some(Self { size, shift: point(margin - x0, margin - y0), bounds, pinned })
    }

    /// The middles of the two pins: on the longer middle line of the page, outside the piece. Turning the board over about the
    /// upright middle line puts each hole on the other's pin, or on its own.
    pub(super) fn pins(&self) -> Vec<Point> {
        let [width, height] = self.size;
        let [x, y] = [width / 2.0, height / 2.0];
        match self.pinned {
            false => Vec::new(),
            true if width >= height => vec![point(RIM, y), point(width - RIM, y)],
            true => vec![point(x, RIM), point(x, height - RIM)],
        }
    }

    pub(super) fn marks(&self) -> Vec<Named> {
        let mark = |(i, at): (usize, Point)| Named {
            name: format!("pin {}", i + 1),
            contour: Contour::circle(at, PIN / 2.0),
        };
        self.pins().into_iter().enumerate().map(mark).collect()
    }

    /// A contour's place on the face's page or, mirrored, on the back's.
    pub(super) fn place(&self, outline: &Outline, from_back: bool) -> Outline {
        let placed = outline.moved(self.shift);
        if from_back { placed.mirrored(self.size[0] / 2.0) } else { placed }
    }
}

/// Outline and openings, seen from the face.
pub(super) fn face(piece: &Piece, frame: &Frame, units: Units) -> Plan {
    let mut plan = Plan::new(format!("{}, face", piece.name), frame.size);
    if let Some(outline) = &piece.outline {
        edges(&mut plan, piece, &frame.place(outline, false), true);
    }
    plan.put(Layer::Pin, true, frame.marks());
    plan.grain.push(arrow_about(beside(frame), piece.grain.as_rad(), ASIDE));
    plan.notes = vec![
        format!("FACE of {}{}.", piece.name, board(piece, units)),
        grain_note(
            if piece.plies.is_empty() { "Grain of the board" } else { "Grain of the face" },
            piece.grain.as_deg(),
        ),
        pin_note(units),
        drawn_note(),
    ];
    plan.notes.extend(order(piece));
    for (k, step) in piece.steps.iter().enumerate() {
        let spot = |at: &Point| (*at + frame.shift, format!("step {}", k + 1));
        plan.labels.extend(step.openings.iter().map(spot));
    }
    plan
}

/// A line for each step.
pub(super) fn order(piece: &Piece) -> impl Iterator<Item = String> {
    let heading = (!piece.steps.is_empty()).then(|| "Order of cuts:".to_owned());
    let steps = piece.steps.iter().enumerate().map(|(k, step)| format!("{}. {}.", k + 1, step.labelled));
    heading.into_iter().chain(steps)
}

/// The pockets, seen from the back, with the piece's edges to look at.
pub(super) fn back(piece: &Piece, frame: &Frame, units: Units) -> Plan {
    let mut plan = Plan::new(format!("{}, back", piece.name), frame.size);
    if let Some(outline) = &piece.outline {
        edges(&mut plan, piece, &frame.place(outline, true), false);
    }
    let mut pockets = Vec::new();
    let line = words::fit_length(units, frame.size[0] / 2.0);
    plan.notes = vec![
        format!("BACK of {}{}, seen from the back.", piece.name, board(piece, units)),
        format!(
            "Mirrored about the upright line {line} from the left edge of the page: turn the board over like a page."
        ),
    ];
    for (i, pocket) in piece.pockets.iter().enumerate() {
        let placed = frame.place(&pocket.fit.pocket, true);
        let [x0, y0, x1, y1] = placed.bounds();
        let at = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        let options = &pocket.fit.options;
        let depth = words::fit_length(units, options.depth.as_mm());
        plan.labels.push((at, format!("{} deep {depth}", i + 1)));
        plan.grain.push(arrow_about(
            at,
            -pocket.fit.grain.as_rad(),
            0.5 * pocket.fit.insert_size()[0].as_mm(),
        ));
        plan.notes.push(format!(
            "Pocket {}: {depth} deep, bit {}. {}",
            i + 1,
            words::fit_length(units, options.pocket_bit.as_mm()),
            grain_note("Grain of its insert", -pocket.fit.grain.as_deg()),
        ));
        pockets.extend(whole(&format!("pocket {}", i + 1), &placed));
    }
    let mut glued = Vec::new();
    for (i, backer) in piece.backers.iter().enumerate() {
        let placed = frame.place(&backer.outline, true);
        let [x0, y0, x1, y1] = placed.bounds();
        let at = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        let thick = words::size(units, backer.thickness.as_mm());
        let [u0, _, u1, _] = backer.outline.turned(-backer.grain.as_rad()).bounds();
        plan.labels.push((at, format!("backer {}, {thick} thick", i + 1)));
        plan.grain.push(arrow_about(at, -backer.grain.as_rad(), 0.5 * (u1 - u0)));
        plan.notes.push(format!(
            "Backer {}: glued onto the back here, {thick} thick, before anything is pierced. {}",
            i + 1,
            grain_note("Its grain", -backer.grain.as_deg()),
        ));
        glued.extend(whole(&format!("backer {}", i + 1), &placed));
    }
    plan.notes.extend(order(piece));
    plan.put(Layer::PocketBack, true, pockets);
    plan.put(Layer::Backer, false, glued);
    plan.put(Layer::Pin, true, frame.marks());
    if piece.outline.is_some() {
        plan.grain.push(arrow_about(beside(frame), -piece.grain.as_rad(), ASIDE));
        plan.notes.push(grain_note("Grain of the board", -piece.grain.as_deg()));
    }
    if frame.pinned {
        plan.notes.push(pin_note(units));
    }
    plan.notes.push(drawn_note());
    plan
}

/// A piece's outline and openings on their layers.
fn edges(plan: &mut Plan, piece: &Piece, placed: &Outline, is_cut: bool) {
    let outer = Named { name: piece.name.clone(), contour: placed.outer.clone() };
    plan.put(Layer::Outline, is_cut, vec![outer]);
    let opening = |(i, contour): (usize, &Contour)| Named {
        name: format!("{} opening {}", piece.name, i + 1),
        contour: contour.clone(),
    };
    plan.put(Layer::Opening, is_cut, placed.openings.iter().enumerate().map(opening).collect());
}

/// Inserts, or boards for backs, on a strip.
pub(super) fn strip_plan(strip: &strip::Strip, layer: Layer, name: &str, units: Units) -> Plan {
    let [length, width] = strip.size;
    let [one, all, show] = match layer {
        Layer::Backer => ["backer", "BACKERS", "the side up that will show; they are pierced with the piece"],
        _ => ["insert", "INSERTS", "the side up that will show on the back"],
    };
    let mut plan = Plan::new(format!("{name}, {one}s"), strip.size);
    let mut laid = Vec::new();
    for (i, (outline, owner)) in strip.laid.iter().enumerate() {
        laid.extend(whole(&format!("{one} {}", i + 1), outline));
        let [x0, y0, x1, y1] = outline.bounds();
        let at = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        plan.labels.push((at, format!("{} {owner}", i + 1)));
    }
    plan.put(layer, true, laid);
    plan.put(
        Layer::Note,
        false,
        vec![Named { name: "strip".to_owned(), contour: rectangle([length, width]) }],
    );
    plan.grain.push(arrow_about(point(length / 2.0, width / 2.0), 0.0, length * 0.6));
    let wood = strip.wood.as_ref().map_or_else(String::new, |wood| format!(" of {wood}"));
    plan.notes = vec![
        format!(
            "{all}{wood}, seen from the back: cut them with {show}. Strip {} x {} x {} (length along the grain, width, thickness), \
             bit {}.",
            words::fit_length(units, length),
            words::fit_length(units, width),
            words::fit_length(units, strip.thickness_mm),
            words::fit_length(units, strip.bit_mm),
        ),
        grain_note("Grain of the strip", 0.0),
        drawn_note(),
    ];
    plan
}

/// Wood left round the coupon's pocket, in mm.
const COUPON_RIM: f64 = 15.0;

/// A block of scrap with the small pocket, and beside it the small insert.
pub(super) fn coupon_plan(coupon: &Fit, name: &str, units: Units) -> Plan {
    let [x0, y0, x1, y1] = coupon.pocket.bounds();
    let block = [x1 - x0 + 2.0 * COUPON_RIM, y1 - y0 + 2.0 * COUPON_RIM];
    let [u0, v0, u1, v1] = coupon.insert.bounds();
    let beside = block[0] + 2.0 * coupon.options.insert_bit.as_mm() + COUPON_RIM;
    let mut plan = Plan::new(format!("{name}, coupon"), [beside + u1 - u0 + COUPON_RIM, block[1]]);
    plan.put(
        Layer::PocketBack,
        true,
        whole("coupon pocket", &coupon.pocket.moved(point(COUPON_RIM - x0, COUPON_RIM - y0))),
    );
    let up = (block[1] - (v1 - v0)) / 2.0;
    plan.put(Layer::Insert, true, whole("coupon insert", &coupon.insert.moved(point(beside - u0, up - v0))));
    plan.put(Layer::Note, false, vec![Named { name: "block".to_owned(), contour: rectangle(block) }]);
    plan.notes = vec![
        "COUPON: cut both on scrap of the same board and try the fit before the real ones.".to_owned(),
        format!(
            "Pocket {} deep, bit {}; insert {} thick, bit {}; clearance {} a side.",
            words::fit_length(units, coupon.options.depth.as_mm()),
            words::fit_length(units, coupon.options.pocket_bit.as_mm()),
            words::fit_length(units, coupon.insert_thickness().as_mm()),
            words::fit_length(units, coupon.options.insert_bit.as_mm()),
            words::fit_length(units, coupon.options.clearance.as_mm()),
        ),
        drawn_note(),
    ];
    plan
}

fn rectangle([width, height]: [f64; 2]) -> Contour {
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    Contour::new(corners.map(|(x, y)| crate::fit::Node { at: point(x, y), bulge: 0.0 }).to_vec())
}

/// Length of the arrow beside a piece, in mm, and where its middle lies: in the lower left corner of the page, off the work.
const ASIDE: f64 = 12.0;

fn beside(frame: &Frame) -> Point {
    let [x0, y0, ..] = frame.bounds;
    point(x0 - 10.0, y0 - 10.0) + frame.shift
}

/// What a file says of the board, after the piece's name.
fn board(piece: &Piece, units: Units) -> String {
    let mut text = String::new();
    if let Some(wood) = &piece.wood {
        text.push_str(&format!(", {wood}"));
    }
    if let Some(thickness) = piece.thickness {
        text.push_str(&format!(", {} thick", words::size(units, thickness.as_mm())));
    }
    if !piece.plies.is_empty() {
        text.push_str(&format!(", glued up of {} layers", piece.plies.len()));
    }
    text
}

/// What the coordinates of a page are.
pub(super) fn drawn_note() -> String {
    "Drawn in millimetres at true size; zero is the lower left corner of the page.".to_owned()
}

pub(super) fn grain_note(what: &str, degrees: f64) -> String {
    // Adding nought turns -0 into 0; a half turn is no turn, also after rounding.
    let degrees = (degrees.rem_euclid(180.0) * 10.0).round() / 10.0 % 180.0 + 0.0;
    if degrees == 0.0 {
        return format!("{what}: left to right on this page.");
    }
    format!("{what}: {degrees} degrees anticlockwise from left to right on this page.")
}

fn pin_note(units: Units) -> String {
    format!("Two registration pins of {}, the same holes from both sides.", words::fit_length(units, PIN))
}
