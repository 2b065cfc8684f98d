//! One case as a solid: held here, pushed there, and the planes on which it may part.

use std::{collections::BTreeMap, ops::Range};

use crate::{
    shape::plane::{Point, cross, distance, dot, point, unit},
    solid::{
        Asked, Edge, Face, Floor, Held, Influence, Layer, Load, Plane, Solid, SolidFault, Sparse, Window,
    },
    strength::{
        FaceForces, Index, SHEAR_WINDOW, Section, SideForces, Traction, crushing, fibre, glue, splitting,
    },
    wood::Mechanics,
};

use super::{
    super::{
        finding::{Family, PushKind},
        ply::Part,
    },
    jobs::Spot,
    layup::{BOARD, Joint, LayUp, column},
    planes::{Candidate, SOFTENING, WINDOW},
    pushes::Tried,
};

/// The weakest answer to one kind of push, in one case.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weakest {
    /// Index of a push of 1 N.
    pub(super) index: Index,
    /// The plane that parts, as a candidate of the case, and what it belongs to.
    pub(super) plane: usize,
    pub(super) part: Part,
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

/// Where tractions are asked.
pub(super) enum Surface {
    /// A plane square to the face; with the same one seen from its other side, where plies meet on it: glue lets shear into the
    /// forces on one side, and half the difference of both sides cancels most of that.
    Upright(Box<Plane>, Option<Box<Plane>>),
    /// A glued plane between plies.
    Floor(Floor),
}

/// By which rule the tractions on a surface are judged.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule {
    /// A plane that contains the fibres.
    Grain,
    /// One that cuts them square.
    Fibre,
    /// A plane that cuts a ply's fibres, which run so much along its direction and square to it (a unit vector).
    Fibres([f64; 2]),
    /// A glued plane, between grains that run in these directions; the ply's rolling strength as a part of the board's.
    Glue { board: Point, ply: Point, rolling: f64 },
}

impl Rule {
    /// The index of a traction, and what is told of it.
    fn index(self, traction: Traction, wood: &Mechanics) -> (Index, Traction) {
        match self {
            Self::Grain => (splitting(traction, wood), traction),
            Self::Fibre => (fibre(traction, wood), traction),
            // A strip pulled along its fibres, cut askew, passes the pull over a longer cut.
            Self::Fibres([along, square]) => {
                let turned = Traction {
                    normal: (traction.normal * square + traction.along * along) / square,
                    along: traction.along * square - traction.normal * along,
                    through: traction.through,
                };
                (fibre(turned, wood), turned)
            }
            Self::Glue { board, ply, rolling } => {
                let shear = point(traction.along, traction.through);
                let [across_board, across_ply] = [board, ply].map(|grain| cross(grain, shear));
                let index = glue(traction.normal, across_board, across_ply / rolling, wood);
                let told = Traction { normal: traction.normal, along: across_ply, through: across_board };
                (index, told)
            }
        }
    }
}

/// The mean traction on a window of a surface, and the same from its other side.
pub(super) struct Seat {
    /// Where: 0 at the start, 1 in the middle, 2 at the end; then through the thickness, or across a floor.
    pub(super) place: [u8; 2],
    pub(super) asked: [Asked; 3],
    pub(super) other: Option<[Asked; 3]>,
}

/// A surface with the mean tractions on each of its windows.
pub(super) struct Windowed {
    plane: usize,
    part: Part,
    lies: Surface,
    rule: Rule,
    /// What is held against them.
    wood: Mechanics,
    windows: Vec<Seat>,
    /// The mean over a whole fibre section, for crushing.
    whole: Option<[Asked; 3]>,
    /// What an upright plane carries as a whole.
    resultant: Option<[Asked; 6]>,
    one_layer: bool,
}

impl Windowed {
    /// A floor with its windows.
    pub(super) fn floor(
        plane: usize,
        part: Part,
        floor: Floor,
        rule: Rule,
        wood: Mechanics,
        windows: Vec<Seat>,
    ) -> Self {
        let lies = Surface::Floor(floor);
        Self { plane, part, lies, rule, wood, windows, whole: None, resultant: None, one_layer: false }
    }

    /// What is asked of the surface, and of its other side.
    fn asked(&self) -> [Vec<&Asked>; 2] {
        let here = self.windows.iter().flat_map(|seat| &seat.asked);
        let here = self.resultant.iter().flatten().chain(here).chain(self.whole.iter().flatten());
        [here.collect(), self.windows.iter().flat_map(|seat| seat.other.iter().flatten()).collect()]
    }

