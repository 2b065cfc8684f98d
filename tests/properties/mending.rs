//! What holds of every remedy, on random pieces.

use geo::AffineOps;
use proptest::prelude::*;
use shortgrain::{
    check::{Options, Verdict},
    mend::{Change, Goal, Kind, MendOptions, Mending, Standing, weakest},
    shape::Shape,
    units::Angle,
};

use crate::pieces::{Case, random_case, random_shape};

/// The kinds whose numbers are a check of the mended piece; by the closed form alone, as they are many.
const KINDS: [Kind; 6] =
    [Kind::Turn, Kind::MoveBridge, Kind::Widen, Kind::Thicken, Kind::Backer, Kind::ThreePly];

fn by_closed_form() -> Options {
    Options { solid: false, ..Options::default() }
}

fn mended(case: &Case, kinds: &[Kind]) -> Mending {
    let options = MendOptions { kinds: kinds.to_vec(), step: Angle::deg(15.0), ..MendOptions::default() };
    case.remedied("cherry", Goal::Sound, by_closed_form(), &options)
}

proptest! {
    #![proptest_config(crate::pieces::cases(24))]

    #[test]
    fn what_a_remedy_says_of_a_piece_is_what_a_check_of_the_mended_piece_says(shape in random_shape(), grain in 0..12) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let case = random_case(shape, f64::from(grain) * 15.0, 12.0);
        let mending = mended(&case, &KINDS);
        let bare = weakest(&mending.before, &case.pushes).0;
        for remedy in &mending.remedies {
            let after = remedy.after.as_ref().expect("each of these is judged");
            prop_assert_eq!(remedy.reaches_goal, remedy.shortfall.is_some_and(|lack| lack <= 1.0));
            let Some(again) = case.checked_again(remedy, &by_closed_form()) else {
                prop_assert_eq!(remedy.standing, Standing::Estimate);
                continue;
            };
            prop_assert_eq!(&again, after, "{:?}", remedy.kind);
            prop_assert_eq!(remedy.reaches_goal, again.verdict == Verdict::Sound, "{:?}", remedy.kind);
            // A piece that nothing breaks any more is endlessly stronger.
            let (gain, now) = (remedy.gain.expect("it was judged"), weakest(&again, &case.pushes).0);
            let want = if now == bare { 1.0 } else { now / bare };
            prop_assert!(gain == want || (gain / want - 1.0).abs() < 1e-9, "{:?}: {gain} {want}", remedy.kind);
        }
    }

    #[test]
    fn a_widened_piece_is_a_proper_one_with_all_its_openings_and_all_its_wood(shape in random_shape(), grain in 0..12) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let case = random_case(shape, f64::from(grain) * 15.0, 12.0);
        for remedy in mended(&case, &[Kind::Widen]).remedies {
            let Change::Outline { shape, bars } = &remedy.change else { panic!("an outline is drawn anew") };
            shape.check().expect("a proper shape");
            prop_assert_eq!(shape.polygon().interiors().len(), case.shape.polygon().interiors().len());
            prop_assert!(shape.area() > case.shape.area());
            // What falls short is told with what stops it.
            prop_assert_eq!(remedy.reaches_goal, remedy.remarks.is_empty());
            prop_assert!(bars.iter().all(|bar| bar.from_mm.is_some_and(|from| bar.to_mm > from)));
            use geo::{Area, BooleanOps};
            prop_assert!(case.shape.polygon().difference(shape.polygon()).unsigned_area() < 0.01);
        }
    }

    /// Where lines and sections lie depends a little on how a piece lies, and so do its numbers.
    #[test]
    fn turning_drawing_and_grain_together_changes_no_thickness(shape in random_shape(), grain in 0..12) {
        let Some(shape) = shape else { return Err(TestCaseError::reject("nothing left")) };
        let case = random_case(shape, f64::from(grain) * 15.0, 12.0);
        let origin = geo::Coord { x: 0.0, y: 0.0 };
        let polygon = case.shape.polygon().affine_transform(&geo::AffineTransform::rotate(33.0, origin));
        let mut turned = Case { shape: Shape::new(polygon).expect("still a shape"), ..case.clone() };
        turned.board.grain = Angle::deg(case.board.grain.as_deg() + 33.0);
        let thickness = |case: &Case| {
            mended(case, &[Kind::Thicken]).remedies.first().map(|remedy| match remedy.change {
                Change::Thickness { to_mm } => to_mm,
                _ => f64::NAN,
            })
        };
        if let (Some(one), Some(other)) = (thickness(&case), thickness(&turned)) {
            prop_assert!((one - other).abs() <= 0.05 * one + 0.5, "{one} {other}");
        }
    }
}
