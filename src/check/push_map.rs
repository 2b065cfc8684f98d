//! The least force that breaks a piece, point by point of its face.

use geo_types::Coord;

/// Forces on the points of a grid over a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PushMap {
    /// Distance between neighbours, in mm.
    pub spacing_mm: f64,
    /// The point of the first column and row: the lowest x and y.
    pub first: Coord<f64>,
    /// How many columns, along x, and rows, along y.
    pub columns: usize,
    /// See `columns`.
    pub rows: usize,
    /// Row by row from the lowest: nothing beside the wood, and where no push of up to six times the stated one breaks a place;
    /// places that bear more are not proved.
    pub points: Vec<Option<PushPoint>>,
}

/// The least push on one point of the face that breaks a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PushPoint {
    /// The force, in N, down on the face on the usual pad.
    pub breaks_at_n: f64,
    /// The place that breaks, by its [`id`](super::Place::id).
    pub place: usize,
}

impl PushMap {
    /// Where a column and a row meet.
    pub fn at(&self, column: usize, row: usize) -> Coord<f64> {
        Coord {
            x: self.first.x + self.spacing_mm * column as f64,
            y: self.first.y + self.spacing_mm * row as f64,
        }
    }

    /// What is known there.
    pub fn point(&self, column: usize, row: usize) -> Option<&PushPoint> {
        self.points[row * self.columns + column].as_ref()
    }

    /// All points that load a place, with where they are.
    pub fn known(&self) -> impl Iterator<Item = (Coord<f64>, &PushPoint)> {
        let all = (0..self.rows).flat_map(|row| (0..self.columns).map(move |column| (column, row)));
        all.filter_map(|(column, row)| Some((self.at(column, row), self.point(column, row)?)))
    }
}
