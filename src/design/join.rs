//! Joins open runs whose ends meet into closed outlines.

use geo_types::Coord;

use crate::shape::plane::{distance, extents, length, nearest_on_segment};
use crate::shape::{BoxTree, in_space};

/// An open run of points, and the element it was drawn by.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub(crate) element: usize,
    pub(crate) points: Vec<Coord<f64>>,
}

/// What became of the runs.
#[derive(Debug, Default)]
pub(crate) struct Joined {
    /// Closed outlines; the first point is not repeated.
    pub(crate) closed: Vec<Run>,
    /// Gaps that were closed.
    pub(crate) gaps: Vec<Gap>,
    /// Ends that meet no other, one for every chain that stays open, up to [`NAMED`].
    pub(crate) open: Vec<Gap>,
    /// How many more chains stay open.
    pub(crate) more: usize,
}

/// Two ends and how far apart they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Gap {
    pub(crate) element: usize,
    pub(crate) at: Coord<f64>,
    pub(crate) to: Coord<f64>,
    pub(crate) size: f64,
}

/// So many open chains are named one by one; more tell a person nothing.
const NAMED: usize = 20;

/// Joins ends that lie within `gap` of each other, the nearest first, each end once.
///
/// Two ends that are joined move to the middle between them.
pub(crate) fn join(mut runs: Vec<Run>, gap: f64) -> Joined {
    let mut joined = Joined::default();
    let ends: Vec<Coord<f64>> =
        runs.iter().flat_map(|run| [run.points[0], run.points[run.points.len() - 1]]).collect();
    // End 2r is the first point of run r, end 2r + 1 its last.
    let mates = mated(&runs, &ends, gap);
    for (i, mate) in mates.iter().enumerate() {
        if let Some(j) = mate.filter(|j| i < *j) {
            let middle = (ends[i] + ends[j]) / 2.0;
            for end in [i, j] {
                let points = &mut runs[end / 2].points;
                let k = if end % 2 == 0 { 0 } else { points.len() - 1 };
                points[k] = middle;
            }
            joined.gaps.push(Gap {
                element: runs[i / 2].element,
                at: middle,
                to: middle,
                size: distance(ends[i], ends[j]),
            });
        }
    }
    let lone: Vec<usize> = (0..ends.len()).filter(|i| mates[*i].is_none()).collect();
    let mut chains = 0;
    let mut seen = vec![false; runs.len()];
    // Chains that stay open first, from one of their ends, so that what is left are rings.
    for &start in &lone {
        if seen[start / 2] {
            continue;
        }
        let (_, last) = walk(start, &runs, &mates, &mut seen);
        chains += 1;
        if chains > NAMED {
            joined.more += 1;
            continue;
        }
        // The other end of the same chain counts only where no stranger is nearer.
        let nearest = lone
            .iter()
            .filter(|other| **other != start)
            .min_by(|a, b| distance(ends[**a], ends[start]).total_cmp(&distance(ends[**b], ends[start])))
            .copied()
            .unwrap_or(last);
        joined.open.push(Gap {
            element: runs[start / 2].element,
            at: ends[start],
            to: ends[nearest],
            size: distance(ends[start], ends[nearest]),
        });
    }
    for run in 0..runs.len() {
        if !seen[run] {
            let (points, _) = walk(2 * run, &runs, &mates, &mut seen);
            joined.closed.push(Run { element: runs[run].element, points });
        }
    }
    joined
}

/// For every end the one it is joined to.
fn mated(runs: &[Run], ends: &[Coord<f64>], gap: f64) -> Vec<Option<usize>> {
    let mut pairs = Vec::new();
    near(ends, gap, |i, j| {
        let apart = distance(ends[i], ends[j]);
        // A run as short as the gap would otherwise close on itself.
        let stub = i / 2 == j / 2 && length(&runs[i / 2].points) <= 2.0 * gap;
        if apart <= gap && !stub {
            pairs.push((apart, i.min(j), i.max(j)));
        }
    });
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut mates = vec![None; ends.len()];
    for (_, i, j) in pairs {
        if mates[i].is_none() && mates[j].is_none() {
            (mates[i], mates[j]) = (Some(j), Some(i));
        }
    }
    mates
}

