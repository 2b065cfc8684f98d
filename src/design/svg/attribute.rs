//! Attributes as SVG means them: in no namespace. Asked by a bare name, the XML reader also gives those that drawing programs add
//! in namespaces of their own, such as `foo:width`.

use roxmltree::Node;

/// What links were called before SVG 2.
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// Lengths that place a shape and size it; a style may give them too.
pub(super) const GEOMETRY: [&str; 9] = ["x", "y", "width", "height", "cx", "cy", "r", "rx", "ry"];
/// Those of the ends of a line, which only attributes give.
pub(super) const ENDS: [&str; 4] = ["x1", "y1", "x2", "y2"];

/// The value of the attribute that SVG calls `name`.
pub(super) fn attribute<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.attributes().find(|a| a.namespace().is_none() && a.name() == name).map(|a| a.value())
}

/// What an element refers to; where both spellings are there the plain one counts.
///
/// # Source
///
/// Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 4 October 2018, 16.1.6 "Deprecated XLink URL reference
/// attributes".
pub(super) fn href<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    let old =
        || node.attributes().find(|a| a.namespace() == Some(XLINK) && a.name() == "href").map(|a| a.value());
    attribute(node, "href").or_else(old).map(str::trim)
}
