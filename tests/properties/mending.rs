//! What holds of every remedy, on random pieces.

use geo::AffineOps;
use proptest::prelude::*;
use shortgrain::{
    check::{Finding, Options, Place, PushKind, Verdict},
    mend::{Change, Goal, Kind, MendOptions, Mending, Remark, Standing, weakest},
    shape::Shape,
    units::{Angle, Force},
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
            // What falls short is told with what stops it; here no solid model bears anything out, which is told too.
            let stops = |remark: &Remark| !matches!(remark, Remark::NotSolvedThere { .. });
            prop_assert_eq!(remedy.reaches_goal, !remedy.remarks.iter().any(stops));
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

/// A frame about two openings with a bar between them, so wide and leaning so far from upright; grain along x.
fn barred(width: f64, lean: f64) -> Shape {
    use geo_types::{LineString, Polygon};
    let ring = |corners: &[(f64, f64)]| LineString::from(corners.to_vec());
    let (low, high) = (20.0, 60.0);
    let middle = |y: f64| 60.0 + (y - 40.0) * lean;
    let half = width / 2.0;
    let openings = vec![
        ring(&[(20.0, low), (middle(low) - half, low), (middle(high) - half, high), (20.0, high)]),
        ring(&[(middle(low) + half, low), (100.0, low), (100.0, high), (middle(high) + half, high)]),
    ];
    let frame = ring(&[(0.0, 0.0), (120.0, 0.0), (120.0, 80.0), (0.0, 80.0)]);
    Shape::new(Polygon::new(frame, openings)).expect("a shape")
}

/// By the solid model: the least that breaks a piece is no less with boards behind a part of it, what it bears is what a check of it says,
/// the boards lie on the back and nowhere beyond the margin to the outline, and a place that bears less is so told.
#[test]
fn boards_behind_a_part_of_a_piece_never_make_it_weaker() {
    use geo::{Distance, Euclidean, Point};
    let mut inside = 0;
    for (width, lean, push, thickness) in [(6.0, 0.0, 45.0, 12.0), (7.0, 0.5, 60.0, 10.0)] {
        let mut case = random_case(barred(width, lean), 0.0, thickness);
        (case.pushes.face, case.pushes.side) = (Force::n(push), Force::n(push));
        let options = MendOptions { kinds: vec![Kind::PartBacker], ..MendOptions::default() };
        let mending = case.remedied("cherry", Goal::Sound, Options::default(), &options);
        let Some(remedy) = mending.remedies.first() else {
            assert_eq!(mending.declined.len(), 1, "{width} {lean}");
            continue;
        };
        assert_eq!(remedy.standing, Standing::Proved);
        let [before, after] = [&mending.before, remedy.after.as_ref().expect("it was proved")]
            .map(|finding| weakest(finding, &case.pushes).0);
        assert!(after >= 0.99 * before, "{width} {lean}: {before} {after}");
        // Under a push that the glue bears less than the bare board, that board is what counts; it is named.
        let again = case.checked_again(remedy, &Options::default()).expect("boards can be checked");
        let parted = remedy.remarks.iter().find_map(|remark| match remark {
            Remark::GlueFirst { places } => Some(places.clone()),
            _ => None,
        });
        for place in &remedy.after.as_ref().expect("it was proved").places {
            let with = |finding: &Finding| finding.places.iter().find(|other| other.at == place.at).cloned();
            let (bare, solid) = (with(&mending.before), with(&again).expect("the same place"));
            for kind in [PushKind::Face, PushKind::Side] {
                let (said, found) = (place.push(kind).breaks_at_n, solid.push(kind).breaks_at_n);
                if said == found {
                    continue;
                }
                let bare = bare.as_ref().expect("it was there before");
                assert!(
                    said == bare.push(kind).breaks_at_n && said > found,
                    "{width} {lean}: {said} {found}"
                );
                assert!(parted.as_ref().is_some_and(|places| places.contains(&bare.id)), "{parted:?}");
            }
        }
        // A stile at the outline has its board cut flush with it; the bar's lies within.
        let edge = case.shape.polygon().exterior();
        let within = |place: &&Place| Euclidean.distance(&Point::from(place.at), edge) > place.neck_mm;
        for place in mending.before.places.iter().filter(within) {
            for board in remedy.backers().iter().filter(|board| board.places.contains(&place.id)) {
                let away = Euclidean.distance(board.insert.outline.exterior(), edge);
                assert!(away >= 3.0 - 1e-6, "{width} {lean}: {away}");
                inside += 1;
            }
        }
    }
    assert!(inside >= 2, "the bars are given boards: {inside}");
}
