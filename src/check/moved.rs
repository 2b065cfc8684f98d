//! A finding carried over to a piece that is another one's copy, moved.

use geo::Translate;
use geo_types::Coord;

use super::{Finding, Insert, PieceRemark, Place, Push, PushMap};

impl Finding {
    /// What is found on a copy of the piece, called `name`, that lies `by` mm away and is neither turned nor mirrored: the same, with
    /// every position moved.
    ///
    /// Whether it is a copy is the caller's to know; [`Shape::from_its_start`](crate::shape::Shape::from_its_start) tells.
    #[must_use]
    pub fn moved(&self, name: &str, by: Coord<f64>) -> Self {
        let mut moved = Self { name: name.to_owned(), ..self.clone() };
        let [x0, y0, x1, y1] = self.bounds_mm;
        moved.bounds_mm = [x0 + by.x, y0 + by.y, x1 + by.x, y1 + by.y];
        moved.places.iter_mut().for_each(|place| place.shift(by));
        moved.remarks.iter_mut().for_each(|remark| remark.shift(by));
        moved.push_map.iter_mut().for_each(|map| map.shift(by));
        moved
    }
}

impl Place {
    fn shift(&mut self, by: Coord<f64>) {
        shift(self.run.iter_mut().chain([&mut self.at]), by);
        self.face.shift(by);
        self.side.shift(by);
        self.insert.iter_mut().for_each(|insert| insert.shift(by));
    }
}

impl Push {
    fn shift(&mut self, by: Coord<f64>) {
        let lines = self.break_line.iter_mut().chain([&mut self.closed_form.break_line]).flatten();
        let pad = self.solved.iter_mut().filter_map(|solved| solved.pad_at.as_mut());
        shift(lines.chain(pad).chain([&mut self.push_at, &mut self.closed_form.push_at]), by);
    }
}

impl Insert {
    fn shift(&mut self, by: Coord<f64>) {
        for outline in self.after_piercing.iter_mut().chain([&mut self.outline]) {
            outline.translate_mut(by.x, by.y);
        }
    }
}

impl PieceRemark {
    fn shift(&mut self, by: Coord<f64>) {
        match self {
            Self::Hair { at, .. } => *at = *at + by,
            Self::NoPlace
            | Self::Thread
            | Self::Hopeless { .. }
            | Self::TooMuchWork { .. }
            | Self::MapLeftOut { .. }
            | Self::MapUnsolved { .. } => {}
        }
    }
}

impl PushMap {
    fn shift(&mut self, by: Coord<f64>) {
        shift(self.off_grid.iter_mut().map(|(at, _)| at).chain([&mut self.first]), by);
    }
}

fn shift<'a>(points: impl Iterator<Item = &'a mut Coord<f64>>, by: Coord<f64>) {
    points.for_each(|point| *point = *point + by);
}
