//! One case as a solid: its mesh, the part of it that moves, and the planes asked.

use crate::{
    section::Station,
    shape::plane::{Point, cross, direction, distance},
    solid::{Edge, Elastic, Grading, Mesh, MeshFault, Part, Plan, Solid},
};

use super::{
    Proof,
    jobs::{Job, every},
    layup::{LayUp, zone},
    outline::{simplified, without_notches},
    planes::Candidate,
    pushes::{self, Tried},
    site::{Ground, Site},
    study::{Answers, Planes},
    windows::Laying,
};

/// How finely a case is cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fineness {
    /// Layers of elements in a plain board; and in each ply of one that has some.
    layers: usize,
    each: usize,
    /// Sides of triangles as parts of a plane's window: about its free ends, and elsewhere on it.
    at_ends: f64,
    along: f64,
    /// Triangles grow away from them by so much per mm.
    growth: f64,
    /// Sides along a ply's outline, as parts of its narrowest width.
    of_ply: f64,
    /// Whether glued planes are asked too, and what each plane carries as a whole.
    asks_all: bool,
    /// Whether the mesh follows lines too on which stress does not peak; else their tractions are read off the elements.
    follows_all: bool,
}

impl Fineness {
    /// Enough to tell which planes and pushes may be the weakest; glued planes part beside the line that cracks, so they are left
    /// to the fine models of that line.
    pub(super) const LOOK: Self = Self {
        layers: 1,
        each: 1,
        at_ends: 1.0,
        along: 3.0,
        growth: 0.5,
        of_ply: 0.75,
        asks_all: false,
        follows_all: false,
    };
    /// For a look at a case that is too big for that one.
    pub(super) const GLANCE: Self = Self { at_ends: 2.0, along: 6.0, growth: 0.8, of_ply: 1.5, ..Self::LOOK };
    /// For a place alone: forces of arms come within 3 % of another library's (see the tests).
    pub(super) const FINE: Self = Self {
        layers: 3,
        each: 2,
        at_ends: 0.4,
        along: 1.5,
        growth: 0.3,
        of_ply: 0.1875,
        asks_all: true,
        follows_all: true,
    };
    /// For all places in one piece (docs/mechanics.md).
    pub(super) const WHOLE: Self = Self { along: 0.75, at_ends: 0.2, ..Self::FINE };
    /// The same where there is more to solve: of a piece with plies, of which one layer each does nearly as well as two, and of very big ones.
    pub(super) const BIG: Self = Self { layers: 2, each: 1, of_ply: 0.375, ..Self::FINE };
    /// For a second look at all places in one piece, of which it is the answer where the piece is too big for more, as it is of their push map;
    /// and for strong places of mended pieces. One layer a ply, made up for in its middle: most answers lie within 5 % of the fine ones, of short places up to a quarter below.
    pub(super) const COARSE: Self = Self {
        layers: 1,
        each: 1,
        at_ends: 0.5,
        along: 2.0,
        growth: 0.5,
        of_ply: 0.5,
        asks_all: true,
        follows_all: true,
    };

    /// Every side of every triangle and every layer halved.
    #[cfg(test)]
    pub(super) const fn halved(self) -> Self {
        Self {
            layers: 2 * self.layers,
            each: 2 * self.each,
            at_ends: self.at_ends / 2.0,
            along: self.along / 2.0,
            of_ply: self.of_ply / 2.0,
            ..self
        }
    }
}

/// Sides of triangles on a fence, as parts of its length.
const ACROSS: f64 = 0.25;
/// Along other slender parts, as parts of their widths.
const ELSEWHERE: f64 = 0.5;
/// But never smaller than this, in mm; a slender part's width is taken at about so many sections.
const LEAST: f64 = 1.0;
const PARTS: usize = 8;
const MANY: usize = 300;
/// Triangles about places are never bigger than this, in mm, nor those away from them than that.
const NEAR: f64 = 3.5;
pub(super) const FAR: f64 = 8.0;
/// A case with more unknowns than this is left to the closed form: it would take seconds and a gigabyte.
const MOST_UNKNOWNS: usize = 240_000;

/// The stretches of a line that run through the wood, each as a chain of sides.
type Chains = Vec<Vec<Edge>>;

