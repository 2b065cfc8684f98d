//! A cross-grain insert: a strip with its grain along a place's run, glued in a pocket in the back.
//!
//! The strip runs the whole length of the place and past its ends into the held wood. Depth, width and
//! reach are searched within the ranges the trade uses, and the reach that peel and shear in its floor ask for among them; of those that
//! reach the goal one that reaches so far wins, with the least wood, else the strongest. Before any piercing it is a plain rectangle; what the piercing leaves of it is the
//! part that is wood.

use super::depths::{LEAST_DEPTH, least_show_face};
use super::mended::{Joint, Mended, Weakest};
use super::patient::TO_SPARE;
use super::request::InsertRequest;
use super::site::{LEAST_REACH, REACHES, Site, Trial, WIDTHS, middling_reach};
use crate::check::{Insert, InsertRemark, InsertSide, NoInsert, Place, PushKind, verdict};
use crate::season::{Trade, TradeWord};
use crate::strength::{low, risk, variation};

/// A strip that does not make a place good enough is worth its glue from this gain on: our own rule.
const LEAST_GAIN: f64 = 1.05;
/// Depths tried, as parts of the thickness: common practice, a third to a half.
const DEPTHS: [f64; 3] = [1.0 / 3.0, 5.0 / 12.0, 0.5];
/// Of so many of the best, one that lacks up to so many times as much may be taken for what it leaves alone: our own rule.
const ALTERNATIVES: usize = 8;
const NEARLY_AS_STRONG: f64 = 1.05;

/// The insert with the least wood that makes a place as good as is wanted, or else the one that makes it strongest.
///
/// # Errors
///
/// See [`NoInsert`]: the place good enough as it is, the board too thin, no room, no straight strip along the
/// run, or no gain.
///
/// # Accuracy
///
/// The strengths are those of [`mended`](super::mended()), estimates from our own study. Whether it
/// fits is judged on the drawing itself.
pub fn insert(request: &InsertRequest<'_>) -> Result<Insert, NoInsert> {
    let fitting = Fitting::new(request)?;
    let first = &fitting.trials[0];
    if first.shortfall > 1.0 && first.shortfall * LEAST_GAIN >= fitting.bare {
        return Err(NoInsert::NoGain {
            gives_way: fitting.site.gives_way(first),
            shortfall: first.shortfall,
        });
    }
    Ok(fitting.best())
}

/// The same, but a strip that fits is one though the closed form sees no gain in it.
pub(super) fn strip_that_fits(request: &InsertRequest<'_>) -> Result<Insert, NoInsert> {
    Ok(Fitting::new(request)?.best())
}

/// The strip with the least wood that is expected to reach the goal, where a solid model found `found` with the strip `was`: each part is taken
/// to be as much weaker or stronger than by the closed form as it was found with that one. Nothing where none is.
pub(super) fn strip_that_would_do(
    request: &InsertRequest<'_>,
    was: &Insert,
    found: &Place,
) -> Option<Insert> {
    Fitting::new(request).ok()?.that_would_do(was, found)
}

/// Every strip that fits a place.
struct Fitting<'a> {
    site: Site<'a>,
    /// What the place lacks as it is.
    bare: f64,
    /// At least one, the best first.
    trials: Vec<Trial>,
}

