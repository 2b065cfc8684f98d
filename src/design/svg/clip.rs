//! Applies clip paths, and the edges of drawings within the drawing, to the shapes they hide parts of.

use kurbo::{Affine, BezPath};

use super::trace::Tracing;
use crate::design::drawn::{Contour, Drawn, Fill};
use crate::design::flat::flattened;
use crate::design::outline::{ring, sides};
use crate::design::{Fault, FaultKind, LeftOut, Note, Place, Window};
use crate::shape::{
    Edge, FillRule, GRID_PER_MM, GridPoint, Locator, Region, Ring, Tangle, edges, placed, snapped,
};

/// What shows shapes only as far as its own shapes, in mm, reach together.
#[derive(Debug)]
pub(super) struct Clip {
    pub(super) by: Window,
    pub(super) shapes: Vec<(BezPath, FillRule)>,
}

impl Tracing<'_> {
    /// The shapes as far as their windows show them; `shift` is what moved the shapes.
    ///
    /// A filled area is cut exactly. A line is taken whole or not at all: cut, its outline would be open.
    pub(super) fn applied(&mut self, drawn: Vec<Drawn>, shift: Affine, tolerance: f64) -> Vec<Drawn> {
        let clips = std::mem::take(&mut self.clips);
        let clips = clips.into_iter().map(|clip| Outlined::new(clip, shift, tolerance)).collect::<Vec<_>>();
        let clipped = std::mem::take(&mut self.clipped);
        if let Some(fault) = crossings(&drawn, &clips, &clipped, self.options.limits.crossings) {
            self.faults.push(fault);
            return Vec::new();
        }
        let views: Vec<View> = clips.into_iter().map(View::new).collect();
        let (mut points, most) = (0, self.options.limits.points);
        let mut kept = Vec::new();
        for (shape, clips) in drawn.into_iter().zip(clipped) {
            let views: Vec<&View> = clips.iter().map(|i| &views[*i]).collect();
            let what = shape.label.to_string();
            let seen = seen(&shape, &views, tolerance, &mut points);
            if points > most {
                let kind = FaultKind::TooMuch { what: CUT_BY, limit: most };
                self.faults.push(Fault { place: shape.label.place(), kind });
                return Vec::new();
            }
            match seen {
                Seen::Whole => {
                    if views.iter().any(|view| view.by == Window::ClipPath) {
                        self.notes.push(Note::Clipped { what, by: Window::ClipPath, cut: false });
                    }
                    kept.push(shape);
                }
                Seen::Nothing(Window::ClipPath) => {
                    self.notes.push(Note::LeftOut { what, why: LeftOut::ClippedAway });
                }
                Seen::Nothing(Window::Edge) => {
                    self.notes.push(Note::LeftOut { what, why: LeftOut::BeyondEdge });
                }
                Seen::Area(by, fill, region) => {
                    self.notes.push(Note::Clipped { what, by, cut: true });
                    let contour = |ring: &Ring| Contour {
                        points: ring.iter().map(|p| placed(*p)).collect(),
                        closed: true,
                    };
                    let contours = region.rings().map(contour).collect();
                    kept.push(Drawn { fill: Some(fill), contours, ..shape });
                }
                Seen::Parts(by) => {
                    self.faults.push(Fault { place: shape.label.place(), kind: FaultKind::CutLine { by } });
                }
            }
        }
        kept
    }
}

/// Cutting a shape takes time that grows with the points of what cuts it.
const CUT_BY: &str = "points, those of a clip path counted for each shape that it cuts";

/// A clip in straight pieces.
struct Outlined {
    by: Window,
    shapes: Vec<(Vec<Ring>, FillRule)>,
}

impl Outlined {
    fn new(clip: Clip, shift: Affine, tolerance: f64) -> Self {
        let rings = |path: BezPath| -> Vec<Ring> {
            flattened(&(shift * path), tolerance / 2.0).iter().map(|c| ring(&c.points)).collect()
        };
        Self {
            by: clip.by,
            shapes: clip.shapes.into_iter().map(|(path, rule)| (rings(path), rule)).collect(),
        }
    }
}

/// The fault of clips, or of shapes that they may cut, whose own lines cross more often than they may.
fn crossings(drawn: &[Drawn], clips: &[Outlined], clipped: &[Vec<usize>], limit: usize) -> Option<Fault> {
    let mut tangle = Tangle::new(limit);
    let mut tangled = |place: Place, edges: Vec<Edge>| {
        tangle.count(edges).err().map(|found| Fault::of_tangle(place, &found))
    };
    let of_clip = |clip: &Outlined| {
        let rings = clip.shapes.iter().flat_map(|(rings, _)| rings);
        tangled(
            Place { element: Some("clip path".to_owned()), ..Place::default() },
            rings.flat_map(|ring| edges(ring)).map(|edge| (0, edge)).collect(),
        )
    };
    let fault = clips.iter().find_map(of_clip);
    let mut cut = drawn.iter().zip(clipped).filter(|(_, clips)| !clips.is_empty());
    fault.or_else(|| cut.find_map(|(shape, _)| tangled(shape.label.place(), sides(0, shape).collect())))
}

/// What is seen of a shape, and what hides the rest.
enum Seen {
    Whole,
    Nothing(Window),
    /// A part of a filled area.
    Area(Window, Fill, Region),
    /// Parts of a line.
    Parts(Window),
}

