//! The answers of a case: every window under every push, and the weakest of them.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    shape::plane::Point,
    solid::{Asked, Face, Held, Influence, Solid, SolidFault, Sparse},
    strength::{FaceForces, Index, SHEAR_WINDOW, Section, SideForces, Traction, crushing},
    wood::Mechanics,
};

use super::{
    super::{
        finding::{Family, PushKind},
        ply::Part,
    },
    jobs::Spot,
    pushes::Tried,
    windows::{Surface, Windowed},
};

/// The weakest answer to one kind of push, in one case.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weakest {
    /// Index of a push of 1 N.
    pub(super) index: Index,
    /// The plane that parts, as a candidate of the case, and what it belongs to.
    pub(super) plane: usize,
    pub(super) part: Part,
    /// Where the push acts, and for a face push the pad's centre.
    pub(super) at: Point,
    pub(super) centre: Option<Point>,
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

/// The closed form's indices of the forces on a plane, as if it were a section of a straight beam.
pub(in super::super) struct Beam {
    pub(in super::super) all: Index,
    /// Of all but the twist, and of the twist alone.
    pub(in super::super) untwisted: Index,
    pub(in super::super) twist: Index,
}

impl Weakest {
    /// The push.
    pub(super) fn spot(&self) -> Spot {
        Spot { kind: self.kind, face: self.face.map(|(face, _)| face), at: self.at }
    }