impl<'a> Fitting<'a> {
    fn new(request: &'a InsertRequest<'a>) -> Result<Self, NoInsert> {
        let thickness = request.thickness;
        let show_face = least_show_face(thickness);
        let deepest = thickness - show_face;
        if deepest < LEAST_DEPTH {
            return Err(NoInsert::TooThin { thickness, show_face });
        }
        let site = Site::new(request)?;
        let bare = site.bare_shortfall();
        if bare <= 1.0 {
            return Err(NoInsert::NotNeeded);
        }
        let mut depths: Vec<f64> = DEPTHS.iter().map(|part| (part * thickness).min(deepest)).collect();
        depths.dedup();
        let about = |&depth: &f64| REACHES.map(|part| part * middling_reach(depth));
        let least = depths.iter().map(|depth| LEAST_REACH * depth);
        let mut reaches: Vec<f64> = depths.iter().flat_map(about).chain(least).collect();
        reaches.sort_by(f64::total_cmp);
        reaches.dedup();
        let with_widths = |narrowest: f64| {
            let mut widths = WIDTHS.map(|times| (times * site.width + site.bow).max(narrowest)).to_vec();
            widths.dedup();
            let mut trials = Vec::new();
            for width in widths {
                for &reach in &reaches {
                    if let Some(fit) = site.fit(width, [reach; 2]) {
                        trials.extend(depths.iter().filter_map(|&depth| site.trial(&fit, depth)));
                    }
                }
                trials.extend(site.anchored(width, &depths));
            }
            trials
        };
        let mut trials = with_widths(request.narrowest);
        if trials.is_empty() {
            // One that wants a smaller bit is better than none.
            trials = with_widths(0.0);
        }
        trials.sort_by(Trial::better_first);
        if trials.is_empty() {
            return Err(NoInsert::NoRoom { reach: LEAST_REACH * depths[0], rim: request.rim });
        }
        Ok(Self { site, bare, trials })
    }

    fn that_would_do(&self, was: &Insert, found: &Place) -> Option<Insert> {
        let sizes = |trial: &Trial| [trial.strip.length(), trial.strip.width(), trial.joint.depth];
        let own = [was.length_mm, was.width_mm, was.depth_mm];
        let is_own = |trial: &&Trial| sizes(trial).iter().zip(own).all(|(a, b)| (a - b).abs() < 1e-6);
        let mut doubts = [[1.0; 4]; 2];
        self.trials.iter().find(is_own)?.mended.learn(found, &mut doubts);
        let would_do = |trial: &&Trial| TO_SPARE * self.site.doubted(trial, &doubts) <= 1.0;
        let is_short = |trial: &Trial| self.site.anchorage(&trial.joint).is_short();
        let takes_others = |trial: &Trial| self.site.local.wood_within(&trial.strip).len() != 1;
        let order = |trial: &Trial| (trial.weakens, is_short(trial), takes_others(trial));
        let least = self.trials.iter().filter(would_do);
        let least = least.min_by(|a, b| order(a).cmp(&order(b)).then(a.wood().total_cmp(&b.wood())));
        least.map(|trial| self.site.describe(trial))
    }

    /// A strip that also takes a bite out of the wood next door is second choice, if nearly as strong ones do not.
    fn best(&self) -> Insert {
        let first = &self.trials[0];
        let alone = self.trials.iter().take(ALTERNATIVES).find(|trial| {
            trial.shortfall.max(1.0) <= first.shortfall.max(1.0) * NEARLY_AS_STRONG
                && trial.weakens == first.weakens
                && trial.is_short <= first.is_short
                && self.site.local.wood_within(&trial.strip).len() == 1
        });
        self.site.describe(alone.unwrap_or(first))
    }
}

