//! One view of one piece: the face with its weak places, or the back with its inserts.

mod back;
mod broken;
mod crowd;
mod parted;
mod pushed;

use geo_types::{Coord, LineString, Polygon};
use svg::node::element::{ClipPath, Definitions, Group};

use super::label::Placer;
use super::letters;
use super::mark::{self, CROSS};
use super::pen::{GRAIN, Hang, PAPER, Pen, Spot, Type, WOOD, line, rings, shape, text, text_with_halo};
use super::words;
use crate::check::{Finding, PAD_RADIUS, Place, PushKind};
use crate::shape::Shape;
use crate::units::Units;

pub(super) use broken::breaks_under;
use crowd::{Crowd, crowd};
pub(super) use parted::breaks_afar;
use pushed::Pushed;
pub(super) use pushed::shown_pushes;

/// Which side of the piece a view shows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Face,
    /// A part of the face where places are crowded, at twice its size.
    Detail,
    /// The whole face at twice its size.
    Twice,
    /// Seen from behind, left and right swapped about the piece's middle.
    Back,
    /// A layer within, as seen from the face.
    Within,
}

/// A drawn view, its upper left corner at the origin.
pub(super) struct View {
    pub(super) group: Group,
    pub(super) size: Spot,
}

/// A size of small labels, in mm.
const SMALL: f64 = 2.6;
/// Length of the grain arrow, in mm.
const GRAIN_ARROW: f64 = 20.0;
/// How much larger a crowd is drawn, as the captions say.
const ZOOM: f64 = 2.0;
const LARGER: &str = "FACE ×2";
/// Around what is drawn larger.
const FRAME: Pen = Pen::dashed(0.25, "0.4 0.8");
/// Room around a piece for labels; the next is tried when they find no spot.
const MARGINS: [f64; 5] = [12.0, 18.0, 27.0, 40.0, 70.0];

/// Draws one side of a piece. `key` makes the names inside the drawing differ from view to view.
pub(super) fn view(
    shape: &Shape,
    finding: &Finding,
    grain_deg: f64,
    side: Side,
    units: Units,
    key: &str,
) -> View {
    let shown: Vec<&Place> = finding.places.iter().collect();
    drawn(&Canvas::new(shape, finding, grain_deg, side, units, bounds(shape), shown), key)
}

/// The face; places too near to each other to be told apart are left to a second view, at twice its size. Where they are so all over
/// a small piece the face itself is drawn at twice its size.
pub(super) fn face(shape: &Shape, finding: &Finding, grain_deg: f64, units: Units, key: &str) -> Vec<View> {
    let canvas = |side, bounds, shown| Canvas::new(shape, finding, grain_deg, side, units, bounds, shown);
    let (places, window) = match crowd(shape, finding, units) {
        Crowd::Nowhere => return vec![view(shape, finding, grain_deg, Side::Face, units, key)],
        Crowd::AllOver => return vec![view(shape, finding, grain_deg, Side::Twice, units, key)],
        Crowd::Here(places, window) => (places, window),
    };
    let others = finding.places.iter().filter(|place| places.iter().all(|other| other.id != place.id));
    let mut whole = canvas(Side::Face, bounds(shape), others.collect());
    whole.framed = Some(window);
    let detail = canvas(Side::Detail, window, places);
    vec![drawn(&whole, key), drawn(&detail, &format!("{key}-detail"))]
}

/// The face, with words in the openings that they fit into.
pub(super) fn face_with_steps(
    shape: &Shape,
    finding: &Finding,
    grain_deg: f64,
    units: Units,
    key: &str,
    steps: &[(Coord<f64>, String)],
) -> View {
    let shown: Vec<&Place> = finding.places.iter().collect();
    let canvas = Canvas::new(shape, finding, grain_deg, Side::Face, units, bounds(shape), shown);
    drawn(&Canvas { steps, ..canvas }, key)
}

