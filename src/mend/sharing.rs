//! Openings shared by the bands that grow into them.
//!
//! Both walls of a band move alike while there is room. Where an opening is asked for more than it may give, a band that has another one beside it
//! moves its other wall farther instead; only what no opening can give is done without, and then by those that share it in proportion to the
//! widths they need, so that none is left weaker than the others for it.

use crate::shape::plane::{self, Point, distance, dot};

use super::band::{Band, STEP};
use super::patient::least;

/// Walls that stand within so many mm of where a ray across an opening ends are met by it: our own rule.
const MET: f64 = 1.0;
/// Two walls face each other where the ways they move are this far opposed, as a cosine: our own rule.
const OPPOSED: f64 = -0.3;
/// Room is shared to so many mm: our own rule.
const CLOSE: f64 = 5e-4;
/// Walls that give way less than this in a round, in mm, have settled.
const SETTLED: f64 = 1e-5;
/// Walls give way to each other in so many rounds at most: our own rule.
const ROUNDS: usize = 400;
/// What the widths fall short by is found to this part: our own rule.
const EVENLY: f64 = 0.002;

/// Bands with what each is given, and how it is parted between its walls.
pub(super) struct Shared {
    pub(super) bands: Vec<Band>,
    pub(super) added: Vec<f64>,
}

/// A wall that may move, and what lies before it.
struct Wall {
    band: usize,
    side: usize,
    /// How far it may move, in mm.
    own: f64,
    /// How far all that move into what lies before it may.
    all: f64,
    /// Those walls: itself and what it faces.
    with: Vec<usize>,
    /// The walls in whose way it moves, itself included.
    before: Vec<usize>,
}

/// What each band can be given of what is wanted for it.
pub(super) fn shared(bands: &[Band], wanted: &[f64]) -> Shared {
    let walls = walls(bands, wanted);
    let given = given(bands, &walls, wanted);
    let by = moved(bands, &walls, &given).unwrap_or_else(|| bands.iter().zip(&given).map(evenly).collect());
    let bands = bands.iter().zip(by).map(|(band, [left, right])| {
        let whole = left + right;
        let parts = if whole > 0.0 { [left / whole, right / whole] } else { band.parts };
        Band { parts, ..band.clone() }
    });
    Shared { bands: bands.collect(), added: given }
}

/// How far each wall of a band moves where there is room for all.
fn evenly((band, added): (&Band, &f64)) -> [f64; 2] {
    band.parts.map(|part| part * added)
}

/// The walls that move into an opening, each with those it faces.
fn walls(bands: &[Band], wanted: &[f64]) -> Vec<Wall> {
    let mut walls = Vec::new();
    for (k, band) in bands.iter().enumerate().filter(|(k, _)| wanted[*k] > 0.0) {
        for side in [0, 1] {
            if let Some([own, all]) = band.room(side) {
                walls.push(Wall { band: k, side, own, all, with: Vec::new(), before: Vec::new() });
            }
        }
    }
    let faces = |one: &Wall, other: &Wall| {
        let (far, way) = bands[one.band].far_wall(one.side)?;
        let line = &bands[other.band].walls;
        let to = |at: Point| distance(at, far);
        let near = line.iter().map(|pair| pair[other.side]).min_by(|a, b| to(a.0).total_cmp(&to(b.0)))?;
        let on = |pairs: &[[(Point, Point); 2]]| {
            to(plane::nearest_on_segment(far, pairs[0][other.side].0, pairs[1][other.side].0).0)
        };
        let away = line.windows(2).map(on).fold(to(near.0), f64::min);
        Some(away <= MET && dot(near.1, way) < OPPOSED)
    };
    let with = |k: usize| -> Vec<usize> {
        let is_met = |other: &usize| {
            walls[*other].band != walls[k].band && faces(&walls[k], &walls[*other]) == Some(true)
        };
        std::iter::once(k).chain((0..walls.len()).filter(is_met)).collect()
    };
    let with: Vec<Vec<usize>> = (0..walls.len()).map(with).collect();
    let before = |k: usize| (0..with.len()).filter(|&other| with[other].contains(&k)).collect();
    let before: Vec<Vec<usize>> = (0..walls.len()).map(before).collect();
    let of = |(wall, (with, before))| Wall { with, before, ..wall };
    walls.into_iter().zip(with.into_iter().zip(before)).map(of).collect()
}

