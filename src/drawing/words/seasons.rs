//! What the seasons do to a glued remedy, in sentences.

use super::{fit_length, length, places, sentence};
use crate::mend::{GluedJoint, Seasons};
use crate::season::{Held, Trade, Word};
use crate::units::Units;

/// The word for its joints, the layer that fares worst, and how the piece cups.
pub fn seasons(units: Units, found: &Seasons) -> String {
    let same = found.joints.iter().filter(|joint| worst(joint).1.word == found.word).count();
    let joints = match (same, found.joints.len()) {
        (_, 1) => String::new(),
        (2, 2) => ", both joints".to_owned(),
        (same, all) if same == all => format!(", all {all} joints"),
        (same, all) => format!(", {same} of {all} joints"),
    };
    let worst = found.joints.iter().map(worst).max_by(|a, b| a.1.by_harm(b.1));
    let pulled = worst.map_or_else(String::new, |(name, held)| {
        let thin = if held.stress_part > 1.0 && held.word == Word::Think {
            format!(": more than {} bear{}, but too thin to have the energy to split", if is_many(name) { "they" } else { "it" }, if is_many(name) { "" } else { "s" })
        } else {
            String::new()
        };
        format!(
            " The {name} want{} to move {} against {} neighbour over {} and {} pulled across the grain to {:.0} % of {} strength{thin}.",
            if is_many(name) { "" } else { "s" },
            fit_length(units, held.mismatch.abs()),
            if is_many(name) { "their" } else { "its" },
            length(units, held.width),
            if is_many(name) { "are" } else { "is" },
            100.0 * held.stress_part,
            if is_many(name) { "their" } else { "its" },
        )
    });
    format!("Over the seasons: {}{joints}.{pulled} {}", found.word, cup(units, found))
}

/// Less than this is no cup to a bench rule, in mm.
const SEEN: f64 = 0.05;

fn cup(units: Units, found: &Seasons) -> String {
    let cup = &found.cup;
    if cup.rise_mm < SEEN {
        return "It stays flat.".to_owned();
    }
    let flat = if cup.is_flat() {
        "flat enough".to_owned()
    } else {
        let [rise, limit] = [cup.rise_mm, cup.limit_mm()].map(|mm| fit_length(units, mm));
        format!("{} than the {limit} that we call flat", if rise == limit { "a hair more" } else { "more" })
    };
    format!(
        "It cups by about {} over {}, {} hollow when dry: {flat}.",
        fit_length(units, cup.rise_mm),
        length(units, cup.over_mm),
        if cup.face_hollow_when_dry { "face" } else { "back" },
    )
}

/// Inserts and part backers that reach less far past a break line than they should, a sentence each.
pub fn short_reaches(units: Units, found: &Seasons) -> Vec<String> {
    let said = |joint: &GluedJoint| {
        let reach = joint.anchorage.filter(|reach| reach.is_short())?;
        Some(format!(
            "The {} for {} reaches {} past the break line where {} {}: short by {}.",
            joint.layers[1].0,
            places(&joint.places),
            length(units, reach.there),
            reach.by.asks(),
            length(units, reach.needed),
            length(units, reach.short_by()),
        ))
    };
    found.joints.iter().filter_map(said).collect()
}

/// How far each insert and part backer reaches past a break line, how far it should by our own rules and by the trade's, a sentence or two each;
/// then what the trade makes of their lengths.
pub fn reaches(units: Units, found: &Seasons) -> Vec<String> {
    let said = |joint: &GluedJoint| {
        let (reach, trade) = (joint.anchorage?, joint.trade?);
        let short = if reach.is_short() {
            format!(": short by {}", length(units, reach.short_by()))
        } else {
            String::new()
        };
        let by_thickness =
            if trade.by_thickness > Trade::LEAST_REACH { "for two thicknesses" } else { "at the least" };
        Some(format!(
            "The {} for {} reaches {} past the break line where {} {}{short}. The trade goes by {} {by_thickness}, or {} for one and \
             a half widths.",
            joint.layers[1].0,
            places(&joint.places),
            length(units, reach.there),
            reach.by.asks(),
            length(units, reach.needed),
            length(units, trade.by_thickness),
            length(units, trade.by_width),
        ))
    };
    found.joints.iter().filter_map(said).chain(lengths(units, found)).collect()
}

/// What the trade makes of the lengths along the inserts' own grain, and how much its rules are worth.
fn lengths(units: Units, found: &Seasons) -> Option<String> {
    let mut groups: Vec<([String; 2], Vec<usize>)> = Vec::new();
    for joint in &found.joints {
        let Some(trade) = joint.trade else { continue };
        let said = [length(units, trade.length), sentence(units, trade.word().says())];
        match groups.iter_mut().find(|(other, _)| *other == said) {
            Some((_, ids)) => ids.extend(&joint.places),
            None => groups.push((said, joint.places.clone())),
        }
    }
    let told = |([long, says], mut ids): ([String; 2], Vec<usize>)| {
        ids.sort_unstable();
        format!("{long} for {}: {says}", places(&ids))
    };
    let said: Vec<String> = groups.into_iter().map(told).collect();
    (!said.is_empty()).then(|| {
        format!(
            "Length along its own grain, {}. Rules of the trade are common practice, no published source; the stress decides.",
            said.join("; ")
        )
    })
}

fn is_many(layer: &str) -> bool {
    layer.ends_with("plies")
}

/// The layer of a joint that fares worse.
fn worst(joint: &GluedJoint) -> (&'static str, &Held) {
    let [(a, first), (b, second)] = &joint.layers;
    if second.by_harm(first).is_gt() { (b, second) } else { (a, first) }
}
