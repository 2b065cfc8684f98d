//! The whole judgement: a shape and its board in, weak places with forces and risks out.
//!
//! The skeleton is cut into stretches across the grain and along it; the piece is taken apart at them; every push
//! that may act is tried on each, with all that may be held; the least that breaks it is reported. Numbers are the closed
//! form's: [`strength`](crate::strength) on straight sections, forces by the statics of `frame`.
//!
//! Another engine plugs in behind the judgement: it needs the break line and the push of each
//! [`Place`] and gives back a [`Traction`](crate::strength::Traction) to hold against the same wood.

mod finding;
mod frame;
mod judge;
mod load;
mod network;
mod options;
mod pad;
mod region;
mod sweep;
mod words;

#[cfg(test)]
mod tests;

pub use crate::strength::{Mode, Working, WorkingLine};
pub use finding::{Case, Finding, Form, Insert, InsertSide, Place, Push, PushKind, Verdict};
pub use load::{PAD_RADIUS, WALL_LENGTH};
pub use options::{Options, Pushes};
pub use sweep::{GrainCut, grain_cuts};

use geo::BoundingRect;
use geo_types::Coord;

use crate::{
    section::{Crossing, Station, Stretch, stretches},
    shape::{
        Shape,
        plane::{direction, distance},
    },
    skeleton::{MeshError, Pruning, Skeleton},
    strength::{
        FRAGILE_RISK, SOUND_RISK, any_breaks, dents_at, explain_face, explain_side, low, risk, variation,
    },
    units::Angle,
    wood::{Board, Mechanics},
};

use judge::{Forces, Judged, On, Role, Worst, judge};
use network::Network;

/// A stretch shorter than this part of its neck is a place only when it breaks easily.
const SHORT: f64 = 0.5;
/// It breaks easily when it needs less than this many times the stated push.
const EASY: f64 = 6.0;

