//! What a piece bears at every grain angle, round a circle: the direction on the page is the grain's in the piece.

use svg::Document;
use svg::node::element::{ClipPath, Definitions, Group, Title};

use super::label::box_to_spot;
use super::letters::{self, clean};
use super::pen::{
    Hang, INK, PAPER, Pen, Spot, Type, WOOD, circle, digits, line, rings, rounded, shape, text,
    text_with_halo,
};
use super::words;
use crate::check::{Pushes, Verdict};
use crate::mend::{AtAngle, ProvedAngle, Turn};
use crate::shape::Shape;
use crate::units::Units;

/// All that the picture shows.
#[derive(Clone, Debug)]
pub struct PolarSheet<'a> {
    /// The drawing's name.
    pub title: &'a str,
    /// Wood, board and pushes, a sentence each.
    pub facts: &'a [String],
    /// The pushes the verdicts are for.
    pub pushes: &'a Pushes,
    /// Units for the reader.
    pub units: Units,
    /// Each piece by name, turned through every angle.
    pub pieces: &'a [(&'a str, &'a Shape, &'a Turn)],
    /// Sentences for the small print.
    pub cautions: &'a [&'a str],
}

/// Page margin, in mm.
const MARGIN: f64 = 10.0;
/// Radius of the circle of the best angle, in mm.
const RADIUS: f64 = 44.0;
/// Room for labels beside it, above and below it.
const BESIDE: f64 = 44.0;
const ABOVE: f64 = 15.0;
/// The box a piece is drawn in, and where it begins.
const THUMB: [f64; 2] = [62.0, 46.0];
const THUMB_X: f64 = 2.0 * (RADIUS + BESIDE) + 2.0;
/// Width of the whole.
const WIDE: f64 = THUMB_X + THUMB[0];
const LETTERS: f64 = 3.2;
const SMALL: f64 = 2.6;
/// More room than this beside a label is as good, in mm.
const CLEAR: f64 = 1.5;

/// Draws, for every piece, what it bears at every grain angle: a circle round which the page's directions are the grain's, the piece as it
/// lies and at its best beside it, and whether turning is enough.
///
/// Forces, angles and words only: nothing on it is to be measured with a ruler. It reads in black and white.
pub fn polar(sheet: &PolarSheet<'_>) -> String {
    let mut group = Group::new();
    let mut y = MARGIN;
    group = group.add(text([MARGIN, y + 5.0], sheet.title, Type::bold(6.0)));
    y += 8.0;
    for fact in sheet.facts {
        for words in letters::wrap(fact, LETTERS, WIDE) {
            y += 4.6;
            group = group.add(text([MARGIN, y], &words, Type::plain(LETTERS)));
        }
    }
    y += 5.0;
    for (k, (name, piece, turn)) in sheet.pieces.iter().enumerate() {
        let named = (sheet.pieces.len() > 1).then_some(*name);
        let (block, high) = block(sheet, named, piece, turn, k + 1);
        group = group.add(block.set("transform", format!("translate({} {})", digits(MARGIN), digits(y))));
        y += high + 6.0;
    }
    let (key, high) = key();
    group = group.add(key.set("transform", format!("translate({} {})", digits(MARGIN), digits(y))));
    y += high + 3.0;
    group = group.add(line([MARGIN, y], [MARGIN + WIDE, y], Pen::solid(0.2)));
    for caution in sheet.cautions {
        for words in letters::wrap(caution, 2.4, WIDE) {
            y += 3.2;
            group = group.add(text([MARGIN, y], &words, Type::plain(2.4)));
        }
    }
    let size = [WIDE + 2.0 * MARGIN, y + MARGIN];
    Document::new()
        .set("width", format!("{}mm", digits(size[0])))
        .set("height", format!("{}mm", digits(size[1])))
        .set("viewBox", format!("0 0 {} {}", digits(size[0]), digits(size[1])))
        .set("font-family", "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif")
        .add(Title::new(clean(sheet.title)))
        .add(rounded([0.0, 0.0], size, 0.0, PAPER, Pen::solid(0.0)))
        .add(group)
        .to_string()
        + "\n"
}

