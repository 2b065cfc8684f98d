//! An arm 8 × 30 on what is free of a block 19 × 40, 19 thick: the plate of `tests/reference/solid_speed.py`, in as many
//! cells each way, each cut into two triangles, so that the unknowns are the same in number and place.

use serde::{Deserialize, Serialize};
use shortgrain::{
    shape::plane::{Point, point},
    solid::{
        Asked, Body, Elastic, Face, Held, Layer, Load, Mesh, Plan, Plane, Solid, Sparse, Stiffness, Window,
    },
};

use crate::child;

const THICKNESS: f64 = 19.0;

/// What one size costs, in ms and MB.
#[derive(Deserialize, Serialize)]
pub(crate) struct Row {
    pub(crate) wanted: usize,
    pub(crate) unknowns: usize,
    elements: usize,
    /// Meshing the same plate by our own generator, as finely.
    mesh: f64,
    /// Numbering nodes in the order of elimination.
    nodes: f64,
    assemble: f64,
    factor: f64,
    /// Numbers in the factor.
    values: usize,
    pub(crate) one: f64,
    pub(crate) many: f64,
    influence: f64,
    pub(crate) peak: f64,
}

/// How many right-hand sides are solved at once; pads tried; measures asked of each.
const MANY: usize = 32;
const PADS: usize = 256;

impl Row {
    /// Measured in a process of its own.
    pub(crate) fn of(wanted: usize) -> Self {
        let printed =
            child::run(&["plate", &wanted.to_string()], false).expect("the row's process ends well");
        let row: Self = serde_json::from_str(&printed).expect("a row");
        println!(
            "{:>9} {:>9} {:>8.1} {:>8.1} {:>9.1} {:>8.1} {:>9.2} {:>8.1} {:>9.2} {:>10.1} {:>8.0}",
            row.unknowns,
            row.elements,
            row.mesh,
            row.nodes,
            row.assemble,
            row.factor,
            row.values as f64 / 1e6,
            row.one,
            row.many / MANY as f64,
            row.influence,
            row.peak,
        );
        row
    }

    pub(crate) fn heading() {
        println!(
            "{:>9} {:>9} {:>8} {:>8} {:>9} {:>8} {:>9} {:>8} {:>9} {:>10} {:>8}",
            "unknowns",
            "elements",
            "mesh",
            "nodes",
            "assemble",
            "factor",
            "L, 10^6",
            "solve 1",
            "1 of 32",
            "256 x 27",
            "peak MB"
        );
    }

    /// From nodes to the first answer.
    pub(crate) fn whole(&self) -> f64 {
        self.nodes + self.assemble + self.factor + self.one
    }
}

/// Measures one size and prints its row.
pub(crate) fn measure(wanted: &str) {
    let wanted: usize = wanted.parse().expect("a number of unknowns");
    let runs = if wanted < 50_000 { 5 } else { 2 };
    let row = (0..runs).map(|_| once(wanted)).reduce(least).expect("at least one run");
    println!("{}", serde_json::to_string(&row).expect("a row is plain"));
}

fn least(a: Row, b: Row) -> Row {
    Row {
        mesh: a.mesh.min(b.mesh),
        nodes: a.nodes.min(b.nodes),
        assemble: a.assemble.min(b.assemble),
        factor: a.factor.min(b.factor),
        one: a.one.min(b.one),
        many: a.many.min(b.many),
        influence: a.influence.min(b.influence),
        // Later runs find memory in pieces; the first is what one such body takes.
        peak: a.peak,
        ..a
    }
}

fn once(wanted: usize) -> Row {
    let cells = Cells::of(wanted);
    let ((), mesh) = child::timed(|| {
        std::hint::black_box(cells.generated());
    });
    let body = cells.body();
    let (solid, nodes) = child::timed(|| Solid::new(body).expect("the plate is a body"));
    let held = Held::new(&solid, |[x, ..], _| x < -19.0 + 1e-9);
    held.check(&solid).expect("the plate is held");
    let (matrix, assemble) = child::timed(|| solid.assemble(&held).expect("it can be numbered"));
    let (factor, factoring) = child::timed(|| matrix.factor().expect("the plate is held"));
    let pads = pads(&solid);
    let forces: Vec<Sparse> = pads.iter().map(|pad| pad.forces(&solid)).collect();
    let (_, one) = child::timed(|| std::hint::black_box(factor.solve(&forces[..1])));
    let (_, many) = child::timed(|| std::hint::black_box(factor.solve(&forces[..MANY])));
    let peak = child::peak();
    let asked: Vec<Sparse> = asked(&solid).into_iter().map(|asked| asked.form).collect();
    let (_, influence) = child::timed(|| std::hint::black_box(factor.influence(&forces, &asked, 1)));
    Row {
        wanted,
        unknowns: factor.free_count(),
        elements: solid.elements().count(),
        mesh,
        nodes,
        assemble,
        factor: factoring,
        values: factor.value_count(),
        one,
        many,
        influence,
        peak,
    }
}

/// How many cells the parts of the plate are cut into.
struct Cells {
    size: f64,
    layers: usize,
    block: usize,
    arm: usize,
    beside: usize,
    across: usize,
}

