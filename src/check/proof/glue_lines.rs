//! Windows on the glue lines of a blank that is glued up of layers.
//!
//! A layer that is one with all of the piece ends nowhere, so that a line asks its glue at itself alone: what lies farther on
//! belongs to the lines there. On either side of the line, at its free ends or in its middle, peel and shear are asked over a window as
//! long as those of the planes on it, both ways. Each glue line is one floor for all lines.

use std::sync::Arc;

use crate::{
    shape::plane::{Point, distance, left, unit},
    solid::Floor,
    wood::Mechanics,
};

use super::{
    super::ply::Part,
    floors::turned,
    layup::Laid,
    planes::Candidate,
    rule::Rule,
    windows::{Laying, Seat, Windowed},
};

/// Windows are no smaller than this either way, in mm: about as small as triangles are.
const SMALLEST: f64 = 1.5;

/// Glue all over the piece, under or over a layer that goes through it.
pub(super) struct GlueLine {
    floor: Arc<Floor>,
    rule: Rule,
    wood: Mechanics,
}

impl Laying<'_> {
    /// Every glue line of a blank that is glued up of layers.
    pub(super) fn glue_lines(&self) -> Vec<GlueLine> {
        let through = self.lay_up.plies.iter().filter(|ply| ply.zone.is_none());
        through
            .flat_map(|ply| self.interfaces(ply).into_iter().map(move |below| (ply, below)))
            .filter_map(|(ply, below)| self.glue_line(ply, below))
            .collect()
    }

    fn glue_line(&self, ply: &Laid, below: usize) -> Option<GlueLine> {
        let (_, mechanics) = ply.wood?;
        let wood = |t: u32, k: usize| self.solid.element_nodes(t as usize, k).is_some();
        let count = u32::try_from(self.solid.body().mesh.triangles.len()).ok()?;
        let glued: Vec<u32> = (0..count).filter(|&t| wood(t, below) && wood(t, below + 1)).collect();
        let floor = Floor::new(self.solid, &glued, u32::try_from(below).ok()?)?;
        let weaker = self.wood.tension_across.min(mechanics.tension_across);
        Some(GlueLine {
            floor: Arc::new(floor),
            rule: Rule::Glue {
                board: self.grain,
                ply: ply.grain,
                rolling: mechanics.rolling_shear / self.wood.rolling_shear,
            },
            wood: Mechanics { tension_across: weaker, ..self.wood.clone() },
        })
    }
}

impl GlueLine {
    /// Its windows beside a line.
    pub(super) fn beside(&self, laying: &Laying, k: usize, candidate: &Candidate) -> Option<Windowed> {
        let [from, to] = candidate.line;
        let (way, length) = (unit(to - from), distance(from, to));
        let size = candidate.window().max(SMALLEST).min(length);
        let starts = [0.0, (length - size) / 2.0, length - size];
        let mut windows = Vec::new();
        for (side, away) in [(0u8, left(way)), (2, -left(way))] {
            for (j, start) in (0u8..).zip(starts).filter(|(j, _)| candidate.at(*j)) {
                let window = square(from + way * start, way * size, away * size);
                let asked = self.floor.mean(laying.solid, &window);
                windows.extend(asked.map(|asked| Seat {
                    place: [side, j],
                    asked: turned(asked),
                    other: None,
                }));
            }
        }
        let floor = Arc::clone(&self.floor);
        (!windows.is_empty())
            .then(|| Windowed::floor(k, Part::GlueLine, floor, self.rule, self.wood.clone(), windows))
    }
}

/// A rectangle with two sides from a corner, anticlockwise.
fn square(corner: Point, along: Point, away: Point) -> [Point; 4] {
    let ring = [corner, corner + along, corner + along + away, corner + away];
    if crate::shape::plane::cross(along, away) > 0.0 { ring } else { [ring[0], ring[3], ring[2], ring[1]] }
}
