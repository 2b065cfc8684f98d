//! A plan as DXF of the year 2000 (AC1015): millimetres, closed LWPOLYLINEs with bulges, a layer for each meaning.
//!
//! Written by hand, since the file then holds no time stamps: the same plan gives the same bytes.

use std::fmt::Write;

use super::plan::{Layer, Plan, arrow};
use crate::fit::Contour;

/// Writes a plan.
pub(super) fn written(plan: &Plan) -> String {
    let mut file = File::default();
    file.header(plan);
    file.section("CLASSES", |_| {});
    let space = file.tables(plan);
    file.blocks(space);
    file.section("ENTITIES", |file| {
        for sheet in &plan.sheets {
            for named in &sheet.contours {
                file.contour(space.model, sheet.layer, &named.contour);
            }
        }
        for tail_to_tip in &plan.grain {
            file.arrow(space.model, arrow(*tail_to_tip));
        }
        for (i, note) in plan.notes.iter().enumerate() {
            file.words(space.model, [0.0, -6.0 - 5.0 * i as f64], note);
        }
        for (at, label) in &plan.labels {
            file.words(space.model, [at.x, at.y], label);
        }
    });
    file.section("OBJECTS", |file| {
        file.object("DICTIONARY", ROOT, NOBODY, &["AcDbDictionary"]);
        file.put(281, "1");
        file.put(3, "ACAD_GROUP");
        file.put(350, &hex(GROUPS));
        file.object("DICTIONARY", GROUPS, ROOT, &["AcDbDictionary"]);
        file.put(281, "1");
    });
    file.put(0, "EOF");
    // The first free handle is known only now.
    let next = hex(file.handles + FIRST);
    file.text.replace(SEED, &next)
}

/// Owner of what belongs to the drawing itself.
const NOBODY: u32 = 0;
/// The root dictionary and the one of groups.
const ROOT: u32 = 1;
const GROUPS: u32 = 2;
/// The first handle that is given out.
const FIRST: u32 = 0x10;
/// Stands for the next free handle until all are given out.
const SEED: &str = "NEXT-FREE-HANDLE";
/// Height of words, in mm.
const WORDS: f64 = 3.0;

#[derive(Clone, Copy)]
struct Space {
    model: u32,
    paper: u32,
}

#[derive(Default)]
struct File {
    text: String,
    handles: u32,
}

impl File {
    fn put(&mut self, code: u16, value: &str) {
        // Writing to a string does not fail.
        let _ = write!(self.text, "{code:>3}\r\n{value}\r\n");
    }

    fn number(&mut self, code: u16, value: f64) {
        self.put(code, &real(value, 6));
    }

    fn handle(&mut self) -> u32 {
        self.handles += 1;
        FIRST + self.handles - 1
    }

    fn section(&mut self, name: &str, fill: impl FnOnce(&mut Self)) {
        self.put(0, "SECTION");
        self.put(2, name);
        fill(self);
        self.put(0, "ENDSEC");
    }

    /// The beginning of anything that has a handle and an owner.
    fn object(&mut self, kind: &str, handle: u32, owner: u32, classes: &[&str]) {
        self.put(0, kind);
        self.put(if kind == "DIMSTYLE" { 105 } else { 5 }, &hex(handle));
        self.put(330, &hex(owner));
        for class in classes {
            self.put(100, class);
        }
    }

    fn header(&mut self, plan: &Plan) {
        let [width, height] = plan.size;
        self.section("HEADER", |file| {
            for (name, code, value) in [
                ("$ACADVER", 1, "AC1015"),
                ("$DWGCODEPAGE", 3, "ANSI_1252"),
                ("$HANDSEED", 5, SEED),
                // Millimetres, and metric line types.
                ("$INSUNITS", 70, "4"),
                ("$MEASUREMENT", 70, "1"),
            ] {
                file.put(9, name);
                file.put(code, value);
            }
            for (name, x, y) in [("$EXTMIN", 0.0, 0.0), ("$EXTMAX", width, height)] {
                file.put(9, name);
                file.number(10, x);
                file.number(20, y);
                file.number(30, 0.0);
            }
        });
    }

    fn tables(&mut self, plan: &Plan) -> Space {
        let mut space = Space { model: 0, paper: 0 };
        self.section("TABLES", |file| {
            file.table("VPORT", 0, |_, _| {});
            file.table("LTYPE", 3, |file, table| {
                for name in ["ByBlock", "ByLayer", "Continuous"] {
                    file.record("LTYPE", table, "AcDbLinetypeTableRecord", name);
                    file.put(70, "0");
                    file.put(3, "");
                    file.put(72, "65");
                    file.put(73, "0");
                    file.number(40, 0.0);
                }
            });
            file.table("LAYER", Layer::ALL.len() + 1, |file, table| {
                file.layer(table, "0", "7");
                for layer in Layer::ALL {
                    let looked_at = plan.sheets.iter().any(|sheet| sheet.layer == layer && !sheet.is_cut);
                    // A negative colour switches the layer off.
                    let colour = colour(layer) * if looked_at && layer != Layer::Note { -1 } else { 1 };
                    file.layer(table, layer.name(), &colour.to_string());
                }
            });
            file.table("STYLE", 1, |file, table| {
                file.record("STYLE", table, "AcDbTextStyleTableRecord", "Standard");
                for (code, value) in [
                    (70, "0"),
                    (40, "0.0"),
                    (41, "1.0"),
                    (50, "0.0"),
                    (71, "0"),
                    (42, "2.5"),
                    (3, "txt"),
                    (4, ""),
                ] {
                    file.put(code, value);
                }
            });
            file.table("VIEW", 0, |_, _| {});
            file.table("UCS", 0, |_, _| {});
            file.table("APPID", 1, |file, table| {
                file.record("APPID", table, "AcDbRegAppTableRecord", "ACAD");
                file.put(70, "0");
            });
            file.table("DIMSTYLE", 1, |file, table| {
                file.record("DIMSTYLE", table, "AcDbDimStyleTableRecord", "Standard");
                file.put(70, "0");
            });
            file.table("BLOCK_RECORD", 2, |file, table| {
                space.model = file.record("BLOCK_RECORD", table, "AcDbBlockTableRecord", "*Model_Space");
                space.paper = file.record("BLOCK_RECORD", table, "AcDbBlockTableRecord", "*Paper_Space");
            });
        });
        space
    }

