//! Style declarations: keeps those that say where wood is, and makes references harmless.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use super::{attribute::attribute, unfollowed};

/// Properties that decide what is drawn and how it is filled. Anything else is left out.
const KEPT: [&str; 30] = [
    "fill",
    "fill-rule",
    "fill-opacity",
    "stroke",
    "stroke-width",
    "stroke-opacity",
    "display",
    "visibility",
    "opacity",
    "color",
    "transform",
    "transform-origin",
    "clip-path",
    "clip-rule",
    "mask",
    "overflow",
    // Of lettering.
    "font",
    "font-family",
    "font-size",
    "font-style",
    "font-weight",
    "font-stretch",
    "font-variant",
    "letter-spacing",
    "word-spacing",
    "text-anchor",
    "dominant-baseline",
    "alignment-baseline",
    "baseline-shift",
    "writing-mode",
];

/// The ids of the clip path and the mask that stand for all that cannot be applied.
pub(super) const CLIP: &str = "sg:clip";
pub(super) const MASK: &str = "sg:mask";

/// What references stand for in the clean copy.
#[derive(Debug, Default)]
pub(super) struct Paints {
    /// The ids of the gradients and patterns that the file has.
    pub(super) servers: BTreeSet<String>,
    /// Those met so far; each stands as a colour of its own.
    references: Vec<String>,
    /// Those met so far that the file does not have.
    pub(super) missing: Vec<Missing>,
    /// The ids of all clip paths of the file, and of those that stand in the copy themselves.
    pub(super) all_clips: BTreeSet<String>,
    pub(super) clips: BTreeSet<String>,
    /// Whether a clip path was asked for that the file does not have, since it was last asked.
    pub(super) lost_clip: bool,
}

/// The first of the colours that stand for gradients and patterns: an odd dark red.
const FIRST_PAINT: usize = 0x51_00_00;

/// What a fill or a line refers to, where that is no gradient or pattern of the file.
#[derive(Clone, Debug)]
pub(super) struct Missing {
    /// Its id in the clean copy: of a gradient, which no colour of the file can be taken for.
    pub(super) id: String,
    pub(super) reference: String,
    /// What the file names to stand in.
    pub(super) fallback: Option<String>,
}

impl Missing {
    /// The colour that stands in. Without one nothing is painted.
    ///
    /// # Source
    ///
    /// Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 4 October 2018, 13.2 "Specifying paint".
    pub(super) fn colour(&self) -> Option<String> {
        let fallback = self.fallback.as_deref()?.trim();
        if fallback.eq_ignore_ascii_case("none") {
            return None;
        }
        match svgtypes::Color::from_str(fallback) {
            Ok(colour) if colour.alpha == 0 => None,
            Ok(colour) => Some(written([colour.red, colour.green, colour.blue])),
            // The colour of the text around, or what cannot be read: a paint of its own.
            Err(_) => Some(fallback.to_owned()),
        }
    }
}

