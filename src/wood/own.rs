//! A user's own figures for a wood, which stand before all others.

use super::{Property, WoodError};
use crate::units::{Force, Stress};
use std::collections::BTreeMap;

/// A user's own figures, taken as they are at the board's moisture and marked `yours`.
///
/// ```
/// use shortgrain::wood::{OwnValues, Property};
///
/// let mut own = OwnValues::none();
/// own.read("tension_across", "600psi")?;
/// own.set(Property::ShearAlong, 12.0)?;
/// assert!((own.get(Property::TensionAcross).unwrap() - 4.137).abs() < 0.001);
/// # Ok::<(), shortgrain::wood::WoodError>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnValues {
    values: BTreeMap<Property, f64>,
}

impl OwnValues {
    /// Nothing of one's own.
    pub const fn none() -> Self {
        Self { values: BTreeMap::new() }
    }

    /// Whether nothing has been given.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The figure for `property`, in its own unit ([`Property::unit`]).
    pub fn get(&self, property: Property) -> Option<f64> {
        self.values.get(&property).copied()
    }

    /// Every figure given, in the order of [`Property::ALL`].
    pub fn iter(&self) -> impl Iterator<Item = (Property, f64)> + '_ {
        self.values.iter().map(|(property, value)| (*property, *value))
    }

    /// Sets `property` to `value`, in the property's unit.
    ///
    /// # Errors
    ///
    /// [`WoodError::OutOfRange`] when no wood can have that value, or when it is not a number.
    pub fn set(&mut self, property: Property, value: f64) -> Result<(), WoodError> {
        let [low, high] = property.range();
        if !(low..=high).contains(&value) {
            return Err(WoodError::OutOfRange {
                what: property.label(),
                found: value,
                low,
                high,
                unit: property.unit(),
                hint: "check the figure and its unit",
            });
        }
        self.values.insert(property, value);
        Ok(())
    }

    /// Sets the property called `name` from `text`. Strengths, stiffnesses and hardness carry their unit
    /// (`4.2MPa`, `600psi`, `950lbf`); specific gravity and other ratios are plain numbers.
    ///
    /// # Errors
    ///
    /// [`WoodError::UnknownProperty`], [`WoodError::NotAValue`] when the text cannot be read, or
    /// [`WoodError::OutOfRange`].
    pub fn read(&mut self, name: &str, text: &str) -> Result<(), WoodError> {
        let property: Property = name.parse()?;
        let value = match property.unit() {
            "MPa" => text.parse::<Stress>().map(Stress::as_mpa),
            "N" => text.parse::<Force>().map(Force::as_n),
            _ => crate::units::plain_number(text),
        };
        self.set(
            property,
            value.map_err(|reason| WoodError::NotAValue { property: property.name(), reason })?,
        )
    }
}