impl Cells {
    /// Those that come nearest to so many unknowns; the rule is the script's.
    fn of(wanted: usize) -> Self {
        let layers = if wanted < 150_000 { 2 } else { 3 };
        let (mut low, mut high) = (0.1, 16.0);
        for _ in 0..50 {
            let size = f64::midpoint(low, high);
            if Self::sized(size, layers).unknowns() < wanted {
                high = size;
            } else {
                low = size;
            }
        }
        let off = |size: f64| Self::sized(size, layers).unknowns().abs_diff(wanted);
        Self::sized(if off(high) < off(low) { high } else { low }, layers)
    }

    fn sized(size: f64, layers: usize) -> Self {
        let [block, arm, beside, across] =
            [19.0, 30.0, 16.0, 8.0].map(|length: f64| (length / size).round_ties_even().max(1.0) as usize);
        Self { size, layers, block, arm, beside, across }
    }

    const fn unknowns(&self) -> usize {
        let Self { layers, block, arm, beside, across, .. } = *self;
        3 * (2 * layers + 1) * (2 * block * (4 * beside + 2 * across + 1) + 2 * arm * (2 * across + 1))
    }

    fn body(&self) -> Body {
        let x = joined(&[(-19.0, 0.0, self.block), (0.0, 30.0, self.arm)]);
        let y = joined(&[(-20.0, -4.0, self.beside), (-4.0, 4.0, self.across), (4.0, 20.0, self.beside)]);
        let wood =
            |i: usize, j: usize| i < self.block || (self.beside..self.beside + self.across).contains(&j);
        let mut number = vec![u32::MAX; x.len() * y.len()];
        let (mut corners, mut triangles) = (Vec::new(), Vec::new());
        for i in 0..x.len() - 1 {
            for j in (0..y.len() - 1).filter(|&j| wood(i, j)) {
                let [a, b, c, d] = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)].map(|(i, j)| {
                    let known = &mut number[i * y.len() + j];
                    if *known == u32::MAX {
                        *known = corners.len() as u32;
                        corners.push(point(x[i], y[j]));
                    }
                    *known
                });
                triangles.extend([[a, b, c], [a, c, d]]);
            }
        }
        let zones = vec![0; triangles.len()];
        let height = |k: usize| THICKNESS * k as f64 / self.layers as f64;
        let layers = (0..self.layers).map(|k| Layer::plain(height(k), height(k + 1), 0)).collect();
        Body::new(Mesh::new(corners, &triangles, zones), layers, vec![wood_turned()])
    }

    fn generated(&self) -> Mesh {
        let ring = [(-19, -20), (0, -20), (0, -4), (30, -4), (30, 4), (0, 4), (0, 20), (-19, 20)];
        let ring = ring.iter().map(|&(x, y)| point(x.into(), y.into())).collect();
        let size = |_: Point| self.size;
        let plan = Plan { rings: vec![ring], lines: Vec::new(), zones: Vec::new(), size: &size };
        Mesh::generate(&plan).expect("the plate can be meshed")
    }
}

fn joined(parts: &[(f64, f64, usize)]) -> Vec<f64> {
    let steps = |&(from, to, cells): &(f64, f64, usize)| {
        (0..cells).map(move |k| from + (to - from) * k as f64 / cells as f64)
    };
    parts.iter().flat_map(steps).chain(parts.last().map(|part| part.1)).collect()
}

/// The cherry of `solids.py`, its grain at 60 degrees.
fn wood_turned() -> Stiffness {
    let rolling = 0.695 * 974.38 / 2232.01;
    Elastic::new([11330.0, 974.38, 2232.01], [1099.01, 1665.51, 373.89], [0.428, 0.392, rolling])
        .expect("cherry is a wood")
        .stiffness(60_f64.to_radians())
}

/// Round pads of 10 mm all over the face and the back.
fn pads(solid: &Solid) -> Vec<Load> {
    let all: Vec<u32> = (0..solid.body().mesh.triangles.len() as u32).collect();
    let pad = |k: usize| {
        let (column, row) = ((k / 2) % 16, k / 32);
        let centre = if row < 4 {
            point(-17.0 + column as f64, -15.0 + 10.0 * row as f64)
        } else {
            point(0.5 + 1.9 * column as f64, -3.0 + 2.0 * (row - 4) as f64)
        };
        Load::pad(solid, centre, 5.0, &all, if k.is_multiple_of(2) { Face::Show } else { Face::Back })
    };
    (0..PADS).map(|k| pad(k).expect("every pad meets wood").0).collect()
}

/// Mean tractions over nine windows of the arm's root.
fn asked(solid: &Solid) -> Vec<Asked> {
    let chain = solid.body().mesh.edges_on(point(0.0, 4.0), point(0.0, -4.0));
    let layers = solid.body().layers.len() as u32;
    let plane = Plane::new(solid, &chain, 0..layers).expect("the root is wood");
    let spans = |whole: f64| [0.0, 0.375, 0.75].map(|at| [at * whole, (at + 0.25) * whole]);
    let windows =
        spans(8.0).into_iter().flat_map(|along| spans(THICKNESS).map(|through| Window { along, through }));
    windows.flat_map(|window| plane.mean(&window)).collect()
}
