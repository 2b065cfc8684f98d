//! A font, as its file holds it.

use std::sync::Arc;

use skrifa::string::StringId;
use skrifa::{FontRef, MetadataProvider};

/// A font, as its file holds it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Font {
    /// The file or the font's name, for messages.
    pub name: String,
    /// The file's bytes: TrueType, OpenType, or a collection of them.
    pub bytes: Arc<Vec<u8>>,
    /// Which one of a collection is meant, counted from 0; 0 for a file of one.
    pub face: u32,
}

impl Font {
    /// The full and the PostScript names of a font of a file; none where it cannot be read.
    pub fn names(bytes: &[u8], face: u32) -> Vec<String> {
        let Ok(font) = FontRef::from_index(bytes, face) else { return Vec::new() };
        let each = [StringId::FULL_NAME, StringId::POSTSCRIPT_NAME].map(|id| font.localized_strings(id));
        let mut names: Vec<String> = each.into_iter().flatten().map(|name| name.chars().collect()).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The font, when it is one and all of it is there.
    pub(crate) fn open(&self) -> Option<FontRef<'_>> {
        let font = FontRef::from_index(&self.bytes, self.face).ok()?;
        let ends = font.table_directory().table_records().iter();
        let mut ends = ends.map(|table| u64::from(table.offset()) + u64::from(table.length()));
        ends.all(|end| end <= self.bytes.len() as u64).then_some(font)
    }
}

#[cfg(test)]
#[path = "../../tests/common/collection.rs"]
pub(crate) mod collection;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letter::own_font;

    #[test]
    fn each_font_of_a_collection_has_its_own_names() {
        let pair = collection::pair(&own_font().bytes);
        assert_eq!(Font::names(&pair, 0), ["DejaVu Sans Bold", "DejaVuSans-Bold"]);
        assert_eq!(Font::names(&pair, 1), ["Zweite Sans Bold", "ZweiteSans-Bold"]);
        assert!(Font::names(&pair, 2).is_empty());
        assert!(Font::names(b"no font", 0).is_empty());
    }

    #[test]
    fn a_font_that_is_cut_short_is_none() {
        let whole = own_font();
        assert!(whole.open().is_some());
        for share in [0.1, 0.5, 0.9] {
            let length = (whole.bytes.len() as f64 * share) as usize;
            let cut = Font { bytes: Arc::new(whole.bytes[..length].to_vec()), ..whole.clone() };
            assert!(cut.open().is_none(), "{share}");
        }
    }
}
