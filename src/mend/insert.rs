//! A cross-grain insert: a strip with its grain along a place's run, glued in a pocket in the back.
//!
//! The strip runs the whole length of the place and past its ends into the held wood. Depth, width and
//! reach are searched within the ranges the trade uses; the least wood that makes the place sound wins,
//! else the strongest. Before any piercing it is a plain rectangle; what the piercing leaves of it is the
//! part that is wood.

use super::mended::{Mended, Weakest};
use super::site::{LEAST_REACH, REACHES, RIM_MARGIN, Site, Trial, WIDTHS, usual_reach};
use crate::check::{Finding, Forces, Form, Insert, InsertSide, Place, Push, PushKind, Pushes, Verdict};
use crate::shape::Shape;
use crate::strength::{FRAGILE_RISK, FaceForces, SOUND_RISK, Section, SideForces, low, risk, variation};
use crate::wood::{Board, Mechanics};
use geo::Intersects;
use geo_types::{Coord, Polygon};

/// Said of every strip, and of one that trades one push for the other: both of the closed form's numbers.
const ESTIMATE: &str = "The strength with the insert is an estimate (transformed section, reduced as our own solid models showed), not a \
                        test; glue one up in scrap of the same board and push it.";
const WEAKENS: &str = "One of the two pushes breaks the mended place sooner than before; see its gain, and weigh it against the other.";
/// Said of a place along the grain that is not sound.
const ALONG: &str =
    "No insert: it runs along the grain already; make it wider or thicker, or put a backer behind it.";
/// Least show face: this much, and a third of the thickness, in mm: common practice.
const LEAST_SHOW_FACE: f64 = 3.0;
/// A strip that does not make a place sound is worth its glue from this gain on: our own rule.
const LEAST_GAIN: f64 = 1.05;
/// A thinner insert is veneer, in mm: our own rule.
const LEAST_DEPTH: f64 = 1.0;
/// Depths tried, as parts of the thickness: common practice, a third to a half.
const DEPTHS: [f64; 3] = [1.0 / 3.0, 5.0 / 12.0, 0.5];
/// Of so many of the best, one that lacks up to so many times as much may be taken for what it leaves alone: our own rule.
const ALTERNATIVES: usize = 8;
const NEARLY_AS_STRONG: f64 = 1.05;

/// A place's worst section under a face push of 1 N, and the push it is to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceLoad {
    /// The section.
    pub section: Section,
    /// Forces on it under a push of 1 N.
    pub forces: FaceForces,
    /// The push to bear, in N.
    pub push: f64,
}

/// A place's worst section under a side push of 1 N, and the push it is to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideLoad {
    /// The section.
    pub section: Section,
    /// Forces on it under a push of 1 N.
    pub forces: SideForces,
    /// The push to bear, in N.
    pub push: f64,
}

/// What an insert is asked for.
#[derive(Clone, Copy, Debug)]
pub struct InsertRequest<'a> {
    /// The whole piece: outer ring and openings, in mm, seen from the face.
    pub piece: &'a Polygon<f64>,
    /// The board's thickness, in mm.
    pub thickness: f64,
    /// The board's grain, radians anticlockwise from +x.
    pub grain: f64,
    /// The board's wood; the insert is of the same.
    pub wood: &'a Mechanics,
    /// The place's skeleton from end to end.
    pub run: &'a [Coord<f64>],
    /// Which end of the run stands in wood that stays: both for a bridge, the root alone for an arm.
    pub held: [bool; 2],
    /// The lines along which the place breaks.
    pub break_lines: &'a [[Coord<f64>; 2]],
    /// The face push.
    pub face: FaceLoad,
    /// The side push.
    pub side: SideLoad,
    /// Wood left between the strip and the outline, in mm; a place at the outline sends its strip out over it all the same.
    pub rim: f64,
}

/// Why a place gets no insert.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NoInsert {
    /// Less than 1 mm would be left for the insert.
    #[error(
        "the board is {thickness:.1} mm thick, too thin for an insert behind a show face of \
         {show_face:.1} mm; try a thicker board or a backer"
    )]
    TooThin {
        /// The board's thickness, in mm.
        thickness: f64,
        /// The show face it has to keep, in mm.
        show_face: f64,
    },
    /// No strip reaches far enough past the break lines.
    #[error(
        "there is no room for an insert: it has to reach {reach:.0} mm past the break line and stay \
         {rim:.0} mm inside the rim; try a backer or a wider place"
    )]
    NoRoom {
        /// The least reach of the thinnest insert, in mm.
        reach: f64,
        /// The margin it has to keep, in mm.
        rim: f64,
    },
    /// The place bears both pushes as it is.
    #[error("the place is sound as it is")]
    NotNeeded,
    /// The best strip leaves the place hardly stronger than it is.
    #[error(
        "none that fits would help, as the {gives_way} would give way about as soon; try a backer or a wider place"
    )]
    NoGain {
        /// What would break first.
        gives_way: &'static str,
    },
    /// The run comes back to where it starts.
    #[error("the place curves back on itself, so no straight strip follows it; try a backer")]
    NoDirection,
}