/// A case ready to be pushed.
pub(super) struct Model {
    pub(super) solid: Solid,
    pub(super) planes: Planes,
    /// The planes as they were drawn, and the place each belongs to.
    pub(super) candidates: Vec<Candidate>,
    pub(super) owners: Vec<usize>,
    /// The loaded triangles, and the walls of the loaded wood.
    pub(super) loaded: Vec<u32>,
    pub(super) walls: Vec<Vec<Edge>>,
    /// Mesh nodes that are held.
    held: Vec<u32>,
    /// Whether so little wood lies beyond the place that the hold had to begin nearer.
    pub(super) crowded: bool,
}

impl Model {
    /// Every push that is tried; `inside` are points of the loaded wood where a pad is tried too.
    pub(super) fn pushes(&self, inside: &[Point]) -> Vec<Tried> {
        pushes::pushes(&self.solid, &self.walls, &self.loaded, inside)
    }

    /// What is asked of every plane under every push; nothing where the equations cannot be solved.
    pub(super) fn answers<'a>(&self, tried: &'a [Tried]) -> Option<Answers<'a>> {
        Answers::new(&self.solid, &self.held, &self.planes, tried).ok()
    }
}

impl Proof<'_> {
    /// The solid of a case; nothing where its fences do not part it, its mesh fails, or it is too big.
    pub(super) fn model(&self, job: &Job, elastic: &Elastic, fineness: Fineness) -> Option<Model> {
        let (mesh, chains) = self.mesh(job, fineness)?;
        let ground = Ground::new(&mesh);
        let (fenced, planes) = chains.split_at(job.fences.len());
        let fenced: Vec<Vec<Edge>> = fenced.iter().map(|chains| chains.concat()).collect();
        let site: Site = ground.site(&job.fences, &fenced)?;
        let part = mesh.part(&site.triangles);
        // Where no ply reaches, the board is plain.
        let there = part.mesh.zones.iter().fold(0, |all, zones| all | zones);
        let is_there = |zone: usize| there >> zone & 1 == 1;
        let lay_up = LayUp::new(self.thickness, self.plies, is_there, fineness.layers, fineness.each);
        if 6 * (2 * lay_up.layers.len() + 1) * part.mesh.triangles.len() > MOST_UNKNOWNS {
            return None;
        }
        let mut body = lay_up.body(part.mesh.clone(), elastic.stiffness(self.grain.as_rad()))?;
        let candidates: Vec<Candidate> = job.asked.iter().flat_map(|(_, planes)| planes).copied().collect();
        let owners = job.asked.iter().flat_map(|(k, planes)| planes.iter().map(|_| *k)).collect();
        let chains: Vec<Vec<Edge>> =
            planes.iter().zip(&candidates).map(|(chains, plane)| within(&part, chains, plane)).collect();
        if job.opened {
            let cracks: Vec<_> = chains.iter().filter_map(|chain| lay_up.crack(&body, chain)).collect();
            body.cuts.extend(cracks);
        }
        let solid = Solid::new(body).ok()?;
        let grain = direction(self.grain.as_rad());
        let (asks_all, opened) = (fineness.asks_all, job.opened);
        let laying = Laying { solid: &solid, lay_up: &lay_up, wood: self.wood, grain, asks_all, opened };
        let in_part = |chain: &Vec<Edge>| chain.iter().filter_map(|edge| part.edge(edge)).collect();
        Some(Model {
            planes: Planes { windowed: laying.windows_on(&candidates, &chains) },
            solid,
            candidates,
            owners,
            loaded: (0u32..).zip(&site.loaded).filter(|(_, loaded)| **loaded).map(|(t, _)| t).collect(),
            walls: ground.walls(&site).iter().map(in_part).collect(),
            held: ground.held_nodes(&site).iter().filter_map(|&node| part.node(node)).collect(),
            crowded: site.crowded,
        })
    }

    /// A mesh of the piece that follows the fences and planes of a case, with the sides along each: fences first, then
    /// planes. It is fine about them, and elsewhere only as fine as slender parts need to bend.
    fn mesh(&self, job: &Job, fineness: Fineness) -> Option<(Mesh, Vec<Chains>)> {
        let mut lines: Vec<[Point; 2]> = Vec::new();
        let mut grading = Grading::new(FAR, fineness.growth);
        let mut numbers: Vec<Option<usize>> = Vec::new();
        let mut number = |line: [Point; 2]| {
            let known = lines.iter().position(|old| *old == line);
            known.unwrap_or_else(|| {
                lines.push(line);
                lines.len() - 1
            })
        };
        for fence in &job.fences {
            grading.along(fence.line, NEAR.min(ACROSS * distance(fence.line[0], fence.line[1])));
            numbers.push(Some(number(fence.line)));
        }
        for candidate in job.asked.iter().flat_map(|(_, planes)| planes) {
            if (candidate.between || !candidate.peaks) && !fineness.follows_all {
                numbers.push(None);
                continue;
            }
            let window = candidate.window();
            for part in candidate.fine_along() {
                grading.along(part, NEAR.min(fineness.along * window));
            }
            for (end, _) in candidate.line.iter().zip(candidate.free).filter(|(_, free)| *free) {
                grading.along([*end, *end], NEAR.min(fineness.at_ends * window));
            }
            numbers.push(Some(number(candidate.line)));
        }
        for outline in self.plies.iter().filter(|ply| job.reaches(ply)).filter_map(zone) {
            let narrow = narrowest(&outline);
            for (i, &from) in outline.iter().enumerate() {
                let to = outline[(i + 1) % outline.len()];
                grading.along([from, to], NEAR.min(fineness.of_ply * narrow));
            }
        }
        // On pieces with very many slender parts only those asked count.
        for stretch in self.stretches.iter().take_while(|_| self.stretches.len() <= MANY) {
            let stations: Vec<&Station> = every(&stretch.stations, PARTS).collect();
            for pair in stations.windows(2) {
                let width = pair[0].width.min(pair[1].width);
                grading.along([pair[0].at, pair[1].at], (ELSEWHERE * width).clamp(LEAST, FAR));
            }
        }
        let sizes = grading.sizes();
        let size = |p: Point| sizes.size(p);
        let drawn: Vec<Vec<Point>> =
            self.shape.rings().map(|ring| ring.0[..ring.0.len() - 1].to_vec()).collect();
        let ends: Vec<Point> = lines.iter().flatten().copied().collect();
        let rings = drawn.iter().map(|ring| simplified(ring, &size, &ends)).collect();
        let zones = self.plies.iter().filter_map(zone).collect();
        let mut plan = Plan { rings, lines, zones, size: &size };
        // What needs too many triangles needs them however its rings are drawn.
        let goes_on =
            |fault: MeshFault| if matches!(fault, MeshFault::TooFine { .. }) { Err(fault) } else { Ok(()) };
        let mesh = Mesh::generate(&plan).or_else(|fault| {
            goes_on(fault)?;
            // Where rings come very close, fewer points may make them touch.
            plan.rings = drawn;
            Mesh::generate(&plan)
        });
        let mesh = mesh.or_else(|fault| {
            goes_on(fault)?;
            // A notch much smaller than any line is long may crowd two of them.
            plan.rings = plan.rings.iter().map(|ring| without_notches(ring)).collect();
            Mesh::generate(&plan)
        });
        let mesh = mesh.ok()?;
        let found = mesh.lines_of(0..plan.lines.len());
        let chains =
            numbers.iter().map(|line| line.map_or_else(Vec::new, |line| found[line].clone())).collect();
        Some((mesh, chains))
    }
}

