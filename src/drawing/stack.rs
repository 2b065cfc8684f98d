//! What a piece is glued up of, cut square to the board's grain: every layer at its true thickness, with its own grain.

use svg::node::element::Group;

use super::pen::{INK, PAPER, Pen, Type, WOOD, circle, line, rounded, text};
use super::words;
use crate::mend::{Change, Ply};
use crate::units::Units;

/// How much of the piece is drawn, and of a board behind a part of it, in mm.
const WIDTH: f64 = 60.0;
const PART: [f64; 2] = [16.0, 44.0];
/// Between two lines of long grain, and two dots of end grain.
const PITCH: f64 = 1.2;
/// Between two labels at the least.
const LABEL: f64 = 4.0;

/// A layer from the face back: its name, its thickness, its grain and from where to where it is drawn.
struct Layer {
    name: &'static str,
    ply: Ply,
    span: [f64; 2],
}

/// The names of a blank's layers, from the face back.
pub(super) const fn names(plies: &[Ply]) -> &'static [&'static str] {
    match plies.len() {
        2 => &["board", "backer"],
        3 => &["face ply", "middle ply", "back ply"],
        _ => &[],
    }
}

/// The layers of a remedy, with how high they are drawn; nothing where nothing is glued on.
pub(super) fn stack(change: &Change, board: Ply, units: Units) -> Option<(Group, f64)> {
    let all = [0.0, WIDTH];
    let layers: Vec<Layer> = match change {
        Change::Layers { plies } => {
            names(plies).iter().zip(plies).map(|(name, ply)| Layer { name, ply: *ply, span: all }).collect()
        }
        Change::Backers(strips) => {
            let insert = &strips.first()?.insert;
            let ply = Ply { thickness_mm: insert.depth_mm, grain_deg: insert.grain_deg };
            vec![
                Layer { name: "board", ply: board, span: all },
                Layer { name: "part backer, glued on the back", ply, span: PART },
            ]
        }
        _ => return None,
    };
    let mut group = Group::new().add(text([0.0, 3.0], "FACE", Type::bold(2.6)));
    let (mut y, mut label) = (4.5, 0.0_f64);
    for Layer { name, ply, span: [from, to] } in &layers {
        let size = [to - from, ply.thickness_mm];
        group = group.add(rounded(
            [*from, y],
            size,
            0.0,
            if *name == "board" { WOOD } else { PAPER },
            Pen::solid(0.3),
        ));
        group = group.add(grain(ply, board, [*from, y], size));
        let middle = y + ply.thickness_mm / 2.0 + 1.0;
        label = middle.max(label);
        let told = format!(
            "{name}, {} thick, grain at {}",
            words::size(units, ply.thickness_mm),
            words::degrees(ply.grain_deg)
        );
        group = group.add(text([WIDTH + 3.0, label], &told, Type::plain(2.6)));
        label += LABEL;
        y += ply.thickness_mm;
    }
    y = y.max(label - LABEL) + 3.5;
    Some((group.add(text([0.0, y], "BACK", Type::bold(2.6))), y + 1.0))
}

/// Lines where a layer's grain lies in the section, dots where that cuts it.
fn grain(ply: &Ply, board: Ply, [x, y]: [f64; 2], [wide, high]: [f64; 2]) -> Group {
    let lies_in_it =
        (ply.grain_deg - board.grain_deg).to_radians().sin().abs() > std::f64::consts::FRAC_1_SQRT_2;
    let rows = (high / PITCH).floor().max(1.0);
    let pitch = high / rows;
    let mut group = Group::new();
    for row in 0..rows as usize {
        let at = y + (row as f64 + 0.5) * pitch;
        if lies_in_it {
            group = group.add(line([x + 0.6, at], [x + wide - 0.6, at], Pen::solid(0.16)));
            continue;
        }
        let first = if row % 2 == 0 { PITCH } else { 2.0 * PITCH };
        let dots = (0..).map(|k| first + 2.0 * PITCH * f64::from(k)).take_while(|dot| *dot < wide - 0.5);
        for dot in dots {
            group = group.add(circle([x + dot, at], 0.16, INK, Pen::solid(0.05)));
        }
    }
    group
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every layer is named with its thickness and its grain; long grain is drawn as lines, end grain as dots.
    #[test]
    fn every_layer_is_told_and_the_grain_that_lies_in_the_section_is_lines() {
        let ply = |thickness_mm: f64, grain_deg: f64| Ply { thickness_mm, grain_deg };
        let plies = vec![ply(4.5, 30.0), ply(4.5, 120.0), ply(4.5, 30.0)];
        let (group, high) =
            stack(&Change::Layers { plies }, ply(13.5, 30.0), Units::Metric).expect("it is glued up");
        let drawn = group.to_string();
        for told in ["face ply, 4.5 mm thick, grain at 30°", "middle ply, 4.5 mm thick, grain at 120°"] {
            assert!(drawn.contains(told), "{told}");
        }
        let count = |what: &str| drawn.matches(what).count();
        // By hand: three rows of lines in 4.5 mm, and none in the others.
        assert_eq!((count("<line"), count("<rect")), (3, 3));
        assert!(count("<circle") > 50 && high > 13.5);
        assert!(stack(&Change::None, ply(13.5, 30.0), Units::Metric).is_none());
    }
}
