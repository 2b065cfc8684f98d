//! What one entity draws.

use kurbo::{Affine, BezPath, Point, Vec2};

use super::curve::{self, Spline};
use super::tags::{Record, Tag};
use crate::design::LeftOut;

/// What one entity is to a reader of outlines.
#[derive(Debug)]
pub(super) enum Meaning<'a> {
    /// A line or curve, in its own drawing or block.
    Line(BezPath),
    /// A placed block.
    Insert(Insert<'a>),
    /// Words, dimensions, points, shading: nothing that is an outline, and why.
    Remark(LeftOut),
    /// The end of a list or block.
    Nothing,
    /// It reaches out of the plane of the drawing.
    Solid,
    /// It may be an outline, but not one that can be read.
    Unknown,
    /// What is wrong with it.
    Bad(String),
}

/// How a block is placed.
#[derive(Clone, Debug)]
pub(super) struct Insert<'a> {
    pub(super) block: &'a str,
    /// One for each row and column, the block's base point not yet taken off.
    pub(super) places: Grid,
}

/// The rows and columns of an insert.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    columns: u32,
    rows: u32,
    step: Vec2,
    at: Point,
    turn: f64,
    scale: [f64; 2],
    mirrored: bool,
}

impl Grid {
    pub(super) const fn count(&self) -> usize {
        self.columns as usize * self.rows as usize
    }

    /// From the block's coordinates, relative to its base point, to the drawing's.
    pub(super) fn place(&self, number: usize) -> Affine {
        let columns = self.columns as usize;
        #[expect(clippy::cast_precision_loss, reason = "counts that a limit has bounded")]
        let shift =
            Vec2::new((number % columns) as f64 * self.step.x, (number / columns) as f64 * self.step.y);
        turned_over(self.mirrored)
            * Affine::translate(self.at.to_vec2())
            * Affine::rotate(self.turn)
            * Affine::translate(shift)
            * Affine::scale_non_uniform(self.scale[0], self.scale[1])
    }
}

/// Entities that are no outlines, in any drawing, and what they are instead.
const NO_OUTLINES: [(LeftOut, &[&str]); 4] = [
    (
        LeftOut::Remark,
        &[
            "ACAD_TABLE",
            "ARC_DIMENSION",
            "ATTDEF",
            "ATTRIB",
            "CAMERA",
            "DIMENSION",
            "GEOPOSITIONMARKER",
            "LARGE_RADIAL_DIMENSION",
            "LEADER",
            "LIGHT",
            "MTEXT",
            "MULTILEADER",
            "POINT",
            "RTEXT",
            "SECTION",
            "SUN",
            "TEXT",
            "TOLERANCE",
            "VIEWPORT",
        ],
    ),
    (LeftOut::Shading, &["HATCH", "WIPEOUT"]),
    (LeftOut::Endless, &["RAY", "XLINE"]),
    (LeftOut::Picture, &["DGNUNDERLAY", "DWFUNDERLAY", "IMAGE", "OLE2FRAME", "OLEFRAME", "PDFUNDERLAY"]),
];

/// Two heights closer than this are one: rounding of the program that wrote them, in the drawing's units.
const LEVEL: f64 = 1e-6;

