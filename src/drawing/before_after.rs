//! A piece as it is, and what a remedy makes of it: side by side, at one scale, with the same numbers.

use geo_types::Coord;
use svg::node::element::Group;

use super::depths::depths;
use super::key::key;
use super::letters;
use super::mark;
use super::numbers::numbered;
use super::pen::{Pen, Type, digits, line, text};
use super::picture::{Page, Sheet, heading, scale_bar, small_print};
use super::piece::{self, Side, View};
use super::stack::{self, stack};
use super::table;
use super::words;
use crate::check::{Finding, Pushes};
use crate::mend::{Change, Mending, Ply, Remedy, Standing, Strip};
use crate::shape::Shape;
use crate::units::{Angle, Length, Units};
use crate::wood::Board;

/// A piece with its remedies.
#[derive(Clone, Copy, Debug)]
pub struct Mended<'a> {
    /// The piece as drawn.
    pub shape: &'a Shape,
    /// What can be done for it.
    pub mending: &'a Mending,
    /// The grain as it lies.
    pub grain: Angle,
    /// The board's thickness.
    pub thickness: Length,
}

/// All that the sheet shows.
#[derive(Clone, Debug)]
pub struct MendedSheet<'a> {
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
    /// Each piece with its remedies.
    pub pieces: &'a [Mended<'a>],
    /// Sentences for the small print.
    pub cautions: &'a [&'a str],
}

/// Room between the two.
const GAP: f64 = 8.0;
/// Two views wider than this together are set one above the other.
const WIDEST: f64 = 420.0;

/// Draws every piece before and after the cheapest remedy that reaches the goal, or else the one that comes nearest to it; in
/// millimetres at true scale. A weak place keeps its number; one that is new gets the next.
pub fn before_and_after(sheet: &MendedSheet<'_>) -> String {
    let pieces: Vec<(&Shape, &Finding)> =
        sheet.pieces.iter().map(|piece| (piece.shape, &piece.mending.before)).collect();
    let whole = Sheet {
        title: sheet.title,
        wood: sheet.wood,
        board: sheet.board,
        pushes: sheet.pushes,
        units: sheet.units,
        pieces: &pieces,
        notes: &[],
        cautions: sheet.cautions,
    };
    let pieces = sheet.pieces.iter().enumerate();
    let blocks: Vec<Block> =
        pieces.map(|(k, piece)| block(piece, sheet.pushes, sheet.units, k + 1)).collect();
    let inner = blocks.iter().map(|block| block.size[0]).fold(table::width(), f64::max);
    let mut page = Page::new();
    heading(&mut page, &whole, inner);
    let mut after: Vec<Option<Finding>> = Vec::new();
    for block in blocks {
        page.add(block.group, 0.0, block.size[1] + GAP);
        after.push(block.after);
    }
    let before = sheet.pieces.iter().map(|piece| &piece.mending.before);
    let findings: Vec<&Finding> =
        before.zip(&after).flat_map(|(before, after)| [Some(before), after.as_ref()]).flatten().collect();
    let boards = sheet
        .pieces
        .iter()
        .filter_map(|piece| shown(piece.mending))
        .any(|remedy| !remedy.backers().is_empty());
    key(&mut page, &findings, boards, sheet.units, inner);
    scale_bar(&mut page, sheet.units);
    small_print(&mut page, &whole, inner);
    page.document(sheet.title, inner)
}

/// The remedy that is shown: the cheapest that reaches the goal, else the one that lacks least.
fn shown(mending: &Mending) -> Option<&Remedy> {
    let lacking = mending.remedies.iter().filter_map(|remedy| Some((remedy.shortfall?, remedy)));
    mending.cheapest().or_else(|| Some(lacking.min_by(|a, b| a.0.total_cmp(&b.0))?.1))
}

/// One piece before and after, and what was found on it then, its places numbered as they are drawn.
struct Block {
    group: Group,
    size: [f64; 2],
    after: Option<Finding>,
}

