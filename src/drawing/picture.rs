//! The whole sheet: pieces, table, key, scale bar, cautions.

use svg::Document;
use svg::node::element::{Group, Title};

use super::key::key;
use super::letters::{self, clean};
use super::mark;
use super::pen::{PAPER, Pen, Spot, Type, digits, line, rounded, text};
use super::piece::{self, Side, View};
use super::table;
use super::words;
use crate::check::{Finding, Pushes, Verdict};
use crate::shape::Shape;
use crate::units::Units;
use crate::wood::Board;

/// All that a sheet shows.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// The drawing's name.
    pub title: &'a str,
    /// The wood's name.
    pub wood: &'a str,
    /// The board.
    pub board: &'a Board,
    /// The pushes the verdicts are for.
    pub pushes: &'a Pushes,
    /// Units for the reader.
    pub units: Units,
    /// Each piece with what was found on it.
    pub pieces: &'a [(&'a Shape, &'a Finding)],
    /// Sentences to be read first, under the board.
    pub notes: &'a [&'a str],
    /// Sentences for the small print.
    pub cautions: &'a [&'a str],
}

/// Page margin, in mm.
const MARGIN: f64 = 10.0;
/// Room between blocks.
pub(super) const GAP: f64 = 6.0;

/// Draws a sheet, in millimetres at true scale, as big as it has to be.
///
/// Every piece is drawn as seen from the face, and from the back too where it gets an insert; places that would hide
/// each other are drawn at twice their size beside it; where they would all over a small piece its face is drawn at twice its
/// size, which is said above it. Print it at 100 %; the scale bar shows whether the printer did.
///
/// # Accuracy
///
/// Coordinates are written to 0.001 mm. Label spots are found for letters of common width; a reader's own
/// font may come out a little narrower than the room kept for it.
pub fn picture(sheet: &Sheet<'_>) -> String {
    let blocks: Vec<Block> =
        sheet.pieces.iter().enumerate().map(|(i, piece)| block(sheet, i, piece)).collect();
    let rows = rows(blocks);
    let inner = rows.iter().map(Row::width).fold(table::width(), f64::max);

    let mut page = Page::new();
    heading(&mut page, sheet, inner);
    for row in rows {
        row.put(&mut page);
    }
    tables(&mut page, sheet, inner);
    let findings: Vec<&Finding> = sheet.pieces.iter().map(|(_, finding)| *finding).collect();
    key(&mut page, &findings, false, sheet.units, inner);
    scale_bar(&mut page, sheet.units);
    small_print(&mut page, sheet, inner);

    page.document(sheet.title, inner)
}

impl Page {
    /// A new page.
    pub(super) fn new() -> Self {
        Self { group: Group::new(), y: MARGIN }
    }

    /// The whole page as SVG text, as wide as its content and two margins.
    pub(super) fn document(self, title: &str, inner: f64) -> String {
        let size = [inner + 2.0 * MARGIN, self.y + MARGIN];
        Document::new()
            .set("width", format!("{}mm", digits(size[0])))
            .set("height", format!("{}mm", digits(size[1])))
            .set("viewBox", format!("0 0 {} {}", digits(size[0]), digits(size[1])))
            .set("font-family", "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif")
            .add(Title::new(clean(title)))
            .add(rounded([0.0, 0.0], size, 0.0, PAPER, Pen::solid(0.0)))
            .add(self.group)
            .to_string()
            + "\n"
    }
}

/// A page filled from top to bottom.
pub(super) struct Page {
    pub(super) group: Group,
    pub(super) y: f64,
}

impl Page {
    /// Puts a group `x` from the left margin at the current height and moves on.
    pub(super) fn add(&mut self, group: Group, x: f64, height: f64) {
        self.put(group, x);
        self.y += height;
    }

    fn put(&mut self, group: Group, x: f64) {
        let move_to = format!("translate({} {})", digits(MARGIN + x), digits(self.y));
        let page = std::mem::take(&mut self.group);
        self.group = page.add(group.set("transform", move_to));
    }
}

