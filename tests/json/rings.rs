//! The picture of `mend` against its table and its JSON: what is numbered is ringed, with that number and where it lies.

use std::collections::BTreeMap;

use roxmltree::{Document, Node};
use serde_json::Value;

use super::{all, number, printed};

/// x and y on the page, in mm.
type Spot = [f64; 2];

/// What a group of the picture is made of, its places on the page.
#[derive(Default)]
struct Drawn {
    /// Rings round places (and the dots on the back that stand for them): middle and radius.
    rings: Vec<(Spot, f64)>,
    /// Numbers in their boxes: the number and the box's middle.
    badges: Vec<(usize, Spot)>,
    lines: Vec<[Spot; 2]>,
    /// The left and upper end of the piece's outline.
    corner: Option<Spot>,
}

fn value(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).and_then(|text| text.parse().ok()).unwrap_or(0.0)
}

/// How far a node is moved by the groups around it.
fn moved(node: Node<'_, '_>) -> Spot {
    let mut by = [0.0; 2];
    for around in node.ancestors() {
        if let Some(inner) = around.attribute("transform") {
            let inner = inner.trim_start_matches("translate(").trim_end_matches(')');
            let numbers: Vec<f64> = inner.split(' ').map(|part| part.parse().expect("a number")).collect();
            by = [by[0] + numbers[0], by[1] + numbers[1]];
        }
    }
    by
}

/// The left and upper end of what a path of straight sides goes through.
fn corner(path: &str) -> Spot {
    let numbers: Vec<f64> = path
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter(|part| !part.is_empty())
        .map(|part| part.parse().expect("a number"))
        .collect();
    numbers.chunks_exact(2).fold([f64::INFINITY; 2], |least, at| [least[0].min(at[0]), least[1].min(at[1])])
}

fn drawn(group: Node<'_, '_>) -> Drawn {
    let mut found = Drawn::default();
    for node in group.descendants() {
        let [x, y] = moved(node);
        let pen = value(node, "stroke-width");
        let hollow = node.attribute("fill") == Some("none");
        match node.tag_name().name() {
            // Pads and their crosses have pens of their own.
            "circle" if hollow && [0.8, 0.45, 0.25].contains(&pen) || value(node, "r") == 0.7 => {
                found.rings.push(([x + value(node, "cx"), y + value(node, "cy")], value(node, "r")));
            }
            "line" => found.lines.push([
                [x + value(node, "x1"), y + value(node, "y1")],
                [x + value(node, "x2"), y + value(node, "y2")],
            ]),
            "rect" => {
                let Some(words) =
                    node.parent().and_then(|parent| parent.children().find(|n| n.has_tag_name("text")))
                else {
                    continue;
                };
                // A careful place's box is double.
                let first = node.prev_siblings().skip(1).all(|before| !before.has_tag_name("rect"));
                if let (true, Ok(number)) = (first, words.text().unwrap_or("").trim().parse()) {
                    let half = ["width", "height"].map(|side| value(node, side) / 2.0);
                    found
                        .badges
                        .push((number, [x + value(node, "x") + half[0], y + value(node, "y") + half[1]]));
                }
            }
            "path" if hollow && pen == 0.35 => {
                let [left, top] = corner(node.attribute("d").expect("a path has data"));
                found.corner = Some([x + left, y + top]);
            }
            _ => {}
        }
    }
    found
}

fn distance(a: Spot, b: Spot) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

impl Drawn {
    /// Every number of a view with the middle of the ring its leader ends at.
    fn numbered(&self) -> BTreeMap<usize, Spot> {
        let mut all = BTreeMap::new();
        for (number, badge) in &self.badges {
            let leader = self.lines.iter().find(|line| distance(line[1], *badge) < 2e-3);
            let [rim, spot] = leader.unwrap_or_else(|| panic!("number {number} has a leader"));
            // It leaves the rim square to it.
            let ends = |ring: &&(Spot, f64)| {
                (distance(*rim, ring.0) - ring.1).abs() < 5e-3
                    && (distance(*spot, ring.0) - ring.1 - distance(*rim, *spot)).abs() < 5e-3
            };
            let rings: Vec<&(Spot, f64)> = self.rings.iter().filter(ends).collect();
            assert!(!rings.is_empty(), "the leader of number {number} ends at a ring");
            assert!(all.insert(*number, rings[0].0).is_none(), "number {number} is drawn once");
        }
        all
    }

