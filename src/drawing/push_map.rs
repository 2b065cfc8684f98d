//! The push map: a piece's face in bands of the force that breaks it there, dark where little does.

use geo::Contains;
use svg::node::element::{ClipPath, Definitions, Group};

use self::labels::{Ground, Labels, Raster};
use super::label::Placer;
use super::letters;
use super::mark;
use super::pen::{INK, PAPER, Pen, Spot, Type, line, rings, rounded, shape, text};
use super::picture::{Page, Sheet, heading, scale_bar, small_print};
use super::words;
use crate::check::{Finding, PAD_RADIUS, Place, PushMap};
use crate::shape::{
    Shape,
    plane::{distance, point},
};
use crate::units::{Force, Units};

mod labels;

/// Room round a piece, in mm; and between it and the key, for labels.
const MARGIN: f64 = 8.0;
const BESIDE: f64 = 14.0;
/// Width of the key beside it.
const KEY: f64 = 46.0;
/// Most bands; what is drawn in the darkest and the lightest grey, of 255.
const BANDS: usize = 6;
const DARK: f64 = 84.0;
const LIGHT: f64 = 246.0;
/// Size of a piece's name.
const NAME: f64 = 3.6;
/// White round a place's number, in mm, which may stand on dark grey.
const RIM: f64 = 0.5;
/// Sides of an outline shorter than this are passed over where labels keep clear of it, in mm.
const CHORD: f64 = 0.4;
/// A band's edges, times a power of ten, in the reader's unit.
const NICE: [f64; 6] = [1.0, 1.5, 2.0, 3.0, 5.0, 7.0];

/// Draws each piece with bands of the least push on the face that breaks it, as far as a map of it is known.
///
/// True scale in mm, as seen from the face. Every band is labelled with its forces, and greys grow darker the weaker the piece is
/// there, so that it reads in black and white.
pub fn push_map(sheet: &Sheet<'_>) -> String {
    let mut drawn = Vec::new();
    for &(shape, finding) in sheet.pieces {
        if let Some(map) = &finding.push_map {
            drawn.push(Drawn::new(shape, finding, map, sheet.units));
        }
    }
    let inner = drawn.iter().map(|drawn| drawn.size[0]).fold(120.0, f64::max);
    let mut page = Page::new();
    heading(&mut page, sheet, inner);
    let mut told = Group::new();
    let mut y = 0.0;
    let what = format!(
        "Push map: the least force on each point of the face, on a round pad of {}, that breaks any place it loads. White \
         wood with fine dots: six times the stated push breaks nothing there.",
        words::size(sheet.units, 2.0 * PAD_RADIUS)
    );
    let not_whole = sheet.pieces.iter().flat_map(|(_, finding)| {
        let told = finding.remarks.iter().filter(|remark| remark.is_of_map());
        told.map(|remark| match sheet.pieces.len() {
            1 => format!("{remark}."),
            _ => format!("{}: {remark}.", finding.name),
        })
    });
    for words in std::iter::once(what).chain(not_whole).flat_map(|words| letters::wrap(&words, 3.0, inner)) {
        y += 4.2;
        told = told.add(text([0.0, y], &words, Type::plain(3.0)));
    }
    page.add(told, 0.0, y + 3.0);
    for (number, drawn) in drawn.into_iter().enumerate() {
        let height = drawn.size[1];
        page.add(drawn.group(&format!("map-{}", number + 1), sheet.pieces.len() > 1), 0.0, height + 4.0);
    }
    scale_bar(&mut page, sheet.units);
    small_print(&mut page, sheet, inner);
    page.document(sheet.title, inner)
}

/// One piece's map.
struct Drawn<'a> {
    shape: &'a Shape,
    finding: &'a Finding,
    map: &'a PushMap,
    units: Units,
    /// Logarithms of the forces, filled in a little beyond the wood's walls.
    values: Vec<Option<f64>>,
    /// Edges of the bands, in N.
    edges: Vec<f64>,
    size: Spot,
}