/// How a strip is found for a place.
type Found = fn(&InsertRequest<'_>) -> Result<Insert, NoInsert>;

/// Gives every place of a piece that is not sound its insert; where none fits, a remark says why.
pub fn first_remedies(
    finding: &mut Finding,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
) {
    remedies(finding, piece, board, wood, pushes, RIM_MARGIN, insert);
}

/// The same, but a strip that fits is kept though the closed form sees no gain in it: where shear or a corner governs, the solid
/// model has to say.
pub(super) fn strips_that_fit(
    finding: &mut Finding,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    rim: f64,
) {
    remedies(finding, piece, board, wood, pushes, rim, |request| Ok(Fitting::new(request)?.best()));
}

fn remedies(
    finding: &mut Finding,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    rim: f64,
    found: Found,
) {
    for place in &mut finding.places {
        let bare = place.clone();
        with_request(&bare, piece, board, wood, pushes, rim, |request| give(place, request, found));
    }
    tell_overlaps(finding);
}

/// Asks something about the strips of a place; nothing where its forces are not of the usual kind.
fn with_request<T>(
    place: &Place,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    rim: f64,
    asked: impl FnOnce(&InsertRequest<'_>) -> T,
) -> Option<T> {
    let (Forces::Face(face), Forces::Side(side)) = (as_solved(&place.face), as_solved(&place.side)) else {
        return None;
    };
    let lines: Vec<[Coord<f64>; 2]> =
        place.face.break_line.iter().chain(&place.side.break_line).copied().collect();
    Some(asked(&InsertRequest {
        piece: piece.polygon(),
        thickness: board.thickness.as_mm(),
        grain: board.grain.as_rad(),
        wood,
        run: &place.run,
        held: place.held,
        break_lines: &lines,
        face: FaceLoad { section: place.face.section, forces: face, push: pushes.face.as_n() },
        side: SideLoad { section: place.side.section, forces: side, push: pushes.side.as_n() },
        rim,
    }))
}

/// The forces of a push of 1 N. The strength formulas are the closed form's; the forces are raised or lowered so that the
/// place as it is breaks where the solid model says.
pub(super) fn as_solved(push: &Push) -> Forces {
    push.forces.times(push.closed_form_n / push.breaks_at_n)
}

/// What a place bears with a strip of some depth, by the closed form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtDepth {
    /// The strip's depth, in mm.
    pub depth_mm: f64,
    /// Show face left, in mm.
    pub show_face_mm: f64,
    /// Whether that is as much as the trade leaves: a third of the thickness, at least 3 mm.
    pub usual: bool,
    /// The least push on the face and on a side that breaks the mended place, in N; nothing where the strip is too short
    /// for its depth.
    pub bears_n: Option<[f64; 2]>,
}

/// From this part of the thickness to that one, in twelfths, a strip's depth is traded off: our own rule.
const TWELFTHS: std::ops::RangeInclusive<u8> = 2..=9;

/// What a place bears with a strip so wide and of such a reach, from shallow to deep.
pub(super) fn by_depth(
    place: &Place,
    piece: &Shape,
    board: &Board,
    wood: &Mechanics,
    pushes: &Pushes,
    (width, reach, own_depth): (f64, f64, f64),
) -> Vec<AtDepth> {
    let thickness = board.thickness.as_mm();
    let mut depths: Vec<f64> = TWELFTHS.map(|k| f64::from(k) / 12.0 * thickness).collect();
    depths.push(own_depth);
    depths.retain(|depth| *depth >= LEAST_DEPTH);
    depths.sort_by(f64::total_cmp);
    depths.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let least = least_show_face(thickness);
    let found = with_request(place, piece, board, wood, pushes, RIM_MARGIN, |request| {
        let site = Site::new(request).ok()?;
        let fit = site.fit(width, reach)?;
        let rows = depths.iter().map(|&depth| {
            let bears = |parts: &[Option<Weakest>; 4]| Mended::weakest(parts).index.breaks_at();
            let trial = site.trial(&fit, depth);
            AtDepth {
                depth_mm: depth,
                show_face_mm: thickness - depth,
                usual: thickness - depth >= least - 1e-9,
                bears_n: trial.map(|trial| [bears(&trial.mended.face), bears(&trial.mended.side)]),
            }
        });
        Some(rows.collect())
    });
    found.flatten().unwrap_or_default()
}

fn least_show_face(thickness: f64) -> f64 {
    (thickness / 3.0).max(LEAST_SHOW_FACE)
}

/// Strips that overlap want to be one; each was found without the others.
fn tell_overlaps(finding: &mut Finding) {
    let strips =
        finding.places.iter().filter_map(|place| Some((place.id, place.insert.as_ref()?.outline.clone())));
    let strips: Vec<_> = strips.collect();
    for place in &mut finding.places {
        let Some(insert) = &mut place.insert else { continue };
        let others = strips.iter().filter(|(id, other)| *id != place.id && other.intersects(&insert.outline));
        let ids: Vec<String> = others.map(|(id, _)| id.to_string()).collect();
        match ids.split_last() {
            None => {}
            Some((one, [])) => insert.remarks.push(format!(
                "It overlaps the insert of place {one}: cut one strip that serves both, or leave one out."
            )),
            Some((last, before)) => insert.remarks.push(format!(
                "It overlaps the inserts of places {} and {last}: cut strips that serve several, or leave some out.",
                before.join(", ")
            )),
        }
    }
}

/// Gives a place its insert where it is not sound; where none fits, a remark says why.
pub fn first_remedy(place: &mut Place, request: &InsertRequest<'_>) {
    give(place, request, insert);
}

fn give(place: &mut Place, request: &InsertRequest<'_>, found: Found) {
    if place.verdict == Verdict::Sound {
        return;
    }
    if place.form == Form::Along {
        place.remarks.push(ALONG.to_owned());
        return;
    }
    match found(request) {
        Ok(strip) => place.insert = Some(strip),
        Err(reason) => place.remarks.push(format!("No insert: {reason}.")),
    }
}

/// The insert with the least wood that makes a place sound, or else the one that makes it strongest.
///
/// # Errors
///
/// See [`NoInsert`]: the place sound as it is, the board too thin, no room, no straight strip along the
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
        return Err(NoInsert::NoGain { gives_way: fitting.site.gives_way(first) });
    }
    Ok(fitting.best())
}

