//! What a unit of a DXF drawing is.

use crate::design::Scale;
use crate::units::LengthUnit;

/// The unit, and how it is known.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    pub(super) mm: f64,
    pub(super) scale: Scale,
}

impl Unit {
    /// From what the user says, or else from the header's `$INSUNITS`; `None` when both are silent.
    pub(super) fn new(code: Option<i64>, drawn_in: Option<LengthUnit>) -> Option<Self> {
        if let Some(unit) = drawn_in {
            return Some(Self { mm: unit.in_mm(), scale: Scale::Told(unit) });
        }
        let code = code?;
        let (mm, name) = NAMES.iter().find(|(known, ..)| *known == code).map(|(_, mm, name)| (*mm, *name))?;
        Some(Self { mm, scale: Scale::Header { code, unit: name } })
    }
}

/// The values of `$INSUNITS` that a board may be drawn in, and what they are in mm. Larger ones, from miles to parsecs,
/// and those from millionths of an inch down say nothing about wood.
const NAMES: [(i64, f64, &str); 12] = [
    (1, 25.4, "inches"),
    (2, 304.8, "feet"),
    (4, 1.0, "millimetres"),
    (5, 10.0, "centimetres"),
    (6, 1000.0, "metres"),
    (9, 0.0254, "thousandths of an inch"),
    (10, 914.4, "yards"),
    (13, 1e-3, "micrometres"),
    (14, 100.0, "decimetres"),
    (15, 10_000.0, "decametres"),
    (16, 100_000.0, "hectometres"),
    // US survey feet, 1200/3937 m.
    (21, 1_200_000.0 / 3937.0, "US survey feet"),
];
