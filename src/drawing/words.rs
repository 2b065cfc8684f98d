//! Lengths, forces and risks as a person at the bench reads them.
//!
//! Wood is known to about a third, so a strength has no decimals and a risk is rounded; a length has the
//! digits a caliper shows.

mod cracking;
mod mending;
mod ordering;
mod seasons;
mod tally;
mod turning;

pub use super::numbers::numbers;
pub use cracking::after_cracks;
pub use mending::{cheapest, cures_of_all, declined, kind, lost, places, remedy};
pub use ordering::{Told, empty_pockets, steps};
pub use seasons::{reaches, seasons, short_reaches};
pub use tally::tally;
pub use turning::{bears, degrees, turning, turning_headline};

pub use crate::check::words::{listed, short_by};

use crate::check::{Finding, Place, Push, PushKind};
use crate::units::{Force, Length, Stress, Units};
use crate::wood::Rings;

/// No hand pushes harder than this, in N; a greater number would only look exact.
const BEYOND_HAND: f64 = 20_000.0;

/// How a board is sawn: `quarter-sawn`.
pub const fn sawn(rings: Rings) -> &'static str {
    match rings {
        Rings::Unknown => "rings not known",
        Rings::Flat => "flat-sawn",
        Rings::Quarter => "quarter-sawn",
        Rings::Rift => "rift-sawn",
    }
}

/// A measured length: `6.4 mm`, `0.252 in`.
pub fn length(units: Units, mm: f64) -> String {
    units.length(Length::mm(mm))
}

/// A measured length without its unit, for a table whose head names it.
pub fn bare_length(units: Units, mm: f64) -> String {
    let text = length(units, mm);
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// A length of a fit: `12.05 mm`, `0.474 in`.
pub fn fit_length(units: Units, mm: f64) -> String {
    match units {
        // Half a hundredth goes up, whatever its last bit.
        Units::Metric => format!("{:.2} mm", (mm * 100.0 * (1.0 + 8.0 * f64::EPSILON)).round() / 100.0 + 0.0),
        Units::Inch => length(units, mm),
    }
}

/// A given size, without digits that were not given: `19 mm`, `0.75 in`.
pub fn size(units: Units, mm: f64) -> String {
    let (value, digits) = match units {
        Units::Metric => (mm, 2),
        Units::Inch => (Length::mm(mm).as_inch(), 3),
    };
    format!("{} {}", trimmed(value, digits), units.length_unit())
}

/// A given force, at most one decimal: `45 N`, `10 lbf`.
pub fn given_force(units: Units, newtons: f64) -> String {
    let value = in_units(units, newtons);
    format!("{} {}", trimmed(value, 1), units.force_unit())
}

/// A strength, with no decimals: `31 N`, `7 lbf`. Above 100 it is rounded to fives, above 1000 to fifties.
pub fn strength(units: Units, newtons: f64) -> String {
    let (value, unit) = (in_units(units, newtons), units.force_unit());
    if value.is_nan() {
        return "not known".to_owned();
    }
    if newtons > BEYOND_HAND {
        return format!("over {} {unit}", if units == Units::Metric { 20_000 } else { 4_500 });
    }
    if value < 1.0 {
        return format!("under 1 {unit}");
    }
    let step = if value < 100.0 {
        1.0
    } else if value < 1000.0 {
        5.0
    } else {
        50.0
    };
    format!("{:.0} {unit}", (value / step).round() * step)
}

/// A strength in a sentence: `about 31 N`, but `under 1 N`.
pub fn about(units: Units, newtons: f64) -> String {
    let strength = strength(units, newtons);
    if strength.starts_with(|c: char| c.is_ascii_digit()) { format!("about {strength}") } else { strength }
}

/// What a push breaks its place at, marked with `~` where no solid model stands behind it: `31 N`, `~315 N`.
pub fn breaks_at(units: Units, push: &Push) -> String {
    marked(strength(units, push.breaks_at_n), push.solved.is_some())
}

/// A figure with the mark of those that no solid model stands behind.
pub fn marked(figure: String, is_solved: bool) -> String {
    if is_solved { figure } else { format!("~{figure}") }
}

/// What [`marked`] means.
pub const MARK: &str = "~ by the closed form alone, which may read several times as strong.";

/// What [`marked`] means among places.
pub const MARK_AMONG_PLACES: &str =
    "~ by the closed form alone, which may read several times as strong: no solid model was solved there.";

/// What the mark of [`breaks_at`] means, where one of its figures bears it.
pub fn mark_of_closed_form<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Option<&'static str> {
    let mut places = findings.into_iter().flat_map(|finding| &finding.places);
    places
        .any(|place| place.face.solved.is_none() || place.side.solved.is_none())
        .then_some(MARK_AMONG_PLACES)
}

