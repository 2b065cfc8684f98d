//! What a remedy asks for, in a sentence.

use super::{bare_length, degrees, length, size};
use crate::check::words::numbered;
use crate::mend::{Bar, Change, Goal, Kind, Mending, Ply, Remedy, Standing, Strip, Tried};
use crate::units::Units;
use geo_types::Coord;

/// What is done, without a capital or a stop: `widen place 1 from 5.0 mm to 8.2 mm`.
pub fn remedy(units: Units, remedy: &Remedy) -> String {
    match &remedy.change {
        Change::Grain { deg, by_deg } => {
            let way = if *by_deg >= 0.0 { "anticlockwise" } else { "clockwise" };
            format!(
                "turn the piece {} {way} on its blank, so that the grain runs at {}",
                degrees(by_deg.abs()),
                degrees(*deg)
            )
        }
        Change::Outline { bars, .. } if remedy.kind == Kind::MoveBridge => moved(units, bars),
        Change::Outline { bars, .. } => widened(units, bars),
        Change::Thickness { to_mm } => format!("take a blank {} thick", size(units, *to_mm)),
        Change::Rings(_) => "take a quarter-sawn board".to_owned(),
        Change::Woods(tried) => woods(tried),
        Change::Inserts(strips) => inserts(units, strips),
        Change::Backers(strips) => backers(units, strips),
        Change::Layers { plies } => layers(units, plies),
        Change::None => "do not use solid wood: make it of plywood, or draw it anew".to_owned(),
    }
}

/// The cheapest remedy that will do, in a sentence; that it is an estimate, where nothing is proved to.
pub fn cheapest(units: Units, mending: &Mending) -> Option<String> {
    mending.cheapest().map(|one| {
        let said = remedy(units, one);
        if one.cures() {
            format!("Cheapest that will do: {said}.")
        } else {
            format!("Nothing is proved to do. Cheapest that will do by an estimate, not proved: {said}.")
        }
    })
}

/// Which kinds of remedy do for every piece of a set that is not good enough as it is, in a sentence; a thicker blank with the piece that asks for
/// the thickest. `set` holds each piece with its name; nothing where all of them are good enough.
pub fn cures_of_all(units: Units, set: &[(&str, &Mending)], goal: Goal) -> Option<String> {
    let ailing = set.iter().filter(|(_, mending)| !goal.is_reached_by(mending.before.verdict));
    let ailing: Vec<&(&str, &Mending)> = ailing.collect();
    let who = match ailing.len() {
        0 => return None,
        1 => format!("for {}, the only one that needs it", ailing[0].0),
        n if n == set.len() => format!("for all {n}"),
        n => format!("for the {n} that need it"),
    };
    let pieces: Vec<&Mending> = set.iter().map(|(_, mending)| *mending).collect();
    let kinds = crate::mend::cures_of_all(&pieces, goal);
    let said = kinds.into_iter().map(|of| {
        let blanks =
            ailing.iter().filter_map(|(name, mending)| Some((*name, mending.remedy(of)?.blank_mm()?)));
        let thickest = blanks.reduce(|most, one| if one.1 > most.1 { one } else { most });
        match thickest {
            Some((name, mm)) if ailing.len() > 1 => {
                format!("{}, {} for {name} and no more for the others", kind(of), size(units, mm))
            }
            Some((_, mm)) => format!("{}, {}", kind(of), size(units, mm)),
            None => kind(of).to_owned(),
        }
    });
    let said: Vec<String> = said.collect();
    Some(match said.as_slice() {
        [] => format!("No one kind of remedy will do {who}."),
        _ => format!("What will do {who}: {}.", said.join("; ")),
    })
}

/// Its kind as people call it.
pub const fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Turn => "turn",
        Kind::MoveBridge => "move bridges",
        Kind::Widen => "widen",
        Kind::Thicken => "thicker blank",
        Kind::QuarterSawn => "quarter-sawn",
        Kind::OtherWood => "other wood",
        Kind::Insert => "insert",
        Kind::PartBacker => "part backer",
        Kind::Backer => "backer",
        Kind::ThreePly => "three-ply",
        Kind::NotSolidWood => "no solid wood",
    }
}

