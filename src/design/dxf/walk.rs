//! Goes through the entities, and through the blocks they place.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Affine, BezPath, PathEl, Rect, Shape as _};

use super::entity::{Meaning, meaning};
use super::file::{Block, File};
use super::tags::Record;
use crate::design::drawn::{Drawn, Label};
use crate::design::printable;
use crate::design::reading::listed;
use crate::design::{Fault, FaultKind, LeftOut, Note, Options, PIN, Place};

/// The layers of marks: of open lines along the grain, of pins, and of whatever else is not cut.
const GRAIN: &str = "GRAIN";
const NOTE: &str = "NOTE";

/// What is drawn, in mm.
pub(super) struct Walked {
    pub(super) paths: Vec<(Drawn, BezPath)>,
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<Fault>,
    /// Width and height of all, `None` when there is nothing.
    pub(super) size: Option<[f64; 2]>,
}

/// Gathers every line and curve; `placing` leads from the drawing's numbers to mm.
pub(super) fn walk(file: &File<'_>, placing: Affine, options: &Options) -> Walked {
    let mut walk = Walk {
        file,
        options,
        paths: Vec::new(),
        left_out: BTreeMap::new(),
        refused: BTreeMap::new(),
        faults: Vec::new(),
        layers: BTreeSet::new(),
        entities: 0,
        stopped: false,
    };
    walk.entities(&file.entities, &Around { placing, block: None, depth: 0, layer: None, asked: false });
    walk.finish()
}

struct Walk<'a, 'b> {
    file: &'b File<'a>,
    options: &'b Options,
    paths: Vec<(Drawn, BezPath)>,
    /// By why and by kind, what was left out and how often.
    left_out: BTreeMap<(LeftOut, String), Vec<String>>,
    /// By whether it is solid and by kind, the handles of what cannot be read.
    refused: BTreeMap<(bool, String), Vec<String>>,
    faults: Vec<Fault>,
    /// The names of all layers met.
    layers: BTreeSet<String>,
    /// Entities so far, each as often as it is placed.
    entities: usize,
    stopped: bool,
}

/// What stands around an entity.
struct Around<'a, 'b> {
    placing: Affine,
    /// The block it is in, and what stands around its insert.
    block: Option<(&'b Block<'a>, &'b Around<'a, 'b>)>,
    /// How many blocks it is in.
    depth: usize,
    /// The layer of the insert it came by.
    layer: Option<&'b str>,
    /// Whether a layer that was asked for has one of the inserts it came by.
    asked: bool,
}

impl<'a> Around<'a, '_> {
    /// The blocks it is in, innermost first.
    fn blocks(&self) -> impl Iterator<Item = &Block<'a>> {
        std::iter::successors(self.block, |(_, outer)| outer.block).map(|(block, _)| block)
    }
}

