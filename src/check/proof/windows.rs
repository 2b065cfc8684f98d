//! Where a case's tractions are asked: windows on upright planes, ply by ply.

use std::{ops::Range, sync::Arc};

use crate::{
    shape::plane::{Point, cross, distance, dot, point, unit},
    solid::{Asked, Edge, Floor, Layer, Load, Plane, Solid, Spot, Window},
    wood::Mechanics,
};

use super::{
    super::{finding::Family, ply::Part},
    layup::{BOARD, Joint, LayUp, column},
    planes::{Candidate, SOFTENING, WINDOW},
    rule::Rule,
};

/// A window on a line within elements is sampled at so many points along it.
const SAMPLES: usize = 4;
/// The mesh may move a line's end onto a corner this near, in mm.
const NEARLY: f64 = 0.1;

/// Where tractions are asked.
pub(super) enum Surface {
    /// A plane square to the face; with the same one seen from its other side, where plies meet on it.
    Upright(Box<Plane>, Option<Box<Plane>>),
    /// A glued plane between plies.
    Floor(Arc<Floor>),
    /// An upright plane that the mesh does not follow.
    Within,
}

/// The mean traction on a window of a surface.
pub(super) struct Seat {
    /// Where: 0 at the start, 1 in the middle, 2 at the end; then through the thickness, or across a floor.
    pub(super) place: [u8; 2],
    pub(super) asked: [Asked; 3],
}

/// A surface with the mean tractions on each of its windows.
pub(super) struct Windowed {
    pub(super) plane: usize,
    pub(super) part: Part,
    pub(super) lies: Surface,
    pub(super) rule: Rule,
    /// What is held against them.
    pub(super) wood: Mechanics,
    pub(super) windows: Vec<Seat>,
    /// The mean over a whole fibre section, for crushing.
    pub(super) whole: Option<[Asked; 3]>,
    /// What an upright plane carries as a whole, where that is asked.
    pub(super) resultant: Option<[Asked; 6]>,
    pub(super) one_layer: bool,
}

impl Windowed {
    /// A floor with its windows.
    pub(super) fn floor(
        plane: usize,
        part: Part,
        floor: Arc<Floor>,
        rule: Rule,
        wood: Mechanics,
        windows: Vec<Seat>,
    ) -> Self {
        let lies = Surface::Floor(floor);
        Self { plane, part, lies, rule, wood, windows, whole: None, resultant: None, one_layer: false }
    }

    /// What is asked of the surface.
    pub(super) fn asked(&self) -> impl Iterator<Item = &Asked> {
        let windows = self.windows.iter().flat_map(|seat| &seat.asked);
        self.resultant.iter().flatten().chain(windows).chain(self.whole.iter().flatten())
    }

    /// The triangles on which a load may act on the wood asked.
    pub(super) fn acted_on(&self) -> Vec<u32> {
        match &self.lies {
            Surface::Upright(plane, other) => {
                plane.acted_on().chain(other.iter().flat_map(|other| other.acted_on())).collect()
            }
            Surface::Floor(floor) => floor.acted_on().collect(),
            Surface::Within => Vec::new(),
        }
    }

    /// What of a load acts on the wood asked.
    pub(super) fn share(&self, load: &Load) -> Load {
        match &self.lies {
            Surface::Upright(plane, other) => {
                let mut share = plane.share(load);
                share.parts.extend(other.iter().flat_map(|other| other.share(load).parts));
                share
            }
            Surface::Floor(floor) => floor.share(load),
            Surface::Within => Load { parts: Vec::new() },
        }
    }

    pub(super) fn family(&self) -> Family {
        self.rule.family()
    }
}

