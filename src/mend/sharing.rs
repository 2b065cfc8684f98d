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
        let Some((far, way)) = bands[one.band].far_wall(one.side) else { return false };
        let line = &bands[other.band].walls;
        let to = |at: Point| distance(at, far);
        let near = line.iter().map(|pair| pair[other.side]).min_by(|a, b| to(a.0).total_cmp(&to(b.0)));
        let Some(near) = near else { return false };
        let on = |pairs: &[[(Point, Point); 2]]| {
            to(plane::nearest_on_segment(far, pairs[0][other.side].0, pairs[1][other.side].0).0)
        };
        let away = line.windows(2).map(on).fold(to(near.0), f64::min);
        away <= MET && dot(near.1, way) < OPPOSED
    };
    let with = |k: usize| -> Vec<usize> {
        let is_met = |other: &usize| walls[*other].band != walls[k].band && faces(&walls[k], &walls[*other]);
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
    let mut pairs: Vec<[usize; 2]> =
        (1..walls.len()).filter(|&k| walls[k - 1].band == walls[k].band).map(|k| [k - 1, k]).collect();
    for _ in 0..ROUNDS {
        if (0..walls.len()).all(|k| pressed(&by, k) <= CLOSE) {
            return Some(by);
        }
        let mut most = 0.0_f64;
        for &[left, right] in &pairs {
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
        // There and back, so that a push is passed on as fast either way.
        pairs.reverse();
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::band::{Beyond, Ending, Stop};
    use crate::shape::plane::point;

    /// An upright band between two walls, from one height to another; beyond each wall an opening so wide, where it moves.
    fn band([left, right]: [f64; 2], [low, high]: [f64; 2], openings: [Option<f64>; 2]) -> Band {
        let (middle, half) = (f64::midpoint(left, right), (right - left) / 2.0);
        let at = point(middle, f64::midpoint(low, high));
        let ways = [point(-1.0, 0.0), point(1.0, 0.0)];
        let pair = |y: f64| [(point(left, y), ways[0]), (point(right, y), ways[1])];
        let moving = openings.iter().flatten().count() as f64;
        let beyond = |side: usize| {
            openings[side].map(|width| Beyond { from: at, way: ways[side], walls: [half, half + width] })
        };
        Band {
            place: 1,
            at,
            width: right - left,
            walls: vec![pair(low), pair(at.y), pair(high)],
            ends: [point(0.0, -1.0), point(0.0, 1.0)],
            endings: [Ending::Wood; 2],
            parts: openings.map(|opening| if opening.is_some() { 1.0 / moving } else { 0.0 }),
            beyond: [beyond(0), beyond(1)],
            most: 30.0,
            stops: Stop::Width,
            is_weak: true,
        }
    }

    /// An opening 30.3 wide, which gives 10.1. A tall band 6 wide stands on its left, two short ones 6 wide above each other on its right. The ray
    /// from the middle of the tall one ends at the lower one; those of the short ones both end at the tall one. `beside` is an opening on the tall
    /// one's other side.
    fn three_on_one_opening(beside: Option<f64>) -> [Band; 3] {
        let opening = Some(30.3);
        [
            band([-6.0, 0.0], [10.0, 90.0], [beside, opening]),
            band([30.3, 36.3], [10.0, 55.0], [opening, None]),
            band([30.3, 36.3], [60.0, 90.0], [opening, None]),
        ]
    }

    fn all_near(found: &[f64], expected: &[f64]) -> bool {
        found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-3)
    }

    /// By hand: 8 are wanted for the tall and the lower band, 16 of 10.1. Of the 14 that each would be wide they get the same part p:
    /// 2 (14 p - 6) = 10.1, so 5.05 each, 5.0 in whole steps. The upper one asks for 4.05 and is none the worse for them: 5.05 and 4.05 are less
    /// than 10.1; 4.0 in whole steps.
    #[test]
    fn only_those_that_ask_too_much_of_an_opening_do_without() {
        let bands = three_on_one_opening(None);
        let shared = shared(&bands, &[8.0, 8.0, 4.05]);
        assert!(all_near(&shared.added, &[5.0, 5.0, 4.0]), "{:?}", shared.added);
        let parts: Vec<[f64; 2]> = shared.bands.iter().map(|band| band.parts).collect();
        assert_eq!(parts, [[0.0, 1.0], [1.0, 0.0], [1.0, 0.0]]);
    }

    /// By hand: with half of its 8 the tall band would take 4 beside the lower one's 8, 1.9 more than there is. Its other wall moves those farther: 5.9
    /// of 8 to the left, 2.1 to the right, and nobody does without.
    #[test]
    fn a_wall_gives_way_where_its_band_has_room_on_the_other_side() {
        let bands = three_on_one_opening(Some(60.0));
        let shared = shared(&bands, &[8.0, 8.0, 4.05]);
        assert!(all_near(&shared.added, &[8.0, 8.0, 4.05]), "{:?}", shared.added);
        assert!(all_near(&shared.bands[0].parts, &[5.9 / 8.0, 2.1 / 8.0]), "{:?}", shared.bands[0].parts);
    }
}