/// A colour as it counts: two shapes of the same are the same material.
pub(super) fn written([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// So many missing ones are told apart.
const MOST_MISSING: usize = 1000;

impl Paints {
    /// What stands for a reference, and what the file names to be used in its place.
    fn stand_in(&mut self, reference: &str, fallback: &str) -> String {
        if reference.strip_prefix('#').is_some_and(|id| self.servers.contains(id)) {
            return self.colour(reference);
        }
        let fallback = Some(fallback).filter(|fallback| !fallback.is_empty());
        let known = |m: &&Missing| m.reference == reference && m.fallback.as_deref() == fallback;
        let missing = self.missing.iter().find(known).or(self.missing.get(MOST_MISSING));
        let id = missing.map(|missing| missing.id.clone()).unwrap_or_else(|| {
            let id = format!("sg:missing{}", self.missing.len());
            let (reference, fallback) = (reference.to_owned(), fallback.map(str::to_owned));
            self.missing.push(Missing { id: id.clone(), reference, fallback });
            id
        });
        format!("url(#{id})")
    }

    /// The colour that stands for a reference.
    fn colour(&mut self, reference: &str) -> String {
        let known = self.references.iter().position(|r| r == reference);
        let index = known.unwrap_or_else(|| {
            self.references.push(reference.to_owned());
            self.references.len() - 1
        });
        format!("#{:06x}", FIRST_PAINT + index % 0xffff)
    }
}

/// Whether a property is kept.
pub(super) fn is_kept(property: &str) -> bool {
    KEPT.contains(&property)
}

/// The value of a kept property with its references made harmless; `None` leaves the property out.
pub(super) fn cleaned(property: &str, value: &str, paints: &mut Paints) -> Option<String> {
    let Some(start) = value.to_ascii_lowercase().find("url(") else {
        let is_nothing = unfollowed::is_nothing(value);
        // A clip path or mask that is written out, such as circle(5mm), is one that cannot be applied.
        return Some(match property {
            "clip-path" if !is_nothing => format!("url(#{CLIP})"),
            "mask" if !is_nothing => format!("url(#{MASK})"),
            "overflow" => return overflow(value),
            _ => value.to_owned(),
        });
    };
    let important = if value.contains("!important") { " !important" } else { "" };
    let (reference, rest) = value[start + 4..].split_once(')').unwrap_or((&value[start + 4..], ""));
    let reference = reference.trim().trim_matches(['"', '\'']);
    match property {
        "fill" | "stroke" => {
            let fallback = rest.replace("!important", "");
            Some(paints.stand_in(reference, fallback.trim()) + important)
        }
        // One that does not exist clips nothing (CSS Masking Module Level 1, W3C, 5.1 "Clipping paths: the clip-path property").
        "clip-path" if reference.strip_prefix('#').is_some_and(|id| !paints.all_clips.contains(id)) => {
            paints.lost_clip = true;
            Some(format!("none{important}"))
        }
        "clip-path" => {
            let known = reference.strip_prefix('#').filter(|id| paints.clips.contains(*id));
            // The shapes of a clip path are freed of theirs by a style of their own, which has to have the last word.
            Some(format!("url(#{})", known.unwrap_or(CLIP)))
        }
        "mask" => Some(format!("url(#{MASK}){important}")),
        _ => None,
    }
}

/// Whether what reaches beyond its edge is seen, in the two words that the resolver knows; `None` for what leaves it as it is.
fn overflow(value: &str) -> Option<String> {
    let important = if value.contains("!important") { " !important" } else { "" };
    let word = value.split([' ', '!']).find(|word| !word.is_empty())?.to_ascii_lowercase();
    let known = match word.as_str() {
        "hidden" | "scroll" | "clip" => "hidden",
        "visible" | "auto" | "initial" | "unset" => "visible",
        "inherit" => "inherit",
        _ => return None,
    };
    Some(format!("{known}{important}"))
}

/// An inline style with only the kept declarations.
pub(super) fn declarations(text: &str, paints: &mut Paints) -> String {
    let mut kept = String::new();
    for declaration in text.split(';') {
        let Some((property, value)) = declaration.split_once(':') else { continue };
        let property = property.trim().to_ascii_lowercase();
        if is_kept(&property)
            && let Some(value) = cleaned(&property, value.trim(), paints)
        {
            kept += &format!("{property}:{value};");
        }
    }
    kept
}

/// A style sheet as the clean copy has it, and what it asks for and does not get.
pub(super) struct Rules {
    pub(super) kept: String,
    pub(super) unfollowed: Vec<&'static str>,
}

/// A style sheet with only the kept declarations; rules that begin with `@` are left out, as the resolver
/// does not know them. A rule for an id that several elements carry is one for each of them.
pub(super) fn sheet(text: &str, shared: &BTreeMap<&str, usize>, paints: &mut Paints) -> Rules {
    let text = without_comments(text);
    let mut rest = text.as_str();
    let mut kept = String::new();
    let mut unfollowed = Vec::new();
    while let Some(open) = rest.find(['{', ';']) {
        let selector = rest[..open].trim();
        let at_rule = selector.starts_with('@');
        let word = selector.split(|c: char| c != '@' && c != '-' && !c.is_alphanumeric()).next();
        if word.is_some_and(unfollowed::is_rule) {
            unfollowed.push("a rule that begins with @");
        }
        if rest[open..].starts_with(';') {
            rest = &rest[open + 1..];
            continue;
        }
        let close = matching(&rest[open..]).map_or(rest.len(), |end| open + end);
        if !at_rule {
            let body = &rest[open + 1..close];
            if unfollowed::is_beyond(selector) && !declarations(body, paints).is_empty() {
                unfollowed.push("a rule whose selector is not known");
            }
            unfollowed.extend(unfollowed::declarations(body));
            kept += &format!("{} {{{}}}\n", each_of(selector, shared), declarations(body, paints));
        }
        rest = rest.get(close + 1..).unwrap_or_default();
    }
    Rules { kept, unfollowed }
}

/// What the ids begin with, up to a hyphen, of all elements that carry the id of that number.
pub(super) fn shared_id(number: usize) -> String {
    format!("sg:all{number}")
}

/// A selector that picks every element that carries a shared id, where `#id` would pick none.
fn each_of(selector: &str, shared: &BTreeMap<&str, usize>) -> String {
    let mut kept = String::new();
    let mut rest = selector;
    while let Some((before, after)) = rest.split_once('#') {
        let end = after.find(|c: char| !(c.is_alphanumeric() || "_-".contains(c))).unwrap_or(after.len());
        let (id, next) = after.split_at(end);
        let all = shared.get(id).map(|&number| format!("[id|=\"{}\"]", shared_id(number)));
        kept += before;
        kept += &all.unwrap_or_else(|| format!("#{id}"));
        rest = next;
    }
    kept + rest
}

fn without_comments(text: &str) -> String {
    let text = text.replace("<!--", "").replace("-->", "");
    let mut kept = String::new();
    let mut rest = text.as_str();
    while let Some(start) = rest.find("/*") {
        kept += &rest[..start];
        rest = rest[start + 2..].split_once("*/").map_or("", |(_, after)| after);
    }
    kept + rest
}

/// Where the brace that opens `text` closes.
fn matching(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    for (i, c) in text.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 1 => return Some(i),
            '}' => depth -= 1,
            _ => {}
        }
    }
    None
}