/// Finds the weak places of one piece and judges each.
///
/// # Errors
///
/// [`MeshError`] when the shape's rings touch or cross.
pub fn check(
    name: &str,
    shape: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    options: &Options,
) -> Result<Finding, MeshError> {
    let skeleton = Skeleton::new(shape, &Pruning::default())?;
    let crossing = Crossing { beyond: options.crossing, hysteresis: options.hysteresis };
    let stretches = stretches(&skeleton, board.grain, &crossing);
    let network = Network::new(&skeleton, &stretches);
    let judged = judge(&network, &stretches, board.thickness.as_mm(), wood);

    let grain = board.grain;
    let mut places: Vec<Place> = stretches
        .iter()
        .zip(&judged)
        .filter_map(|(stretch, judged)| place(stretch, judged, grain, wood, pushes))
        .collect();
    places.sort_by(|a, b| {
        let over = |p: &Place| {
            (p.face.breaks_at_n / pushes.face.as_n()).min(p.side.breaks_at_n / pushes.side.as_n())
        };
        let worst = |p: &Place| p.face.risk.max(p.side.risk);
        worst(b)
            .total_cmp(&worst(a))
            .then(over(a).total_cmp(&over(b)))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    for (i, place) in places.iter_mut().enumerate() {
        place.id = i + 1;
    }
    let bounds = shape.polygon().bounding_rect();
    let bounds = bounds.map_or([0.0; 4], |b| [b.min().x, b.min().y, b.max().x, b.max().y]);
    let risks: Vec<f64> = places.iter().map(|p| p.face.risk.max(p.side.risk)).collect();
    Ok(Finding {
        name: name.to_owned(),
        bounds_mm: bounds,
        area_mm2: shape.area(),
        openings: shape.polygon().interiors().len(),
        verdict: places.iter().map(|place| place.verdict).max().unwrap_or(Verdict::Sound),
        any_breaks: any_breaks(&risks),
        remarks: Vec::new(),
        places,
    })
}

/// The verdict for a risk.
pub fn verdict(risk: f64) -> Verdict {
    if risk < SOUND_RISK {
        Verdict::Sound
    } else if risk <= FRAGILE_RISK {
        Verdict::Careful
    } else {
        Verdict::Fragile
    }
}

fn place(
    stretch: &Stretch,
    judged: &Judged,
    grain: Angle,
    wood: &Mechanics,
    pushes: &Pushes,
) -> Option<Place> {
    let [Some(face), Some(side)] = judged.worst else { return None };
    let span = stretch.span();
    let easy = 1.0 / face.index.value < EASY * pushes.face.as_n()
        || 1.0 / side.index.value < EASY * pushes.side.as_n();
    if stretch.crosses && span < SHORT * stretch.neck && !easy {
        return None;
    }
    let form = match (stretch.crosses, judged.role) {
        (false, _) => Form::Along,
        (true, Role::Bridge) if [face, side].iter().any(|w| w.on == On::Island) => Form::Island,
        (true, Role::Bridge) => Form::Bridge,
        (true, Role::Arm { .. } | Role::Whole) => Form::Arm,
    };
    let governing = if face.index.value * pushes.face.as_n() >= side.index.value * pushes.side.as_n() {
        &face
    } else {
        &side
    };
    let crossing_deg = judged.stations[governing.joint].crossing.to_degrees();
    let face = push(&face, PushKind::Face, stretch, judged, grain, wood, pushes);
    let side = push(&side, PushKind::Side, stretch, judged, grain, wood, pushes);
    let verdict = verdict(face.risk).max(verdict(side.risk));
    Some(Place {
        id: 0,
        form,
        width_mm: stretch.width(),
        neck_mm: stretch.neck,
        span_mm: span,
        crossing_deg,
        at: stretch.neck_at,
        run: stretch.stations.iter().map(|s| s.at).collect(),
        remarks: remarks(stretch, judged, form),
        face,
        side,
        verdict,
        insert: None,
    })
}

fn remarks(stretch: &Stretch, judged: &Judged, form: Form) -> Vec<String> {
    let mut remarks = Vec::new();
    let shared = |kind: PushKind| judged.worst[kind as usize].is_some_and(|worst| worst.on != On::Own);
    let which = match (shared(PushKind::Face), shared(PushKind::Side)) {
        (true, true) => Some("both pushes are"),
        (true, false) => Some("the face push is"),
        (false, true) => Some("the side push is"),
        (false, false) => None,
    };
    if let Some(which) = which {
        let what = if form == Form::Island { "the island" } else { "the wood" };
        remarks.push(format!("{which} worst on {what} it carries together with other places"));
    }
    if judged.role == Role::Whole {
        remarks.push("it is the whole piece: one half is held, the other pushed".to_owned());
    }
    if judged.role == Role::Bridge && stretch.crosses && stretch.span() < stretch.neck {
        remarks.push(
            "it is shorter than wide, so its numbers depend on how the wood at its ends is held".to_owned(),
        );
    }
    remarks
}

fn push(
    worst: &Worst,
    kind: PushKind,
    stretch: &Stretch,
    judged: &Judged,
    grain: Angle,
    wood: &Mechanics,
    pushes: &Pushes,
) -> Push {
    let stated = match kind {
        PushKind::Face => pushes.face.as_n(),
        PushKind::Side => pushes.side.as_n(),
    };
    let breaks_at = worst.index.breaks_at();
    let spread = variation(&worst.index.shares, wood);
    let section = &judged.chain.stations[worst.joint].section;
    let lines = match &worst.forces {
        Forces::Face(forces) => explain_face(section, forces, wood),
        Forces::Side(forces) => explain_side(section, forces, wood),
    };
    Push {
        kind,
        breaks_at_n: breaks_at,
        low_n: low(breaks_at, spread),
        risk: risk(stated, breaks_at, spread),
        push_at: worst.at,
        direction_deg: worst.push.map(|p| p.y.atan2(p.x).to_degrees()),
        mode: worst.index.mode,
        closed_form_n: breaks_at,
        break_line: vec![break_line(&judged.stations[worst.joint], worst.index.mode, stretch.span(), grain)],
        dents_at_n: if kind == PushKind::Face { dents_at(worst.area, wood) } else { None },
        case: worst.case,
        working: Working { lines },
    }
}

/// The line that parts: along the grain, or square across the fibres where they break.
fn break_line(station: &Station, mode: Mode, span: f64, grain: Angle) -> [Coord<f64>; 2] {
    if mode == Mode::Fibre || station.crossing < 0.05 {
        return station.square.map(|wall| wall.at);
    }
    let line = station.grain_line.map(|wall| wall.at);
    // Where the line runs on into the wood that is held, only the place's own part of it counts.
    let (sin, cos) = station.crossing.sin_cos();
    let own = (station.width / sin).min(span / cos.max(1e-9));
    if distance(line[0], line[1]) <= 1.05 * own.max(station.width) {
        return line;
    }
    let along = direction(grain.as_rad());
    let half = own.max(station.width / sin) / 2.0;
    [(-1.0, line[0]), (1.0, line[1])].map(|(sign, wall)| {
        let reach = half.min(distance(wall, station.at));
        station.at + along * (sign * reach)
    })
}
