//! A plan as SVG: millimetres at true size, closed paths of lines and arcs, a group a layer.
//!
//! Layers that are not cut from this side are hidden, so that whatever shows is cut and closed.

use std::f64::consts::PI;
use std::fmt::Write;

use svg::Document;
use svg::node::element::{Description, Element, Group, Path, Text, Title};

use super::plan::{Layer, Plan, arrow, number};
use crate::drawing::letters::clean;
use crate::fit::Contour;
use crate::shape::plane::Point;

/// Arcs are written in parts no longer than this: near half a circle the centre hangs on the last digit of the radius.
const LONGEST: f64 = 2.0 / 3.0 * PI;
/// Width of the lines, in mm.
const LINE: &str = "0.1";

/// Writes a plan.
pub(super) fn written(plan: &Plan) -> String {
    let [width, height] = plan.size;
    let mut document = Document::new()
        .set("width", format!("{}mm", number(width)))
        .set("height", format!("{}mm", number(height)))
        .set("viewBox", format!("0 0 {} {}", number(width), number(height)))
        .add(Title::new(clean(&plan.title)))
        .add(Description::new().add(svg::node::Text::new(clean(&plan.notes.join(" ")))));
    for sheet in &plan.sheets {
        let mut group = layer(sheet.layer, sheet.is_cut);
        for named in &sheet.contours {
            group = group.add(path(&named.name, &data(&named.contour, height)));
        }
        document = document.add(group);
    }
    if !plan.grain.is_empty() {
        let mut group = layer(Layer::Grain, false);
        for tail_to_tip in &plan.grain {
            let spots = arrow(*tail_to_tip).map(|p| format!("{} {}", number(p.x), number(height - p.y)));
            group = group.add(path("grain", &format!("M{}", spots.join("L"))));
        }
        document = document.add(group);
    }
    let mut group = layer(Layer::Note, false);
    for (i, note) in plan.notes.iter().enumerate() {
        group = group.add(words([1.0, 4.0 + 4.0 * i as f64], note));
    }
    for (at, label) in &plan.labels {
        group = group.add(words([at.x, height - at.y], label));
    }
    document.add(group).to_string() + "\n"
}

fn layer(layer: Layer, shows: bool) -> Group {
    let group = Group::new()
        .set("id", layer.name())
        .set("fill", "none")
        .set("stroke", "#111111")
        .set("stroke-width", LINE);
    if shows { group } else { group.set("display", "none") }
}

fn path(name: &str, data: &str) -> Element {
    Path::new().set("id", clean(name)).set("d", data).into()
}

fn words(at: [f64; 2], words: &str) -> Element {
    Text::new(clean(words))
        .set("x", number(at[0]))
        .set("y", number(at[1]))
        .set("font-size", "3")
        .set("fill", "#111111")
        .set("stroke", "none")
        .into()
}

/// A closed contour as path data, y down from `height`.
pub(super) fn data(contour: &Contour, height: f64) -> String {
    let spot = |p: Point| format!("{} {}", number(p.x), number(height - p.y));
    let mut data = format!("M{}", spot(contour.nodes()[0].at));
    let count = contour.nodes().len();
    for (i, segment) in contour.segments().enumerate() {
        // Writing to a string does not fail.
        match segment.circle() {
            // The last line is the path's own closing one.
            None if i + 1 == count => {}
            None => {
                let _ = write!(data, "L{}", spot(segment.to()));
            }
            Some((_, radius)) => {
                let sweep = segment.sweep();
                let parts = if sweep.abs() > 2.0 * LONGEST { 3 } else { 1 + u8::from(sweep.abs() > LONGEST) };
                // Anticlockwise with y up is anticlockwise on the page too, which SVG counts as negative.
                let way = u8::from(sweep < 0.0);
                let radius = number(radius);
                for k in 1..=parts {
                    let to = segment.at(f64::from(k) / f64::from(parts));
                    let _ = write!(data, "A{radius} {radius} 0 0 {way} {}", spot(to));
                }
            }
        }
    }
    data.push('Z');
    data
}
