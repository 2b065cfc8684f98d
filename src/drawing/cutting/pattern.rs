//! A paper pattern: a piece at true scale to lay on the wood, with bars to check the printer by and what is to be got out for it.

use svg::Document;
use svg::node::element::{Element, Group, Title};

use super::list::{self, Row};
use super::pages::Frame;
use super::plan::{arrow, arrow_about, number};
use super::{Piece, Ply, svg as paths};
use crate::drawing::letters::{clean, wrap};
use crate::drawing::pen::{GRAIN, Hang, PAPER, Pen, Spot, Type, WOOD, line, rounded, shape, text};
use crate::drawing::words;
use crate::fit::{Corners, Outline};
use crate::shape::plane::{Point, point};
use crate::units::Units;

/// Page margin, in mm.
const MARGIN: f64 = 10.0;
/// Size of words.
const WORDS: f64 = 3.2;
/// The least width of the page: the bars and a line of words.
const LEAST: f64 = 130.0;

/// Draws a piece as seen from the face; pockets, which lie in the back, in broken lines.
pub(super) fn written(piece: &Piece, frame: &Frame, rows: &[Row<'_>], units: Units) -> String {
    let [wide, high] = frame.size;
    let inner = wide.max(LEAST);
    let mut page = Group::new();
    let mut y = MARGIN + 5.0;
    page = page.add(text([MARGIN, y], &piece.name, Type::bold(5.0)));
    for sentence in head(piece, units) {
        for words in wrap(&sentence, WORDS, inner) {
            y += 4.6;
            page = page.add(text([MARGIN, y], &words, Type::plain(WORDS)));
        }
    }
    y += 4.0;
    page =
        page.add(work(piece, frame).set("transform", format!("translate({} {})", number(MARGIN), number(y))));
    y += high + 6.0;
    page = page.add(bars([MARGIN, y]));
    y += 22.0;
    let rows = list::of_piece(rows, piece, units);
    if !rows.is_empty() {
        y += 5.0;
        page = page.add(text(
            [MARGIN, y],
            "Cut list: thickness x width x length, the length along the grain",
            Type::bold(WORDS),
        ));
        for row in &rows {
            y += 4.6;
            page = page.add(listed([MARGIN, y], row));
        }
        y += 3.0;
    }
    let size = [inner + 2.0 * MARGIN, y + MARGIN - 4.0];
    Document::new()
        .set("width", format!("{}mm", number(size[0])))
        .set("height", format!("{}mm", number(size[1])))
        .set("viewBox", format!("0 0 {} {}", number(size[0]), number(size[1])))
        .set("font-family", "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif")
        .add(Title::new(clean(&format!("{}, pattern", piece.name))))
        .add(rounded([0.0, 0.0], size, 0.0, PAPER, Pen::solid(0.0)))
        .add(page)
        .to_string()
        + "\n"
}

/// Where the columns of the list begin, or end where they hold numbers, in mm.
const COLUMNS: [f64; 4] = [0.0, 34.0, 39.0, 88.0];

/// A line of the list.
fn listed([x, y]: Spot, [part, count, size, wood]: &[String; 4]) -> Group {
    let at = COLUMNS.map(|column| [x + column, y]);
    let plain = Type::plain(WORDS);
    Group::new()
        .add(text(at[0], part, plain))
        .add(text(at[1], count, Type::plain(WORDS).hung(Hang::End)))
        .add(text(at[2], size, plain))
        .add(text(at[3], wood, plain))
}

/// What the pattern says of the piece.
fn head(piece: &Piece, units: Units) -> Vec<String> {
    let mut all =
        vec!["FACE, true size. Print at 100 % and measure both bars before you trust it.".to_owned()];
    let mut facts = Vec::new();
    facts.extend(piece.wood.clone());
    facts.extend(piece.thickness.map(|thickness| format!("{} thick", words::size(units, thickness.as_mm()))));
    if !facts.is_empty() {
        all.push(format!("Board: {}.", facts.join(", ")));
    }
    if !piece.plies.is_empty() {
        let board = |ply: &Ply| {
            let (thick, grain) =
                (words::size(units, ply.thickness.as_mm()), words::degrees(ply.grain.as_deg()));
            format!("{} {thick}, its grain at {grain}", ply.name)
        };
        let boards: Vec<String> = piece.plies.iter().map(board).collect();
        all.push(format!("Glued up from the face back, then cut through all: {}.", boards.join("; ")));
    }
    for (i, pocket) in piece.pockets.iter().enumerate() {
        let number = if piece.pockets.len() > 1 { format!(" {}", i + 1) } else { String::new() };
        let fit = &pocket.fit;
        let [length, width] = fit.insert_size();
        let corners = match fit.options.corners {
            Corners::Relieved => "sharp corners".to_owned(),
            other => other.name().to_owned(),
        };
        all.push(format!(
            "Insert{number}: {} x {} x {} (length along its grain, width, thickness), {corners}; pocket {} deep in the back, {} \
             wider all round.",
            words::fit_length(units, length.as_mm()),
            words::fit_length(units, width.as_mm()),
            words::fit_length(units, fit.insert_thickness().as_mm()),
            words::fit_length(units, fit.options.depth.as_mm()),
            words::fit_length(units, fit.options.clearance.as_mm()),
        ));
    }
    for (i, backer) in piece.backers.iter().enumerate() {
        let number = if piece.backers.len() > 1 { format!(" {}", i + 1) } else { String::new() };
        let [x0, y0, x1, y1] = backer.outline.turned(-backer.grain.as_rad()).bounds();
        all.push(format!(
            "Backer{number}: {} x {} x {} (length along its grain, width, thickness), glued onto the back before piercing.",
            words::fit_length(units, x1 - x0),
            words::fit_length(units, y1 - y0),
            words::size(units, backer.thickness.as_mm()),
        ));
    }
    all
}

fn work(piece: &Piece, frame: &Frame) -> Group {
    let high = frame.size[1];
    let data = |outline: &Outline| -> String {
        outline.contours().map(|contour| paths::data(&contour.moved(frame.shift), high)).collect()
    };
    let spot = |p: Point| -> Spot { [p.x, high - p.y] };
    let mut group = Group::new();
    if let Some(outline) = &piece.outline {
        group = group.add(shape(&data(outline), WOOD, Some(Pen::solid(0.25))));
    }
    for backer in &piece.backers {
        group = group.add(shape(&data(&backer.outline), "none", Some(Pen::dashed(0.25, "2 1.2"))));
        let [x0, y0, x1, y1] = backer.outline.bounds();
        let middle = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1)) + frame.shift;
        let [u0, _, u1, _] = backer.outline.turned(-backer.grain.as_rad()).bounds();
        let along = arrow_about(middle, backer.grain.as_rad(), 0.5 * (u1 - u0).min(60.0));
        group = group.add(grain(arrow(along).map(spot)));
    }
    for pocket in &piece.pockets {
        let fill = if piece.outline.is_some() { "none" } else { WOOD };
        group = group.add(shape(&data(&pocket.fit.pocket), fill, Some(Pen::dashed(0.25, "2 1.2"))));
        let [x0, y0, x1, y1] = pocket.fit.insert.bounds();
        let middle = point(f64::midpoint(x0, x1), f64::midpoint(y0, y1)) + frame.shift;
        let [length, _] = pocket.fit.insert_size();
        let along = arrow_about(middle, pocket.fit.grain.as_rad(), 0.5 * length.as_mm().min(60.0));
        group = group.add(grain(arrow(along).map(spot)));
    }
    if piece.outline.is_some() {
        let [x0, y0, x1, y1] = frame.bounds;
        let below = point(f64::midpoint(x0, x1), y0 - 9.0) + frame.shift;
        let long = (0.4 * (x1 - x0).min(y1 - y0)).clamp(8.0, 14.0);
        let along = arrow_about(below, piece.grain.as_rad(), long);
        group = group.add(grain(arrow(along).map(spot)));
        let whose = if piece.plies.is_empty() { "grain of the board" } else { "grain of the face" };
        let label = [below.x + 10.0, high - below.y + 1.0];
        group = group.add(text(label, whose, Type::plain(2.6)));
        for pin in frame.pins() {
            let [x, y] = spot(pin);
            group = group.add(line([x - 4.0, y], [x + 4.0, y], Pen::solid(0.15))).add(line(
                [x, y - 4.0],
                [x, y + 4.0],
                Pen::solid(0.15),
            ));
        }
    }
    group
}

fn grain(spots: [Spot; 5]) -> Element {
    let spots = spots.map(|[x, y]| format!("{} {}", number(x), number(y)));
    let mut element =
        shape(&format!("M{}", spots.join("L")), "none", Some(Pen::solid(0.35).in_colour(GRAIN)));
    element.get_attributes_mut().insert("stroke".into(), "#111111".into());
    element
}

/// A bar of 25 mm and one of an inch.
fn bars(at: Spot) -> Group {
    let bar = |y: f64, long: f64, name: &str| {
        let ends = [at[0], at[0] + long].map(|x| line([x, y - 2.0], [x, y + 2.0], Pen::solid(0.25)));
        let [first, last] = ends;
        Group::new()
            .add(line([at[0], y], [at[0] + long, y], Pen::solid(0.25)))
            .add(first)
            .add(last)
            .add(text([at[0] + long + 3.0, y + 1.1], name, Type::plain(WORDS)))
    };
    Group::new().add(bar(at[1] + 3.0, 25.0, "25 mm")).add(bar(at[1] + 11.0, 25.4, "1 in")).add(text(
        [at[0], at[1] + 19.0],
        "Broken lines lie on the back.",
        Type::plain(2.6).hung(Hang::Start),
    ))
}
