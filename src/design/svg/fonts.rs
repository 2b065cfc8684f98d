//! The fonts that were given, and which of them a text is set in.

use std::collections::BTreeMap;
use std::sync::Arc;

use usvg::fontdb::{Database, Family, ID, Query, Source, Style, Weight};
use usvg::{FontFamily, FontStyle};

use super::vet::shortened;
use crate::design::{Fault, FaultKind, Font, Place};

/// All fonts of the files that were given.
#[derive(Default)]
pub(super) struct Fonts {
    pub(super) database: Arc<Database>,
    /// What is set in when nothing that is asked for is there: the first that was given.
    first: Option<ID>,
    /// By their full and PostScript names, in small letters.
    names: BTreeMap<String, ID>,
}

impl Fonts {
    /// The fonts, and what of the given is none.
    pub(super) fn new(given: &[Font]) -> (Self, Vec<Fault>) {
        let mut database = Database::new();
        let mut fonts = Self::default();
        let mut faults = Vec::new();
        for font in given {
            let open = font.open().map(|_| database.load_font_source(Source::Binary(font.bytes.clone())));
            let mut meant = None;
            for id in open.unwrap_or_default() {
                let face = database.face(id).map_or(0, |face| face.index);
                meant = meant.or((face == font.face).then_some(id));
                for name in Font::names(&font.bytes, face) {
                    fonts.names.entry(name.to_lowercase()).or_insert(id);
                }
            }
            if meant.is_none() {
                let kind = FaultKind::BadFont { font: font.name.clone() };
                faults.push(Fault { place: Place::default(), kind });
            }
            fonts.first = fonts.first.or(meant);
        }
        fonts.database = Arc::new(database);
        (fonts, faults)
    }

    /// The font that a text is set in: the first of those it asks for that is there, or else the first given.
    pub(super) fn chosen(&self, wanted: &usvg::Font) -> Option<ID> {
        let named = wanted.families().iter().find_map(|family| match family {
            FontFamily::Named(name) => self.family(name, wanted).or_else(|| self.named(name)),
            _ => None,
        });
        named.or(self.first)
    }

    fn family(&self, name: &str, wanted: &usvg::Font) -> Option<ID> {
        self.database.query(&Query {
            families: &[Family::Name(name)],
            weight: Weight(wanted.weight()),
            style: style(wanted),
            ..Query::default()
        })
    }

    fn named(&self, name: &str) -> Option<ID> {
        self.names.get(&name.to_lowercase()).copied()
    }

    /// What a text asks for, when it is set in something else; nothing for one that asks for none.
    pub(super) fn asked(&self, wanted: &usvg::Font) -> Option<String> {
        const PLAIN: u16 = 400;
        let chosen = self.chosen(wanted)?;
        let face = self.database.face(chosen)?;
        let names = wanted.families().iter().filter_map(|family| match family {
            FontFamily::Named(name) if name.is_empty() => None,
            FontFamily::Named(name) => Some(shortened(name)),
            generic => Some(generic.to_string()),
        });
        let mut asked: Vec<String> = names.collect();
        let any = |found: &dyn Fn(&str) -> bool| {
            let named = |family: &FontFamily| matches!(family, FontFamily::Named(name) if found(name));
            wanted.families().iter().any(named)
        };
        let of_family = any(&|name| face.families.iter().any(|(family, _)| family == name));
        // A full name says weight and slant too.
        if !of_family && any(&|name| self.named(name) == Some(chosen)) {
            return None;
        }
        // Without a word a text is of plain weight, which is news only where its family is there.
        let weight = wanted.weight() != face.weight.0 && (of_family || wanted.weight() != PLAIN);
        let slanted = wanted.style() != FontStyle::Normal && face.style == Style::Normal;
        let other = !asked.is_empty() && !of_family;
        if weight {
            asked.push(format!("weight {}", wanted.weight()));
        }
        if slanted {
            asked.push("italic".to_owned());
        }
        (other || weight || slanted).then(|| asked.join(", "))
    }
}

fn style(wanted: &usvg::Font) -> Style {
    match wanted.style() {
        FontStyle::Normal => Style::Normal,
        FontStyle::Italic => Style::Italic,
        FontStyle::Oblique => Style::Oblique,
    }
}
