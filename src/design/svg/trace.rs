//! Takes the resolved paths of a drawing over into millimetres, y up, as straight pieces.

use std::collections::BTreeSet;

use kurbo::{Affine, BezPath, Point};
use usvg::tiny_skia_path::PathSegment;

use super::arcs::rounded;
use super::sheet::Sheet;
use super::vet::Vetted;
use crate::design::drawn::{Drawn, Fill, Label};
use crate::design::flat::{Flat, flat};
use crate::design::{Fault, FaultKind, LeftOut, Note, Options, Place};
use crate::shape::FillRule;

/// What is drawn.
pub(super) struct Traced {
    pub(super) drawn: Vec<Drawn>,
    /// What curves were flattened with, in mm.
    pub(super) tolerance: f64,
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<Fault>,
    /// How many shapes are there but not to be seen.
    pub(super) hidden: usize,
}

/// Resolves the clean copy and flattens its paths.
pub(super) fn trace(vetted: &Vetted, sheet: &Sheet, options: &Options) -> Traced {
    let mut tracing = Tracing::new(vetted, sheet, options);
    let resolver = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    match usvg::Tree::from_str(&vetted.text, &resolver) {
        Ok(tree) => tracing.group(tree.root(), &Around::default()),
        Err(error) => tracing.fault(Place::default(), FaultKind::ParserGaveUp { reason: error.to_string() }),
    }
    tracing.finish()
}

struct Tracing<'a> {
    vetted: &'a Vetted,
    options: &'a Options,
    /// From the resolver's coordinates to mm, y up.
    placing: Affine,
    paths: Vec<(Drawn, BezPath)>,
    /// Ids met in the tree.
    seen: BTreeSet<String>,
    notes: Vec<Note>,
    faults: Vec<Fault>,
    hidden: usize,
}

/// What the groups around a path say about it.
#[derive(Clone, Default)]
struct Around {
    /// The nearest group that has an id of its own, and the nearest `use`.
    group: Option<String>,
    used: Option<Label>,
    clipped: Option<&'static str>,
    see_through: bool,
}

impl<'a> Tracing<'a> {
    fn new(vetted: &'a Vetted, sheet: &Sheet, options: &'a Options) -> Self {
        let [sx, sy] = sheet.mm_per_unit;
        // Without a page the lowest point is not known yet; `finish` moves it to zero.
        let height = sheet.view.map_or(0.0, |[_, _, _, h]| h);
        Self {
            vetted,
            options,
            placing: Affine::new([sx, 0.0, 0.0, -sy, 0.0, height * sy]),
            paths: Vec::new(),
            seen: BTreeSet::new(),
            notes: Vec::new(),
            faults: Vec::new(),
            hidden: 0,
        }
    }

    fn fault(&mut self, place: Place, kind: FaultKind) {
        self.faults.push(Fault { place, kind });
    }

    fn group(&mut self, group: &usvg::Group, around: &Around) {
        let mut around = around.clone();
        if let Some(label) = self.vetted.labels.get(group.id()) {
            around.group = label.id.clone().or(around.group);
            if label.element == "use" {
                around.used = Some(label.clone());
            }
        }
        if group.clip_path().is_some() {
            around.clipped = Some("clip path");
        } else if group.mask().is_some() {
            around.clipped = Some("mask");
        }
        around.see_through |= group.opacity().get() <= 0.0;
        for child in group.children() {
            match child {
                usvg::Node::Group(inner) => self.group(inner, &around),
                usvg::Node::Path(path) => self.path(path, &around),
                usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
    }

    fn path(&mut self, path: &usvg::Path, around: &Around) {
        let label = self.label(path.id(), around);
        let fill = path.fill().filter(|fill| fill.opacity().get() > 0.0);
        let lined = path.stroke().is_some_and(|stroke| stroke.opacity().get() > 0.0);
        if !path.is_visible() || around.see_through || (fill.is_none() && !lined) {
            self.hidden += 1;
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::Invisible });
            return;
        }
        if let Some(by) = around.clipped {
            self.fault(label.place(), FaultKind::Clipped { by });
        }
        let fill = fill.map(|fill| Fill {
            paint: paint(fill.paint()),
            rule: match fill.rule() {
                usvg::FillRule::NonZero => FillRule::NonZero,
                usvg::FillRule::EvenOdd => FillRule::EvenOdd,
            },
        });
        let outline = outline(path, self.placing);
        let reach = self.options.limits.reach.as_mm();
        let b = outline.control_box();
        if !outline.is_finite() || [b.x0, b.y0, b.x1, b.y1].iter().any(|c| c.abs() > reach) {
            self.fault(label.place(), FaultKind::FarOut { limit: reach });
            return;
        }
        self.paths.push((Drawn { label, fill, lined, contours: Vec::new() }, outline));
    }

    /// What to call a path; one that came through a `use` has lost its own id.
    fn label(&mut self, id: &str, around: &Around) -> Label {
        let mut label = match self.vetted.labels.get(id) {
            Some(label) => label.clone(),
            None => around.used.clone().unwrap_or_else(|| Label {
                element: "shape".to_owned(),
                id: None,
                group: None,
                layers: Vec::new(),
                line: None,
            }),
        };
        self.seen.insert(id.to_owned());
        if label.group.is_none() && label.id != around.group {
            label.group.clone_from(&around.group);
        }
        label
    }

    fn finish(mut self) -> Traced {
        for id in &self.vetted.shapes {
            if !self.seen.contains(id)
                && let Some(label) = self.vetted.labels.get(id)
            {
                self.hidden += 1;
                self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::Invisible });
            }
        }
        let shapes = self.options.limits.shapes;
        if self.paths.len() > shapes {
            self.fault(Place::default(), FaultKind::TooMuch { what: "shapes", limit: shapes });
            self.paths.clear();
        }
        let from_corner = self.vetted.sheet.as_ref().is_some_and(|sheet| sheet.view.is_none());
        let Flat { drawn, tolerance, faults } =
            flat(std::mem::take(&mut self.paths), from_corner, self.options);
        self.faults.extend(faults);
        Traced { drawn, tolerance, notes: self.notes, faults: self.faults, hidden: self.hidden }
    }
}

/// Two shapes with the same text are the same material.
fn paint(paint: &usvg::Paint) -> String {
    match paint {
        usvg::Paint::Color(c) => format!("#{:02x}{:02x}{:02x}", c.red, c.green, c.blue),
        usvg::Paint::LinearGradient(_) | usvg::Paint::RadialGradient(_) | usvg::Paint::Pattern(_) => {
            "gradient".to_owned()
        }
    }
}

/// The path in mm, computed in double precision from here on.
fn outline(path: &usvg::Path, placing: Affine) -> BezPath {
    let t = path.abs_transform();
    let own = Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from));
    let point = |p: usvg::tiny_skia_path::Point| Point::new(f64::from(p.x), f64::from(p.y));
    let mut outline = BezPath::new();
    for segment in path.data().segments() {
        match segment {
            PathSegment::MoveTo(p) => outline.move_to(point(p)),
            PathSegment::LineTo(p) => outline.line_to(point(p)),
            PathSegment::QuadTo(a, p) => outline.quad_to(point(a), point(p)),
            PathSegment::CubicTo(a, b, p) => outline.curve_to(point(a), point(b), point(p)),
            PathSegment::Close => outline.close_path(),
        }
    }
    rounded(&(placing * own * outline))
}
