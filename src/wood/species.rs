//! A wood as the handbook has it: names, class and every printed value.

use super::{
    Class, WoodError,
    catalogue::{self, USUAL_INTERSECTION},
    name,
    table::Sheet,
};
use std::{borrow::Cow, sync::LazyLock};

/// A wood: its names, and what is printed about it.
///
/// ```
/// use shortgrain::wood::Wood;
///
/// let maple = Wood::find("hard maple")?;
/// assert_eq!(maple.name(), "sugar maple");
/// assert_eq!(maple.botanical(), Some("Acer saccharum"));
/// # Ok::<(), shortgrain::wood::WoodError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Wood {
    pub(super) key: Cow<'static, str>,
    pub(super) name: Cow<'static, str>,
    pub(super) printed_name: Cow<'static, str>,
    pub(super) botanical: &'static str,
    pub(super) class: Class,
    pub(super) note: &'static str,
    /// The moisture of the dry values, in percent.
    pub(super) dry_pct: f64,
    /// Dry values; specific gravity already on the volume at 12 %.
    pub(super) dry: Sheet,
    /// Green values.
    pub(super) green: Sheet,
    /// The moisture below which drying begins to tell (Mp), in percent.
    pub(super) intersection_pct: f64,
    /// Stiffnesses as parts of that along the grain, and Poisson's ratios.
    pub(super) elastic: Sheet,
    /// Shrinkage and movement.
    pub(super) movement: Sheet,
    /// Whether it is a user's own, with no printed values.
    pub(super) is_own: bool,
}

impl Wood {
    /// Every wood of the table, in the handbook's order.
    pub fn all() -> &'static [Self] {
        static ALL: LazyLock<Vec<Wood>> = LazyLock::new(catalogue::read);
        &ALL
    }

    /// The wood called `text`.
    ///
    /// Any usual name will do, in any order, whatever its case and punctuation: `sugar maple`, `Maple, sugar`, `hard
    /// maple`, `Acer saccharum`, `maple_sugar`. So will a part that only one wood has (`walnut`).
    ///
    /// Trade names mean what the trade means by them: `red oak` is northern red oak. Where the trade means several
    /// woods (`soft maple`), they are listed to choose from.
    ///
    /// # Errors
    ///
    /// [`WoodError::Ambiguous`] with the candidates, or [`WoodError::Unknown`] with the names most like it.
    pub fn find(text: &str) -> Result<&'static Self, WoodError> {
        name::find(Self::all(), text)
    }

    /// A wood that no table has: all its values have to come from [`OwnValues`](super::OwnValues).
    pub fn own(name: impl Into<String>, class: Class) -> Self {
        let name: Cow<'static, str> = Cow::Owned(name.into());
        Self {
            key: Cow::Borrowed("own"),
            printed_name: name.clone(),
            name,
            botanical: "",
            class,
            note: "",
            dry_pct: 12.0,
            dry: Sheet::new(),
            green: Sheet::new(),
            intersection_pct: USUAL_INTERSECTION,
            elastic: catalogue::default_elastic(class),
            movement: Sheet::new(),
            is_own: true,
        }
    }

    /// A short name for files and scripts ("maple_sugar").
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name as one says it ("sugar maple").
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The name as the handbook lists it ("Maple, sugar").
    pub fn printed_name(&self) -> &str {
        &self.printed_name
    }

    /// The botanical name; a user's own wood has none.
    pub fn botanical(&self) -> Option<&str> {
        (!self.botanical.is_empty()).then_some(self.botanical)
    }

    /// Hardwood or softwood.
    pub fn class(&self) -> Class {
        self.class
    }

    /// What a careful reader should know about its values: editions that differ, blanks, unusual tests.
    pub fn note(&self) -> Option<&str> {
        (!self.note.is_empty()).then_some(self.note)
    }
}