/// The views of one piece, with its name above when there are several.
struct Block {
    group: Group,
    size: Spot,
}

fn block(sheet: &Sheet<'_>, index: usize, (shape, finding): &(&Shape, &Finding)) -> Block {
    let grain = sheet.board.grain.as_deg();
    let key = |name: &str| format!("wood-{}-{name}", index + 1);
    let faces = piece::face(shape, finding, grain, sheet.units, &key("face"));
    let mended = finding.places.iter().any(|place| place.insert.is_some());
    let back = mended.then(|| piece::view(shape, finding, grain, Side::Back, sheet.units, &key("back")));
    let mut group = Group::new();
    let mut size = [0.0, 0.0];
    if sheet.pieces.len() > 1 {
        let (stamp, wide) = mark::stamp([0.0, 0.5], finding.verdict, 3.2);
        group = group.add(stamp).add(text([wide + 2.5, 4.2], &finding.name, Type::bold(4.0)));
        size = [wide + 2.5 + letters::width(&finding.name, 4.0, true), 8.0];
    }
    let top = size[1];
    let views: Vec<View> = faces.into_iter().chain(back).collect();
    // Side by side when the piece is taller than wide, one above the other when it is wider.
    let stacked = views.first().is_some_and(|face| face.size[0] > 130.0);
    let mut x = 0.0;
    let mut y = top;
    for view in views {
        let at = format!("translate({} {})", digits(x), digits(y));
        size = [size[0].max(x + view.size[0]), size[1].max(y + view.size[1])];
        if stacked {
            y += view.size[1] + 2.0;
        } else {
            x += view.size[0] + GAP;
        }
        group = group.add(view.group.set("transform", at));
    }
    Block { group, size }
}

/// Blocks side by side.
#[derive(Default)]
struct Row {
    blocks: Vec<Block>,
}

impl Row {
    fn width(&self) -> f64 {
        self.blocks.iter().map(|block| block.size[0] + GAP).sum::<f64>() - GAP
    }

    fn put(self, page: &mut Page) {
        let tall = self.blocks.iter().map(|block| block.size[1]).fold(0.0, f64::max);
        let mut x = 0.0;
        for block in self.blocks {
            page.put(block.group, x);
            x += block.size[0] + GAP;
        }
        page.y += tall + GAP;
    }
}

/// Sets blocks in rows, in their order, on a page a little wider than tall.
fn rows(blocks: Vec<Block>) -> Vec<Row> {
    let widest = blocks.iter().map(|block| block.size[0]).fold(table::width(), f64::max);
    let area: f64 = blocks.iter().map(|block| (block.size[0] + GAP) * (block.size[1] + GAP)).sum();
    let limit = widest.max((1.4 * area).sqrt());
    let mut rows = vec![Row::default()];
    for block in blocks {
        let row = rows.last().expect("there is always a row");
        if !row.blocks.is_empty() && row.width() + GAP + block.size[0] > limit {
            rows.push(Row::default());
        }
        rows.last_mut().expect("there is always a row").blocks.push(block);
    }
    rows
}

/// The verdict, the name, the board and the pushes.
pub(super) fn heading(page: &mut Page, sheet: &Sheet<'_>, inner: f64) {
    let verdict = sheet.pieces.iter().map(|(_, finding)| finding.verdict).max().unwrap_or(Verdict::Sound);
    let (stamp, wide) = mark::stamp([0.0, 0.0], verdict, 5.0);
    let mut group = stamp;
    let mut y = 6.0;
    for (i, words) in letters::wrap(sheet.title, 6.0, (inner - wide - 4.0) / 1.1).iter().enumerate() {
        y = 6.0 + 7.5 * i as f64;
        group = group.add(text([wide + 4.0, y], words, Type::bold(6.0)));
    }
    y += 1.6;
    let board = sheet.board;
    let facts = format!(
        "{}, {} thick, {}, {} % moisture; grain {:.0}° anticlockwise from left to right.",
        sheet.wood,
        words::size(sheet.units, board.thickness.as_mm()),
        words::sawn(board.rings),
        digits(board.moisture_pct),
        board.grain.as_deg().rem_euclid(180.0),
    );
    let push = format!(
        "Judged for a push of {} on the face (a round pad of {}) and {} on a side.",
        words::given_force(sheet.units, sheet.pushes.face.as_n()),
        words::size(sheet.units, 10.0),
        words::given_force(sheet.units, sheet.pushes.side.as_n()),
    );
    for sentence in [facts, push] {
        for words in letters::wrap(&sentence, 3.4, inner) {
            y += 5.0;
            group = group.add(text([0.0, y], &words, Type::plain(3.4)));
        }
    }
    for note in sheet.notes {
        for words in letters::wrap(note, 3.4, inner / 1.1) {
            y += 5.0;
            group = group.add(text([0.0, y], &words, Type::bold(3.4)));
        }
    }
    page.add(group, 0.0, y + GAP);
}

