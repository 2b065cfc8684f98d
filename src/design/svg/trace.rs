//! Takes the resolved paths of a drawing over into millimetres, y up, as straight pieces.

use std::collections::BTreeSet;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Point};
use usvg::FontResolver;
use usvg::tiny_skia_path::PathSegment;

use super::arcs::rounded;
use super::clip::Clip;
use super::fonts::Fonts;
use super::sheet::Sheet;
use super::style::{self, CLIP, Missing};
use super::vet::{Vetted, shortened};
use crate::design::drawn::{Drawn, Fill, Label};
use crate::design::flat::{Flat, flat};
use crate::design::line::Line;
use crate::design::{Fault, FaultKind, LeftOut, Note, Options, PIN, Place, Window};
use crate::shape::FillRule;

/// What is drawn.
pub(super) struct Traced {
    pub(super) drawn: Vec<Drawn>,
    /// What curves were flattened with, in mm.
    pub(super) tolerance: f64,
    /// How wide lines are drawn.
    pub(super) lines: Vec<Line>,
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<Fault>,
    /// How many shapes are there but not to be seen.
    pub(super) hidden: usize,
}

/// Resolves the clean copy and flattens its paths.
pub(super) fn trace(vetted: &Vetted, sheet: &Sheet, options: &Options) -> Traced {
    let mut tracing = Tracing::new(vetted, sheet, options);
    let (fonts, faults) = Fonts::new(&options.fonts);
    tracing.faults.extend(faults);
    let fonts = Arc::new(fonts);
    let chosen = Arc::clone(&fonts);
    let resolver = usvg::Options {
        fontdb: Arc::clone(&fonts.database),
        // What a text is set in that asks for none: no name.
        font_family: String::new(),
        font_resolver: FontResolver {
            select_font: Box::new(move |font, _| chosen.chosen(font)),
            select_fallback: FontResolver::default_fallback_selector(),
        },
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    match usvg::Tree::from_str(&vetted.text, &resolver) {
        Ok(tree) => {
            tracing.fonts = fonts;
            tracing.group(tree.root(), &Around::default());
        }
        Err(error) => tracing.fault(Place::default(), FaultKind::ParserGaveUp { reason: error.to_string() }),
    }
    tracing.finish()
}

pub(super) struct Tracing<'a> {
    vetted: &'a Vetted,
    pub(super) options: &'a Options,
    /// From the resolver's coordinates to mm, y up.
    placing: Affine,
    paths: Vec<(Drawn, BezPath)>,
    /// Every clip path met, and the edge of every drawing within the drawing.
    pub(super) clips: Vec<Clip>,
    /// For each of `paths` those that it lies in.
    pub(super) clipped: Vec<Vec<usize>>,
    /// Ids met in the tree.
    seen: BTreeSet<String>,
    lines: Vec<Line>,
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<Fault>,
    hidden: usize,
    fonts: Arc<Fonts>,
}

