//! A piece made ready once, to be checked on many boards.

use crate::{
    shape::Shape,
    skeleton::{MeshError, Pruning, Skeleton},
    wood::{Board, Mechanics},
};

use super::{Finding, Known, Options, Ply, Pushes, found};

/// What a piece is judged by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Terms<'a> {
    pub(crate) name: &'a str,
    pub(crate) board: &'a Board,
    pub(crate) wood: &'a Mechanics,
    pub(crate) pushes: &'a Pushes,
    pub(crate) options: &'a Options,
}

/// What is let into a piece or glued behind it, and what is asked and known of that.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mended<'a> {
    pub(super) plies: &'a [Ply],
    pub(super) known: Option<&'a Known>,
    /// Whether it is asked what plies still bear once the wood in front of them has cracked.
    pub(super) cracks: bool,
}

/// A piece with all that depends on its outline alone: neither grain nor wood moves its skeleton.
///
/// ```
/// use geo_types::polygon;
/// use shortgrain::{
///     check::{Options, Prepared, Pushes},
///     shape::Shape,
///     units::{Angle, Length},
///     wood::{Board, OwnValues, Rings, Wood},
/// };
///
/// let fork = Shape::new(polygon![
///     (x: 0.0, y: 0.0), (x: 60.0, y: 0.0), (x: 60.0, y: 30.0), (x: 34.0, y: 30.0), (x: 34.0, y: 60.0),
///     (x: 26.0, y: 60.0), (x: 26.0, y: 30.0), (x: 0.0, y: 30.0),
/// ])?;
/// let piece = Prepared::new(&fork)?;
/// let mut weakest = Vec::new();
/// for grain in [0.0, 90.0] {
///     let grain = Angle::deg(grain);
///     let board = Board { thickness: Length::mm(19.0), grain, rings: Rings::Flat, moisture_pct: 12.0 };
///     let wood = Wood::find("hard maple")?.mechanics(&board, &OwnValues::none())?;
///     let options = Options { solid: false, ..Options::default() };
///     weakest.push(piece.check("fork", &board, &wood, &Pushes::default(), &options).places[0].side.breaks_at_n);
/// }
/// // Up the arm the grain makes it many times as strong as across it.
/// assert!(weakest[1] > 5.0 * weakest[0]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Prepared<'a> {
    shape: &'a Shape,
    skeleton: Skeleton,
}

impl<'a> Prepared<'a> {
    /// Finds the skeleton of a piece.
    ///
    /// # Errors
    ///
    /// [`MeshError`] when the shape's rings touch or cross.
    pub fn new(shape: &'a Shape) -> Result<Self, MeshError> {
        Ok(Self { shape, skeleton: Skeleton::new(shape, &Pruning::default())? })
    }

    /// The same finding as [`check`](super::check()) gives.
    pub fn check(
        &self,
        name: &str,
        board: &Board,
        wood: &Mechanics,
        pushes: &Pushes,
        options: &Options,
    ) -> Finding {
        self.check_mended(name, board, wood, pushes, options, &[])
    }

    /// The same finding as [`check_mended`](super::check_mended()) gives.
    pub fn check_mended(
        &self,
        name: &str,
        board: &Board,
        wood: &Mechanics,
        pushes: &Pushes,
        options: &Options,
        plies: &[Ply],
    ) -> Finding {
        let terms = Terms { name, board, wood, pushes, options };
        let mended = Mended { plies, known: None, cracks: true };
        found((self.shape, &self.skeleton), &terms, &mended)
    }

    /// The same where some of its cases may be known from other checks of it under the same pushes and options; what plies bear after a first crack
    /// is told where `cracks` says so.
    pub(crate) fn check_knowing(
        &self,
        terms: &Terms<'_>,
        plies: &[Ply],
        known: &Known,
        cracks: bool,
    ) -> Finding {
        found((self.shape, &self.skeleton), terms, &Mended { plies, known: Some(known), cracks })
    }
}
