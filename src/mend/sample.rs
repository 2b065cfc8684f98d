//! Made-up answers, for this folder's tests.

use geo_types::Coord;

use crate::check::{Case, Forces, Insert, InsertSide, Mode, Push, PushKind, Verdict, Working};
use crate::strength::{FaceForces, Section};

use super::remedy::Strip;

/// A push that breaks at a force; nothing else of it means anything.
pub(super) fn push(kind: PushKind, breaks_at_n: f64) -> Push {
    let at = Coord { x: 0.0, y: 0.0 };
    Push {
        kind,
        breaks_at_n,
        low_n: 0.57 * breaks_at_n,
        risk: 0.5,
        push_at: at,
        direction_deg: None,
        mode: Mode::Split,
        solved: None,
        closed_form_n: breaks_at_n,
        break_line: vec![[at, at]],
        dents_at_n: None,
        case: Case::Place,
        section: Section { width: 6.0, thickness: 19.0, crossing: 1.5, turn: 1.0 },
        forces: Forces::Face(FaceForces::default()),
        working: Working::default(),
    }
}

/// A strip 10 wide along y from its lower left corner.
pub(super) fn strip(place: usize, x: f64, y: f64, length: f64) -> Strip {
    let outline = geo_types::Rect::new(Coord { x, y }, Coord { x: x + 10.0, y: y + length }).to_polygon();
    let side = |kind| InsertSide {
        kind,
        breaks_at_n: 90.0,
        low_n: 50.0,
        risk: 0.02,
        gain: 2.0,
        gives_way: "show face",
    };
    let insert = Insert {
        outline: outline.clone(),
        after_piercing: vec![outline],
        grain_deg: 90.0,
        depth_mm: 6.0,
        show_face_mm: 6.0,
        length_mm: length,
        width_mm: 10.0,
        after: vec![side(PushKind::Face), side(PushKind::Side)],
        verdict: Verdict::Careful,
        reaches_goal: false,
        shortfall: 1.1,
        remarks: Vec::new(),
    };
    Strip { places: vec![place], insert }
}
