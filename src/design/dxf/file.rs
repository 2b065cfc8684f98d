//! The parts of a DXF file that say what is drawn: unit, layers, blocks, entities.

use std::collections::BTreeMap;

use super::tags::{Record, Tag, records};
use crate::design::{Fault, FaultKind, Place};

/// A file cut into its parts; nothing is copied.
#[derive(Debug)]
pub(super) struct File<'a> {
    /// The number behind `$INSUNITS`, where it is there.
    pub(super) unit: Option<i64>,
    /// Names of layers that are off, frozen or not plotted, in capitals.
    hidden: Vec<String>,
    /// By their names in capitals.
    blocks: BTreeMap<String, Block<'a>>,
    pub(super) entities: Vec<Record<'a>>,
}

/// A group of entities that is placed by `INSERT`.
#[derive(Debug)]
pub(super) struct Block<'a> {
    pub(super) name: &'a str,
    pub(super) base: [f64; 2],
    pub(super) entities: Vec<Record<'a>>,
}

impl<'a> File<'a> {
    /// Cuts a file into its parts.
    ///
    /// # Errors
    ///
    /// What leaves nothing to go on with: a line that is no group code, or an end in the middle.
    pub(super) fn new(text: &'a str) -> Result<Self, Vec<Fault>> {
        let mut file = Self { unit: None, hidden: Vec::new(), blocks: BTreeMap::new(), entities: Vec::new() };
        let mut section = "";
        let mut block: Option<Block<'a>> = None;
        let mut whole = false;
        for record in records(text)? {
            match (section, record.kind) {
                (_, "SECTION") => {
                    section = record.get(2).map_or("", |tag| tag.value);
                    if section == "HEADER" {
                        file.unit = header_unit(&record);
                    }
                }
                (_, "ENDSEC") => {
                    whole |= section == "ENTITIES";
                    section = "";
                }
                (_, "EOF") => {
                    whole = true;
                    break;
                }
                ("TABLES", "LAYER") => file.hidden.extend(hidden_layer(&record)),
                ("BLOCKS", "BLOCK") => {
                    let coordinate = |code| record.get(code).and_then(|tag| tag.number()).unwrap_or(0.0);
                    block = Some(Block {
                        name: record.get(2).map_or("", |tag| tag.value),
                        base: [coordinate(10), coordinate(20)],
                        entities: Vec::new(),
                    });
                }
                ("BLOCKS", "ENDBLK") => {
                    if let Some(block) = block.take() {
                        file.blocks.insert(block.name.to_uppercase(), block);
                    }
                }
                ("BLOCKS", _) => {
                    if let Some(block) = &mut block {
                        block.entities.push(record);
                    }
                }
                ("ENTITIES", _) => file.entities.push(record),
                _ => {}
            }
        }
        if whole {
            Ok(file)
        } else {
            Err(vec![Fault { place: Place::default(), kind: FaultKind::Truncated }])
        }
    }

    /// Whether what lies on a layer is not to be seen; `DEFPOINTS` never is, by convention.
    pub(super) fn is_hidden(&self, layer: &str) -> bool {
        let layer = layer.to_uppercase();
        layer == "DEFPOINTS" || self.hidden.contains(&layer)
    }

    /// All that may be drawn: the entities of every block, and the drawing's own.
    pub(super) fn all_entities(&self) -> impl Iterator<Item = &[Record<'a>]> {
        let blocks = self.blocks.values().map(|block| block.entities.as_slice());
        blocks.chain([self.entities.as_slice()])
    }

    /// The block of a name.
    pub(super) fn block(&self, name: &str) -> Option<&Block<'a>> {
        self.blocks.get(&name.to_uppercase())
    }
}

/// The header's variables are no records; each is a name behind code 9, then its value.
fn header_unit(header: &Record<'_>) -> Option<i64> {
    let mut tags = header.tags().skip_while(|tag| (tag.code, tag.value) != (9, "$INSUNITS"));
    tags.nth(1).filter(|tag| tag.code == 70).map(|tag| tag.flags())
}

/// A layer's name in capitals when it is off (a negative colour), frozen, or not plotted.
fn hidden_layer(layer: &Record<'_>) -> Option<String> {
    let flags = |code, other| layer.get(code).map_or(other, |tag: Tag<'_>| tag.flags());
    let hidden = flags(62, 7) < 0 || flags(70, 0) & 1 != 0 || flags(290, 1) == 0;
    hidden.then(|| layer.get(2).map(|tag| tag.value.to_uppercase()))?
}