impl<'a> Drawn<'a> {
    fn new(shape: &'a Shape, finding: &'a Finding, map: &'a PushMap, units: Units) -> Self {
        let [x0, y0, x1, y1] = finding.bounds_mm;
        let edges = edges(map, units);
        let size =
            [x1 - x0 + MARGIN + BESIDE + KEY, (y1 - y0 + 2.0 * MARGIN).max(10.0 + 7.0 * edges.len() as f64)];
        Self { shape, finding, map, units, values: filled(shape, map), edges, size }
    }

    fn spot(&self, x: f64, y: f64) -> Spot {
        [MARGIN + x - self.finding.bounds_mm[0], MARGIN + self.finding.bounds_mm[3] - y]
    }

    fn group(&self, key: &str, several: bool) -> Group {
        let drawn: Vec<Vec<Spot>> = self
            .shape
            .rings()
            .map(|ring| ring.0[..ring.0.len() - 1].iter().map(|p| self.spot(p.x, p.y)).collect())
            .collect();
        let outline = rings(drawn.iter().map(|ring| ring.iter().copied()));
        let clip = ClipPath::new().set("id", key).add(shape(&outline, INK, None));
        let mut inside = Group::new().set("clip-path", format!("url(#{key})"));
        // Dots where nothing is known: they stand between the bands and paper.
        for row in 0..self.map.rows {
            for column in (row % 2..self.map.columns).step_by(2) {
                if self.map.point(column, row).is_none() {
                    let at = self.map.at(column, row);
                    let [x, y] = self.spot(at.x, at.y);
                    inside = inside.add(line([x, y], [x + 0.15, y], Pen::solid(0.2)));
                }
            }
        }
        let bands = self.edges.len() - 1;
        for band in 0..bands {
            let path = self.band(self.edges[band].ln(), self.edges[band + 1].ln());
            if !path.is_empty() {
                let grey = grey(band, bands);
                let mut cells = shape(&path, &grey, None);
                // A hair of the same grey, so that no paper shows between the cells.
                cells.get_attributes_mut().insert("stroke".into(), grey.into());
                cells.get_attributes_mut().insert("stroke-width".into(), SEAM.into());
                inside = inside.add(cells);
            }
        }
        let contours: Vec<[Spot; 2]> =
            self.edges[1..bands].iter().flat_map(|edge| self.contour(edge.ln())).collect();
        for [from, to] in &contours {
            inside = inside.add(line(*from, *to, Pen::solid(0.18)));
        }
        let mut group = Group::new()
            .add(Definitions::new().add(clip))
            .add(shape(&outline, PAPER, None))
            .add(inside)
            .add(shape(&outline, "none", Some(Pen::solid(0.4))));
        for place in self.badged() {
            let (at, number) = (self.spot(place.at.x, place.at.y), place.id.to_string());
            let [x, y] = mark::badge_half(&number).map(|half| half + RIM);
            let rim = rounded([at[0] - x, at[1] - y], [2.0 * x, 2.0 * y], y, PAPER, PAPER_PEN);
            group = group.add(rim).add(mark::badge(at, &number, place.verdict));
        }
        group = group.add(self.labelled(&drawn, &contours, several));
        if several {
            group = group.add(text([MARGIN, MARGIN - 3.0], &self.finding.name, Type::bold(NAME)));
        }
        group.add(self.key())
    }

