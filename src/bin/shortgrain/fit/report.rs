//! What was fitted, as a person reads it: that it fits, then the sizes, then what to do.

use std::fmt::Write;

use shortgrain::drawing::words;
use shortgrain::fit::{Corners, Fit, Outline, Segment};
use shortgrain::units::Units;

use super::Fitted;
use crate::columns::{Columns, LINE, capital, wrap};

/// Said with every fit.
const CAUTIONS: [&str; 2] = [
    "Advice, not a guarantee: cut a coupon on scrap of the same board and try it before the real one (--coupon).",
    "After loading a file measure one dimension you know before you cut.",
];

/// The report on every insert.
pub(super) fn written(
    fitted: &[Fitted],
    units: Units,
    explain: bool,
    files: Option<(&str, &[String])>,
) -> String {
    let asked = fitted.iter().find_map(|one| one.doubt.as_deref());
    let mut text: String = asked.map(|asked| wrap(asked, LINE, 0) + "\n").unwrap_or_default();
    for one in fitted {
        insert(&mut text, one, units, explain);
        text.push('\n');
    }
    let Some(first) = fitted.first() else { return text };
    text.push_str(&wrap(&how(&first.fit, units), LINE, 0));
    text.push_str(&wrap(&glue(&first.fit, units), LINE, 0));
    if let Some((folder, names)) = files {
        text.push_str(&wrap(&format!("Written into {folder}: {}.", names.join(", ")), LINE, 0));
    }
    text.push('\n');
    for caution in cautions(fitted).into_iter().filter(|caution| Some(caution.as_str()) != asked) {
        text.push_str(&format!("- {}", wrap(&words::fit_sentence(units, &capital(&caution)), LINE - 2, 2)));
    }
    text
}

