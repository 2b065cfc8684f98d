//! What the seasons do to a glued remedy: to each of its joints, and to the piece as a whole.

use std::f64::consts::FRAC_PI_2;

use geo::{Area, BooleanOps, Intersects};
use geo_types::{Coord, LineString, Polygon};

use crate::check::{Finding, Forces, Insert, Place};
use crate::season::{
    Anchorage, Held, Lag, Lamina, Laminate, Layer, Moves, Swing, Word, joint_strength, reach_by_peel,
};
use crate::shape::plane::{direction, left};
use crate::strength::{Shares, Traction, sound_factor, splitting, variation};
use crate::wood::Mechanics;

use super::insert::{AtDepth, as_solved, by_depth};
use super::layered::Flat;
use super::mended::young_along_run;
use super::patient::Patient;
use super::remedy::{Change, Ply, Remedy, Strip};

/// A piece may cup by this part of its width: our own rule.
const FLAT_ENOUGH: f64 = 1.0 / 200.0;

/// What the seasons do to a glued remedy.
#[derive(Clone, Debug, PartialEq)]
pub struct Seasons {
    /// A joint a strip, or the one joint of a blank of layers.
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
    /// What the joint is taken to bear in shear, in MPa: the least of rolling shear and a third of shear along the grain.
    pub joint_bears_mpa: f64,
    /// How far a strip reaches past its break lines; nothing for a blank of layers, nor where no end is held.
    pub anchorage: Option<Anchorage>,
    /// What other depths of the strip would do.
    pub depths: Vec<DepthCup>,
}

/// A depth of a strip: what the place bears then, and how the piece cups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthCup {
    /// Strength and show face.
    pub at: AtDepth,
    /// How far the piece cups for this strip alone, in mm.
    pub cup_mm: f64,
}

/// How far a piece stands hollow in the worse season.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cup {
    /// At most, in mm.
    pub rise_mm: f64,
    /// Over so much of the piece, in mm.
    pub over_mm: f64,
    /// What is still called flat: a two-hundredth of that.
    pub limit_mm: f64,
    /// Whether it is the face, and not the back, that is hollow when the wood is dry.
    pub face_hollow_when_dry: bool,
}

impl Cup {
    /// Whether it is flat enough.
    pub fn is_flat(&self) -> bool {
        self.rise_mm <= self.limit_mm
    }
}

/// What the seasons do to a remedy; nothing for one that glues nothing.
///
/// Joints by shear lag and strength, see [`Held`]; strips' reach see [`Anchorage`]; the warp by laminate theory
/// ([`Laminate`]), no creep counted. A strip in its pocket bends the wood beside it along, in proportion to its part of the wood in
/// the band it lies in, as far as the stress has built up along it; the rest of the piece stays straight on either side. The
/// warps of several strips are added up: more than they do together unless all run one way. The walls of a pocket count
/// nothing: the strip's ends are end grain.
pub fn seasons(
    patient: &Patient<'_>,
    before: &Finding,
    remedy: &Remedy,
    moves: &Moves,
    swing: &Swing,
) -> Option<Seasons> {
    let glued = Glued {
        patient,
        wood: patient.mechanics,
        // The largest strains of either season, both with their sign.
        dry: moves.strain(swing.drying()),
        damp: moves.strain(swing.damping()),
    };
    let (joints, cup) = match &remedy.change {
        Change::Inserts(strips) => {
            let joints: Vec<GluedJoint> = strips.iter().map(|strip| glued.strip(strip, before)).collect();
            (joints, glued.cup_of_strips(strips)?)
        }
        Change::Layers { plies } => (vec![glued.blank(plies)?], glued.cup_of_blank(plies)),
        _ => return None,
    };
    let word = joints.iter().flat_map(|joint| &joint.layers).map(|(_, held)| held.word).max()?;
    Some(Seasons { joints, cup, word })
}

/// A piece with its wood's movement.
struct Glued<'a> {
    patient: &'a Patient<'a>,
    wood: &'a Mechanics,
    dry: [f64; 2],
    damp: [f64; 2],
}