    /// The least force where it is, and every band's forces.
    fn labelled(&self, drawn: &[Vec<Spot>], contours: &[[Spot; 2]], several: bool) -> Group {
        let room = [self.size[0] - KEY, self.size[1]];
        let raster = Raster::new(room, drawn, |spot| self.band_at(spot));
        let on_wood = |spot: Spot| raster.at(spot) != Ground::Paper;
        let mut placer = Placer::new([0.0, 0.0], room, &on_wood);
        for place in self.badged() {
            placer.keep_box(self.spot(place.at.x, place.at.y), mark::badge_half(&place.id.to_string()));
        }
        if several {
            let half = [letters::width(&self.finding.name, NAME, true) / 2.0, NAME / 2.0];
            placer.keep_box([MARGIN + half[0], MARGIN - 3.0 - 0.4 * NAME], half);
        }
        for ring in drawn {
            let Some(&first) = ring.first() else { continue };
            let mut from = first;
            for &to in ring[1..].iter().chain(ring.first()) {
                if (from[0] - to[0]).hypot(from[1] - to[1]) >= CHORD || to == first {
                    placer.keep_line(from, to);
                    from = to;
                }
            }
        }
        for [from, to] in contours {
            if on_wood(between(*from, *to, 0.5)) {
                placer.keep_line(*from, *to);
            }
        }
        let mut labels = Labels::new(&raster, placer);
        let least = self.map.known().min_by(|(_, a), (_, b)| a.breaks_at_n.total_cmp(&b.breaks_at_n));
        if let Some((at, weakest)) = least {
            let words = format!("least {}", words::given_force(self.units, weakest.breaks_at_n.round()));
            labels.point(self.spot(at.x, at.y), &words);
        }
        let bands = self.edges.len() - 1;
        for band in (0..bands).skip(1) {
            labels.band(band, &self.forces(band));
        }
        labels.group()
    }

    /// A band's forces in a few words.
    fn forces(&self, band: usize) -> String {
        let force = |edge: f64| words::given_force(self.units, edge);
        let (low, high) = (force(self.edges[band]), force(self.edges[band + 1]));
        match band {
            0 => format!("under {high}"),
            _ if band + 2 == self.edges.len() => format!("over {low}"),
            _ => format!("{}–{high}", low.split(' ').next().unwrap_or(&low)),
        }
    }

    /// In which band a spot lies.
    fn band_at(&self, [x, y]: Spot) -> Option<usize> {
        let [low_x, .., high_y] = self.finding.bounds_mm;
        let (x, y) = (x - MARGIN + low_x - self.map.first.x, MARGIN + high_y - y - self.map.first.y);
        let (column, row) = (x / self.map.spacing_mm, y / self.map.spacing_mm);
        if column < 0.0 || row < 0.0 || self.map.columns < 2 || self.map.rows < 2 {
            return None;
        }
        let (i, j) = ((column as usize).min(self.map.columns - 2), (row as usize).min(self.map.rows - 2));
        let (column, row) = (column - i as f64, row - j as f64);
        let value = |right: usize, up: usize| self.values[(j + up) * self.map.columns + i + right];
        // As the two triangles of a cell are drawn.
        let (near, far) = (value(0, 0)?, value(1, 1)?);
        let value = if column >= row {
            let beside = value(1, 0)?;
            near + column * (beside - near) + row * (far - beside)
        } else {
            let above = value(0, 1)?;
            near + row * (above - near) + column * (far - above)
        };
        Some(self.edges.partition_point(|edge| edge.ln() <= value).clamp(1, self.edges.len() - 1) - 1)
    }

