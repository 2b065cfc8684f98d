//! What `mend` says of pieces that are drawn here, each for one thing that a remedy has to get right.

use shortgrain::{
    check::{Form, Options, Pushes, Verdict},
    mend::{Goal, Kind, MendOptions, Remark},
    units::Force,
};

use crate::{
    ask::{about, block, drawn},
    mending::bars,
    samples::Case,
};

/// A bracket of hard maple 18 mm thick, its grain upright: from a plate 30 x 120 an arm 12 wide reaches out, which ends in a hook that bends
/// down and stands out 6 mm under it.
fn bracket() -> Case {
    let corners = [
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 18.0),
        (133.0, 18.0),
        (135.8, 16.8),
        (137.0, 14.0),
        (137.0, 12.0),
        (145.0, 12.0),
        (145.0, 20.0),
        (142.1, 27.1),
        (135.0, 30.0),
        (30.0, 30.0),
        (30.0, 120.0),
        (0.0, 120.0),
    ];
    drawn("bracket", polygon(&corners), "hard maple", 90.0)
}

/// A straight arm with a lip 8 mm down at its end.
fn lipped() -> Case {
    let corners = [
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 33.0),
        (95.0, 33.0),
        (95.0, 25.0),
        (105.0, 25.0),
        (105.0, 45.0),
        (30.0, 45.0),
        (30.0, 70.0),
        (0.0, 70.0),
    ];
    drawn("lipped", polygon(&corners), "cherry", 90.0)
}

fn polygon(corners: &[(f64, f64)]) -> geo_types::Polygon<f64> {
    geo_types::Polygon::new(geo_types::LineString::from(corners.to_vec()), Vec::new())
}

/// A ring between two ellipses about a point, with upright bridges so wide at its top and bottom.
fn nought(at: (f64, f64), outer: [f64; 2], inner: [f64; 2], bridge: f64) -> geo_types::MultiPolygon<f64> {
    use geo::BooleanOps;
    let ellipse = |[rx, ry]: [f64; 2]| {
        let corner = |k: i32| {
            let (sin, cos) = (f64::from(k) * 3.0).to_radians().sin_cos();
            (at.0 + rx * cos, at.1 + ry * sin)
        };
        polygon(&(0..120).map(corner).collect::<Vec<_>>())
    };
    ellipse(outer).difference(&ellipse(inner)).difference(&block(at.0, at.1, bridge, 3.0 * outer[1]))
}

/// A cherry sign 216 x 140 mm with a 0 in it, and an 8 if wanted: two noughts one above the other.
fn sign(name: &str, with_an_eight: bool) -> Case {
    use geo::BooleanOps;
    let zero = nought((163.2, 76.2), [36.2, 55.9], [24.8, 44.5], 6.35);
    let eight = [
        nought((64.0, 45.7), [25.9, 25.4], [15.7, 15.2], 5.1),
        nought((64.0, 104.1), [29.7, 27.9], [18.8, 17.3], 5.1),
    ];
    let mut plate = geo_types::MultiPolygon::from(block(114.3, 76.2, 215.9, 139.7));
    plate = plate.difference(&zero);
    for half in eight.iter().filter(|_| with_an_eight) {
        plate = plate.difference(half);
    }
    drawn(name, plate.0.remove(0), "cherry", 0.0)
}

/// The island of the 0 is a sound place of its own; that it is one keeps neither its bridges from being moved nor those of the 8 from being
/// widened.
#[test]
fn all_weak_bridges_of_a_sign_are_moved_or_widened() {
    for (name, with_an_eight, bridges) in [("0", false, 2), ("80", true, 6)] {
        let case = sign(name, with_an_eight);
        let options = MendOptions { kinds: vec![Kind::MoveBridge, Kind::Widen], ..MendOptions::default() };
        let mending = case.remedied("cherry", Goal::Sound, Options::default(), &options);
        let weak = mending.before.places.iter().filter(|place| place.verdict != Verdict::Sound);
        assert_eq!(weak.count(), bridges, "{name}");
        assert_eq!(mending.declined, [], "{name}");
        for remedy in &mending.remedies {
            assert!(remedy.cures(), "{name}: {:?} is short by {:?}", remedy.kind, remedy.shortfall);
            assert_eq!(bars(remedy).len(), bridges, "{name}: {:?}", bars(remedy));
            assert!(remedy.remarks.is_empty(), "{name}: {:?}", remedy.remarks);
        }
    }
}

