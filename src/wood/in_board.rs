//! From what is printed to what holds in a board: its moisture, its rings, the user's own figures.

use super::{
    Board, Mechanics, OwnValues, Property as P, Rings, Status, Value, Wood, WoodError,
    derive::Work,
    moisture::{MOISTURE, VERY_DRY, WET},
};
use std::collections::BTreeMap;

impl Wood {
    /// Every value of this wood in `board`, in the order of [`Property::ALL`](super::Property::ALL), each with
    /// where it comes from. What is neither printed nor can be estimated is left out.
    ///
    /// A value in `own` stands as it is; what rests on it follows it. Above 20 % moisture wood is read as nearly
    /// green: nothing gets weaker beyond the green values, and [`cautions`](Self::cautions) says so.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] when the board's moisture is not from 0 to 30 %.
    pub fn values(&self, board: &Board, own: &OwnValues) -> Result<Vec<Value>, WoodError> {
        Ok(self.sheet(board, own)?.into_values().collect())
    }

    /// The numbers the strength rules ask for, in `board`: [`values`](Self::values) without their sources.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] when the board's moisture is not from 0 to 30 %; [`WoodError::Missing`] when a
    /// needed value is neither printed, nor the user's own, nor to be estimated.
    ///
    /// # Example
    ///
    /// ```
    /// use shortgrain::{units::{Angle, Length}, wood::{Board, OwnValues, Rings, Wood}};
    ///
    /// let board = Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings: Rings::Flat, moisture_pct: 8.0 };
    /// let cherry = Wood::find("cherry")?.mechanics(&board, &OwnValues::none())?;
    /// assert_eq!(cherry.tension_across, 3.9);
    /// assert!((cherry.shear_along - 13.26).abs() < 0.01);
    /// # Ok::<(), shortgrain::wood::WoodError>(())
    /// ```
    pub fn mechanics(&self, board: &Board, own: &OwnValues) -> Result<Mechanics, WoodError> {
        let sheet = self.sheet(board, own)?;
        let needed = P::ALL.into_iter().filter(|property| NEEDED.contains(property));
        let missing: Vec<_> = needed.filter(|p| !sheet.contains_key(p)).map(P::label).collect();
        if !missing.is_empty() {
            return Err(WoodError::Missing { wood: self.name().to_owned(), missing });
        }
        let get = |property| sheet[&property].value;
        let estimated = sheet[&P::TensionAcross].status == Status::Estimated;
        Ok(Mechanics {
            tension_across: get(P::TensionAcross),
            shear_along: get(P::ShearAlong),
            rolling_shear: get(P::RollingShear),
            bending: get(P::Bending),
            compression_along: get(P::CompressionAlong),
            compression_across: sheet.get(&P::CompressionAcross).map(|value| value.value),
            young_along: get(P::YoungAlong),
            young_in_plane: get(P::YoungInPlane),
            young_through: get(P::YoungThrough),
            shear_modulus_face: get(P::ShearModulusFace),
            shear_modulus_through: get(P::ShearModulusThrough),
            shear_modulus_rolling: get(P::ShearModulusRolling),
            poisson_face: get(P::PoissonFace),
            poisson_through: get(P::PoissonThrough),
            poisson_rolling: get(P::PoissonRolling),
            variation_across: if board.moisture_pct < VERY_DRY { 0.30 } else { 0.25 },
            variation_estimate: if estimated { self.class().variation_of_estimate() } else { 0.0 },
        })
    }