    /// The plane as a section square to a straight run that carries the same forces.
    pub(super) fn beam(&self, thickness: f64, wood: &Mechanics) -> Beam {
        let crossing = match self.family {
            Family::Grain => std::f64::consts::FRAC_PI_2,
            Family::Fibre | Family::Glue => 0.0,
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

/// The planes of a case, ready to be asked.
pub(super) struct Planes {
    pub(super) windowed: Vec<Windowed>,
}

impl Planes {
    fn asked(&self) -> impl Iterator<Item = &Asked> {
        self.windowed.iter().flat_map(Windowed::asked)
    }

    /// The weakest answer to a face push and to a side push, by what a plane belongs to and by what gives way.
    pub(super) fn weakest<K: Ord>(
        &self,
        answers: &Answers,
        owner: impl Fn(usize) -> K,
    ) -> BTreeMap<(K, Part), [Option<Weakest>; 2]> {
        let key = |windowed: &Windowed| (owner(windowed.plane), windowed.part);
        let mut best: BTreeMap<(K, Part), [Option<Weakest>; 2]> =
            self.windowed.iter().map(|windowed| (key(windowed), [None, None])).collect();
        // Every window under every push comes by: each plane's place in the map is looked up once.
        let places: Vec<usize> =
            self.windowed.iter().map(|windowed| best.range(..key(windowed)).count()).collect();
        let mut found: Vec<&mut [Option<Weakest>; 2]> = best.values_mut().collect();
        self.each(answers, |l, seen| {
            let Tried { kind, at, centre, push, face, .. } = answers.tried[l];
            let Seen { number, windowed, forces, traction, index, window } = seen;
            let old = &mut found[places[number]][kind as usize];
            // A hair's margin keeps the first of equals.
            let beats = old.is_none_or(|old| index.value > old.index.value * (1.0 + 1e-9));
            if beats && index.value.is_finite() && index.value > 0.0 {
                let (plane, part, length) = (windowed.plane, windowed.part, windowed.length());
                let family = windowed.family();
                *old = Some(Weakest {
                    index,
                    plane,
                    part,
                    at,
                    centre,
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

    /// The force, in N, that what is left bears once the board's wood in front of a ply stands open: its floor, and the ply by
    /// its section's forces, since stress at the crack's foot has no size.
    pub(super) fn left_after_crack(&self, answers: &Answers) -> Option<f64> {
        let mut greatest: Option<f64> = None;
        self.each(answers, |_, seen| {
            let index = match (seen.windowed.part, &seen.windowed.lies) {
                (Part::FloorJoint, _) => seen.index.value,
                (Part::Insert, Surface::Upright(plane, _)) => {
                    let [normal, along, through, bending, turning, _] = seen.forces.map(f64::abs);
                    let [bottom, top] = plane.heights();
                    let (width, height) = (plane.length(), top - bottom);
                    let area = width * height;
                    let wood = &seen.windowed.wood;
                    let pull = normal / area
                        + 6.0 * bending / (width * height * height)
                        + 6.0 * turning / (height * width * width);
                    (pull / wood.bending).max(1.5 * along.hypot(through) / area / wood.shear_along)
                }
                _ => return,
            };
            greatest = Some(greatest.unwrap_or(0.0).max(index));
        });
        greatest.filter(|index| *index > 0.0).map(|index| 1.0 / index)
    }

    /// The greatest index of each part on each of so many candidates under each push, candidate by candidate.
    pub(super) fn peaks(&self, answers: &Answers, candidates: usize) -> Vec<BTreeMap<Part, Vec<f64>>> {
        let mut peaks = vec![BTreeMap::new(); candidates];
        self.each(answers, |l, seen| {
            let of_part: &mut BTreeMap<Part, Vec<f64>> = &mut peaks[seen.windowed.plane];
            let all = of_part.entry(seen.windowed.part).or_insert_with(|| vec![0.0; answers.tried.len()]);
            all[l] = f64::max(all[l], seen.index.value);
        });
        peaks
    }

    /// Shows every window's index under every push, with the push's number. One layer of elements shears evenly through the
    /// thickness; wood shears most in its middle, and that is made up for here.
    fn each(&self, answers: &Answers, mut see: impl FnMut(usize, Seen<'_>)) {
        for l in 0..answers.tried.len() {
            let mut row = answers.influence.under(l).iter();
            for (number, windowed) in self.windowed.iter().enumerate() {
                let mut part = || row.next().copied().expect("an answer for everything asked");
                let mut forces = [0.0; 6];
                if windowed.resultant.is_some() {
                    forces = std::array::from_fn(|_| part());
                }
                let tractions: Vec<[f64; 3]> =
                    windowed.windows.iter().map(|_| std::array::from_fn(|_| part())).collect();
                let whole: Option<[f64; 3]> =
                    windowed.whole.as_ref().map(|_| std::array::from_fn(|_| part()));
                for (seat, [normal, along, through]) in windowed.windows.iter().zip(tractions) {
                    let in_the_middle = windowed.one_layer && seat.place[1] == 1;
                    let through = through * if in_the_middle { SHEAR_WINDOW } else { 1.0 };
                    let (index, traction) =
                        windowed.rule.index(Traction { normal, along, through }, &windowed.wood);
                    see(l, Seen { number, windowed, forces, traction, index, window: seat.place });
                }
                if let Some([normal, along, through]) = whole {
                    let index = crushing(normal, &windowed.wood);
                    let traction = Traction { normal, along, through };
                    see(l, Seen { number, windowed, forces, traction, index, window: [1, 1] });
                }
            }
        }
    }
}

/// The traction on a window under one push.
struct Seen<'a> {
    /// Which of all planes.
    number: usize,
    windowed: &'a Windowed,
    forces: [f64; 6],
    traction: Traction,
    index: Index,
    window: [u8; 2],
}

/// The values of everything asked under every push.
pub(super) struct Answers<'a> {
    pub(super) tried: &'a [Tried],
    influence: Influence,
}

impl<'a> Answers<'a> {
    pub(super) fn new(
        solid: &Solid,
        held: &[u32],
        planes: &Planes,
        tried: &'a [Tried],
    ) -> Result<Self, SolidFault> {
        if planes.asked().next().is_none() {
            return Ok(Self { tried, influence: Influence::none(tried.len(), 0) });
        }
        let loads: Vec<Sparse> = tried.iter().map(|tried| tried.load.forces(solid)).collect();
        let forms: Vec<&Sparse> = planes.asked().map(|asked| &asked.form).collect();
        let mut influence = solid.influence(&Held::over(solid, held), &loads, &forms)?;
        // Few pushes act on the very wood beside a plane.
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); solid.body().mesh.triangles.len()];
        let mut first = Vec::new();
        let mut count = 0;
        for (number, windowed) in planes.windowed.iter().enumerate() {
            first.push(count);
            count += windowed.asked().count();
            windowed.acted_on().into_iter().for_each(|t| beside[t as usize].push(number));
        }
        for (load, tried) in tried.iter().enumerate() {
            let push = &tried.load;
            let values = influence.under_mut(load);
            let near: BTreeSet<usize> =
                push.parts.iter().flat_map(|part| &beside[part.triangle as usize]).copied().collect();
            for number in near {
                let windowed = &planes.windowed[number];
                let share = windowed.share(push);
                let values = &mut values[first[number]..];
                windowed.asked().zip(values).for_each(|(asked, value)| *value -= asked.direct(&share));
            }
        }
        Ok(Self { tried, influence })
    }
}
