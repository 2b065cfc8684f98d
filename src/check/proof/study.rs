//! One case as a solid: held here, pushed there, and the planes on which it may part.

use crate::{
    shape::plane::{Point, distance},
    solid::{Asked, Edge, Face, Held, Influence, Plane, Solid, SolidFault, Sparse, Window},
    strength::{FaceForces, Index, Section, SideForces, Traction, crushing, fibre, splitting},
    wood::Mechanics,
};

use super::{
    super::finding::{Family, PushKind},
    planes::Candidate,
    pushes::Tried,
};

/// The weakest answer to one kind of push, in one case.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weakest {
    /// Index of a push of 1 N.
    pub(super) index: Index,
    /// The plane that parts, as a candidate of the case.
    pub(super) plane: usize,
    /// Where the push acts.
    pub(super) at: Point,
    pub(super) push: Option<Point>,
    pub(super) face: Option<(Face, f64)>,
    pub(super) kind: PushKind,
    pub(super) family: Family,
    /// The traction that decides, and what the whole plane carries: forces square to it, along it and through the
    /// thickness, then moments about its line, about the board's normal, and twisting it. Of a push of 1 N.
    pub(super) traction: Traction,
    pub(super) forces: [f64; 6],
    /// Length of the plane, in mm.
    pub(super) length: f64,
    /// Where on the plane: 0 at its start, 1 its middle, 2 its end; 0 at the back, 1 within, 2 at the face.
    pub(super) window: [u8; 2],
}

/// The mesh may move a line's end onto a corner this near, in mm.
const NEARLY: f64 = 0.1;

/// The closed form's indices of the forces on a plane, as if it were a section of a straight beam.
pub(in super::super) struct Beam {
    pub(in super::super) all: Index,
    /// Of all but the twist, and of the twist alone.
    pub(in super::super) untwisted: Index,
    pub(in super::super) twist: Index,
}

impl Weakest {
    /// The plane as a section square to a straight run that carries the same forces.
    pub(super) fn beam(&self, thickness: f64, wood: &Mechanics) -> Beam {
        let crossing = match self.family {
            Family::Grain => std::f64::consts::FRAC_PI_2,
            Family::Fibre => 0.0,
        };
        let resistance = Section { width: self.length, thickness, crossing, turn: 1.0 }.against(wood);
        let [normal, along, through, bending, turning, torsion] = self.forces;
        // Of a bending moment either edge may be the one that is pulled.
        let worse = |index: &dyn Fn(f64) -> Index| {
            let (one, other) = (index(1.0), index(-1.0));
            if one.value >= other.value { one } else { other }
        };
        let face = |moment: f64, torsion: f64, shear: f64| {
            worse(&|sign| resistance.face(&FaceForces { moment: sign * moment, torsion, shear }))
        };
        match self.kind {
            PushKind::Face => Beam {
                all: face(bending, torsion, through),
                untwisted: face(bending, 0.0, through),
                twist: face(0.0, torsion, 0.0),
            },
            PushKind::Side => {
                let all = worse(&|sign| {
                    resistance.side(&SideForces { moment: sign * turning, normal, shear: along })
                });
                Beam { all, untwisted: all, twist: face(0.0, torsion, 0.0) }
            }
        }
    }
}

/// A plane with the mean tractions on each of its windows.
struct Windowed {
    plane: usize,
    lies: Plane,
    family: Family,
    /// Of each window its place and three parts of traction.
    windows: Vec<([u8; 2], [Asked; 3])>,
    /// The mean over a whole fibre section, for crushing.
    whole: Option<[Asked; 3]>,
    /// What it carries as a whole.
    resultant: [Asked; 6],
}

impl Windowed {
    fn asked(&self) -> impl Iterator<Item = &Asked> {
        let windows = self.windows.iter().flat_map(|(_, parts)| parts);
        self.resultant.iter().chain(windows).chain(self.whole.iter().flatten())
    }
}

/// The planes of a case, ready to be asked.
pub(super) struct Planes {
    windowed: Vec<Windowed>,
}

