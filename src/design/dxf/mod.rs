//! Reads a DXF file, of any release, in text.
//!
//! `tags` cuts the text into records, `file` sorts them into unit, layers, blocks and entities, `entity` says
//! what each draws, with the curves of `curve`; `walk` follows the blocks, `width` says how wide polylines are drawn. Counts that the file states are not
//! believed: what is there is read. Everything lies in one plane, seen from the face; heights that are the same
//! all over are ignored.

mod curve;
mod entity;
mod file;
mod tags;
mod unit;
mod walk;
mod width;

#[cfg(test)]
mod tests;

use std::borrow::Cow;

use kurbo::Affine;

use self::file::File;
use self::unit::Unit;
use super::flat::flat;
use super::line::widest;
use super::reading::all_left_out;
use super::settle::{Settled, settle};
use super::{Design, DesignError, Fault, FaultKind, Limits, Options, Origin, Place, Reading, apart};
use crate::units::Length;

/// Reads a DXF drawing; `file_name` is only for messages, and no other file is opened.
///
/// Taken as outlines: `LINE`, `ARC`, `CIRCLE`, `ELLIPSE`, `LWPOLYLINE` and `POLYLINE` with bulges, `SPLINE`, and all
/// of these in blocks placed by `INSERT`. What is off, frozen, invisible, not plotted or on paper is left out, and so
/// are open lines on a layer called GRAIN and all on one called NOTE: marks, as the files for cutting have them.
///
/// # Errors
///
/// [`DesignError`] with every fault of the file; [`FaultKind::NoUnit`] when neither the file nor
/// [`Options::drawn_in`] says what a unit of it is.
///
/// # Accuracy
///
/// Curves are exact to 1e-7 of their size before they become straight pieces within [`Reading::tolerance`];
/// points are then rounded to 1e-4 mm.
///
/// # Example
///
/// ```
/// use shortgrain::design::{Options, read_dxf};
///
/// let dxf = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
///            0\nCIRCLE\n5\n2A\n8\nDISC\n10\n60\n20\n40\n40\n25\n0\nENDSEC\n0\nEOF\n";
/// let design = read_dxf("disc.dxf", dxf.as_bytes(), &Options::default())?;
/// assert_eq!(design.pieces[0].name, "DISC");
/// assert!((design.pieces[0].shape.area() - 625.0 * std::f64::consts::PI).abs() < 1.0);
/// # Ok::<(), shortgrain::design::DesignError>(())
/// ```
pub fn read_dxf(file_name: &str, bytes: &[u8], options: &Options) -> Result<Design, DesignError> {
    apart(options, || read_bytes(bytes, options)).map_err(|faults| DesignError::new(file_name, faults))
}

/// Whether a file looks like a DXF, whatever it is called: its first pair of lines opens a section, or is a comment.
pub(super) fn is_dxf(bytes: &[u8]) -> bool {
    let start = &bytes[..bytes.len().min(512)];
    let text = with_line_ends(String::from_utf8_lossy(start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start)));
    let mut lines = text.lines().map(str::trim);
    match (lines.next(), lines.next()) {
        (Some("0"), Some(value)) => value == "SECTION",
        (Some("999"), Some(_)) => true,
        _ => is_binary(bytes),
    }
}

/// The first line of the binary form ends in these words.
fn is_binary(bytes: &[u8]) -> bool {
    bytes[..bytes.len().min(32)].windows(11).any(|w| w == b"Binary DXF\r")
}

fn read_bytes(bytes: &[u8], options: &Options) -> Result<Design, Vec<Fault>> {
    let text = text(bytes, &options.limits)?;
    let file = File::new(&text)?;
    let unit =
        Unit::new(file.unit, options.drawn_in).map(|unit| Unit { mm: unit.mm * options.scale, ..unit });
    let scale = unit.as_ref().map_or(1.0, |unit| unit.mm);
    let walked = walk::walk(&file, Affine::scale(scale), options);
    let mut faults = walked.faults;
    let Some(unit) = unit else {
        // Other faults would be measured in a unit that is not known.
        let place = Place::default();
        faults.push(Fault { place, kind: FaultKind::NoUnit { drawn: walked.size, code: file.unit } });
        return Err(faults);
    };
    let lines = width::lines(&file, &walked.paths);
    let flat = flat(walked.paths, false, options);
    faults.extend(flat.faults);
    let Settled { pieces, mut notes, bounds } = match settle(&flat.drawn, None, flat.tolerance, options) {
        Ok(settled) if faults.is_empty() => settled,
        Ok(_) => return Err(faults),
        Err(more) => {
            let had_faults = !faults.is_empty();
            // Entities may have been left out above, so an empty drawing is no news beside other faults.
            faults.extend(more.into_iter().filter_map(|mut fault| {
                if let FaultKind::NoShapes { left_out, .. } = &mut fault.kind {
                    left_out.splice(0..0, all_left_out(&walked.notes));
                    return (!had_faults).then_some(fault);
                }
                Some(fault)
            }));
            return Err(faults);
        }
    };
    let mut all = walked.notes;
    all.append(&mut notes);
    all.extend(widest(lines, options.gap.as_mm(), &all));
    let reading = Reading {
        scale: unit.scale,
        mm_per_unit: [unit.mm; 2],
        enlarged: options.scale != 1.0,
        page_mm: None,
        origin: Origin::Own,
        bounds_mm: bounds,
        tolerance: Length::mm(flat.tolerance),
        gap: options.gap,
        notes: all,
    };
    Ok(Design { pieces, reading })
}

/// The text of a file: UTF-8, or one of the older encodings, whose letters above 127 only stand in names.
fn text<'a>(bytes: &'a [u8], limits: &Limits) -> Result<Cow<'a, str>, Vec<Fault>> {
    let whole = |kind| vec![Fault { place: Place::default(), kind }];
    if bytes.len() > limits.bytes {
        return Err(whole(FaultKind::TooBig { bytes: bytes.len(), limit: limits.bytes }));
    }
    if is_binary(bytes) {
        return Err(whole(FaultKind::BinaryDxf));
    }
    let looks_like = match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => Some("UTF-16 text"),
        [b'P', b'K', 3, 4, ..] | [0x1f, 0x8b, ..] => Some("a compressed file"),
        [b'A', b'C', b'1', b'0', ..] => Some("a DWG drawing, not its exchange format"),
        _ if bytes[..bytes.len().min(1024)].contains(&0) => Some("no text at all"),
        _ => None,
    };
    if let Some(looks_like) = looks_like {
        return Err(whole(FaultKind::NotDxf { looks_like }));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.trim_ascii().is_empty() {
        return Err(whole(FaultKind::Empty));
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => Cow::Owned(bytes.iter().map(|byte| char::from(*byte)).collect()),
    };
    Ok(with_line_ends(text))
}

/// Some old machines end a line by a carriage return alone.
fn with_line_ends(text: Cow<'_, str>) -> Cow<'_, str> {
    if text.contains('\n') { text } else { Cow::Owned(text.replace('\r', "\n")) }
}