pub(super) fn place(units: Units, at: Coord<f64>) -> String {
    // Adding nought turns -0 into 0.
    match units {
        Units::Metric => format!("{:.0}, {:.0}", at.x.round() + 0.0, at.y.round() + 0.0),
        Units::Inch => format!("{:.2}, {:.2}", at.x / 25.4 + 0.0, at.y / 25.4 + 0.0),
    }
}

/// `place 1`, `places 1, 2 and 5`.
pub fn places(ids: &[usize]) -> String {
    numbered("place", ids)
}

fn moved(units: Units, bars: &[Bar]) -> String {
    let mut ids: Vec<usize> = bars.iter().flat_map(|bar| bar.places.iter().copied()).collect();
    ids.sort_unstable();
    ids.dedup();
    let spots: Vec<String> = bars.iter().map(|bar| place(units, bar.at)).collect();
    let widest = bars.iter().map(|bar| bar.to_mm).fold(0.0, f64::max);
    let [bridge, bar] = [ids.len(), bars.len()].map(|n| if n == 1 { "" } else { "s" });
    format!(
        "move the bridge{bridge}: cut {} through, and leave {} bar{bar} {} wide along the grain at {}",
        places(&ids),
        bars.len(),
        length(units, widest),
        spots.join("; "),
    )
}

fn widened(units: Units, bars: &[Bar]) -> String {
    // Places that get the same width are said together.
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for bar in bars {
        let from = bar.from_mm.map_or_else(String::new, |from| format!(" from {}", length(units, from)));
        let width = format!("{from} to {}", length(units, bar.to_mm));
        match groups.iter_mut().find(|(other, _)| *other == width) {
            Some((_, ids)) => ids.extend(&bar.places),
            None => groups.push((width, bar.places.clone())),
        }
    }
    let said: Vec<String> = groups.iter().map(|(width, ids)| format!("{}{width}", places(ids))).collect();
    format!("widen {}", said.join("; "))
}

fn woods(tried: &[Tried]) -> String {
    let Some((first, others)) = tried.split_first() else { return "take another wood".to_owned() };
    let would: Vec<&str> =
        others.iter().filter(|other| other.shortfall <= 1.0).map(|other| other.name).collect();
    let mut words = format!("take {}", first.name);
    if !would.is_empty() {
        let standing = if others.iter().all(|other| other.standing == Standing::Proved) {
            ""
        } else {
            " by the closed form"
        };
        words.push_str(&format!(" ({} would do as well{standing})", would.join(", ")));
    }
    words
}

/// Every size with the places it is for: `44.0 x 8.0 x 4.5 mm for place 1`.
fn sizes(units: Units, strips: &[Strip]) -> String {
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for strip in strips {
        let insert = &strip.insert;
        let size = format!(
            "{} x {} x {}",
            bare_length(units, insert.length_mm),
            bare_length(units, insert.width_mm),
            length(units, insert.depth_mm)
        );
        match groups.iter_mut().find(|(other, _)| *other == size) {
            Some((_, ids)) => ids.extend(&strip.places),
            None => groups.push((size, strip.places.clone())),
        }
    }
    groups.iter_mut().for_each(|(_, ids)| ids.sort_unstable());
    let said: Vec<String> = groups.iter().map(|(size, ids)| format!("{size} for {}", places(ids))).collect();
    said.join("; ")
}

fn inserts(units: Units, strips: &[Strip]) -> String {
    let many = if strips.len() == 1 { "an insert".to_owned() } else { format!("{} inserts", strips.len()) };
    format!("glue {many} into the back: {}", sizes(units, strips))
}

fn backers(units: Units, strips: &[Strip]) -> String {
    let many =
        if strips.len() == 1 { "a part backer".to_owned() } else { format!("{} part backers", strips.len()) };
    format!(
        "glue {many} of the same wood onto the back, grain along the first figure: {}",
        sizes(units, strips)
    )
}

fn layers(units: Units, plies: &[Ply]) -> String {
    match plies {
        [_, back] => format!(
            "glue a backer of the same wood, {} thick, behind the whole piece, its grain at {}",
            size(units, back.thickness_mm),
            degrees(back.grain_deg)
        ),
        [face, core, _] => format!(
            "make the blank of three plies {} thick each, the middle one's grain at {}",
            length(units, face.thickness_mm),
            degrees(core.grain_deg)
        ),
        _ => "glue the blank up of layers".to_owned(),
    }
}