/// The question whether the size is right, what to be careful about, then what is said with every fit.
pub(super) fn cautions(fitted: &[Fitted]) -> Vec<String> {
    let mut all: Vec<String> = fitted.iter().find_map(|one| one.doubt.clone()).into_iter().collect();
    for caution in fitted.iter().flat_map(|one| &one.fit.cautions) {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    all.extend(CAUTIONS.map(str::to_owned));
    all
}

fn insert(text: &mut String, one: &Fitted, units: Units, explain: bool) {
    let fit = &one.fit;
    let word = if fit.cautions.is_empty() { "FITS" } else { "CAREFUL" };
    let corners = match fit.options.corners {
        Corners::Relieved if fit.reliefs > 0 => "sharp corners",
        Corners::Relieved => "its corners as drawn",
        other => other.name(),
    };
    let headline = format!(
        "{}: an insert with {corners} in a pocket {} wider all round",
        one.name,
        words::fit_length(units, fit.options.clearance.as_mm()),
    );
    text.push_str(&format!("{word}  {}", wrap(&headline, LINE - word.len() - 2, 0)));
    text.push_str(&table(fit, units));
    let rounded = fit.rounded;
    let mut lost = Vec::new();
    if rounded.cut_back_mm > 5e-3 {
        lost.push(format!("{} is cut off a corner", words::fit_length(units, rounded.cut_back_mm)));
    }
    if rounded.filled_mm > 5e-3 {
        lost.push(format!("{} is left in a hollow", words::fit_length(units, rounded.filled_mm)));
    }
    // Round ends are what was asked for, not a loss.
    if fit.options.corners != Corners::Ends && !lost.is_empty() {
        text.push_str(&wrap(
            &format!("Against the outline as given, at most {}.", lost.join(" and ")),
            LINE,
            0,
        ));
    }
    if fit.reliefs > 0 {
        let sentence = format!(
            "The pocket's {} sharp corners are cut out beyond the insert's, by a circle {} across.",
            fit.reliefs,
            words::fit_length(units, fit.options.pocket_bit.as_mm() + 2.0 * fit.options.clearance.as_mm()),
        );
        text.push_str(&wrap(&sentence, LINE, 0));
    }
    if let Some(left) = fit.show_face() {
        let sentence =
            format!("Show face left in front of the pocket: {}.", words::length(units, left.as_mm()));
        text.push_str(&wrap(&sentence, LINE, 0));
    }
    if explain {
        text.push_str(&working(fit, units));
    }
}

fn table(fit: &Fit, units: Units) -> String {
    let bare = |mm: f64| words::fit_length(units, mm).split(' ').next().unwrap_or_default().to_owned();
    let mut columns = Columns::new("lrrrrr");
    columns.row([
        units.length_unit(),
        "along its grain",
        "across",
        "thick or deep",
        "least convex radius",
        "hollow",
    ]);
    let row = |name: &str, size: [shortgrain::units::Length; 2], through: f64, outline: &Outline| {
        let [convex, hollow] =
            least_radii(outline).map(|radius| radius.map_or_else(|| "none".to_owned(), bare));
        [name.to_owned(), bare(size[0].as_mm()), bare(size[1].as_mm()), bare(through), convex, hollow]
    };
    columns.row(row("insert", fit.insert_size(), fit.insert_thickness().as_mm(), &fit.insert));
    columns.row(row("pocket", fit.pocket_size(), fit.options.depth.as_mm(), &fit.pocket));
    columns.text(0)
}

/// The tightest arcs that bulge out and in, in mm.
fn least_radii(outline: &Outline) -> [Option<f64>; 2] {
    let mut least: [Option<f64>; 2] = [None, None];
    for segment in outline.contours().flat_map(shortgrain::fit::Contour::segments) {
        if let Some((_, radius)) = segment.circle() {
            let side = &mut least[usize::from(segment.sweep() < 0.0)];
            *side = Some(side.map_or(radius, |known| known.min(radius)));
        }
    }
    least
}

fn how(fit: &Fit, units: Units) -> String {
    let options = &fit.options;
    format!(
        "Pocket bit {}, insert bit {}. Cut the insert {} thick: it stands {} proud; level it when the glue has set hard.",
        words::fit_length(units, options.pocket_bit.as_mm()),
        words::fit_length(units, options.insert_bit.as_mm()),
        words::fit_length(units, fit.insert_thickness().as_mm()),
        words::fit_length(units, options.proud.as_mm()),
    )
}

fn glue(fit: &Fit, units: Units) -> String {
    let glue = fit.options.glue;
    let [least, most] = glue.clearance().map(|length| words::fit_length(units, length.as_mm()));
    format!(
        "Glue: {}, used with {least} to {most} a side (the most as glue makers print it, the rest common practice). {}.",
        glue.name(),
        capital(&words::sentence(units, glue.service())),
    )
}

/// How each number comes about, and the two contours.
fn working(fit: &Fit, units: Units) -> String {
    let options = &fit.options;
    let show = |mm: f64| words::fit_length(units, mm);
    let clearance = options.clearance.as_mm();
    let mut columns = Columns::new("lrl");
    let mut line =
        |name: &str, mm: f64, from: &str| columns.row([name.to_owned(), show(mm), from.to_owned()]);
    line("clearance", clearance, "a side, all round");
    let bit = options.pocket_bit.as_mm() / 2.0;
    line("convex corner, insert", bit, "at least: the pocket bit's radius");
    line(
        "hollow corner, insert",
        options.insert_bit.as_mm() / 2.0 + clearance,
        "at least: the insert bit's radius + clearance",
    );
    line("pocket", clearance, "= insert grown by the clearance");
    line("insert thickness", fit.insert_thickness().as_mm(), "= depth + flush allowance");
    let mut text = columns.text(2);
    for (name, outline) in [("insert", &fit.insert), ("pocket", &fit.pocket)] {
        let unit = units.length_unit();
        let per_mm2 = if units == Units::Inch { 25.4 * 25.4 } else { 1.0 };
        let _ = writeln!(text, "  {name}, {:.2} {unit}² (x, y in the drawing):", outline.area() / per_mm2);
        let mut columns = Columns::new("lrlrlr");
        for segment in outline.contours().flat_map(shortgrain::fit::Contour::segments).take(MOST_LINES) {
            columns.row(segment_row(&segment, units));
        }
        text.push_str(&columns.text(4));
        let all: usize = outline.contours().map(|contour| contour.nodes().len()).sum();
        if all > MOST_LINES {
            let _ = writeln!(text, "    and {} more; --json lists all", all - MOST_LINES);
        }
    }
    text
}

/// So many lines and arcs are shown; a fine drawing has thousands.
const MOST_LINES: usize = 40;

fn segment_row(segment: &Segment, units: Units) -> Vec<String> {
    let place = |p: shortgrain::shape::plane::Point| {
        let bare =
            |mm: f64| words::fit_length(units, mm + 0.0).split(' ').next().unwrap_or_default().to_owned();
        format!("{}, {}", bare(p.x), bare(p.y))
    };
    let mut row = vec!["from".to_owned(), place(segment.from()), "to".to_owned(), place(segment.to())];
    match segment.circle() {
        None => row.push("line".to_owned()),
        Some((_, radius)) => {
            let way = if segment.sweep() > 0.0 { "convex" } else { "hollow" };
            row.push(format!("arc, {way}, radius"));
            row.push(words::fit_length(units, radius));
        }
    }
    row
}