    fn table(&mut self, name: &str, count: usize, fill: impl FnOnce(&mut Self, u32)) {
        let handle = self.handle();
        self.put(0, "TABLE");
        self.put(2, name);
        self.put(5, &hex(handle));
        self.put(330, &hex(NOBODY));
        self.put(100, "AcDbSymbolTable");
        self.put(70, &count.to_string());
        if name == "DIMSTYLE" {
            self.put(100, "AcDbDimStyleTable");
        }
        fill(self, handle);
        self.put(0, "ENDTAB");
    }

    fn record(&mut self, kind: &str, table: u32, class: &str, name: &str) -> u32 {
        let handle = self.handle();
        self.object(kind, handle, table, &["AcDbSymbolTableRecord", class]);
        self.put(2, name);
        handle
    }

    fn layer(&mut self, table: u32, name: &str, colour: &str) {
        self.record("LAYER", table, "AcDbLayerTableRecord", name);
        self.put(70, "0");
        self.put(62, colour);
        self.put(6, "Continuous");
    }

    fn blocks(&mut self, space: Space) {
        self.section("BLOCKS", |file| {
            for (name, record) in [("*Model_Space", space.model), ("*Paper_Space", space.paper)] {
                let handle = file.handle();
                file.object("BLOCK", handle, record, &["AcDbEntity"]);
                file.put(8, "0");
                file.put(100, "AcDbBlockBegin");
                file.put(2, name);
                file.put(70, "0");
                for code in [10, 20, 30] {
                    file.number(code, 0.0);
                }
                file.put(3, name);
                file.put(1, "");
                let handle = file.handle();
                file.object("ENDBLK", handle, record, &["AcDbEntity"]);
                file.put(8, "0");
                file.put(100, "AcDbBlockEnd");
            }
        });
    }

    fn entity(&mut self, kind: &str, space: u32, layer: Layer, class: &str) {
        let handle = self.handle();
        self.object(kind, handle, space, &["AcDbEntity"]);
        self.put(8, layer.name());
        self.put(100, class);
    }

    fn contour(&mut self, space: u32, layer: Layer, contour: &Contour) {
        self.entity("LWPOLYLINE", space, layer, "AcDbPolyline");
        self.put(90, &contour.nodes().len().to_string());
        self.put(70, "1");
        for node in contour.nodes() {
            self.number(10, node.at.x);
            self.number(20, node.at.y);
            if node.bulge != 0.0 {
                self.put(42, &real(node.bulge, 10));
            }
        }
    }

    fn arrow(&mut self, space: u32, points: [crate::shape::plane::Point; 5]) {
        self.entity("LWPOLYLINE", space, Layer::Grain, "AcDbPolyline");
        self.put(90, "5");
        self.put(70, "0");
        for p in points {
            self.number(10, p.x);
            self.number(20, p.y);
        }
    }

    fn words(&mut self, space: u32, at: [f64; 2], words: &str) {
        self.entity("TEXT", space, Layer::Note, "AcDbText");
        self.number(10, at[0]);
        self.number(20, at[1]);
        self.number(30, 0.0);
        self.number(40, WORDS);
        self.put(1, &plain(words));
        self.put(100, "AcDbText");
    }
}

/// Colours as this format numbers them; they only repeat what the layer's name says.
const fn colour(layer: Layer) -> i16 {
    match layer {
        Layer::Outline => 7,
        Layer::Opening => 5,
        Layer::PocketBack => 1,
        Layer::Insert => 6,
        Layer::Backer => 4,
        Layer::Ply => 2,
        Layer::Pin => 3,
        Layer::Grain => 30,
        Layer::Note => 8,
    }
}

fn hex(handle: u32) -> String {
    format!("{handle:X}")
}

/// A number with a point in it, as the format's readers expect of a real one.
fn real(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = text.trim_end_matches('0');
    let text = if text.ends_with('.') { format!("{text}0") } else { text.to_owned() };
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

/// Words in letters every reader knows; others by their number, control characters as blanks.
fn plain(words: &str) -> String {
    let mut text = String::new();
    for c in words.chars() {
        match c {
            // The format's own sign for special letters.
            '%' | '\\' | '^' => {
                let _ = write!(text, "\\U+{:04X}", u32::from(c));
            }
            ' '..='~' => text.push(c),
            c if c.is_control() => text.push(' '),
            c if u32::from(c) < 0x1_0000 => {
                let _ = write!(text, "\\U+{:04X}", u32::from(c));
            }
            _ => text.push('?'),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_are_never_minus_nought() {
        assert_eq!(real(1.0, 6), "1.0");
        assert_eq!(real(-0.000_000_01, 6), "0.0");
        assert_eq!(real(0.414_213_562_4, 10), "0.4142135624");
    }

    #[test]
    fn words_keep_to_plain_letters() {
        assert_eq!(plain("90° a\tb"), "90\\U+00B0 a b");
    }
}