/// Reads an entity; `vertices` are the `VERTEX` records behind a `POLYLINE`.
pub(super) fn meaning<'a>(record: &Record<'a>, vertices: &[Record<'a>]) -> Meaning<'a> {
    let read = match record.kind {
        "LINE" => line(record),
        "CIRCLE" => circle(record),
        "ARC" => arc(record),
        "ELLIPSE" => ellipse(record),
        "LWPOLYLINE" => light_polyline(record),
        "POLYLINE" => polyline(record, vertices),
        "SPLINE" => spline(record),
        "INSERT" => insert(record),
        "SEQEND" | "ENDBLK" | "VERTEX" => Ok(Meaning::Nothing),
        "3DFACE" | "3DSOLID" | "BODY" | "MESH" | "SURFACE" | "EXTRUDEDSURFACE" | "LOFTEDSURFACE"
        | "PLANESURFACE" | "REVOLVEDSURFACE" | "SWEPTSURFACE" | "HELIX" => Ok(Meaning::Solid),
        kind => Ok(no_outline(kind).map_or(Meaning::Unknown, Meaning::Remark)),
    };
    read.unwrap_or_else(Meaning::Bad)
}

fn no_outline(kind: &str) -> Option<LeftOut> {
    NO_OUTLINES.iter().find(|(_, kinds)| kinds.contains(&kind)).map(|(why, _)| *why)
}

type Read<'a> = Result<Meaning<'a>, String>;

/// The numbers of an entity, by their codes.
struct Numbers<'a>(Record<'a>);

impl Numbers<'_> {
    /// A number that has to be there.
    fn must(&self, code: i32) -> Result<f64, String> {
        let tag = self.0.get(code).ok_or_else(|| format!("its group code {code} is missing"))?;
        number(&tag)
    }

    /// A number that has a usual value.
    fn or(&self, code: i32, usual: f64) -> Result<f64, String> {
        self.0.get(code).map_or(Ok(usual), |tag| number(&tag))
    }

    fn point(&self, code: i32) -> Result<Point, String> {
        Ok(Point::new(self.must(code)?, self.must(code + 10)?))
    }

    /// Whether the entity is seen from below, its x running left; `None` when its plane is tilted.
    fn mirrored(&self) -> Result<Option<bool>, String> {
        let [x, y, z] = [self.or(210, 0.0)?, self.or(220, 0.0)?, self.or(230, 1.0)?];
        let level = x.hypot(y) <= LEVEL * z.abs() && z != 0.0;
        Ok(level.then_some(z < 0.0))
    }
}

fn number(tag: &Tag<'_>) -> Result<f64, String> {
    let found = crate::design::svg::shortened(tag.value);
    tag.number()
        .ok_or_else(|| format!("its group code {} is \"{found}\", which is not a finite number", tag.code))
}

/// From the coordinates of a plane seen from below to those of the drawing.
fn turned_over(mirrored: bool) -> Affine {
    if mirrored { Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]) } else { Affine::IDENTITY }
}

/// A curve in its entity's own plane.
fn in_plane<'a>(numbers: &Numbers<'_>, path: BezPath) -> Read<'a> {
    Ok(match numbers.mirrored()? {
        Some(mirrored) => Meaning::Line(turned_over(mirrored) * path),
        None => Meaning::Solid,
    })
}

fn line<'a>(record: &Record<'a>) -> Read<'a> {
    let numbers = Numbers(*record);
    let (from, to) = (numbers.point(10)?, numbers.point(11)?);
    if (numbers.or(30, 0.0)? - numbers.or(31, 0.0)?).abs() > LEVEL {
        return Ok(Meaning::Solid);
    }
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    Ok(Meaning::Line(path))
}

fn radius(numbers: &Numbers<'_>) -> Result<f64, String> {
    let radius = numbers.must(40)?;
    if radius > 0.0 { Ok(radius) } else { Err(format!("its radius, {radius}, is not above zero")) }
}

fn circle<'a>(record: &Record<'a>) -> Read<'a> {
    let numbers = Numbers(*record);
    let mut path = BezPath::new();
    curve::arc(&mut path, numbers.point(10)?, radius(&numbers)?, 0.0, std::f64::consts::TAU);
    path.close_path();
    in_plane(&numbers, path)
}

/// How far to turn anticlockwise from one angle to another, in the same unit as `whole`.
fn turn(from: f64, to: f64, whole: f64) -> f64 {
    let turn = (to - from).rem_euclid(whole);
    if turn <= 1e-9 * whole { whole } else { turn }
}