impl Planes {
    /// Lays the windows on every candidate: at both ends and in the middle, at both faces and within. `chains` are the
    /// candidates' sides in the part's numbers.
    pub(super) fn new(solid: &Solid, candidates: &[Candidate], chains: &[Vec<Edge>]) -> Self {
        let mut windowed = Vec::new();
        for (k, (candidate, chain)) in candidates.iter().zip(chains).enumerate() {
            let layers = u32::try_from(solid.body().layers.len()).expect("few layers");
            let Some(plane) = (!chain.is_empty()).then(|| Plane::new(solid, chain, 0..layers)).flatten()
            else {
                continue;
            };
            // A chain may stop short of the line's far end, where the wood of this case ends.
            let reached =
                [0, 1].map(|e| candidate.free[e] && distance(plane.ends()[e], candidate.line[e]) < NEARLY);
            let along = candidate.window().min(plane.length());
            let [bottom, top] = plane.heights();
            let through = (top - bottom) / 4.0;
            let length = plane.length();
            let mut spans = Vec::new();
            if reached[0] {
                spans.push((0, [0.0, along]));
            }
            if reached[0] == reached[1] {
                spans.push((1, [(length - along) / 2.0, (length + along) / 2.0]));
            }
            if reached[1] {
                spans.push((2, [length - along, length]));
            }
            let levels = [
                (0, [bottom, bottom + through]),
                (1, [(bottom + top - through) / 2.0, (bottom + top + through) / 2.0]),
                (2, [top - through, top]),
            ];
            let mut windows = Vec::new();
            for &(i, along) in &spans {
                for &(j, through) in &levels {
                    windows.push(([i, j], plane.mean(&Window { along, through })));
                }
            }
            let over = Window { along: [0.0, length], through: [bottom, top] };
            let crushed = candidate.family == Family::Fibre && reached == [true, true];
            let whole = crushed.then(|| plane.mean(&over));
            let resultant = plane.resultant(length / 2.0, (bottom + top) / 2.0);
            windowed.push(Windowed {
                plane: k,
                lies: plane,
                family: candidate.family,
                windows,
                whole,
                resultant,
            });
        }
        Self { windowed }
    }

    fn asked(&self) -> impl Iterator<Item = &Asked> {
        self.windowed.iter().flat_map(Windowed::asked)
    }

    /// The weakest answer to a face push and to a side push on planes that `counts` lets in.
    pub(super) fn weakest(
        &self,
        answers: &Answers,
        wood: &Mechanics,
        counts: impl Fn(usize) -> bool,
    ) -> [Option<Weakest>; 2] {
        let mut best: [Option<Weakest>; 2] = [None, None];
        for (l, tried) in answers.tried.iter().enumerate() {
            let mut row = answers.values[l].iter();
            for windowed in &self.windowed {
                let mut part = || row.next().copied().expect("an answer for everything asked");
                let forces: [f64; 6] = std::array::from_fn(|_| part());
                let mut take = || Traction { normal: part(), along: part(), through: part() };
                let mut found = |index: Index, traction: Traction, window: [u8; 2]| {
                    let old = &mut best[tried.kind as usize];
                    // A hair's margin keeps the first of equals.
                    let beats = old.is_none_or(|old| index.value > old.index.value * (1.0 + 1e-9));
                    if counts(windowed.plane) && beats && index.value.is_finite() && index.value > 0.0 {
                        let (at, push, face, kind) = (tried.at, tried.push, tried.face, tried.kind);
                        let (plane, family, length) =
                            (windowed.plane, windowed.family, windowed.lies.length());
                        let new = Weakest {
                            index,
                            plane,
                            at,
                            push,
                            face,
                            kind,
                            family,
                            traction,
                            forces,
                            length,
                            window,
                        };
                        *old = Some(new);
                    }
                };
                for (window, _) in &windowed.windows {
                    let traction = take();
                    let index = match windowed.family {
                        Family::Grain => splitting(traction, wood),
                        Family::Fibre => fibre(traction, wood),
                    };
                    found(index, traction, *window);
                }
                if windowed.whole.is_some() {
                    let traction = take();
                    found(crushing(traction.normal, wood), traction, [1, 1]);
                }
            }
        }
        best
    }
}

/// The values of everything asked under every push.
pub(super) struct Answers<'a> {
    tried: &'a [Tried],
    /// Of each push all values, one after the other.
    values: Vec<Vec<f64>>,
}

impl<'a> Answers<'a> {
    pub(super) fn new(
        solid: &Solid,
        held: &[u32],
        planes: &Planes,
        tried: &'a [Tried],
    ) -> Result<Self, SolidFault> {
        let factor = solid.factor(&Held::over(solid, held))?;
        let loads: Vec<Sparse> = tried.iter().map(|tried| tried.load.forces(solid)).collect();
        let forms: Vec<Sparse> = planes.asked().map(|asked| asked.form.clone()).collect();
        let influence: Influence = factor.influence(&loads, &forms, 1);
        let value = |load: usize| {
            let push = &tried[load].load;
            let taken = planes.windowed.iter().flat_map(|windowed| {
                let share = windowed.lies.share(push);
                windowed.asked().map(move |asked| asked.direct(&share))
            });
            taken.enumerate().map(|(a, taken)| influence.at(a, load) - taken).collect()
        };
        Ok(Self { tried, values: (0..tried.len()).map(value).collect() })
    }
}
