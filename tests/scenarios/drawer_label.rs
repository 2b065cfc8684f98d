//! Drawer label: the two short sides are short-grain bars, and turning is worse.

use shortgrain::check::Verdict;

use crate::ask::{about, force, long, near, only, short};

#[test]
fn the_two_short_sides_are_the_short_grain_and_equal() {
    let finding = only("drawer-label").finding();
    let (left, right) = (near(&finding, [9.75, 27.0]), near(&finding, [76.25, 27.0]));
    assert_eq!(short(&finding).len(), 2);
    about(left.face.breaks_at_n / right.face.breaks_at_n, 1.0, 0.02);
    about(left.side.breaks_at_n / right.side.breaks_at_n, 1.0, 0.02);
    about(left.face.closed_form_n / right.face.closed_form_n, 1.0, 1e-3);
    about(left.side.closed_form_n / right.side.closed_form_n, 1.0, 1e-3);
    about(left.neck_mm, 9.5, 0.01);
    // Drawn square to the grain; from where one rounded corner has turned by 30° to where the other has: 16 less 1.5 at either end, and
    // half of that again.
    assert!((left.crossing_deg - 90.0).abs() < 1e-3 && (right.crossing_deg - 90.0).abs() < 1e-3);
    about(left.span_mm, 14.5, 0.03);
    about(right.span_mm, left.span_mm, 1e-6);
    assert_eq!([left.verdict, right.verdict], [Verdict::Fragile; 2]);
}

#[test]
fn the_long_rails_are_sound() {
    let finding = only("drawer-label").finding();
    let (rails, weakest) = (long(&finding), force(&finding.places[0]));
    assert!(rails.len() >= 2 && rails.iter().all(|rail| rail.verdict == Verdict::Sound));
    // By the closed form eight times as strong; the solid model sees them split from where the short sides leave.
    assert!(rails.iter().all(|rail| force(rail) > 4.0 * weakest));
}

#[test]
fn turning_is_worse() {
    let case = only("drawer-label");
    let (level, upright) = (case.closed_form(), case.with_grain(90.0).closed_form());
    assert!(short(&upright).iter().all(|rail| (13.0..15.0).contains(&rail.neck_mm)));
    // Half as wide again, but pushed at from 57 mm away and not from 16.
    about(force(&level.places[0]) / force(&upright.places[0]), 1.45, 0.2);
    // By the solid model too, which sees both split at the window's round corners.
    let (level, upright) = (case.finding(), case.with_grain(90.0).finding());
    about(force(&level.places[0]) / force(&upright.places[0]), 1.45, 0.1);
}