impl<'a> Walk<'a, '_> {
    /// Blocks are followed as deep as the limit on nesting lets, so this may call itself.
    fn entities(&mut self, records: &[Record<'a>], around: &Around<'a, '_>) {
        let mut k = 0;
        while let Some(record) = records.get(k).filter(|_| !self.stopped) {
            k += 1;
            let first = k;
            if record.kind == "POLYLINE" {
                while records.get(k).is_some_and(|next| next.kind == "VERTEX") {
                    k += 1;
                }
            }
            self.entity(record, &records[first..k], around);
        }
    }

    fn entity(&mut self, record: &Record<'a>, vertices: &[Record<'a>], around: &Around<'a, '_>) {
        if !self.goes_on() {
            return;
        }
        let meaning = meaning(record, vertices);
        if matches!(meaning, Meaning::Nothing) {
            return;
        }
        let own = record.get(8).map_or("0", |tag| tag.value);
        let label = label(record, own, around);
        let layer = label.layers.first().map_or(own, String::as_str);
        if !self.layers.contains(layer) {
            self.layers.insert(layer.to_owned());
        }
        let asked = around.asked || self.options.pick.takes_layers(&label.layers);
        // What a block holds may lie on another layer than its insert.
        if !asked && !matches!(meaning, Meaning::Insert(_)) {
            self.leave_out(LeftOut::NotAsked, record, &label);
            return;
        }
        let flags = |code| record.get(code).map_or(0, |tag| tag.flags());
        // Layer 0 of a block is its insert's, whatever becomes of layer 0 itself.
        let is_own = own != "0" || around.block.is_none();
        let hidden = is_own && self.file.is_hidden(own) || self.file.is_hidden(layer) || flags(60) != 0;
        let on_paper = flags(67) != 0;
        if hidden || on_paper {
            self.leave_out(if on_paper { LeftOut::OnPaper } else { LeftOut::Hidden }, record, &label);
            return;
        }
        match meaning {
            Meaning::Line(path) if self.is_mark(layer, &path) => {
                self.leave_out(LeftOut::Mark, record, &label);
            }
            Meaning::Line(path) => self.line(label, &(around.placing * path)),
            Meaning::Insert(insert) => {
                let Some(block) = self.file.block(insert.block) else {
                    let kind = FaultKind::MissingBlock { name: insert.block.to_owned() };
                    self.faults.push(Fault { place: label.place(), kind });
                    return;
                };
                let limit = self.options.limits.depth;
                if around.depth >= limit {
                    let kind = FaultKind::TooMuch { what: "levels of nesting", limit };
                    self.stop(Fault { place: label.place(), kind });
                    return;
                }
                if around.blocks().any(|outer| std::ptr::eq(outer, block)) {
                    let kind = FaultKind::CircularBlock { name: block.name.to_owned() };
                    self.stop(Fault { place: label.place(), kind });
                    return;
                }
                // It may be one of another file, which is not opened.
                if block.entities.is_empty() {
                    self.leave_out(LeftOut::NothingUsed, record, &label);
                }
                for place in 0..insert.places.count() {
                    // Empty blocks cost time too.
                    if !self.goes_on() {
                        break;
                    }
                    let base = Affine::translate((-block.base[0], -block.base[1]));
                    let placing = around.placing * insert.places.place(place) * base;
                    let inside = Around {
                        placing,
                        block: Some((block, around)),
                        depth: around.depth + 1,
                        layer: label.layers.first().map(String::as_str),
                        asked,
                    };
                    self.entities(&block.entities, &inside);
                }
            }
            Meaning::Remark(why) => self.leave_out(why, record, &label),
            Meaning::Nothing => {}
            Meaning::Solid => self.refuse(true, record, &label),
            Meaning::Unknown => self.refuse(false, record, &label),
            Meaning::Bad(reason) => {
                self.faults.push(Fault { place: label.place(), kind: FaultKind::BadEntity { reason } });
            }
        }
    }

    /// Whether a line is only to be looked at, as the files for cutting have them. It is read where its layer was asked for.
    fn is_mark(&self, layer: &str, path: &BezPath) -> bool {
        let is_open = || path.elements().last() != Some(&PathEl::ClosePath);
        let whole = [NOTE, PIN].iter().any(|name| layer.eq_ignore_ascii_case(name));
        let marks = whole || layer.eq_ignore_ascii_case(GRAIN) && is_open();
        marks && self.options.pick.layers.is_empty()
    }

    /// Counts one more entity or block; `false` once there are too many.
    fn goes_on(&mut self) -> bool {
        self.entities += 1;
        let limit = self.options.limits.elements;
        if self.entities > limit && !self.stopped {
            let what = "elements, those of blocks as often as they are placed";
            self.stop(Fault { place: Place::default(), kind: FaultKind::TooMuch { what, limit } });
        }
        !self.stopped
    }

    /// Nothing more is read, and what was read is not looked at.
    fn stop(&mut self, fault: Fault) {
        self.faults.push(fault);
        self.paths.clear();
        self.stopped = true;
    }

    fn line(&mut self, label: Label, path: &BezPath) {
        let reach = self.options.limits.reach.as_mm();
        let b = path.control_box();
        if !path.is_finite() || [b.x0, b.y0, b.x1, b.y1].iter().any(|c| c.abs() > reach) {
            self.faults.push(Fault {
                place: label.place(),
                kind: FaultKind::FarOut { limit: reach, others: Vec::new() },
            });
            return;
        }
        let points = self.options.limits.points;
        if self.paths.len() >= points {
            self.stop(Fault {
                place: Place::default(),
                kind: FaultKind::TooMuch { what: "lines", limit: points },
            });
            return;
        }
        self.paths.push((Drawn { label, fill: None, lined: true, contours: Vec::new() }, path.clone()));
    }

    fn leave_out(&mut self, why: LeftOut, record: &Record<'_>, label: &Label) {
        let kind = format!("{}{}", printable::name(record.kind), on_layer(label));
        self.left_out.entry((why, kind)).or_default().push(handle_or_line(record));
    }

    fn refuse(&mut self, solid: bool, record: &Record<'_>, label: &Label) {
        let kind = format!("{}{}", printable::name(record.kind), on_layer(label));
        self.refused.entry((solid, kind)).or_default().push(handle_or_line(record));
    }

    fn finish(mut self) -> Walked {
        for ((solid, kind), handles) in self.refused {
            let handles = once(handles);
            let kind = if solid {
                FaultKind::NotFlat { kind, handles }
            } else {
                FaultKind::Unsupported { kind, handles }
            };
            self.faults.push(Fault { place: Place::default(), kind });
        }
        self.faults.extend(self.options.pick.missing_layers(&self.layers));
        let mut notes = Vec::new();
        for ((why, kind), handles) in self.left_out {
            let handles = once(handles);
            let what = format!("{} {kind} ({})", handles.len(), listed(&handles));
            notes.push(Note::LeftOut { what, why });
        }
        let all = self.paths.iter().map(|(_, path)| path.bounding_box()).reduce(|a: Rect, b| a.union(b));
        let size = all.map(|b| [b.width(), b.height()]);
        Walked { paths: self.paths, notes, faults: self.faults, size }
    }
}