/// One piece: its answer, its circle, and the piece itself twice.
fn block(
    sheet: &PolarSheet<'_>,
    name: Option<&str>,
    piece: &Shape,
    turn: &Turn,
    number: usize,
) -> (Group, f64) {
    let mut group = Group::new();
    let headline = words::turning_headline(turn).to_uppercase();
    let headline = name.map_or_else(|| headline.clone(), |name| format!("{name}: {headline}"));
    group = group.add(text([0.0, 4.2], &headline, Type::bold(4.4)));
    let mut y = 5.4;
    for words in letters::wrap(&words::turning(turn), LETTERS, WIDE) {
        y += 4.6;
        group = group.add(text([0.0, y], &words, Type::plain(LETTERS)));
    }
    y += 2.0;
    let centre = [RADIUS + BESIDE, y + ABOVE + RADIUS];
    group = group.add(Plot { sheet, turn, centre }.draw());
    let same = turn.best.closed_form.deg == turn.present.closed_form.deg;
    let mut top = y + 3.0;
    let shown = [("as it lies", &turn.present, false), ("at its best", &turn.best, same)];
    for (words, angle, skipped) in shown {
        if skipped {
            continue;
        }
        let words = if same { "as it lies, which is its best" } else { words };
        group = group.add(thumb(
            piece,
            angle,
            words,
            [THUMB_X, top],
            sheet.units,
            &format!("{number}-{}", words.len()),
        ));
        top += THUMB[1] + 12.0;
    }
    (group, y + 2.0 * (RADIUS + ABOVE))
}

/// The circle of one piece.
struct Plot<'a> {
    sheet: &'a PolarSheet<'a>,
    turn: &'a Turn,
    centre: Spot,
}