/// Whether an element's own attributes or inline style set a property to something that refers.
pub(super) fn sets(node: roxmltree::Node<'_, '_>, property: &str) -> bool {
    let inline = attribute(node, "style").unwrap_or_default().split(';').filter_map(|d| d.split_once(':'));
    let inline =
        inline.filter(|(name, _)| name.trim().eq_ignore_ascii_case(property)).map(|(_, value)| value);
    inline.chain(attribute(node, property)).any(|value| value.to_ascii_lowercase().contains("url("))
}

/// Whether an element's own attributes or inline style hide it with all it holds.
pub(super) fn hides(node: roxmltree::Node<'_, '_>) -> bool {
    let mut shown = attribute(node, "display").map(str::trim).map(str::to_owned);
    for declaration in attribute(node, "style").unwrap_or_default().split(';') {
        if let Some((property, value)) = declaration.split_once(':')
            && property.trim().eq_ignore_ascii_case("display")
        {
            shown = Some(value.replace("!important", "").trim().to_owned());
        }
    }
    shown.as_deref() == Some("none")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_are_replaced_and_other_properties_go() {
        let servers = ["g".to_owned(), "h".to_owned()].into();
        let mut paints = Paints { servers, all_clips: ["c".to_owned()].into(), ..Paints::default() };
        let style = "filter:url(#f); FILL : url(#g) ;stroke:none;clip-path:url(#c);cursor:pointer";
        assert_eq!(declarations(style, &mut paints), "fill:#510000;stroke:none;clip-path:url(#sg:clip);");
        assert_eq!(
            declarations("fill:url('#h');stroke:url(#g)", &mut paints),
            "fill:#510001;stroke:#510000;"
        );
    }

    #[test]
    fn a_style_sheet_keeps_its_rules_without_comments_and_at_rules() {
        let mut paints = Paints::default();
        let text = "@import 'x'; @media print { .a { fill: red } } /* } */ .b, g > rect { fill:none; marker:url(#m) }";
        let rules = sheet(text, &BTreeMap::new(), &mut paints);
        assert_eq!(rules.kept, ".b, g > rect {fill:none;}\n");
        assert_eq!(rules.unfollowed, ["a rule that begins with @", "a rule that begins with @", "markers"]);
    }

    #[test]
    fn what_is_not_in_the_file_stands_with_what_is_named_in_its_place() {
        let mut paints = Paints { servers: ["g".to_owned()].into(), ..Paints::default() };
        let style = "fill:url(#no);stroke:url( 'other.svg#g' ) red !important";
        assert_eq!(
            declarations(style, &mut paints),
            "fill:url(#sg:missing0);stroke:url(#sg:missing1) !important;"
        );
        assert_eq!(
            declarations("fill:url(#no);stroke:url(#g) red", &mut paints),
            "fill:url(#sg:missing0);stroke:#510000;"
        );
        let colours: Vec<_> = paints.missing.iter().map(Missing::colour).collect();
        assert_eq!(colours, [None, Some("#ff0000".to_owned())]);
        let stands_in = |fallback: &str| {
            let missing =
                Missing { id: String::new(), reference: String::new(), fallback: Some(fallback.to_owned()) };
            missing.colour()
        };
        assert_eq!(
            ["none", "transparent", "#F00", "rgb(255,0,0)"].map(stands_in),
            [None, None, stands_in("red"), stands_in("red")]
        );
    }

    #[test]
    fn overflow_comes_in_the_words_that_the_resolver_knows() {
        let mut paints = Paints::default();
        let kept = declarations("overflow:clip;overflow: Auto !important;overflow:bent", &mut paints);
        assert_eq!(kept, "overflow:hidden;overflow:visible !important;");
    }

    #[test]
    fn a_rule_for_a_shared_id_picks_each_of_them() {
        let shared = BTreeMap::from([("a", 3)]);
        let kept = each_of("#a, #ab > g#a.b", &shared);
        assert_eq!(kept, "[id|=\"sg:all3\"], #ab > g[id|=\"sg:all3\"].b");
    }

    #[test]
    fn clip_paths_and_masks_written_out_are_ones_that_cannot_be_applied() {
        let mut paints = Paints::default();
        assert_eq!(
            declarations("clip-path: circle(5px);mask:none;clip-rule:evenodd", &mut paints),
            "clip-path:url(#sg:clip);mask:none;clip-rule:evenodd;"
        );
    }
}
