//! The answers of a case: every window under every push, and the weakest of them.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    shape::plane::Point,
    solid::{Asked, Face, Held, Influence, Solid, SolidFault, Sparse},
    strength::{Index, SHEAR_WINDOW, Traction, crushing},
};

use super::{
    super::{
        finding::{Family, PushKind},
        ply::Part,
    },
    causes::Untwisted,
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
    /// Where on the plane: 0 at its start, 1 its middle, 2 its end; 0 at the back, 1 within, 2 at the face.
    pub(super) window: [u8; 2],
    /// The plane and the push by their numbers in the case.
    pub(super) number: usize,
    pub(super) load: usize,
    /// What it bears where it is not twisted, as closed form and solid model see it; nothing where that is not known.
    pub(super) untwisted: Option<Untwisted>,
}

impl Weakest {
    /// The push.
    pub(super) fn spot(&self) -> Spot {
        Spot { kind: self.kind, face: self.face.map(|(face, _)| face), at: self.at }
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
                let (plane, part) = (windowed.plane, windowed.part);
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
                    window,
                    number,
                    load: l,
                    untwisted: None,
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

    /// Shows every window's index under every push but the probes, with the push's number. One layer of elements shears evenly through the
    /// thickness; wood shears most in its middle, and that is made up for here.
    fn each(&self, answers: &Answers, mut see: impl FnMut(usize, Seen<'_>)) {
        for l in (0..answers.tried.len()).filter(|&l| !answers.tried[l].probe) {
            let mut row = answers.influence.under(l).iter().copied();
            for (number, windowed) in self.windowed.iter().enumerate() {
                let reading = Reading::of(windowed, &mut row);
                let forces = reading.forces;
                reading.judged(windowed, |index, traction, window| {
                    see(l, Seen { number, windowed, forces, traction, index, window });
                });
            }
        }
    }

    /// What some pushes, each so many times, do to one plane together.
    pub(super) fn reading(&self, answers: &Answers, number: usize, pushes: &[(usize, f64)]) -> Reading {
        let count = |windowed: &Windowed| windowed.asked().count();
        let first = self.windowed[..number].iter().map(count).sum();
        let windowed = &self.windowed[number];
        let mut sum = vec![0.0; count(windowed)];
        for &(load, times) in pushes {
            let row = &answers.influence.under(load)[first..];
            sum.iter_mut().zip(row).for_each(|(sum, value)| *sum += times * value);
        }
        Reading::of(windowed, &mut sum.into_iter())
    }
}

/// What a plane carries as a whole, and the mean tractions on its windows.
pub(super) struct Reading {
    pub(super) forces: [f64; 6],
    tractions: Vec<[f64; 3]>,
    whole: Option<[f64; 3]>,
}

impl Reading {
    /// Reads what is asked of a plane, in the order in which it is asked.
    fn of(windowed: &Windowed, row: &mut impl Iterator<Item = f64>) -> Self {
        let mut part = || row.next().expect("an answer for everything asked");
        let mut forces = [0.0; 6];
        if windowed.resultant.is_some() {
            forces = std::array::from_fn(|_| part());
        }
        let tractions: Vec<[f64; 3]> =
            windowed.windows.iter().map(|_| std::array::from_fn(|_| part())).collect();
        let whole: Option<[f64; 3]> = windowed.whole.as_ref().map(|_| std::array::from_fn(|_| part()));
        Self { forces, tractions, whole }
    }

    /// Shows the index of every window.
    fn judged(&self, windowed: &Windowed, mut see: impl FnMut(Index, Traction, [u8; 2])) {
        for (seat, &[normal, along, through]) in windowed.windows.iter().zip(&self.tractions) {
            let in_the_middle = windowed.one_layer && seat.place[1] == 1;
            let through = through * if in_the_middle { SHEAR_WINDOW } else { 1.0 };
            let (index, traction) = windowed.rule.index(Traction { normal, along, through }, &windowed.wood);
            see(index, traction, seat.place);
        }
        if let Some([normal, along, through]) = self.whole {
            let index = crushing(normal, &windowed.wood);
            see(index, Traction { normal, along, through }, [1, 1]);
        }
    }

    /// The greatest index of its windows.
    pub(super) fn peak(&self, windowed: &Windowed) -> f64 {
        let mut peak = 0.0;
        self.judged(windowed, |index, _, _| peak = f64::max(peak, index.value));
        peak
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