    /// The places that some push of the map breaks.
    fn badged(&self) -> impl Iterator<Item = &'a Place> {
        let breaks = |place: &&Place| self.map.known().any(|(_, point)| point.place == place.id);
        self.finding.places.iter().filter(breaks)
    }

    /// Which grey means which force.
    fn key(&self) -> Group {
        let x = self.size[0] - KEY + 2.0;
        let bands = self.edges.len() - 1;
        if self.map.known().next().is_none() {
            return Group::new().add(text([x, MARGIN + 1.0], "Nothing breaks.", Type::bold(3.0)));
        }
        let mut group = Group::new().add(text([x, MARGIN + 1.0], "Breaks at", Type::bold(3.0)));
        for band in 0..bands {
            let y = MARGIN + 3.5 + 6.5 * band as f64;
            let words = self.forces(band);
            group = group
                .add(rounded([x, y], [7.0, 5.0], 0.0, &grey(band, bands), Pen::solid(0.2)))
                .add(text([x + 9.0, y + 3.6], &words, Type::plain(2.8)));
        }
        group
    }

    /// The parts of all cells that lie in a band, as one path.
    fn band(&self, low: f64, high: f64) -> String {
        let mut path = Vec::new();
        self.triangles(|corners| {
            let kept = cut(&cut(&corners, |v| v - low), |v| high - v);
            if kept.len() > 2 {
                path.push(kept.iter().map(|(spot, _)| *spot).collect::<Vec<Spot>>());
            }
        });
        rings(path)
    }

    /// The lines on which the force is as given.
    fn contour(&self, value: f64) -> Vec<[Spot; 2]> {
        let mut lines = Vec::new();
        self.triangles(|corners| {
            let crossings: Vec<Spot> = (0..3)
                .filter_map(|i| {
                    let ((a, u), (b, v)) = (corners[i], corners[(i + 1) % 3]);
                    ((u < value) != (v < value)).then(|| between(a, b, (value - u) / (v - u)))
                })
                .collect();
            if let [from, to] = crossings[..] {
                lines.push([from, to]);
            }
        });
        lines
    }

    /// All cells whose corners are known, each as two triangles.
    fn triangles(&self, mut see: impl FnMut([(Spot, f64); 3])) {
        let corner = |column: usize, row: usize| {
            let at = self.map.at(column, row);
            Some((self.spot(at.x, at.y), self.values[row * self.map.columns + column]?))
        };
        for row in 0..self.map.rows.saturating_sub(1) {
            for column in 0..self.map.columns.saturating_sub(1) {
                let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(i, j)| corner(column + i, row + j));
                for [a, b, c] in [[0, 1, 2], [0, 2, 3]] {
                    if let (Some(a), Some(b), Some(c)) = (corners[a], corners[b], corners[c]) {
                        see([a, b, c]);
                    }
                }
            }
        }
    }
}

/// With more known neighbours than this a point within the wood is taken for one of them.
const MISSED: f64 = 3.5;
/// Width of the seams between a band's cells, in mm.
const SEAM: &str = "0.05";
/// The edge of a rim.
const PAPER_PEN: Pen = Pen::solid(0.1).in_colour(PAPER);

