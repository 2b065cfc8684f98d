//! Reads the XML of a drawing and finds its faults; what is sound is copied for the resolver.

mod copy;
mod lines;

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::str::FromStr;

use roxmltree::{Document, Node, NodeId, ParsingOptions};
use svgtypes::LengthUnit;

use super::attribute::{ENDS, GEOMETRY, attribute, href};
use super::sheet::Sheet;
use super::style::{self, Missing, Paints};
use super::unfollowed;
use crate::design::drawn::Label;
use crate::design::printable;
use crate::design::{Fault, FaultKind, LeftOut, Limits, Note, Options, Place};
use lines::Lines;

const SVG: &str = "http://www.w3.org/2000/svg";

/// A drawing that is safe to resolve.
pub(super) struct Vetted {
    /// The clean copy.
    pub(super) text: String,
    /// By its id in the clean copy, what to call a shape or group.
    pub(super) labels: BTreeMap<String, Label>,
    /// Ids, in the clean copy, of the shapes and the `use` elements that stand in the drawing itself, in its order.
    pub(super) shapes: Vec<String>,
    /// The ids of the clip paths in it.
    pub(super) clips: BTreeSet<String>,
    /// What fills and lines refer to and the file does not have.
    pub(super) missing: Vec<Missing>,
    /// `None` when the size is not known, which is then among the faults.
    pub(super) sheet: Option<Sheet>,
    /// What is left out because nothing of it is ever drawn.
    pub(super) notes: Vec<Note>,
    pub(super) faults: Vec<Fault>,
}

/// The text of a file.
pub(super) fn text<'a>(bytes: &'a [u8], limits: &Limits) -> Result<&'a str, Vec<Fault>> {
    let whole = |kind| vec![Fault { place: Place::default(), kind }];
    if bytes.len() > limits.bytes {
        return Err(whole(FaultKind::TooBig { bytes: bytes.len(), limit: limits.bytes }));
    }
    let looks_like = match bytes {
        [0x1f, 0x8b, ..] => Some("a compressed file (SVGZ)"),
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] | [b'<', 0, ..] | [0, b'<', ..] => Some("UTF-16 text"),
        [0x89, b'P', b'N', b'G', ..] | [0xff, 0xd8, ..] => Some("a picture made of pixels"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF file"),
        _ => None,
    };
    if let Some(looks_like) = looks_like {
        return Err(whole(FaultKind::NotText { looks_like }));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
        let (line, column) = (before.matches('\n').count(), last_line(&before).chars().count());
        vec![Fault {
            place: Place::on_line(count(line), count(column)),
            kind: FaultKind::NotText { looks_like: "another encoding (perhaps Latin-1)" },
        }]
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() { Err(whole(FaultKind::Empty)) } else { Ok(text) }
}

fn last_line(text: &str) -> &str {
    text.rsplit('\n').next().unwrap_or_default()
}

/// Lines and columns are counted from 1.
pub(super) fn count(before: usize) -> u32 {
    u32::try_from(before + 1).unwrap_or(u32::MAX)
}

