//! Which of the grain angles that were tried is best, where to look closer, and how far round it as good ones lie.

use super::turn::AtAngle;

/// Round so many of the best angles it looks closer, those at least this part as good as the best: our own rule.
const LOOKS: usize = 3;
const NEARLY: f64 = 0.85;
/// A piece is laid on its blank to about a degree, so that an angle is no better than what lies so near: our own rule.
const BY_HAND_DEG: f64 = 1.0;
/// Where it bears more than so many times what it bears a degree away, that is chance: our own rule.
const SPIKE: f64 = 1.1;
/// Angles this near to each other are one: our own rule.
pub(super) const SAME_DEG: f64 = 1e-6;
/// Of angles that differ by less than this part the nearest is taken: less to turn. Our own rule.
const EQUAL: f64 = 1e-3;

/// An angle as one from 0 up to 180.
pub(super) fn folded(deg: f64) -> f64 {
    let deg = deg.rem_euclid(180.0);
    if deg > 180.0 - SAME_DEG { 0.0 } else { deg }
}

/// How far two grain directions lie apart, at most 90 degrees.
fn apart(a: f64, b: f64) -> f64 {
    let d = (a - b).rem_euclid(180.0);
    d.min(180.0 - d)
}

pub(super) fn same(a: f64, b: f64) -> bool {
    apart(a, b) < SAME_DEG
}

/// What a piece bears at an angle that is laid by hand: the least there and at the angles tried within a degree of it.
fn steady(angles: &[AtAngle], deg: f64) -> f64 {
    let within = angles.iter().filter(|angle| apart(angle.deg, deg) <= BY_HAND_DEG + SAME_DEG);
    within.map(|angle| angle.over).fold(f64::INFINITY, f64::min)
}

/// The angles at which a piece does not bear far more than a degree away, with what it bears there laid by hand.
fn steady_ones(angles: &[AtAngle]) -> impl Iterator<Item = (&AtAngle, f64)> {
    let all = angles.iter().map(|angle| (angle, steady(angles, angle.deg)));
    all.filter(|(angle, over)| angle.over <= SPIKE * over)
}

/// The angle with the most over that a degree either way does not take from it; of nearly equal ones the nearest to the present, then
/// the least.
pub(super) fn best(angles: &[AtAngle], present: f64) -> AtAngle {
    let steady: Vec<(&AtAngle, f64)> = steady_ones(angles).collect();
    let most = steady.iter().map(|(_, over)| *over).fold(0.0, f64::max);
    let equal = steady.iter().filter(|(_, over)| *over >= most * (1.0 - EQUAL));
    *nearest(equal.map(|(angle, _)| *angle), present)
}

/// The angles a degree on either side of one, but for those that were tried.
pub(super) fn untried_beside(angles: &[AtAngle], deg: f64) -> Vec<f64> {
    let beside = [folded(deg - BY_HAND_DEG), folded(deg + BY_HAND_DEG)];
    beside.into_iter().filter(|deg| !angles.iter().any(|angle| same(angle.deg, *deg))).collect()
}

pub(super) fn worst(angles: &[AtAngle], present: f64) -> AtAngle {
    let least = angles.iter().map(|angle| angle.over).fold(f64::INFINITY, f64::min);
    let equal = angles.iter().filter(|angle| angle.over <= least * (1.0 + EQUAL));
    *nearest(equal, present)
}

fn nearest<'a>(angles: impl Iterator<Item = &'a AtAngle>, present: f64) -> &'a AtAngle {
    let away = |angle: &AtAngle| apart(angle.deg, present);
    angles
        .min_by(|a, b| {
            let (near, far) = (away(a), away(b));
            // A hair's slack, so that rounding does not choose between a turn to the left and one to the right.
            if (near - far).abs() < SAME_DEG { a.deg.total_cmp(&b.deg) } else { near.total_cmp(&far) }
        })
        .expect("at least one angle is tried")
}

/// The angles no worse than their neighbours and nearly as good as the best, the best first.
pub(super) fn peaks(angles: &[AtAngle]) -> Vec<f64> {
    let mut round: Vec<&AtAngle> = angles.iter().collect();
    round.sort_by(|a, b| a.deg.total_cmp(&b.deg));
    let most = round.iter().map(|angle| angle.over).fold(0.0, f64::max);
    if !most.is_finite() {
        return Vec::new();
    }
    let count = round.len();
    let mut peaks: Vec<&AtAngle> = (0..count)
        .filter(|&k| {
            let [before, after] = [round[(k + count - 1) % count], round[(k + 1) % count]];
            let over = round[k].over;
            over >= NEARLY * most && over >= before.over && over >= after.over
        })
        .map(|k| round[k])
        .collect();
    peaks.sort_by(|a, b| b.over.total_cmp(&a.over).then(a.deg.total_cmp(&b.deg)));
    peaks.into_iter().take(LOOKS).map(|angle| angle.deg).collect()
}

