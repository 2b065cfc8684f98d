//! Inserts nobody can cut: each is refused with a named fault, or fitted sanely, and soon.

use geo_types::{Coord, LineString, Polygon};
use shortgrain::fit::{self, Contour, Corners, Fault, Options};
use shortgrain::shape::Shape;
use shortgrain::units::{Angle, Length};

const STYLES: [Corners; 3] = [Corners::Round, Corners::Ends, Corners::Relieved];

fn shape(points: &[(f64, f64)]) -> Shape {
    Shape::new(Polygon::new(points.to_vec().into(), Vec::new())).expect("a ring with an area")
}

fn fitted(shape: &Shape, corners: Corners) -> Result<fit::Fit, fit::FitError> {
    fit::fit(shape, Angle::deg(0.0), &Options { corners, ..Options::default() })
}

/// Whatever comes out is finite, and the pocket is larger than the insert.
fn is_sane(fit: &fit::Fit) {
    let finite = |contour: &Contour| {
        contour
            .nodes()
            .iter()
            .all(|node| node.at.x.is_finite() && node.at.y.is_finite() && node.bulge.is_finite())
    };
    assert!(fit.insert.contours().chain(fit.pocket.contours()).all(finite));
    assert!(fit.insert.area() > 0.0 && fit.pocket.area() > fit.insert.area());
}

/// Numbers that are none, or far from any bench.
#[test]
fn options_out_of_range_are_told_and_never_panic() {
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300, 1e-300] {
        let length = Length::mm(bad);
        let usual = Options::default();
        for options in [
            Options { clearance: length, ..usual },
            Options { pocket_bit: length, ..usual },
            Options { insert_bit: length, ..usual },
            Options { depth: length, ..usual },
            Options { board: Some(length), ..usual },
        ] {
            // A board of 1e300 mm is no concern of the fit: the pocket fits in it.
            if options.board.is_none() || bad != 1e300 {
                assert!(fit::bar(Length::mm(60.0), Length::mm(20.0), &options).is_err(), "{options:?}");
            }
        }
        assert!(fit::bar(length, Length::mm(20.0), &usual).is_err());
        assert!(fit::coupon(&Options { clearance: length, ..usual }).is_err());
    }
    let turned = fit::fit(
        &shape(&[(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (0.0, 20.0)]),
        Angle::deg(f64::NAN),
        &Options::default(),
    );
    assert!(turned.is_err());
}

/// A bit larger than everything.
#[test]
fn a_bit_larger_than_the_insert_is_refused() {
    let options =
        Options { pocket_bit: Length::mm(50.0), insert_bit: Length::mm(50.0), ..Options::default() };
    for shape in [
        shape(&[(0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)]),
        shape(&[(0.0, 0.0), (30.0, 0.0), (12.0, 9.0), (10.0, 30.0)]),
    ] {
        let error = fit::fit(&shape, Angle::deg(0.0), &options).expect_err("it cannot get in");
        assert!(error.faults.iter().any(|fault| matches!(fault, Fault::TooNarrow { .. })), "{error}");
    }
}

/// Outlines of a thousandth of a millimetre, needles, points of a degree.
#[test]
fn tiny_outlines_and_needles_are_refused() {
    for shape in [
        shape(&[(0.0, 0.0), (1e-3, 0.0), (0.0, 1e-3)]),
        shape(&[(0.0, 0.0), (100.0, 0.0), (100.0, 1e-4), (0.0, 1e-4)]),
        shape(&[(0.0, 0.0), (100.0, 0.0), (0.0, 1.7)]),
    ] {
        for corners in STYLES {
            assert!(fitted(&shape, corners).is_err());
        }
    }
}

/// A bow-tie is no outline, and is said to be none.
#[test]
fn an_outline_that_crosses_itself_is_refused() {
    // Its two halves differ, or it would enclose nothing at all.
    let error = fitted(&shape(&[(0.0, 0.0), (60.0, 40.0), (60.0, 0.0), (0.0, 30.0)]), Corners::Round)
        .expect_err("it crosses itself");
    assert!(matches!(error.faults[..], [Fault::Outline(_)]), "{error}");
}

/// Two blocks joined by a hair: opening would part them.
#[test]
fn a_hair_between_two_blocks_is_a_narrow_part() {
    let blocks = shape(&[
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 14.9),
        (32.0, 14.9),
        (32.0, 0.0),
        (60.0, 0.0),
        (60.0, 30.0),
        (32.0, 30.0),
        (32.0, 15.1),
        (30.0, 15.1),
        (30.0, 30.0),
        (0.0, 30.0),
    ]);
    for corners in [Corners::Round, Corners::Relieved] {
        assert!(fitted(&blocks, corners).is_err());
    }
}

/// A comb of a thousand teeth, a ring drawn with twenty thousand points: an answer soon.
#[test]
fn many_points_are_fitted_or_refused_soon() {
    let ring = |count: u32, radius: f64, wave: f64| -> Shape {
        let point = |k: u32| {
            let angle = f64::from(k) / f64::from(count) * std::f64::consts::TAU;
            let r = radius + wave * (200.0 * angle).sin();
            Coord { x: r * angle.cos(), y: r * angle.sin() }
        };
        Shape::new(Polygon::new(LineString((0..count).map(point).collect()), Vec::new())).expect("a ring")
    };
    is_sane(&fitted(&ring(15_000, 40.0, 0.0), Corners::Round).expect("a disc fits"));
    is_sane(&fitted(&ring(4_000, 40.0, 0.05), Corners::Round).expect("a rough disc fits"));
    let error = fitted(&ring(30_000, 40.0, 0.0), Corners::Round).expect_err("too fine");
    assert!(matches!(error.faults[..], [Fault::TooFine(_)]), "{error}");
}

/// Far from the origin the arithmetic has fewer digits; the insert is the same.
#[test]
fn far_out_an_insert_is_the_same() {
    let l = |x: f64, y: f64| {
        shape(&[
            (x, y),
            (x + 60.0, y),
            (x + 60.0, y + 20.0),
            (x + 20.0, y + 20.0),
            (x + 20.0, y + 50.0),
            (x, y + 50.0),
        ])
    };
    let here = fitted(&l(0.0, 0.0), Corners::Round).expect("it fits");
    let there = fitted(&l(19_000.0, -19_000.0), Corners::Round).expect("it fits");
    assert!((here.insert.area() - there.insert.area()).abs() < 1e-3);
}