    /// What of a load acts on the wood asked, here and on the other side.
    fn shares(&self, load: &Load) -> [Option<Load>; 2] {
        let shares = match &self.lies {
            Surface::Upright(plane, other) => {
                [Some(plane.share(load)), other.as_ref().map(|other| other.share(load))]
            }
            Surface::Floor(floor) => [Some(floor.share(load)), None],
        };
        shares.map(|share| share.filter(|share| !share.parts.is_empty()))
    }

    fn family(&self) -> Family {
        match self.rule {
            Rule::Grain => Family::Grain,
            Rule::Fibre | Rule::Fibres(_) => Family::Fibre,
            Rule::Glue { .. } => Family::Glue,
        }
    }

    fn length(&self) -> f64 {
        match &self.lies {
            Surface::Upright(plane, _) => plane.length(),
            Surface::Floor(_) => 0.0,
        }
    }
}

/// The planes of a case, ready to be asked.
pub(super) struct Planes {
    windowed: Vec<Windowed>,
}

/// Chains of sides in the numbers of a case's part of the mesh.
pub(super) struct Laying<'a> {
    pub(super) solid: &'a Solid,
    pub(super) lay_up: &'a LayUp<'a>,
    pub(super) wood: &'a Mechanics,
    /// The direction of the board's grain.
    pub(super) grain: Point,
    /// Whether glued planes are asked too: a first look does without them, since they part beside the line that cracks.
    pub(super) floors: bool,
}

