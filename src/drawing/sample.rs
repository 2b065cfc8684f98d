//! A made-up finding, for this folder's tests: its numbers are no answer of any check.

use geo_types::{Coord, Polygon};

use crate::check::{
    Case, ClosedForm, Family, Finding, Forces, Form, Insert, InsertSide, Mode, Part, Place, Push, PushKind,
    Solved, Verdict, Working,
};
use crate::shape::Shape;
use crate::strength::{FaceForces, Section, Traction};

fn at(x: f64, y: f64) -> Coord<f64> {
    Coord { x, y }
}

fn ring(points: &[(f64, f64)]) -> geo_types::LineString<f64> {
    geo_types::LineString::new(points.iter().map(|(x, y)| at(*x, *y)).collect())
}

fn slot(x0: f64, y0: f64, x1: f64, y1: f64) -> geo_types::LineString<f64> {
    ring(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
}

/// A plate with pairs of windows, `count` webs of 6 mm between them.
pub(super) fn plate(count: usize) -> Shape {
    let wide = 20.0 + 30.0 * (count as f64 + 1.0);
    let openings = (0..=count).map(|i| {
        let x = 15.0 + 30.0 * i as f64;
        slot(x, 20.0, x + 24.0, 80.0)
    });
    Shape::new(Polygon::new(slot(0.0, 0.0, wide, 100.0), openings.collect())).expect("rings are sound")
}

fn push(kind: PushKind, x: f64, newtons: f64, risk: f64) -> Push {
    let y = if kind == PushKind::Face { 22.0 } else { 26.0 };
    let (push_at, break_line) = (at(x, 50.0), [at(x - 3.0, y), at(x + 3.0, y)]);
    let direction_deg = (kind == PushKind::Side).then_some(0.0);
    let (mode, case) = (Mode::Split, Case::Place);
    Push {
        kind,
        breaks_at_n: newtons,
        low_n: newtons * 0.55,
        risk,
        push_at,
        direction_deg,
        mode,
        solved: None,
        closed_form_n: newtons,
        closed_form: ClosedForm { push_at, direction_deg, mode, case, break_line },
        break_line: vec![break_line],
        dents_at_n: None,
        case,
        section: Section { width: 6.0, thickness: 19.0, crossing: 1.5, turn: 1.0 },
        forces: Forces::Face(FaceForces::default()),
        working: Working::default(),
    }
}

/// An answer of the solid model.
pub(super) fn solved() -> Solved {
    Solved {
        family: Family::Grain,
        along: "an end",
        through: "the face",
        traction: Traction { normal: 4.0, along: 1.0, through: 0.0 },
        same_forces_n: None,
        from: None,
        pad_at: None,
        factors: Vec::new(),
        part: Part::Board,
        parts: Vec::new(),
        after_crack: None,
    }
}

pub(super) fn insert(x: f64) -> Insert {
    let outline = Polygon::new(slot(x - 8.0, 4.0, x + 8.0, 60.0), Vec::new());
    let left = Polygon::new(slot(x - 3.0, 20.0, x + 3.0, 60.0), Vec::new());
    let foot = Polygon::new(slot(x - 8.0, 4.0, x + 8.0, 20.0), Vec::new());
    Insert {
        outline,
        after_piercing: vec![left, foot],
        grain_deg: 90.0,
        depth_mm: 9.5,
        show_face_mm: 9.5,
        length_mm: 56.0,
        width_mm: 16.0,
        after: vec![InsertSide {
            kind: PushKind::Face,
            breaks_at_n: 118.0,
            low_n: 60.0,
            risk: 0.004,
            gain: 3.8,
            gives_way: "floor joint",
        }],
        verdict: Verdict::Careful,
        reaches_goal: false,
        shortfall: 1.2,
        remarks: Vec::new(),
    }
}

/// One place on every web: the first fragile with an insert, the next careful, the rest sound.
pub(super) fn finding(shape: &Shape, count: usize) -> Finding {
    let places: Vec<Place> = (0..count)
        .map(|i| {
            let x = 42.0 + 30.0 * i as f64;
            let verdict = [Verdict::Fragile, Verdict::Careful, Verdict::Sound][i.min(2)];
            Place {
                id: i + 1,
                form: Form::Bridge,
                width_mm: 6.0,
                neck_mm: 6.0,
                span_mm: 60.0,
                crossing_deg: 90.0,
                at: at(x, 50.0),
                run: vec![at(x, 20.0), at(x, 80.0)],
                held: [true, true],
                face: push(PushKind::Face, x, 31.0 + 40.0 * i as f64, 0.8 / (1.0 + 9.0 * i as f64)),
                side: push(PushKind::Side, x - 3.0, 43.0 + 40.0 * i as f64, 0.5 / (1.0 + 9.0 * i as f64)),
                verdict,
                insert: (i == 0).then(|| insert(x)),
                remarks: Vec::new(),
            }
        })
        .collect();
    Finding {
        name: format!("plate with {count} webs"),
        bounds_mm: [0.0, 0.0, 20.0 + 30.0 * (count as f64 + 1.0), 100.0],
        area_mm2: shape.area(),
        openings: count + 1,
        verdict: places.first().map_or(Verdict::Sound, |place| place.verdict),
        places,
        any_breaks: [0.8, 0.9],
        push_map: None,
        remarks: Vec::new(),
    }
}
