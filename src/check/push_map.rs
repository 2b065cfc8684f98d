//! The least force that breaks a piece, point by point of its face.

use geo_types::Coord;

use crate::solid::Face;

use super::Place;

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
    /// places that bear more are not asked.
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

    /// Takes in the weakest pushes on the face that a check has found, by their places' numbers in the list: the map's own pushes
    /// act on its points alone, and where a case is too big to be pushed everywhere a place's answer is still known. Nothing above
    /// `most` stands on it, in N.
    pub(super) fn take_in(&mut self, places: &[Place], most: f64) {
        for (number, place) in places.iter().enumerate() {
            let push = &place.face;
            let from_the_face = push.solved.as_ref().is_some_and(|solved| solved.from == Some(Face::Show));
            let nearest = |at: f64, first: f64| ((at - first) / self.spacing_mm).round().max(0.0) as usize;
            let column = nearest(push.push_at.x, self.first.x).min(self.columns - 1);
            let row = nearest(push.push_at.y, self.first.y).min(self.rows - 1);
            let known = &mut self.points[row * self.columns + column];
            let weaker = known.is_none_or(|known| push.breaks_at_n < known.breaks_at_n);
            if from_the_face && weaker && push.breaks_at_n <= most {
                *known = Some(PushPoint { breaks_at_n: push.breaks_at_n, place: number });
            }
        }
    }

    /// All points that load a place, with where they are.
    pub fn known(&self) -> impl Iterator<Item = (Coord<f64>, &PushPoint)> {
        let all = (0..self.rows).flat_map(|row| (0..self.columns).map(move |column| (column, row)));
        all.filter_map(|(column, row)| Some((self.at(column, row), self.point(column, row)?)))
    }
}