impl Glued<'_> {
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

    /// A layer that is asked for in a direction at an angle to its grain.
    fn layer(&self, thickness: f64, crossing: f64, between: bool) -> Layer {
        let (sin, cos) = crossing.sin_cos();
        let wood = self.wood;
        let give = sin * sin / wood.shear_modulus_rolling + cos * cos / wood.shear_modulus_through;
        Layer { thickness, young: young_along_run(crossing, wood), shear: 1.0 / give, between }
    }

    /// A layer of a stack for its warp, dry or damp.
    fn lamina(&self, thickness: f64, grain: f64, free: [f64; 2]) -> Lamina {
        let wood = self.wood;
        Lamina {
            thickness,
            grain,
            young: [wood.young_along, wood.young_in_plane],
            shear: wood.shear_modulus_face,
            poisson: wood.poisson_face,
            free,
        }
    }

    fn thickness(&self) -> f64 {
        self.patient.board.thickness.as_mm()
    }

    /// Between the board's grain and another, 0 to a right angle.
    fn crossing(&self, grain_deg: f64) -> f64 {
        let apart = (grain_deg - self.patient.board.grain.as_deg()).rem_euclid(180.0);
        apart.min(180.0 - apart).to_radians()
    }

    fn strip(&self, strip: &Strip, before: &Finding) -> GluedJoint {
        let insert = &strip.insert;
        let crossing = self.crossing(insert.grain_deg);
        let front = self.thickness() - insert.depth_mm;
        let mismatch = self.mismatch(crossing);
        // Along the strip's grain it holds the board, square to it the board holds the strip.
        let host = self.layer(front, crossing, false);
        let along = self.layer(insert.depth_mm, 0.0, false);
        let [across, behind] =
            [self.layer(insert.depth_mm, FRAC_PI_2, false), self.layer(front, FRAC_PI_2 - crossing, false)];
        let layers = [
            ("show face", Held::new(host, along, insert.length_mm, mismatch, self.strengths(crossing))),
            ("insert", Held::new(across, behind, insert.width_mm, mismatch, self.strengths(FRAC_PI_2))),
        ];
        let served: Vec<&Place> =
            before.places.iter().filter(|place| strip.places.contains(&place.id)).collect();
        let reaches = served.iter().filter_map(|place| reach(place, insert));
        let there = reaches.min_by(f64::total_cmp);
        let lag = Lag::new([along, host].map(|layer| [layer.young, layer.shear, layer.thickness]));
        let anchorage = there.map(|there| {
            let by_peel = served.iter().map(|place| self.by_peel(place, insert)).fold(0.0, f64::max);
            let pull = self.wood.tension_across * insert.depth_mm;
            Anchorage::new(&lag, insert.depth_mm, pull, joint_strength(self.wood), by_peel, there)
        });
        let depths = there.and_then(|there| Some(self.depths(served.first()?, insert, there)));
        GluedJoint {
            places: strip.places.clone(),
            layers,
            joint_bears_mpa: joint_strength(self.wood),
            anchorage,
            depths: depths.unwrap_or_default(),
        }
    }

    /// The reach at which the floor peels no more than a sound place may, under the stated push on the face.
    fn by_peel(&self, place: &Place, insert: &Insert) -> f64 {
        let Forces::Face(forces) = as_solved(&place.face) else { return 0.0 };
        let shares = Shares { across: 1.0, ..Shares::default() };
        let push = self.patient.pushes.face.as_n() * sound_factor(variation(&shares, self.wood));
        let host = young_along_run(place.face.section.crossing, self.wood);
        let front = self.thickness() - insert.depth_mm;
        let flat = Flat::new(host, self.wood.young_along, front, insert.depth_mm);
        let moment = forces.moment * flat.insert_stiffness / flat.stiffness;
        reach_by_peel(push * forces.shear, push * moment, insert.width_mm, self.wood.tension_across)
    }

    fn depths(&self, place: &Place, insert: &Insert, reach: f64) -> Vec<DepthCup> {
        let patient = self.patient;
        let strip = (insert.width_mm, reach, insert.depth_mm);
        let rows = by_depth(place, patient.shape, patient.board, patient.mechanics, patient.pushes, strip);
        let cup = |at: AtDepth| {
            let bent = self.bent(&Insert { depth_mm: at.depth_mm, ..insert.clone() });
            DepthCup { at, cup_mm: bent.map_or(0.0, |bent| bent.rise.abs()) }
        };
        rows.into_iter().map(cup).collect()
    }

    /// A blank of two layers, or of three with like faces.
    fn blank(&self, plies: &[Ply]) -> Option<GluedJoint> {
        let [wide_across, wide_along] = [left(self.grain()), self.grain()].map(|way| self.extent(way));
        let (names, face, other, between) = match plies {
            [face, back] => (["board", "backer"], face, back, false),
            [face, core, _] => (["face plies", "middle ply"], face, core, true),
            _ => return None,
        };
        let crossing = self.crossing(other.grain_deg);
        let [mismatch, strengths] = [self.mismatch(crossing), self.strengths(crossing)];
        let of = |ply: &Ply, crossing, between| self.layer(ply.thickness_mm, crossing, between);
        let first =
            Held::new(of(face, crossing, false), of(other, 0.0, between), wide_across, mismatch, strengths);
        let second =
            Held::new(of(other, crossing, between), of(face, 0.0, false), wide_along, mismatch, strengths);
        Some(GluedJoint {
            places: Vec::new(),
            layers: [(names[0], first), (names[1], second)],
            joint_bears_mpa: joint_strength(self.wood),
            anchorage: None,
            depths: Vec::new(),
        })
    }

    fn cup_of_blank(&self, plies: &[Ply]) -> Cup {
        let board = self.patient.board.grain.as_deg();
        let stack = |free: [f64; 2]| {
            // From the back up.
            let layers: Vec<Lamina> = plies
                .iter()
                .rev()
                .map(|ply| self.lamina(ply.thickness_mm, (ply.grain_deg - board).to_radians(), free))
                .collect();
            Laminate::new(&layers).warp().curvature
        };
        let [dry, damp] = [self.dry, self.damp].map(stack);
        // Of the two ways, the one that bends more for its width.
        let ways = [self.grain(), left(self.grain())].map(|way| self.extent(way));
        let bent = |axis: usize| {
            let worse = if dry[axis].abs() >= damp[axis].abs() { dry[axis] } else { -damp[axis] };
            Bent { rise: worse * ways[axis] * ways[axis] / 8.0, over: ways[axis] }
        };
        let [along, across] = [bent(0), bent(1)];
        if across.steepness() >= along.steepness() { across.cup() } else { along.cup() }
    }

    fn cup_of_strips(&self, strips: &[Strip]) -> Option<Cup> {
        let all: Vec<Bent> = strips.iter().filter_map(|strip| self.bent(&strip.insert)).collect();
        let worst = all.iter().copied().reduce(|a, b| if b.steepness() > a.steepness() { b } else { a })?;
        let rise: f64 = all.iter().map(|bent| bent.rise.abs()).sum();
        Some(Bent { rise: rise.copysign(worst.rise), ..worst }.cup())
    }

    /// How far the piece bends for one strip, the way it bends more.
    fn bent(&self, insert: &Insert) -> Option<Bent> {
        let grain = self.patient.board.grain.as_rad();
        let turn = insert.grain_deg.to_radians() - grain;
        let thickness = self.thickness();
        let glued: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
        let along = direction(insert.grain_deg.to_radians());
        let crossing = self.crossing(insert.grain_deg);
        let front = thickness - insert.depth_mm;
        // How strip and board are asked along the strip, and square to it.
        let lag = |strip: f64, board: f64| {
            let asked = [self.layer(insert.depth_mm, strip, false), self.layer(front, board, false)];
            Lag::new(asked.map(|layer| [layer.young, layer.shear, layer.thickness]))
        };
        let bent = |way: Coord<f64>, angle: f64, length: f64, lag: Lag| {
            let part = (glued / self.band(&insert.outline, way)).min(1.0);
            let bend = |free: [f64; 2]| {
                let strip =
                    Laminate::new(&[self.lamina(insert.depth_mm, turn, free), self.lamina(front, 0.0, free)]);
                let plain = Laminate::new(&[self.lamina(thickness, 0.0, free)]);
                let [x, y, twist] = Laminate::beside(&[(part, strip), (1.0 - part, plain)]).warp().curvature;
                let (sin, cos) = angle.sin_cos();
                x * cos * cos + y * sin * sin + twist * sin * cos
            };
            let [dry, damp] = [self.dry, self.damp].map(bend);
            let worse = if dry.abs() >= damp.abs() { dry } else { -damp };
            let over = self.extent(way);
            Bent { rise: worse * lag.rise(length.min(over), over), over }
        };
        let ways = [
            bent(along, turn, insert.length_mm, lag(0.0, crossing)),
            bent(left(along), turn + FRAC_PI_2, insert.width_mm, lag(FRAC_PI_2, FRAC_PI_2 - crossing)),
        ];
        ways.into_iter()
            .filter(|bent| bent.rise.is_finite())
            .max_by(|a, b| a.steepness().total_cmp(&b.steepness()))
    }

    fn grain(&self) -> Coord<f64> {
        direction(self.patient.board.grain.as_rad())
    }

    /// How wide the piece is in a direction.
    fn extent(&self, way: Coord<f64>) -> f64 {
        let [low, high] = span(&self.patient.shape.polygon().exterior().0, way);
        high - low
    }

    /// How much wood of the piece lies in the band square to `way` that a strip takes up.
    fn band(&self, strip: &Polygon<f64>, way: Coord<f64>) -> f64 {
        let piece = self.patient.shape.polygon();
        let beside = left(way);
        let [from, to] = span(&strip.exterior().0, way);
        let [low, high] = span(&piece.exterior().0, beside);
        let corner = |u: f64, v: f64| way * u + beside * v;
        let (low, high) = (low - 1.0, high + 1.0);
        let ring =
            vec![corner(from, low), corner(to, low), corner(to, high), corner(from, high), corner(from, low)];
        piece.intersection(&Polygon::new(LineString::new(ring), Vec::new())).unsigned_area()
    }
}