impl Laying<'_> {
    /// Lays windows on every candidate: at both ends and in the middle, at both faces and within, ply by ply; and on the
    /// glued planes beside it.
    pub(super) fn planes(&self, candidates: &[Candidate], chains: &[Vec<Edge>]) -> Planes {
        let mut windowed = Vec::new();
        for (k, (candidate, chain)) in candidates.iter().zip(chains).enumerate() {
            if !chain.is_empty() {
                self.upright(k, candidate, chain, &mut windowed);
                if candidate.family == Family::Grain && self.floors {
                    windowed.extend(self.floors(k, candidate, chain));
                }
            }
        }
        Planes { windowed }
    }

    /// The planes of a candidate that stand upright, one for each run of layers of one wood.
    fn upright(&self, k: usize, candidate: &Candidate, chain: &[Edge], windowed: &mut Vec<Windowed>) {
        let body = self.solid.body();
        let columns: Vec<Vec<Joint>> = chain.iter().map(|edge| column(body, edge)).collect();
        let layers = body.layers.len();
        let rule = if candidate.family == Family::Grain && self.floors { Rule::Grain } else { Rule::Fibre };
        let mends = |zones: u32| self.lay_up.plies.iter().any(|ply| zones >> ply.zone & 1 == 1);
        let mended =
            chain.iter().any(|edge| edge.sides.iter().flatten().any(|&t| mends(body.mesh.zones[t as usize])));
        // All that hangs together on it counts for how deep its windows are.
        let whole = columns.iter().flatten().all(|joint| *joint != Joint::Open);
        let bonded = |run: &Range<usize>| {
            let counts =
                |layer: &usize| if whole { columns[0][*layer] != Joint::Empty } else { run.contains(layer) };
            (0..layers).filter(counts).map(|layer| body.layers[layer].height()).sum::<f64>()
        };
        let everywhere =
            |wood: usize, layer: usize| columns.iter().all(|column| column[layer] == Joint::Whole(wood));
        for run in runs(layers, |layer| everywhere(BOARD, layer)) {
            let part = match () {
                () if candidate.at_end_of_ply => Part::InsertEnd,
                () if mended => Part::ShowFace,
                () => Part::Board,
            };
            let reach = Reach { candidate, line: candidate.line, free: candidate.free };
            windowed.extend(self.laid(k, part, rule, self.wood, &reach, chain, &run, bonded(&run)));
        }
        if !mended {
            return;
        }
        // Beside a ply that does not lie all along it the board goes through: there its free end is one of all its wood.
        for sides in runs(chain.len(), |i| {
            (0..layers).all(|layer| matches!(columns[i][layer], Joint::Whole(BOARD) | Joint::Empty))
        }) {
            let board: Vec<usize> = (0..layers).filter(|&layer| body.layers[layer].wood.is_some()).collect();
            let (Some(&first), Some(&last)) = (board.first(), board.last()) else { continue };
            if sides.len() == chain.len() {
                continue;
            }
            let free = [candidate.free[0] && sides.start == 0, candidate.free[1] && sides.end == chain.len()];
            if free == [false, false] {
                continue;
            }
            let run = first..last + 1;
            let reach = Reach { candidate, line: candidate.line, free };
            let height = body.layers[run.clone()].iter().map(Layer::height).sum();
            windowed.extend(
                self.laid(k, Part::Board, rule, self.wood, &reach, &chain[sides], &run, height).map(
                    |mut laid| {
                        laid.windows.retain(|seat| seat.place[0] != 1);
                        laid
                    },
                ),
            );
        }
        for ply in &self.lay_up.plies {
            let Some((wood, mechanics)) = ply.wood else { continue };
            let filled = |i: usize| ply.layers.clone().all(|layer| columns[i][layer] == Joint::Whole(wood));
            for sides in runs(chain.len(), filled) {
                let chain = &chain[sides];
                let mesh = &body.mesh;
                let [from, to] =
                    [chain[0].nodes[0], chain[chain.len() - 1].nodes[2]].map(|n| mesh.points[n as usize]);
                let along = unit(to - from);
                let (along, square) = (dot(ply.grain, along), cross(along, ply.grain));
                // A plane along the ply's own fibres splits it; one that cuts them breaks them.
                let rule = if square.abs() < std::f64::consts::FRAC_1_SQRT_2 {
                    Rule::Grain
                } else {
                    Rule::Fibres([-along * square.signum(), square.abs()])
                };
                let reach = Reach { candidate, line: [from, to], free: [true, true] };
                let height = bonded(&ply.layers);
                windowed.extend(self.laid(
                    k,
                    Part::Insert,
                    rule,
                    mechanics,
                    &reach,
                    chain,
                    &ply.layers,
                    height,
                ));
            }
        }
    }

    /// Windows on one plane through a run of layers; `bonded` is the height of all wood that hangs together on it.
    #[expect(clippy::too_many_arguments, reason = "each says another thing of one plane")]
    fn laid(
        &self,
        k: usize,
        part: Part,
        rule: Rule,
        wood: &Mechanics,
        reach: &Reach,
        chain: &[Edge],
        run: &Range<usize>,
        bonded: f64,
    ) -> Option<Windowed> {
        let number = |layer: usize| u32::try_from(layer).expect("few layers");
        let layers = number(run.start)..number(run.end);
        let all = 0..number(self.solid.body().layers.len());
        let plane = if part == Part::InsertEnd {
            Plane::carrying(self.solid, chain, layers.clone(), all)
        } else {
            Plane::new(self.solid, chain, layers.clone())
        }?;
        // Where plies meet on it, it is looked at from both sides.
        let other = (part == Part::ShowFace || part == Part::Insert).then(|| {
            let turned: Vec<Edge> = chain.iter().rev().map(|edge| edge.turned()).collect();
            Plane::new(self.solid, &turned, layers)
        });
        let other = other.flatten();
        // A chain may stop short of the line's far end, where the wood of this case ends.
        let reached = [0, 1].map(|e| reach.free[e] && distance(plane.ends()[e], reach.line[e]) < NEARLY);
        let length = plane.length();
        let along = match part {
            Part::Insert => SOFTENING.min(WINDOW * length),
            _ => reach.candidate.window().min(length),
        };
        let [bottom, top] = plane.heights();
        let through = SOFTENING.min(bonded / 4.0).min(top - bottom);
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
                let back = Window {
                    along: [length - along[1], length - along[0]].map(|x| x.clamp(0.0, length)),
                    through,
                };
                windows.push(Seat {
                    place: [i, j],
                    asked: plane.mean(&Window { along, through }),
                    other: other.as_ref().map(|other| other.mean(&back)),
                });
            }
        }
        let over = Window { along: [0.0, length], through: [bottom, top] };
        let crushed = matches!(rule, Rule::Fibre) && reached == [true, true];
        let whole = crushed.then(|| plane.mean(&over));
        let resultant = Some(plane.resultant(length / 2.0, (bottom + top) / 2.0));
        let one_layer = run.len() == 1;
        let lies = Surface::Upright(Box::new(plane), other.map(Box::new));
        Some(Windowed {
            plane: k,
            part,
            lies,
            rule,
            wood: wood.clone(),
            windows,
            whole,
            resultant,
            one_layer,
        })
    }
}

/// How far a plane's candidate reaches.
struct Reach<'a> {
    candidate: &'a Candidate,
    line: [Point; 2],
    free: [bool; 2],
}

/// The runs of numbers below `count` that have a property.
fn runs(count: usize, has: impl Fn(usize) -> bool) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for i in (0..count).filter(|&i| has(i)) {
        match found.last_mut() {
            Some(run) if run.end == i => run.end = i + 1,
            _ => found.push(i..i + 1),
        }
    }
    found
}

