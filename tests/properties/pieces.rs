//! Pieces to hold promises against: the samples, and random plates with bars, slots, holes and spikes.

use std::path::PathBuf;

use geo::{BooleanOps, MultiPolygon, Polygon};
use geo_types::{Coord, LineString};
use proptest::prelude::*;
use shortgrain::{
    check::{Finding, Options, Pushes, check},
    design::{self, read_board},
    shape::Shape,
    units::{Angle, Force, Length},
    wood::{Board, Mechanics, OwnValues, Rings, Wood},
};

/// A piece with everything a check wants to know.
#[derive(Clone, Debug)]
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) shape: Shape,
    pub(crate) board: Board,
    pub(crate) wood: Mechanics,
    pub(crate) pushes: Pushes,
}

impl Case {
    pub(crate) fn finding(&self) -> Finding {
        check(&self.name, &self.shape, &self.board, &self.wood, &self.pushes, &Options::default())
            .expect("a checked shape has a finding")
    }
}

/// Every piece of every sample, on its own board.
pub(crate) fn samples() -> Vec<Case> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shapes");
    let mut names: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("there are samples")
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.is_dir())
        .collect();
    names.sort();
    names
        .iter()
        .flat_map(|path| sample(path.file_name().and_then(|n| n.to_str()).expect("a plain name")))
        .collect()
}

/// The pieces of one sample.
pub(crate) fn sample(name: &str) -> Vec<Case> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shapes").join(name);
    let drawing = std::fs::read(folder.join(format!("{name}.svg"))).expect("a sample's drawing");
    let text = std::fs::read_to_string(folder.join("board.toml")).expect("a sample's board");
    let file = read_board("board.toml", &text).expect("a sample's board is right");
    let board = Board {
        thickness: file.thickness.expect("a thickness"),
        grain: file.grain.expect("a grain angle"),
        rings: file.rings.unwrap_or(Rings::Unknown),
        moisture_pct: file.moisture_pct.unwrap_or(12.0),
    };
    let wood = Wood::find(&file.wood.expect("a wood")).expect("a known wood");
    let wood = wood.mechanics(&board, &OwnValues::none()).expect("a whole wood");
    let pushes = Pushes {
        face: file.push.unwrap_or_else(|| Force::n(45.0)),
        side: file.side.unwrap_or_else(|| Force::n(45.0)),
    };
    let options = design::Options {
        drawn_in: file.drawn_in,
        inner: file.inner,
        page: file.page,
        ..design::Options::default()
    };
    let design = design::read_svg(name, &drawing, &options).expect("a sample's drawing is right");
    design
        .pieces
        .into_iter()
        .map(|piece| Case {
            name: format!("{name}/{}", piece.name),
            shape: piece.shape,
            board,
            wood: wood.clone(),
            pushes,
        })
        .collect()
}

fn rectangle(x: f64, y: f64, width: f64, height: f64, turn: f64) -> Polygon<f64> {
    let (sin, cos) = turn.sin_cos();
    let corner = |u: f64, v: f64| Coord { x: x + u * cos - v * sin, y: y + u * sin + v * cos };
    let (a, b) = (width / 2.0, height / 2.0);
    Polygon::new(LineString(vec![corner(-a, -b), corner(a, -b), corner(a, b), corner(-a, b)]), Vec::new())
}

fn disc(x: f64, y: f64, radius: f64) -> Polygon<f64> {
    let ring = (0..64)
        .map(|i| {
            let (sin, cos) = (f64::from(i) / 64.0 * std::f64::consts::TAU).sin_cos();
            Coord { x: x + radius * cos, y: y + radius * sin }
        })
        .collect();
    Polygon::new(LineString(ring), Vec::new())
}

prop_compose! {
    fn bar()(x in 10.0..110.0, y in 10.0..70.0, length in 10.0..70.0, width in 3.0..14.0, turn in 0..12)
        -> Polygon<f64>
    {
        rectangle(x, y, length, width, f64::from(turn) * 15_f64.to_radians())
    }
}

prop_compose! {
    fn blob()(x in 10.0..110.0, y in 10.0..70.0, radius in 3.0..22.0) -> Polygon<f64> {
        disc(x, y, radius)
    }
}

fn joined(parts: &[Polygon<f64>]) -> MultiPolygon<f64> {
    parts.iter().fold(MultiPolygon::new(Vec::new()), |all, part| all.union(&MultiPolygon::from(part.clone())))
}

prop_compose! {
    /// The biggest piece of some bars and discs joined, some others taken out; walls under 1.5 mm opened.
    pub(crate) fn random_shape()(
        added in prop::collection::vec(prop_oneof![3 => bar(), 1 => blob()], 2..8),
        taken in prop::collection::vec(prop_oneof![1 => bar(), 1 => blob()], 0..4),
    ) -> Option<Shape> {
        use geo::{Area, Buffer};
        let left = joined(&added).difference(&joined(&taken));
        // A polish of 0.8 mm leaves no hair and no crumb, as no bit would.
        let polished = left.buffer(-0.8).buffer(0.8);
        let biggest = polished.into_iter().max_by(|a, b| a.unsigned_area().total_cmp(&b.unsigned_area()))?;
        (biggest.unsigned_area() > 150.0).then(|| Shape::new(biggest).ok()).flatten()
    }
}

/// A random piece on a board of cherry.
pub(crate) fn random_case(shape: Shape, grain_deg: f64, thickness: f64) -> Case {
    let board = Board {
        thickness: Length::mm(thickness),
        grain: Angle::deg(grain_deg),
        rings: Rings::Flat,
        moisture_pct: 12.0,
    };
    let wood = Wood::find("cherry").expect("a known wood");
    let wood = wood.mechanics(&board, &OwnValues::none()).expect("a whole wood");
    Case { name: "random".to_owned(), shape, board, wood, pushes: Pushes::default() }
}