/// What the groups around a path say about it.
#[derive(Clone, Default)]
struct Around {
    /// From their coordinates to the resolver's. What the resolver tells itself holds the transform of a `use` twice below a symbol,
    /// and not at all where the symbol has an edge.
    placing: Affine,
    /// The nearest group that has an id of its own, and the nearest `use`.
    group: Option<String>,
    used: Option<Label>,
    /// The names of all layers around, where a `use` stands among them.
    layers: Vec<String>,
    /// What hides parts of it in a way that cannot be followed.
    hidden_by: Option<&'static str>,
    clips: Vec<usize>,
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
            clips: Vec::new(),
            clipped: Vec::new(),
            seen: BTreeSet::new(),
            lines: Vec::new(),
            notes: vetted.notes.clone(),
            faults: Vec::new(),
            hidden: 0,
            fonts: Arc::default(),
        }
    }

    fn fault(&mut self, place: Place, kind: FaultKind) {
        self.faults.push(Fault { place, kind });
    }

    fn group(&mut self, group: &usvg::Group, around: &Around) {
        let mut around = around.clone();
        around.placing *= affine(group.transform());
        if let Some(label) = self.vetted.labels.get(group.id()) {
            around.group = label.id.clone().or(around.group);
            if label.element == "use" {
                if draws(group) {
                    self.seen.insert(group.id().to_owned());
                }
                around.used = Some(label.clone());
                around.layers.extend(label.layers.iter().cloned());
            }
        }
        match group.clip_path() {
            Some(clip) if clip.id() == CLIP || clip.clip_path().is_some() => {
                around.hidden_by = Some("clip path")
            }
            Some(clip) => {
                let own = self.placing * around.placing * affine(clip.transform());
                let mut shapes = Vec::new();
                clip_shapes(clip.root(), own, &mut shapes);
                let drawn = self.vetted.clips.contains(clip.id());
                around.clips.push(self.clips.len());
                self.clips.push(Clip { by: if drawn { Window::ClipPath } else { Window::Edge }, shapes });
            }
            None if group.mask().is_some() => around.hidden_by = Some("mask"),
            None => {}
        }
        around.see_through |= group.opacity().get() <= 0.0;
        for child in group.children() {
            match child {
                usvg::Node::Group(inner) => self.group(inner, &around),
                usvg::Node::Path(path) => self.path(path, &around),
                usvg::Node::Text(text) => self.text(text, &around),
                usvg::Node::Image(_) => {}
            }
        }
    }

    /// Lettering, as the outlines of its letters.
    fn text(&mut self, text: &usvg::Text, around: &Around) {
        let label = self.label(text.id(), around);
        if !self.options.pick.takes_layers(&label.layers) {
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::NotAsked });
            return;
        }
        let words = text.chunks().iter().map(usvg::TextChunk::text).collect::<Vec<_>>().join(" ");
        let glyphs = text.layouted().iter().flat_map(|span| &span.positioned_glyphs);
        let mut used = BTreeSet::new();
        for glyph in glyphs {
            let face = self.fonts.database.face(glyph.font);
            let font = face.map_or_else(|| "the font".to_owned(), |face| face.post_script_name.clone());
            if glyph.id.0 == 0 {
                let kind = FaultKind::MissingLetter { letter: glyph.text.clone(), font: font.clone() };
                self.fault(label.place(), kind);
            }
            used.insert(font);
        }
        let font = used.into_iter().collect::<Vec<_>>().join(", ");
        let spans = text.chunks().iter().flat_map(usvg::TextChunk::spans);
        let mut asked: Vec<String> = Vec::new();
        for other in spans.filter_map(|span| self.fonts.asked(span.font())) {
            if !asked.contains(&other) {
                asked.push(other);
            }
        }
        self.notes.push(Note::Lettered { what: label.to_string(), words: shortened(&words), font, asked });
        self.letters(text.flattened(), &label, around);
    }

    fn letters(&mut self, group: &usvg::Group, label: &Label, around: &Around) {
        for child in group.children() {
            match child {
                usvg::Node::Group(inner) => {
                    let placing = around.placing * affine(inner.transform());
                    self.letters(inner, label, &Around { placing, ..around.clone() });
                }
                usvg::Node::Path(path) => self.outlined(path, label.clone(), around),
                usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
    }

    fn path(&mut self, path: &usvg::Path, around: &Around) {
        let label = self.label(path.id(), around);
        if !self.options.pick.takes_layers(&label.layers) {
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::NotAsked });
            return;
        }
        if self.options.pick.layers.is_empty() && label.layers.iter().any(|layer| layer == PIN) {
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::Mark });
            return;
        }
        self.outlined(path, label, around);
    }

    fn outlined(&mut self, path: &usvg::Path, label: Label, around: &Around) {
        let fill = path.fill().filter(|fill| fill.opacity().get() > 0.0);
        let stroke = path.stroke().filter(|stroke| stroke.opacity().get() > 0.0);
        let [missing_fill, missing_line] =
            [fill.map(usvg::Fill::paint), stroke.map(usvg::Stroke::paint)].map(|paint| self.missing(paint?));
        if path.is_visible() && !around.see_through {
            self.tell_missing(&label, true, missing_fill);
            self.tell_missing(&label, false, missing_line);
        }
        let fill = fill.filter(|_| missing_fill.is_none_or(|missing| missing.colour().is_some()));
        let lined = stroke.is_some() && missing_line.is_none_or(|missing| missing.colour().is_some());
        if path.is_visible()
            && !around.see_through
            && (fill.is_none() && !lined)
            && (missing_fill.is_some() || missing_line.is_some())
        {
            self.hidden += 1;
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::NoPaint });
            return;
        }
        if !path.is_visible() || around.see_through || (fill.is_none() && !lined) {
            self.hidden += 1;
            self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::Invisible });
            return;
        }
        if let Some(by) = around.hidden_by {
            self.fault(label.place(), FaultKind::Clipped { by });
        }
        let standing_in = missing_fill.and_then(Missing::colour);
        let fill = fill.map(|fill| Fill {
            paint: standing_in.unwrap_or_else(|| paint(fill.paint())),
            rule: rule(fill.rule()),
        });
        let placing = self.placing * around.placing;
        if let Some(stroke) = stroke.filter(|_| lined) {
            let width = f64::from(stroke.width().get()) * stretch(placing);
            self.lines.push(Line::new(&label, width));
        }
        let outline = outline(path, placing);
        let reach = self.options.limits.reach.as_mm();
        let b = outline.control_box();
        if !outline.is_finite() || [b.x0, b.y0, b.x1, b.y1].iter().any(|c| c.abs() > reach) {
            self.fault(label.place(), FaultKind::FarOut { limit: reach, others: Vec::new() });
            return;
        }
        self.paths.push((Drawn { label, fill, lined, contours: Vec::new() }, outline));
        self.clipped.push(around.clips.clone());
    }

    /// The gradient or pattern that a paint stands for where the file has none.
    fn missing(&self, paint: &usvg::Paint) -> Option<&'a Missing> {
        match paint {
            usvg::Paint::LinearGradient(stand_in) => {
                self.vetted.missing.iter().find(|missing| missing.id == stand_in.id())
            }
            _ => None,
        }
    }

    fn tell_missing(&mut self, label: &Label, fill: bool, missing: Option<&Missing>) {
        if let Some(Missing { reference, fallback, .. }) = missing {
            let [reference, fallback] =
                [Some(reference), fallback.as_ref()].map(|text| text.map(|text| shortened(text)));
            let reference = reference.unwrap_or_default();
            self.notes.push(Note::NoPaint { what: label.to_string(), fill, reference, fallback });
        }
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
        label.layers.extend(around.layers.iter().cloned());
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
                && self.options.pick.takes_layers(&label.layers)
            {
                self.hidden += 1;
                self.notes.push(Note::LeftOut { what: label.to_string(), why: LeftOut::Invisible });
            }
        }
        let shapes = self.options.limits.shapes;
        if self.paths.len() > shapes {
            self.fault(Place::default(), FaultKind::TooMuch { what: "shapes", limit: shapes });
            self.paths.clear();
            self.clipped.clear();
        }
        let from_corner = self.vetted.sheet.as_ref().is_some_and(|sheet| sheet.view.is_none());
        let Flat { mut drawn, tolerance, shift, faults } =
            flat(std::mem::take(&mut self.paths), from_corner, self.options);
        self.faults.extend(faults);
        if !drawn.is_empty() && !self.clips.is_empty() {
            drawn = self.applied(drawn, shift, tolerance);
        }
        Traced {
            drawn,
            tolerance,
            lines: self.lines,
            notes: self.notes,
            faults: self.faults,
            hidden: self.hidden,
        }
    }
}

