//! Questions a size that looks wrong: drawings come out 25.4, 96/72 or 96/90 times too large or too small.

use std::fmt;

use super::{Reading, Scale};
use crate::units::{Length, LengthUnit};

/// A size that another reading of the drawing's unit makes more likely.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// Width and height of all wood as read.
    pub read: [Length; 2],
    /// How many times larger it would be.
    pub factor: f64,
    /// How that comes about: "inches were read as millimetres".
    pub mistake: &'static str,
    /// What to say if it is so: "--drawn-in in".
    pub say: String,
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [w, h] = self.read;
        let by = |side: Length| Length::mm(side.as_mm() * self.factor);
        write!(
            f,
            "Is the size right? As read it is {}. If {} it should be {}: then say {}.",
            size([w, h]),
            self.mistake,
            size([by(w), by(h)]),
            self.say
        )
    }
}

/// Both units, as a person compares them.
fn size([w, h]: [Length; 2]) -> String {
    format!("{:.2} x {:.2} mm ({:.3} x {:.3} in)", w.as_mm(), h.as_mm(), w.as_inch(), h.as_inch())
}

/// How sizes go wrong on their way between programs: the factor, and what was mistaken for what.
const MISTAKES: [(f64, &str, &str); 6] = [
    (25.4, "inches were read as millimetres", "25.4"),
    (1.0 / 25.4, "millimetres were read as inches", "1/25.4"),
    (96.0 / 72.0, "points (1/72 inch) were read as pixels (1/96 inch)", "96/72"),
    (72.0 / 96.0, "pixels (1/96 inch) were read as points (1/72 inch)", "72/96"),
    (96.0 / 90.0, "pixels of 1/90 inch were read as pixels of 1/96 inch", "96/90"),
    (90.0 / 96.0, "pixels of 1/96 inch were read as pixels of 1/90 inch", "90/96"),
];

/// A piece smaller than this in its larger direction, in mm, or larger, is rare in a small shop.
const USUAL: [f64; 2] = [15.0, 1300.0];

/// How many times as large a drawing of an unusual size would be of a usual one, had inches and millimetres been mistaken for each other.
pub(crate) fn inch_mistaken(size: f64) -> Option<f64> {
    let is_usual = |size: f64| (USUAL[0]..=USUAL[1]).contains(&size);
    [25.4, 1.0 / 25.4].into_iter().find(|times| !is_usual(size) && is_usual(size * times))
}

/// Sheets of paper, in mm.
const SHEETS: [[f64; 2]; 9] = [
    [148.0, 210.0],
    [210.0, 297.0],
    [297.0, 420.0],
    [420.0, 594.0],
    [594.0, 841.0],
    [841.0, 1189.0],
    [215.9, 279.4],
    [215.9, 355.6],
    [279.4, 431.8],
];

/// Pixels to the inch of programs that do not take 96, and what was mistaken for what where the page is a sheet of paper by them.
const OTHER_PIXELS: [(f64, &str); 2] = [
    (72.0, "its page, a sheet of paper in points (1/72 inch), was read in pixels (1/96 inch)"),
    (90.0, "its page, a sheet of paper in pixels of 1/90 inch, was read in pixels of 1/96 inch"),
];

/// Which of them the size of a page in pixels of 1/96 inch tells; none where it is a sheet of paper as it is.
fn other_pixels(page: [f64; 2]) -> Option<(f64, &'static str)> {
    /// Pages in whole pixels are rounded.
    const SLACK: f64 = 0.3;
    let is_sheet = |times: f64| {
        let [short, long] = [page[0].min(page[1]) * times, page[0].max(page[1]) * times];
        SHEETS.iter().any(|[w, h]| (short - w).abs() <= SLACK && (long - h).abs() <= SLACK)
    };
    let found = OTHER_PIXELS.into_iter().map(|(pixels, mistake)| (96.0 / pixels, mistake));
    found.into_iter().find(|(times, _)| is_sheet(*times)).filter(|_| !is_sheet(1.0))
}

impl Reading {
    /// The likeliest other size, when the one read looks wrong: it is smaller or larger than wood usually is, its page in pixels is a
    /// sheet of paper by another pixel, or neither side is a round number while another reading makes both round.
    ///
    /// This is a guess by rules of our own; nothing is asked when the user has said what the unit is.
    pub fn doubt(&self) -> Option<Doubt> {
        let read = self.size();
        let [w, h] = read.map(Length::as_mm);
        let told = matches!(self.scale, Scale::Told(_)) || self.enlarged;
        if told || w <= 0.0 || h <= 0.0 {
            return None;
        }
        let large = w.max(h);
        let as_read = roundness([w, h]);
        let likely = |factor: f64| {
            let other = roundness([w * factor, h * factor]);
            let usual = (USUAL[0]..=USUAL[1]).contains(&(large * factor));
            let unusual = !(USUAL[0]..=USUAL[1]).contains(&large) && !(0.2..=5.0).contains(&factor);
            // A size that is round as it is read raises no question: many are round in another unit as well.
            usual && (unusual || (other >= 3.0 && as_read <= 0.0))
        };
        let page = self.page_mm.filter(|_| matches!(self.scale, Scale::Pixels { .. })).and_then(other_pixels);
        let of_page = page.and_then(|(times, mistake)| {
            let known = MISTAKES.into_iter().find(|(factor, ..)| (factor - times).abs() < 1e-9);
            known.map(|(factor, _, ratio)| (factor, mistake, ratio))
        });
        let of_size = || MISTAKES.into_iter().find(|(factor, ..)| likely(*factor));
        let (factor, mistake, ratio) = of_page.or_else(of_size)?;
        let mm = self.mm_per_unit[0] * factor;
        let unit = LengthUnit::ALL.into_iter().find(|unit| (unit.in_mm() / mm - 1.0).abs() < 1e-6);
        let say = unit.map_or_else(|| format!("--scale {ratio}"), |unit| format!("--drawn-in {unit}"));
        Some(Doubt { read, factor, mistake, say })
    }
}

