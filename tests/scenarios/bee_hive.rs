//! Bee-hive plate: webs in three directions, and a turn trades which of them is safe.

use std::sync::LazyLock;

use shortgrain::check::{Finding, Form, Place, Verdict};

use crate::ask::{about, force, only};

/// The piece as it is; its sixty places take the solid model a while.
static FINDING: LazyLock<Finding> = LazyLock::new(|| only("bee-hive").finding());

/// The webs between the hexagons: 4.8 mm, where the rim is at least 15.
fn webs(finding: &Finding) -> impl Iterator<Item = &Place> {
    finding.places.iter().filter(|place| place.neck_mm < 5.0)
}

/// Which of the three directions a web runs in: 0, 60 or 120 degrees, from the first to the last point of its run.
fn direction(web: &Place) -> u32 {
    let (a, b) = (web.run[0], web.run[web.run.len() - 1]);
    let degrees = (b.y - a.y).atan2(b.x - a.x).to_degrees().rem_euclid(180.0);
    (degrees / 60.0).round() as u32 % 3 * 60
}

#[test]
fn one_third_of_the_webs_runs_with_the_grain_and_is_sound() {
    let (level, others): (Vec<_>, Vec<_>) = webs(&FINDING).partition(|web| web.form == Form::Along);
    // Seven columns of four cells: 21 webs between neighbours above each other, 21 in each slanting direction.
    assert_eq!((level.len(), others.len()), (21, 42));
    assert!(level.iter().all(|web| direction(web) == 0 && web.verdict == Verdict::Sound));
    assert_eq!(others.iter().filter(|web| direction(web) == 60).count(), 21);
    assert_eq!(others.iter().filter(|web| direction(web) == 120).count(), 21);
    // By its own section each bears many times what the slanting ones do. Pushed on, it leans on them, and their corners part first: still
    // later than where they are pushed themselves.
    let by_section = |web: &&Place| web.face.closed_form_n.min(web.side.closed_form_n);
    let least = |force: &dyn Fn(&&Place) -> f64, webs: &[&Place]| {
        webs.iter().map(force).fold(f64::INFINITY, f64::min)
    };
    let strongest_other = others.iter().map(by_section).fold(0.0, f64::max);
    assert!(least(&by_section, &level) > 2.5 * strongest_other, "{strongest_other}");
    let proved = |web: &&Place| force(web);
    assert!(least(&proved, &level) > 1.2 * least(&proved, &others));
}

#[test]
fn the_other_two_thirds_cross_it_at_60_degrees_and_are_alike() {
    let others: Vec<_> = webs(&FINDING).filter(|web| web.form != Form::Along).collect();
    assert!(others.iter().all(|web| (web.crossing_deg - 60.0).abs() < 1.0));
    let weakest = |degrees| {
        let forces = others.iter().filter(|web| direction(web) == degrees).map(|web| force(web));
        forces.fold(f64::INFINITY, f64::min)
    };
    // Mirror images but for the half pitch that odd columns are lower by.
    about(weakest(60) / weakest(120), 1.0, 0.05);
    // Those in the middle, that other webs lean on, carry more than those that stand in the rim; most of all the two in its corners.
    let mut forces: Vec<f64> = others.iter().map(|web| force(web)).collect();
    forces.sort_by(f64::total_cmp);
    let (weakest, strongest) = (forces[0], forces.split_off(40));
    assert!(forces[39] < 2.1 * weakest, "{} {weakest}", forces[39]);
    assert!(strongest.iter().all(|force| *force < 3.0 * weakest), "{strongest:?} {weakest}");
}

#[test]
fn a_turn_trades_which_third_is_safe() {
    for (degrees, safe) in [(0.0, 0), (60.0, 60), (120.0, 120)] {
        let finding = only("bee-hive").with_grain(degrees).closed_form();
        let along: Vec<_> = webs(&finding).filter(|web| web.form == Form::Along).collect();
        assert_eq!(along.len(), 21, "at {degrees}");
        assert!(
            along.iter().all(|web| direction(web) == safe && web.verdict == Verdict::Sound),
            "at {degrees}"
        );
    }
}

#[test]
fn no_turn_saves_all_the_webs() {
    let case = only("bee-hive");
    for degrees in (0..180).step_by(15) {
        let finding = case.with_grain(f64::from(degrees)).closed_form();
        let steep = webs(&finding).filter(|web| web.crossing_deg > 59.0).count();
        assert!(steep >= 21, "at {degrees}: {steep}");
    }
}
