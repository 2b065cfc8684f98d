//! Letters for cutting.

use svg::node::element::{Description, Group, Title};
use svg::{Document, Node};

use super::letters::clean;
use super::pen::{digits, rings, shape};
use crate::letter::Lettering;

/// Draws letters, or the panel they are pierced through, in millimetres at true size: a filled shape for each piece.
///
/// `words` are what the letters say; the description records them with the font's name and the SHA-256 of its file, so that
/// the same drawing can be made again.
pub fn lettering(words: &str, lettering: &Lettering) -> String {
    let [width, height] = lettering.page;
    let held = match lettering.bridges.first() {
        Some(bridge) => {
            format!(
                " Held by {} bridges, each {} mm wide.",
                lettering.bridges.len(),
                digits(bridge.width.as_mm())
            )
        }
        None => String::new(),
    };
    let record = format!(
        "{} set in {} (SHA-256 {}). True size in millimetres.{held}",
        clean(words),
        clean(&lettering.font),
        lettering.sha256
    );
    let mut group = Group::new();
    for (name, piece) in &lettering.pieces {
        let spot = |c: &geo_types::Coord<f64>| [c.x, height - c.y];
        let rings = rings(piece.rings().map(|ring| ring.0[1..].iter().map(spot)));
        let mut element = shape(&rings, "black", None);
        element.get_attributes_mut().insert("id".into(), clean(name).into());
        group.append(element);
    }
    Document::new()
        .set("width", format!("{}mm", digits(width)))
        .set("height", format!("{}mm", digits(height)))
        .set("viewBox", format!("0 0 {} {}", digits(width), digits(height)))
        .add(Title::new(clean(words)))
        .add(Description::new().add(svg::node::Text::new(record)))
        .add(group)
        .to_string()
        + "\n"
}
