//! How wide polylines are drawn.

use std::collections::BTreeMap;

use kurbo::{BezPath, PathEl, Point};

use super::entity::{Meaning, meaning};
use super::file::File;
use super::tags::Record;
use crate::design::drawn::Drawn;
use crate::design::line::Line;

/// The lines that have a width, as placed.
///
/// A width grows as its line does from where it is defined to where it is placed: by the length of the line through the path's points. What
/// is stretched unevenly has a width in between.
pub(super) fn lines(file: &File<'_>, placed: &[(Drawn, BezPath)]) -> Vec<Line> {
    let wide = wide(file);
    if wide.is_empty() {
        return Vec::new();
    }
    let own = |drawn: &Drawn| wide.get(&drawn.label.line?.0);
    let line = |(drawn, path): &(Drawn, BezPath)| {
        let &(width, long) = own(drawn)?;
        Some(Line::new(&drawn.label, width * length(path) / long))
    };
    placed.iter().filter_map(line).collect()
}

/// By their line in the file: width and length of polylines that have any, in the drawing's numbers.
fn wide(file: &File<'_>) -> BTreeMap<u32, (f64, f64)> {
    let mut wide = BTreeMap::new();
    for records in file.all_entities() {
        for (k, record) in records.iter().enumerate() {
            let vertices = &records[k + 1..];
            let vertices = &vertices[..vertices.iter().take_while(|next| next.kind == "VERTEX").count()];
            let width = match record.kind {
                "LWPOLYLINE" => width(record, &[43, 40, 41]),
                "POLYLINE" => {
                    let each = vertices.iter().map(|vertex| width(vertex, &[40, 41]));
                    each.fold(width(record, &[40, 41]), f64::max)
                }
                _ => continue,
            };
            if width > 0.0
                && let Meaning::Line(path) = meaning(record, vertices)
                && length(&path) > 0.0
            {
                wide.insert(record.line, (width, length(&path)));
            }
        }
    }
    wide
}

/// The greatest number with one of `codes`; nothing where there is none.
fn width(record: &Record<'_>, codes: &[i32]) -> f64 {
    let tags = record.tags().filter(|tag| codes.contains(&tag.code));
    tags.filter_map(|tag| tag.number()).fold(0.0, f64::max)
}

/// How long the line through all points of a path is, those that only guide its curves among them.
fn length(path: &BezPath) -> f64 {
    let points = path.elements().iter().flat_map(|element| match *element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => vec![p],
        PathEl::QuadTo(a, p) => vec![a, p],
        PathEl::CurveTo(a, b, p) => vec![a, b, p],
        PathEl::ClosePath => Vec::new(),
    });
    let points: Vec<Point> = points.collect();
    points.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}