/// A layer glued behind the piece, or between others: its outline and its own grain, with a note.
pub(super) fn layer(
    shape: &Shape,
    finding: &Finding,
    grain_deg: f64,
    side: Side,
    note: String,
    units: Units,
    key: &str,
) -> View {
    let canvas = Canvas::new(shape, finding, grain_deg, side, units, bounds(shape), Vec::new());
    drawn(&Canvas { note, ..canvas }, key)
}

/// Draws with as narrow a margin as finds a spot for every label.
fn drawn(canvas: &Canvas<'_>, key: &str) -> View {
    let mut drawn = None;
    let overhang = match canvas.side {
        Side::Detail => 0.0,
        Side::Face | Side::Twice | Side::Back | Side::Within => {
            canvas.zoom() * overhang(canvas.shape, canvas.finding)
        }
    };
    for margin in MARGINS {
        let (view, complete) = canvas.with_margin(margin.max(overhang + 5.0)).draw(key);
        drawn = Some(view);
        if complete {
            break;
        }
    }
    drawn.expect("there is at least one margin to try")
}

/// A view being drawn.
#[derive(Clone)]
struct Canvas<'a> {
    shape: &'a Shape,
    finding: &'a Finding,
    grain_deg: f64,
    side: Side,
    /// What is said beside its heading.
    note: String,
    units: Units,
    /// Page position of the piece's upper left corner.
    origin: Spot,
    size: Spot,
    /// What is drawn of the piece, in its own millimetres.
    bounds: [f64; 4],
    /// The places that are marked.
    shown: Vec<&'a Place>,
    /// What another view shows larger.
    framed: Option<[f64; 4]>,
    /// What is said in openings, each at a point of it.
    steps: &'a [(Coord<f64>, String)],
}

impl<'a> Canvas<'a> {
    fn new(
        shape: &'a Shape,
        finding: &'a Finding,
        grain_deg: f64,
        side: Side,
        units: Units,
        bounds: [f64; 4],
        shown: Vec<&'a Place>,
    ) -> Self {
        let note = match side {
            Side::Face | Side::Twice => {
                let [wide, tall] = [bounds[2] - bounds[0], bounds[3] - bounds[1]];
                let twice = if side == Side::Twice { ", drawn at twice its size" } else { "" };
                format!("overall {} × {}{twice}", words::bare_length(units, wide), words::length(units, tall))
            }
            Side::Detail => "twice its size".to_owned(),
            Side::Within => String::new(),
            Side::Back => {
                let middle = words::length(units, f64::midpoint(bounds[0], bounds[2]));
                format!("mirrored left to right about x = {middle} (marks)")
            }
        };
        let (origin, size, framed, steps) = ([0.0; 2], [0.0; 2], None, &[][..]);
        Self { shape, finding, grain_deg, side, note, units, origin, size, bounds, shown, framed, steps }
    }

    /// The same with this much room around the piece.
    fn with_margin(&self, margin: f64) -> Self {
        let head = heading_height(self.grain_deg);
        let wide = self.zoom() * (self.bounds[2] - self.bounds[0]);
        let tall = self.zoom() * (self.bounds[3] - self.bounds[1]);
        let width = (wide + 2.0 * margin).max(heading_width(self.side, &self.note, self.grain_deg));
        Self {
            origin: [(width - wide) / 2.0, head + margin],
            size: [width, head + tall + 2.0 * margin],
            ..self.clone()
        }
    }

    /// Page millimetres to one of the piece's.
    fn zoom(&self) -> f64 {
        if matches!(self.side, Side::Detail | Side::Twice) { ZOOM } else { 1.0 }
    }

    /// The radius of a place's ring on the page.
    fn radius(&self, place: &Place) -> f64 {
        ring_radius(place, self.zoom())
    }

