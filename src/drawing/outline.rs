//! An insert's outline for cutting.

use svg::node::element::{Description, Group, Title};
use svg::{Document, Node};

use super::letters::clean;
use super::pen::{Pen, digits, rings, shape};
use crate::check::Insert;

/// Margin around the outline, so that its line is not cut off on screen.
const MARGIN: f64 = 2.0;

/// Draws an insert as it lies in its pocket, seen from the back: one closed contour in millimetres, true size.
///
/// Left and right are swapped against the view from the face, as they are on the bench once the
/// piece is turned over like a page. Its size, its grain and that swap are said in the drawing's description.
/// The contour is what is cut and glued; the piercing comes later.
pub fn insert_outline(name: &str, insert: &Insert) -> String {
    let outer = insert.outline.exterior();
    let fold = |pick: fn(f64, f64) -> f64, start: f64, of: fn(&geo_types::Coord<f64>) -> f64| {
        outer.coords().map(of).fold(start, pick)
    };
    let (left, right) = (fold(f64::min, f64::INFINITY, |c| c.x), fold(f64::max, f64::NEG_INFINITY, |c| c.x));
    let (low, high) = (fold(f64::min, f64::INFINITY, |c| c.y), fold(f64::max, f64::NEG_INFINITY, |c| c.y));
    let (width, height) = (right - left + 2.0 * MARGIN, high - low + 2.0 * MARGIN);
    let closed = outer.0.len().saturating_sub(1);
    let ring = outer.0.iter().take(closed).map(|c| [right - c.x + MARGIN, high - c.y + MARGIN]);
    let grain = (180.0 - insert.grain_deg).rem_euclid(180.0);
    let words = format!(
        "Seen from the back, left and right swapped against the face. True size in millimetres. Thickness {} mm. \
         Its grain runs at {} degrees anticlockwise from left to right.",
        digits(insert.depth_mm),
        digits(grain),
    );
    let contour = shape(&rings([ring]), "none", Some(Pen::solid(0.2)));
    let mut group = Group::new().set("id", "INSERT");
    group.append(contour);
    Document::new()
        .set("width", format!("{}mm", digits(width)))
        .set("height", format!("{}mm", digits(height)))
        .set("viewBox", format!("0 0 {} {}", digits(width), digits(height)))
        .add(Title::new(clean(name)))
        .add(Description::new().add(svg::node::Text::new(words)))
        .add(group)
        .to_string()
        + "\n"
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::design::{Options, read_svg};

    /// Reading the file back gives the outline again, left and right swapped, to a thousandth of a millimetre.
    #[test]
    fn an_outline_reads_back_at_its_true_size() {
        let insert = sample::insert(42.0);
        let file = insert_outline("web 1", &insert);
        let design = read_svg("insert.svg", file.as_bytes(), &Options::default()).expect("it can be read");
        assert_eq!(design.pieces.len(), 1);
        let [width, height] = design.reading.size();
        assert!((width.as_mm() - 16.0).abs() < 0.001 && (height.as_mm() - 56.0).abs() < 0.001);
        let drawn = geo::Area::unsigned_area(&insert.outline);
        assert!((design.pieces[0].shape.area() - drawn).abs() < 0.001 * 2.0 * (16.0 + 56.0));
    }
}