/// Chains of sides in the numbers of a case's part of the mesh.
pub(super) struct Laying<'a> {
    pub(super) solid: &'a Solid,
    pub(super) lay_up: &'a LayUp<'a>,
    pub(super) wood: &'a Mechanics,
    /// The direction of the board's grain.
    pub(super) grain: Point,
    /// Whether glued planes are asked too, and what each plane of the bare board carries as a whole. A first look does without them: they
    /// part beside the line that cracks, and what is carried only tells why.
    pub(super) asks_all: bool,
    /// Whether the planes stand open in the board's wood before a ply: then it is asked what the ply carries there as a whole.
    pub(super) opened: bool,
}

impl Laying<'_> {
    /// Lays windows on every candidate: at both ends and in the middle, at both faces and within, ply by ply; and on the
    /// glued planes beside it.
    pub(super) fn windows_on(&self, candidates: &[Candidate], chains: &[Vec<Edge>]) -> Vec<Windowed> {
        let mut windowed = Vec::new();
        let glue = if self.asks_all { self.glue_lines() } else { Vec::new() };
        for (k, (candidate, chain)) in candidates.iter().zip(chains).enumerate() {
            if candidate.family == Family::Grain {
                windowed.extend(glue.iter().filter_map(|glue| glue.beside(self, k, candidate)));
            }
            if chain.is_empty() {
                windowed.extend(self.within(k, candidate));
            } else {
                self.upright(k, candidate, chain, &mut windowed);
                if candidate.family == Family::Grain && self.asks_all && candidate.floors {
                    windowed.extend(self.floors(k, candidate, chain));
                }
            }
        }
        windowed
    }

    /// Windows on a candidate that the mesh does not follow, layer by layer of a blank that is glued up of some; beside what is let in.
    fn within(&self, k: usize, candidate: &Candidate) -> Vec<Windowed> {
        let layers = &self.solid.body().layers;
        let layered = self.lay_up.is_layered();
        let board = runs(layers.len(), |layer| layers[layer].wood == Some(BOARD));
        let board = board
            .into_iter()
            .map(|run| (self.part_of_board(&run, layered), self.own_rule(candidate), self.wood, run));
        let way = unit(candidate.line[1] - candidate.line[0]);
        let plies = self.lay_up.plies.iter().filter(|ply| ply.is_layer()).filter_map(|ply| {
            let (_, mechanics) = ply.wood?;
            Some((Part::CrossPly, rule_of_ply(ply.grain, way), mechanics, ply.layers.clone()))
        });
        let all = board.chain(plies);
        all.filter_map(|(part, rule, wood, run)| self.within_run(k, candidate, part, rule, wood, &run))
            .collect()
    }

    /// The same within a run of layers of one wood.
    fn within_run(
        &self,
        k: usize,
        candidate: &Candidate,
        part: Part,
        rule: Rule,
        wood: &Mechanics,
        run: &Range<usize>,
    ) -> Option<Windowed> {
        let body = self.solid.body();
        let [from, to] = candidate.line;
        let (way, length) = (unit(to - from), distance(from, to));
        let window = candidate.window();
        let whole: f64 = body.layers.iter().filter(|layer| layer.wood.is_some()).map(Layer::height).sum();
        let [lowest, highest] = [body.layers[run.start].bottom, body.layers[run.end - 1].top];
        let through = SOFTENING.min(whole / 4.0).min(highest - lowest);
        let levels = [lowest, (lowest + highest - through) / 2.0, highest - through];
        let middle = (length - window) / 2.0;
        let mut windows = Vec::new();
        for (i, start) in (0u8..).zip([0.0, middle, length - window]).filter(|(i, _)| candidate.at(*i)) {
            let sample = |part: usize| from + way * (start + window * (part as f64 + 0.5) / SAMPLES as f64);
            let spots: Option<Vec<Spot>> = (0..SAMPLES).map(|part| body.mesh.spot(sample(part))).collect();
            // A line may run on into wood that this case holds.
            let Some(spots) = spots else { continue };
            if spots.iter().any(|&(t, _)| body.mesh.zones[t as usize] != 0) {
                continue;
            }
            for (j, bottom) in (0u8..).zip(levels) {
                let normal = point(way.y, -way.x);
                let asked = self.solid.traction_within(&spots, normal, [bottom, bottom + through])?;
                windows.push(Seat { place: [i, j], asked });
            }
        }
        (!windows.is_empty()).then(|| Windowed {
            plane: k,
            part,
            lies: Surface::Within,
            rule,
            wood: wood.clone(),
            windows,
            whole: None,
            resultant: None,
            one_layer: run.len() == 1 && !self.lay_up.is_layered(),
        })
    }

    /// What a run of layers of the board's own wood is, where it is mended or not.
    fn part_of_board(&self, run: &Range<usize>, is_mended: bool) -> Part {
        match () {
            () if !is_mended => Part::Board,
            () if run.end < self.lay_up.layers.len() => Part::BackPly,
            () => Part::ShowFace,
        }
    }

    /// How the board's own wood parts on a candidate.
    const fn own_rule(&self, candidate: &Candidate) -> Rule {
        match candidate.family {
            Family::Grain => Rule::Grain,
            Family::Fibre | Family::Glue => Rule::Fibre,
        }
    }

    /// The planes of a candidate that stand upright, one for each run of layers of one wood.
    fn upright(&self, k: usize, candidate: &Candidate, chain: &[Edge], windowed: &mut Vec<Windowed>) {
        let body = self.solid.body();
        let columns: Vec<Vec<Joint>> = chain.iter().map(|edge| column(body, edge)).collect();
        let layers = body.layers.len();
        let rule = self.own_rule(candidate);
        let mends = |zones: u32| self.lay_up.plies.iter().any(|ply| ply.lies_in(zones));
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
            let part =
                if candidate.at_end_of_ply { Part::InsertEnd } else { self.part_of_board(&run, mended) };
            windowed.extend(self.laid(&Upright {
                plane: k,
                part,
                rule,
                wood: self.wood,
                candidate,
                line: candidate.line,
                free: candidate.free,
                chain,
                bonded: bonded(&run),
                layers: run,
            }));
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
            let layers = first..last + 1;
            let bonded = body.layers[layers.clone()].iter().map(Layer::height).sum();
            let laid = self.laid(&Upright {
                plane: k,
                part: Part::Board,
                rule,
                wood: self.wood,
                candidate,
                line: candidate.line,
                free,
                chain: &chain[sides],
                layers,
                bonded,
            });
            windowed.extend(laid.map(|mut laid| {
                laid.windows.retain(|seat| seat.place[0] != 1);
                laid
            }));
        }
        for ply in &self.lay_up.plies {
            let Some((wood, mechanics)) = ply.wood else { continue };
            let filled = |i: usize| ply.layers.clone().all(|layer| columns[i][layer] == Joint::Whole(wood));
            for sides in runs(chain.len(), filled) {
                let chain = &chain[sides];
                let mesh = &body.mesh;
                let [from, to] =
                    [chain[0].nodes[0], chain[chain.len() - 1].nodes[2]].map(|n| mesh.points[n as usize]);
                let rule = rule_of_ply(ply.grain, unit(to - from));
                let (part, line, free) = if ply.is_layer() {
                    (Part::CrossPly, candidate.line, candidate.free)
                } else {
                    (Part::Insert, [from, to], [true, true])
                };
                windowed.extend(self.laid(&Upright {
                    plane: k,
                    part,
                    rule,
                    wood: mechanics,
                    candidate,
                    line,
                    free,
                    chain,
                    layers: ply.layers.clone(),
                    bonded: bonded(&ply.layers),
                }));
            }
        }
    }

    /// Windows on one plane through a run of layers.
    fn laid(&self, upright: &Upright<'_>) -> Option<Windowed> {
        let Upright { part, rule, chain, layers: run, .. } = upright;
        let number = |layer: usize| u32::try_from(layer).expect("few layers");
        let layers = number(run.start)..number(run.end);
        let all = 0..number(self.solid.body().layers.len());
        // What bears for others as well, at an insert's end or behind a crack, has all forces on its nodes, its neighbours' at the glue too.
        let bears_all = *part == Part::InsertEnd || (*part == Part::Insert && self.opened);
        let plane = if bears_all {
            Plane::carrying(self.solid, chain, layers.clone(), all)
        } else {
            Plane::new(self.solid, chain, layers.clone())
        }?;
        // Where plies meet on it, it is looked at from both sides.
        let other = (*part != Part::Board && !bears_all).then(|| {
            let turned: Vec<Edge> = chain.iter().rev().map(|edge| edge.turned()).collect();
            Plane::new(self.solid, &turned, layers)
        });
        let other = other.flatten();
        // A chain may stop short of the line's far end, where the wood of this case ends.
        let reached = [0, 1].map(|e| upright.free[e] && distance(plane.ends()[e], upright.line[e]) < NEARLY);
        let length = plane.length();
        let along = match part {
            Part::Insert => SOFTENING.min(WINDOW * length),
            _ => upright.candidate.window().min(length),
        };
        let [bottom, top] = plane.heights();
        let through = SOFTENING.min(upright.bonded / 4.0).min(top - bottom);
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
        // Glue lets shear into the forces on one side; the mean of both sides cancels most of that. Seen from the other side the plane's
        // direction turns round too, up stays up.
        let mean = |window: &Window| {
            let here = plane.mean(window);
            let Some(other) = &other else { return here };
            let along = [length - window.along[1], length - window.along[0]].map(|x| x.clamp(0.0, length));
            let there = other.mean(&Window { along, through: window.through });
            let signs = [1.0, 1.0, -1.0];
            std::array::from_fn(|i| here[i].midpoint(&there[i], signs[i]))
        };
        let mut windows = Vec::new();
        for &(i, along) in &spans {
            for &(j, through) in &levels {
                windows.push(Seat { place: [i, j], asked: mean(&Window { along, through }) });
            }
        }
        let over = Window { along: [0.0, length], through: [bottom, top] };
        let crushed = matches!(rule, Rule::Fibre) && reached == [true, true];
        let whole = crushed.then(|| plane.mean(&over));
        let carries = match part {
            Part::Board => self.asks_all,
            Part::Insert => self.opened,
            _ => false,
        };
        let resultant = carries.then(|| plane.resultant(length / 2.0, (bottom + top) / 2.0));
        let one_layer = run.len() == 1 && !self.lay_up.is_layered();
        let lies = Surface::Upright(Box::new(plane), other.map(Box::new));
        Some(Windowed {
            plane: upright.plane,
            part: *part,
            lies,
            rule: *rule,
            wood: upright.wood.clone(),
            windows,
            whole,
            resultant,
            one_layer,
        })
    }
}

/// How a ply parts on a plane that runs in a direction: one along its own fibres splits it, one that cuts them breaks them.
fn rule_of_ply(grain: Point, way: Point) -> Rule {
    let (along, square) = (dot(grain, way), cross(way, grain));
    if square.abs() < std::f64::consts::FRAC_1_SQRT_2 {
        Rule::Grain
    } else {
        Rule::Fibres([-along * square.signum(), square.abs()])
    }
}

/// One plane through a run of layers.
struct Upright<'a> {
    /// Its candidate, and that one's number.
    plane: usize,
    candidate: &'a Candidate,
    part: Part,
    rule: Rule,
    wood: &'a Mechanics,
    /// From where to where it is meant to reach, and which of its ends are free.
    line: [Point; 2],
    free: [bool; 2],
    /// The sides that it stands on, and the layers it goes through.
    chain: &'a [Edge],
    layers: Range<usize>,
    /// The height of all wood that hangs together on it.
    bonded: f64,
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