/// A stress, to a tenth of a MPa or ten psi.
pub fn stress(units: Units, mpa: f64) -> String {
    // Adding nought turns -0 into 0.
    match units {
        Units::Metric => format!("{:.1} MPa", (mpa * 10.0).round() / 10.0 + 0.0),
        Units::Inch => format!("{} psi", psi(mpa)),
    }
}

fn psi(mpa: f64) -> String {
    format!("{:.0}", (Stress::mpa(mpa).as_psi() / 10.0).round() * 10.0 + 0.0)
}

/// A risk: `under 1 %`, `about 7 %`, `over 99 %`. It is rounded to the nearest percent, from 10 % on to the nearest five, but never to
/// nothing nor to a certainty, and never across the risk that tells fragile from careful.
pub fn risk(risk: f64) -> String {
    if risk.is_nan() {
        "not known".to_owned()
    } else if risk < 0.01 {
        "under 1 %".to_owned()
    } else if risk > 0.99 {
        "over 99 %".to_owned()
    } else if risk < 0.10 {
        format!("about {:.0} %", (risk * 100.0).round())
    } else if risk > 0.20 && risk < 0.225 {
        "over 20 %".to_owned()
    } else if risk < 0.975 {
        format!("about {:.0} %", (risk * 20.0).round() * 5.0)
    } else {
        format!("about {:.0} %", risk * 100.0)
    }
}

/// A sentence of the library, which speaks in millimetres, newtons, megapascals and degrees Celsius, in the reader's units: `reaches 11 mm past`
/// becomes `reaches 0.43 in past`.
pub fn sentence(units: Units, metric: &str) -> String {
    sentence_to(units, metric, 2)
}

/// Remarks of the library, each said in the reader's units.
pub fn sentences<T: ToString>(units: Units, remarks: &[T]) -> Vec<String> {
    remarks.iter().map(|remark| sentence(units, &remark.to_string())).collect()
}

/// The same as [`sentence`] for sentences about a fit, which is made to a thousandth of an inch: `0.05 mm a side` becomes `0.002 in a side`.
pub fn fit_sentence(units: Units, metric: &str) -> String {
    sentence_to(units, metric, 3)
}

fn sentence_to(units: Units, metric: &str, digits: usize) -> String {
    if units == Units::Metric {
        return metric.to_owned();
    }
    let mut words: Vec<String> = metric.split(' ').map(str::to_owned).collect();
    for i in 1..words.len() {
        if let Some(after) = unit(&words[i], "mm") {
            let inches = |mm: f64| format!("{:.digits$}", Length::mm(mm).as_inch());
            if turned(&mut words, i, inches) {
                words[i] = format!("in{after}");
            }
        } else if let Some(after) = unit(&words[i], "N")
            && turned(&mut words, i, |n| format!("{:.0}", Force::n(n).as_lbf()))
        {
            words[i] = format!("lbf{after}");
        } else if let Some(after) = unit(&words[i], "MPa")
            && turned(&mut words, i, psi)
        {
            words[i] = format!("psi{after}");
        } else if let Some(after) = unit(&words[i], "°C")
            && turned(&mut words, i, |c| format!("{:.0}", fahrenheit(c)))
        {
            words[i] = format!("°F{after}");
        }
    }
    words.join(" ")
}