    /// The same in the piece's own millimetres; `bounds` are its.
    fn on_piece(&self, bounds: [f64; 4], mirrored: bool) -> BTreeMap<usize, Spot> {
        let [left, top] = self.corner.expect("a view has an outline");
        let at = |[x, y]: Spot| {
            let x = if mirrored { bounds[2] - (x - left) } else { bounds[0] + (x - left) };
            [x, bounds[3] - (y - top)]
        };
        self.numbered().into_iter().map(|(number, spot)| (number, at(spot))).collect()
    }
}

fn bounds(piece: &Value) -> [f64; 4] {
    let all: Vec<f64> = all(piece, "bounds_mm").iter().filter_map(Value::as_f64).collect();
    all.try_into().expect("four numbers")
}

/// Every place by the number under `name`, with where it lies.
fn places(piece: &Value, name: &str) -> BTreeMap<usize, Spot> {
    let of = |place: &Value| {
        let at = [0, 1].map(|i| place["at_mm"][i].as_f64().expect("a number"));
        (number(place, name) as usize, at)
    };
    all(piece, "weak_places").iter().map(of).collect()
}

fn same(what: &str, drawn: &BTreeMap<usize, Spot>, told: &BTreeMap<usize, Spot>) {
    assert_eq!(drawn.keys().collect::<Vec<_>>(), told.keys().collect::<Vec<_>>(), "{what}");
    for (number, at) in drawn {
        assert!(
            distance(*at, told[number]) < 0.01,
            "{what}: {number} is drawn at {at:?}, and is at {:?}",
            told[number]
        );
    }
}

/// The steps as the picture words them, in one line.
fn steps(tree: &Document<'_>) -> String {
    let is_heading = |node: &Node<'_, '_>| {
        node.has_tag_name("text") && node.text().is_some_and(|text| text.contains("ORDER OF CUTS"))
    };
    let lines = tree.descendants().find(is_heading).into_iter().flat_map(|heading| heading.next_siblings());
    lines.filter(Node::is_element).filter_map(|line| line.text()).map(str::trim).collect::<Vec<_>>().join(" ")
}

