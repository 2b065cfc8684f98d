//! What other depths of an insert would do, as a graph: show face left, what either push takes, how far it cups.

use svg::node::element::Group;

use super::pen::{Hang, PAPER, Pen, Spot, Type, circle, line, text};
use super::words;
use crate::check::{PushKind, Pushes};
use crate::mend::{DepthCup, Seasons};
use crate::units::Units;

/// Graphs of so many inserts are drawn; the report and the JSON have all.
const DRAWN: usize = 2;
/// Between two depths, height of the graph, and where its first depth stands, in mm.
const PITCH: f64 = 13.0;
const HIGH: f64 = 34.0;
const LEFT: f64 = 30.0;
/// Radius of a mark, in mm.
const MARK: f64 = 0.9;

/// The graphs of an insert's joints one below the other, and their height; nothing where no other depths are known.
pub(super) fn depths(seasons: &Seasons, pushes: &Pushes, units: Units) -> Option<(Group, f64)> {
    let known = seasons.joints.iter().filter_map(|joint| {
        let rows = joint.depths.as_ref()?.as_ref().ok()?;
        Some((joint.places.as_slice(), rows.as_slice()))
    });
    let mut group = Group::new();
    let mut y = 0.0;
    for (places, rows) in known.filter(|(_, rows)| rows.len() > 1).take(DRAWN) {
        let (graph, high) = graph(places, rows, pushes, units);
        group = group.add(graph.set("transform", format!("translate(0 {y})")));
        y += high;
    }
    (y > 0.0).then_some((group, y))
}

/// One insert's: forces over depths, and below each depth what is left in front of it and the cup.
fn graph(places: &[usize], rows: &[DepthCup], pushes: &Pushes, units: Units) -> (Group, f64) {
    let small = Type::plain(2.6);
    let forces = rows.iter().filter_map(|row| row.at.bears_n).flatten();
    let stated = [pushes.face.as_n(), pushes.side.as_n()];
    let most = forces.chain(stated).filter(|n| n.is_finite()).fold(1.0, f64::max);
    let (top, low) = (6.0, 6.0 + HIGH);
    let x = |k: usize| LEFT + PITCH * (k as f64 + 0.5);
    let right = LEFT + PITCH * rows.len() as f64;
    let up = |newtons: f64| low - newtons / most * (HIGH - 3.0);
    let place = places.first().map_or_else(String::new, |id| format!(" for place {id}"));
    let title = format!("OTHER DEPTHS of the insert{place}, by the closed form, the others as they are");
    let mut group = Group::new()
        .add(text([0.0, 3.6], &title, Type::bold(3.2)))
        .add(line([LEFT, top], [LEFT, low], Pen::solid(0.25)))
        .add(line([LEFT, low], [right, low], Pen::solid(0.25)))
        .add(text([LEFT - 2.0, up(most) + 0.9], &words::strength(units, most), small.hung(Hang::End)))
        .add(text([LEFT - 2.0, low + 0.9], "0", small.hung(Hang::End)));
    // Its own depth stands between two lines.
    let own = rows.iter().position(|row| row.at.is_own);
    if let Some(k) = own {
        for side in [-0.5, 0.5] {
            let at = x(k) + side * PITCH;
            group = group.add(line([at, top], [at, low + 20.6], Pen::dashed(0.15, "0.6 0.8")));
        }
    }
    for (kind, pen) in [(PushKind::Face, Pen::solid(0.4)), (PushKind::Side, Pen::dashed(0.4, "1.6 0.9"))] {
        let of = |bears: [f64; 2]| if kind == PushKind::Face { bears[0] } else { bears[1] };
        let spots: Vec<Option<Spot>> = rows
            .iter()
            .enumerate()
            .map(|(k, row)| row.at.bears_n.map(of).filter(|n| n.is_finite()).map(|n| [x(k), up(n)]))
            .collect();
        for pair in spots.windows(2) {
            if let [Some(from), Some(to)] = pair {
                group = group.add(line(*from, *to, pen));
            }
        }
        let fill = if kind == PushKind::Face { pen.colour } else { PAPER };
        for spot in spots.iter().flatten() {
            group = group.add(circle(*spot, MARK, fill, Pen::solid(0.25)));
        }
        let stated = up(pushes.of(kind).as_n());
        group = group.add(line([LEFT, stated], [right, stated], Pen { width: 0.15, ..pen }));
        // Named on the left of its line, the second a line lower where both are one.
        let is_second =
            kind == PushKind::Side && (pushes.face.as_n() - pushes.side.as_n()).abs() < 0.05 * most;
        let at = if is_second { stated + 3.6 } else { stated + 0.6 };
        let said = format!("{kind} push {}", words::strength(units, pushes.of(kind).as_n()));
        group = group.add(text([right + 2.0, at], &said, small));
    }
    let unit = units.length_unit();
    let mut y = low + 4.4;
    for (name, of) in [
        (format!("depth {unit}"), (|units, row| words::bare_length(units, row.at.depth_mm)) as Shown),
        (format!("show face left {unit}"), |units, row| {
            let left = words::bare_length(units, row.at.show_face_mm);
            if row.at.usual { left } else { format!("{left}*") }
        }),
        ("bears on the face".to_owned(), |units, row| force(units, row, 0)),
        ("on a side".to_owned(), |units, row| force(units, row, 1)),
        (format!("cup {unit}"), |units, row| {
            words::fit_length(units, row.cup_mm).split(' ').next().unwrap_or_default().to_owned()
        }),
    ] {
        group = group.add(text([0.0, y], &name, small));
        for (k, row) in rows.iter().enumerate() {
            let face = if Some(k) == own { Type::bold(2.6) } else { small };
            group = group.add(text([x(k), y], &of(units, row), face.hung(Hang::Middle)));
        }
        y += 3.8;
    }
    let key = "Filled marks, full line: pushed on the face. Hollow marks, broken line: on a side. Thin lines: the stated pushes. * thinner than the \
               trade leaves. - too short for its depth.";
    group = group.add(text([0.0, y], key, small));
    (group, y + 5.0)
}

