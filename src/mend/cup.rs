//! How far a glued piece stands hollow when it dries or swells.

use std::f64::consts::FRAC_1_SQRT_2;

use geo::{Area, BooleanOps, Intersects};
use geo_types::{Coord, LineString, Polygon};

use crate::check::Insert;
use crate::season::{Lamina, Laminate};
use crate::shape::plane::{direction, dot, extent, left};

use super::remedy::{Ply, Strip};
use super::seasons::Glued;

/// A piece may cup by this part of its width: our own rule.
const FLAT_ENOUGH: f64 = 1.0 / 200.0;

/// How far a piece stands hollow in the worse season.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cup {
    /// At most, in mm.
    pub rise_mm: f64,
    /// Over so much of the piece, in mm.
    pub over_mm: f64,
    /// Whether it is the face, and not the back, that is hollow when the wood is dry.
    pub face_hollow_when_dry: bool,
}

impl Cup {
    /// What is still called flat, in mm: a two-hundredth of the width.
    pub fn limit_mm(&self) -> f64 {
        FLAT_ENOUGH * self.over_mm
    }

    /// Whether it is flat enough.
    pub fn is_flat(&self) -> bool {
        self.rise_mm <= self.limit_mm()
    }
}

impl Glued<'_> {
    pub(super) fn cup_of_blank(&self, plies: &[Ply]) -> Cup {
        let board = self.patient.board.grain.as_deg();
        let stack = |free: [f64; 2]| {
            // From the back up.
            let layers: Vec<Lamina> = plies
                .iter()
                .rev()
                .map(|ply| {
                    Lamina::of(self.wood, ply.thickness_mm, (ply.grain_deg - board).to_radians(), free)
                })
                .collect();
            Laminate::new(&layers).warp().curvature
        };
        let [dry, damp] = [self.dry, self.damp].map(stack);
        let bent = |axis: usize, way: Coord<f64>| {
            let over = self.width(way);
            Bent { rise: worse(dry[axis], damp[axis]) * over * over / 8.0, over }
        };
        steeper(bent(1, left(self.grain())), bent(0, self.grain())).cup()
    }

    /// Of strips that are so thick together with the wood in front of them.
    pub(super) fn cup_of_strips(&self, strips: &[Strip], whole: f64) -> Option<Cup> {
        let inserts: Vec<&Insert> = strips.iter().map(|strip| &strip.insert).collect();
        self.bent(&self.laid_out(&inserts), &inserts, whole).map(Bent::cup)
    }

    /// How far the piece rises for one strip, were it so deep, for each of some depths.
    pub(super) fn rises(&self, insert: &Insert, depths: impl Iterator<Item = f64>) -> Vec<f64> {
        let laid_out = self.laid_out(&[insert]);
        let rise = |depth_mm: f64| {
            let insert = Insert { depth_mm, ..insert.clone() };
            self.bent(&laid_out, &[&insert], self.thickness()).map_or(0.0, |bent| bent.rise.abs())
        };
        depths.map(rise).collect()
    }

    /// Strips in their bands along each way that the piece may bend: along and square to every one of them.
    fn laid_out(&self, inserts: &[&Insert]) -> Vec<Bands> {
        let along = inserts.iter().map(|insert| direction(insert.grain_deg.to_radians()));
        along.flat_map(|along| [along, left(along)]).map(|way| self.bands(inserts, way)).collect()
    }

    /// Strips that lie side by side along a way share a band.
    fn bands(&self, inserts: &[&Insert], way: Coord<f64>) -> Bands {
        let reach = |insert: &Insert| extent(insert.outline.exterior().coords().copied(), way);
        let mut sorted: Vec<(usize, [f64; 2])> =
            inserts.iter().map(|insert| reach(insert)).enumerate().collect();
        sorted.sort_by(|(_, a), (_, b)| a[0].total_cmp(&b[0]));
        let mut groups: Vec<(Vec<usize>, [f64; 2])> = Vec::new();
        for (strip, [from, to]) in sorted {
            match groups.last_mut() {
                Some((group, [_, end])) if from < *end => {
                    group.push(strip);
                    *end = end.max(to);
                }
                _ => groups.push((vec![strip], [from, to])),
            }
        }
        let band = |(strips, reach): (Vec<usize>, [f64; 2])| {
            let those: Vec<&Insert> = strips.iter().map(|&strip| inserts[strip]).collect();
            Band { wood: self.wood_in_band(reach, way, &those), strips, reach }
        };
        Bands { way, over: self.width(way), bands: groups.into_iter().map(band).collect() }
    }

    /// How far the piece bends for some strips in their bands, the way it bends more.
    fn bent(&self, laid_out: &[Bands], inserts: &[&Insert], whole: f64) -> Option<Bent> {
        let ways = laid_out.iter().map(|bands| {
            // Strips one after another add up.
            let rise = bands.bands.iter().map(|band| self.rise_of(band, bands, inserts, whole)).sum();
            Bent { rise, over: bands.over }
        });
        ways.filter(|bent| bent.rise.is_finite()).reduce(|a, b| steeper(b, a))
    }

    /// How far the strips in one band raise the piece: side by side they bend it as one.
    fn rise_of(&self, band: &Band, &Bands { way, over, .. }: &Bands, inserts: &[&Insert], whole: f64) -> f64 {
        let (thickness, grain) = (self.thickness(), self.patient.board.grain.as_rad());
        let group = || band.strips.iter().map(|&strip| inserts[strip]);
        let all: f64 = group().map(glued).sum();
        let bend = |free: [f64; 2]| {
            let strip = |insert: &Insert| {
                let turn = insert.grain_deg.to_radians() - grain;
                let front = Lamina::of(self.wood, whole - insert.depth_mm, 0.0, free);
                let layers = [Lamina::of(self.wood, insert.depth_mm, turn, free), front];
                (glued(insert) / band.wood.max(all), Laminate::new(&layers))
            };
            let mut beside: Vec<(f64, Laminate)> = group().map(strip).collect();
            let plain = Laminate::new(&[Lamina::of(self.wood, thickness, 0.0, free)]);
            beside.push(((1.0 - all / band.wood).max(0.0), plain));
            let [x, y, twist] = Laminate::beside(&beside).warp().curvature;
            let (sin, cos) = (way.y.atan2(way.x) - grain).sin_cos();
            x * cos * cos + y * sin * sin + twist * sin * cos
        };
        // What is let off at their ends is told by the biggest of them.
        let biggest = group().reduce(|a, b| if glued(b) > glued(a) { b } else { a });
        let lag = biggest.map(|insert| {
            let crossed = self.crossed(insert, whole);
            let lies_along = dot(direction(insert.grain_deg.to_radians()), way).abs() > FRAC_1_SQRT_2;
            let [one, other] = if lies_along { crossed.along() } else { crossed.square() };
            one.lag(&other)
        });
        let length = (band.reach[1] - band.reach[0]).min(over);
        lag.map_or(0.0, |lag| worse(bend(self.dry), bend(self.damp)) * lag.rise(length, over))
    }

    /// How much wood lies in the band square to `way` between two lengths along it and hangs together there with strips.
    fn wood_in_band(&self, [from, to]: [f64; 2], way: Coord<f64>, strips: &[&Insert]) -> f64 {
        let beside = left(way);
        let [low, high] = self.ground.extent(beside);
        let corner = |u: f64, v: f64| way * u + beside * v;
        let (low, high) = (low - 1.0, high + 1.0);
        let ring =
            vec![corner(from, low), corner(to, low), corner(to, high), corner(from, high), corner(from, low)];
        let band = Polygon::new(LineString::new(ring), Vec::new());
        let parts = self.patient.shape.polygon().intersection(&band);
        let glued = || strips.iter().flat_map(|strip| &strip.after_piercing);
        let bent = parts.iter().filter(|part| glued().any(|strip| strip.intersects(*part)));
        bent.map(Area::unsigned_area).sum()
    }
}

/// Strips in their bands along a way.
struct Bands {
    way: Coord<f64>,
    /// How wide the piece is along it, in mm.
    over: f64,
    bands: Vec<Band>,
}

/// Strips side by side in a band square to a way.
struct Band {
    /// By number among those that are asked about.
    strips: Vec<usize>,
    /// From where to where along the way, in mm.
    reach: [f64; 2],
    /// How much wood hangs together there, in mm².
    wood: f64,
}

/// How much of a strip is glued, in mm².
fn glued(insert: &Insert) -> f64 {
    insert.after_piercing.iter().map(Area::unsigned_area).sum()
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
        Cup { rise_mm: self.rise.abs(), over_mm: self.over, face_hollow_when_dry: self.rise < 0.0 }
    }
}

/// The one that bends more for its width; the first of equal ones.
fn steeper(a: Bent, b: Bent) -> Bent {
    if b.steepness() > a.steepness() { b } else { a }
}

/// The curvature of the season that bends more, as though the wood were dry in it.
fn worse(dry: f64, damp: f64) -> f64 {
    if dry.abs() >= damp.abs() { dry } else { -damp }
}
