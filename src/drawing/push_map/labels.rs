//! Where the forces of a push map's bands are written: within a band where there is room, else beside it at the end of a leader.

use crate::drawing::label::Placer;
use crate::drawing::letters;
use crate::drawing::pen::{Hang, INK, PAPER, Pen, Spot, Type, circle, line, text_with_halo};
use svg::node::element::Group;

/// Size of the letters, and radius of the dot at the end of a leader, in mm.
const LETTERS: f64 = 2.5;
const DOT: f64 = 0.5;
/// Air between a label and its band's edge, in mm.
const AIR: f64 = 0.4;
/// So many cells a raster has at the most; none is smaller than this, in mm.
const CELLS: f64 = 60_000.0;
const FINEST: f64 = 0.3;

/// Which band each spot of a picture is in, cell by cell.
pub(super) struct Raster {
    step: f64,
    columns: usize,
    rows: usize,
    cells: Vec<Ground>,
}

/// What lies at a spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ground {
    /// No wood.
    Paper,
    /// Wood of which no force is known.
    Wood,
    /// Wood of a band, by its number.
    Band(usize),
}

impl Raster {
    /// Of a picture of this size; `band` says in which band a spot on wood is, which is what lies within the `rings` by the even-odd rule.
    pub(super) fn new(size: Spot, rings: &[Vec<Spot>], band: impl Fn(Spot) -> Option<usize>) -> Self {
        let step = FINEST.max((size[0] * size[1] / CELLS).sqrt());
        let [columns, rows] = size.map(|length| (length / step).ceil() as usize);
        let mut cells = vec![Ground::Paper; columns * rows];
        for row in 0..rows {
            let y = (row as f64 + 0.5) * step;
            let mut hits: Vec<f64> = Vec::new();
            for ring in rings {
                for (i, a) in ring.iter().enumerate() {
                    let b = ring[(i + 1) % ring.len()];
                    if (a[1] < y) != (b[1] < y) {
                        hits.push(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
                    }
                }
            }
            hits.sort_by(f64::total_cmp);
            for pair in hits.chunks_exact(2) {
                let from = (pair[0] / step - 0.5).ceil().max(0.0) as usize;
                let to = ((pair[1] / step - 0.5).floor() + 1.0).max(0.0) as usize;
                for column in from..to.min(columns) {
                    let spot = [(column as f64 + 0.5) * step, y];
                    cells[row * columns + column] = band(spot).map_or(Ground::Wood, Ground::Band);
                }
            }
        }
        Self { step, columns, rows, cells }
    }

    /// What lies at a spot; beyond the picture paper.
    pub(super) fn at(&self, [x, y]: Spot) -> Ground {
        let (column, row) = ((x / self.step).floor(), (y / self.step).floor());
        let within = column >= 0.0 && row >= 0.0;
        let within = within && column < self.columns as f64 && row < self.rows as f64;
        if within { self.cells[row as usize * self.columns + column as usize] } else { Ground::Paper }
    }

    fn spot(&self, cell: usize) -> Spot {
        [cell % self.columns, cell / self.columns].map(|at| (at as f64 + 0.5) * self.step)
    }

    /// The cells of a band that hang together, the largest such region first.
    fn regions(&self, band: usize) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.cells.len()];
        let mut regions = Vec::new();
        for start in 0..self.cells.len() {
            if seen[start] || self.cells[start] != Ground::Band(band) {
                continue;
            }
            let mut region = vec![start];
            seen[start] = true;
            let mut next = 0;
            while let Some(&cell) = region.get(next) {
                next += 1;
                let column = cell % self.columns;
                let beside = [
                    (column > 0).then(|| cell - 1),
                    (column + 1 < self.columns).then(|| cell + 1),
                    cell.checked_sub(self.columns),
                    Some(cell + self.columns).filter(|&below| below < self.cells.len()),
                ];
                for cell in beside.into_iter().flatten() {
                    if !seen[cell] && self.cells[cell] == Ground::Band(band) {
                        seen[cell] = true;
                        region.push(cell);
                    }
                }
            }
            regions.push(region);
        }
        regions.sort_by_key(|region| std::cmp::Reverse(region.len()));
        regions
    }

    /// How many cells each cell of a band is from the nearest that is not of it, counting along rows, columns and diagonals.
    fn depths(&self, band: usize) -> Vec<u32> {
        let mut depths: Vec<u32> =
            self.cells.iter().map(|cell| if *cell == Ground::Band(band) { u32::MAX } else { 0 }).collect();
        let (columns, rows) = (self.columns as isize, self.rows as isize);
        let cells: Vec<(isize, isize)> =
            (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row))).collect();
        let mut pass = |order: &mut dyn Iterator<Item = &(isize, isize)>, before: [(isize, isize); 4]| {
            for &(column, row) in order {
                for (x, y) in before {
                    let (x, y) = (column + x, row + y);
                    let inside = x >= 0 && y >= 0 && x < columns && y < rows;
                    let other = if inside { depths[(y * columns + x) as usize] } else { 0 };
                    let own = &mut depths[(row * columns + column) as usize];
                    *own = (*own).min(other.saturating_add(1));
                }
            }
        };
        pass(&mut cells.iter(), [(-1, 0), (-1, -1), (0, -1), (1, -1)]);
        pass(&mut cells.iter().rev(), [(1, 0), (1, 1), (0, 1), (-1, 1)]);
        depths
    }

    /// Whether a box lies in one band as a whole.
    fn is_within(&self, centre: Spot, half: Spot, band: usize) -> bool {
        let range = |i: usize, count: usize| {
            let from = ((centre[i] - half[i]) / self.step).floor();
            let to = ((centre[i] + half[i]) / self.step).floor();
            (from >= 0.0 && to < count as f64).then_some(from as usize..=to as usize)
        };
        let (Some(columns), Some(rows)) = (range(0, self.columns), range(1, self.rows)) else { return false };
        let at = |row: usize, column: usize| self.cells[row * self.columns + column];
        rows.into_iter().all(|row| columns.clone().all(|column| at(row, column) == Ground::Band(band)))
    }
}

