//! Made-up answers, for this folder's tests.

use geo_types::Coord;

use crate::check::{Case, Forces, Mode, Push, PushKind, Working};
use crate::strength::{FaceForces, Section};

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