/// Looks through the XML and writes the clean copy.
///
/// # Errors
///
/// The faults that leave nothing to go on with; the others are in [`Vetted::faults`].
pub(super) fn vet(text: &str, options: &Options) -> Result<Vetted, Vec<Fault>> {
    let limits = &options.limits;
    super::weight::weigh(text, limits)?;
    let nodes = u32::try_from(limits.elements.saturating_mul(4)).unwrap_or(u32::MAX);
    let parsing = ParsingOptions { allow_dtd: true, nodes_limit: nodes, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, parsing).map_err(|error| {
        let kind = match error {
            roxmltree::Error::NodesLimitReached => {
                FaultKind::TooMuch { what: "elements", limit: limits.elements }
            }
            ref other => FaultKind::BadXml { reason: other.to_string() },
        };
        // The parser names no place when the text ends too early.
        let place = match error {
            roxmltree::Error::UnexpectedEndOfStream => {
                Place::on_line(count(text.matches('\n').count()), count(last_line(text).chars().count()))
            }
            ref other => Place::on_line(other.pos().row, other.pos().col),
        };
        vec![Fault { place, kind }]
    })?;
    let whole = |kind| vec![Fault { place: Place::default(), kind }];
    let root = drawing(&document).map_err(whole)?;
    let mut vetting = Vetting::new(&document, options);
    let elements = vetting.measure_uses()?;
    let sheet = match Sheet::new(root, options.drawn_in) {
        Ok(mut sheet) => {
            sheet.enlarge(options.scale);
            Some(sheet)
        }
        Err(kinds) => {
            kinds.into_iter().for_each(|kind| vetting.fault(root, kind));
            None
        }
    };
    vetting.find_used();
    vetting.find_clips();
    vetting.find_paints();
    vetting.look_at_drawn(root);
    let outside = |node: &Node<'_, '_>| node.pi().is_some_and(|pi| pi.target == "xml-stylesheet");
    for node in document.root().children().filter(outside) {
        vetting.not_followed("a style sheet of another file", node);
    }
    vetting.faults.extend(options.pick.missing_layers(&vetting.layers));
    vetting.copy_root(root, sheet.as_ref());
    if vetting.style > limits.style {
        return Err(whole(FaultKind::TooMuch { what: "style sheet bytes", limit: limits.style }));
    }
    // Every rule is tried on every element.
    let style_limit = limits.style.saturating_mul(STYLED) / elements;
    if vetting.style > style_limit {
        let what = "style sheet bytes for this many elements";
        return Err(whole(FaultKind::TooMuch { what, limit: style_limit }));
    }
    let Vetting { out, labels, shapes, paints, mut notes, faults, unfollowed, .. } = vetting;
    let Paints { clips, missing, .. } = paints;
    notes.extend(unfollowed.into_iter().map(|(what, whose, more)| Note::NotFollowed { what, whose, more }));
    Ok(Vetted { text: out, labels, shapes, clips, missing, sheet, notes, faults })
}

/// The `svg` element that is the drawing: the root, or the only one that lies in a page of another kind.
fn drawing<'a, 'input>(document: &'a Document<'input>) -> Result<Node<'a, 'input>, FaultKind> {
    let root = document.root_element();
    if is(root, "svg") {
        return Ok(root);
    }
    let outermost = |node: &Node<'a, 'input>| {
        is(*node, "svg") && !node.ancestors().skip(1).any(|around| is(around, "svg"))
    };
    let mut drawings = document.descendants().filter(outermost);
    match (drawings.next(), drawings.count()) {
        (Some(only), 0) => Ok(only),
        (Some(_), more) => {
            Err(FaultKind::SeveralDrawings { root: root.tag_name().name().to_owned(), count: more + 1 })
        }
        (None, _) => Err(FaultKind::NotSvg { root: root.tag_name().name().to_owned() }),
    }
}

/// So many elements may meet as much style sheet as is read: about a second's work for the resolver.
const STYLED: usize = 7_600;

struct Vetting<'a, 'input> {
    document: &'a Document<'input>,
    lines: Lines<'a>,
    limits: &'a Limits,
    options: &'a Options,
    /// The names of all layers that are drawn.
    layers: BTreeSet<String>,
    /// The first element with each id.
    ids: HashMap<&'a str, Node<'a, 'input>>,
    /// Ids that several elements carry, each with a number of its own.
    shared: BTreeMap<&'a str, usize>,
    /// The elements around what some `use` refers to.
    around_used: HashSet<NodeId>,
    out: String,
    labels: BTreeMap<String, Label>,
    shapes: Vec<String>,
    paints: Paints,
    /// Whether the size of the page is known.
    paged: bool,
    style: usize,
    /// What changes what is seen and is not followed: the first element that asks for it, and how many more do.
    unfollowed: Vec<(&'static str, String, usize)>,
    notes: Vec<Note>,
    faults: Vec<Fault>,
}

impl<'a, 'input> Vetting<'a, 'input> {
    fn new(document: &'a Document<'input>, options: &'a Options) -> Self {
        let mut ids = HashMap::new();
        let mut shared = BTreeMap::new();
        for node in document.descendants().filter(Node::is_element) {
            if let Some(id) = attribute(node, "id")
                && ids.insert(id, node).is_some_and(|first| {
                    ids.insert(id, first);
                    true
                })
            {
                let number = shared.len();
                shared.entry(id).or_insert(number);
            }
        }
        Self {
            document,
            lines: Lines::new(document.input_text()),
            limits: &options.limits,
            options,
            layers: BTreeSet::new(),
            ids,
            shared,
            around_used: HashSet::new(),
            out: String::new(),
            labels: BTreeMap::new(),
            shapes: Vec::new(),
            paints: Paints::default(),
            paged: false,
            style: 0,
            unfollowed: Vec::new(),
            notes: Vec::new(),
            faults: Vec::new(),
        }
    }