/// One design and one remedy: the numbers of picture, table and JSON are held against each other.
fn agrees(design: &str, board: &[&str], only: &str) -> [BTreeMap<usize, Spot>; 2] {
    let name = format!("rings-{only}-{}.svg", design.rsplit('/').next().expect("a name"));
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let file = file.to_str().expect("a plain path");
    let mut args =
        vec!["mend", design, "--only", only, "--json", "-", "--picture", file, "--force", "--quiet"];
    args.extend(board);
    let found: Value = serde_json::from_str(&printed(&args)).expect("the answer is JSON");
    let (piece, remedy) = (&found["pieces"][0], &found["pieces"][0]["remedies"][0]);
    let [before, after] = [places(piece, "id"), places(&remedy["after"], "number")];

    let picture = std::fs::read_to_string(file).expect("the picture is written");
    let tree = Document::parse(&picture).expect("well-formed");
    let starts = |node: &Node<'_, '_>, words: &str| {
        node.has_tag_name("text") && node.text().is_some_and(|text| text.trim().starts_with(words))
    };
    let view = |words: &str| {
        let heading = tree.descendants().find(|node| starts(node, words))?;
        let group =
            heading.next_siblings().skip(1).find(Node::is_element).expect("a view follows its heading");
        assert!(group.has_tag_name("g"));
        Some(drawn(group))
    };
    let face = view("BEFORE: ").expect("the piece as it is").on_piece(bounds(piece), false);
    same("before", &face, &before);
    let face = view("AFTER: ").expect("the piece mended").on_piece(bounds(&remedy["after"]), false);
    same("after", &face, &after);
    if let Some(back) = view("AFTER, the back") {
        let back = back.on_piece(bounds(&remedy["after"]), true);
        assert!(!back.is_empty(), "the back shows its inserts");
        for (number, at) in &back {
            assert!(distance(*at, after[number]) < 0.01, "the back shows {number} at {at:?}");
        }
    }
    let is_head = |node: &Node<'_, '_>| {
        node.has_tag_name("text") && node.text().is_some_and(|text| text.trim() == "place")
    };
    let table = tree.descendants().find(is_head).and_then(|node| node.parent());
    let rows = drawn(table.expect("a table"));
    let mut listed: Vec<usize> = rows.badges.iter().map(|(number, _)| *number).collect();
    listed.sort_unstable();
    let mut ringed: Vec<usize> = before.keys().chain(after.keys()).copied().collect();
    ringed.sort_unstable();
    ringed.dedup();
    assert_eq!(listed, ringed, "every place that is ringed has its row, and no other");

    // The order of cuts names them by the same numbers.
    let ids: BTreeMap<u64, u64> = all(&remedy["after"], "weak_places")
        .iter()
        .map(|place| (place["id"].as_u64().expect("an id"), place["number"].as_u64().expect("a number")))
        .collect();
    let mut freed = Vec::new();
    for step in all(remedy, "order") {
        let numbers = |name: &str| all(step, name).iter().filter_map(Value::as_u64).collect::<Vec<u64>>();
        let renumbered: Vec<u64> = numbers("frees").iter().map(|id| ids[id]).collect();
        assert_eq!(numbers("frees_places"), renumbered);
        freed.extend(renumbered);
        let strips = if step["cut"] == "pockets" || step["cut"] == "inserts" {
            numbers("numbers")
        } else {
            Vec::new()
        };
        let served: Vec<u64> = strips
            .iter()
            .flat_map(|strip| {
                all(&remedy["inserts"][*strip as usize - 1], "places").iter().filter_map(Value::as_u64)
            })
            .collect();
        assert_eq!(numbers("for_places"), served);
    }
    // A single step is not told.
    let told = steps(&tree);
    let is_told = all(remedy, "order").len() > 1;
    for step in all(remedy, "order").iter().filter(|_| is_told).filter(|step| !all(step, "frees").is_empty())
    {
        let numbers: Vec<u64> = all(step, "frees_places").iter().filter_map(Value::as_u64).collect();
        let words = match numbers.as_slice() {
            [one] => format!("it frees place {one} at "),
            [one, _] | [one, _, _] | [one, _, _, _] => format!("it frees places {one} at "),
            many => format!("it frees {} places", many.len()),
        };
        assert!(told.contains(&words), "\"{words}\" is not in: {told}");
        if numbers.len() <= 4 {
            for number in &numbers[1..] {
                assert!(told.contains(&format!("; {number} at ")), "{number} is not in: {told}");
            }
        }
    }
    assert!(freed.iter().all(|number| after.contains_key(&(*number as usize))));
    [before, after]
}

const HOUSE: &str = "shapes/house-number/house-number.svg";

#[test]
fn what_a_widened_piece_is_numbered_by_is_the_same_everywhere() {
    let [before, after] = agrees(HOUSE, &[], "widen");
    // The piece is anew: some places go, some come, and no number stands for two places.
    assert!(before.len() > 6 && after.len() > 6);
    assert!(before.keys().ne(after.keys()), "else this shows nothing");
}

#[test]
fn what_a_piece_with_inserts_is_numbered_by_is_the_same_on_both_sides() {
    let board = ["--wood", "cherry", "--thickness", "19mm", "--grain", "0deg"];
    let [before, after] = agrees("tests/transcripts/drawings/plain/fork.svg", &board, "insert");
    assert_eq!([before.len(), after.len()], [2, 2]);
}
