//! The marks on a picture: rings, numbers, break lines, pads and arrows.
//!
//! A verdict shows in the weight of its ring, in its number's box (black, double, plain) and, in the
//! table, in its word.

use svg::node::element::{Element, Group};

use super::letters;
use super::pen::{ACCENT, Hang, INK, PAPER, Pen, Spot, Type, circle, line, rounded, shape, text};
use crate::check::{PushKind, Verdict};

/// Height of a number's box, in mm.
const BADGE: f64 = 5.2;
/// Size of the number in it.
const NUMBER: f64 = 3.2;
/// Length of a side push's arrow, in mm.
pub(super) const ARROW: f64 = 9.0;
/// Radius of the crossed circle that stands for a push into the page.
pub(super) const CROSS: f64 = 1.5;

/// The ring around a place.
pub(super) fn ring(centre: Spot, radius: f64, verdict: Verdict) -> Element {
    circle(centre, radius, "none", ring_pen(verdict))
}

/// A heavy, a middling and a thin broken line.
pub(super) const fn ring_pen(verdict: Verdict) -> Pen {
    match verdict {
        Verdict::Fragile => Pen::solid(0.8),
        Verdict::Careful => Pen::solid(0.45),
        Verdict::Sound => Pen::dashed(0.25, "1.2 0.9"),
    }
}

/// Half the size of a number's box.
pub(super) fn badge_half(number: &str) -> Spot {
    let wide = letters::width(number, NUMBER, true) + 1.8;
    [wide.max(BADGE) / 2.0, BADGE / 2.0]
}

/// A place's number in its box.
pub(super) fn badge(centre: Spot, number: &str, verdict: Verdict) -> Group {
    let half = badge_half(number);
    let whole = |inset: f64, fill: &str, pen: Pen| {
        rounded(
            [centre[0] - half[0] + inset, centre[1] - half[1] + inset],
            [2.0 * (half[0] - inset), 2.0 * (half[1] - inset)],
            half[1] - inset,
            fill,
            pen,
        )
    };
    let mut group = Group::new();
    let mut colour = INK;
    match verdict {
        Verdict::Fragile => {
            group = group.add(whole(0.0, INK, Pen::solid(0.3)));
            colour = PAPER;
        }
        Verdict::Careful => {
            group = group.add(whole(0.0, PAPER, Pen::solid(0.3))).add(whole(0.55, PAPER, Pen::solid(0.3)));
        }
        Verdict::Sound => group = group.add(whole(0.0, PAPER, Pen::solid(0.2))),
    }
    let face = Type::bold(NUMBER).hung(Hang::Middle).in_colour(colour);
    group.add(text([centre[0], centre[1] + 0.36 * NUMBER], number, face))
}

/// Where the wood parts: long dashes for a face push, dots for a side push.
pub(super) fn break_line(from: Spot, to: Spot, kind: PushKind) -> Group {
    let pen = break_pen(kind);
    Group::new().add(line(from, to, pen.halo())).add(line(from, to, pen))
}

const fn break_pen(kind: PushKind) -> Pen {
    match kind {
        PushKind::Face => Pen::dashed(0.9, "3 1.1").in_colour(ACCENT),
        PushKind::Side => Pen::dashed(0.9, "0.9 0.9").in_colour(ACCENT),
    }
}

/// A face push: the pad, and at its centre a crossed circle for a push into the page.
pub(super) fn pad(centre: Spot, radius: f64) -> Group {
    let [x, y] = centre;
    let half = CROSS * std::f64::consts::FRAC_1_SQRT_2;
    Group::new()
        .add(circle(centre, radius, "none", Pen::dashed(0.2, "0.5 0.7")))
        .add(circle(centre, CROSS, PAPER, Pen::solid(0.3)))
        .add(line([x - half, y - half], [x + half, y + half], Pen::solid(0.3)))
        .add(line([x - half, y + half], [x + half, y - half], Pen::solid(0.3)))
}

/// An arrow to `tip`, coming from `tail`.
pub(super) fn arrow(tail: Spot, tip: Spot, weight: f64) -> Group {
    let (dx, dy) = (tip[0] - tail[0], tip[1] - tail[1]);
    let length = dx.hypot(dy).max(1e-9);
    let (ux, uy) = (dx / length, dy / length);
    let (long, half) = (2.0 + 1.6 * weight, 0.7 + 0.8 * weight);
    let foot = [tip[0] - long * ux, tip[1] - long * uy];
    let head = super::pen::rings([[
        tip,
        [foot[0] - half * uy, foot[1] + half * ux],
        [foot[0] + half * uy, foot[1] - half * ux],
    ]]);
    Group::new()
        .add(line(tail, foot, Pen::solid(weight).halo()))
        .add(line(tail, foot, Pen::solid(weight)))
        .add(shape(&head, INK, None))
}

/// The box around a verdict's word, and how wide it is: black, double or plain.
pub(super) fn stamp(corner: Spot, verdict: Verdict, size: f64) -> (Group, f64) {
    let word = verdict.to_string().to_uppercase();
    let wide = letters::width(&word, size, true) + size;
    let high = 1.6 * size;
    let (fill, colour) = if verdict == Verdict::Fragile { (INK, PAPER) } else { (PAPER, INK) };
    let mut group = Group::new().add(rounded(corner, [wide, high], 0.8, fill, Pen::solid(0.35)));
    if verdict == Verdict::Careful {
        let inner = [corner[0] + 0.7, corner[1] + 0.7];
        group = group.add(rounded(inner, [wide - 1.4, high - 1.4], 0.5, fill, Pen::solid(0.3)));
    }
    let face = Type::bold(size).hung(Hang::Middle).in_colour(colour);
    (group.add(text([corner[0] + wide / 2.0, corner[1] + 1.16 * size], &word, face)), wide)
}
