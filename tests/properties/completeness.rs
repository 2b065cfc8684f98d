//! Nothing weaker is missed: straight lines along the grain, all over the wood, find no weaker break.
//!
//! Two oracles, neither using the skeleton. An interval that parts the piece is judged by statics alone
//! ([`grain_cuts`]), here on lines closer together than the check itself draws them. One that does not part the piece
//! and that no listed place runs through is judged as the shortest bridge there can be: by shear.

use geo_types::Coord;
use proptest::prelude::*;
use shortgrain::{
    check::{Finding, Place, PushKind, grain_cuts},
    units::Length,
};

use crate::pieces::{Case, random_case, random_shape, samples};

/// How much weaker a line may be than the weakest place listed.
const AGREEMENT: f64 = 0.95;
/// Places that take more than this many times the stated push are not looked for.
const EASY: f64 = 6.0;
/// Of a piece without any place nothing may break more easily than this many times the stated push: it is sound.
const SOUND: f64 = 2.0;

fn stated(case: &Case, kind: PushKind) -> f64 {
    match kind {
        PushKind::Face => case.pushes.face.as_n(),
        PushKind::Side => case.pushes.side.as_n(),
    }
}

/// Least multiple of the stated push that breaks a listed place.
fn weakest_listed(case: &Case, finding: &Finding) -> f64 {
    let over = |place: &Place| {
        (place.face.breaks_at_n / stated(case, PushKind::Face))
            .min(place.side.breaks_at_n / stated(case, PushKind::Side))
    };
    finding.places.iter().map(over).fold(f64::INFINITY, f64::min)
}

/// The intervals of one line along the grain in the wood, by plain intersection with every edge.
fn intervals(case: &Case, height: f64) -> Vec<[Coord<f64>; 2]> {
    let (sin, cos) = case.board.grain.as_rad().sin_cos();
    let u = |p: Coord<f64>| p.x * cos + p.y * sin;
    let v = |p: Coord<f64>| -p.x * sin + p.y * cos;
    let mut crossings: Vec<Coord<f64>> = Vec::new();
    for ring in case.shape.rings() {
        for edge in ring.lines() {
            let (a, b) = (v(edge.start), v(edge.end));
            if (a <= height) != (b <= height) {
                let part = (height - a) / (b - a);
                crossings.push(edge.start + (edge.end - edge.start) * part);
            }
        }
    }
    crossings.sort_by(|a, b| u(*a).total_cmp(&u(*b)));
    crossings.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

fn heights(case: &Case, spacing: f64) -> Vec<f64> {
    let (sin, cos) = case.board.grain.as_rad().sin_cos();
    let v = |p: &Coord<f64>| -p.x * sin + p.y * cos;
    let all: Vec<f64> =
        case.shape.rings().flat_map(|ring| ring.0.iter().map(v).collect::<Vec<_>>()).collect();
    let (low, high) = all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &x| (l.min(x), h.max(x)));
    (1..((high - low) / spacing) as usize).map(|i| low + (i as f64 + 0.123) * spacing).collect()
}

fn crossed(line: &[Coord<f64>; 2], run: &[Coord<f64>]) -> bool {
    let side = |p: Coord<f64>, a: Coord<f64>, b: Coord<f64>| {
        (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0.0
    };
    run.windows(2).any(|pair| {
        side(line[0], pair[0], pair[1]) != side(line[1], pair[0], pair[1])
            && side(pair[0], line[0], line[1]) != side(pair[1], line[0], line[1])
    })
}

/// What is weaker than all that is listed, in words; nothing when all is well.
fn missed(case: &Case, spacing: f64) -> Option<String> {
    let finding = case.closed_form();
    let weakest = weakest_listed(case, &finding);
    let listed = if weakest.is_finite() { weakest.min(EASY) } else { SOUND };
    let cuts =
        grain_cuts(&case.shape, case.board.grain, case.board.thickness, &case.wood, Length::mm(spacing));
    for cut in &cuts {
        let over = cut.breaks_at_n / stated(case, cut.kind);
        if over < AGREEMENT * listed {
            return Some(format!(
                "{}: {:?} push breaks {:?} at {:.1} N, {over:.3} times the push; listed is {listed:.3}",
                case.name, cut.kind, cut.line, cut.breaks_at_n
            ));
        }
    }
    for height in heights(case, spacing) {
        for line in intervals(case, height) {
            let width = (line[1].x - line[0].x).hypot(line[1].y - line[0].y);
            // A bridge carries a push on itself with one end at the worst; its shear is at least that of a stub.
            let shear = width * case.board.thickness.as_mm() * case.wood.rolling_shear / 1.47;
            let known = finding.places.iter().any(|place| crossed(&line, &place.run));
            let weak = shear / stated(case, PushKind::Face) < AGREEMENT * listed;
            if weak && !known && !parts_the_piece(&line, case) {
                return Some(format!("{}: no place runs through {line:?}, {width:.2} mm of wood", case.name));
            }
        }
    }
    None
}

/// Whether both ends of an interval lie on one ring: then it parts the piece, and statics has judged it.
fn parts_the_piece(line: &[Coord<f64>; 2], case: &Case) -> bool {
    let ring_of = |p: Coord<f64>| {
        case.shape.rings().position(|ring| {
            ring.lines().any(|edge| {
                let along = edge.end - edge.start;
                let length2 = along.x * along.x + along.y * along.y;
                let away = p - edge.start;
                let t = ((away.x * along.x + away.y * along.y) / length2).clamp(0.0, 1.0);
                let nearest = edge.start + along * t;
                (nearest.x - p.x).hypot(nearest.y - p.y) < 1e-7
            })
        })
    };
    ring_of(line[0]) == ring_of(line[1])
}

#[test]
fn no_grain_line_of_a_sample_is_weaker_than_its_weakest_place() {
    let missed: Vec<String> = samples().iter().filter_map(|case| missed(case, 1.0)).collect();
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn finer_lines_find_nothing_more_on_a_sample() {
    let missed: Vec<String> = samples().iter().filter_map(|case| missed(case, 0.31)).collect();
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

proptest! {
    #![proptest_config(crate::pieces::cases(200))]

    #[test]
    fn no_grain_line_of_a_random_piece_is_weaker_than_its_weakest_place(
        shape in random_shape(), grain in 0..12, thickness in prop_oneof![Just(6.4), Just(12.0), Just(19.0)],
    ) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let case = random_case(shape, f64::from(grain) * 15.0, thickness);
        if let Some(missed) = missed(&case, 1.0) {
            return Err(TestCaseError::fail(missed));
        }
    }
}