/// The shapes of a clip path; `around` leads from the clip path's coordinates to mm.
fn clip_shapes(group: &usvg::Group, around: Affine, shapes: &mut Vec<(BezPath, FillRule)>) {
    for child in group.children() {
        match child {
            usvg::Node::Group(inner) => clip_shapes(inner, around * affine(inner.transform()), shapes),
            usvg::Node::Path(path) => {
                let rule = path.fill().map_or(FillRule::NonZero, |fill| rule(fill.rule()));
                shapes.push((outline(path, around), rule));
            }
            usvg::Node::Image(_) | usvg::Node::Text(_) => {}
        }
    }
}

/// Whether anything is left of a group.
fn draws(group: &usvg::Group) -> bool {
    group.children().iter().any(|child| match child {
        usvg::Node::Group(inner) => draws(inner),
        usvg::Node::Path(_) | usvg::Node::Text(_) | usvg::Node::Image(_) => true,
    })
}

const fn rule(rule: usvg::FillRule) -> FillRule {
    match rule {
        usvg::FillRule::NonZero => FillRule::NonZero,
        usvg::FillRule::EvenOdd => FillRule::EvenOdd,
    }
}

/// Two shapes with the same text are the same material.
fn paint(paint: &usvg::Paint) -> String {
    match paint {
        usvg::Paint::Color(c) => style::written([c.red, c.green, c.blue]),
        usvg::Paint::LinearGradient(_) | usvg::Paint::RadialGradient(_) | usvg::Paint::Pattern(_) => {
            "gradient".to_owned()
        }
    }
}

fn affine(t: usvg::Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

/// The most that anything is enlarged by: the greater singular value of the placing's four numbers.
fn stretch(placing: Affine) -> f64 {
    let [a, b, c, d, _, _] = placing.as_coeffs();
    f64::midpoint((a + d).hypot(b - c), (a - d).hypot(b + c))
}

/// The path in mm, computed in double precision from here on; `placing` leads there from its own coordinates.
fn outline(path: &usvg::Path, placing: Affine) -> BezPath {
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
    rounded(&(placing * outline))
}