    /// A rectangle of the piece, on the page.
    fn window(&self, [x0, y0, x1, y1]: [f64; 4]) -> String {
        let corner = |x, y| self.spot(Coord { x, y });
        rings([[corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)]])
    }

    /// From the piece's millimetres to the page's.
    fn spot(&self, at: Coord<f64>) -> Spot {
        let x = match self.side {
            Side::Face | Side::Detail | Side::Twice | Side::Within => at.x - self.bounds[0],
            Side::Back => self.bounds[2] - at.x,
        };
        [self.origin[0] + self.zoom() * x, self.origin[1] + self.zoom() * (self.bounds[3] - at.y)]
    }

    /// A direction in the piece's plane, as a unit vector on the page.
    fn heading(&self, deg: f64) -> Spot {
        let (sin, cos) = deg.to_radians().sin_cos();
        [if self.side == Side::Back { -cos } else { cos }, -sin]
    }

    fn outline(&self, polygon: &Polygon<f64>) -> String {
        let ring = |ring: &LineString<f64>| -> Vec<Spot> {
            ring.0[..ring.0.len().saturating_sub(1)].iter().map(|c| self.spot(*c)).collect()
        };
        let all: Vec<_> = std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(ring).collect();
        rings(all)
    }

    fn draw(&self, key: &str) -> (View, bool) {
        let outline = self.outline(self.shape.polygon());
        let clip = ClipPath::new()
            .set("id", key)
            .add(svg::node::element::Path::new().set("d", outline.as_str()).set("clip-rule", "evenodd"));
        let mut definitions = Definitions::new().add(clip);
        let mut wood = Group::new().add(shape(&outline, WOOD, None)).add(self.grain_lines(key)).add(shape(
            &outline,
            "none",
            Some(Pen::solid(0.35)),
        ));
        if self.side == Side::Detail {
            let name = format!("{key}-window");
            let window = svg::node::element::Path::new().set("d", self.window(self.bounds));
            definitions = definitions.add(ClipPath::new().set("id", name.as_str()).add(window));
            let frame = shape(&self.window(self.bounds), "none", Some(FRAME));
            wood = Group::new().add(wood.set("clip-path", format!("url(#{name})"))).add(frame);
        }
        let mut group = Group::new().add(definitions).add(wood).add(self.caption());
        let complete = match self.side {
            Side::Face | Side::Detail | Side::Twice | Side::Within => self.draw_face(&mut group),
            Side::Back => self.draw_back(&mut group),
        };
        (View { group, size: self.size }, complete)
    }

    /// Grain lines over the wood, with the uneven spacing of a sawn face.
    fn grain_lines(&self, key: &str) -> Group {
        let middle =
            Coord { x: (self.bounds[0] + self.bounds[2]) / 2.0, y: (self.bounds[1] + self.bounds[3]) / 2.0 };
        let reach = (self.bounds[2] - self.bounds[0]).hypot(self.bounds[3] - self.bounds[1]) / 2.0
            * self.zoom()
            + 1.0;
        let centre = self.spot(middle);
        let [ux, uy] = self.heading(self.grain_deg);
        // Small pieces get fine lines, big ones wide, about sixty from side to side.
        let pitch = (reach / 30.0).clamp(1.1, 3.2);
        let mut group = Group::new().set("clip-path", format!("url(#{key})"));
        let count = (reach / pitch).ceil() as i64;
        for i in -count..=count {
            let shift = pitch * (i as f64 + UNEVEN[i.rem_euclid(UNEVEN.len() as i64) as usize]);
            let foot = [centre[0] - uy * shift, centre[1] + ux * shift];
            let weight = if i.rem_euclid(5) == 0 { 0.26 } else { 0.14 };
            group = group.add(line(
                [foot[0] - ux * reach, foot[1] - uy * reach],
                [foot[0] + ux * reach, foot[1] + uy * reach],
                Pen::solid(weight).in_colour(GRAIN),
            ));
        }
        group
    }

    /// FACE or BACK in big letters, and which way the grain runs.
    fn caption(&self) -> Group {
        let base = heading_height(self.grain_deg) / 2.0 + 1.7;
        let word = heading(self.side);
        let mut group = Group::new().add(text([0.0, base], word, Type::bold(5.0)));
        let mut x = letters::width(word, 5.0, true) + 3.0;
        let [ux, uy] = self.heading(self.grain_deg);
        let half = GRAIN_ARROW / 2.0;
        let centre = [x + half * ux.abs() + 1.5, base - 1.7];
        let (tail, tip) =
            ([centre[0] - half * ux, centre[1] - half * uy], [centre[0] + half * ux, centre[1] + half * uy]);
        let lapped = [centre[0] + 0.5 * ux, centre[1] + 0.5 * uy];
        group = group.add(mark::arrow(centre, tip, 0.45)).add(mark::arrow(lapped, tail, 0.45));
        x = centre[0] + half * ux.abs() + 3.0;
        group = group.add(text([x, base - 0.6], "grain", Type::plain(3.2)));
        if !self.note.is_empty() {
            x += letters::width("grain", 3.2, false) + 3.0;
            group = group.add(text([x, base - 0.6], &self.note, Type::plain(SMALL)));
        }
        group
    }

    /// Every weak place: ring and number, where it breaks, where it was pushed, its insert.
    fn draw_face(&self, group: &mut Group) -> bool {
        let polygon = self.shape.polygon();
        let on_wood = |spot: Spot| {
            let at = Coord {
                x: self.bounds[0] + (spot[0] - self.origin[0]) / self.zoom(),
                y: self.bounds[3] - (spot[1] - self.origin[1]) / self.zoom(),
            };
            geo::Contains::contains(polygon, &at)
        };
        let head = heading_height(self.grain_deg);
        let mut placer = Placer::new([0.0, head], self.size, &on_wood);
        let mut drawing = std::mem::take(group);
        for insert in self.shown.iter().filter_map(|place| place.insert.as_ref()) {
            let outline = self.outline(&insert.outline);
            drawing = drawing.add(shape(&outline, "none", Some(INSERT)));
        }
        for place in &self.shown {
            drawing = self.break_lines(drawing, place, &mut placer);
            placer.keep_ring(self.spot(place.at), self.radius(place));
        }
        let mut complete = true;
        if let Some(window) = self.framed {
            let [x0, y0, x1, y1] = window;
            let centre = self.spot(Coord { x: f64::midpoint(x0, x1), y: f64::midpoint(y0, y1) });
            drawing = drawing.add(shape(&self.window(window), "none", Some(FRAME)));
            placer.keep_box(centre, [(x1 - x0) / 2.0, (y1 - y0) / 2.0]);
            let half = [letters::width(LARGER, 3.2, true) / 2.0, 1.6];
            // Beside it, at the height of its middle, as near as it may.
            match placer.place(centre, ((x1 - x0) / 2.0).hypot((y1 - y0) / 2.0), half) {
                Some(spot) => {
                    let face = Type::bold(3.2).hung(Hang::Middle);
                    drawing = drawing.add(text_with_halo([spot[0], spot[1] + 0.36 * 3.2], LARGER, face));
                }
                None => complete = false,
            }
        }
        let pushes = self.pushes();
        for push in &pushes {
            match push.kind {
                PushKind::Face => placer.keep_ring(push.at, CROSS),
                PushKind::Side => {
                    let middle = [(push.at[0] + push.tail[0]) / 2.0, (push.at[1] + push.tail[1]) / 2.0];
                    let half = [
                        (push.at[0] - push.tail[0]).abs() / 2.0 + 0.8,
                        (push.at[1] - push.tail[1]).abs() / 2.0 + 0.8,
                    ];
                    placer.keep_box(middle, half);
                }
            }
        }
        for (at, words) in self.steps {
            if let Some(spot) = self.step_spot(*at, words, &pushes, &placer, &on_wood) {
                placer.keep_box(spot, step_half(words));
                let face = Type::plain(SMALL).hung(Hang::Middle);
                drawing = drawing.add(text([spot[0], spot[1] + 0.36 * SMALL], words, face));
            }
        }
        // Leaders lie beneath the rings they end at, labels above everything.
        let (mut leaders, mut labels) = (Vec::new(), Vec::new());
        for place in &self.shown {
            let (centre, radius) = (self.spot(place.at), self.radius(place));
            let Some(spot) = placer.place(centre, radius, mark::badge_half(&place.id.to_string())) else {
                complete = false;
                continue;
            };
            leaders.push(leader(centre, radius, spot));
            labels.push(mark::badge(spot, &place.id.to_string(), place.verdict));
        }
        for push in pushes.iter().filter(|push| !push.in_own_ring) {
            let (from, radius) = match push.kind {
                PushKind::Face => (push.at, PAD_RADIUS * self.zoom()),
                PushKind::Side => (push.tail, 0.0),
            };
            complete &= small_label(&push.words, from, radius, &mut placer, &mut leaders, &mut labels);
        }
        for line in self.parted() {
            let (from, words) = (line.middle(), line.words());
            complete &= small_label(&words, from, 0.0, &mut placer, &mut leaders, &mut labels);
        }
        drawing = drawing.add(grouped(leaders));
        for place in &self.shown {
            drawing = drawing.add(mark::ring(self.spot(place.at), self.radius(place), place.verdict));
        }
        for push in &pushes {
            drawing = drawing.add(match push.kind {
                PushKind::Face => mark::pad(push.at, PAD_RADIUS * self.zoom()),
                PushKind::Side => mark::arrow(push.tail, push.at, 0.7),
            });
        }
        *group = drawing.add(grouped(labels));
        complete
    }

    /// Where a step is said in its opening: as near to its middle as it stands clear of wood and marks; nowhere where it does
    /// not fit in.
    fn step_spot(
        &self,
        at: Coord<f64>,
        words: &str,
        pushes: &[Pushed],
        placer: &Placer<'_>,
        on_wood: &dyn Fn(Spot) -> bool,
    ) -> Option<Spot> {
        let (middle, half) = (self.spot(at), step_half(words));
        let in_opening = |spot: &Spot| {
            let parts = [-1.0, 0.0, 1.0];
            let rim =
                parts.iter().flat_map(|x| parts.map(|y| [spot[0] + x * half[0], spot[1] + y * half[1]]));
            rim.chain([0.25, 0.5, 0.75].map(|part| {
                [middle[0] + part * (spot[0] - middle[0]), middle[1] + part * (spot[1] - middle[1])]
            }))
            .all(|corner| !on_wood(corner))
        };
        let clear = |spot: &Spot| {
            let mut pads = pushes.iter().filter(|push| push.kind == PushKind::Face);
            let (radius, reach) = (PAD_RADIUS * self.zoom(), half[0].hypot(half[1]));
            let beside = |away: f64| away > radius + reach || away < radius - reach;
            placer.is_free(*spot, half) && pads.all(|pad| beside(distance(*spot, pad.at)))
        };
        let around = (1..=AROUND).flat_map(|ring| {
            (0..16).map(move |turn| {
                let (sin, cos) = (std::f64::consts::TAU * f64::from(turn) / 16.0).sin_cos();
                [middle[0] + 1.5 * f64::from(ring) * cos, middle[1] + 1.5 * f64::from(ring) * sin]
            })
        });
        let spots: Vec<Spot> = std::iter::once(middle).chain(around).filter(in_opening).collect();
        spots.iter().copied().find(clear).or_else(|| spots.first().copied())
    }
}

