//! The clean copy of a drawing: what has an outline or gives one, under names of its own.

use std::str::FromStr;

use roxmltree::Node;

use super::super::arcs;
use super::super::attribute::{ENDS, GEOMETRY, attribute};
use super::super::sheet::Sheet;
use super::super::style::{self, CLIP, MASK};
use super::{HOLDERS, SHAPES, SVG, Vetting, is};

const XML: &str = "http://www.w3.org/XML/1998/namespace";

impl<'a, 'input> Vetting<'a, 'input> {
    /// Writes the clean copy. Its view box and size are the same numbers, so that the resolver does not
    /// scale and coordinates stay as they were drawn.
    pub(super) fn copy_root(&mut self, root: Node<'a, 'input>, sheet: Option<&Sheet>) {
        let [x, y, w, h] = sheet.and_then(|sheet| sheet.view).unwrap_or([0.0, 0.0, 100.0, 100.0]);
        self.out += &format!(
            "<svg xmlns=\"{SVG}\" viewBox=\"{x} {y} {w} {h}\" width=\"{w}\" height=\"{h}\" preserveAspectRatio=\"none\""
        );
        self.copy_attributes(root, &["viewBox", "width", "height", "preserveAspectRatio", "x", "y", "id"]);
        self.out += &format!(
            "><defs><clipPath id=\"{CLIP}\"><rect width=\"1\" height=\"1\"/></clipPath>\
             <mask id=\"{MASK}\" maskUnits=\"userSpaceOnUse\" x=\"0\" y=\"0\" width=\"1\" height=\"1\">\
             <rect width=\"1\" height=\"1\"/></mask></defs>"
        );
        self.paged = sheet.is_some_and(|sheet| sheet.view.is_some());
        for child in root.children() {
            self.copy(child, true);
        }
        for missing in &self.paints.missing {
            self.out += &format!(
                "<linearGradient id=\"{}\" gradientUnits=\"userSpaceOnUse\" x2=\"1\"><stop stop-color=\"red\"/>\
                 <stop offset=\"1\"/></linearGradient>",
                missing.id
            );
        }
        self.out += "</svg>";
    }

    /// Nesting is bounded, so this may call itself.
    fn copy(&mut self, node: Node<'a, 'input>, drawn: bool) {
        if !node.is_element() {
            return;
        }
        if !matches!(node.tag_name().namespace(), None | Some(SVG)) {
            return self.copy_used_inside(node);
        }
        let name = node.tag_name().name();
        if name == "style" {
            let text: String = node.descendants().filter_map(|n| n.text().filter(|_| n.is_text())).collect();
            self.style += text.len();
            if self.style <= self.limits.style {
                let rules = style::sheet(&text, &self.shared, &mut self.paints);
                self.out += &format!("<style>{}</style>", escaped(&rules.kept));
                rules.unfollowed.into_iter().for_each(|what| self.not_followed(what, node));
                self.tell_lost_clip(node);
            }
            return;
        }
        let lettering = name == "text" && !self.options.fonts.is_empty();
        let clip =
            name == "clipPath" && attribute(node, "id").is_some_and(|id| self.paints.clips.contains(id));
        if name == "use" && node.parent().is_some_and(|parent| is(parent, "clipPath")) {
            return self.copy_used_in_clip(node);
        }
        let shape = SHAPES.contains(&name) || lettering;
        let kept = HOLDERS.contains(&name) || matches!(name, "defs" | "symbol" | "use");
        if !shape && !kept && !clip {
            return self.copy_used_inside(node);
        }
        let copied = self.copied_id(node);
        self.labels.insert(copied.clone(), self.label(node));
        self.out += &format!("<{name} id=\"{}\"", escaped(&copied));
        let boundless = matches!(name, "svg" | "symbol") && !self.has_edge(node);
        if boundless {
            self.out += " overflow=\"visible\"";
        }
        let unclipped = clip || node.parent().is_some_and(|parent| is(parent, "clipPath"));
        if name == "use"
            && let Some(target) = self.target(node)
        {
            self.out += &format!(" href=\"#{}\"", escaped(&self.copied_id(target)));
        }
        let except: &[&str] = match (unclipped, boundless) {
            (true, _) => &["id", "style"],
            (false, true) => &["id", "overflow"],
            (false, false) => &["id"],
        };
        self.copy_attributes(node, except);
        if unclipped {
            self.free_of_clips(node);
        }
        let drawn = drawn && !matches!(name, "defs" | "symbol" | "clipPath");
        if drawn && (shape || (name == "use" && self.draws(node))) {
            self.shapes.push(copied);
        }
        self.out.push('>');
        if lettering {
            self.copy_letters(node);
        } else {
            for child in node.children() {
                self.copy(child, drawn);
            }
        }
        self.out += &format!("</{name}>");
    }

