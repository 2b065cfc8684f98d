//! How far a glued piece stands hollow when it dries or swells.

use std::f64::consts::FRAC_PI_2;

use geo::{Area, BooleanOps};
use geo_types::{Coord, LineString, Polygon};

use crate::check::Insert;
use crate::season::{Lamina, Laminate, Layer};
use crate::shape::plane::{direction, extent, left};

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
                .map(|ply| self.lamina(ply.thickness_mm, (ply.grain_deg - board).to_radians(), free))
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

    pub(super) fn cup_of_strips(&self, strips: &[Strip]) -> Option<Cup> {
        let all: Vec<Bent> = strips.iter().filter_map(|strip| self.bent(&strip.insert)).collect();
        let worst = all.iter().copied().reduce(steeper)?;
        let rise: f64 = all.iter().map(|bent| bent.rise.abs()).sum();
        Some(Bent { rise: rise.copysign(worst.rise), ..worst }.cup())
    }

    /// How far the piece rises for one strip.
    pub(super) fn rise(&self, insert: &Insert) -> f64 {
        self.bent(insert).map_or(0.0, |bent| bent.rise.abs())
    }

    /// How far the piece bends for one strip, the way it bends more.
    fn bent(&self, insert: &Insert) -> Option<Bent> {
        let turn = insert.grain_deg.to_radians() - self.patient.board.grain.as_rad();
        let (thickness, front) = (self.thickness(), self.thickness() - insert.depth_mm);
        let glued: f64 = insert.after_piercing.iter().map(Area::unsigned_area).sum();
        let bent = |way: Coord<f64>, angle: f64, length: f64, [one, other]: [Layer; 2]| {
            let part = (glued / self.band(&insert.outline, way)).min(1.0);
            let bend = |free: [f64; 2]| {
                let strip =
                    Laminate::new(&[self.lamina(insert.depth_mm, turn, free), self.lamina(front, 0.0, free)]);
                let plain = Laminate::new(&[self.lamina(thickness, 0.0, free)]);
                let [x, y, twist] = Laminate::beside(&[(part, strip), (1.0 - part, plain)]).warp().curvature;
                let (sin, cos) = angle.sin_cos();
                x * cos * cos + y * sin * sin + twist * sin * cos
            };
            let over = self.width(way);
            let rise = worse(bend(self.dry), bend(self.damp)) * one.lag(&other).rise(length.min(over), over);
            Bent { rise, over }
        };
        let (along, crossed) = (direction(insert.grain_deg.to_radians()), self.crossed(insert));
        let ways = [
            bent(along, turn, insert.length_mm, crossed.along()),
            bent(left(along), turn + FRAC_PI_2, insert.width_mm, crossed.square()),
        ];
        ways.into_iter().filter(|bent| bent.rise.is_finite()).reduce(|a, b| steeper(b, a))
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

    /// How much wood of the piece lies in the band square to `way` that a strip takes up.
    fn band(&self, strip: &Polygon<f64>, way: Coord<f64>) -> f64 {
        let beside = left(way);
        let [from, to] = extent(strip.exterior().coords().copied(), way);
        let [low, high] = self.ground.extent(beside);
        let corner = |u: f64, v: f64| way * u + beside * v;
        let (low, high) = (low - 1.0, high + 1.0);
        let ring =
            vec![corner(from, low), corner(to, low), corner(to, high), corner(from, high), corner(from, low)];
        let band = Polygon::new(LineString::new(ring), Vec::new());
        self.patient.shape.polygon().intersection(&band).unsigned_area()
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