/// Whether a remark on a strip speaks of the closed form's numbers, which no longer hold once it is proved.
pub(super) fn is_of_estimate(remark: &str) -> bool {
    [ESTIMATE, WEAKENS].contains(&remark)
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
        let usual = |&depth: &f64| REACHES.map(|part| part * usual_reach(depth));
        let least = depths.iter().map(|depth| LEAST_REACH * depth);
        let mut reaches: Vec<f64> = depths.iter().flat_map(usual).chain(least).collect();
        reaches.sort_by(f64::total_cmp);
        reaches.dedup();
        let mut trials = Vec::new();
        for times in WIDTHS {
            for &reach in &reaches {
                if let Some(fit) = site.fit(times * site.width + site.bow, reach) {
                    trials.extend(depths.iter().filter_map(|&depth| site.trial(&fit, depth)));
                }
            }
        }
        trials.sort_by(Trial::better_first);
        if trials.is_empty() {
            return Err(NoInsert::NoRoom { reach: LEAST_REACH * depths[0], rim: request.rim });
        }
        Ok(Self { site, bare, trials })
    }

    /// A strip that also takes a bite out of the wood next door is second choice, if nearly as strong ones do not.
    fn best(&self) -> Insert {
        let first = &self.trials[0];
        let alone = self.trials.iter().take(ALTERNATIVES).find(|trial| {
            trial.shortfall.max(1.0) <= first.shortfall.max(1.0) * NEARLY_AS_STRONG
                && trial.weakens == first.weakens
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

    fn describe(&self, trial: &Trial) -> Insert {
        let (face, side) = (self.request.face.push, self.request.side.push);
        let after = vec![
            self.answer(PushKind::Face, &trial.mended.face, face, self.bare_face().breaks_at()),
            self.answer(PushKind::Side, &trial.mended.side, side, self.bare_side().breaks_at()),
        ];
        let worst = after.iter().map(|side| side.risk).fold(0.0, f64::max);
        let verdict = if worst < SOUND_RISK {
            Verdict::Sound
        } else if worst <= FRAGILE_RISK {
            Verdict::Careful
        } else {
            Verdict::Fragile
        };
        let degrees = self.along.y.atan2(self.along.x).to_degrees().rem_euclid(180.0);
        Insert {
            outline: self.local.outline(&trial.strip),
            after_piercing: self.local.wood_within(&trial.strip),
            grain_deg: degrees,
            depth_mm: trial.joint.depth,
            show_face_mm: self.request.thickness - trial.joint.depth,
            length_mm: trial.strip.length(),
            width_mm: trial.strip.width(),
            reaches_goal: verdict == Verdict::Sound,
            shortfall: if verdict == Verdict::Sound { 1.0 } else { trial.shortfall.max(1.0) },
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

    fn remarks(&self, trial: &Trial) -> Vec<String> {
        let mut remarks = vec![ESTIMATE.to_owned()];
        if trial.weakens {
            remarks.push(WEAKENS.to_owned());
        }
        let usual = usual_reach(trial.joint.depth);
        if trial.joint.reach < usual * (1.0 - 1e-9) {
            remarks.push(format!(
                "The strip reaches {:.0} mm past the break line where {:.0} mm is usual.",
                trial.joint.reach, usual
            ));
        }
        if self.at_rim {
            remarks.push(
                "The place lies at the outer rim, so the strip runs out there: glue it in before the \
                 outline is cut; its edge will show."
                    .to_owned(),
            );
        }
        if self.bow > self.width / 4.0 {
            remarks.push(format!(
                "The place is curved: it strays {:.0} mm from a straight strip, whose grain follows it \
                 only on the whole.",
                self.bow
            ));
        }
        let crossing = trial.strip.length() * self.sin;
        if crossing > 100.0 {
            remarks.push(format!(
                "The strip crosses {crossing:.0} mm of the board's grain; over 100 mm avoid it, wood moves \
                 (common practice): use two short strips or a backer."
            ));
        } else if crossing > 50.0 {
            remarks.push(format!(
                "The strip crosses {crossing:.0} mm of the board's grain; from 50 to 100 mm think of how \
                 wet or dry the piece will live (common practice)."
            ));
        }
        remarks
    }
}

#[cfg(test)]
mod tests {
    use super::super::mended::{Joint, mended};
    use super::*;
    use crate::strength::tests::cherry;
    use geo::Area;
    use geo_types::{LineString, polygon};
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
            break_lines: &lines,
            face: FaceLoad { section, forces: FaceForces::of_push(0.5, 15.0, 0.0), push },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 0.5, 15.0, 0.0), push },
            rim: RIM_MARGIN,
        };
        let found = insert(&request);
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

    /// An arm 8 wide and 20 long that stands on a block 60 x 30 and is rim all round.
    fn of_arm(block: f64) -> Result<Insert, NoInsert> {
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
            break_lines: &[[Coord { x: 26.0, y: block }, Coord { x: 34.0, y: block }]],
            face: FaceLoad { section, forces: FaceForces::of_push(1.0, 20.0, 0.0), push: 45.0 },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 1.0, 20.0, 0.0), push: 45.0 },
            rim: RIM_MARGIN,
        })
    }

    #[test]
    fn an_arm_at_the_rim_is_mended_to_its_very_tip_and_says_that_it_shows() {
        let insert = of_arm(40.0).expect("a block 40 deep has room");
        let top = insert.outline.exterior().coords().map(|c| c.y).fold(f64::NEG_INFINITY, f64::max);
        let foot = insert.outline.exterior().coords().map(|c| c.y).fold(f64::INFINITY, f64::min);
        assert!((top - 60.0).abs() < 1e-9, "{top}");
        assert!(foot >= RIM_MARGIN && foot <= 40.0 - 1.2 * insert.depth_mm, "{foot}");
        assert!(insert.remarks.iter().any(|remark| remark.contains("its edge will show")));
    }

    #[test]
    fn where_the_held_wood_is_shallow_there_is_no_room() {
        assert!(matches!(of_arm(9.0), Err(NoInsert::NoRoom { .. })), "{:?}", of_arm(9.0));
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
            break_lines: &[[Coord { x: 0.0, y: 14.0 }, Coord { x: 9.5, y: 14.0 }]],
            face: FaceLoad { section, forces: FaceForces::of_push(0.7, 6.0, 0.0), push: 45.0 },
            side: SideLoad { section, forces: SideForces::of_push(0.0, 0.7, 6.0, 0.0), push: 45.0 },
            rim: RIM_MARGIN,
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
        assert!(insert.after[0].gain > 1.0 && insert.remarks.iter().any(|r| r.contains("outer rim")));
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
            break_lines: &[],
            face: FaceLoad { section, forces: FaceForces::default(), push: 45.0 },
            side: SideLoad { section, forces: SideForces::default(), push: 45.0 },
            rim: RIM_MARGIN,
        };
        assert_eq!(insert(&request), Err(NoInsert::NoDirection));
    }
}