fn block(piece: &Mended<'_>, pushes: &Pushes, units: Units, number: usize) -> Block {
    let before = &piece.mending.before;
    let grain = piece.grain.as_deg();
    let board = Ply { thickness_mm: piece.thickness.as_mm(), grain_deg: grain };
    let first = piece::view(piece.shape, before, grain, Side::Face, units, &format!("before-{number}"));
    let mut group = Group::new();
    let name = Type::bold(4.0);
    let Some((remedy, after)) =
        shown(piece.mending).and_then(|remedy| Some((remedy, remedy.after.as_ref()?)))
    else {
        let words = if before.places.iter().any(|place| place.verdict != crate::check::Verdict::Sound) {
            "NO REMEDY"
        } else {
            "NOTHING TO MEND"
        };
        let size = [first.size[0], first.size[1] + 8.0];
        group = group.add(text([0.0, 4.0], &format!("{}: {words}", before.name), name));
        let group = group.add(first.group.set("transform", "translate(0 8)"));
        return Block { group, size, after: None };
    };
    let after = numbered(before, after);
    let shape = remedy.shape().unwrap_or(piece.shape);
    let grain_after = if let Change::Grain { deg, .. } = &remedy.change { *deg } else { grain };
    let key = format!("after-{number}");
    let steps = match &remedy.after {
        Some(found) if remedy.order.len() > 1 => words::steps(units, &remedy.order, before, found),
        _ => Vec::new(),
    };
    let numbers: Vec<(Coord<f64>, String)> = steps
        .iter()
        .enumerate()
        .flat_map(|(k, step)| step.openings.iter().map(move |at| (*at, format!("step {}", k + 1))))
        .collect();
    let mut views: Vec<(String, &Finding, View)> = vec![
        (format!("BEFORE: {}", before.verdict), before, first),
        (
            format!("AFTER: {}", after.verdict),
            &after,
            piece::face_with_steps(shape, &after, grain_after, units, &key, &numbers),
        ),
    ];
    if !remedy.strips().is_empty() {
        let back = piece::view(shape, &after, grain_after, Side::Back, units, &format!("{key}-back"));
        views.push(("AFTER, the back".to_owned(), &after, back));
    }
    if !remedy.backers().is_empty() {
        let boards = with_boards(&after, remedy.backers());
        let back = piece::view(shape, &boards, grain_after, Side::Back, units, &format!("{key}-back"));
        let thick = remedy.backers().first().map_or(0.0, |board| board.insert.depth_mm);
        views.push((format!("AFTER, the back: {} proud", words::size(units, thick)), &after, back));
    }
    if let Change::Layers { plies } = &remedy.change {
        views.extend(layers(shape, &after, plies, units, &key).map(|(name, view)| (name, &after, view)));
    }
    let mut y = 0.0;
    let words = words::remedy(units, remedy);
    let standing = match remedy.standing {
        Standing::Proved => "proved by a whole check of the mended piece",
        Standing::Estimate => "an estimate, not proved",
        Standing::Practice => "common practice",
    };
    let but = match () {
        () if !remedy.reaches_goal => "; it is not enough",
        () if remedy.splits() => "; a year would split it",
        () => "",
    };
    let told = format!("{}: {words} ({standing}{but}).", before.name);
    let side_by_side: f64 = views.iter().map(|(.., view)| view.size[0] + GAP).sum::<f64>() - GAP;
    let stacked = side_by_side > WIDEST;
    let wide =
        if stacked { views.iter().map(|(.., view)| view.size[0]).fold(0.0, f64::max) } else { side_by_side };
    let wide = wide.max(table::width());
    for words in letters::wrap(&told, 3.6, wide / 1.1) {
        y += 5.0;
        group = group.add(text([0.0, y], &words, Type::bold(3.6)));
    }
    for words in letters::wrap(&year(remedy, units), 3.0, wide / 1.1).iter().filter(|line| !line.is_empty()) {
        y += 4.2;
        group = group.add(text([0.0, y], words, Type::plain(3.0)));
    }
    y += 4.0;
    let top = y;
    let mut x = 0.0;
    let mut deepest = y;
    for (words, _, view) in views {
        let size = view.size;
        let at = format!("translate({} {})", digits(x), digits(y + 6.0));
        group = group.add(text([x, y + 4.0], &words, name)).add(view.group.set("transform", at));
        deepest = deepest.max(y + 6.0 + size[1]);
        if stacked {
            y = deepest + 2.0;
        } else {
            x += size[0] + GAP;
            if x < side_by_side {
                let rule = x - GAP / 2.0;
                group = group.add(line([rule, top], [rule, top + size[1]], Pen::dashed(0.15, "1 1")));
            }
        }
    }
    y = deepest + 2.0;
    if let Some((stack, high)) = stack(&remedy.change, board, units) {
        group = group
            .add(text([0.0, y + 4.0], "GLUED UP, cut square to the board's grain", name))
            .add(stack.set("transform", format!("translate(0 {})", digits(y + 6.0))));
        y += high + 8.0;
    }
    if let Some((graphs, high)) = remedy.seasons.as_ref().and_then(|year| depths(year, pushes, units)) {
        group = group.add(graphs.set("transform", format!("translate(0 {})", digits(y + 2.0))));
        y += high + 4.0;
    }
    let (rows, high) = ratios(before, &after, remedy.shape().is_some(), units);
    group = group.add(rows.set("transform", format!("translate(0 {})", digits(y))));
    y += high;
    if !steps.is_empty() {
        y += 6.0;
        group = group.add(text(
            [0.0, y],
            "ORDER OF CUTS: a place is free once both its sides are cut, the weakest last",
            name,
        ));
    }
    for (k, step) in steps.iter().enumerate() {
        for (line, words) in
            letters::wrap(&format!("{}.", step.words), 3.0, wide / 1.1 - 8.0).iter().enumerate()
        {
            y += 4.4;
            if line == 0 {
                group = group.add(text([0.0, y], &(k + 1).to_string(), Type::bold(3.0)));
            }
            group = group.add(text([8.0, y], words, Type::plain(3.0)));
        }
    }
    Block { group, size: [wide, y], after: Some(after) }
}