/// So many rings of spots, 1.5 mm apart, are tried for a step in its opening.
const AROUND: i32 = 12;

/// Half the size of a step's words.
fn step_half(words: &str) -> Spot {
    [letters::width(words, SMALL, false) / 2.0, SMALL / 2.0]
}

/// A few small words beside what they belong to, tied to it by a leader where they stand off; false where there is no room.
fn small_label(
    words: &str,
    from: Spot,
    radius: f64,
    placer: &mut Placer<'_>,
    leaders: &mut Vec<Group>,
    labels: &mut Vec<Group>,
) -> bool {
    let half = [letters::width(words, SMALL, false) / 2.0, 0.5 * SMALL];
    let Some(spot) = placer.place(from, radius, half) else { return false };
    let face = Type::plain(SMALL).hung(Hang::Middle);
    if distance(from, spot) > radius + half[0] + 4.0 {
        leaders.push(leader(from, radius, spot));
    }
    labels.push(text_with_halo([spot[0], spot[1] + 0.36 * SMALL], words, face));
    true
}

fn grouped(all: Vec<Group>) -> Group {
    all.into_iter().fold(Group::new(), Group::add)
}

/// Uneven steps between grain lines, in parts of the pitch.
const UNEVEN: [f64; 7] = [0.0, 0.22, -0.18, 0.31, -0.27, 0.09, -0.12];

