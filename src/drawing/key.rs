//! What the marks of a sheet mean, only those that occur.

use svg::node::element::Group;

use super::letters;
use super::mark;
use super::pen::{Type, digits, line, text};
use super::picture::{GAP, Page};
use super::piece::{self, INSERT};
use super::words;
use crate::check::{Finding, Place, PushKind, Verdict};
use crate::units::Units;

/// Draws the key to the marks of every finding on a sheet, and of boards glued on a back where there are some.
pub(super) fn key(page: &mut Page, findings: &[&Finding], boards: bool, units: Units, inner: f64) {
    if findings.iter().all(|finding| finding.places.is_empty()) {
        return;
    }
    let mut samples = samples(findings);
    if boards {
        samples.push((dashed(), "part backer on the back"));
    }
    let widest = samples.iter().map(|(_, words)| letters::width(words, 2.8, false)).fold(0.0, f64::max);
    let cell = 13.5 + widest + 4.0;
    let columns = (inner / cell).floor().max(1.0);
    let mut group = Group::new();
    let (mut column, mut y) = (0.0, 5.0);
    for (sample, words) in samples {
        if column >= columns {
            (column, y) = (0.0, y + 8.0);
        }
        let x = column * cell;
        group = group
            .add(sample.set("transform", format!("translate({} {})", digits(x), digits(y))))
            .add(text([x + 15.0, y + 1.0], words, Type::plain(2.8)));
        column += 1.0;
    }
    y += 6.0;
    for words in notes(findings, units).iter().flat_map(|note| letters::wrap(note, 2.6, inner)) {
        y += 2.0;
        group = group.add(text([0.0, y], &words, Type::plain(2.6)));
        y += 1.8;
    }
    page.add(group, 0.0, y + GAP);
}

/// Every mark that occurs, with what it means.
fn samples(findings: &[&Finding]) -> Vec<(Group, &'static str)> {
    let places = || findings.iter().flat_map(|finding| &finding.places);
    let mut samples: Vec<(Group, &str)> = Vec::new();
    for (verdict, words) in [
        (Verdict::Fragile, "fragile: risk over 20 %"),
        (Verdict::Careful, "careful: risk 1 to 20 %"),
        (Verdict::Sound, "sound: risk under 1 %"),
    ] {
        if places().any(|place| place.verdict == verdict) {
            let ring = mark::ring([4.0, 0.0], 2.6, verdict);
            samples.push((Group::new().add(ring).add(mark::badge([10.6, 0.0], "1", verdict)), words));
        }
    }
    for (kind, words) in
        [(PushKind::Face, "breaks here under a face push"), (PushKind::Side, "breaks here under a side push")]
    {
        if findings.iter().any(|finding| piece::breaks_under(finding, kind)) {
            samples.push((Group::new().add(mark::break_line([0.5, 0.0], [13.0, 0.0], kind)), words));
        }
    }
    // Wherever there is a place the pushes of the weakest are shown.
    samples.push((mark::pad([6.6, 0.0], 3.0), "face push, with the place it breaks"));
    samples.push((mark::arrow([1.5, 0.0], [11.5, 0.0], 0.7), "side push, with the place it breaks"));
    if places().any(|place: &Place| place.insert.is_some()) {
        samples.push((dashed(), "insert in the back"));
    }
    samples
}

/// The edge of what is glued in or on.
fn dashed() -> Group {
    Group::new().add(line([0.5, 0.0], [13.0, 0.0], INSERT))
}

/// What the marks leave unsaid.
fn notes(findings: &[&Finding], units: Units) -> Vec<String> {
    let mut drawn =
        "Where both pushes break one line, it is drawn for the push that is the greater risk.".to_owned();
    if findings.iter().any(|finding| piece::breaks_afar(finding)) {
        drawn
            .push_str(" A line with a number and \"breaks\" is where that place breaks, away from its ring.");
    }
    let shown: usize = findings.iter().map(|finding| piece::shown_pushes(finding, units).len()).sum();
    if shown < findings.iter().map(|finding| finding.places.len()).sum() {
        drawn.push_str(" Pushes are shown for the weakest places only, and for one of several alike.");
    }
    let mark = words::mark_of_closed_form(findings.iter().copied());
    std::iter::once(drawn).chain(mark.map(str::to_owned)).collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    fn words(finding: &Finding) -> Vec<&'static str> {
        samples(&[finding]).into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn the_key_lists_the_marks_that_occur_and_no_others() {
        let mut finding = sample::finding(&sample::plate(2), 2);
        let verdicts = |finding: &mut Finding, verdict| {
            finding.places.iter_mut().for_each(|place| place.verdict = verdict);
        };
        verdicts(&mut finding, Verdict::Careful);
        finding.places.iter_mut().for_each(|place| place.insert = None);
        let pushes = ["face push, with the place it breaks", "side push, with the place it breaks"];
        let lines = ["breaks here under a face push", "breaks here under a side push"];
        let careful = "careful: risk 1 to 20 %";
        assert_eq!(words(&finding), [&[careful], lines.as_slice(), &pushes].concat());
        // One line for both pushes is drawn for the push that governs.
        for place in &mut finding.places {
            place.face.risk = place.side.risk + 0.1;
            place.side.break_line = place.face.break_line.clone();
        }
        assert_eq!(words(&finding), [&[careful, lines[0]], pushes.as_slice()].concat());
        verdicts(&mut finding, Verdict::Fragile);
        finding.places[1].verdict = Verdict::Sound;
        finding.places[0].insert = Some(sample::insert(30.0));
        assert_eq!(
            words(&finding),
            [
                &["fragile: risk over 20 %", "sound: risk under 1 %", lines[0]],
                pushes.as_slice(),
                &["insert in the back"]
            ]
            .concat()
        );
    }
}
