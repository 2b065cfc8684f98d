//! An insert and its pocket, made to go together.

use geo::{MultiPolygon, Polygon};

use super::contour::{Contour, Node};
use super::error::{Fault, FitError};
use super::grown::grown;
use super::options::{Bit, Corners, Options};
use super::outline::Outline;
use super::reach::{self, Moved, kept};
use super::recover::Recovery;
use super::relief::Relief;
use crate::shape::Shape;
use crate::shape::plane::{Point, distance, dot, point, unit};
use crate::units::{Angle, Length};

/// An insert and the pocket it goes into, both seen from the face.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The insert.
    pub insert: Outline,
    /// The pocket: the insert grown by the clearance, and relieved where that was asked for.
    pub pocket: Outline,
    /// Which way the insert's grain runs, anticlockwise from +x.
    pub grain: Angle,
    /// What it was made for.
    pub options: Options,
    /// What the bits' roundness cost.
    pub rounded: Rounded,
    /// How many of the pocket's corners are relieved.
    pub reliefs: usize,
    /// Sentences a person should read before cutting.
    pub cautions: Vec<String>,
}

/// How far the insert is from what was drawn, because bits are round.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rounded {
    /// The most a convex corner was cut back, in mm.
    pub cut_back_mm: f64,
    /// The most a hollow corner was filled, in mm.
    pub filled_mm: f64,
}

impl Fit {
    /// The insert's thickness as it is cut: the pocket's depth and the flush allowance.
    pub fn insert_thickness(&self) -> Length {
        Length::mm(self.options.depth.as_mm() + self.options.proud.as_mm())
    }

    /// The insert's length along its own grain and its width across.
    pub fn insert_size(&self) -> [Length; 2] {
        let [x0, y0, x1, y1] = self.insert.turned(-self.grain.as_rad()).bounds();
        [Length::mm(x1 - x0), Length::mm(y1 - y0)]
    }

    /// The pocket's from wall to wall, in the same directions; what reliefs reach beyond does not count.
    pub fn pocket_size(&self) -> [Length; 2] {
        self.insert_size().map(|size| Length::mm(size.as_mm() + 2.0 * self.options.clearance.as_mm()))
    }

    /// The wood left in front of the pocket, where the board's thickness is known.
    pub fn show_face(&self) -> Option<Length> {
        Some(Length::mm(self.options.board?.as_mm() - self.options.depth.as_mm()))
    }
}

/// Fits an insert of this outline, seen from the face, its grain running as told.
///
/// Corners are rounded so that the bits can cut both parts (see [`Corners`]); what that takes off or adds is in
/// [`Fit::rounded`]. A rectangle is rounded exactly; of other outlines every point lies within 0.001 mm of the exact one.
///
/// # Errors
///
/// [`FitError`] with every fault: options out of range, an outline that is none, every bit that does not get into some part,
/// with the largest that would.
///
/// # Example
///
/// ```
/// use shortgrain::fit::{Options, fit};
/// use shortgrain::shape::Shape;
/// use shortgrain::units::Angle;
///
/// let bar = geo::Rect::new((0.0, 0.0), (60.0, 20.0)).to_polygon();
/// let fit = fit(&Shape::new(bar)?, Angle::deg(0.0), &Options::default())?;
/// let [length, _] = fit.pocket_size();
/// assert!((length.as_mm() - 60.1).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(outline: &Shape, grain: Angle, options: &Options) -> Result<Fit, FitError> {
    let mut faults = faults(options);
    if !grain.as_deg().is_finite() {
        faults.push(Fault::Outline(crate::shape::ShapeError::NotFinite));
    }
    if let Err(error) = outline.check() {
        faults.push(error.into());
    }
    let points = outline.rings().map(|ring| ring.0.len()).sum();
    if points > MOST_POINTS {
        faults.push(Fault::TooFine(points));
    }
    if !faults.is_empty() {
        return Err(FitError { faults });
    }
    let drawn = outline.polygon();
    let (insert, rounded) = match (rectangle(drawn), options.corners) {
        (Some(sides), _) => of_rectangle(sides, drawn, options)?,
        (None, Corners::Ends) => return Err(FitError { faults: vec![Fault::EndsNeedBar] }),
        (None, _) => of_polygon(drawn, options)?,
    };
    with_pocket(insert, rounded, grain, options)
}

