//! The cut list: one line for each thing to be got out, as CSV.

use super::strip::Laid;
use super::{Piece, Set, blank};
use crate::units::{Length, Units};

/// What is got out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part<'a> {
    Piece,
    /// A board that a blank is glued up of, by its name.
    Board(&'a str),
    Insert,
    /// A board that is glued on a back.
    Backer,
    /// What inserts or backers are cut from.
    Strip,
}

impl<'a> Part<'a> {
    pub(super) const fn word(self) -> &'a str {
        match self {
            Self::Piece => "piece",
            Self::Board(name) => name,
            Self::Insert => "insert",
            Self::Backer => "backer",
            Self::Strip => "strip",
        }
    }
}

/// A line of the list.
pub(super) struct Row<'a> {
    pub(super) part: Part<'a>,
    /// For whom, a name for each; nothing of what serves the whole set.
    pub(super) owners: Vec<&'a str>,
    /// What stands for those where there are none: `spare`, `inserts`.
    pub(super) shared: String,
    pub(super) count: usize,
    pub(super) wood: Option<&'a str>,
    /// Thickness, width and length along the grain, in mm; not a number where it is not known.
    pub(super) size: [f64; 3],
    remark: String,
}

/// Everything that is to be got out: pieces, those of one wood and size in one line, each with the boards that its blank is glued up of; then inserts and boards for backs, their spares, and the strips
/// they are cut from.
pub(super) fn rows<'a>(set: &'a Set, all: &'a [Laid]) -> Vec<Row<'a>> {
    let mut rows = Vec::new();
    for piece in &set.pieces {
        let Some([length, width]) = along_the_grain(piece) else { continue };
        let size = [piece.thickness.map_or(f64::NAN, Length::as_mm), width, length];
        let wood = piece.wood.as_deref();
        let remark = if piece.plies.is_empty() {
            "net, before any allowance".to_owned()
        } else {
            format!("net, cut from the {} boards below, glued up", piece.plies.len())
        };
        let is_alike = |row: &&mut Row<'_>| {
            row.part == Part::Piece && row.wood == wood && is_same(row.size, size) && row.remark == remark
        };
        match rows.iter_mut().find(is_alike) {
            Some(row) => {
                row.owners.push(&piece.name);
                row.count += 1;
            }
            None => rows.push(Row {
                part: Part::Piece,
                owners: vec![&piece.name],
                shared: String::new(),
                count: 1,
                wood,
                size,
                remark,
            }),
        }
        for sawn in blank::sawn(piece, set.stock.web.as_mm()) {
            let [length, width] = sawn.size;
            rows.push(Row {
                part: Part::Board(&sawn.ply.name),
                owners: vec![&piece.name],
                shared: String::new(),
                count: 1,
                wood: sawn.ply.wood.as_deref(),
                size: [sawn.ply.thickness.as_mm(), width, length],
                remark: "glued up, room for the bit and the pins included".to_owned(),
            });
        }
    }
    for laid in all {
        let (part, word) = (laid.part(), laid.part().word());
        for kind in &laid.kinds {
            let [length, width] = kind.size();
            let row = |owners: Vec<&'a str>, count| Row {
                part,
                owners,
                shared: "spare".to_owned(),
                count,
                wood: kind.wood.as_deref(),
                size: [kind.thickness_mm, width, length],
                remark: "cut from the strip, to the outline".to_owned(),
            };
            rows.push(row(kind.owners.iter().map(String::as_str).collect(), kind.owners.len()));
            if kind.spares > 0 {
                rows.push(row(Vec::new(), kind.spares));
            }
        }
        for strip in &laid.strips {
            let [length, width] = strip.size;
            rows.push(Row {
                part: Part::Strip,
                owners: Vec::new(),
                shared: format!("{word}s"),
                count: 1,
                wood: strip.wood.as_deref(),
                size: [strip.thickness_mm, width, length],
                remark: format!("holds the {word}s above, room for the bit included"),
            });
        }
    }
    rows
}

/// Whether blanks are of one size, to what the list shows; one that is not known is like another.
fn is_same(one: [f64; 3], other: [f64; 3]) -> bool {
    let alike = |(a, b): (f64, f64)| a.is_nan() && b.is_nan() || (a - b).abs() < 0.005;
    one.into_iter().zip(other).all(alike)
}

/// Writes the list: thickness by width by length, the length along the grain.
///
/// Fields by RFC 4180; lengths in the reader's unit, which stands in the head.
pub(super) fn written(rows: &[Row<'_>], units: Units) -> String {
    let unit = units.length_unit();
    let mut text = format!("part,for,count,wood,thickness_{unit},width_{unit},length_{unit},remark\r\n");
    for row in rows {
        let [thickness, width, length] = row.size.map(|mm| shown(mm, units));
        let owner = if row.owners.is_empty() { row.shared.clone() } else { row.owners.join("; ") };
        let wood = row.wood.unwrap_or("");
        let fields =
            [row.part.word(), &owner, &row.count.to_string(), wood, &thickness, &width, &length, &row.remark];
        let fields: Vec<String> = fields.iter().map(|field| quoted(field)).collect();
        text.push_str(&fields.join(","));
        text.push_str("\r\n");
    }
    text
}

/// What of the list stands on a piece's own sheet: what is got out for it, how many, thickness x width x length, the wood; and what serves the
/// whole set.
pub(super) fn of_piece(rows: &[Row<'_>], piece: &Piece, units: Units) -> Vec<[String; 4]> {
    let row = |row: &Row<'_>| {
        let own = row.owners.iter().filter(|owner| **owner == piece.name).count();
        let (part, count) = match (row.owners.as_slice(), row.part) {
            ([], Part::Strip) => (format!("strip for {}", row.shared), row.count),
            ([], part) => (format!("{} {}", row.shared, part.word()), row.count),
            (_, part) => (part.word().to_owned(), own),
        };
        let known = |text: String| if text.is_empty() { "?".to_owned() } else { text };
        let size = row.size.map(|mm| known(shown(mm, units))).join(" x ");
        let size = format!("{size} {}", units.length_unit());
        (count > 0).then(|| [part, count.to_string(), size, row.wood.unwrap_or("").to_owned()])
    };
    rows.iter().filter_map(row).collect()
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