/// The angle tried that lies nearest the middle of a range.
pub(super) fn amid(angles: &[AtAngle], range: [f64; 2]) -> AtAngle {
    let middle = folded(f64::midpoint(range[0], range[1]));
    *nearest(steady_ones(angles).map(|(angle, _)| angle), middle)
}

/// From where to where round `deg` every angle is at most a part `flat` worse; between two angles that were tried, in a straight line.
pub(super) fn flat(angles: &[AtAngle], deg: f64, flat: f64) -> [f64; 2] {
    let count = angles.len();
    let at = angles.iter().position(|angle| same(angle.deg, deg)).expect("the angle was tried");
    let floor = angles[at].over * (1.0 - flat);
    let reach = |step: usize| {
        let mut gone = 0.0;
        let mut here = at;
        for _ in 1..count {
            let next = (here + step) % count;
            let width = apart_round(angles[here].deg, angles[next].deg, step == 1);
            let (from, to) = (angles[here].over, angles[next].over);
            if to < floor {
                let part = if from.is_finite() { (from - floor) / (from - to) } else { 1.0 };
                return Some(gone + width * part.clamp(0.0, 1.0));
            }
            gone += width;
            here = next;
        }
        None
    };
    match (reach(count - 1), reach(1)) {
        (Some(before), Some(after)) => [deg - before, deg + after],
        _ => [0.0, 180.0],
    }
}

/// From one angle on to its neighbour, upwards or downwards.
fn apart_round(from: f64, to: f64, upwards: bool) -> f64 {
    let up = if upwards { to - from } else { from - to };
    if up <= 0.0 { up + 180.0 } else { up }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Verdict;

    fn angle(deg: f64, over: f64) -> AtAngle {
        AtAngle { deg, over, weakest: None, steepest_deg: 0.0, verdict: Verdict::Sound }
    }

    fn round(over: impl Fn(f64) -> f64) -> Vec<AtAngle> {
        (0..36).map(|k| 5.0 * f64::from(k)).map(|deg| angle(deg, over(deg))).collect()
    }

    #[test]
    fn the_flat_range_ends_where_a_straight_line_says_and_goes_round_past_nought() {
        // A tent of 1 a degree with its top at 0.
        let angles = round(|deg| 200.0 - apart(deg, 0.0));
        let [from, to] = flat(&angles, 0.0, 0.05);
        assert!((from + 10.0).abs() < 1e-9 && (to - 10.0).abs() < 1e-9, "{from} {to}");
        assert_eq!(flat(&round(|_| 3.0), 40.0, 0.05), [0.0, 180.0]);
        assert_eq!(flat(&round(|_| f64::INFINITY), 40.0, 0.05), [0.0, 180.0]);
    }

    #[test]
    fn of_equal_angles_the_nearest_is_best() {
        let angles = round(|deg| if deg == 60.0 || deg == 120.0 { 2.0 } else { 1.0 });
        assert_eq!(best(&angles, 0.0).deg, 60.0);
        assert_eq!(best(&angles, 170.0).deg, 120.0);
        assert_eq!(worst(&angles, 62.0).deg, 65.0);
    }

    #[test]
    fn an_angle_that_a_degree_spoils_is_not_the_best() {
        let mut angles = round(|deg| if deg == 15.0 { 9.0 } else { 2.0 - apart(deg, 60.0) / 100.0 });
        assert_eq!(best(&angles, 0.0).deg, 15.0);
        assert_eq!(untried_beside(&angles, 15.0), [14.0, 16.0]);
        angles.push(angle(16.0, 1.99));
        assert_eq!(best(&angles, 0.0).deg, 60.0);
        assert_eq!(untried_beside(&angles, 15.0), [14.0]);
        assert_eq!(untried_beside(&round(|_| 1.0), 0.0), [179.0, 1.0]);
    }

    #[test]
    fn it_looks_closer_round_the_best_peaks_alone() {
        let angles = round(|deg| match deg as i32 {
            20 => 2.0,
            90 => 1.9,
            140 => 1.5,
            _ => 1.0,
        });
        assert_eq!(peaks(&angles), [20.0, 90.0]);
    }

    #[test]
    fn a_direction_is_the_same_half_a_turn_on() {
        assert_eq!([folded(180.0), folded(-90.0), folded(190.0)], [0.0, 90.0, 10.0]);
        assert_eq!(apart(175.0, 5.0), 10.0);
    }
}
