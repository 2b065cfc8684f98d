//! The back: pockets and inserts as seen once the piece is turned over.

use geo_types::Polygon;
use svg::node::element::Group;

use super::super::label::Placer;
use super::super::mark;
use super::super::pen::{INK, PAPER, Pen, Spot, circle, line, shape};
use super::{Canvas, INSERT, chords, heading_height, leader};

/// The dot that ties a number to its insert, in mm.
const DOT: f64 = 0.7;

impl Canvas<'_> {
    /// Pockets and inserts as seen once the piece is turned over.
    pub(super) fn draw_back(&self, group: &mut Group) -> bool {
        let mut drawing = std::mem::take(group);
        let nowhere = |_: Spot| false;
        let head = heading_height(self.grain_deg);
        let mut placer = Placer::new([0.0, head], self.size, &nowhere);
        let middle = self.origin[0] + (self.bounds[2] - self.bounds[0]) / 2.0;
        let top = self.origin[1] - 4.0;
        let bottom = self.origin[1] + self.bounds[3] - self.bounds[1] + 4.0;
        let mirror = Pen::solid(0.25);
        let fitted: Vec<_> = self.shown.iter().filter_map(|p| p.insert.as_ref().map(|i| (p, i))).collect();
        for (_, insert) in &fitted {
            for left in &insert.after_piercing {
                drawing = drawing
                    .add(shape(&self.outline(left), PAPER, Some(Pen::solid(0.25))))
                    .add(self.insert_grain(left, insert.grain_deg));
            }
            drawing = drawing.add(shape(&self.outline(&insert.outline), "none", Some(INSERT)));
        }
        drawing = drawing.add(line([middle, top], [middle, self.origin[1]], mirror)).add(line(
            [middle, bottom - 4.0],
            [middle, bottom],
            mirror,
        ));
        let mut complete = true;
        for (place, _) in &fitted {
            placer.keep_ring(self.spot(place.at), DOT);
        }
        for (place, _) in &fitted {
            let centre = self.spot(place.at);
            let Some(spot) = placer.place(centre, DOT, mark::badge_half(&place.id.to_string())) else {
                complete = false;
                continue;
            };
            drawing = drawing
                .add(leader(centre, DOT, spot))
                .add(circle(centre, DOT, INK, Pen::solid(0.2)))
                .add(mark::badge(spot, &place.id.to_string(), place.verdict));
        }
        *group = drawing;
        complete
    }

    /// A few lines along an insert's own grain, cut to what the piercing leaves of it.
    fn insert_grain(&self, left: &Polygon<f64>, grain_deg: f64) -> Group {
        let mut group = Group::new();
        let (sin, cos) = grain_deg.to_radians().sin_cos();
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for c in left.exterior().coords() {
            let across = c.y * cos - c.x * sin;
            low = low.min(across);
            high = high.max(across);
        }
        let count = ((high - low) / 1.6).floor().max(1.0);
        let pitch = (high - low) / count;
        let mut shift = low + pitch / 2.0;
        while shift < high {
            for [from, to] in chords(left, grain_deg.to_radians(), shift) {
                group = group.add(line(self.spot(from), self.spot(to), Pen::solid(0.16).in_colour(INK)));
            }
            shift += pitch;
        }
        group
    }
}