/// Visits every two of `places` that lie in one square of side `gap` or in neighbouring ones; where many lie together each
/// is shown only the next few, so that a star of lines costs no more than a plan.
pub(crate) fn near(places: &[Coord<f64>], gap: f64, mut visit: impl FnMut(usize, usize)) {
    const FEW: usize = 64;
    /// Squares are no smaller than this, in mm: closer places are one.
    const SMALLEST: f64 = 1e-3;
    let side = gap.max(SMALLEST);
    #[expect(clippy::cast_possible_truncation, reason = "the reach of a drawing over a micrometre fits")]
    let square = |c: Coord<f64>| ((c.x / side).floor() as i64, (c.y / side).floor() as i64);
    let mut sorted: Vec<((i64, i64), usize)> = places.iter().map(|c| square(*c)).zip(0..).collect();
    sorted.sort_unstable();
    for (k, &((x, y), i)) in sorted.iter().enumerate() {
        let rest = sorted[k + 1..].iter().take_while(|(other, _)| *other == (x, y)).take(FEW);
        rest.for_each(|(_, j)| visit(i, *j));
        // The other half of the neighbours sees this one from its own side.
        for beside in [(x, y + 1), (x + 1, y - 1), (x + 1, y), (x + 1, y + 1)] {
            let start = sorted.partition_point(|(other, _)| *other < beside);
            let there = sorted[start..].iter().take_while(|(other, _)| *other == beside).take(FEW);
            there.for_each(|(_, j)| visit(i, *j));
        }
    }
}

/// Follows a chain from one end of a run; gives its points and the end it stops at.
fn walk(start: usize, runs: &[Run], mates: &[Option<usize>], seen: &mut [bool]) -> (Vec<Coord<f64>>, usize) {
    let mut points = Vec::new();
    let mut enter = start;
    loop {
        let run = enter / 2;
        seen[run] = true;
        let leave = enter ^ 1;
        // The last point is the first of the next run.
        let inner = &runs[run].points;
        if enter < leave {
            points.extend(&inner[..inner.len() - 1]);
        } else {
            points.extend(inner[1..].iter().rev());
        }
        match mates[leave] {
            Some(next) if !seen[next / 2] => enter = next,
            _ => return (points, leave),
        }
    }
}

/// Whether two runs are the same line drawn twice: their ends lie within `gap` of each other, and no point of one lies
/// farther than that and what both were flattened by from the other.
pub(crate) fn doubled(a: &[Coord<f64>], b: &[Coord<f64>], gap: f64, tolerance: f64) -> bool {
    let (Some((a0, a1)), Some((b0, b1))) = (a.first().zip(a.last()), b.first().zip(b.last())) else {
        return false;
    };
    let meet = |p: &Coord<f64>, q: &Coord<f64>| distance(*p, *q) <= gap;
    if !(meet(a0, b0) && meet(a1, b1) || meet(a0, b1) && meet(a1, b0)) {
        return false;
    }
    let (la, lb) = (length(a), length(b));
    // A stub is shorter than what it could be compared by.
    if la.min(lb) <= 2.0 * gap || (la - lb).abs() > 4.0 * gap + 1e-3 * la {
        return false;
    }
    let slack = gap + 2.0 * tolerance;
    lies_along(a, b, slack) && lies_along(b, a, slack)
}

/// Where ends of runs lie on other runs and both go on together from there: each run that has such places, with how far along it
/// they lie. Cut there, what is drawn twice is runs of its own.
pub(crate) fn overlaps(runs: &[Run], gap: f64, tolerance: f64) -> Vec<Vec<f64>> {
    /// So far along, in gaps, two runs go together where they are one line and do not only meet.
    const TOGETHER: f64 = 20.0;
    /// Of very many lines at one place only the first are looked at, so that a star of lines costs no more than a plan.
    const FEW: usize = 64;
    let slack = gap + 2.0 * tolerance;
    let mut sides: Vec<[Coord<f64>; 2]> = Vec::new();
    let mut owners = Vec::new();
    for (r, run) in runs.iter().enumerate() {
        let mut along = 0.0;
        for pair in run.points.windows(2) {
            sides.push([pair[0], pair[1]]);
            owners.push((r, along));
            along += distance(pair[0], pair[1]);
        }
    }
    let lengths: Vec<f64> = runs.iter().map(|run| length(&run.points)).collect();
    let frames = sides.iter().map(|[a, b]| [a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)]);
    let frames: Vec<[f64; 4]> = frames.collect();
    let order = in_space(&frames);
    let tree = BoxTree::of_boxes(order.iter().map(|i| frames[*i]));
    let mut cuts = vec![Vec::new(); runs.len()];
    for (r, run) in runs.iter().enumerate().filter(|(r, _)| lengths[*r] > 4.0 * gap) {
        let reach = (TOGETHER * gap).min(lengths[r] / 2.0);
        for end in [true, false] {
            let from = if end { 0.0 } else { lengths[r] };
            let here = at(&run.points, from);
            let ahead = at(&run.points, if end { reach } else { lengths[r] - reach });
            let mut seen = 0;
            tree.meeting([here.x - slack, here.y - slack, here.x + slack, here.y + slack], |k| {
                let (other, start) = owners[order[k]];
                let [a, b] = sides[order[k]];
                let (foot, _) = nearest_on_segment(here, a, b);
                let along = start + distance(a, foot);
                let inner = along > 2.0 * gap && along < lengths[other] - 2.0 * gap;
                if other != r && inner && distance(foot, here) <= slack {
                    let nearby = [along - reach, along + reach].map(|s| s.clamp(0.0, lengths[other]));
                    // What ends sooner goes together as far as it goes.
                    let goes_on = nearby.into_iter().any(|s| {
                        let gone = (s - along).abs();
                        let mine = if end { gone } else { lengths[r] - gone };
                        let ahead = if gone < reach { at(&run.points, mine) } else { ahead };
                        distance(at(&runs[other].points, s), ahead) <= slack
                    });
                    if goes_on {
                        cuts[other].push(along);
                    }
                }
                seen += 1;
                seen < FEW
            });
        }
    }
    for cuts in &mut cuts {
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a <= 2.0 * gap);
    }
    cuts
}

