//! The lines along which places break.

use geo_types::Coord;
use svg::node::element::Group;

use super::super::label::Placer;
use super::super::mark;
use super::super::pen::Spot;
use super::{Canvas, distance};
use crate::check::{Finding, Place, PushKind};

/// Whether a line is drawn along which some place breaks under a push of this kind.
pub(in crate::drawing) fn breaks_under(finding: &Finding, kind: PushKind) -> bool {
    finding.places.iter().flat_map(break_lines).any(|(other, _)| other == kind)
}

impl Canvas<'_> {
    pub(super) fn break_lines(&self, mut group: Group, place: &Place, placer: &mut Placer<'_>) -> Group {
        for (kind, line) in break_lines(place) {
            let [from, to] = line.map(|end| self.spot(end));
            placer.keep_line(from, to);
            group = group.add(mark::break_line(from, to, kind));
        }
        group
    }
}

/// Break lines of both pushes; where they are one line, it is that of the push that governs.
fn break_lines(place: &Place) -> Vec<(PushKind, [Coord<f64>; 2])> {
    let (face, side) = (&place.face, &place.side);
    let pushes = if face.risk >= side.risk { [face, side] } else { [side, face] };
    let spots = |line: [Coord<f64>; 2]| line.map(|end| [end.x, end.y]);
    let mut lines: Vec<(PushKind, [Coord<f64>; 2])> = Vec::new();
    for push in pushes {
        for &line in &push.break_line {
            if !lines.iter().any(|(_, other)| same_line(spots(*other), spots(line))) {
                lines.push((push.kind, line));
            }
        }
    }
    lines
}

pub(super) fn same_line(a: [Spot; 2], b: [Spot; 2]) -> bool {
    let near = |p: Spot, q: Spot| distance(p, q) < 0.5;
    (near(a[0], b[0]) && near(a[1], b[1])) || (near(a[0], b[1]) && near(a[1], b[0]))
}