/// About the narrowest width of a convex outline: its area over its longest reach.
fn narrowest(outline: &[Point]) -> f64 {
    let area: f64 = (0..outline.len()).map(|i| cross(outline[i], outline[(i + 1) % outline.len()])).sum();
    let reach = outline.iter().flat_map(|a| outline.iter().map(|b| distance(*a, *b))).fold(0.0, f64::max);
    area.abs() / 2.0 / reach.max(1e-9)
}

/// The sides of a plane that lie in a part of the mesh: those that hang together with an end of it that is free. Of a line from wall
/// to wall one end may lie in wood that is held firm.
fn within(part: &Part, chains: &Chains, candidate: &Candidate) -> Vec<Edge> {
    let inside = |edge: &Edge| part.edge(edge).filter(|edge| edge.sides.iter().all(Option::is_some));
    let from_start = || chains.first().into_iter().flatten().map_while(inside).collect::<Vec<Edge>>();
    let from_finish = || {
        let mut kept: Vec<Edge> = chains.last().into_iter().flatten().rev().map_while(inside).collect();
        kept.reverse();
        kept
    };
    let kept = if candidate.free[0] { from_start() } else { Vec::new() };
    if kept.is_empty() && (candidate.free[1] || !candidate.free[0]) { from_finish() } else { kept }
}