/// How far each wall moves when the bands grow so much, none farther than it may; nothing where they cannot.
fn moved(bands: &[Band], walls: &[Wall], given: &[f64]) -> Option<Vec<[f64; 2]>> {
    let mut by: Vec<[f64; 2]> = bands.iter().zip(given).map(evenly).collect();
    // A wall is pressed by its own limit and by every opening that it moves into.
    let pressed = |by: &[[f64; 2]], k: usize| {
        let far = |k: usize| by[walls[k].band][walls[k].side];
        let over = |wall: &Wall| wall.with.iter().map(|&one| far(one)).sum::<f64>() - wall.all;
        walls[k].before.iter().map(|&other| over(&walls[other])).fold(far(k) - walls[k].own, f64::max)
    };
    let pairs: Vec<[usize; 2]> =
        (1..walls.len()).filter(|&k| walls[k - 1].band == walls[k].band).map(|k| [k - 1, k]).collect();
    for turn in 0..ROUNDS {
        if (0..walls.len()).all(|k| pressed(&by, k) <= CLOSE) {
            return Some(by);
        }
        let mut most = 0.0_f64;
        for &[left, right] in pairs
            .iter()
            .rev()
            .take(turn % 2 * pairs.len())
            .chain(pairs.iter().take((turn + 1) % 2 * pairs.len()))
        {
            let [on_left, on_right] = [left, right].map(|k| pressed(&by, k));
            let (from, to, over, under) =
                if on_left > on_right { (0, 1, on_left, on_right) } else { (1, 0, on_right, on_left) };
            let band = walls[left].band;
            let step = over.min((over - under) / 2.0).min(by[band][from]);
            if step > 0.0 {
                by[band][from] -= step;
                by[band][to] += step;
                most = most.max(step);
            }
        }
        if most < SETTLED {
            break;
        }
    }
    None
}

/// What each band is given: what is wanted for it, or as much of the width it needs as those have with which it shares.
fn given(bands: &[Band], walls: &[Wall], wanted: &[f64]) -> Vec<f64> {
    let fits = |given: &[f64]| moved(bands, walls, given).is_some();
    if fits(wanted) {
        return wanted.to_vec();
    }
    let mut settled: Vec<Option<f64>> = wanted.iter().map(|wanted| (*wanted <= 0.0).then_some(0.0)).collect();
    let at = |settled: &[Option<f64>], part: f64| -> Vec<f64> {
        let short = |k: usize| ((bands[k].width + wanted[k]) * part - bands[k].width).max(0.0);
        (0..bands.len()).map(|k| settled[k].unwrap_or_else(|| short(k))).collect()
    };
    while settled.iter().any(Option::is_none) {
        // The lesser the part that is done without, the more is given.
        let without = least(0.0, 1.0, EVENLY, |without| fits(&at(&settled, 1.0 - without)));
        let now = at(&settled, 1.0 - without.unwrap_or(1.0));
        let open: Vec<usize> = (0..bands.len()).filter(|&k| settled[k].is_none()).collect();
        let is_stuck = |k: &usize| {
            let mut more = now.clone();
            more[*k] += 2.0 * STEP;
            more[*k] > wanted[*k] || !fits(&more)
        };
        let stuck: Vec<usize> = open.iter().copied().filter(is_stuck).collect();
        for k in if stuck.is_empty() { open } else { stuck } {
            settled[k] = Some(now[k]);
        }
    }
    settled.into_iter().flatten().map(|mm| (mm / STEP + 1e-6).floor() * STEP).collect()
}