/// The table of all pieces, in two halves side by side where the page is wide and the table long.
fn tables(page: &mut Page, sheet: &Sheet<'_>, inner: f64) {
    let findings: Vec<&Finding> = sheet.pieces.iter().map(|(_, finding)| *finding).collect();
    let beside = 2.0 * table::width() + GAP <= inner && findings.len() > 1;
    let half = if beside { findings.len().div_ceil(2) } else { findings.len() };
    let mut tall = 0.0_f64;
    for (i, part) in findings.chunks(half.max(1)).enumerate() {
        let (group, height) = table::table(part, findings.len() > 1, sheet.units);
        page.put(group, (table::width() + GAP) * i as f64);
        tall = tall.max(height);
    }
    page.y += tall + GAP;
}

/// One inch or 25 mm, to check a print with a ruler.
pub(super) fn scale_bar(page: &mut Page, units: Units) {
    let (long, words) = match units {
        Units::Metric => (25.0, "25 mm: print at 100 % and check"),
        Units::Inch => (25.4, "1 in: print at 100 % and check"),
    };
    let pen = Pen::solid(0.35);
    let mut group = Group::new().add(line([0.0, 1.5], [long, 1.5], Pen::solid(0.7)));
    let steps = if units == Units::Metric { 5 } else { 4 };
    for i in 0..=steps {
        let x = long * f64::from(i) / f64::from(steps);
        let tall = if i % steps == 0 { 1.5 } else { 0.8 };
        group = group.add(line([x, 1.5 - tall], [x, 1.5 + tall], pen));
    }
    group = group.add(text([long + 3.0, 2.6], words, Type::plain(2.8)));
    page.add(group, 0.0, 3.0 + GAP);
}

