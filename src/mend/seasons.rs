//! What the seasons do to a glued remedy: to each of its joints, and to the piece as a whole.

use std::f64::consts::FRAC_PI_2;

use geo_types::Coord;

use crate::check::{Finding, Insert, Place};
use crate::season::{Anchorage, Held, Layer, Moves, Swing, Trade, Word, joint_strength};
use crate::shape::plane::{direction, dot, left};
use crate::strength::{Traction, splitting};
use crate::wood::Mechanics;

use super::crossed::{Crossed, layer};
use super::cup::Cup;
use super::depths::{AtDepth, by_depth};
use super::ground::Ground;
use super::local::{Axes, Box, Local};
use super::patient::Patient;
use super::remedy::{Change, Ply, Strip};
use super::request::Whole;
use super::site::roots;

/// What the seasons do to a glued remedy.
#[derive(Clone, Debug, PartialEq)]
pub struct Seasons {
    /// A joint a strip or board, or the one joint of a blank of layers.
    pub joints: Vec<GluedJoint>,
    /// How the piece warps.
    pub cup: Cup,
    /// The worst of the joints.
    pub word: Word,
}

/// A joint with its two layers.
#[derive(Clone, Debug, PartialEq)]
pub struct GluedJoint {
    /// The places it serves, by number; none for a blank of layers.
    pub places: Vec<usize>,
    /// Each layer by name, held back by the other.
    pub layers: [(&'static str, Held); 2],
    /// How far a strip or board reaches past its break lines; nothing for a blank of layers, nor where no end is held.
    pub anchorage: Option<Anchorage>,
    /// A strip or board by the trade's rules; nothing for a blank of layers.
    pub trade: Option<Trade>,
    /// What other depths of an insert would do at the first of its places; nothing of what is no insert.
    pub depths: Option<Result<Vec<DepthCup>, NoDepths>>,
}

/// A depth of a strip: what the place bears then, and how the piece cups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthCup {
    /// Strength and show face.
    pub at: AtDepth,
    /// How far the piece cups for this strip alone, in mm.
    pub cup_mm: f64,
}

/// Why it is not told what other depths of a strip would do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoDepths {
    /// Neither end of its place stands in wood that is held.
    #[error("it is held at no end, so no reach is to be traded off against its depth")]
    NoEnd,
    /// For the place alone a strip of this size would have no room: it serves others too, or is cut to what wood there is.
    #[error(
        "the closed form knows one strip straight along one place, and for this place alone one of its size has no room"
    )]
    NoRoom,
}

/// What a year does to the glued remedies of a piece.
///
/// Joints by shear lag and strength, see [`Held`]; strips' reach see [`Anchorage`]; the warp by laminate theory
/// ([`Laminate`](crate::season::Laminate)), no creep counted. A strip in its pocket bends the wood beside it along, in proportion
/// to its part of the wood in the band it lies in, as far as the stress has built up along it; the rest of the piece stays straight
/// on either side. Strips side by side bend their band as one; those one after another add up. The walls of a pocket count
/// nothing: the strip's ends are end grain.
pub(super) struct Glued<'a> {
    pub(super) patient: &'a Patient<'a>,
    pub(super) ground: Ground<'a>,
    pub(super) wood: &'a Mechanics,
    /// The largest free strains of either season along and across the grain, with their sign.
    pub(super) dry: [f64; 2],
    pub(super) damp: [f64; 2],
    /// How much wood inserts leave to the outline, in mm.
    rim: f64,
}

impl<'a> Glued<'a> {
    pub(super) fn new(patient: &'a Patient<'a>, moves: &Moves, swing: &Swing, rim: f64) -> Self {
        let [dry, damp] = [swing.drying(), swing.damping()].map(|change| moves.strain(change));
        Self { patient, ground: Ground::new(patient.shape), wood: patient.mechanics, dry, damp, rim }
    }

    /// What the year does to a piece that was changed so; nothing where nothing is glued.
    pub(super) fn seasons(&self, before: &Finding, change: &Change) -> Option<Seasons> {
        let (joints, cup) = match change {
            Change::Inserts(strips) => {
                let whole = self.thickness();
                let joint = |strip: &Strip| GluedJoint {
                    depths: self.depths_at_first(strip, before),
                    ..self.strip(strip, whole, ["show face", "insert"], before)
                };
                (strips.iter().map(joint).collect(), self.cup_of_strips(strips, whole)?)
            }
            Change::Backers(strips) => {
                let whole = self.thickness() + strips.first()?.insert.depth_mm;
                let joint = |strip| self.strip(strip, whole, ["board", "backer"], before);
                (strips.iter().map(joint).collect(), self.cup_of_strips(strips, whole)?)
            }
            Change::Layers { plies } => (vec![self.blank(plies)?], self.cup_of_blank(plies)),
            _ => return None,
        };
        let word = joints.iter().flat_map(|joint| &joint.layers).map(|(_, held)| held.word).max()?;
        Some(Seasons { joints, cup, word })
    }