impl Site<'_> {
    /// What breaks first with a strip, by the push that lacks more.
    fn gives_way(&self, trial: &Trial) -> &'static str {
        let (face, side) = (&self.request.face, &self.request.side);
        let [face, side] = [(&trial.mended.face, face.push), (&trial.mended.side, side.push)]
            .map(|(parts, push)| (self.shortfall(parts, push), Mended::weakest(parts).part));
        if side.0 > face.0 { side.1 } else { face.1 }
    }

    pub(super) fn describe(&self, trial: &Trial) -> Insert {
        let (face, side) = (self.request.face.push, self.request.side.push);
        let after = vec![
            self.answer(PushKind::Face, &trial.mended.face, face, self.bare_face().breaks_at()),
            self.answer(PushKind::Side, &trial.mended.side, side, self.bare_side().breaks_at()),
        ];
        let worst = after.iter().map(|side| side.risk).fold(0.0, f64::max);
        let verdict = verdict(worst);
        let reaches_goal = self.request.goal.is_reached_by(verdict);
        let degrees = self.along.y.atan2(self.along.x).to_degrees().rem_euclid(180.0);
        Insert {
            outline: self.local.outline(&trial.strip),
            after_piercing: self.local.wood_within(&trial.strip),
            grain_deg: degrees,
            depth_mm: trial.joint.depth,
            show_face_mm: self.request.thickness - trial.joint.depth,
            length_mm: trial.strip.length(),
            width_mm: trial.strip.width(),
            reaches_goal,
            shortfall: if reaches_goal { 1.0 } else { trial.shortfall.max(1.0) },
            after,
            verdict,
            remarks: self.remarks(trial),
        }
    }

    /// The least force, the least 5 % point and the greatest risk of all parts: they may be different
    /// parts.
    fn answer(&self, kind: PushKind, parts: &[Option<Weakest>; 4], push: f64, before: f64) -> InsertSide {
        let weakest = Mended::weakest(parts);
        let breaks_at_n = weakest.index.breaks_at();
        let (mut low_n, mut worst) = (f64::INFINITY, 0.0_f64);
        for part in parts.iter().flatten() {
            let v = variation(&part.index.shares, self.request.wood);
            low_n = low_n.min(low(part.index.breaks_at(), v));
            worst = worst.max(risk(push, part.index.breaks_at(), v));
        }
        InsertSide {
            kind,
            breaks_at_n,
            low_n,
            risk: worst,
            gain: breaks_at_n / before,
            gives_way: weakest.part,
        }
    }

    fn remarks(&self, trial: &Trial) -> Vec<InsertRemark> {
        let mut remarks = vec![InsertRemark::Estimate];
        if trial.weakens {
            remarks.push(InsertRemark::Weakens);
        }
        let Joint { depth, width, .. } = trial.joint;
        let reach = self.anchorage(&trial.joint);
        if reach.is_short() {
            let (reach_mm, needed_mm, asks) = (reach.there, reach.needed, reach.by.asks());
            remarks.push(InsertRemark::ShortReach { reach_mm, needed_mm, asks });
        }
        if self.at_rim {
            remarks.push(InsertRemark::AtRim);
        }
        if self.bow > self.width / 4.0 {
            remarks.push(InsertRemark::Curved { strays_mm: self.bow });
        }
        let (length_mm, mild_mm) = (trial.strip.length(), self.crossed(depth).mild_length());
        let trade = Trade::new([length_mm, width, depth]).word();
        if length_mm > mild_mm || trade > TradeWord::NoWorry {
            remarks.push(InsertRemark::LongJoint { length_mm, mild_mm, trade: trade.says() });
        }
        remarks
    }
}

#[cfg(test)]
mod tests {
    use super::super::goal::Goal;
    use super::super::mended::mended;
    use super::super::request::{FaceLoad, SideLoad};
    use super::super::site::RIM_MARGIN;
    use super::*;
    use crate::check::Verdict;
    use crate::strength::{FaceForces, SOUND_RISK, Section, SideForces, tests::cherry};
    use geo::Area;
    use geo_types::{Coord, LineString, Polygon, polygon};
    use proptest::prelude::*;
    use std::f64::consts::FRAC_PI_2;

    /// A piece, a run, its break lines.
    type Bridged = (Polygon<f64>, Vec<Coord<f64>>, Vec<[Coord<f64>; 2]>);

    /// A plate 200 x 140 with an opening 80 x 60, crossed by a bridge 8 wide up the middle: grain along x.
    fn bridged() -> Bridged {
        let plate = polygon![(x: 0., y: 0.), (x: 200., y: 0.), (x: 200., y: 140.), (x: 0., y: 140.)];
        let opening = |x0: f64, x1: f64| {
            LineString::from(vec![(x0, 40.0), (x0, 100.0), (x1, 100.0), (x1, 40.0), (x0, 40.0)])
        };
        let piece = Polygon::new(plate.exterior().clone(), vec![opening(60.0, 96.0), opening(104.0, 140.0)]);
        let run = vec![Coord { x: 100.0, y: 40.0 }, Coord { x: 100.0, y: 100.0 }];
        let line = |y| [Coord { x: 96.0, y }, Coord { x: 104.0, y }];
        (piece, run, vec![line(40.0), line(100.0)])
    }

    fn turned(point: Coord<f64>, angle: f64) -> Coord<f64> {
        let (sin, cos) = angle.sin_cos();
        Coord { x: point.x * cos - point.y * sin, y: point.x * sin + point.y * cos }
    }