impl Plot<'_> {
    fn draw(&self) -> Group {
        let mut group = Group::new();
        for tick in 0..12 {
            let deg = 30.0 * f64::from(tick);
            let pen = Pen::solid(0.12);
            group = group.add(line(self.at(deg, 0.06), self.at(deg, 1.0), pen));
            let spot = self.at(deg, 1.0 + 4.0 / RADIUS);
            let face = Type::plain(SMALL).hung(Hang::Middle);
            group = group.add(text([spot[0], spot[1] + 0.36 * SMALL], &format!("{deg:.0}°"), face));
        }
        let most = self.most();
        if !most.is_finite() || most <= 0.0 {
            let face = Type::plain(LETTERS).hung(Hang::Middle);
            return group.add(circle(self.centre, RADIUS, "none", Pen::solid(0.2))).add(text_with_halo(
                self.centre,
                "no weak place at any angle",
                face,
            ));
        }
        let marks = self.marks(most);
        let clear = self.clear_deg(most, &marks);
        for (over, label) in self.circles(most) {
            group =
                group.add(circle(self.centre, RADIUS * over / most, "none", Pen::dashed(0.15, "0.8 0.8")));
            let (spot, _) = self.label_spot(clear, over / most, &label, &marks);
            group = group.add(text_with_halo(
                [spot[0], spot[1] + 0.36 * SMALL],
                &label,
                Type::plain(SMALL).hung(Hang::Middle),
            ));
        }
        group = group.add(circle(self.centre, RADIUS, "none", Pen::solid(0.2)));
        let (closed, dots) = self.closed_form(most);
        group = group.add(closed);
        for (angle, pen, square) in self.proved() {
            let proved = angle.proved.over.min(most) / most;
            // Where no solid model was solved the number is the closed form's, which has its dot.
            let is_solved = angle.proved.weakest.is_none_or(|weakest| weakest.is_solved);
            for deg in [angle.closed_form.deg, angle.closed_form.deg + 180.0] {
                group = group.add(line(self.centre, self.at(deg, 1.0), pen));
                if !is_solved {
                    continue;
                }
                let [x, y] = self.at(deg, proved);
                let fill = if square == Verdict::Fragile { INK } else { PAPER };
                group = group.add(rounded([x - 1.3, y - 1.3], [2.6, 2.6], 0.0, fill, Pen::solid(0.4)));
                if square == Verdict::Careful {
                    group = group.add(rounded([x - 0.5, y - 0.5], [1.0, 1.0], 0.0, INK, Pen::solid(0.1)));
                }
            }
        }
        group.add(dots).add(self.labels())
    }

    /// Where the labels of circles stand clear of the curve, of the lines of proved angles and of their squares.
    fn clear_deg(&self, most: f64, marks: &[Spot]) -> f64 {
        let labels = self.circles(most);
        let clearance = |deg: f64| -> f64 {
            labels.iter().map(|(over, words)| self.label_spot(deg, over / most, words, marks).1).sum()
        };
        // Between the ticks, and a little off their middle; the first of equals is highest on the page to the right.
        let between = (0..12).flat_map(|k| [0.0, 5.0, -5.0].map(|off| 75.0 - 30.0 * f64::from(k) + off));
        between
            .fold((75.0, -1.0), |best, deg| {
                let clear = clearance(deg);
                if clear > best.1 + 1e-9 { (deg, clear) } else { best }
            })
            .0
    }

    /// Where the label of a circle goes in a direction, on the circle or else just inside or outside of it, and how much room is
    /// beside it there.
    fn label_spot(&self, deg: f64, part: f64, words: &str, marks: &[Spot]) -> (Spot, f64) {
        let half = [letters::width(words, SMALL, false) / 2.0, SMALL / 2.0];
        let room = |spot: Spot| marks.iter().map(|mark| box_to_spot(spot, half, *mark)).fold(CLEAR, f64::min);
        let beside = [0.0, -1.6, 1.6].map(|off| self.at(deg, part + off * SMALL / RADIUS));
        beside
            .into_iter()
            .map(|spot| (spot, room(spot)))
            .fold((beside[0], -1.0), |best, found| if found.1 > best.1 + 1e-9 { found } else { best })
    }

    /// Spots of everything that a label should not cover, about a millimetre apart.
    fn marks(&self, most: f64) -> Vec<Spot> {
        let part = |over: f64| over.min(most) / most;
        let angles = &self.turn.angles;
        let next = angles.iter().skip(1).chain(angles.first());
        let curve = angles.iter().zip(next).flat_map(|(from, to)| {
            let step = (to.deg - from.deg).rem_euclid(180.0);
            (0..6).map(move |k| {
                let way = f64::from(k) / 6.0;
                (from.deg + way * step, part(from.over) + way * (part(to.over) - part(from.over)))
            })
        });
        let proved = [&self.turn.present, &self.turn.best, &self.turn.worst].into_iter().flat_map(|angle| {
            // A square reaches to either side of its line.
            let square = [-2.0, 2.0].map(|off| (angle.closed_form.deg + off, part(angle.proved.over)));
            (0..=44).map(move |k| (angle.closed_form.deg, f64::from(k) / 44.0)).chain(square)
        });
        curve.chain(proved).flat_map(|(deg, part)| [deg, deg + 180.0].map(|deg| self.at(deg, part))).collect()
    }

    /// A direction of the page, and a part of the radius.
    fn at(&self, deg: f64, part: f64) -> Spot {
        let (sin, cos) = deg.to_radians().sin_cos();
        [self.centre[0] + RADIUS * part * cos, self.centre[1] - RADIUS * part * sin]
    }

    /// What the rim stands for: the most that any angle bears, over the push.
    fn most(&self) -> f64 {
        let proved = [&self.turn.present, &self.turn.best, &self.turn.worst].map(|angle| angle.proved.over);
        let all = self.turn.angles.iter().map(|angle| angle.over).chain(proved);
        all.filter(|over| over.is_finite()).fold(0.0, f64::max) * 1.04
    }

    /// Circles at round forces; where face and side are pushed differently, at multiples of the push.
    fn circles(&self, most: f64) -> Vec<(f64, String)> {
        let (face, side) = (self.sheet.pushes.face.as_n(), self.sheet.pushes.side.as_n());
        let one = if (face - side).abs() < 1e-9 * face {
            match self.sheet.units {
                Units::Metric => face,
                Units::Inch => self.sheet.pushes.face.as_lbf(),
            }
        } else {
            1.0
        };
        let unit = if one == 1.0 && face != 1.0 { "× push" } else { self.sheet.units.force_unit() };
        let step = round_step(most * one / 4.0);
        let count = (most * one / step).floor() as usize;
        (1..=count)
            .map(|k| step * k as f64)
            .filter(|value| *value / one < 0.97 * most)
            .map(|value| (value / one, format!("{} {unit}", digits(value))))
            .collect()
    }

    /// The closed form all round, and a dot for the verdict at every angle.
    fn closed_form(&self, most: f64) -> (svg::node::element::Element, Group) {
        let angles = &self.turn.angles;
        let all = angles.iter().map(|angle| (angle.deg, angle));
        let round: Vec<(f64, &AtAngle)> =
            all.clone().chain(all.map(|(deg, angle)| (deg + 180.0, angle))).collect();
        let spot = |deg: f64, angle: &AtAngle| self.at(deg, angle.over.min(most) / most);
        let ring: Vec<Spot> = round.iter().map(|(deg, angle)| spot(*deg, angle)).collect();
        let curve = shape(&rings([ring]), "none", Some(Pen::solid(0.3)));
        let mut dots = Group::new();
        for (deg, angle) in round {
            let [x, y] = spot(deg, angle);
            dots = match angle.verdict {
                Verdict::Fragile => dots.add(circle([x, y], 0.65, INK, Pen::solid(0.15))),
                Verdict::Careful => dots.add(circle([x, y], 0.75, PAPER, Pen::solid(0.2))).add(circle(
                    [x, y],
                    0.25,
                    INK,
                    Pen::solid(0.1),
                )),
                Verdict::Sound => dots.add(circle([x, y], 0.75, PAPER, Pen::solid(0.2))),
            };
        }
        (curve, dots)
    }

    /// The angles the solid model proved, each with its line and its verdict.
    fn proved(&self) -> Vec<(&ProvedAngle, Pen, Verdict)> {
        let turn = self.turn;
        let mut all = vec![(&turn.worst, WORST, turn.worst.proved.verdict)];
        if turn.best.closed_form.deg != turn.present.closed_form.deg {
            all.push((&turn.best, BEST, turn.best.proved.verdict));
        }
        all.push((&turn.present, PRESENT, turn.present.proved.verdict));
        all
    }

    /// Present, best and worst outside the circle, each on the free end of its line.
    fn labels(&self) -> Group {
        let turn = self.turn;
        let (present, best, worst) =
            (turn.present.closed_form.deg, turn.best.closed_form.deg, turn.worst.closed_form.deg);
        let mut all = vec![(present, "as it lies", &turn.present)];
        if best == present {
            all[0].1 = "as it lies, the best";
        } else {
            all.push((best, "best", &turn.best));
        }
        if worst == present {
            all[0].1 = "as it lies, the worst";
        } else if worst != best {
            all.push((worst, "worst", &turn.worst));
        }
        let mut taken: Vec<f64> = Vec::new();
        let mut group = Group::new();
        for (deg, name, angle) in all {
            let free = |deg: f64| {
                let nearest =
                    taken.iter().map(|other| ((deg - other + 180.0).rem_euclid(360.0) - 180.0).abs());
                nearest.fold(360.0, f64::min)
            };
            let deg = if free(deg) >= free(deg + 180.0).min(25.0) { deg } else { deg + 180.0 };
            taken.push(deg);
            let spot = self.at(deg, 1.0 + 8.5 / RADIUS);
            let cos = deg.to_radians().cos();
            let hang = if cos > 0.2 {
                Hang::Start
            } else if cos < -0.2 {
                Hang::End
            } else {
                Hang::Middle
            };
            let up = 2.0 * deg.to_radians().sin().max(0.0);
            let first = format!("{name}: {}", words::degrees(angle.closed_form.deg));
            let second = words::bears(self.sheet.units, &angle.proved);
            group = group
                .add(text_with_halo([spot[0], spot[1] - up], &first, Type::bold(2.9).hung(hang)))
                .add(text_with_halo([spot[0], spot[1] - up + 3.6], &second, Type::plain(2.7).hung(hang)));
        }
        group
    }
}