fn grey(band: usize, bands: usize) -> String {
    let part = if bands > 1 { band as f64 / (bands - 1) as f64 } else { 1.0 };
    let level = (DARK + (LIGHT - DARK) * part).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

fn between(a: Spot, b: Spot, part: f64) -> Spot {
    [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part]
}

/// What of a polygon has a measure of its values at or above zero.
fn cut(corners: &[(Spot, f64)], measure: impl Fn(f64) -> f64) -> Vec<(Spot, f64)> {
    let mut kept = Vec::new();
    for i in 0..corners.len() {
        let ((a, u), (b, v)) = (corners[i], corners[(i + 1) % corners.len()]);
        let (from, to) = (measure(u), measure(v));
        if from >= 0.0 {
            kept.push((a, u));
        }
        if (from >= 0.0) != (to >= 0.0) {
            let part = from / (from - to);
            kept.push((between(a, b, part), u + (v - u) * part));
        }
    }
    kept
}

/// Logarithms of the forces. Points beside the wood take that of the wall near them, or the mean of their neighbours, twice, so that bands
/// reach the walls.
fn filled(wood: &Shape, map: &PushMap) -> Vec<Option<f64>> {
    let mut values: Vec<Option<f64>> =
        map.points.iter().map(|point| point.as_ref().map(|point| point.breaks_at_n.ln())).collect();
    let index = |column: usize, row: usize| row * map.columns + column;
    let beside: Vec<bool> = (0..map.rows)
        .flat_map(|row| (0..map.columns).map(move |column| (column, row)))
        .map(|(column, row)| {
            let at = map.at(column, row);
            !wood.polygon().contains(&point(at.x, at.y))
        })
        .collect();
    for row in 0..map.rows {
        for column in 0..map.columns {
            let (number, at) = (index(column, row), map.at(column, row));
            let near = map.off_grid.iter().map(|(other, point)| (distance(*other, at), point.breaks_at_n));
            let nearest = near.min_by(|a, b| a.0.total_cmp(&b.0)).filter(|(away, _)| *away < map.spacing_mm);
            if let Some((_, force)) = nearest.filter(|_| beside[number] && values[number].is_none()) {
                values[number] = Some(force.ln());
            }
        }
    }
    for _ in 0..2 {
        let known = values.clone();
        for row in 0..map.rows {
            for column in 0..map.columns {
                if known[index(column, row)].is_some() {
                    continue;
                }
                let (mut sum, mut count) = (0.0, 0.0);
                for r in row.saturating_sub(1)..(row + 2).min(map.rows) {
                    for c in column.saturating_sub(1)..(column + 2).min(map.columns) {
                        if let Some(value) = known[index(c, r)] {
                            (sum, count) = (sum + value, count + 1.0);
                        }
                    }
                }
                // A point just inside a wall may have been missed, one in held wood was not.
                if count > if beside[index(column, row)] { 0.0 } else { MISSED } {
                    values[index(column, row)] = Some(sum / count);
                }
            }
        }
    }
    values
}

/// Edges of the bands, in N: round numbers in the reader's unit, from below the least force on, the last beyond all.
fn edges(map: &PushMap, units: Units) -> Vec<f64> {
    let least = map.known().map(|(_, point)| point.breaks_at_n).fold(f64::INFINITY, f64::min);
    let most = map.known().map(|(_, point)| point.breaks_at_n).fold(0.0, f64::max);
    let unit = match units {
        Units::Metric => 1.0,
        Units::Inch => Force::lbf(1.0).as_n(),
    };
    let mut edges = vec![0.0_f64.max(1e-9)];
    if least.is_finite() {
        let nice = (-1i32..6).flat_map(|power| NICE.map(|n| n * 10f64.powi(power) * unit));
        edges.extend(nice.filter(|edge| *edge > least && *edge < most).take(BANDS - 1));
    }
    edges.push(f64::INFINITY);
    edges
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::check::{PieceRemark, PushPoint, Pushes};
    use crate::units::{Angle, Length};
    use crate::wood::{Board, Rings};

    /// A plate's map, where `force` breaks it.
    fn pushed(shape: &Shape, places: usize, force: impl Fn(f64, f64) -> Option<f64>) -> PushMap {
        let [wide, tall] = [20.0 + 30.0 * (places as f64 + 1.0), 100.0];
        let (columns, rows) = ((wide / 2.0) as usize + 1, (tall / 2.0) as usize + 1);
        let points = (0..rows * columns).map(|i| {
            let at = point(2.0 * (i % columns) as f64, 2.0 * (i / columns) as f64);
            let breaks_at_n = force(at.x, at.y).filter(|_| shape.polygon().contains(&at))?;
            Some(PushPoint { breaks_at_n, place: i % places + 1 })
        });
        PushMap {
            spacing_mm: 2.0,
            first: point(0.0, 0.0),
            columns,
            rows,
            points: points.collect(),
            off_grid: Vec::new(),
            left_out: Vec::new(),
            unsolved: Vec::new(),
        }
    }

    fn sheet(shape: &Shape, finding: &Finding) -> String {
        let board = Board {
            thickness: Length::mm(19.0),
            grain: Angle::deg(0.0),
            rings: Rings::Flat,
            moisture_pct: 8.0,
        };
        push_map(&Sheet {
            title: "plate",
            wood: "Oak, white",
            board: &board,
            pushes: &Pushes::default(),
            units: Units::Metric,
            pieces: &[(shape, finding)],
            notes: &[],
            cautions: &[],
        })
    }

    #[test]
    fn what_was_not_pushed_is_told_on_the_sheet() {
        let told = |remarks: Vec<PieceRemark>| {
            let shape = sample::plate(1);
            let finding = Finding {
                remarks,
                push_map: Some(pushed(&shape, 1, |_, _| None)),
                ..sample::finding(&shape, 1)
            };
            sheet(&shape, &finding).contains("3 places, the strongest there are, are not all")
        };
        assert!(told(vec![PieceRemark::MapLeftOut { places: 3, work: 1000 }]) && !told(Vec::new()));
    }

    /// Middle, half size and words of all labels in a piece's map, and of the places' numbers.
    fn boxes(drawing: &str) -> Vec<(Spot, Spot, String)> {
        let tree = roxmltree::Document::parse(drawing).expect("a drawing is well-formed");
        let number = |node: &roxmltree::Node<'_, '_>, name: &str| {
            node.attribute(name).and_then(|value| value.parse::<f64>().ok()).expect("a number")
        };
        let middle = |node: &roxmltree::Node<'_, '_>| node.attribute("text-anchor") == Some("middle");
        let written = tree.descendants().filter(|node| node.has_tag_name("text") && middle(node));
        let mut boxes: Vec<(Spot, Spot, String)> = Vec::new();
        for node in written {
            let (size, words) = (number(&node, "font-size"), node.text().unwrap_or_default().to_owned());
            let spot = [number(&node, "x"), number(&node, "y") - 0.36 * size];
            let is_badge = size > 3.0;
            let half = if is_badge {
                mark::badge_half(&words)
            } else {
                [letters::width(&words, size, false) / 2.0, size / 2.0]
            };
            // Of a label with a halo both are one.
            let new = (spot, half, words);
            if (is_badge && new.2.parse::<usize>().is_ok() || size < 3.0) && !boxes.contains(&new) {
                boxes.push(new);
            }
        }
        boxes
    }

    #[test]
    fn every_band_is_labelled_and_no_label_lies_on_another_or_on_a_number() {
        // Broad bands, narrow ones, and some that are hairs.
        for width in [60.0, 25.0, 9.0] {
            let shape = sample::plate(4);
            let force = |x: f64, y: f64| Some(20.0 * ((x + 0.3 * y) / width).exp()).filter(|n| *n < 270.0);
            let push_map = Some(pushed(&shape, 4, force));
            let drawing = sheet(&shape, &Finding { push_map, ..sample::finding(&shape, 4) });
            let boxes = boxes(&drawing);
            let tree = roxmltree::Document::parse(&drawing).expect("a drawing is well-formed");
            let key = tree.descendants().filter(|node| node.attribute("font-size") == Some("2.8"));
            let key = key.filter_map(|node| node.text()).filter(|words| words.ends_with(" N"));
            let key: Vec<&str> = key.collect();
            assert_eq!(key.len(), BANDS, "{key:?}");
            // The weakest band's label is that of the least force.
            for band in key.iter().skip(1).chain(&["least 2"]) {
                assert!(boxes.iter().any(|(.., words)| words.starts_with(band)), "{width} {band}: {boxes:?}");
            }
            for (i, (a, b, words)) in boxes.iter().enumerate() {
                for (c, d, others) in &boxes[..i] {
                    let apart = (0..2).any(|k| (a[k] - c[k]).abs() > b[k] + d[k]);
                    assert!(apart, "{width}: {words} {a:?} on {others} {c:?}");
                }
            }
        }
    }

    #[test]
    fn few_bands_differ_more_than_many() {
        let level = |band, bands| i32::from_str_radix(&grey(band, bands)[1..3], 16).expect("a grey");
        let steps = [2, 3, 4, 6].map(|bands| level(1, bands) - level(0, bands));
        assert!(steps.windows(2).all(|pair| pair[0] > pair[1]) && steps[3] > 30, "{steps:?}");
        // The lightest is not the paper's white.
        assert!(level(5, 6) < 250);
    }
}
