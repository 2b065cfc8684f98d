//! The cut list: one line for each thing to be got out, as CSV.

use super::strip::Laid;
use super::{Piece, Set};
use crate::units::{Length, Units};

/// Writes the list: thickness by width by length, the length along the grain.
///
/// Fields by RFC 4180; lengths in the reader's unit, which stands in the head.
pub(super) fn written(set: &Set, all: &[Laid]) -> String {
    let unit = set.units.length_unit();
    let mut text = format!("part,for,count,wood,thickness_{unit},width_{unit},length_{unit},remark\r\n");
    let mut row =
        |part: &str, owner: &str, count: usize, wood: Option<&str>, size: [f64; 3], remark: &str| {
            let [thickness, width, length] = size.map(|mm| shown(mm, set.units));
            let fields =
                [part, owner, &count.to_string(), wood.unwrap_or(""), &thickness, &width, &length, remark];
            let fields: Vec<String> = fields.iter().map(|field| quoted(field)).collect();
            text.push_str(&fields.join(","));
            text.push_str("\r\n");
        };
    for piece in &set.pieces {
        if let Some([length, width]) = along_the_grain(piece) {
            let thickness = piece.thickness.map_or(f64::NAN, Length::as_mm);
            row(
                "piece",
                &piece.name,
                1,
                piece.wood.as_deref(),
                [thickness, width, length],
                "net, before any allowance",
            );
        }
    }
    for laid in all {
        let word = laid.word();
        for kind in &laid.kinds {
            let [length, width] = kind.size();
            let size = [kind.thickness_mm, width, length];
            let owners = kind.owners.join("; ");
            let remark = "cut from the strip, to the outline";
            row(word, &owners, kind.owners.len(), kind.wood.as_deref(), size, remark);
            if kind.spares > 0 {
                row(word, "spare", kind.spares, kind.wood.as_deref(), size, remark);
            }
        }
        for strip in &laid.strips {
            let [length, width] = strip.size;
            let size = [strip.thickness_mm, width, length];
            let remark = format!("holds the {word}s above, room for the bit included");
            row("strip", &format!("{word}s"), 1, strip.wood.as_deref(), size, &remark);
        }
    }
    text
}

/// A piece's length along its grain and its width.
fn along_the_grain(piece: &Piece) -> Option<[f64; 2]> {
    let [x0, y0, x1, y1] = piece.outline.as_ref()?.turned(-piece.grain.as_rad()).bounds();
    Some([x1 - x0, y1 - y0])
}

/// Hundredths of a millimetre, thousandths of an inch; nothing where it is not known.
fn shown(mm: f64, units: Units) -> String {
    match units {
        _ if mm.is_nan() => String::new(),
        Units::Metric => format!("{mm:.2}"),
        Units::Inch => format!("{:.3}", Length::mm(mm).as_inch()),
    }
}

fn quoted(field: &str) -> String {
    let field: String = field.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if field.contains(['"', ',', ';']) { format!("\"{}\"", field.replace('"', "\"\"")) } else { field }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_with_a_comma_is_quoted() {
        assert_eq!(quoted("1/4\", oak"), "\"1/4\"\", oak\"");
        assert_eq!(quoted("oak"), "oak");
    }
}
