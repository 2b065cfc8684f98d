//! One case as a solid: held here, pushed there, and the planes on which it may part.

use crate::{
    shape::plane::{Point, distance},
    solid::{Asked, Edge, Face, Held, Influence, Plane, Solid, SolidFault, Sparse, Window},
    strength::{FaceForces, Index, SHEAR_WINDOW, Section, SideForces, Traction, crushing, fibre, splitting},
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
    one_layer: bool,
}

impl Windowed {
    fn asked(&self) -> impl Iterator<Item = &Asked> {
        let windows = self.windows.iter().flat_map(|(_, parts)| parts);
        self.resultant.iter().chain(windows).chain(self.whole.iter().flatten())
    }

    fn index(&self, traction: Traction, wood: &Mechanics) -> Index {
        match self.family {
            Family::Grain => splitting(traction, wood),
            Family::Fibre => fibre(traction, wood),
        }
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
                one_layer: layers == 1,
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
        self.each(answers, wood, |l, seen| {
            let Tried { kind, at, push, face, .. } = answers.tried[l];
            let old = &mut best[kind as usize];
            // A hair's margin keeps the first of equals.
            let beats = old.is_none_or(|old| seen.index.value > old.index.value * (1.0 + 1e-9));
            if counts(seen.windowed.plane) && beats && seen.index.value.is_finite() && seen.index.value > 0.0
            {
                let Seen { windowed, forces, traction, index, window } = seen;
                let (plane, family, length) = (windowed.plane, windowed.family, windowed.lies.length());
                *old = Some(Weakest {
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
                });
            }
        });
        best
    }

    /// The greatest index on each of so many candidates under each push, candidate by candidate. One layer of elements
    /// shears evenly through the thickness; wood shears most in its middle, and that is made up for here.
    pub(super) fn peaks(&self, answers: &Answers, wood: &Mechanics, candidates: usize) -> Vec<Vec<f64>> {
        let mut peaks = vec![vec![0.0; answers.tried.len()]; candidates];
        let one_layer = self.windowed.first().is_some_and(|windowed| windowed.one_layer);
        self.each(answers, wood, |l, seen| {
            let middle = one_layer && seen.window[1] == 1;
            let traction = Traction {
                through: seen.traction.through * if middle { SHEAR_WINDOW } else { 1.0 },
                ..seen.traction
            };
            let index = if middle { seen.windowed.index(traction, wood) } else { seen.index };
            let peak: &mut f64 = &mut peaks[seen.windowed.plane][l];
            *peak = peak.max(index.value);
        });
        peaks
    }

    /// Shows every window's index under every push, with the push's number.
    fn each(&self, answers: &Answers, wood: &Mechanics, mut see: impl FnMut(usize, Seen<'_>)) {
        for (l, values) in answers.values.iter().enumerate() {
            let mut row = values.iter();
            for windowed in &self.windowed {
                let mut part = || row.next().copied().expect("an answer for everything asked");
                let forces: [f64; 6] = std::array::from_fn(|_| part());
                let mut take = || Traction { normal: part(), along: part(), through: part() };
                for (window, _) in &windowed.windows {
                    let traction = take();
                    let index = windowed.index(traction, wood);
                    see(l, Seen { windowed, forces, traction, index, window: *window });
                }
                if windowed.whole.is_some() {
                    let traction = take();
                    let index = crushing(traction.normal, wood);
                    see(l, Seen { windowed, forces, traction, index, window: [1, 1] });
                }
            }
        }
    }
}

/// The traction on a window under one push.
struct Seen<'a> {
    windowed: &'a Windowed,
    forces: [f64; 6],
    traction: Traction,
    index: Index,
    window: [u8; 2],
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