/// What is found, with the boards that lie behind its places.
fn with_boards(after: &Finding, boards: &[Strip]) -> Finding {
    let mut after = after.clone();
    for board in boards {
        let behind = after.places.iter_mut().filter(|place| board.places.contains(&place.id));
        behind.for_each(|place| place.insert = Some(board.insert.clone()));
    }
    after
}

/// The layers that the face does not show: a backer from behind, of three plies the middle one. The hindmost of three is as the face.
fn layers(shape: &Shape, after: &Finding, plies: &[Ply], units: Units, key: &str) -> Option<(String, View)> {
    let name = stack::names(plies).get(1)?;
    let ply = plies.get(1)?;
    let thick = words::size(units, ply.thickness_mm);
    let (side, note) = match plies.len() {
        2 => (Side::Back, format!("the backer, {thick} thick, mirrored left to right")),
        _ => (Side::Within, format!("the middle ply, {thick} thick, seen from the face")),
    };
    let view = piece::layer(shape, after, ply.grain_deg, side, note, units, &format!("{key}-layer"));
    Some((format!("AFTER, the {name}"), view))
}

/// What the seasons do to a remedy; nothing to say of one that is not glued.
fn year(remedy: &Remedy, units: Units) -> String {
    remedy.seasons.as_ref().map_or_else(String::new, |found| {
        let mut said = vec![words::seasons(units, found)];
        said.extend(words::short_reaches(units, found));
        said.join(" ")
    })
}

/// How many rows a table of before and after has at the most: no drawing with more rings can be read.
const ROWS: usize = 60;

/// What every place that is ringed bears before and after, those that are new last. One that is listed no more is gone where the piece
/// is drawn anew; where it is not, it is so strong that it is no weak place any more.
fn ratios(before: &Finding, after: &Finding, redrawn: bool, units: Units) -> (Group, f64) {
    let columns = [0.0, 20.0, 48.0, 76.0, 100.0, 128.0, 156.0];
    let heads = [
        ["", "place"],
        ["before", "face push"],
        ["", "side push"],
        ["", "verdict"],
        ["after", "face push"],
        ["", "side push"],
        ["", "verdict"],
    ];
    let mut group = Group::new();
    for (x, head) in columns.iter().zip(heads) {
        for (k, words) in head.iter().enumerate() {
            group = group.add(text([*x, 3.2 + 4.0 * k as f64], words, Type::plain(2.6)));
        }
    }
    let mut y = 9.5;
    group = group.add(line([0.0, y], [table::width(), y], Pen::solid(0.4)));
    let mut ids: Vec<usize> = before.places.iter().map(|place| place.id).collect();
    let new = after.places.iter().map(|place| place.id).filter(|id| !ids.contains(id));
    ids.extend(new.collect::<Vec<_>>());
    let left = ids.len().saturating_sub(ROWS);
    ids.truncate(ROWS);
    for id in ids {
        let [was, is] = [before, after].map(|finding| finding.places.iter().find(|place| place.id == id));
        let Some(latest) = is.or(was) else { continue };
        group = group.add(mark::badge([3.4, y + 3.1], &id.to_string(), latest.verdict));
        for (place, from) in [(was, 1), (is, 4)] {
            let cells = place.map_or_else(
                || {
                    let none = match (from, redrawn) {
                        (1, _) => "new",
                        (_, true) => "gone",
                        (_, false) => "strong",
                    };
                    ["-", "-", none].map(str::to_owned)
                },
                |place| {
                    let [_, _, face, _, side, _, verdict] = words::answers(units, place);
                    [face, side, verdict]
                },
            );
            for (k, words) in cells.iter().enumerate() {
                group = group.add(text([columns[from + k], y + 4.2], words, Type::plain(3.0)));
            }
        }
        y += 6.2;
        group = group.add(line([0.0, y], [table::width(), y], Pen::solid(0.12)));
    }
    if left > 0 {
        y += 4.4;
        group = group.add(text([0.0, y], &format!("and {left} more"), Type::plain(2.6)));
    }
    (group, y + 2.0)
}
