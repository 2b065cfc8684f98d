//! Finds the fonts that are named: files, or fonts installed on this machine.

use std::path::Path;
use std::sync::Arc;

use fontdb::{Database, Family, Query};
use shortgrain::design::Font;
use shortgrain::letter;

use crate::source;
use crate::talk::Faults;

/// Reads every font that is named; what is wrong with the others joins `faults`.
pub(crate) fn find_all(names: &[String], faults: &mut Faults) -> Vec<Font> {
    names.iter().filter_map(|name| find(name).map_err(|fault| faults.push(fault)).ok()).collect()
}

/// The largest font that is read, in bytes: those with every letter there is have half as many.
const LARGEST: usize = 256 << 20;

/// Reads the font of a file, or else the installed font of that name, or else the carried one if it is called that.
///
/// # Errors
///
/// A sentence that says what to try.
pub(crate) fn find(name: &str) -> Result<Font, String> {
    let path = Path::new(name);
    if path.is_file()
        || name.contains(['/', '\\'])
        || path.extension().is_some_and(|ending| ending.len() == 3)
    {
        let bytes = source::read(path, LARGEST)?;
        if bytes.len() > LARGEST {
            return Err(format!(
                "{name}: a font has at most {LARGEST} bytes, and this file has more; name another"
            ));
        }
        return Ok(Font { name: name.to_owned(), bytes: Arc::new(bytes), face: 0 });
    }
    let mut fonts = Database::new();
    fonts.load_system_fonts();
    installed(name, &fonts).or_else(|| carried(name)).ok_or_else(|| {
        format!(
            "--font {name}: there is no such file, and no installed font is called that; name a font's file"
        )
    })
}

/// The installed font of a family, or else of a full or PostScript name, in capitals or small letters.
fn installed(name: &str, fonts: &Database) -> Option<Font> {
    let family = fonts.query(&Query { families: &[Family::Name(name)], ..Query::default() });
    let called = |names: &[String]| names.iter().any(|own| alike(own, name));
    let by_name = || {
        let all = |id| fonts.with_face_data(id, |bytes, face| called(&Font::names(bytes, face)));
        fonts.faces().map(|face| face.id).find(|id| all(*id) == Some(true))
    };
    let found = family.or_else(by_name)?;
    fonts.with_face_data(found, |bytes, face| Font {
        name: name.to_owned(),
        bytes: Arc::new(bytes.to_vec()),
        face,
    })
}

/// The font that is carried, by any of its names.
fn carried(name: &str) -> Option<Font> {
    let own = letter::own_font();
    Font::names(&own.bytes, own.face).iter().any(|known| alike(known, name)).then_some(own)
}

fn alike(known: &str, name: &str) -> bool {
    known.to_lowercase() == name.to_lowercase()
}

#[cfg(test)]
#[path = "../../../tests/common/collection.rs"]
mod collection;

#[cfg(test)]
mod tests {
    use super::*;

    /// The full name of what is found by a name.
    fn found(name: &str, fonts: &Database) -> Option<String> {
        let font = installed(name, fonts).or_else(|| carried(name))?;
        Font::names(&font.bytes, font.face).into_iter().next()
    }

    #[test]
    fn installed_fonts_are_found_by_family_and_by_full_and_postscript_name() {
        let mut fonts = Database::new();
        fonts.load_font_data(collection::pair(&letter::own_font().bytes));
        for name in ["DejaVu Sans", "DejaVu Sans Bold", "DejaVuSans-Bold", "dejavu sans bold"] {
            assert_eq!(found(name, &fonts).as_deref(), Some("DejaVu Sans Bold"), "{name}");
        }
        for name in ["Zweite Sans", "Zweite Sans Bold", "ZweiteSans-Bold"] {
            assert_eq!(found(name, &fonts).as_deref(), Some("Zweite Sans Bold"), "{name}");
        }
        assert_eq!(found("Dritte Sans", &fonts), None);
    }

    #[test]
    fn the_carried_font_answers_to_its_names_where_none_is_installed() {
        let none = Database::new();
        for name in ["DejaVu Sans Bold", "DejaVuSans-Bold"] {
            assert_eq!(found(name, &none).as_deref(), Some("DejaVu Sans Bold"), "{name}");
        }
        assert_eq!(found("DejaVu Sans", &none), None);
    }
}
