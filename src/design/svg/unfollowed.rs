//! What changes how a drawing looks and is not followed: told, so that nobody takes the wood for what a browser shows.

use std::str::FromStr;

use super::attribute::GEOMETRY;
use super::style::is_kept;

/// Properties that change what is seen and are not followed, as attributes or in a style, and what a person calls them.
const PROPERTIES: [(&str, &str); 9] = [
    ("filter", "a filter"),
    ("marker", "markers"),
    ("marker-start", "markers"),
    ("marker-mid", "markers"),
    ("marker-end", "markers"),
    ("stroke-dasharray", "dashes"),
    ("mix-blend-mode", "a blend mode"),
    ("mask-image", "a mask's picture"),
    ("offset-path", "a path to be moved along"),
];

/// Those that, as [`GEOMETRY`], are properties in a style alone: as attributes they are read, or nothing.
const IN_STYLES: [&str; 9] = [
    "d",
    "rotate",
    "scale",
    "translate",
    "zoom",
    "transform-box",
    "-webkit-mask",
    "-webkit-mask-image",
    "-webkit-clip-path",
];

/// Rules of a style sheet that begin with `@` and may hold others.
const RULES: [&str; 6] = ["@import", "@media", "@supports", "@layer", "@container", "@scope"];

/// Values that leave a property as it would be without.
const NOTHING: [&str; 9] = ["", "none", "normal", "auto", "initial", "inherit", "unset", "view-box", "0"];

/// A value as it counts.
fn plain(value: &str) -> String {
    value.replace("!important", "").trim().to_owned()
}

/// Whether a value leaves its property as it would be without.
pub(super) fn is_nothing(value: &str) -> bool {
    NOTHING.contains(&plain(value).to_ascii_lowercase().as_str())
}

/// What an attribute of that name asks for and does not get; nothing where it changes nothing or is followed.
pub(super) fn attribute(property: &str, value: &str) -> Option<&'static str> {
    let known = PROPERTIES.iter().find(|(name, _)| *name == property && !is_nothing(value));
    known.map(|(_, what)| *what)
}

/// What declarations ask for and do not get.
pub(super) fn declarations(text: &str) -> Vec<&'static str> {
    let given = text.split(';').filter_map(|declaration| declaration.split_once(':'));
    given.filter_map(|(property, value)| declaration(&property.trim().to_ascii_lowercase(), value)).collect()
}

fn declaration(property: &str, value: &str) -> Option<&'static str> {
    if is_nothing(value) {
        return None;
    }
    let value = plain(value);
    let is_worked_out = |call| value.to_ascii_lowercase().contains(call);
    if is_kept(property) && ["var(", "calc(", "attr(", "env("].into_iter().any(is_worked_out) {
        return Some("a value that has to be worked out");
    }
    let unread = property == "transform" && svgtypes::Transform::from_str(&value).is_err();
    let placed = unread || GEOMETRY.contains(&property) || IN_STYLES.contains(&property);
    attribute(property, &value).or(placed.then_some("a place or size that a style gives"))
}

/// Whether a word begins a rule of a style sheet that may hold others.
pub(super) fn is_rule(word: &str) -> bool {
    RULES.contains(&word.to_ascii_lowercase().as_str())
}

/// Whether the resolver does not know a selector, and leaves its rule out.
pub(super) fn is_beyond(selector: &str) -> bool {
    /// What it knows after a colon, and what no drawing as it lies there has.
    const KNOWN: [&str; 10] =
        ["first-child", "link", "visited", "hover", "active", "focus", "lang", "root", "before", "after"];
    let classes = selector.split(':').skip(1).filter(|class| !class.is_empty());
    let name = |class: &str| {
        class
            .split(|c: char| c != '-' && !c.is_alphanumeric())
            .next()
            .unwrap_or_default()
            .to_ascii_lowercase()
    };
    selector.contains(" ~ ") || classes.map(name).any(|name| !KNOWN.contains(&name.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_followed_is_named_and_what_changes_nothing_is_not() {
        let named = declarations;
        assert_eq!(named("filter : url(#f); marker-end:url(#m)"), ["a filter", "markers"]);
        assert!(
            named("filter:none;mix-blend-mode:normal !important;stroke-dasharray:none;fill:red").is_empty()
        );
        assert_eq!(named("R: 5px; transform:rotate(5deg)"), ["a place or size that a style gives"; 2]);
        assert!(named("transform:rotate(5)").is_empty());
        assert_eq!(attribute("width", "5"), None);
        assert_eq!(named("fill:var(--wood); cursor:var(--c)"), ["a value that has to be worked out"]);
        assert!(is_beyond("g > rect:nth-child(2)") && is_beyond("a ~ b") && is_beyond("rect:not(.wood)"));
        assert!(!is_beyond("g > rect:first-child, a:hover, :root, b::before"));
    }

    #[test]
    fn what_is_followed_is_not_told_however_it_is_written() {
        for style in
            ["transform: skewX(10)", "Transform:translate(3 4) !important", "rotate: none", "d: NONE"]
        {
            assert_eq!(declarations(style), [""; 0], "{style}");
        }
        for style in ["transform: rotate(3deg)", "transform:skewx(10)", "CX: 3px"] {
            assert_eq!(declarations(style), ["a place or size that a style gives"], "{style}");
        }
        assert_eq!(declarations("fill: Var(--wood)"), ["a value that has to be worked out"]);
    }
}
