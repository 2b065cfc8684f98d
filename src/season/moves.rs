//! How much wood moves along and across its grain.

use crate::units::Length;
use crate::wood::{
    Board, OwnValues, Property, Rings, Status, Value, Wood, WoodError, movement, movement_by_shrinkage,
};

/// Movement along the grain for one percent of moisture: 0.1 to 0.2 % from green to oven-dry, here the middle, over 30 %
/// of moisture.
///
/// # Source
///
/// ANC Bulletin 19, *Wood Aircraft Inspection and Fabrication*, Table 2-8; that it is spread evenly over the moisture is
/// our own.
const ALONG_PER_PCT: f64 = 0.0015 / 30.0;

/// How one board's wood moves in its face.
#[derive(Clone, Debug, PartialEq)]
pub struct Moves {
    /// Along the grain, as a part of one for one percent of moisture.
    pub along_per_pct: f64,
    /// Across the grain in the face, likewise; it holds from 6 to 14 %.
    pub across_per_pct: f64,
    /// Shrinkage across in percent, green to oven-dry, for moistures beyond.
    pub shrinkage_pct: Option<f64>,
    /// Where the coefficient across stands.
    pub status: Status,
    /// Which of radial and tangential it is, in words.
    pub across_is: &'static str,
}

impl Moves {
    /// Of a wood in a board: tangential in flat-sawn stock, radial in quarter-sawn, their mean in rift-sawn at 45
    /// degrees (a strain turned by 45 degrees); where the rings are not known, the larger. Nothing where one that is asked
    /// for is not at hand.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] when the board's moisture is not from 0 to 30 %.
    pub fn new(wood: &Wood, board: &Board, own: &OwnValues) -> Result<Option<Self>, WoodError> {
        let values = wood.values(board, own)?;
        let find = |property: Property| values.iter().find(|value| value.property == property);
        let movement = [Property::MovementRadial, Property::MovementTangential].map(find);
        let shrinkage = [Property::ShrinkageRadial, Property::ShrinkageTangential].map(find);
        let [radial, tangential] = [0, 1].map(|k| movement[k].map(|value| (value, shrinkage[k])));
        let of = |(value, shrinkage): (&Value, Option<&Value>), across_is| Self {
            along_per_pct: ALONG_PER_PCT,
            across_per_pct: value.value,
            shrinkage_pct: shrinkage.map(|value| value.value),
            status: value.status,
            across_is,
        };
        let both = radial.zip(tangential);
        Ok(match board.rings {
            Rings::Flat => tangential.map(|found| of(found, "tangential, flat-sawn")),
            Rings::Quarter => radial.map(|found| of(found, "radial, quarter-sawn")),
            Rings::Unknown => both.map(|(radial, tangential)| {
                if radial.0.value > tangential.0.value {
                    of(radial, "radial, the larger, since the rings are not known")
                } else {
                    of(tangential, "tangential, the larger, since the rings are not known")
                }
            }),
            Rings::Rift => both.map(|(radial, tangential)| Self {
                across_per_pct: f64::midpoint(radial.0.value, tangential.0.value),
                shrinkage_pct: radial.1.zip(tangential.1).map(|(a, b)| f64::midpoint(a.value, b.value)),
                status: Status::Estimated,
                ..of(tangential, "midway between radial and tangential, rift-sawn")
            }),
        })
    }

    /// The free strain along and across when the moisture goes from one to the other: below zero when it dries.
    ///
    /// By the coefficient within 6 to 14 % (Wood Handbook, FPL-GTR-190 (2010), Eq. 13-2), beyond by the shrinkage
    /// (Eq. 13-3), or by the coefficient too where that is not known.
    pub fn strain(&self, [from, to]: [f64; 2]) -> [f64; 2] {
        let one = Length::mm(1.0);
        // Above fibre saturation wood no longer moves.
        let [from, to] = [from, to].map(|pct| pct.clamp(0.0, 30.0));
        let by_shrinkage = |shrinkage| movement_by_shrinkage(one, shrinkage, from, to).ok();
        let across = movement(one, self.across_per_pct, from, to)
            .ok()
            .or_else(|| by_shrinkage(self.shrinkage_pct?))
            .map_or(self.across_per_pct * (to - from), Length::as_mm);
        [self.along_per_pct * (to - from), across]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    fn cherry(rings: Rings) -> Moves {
        let board = Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings, moisture_pct: 8.0 };
        let wood = Wood::find("cherry").expect("cherry is listed");
        Moves::new(wood, &board, &OwnValues::none()).expect("8 %").expect("cherry's movement is printed")
    }

    #[test]
    fn rings_choose_the_coefficient_and_unknown_ones_the_larger() {
        // Wood Handbook Table 13-5: black cherry 0.00126 radial, 0.00248 tangential.
        let across = |rings| cherry(rings).across_per_pct;
        assert_eq!((across(Rings::Quarter), across(Rings::Flat)), (0.001_26, 0.002_48));
        assert_eq!(across(Rings::Unknown), 0.002_48);
        assert!((across(Rings::Rift) - 0.001_87).abs() < 1e-12);
    }

    #[test]
    fn a_flat_sawn_board_moves_by_the_tangential_figure_alone() {
        let wood = Wood::find("iroko").expect("iroko is listed");
        let mut own = OwnValues::none();
        own.set(Property::MovementTangential, 0.002).expect("a figure that wood can have");
        let moves = |rings| {
            let board =
                Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings, moisture_pct: 8.0 };
            Moves::new(wood, &board, &own).expect("8 %").map(|moves| moves.across_per_pct)
        };
        assert_eq!(moves(Rings::Flat), Some(0.002));
        for rings in [Rings::Quarter, Rings::Unknown, Rings::Rift] {
            assert_eq!(moves(rings), None, "{rings:?}");
        }
    }

    #[test]
    fn beyond_14_percent_the_shrinkage_counts_and_meets_the_coefficient_there() {
        let moves = cherry(Rings::Flat);
        let [along, within] = moves.strain([6.0, 14.0]);
        let [_, beyond] = moves.strain([6.0, 14.001]);
        assert!((within / beyond - 1.0).abs() < 0.02, "{within} {beyond}");
        assert!(along > 0.0 && along < within / 30.0);
        assert_eq!(moves.strain([9.0, 9.0]), [0.0, 0.0]);
        assert!(moves.strain([9.0, 6.0])[1] < 0.0);
        assert_eq!(moves.strain([28.0, 30.0]), moves.strain([28.0, 40.0]));
    }
}