/// A temperature, the reader's own scale first: `20 °C, 68 °F`.
pub fn temperature(units: Units, celsius: f64) -> String {
    let [c, f] = [format!("{celsius:.0} °C"), format!("{:.0} °F", fahrenheit(celsius))];
    match units {
        Units::Metric => format!("{c}, {f}"),
        Units::Inch => format!("{f}, {c}"),
    }
}

fn fahrenheit(celsius: f64) -> f64 {
    32.0 + 1.8 * celsius
}

/// Where a push acts: `on the face`, `on a side`.
pub const fn on(kind: PushKind) -> &'static str {
    match kind {
        PushKind::Face => "on the face",
        PushKind::Side => "on a side",
    }
}

/// What follows a unit in its word: neither an area nor another word.
fn unit(word: &str, unit: &str) -> Option<String> {
    let after = word.strip_prefix(unit)?;
    let other = after.starts_with(|c: char| c.is_alphanumeric() || "²³".contains(c));
    (!other).then(|| after.to_owned())
}

/// Turns the number before a unit, and the other one of `from 50 to 100 mm` and of `at 30, 40 mm`; false where there is no number.
fn turned(words: &mut [String], unit: usize, turn: impl Fn(f64) -> String) -> bool {
    // A number may stand behind a bracket and have its thousands apart.
    let number = |word: &str| {
        let digits = word.trim_start_matches('(');
        let value = digits.replace(',', "").parse::<f64>().ok()?;
        Some(format!("{}{}", &word[..word.len() - digits.len()], turn(value)))
    };
    let Some(last) = number(&words[unit - 1]) else { return false };
    words[unit - 1] = last;
    if unit >= 3
        && words[unit - 2] == "to"
        && let Some(first) = number(&words[unit - 3])
    {
        words[unit - 3] = first;
    } else if unit >= 2
        && let Some(first) = words[unit - 2].strip_suffix(',').and_then(number)
    {
        words[unit - 2] = format!("{first},");
    }
    true
}

fn in_units(units: Units, newtons: f64) -> f64 {
    match units {
        Units::Metric => newtons,
        Units::Inch => Force::n(newtons).as_lbf(),
    }
}