/// The coarsest step, in mm, that both sides are whole numbers of: of millimetres, or of an inch and its halves. 0
/// when they are round in neither.
fn roundness(sides: [f64; 2]) -> f64 {
    /// Half a line's width of slack.
    const SLACK: f64 = 0.02;
    const STEPS: [f64; 13] = [100.0, 76.2, 50.0, 25.4, 20.0, 12.7, 10.0, 6.35, 5.0, 3.175, 2.0, 1.5875, 1.0];
    let whole =
        |side: f64, step: f64| (side - (side / step).round() * step).abs() <= SLACK && side >= step - SLACK;
    STEPS.into_iter().find(|step| sides.iter().all(|side| whole(*side, *step))).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use crate::design::{Options, read_svg};

    fn asked(page: &str, w: f64, h: f64) -> Option<String> {
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" {page}><rect width="{w}" height="{h}"/></svg>"#
        );
        let design = read_svg("t.svg", svg.as_bytes(), &Options::default()).unwrap();
        design.reading.doubt().map(|doubt| doubt.to_string())
    }

    #[test]
    fn inches_taken_for_millimetres_are_asked_about() {
        let text = asked(r#"width="8mm" height="8mm" viewBox="0 0 8 8""#, 6.0, 4.0).unwrap();
        assert!(
            text.contains("As read it is 6.00 x 4.00 mm") && text.contains("152.40 x 101.60 mm"),
            "{text}"
        );
        assert!(text.ends_with(": then say --drawn-in in."), "{text}");
        assert!(
            asked(r#"width="90in" height="90in" viewBox="0 0 90 90""#, 88.0, 44.0)
                .unwrap()
                .contains("--drawn-in mm")
        );
    }

    #[test]
    fn other_pixels_are_asked_about_when_they_make_round_sizes() {
        // 150 x 100 mm in points and in pixels of 1/90 inch.
        let points = |mm: f64| mm / 25.4 * 72.0;
        let text = asked(r#"width="800" height="800""#, points(150.0), points(100.0)).unwrap();
        assert!(text.contains("150.00 x 100.00 mm") && text.contains("--drawn-in pt"), "{text}");
        let old = |mm: f64| mm / 25.4 * 90.0;
        let text = asked(r#"width="800" height="800""#, old(150.0), old(100.0)).unwrap();
        assert!(text.contains("150.00 x 100.00 mm") && text.contains("--scale 96/90"), "{text}");
    }

    /// Letter paper is 8.5 x 11 in, A4 210 x 297 mm: 612 x 792 and 595.28 x 841.89 points, and 744.09 x 1052.36 pixels of 1/90 inch.
    #[test]
    fn a_sheet_of_paper_by_another_pixel_is_asked_about() {
        for (page, pixel, say) in [
            ([612.0, 792.0], "points (1/72 inch)", "--drawn-in pt"),
            ([841.89, 595.28], "points (1/72 inch)", "--drawn-in pt"),
            ([744.09, 1052.36], "pixels of 1/90 inch", "--scale 96/90"),
        ] {
            let page = format!(r#"width="{}" height="{}""#, page[0], page[1]);
            let text = asked(&page, 333.3, 111.7).unwrap_or_default();
            assert!(text.contains(pixel) && text.contains(say), "{page}: {text}");
        }
        // A4 by 1/96 inch, and pages that are no paper.
        for page in [[793.7, 1122.5], [512.0, 512.0], [800.0, 600.0], [24.0, 24.0]] {
            let page = format!(r#"width="{}" height="{}""#, page[0], page[1]);
            assert_eq!(asked(&page, 333.3, 111.7), None, "{page}");
        }
        assert_eq!(asked(r#"width="612mm" height="792mm" viewBox="0 0 612 792""#, 333.3, 111.7), None);
    }

    #[test]
    fn usual_sizes_are_not_asked_about() {
        let mm = r#"width="400mm" height="400mm" viewBox="0 0 400 400""#;
        for (w, h) in [
            (150.0, 100.0),
            (305.0, 152.5),
            (37.3, 211.9),
            (152.4, 76.2),
            (88.9, 63.5),
            (127.0, 95.25),
            (44.0, 44.0),
            (30.0, 20.0),
        ] {
            assert_eq!(asked(mm, w, h), None, "{w} x {h}");
        }
    }
}