/// What an arm ends in stays as drawn, and so does the piece's size; the arm grows on the side where no hook stands.
#[test]
fn an_arm_is_widened_up_to_its_hook_and_no_farther() {
    use geo::{Area, BooleanOps, BoundingRect};
    for (case, wood, hook) in [(bracket(), "hard maple", 133.0), (lipped(), "cherry", 95.0)] {
        let options = MendOptions { kinds: vec![Kind::Widen], ..MendOptions::default() };
        let mending = case.remedied(wood, Goal::Sound, Options::default(), &options);
        let remedy =
            mending.remedies.first().unwrap_or_else(|| panic!("{}: {:?}", case.name, mending.declined));
        let shape = remedy.shape().expect("a new outline");
        assert_eq!(shape.polygon().bounding_rect(), case.shape.polygon().bounding_rect(), "{}", case.name);
        let added = shape.polygon().difference(case.shape.polygon());
        // One clean part, above the arm: its lower wall runs into the hook. What is thinner than a hair is the difference's own rounding.
        let added: Vec<_> = added.iter().filter(|part| part.unsigned_area() > 1e-3).collect();
        assert_eq!(added.len(), 1, "{}: {added:?}", case.name);
        let reach = added[0].bounding_rect().expect("wood was added");
        assert!(reach.max().x <= hook + 2.0 && reach.min().x >= 30.0 - 0.4, "{} {reach:?}", case.name);
        assert!(remedy.gain.is_some_and(|gain| gain > 2.0), "{}: {:?}", case.name, remedy.gain);
        // What is said of its width is what a check reads: before, where the arm is straight, it is 12 mm.
        let [bar] = bars(remedy) else { panic!("one arm, not {:?}", bars(remedy)) };
        about(bar.from_mm.expect("it was there"), 12.0, 0.01);
        let after = remedy.after.as_ref().expect("it was proved");
        let widened = after.places.iter().filter(|place| place.form == Form::Arm);
        let read = widened.map(|place| place.width_mm).fold(0.0, f64::max);
        about(bar.to_mm, read, 0.02);
    }
}

/// A frame about a narrow opening and a wide one, a bar between them across the grain.
fn frame(push: f64) -> Case {
    use geo::BooleanOps;
    let openings = [block(32.0, 66.0, 12.0, 80.0), block(69.0, 66.0, 48.0, 80.0)];
    let mut plate = geo_types::MultiPolygon::from(block(59.5, 66.0, 119.0, 132.0));
    for opening in &openings {
        plate = plate.difference(opening);
    }
    let mut case = drawn("frame", plate.0.remove(0), "cherry", 0.0);
    case.pushes = Pushes { face: Force::n(push), side: Force::n(push) };
    case
}

/// A third of the narrow opening is 4 mm, of the wide one 16 mm. What the bar cannot have of the one it takes of the other; where both have given
/// all they may, that is what is told.
#[test]
fn a_bar_grows_into_the_opening_that_has_wood_to_give() {
    use geo::{Area, BooleanOps};
    for (push, cures) in [(50.0, true), (62.0, false)] {
        let case = frame(push);
        let options = MendOptions { kinds: vec![Kind::Widen], ..MendOptions::default() };
        let mending = case.remedied("cherry", Goal::Sound, Options::default(), &options);
        let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
        assert_eq!(remedy.cures(), cures, "{push} N: {:?}", remedy.shortfall);
        let added = remedy.shape().expect("a new outline").polygon().difference(case.shape.polygon());
        // Half way up, where no corner counts.
        let taken = |from: f64, to: f64| {
            added.intersection(&block(f64::midpoint(from, to), 66.0, to - from, 2.0)).unsigned_area() / 2.0
        };
        let (narrow, wide) = (taken(26.0, 38.0), taken(45.0, 93.0));
        assert!(narrow <= 4.01 && wide <= 16.01 && wide > 1.5 * narrow, "{narrow} {wide}");
        if cures {
            assert_eq!(remedy.remarks, []);
        } else {
            assert!(narrow > 3.8 && wide > 15.2, "{narrow} {wide}");
            assert!(matches!(&remedy.remarks[..], [Remark::ThirdTaken(_)]), "{:?}", remedy.remarks);
        }
    }
}