/// Tells of every open run that lies along a closed outline.
pub(crate) fn lying_along(open: &[Run], closed: &[Run], slack: f64, mut tell: impl FnMut(usize)) {
    /// Of very many outlines about one place only the first are looked at.
    const FEW: usize = 64;
    let frame = |run: &Run| {
        let [[x0, x1], [y0, y1]] = extents(&run.points);
        [x0, y0, x1, y1]
    };
    let frames: Vec<[f64; 4]> = closed.iter().map(frame).collect();
    let order = in_space(&frames);
    let tree = BoxTree::of_boxes(order.iter().map(|i| frames[*i]));
    for (k, run) in open.iter().enumerate() {
        let [x0, y0, x1, y1] = frame(run);
        let mut seen = 0;
        tree.meeting([x0, y0, x1, y1], |i| {
            let outline = &closed[order[i]].points;
            let [a0, b0, a1, b1] = frames[order[i]];
            let holds = a0 <= x0 + slack && b0 <= y0 + slack && x1 <= a1 + slack && y1 <= b1 + slack;
            seen += usize::from(holds);
            let mut ring = if holds { outline.clone() } else { Vec::new() };
            ring.extend(outline.first().filter(|_| holds));
            // A line from one point of an outline to another may be a chord of it.
            let along = holds && lies_along(&closely(&run.points), &ring, slack);
            if along {
                tell(k);
            }
            !along && seen < FEW
        });
    }
}

/// Points all along a run.
fn closely(points: &[Coord<f64>]) -> Vec<Coord<f64>> {
    const PARTS: u32 = 16;
    let between = |k: u32| f64::from(k) / f64::from(PARTS);
    points
        .windows(2)
        .flat_map(|pair| (0..=PARTS).map(move |k| pair[0] + (pair[1] - pair[0]) * between(k)))
        .collect()
}

/// The place so far along a run.
fn at(points: &[Coord<f64>], along: f64) -> Coord<f64> {
    let mut left = along;
    for pair in points.windows(2) {
        let side = distance(pair[0], pair[1]);
        if left <= side && side > 0.0 {
            return pair[0] + (pair[1] - pair[0]) * (left / side);
        }
        left -= side;
    }
    points[points.len() - 1]
}

/// A run cut at places along it, from the first to the last.
pub(crate) fn parted(run: Run, cuts: &[f64]) -> Vec<Run> {
    let mut parts = Vec::new();
    let mut points = vec![run.points[0]];
    let mut cuts = cuts.iter().peekable();
    let mut gone = 0.0;
    for pair in run.points.windows(2) {
        let side = distance(pair[0], pair[1]);
        while let Some(cut) = cuts.next_if(|cut| **cut < gone + side) {
            let place = pair[0] + (pair[1] - pair[0]) * ((cut - gone) / side).max(0.0);
            points.push(place);
            parts.push(Run { element: run.element, points: std::mem::replace(&mut points, vec![place]) });
        }
        points.push(pair[1]);
        gone += side;
    }
    parts.push(Run { element: run.element, points });
    parts
}