/// An insert's edge.
pub(super) const INSERT: Pen = Pen::dashed(0.4, "4 1.2 0.6 1.2");

const fn heading(side: Side) -> &'static str {
    match side {
        Side::Face => "FACE",
        Side::Detail | Side::Twice => LARGER,
        Side::Back => "BACK",
        Side::Within => "WITHIN",
    }
}

fn heading_height(grain_deg: f64) -> f64 {
    (GRAIN_ARROW * grain_deg.to_radians().sin().abs()).max(6.0) + 3.0
}

fn heading_width(side: Side, note: &str, grain_deg: f64) -> f64 {
    letters::width(heading(side), 5.0, true)
        + GRAIN_ARROW * grain_deg.to_radians().cos().abs()
        + letters::width("grain", 3.2, false)
        + letters::width(note, SMALL, false)
        + 14.0
}

/// The ring clears the wood beside the neck, but stays readable on narrow and on broad places.
fn ring_radius(place: &Place, zoom: f64) -> f64 {
    (zoom * place.neck_mm * 0.5 + 1.6).clamp(2.6, 12.0 * zoom)
}

/// From a ring's rim to a label, with a halo.
fn leader(centre: Spot, radius: f64, spot: Spot) -> Group {
    let length = distance(centre, spot).max(1e-9);
    let rim = [
        centre[0] + (spot[0] - centre[0]) / length * radius,
        centre[1] + (spot[1] - centre[1]) / length * radius,
    ];
    let pen = Pen::solid(0.22);
    Group::new().add(line(rim, spot, Pen { width: 0.8, ..pen.in_colour(PAPER) })).add(line(rim, spot, pen))
}

