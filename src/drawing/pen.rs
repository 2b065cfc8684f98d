//! Lines, curves and letters as SVG elements: fixed digits, millimetres, y down.

use svg::node::element::{Circle, Element, Group, Line, Path, Rectangle, Text};

use super::letters::clean;

/// A point on the page, in mm from its upper left corner.
pub(super) type Spot = [f64; 2];

/// Black for print; the accent is dark enough to print as black.
pub(super) const INK: &str = "#111111";
/// Repeats, never carries, the meaning of a break line.
pub(super) const ACCENT: &str = "#8c1a11";
/// Wood, light enough to write on.
pub(super) const WOOD: &str = "#f4ead7";
/// Grain lines.
pub(super) const GRAIN: &str = "#c3ad88";
/// Paper, and the halo that lifts a line off the grain.
pub(super) const PAPER: &str = "#ffffff";

/// How a line is drawn.
#[derive(Clone, Copy)]
pub(super) struct Pen {
    pub(super) width: f64,
    pub(super) dash: &'static str,
    pub(super) colour: &'static str,
}

impl Pen {
    pub(super) const fn solid(width: f64) -> Self {
        Self { width, dash: "", colour: INK }
    }

    pub(super) const fn dashed(width: f64, dash: &'static str) -> Self {
        Self { width, dash, colour: INK }
    }

    pub(super) const fn in_colour(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }

    /// The same line, wider and in paper white, to lie beneath it.
    pub(super) const fn halo(self) -> Self {
        Self { width: self.width + 0.9, dash: "", colour: PAPER }
    }
}

/// A number with at most three decimals and no trailing zeros.
pub(super) fn digits(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn stroke(element: &mut Element, pen: Pen) {
    let set = element.get_attributes_mut();
    set.insert("stroke".into(), pen.colour.into());
    set.insert("stroke-width".into(), digits(pen.width).into());
    if !pen.dash.is_empty() {
        set.insert("stroke-dasharray".into(), pen.dash.into());
    }
}

pub(super) fn line(from: Spot, to: Spot, pen: Pen) -> Element {
    let mut element: Element = Line::new()
        .set("x1", digits(from[0]))
        .set("y1", digits(from[1]))
        .set("x2", digits(to[0]))
        .set("y2", digits(to[1]))
        .into();
    stroke(&mut element, pen);
    element
}

pub(super) fn circle(centre: Spot, radius: f64, fill: &str, pen: Pen) -> Element {
    let mut element: Element = Circle::new()
        .set("cx", digits(centre[0]))
        .set("cy", digits(centre[1]))
        .set("r", digits(radius))
        .set("fill", fill)
        .into();
    stroke(&mut element, pen);
    element
}

/// A box by its upper left corner, with round corners.
pub(super) fn rounded(corner: Spot, size: Spot, radius: f64, fill: &str, pen: Pen) -> Element {
    let mut element: Element = Rectangle::new()
        .set("x", digits(corner[0]))
        .set("y", digits(corner[1]))
        .set("width", digits(size[0]))
        .set("height", digits(size[1]))
        .set("rx", digits(radius))
        .set("fill", fill)
        .into();
    stroke(&mut element, pen);
    element
}

/// A shape by its path data, filled by the even-odd rule.
pub(super) fn shape(data: &str, fill: &str, pen: Option<Pen>) -> Element {
    let mut element: Element =
        Path::new().set("d", data).set("fill", fill).set("fill-rule", "evenodd").into();
    if let Some(pen) = pen {
        stroke(&mut element, pen);
        element.get_attributes_mut().insert("stroke-linejoin".into(), "round".into());
    }
    element
}

/// Path data of closed rings.
pub(super) fn rings<'a, R: IntoIterator<Item = Spot>>(all: impl IntoIterator<Item = R> + 'a) -> String {
    let mut data = String::new();
    for ring in all {
        let mut lead = 'M';
        for spot in ring {
            data.push(lead);
            data.push_str(&digits(spot[0]));
            data.push(' ');
            data.push_str(&digits(spot[1]));
            lead = 'L';
        }
        if lead == 'L' {
            data.push('Z');
        }
    }
    data
}

/// Where a text hangs from its anchor.
#[derive(Clone, Copy)]
pub(super) enum Hang {
    Start,
    Middle,
    End,
}

/// A line of text: size in mm, anchor on its base line.
#[derive(Clone, Copy)]
pub(super) struct Type {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) hang: Hang,
    pub(super) colour: &'static str,
}

impl Type {
    pub(super) const fn plain(size: f64) -> Self {
        Self { size, bold: false, hang: Hang::Start, colour: INK }
    }

    pub(super) const fn bold(size: f64) -> Self {
        Self { size, bold: true, hang: Hang::Start, colour: INK }
    }

    pub(super) const fn hung(self, hang: Hang) -> Self {
        Self { hang, ..self }
    }

    pub(super) const fn in_colour(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }
}

pub(super) fn text(at: Spot, words: &str, face: Type) -> Element {
    let mut text = Text::new(clean(words))
        .set("x", digits(at[0]))
        .set("y", digits(at[1]))
        .set("font-size", digits(face.size))
        .set("fill", face.colour);
    if face.bold {
        text = text.set("font-weight", "bold");
    }
    match face.hang {
        Hang::Start => {}
        Hang::Middle => text = text.set("text-anchor", "middle"),
        Hang::End => text = text.set("text-anchor", "end"),
    }
    text.into()
}

/// Text that stands clear of what lies beneath it.
pub(super) fn text_with_halo(at: Spot, words: &str, face: Type) -> Group {
    let mut halo = text(at, words, face.in_colour(PAPER));
    stroke(&mut halo, Pen { width: 0.9, dash: "", colour: PAPER });
    halo.get_attributes_mut().insert("stroke-linejoin".into(), "round".into());
    Group::new().add(halo).add(text(at, words, face))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        assert_eq!(digits(1.0), "1");
        assert_eq!(digits(-0.0001), "0");
        assert_eq!(digits(12.3456), "12.346");
        assert_eq!(digits(100.0), "100");
    }
}