impl Planes {
    fn asked(&self) -> impl Iterator<Item = &Asked> {
        self.windowed.iter().flat_map(|windowed| windowed.asked().concat())
    }

    /// The weakest answer to a face push and to a side push on planes that `counts` lets in.
    pub(super) fn weakest(
        &self,
        answers: &Answers,
        counts: impl Fn(usize, Part) -> bool,
    ) -> [Option<Weakest>; 2] {
        let mut best: [Option<Weakest>; 2] = [None, None];
        self.each(answers, |l, seen| {
            let Tried { kind, at, push, face, .. } = answers.tried[l];
            let old = &mut best[kind as usize];
            // A hair's margin keeps the first of equals.
            let beats = old.is_none_or(|old| seen.index.value > old.index.value * (1.0 + 1e-9));
            if counts(seen.windowed.plane, seen.windowed.part)
                && beats
                && seen.index.value.is_finite()
                && seen.index.value > 0.0
            {
                let Seen { windowed, forces, traction, index, window } = seen;
                let (plane, part, length) = (windowed.plane, windowed.part, windowed.length());
                let family = windowed.family();
                *old = Some(Weakest {
                    index,
                    plane,
                    part,
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

    /// The greatest index of each part on each of so many candidates under each push, candidate by candidate. One layer of elements
    /// shears evenly through the thickness; wood shears most in its middle, and that is made up for here.
    pub(super) fn peaks(&self, answers: &Answers, candidates: usize) -> Vec<BTreeMap<Part, Vec<f64>>> {
        let mut peaks = vec![BTreeMap::new(); candidates];
        self.each(answers, |l, seen| {
            let middle = seen.windowed.one_layer && seen.window[1] == 1;
            let traction = Traction {
                through: seen.traction.through * if middle { SHEAR_WINDOW } else { 1.0 },
                ..seen.traction
            };
            let index =
                if middle { seen.windowed.rule.index(traction, &seen.windowed.wood).0 } else { seen.index };
            let of_part: &mut BTreeMap<Part, Vec<f64>> = &mut peaks[seen.windowed.plane];
            let all = of_part.entry(seen.windowed.part).or_insert_with(|| vec![0.0; answers.tried.len()]);
            all[l] = f64::max(all[l], index.value);
        });
        peaks
    }

    /// Shows every window's index under every push, with the push's number.
    fn each(&self, answers: &Answers, mut see: impl FnMut(usize, Seen<'_>)) {
        for (l, values) in answers.values.iter().enumerate() {
            let mut row = values.iter();
            for windowed in &self.windowed {
                let other = windowed.windows.iter().any(|seat| seat.other.is_some());
                let mut part = || row.next().copied().expect("an answer for everything asked");
                let mut forces = [0.0; 6];
                if windowed.resultant.is_some() {
                    forces = std::array::from_fn(|_| part());
                }
                let mut tractions: Vec<[f64; 3]> =
                    windowed.windows.iter().map(|_| std::array::from_fn(|_| part())).collect();
                let whole: Option<[f64; 3]> =
                    windowed.whole.as_ref().map(|_| std::array::from_fn(|_| part()));
                if other {
                    for traction in &mut tractions {
                        let [normal, along, through]: [f64; 3] = std::array::from_fn(|_| part());
                        // Seen from the other side the plane's direction turns round too, up stays up.
                        *traction = [
                            f64::midpoint(traction[0], normal),
                            f64::midpoint(traction[1], along),
                            f64::midpoint(traction[2], -through),
                        ];
                    }
                }
                for (seat, [normal, along, through]) in windowed.windows.iter().zip(tractions) {
                    let (index, traction) =
                        windowed.rule.index(Traction { normal, along, through }, &windowed.wood);
                    see(l, Seen { windowed, forces, traction, index, window: seat.place });
                }
                if let Some([normal, along, through]) = whole {
                    let index = crushing(normal, &windowed.wood);
                    let traction = Traction { normal, along, through };
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
                let shares = windowed.shares(push);
                windowed.asked().into_iter().zip(shares).flat_map(|(asked, share)| {
                    asked
                        .into_iter()
                        .map(move |asked| share.as_ref().map_or(0.0, |share| asked.direct(share)))
                })
            });
            taken.enumerate().map(|(a, taken)| influence.at(a, load) - taken).collect()
        };
        Ok(Self { tried, values: (0..tried.len()).map(value).collect() })
    }
}
