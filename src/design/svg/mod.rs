//! Reads an SVG file.
//!
//! `vet` reads the XML, finds what is wrong with it and writes a clean copy that holds shapes, groups and
//! their styles alone; `usvg` resolves that copy (style sheets, `use`, transforms, units of lengths); `trace`
//! takes the resolved paths over into millimetres. The clean copy is what keeps files nobody drew from
//! costing minutes or gigabytes: masks, gradients, patterns, markers, filters and pictures never reach the
//! resolver, and clip paths only where they are plain.

mod arcs;
mod attribute;
mod clip;
mod fonts;
mod sheet;
mod style;
mod trace;
mod unfollowed;
mod vet;
mod weight;

pub(super) use vet::shortened;

#[cfg(test)]
mod tests;

use super::line::widest;
use super::reading::all_left_out;
use super::settle::{Settled, settle};
use super::{Design, DesignError, Fault, FaultKind, Options, Origin, Reading, apart};
use crate::units::Length;

/// Reads an SVG drawing; `file_name` is only for messages, and no other file is opened.
///
/// # Errors
///
/// [`DesignError`] with every fault of the file.
///
/// # Accuracy
///
/// Curves become straight pieces within [`Reading::tolerance`]. The resolver holds coordinates in single
/// precision, good to about 1e-5 mm at 100 mm; points are then rounded to 1e-4 mm. Circles, ellipses, rounded
/// corners and arcs are round to 1e-7 of their radius before they become straight pieces.
///
/// # Example
///
/// ```
/// use shortgrain::design::{Options, read_svg};
///
/// let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
///     <rect id="label" x="5" y="5" width="50" height="30"/>
/// </svg>"#;
/// let design = read_svg("label.svg", svg.as_bytes(), &Options::default())?;
/// assert_eq!(design.pieces[0].name, "label");
/// assert!((design.pieces[0].shape.area() - 1500.0).abs() < 1e-9);
/// # Ok::<(), shortgrain::design::DesignError>(())
/// ```
pub fn read_svg(file_name: &str, bytes: &[u8], options: &Options) -> Result<Design, DesignError> {
    apart(options, || read_text(bytes, options)).map_err(|faults| DesignError::new(file_name, faults))
}

/// Whether a file looks like XML, whatever it is called.
pub(super) fn is_svg(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    bytes.trim_ascii_start().starts_with(b"<")
}

fn read_text(bytes: &[u8], options: &Options) -> Result<Design, Vec<Fault>> {
    let text = vet::text(bytes, &options.limits)?;
    let vetted = vet::vet(text, options)?;
    let mut faults = vetted.faults.clone();
    let Some(sheet) = &vetted.sheet else { return Err(faults) };
    let traced = trace::trace(&vetted, sheet, options);
    faults.extend(traced.faults);
    // An element may have been left out above, so an empty drawing is no news beside other faults.
    let settled = settle(&traced.drawn, sheet.page, traced.tolerance, options);
    match settled {
        Ok(Settled { pieces, mut notes, bounds }) if faults.is_empty() => {
            let mut all = traced.notes;
            all.append(&mut notes);
            all.extend(widest(traced.lines, options.gap.as_mm(), &all));
            let reading = Reading {
                scale: sheet.scale.clone(),
                mm_per_unit: sheet.mm_per_unit,
                enlarged: options.scale != 1.0,
                page_mm: sheet.page,
                origin: if sheet.page.is_some() { Origin::Page } else { Origin::Corner },
                bounds_mm: bounds,
                tolerance: Length::mm(traced.tolerance),
                gap: options.gap,
                notes: all,
            };
            Ok(Design { pieces, reading })
        }
        Ok(_) => Err(faults),
        Err(more) => {
            let had_faults = !faults.is_empty();
            for mut fault in more {
                if let FaultKind::NoShapes { hidden, left_out } = &mut fault.kind {
                    if had_faults {
                        continue;
                    }
                    *hidden = traced.hidden;
                    left_out.splice(0..0, all_left_out(&traced.notes));
                }
                faults.push(fault);
            }
            Err(faults)
        }
    }
}