    fn label(&self, node: Node<'_, '_>) -> Label {
        let around = || node.ancestors().skip(1).filter(|n| n.is_element() && !is(*n, "svg"));
        Label {
            element: node.tag_name().name().to_owned(),
            id: names(node).next().map(printable::name),
            group: around().find_map(|n| names(n).next()).map(printable::name),
            layers: names(node).chain(around().flat_map(names)).map(printable::name).collect(),
            line: Some(self.lines.at(node.range().start)),
        }
    }

    fn place(&self, node: Node<'_, '_>) -> Place {
        self.label(node).place()
    }

    fn not_followed(&mut self, what: &'static str, node: Node<'_, '_>) {
        // What is no element, as a style sheet of another file, has a line alone.
        let (line, column) = self.lines.at(node.range().start);
        let whose = if node.is_element() { self.place(node) } else { Place::on_line(line, column) };
        if let Some((_, _, more)) = self.unfollowed.iter_mut().find(|(known, ..)| *known == what) {
            *more += 1;
        } else {
            self.unfollowed.push((what, whose.to_string(), 0));
        }
    }

    fn fault(&mut self, node: Node<'_, '_>, kind: FaultKind) {
        self.faults.push(Fault { place: self.place(node), kind });
    }

    /// What a `use` refers to, when it is in the file.
    fn target(&self, node: Node<'a, 'input>) -> Option<Node<'a, 'input>> {
        self.ids.get(href(node)?.strip_prefix('#')?).copied()
    }

    /// Finds where the targets of all `use` elements lie.
    fn find_used(&mut self) {
        let uses = self.document.descendants().filter(|node| is(*node, "use"));
        let targets: Vec<_> = uses.filter_map(|node| self.target(node)).collect();
        for target in targets {
            for around in target.ancestors().skip(1) {
                if !self.around_used.insert(around.id()) {
                    break;
                }
            }
        }
    }

    /// Whether a `use` of this element draws anything that may be an outline; `measure_uses` has seen that uses end.
    fn draws(&self, node: Node<'a, 'input>) -> bool {
        if is(node, "use") {
            return self.target(node).is_some_and(|target| self.draws(target));
        }
        if HOLDERS.iter().any(|name| is(node, name)) || is(node, "symbol") {
            return node.children().any(|child| !is(child, "symbol") && self.draws(child));
        }
        let lettering = is(node, "text") && letters(node).next().is_some();
        lettering || SHAPES.iter().chain(&PICTURES).any(|name| is(node, name))
    }

    /// Counts the elements, each as often as it is used, and refuses files whose `use` elements refer in
    /// circles or multiply without bound.
    fn measure_uses(&self) -> Result<usize, Vec<Fault>> {
        /// How deep `use` may refer to `use`.
        const CHAIN: usize = 16;
        let nodes: Vec<Node<'a, 'input>> = self.document.descendants().filter(Node::is_element).collect();
        let number: HashMap<NodeId, usize> = nodes.iter().enumerate().map(|(i, n)| (n.id(), i)).collect();
        let depth_limit = self.limits.depth;
        let whole = |what, limit| {
            Err(vec![Fault { place: Place::default(), kind: FaultKind::TooMuch { what, limit } }])
        };
        let parents: Vec<Option<usize>> =
            nodes.iter().map(|n| n.parent().and_then(|p| number.get(&p.id()).copied())).collect();
        let targets: Vec<Option<usize>> = nodes
            .iter()
            .map(|n| if is(*n, "use") { self.target(*n).map(|t| number[&t.id()]) } else { None })
            .collect();
        let own: Vec<usize> = nodes
            .iter()
            .map(|n| ["d", "points"].iter().filter_map(|a| attribute(*n, a)).map(str::len).sum())
            .collect();
        // Height, elements and bytes of path below each element, `use` followed. Children come after
        // their parents, so one pass from the end settles all but the uses; every further pass settles
        // one more link of a chain of uses.
        let mut below = vec![(1_usize, 1_usize, 0_usize); nodes.len()];
        for round in 0..=CHAIN {
            let before = below.clone();
            below.iter_mut().zip(&own).for_each(|(b, own)| *b = (1, 1, *own));
            for i in (0..nodes.len()).rev() {
                if let Some(t) = targets[i] {
                    // A target further on is settled in this round already.
                    let from = if t > i { below[t] } else { before[t] };
                    below[i] = added(below[i], from);
                }
                if let Some(p) = parents[i] {
                    below[p] = added(below[p], below[i]);
                }
            }
            if below == before {
                break;
            }
            if round == CHAIN {
                let restless = (0..nodes.len()).filter(|i| targets[*i].is_some() && below[*i] != before[*i]);
                return Err(restless
                    .take(1)
                    .map(|i| Fault { place: self.place(nodes[i]), kind: FaultKind::CircularUse })
                    .collect());
            }
        }
        let (height, elements, bytes) = below[0];
        if height > depth_limit {
            return whole("levels of nesting", depth_limit);
        }
        if elements > self.limits.elements {
            return whole("elements", self.limits.elements);
        }
        if bytes > self.limits.points.saturating_mul(64) {
            return whole("points", self.limits.points);
        }
        Ok(elements)
    }