/// How the three proved angles are drawn.
const PRESENT: Pen = Pen::dashed(0.6, "3 1.4");
const BEST: Pen = Pen::solid(0.8);
const WORST: Pen = Pen::dashed(0.6, "0.7 1.1");

/// A round step near a value: 1, 2 or 5 with noughts.
fn round_step(value: f64) -> f64 {
    let tens = 10_f64.powf(value.log10().floor());
    let part = value / tens;
    tens * if part < 1.5 {
        1.0
    } else if part < 3.5 {
        2.0
    } else if part < 7.5 {
        5.0
    } else {
        10.0
    }
}

/// A piece with its grain, as large as its box allows, and what it bears.
fn thumb(piece: &Shape, angle: &ProvedAngle, name: &str, corner: Spot, units: Units, key: &str) -> Group {
    let [x0, y0, x1, y1] = super::piece::bounds(piece);
    let scale = (THUMB[0] / (x1 - x0)).min(THUMB[1] / (y1 - y0)).min(2.0);
    let spot = |x: f64, y: f64| {
        [corner[0] + (THUMB[0] - scale * (x1 - x0)) / 2.0 + scale * (x - x0), corner[1] + scale * (y1 - y)]
    };
    let outline = rings(piece.rings().map(|ring| {
        let open = &ring.0[..ring.0.len().saturating_sub(1)];
        open.iter().map(|c| spot(c.x, c.y)).collect::<Vec<Spot>>()
    }));
    let key = format!("grain-{key}");
    let clip = ClipPath::new()
        .set("id", key.as_str())
        .add(svg::node::element::Path::new().set("d", outline.as_str()).set("clip-rule", "evenodd"));
    let (sin, cos) = angle.closed_form.deg.to_radians().sin_cos();
    let middle = spot(f64::midpoint(x0, x1), f64::midpoint(y0, y1));
    let reach = scale * (x1 - x0).hypot(y1 - y0) / 2.0;
    let mut grain = Group::new().set("clip-path", format!("url(#{key})"));
    let count = (reach / 1.8).ceil() as i32;
    for k in -count..=count {
        let shift = 1.8 * f64::from(k);
        let foot = [middle[0] + sin * shift, middle[1] + cos * shift];
        let (from, to) =
            ([foot[0] - cos * reach, foot[1] + sin * reach], [foot[0] + cos * reach, foot[1] - sin * reach]);
        grain = grain.add(line(from, to, Pen::solid(0.15).in_colour(super::pen::GRAIN)));
    }
    let high = scale * (y1 - y0);
    let centre = corner[0] + THUMB[0] / 2.0;
    let first = format!("{name}: grain {}", words::degrees(angle.closed_form.deg));
    let second = format!("{}, {}", words::bears(units, &angle.proved), angle.proved.verdict);
    Group::new()
        .add(Definitions::new().add(clip))
        .add(shape(&outline, WOOD, None))
        .add(grain)
        .add(shape(&outline, "none", Some(Pen::solid(0.3))))
        .add(text([centre, corner[1] + high + 4.2], &first, Type::bold(2.9).hung(Hang::Middle)))
        .add(text([centre, corner[1] + high + 7.8], &second, Type::plain(2.7).hung(Hang::Middle)))
}

