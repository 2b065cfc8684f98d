//! Made-up answers, for this folder's tests.

use geo_types::{Coord, Polygon};

use crate::check::{
    self, Finding, Forces, Insert, InsertSide, Mode, Options, Prepared, Push, PushKind, Pushes, Verdict,
    Working,
};
use crate::shape::Shape;
use crate::strength::{FaceForces, Section, tests::cherry};
use crate::units::{Angle, Force, Length, Units};
use crate::wood::{Board, Mechanics, OwnValues, Rings, Wood};

use super::goal::Goal;
use super::patient::{Patient, Ward};
use super::remedy::{Change, Kind, Remedy, Standing, Strip};

/// A piece with all that a patient has: cherry 12 mm thick, flat-sawn, its grain along x, pushed by 45 N, judged by the closed form.
pub(crate) struct Case {
    pub(crate) shape: Shape,
    pub(crate) board: Board,
    pub(crate) own: OwnValues,
    pub(crate) mechanics: Mechanics,
    pub(crate) pushes: Pushes,
}

impl Case {
    pub(crate) fn of(piece: Polygon<f64>) -> Self {
        Self {
            shape: Shape::new(piece).expect("a shape"),
            board: Board {
                thickness: Length::mm(12.0),
                grain: Angle::deg(0.0),
                rings: Rings::Flat,
                moisture_pct: 12.0,
            },
            own: OwnValues::none(),
            mechanics: cherry(),
            pushes: Pushes { face: Force::n(45.0), side: Force::n(45.0) },
        }
    }

    pub(crate) fn patient(&self) -> Patient<'_> {
        Patient {
            name: "piece",
            shape: &self.shape,
            board: &self.board,
            wood: Wood::find("cherry").expect("a known wood"),
            own: &self.own,
            mechanics: &self.mechanics,
            pushes: &self.pushes,
            units: Units::Metric,
            goal: Goal::Sound,
            check: Options { solid: false, ..Options::default() },
        }
    }

    pub(super) fn ward(&self) -> Ward<'_> {
        Ward::new(self.patient(), Prepared::new(&self.shape).expect("a skeleton"))
    }

    /// What is found on it as it is.
    pub(super) fn found(&self) -> Finding {
        self.ward().before
    }
}

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
        closed_form: check::ClosedForm {
            push_at: at,
            direction_deg: None,
            mode: Mode::Split,
            case: check::Case::Place,
            break_line: [at, at],
        },
        break_line: vec![[at, at]],
        dents_at_n: None,
        case: check::Case::Place,
        section: Section { width: 6.0, thickness: 19.0, crossing: 1.5, turn: 1.0 },
        forces: Forces::Face(FaceForces::default()),
        working: Working::default(),
    }
}

/// A remedy that may do; nothing is done.
pub(crate) fn remedy(kind: Kind, standing: Standing, reaches_goal: bool) -> Remedy {
    Remedy {
        kind,
        change: Change::None,
        after: None,
        standing,
        reaches_goal,
        shortfall: None,
        gain: None,
        empty_pockets: None,
        seasons: None,
        lost: Vec::new(),
        order: Vec::new(),
        remarks: Vec::new(),
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