/// The direction in which an outline is longest, by the smallest rectangle round it: where an insert's grain goes unless told
/// otherwise.
pub fn long_way(outline: &Shape) -> Angle {
    use geo::MinimumRotatedRect;
    let way = outline.polygon().minimum_rotated_rect().map_or(point(1.0, 0.0), |round| {
        let ring = round.exterior().0.clone();
        let (a, b) = (ring[1] - ring[0], ring[2] - ring[1]);
        if dot(a, a) >= dot(b, b) { a } else { b }
    });
    let degrees = way.y.atan2(way.x).to_degrees().rem_euclid(180.0);
    // A drawing's points lie on a grid; nobody means a millionth of a degree.
    Angle::deg((degrees * 1e4).round() / 1e4 % 180.0)
}

/// More points than any insert needs; past that, looking at what a bit reaches takes too long.
const MOST_POINTS: usize = 20_000;

/// Everything wrong with the options.
pub(super) fn faults(options: &Options) -> Vec<Fault> {
    let mut faults = Vec::new();
    let within = |length: Length, least: f64, most: f64| (least..=most).contains(&length.as_mm());
    if !within(options.clearance, 0.02, 1.0) {
        faults.push(Fault::Clearance(options.clearance));
    }
    for (which, given) in [(Bit::Pocket, options.pocket_bit), (Bit::Insert, options.insert_bit)] {
        if !within(given, 0.5, 50.0) {
            faults.push(Fault::BitSize { which, given });
        }
    }
    if !within(options.depth, 0.5, 100.0) {
        faults.push(Fault::Depth(options.depth));
    }
    if !within(options.proud, 0.0, 5.0) {
        faults.push(Fault::Proud(options.proud));
    }
    match options.board {
        Some(board) if !board.as_mm().is_finite() || options.depth >= board => {
            faults.push(Fault::NoShowFace { depth: options.depth, board });
        }
        _ => {}
    }
    faults
}

/// A rectangle's lower left corner and its two sides, the second to the left of the first.
type Sides = [Point; 3];

/// The sides of a polygon that is a rectangle, the longer one first.
fn rectangle(polygon: &Polygon<f64>) -> Option<Sides> {
    let ring = &polygon.exterior().0;
    if ring.len() != 5 || !polygon.interiors().is_empty() {
        return None;
    }
    let side = |i: usize| ring[i + 1] - ring[i];
    // A drawing's points lie on a grid of 0.0001 mm.
    let square = (0..3).all(|i| dot(unit(side(i)), side(i + 1)).abs() < 2e-4);
    let first = usize::from(distance(ring[1], ring[0]) < distance(ring[2], ring[1]));
    square.then(|| [ring[first], side(first), side(first + 1)])
}

/// The insert that a rectangle becomes, exactly.
pub(super) fn of_rectangle(
    [corner, along, across]: Sides,
    drawn: &Polygon<f64>,
    options: &Options,
) -> Result<(Outline, Rounded), FitError> {
    let (long, wide) = (distance(along, point(0.0, 0.0)), distance(across, point(0.0, 0.0)));
    let bit = options.pocket_bit.as_mm() / 2.0;
    if options.narrowest().as_mm() > wide + 1e-9 {
        let largest = (wide >= 0.5).then(|| Length::mm((wide * 100.0 + 1e-6).floor() / 100.0));
        let at = corner + along / 2.0 + across / 2.0;
        let fault =
            Fault::TooNarrow { which: Bit::Pocket, what: "pocket", at, bit: options.pocket_bit, largest };
        return Err(FitError { faults: vec![fault] });
    }
    let radius = match options.corners {
        Corners::Relieved => return Ok((Outline::of_polygon(drawn, &sides_only()), Rounded::default())),
        Corners::Round => bit,
        Corners::Ends => wide / 2.0,
    };
    let (u, v) = (unit(along), unit(across));
    let at = |x: f64, y: f64| corner + u * x + v * y;
    // Each side from where one corner's arc ends to where the next one's begins; the arc follows it.
    let sides = [
        [at(radius, 0.0), at(long - radius, 0.0)],
        [at(long, radius), at(long, wide - radius)],
        [at(long - radius, wide), at(radius, wide)],
        [at(0.0, wide - radius), at(0.0, radius)],
    ];
    let quarter = (std::f64::consts::PI / 8.0).tan();
    let mut nodes = Vec::new();
    for [from, to] in sides {
        if distance(from, to) > 1e-9 {
            nodes.push(Node { at: from, bulge: 0.0 });
        }
        nodes.push(Node { at: to, bulge: quarter });
    }
    let rounded = Rounded { cut_back_mm: radius * (2f64.sqrt() - 1.0), filled_mm: 0.0 };
    Ok((Outline { outer: Contour::new(nodes), openings: Vec::new() }, rounded))
}

