//! Applies clip paths, and the edges of drawings within the drawing, to the shapes they hide parts of.

use kurbo::{Affine, BezPath};

use super::trace::Tracing;
use crate::design::drawn::{Contour, Drawn, Fill};
use crate::design::flat::flattened;
use crate::design::outline::ring;
use crate::design::{Fault, FaultKind, LeftOut, Note, Window};
use crate::shape::{FillRule, GRID_PER_MM, GridPoint, Region, Ring, placed, snapped};

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
        let views: Vec<View> = self.clips.iter().map(|clip| View::new(clip, shift, tolerance)).collect();
        let clipped = std::mem::take(&mut self.clipped);
        let mut kept = Vec::new();
        for (shape, clips) in drawn.into_iter().zip(clipped) {
            let views: Vec<&View> = clips.iter().map(|i| &views[*i]).collect();
            let what = shape.label.to_string();
            match seen(&shape, &views, tolerance) {
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

/// What is seen of a shape, and what hides the rest.
enum Seen {
    Whole,
    Nothing(Window),
    /// A part of a filled area.
    Area(Window, Fill, Region),
    /// Parts of a line.
    Parts(Window),
}

/// How far a shape is seen through all of `views`.
fn seen(shape: &Drawn, views: &[&View], tolerance: f64) -> Seen {
    let rings: Vec<Ring> = shape.contours.iter().map(|contour| ring(&contour.points)).collect();
    let Some(frame) = frame(rings.iter().flatten()) else { return Seen::Whole };
    let views = views.iter().filter(|view| !view.shows_all_of(frame, tolerance));
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
    /// Smallest and largest x and y, where it is an upright rectangle.
    frame: Option<[i32; 4]>,
}

impl View {
    fn new(clip: &Clip, shift: Affine, tolerance: f64) -> Self {
        let areas: Vec<Region> = clip
            .shapes
            .iter()
            .map(|(path, rule)| {
                let contours = flattened(&(shift * path.clone()), tolerance / 2.0);
                let rings: Vec<_> = contours.iter().map(|c| ring(&c.points)).collect();
                Region::filled(&rings, *rule)
            })
            .collect();
        let area = Region::united(&areas);
        let frame = area.bounds().filter(|[x0, y0, x1, y1]| {
            let sides = [x1 - x0, y1 - y0].map(|side| f64::from(side) / GRID_PER_MM);
            area.rings().count() == 1 && area.area() >= sides[0] * sides[1] * (1.0 - 1e-9)
        });
        Self { by: clip.by, area, frame }
    }

    /// Whether a shape within `frame` is seen whole, as far as rectangles alone tell.
    fn shows_all_of(&self, frame: [i32; 4], tolerance: f64) -> bool {
        let slack = steps(tolerance);
        let within = |[x0, y0, x1, y1]: [i32; 4]| {
            frame[0].saturating_add(slack) >= x0
                && frame[1].saturating_add(slack) >= y0
                && frame[2].saturating_sub(slack) <= x1
                && frame[3].saturating_sub(slack) <= y1
        };
        self.frame.is_some_and(within)
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