/// Whether every point of a run lies within `slack` of another.
///
/// Where both are one line, each point lies by the side that the point before lay by, or by the next: sides are tried from there on
/// both ways.
fn lies_along(run: &[Coord<f64>], other: &[Coord<f64>], slack: f64) -> bool {
    let sides = other.len() - 1;
    let mut last = 0_usize;
    run.iter().all(|p| {
        let beside = |side: &usize| {
            let (from, to) = (other[*side], other[side + 1]);
            distance(nearest_on_segment(*p, from, to).0, *p) <= slack
        };
        let nearest_first = (0..sides).flat_map(move |off| [last.checked_sub(off), last.checked_add(off)]);
        let found = nearest_first.flatten().filter(|side| *side < sides).find(beside);
        last = found.unwrap_or(last);
        found.is_some()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(element: usize, points: &[(f64, f64)]) -> Run {
        Run { element, points: points.iter().map(|p| Coord::from(*p)).collect() }
    }

    #[test]
    fn four_lines_in_any_direction_make_one_outline() {
        let joined = join(
            vec![
                run(0, &[(0.0, 0.0), (10.0, 0.0)]),
                run(1, &[(10.0, 8.0), (10.0, 0.0)]),
                run(2, &[(10.0, 8.0), (0.0, 8.0)]),
                run(3, &[(0.0, 0.0), (0.0, 8.0)]),
            ],
            0.05,
        );
        assert_eq!(joined.closed.len(), 1);
        assert_eq!(joined.closed[0].points.len(), 4);
        assert!(joined.open.is_empty());
    }

    #[test]
    fn a_gap_is_closed_in_its_middle_and_reported() {
        let joined = join(vec![run(7, &[(0.0, 0.03), (10.0, 0.0), (10.0, 8.0), (0.0, 0.0)])], 0.05);
        assert_eq!(joined.closed[0].points[0], Coord { x: 0.0, y: 0.015 });
        assert_eq!(joined.gaps.len(), 1);
        assert!((joined.gaps[0].size - 0.03).abs() < 1e-12);
    }

    #[test]
    fn an_open_chain_is_reported_once_with_its_nearest_end() {
        let joined = join(
            vec![run(0, &[(0.0, 0.0), (10.0, 0.0)]), run(1, &[(10.0, 0.0), (10.0, 8.0), (0.2, 0.0)])],
            0.05,
        );
        assert!(joined.closed.is_empty());
        assert_eq!(joined.open.len(), 1);
        assert!((joined.open[0].size - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_long_line_is_known_again_whichever_way_it_is_drawn() {
        let zigzag: Vec<(f64, f64)> =
            (0..40_000).map(|k| (f64::from(k) * 0.1, f64::from(k % 2) * 5.0)).collect();
        let there = run(0, &zigzag).points;
        let back: Vec<Coord<f64>> = there.iter().rev().map(|c| Coord { x: c.x, y: c.y + 0.01 }).collect();
        let mut other = back.clone();
        other[20_000].y += 1.0;
        assert!(doubled(&there, &back, 0.05, 0.02) && !doubled(&there, &other, 0.05, 0.02));
    }

    /// By hand: the second line begins 40 mm along the first and reaches 40 mm beyond it; the third only meets both.
    #[test]
    fn lines_that_lie_over_each_other_in_part_are_cut_where_they_end() {
        let runs = vec![
            run(0, &[(0.0, 0.0), (60.0, 0.0)]),
            run(1, &[(100.0, 0.01), (40.0, 0.01)]),
            run(2, &[(50.0, 0.0), (50.0, 30.0)]),
        ];
        let cuts = overlaps(&runs, 0.05, 0.02);
        assert_eq!(cuts[2], Vec::<f64>::new());
        for (k, along) in [40.0, 40.0].into_iter().enumerate() {
            assert!(cuts[k].len() == 1 && (cuts[k][0] - along).abs() < 1e-9, "{cuts:?}");
        }
        let parts = parted(runs[1].clone(), &cuts[1]);
        let ends: Vec<f64> = parts.iter().flat_map(|part| [part.points[0].x, part.points[1].x]).collect();
        assert_eq!(ends, [100.0, 60.0, 60.0, 40.0]);
    }

    #[test]
    fn a_third_line_at_a_joint_stays_open() {
        let joined = join(
            vec![
                run(0, &[(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 0.0)]),
                run(1, &[(0.0, 0.0), (-5.0, 0.0)]),
            ],
            0.05,
        );
        assert_eq!((joined.closed.len(), joined.open.len()), (1, 1));
    }
}
