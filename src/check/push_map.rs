//! The least force that breaks a piece, point by point of its face.

use geo_types::Coord;

use crate::{shape::plane::distance, solid::Face};

use super::{PieceRemark, Place};

/// Forces on the points of a grid over a piece, and along its walls.
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
    /// Row by row from the lowest: nothing beside the wood, where no push of up to six times the stated one breaks a place, and where
    /// none was tried.
    pub points: Vec<Option<PushPoint>>,
    /// Points off the grid: along the walls, where a pad hangs over the edge, and where the check pushes hardest on a place.
    pub off_grid: Vec<(Coord<f64>, PushPoint)>,
    /// The places, by [`id`](super::Place::id), on which not every push was tried: to save work, and since their wood is too large for
    /// one solid model. What the check's own weakest push on each comes to is known all the same.
    pub left_out: Vec<usize>,
    /// See `left_out`.
    pub unsolved: Vec<usize>,
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

    /// Takes in the weakest pushes on the face that a check has found, by their places' numbers in the list: it cuts places more finely,
    /// and where a case is left out they are known still. Nothing above `most` stands on it, in N.
    pub(super) fn take_in(&mut self, places: &[Place], most: f64) {
        for (number, place) in places.iter().enumerate() {
            let push = &place.face;
            let of_face = push.solved.as_ref().filter(|solved| solved.from == Some(Face::Show));
            let Some(solved) = of_face.filter(|_| push.breaks_at_n <= most) else { continue };
            let at = solved.pad_at.unwrap_or(push.push_at);
            let new = PushPoint { breaks_at_n: push.breaks_at_n, place: number };
            match self.off_grid.iter_mut().find(|(other, _)| distance(*other, at) < SAME) {
                Some((_, known)) if known.breaks_at_n <= new.breaks_at_n => {}
                Some((_, known)) => *known = new,
                None => self.off_grid.push((at, new)),
            }
        }
    }

    /// What is to be told of it; so much work was allowed.
    pub(super) fn told(&self, work: usize) -> Vec<PieceRemark> {
        let (left_out, unsolved) = (self.left_out.len(), self.unsolved.len());
        let told = [
            (left_out, PieceRemark::MapLeftOut { places: left_out, work }),
            (unsolved, PieceRemark::MapUnsolved { places: unsolved }),
        ];
        told.into_iter().filter(|(places, _)| *places > 0).map(|(_, remark)| remark).collect()
    }

    /// Names places by their numbers where they stood in a list.
    pub(super) fn number(&mut self, numbers: &[usize]) {
        let on_grid = self.points.iter_mut().flatten();
        for point in on_grid.chain(self.off_grid.iter_mut().map(|(_, point)| point)) {
            point.place = numbers[point.place];
        }
        for places in [&mut self.left_out, &mut self.unsolved] {
            places.iter_mut().for_each(|place| *place = numbers[*place]);
            places.sort_unstable();
        }
    }

    /// All points that load a place, with where they are.
    pub fn known(&self) -> impl Iterator<Item = (Coord<f64>, &PushPoint)> {
        let all = (0..self.rows).flat_map(|row| (0..self.columns).map(move |column| (column, row)));
        let on_grid = all.filter_map(|(column, row)| Some((self.at(column, row), self.point(column, row)?)));
        on_grid.chain(self.off_grid.iter().map(|(at, point)| (*at, point)))
    }
}

/// Pads nearer each other are one, in mm.
const SAME: f64 = 1e-6;