/// A straight arm with a lip up and a lip down at its end, 14 mm each: what hangs there keeps its room on both sides.
#[test]
fn an_arm_with_a_hook_on_either_side_is_widened_short_of_both() {
    use geo::{BooleanOps, BoundingRect};
    let corners = [
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 54.0),
        (100.0, 54.0),
        (100.0, 40.0),
        (110.0, 40.0),
        (110.0, 80.0),
        (100.0, 80.0),
        (100.0, 66.0),
        (30.0, 66.0),
        (30.0, 120.0),
        (0.0, 120.0),
    ];
    let case = drawn("two hooks", polygon(&corners), "cherry", 90.0);
    let options = MendOptions { kinds: vec![Kind::Widen], ..MendOptions::default() };
    let mending = case.remedied("cherry", Goal::Sound, Options::default(), &options);
    let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    let shape = remedy.shape().expect("a new outline");
    assert_eq!(shape.polygon().bounding_rect(), case.shape.polygon().bounding_rect());
    let added = shape.polygon().difference(case.shape.polygon()).bounding_rect().expect("wood was added");
    // Twice the arm's width stays clear before the lips.
    assert!(added.max().x <= 100.0 - 2.0 * 12.0 + 1.0 && added.min().x >= 29.6, "{added:?}");
    assert!(added.min().y < 53.0 && added.max().y > 67.0, "{added:?}");
    // What is left between the wider part and the hooks breaks first, so no more wood is spent than helps it.
    assert_eq!(remedy.remarks, [Remark::OutlineKept]);
    assert!(added.height() < 36.0, "{added:?}");
    assert!(remedy.gain.is_some_and(|gain| gain > 1.5), "{:?}", remedy.gain);
}

/// A quarter of a ring 10 wide, bent about 30 mm, stands out from a post: it is widened along its bend.
#[test]
fn a_curved_arm_is_widened_along_its_curve() {
    use geo::{Area, BooleanOps, BoundingRect};
    let arc = |radius: f64, k: usize| {
        let angle = std::f64::consts::FRAC_PI_2 * (k as f64 / 24.0 - 1.0);
        (30.0 + radius * angle.cos(), 80.0 + radius * angle.sin())
    };
    let mut corners = vec![(0.0, 0.0), (30.0, 0.0)];
    corners.extend((0..=24).map(|k| arc(35.0, k)));
    corners.extend((0..=24).rev().map(|k| arc(25.0, k)));
    corners.extend([(30.0, 120.0), (0.0, 120.0)]);
    let case = drawn("curved", polygon(&corners), "cherry", 90.0);
    let options = MendOptions { kinds: vec![Kind::Widen], ..MendOptions::default() };
    let mending = case.remedied("cherry", Goal::Sound, Options::default(), &options);
    let remedy = mending.remedies.first().unwrap_or_else(|| panic!("{:?}", mending.declined));
    let shape = remedy.shape().expect("a new outline");
    assert_eq!(shape.polygon().bounding_rect(), case.shape.polygon().bounding_rect());
    assert!(remedy.gain.is_some_and(|gain| gain > 1.5), "{:?}", remedy.gain);
    // It is wider over most of the first half of its bend, wherever one looks.
    let added = shape.polygon().difference(case.shape.polygon());
    for k in 2..=10 {
        let (x, y) = arc(30.0, k);
        assert!(added.intersection(&block(x, y, 24.0, 24.0)).unsigned_area() > 20.0, "{x} {y}");
    }
}