pub(super) fn small_print(page: &mut Page, sheet: &Sheet<'_>, inner: f64) {
    let mut group = Group::new().add(line([0.0, 0.0], [inner, 0.0], Pen::solid(0.2)));
    let mut y = 1.0;
    for sentence in sheet.cautions {
        for words in letters::wrap(sentence, 2.4, inner) {
            y += 3.2;
            group = group.add(text([0.0, y], &words, Type::plain(2.4)));
        }
    }
    page.add(group, 0.0, y);
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::units::{Angle, Length};
    use crate::wood::Rings;

    fn drawn(counts: &[usize], grain_deg: f64, units: Units) -> String {
        let shapes: Vec<Shape> = counts.iter().map(|count| sample::plate(*count)).collect();
        let findings: Vec<Finding> =
            shapes.iter().zip(counts).map(|(shape, count)| sample::finding(shape, *count)).collect();
        let board = Board {
            thickness: Length::mm(19.0),
            grain: Angle::deg(grain_deg),
            rings: Rings::Flat,
            moisture_pct: 8.0,
        };
        let pieces: Vec<(&Shape, &Finding)> = shapes.iter().zip(&findings).collect();
        let sheet = Sheet {
            title: "plates & <webs>",
            wood: "Oak, white",
            board: &board,
            pushes: &Pushes::default(),
            units,
            pieces: &pieces,
            notes: &[],
            cautions: &["Advice, not a guarantee: wood varies from board to board."],
        };
        picture(&sheet)
    }

    /// Every text of a drawing with its page position, size and anchor.
    fn texts(drawing: &str) -> Vec<(f64, f64, f64, String, String)> {
        let tree = roxmltree::Document::parse(drawing).expect("a drawing is well-formed");
        let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).and_then(|text| text.parse().ok()).unwrap_or(0.0)
        };
        let mut all = Vec::new();
        for node in tree.descendants().filter(|node| node.has_tag_name("text")) {
            let (mut x, mut y) = (number(node, "x"), number(node, "y"));
            for above in node.ancestors() {
                if let Some(moved) = above.attribute("transform") {
                    let inner = moved.trim_start_matches("translate(").trim_end_matches(')');
                    let mut parts = inner.split(' ').map(|part| part.parse::<f64>().expect("two numbers"));
                    x += parts.next().expect("an x");
                    y += parts.next().expect("a y");
                }
            }
            let anchor = node.attribute("text-anchor").unwrap_or("start").to_owned();
            all.push((x, y, number(node, "font-size"), anchor, node.text().unwrap_or("").trim().to_owned()));
        }
        all
    }

    #[test]
    fn a_sheet_is_in_millimetres_and_the_same_every_time() {
        let first = drawn(&[3], 0.0, Units::Metric);
        assert_eq!(first, drawn(&[3], 0.0, Units::Metric));
        let tree = roxmltree::Document::parse(&first).expect("well-formed");
        let root = tree.root_element();
        let width = root.attribute("width").expect("a width");
        let sides: Vec<&str> = root.attribute("viewBox").expect("a view box").split(' ').collect();
        assert_eq!(width, format!("{}mm", sides[2]), "one unit of the drawing is one millimetre");
    }

    #[test]
    fn all_letters_are_legible_and_stay_on_the_page() {
        for (counts, grain) in [(vec![3], 0.0), (vec![1], 90.0), (vec![14], 33.0), (vec![2, 0, 5], 120.0)] {
            let drawing = drawn(&counts, grain, Units::Inch);
            let tree = roxmltree::Document::parse(&drawing).expect("well-formed");
            let sides: Vec<f64> = tree
                .root_element()
                .attribute("viewBox")
                .expect("a view box")
                .split(' ')
                .map(|part| part.parse().expect("a number"))
                .collect();
            for (x, y, size, anchor, words) in texts(&drawing) {
                let wide = letters::width(&words, size, false);
                let left = match anchor.as_str() {
                    "middle" => x - wide / 2.0,
                    "end" => x - wide,
                    _ => x,
                };
                assert!(size >= 2.2, "{words} is too small to read");
                assert!(left >= 0.0 && left + wide <= sides[2], "{words} runs off the side");
                assert!(y - size >= 0.0 && y <= sides[3], "{words} runs off the page");
            }
        }
    }

    #[test]
    fn every_place_is_numbered_in_the_picture_and_in_the_table() {
        let drawing = drawn(&[14], 0.0, Units::Metric);
        let all = texts(&drawing);
        for id in 1..=14 {
            let shown = all.iter().filter(|(.., words)| *words == id.to_string()).count();
            assert!(shown >= 2, "place {id} is shown {shown} times");
        }
    }

    #[test]
    fn inches_and_millimetres_are_never_mixed_on_one_sheet() {
        for (units, other) in [(Units::Metric, [" in", " lbf"]), (Units::Inch, [" mm", " N"])] {
            for (.., words) in texts(&drawn(&[3], 0.0, units)) {
                let words = words.replace(" in the back", "");
                let ends = |unit: &str| {
                    words.ends_with(unit)
                        || words.contains(&format!("{unit} "))
                        || words.contains(&format!("{unit},"))
                };
                assert!(!other.iter().any(|unit| ends(unit)), "{words}");
            }
        }
    }

    #[test]
    fn names_from_a_drawing_cannot_break_the_picture() {
        assert!(texts(&drawn(&[1], 0.0, Units::Metric)).iter().any(|(.., words)| words == "plates & <webs>"));
    }
}