/// Labels being written into a picture.
pub(super) struct Labels<'a> {
    raster: &'a Raster,
    placer: Placer<'a>,
    leaders: Group,
    words: Group,
}

impl<'a> Labels<'a> {
    /// What is already in the picture, `placer` knows.
    pub(super) fn new(raster: &'a Raster, placer: Placer<'a>) -> Self {
        Self { raster, placer, leaders: Group::new(), words: Group::new() }
    }

    /// What was written: leaders and their dots, then the words.
    pub(super) fn group(self) -> Group {
        self.leaders.add(self.words)
    }

    /// Writes what is known of a point, which is marked by a dot.
    pub(super) fn point(&mut self, at: Spot, words: &str) {
        self.placer.keep_ring(at, DOT);
        let Some(spot) = self.placer.place(at, DOT, half(words)) else { return };
        self.lead(at, spot, words);
    }

    /// Writes words into each region of a band that has room for them; where none has, beside its largest.
    pub(super) fn band(&mut self, band: usize, words: &str) {
        let regions = self.raster.regions(band);
        let depths = self.raster.depths(band);
        let half = half(words);
        let deepest = |region: &[usize], is_free: &dyn Fn(Spot) -> bool| {
            let mut order: Vec<usize> = region.to_vec();
            order.sort_by_key(|&cell| (std::cmp::Reverse(depths[cell]), cell));
            order.into_iter().map(|cell| self.raster.spot(cell)).find(|&spot| is_free(spot))
        };
        let room = |placer: &Placer<'_>, spot: Spot| {
            self.raster.is_within(spot, [half[0] + AIR, half[1] + AIR], band) && placer.is_free(spot, half)
        };
        let mut seats = Vec::new();
        for region in &regions {
            let seat = deepest(region, &|spot| room(&self.placer, spot));
            seats.extend(seat);
        }
        for seat in &seats {
            self.placer.keep_box(*seat, half);
            self.write(*seat, words);
        }
        let Some(largest) = regions.first().filter(|_| seats.is_empty()) else { return };
        let clear = deepest(largest, &|spot| self.placer.is_free(spot, [DOT, DOT]));
        let Some(at) = clear.or_else(|| deepest(largest, &|_| true)) else { return };
        let Some(spot) = self.placer.place(at, DOT, half) else { return };
        self.placer.keep_ring(at, DOT);
        self.lead(at, spot, words);
    }

    fn write(&mut self, spot: Spot, words: &str) {
        let face = Type::plain(LETTERS).hung(Hang::Middle);
        let words = text_with_halo([spot[0], spot[1] + 0.36 * LETTERS], words, face);
        self.words = std::mem::replace(&mut self.words, Group::new()).add(words);
    }

    /// A dot, a leader from it to a label, and the label.
    fn lead(&mut self, at: Spot, spot: Spot, words: &str) {
        let half = half(words);
        // The leader ends at the label's box.
        let (dx, dy) = (at[0] - spot[0], at[1] - spot[1]);
        let part = (half[0] / dx.abs().max(1e-9)).min(half[1] / dy.abs().max(1e-9)).min(1.0);
        let foot = [spot[0] + part * dx, spot[1] + part * dy];
        let pen = Pen::solid(0.22);
        let mut group = std::mem::replace(&mut self.leaders, Group::new());
        group = group.add(line(at, foot, Pen { width: 0.7, ..pen.in_colour(PAPER) }));
        group = group.add(line(at, foot, pen));
        self.leaders = group.add(circle(at, DOT, INK, Pen::solid(0.25).in_colour(PAPER)));
        self.write(spot, words);
    }
}

/// Half the size of a label.
fn half(words: &str) -> Spot {
    [letters::width(words, LETTERS, false) / 2.0, LETTERS / 2.0]
}