    /// Finds the clip paths that can be applied as they are: in the drawing's own units, of plain shapes, not clipped
    /// themselves.
    fn find_clips(&mut self) {
        let plain = |node: Node<'a, 'input>| !["clip-path", "mask"].iter().any(|p| style::sets(node, p));
        let shape = |node: Node<'a, 'input>| SHAPES.iter().any(|name| is(node, name)) && plain(node);
        let clips = self.document.descendants().filter(|node| is(*node, "clipPath"));
        for (id, node) in clips.filter_map(|node| Some((attribute(node, "id")?, node))) {
            self.paints.all_clips.insert(id.to_owned());
            let taken = !self.shared.contains_key(id)
                && plain(node)
                && attribute(node, "clipPathUnits") != Some("objectBoundingBox")
                && node.children().filter(Node::is_element).all(|child| {
                    let pixels = |name| match attribute(child, name).map(svgtypes::Length::from_str) {
                        None => true,
                        Some(Ok(length)) => matches!(length.unit, LengthUnit::None | LengthUnit::Px),
                        Some(Err(_)) => false,
                    };
                    let used = is(child, "use") && plain(child) && pixels("x") && pixels("y");
                    let foreign = !matches!(child.tag_name().namespace(), None | Some(SVG));
                    let words = ["title", "desc", "metadata"].iter().any(|name| is(child, name));
                    shape(child) || foreign || words || (used && self.target(child).is_some_and(shape))
                });
            if taken {
                self.paints.clips.insert(id.to_owned());
            }
        }
    }

    /// Finds the gradients and patterns that the file has. A gradient without a stop, its own or one that it takes from another,
    /// paints nothing.
    fn find_paints(&mut self) {
        const GRADIENTS: [&str; 4] = ["linearGradient", "radialGradient", "meshgradient", "meshGradient"];
        const OTHERS: [&str; 4] = ["pattern", "hatch", "solidcolor", "solidColor"];
        /// So many gradients may take their stops from one another.
        const CHAIN: usize = 64;
        let one_of = |node: Node<'a, 'input>, names: &[&str]| names.iter().any(|name| is(node, name));
        let stops = |node: Node<'a, 'input>| {
            let with_its_source = std::iter::successors(Some(node), |node| self.target(*node));
            with_its_source.take(CHAIN).any(|node| {
                let holds = |name| node.children().any(|child| is(child, name));
                one_of(node, &GRADIENTS) && (holds("stop") || holds("meshrow"))
            })
        };
        let paints =
            |node: Node<'a, 'input>| one_of(node, &OTHERS) || (one_of(node, &GRADIENTS) && stops(node));
        let servers = self.ids.iter().filter(|(_, node)| paints(**node)).map(|(id, _)| (*id).to_owned());
        let servers: BTreeSet<String> = servers.collect();
        self.paints.servers = servers;
    }