/// How far a shape is seen through all of `views`; the points of each that may cut it are added to `points`.
fn seen(shape: &Drawn, views: &[&View], tolerance: f64, points: &mut usize) -> Seen {
    let rings: Vec<Ring> = shape.contours.iter().map(|contour| ring(&contour.points)).collect();
    let Some(frame) = frame(rings.iter().flatten()) else { return Seen::Whole };
    let views: Vec<&&View> = views.iter().filter(|view| !view.shows_all_of(frame, tolerance)).collect();
    if views.is_empty() {
        return Seen::Whole;
    }
    if let Some(view) = views.iter().find(|view| view.lies_elsewhere(frame)) {
        return Seen::Nothing(view.by);
    }
    *points += views.iter().map(|view| view.points).sum::<usize>();
    let nothing = |region: &Region| 2.0 * region.area() <= tolerance * region.length();
    let area = shape.fill.as_ref().map(|fill| (fill, Region::filled(&rings, fill.rule)));
    if let Some((fill, whole)) = area.filter(|(_, whole)| !nothing(whole)) {
        let mut left = whole;
        let mut cut = None;
        for view in views {
            if !nothing(&left.without(&view.area)) {
                left = left.shared(&view.area);
                cut = Some(view.by);
                if nothing(&left) {
                    return Seen::Nothing(view.by);
                }
            }
        }
        return cut.map_or(Seen::Whole, |by| {
            Seen::Area(by, Fill { rule: FillRule::NonZero, ..fill.clone() }, left)
        });
    }
    let run = |contour: &Contour| -> Ring {
        let end = contour.points.first().filter(|_| contour.closed);
        contour.points.iter().chain(end).map(|point| snapped(*point)).collect()
    };
    let runs: Vec<Ring> = shape.contours.iter().map(run).collect();
    let mut cut = None;
    for view in views {
        if view.shows_all_lines(&runs, tolerance) {
            continue;
        }
        if view.hides_all_lines(&runs, tolerance, || {
            nothing(&Region::filled(&rings, FillRule::NonZero).shared(&view.area))
        }) {
            return Seen::Nothing(view.by);
        }
        cut = cut.or(Some(view.by));
    }
    cut.map_or(Seen::Whole, Seen::Parts)
}

/// A window as an area.
struct View {
    by: Window,
    area: Region,
    locator: Locator,
    points: usize,
    /// Smallest and largest x and y, where it is an upright rectangle.
    frame: Option<[i32; 4]>,
}

impl View {
    fn new(clip: Outlined) -> Self {
        let areas: Vec<Region> =
            clip.shapes.iter().map(|(rings, rule)| Region::filled(rings, *rule)).collect();
        let area = Region::united(&areas);
        let frame = area.bounds().filter(|[x0, y0, x1, y1]| {
            let sides = [x1 - x0, y1 - y0].map(|side| f64::from(side) / GRID_PER_MM);
            area.rings().count() == 1 && area.area() >= sides[0] * sides[1] * (1.0 - 1e-9)
        });
        let locator = Locator::new(area.rings());
        Self { by: clip.by, points: area.rings().map(Vec::len).sum(), locator, area, frame }
    }

    /// Whether a shape within `frame` lies wholly outside, where no edge comes near.
    fn lies_elsewhere(&self, frame: [i32; 4]) -> bool {
        !self.locator.has_edges_in(frame) && !self.locator.holds(GridPoint::new(frame[0], frame[1]))
    }

    /// Whether a shape within `frame` is seen whole, as far as rectangles alone tell, or because no edge comes near.
    fn shows_all_of(&self, frame: [i32; 4], tolerance: f64) -> bool {
        let slack = steps(tolerance);
        let within = |[x0, y0, x1, y1]: [i32; 4]| {
            frame[0].saturating_add(slack) >= x0
                && frame[1].saturating_add(slack) >= y0
                && frame[2].saturating_sub(slack) <= x1
                && frame[3].saturating_sub(slack) <= y1
        };
        self.frame.is_some_and(within)
            || !self.locator.has_edges_in(frame) && self.locator.holds(GridPoint::new(frame[0], frame[1]))
    }

    /// Whether no part of the lines lies outside, but for what is within `tolerance` of the edge.
    fn shows_all_lines(&self, runs: &[Ring], tolerance: f64) -> bool {
        far(runs, tolerance, |runs| self.area.runs_outside(runs)).is_empty()
    }

    /// Whether no part of the lines lies inside, but for what is within `tolerance` of the edge. What runs along the edge is seen
    /// where it goes round something inside, and `is_beyond` says whether it goes round nothing there.
    fn hides_all_lines(&self, runs: &[Ring], tolerance: f64, is_beyond: impl Fn() -> bool) -> bool {
        far(runs, tolerance, |runs| self.area.runs_inside(runs)).is_empty()
            && (self.area.runs_within(runs).is_empty() || is_beyond())
    }
}

/// What `part` takes of lines even when they are moved by `tolerance`, whichever way along an axis.
fn far(runs: &[Ring], tolerance: f64, part: impl Fn(&[Ring]) -> Vec<Ring>) -> Vec<Ring> {
    let step = steps(tolerance);
    let moved = |runs: Vec<Ring>, x: i32, y: i32| -> Vec<Ring> {
        let to = |p: GridPoint| GridPoint::new(p.x.saturating_add(x), p.y.saturating_add(y));
        runs.into_iter().map(|run| run.into_iter().map(to).collect()).collect()
    };
    let mut left = part(runs);
    for [x, y] in [[step, 0], [-step, 0], [0, step], [0, -step]] {
        if left.is_empty() {
            break;
        }
        left = moved(part(&moved(left, x, y)), -x, -y);
    }
    left
}

/// A length in grid steps.
fn steps(mm: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "a tolerance; the cast saturates")]
    let steps = (mm * GRID_PER_MM).ceil() as i32;
    steps
}

/// Smallest and largest x and y.
fn frame<'a>(points: impl Iterator<Item = &'a GridPoint>) -> Option<[i32; 4]> {
    points
        .map(|p| [p.x, p.y, p.x, p.y])
        .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])])
}
