//! Small drawings whose pieces are known exactly: areas by hand, from the numbers in the file.
//!
//! The same files serve for comparing the reader with other geometry libraries.

#![allow(missing_docs, reason = "a test binary has no readers of its documentation")]

use std::f64::consts::PI;

use geo::BoundingRect;
use shortgrain::design::{Design, Options, read_svg};

fn read(name: &str) -> Design {
    let path = format!("{}/tests/drawings/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let design = read_svg(name, &bytes, &Options::default()).unwrap_or_else(|error| panic!("{error}"));
    for piece in &design.pieces {
        piece.shape.check().unwrap_or_else(|error| panic!("{}: {error}", piece.name));
    }
    design
}

/// Piece by piece: name, number of openings and area; `curved` is the length of curved outline, along which
/// the straight pieces may lie up to the reader's tolerance off.
#[track_caller]
fn holds(design: &Design, pieces: &[(&str, usize, f64, f64)]) {
    assert_eq!(design.pieces.len(), pieces.len());
    for (piece, (name, openings, area, curved)) in design.pieces.iter().zip(pieces) {
        assert_eq!(piece.name, *name);
        assert_eq!(piece.shape.polygon().interiors().len(), *openings, "{name}");
        let found = piece.shape.area();
        // Straight edges: single precision on a few hundred mm of outline.
        let allowed = design.reading.tolerance.as_mm() * curved + 0.02;
        assert!((found - area).abs() <= allowed, "{name}: {found} mm² is not {area} ± {allowed}");
    }
}

#[test]
fn a_disc_has_its_area_and_keeps_its_radius_within_the_tolerance() {
    let design = read("disc");
    holds(&design, &[("disc", 0, 2500.0 * PI, 100.0 * PI)]);
    for c in &design.pieces[0].shape.polygon().exterior().0 {
        let off = (c.x - 60.0).hypot(c.y - 60.0) - 50.0;
        assert!(off.abs() < 2e-4, "{off}");
    }
}

#[test]
fn a_plate_in_inches_has_rounded_corners() {
    let square_inches = 18.0 - (4.0 - PI) * 0.75 * 0.75;
    holds(&read("rounded_plate"), &[("plate", 0, square_inches * 25.4 * 25.4, 1.5 * PI * 25.4)]);
}

#[test]
fn a_dial_in_centimetres_has_four_openings() {
    // Each opening has two straight legs of 65 at a right angle, and an arc of radius 70 over their far ends:
    // a triangle and a segment of a circle.
    let (leg, radius): (f64, f64) = (65.0, 70.0);
    let half = leg * 2.0_f64.sqrt() / 2.0;
    let angle = 2.0 * (half / radius).asin();
    let opening = leg * leg / 2.0 + radius * radius * (angle - angle.sin()) / 2.0;
    let curved = 180.0 * PI + 4.0 * radius * angle;
    holds(&read("ring_and_bars"), &[("dial", 4, 8100.0 * PI - 4.0 * opening, curved)]);
}

#[test]
fn tags_by_use_and_class_keep_their_area_when_turned_and_scaled() {
    let tag = 800.0 - 9.0 * PI;
    let design = read("turned_tags");
    let names: Vec<(&str, usize, f64, f64)> =
        vec![("first", 1, tag, 6.0 * PI), ("second", 1, tag, 6.0 * PI), ("third", 1, tag * 2.25, 9.0 * PI)];
    holds(&design, &names);
    assert_eq!(design.reading.page_mm.map(|p| p.map(f64::round)), Some([160.0, 120.0]));
}

#[test]
fn lines_from_a_plan_close_to_a_bracket() {
    let design = read("lines_from_a_plan");
    let exact = 80.0 * 20.0 + 20.0 * 40.0;
    assert!((design.pieces[0].shape.area() - exact).abs() < 1.0);
    assert_eq!(design.pieces[0].name, "bracket");
    assert_eq!(design.reading.to_string().matches("closed: a gap").count(), 2);
}

#[test]
fn pixels_are_a_96th_of_an_inch() {
    let inch2 = 25.4 * 25.4;
    holds(&read("pixels"), &[("letter", 0, 7.0 * inch2, 0.0), ("wedge", 0, 5.0 * inch2, 0.0)]);
}

#[test]
fn overlaps_unite() {
    // Two circles of radius 20 whose centres are 20 apart share 2·r²·π/3 − r²·√3/2.
    let lens = 400.0 * (2.0 * PI / 3.0 - 3.0_f64.sqrt() / 2.0);
    holds(&read("overlaps"), &[("cross", 0, 2800.0, 0.0), ("coins", 0, 800.0 * PI - lens, 60.0 * PI)]);
}

#[test]
fn the_page_is_the_origin() {
    let b = read("pixels").pieces[0].shape.polygon().bounding_rect().unwrap();
    for (found, inches) in [(b.min().x, 1.0), (b.min().y, 1.0), (b.max().x, 4.0), (b.max().y, 6.0)] {
        assert!((found - inches * 25.4).abs() < 2e-4);
    }
}

#[test]
fn a_leaf_of_cubic_and_quadratic_curves_has_its_area() {
    // The rim by Green's theorem on its two cubics; the opening's two parabolas each cut off two thirds of the
    // triangle of their three points (Archimedes).
    let rim = bezier_area(&[(10.0, 50.0), (30.0, 0.0), (90.0, 0.0), (130.0, 50.0)])
        + bezier_area(&[(130.0, 50.0), (90.0, 100.0), (30.0, 100.0), (10.0, 50.0)]);
    let opening = 2.0 * (2.0 / 3.0) * (50.0 * 15.0 / 2.0);
    holds(&read("leaf"), &[("leaf", 1, rim.abs() - opening, 380.0)]);
}

/// ∮ x dy along one Bézier piece of degree up to three, by Gauss–Legendre with four points (exact to degree 7;
/// a cubic's x·dy has degree 5).
fn bezier_area(points: &[(f64, f64)]) -> f64 {
    let nodes = [
        (0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
        (0.861_136_311_594_052_6, 0.347_854_845_137_453_9),
    ];
    let mut sum = 0.0;
    for (node, weight) in nodes {
        for t in [0.5 - node / 2.0, 0.5 + node / 2.0] {
            let (mut now, mut step) = (points.to_vec(), points.to_vec());
            while now.len() > 1 {
                step.clone_from(&now);
                now = now
                    .windows(2)
                    .map(|w| (w[0].0 + t * (w[1].0 - w[0].0), w[0].1 + t * (w[1].1 - w[0].1)))
                    .collect();
            }
            #[expect(clippy::cast_precision_loss, reason = "a degree of at most three")]
            let degree = (points.len() - 1) as f64;
            sum += weight / 2.0 * now[0].0 * degree * (step[1].1 - step[0].1);
        }
    }
    sum
}
