//! Files that are written whole or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use crate::talk::Faults;

/// Files to be written together once the answer is known.
#[derive(Default)]
pub(crate) struct Files {
    all: Vec<(PathBuf, String)>,
}

impl Files {
    /// Adds a file.
    pub(crate) fn add(&mut self, path: impl Into<PathBuf>, text: String) {
        self.all.push((path.into(), text));
    }

    /// Writes every file beside its place first, then moves all of them there: a full disk or a
    /// missing right leaves the old files as they were.
    ///
    /// # Errors
    ///
    /// A sentence for each file that is in the way, or that cannot be written.
    pub(crate) fn write(self, force: bool) -> Result<(), Faults> {
        let faults: Faults = self.all.iter().filter_map(|(path, _)| in_the_way(path, force)).collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut written: Vec<(PathBuf, &Path)> = Vec::new();
        let mut fault = None;
        for (path, text) in &self.all {
            let draft = draft(path);
            match fs::write(&draft, text) {
                Ok(()) => written.push((draft, path)),
                Err(error) => {
                    let _ = fs::remove_file(&draft);
                    fault = Some(format!("{} could not be written: {error}", path.display()));
                    break;
                }
            }
        }
        let mut left = written.into_iter();
        if fault.is_none() {
            for (draft, path) in left.by_ref() {
                if let Err(error) = fs::rename(&draft, path) {
                    let _ = fs::remove_file(&draft);
                    fault = Some(format!("{} could not be written: {error}", path.display()));
                    break;
                }
            }
        }
        for (draft, _) in left {
            let _ = fs::remove_file(draft);
        }
        fault.map_or(Ok(()), |fault| Err(vec![fault]))
    }
}

/// Why a file cannot be put at `path`, in a sentence; asked before any work is done.
pub(crate) fn in_the_way(path: &Path, force: bool) -> Option<String> {
    let shown = path.display();
    if path.is_dir() {
        return Some(format!("{shown} is a directory; name a file"));
    }
    if path.exists() && !force {
        return Some(format!("{shown} exists already; choose another name, or --force to replace it"));
    }
    let folder = folder(path);
    if !folder.is_dir() {
        return Some(format!("{shown}: there is no directory {}; make it first", folder.display()));
    }
    None
}

/// Whether two names are one file's, however each is spelt.
pub(crate) fn is_same(one: &Path, other: &Path) -> bool {
    let whole = |path: &Path| {
        path.canonicalize().ok().or_else(|| Some(folder(path).canonicalize().ok()?.join(path.file_name()?)))
    };
    one == other || whole(one).zip(whole(other)).is_some_and(|(one, other)| one == other)
}

/// Why no picture can be put at `path`: beside what [`in_the_way`] says, that it is named as what it is not.
pub(crate) fn no_picture(path: &Path, force: bool) -> Option<String> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending {
        Some(ending) if ending != "svg" => {
            let svg = path.with_extension("svg");
            Some(format!("{}: what is drawn is SVG; name it {}", path.display(), svg.display()))
        }
        _ => in_the_way(path, force),
    }
}

/// The directory a file is to lie in.
pub(crate) fn folder(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The name a file has until it is complete.
fn draft(path: &Path) -> PathBuf {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_itself_however_it_is_spelt() {
        let same = |one: &str, other: &str| is_same(Path::new(one), Path::new(other));
        assert!(same("Cargo.toml", "./src/../Cargo.toml") && same("src/none.svg", "./src/none.svg"));
        assert!(
            !same("Cargo.toml", "Cargo.lock") && !same("src/none.svg", "none.svg") && !same("no/a", "no/b")
        );
    }

    #[test]
    fn a_picture_is_not_called_what_it_is_not() {
        let told = |name: &str| no_picture(Path::new(name), false);
        assert_eq!(told("p.png").as_deref(), Some("p.png: what is drawn is SVG; name it p.svg"));
        assert_eq!(told("p.SVG"), None);
        assert_eq!(told("picture"), None);
    }
}