    /// What one layer would move more across its grain than another that crosses it: when it dries, when it swells.
    fn mismatch(&self, crossing: f64) -> [f64; 2] {
        let apart = crossing.sin().powi(2);
        [self.dry, self.damp].map(|[along, across]| (across - along).abs() * apart)
    }

    /// What a layer bears when it is pulled at an angle to its own grain, on the plane that its fibres lie in, and what a
    /// joint bears in shear.
    fn strengths(&self, pulled: f64) -> [f64; 2] {
        let (sin, cos) = pulled.sin_cos();
        let traction = Traction { normal: sin * sin, along: sin * cos, through: 0.0 };
        [splitting(traction, self.wood).breaks_at(), joint_strength(self.wood)]
    }

    pub(super) fn thickness(&self) -> f64 {
        self.patient.board.thickness.as_mm()
    }

    pub(super) fn grain(&self) -> Coord<f64> {
        direction(self.patient.board.grain.as_rad())
    }

    /// How wide the piece is in a direction.
    pub(super) fn width(&self, way: Coord<f64>) -> f64 {
        let [low, high] = self.ground.extent(way);
        high - low
    }

    /// Between the board's grain and another, 0 to a right angle.
    fn crossing(&self, grain_deg: f64) -> f64 {
        let apart = (grain_deg - self.patient.board.grain.as_deg()).rem_euclid(180.0);
        apart.min(180.0 - apart).to_radians()
    }

    /// A strip with the wood in front of it, so thick together.
    pub(super) fn crossed(&self, insert: &Insert, whole: f64) -> Crossed<'a> {
        Crossed::new(self.wood, whole, insert.depth_mm, self.crossing(insert.grain_deg))
    }

    fn served<'b>(strip: &'b Strip, before: &'b Finding) -> impl Iterator<Item = &'b Place> + Clone {
        before.places.iter().filter(|place| strip.places.contains(&place.id))
    }

    /// A strip and what lies in front of it, both so thick together, by their names.
    fn strip(&self, strip: &Strip, thickness: f64, names: [&'static str; 2], before: &Finding) -> GluedJoint {
        let insert = &strip.insert;
        let (crossing, crossed) = (self.crossing(insert.grain_deg), self.crossed(insert, thickness));
        let mismatch = self.mismatch(crossing);
        let held = |[layer, holding]: [Layer; 2], length: f64, pulled: f64| {
            Held::new(layer, holding, length, mismatch, self.strengths(pulled))
        };
        let layers = [
            (names[0], held(crossed.along(), insert.length_mm, crossing)),
            (names[1], held(crossed.square(), insert.width_mm, FRAC_PI_2)),
        ];
        let whole = Whole::of(self.patient, self.rim);
        let served = Self::served(strip, before);
        let there = served.clone().flat_map(|place| reaches(place, insert)).flatten().min_by(f64::total_cmp);
        let loads: Vec<_> = served.filter_map(|place| Some(whole.request(place)?.face)).collect();
        GluedJoint {
            places: strip.places.clone(),
            layers,
            anchorage: there
                .map(|there| crossed.anchorage(insert.width_mm, &loads, self.patient.goal, there)),
            trade: Some(Trade::new([insert.length_mm, insert.width_mm, insert.depth_mm])),
            depths: None,
        }
    }

    /// What other depths of an insert would do at the first of its places.
    fn depths_at_first(&self, strip: &Strip, before: &Finding) -> Option<Result<Vec<DepthCup>, NoDepths>> {
        let whole = Whole::of(self.patient, self.rim);
        Self::served(strip, before).next().map(|place| self.depths(place, &strip.insert, &whole))
    }

    fn depths(&self, place: &Place, insert: &Insert, whole: &Whole<'_>) -> Result<Vec<DepthCup>, NoDepths> {
        let reaches = reaches(place, insert);
        if reaches == [None, None] {
            return Err(NoDepths::NoEnd);
        }
        let reaches = reaches.map(|reach| reach.unwrap_or(0.0));
        let rows =
            by_depth(place, whole, insert.width_mm, reaches, insert.depth_mm).ok_or(NoDepths::NoRoom)?;
        let cups = self.rises(insert, rows.iter().map(|at| at.depth_mm));
        Ok(rows.into_iter().zip(cups).map(|(at, cup_mm)| DepthCup { at, cup_mm }).collect())
    }

    /// A blank of two layers, or of three with like faces.
    fn blank(&self, plies: &[Ply]) -> Option<GluedJoint> {
        let [wide_across, wide_along] = [left(self.grain()), self.grain()].map(|way| self.width(way));
        let (names, face, other, between) = match plies {
            [face, back] => (["board", "backer"], face, back, false),
            [face, core, _] => (["face plies", "middle ply"], face, core, true),
            _ => return None,
        };
        let crossing = self.crossing(other.grain_deg);
        let [mismatch, strengths] = [self.mismatch(crossing), self.strengths(crossing)];
        let of = |ply: &Ply, crossing| layer(self.wood, ply.thickness_mm, crossing);
        let other_at = |crossing| Layer { between, ..of(other, crossing) };
        let first = Held::new(of(face, crossing), other_at(0.0), wide_across, mismatch, strengths);
        let second = Held::new(other_at(crossing), of(face, 0.0), wide_along, mismatch, strengths);
        Some(GluedJoint {
            places: Vec::new(),
            layers: [(names[0], first), (names[1], second)],
            anchorage: None,
            trade: None,
            depths: None,
        })
    }
}