fn arc<'a>(record: &Record<'a>) -> Read<'a> {
    let numbers = Numbers(*record);
    let (from, to) = (numbers.must(50)?, numbers.must(51)?);
    let sweep = turn(from, to, 360.0);
    let mut path = BezPath::new();
    curve::arc(&mut path, numbers.point(10)?, radius(&numbers)?, from.to_radians(), sweep.to_radians());
    if sweep >= 360.0 {
        path.close_path();
    }
    in_plane(&numbers, path)
}

fn ellipse<'a>(record: &Record<'a>) -> Read<'a> {
    let numbers = Numbers(*record);
    let major = numbers.point(11)?.to_vec2();
    let ratio = numbers.must(40)?;
    let (from, to) = (numbers.or(41, 0.0)?, numbers.or(42, std::f64::consts::TAU)?);
    let Some(mirrored) = numbers.mirrored()?.filter(|_| numbers.or(31, 0.0).is_ok_and(|z| z.abs() <= LEVEL))
    else {
        return Ok(Meaning::Solid);
    };
    if ratio <= 0.0 || major.hypot() <= 0.0 {
        return Err("its axes are not above zero".to_owned());
    }
    // Centre and axes are the drawing's own; only the way round is the plane's.
    let minor = Vec2::new(-major.y, major.x) * if mirrored { -ratio } else { ratio };
    let sweep = turn(from, to, std::f64::consts::TAU);
    let mut path = curve::ellipse(numbers.point(10)?, major, minor, from, sweep);
    if sweep >= std::f64::consts::TAU {
        path.close_path();
    }
    Ok(Meaning::Line(path))
}

/// A corner of a polyline and the bulge of what follows it.
struct Corner {
    at: Point,
    bulge: f64,
}

fn run(corners: &[Corner], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    let Some(first) = corners.first() else { return path };
    path.move_to(first.at);
    for pair in corners.windows(2) {
        curve::bulged(&mut path, pair[0].at, pair[1].at, pair[0].bulge);
    }
    if closed && let Some(last) = corners.last() {
        if last.bulge != 0.0 {
            curve::bulged(&mut path, last.at, first.at, last.bulge);
        }
        path.close_path();
    }
    path
}

fn light_polyline<'a>(record: &Record<'a>) -> Read<'a> {
    let mut corners: Vec<Corner> = Vec::new();
    let mut closed = false;
    for tag in record.tags() {
        match tag.code {
            10 => corners.push(Corner { at: Point::new(number(&tag)?, f64::NAN), bulge: 0.0 }),
            20 => {
                if let Some(corner) = corners.last_mut() {
                    corner.at.y = number(&tag)?;
                }
            }
            42 => {
                if let Some(corner) = corners.last_mut() {
                    corner.bulge = number(&tag)?;
                }
            }
            70 => closed = tag.flags() & 1 != 0,
            _ => {}
        }
    }
    if corners.iter().any(|corner| corner.at.y.is_nan()) {
        return Err("one of its points has no group code 20".to_owned());
    }
    in_plane(&Numbers(*record), run(&corners, closed))
}