    /// What a person should be told about this wood in `board`, in whole sentences.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] when the board's moisture is not from 0 to 30 %.
    pub fn cautions(&self, board: &Board, own: &OwnValues) -> Result<Vec<String>, WoodError> {
        let sheet = self.sheet(board, own)?;
        let name = self.name();
        let moisture = board.moisture_pct;
        let mut cautions = Vec::new();
        let estimated = sheet.get(&P::TensionAcross).is_some_and(|value| value.status == Status::Estimated);
        if estimated {
            cautions.push(format!(
                "No test of tension across the grain is at hand for {name}: it is estimated from specific gravity, and the \
                 forces are less certain for it."
            ));
        }
        if sheet.get(&P::ShearModulusRolling).is_some_and(|value| value.status == Status::Estimated) {
            cautions.push(format!(
                "No shear stiffness across the grain is at hand for {name}: that of woods not listed is taken, and places \
                 that a push twists are less certain for it."
            ));
        }
        if board.rings == Rings::Unknown {
            cautions.push(String::from(
                "How the rings run is not known: strengths and stiffnesses are the smaller of radial and tangential. That is \
                 no least where a push twists a place: in a quarter-sawn board it may break at a fifth less. Say how the \
                 board is sawn (rings).",
            ));
        }
        if moisture < VERY_DRY {
            cautions.push(format!(
                "At {moisture} % moisture {name} is very dry: its strength across the grain is taken as at 12 %, with \
                 more scatter."
            ));
        }
        if moisture > WET {
            cautions.push(format!(
                "At {moisture} % moisture {name} is nearly green: strengths are the least that is known of wet wood."
            ));
        }
        if !self.is_own && self.green.is_empty() && moisture != self.dry_pct {
            cautions.push(format!(
                "No green values are at hand for {name}: all but tension across the grain and rolling shear are left as \
                 tested at {} % moisture.",
                self.dry_pct
            ));
        }
        Ok(cautions)
    }

    fn sheet(&self, board: &Board, own: &OwnValues) -> Result<BTreeMap<P, Value>, WoodError> {
        let [low, high] = MOISTURE;
        let found = board.moisture_pct;
        if !(low..=high).contains(&found) {
            let hint = "a heated room keeps wood at 6 to 9, a shed at 12 to 15";
            return Err(WoodError::OutOfRange {
                what: "the board's moisture",
                found,
                low,
                high,
                unit: "%",
                hint,
            });
        }
        let mut work = Work { wood: self, board, values: BTreeMap::new() };
        for property in P::ALL {
            let value = match own.get(property) {
                Some(value) => Some(Value::new(property, value, Status::Yours, "your own figure")),
                None => work.derive(property),
            };
            work.values.extend(value.map(|value| (property, value)));
        }
        Ok(work.values)
    }
}

