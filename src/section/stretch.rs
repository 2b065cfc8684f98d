//! Slender parts of a piece: stretches of skeleton between the places where the wood opens out.

use std::ops::Range;

use crate::{
    shape::plane::{Point, dot},
    skeleton::Skeleton,
    units::Angle,
};

use super::{line::Line, station::Station};

/// When a run counts as crossing the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// A stretch has to cross by more than this somewhere.
    pub beyond: Angle,
    /// It ends where the crossing falls this much lower.
    pub hysteresis: Angle,
}

impl Crossing {
    /// A run that crosses by more than this somewhere is short grain. One drawn at exactly the angle stays on
    /// the one side, however it is rounded.
    pub(super) fn enter(&self) -> f64 {
        const ROUNDING: f64 = 1e-6;
        self.beyond.as_rad() + ROUNDING
    }

    /// And it is so for as long as it crosses by more than this.
    pub(super) fn leave(&self) -> f64 {
        self.enter() - self.hysteresis.as_rad()
    }
}

/// What ends a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StretchEnd {
    /// The wood itself ends.
    Tip,
    /// The wood opens out, at a corner or a fillet.
    OpensOut,
    /// It meets other stretches.
    Junction,
    /// The run turns along the grain, or across it.
    Turns,
}

/// A slender part of the piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Sections from start to end, in order; the first and last stand at the ends.
    pub stations: Vec<Station>,
    /// What it ends in.
    pub ends: [StretchEnd; 2],
    /// Whether it crosses the grain; else it runs along it.
    pub crosses: bool,
    /// The narrowest inscribed circle's diameter, in mm.
    pub neck: f64,
    /// The centre of that circle.
    pub neck_at: Point,
    /// Length along the run of the neck.
    pub neck_along: f64,
    /// The branch it belongs to.
    pub branch: usize,
    /// The links of that branch inside it; every one of them is cut when the stretch is taken out.
    pub links: Vec<usize>,
    /// The part of the run that has a proper width: it leaves out the rounding of a tip.
    pub full: Range<f64>,
}

impl Stretch {
    /// Length along the run, in mm.
    pub fn span(&self) -> f64 {
        self.stations.last().map_or(0.0, |station| station.along)
    }

    /// Narrowest width along the grain (for a stretch along the grain: square to the run), in mm.
    pub fn width(&self) -> f64 {
        let widths = self.stations.iter().filter(|s| self.full.contains(&s.along)).filter_map(|s| {
            if !self.crosses {
                return Some(s.width);
            }
            // A line that runs out over an end measures something else.
            let own = |p: Point| {
                let ahead = s.along + dot(p - s.at, s.run);
                ahead > -1e-6 && ahead < self.span() + 1e-6
            };
            (own(s.grain_line[0].at) && own(s.grain_line[1].at)).then(|| s.grain_width())
        });
        let least = widths.fold(f64::INFINITY, f64::min);
        if least.is_finite() { least } else { self.neck / self.middle().crossing.sin().max(0.5) }
    }

    /// The station nearest the neck.
    pub fn middle(&self) -> &Station {
        self.station_near(self.neck_along)
    }

    /// The station nearest a length along the run.
    pub fn station_near(&self, along: f64) -> &Station {
        self.stations
            .iter()
            .min_by(|a, b| (a.along - along).abs().total_cmp(&(b.along - along).abs()))
            .expect("a stretch has stations")
    }
}

/// Finds every stretch of a skeleton, across the grain and along it.
///
/// A stretch across the grain ends at a tip, where the wood opens out, at a junction's inscribed circle, or where
/// the run turns back along the grain. What is left and slender is a stretch along the grain.
pub fn stretches(skeleton: &Skeleton, grain: Angle, crossing: &Crossing) -> Vec<Stretch> {
    let mut found = Vec::new();
    for (index, branch) in skeleton.branches().iter().enumerate() {
        let line = Line::new(skeleton, branch, grain, crossing);
        for (range, crosses) in line.runs(crossing) {
            line.slender_parts(range, crosses, index, &mut found);
        }
    }
    found
}