fn polyline<'a>(record: &Record<'a>, vertices: &[Record<'a>]) -> Read<'a> {
    const IN_SPACE: i64 = 8;
    const MESHES: i64 = 16 | 64;
    const SPLINED: i64 = 4;
    /// A vertex that only shapes the spline through others.
    const FRAME: i64 = 16;
    let flags = |record: &Record<'_>| record.get(70).map_or(0, |tag| tag.flags());
    let kind = flags(record);
    if kind & MESHES != 0 {
        return Ok(Meaning::Solid);
    }
    let mut corners = Vec::new();
    let mut heights = (f64::INFINITY, f64::NEG_INFINITY);
    for vertex in vertices {
        if kind & SPLINED != 0 && flags(vertex) & FRAME != 0 {
            continue;
        }
        let numbers = Numbers(*vertex);
        let height = numbers.or(30, 0.0)?;
        heights = (heights.0.min(height), heights.1.max(height));
        corners.push(Corner { at: numbers.point(10)?, bulge: numbers.or(42, 0.0)? });
    }
    let in_space = kind & IN_SPACE != 0;
    if in_space && heights.1 - heights.0 > LEVEL {
        return Ok(Meaning::Solid);
    }
    let path = run(&corners, kind & 1 != 0);
    if in_space { Ok(Meaning::Line(path)) } else { in_plane(&Numbers(*record), path) }
}

fn spline<'a>(record: &Record<'a>) -> Read<'a> {
    let (mut knots, mut weights) = (Vec::new(), Vec::new());
    let (mut poles, mut fits) = (Vec::new(), Vec::new());
    let mut ends: [Option<Vec2>; 2] = [None, None];
    let (mut heights, mut degree, mut flags) = ((f64::INFINITY, f64::NEG_INFINITY), 3, 0);
    for tag in record.tags() {
        let y_of = |points: &mut Vec<Point>| -> Result<(), String> {
            if let Some(point) = points.last_mut() {
                point.y = number(&tag)?;
            }
            Ok(())
        };
        match tag.code {
            70 => flags = tag.flags(),
            71 => degree = usize::try_from(tag.flags()).unwrap_or(0),
            40 => knots.push(number(&tag)?),
            41 => weights.push(number(&tag)?),
            10 => poles.push(Point::new(number(&tag)?, f64::NAN)),
            20 => y_of(&mut poles)?,
            11 => fits.push(Point::new(number(&tag)?, f64::NAN)),
            21 => y_of(&mut fits)?,
            30 | 31 => {
                let height = number(&tag)?;
                heights = (heights.0.min(height), heights.1.max(height));
            }
            12 | 13 => ends[usize::from(tag.code == 13)] = Some(Vec2::new(number(&tag)?, 0.0)),
            22 | 23 => {
                if let Some(end) = &mut ends[usize::from(tag.code == 23)] {
                    end.y = number(&tag)?;
                }
            }
            _ => {}
        }
    }
    if heights.1 - heights.0 > LEVEL {
        return Ok(Meaning::Solid);
    }
    if poles.is_empty() && fits.is_empty() {
        return Err("it has no points".to_owned());
    }
    if poles.iter().chain(&fits).any(|point| point.y.is_nan()) {
        return Err("one of its points has no y".to_owned());
    }
    let ends = ends.map(|end| end.filter(|end| end.hypot() > 0.0));
    let mut path = if poles.is_empty() {
        curve::through(&fits, ends)
    } else {
        let (points, all) = (poles.len(), knots.len());
        Spline::new(degree, knots, &poles, &weights)
            .ok_or_else(|| {
                format!(
                    "degree {degree}, {points} points, {all} knots and {} weights do not go together",
                    weights.len()
                )
            })?
            .path()
    };
    if flags & 1 != 0 {
        path.close_path();
    }
    Ok(Meaning::Line(path))
}

fn insert<'a>(record: &Record<'a>) -> Read<'a> {
    let numbers = Numbers(*record);
    let block = record.get(2).ok_or("it names no block")?.value;
    let count =
        |code| record.get(code).map_or(1, |tag| u32::try_from(tag.flags()).unwrap_or(1)).clamp(1, 0x7fff);
    let Some(mirrored) = numbers.mirrored()? else { return Ok(Meaning::Solid) };
    let places = Grid {
        columns: count(70),
        rows: count(71),
        step: Vec2::new(numbers.or(44, 0.0)?, numbers.or(45, 0.0)?),
        at: numbers.point(10)?,
        turn: numbers.or(50, 0.0)?.to_radians(),
        scale: [numbers.or(41, 1.0)?, numbers.or(42, 1.0)?],
        mirrored,
    };
    Ok(Meaning::Insert(Insert { block, places }))
}