/// How far a piece rises in the middle, below zero where the face is hollow when the wood is dry, over what width.
#[derive(Clone, Copy, Debug)]
struct Bent {
    rise: f64,
    over: f64,
}

impl Bent {
    fn steepness(self) -> f64 {
        self.rise.abs() / self.over
    }

    fn cup(self) -> Cup {
        Cup {
            rise_mm: self.rise.abs(),
            over_mm: self.over,
            limit_mm: FLAT_ENOUGH * self.over,
            face_hollow_when_dry: self.rise < 0.0,
        }
    }
}

/// From where to where points lie in a direction.
fn span(points: &[Coord<f64>], way: Coord<f64>) -> [f64; 2] {
    let at = points.iter().map(|p| p.x * way.x + p.y * way.y);
    at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| [low.min(x), high.max(x)])
}

/// How far a strip is glued past a place's ends and break lines at those ends that are held, along its own middle; the
/// shorter of the two. Nothing where neither is.
fn reach(place: &Place, insert: &Insert) -> Option<f64> {
    let (&first, &last) = (place.run.first()?, place.run.last()?);
    let chord = last - first;
    let mut way = direction(insert.grain_deg.to_radians());
    if chord.x * way.x + chord.y * way.y < 0.0 {
        way = way * -1.0;
    }
    let ring = &insert.outline.exterior().0;
    let [from, to] = span(ring, way);
    let beside = left(way);
    let [low, high] = span(ring, beside);
    let middle = f64::midpoint(low, high);
    let on = |p: Coord<f64>| p.x * way.x + p.y * way.y;
    let within = |p: &Coord<f64>| (low..=high).contains(&(p.x * beside.x + p.y * beside.y));
    let lines = place.face.break_line.iter().chain(&place.side.break_line).flatten().filter(|p| within(p));
    let ends = [first, last].into_iter().chain(lines.copied()).map(on);
    let [near, far] = ends.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)]);
    let glued = |start: f64, sign: f64, room: f64| {
        let at = |far: f64| way * (start + sign * far) + beside * middle;
        let is_glued = |far: f64| insert.after_piercing.iter().any(|part| part.intersects(&at(far)));
        // In steps much shorter than any reach that matters, to the first gap.
        let steps = (room / STEP).ceil().max(1.0) as usize;
        let stops = (0..steps).map(|k| (k as f64 + 0.5) * STEP).find(|far| *far < room && !is_glued(*far));
        stops.map_or(room, |far| far - STEP / 2.0)
    };
    let at_near = place.held[0].then(|| glued(near, -1.0, (near - from).max(0.0)));
    let at_far = place.held[1].then(|| glued(far, 1.0, (to - far).max(0.0)));
    at_near.into_iter().chain(at_far).reduce(f64::min)
}

/// How finely a glued length is felt out, in mm.
const STEP: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::super::sample::{Case, strip};
    use super::*;
    use geo_types::polygon;

    /// A plate without a weak place.
    fn plate() -> Case {
        Case::of(polygon![(x: 0., y: 0.), (x: 100., y: 0.), (x: 100., y: 60.), (x: 0., y: 60.)])
    }

    /// What a remedy of one strip on a piece comes to, for wood that dries by 4 %.
    fn of_strip(case: &Case, strip: Strip) -> Seasons {
        let remedy = case.remedy(Change::Inserts(vec![strip]));
        seasons(&case.patient(), &case.found(), &remedy, &MOVES, &DRYING).expect("it is glued")
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
        let found = of_strip(&plate(), skew);
        let bears = found.joints[0].layers.map(|(_, held)| held.stress / held.stress_part);
        for (found, want) in bears.into_iter().zip([7.399_7, 3.9]) {
            assert!((found / want - 1.0).abs() < 1e-4, "{found} {want}");
        }
    }
}
