//! Sections that follow each other in turn, also where the run goes sharply about a corner.

use crate::shape::plane::{Point, distance};

use super::station::Station;

/// Both sections at a length along the run: square to it through the circle's centre, and between the points the circle
/// touches.
///
/// Between straight walls they say the same. Where the run turns sharply about a corner, the square line passes the corner and
/// goes on into other wood.
pub(super) struct Sections {
    pub(super) square: Station,
    pub(super) touching: Option<Station>,
    pub(super) misses: bool,
}

/// Walls as steep to the run as wood that opens out (30°) are met at 1.15 times the circle's radius; a line that goes much
/// farther has passed its own wall.
const MISSES: f64 = 1.25;
/// Both sections are one where their middles are this part of the width apart.
const AGREE: f64 = 0.01;

/// Whether a line square to the run through a circle's centre `p` passes a wall the circle touches.
pub(super) fn misses(p: Point, square: &Station, touching: &Station) -> bool {
    let mut walls = square.square.iter().zip(&touching.square);
    walls.any(|(met, touch)| distance(met.at, p) > MISSES * distance(touch.at, p))
}

/// The sections of a stretch: square to the run, but where the run turns about a corner, from where both kinds still agree,
/// between touching points, so that they follow each other in turn.
pub(super) fn in_turn(sections: &[Sections], neck_along: f64) -> Vec<Station> {
    let mut stations: Vec<Station> = sections.iter().map(|section| section.square).collect();
    let agree = |section: &Sections| {
        let square = &section.square;
        section.touching.is_none_or(|other| distance(square.at, other.at) <= AGREE * square.width)
    };
    let neck = sections.partition_point(|section| section.square.along < neck_along);
    let mut bend = |outward: &mut dyn Iterator<Item = usize>| {
        let outward: Vec<usize> = outward.collect();
        let Some(first) = outward.iter().position(|&i| sections[i].misses) else { return };
        let from = outward[..first].iter().rposition(|&i| agree(&sections[i])).unwrap_or(0);
        for &i in &outward[from..] {
            if let Some(touching) = sections[i].touching {
                stations[i] = touching;
            }
        }
    };
    bend(&mut (neck..sections.len()));
    bend(&mut (0..neck.min(sections.len())).rev());
    stations
}

/// The last section of a stretch, measured `most` off its end at the most.
///
/// Exactly on a corner, or a little aslant beside it, the section's line runs on into the open wood: then it is wider at
/// once than it is farther in.
pub(super) fn clear_of_corners(measured: impl Fn(f64) -> Station, most: f64) -> Station {
    const AT_ONCE: f64 = 1.2;
    let inside = measured(most);
    let mut off = [1e-3, 1e-2, 0.1, 0.3].into_iter().map(|part| measured(part * most));
    off.find(|station| station.width < AT_ONCE * inside.width).unwrap_or(inside)
}
