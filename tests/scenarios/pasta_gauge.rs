//! Pasta gauge: thin is not weak.

use shortgrain::check::Verdict;

use crate::ask::{about, force, long, near, only, short};

/// The webs between the holes, then the two end rims.
const WEBS: [[f64; 2]; 3] = [[45.1, 46.5], [91.7, 46.5], [152.3, 46.5]];
const ENDS: [[f64; 2]; 2] = [[9.9, 46.5], [230.3, 46.5]];
/// The rims beside the big hole, along the grain.
const THIN_RIMS: [[f64; 2]; 2] = [[191.6, 84.7], [191.6, 8.3]];

#[test]
fn webs_and_end_rims_go_first() {
    let finding = only("pasta-gauge").finding();
    let first: Vec<_> = finding.places.iter().take(5).collect();
    for at in WEBS {
        let web = near(&finding, at);
        about(web.neck_mm, 8.6, 0.02);
        assert!(web.id <= 5 && web.verdict != Verdict::Sound && web.crossing_deg > 80.0, "{web:?}");
    }
    assert!(ENDS.iter().all(|&at| near(&finding, at).id <= 5), "{first:?}");
    assert_eq!(short(&finding).len(), 5, "nothing else crosses the grain");
}

#[test]
fn rims_along_the_grain_are_sound_though_thinner_than_any_web() {
    let finding = only("pasta-gauge").finding();
    let weakest = force(&finding.places[0]);
    assert_eq!(long(&finding).iter().filter(|rim| rim.verdict != Verdict::Sound).count(), 0);
    for at in THIN_RIMS {
        let rim = near(&finding, at);
        about(rim.neck_mm, 6.5, 0.02);
        assert!(finding.places.iter().all(|place| place.neck_mm >= rim.neck_mm - 0.05));
        // 0.76 of the web's width, and more than three times its force, with all it carries.
        assert!(force(rim) > 3.0 * weakest, "{} {weakest}", force(rim));
    }
}

#[test]
fn turned_across_the_board_the_thin_rims_are_as_weak_as_anything() {
    let finding = only("pasta-gauge").with_grain(90.0).finding();
    let thin = finding.places.iter().filter(|place| place.neck_mm < 7.0).map(force);
    assert!(thin.fold(f64::INFINITY, f64::min) < 1.1 * force(&finding.places[0]));
}