/// The smallest and largest x and y of a shape.
pub(super) fn bounds(shape: &Shape) -> [f64; 4] {
    let mut all = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    for c in shape.polygon().exterior().coords() {
        all = [all[0].min(c.x), all[1].min(c.y), all[2].max(c.x), all[3].max(c.y)];
    }
    all
}

/// How far inserts stand out beyond the piece before its outline is cut.
fn overhang(shape: &Shape, finding: &Finding) -> f64 {
    let [x0, y0, x1, y1] = bounds(shape);
    let inserts = finding.places.iter().filter_map(|place| place.insert.as_ref());
    inserts
        .flat_map(|insert| insert.outline.exterior().coords())
        .map(|c| (x0 - c.x).max(c.x - x1).max(y0 - c.y).max(c.y - y1))
        .fold(0.0, f64::max)
}

/// Where a line at `angle`, `shift` to the left of the origin, lies in a polygon.
fn chords(polygon: &Polygon<f64>, angle: f64, shift: f64) -> Vec<[Coord<f64>; 2]> {
    let (sin, cos) = angle.sin_cos();
    let mut hits: Vec<f64> = Vec::new();
    for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
        for edge in ring.lines() {
            let (a, b) = (
                edge.start.y * cos - edge.start.x * sin - shift,
                edge.end.y * cos - edge.end.x * sin - shift,
            );
            // Half open, so that a corner on the line counts once.
            if (a < 0.0) != (b < 0.0) {
                let part = a / (a - b);
                let x = edge.start.x + part * (edge.end.x - edge.start.x);
                let y = edge.start.y + part * (edge.end.y - edge.start.y);
                hits.push(x * cos + y * sin);
            }
        }
    }
    hits.sort_by(f64::total_cmp);
    let at = |along: f64| Coord { x: along * cos - shift * sin, y: along * sin + shift * cos };
    hits.chunks_exact(2).map(|pair| [at(pair[0]), at(pair[1])]).collect()
}

fn distance(a: Spot, b: Spot) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}
