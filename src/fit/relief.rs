//! Cuts a pocket's corners out beyond the insert's sharp ones.

use super::contour::{Contour, Node};
use super::error::Fault;
use super::recover::bulge_through;
use super::segment::Segment;
use crate::shape::plane::{Point, cross, dot, unit};
use crate::units::Length;

/// A bit that is to cut reliefs.
#[derive(Clone, Copy)]
pub(super) struct Relief {
    /// The bit's radius in mm.
    pub(super) bit: f64,
    /// The clearance in mm.
    pub(super) clearance: f64,
}

impl Relief {
    /// A hair wider than the bit, so that its path is a small circle and not a point.
    fn radius(self) -> f64 {
        self.bit + self.clearance
    }

    /// Whether the bit's own roundness would hold off the insert's corner between these ways: it leaves
    /// `r (1/sin(θ/2) - 1)` in the corner, of which half the clearance there may be used up.
    fn is_needed(self, way_in: Point, way_out: Point) -> bool {
        let turn = cross(way_in, way_out).atan2(dot(way_in, way_out));
        turn > 0.0 && self.bit * (1.0 - (turn / 2.0).cos()) > self.clearance / 2.0
    }

    /// The pocket with a relief at each corner that needs one, and how many there are: part of a circle through the corner, its
    /// centre on the line that halves it.
    ///
    /// # Errors
    ///
    /// [`Fault::ShortSide`] for each corner whose sides are too short.
    pub(super) fn cut(self, pocket: &Contour) -> Result<(Contour, usize), Vec<Fault>> {
        let segments: Vec<Segment> = pocket.segments().collect();
        let count = segments.len();
        let before = |i: usize| (i + count - 1) % count;
        // Where each segment begins and ends once the reliefs are cut out of it, as parts of its way.
        let mut left: Vec<[f64; 2]> = vec![[0.0, 1.0]; count];
        let mut relieved = vec![false; count];
        let mut faults = Vec::new();
        for i in 0..count {
            let (a, b) = (segments[before(i)], segments[i]);
            let (way_in, way_out) = (a.last_direction(), b.first_direction());
            if !self.is_needed(way_in, way_out) {
                continue;
            }
            let centre = b.from() + unit(way_out - way_in) * self.radius();
            let end = a.meets_circle(centre, self.radius()).into_iter().rfind(|part| *part < 1.0 - 1e-6);
            let start = b.meets_circle(centre, self.radius()).into_iter().find(|part| *part > 1e-6);
            match (end, start) {
                (Some(end), Some(start)) => {
                    left[before(i)][1] = end;
                    left[i][0] = start;
                    relieved[i] = true;
                }
                _ => faults.push(self.short(b.from())),
            }
        }
        for i in 0..count {
            if left[i][1] - left[i][0] < 1e-6 {
                faults.push(self.short(segments[i].from()));
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut nodes = Vec::new();
        for (i, segment) in segments.iter().enumerate() {
            let [start, end] = left[i];
            if relieved[i] {
                let out = segments[before(i)].at(left[before(i)][1]);
                nodes.push(Node { at: out, bulge: bulge_through(out, segment.from(), segment.at(start)) });
            }
            nodes.push(Node { at: segment.at(start), bulge: (segment.sweep() * (end - start) / 4.0).tan() });
        }
        Ok((Contour::new(nodes), relieved.iter().filter(|one| **one).count()))
    }

    fn short(self, at: Point) -> Fault {
        Fault::ShortSide { at, relief: Length::mm(2.0 * self.radius()) }
    }
}