    /// Whether it is known where a drawing within the drawing, or a symbol, ends: where parts of the page are asked for and the page
    /// has no size, it is not.
    fn has_edge(&self, node: Node<'a, 'input>) -> bool {
        let sized = |name| attribute(node, name).is_some_and(|length| !length.trim_end().ends_with('%'));
        self.paged || (is(node, "svg") && sized("width") && sized("height"))
    }

    /// The id of an element in the clean copy. Every shape has one of its own; where several carry one, theirs begin alike, so that the
    /// rules of a style sheet find them all.
    fn copied_id(&self, node: Node<'a, 'input>) -> String {
        let id = attribute(node, "id").filter(|id| !id.is_empty());
        let shape = SHAPES.iter().chain(&["text"]).any(|name| is(node, name));
        let number = node.id().get();
        match id.map(|id| (id, self.shared.get(id))) {
            Some((_, Some(&shared))) => format!("{}-{number}", style::shared_id(shared)),
            Some((id, None)) if !shape || !id.starts_with("sg:") => id.to_owned(),
            _ => format!("sg:{number}"),
        }
    }

    /// What is never drawn where it stands, such as a mask, may hold what a `use` draws elsewhere.
    fn copy_used_inside(&mut self, node: Node<'a, 'input>) {
        if self.around_used.contains(&node.id()) {
            self.out += "<defs>";
            for child in node.children() {
                self.copy(child, false);
            }
            self.out += "</defs>";
        }
    }

    /// Takes away whatever clip path a style sheet gives: clip paths clipped by others multiply without bound.
    fn free_of_clips(&mut self, node: Node<'a, 'input>) {
        let own = attribute(node, "style").map(|text| style::declarations(text, &mut self.paints));
        self.out += &format!(" style=\"{}clip-path:none;mask:none\"", escaped(&own.unwrap_or_default()));
    }

    /// What a clip path uses, in its place: only so can it be freed of clips.
    fn copy_used_in_clip(&mut self, node: Node<'a, 'input>) {
        let Some(shape) = self.target(node) else { return };
        let of = |node: Node<'a, 'input>, name| attribute(node, name).unwrap_or_default();
        let pixels = |name| svgtypes::Length::from_str(of(node, name)).map_or(0.0, |length| length.number);
        let transform = format!(
            "{} translate({} {}) {}",
            of(node, "transform"),
            pixels("x"),
            pixels("y"),
            of(shape, "transform")
        );
        self.out += &format!("<{} transform=\"{}\"", shape.tag_name().name(), escaped(transform.trim()));
        self.copy_attributes(shape, &["id", "style", "transform"]);
        self.free_of_clips(shape);
        self.out += "/>";
    }

    /// Words and the spans they stand in.
    fn copy_letters(&mut self, text: Node<'a, 'input>) {
        for child in text.children() {
            if child.is_text() {
                self.out += &escaped(child.text().unwrap_or_default());
            } else if is(child, "tspan") {
                self.out += "<tspan";
                self.copy_attributes(child, &["id"]);
                self.out.push('>');
                self.copy_letters(child);
                self.out += "</tspan>";
            }
        }
    }

    fn copy_attributes(&mut self, node: Node<'a, 'input>, except: &[&str]) {
        const OTHERS: [&str; 14] = [
            "d",
            "points",
            "viewBox",
            "preserveAspectRatio",
            "class",
            "transform",
            "systemLanguage",
            "dx",
            "dy",
            "rotate",
            "textLength",
            "lengthAdjust",
            "requiredExtensions",
            "requiredFeatures",
        ];
        let mut copied = String::new();
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            let plain = attribute.namespace().is_none();
            let value = if except.contains(&name) {
                None
            } else if !plain {
                if attribute.namespace() == Some(XML) && name == "space" {
                    copied += &format!(" xml:space=\"{}\"", escaped(value));
                }
                None
            } else if name == "style" {
                Some(style::declarations(value, &mut self.paints))
            } else if style::is_kept(name) {
                style::cleaned(name, value, &mut self.paints)
            } else {
                let wanted = GEOMETRY.iter().chain(&ENDS).chain(&OTHERS).any(|known| *known == name);
                wanted.then(|| if name == "d" { arcs::fine(value) } else { value.to_owned() })
            };
            if let Some(value) = value {
                copied += &format!(" {name}=\"{}\"", escaped(&value));
            }
        }
        self.out += &copied;
        self.tell_lost_clip(node);
    }

    fn tell_lost_clip(&mut self, node: Node<'a, 'input>) {
        if std::mem::take(&mut self.paints.lost_clip) {
            self.not_followed("a clip path that the file does not have", node);
        }
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}
