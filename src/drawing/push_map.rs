//! The push map: a piece's face in bands of the force that breaks it there, dark where little does.

use geo::Contains;
use svg::node::element::{ClipPath, Definitions, Group};

use super::letters;
use super::mark;
use super::pen::{Hang, INK, PAPER, Pen, Spot, Type, line, rings, rounded, shape, text, text_with_halo};
use super::picture::{Page, Sheet, heading, scale_bar, small_print};
use super::words;
use crate::check::{Finding, PAD_RADIUS, Place, PushMap};
use crate::shape::{Shape, plane::point};
use crate::units::{Force, Units};

/// Room round a piece, in mm.
const MARGIN: f64 = 8.0;
/// Width of the key beside it.
const KEY: f64 = 46.0;
/// Most bands; what is drawn in the darkest and the lightest grey, of 255.
const BANDS: usize = 6;
const DARK: f64 = 105.0;
const LIGHT: f64 = 246.0;
/// Labels keep so far from places' numbers, in mm.
const BADGE: f64 = 7.0;
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
    for words in letters::wrap(&what, 3.0, inner) {
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
            [x1 - x0 + 2.0 * MARGIN + KEY, (y1 - y0 + 2.0 * MARGIN).max(10.0 + 7.0 * edges.len() as f64)];
        Self { shape, finding, map, units, values: filled(shape, map), edges, size }
    }

    fn spot(&self, x: f64, y: f64) -> Spot {
        [MARGIN + x - self.finding.bounds_mm[0], MARGIN + self.finding.bounds_mm[3] - y]
    }

    fn group(&self, key: &str, several: bool) -> Group {
        let outline =
            rings(self.shape.rings().map(|ring| {
                ring.0[..ring.0.len() - 1].iter().map(|p| self.spot(p.x, p.y)).collect::<Vec<_>>()
            }));
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
        for edge in &self.edges[1..bands] {
            for [from, to] in self.contour(edge.ln()) {
                inside = inside.add(line(from, to, Pen::solid(0.18)));
            }
        }
        let mut group = Group::new()
            .add(Definitions::new().add(clip))
            .add(shape(&outline, PAPER, None))
            .add(inside)
            .add(shape(&outline, "none", Some(Pen::solid(0.4))));
        for band in 0..bands {
            let label =
                || Some((self.seat(band)?, words::given_force(self.units, self.edges[band]), Hang::Middle));
            if let Some((at, words, hang)) = if band == 0 { self.least() } else { label() } {
                group = group.add(text_with_halo(at, &words, Type::plain(2.6).hung(hang)));
            }
        }
        for place in self.badged() {
            let at = self.spot(place.at.x, place.at.y);
            group = group.add(mark::badge(at, &place.id.to_string(), place.verdict));
        }
        if several {
            group = group.add(text([MARGIN, MARGIN - 3.0], &self.finding.name, Type::bold(3.6)));
        }
        group.add(self.key())
    }

    /// The places that some push of the map breaks.
    fn badged(&self) -> impl Iterator<Item = &'a Place> {
        let breaks = |place: &&Place| self.map.known().any(|(_, point)| point.place == place.id);
        self.finding.places.iter().filter(breaks)
    }

    /// The least force of all, where it is, as the label of the darkest band; it hangs to the side on which more of the map lies.
    fn least(&self) -> Option<(Spot, String, Hang)> {
        let (at, weakest) =
            self.map.known().min_by(|(_, a), (_, b)| a.breaks_at_n.total_cmp(&b.breaks_at_n))?;
        let words = format!("least {}", words::given_force(self.units, weakest.breaks_at_n.round()));
        let beside = |sign: f64| {
            let ahead = (1..self.map.columns).map(|k| at.x + sign * self.map.spacing_mm * k as f64);
            ahead.take_while(|&x| self.shape.polygon().contains(&point(x, at.y))).count()
        };
        let hang = if beside(1.0) >= beside(-1.0) { Hang::Start } else { Hang::End };
        Some((self.spot(at.x, at.y), words, hang))
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
            let force = |edge: f64| words::given_force(self.units, edge);
            let words = match band {
                0 => format!("under {}", force(self.edges[1])),
                _ if band + 1 == bands => format!("over {}", force(self.edges[band])),
                _ => format!("{} to {}", force(self.edges[band]), force(self.edges[band + 1])),
            };
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

    /// Where a band's label stands: its point farthest from all that is not of the band.
    fn seat(&self, band: usize) -> Option<Spot> {
        let inside = |column: usize, row: usize| {
            let point = self.map.point(column, row)?;
            (point.breaks_at_n >= self.edges[band] && point.breaks_at_n < self.edges[band + 1]).then_some(())
        };
        let depth = |column: usize, row: usize| {
            let reach = 1 + self.map.columns.max(self.map.rows);
            (1..reach)
                .take_while(|&d| {
                    column >= d
                        && row >= d
                        && column + d < self.map.columns
                        && row + d < self.map.rows
                        && (column - d..=column + d)
                            .all(|c| inside(c, row - d).is_some() && inside(c, row + d).is_some())
                        && (row - d..=row + d)
                            .all(|r| inside(column - d, r).is_some() && inside(column + d, r).is_some())
                })
                .count()
        };
        let badges: Vec<Spot> = self.badged().map(|place| self.spot(place.at.x, place.at.y)).collect();
        let clear = |[x, y]: Spot| badges.iter().all(|[u, v]| (x - u).abs() > BADGE || (y - v).abs() > BADGE);
        let mut best: Option<(usize, Spot)> = None;
        for row in 0..self.map.rows {
            for column in 0..self.map.columns {
                if inside(column, row).is_some() {
                    let at = self.map.at(column, row);
                    let [x, y] = self.spot(at.x, at.y);
                    let depth = depth(column, row);
                    if clear([x, y]) && best.is_none_or(|(old, _)| depth > old) {
                        best = Some((depth, [x, y + 0.9]));
                    }
                }
            }
        }
        best.filter(|(depth, _)| *depth > 0).map(|(_, spot)| spot)
    }
}

/// With more known neighbours than this a point within the wood is taken for one of them.
const MISSED: f64 = 3.5;
/// Width of the seams between a band's cells, in mm.
const SEAM: &str = "0.05";

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

/// Logarithms of the forces; points beside the wood take the mean of their neighbours, twice, so that bands reach the walls.
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