/// How far a strip is glued past a place's ends and break lines, along its own middle, at each end that is held.
pub(super) fn reaches(place: &Place, insert: &Insert) -> [Option<f64>; 2] {
    let (Some(&first), Some(&last)) = (place.run.first(), place.run.last()) else { return [None; 2] };
    let mut along = direction(insert.grain_deg.to_radians());
    if dot(last - first, along) < 0.0 {
        along = along * -1.0;
    }
    let axes = Axes { origin: first, along };
    let near = Box::about(insert.outline.exterior().coords().map(|&corner| axes.inward(corner)));
    let lines: Vec<[Coord<f64>; 2]> = place
        .face
        .break_line
        .iter()
        .chain(&place.side.break_line)
        .map(|line| line.map(|end| axes.inward(end)))
        .collect();
    let from = roots([0.0, axes.inward(last).x], &lines, near.v);
    let middle = f64::midpoint(near.v[0], near.v[1]);
    let glued: Vec<Local> =
        insert.after_piercing.iter().map(|part| Local::new(part, axes, &near.grown(1.0))).collect();
    let run = |start: f64, sign: f64| {
        let at = |gone: f64| Coord { x: start + sign * gone, y: middle };
        let mut gone = 0.0;
        // From part to part, to the first gap.
        while let Some(part) = glued.iter().find(|part| part.is_wood(at(gone + HAIR))) {
            gone += HAIR + part.to_wall(at(gone + HAIR), Coord { x: sign, y: 0.0 });
        }
        gone
    };
    [place.held[0].then(|| run(from[0], -1.0)), place.held[1].then(|| run(from[1], 1.0))]
}