    /// The insert of the bridge, everything turned by `angle`, for pushes of `push` with a lever of 15.
    fn of_bridge(angle: f64, thickness: f64, push: f64) -> (Polygon<f64>, Result<Insert, NoInsert>) {
        asked_of_bridge(angle, thickness, push, insert)
    }

    /// Anything asked of that bridge.
    fn asked_of_bridge<T>(
        angle: f64,
        thickness: f64,
        push: f64,
        ask: impl Fn(&InsertRequest<'_>) -> T,
    ) -> (Polygon<f64>, T) {
        use geo::MapCoords;
        let (piece, run, lines) = bridged();
        let piece = piece.map_coords(|point| turned(point, angle));
        let run: Vec<_> = run.into_iter().map(|point| turned(point, angle)).collect();
        let lines: Vec<_> = lines.into_iter().map(|line| line.map(|point| turned(point, angle))).collect();
        let section = Section { width: 8.0, thickness, crossing: FRAC_PI_2, turn: 1.0 };
        let wood = cherry();
        let request = InsertRequest {
            piece: &piece,
            thickness,
            grain: angle,
            wood: &wood,
            run: &run,
            held: [true, true],
            break_lines: [lines.as_slice(), &[]],
            face: FaceLoad { section, forces: FaceForces::of_push(0.5, 15.0, 0.0), push },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 0.5, 15.0, 0.0), push },
            goal: Goal::Sound,
            rim: RIM_MARGIN,
            narrowest: 0.0,
        };
        let found = ask(&request);
        (piece, found)
    }

    #[test]
    fn the_strip_runs_along_the_place_and_past_both_ends() {
        let (_, found) = of_bridge(0.0, 19.0, 80.0);
        let insert = found.expect("a bridge in a wide plate has room");
        assert!((insert.grain_deg - 90.0).abs() < 1e-9);
        assert!(insert.length_mm >= 60.0 + 2.0 * 1.2 * insert.depth_mm, "{insert:?}");
        assert!(insert.show_face_mm >= 19.0 / 3.0 && insert.depth_mm + insert.show_face_mm == 19.0);
        assert!(insert.width_mm >= 8.0 && insert.width_mm <= 16.0);
    }

    #[test]
    fn the_strip_stays_inside_the_rim() {
        use geo::{Euclidean, algorithm::Distance};
        let (piece, found) = of_bridge(0.4, 19.0, 80.0);
        let insert = found.expect("a bridge in a wide plate has room");
        let distance = Euclidean.distance(insert.outline.exterior(), piece.exterior());
        assert!(distance >= RIM_MARGIN - 1e-9, "{distance}");
    }

    #[test]
    fn piercing_leaves_the_strip_where_there_is_wood() {
        let (piece, found) = of_bridge(0.7, 19.0, 80.0);
        let insert = found.expect("a bridge in a wide plate has room");
        // By hand: the strip less what lies over the two openings beside the bridge.
        let over_openings = 60.0 * (insert.width_mm - 8.0);
        let left: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
        assert!((left - (insert.length_mm * insert.width_mm - over_openings)).abs() < 1e-4, "{left}");
        // And by another way: the whole piece clipped by the whole strip.
        use geo::BooleanOps;
        let whole = piece.intersection(&insert.outline).unsigned_area();
        assert!((left - whole).abs() < 1e-4, "{left} {whole}");
        assert!((insert.outline.unsigned_area() - insert.length_mm * insert.width_mm).abs() < 1e-6);
    }

    #[test]
    fn turning_the_drawing_turns_the_insert_and_nothing_else() {
        let (_, level) = of_bridge(0.0, 19.0, 80.0);
        let (_, turned) = of_bridge(1.1, 19.0, 80.0);
        let (level, turned) = (level.expect("room"), turned.expect("room"));
        for (a, b) in [
            (level.length_mm, turned.length_mm),
            (level.width_mm, turned.width_mm),
            (level.depth_mm, turned.depth_mm),
            (level.after[0].breaks_at_n, turned.after[0].breaks_at_n),
            (level.after[1].breaks_at_n, turned.after[1].breaks_at_n),
            ((level.grain_deg + 1.1_f64.to_degrees()).rem_euclid(180.0), turned.grain_deg),
        ] {
            assert!((a - b).abs() < 1e-6 * a.abs().max(1.0), "{a} {b}");
        }
    }

    #[test]
    fn a_goal_is_reached_with_the_least_wood_or_the_shortfall_said() {
        let (_, easy) = of_bridge(0.0, 19.0, 80.0);
        let (_, hard) = of_bridge(0.0, 19.0, 400.0);
        let (easy, hard) = (easy.expect("room"), hard.expect("room"));
        assert!(easy.reaches_goal && easy.verdict == Verdict::Sound && easy.shortfall == 1.0, "{easy:?}");
        assert!(!hard.reaches_goal && hard.verdict != Verdict::Sound && hard.shortfall > 1.0, "{hard:?}");
        let wood = |insert: &Insert| insert.length_mm * insert.width_mm * insert.depth_mm;
        assert!(wood(&easy) < wood(&hard));
        // The shortfall is what it says: with that much less push, the same strip is sound.
        let side = hard.after.iter().map(|side| side.breaks_at_n).fold(f64::INFINITY, f64::min);
        let v = variation(&crate::strength::Shares { across: 1.0, ..Default::default() }, &cherry());
        assert!(risk(400.0 / hard.shortfall, side, v) < SOUND_RISK * 1.0001);
    }

    /// A place on which a solid model found what gives way first with an insert to be so many times as weak.
    fn found_weaker(insert: &Insert, doubt: f64) -> Place {
        use crate::check::{Family, Part, Solved};
        use crate::strength::Traction;
        let (piece, _, _) = bridged();
        let mut place = crate::mend::sample::Case::of(piece).found().places.remove(0);
        for side in &insert.after {
            let part = Part::ALL.into_iter().find(|part| part.words() == side.gives_way).expect("a part");
            place.push_mut(side.kind).solved = Some(Solved {
                family: Family::Grain,
                along: "its start",
                through: "the face",
                traction: Traction::default(),
                same_forces_n: None,
                from: None,
                pad_at: None,
                factors: Vec::new(),
                part,
                parts: vec![(part, side.breaks_at_n / doubt)],
                after_crack: None,
            });
        }
        place
    }

    #[test]
    fn a_strip_that_was_found_weaker_is_sized_once_more_by_what_was_found() {
        let wood = |insert: &Insert| insert.length_mm * insert.width_mm * insert.depth_mm;
        let sized = |doubt: f64| {
            let ask = |request: &InsertRequest<'_>| {
                let was = insert(request).expect("a bridge in a wide plate has room");
                let next = strip_that_would_do(request, &was, &found_weaker(&was, doubt));
                (wood(&was), next.as_ref().map(wood))
            };
            asked_of_bridge(0.0, 19.0, 80.0, ask).1
        };
        let (was, more) = sized(1.45);
        assert!(more.is_some_and(|more| more > was), "{was} {more:?}");
        // What was found a good deal stronger may be smaller; what is hopeless is left alone.
        assert!(sized(0.7).1.is_some_and(|less| less <= was), "{was}");
        assert_eq!(sized(9.0).1, None);
    }

    #[test]
    fn a_sound_place_is_left_alone() {
        assert_eq!(of_bridge(0.0, 19.0, 45.0).1, Err(NoInsert::NotNeeded));
    }

    #[test]
    fn a_patch_that_reaches_its_goal_weakens_neither_push() {
        for push in [70.0, 80.0, 100.0, 120.0] {
            let (_, found) = of_bridge(0.0, 19.0, push);
            let insert = found.expect("a bridge in a wide plate has room");
            assert!(insert.after.iter().all(|side| side.gain >= 1.0), "{push}: {:?}", insert.after);
        }
    }

    #[test]
    fn a_thin_board_gets_no_insert_and_hears_why() {
        let (_, found) = of_bridge(0.0, 3.5, 45.0);
        let reason = found.expect_err("3.5 mm leave half a millimetre");
        assert_eq!(reason, NoInsert::TooThin { thickness: 3.5, show_face: 3.0 });
        assert!(reason.to_string().contains("3.5 mm"));
    }

    fn of_arm(block: f64) -> Result<Insert, NoInsert> {
        of_pushed_arm(block, [45.0; 2])
    }

    /// An arm 8 wide and 20 long that stands on a block 60 wide and is rim all round, pushed so hard on its face and on a side.
    fn of_pushed_arm(block: f64, [face, side]: [f64; 2]) -> Result<Insert, NoInsert> {
        let piece = polygon![
            (x: 0., y: 0.), (x: 60., y: 0.), (x: 60., y: block), (x: 34., y: block), (x: 34., y: block + 20.),
            (x: 26., y: block + 20.), (x: 26., y: block), (x: 0., y: block),
        ];
        let section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };
        let wood = cherry();
        insert(&InsertRequest {
            piece: &piece,
            thickness: 19.0,
            grain: 0.0,
            wood: &wood,
            run: &[Coord { x: 30.0, y: block }, Coord { x: 30.0, y: block + 16.0 }],
            held: [true, false],
            break_lines: [[[Coord { x: 26.0, y: block }, Coord { x: 34.0, y: block }]].as_slice(), &[]],
            face: FaceLoad { section, forces: FaceForces::of_push(1.0, 20.0, 0.0), push: face },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 1.0, 20.0, 0.0), push: side },
            goal: Goal::Sound,
            rim: RIM_MARGIN,
            narrowest: 0.0,
        })
    }

    #[test]
    fn an_arm_at_the_rim_is_mended_to_its_very_tip_and_says_that_it_shows() {
        let insert = of_arm(40.0).expect("a block 40 deep has room");
        let top = insert.outline.exterior().coords().map(|c| c.y).fold(f64::NEG_INFINITY, f64::max);
        let foot = insert.outline.exterior().coords().map(|c| c.y).fold(f64::INFINITY, f64::min);
        assert!((top - 60.0).abs() < 1e-9, "{top}");
        assert!(foot >= RIM_MARGIN && foot <= 40.0 - 1.2 * insert.depth_mm, "{foot}");
        assert!(insert.remarks.contains(&InsertRemark::AtRim));
    }

    #[test]
    fn where_the_held_wood_is_shallow_there_is_no_room() {
        assert!(matches!(of_arm(9.0), Err(NoInsert::NoRoom { .. })), "{:?}", of_arm(9.0));
    }

    /// The insert of that arm, pushed so hard, and how far it reaches past the root.
    fn reaching(block: f64, pushes: [f64; 2]) -> (Insert, f64) {
        let found = of_pushed_arm(block, pushes).expect("the block has room");
        let foot = found.outline.exterior().coords().map(|corner| corner.y).fold(f64::INFINITY, f64::min);
        (found, block - foot)
    }

    fn is_short(insert: &Insert) -> bool {
        insert.remarks.iter().any(|remark| matches!(remark, InsertRemark::ShortReach { .. }))
    }

    /// The least that the trade leaves is two thicknesses, so much does every one that is good enough reach at the least, and none farther
    /// than the block goes.
    #[test]
    fn an_insert_that_is_good_enough_reaches_as_far_as_peel_and_shear_ask_for() {
        let mut good = 0;
        for push in [25.0, 30.0, 35.0, 40.0, 45.0, 50.0] {
            let (insert, reach) = reaching(40.0, [push; 2]);
            assert!(reach <= 37.0 + 1e-6, "{push} {reach}");
            if insert.reaches_goal {
                good += 1;
                assert!(
                    !is_short(&insert) && reach > 2.0 * insert.depth_mm - 0.5,
                    "{push} {reach} {insert:?}"
                );
            }
        }
        assert!(good >= 3, "{good}");
    }

    /// By hand: 13 mm of the block and 3 left to its edge are 10 of reach, where two thicknesses of the shallowest, a third of the board, are 12.67.
    /// One that is good enough all the same is taken, as far as it can reach, and says that it is short.
    #[test]
    fn where_there_is_no_room_an_insert_reaches_less_far_and_says_so() {
        let (insert, reach) = reaching(13.0, [20.0, 25.0]);
        assert!(insert.reaches_goal && is_short(&insert) && reach <= 10.0 + 1e-6, "{reach} {insert:?}");
    }

    /// A drawer label 76 x 44 x 6.4 with a window 57 x 16: its short sides are bars 9.5 wide at the rim.
    #[test]
    fn a_bar_at_the_rim_gets_a_strip_that_is_cut_flush() {
        let rim = LineString::from(vec![(0., 0.), (76., 0.), (76., 44.), (0., 44.), (0., 0.)]);
        let window = LineString::from(vec![(9.5, 14.), (9.5, 30.), (66.5, 30.), (66.5, 14.), (9.5, 14.)]);
        let piece = Polygon::new(rim, vec![window]);
        let section = Section { width: 9.5, thickness: 6.4, crossing: FRAC_PI_2, turn: 1.0 };
        let wood = cherry();
        let found = insert(&InsertRequest {
            piece: &piece,
            thickness: 6.4,
            grain: 0.0,
            wood: &wood,
            run: &[Coord { x: 4.75, y: 14.0 }, Coord { x: 4.75, y: 30.0 }],
            held: [true, true],
            break_lines: [[[Coord { x: 0.0, y: 14.0 }, Coord { x: 9.5, y: 14.0 }]].as_slice(), &[]],
            face: FaceLoad { section, forces: FaceForces::of_push(0.7, 6.0, 0.0), push: 45.0 },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 0.7, 6.0, 0.0), push: 45.0 },
            goal: Goal::Sound,
            rim: RIM_MARGIN,
            narrowest: 0.0,
        });
        let insert = found.expect("14 mm of rail leave a reach of 10");
        let ends: Vec<f64> = insert.outline.exterior().coords().map(|c| c.y).collect();
        assert!(ends.iter().copied().fold(f64::INFINITY, f64::min) >= RIM_MARGIN);
        assert!(ends.iter().copied().fold(f64::NEG_INFINITY, f64::max) <= 44.0 - RIM_MARGIN);
        let left: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
        assert!(
            left < insert.outline.unsigned_area() + 1e-9 && left >= 9.5 * insert.length_mm - 1e-6,
            "{left}"
        );
        assert!(insert.after[0].gain > 1.0 && insert.remarks.contains(&InsertRemark::AtRim));
    }

    proptest! {
        #[test]
        fn stronger_wood_never_lowers_the_mended_force(
            which in 0_usize..4, times in 1.0..3.0, depth in 2.0..9.5, width in 8.0..16.0, reach in 3.0..40.0,
            crossing in 0.5..FRAC_PI_2,
        ) {
            let wood = cherry();
            let mut stronger = wood.clone();
            *[
                &mut stronger.tension_across,
                &mut stronger.shear_along,
                &mut stronger.rolling_shear,
                &mut stronger.bending,
            ][which] *= times;
            let section = Section { width: 8.0, thickness: 19.0, crossing, turn: 1.0 };
            let (face, side) =
                (FaceForces::of_push(1.0, 20.0, 3.0), SideForces::of_push(0.3, 1.0, 20.0, 0.0));
            let joint = Joint { depth, width, reach, wood_at_end: Some(30.0) };
            let of = |wood| mended((&section, &face), (&section, &side), &joint, wood);
            let (before, after) = (of(&wood), of(&stronger));
            for (before, after) in [(before.face, after.face), (before.side, after.side)] {
                let [before, after] = [before, after].map(|parts| Mended::weakest(&parts).index.value);
                prop_assert!(after <= before);
            }
        }
    }

    #[test]
    fn a_place_that_curves_back_gets_no_straight_strip() {
        let (piece, _, _) = bridged();
        let section = Section { width: 8.0, thickness: 19.0, crossing: FRAC_PI_2, turn: 1.0 };
        let wood = cherry();
        let request = InsertRequest {
            piece: &piece,
            thickness: 19.0,
            grain: 0.0,
            wood: &wood,
            run: &[Coord { x: 100.0, y: 40.0 }, Coord { x: 100.0, y: 40.0 }],
            held: [true, true],
            break_lines: [&[], &[]],
            face: FaceLoad { section, forces: FaceForces::default(), push: 45.0 },
            side: SideLoad { section, forces: SideForces::default(), push: 45.0 },
            goal: Goal::Sound,
            rim: RIM_MARGIN,
            narrowest: 0.0,
        };
        assert_eq!(insert(&request), Err(NoInsert::NoDirection));
    }
}