    /// Finds the faults of everything that is drawn and wanted, wherever `use` takes it from.
    fn look_at_drawn(&mut self, root: Node<'a, 'input>) {
        let pick = &self.options.pick;
        let mut seen = BTreeSet::new();
        let mut waiting = vec![(root, pick.takes_layers(&[]))];
        while let Some((node, wanted)) = waiting.pop() {
            let own: Vec<String> = names(node).map(printable::name).collect();
            let wanted = wanted || pick.takes_layers(&own);
            if !seen.insert((node.id().get(), wanted)) || style::hides(node) {
                continue;
            }
            if is(node, "g") || (!pick.layers.is_empty() && wanted) {
                self.layers.extend(own);
            }
            if wanted {
                self.look_at(node);
            }
            let mut next: Vec<Node<'a, 'input>> = Vec::new();
            if is(node, "use") {
                next.extend(self.target(node));
            } else if HOLDERS.iter().any(|name| is(node, name)) || is(node, "symbol") {
                next.extend(node.children().filter(|child| child.is_element() && !is(*child, "symbol")));
            }
            waiting.extend(next.into_iter().rev().map(|node| (node, wanted)));
        }
    }

    fn look_at(&mut self, node: Node<'a, 'input>) {
        if !matches!(node.tag_name().namespace(), None | Some(SVG)) {
            return;
        }
        match node.tag_name().name() {
            "image" | "feImage" => self.fault(node, FaultKind::Picture),
            "text" if letters(node).next().is_some() => {
                if self.options.fonts.is_empty() {
                    self.fault(node, FaultKind::Text);
                } else if node
                    .descendants()
                    .any(|n| n.is_element() && !LETTERING.iter().any(|name| is(n, name)))
                {
                    self.fault(node, FaultKind::BentText);
                }
            }
            "foreignObject" if attribute(node, "requiredExtensions").is_none() => {
                self.fault(node, FaultKind::Foreign);
            }
            "video" | "audio" | "canvas" | "iframe" => self.fault(node, FaultKind::Foreign),
            "use" => match href(node) {
                Some(href) if href.starts_with('#') => {
                    if self.target(node).is_none() {
                        self.fault(node, FaultKind::MissingTarget { href: shortened(href) });
                    } else if !self.draws(node) {
                        let what = self.label(node).to_string();
                        self.notes.push(Note::LeftOut { what, why: LeftOut::NothingUsed });
                    }
                }
                Some(href) if !href.is_empty() => {
                    self.fault(node, FaultKind::OtherFile { href: shortened(href) });
                }
                _ => self.fault(node, FaultKind::MissingTarget { href: String::new() }),
            },
            "rect" => self.look_at_extent(node, &["width", "height"]),
            "circle" => self.look_at_extent(node, &["r"]),
            "ellipse" => self.look_at_extent(node, &["rx", "ry"]),
            _ => {}
        }
        self.look_at_numbers(node);
        self.look_at_looks(node);
    }

    /// What changes how an element looks and is not followed.
    fn look_at_looks(&mut self, node: Node<'a, 'input>) {
        const ANIMATIONS: [&str; 4] = ["animate", "animateMotion", "animateTransform", "set"];
        let plain = node.attributes().filter(|a| a.namespace().is_none());
        let mut all: Vec<&str> = plain.filter_map(|a| unfollowed::attribute(a.name(), a.value())).collect();
        all.extend(unfollowed::declarations(attribute(node, "style").unwrap_or_default()));
        let moves = |child: Node<'_, '_>| ANIMATIONS.iter().any(|name| is(child, name));
        all.extend(node.children().any(moves).then_some("an animation"));
        all.sort_unstable();
        all.dedup();
        all.into_iter().for_each(|what| self.not_followed(what, node));
    }