/// Parts that lie no farther apart than this are one piece of wood, in mm.
const HAIR: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::super::sample::{Case, strip};
    use super::*;
    use crate::season::{Lag, Lamina, Laminate, TradeWord};
    use geo_types::polygon;

    /// A plate without a weak place.
    fn plate() -> Case {
        Case::of(polygon![(x: 0., y: 0.), (x: 100., y: 0.), (x: 100., y: 60.), (x: 0., y: 60.)])
    }

    /// What wood that dries by 4 % does to a piece that was changed so.
    fn dried(case: &Case, rim: f64, change: &Change) -> Seasons {
        let patient = case.patient();
        Glued::new(&patient, &MOVES, &DRYING, rim).seasons(&case.found(), change).expect("it is glued")
    }

    const MOVES: Moves = Moves {
        along_per_pct: 1e-4,
        across_per_pct: 2.48e-3,
        shrinkage_pct: None,
        status: crate::wood::Status::Published,
        across_is: "tangential",
    };
    const DRYING: Swing = Swing { dry_pct: 8.0, damp_pct: 12.0, glued_pct: Some(12.0) };

    /// By hand, cherry with 3.9 MPa across and 11.7 in shear along the grain: a strip at 45 degrees pulls the show face at 45 degrees
    /// to its fibres, half of it across them and half along, 1/√((½/3.9)² + (½/11.7)²); itself it is pulled straight across.
    #[test]
    fn a_strip_at_half_a_right_angle_is_pulled_straight_across_its_own_grain() {
        let mut skew = strip(1, 20.0, 10.0, 40.0);
        skew.insert.grain_deg = 45.0;
        let found = dried(&plate(), 3.0, &Change::Inserts(vec![skew]));
        let bears = found.joints[0].layers.map(|(_, held)| held.stress / held.stress_part);
        for (found, want) in bears.into_iter().zip([7.399_7, 3.9]) {
            assert!((found / want - 1.0).abs() < 1e-4, "{found} {want}");
        }
    }

    /// By hand: twice 9.5, one and a half times 12, between 50 and 100 long.
    #[test]
    fn a_joint_tells_what_the_trade_goes_by() {
        let mut long = strip(1, 45.0, 2.0, 55.0);
        (long.insert.width_mm, long.insert.depth_mm) = (12.0, 9.5);
        let joints = dried(&plate(), 3.0, &Change::Inserts(vec![long])).joints;
        let trade = joints[0].trade.expect("it is a strip");
        assert_eq!((trade.by_thickness, trade.by_width, trade.length), (19.0, 18.0, 55.0));
        assert_eq!(trade.word(), TradeWord::Think);
    }

    /// 12 mm of cherry-like wood with 6 mm across behind it: by 4 % of moisture it bends by 0.00024298/mm along its grain and 0.00072357
    /// across it, as `tests/published/season.rs` holds against the solid model. Over 60 mm across, κ·w²/8 is 0.3256 mm, which is
    /// steeper than 0.3037 mm over 100 mm along.
    #[test]
    fn a_blank_of_two_layers_cups_as_its_laminate_bends() {
        let plies =
            [(12.0, 0.0), (6.0, 90.0)].map(|(thickness_mm, grain_deg)| Ply { thickness_mm, grain_deg });
        let cup = dried(&plate(), 3.0, &Change::Layers { plies: plies.to_vec() }).cup;
        assert!((cup.rise_mm / 0.325_6 - 1.0).abs() < 1e-3 && (cup.over_mm - 60.0).abs() < 1e-9, "{cup:?}");
        assert!((cup.limit_mm() - 0.3).abs() < 1e-9 && !cup.is_flat() && cup.face_hollow_when_dry);
    }

    /// Two strips in one band bend it as one strip of twice their wood does; and that is less than twice one of them.
    #[test]
    fn strips_side_by_side_cup_as_one() {
        let cup = |strips: &[Strip]| dried(&plate(), 3.0, &Change::Inserts(strips.to_vec())).cup;
        let [one, other] = [20.0, 60.0].map(|x| strip(1, x, 10.0, 40.0));
        let mut both = one.clone();
        both.insert.after_piercing.extend(other.insert.after_piercing.clone());
        let (single, pair, as_one) = (cup(std::slice::from_ref(&one)), cup(&[one, other]), cup(&[both]));
        assert!(
            (pair.rise_mm / as_one.rise_mm - 1.0).abs() < 1e-9 && pair.over_mm == as_one.over_mm,
            "{pair:?}"
        );
        assert!(
            pair.rise_mm > 1.05 * single.rise_mm && pair.rise_mm < 1.95 * single.rise_mm,
            "{single:?} {pair:?}"
        );
    }

    /// A strip in a tooth of a comb bends that tooth; the other, which hangs on it outside of the strip's band alone, takes no part.
    #[test]
    fn a_strip_bends_what_it_hangs_together_with() {
        let comb = |teeth: usize| {
            let mut ring = vec![(0.0, 0.0)];
            for x in (0..teeth).map(|k| 30.0 * k as f64) {
                ring.extend([(x + 20.0, 0.0), (x + 20.0, -60.0), (x + 30.0, -60.0), (x + 30.0, 0.0)]);
            }
            let right = ring[ring.len() - 1].0;
            ring.extend([(right, 20.0), (0.0, 20.0)]);
            Case::of(geo_types::Polygon::new(ring.into(), Vec::new()))
        };
        let cup =
            |teeth: usize| dried(&comb(teeth), 3.0, &Change::Inserts(vec![strip(1, 20.0, -50.0, 40.0)])).cup;
        let (one, three) = (cup(1), cup(3));
        assert!((one.rise_mm / three.rise_mm - 1.0).abs() < 1e-9 && one.rise_mm > 0.05, "{one:?} {three:?}");
    }

    /// The formula that `tests/published/season.rs` holds against solid plates with a strip let in: here the strip is a tenth of the wood
    /// in its band, 40 mm long in a plate 60 wide.
    #[test]
    fn a_strip_cups_a_plate_as_is_held_against_the_solid() {
        let wood = crate::strength::tests::cherry();
        let free = [-4.0 * MOVES.along_per_pct, -4.0 * MOVES.across_per_pct];
        let ply = |thickness: f64, grain: f64| Lamina::of(&wood, thickness, grain, free);
        let one = strip(1, 45.0, 10.0, 40.0);
        let depth = one.insert.depth_mm;
        let with = Laminate::new(&[ply(depth, FRAC_PI_2), ply(12.0 - depth, 0.0)]);
        let plain = Laminate::new(&[ply(12.0, 0.0)]);
        let bend = Laminate::beside(&[(0.1, with), (0.9, plain)]).warp().curvature[1];
        let lag = Lag::new([
            [wood.young_along, wood.shear_modulus_through, depth],
            [wood.young_in_plane, wood.shear_modulus_rolling, 12.0 - depth],
        ]);
        let want = bend.abs() * lag.rise(40.0, 60.0);
        let cup = dried(&plate(), 3.0, &Change::Inserts(vec![one])).cup;
        assert!(
            (cup.rise_mm / want - 1.0).abs() < 1e-6 && (cup.over_mm - 60.0).abs() < 1e-9,
            "{cup:?} {want}"
        );
    }

    #[test]
    fn strips_one_after_another_cup_together() {
        let cup = |strips: &[Strip]| dried(&plate(), 3.0, &Change::Inserts(strips.to_vec())).cup;
        let [low, high] = [3.0, 33.0].map(|y| strip(1, 45.0, y, 24.0));
        let sum = cup(std::slice::from_ref(&low)).rise_mm + cup(std::slice::from_ref(&high)).rise_mm;
        assert!((cup(&[low, high]).rise_mm / sum - 1.0).abs() < 1e-9);
    }

    /// A tine 10 wide that stands on a bar 20 high across the grain; a strip 10 wide in it and down into the bar, to `low`.
    fn tine(low: f64) -> (Case, Strip) {
        let case = Case::of(polygon![
            (x: 0., y: 0.), (x: 100., y: 0.), (x: 100., y: 20.), (x: 55., y: 20.), (x: 55., y: 60.), (x: 45., y: 60.),
            (x: 45., y: 20.), (x: 0., y: 20.),
        ]);
        let strip = strip(1, 45.0, low, 60.0 - low);
        (case, strip)
    }

    /// By hand: it is held at the bar alone, and reaches from the bar's edge at 20 down to 5.
    #[test]
    fn a_strip_reaches_as_far_as_it_is_glued_past_the_break_line() {
        let (case, strip) = tine(5.0);
        let mut place = case.found().places.remove(0);
        assert_eq!(place.held, [true, false]);
        assert!(place.face.break_line.iter().flatten().all(|end| (end.y - 20.0).abs() < 1.0), "{place:?}");
        let near = |place: &Place, want: f64| {
            let [held, free] = reaches(place, &strip.insert);
            assert!(
                held.is_some_and(|reach| (reach - want).abs() < 1e-3) && free.is_none(),
                "{held:?} {free:?}"
            );
        };
        place.run[0].y = 20.0;
        place.face.break_line = vec![[Coord { x: 45.0, y: 20.0 }, Coord { x: 55.0, y: 20.0 }]];
        place.side.break_line.clone_from(&place.face.break_line);
        near(&place, 15.0);
        // A break line askew ends beside the strip on either side; where it leaves the strip it lies 8 lower.
        place.face.break_line = vec![[Coord { x: 40.0, y: 8.0 }, Coord { x: 60.0, y: 24.0 }]];
        near(&place, 7.0);
    }

    #[test]
    fn how_near_to_the_outline_a_strip_may_go_is_for_the_margin_to_say() {
        let (case, strip) = tine(2.5);
        let depths = |rim: f64| {
            let found = dried(&case, rim, &Change::Inserts(vec![strip.clone()]));
            found.joints[0].depths.clone().expect("it is a strip")
        };
        let rows = depths(2.0).expect("half a millimetre more than is asked for");
        assert!(rows.iter().any(|row| row.at.bears_n.is_some()), "{rows:?}");
        assert_eq!(depths(3.0), Err(NoDepths::NoRoom));
    }

    /// The strip is 6 deep and reaches 7.2, the least for that: its own depth is none that it is too short for, the next one is.
    #[test]
    fn a_strip_of_the_least_reach_is_long_enough_for_its_own_depth() {
        let (case, strip) = tine(12.8);
        let found = dried(&case, 3.0, &Change::Inserts(vec![strip]));
        let rows = found.joints[0].depths.clone().expect("it is a strip").expect("it has room");
        let deep_enough = rows.iter().filter(|row| row.at.bears_n.is_some()).map(|row| row.at.depth_mm);
        assert_eq!(deep_enough.fold(0.0, f64::max), 6.0);
    }
}