/// Each handle once: what a block holds is met as often as the block is placed.
fn once(mut handles: Vec<String>) -> Vec<String> {
    let mut met = BTreeSet::new();
    handles.retain(|handle| met.insert(handle.clone()));
    handles
}

fn on_layer(label: &Label) -> String {
    label
        .layers
        .first()
        .filter(|layer| *layer != "0")
        .map_or_else(String::new, |layer| format!(" on {layer}"))
}

/// The number by which a drawing program finds an entity again.
fn handle<'a>(record: &Record<'a>) -> Option<&'a str> {
    record.get(5).map(|tag| tag.value).filter(|handle| !handle.is_empty())
}

fn handle_or_line(record: &Record<'_>) -> String {
    handle(record).map_or_else(|| format!("line {}", record.line), printable::name)
}

/// An entity is called by its kind and handle; what it makes is named after its block, or else its layer.
///
/// What lies on layer 0 of a block lies on the layer of its insert.
fn label(record: &Record<'_>, own: &str, around: &Around<'_, '_>) -> Label {
    let layer = around.layer.filter(|_| own == "0").map_or_else(|| written(own), str::to_owned);
    let block = around.blocks().map(|block| block.name).find(|name| !name.starts_with('*'));
    let named_layer = Some(&layer).filter(|layer| *layer != "0").cloned();
    let element = match handle(record) {
        Some(handle) => format!("{} {handle}", record.kind),
        None => record.kind.to_owned(),
    };
    Label {
        element: printable::name(&element),
        id: None,
        group: block.map(written).or(named_layer),
        layers: vec![layer],
        line: Some((record.line, 1)),
    }
}

/// A name with its `\U+XXXX` read as the letters they stand for.
fn written(name: &str) -> String {
    let mut text = String::new();
    let mut rest = name;
    while let Some((before, after)) = rest.split_once("\\U+") {
        text += before;
        let code =
            after.get(..4).and_then(|digits| u32::from_str_radix(digits, 16).ok()).and_then(char::from_u32);
        match code {
            Some(letter) => {
                text.push(letter);
                rest = &after[4..];
            }
            None => {
                text += "\\U+";
                rest = after;
            }
        }
    }
    printable::name(&(text + rest))
}
