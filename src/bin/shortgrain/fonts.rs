//! Finds the fonts that are named: files, or fonts installed on this machine.

use std::path::Path;
use std::sync::Arc;

use fontdb::{Database, Family, Query};
use shortgrain::design::Font;

use crate::source;
use crate::talk::Faults;

/// Reads every font that is named; what is wrong with the others joins `faults`.
pub(crate) fn find_all(names: &[String], faults: &mut Faults) -> Vec<Font> {
    names.iter().filter_map(|name| find(name).map_err(|fault| faults.push(fault)).ok()).collect()
}

/// The largest font that is read, in bytes: those with every letter there is have half as many.
const LARGEST: usize = 256 << 20;

/// Reads the font of a file, or else the installed font of that name.
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
        return Ok(Font { name: name.to_owned(), bytes: Arc::new(bytes) });
    }
    let mut fonts = Database::new();
    fonts.load_system_fonts();
    let face = fonts.query(&Query { families: &[Family::Name(name)], ..Query::default() });
    let bytes = face.and_then(|face| fonts.with_face_data(face, |bytes, _| bytes.to_vec()));
    bytes.map(|bytes| Font { name: name.to_owned(), bytes: Arc::new(bytes) }).ok_or_else(|| {
        format!(
            "--font {name}: there is no such file, and no installed font is called that; name a font's file"
        )
    })
}