    /// A rectangle, circle or ellipse needs a size.
    fn look_at_extent(&mut self, node: Node<'a, 'input>, attributes: &[&'static str]) {
        let ellipse = is(node, "ellipse");
        for name in attributes {
            let Some(text) = attribute(node, name) else {
                // One missing radius of an ellipse is taken from the other.
                let other = ellipse && attributes.iter().any(|a| attribute(node, a).is_some());
                if !other {
                    self.fault(node, FaultKind::NoExtent { attribute: name, value: String::new() });
                }
                continue;
            };
            if svgtypes::Length::from_str(text).is_ok_and(|length| length.number <= 0.0) {
                self.fault(node, FaultKind::NoExtent { attribute: name, value: shortened(text) });
            }
        }
    }

    /// Every number that places something has to be one.
    fn look_at_numbers(&mut self, node: Node<'a, 'input>) {
        let shape = SHAPES.iter().any(|name| is(node, name)) || is(node, "use");
        for attribute in node.attributes().filter(|a| a.namespace().is_none()) {
            let (name, value) = (attribute.name(), attribute.value());
            let reason = match name {
                "d" if is(node, "path") => {
                    let error =
                        svgtypes::PathParser::from(value).find_map(Result::err).map(|e| e.to_string());
                    error.or_else(|| too_far(value))
                }
                "points" if is(node, "polygon") || is(node, "polyline") => bad_points(value),
                "transform" => {
                    let error = svgtypes::Transform::from_str(value).err().map(|e| e.to_string());
                    error.or_else(|| too_far(value))
                }
                name if shape
                    && (GEOMETRY.contains(&name) || ENDS.contains(&name))
                    && value.trim() != "auto" =>
                {
                    match svgtypes::Length::from_str(value) {
                        Ok(length) if length.number.is_finite() => too_far(value),
                        Ok(_) => Some("it is not a finite number".to_owned()),
                        Err(_) => Some("it is not a length".to_owned()),
                    }
                }
                _ => None,
            };
            if let Some(reason) = reason {
                let fault =
                    FaultKind::BadAttribute { name: name.to_owned(), value: shortened(value), reason };
                self.fault(node, fault);
            }
        }
    }
}

/// The elements that have an outline.
pub(super) const SHAPES: [&str; 7] = ["path", "rect", "circle", "ellipse", "line", "polyline", "polygon"];

/// The elements that are drawn and have none.
const PICTURES: [&str; 6] = ["image", "foreignObject", "video", "audio", "canvas", "iframe"];

/// The elements whose children are drawn where they stand.
const HOLDERS: [&str; 4] = ["svg", "g", "a", "switch"];

/// The elements that lettering is made of.
const LETTERING: [&str; 5] = ["text", "tspan", "title", "desc", "metadata"];

/// What a person calls an element: what a drawing program labels it, in whatever namespace, then its id.
fn names<'a>(node: Node<'a, '_>) -> impl Iterator<Item = &'a str> {
    let label = node.attributes().find(|a| a.name() == "label").map(|a| a.value());
    label.into_iter().chain(attribute(node, "id")).filter(|name| !name.trim().is_empty())
}

/// The stretches of text in an element that are more than blanks.
fn letters<'a>(node: Node<'a, '_>) -> impl Iterator<Item = &'a str> {
    let words = node.descendants().filter(|n| n.is_text()).filter_map(|n| n.text());
    words.filter(|text| !text.trim().is_empty())
}

fn is(node: Node<'_, '_>, name: &str) -> bool {
    matches!(node.tag_name().namespace(), None | Some(SVG)) && node.tag_name().name() == name
}

fn added(a: (usize, usize, usize), b: (usize, usize, usize)) -> (usize, usize, usize) {
    (a.0.max(b.0.saturating_add(1)), a.1.saturating_add(b.1), a.2.saturating_add(b.2))
}

/// Whether a number among others is larger than single precision can carry through a few transforms; the resolver drops such
/// shapes without a word.
fn too_far(text: &str) -> Option<String> {
    const LARGEST: f64 = 1e36;
    /// Written out without an exponent it would have as many digits.
    const DIGITS: usize = 36;
    let number = |c: char| c.is_ascii_digit() || ".eE+-".contains(c);
    let large = |word: &str| word.len() > 2 && word.parse::<f64>().is_ok_and(|number| number.abs() > LARGEST);
    let may_be = text.contains(['e', 'E']) || text.len() > DIGITS;
    let found = may_be && text.split(|c| !number(c)).any(large);
    found.then(|| "it reaches farther than any drawing".to_owned())
}

/// What is wrong with the points of a polygon.
fn bad_points(text: &str) -> Option<String> {
    if let Some(reason) = too_far(text) {
        return Some(reason);
    }
    let mut parser = svgtypes::NumberListParser::from(text);
    if let Some(error) = parser.find_map(Result::err) {
        return Some(error.to_string());
    }
    let count = svgtypes::NumberListParser::from(text).count();
    (count % 2 == 1).then(|| "the last point has no second number".to_owned())
}

/// A value short enough for a message.
pub(in crate::design) fn shortened(value: &str) -> String {
    const MOST: usize = 40;
    if value.chars().count() <= MOST {
        return value.to_owned();
    }
    value.chars().take(MOST).collect::<String>() + "…"
}