fn trimmed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// What a table says of a place, in this order: width, crossing angle, the force and risk of a face push, those of
/// a side push, verdict. Report and sheet share it, so they cannot differ.
pub fn answers(units: Units, place: &Place) -> [String; 7] {
    [
        length(units, place.width_mm),
        format!("{:.0}°", place.crossing_deg),
        breaks_at(units, &place.face),
        risk(place.face.risk),
        breaks_at(units, &place.side),
        risk(place.side.risk),
        place.verdict.to_string(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strength_is_said_no_finer_than_it_is_known() {
        assert_eq!(strength(Units::Metric, 31.4), "31 N");
        assert_eq!(strength(Units::Metric, 118.0), "120 N");
        assert_eq!(strength(Units::Metric, 1234.0), "1250 N");
        assert_eq!(strength(Units::Metric, 0.2), "under 1 N");
        assert_eq!(strength(Units::Metric, f64::INFINITY), "over 20000 N");
        assert_eq!(strength(Units::Metric, f64::NAN), "not known");
        assert_eq!(strength(Units::Inch, 31.4), "7 lbf");
    }

    #[test]
    fn nothing_is_about_less_than_something() {
        assert_eq!(about(Units::Metric, 31.4), "about 31 N");
        assert_eq!(about(Units::Metric, 0.2), "under 1 N");
        assert_eq!(about(Units::Metric, 1e6), "over 20000 N");
    }

    #[test]
    fn what_no_solid_model_answered_is_marked() {
        let shape = crate::drawing::sample::plate(1);
        let mut finding = crate::drawing::sample::finding(&shape, 1);
        assert_eq!(answers(Units::Metric, &finding.places[0])[2], "~31 N");
        assert!(mark_of_closed_form([&finding]).is_some_and(|mark| mark.starts_with("~ by the closed form")));
        let solved = crate::drawing::sample::solved();
        finding.places[0].face.solved = Some(solved.clone());
        assert!(mark_of_closed_form([&finding]).is_some(), "its side push bears the mark still");
        finding.places[0].side.solved = Some(solved);
        assert_eq!(answers(Units::Metric, &finding.places[0])[2], "31 N");
        assert_eq!(mark_of_closed_form([&finding]), None);
    }

    #[test]
    fn the_default_push_is_ten_pounds() {
        assert_eq!(given_force(Units::Metric, 45.0), "45 N");
        // 45 / 4.448 = 10.12: said to a tenth.
        assert_eq!(given_force(Units::Inch, 45.0), "10.1 lbf");
    }

    #[test]
    fn a_given_size_keeps_the_digits_it_was_given() {
        assert_eq!(size(Units::Metric, 19.0), "19 mm");
        assert_eq!(size(Units::Metric, 19.05), "19.05 mm");
        assert_eq!(size(Units::Inch, 19.05), "0.75 in");
        assert_eq!(size(Units::Metric, 100.0), "100 mm");
    }

    #[test]
    fn a_sentence_comes_in_the_units_of_its_reader() {
        let metric = "It reaches 11 mm past the line, 3.5 mm; from 50 to 100 mm think of 2 inserts; 5 mm² and mm stay.";
        assert_eq!(sentence(Units::Metric, metric), metric);
        assert_eq!(
            sentence(Units::Inch, metric),
            "It reaches 0.43 in past the line, 0.14 in; from 1.97 to 3.94 in think of 2 inserts; 5 mm² and mm stay."
        );
        let both = |metric: &str| sentence(Units::Inch, metric);
        assert_eq!(both("breaks at 30, 40 mm."), "breaks at 1.18, 1.57 in.");
        // 45 / 4.448 = 10.1.
        assert_eq!(both("bears 45 N, then 4.2 mm² of it"), "bears 10 lbf, then 4.2 mm² of it");
        assert_eq!(both("at N, 5 mm"), "at N, 0.20 in");
        // 4.6 · 145.04 = 667, 8960 · 145.04 = 1 299 500, 35.2 · 145.04 = 5105: to ten psi.
        assert_eq!(both("the nearest relative has 4.6 MPa."), "the nearest relative has 670 psi.");
        assert_eq!(both("a stiffness of 8,960 MPa (35.2 MPa)"), "a stiffness of 1299540 psi (5110 psi)");
        assert_eq!(both("in N, mm and MPa"), "in N, mm and MPa");
        assert_eq!(both("above about 60 °C, from 5 to 50 °C."), "above about 140 °F, from 41 to 122 °F.");
    }

    #[test]
    fn a_temperature_comes_first_in_the_scale_of_its_reader() {
        assert_eq!(temperature(Units::Metric, 20.0), "20 °C, 68 °F");
        assert_eq!(temperature(Units::Inch, 20.0), "68 °F, 20 °C");
    }

    #[test]
    fn a_risk_is_never_rounded_across_the_line_of_its_verdict() {
        assert_eq!(risk(0.004), "under 1 %");
        assert_eq!(risk(0.000_1), "under 1 %");
        assert_eq!(risk(0.014), "about 1 %");
        assert_eq!(risk(0.048_2), "about 5 %");
        assert_eq!(risk(0.068), "about 7 %");
        assert_eq!(risk(0.098), "about 10 %");
        assert_eq!(risk(0.43), "about 45 %");
        assert_eq!(risk(0.198), "about 20 %");
        assert_eq!(risk(0.201), "over 20 %");
        assert_eq!(risk(0.98), "about 98 %");
        assert_eq!(risk(0.988), "about 99 %");
        assert_eq!(risk(0.999), "over 99 %");
    }
}