/// No arcs: every point is a corner.
fn sides_only() -> Recovery {
    Recovery { on_circle: 0.0, off_chord: 0.0, expected: [None; 2] }
}

/// The insert that any outline becomes, opened for the pocket's bit and closed for the insert's.
fn of_polygon(drawn: &Polygon<f64>, options: &Options) -> Result<(Outline, Rounded), FitError> {
    let convex = options.pocket_bit.as_mm() / 2.0;
    let hollow = options.insert_bit.as_mm() / 2.0 + options.clearance.as_mm();
    let opened = after(drawn, reach::opened, convex, Bit::Pocket, options);
    let closed_alone = after(drawn, reach::closed, hollow, Bit::Insert, options);
    let ((opened, cut_back), filled) = match (opened, closed_alone) {
        (Ok(opened), Ok((_, filled))) => (opened, filled),
        (opened, closed) => {
            return Err(FitError { faults: opened.err().into_iter().chain(closed.err()).collect() });
        }
    };
    let how = Recovery {
        on_circle: 2e-4,
        off_chord: 1e-3 * convex.max(hollow).max(2.0),
        expected: [Some(convex), Some(hollow)],
    };
    let relieved = options.corners == Corners::Relieved;
    // The chords of the offset's arcs are coarse, and closing would leave a step where two of them meet: fine ones instead.
    let start = if relieved { drawn.clone() } else { Outline::of_polygon(&opened, &how).polygon(1e-5) };
    let (smooth, _) = after(&start, reach::closed, hollow, Bit::Insert, options)
        .map_err(|fault| FitError { faults: vec![fault] })?;
    let smooth = if relieved { sharp_again(&smooth, drawn, hollow) } else { smooth };
    let insert = Outline::of_polygon(&smooth, &how);
    let cut_back_mm = if relieved { 0.0 } else { cut_back.far };
    Ok((insert, Rounded { cut_back_mm, filled_mm: filled.far }))
}

/// The outline with its sharp corners where they were drawn: growing and shrinking again leaves a few points about each,
/// as far off as the offset's chords leave its arcs.
fn sharp_again(smooth: &Polygon<f64>, drawn: &Polygon<f64>, radius: f64) -> Polygon<f64> {
    use geo::{CoordsIter, MapCoords};
    let near = 1e-3 + 2e-3 * radius;
    let corners: Vec<Point> = drawn.coords_iter().collect();
    smooth.map_coords(|p| {
        let nearest = corners.iter().min_by(|a, b| distance(**a, p).total_cmp(&distance(**b, p)));
        nearest.copied().filter(|corner| distance(*corner, p) < near).unwrap_or(p)
    })
}

/// What a part may be narrower than the bit, in mm: the bit gets in by the clearance.
const HAIR: f64 = 1e-3;
/// A radius that is so much more than the largest that passes is hardly too large, in mm: two of the steps in which that is found.
const HARDLY: f64 = 0.01;
/// An insert that is so many times as wide across its grain as long along it is short-grained itself: our own rule.
const SHORT_GRAINED: f64 = 1.5;