/// What [`Mechanics`] cannot do without.
const NEEDED: [P; 14] = [
    P::TensionAcross,
    P::ShearAlong,
    P::RollingShear,
    P::Bending,
    P::CompressionAlong,
    P::YoungAlong,
    P::YoungInPlane,
    P::YoungThrough,
    P::ShearModulusFace,
    P::ShearModulusThrough,
    P::ShearModulusRolling,
    P::PoissonFace,
    P::PoissonThrough,
    P::PoissonRolling,
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Angle, Length};
    use proptest::prelude::*;

    const RINGS: [Rings; 4] = [Rings::Unknown, Rings::Flat, Rings::Quarter, Rings::Rift];

    fn board(moisture_pct: f64, rings: Rings) -> Board {
        Board { thickness: Length::mm(19.0), grain: Angle::deg(0.0), rings, moisture_pct }
    }

    fn mechanics(wood: &Wood, moisture_pct: f64) -> Mechanics {
        wood.mechanics(&board(moisture_pct, Rings::Unknown), &OwnValues::none()).expect("the tables suffice")
    }

    fn any_wood() -> impl Strategy<Value = &'static Wood> {
        (0..Wood::all().len()).prop_map(|index| &Wood::all()[index])
    }

    #[test]
    fn every_wood_has_all_that_the_strength_rules_ask_for() {
        for wood in Wood::all() {
            for rings in RINGS {
                for moisture_pct in [0.0, 5.9, 6.0, 8.0, 12.0, 15.0, 20.0, 25.0, 30.0] {
                    let board = board(moisture_pct, rings);
                    let values = wood.values(&board, &OwnValues::none()).unwrap();
                    assert!(values.is_sorted_by_key(|value| value.property), "in order");
                    for value in &values {
                        assert!(value.value.is_finite() && value.value > 0.0, "{}: {value:?}", wood.name());
                        assert!(!value.source.is_empty() && value.status != Status::Yours);
                    }
                    let found = wood.mechanics(&board, &OwnValues::none()).unwrap();
                    assert!(
                        found.young_in_plane < found.young_along && found.young_through < found.young_along
                    );
                    assert!(found.rolling_shear < found.shear_along, "{}", wood.name());
                }
            }
        }
    }

    #[test]
    fn at_twelve_percent_the_tables_stand_as_printed() {
        for wood in Wood::all().iter().filter(|wood| wood.dry_pct == 12.0) {
            for value in wood.values(&board(12.0, Rings::Flat), &OwnValues::none()).unwrap() {
                if let Some(printed) = wood.dry.get(&value.property) {
                    assert_eq!(
                        (value.value, value.status),
                        (printed.value, printed.status),
                        "{}",
                        wood.name()
                    );
                }
            }
        }
    }

    #[test]
    fn senseless_moisture_is_refused() {
        for moisture_pct in [-1.0, 30.1, f64::NAN, f64::INFINITY] {
            let found = Wood::all()[0].mechanics(&board(moisture_pct, Rings::Flat), &OwnValues::none());
            assert!(matches!(found, Err(WoodError::OutOfRange { .. })), "{moisture_pct}");
        }
    }

    proptest! {
        /// Wetter wood is never stronger across the grain, nor anywhere where green wood tested weaker than dry.
        #[test]
        fn moisture_never_adds_strength(wood in any_wood(), low in 0.0..30.0f64, more in 0.0..30.0f64) {
            let high = (low + more).min(30.0);
            let (drier, wetter) = (mechanics(wood, low), mechanics(wood, high));
            prop_assert!(wetter.tension_across <= drier.tension_across);
            prop_assert!(wetter.rolling_shear <= drier.rolling_shear);
            for (property, drier, wetter) in [
                (P::ShearAlong, drier.shear_along, wetter.shear_along),
                (P::Bending, drier.bending, wetter.bending),
                (P::CompressionAlong, drier.compression_along, wetter.compression_along),
                (P::YoungAlong, drier.young_along, wetter.young_along),
            ] {
                let printed = |sheet: &crate::wood::table::Sheet| sheet.get(&property).map(|printed| printed.value);
                if printed(&wood.green) <= printed(&wood.dry) {
                    prop_assert!(wetter <= drier, "{property}");
                }
            }
        }

        /// A small step of moisture is a small step of strength: no rule jumps at its limits.
        #[test]
        fn moisture_never_jumps(wood in any_wood(), moisture_pct in 0.0..29.9f64) {
            let (here, there) = (mechanics(wood, moisture_pct), mechanics(wood, moisture_pct + 1e-4));
            for (here, there) in [
                (here.tension_across, there.tension_across),
                (here.rolling_shear, there.rolling_shear),
                (here.shear_along, there.shear_along),
                (here.bending, there.bending),
                (here.young_in_plane, there.young_in_plane),
            ] {
                prop_assert!((here / there - 1.0).abs() < 1e-4);
            }
        }

        /// A figure of one's own stands exactly as given, and a higher one lowers nothing else but Poisson's ratios,
        /// which tell of shape, not of strength.
        #[test]
        fn own_figures_stand_and_stronger_is_never_weaker(
            wood in any_wood(), index in 0..P::ALL.len(), share in 0.0..1.0f64, more in 1.0..3.0f64, moisture in 0.0..30.0f64,
        ) {
            let property = P::ALL[index];
            let [low, high] = property.range();
            let value = low * (high / 3.0 / low.max(1e-9)).powf(share).max(1.0);
            let board = board(moisture, Rings::Flat);
            let with = |value: f64| {
                let mut own = OwnValues::none();
                own.set(property, value).unwrap();
                wood.values(&board, &own).unwrap()
            };
            let lower = with(value);
            let own = lower.iter().find(|value| value.property == property).unwrap();
            prop_assert_eq!((own.value, own.status), (value, Status::Yours));
            for (lower, higher) in lower.iter().zip(with((value * more).min(high))) {
                prop_assert_eq!(lower.property, higher.property);
                let is_ratio = matches!(lower.property, P::PoissonFace | P::PoissonThrough | P::PoissonRolling);
                prop_assert!(is_ratio || higher.value >= lower.value * (1.0 - 1e-12), "{} {}", lower.value, higher.value);
            }
        }
    }
}
