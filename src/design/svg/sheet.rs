//! How large a drawing is: the scale between its own numbers and millimetres.

use std::str::FromStr;

use svgtypes::{AspectRatio, Length, LengthUnit as SvgUnit, ViewBox};

use super::attribute::attribute;
use crate::design::{FaultKind, Scale};
use crate::units::LengthUnit;

/// The page of a drawing.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    pub(super) scale: Scale,
    pub(super) mm_per_unit: [f64; 2],
    /// Left, top, width and height in the drawing's own numbers, where it has a page.
    pub(super) view: Option<[f64; 4]>,
    /// Width and height in mm.
    pub(super) page: Option<[f64; 2]>,
}

const PX: f64 = LengthUnit::Px.in_mm();

impl Sheet {
    /// Reads it from the root element, or from what the user says its numbers are in.
    pub(super) fn new(
        root: roxmltree::Node<'_, '_>,
        drawn_in: Option<LengthUnit>,
    ) -> Result<Self, Vec<FaultKind>> {
        let mut faults = Vec::new();
        let mut keep = |side: Result<Option<Side>, FaultKind>| {
            side.unwrap_or_else(|fault| {
                faults.push(fault);
                None
            })
        };
        let width = keep(side(root, "width"));
        let height = keep(side(root, "height"));
        let view = view_box(root).unwrap_or_else(|fault| {
            faults.push(fault);
            None
        });
        let ratio = attribute(root, "preserveAspectRatio").and_then(|text| AspectRatio::from_str(text).ok());
        if !faults.is_empty() {
            return Err(faults);
        }
        let stated = width.as_ref().or(height.as_ref());
        let scale = match (drawn_in, stated) {
            (Some(unit), _) => Scale::Told(unit),
            (None, Some(side)) if side.pixels => Scale::Pixels { as_written: side.as_written.clone() },
            (None, Some(side)) => Scale::Stated { as_written: side.as_written.clone() },
            (None, None) => return Err(vec![FaultKind::NoSize { drawn: view.map(|v| [v[2], v[3]]) }]),
        };
        let (width, height) = (width.map(|side| side.mm), height.map(|side| side.mm));
        let view = view.or_else(|| Some([0.0, 0.0, width? / PX, height? / PX]));
        let mm_per_unit = match (drawn_in, view) {
            (Some(unit), _) => [unit.in_mm(); 2],
            (None, Some([_, _, w, h])) => fitted(width.map(|mm| mm / w), height.map(|mm| mm / h), ratio),
            (None, None) => [PX; 2],
        };
        let page = view.map(|[_, _, w, h]| [w * mm_per_unit[0], h * mm_per_unit[1]]);
        Ok(Self { scale, mm_per_unit, view, page })
    }
}

impl Sheet {
    /// Takes the drawing to be `scale` times larger than it says.
    pub(super) fn enlarge(&mut self, scale: f64) {
        self.mm_per_unit = self.mm_per_unit.map(|mm| mm * scale);
        self.page = self.page.map(|page| page.map(|side| side * scale));
    }
}

/// Millimetres to a unit, from those the width and the height alone would give.
fn fitted(across: Option<f64>, up: Option<f64>, ratio: Option<AspectRatio>) -> [f64; 2] {
    match (across, up) {
        (Some(x), Some(y)) => match ratio {
            Some(ratio) if ratio.align == svgtypes::Align::None => [x, y],
            Some(ratio) if ratio.slice => [x.max(y); 2],
            _ => [x.min(y); 2],
        },
        (Some(s), None) | (None, Some(s)) => [s; 2],
        (None, None) => [PX; 2],
    }
}

/// The page's width or height.
struct Side {
    mm: f64,
    pixels: bool,
    as_written: String,
}

/// `None` when it is missing or relative to a window: then it says nothing about wood.
fn side(root: roxmltree::Node<'_, '_>, name: &str) -> Result<Option<Side>, FaultKind> {
    let Some(text) = attribute(root, name).map(str::trim).filter(|text| *text != "auto") else {
        return Ok(None);
    };
    let value = || super::vet::shortened(text);
    let length =
        Length::from_str(text).map_err(|_| FaultKind::BadSize { name: name.to_owned(), value: value() })?;
    let unit = match length.unit {
        SvgUnit::None | SvgUnit::Px => LengthUnit::Px,
        SvgUnit::In => LengthUnit::In,
        SvgUnit::Cm => LengthUnit::Cm,
        SvgUnit::Mm => LengthUnit::Mm,
        SvgUnit::Pt => LengthUnit::Pt,
        SvgUnit::Pc => LengthUnit::Pc,
        SvgUnit::Em | SvgUnit::Ex | SvgUnit::Percent => return Ok(None),
    };
    let mm = length.number * unit.in_mm();
    if !mm.is_finite() || mm <= 0.0 {
        return Err(FaultKind::BadAttribute {
            name: name.to_owned(),
            value: value(),
            reason: "a page has to be larger than nothing".to_owned(),
        });
    }
    Ok(Some(Side { mm, pixels: unit == LengthUnit::Px, as_written: format!("{name}=\"{text}\"") }))
}

fn view_box(root: roxmltree::Node<'_, '_>) -> Result<Option<[f64; 4]>, FaultKind> {
    let Some(text) = attribute(root, "viewBox") else { return Ok(None) };
    let view = ViewBox::from_str(text).map_err(|_| FaultKind::BadAttribute {
        name: "viewBox".to_owned(),
        value: super::vet::shortened(text),
        reason: "it has to be four numbers, the last two above zero".to_owned(),
    })?;
    Ok(Some([view.x, view.y, view.w, view.h]))
}