/// The outline opened or closed by a bit, or the place the bit does not get into.
fn after(
    drawn: &Polygon<f64>,
    by: fn(&Polygon<f64>, f64) -> MultiPolygon<f64>,
    radius: f64,
    which: Bit,
    options: &Options,
) -> Result<(Polygon<f64>, Moved), Fault> {
    let tried = |radius: f64| kept(drawn, &by(drawn, radius), radius);
    // A part just as wide as the bit is let pass.
    tried(radius).or_else(|_| tried(radius - HAIR)).map_err(|at| {
        let largest = reach::largest(radius, |radius| tried(radius - HAIR).is_ok());
        // A bit that is hardly too wide does not get into the narrowest part alone; that is the one to tell.
        let hardly = largest.map_or(radius, |most| (most + HARDLY).min(radius));
        let at = reach::broken(drawn, &by(drawn, hardly), hardly).unwrap_or(at);
        let (what, bit, slack) = match which {
            Bit::Pocket => ("part", options.pocket_bit, 0.0),
            // A hollow corner has the clearance to its bit's radius.
            Bit::Insert => ("notch", options.insert_bit, options.clearance.as_mm()),
        };
        let largest =
            largest.map(|radius| Length::mm(2.0 * (radius - slack))).filter(|bit| bit.as_mm() >= 0.5 - 1e-9);
        Fault::TooNarrow { which, what, at, bit, largest }
    })
}

/// The pocket that goes with an insert.
pub(super) fn with_pocket(
    insert: Outline,
    rounded: Rounded,
    grain: Angle,
    options: &Options,
) -> Result<Fit, FitError> {
    let clearance = options.clearance.as_mm();
    let mut pocket = grown(&insert, clearance);
    let mut reliefs = 0;
    if options.corners == Corners::Relieved {
        let bit = options.pocket_bit.as_mm() / 2.0;
        let relief = Relief { bit, clearance };
        let mut faults = Vec::new();
        let mut cut = |contour: &Contour| match relief.cut(contour) {
            Ok((contour, count)) => {
                reliefs += count;
                contour
            }
            Err(more) => {
                faults.extend(more);
                contour.clone()
            }
        };
        pocket =
            Outline { outer: cut(&pocket.outer), openings: pocket.openings.iter().map(&mut cut).collect() };
        if faults.is_empty() {
            faults.extend(tight_curve(&pocket, bit, options));
        }
        if !faults.is_empty() {
            return Err(FitError { faults });
        }
    }
    let cautions = cautions(options);
    let mut fit = Fit { insert, pocket, grain, options: *options, rounded, reliefs, cautions };
    let [along, across] = fit.insert_size().map(Length::as_mm);
    if across > SHORT_GRAINED * along {
        fit.cautions.push(format!(
            "it is {across:.1} mm across its own grain and only {along:.1} mm along it, so it is short-grained itself (our own rule: \
             more than {SHORT_GRAINED} times as wide as long) and may split before it holds anything: give the length along the \
             grain first, or turn its grain"
        ));
    }
    Ok(fit)
}

/// Where the pocket's bit stays away from the pocket's edge by more than half the clearance.
fn tight_curve(pocket: &Outline, bit: f64, options: &Options) -> Option<Fault> {
    let whole = pocket.polygon(1e-3);
    let fault = |at| Fault::TightCurve { at, bit: options.pocket_bit };
    // A thousandth for the arcs' chords.
    match kept(&whole, &reach::opened(&whole, bit - 1e-3), bit) {
        Ok((_, moved)) if moved.far <= options.clearance.as_mm() / 2.0 + 2e-3 => None,
        Ok((_, moved)) => Some(fault(moved.at)),
        Err(at) => Some(fault(at)),
    }
}

/// What a person should read before cutting.
fn cautions(options: &Options) -> Vec<String> {
    let mut all = Vec::new();
    let glue = options.glue;
    let [least, most] = glue.clearance();
    let clearance = options.clearance.as_mm();
    if clearance < least.as_mm() - 1e-9 {
        all.push(format!(
            "a clearance of {clearance:.3} mm a side is tighter than the {:.2} mm an insert usually wants to go in; cut \
             the coupon first",
            least.as_mm()
        ));
    }
    if clearance > most.as_mm() + 1e-9 {
        all.push(format!(
            "{} is used with gaps up to {:.2} mm a side, and this one is {clearance:.3} mm; take less clearance or a \
             glue that fills",
            glue.name(),
            most.as_mm()
        ));
    }
    if let Some(board) = options.board {
        let left = board.as_mm() - options.depth.as_mm();
        let want = (board.as_mm() / 3.0).max(3.0);
        if left < want - 1e-9 {
            all.push(format!(
                "the show face left is {left:.1} mm; common practice is a third of the board and at least 3 mm, here {want:.1} mm"
            ));
        }
    }
    all
}