/// What stands in a row of numbers below the graph.
type Shown = fn(Units, &DepthCup) -> String;

fn force(units: Units, row: &DepthCup, push: usize) -> String {
    row.at.bears_n.map_or_else(|| "-".to_owned(), |bears| words::strength(units, bears[push]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mend::AtDepth;
    use crate::units::Force;

    fn row(depth_mm: f64, bears_n: Option<[f64; 2]>, is_own: bool) -> DepthCup {
        let at = AtDepth { depth_mm, show_face_mm: 12.0 - depth_mm, usual: depth_mm < 8.0, bears_n, is_own };
        DepthCup { at, cup_mm: 0.05 * depth_mm }
    }

    /// By hand: the greatest force, 90 N, stands 31 mm above the line of the depths at 40; so 45 N stands at 24.5, and depths stand 13 apart.
    #[test]
    fn forces_stand_over_their_depths_and_what_is_left_below() {
        let rows =
            [row(3.0, Some([30.0, 45.0]), false), row(6.0, Some([90.0, 60.0]), true), row(9.0, None, false)];
        let pushes = Pushes { face: Force::n(45.0), side: Force::n(45.0) };
        let drawn = graph(&[2], &rows, &pushes, Units::Metric).0.to_string();
        assert!(drawn.contains("the insert for place 2"), "{drawn}");
        for (x, y, fill) in [(36.5, 29.667, "#111111"), (49.5, 9.0, "#111111"), (36.5, 24.5, "#ffffff")] {
            let mark = drawn.split("<circle").find(|part| {
                [format!("cx=\"{x}\""), format!("cy=\"{y}\""), format!("fill=\"{fill}\"")]
                    .iter()
                    .all(|attribute| part.contains(attribute))
            });
            assert!(mark.is_some(), "{x} {y} {fill}: {drawn}");
        }
        // The deepest has no force and no mark, and too thin a show face.
        assert_eq!(drawn.matches("<circle").count(), 4);
        for said in ["3.0*", "90 N", "60 N", "0.30"] {
            assert!(drawn.contains(&format!("\n{said}\n")) || drawn.contains(&format!(">{said}<")), "{said}");
        }
    }
}