/// What lines and dots mean.
fn key() -> (Group, f64) {
    let dot = |verdict: Verdict| {
        let at = [6.0, 0.0];
        let dots = Group::new();
        match verdict {
            Verdict::Fragile => dots.add(circle(at, 0.65, INK, Pen::solid(0.15))),
            Verdict::Careful => {
                dots.add(circle(at, 0.75, PAPER, Pen::solid(0.2))).add(circle(at, 0.25, INK, Pen::solid(0.1)))
            }
            Verdict::Sound => dots.add(circle(at, 0.75, PAPER, Pen::solid(0.2))),
        }
    };
    let stroke = |pen: Pen| Group::new().add(line([0.0, 0.0], [12.0, 0.0], pen));
    let square = Group::new().add(rounded([4.7, -1.3], [2.6, 2.6], 0.0, PAPER, Pen::solid(0.4)));
    let samples: [(Group, &str); 8] = [
        (stroke(Pen::solid(0.3)), "what it bears with the grain that way: closed form"),
        (dot(Verdict::Fragile), "fragile: risk over 20 %"),
        (stroke(PRESENT), "as it lies"),
        (dot(Verdict::Careful), "careful: risk 1 to 20 %"),
        (stroke(BEST), "best"),
        (dot(Verdict::Sound), "sound: risk under 1 %"),
        (stroke(WORST), "worst"),
        (square, "square: proved by the solid model, filled as the dots are"),
    ];
    let mut group = Group::new();
    for (k, (sample, words)) in samples.into_iter().enumerate() {
        let (x, y) = (if k % 2 == 0 { 0.0 } else { 112.0 }, 3.0 + 5.0 * (k / 2) as f64);
        group = group
            .add(sample.set("transform", format!("translate({} {})", digits(x), digits(y))))
            .add(text([x + 15.0, y + 1.0], words, Type::plain(2.8)));
    }
    (group, 20.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_lie_at_round_forces() {
        assert_eq!(
            [round_step(12.0), round_step(27.0), round_step(61.0), round_step(0.9)],
            [10.0, 20.0, 50.0, 1.0]
        );
    }
}
