//! What a remedy asks for, in a sentence.

use super::{about, bare_length, degrees, length, on, sentence, short_by, size, strength};
use crate::check::words::numbered;
use crate::check::{EASY, Pushes};
use crate::mend::{
    Bar, Change, Declined, Goal, Kind, Lacks, Lost, Mending, Ply, Remedy, Standing, Strip, Tried,
};
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

/// So many places that bear less are named; of more the count is told.
const NAMED: usize = 3;

/// Which places bear less for a remedy, those first that come nearest to their push, in a sentence; nothing where none does. What breaks at many
/// times its push then is left out.
pub fn lost(units: Units, pushes: &Pushes, remedy: &Remedy) -> Option<String> {
    let over = |lost: &Lost| lost.after_n / pushes.of(lost.push).as_n();
    let mut all: Vec<&Lost> = remedy.lost.iter().filter(|lost| over(lost) < EASY).collect();
    all.sort_by(|a, b| over(a).total_cmp(&over(b)));
    let one = |lost: &&Lost| {
        format!(
            "place {} {} at {}, {} before ({:.0} % less)",
            lost.place,
            on(lost.push),
            about(units, lost.after_n),
            strength(units, lost.before_n),
            100.0 * (1.0 - lost.part())
        )
    };
    let mut said: Vec<String> = all.iter().take(NAMED).map(one).collect();
    if said.is_empty() {
        return None;
    }
    if let Some(more @ 1..) = all.len().checked_sub(NAMED) {
        said.push(format!("and {more} more such push{}", if more == 1 { "" } else { "es" }));
    }
    let model = if remedy.kind.is_glued() {
        " Where plies are glued the model alone reads up to 8 % less, 13 % at a ply's end (docs/mechanics.md)."
    } else {
        ""
    };
    Some(format!("Breaks sooner for it: {}.{model}", said.join("; ")))
}

/// Why a kind is not offered, and how far the piece would be from the goal with it, in a sentence without a stop; what no number was found
/// for says why.
pub fn declined(units: Units, goal: Goal, declined: &Declined) -> String {
    let Declined { kind, why, lacks } = declined;
    let lacks = match lacks {
        Lacks::Times { shortfall, standing } if *shortfall > 1.0 => {
            let by = if *standing == Standing::Proved { "" } else { "by the closed form " };
            format!("; {by}it would be short of {} by {}", goal.verdict(), short_by(*shortfall))
        }
        Lacks::Times { .. } => String::new(),
        other => {
            other.no_number().map_or_else(String::new, |why| format!("; {why}, so no shortfall is told"))
        }
    };
    format!("Not offered: {}, since {}{lacks}", self::kind(*kind), sentence(units, why))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::PushKind;
    use crate::units::Force;

    #[test]
    fn what_is_not_offered_says_how_far_it_would_be_from_the_goal_or_why_that_is_not_known() {
        let said = |lacks| {
            let why = "the board is quarter-sawn already".to_owned();
            declined(Units::Metric, Goal::Careful, &Declined { kind: Kind::QuarterSawn, why, lacks })
        };
        let times = |shortfall, standing| said(Lacks::Times { shortfall, standing });
        let start = "Not offered: quarter-sawn, since the board is quarter-sawn already";
        assert_eq!(
            times(1.2, Standing::Proved),
            format!("{start}; it would be short of careful by about 20 %")
        );
        assert_eq!(
            times(2.5, Standing::Estimate),
            format!("{start}; by the closed form it would be short of careful by a factor of 2.5")
        );
        assert_eq!(
            said(Lacks::Untried),
            format!("{start}; there is nothing to try, so no shortfall is told")
        );
        assert!(
            said(Lacks::Unjudged).ends_with("what was tried could not be judged, so no shortfall is told")
        );
    }

    #[test]
    fn what_breaks_sooner_is_told_with_both_forces_the_nearest_to_its_push_first() {
        let lost_at = |place, push, before_n, after_n| Lost { place, push, before_n, after_n };
        let (face, side) = (PushKind::Face, PushKind::Side);
        let pushes = Pushes { face: Force::n(45.0), side: Force::n(45.0) };
        let mut remedy = Remedy {
            lost: vec![
                lost_at(1, face, 100.0, 96.0),
                lost_at(3, side, 95.0, 88.0),
                lost_at(4, side, 900.0, 500.0),
            ],
            ..crate::mend::sample::remedy(Kind::Widen, Standing::Proved, false)
        };
        let told = |remedy: &Remedy| lost(Units::Metric, &pushes, remedy);
        // The last still breaks at eleven times its push.
        assert_eq!(
            told(&remedy).as_deref(),
            Some(
                "Breaks sooner for it: place 3 on a side at about 88 N, 95 N before (7 % less); place 1 on the face at about 96 N, \
                 100 N before (4 % less)."
            )
        );
        remedy.lost.extend((5..8).map(|place| lost_at(place, side, 200.0, 150.0)));
        assert!(told(&remedy).is_some_and(|said| said.ends_with("; and 2 more such pushes.")));
        remedy.kind = Kind::Backer;
        assert!(told(&remedy).is_some_and(|said| said.contains("the model alone reads up to 8 % less")));
        remedy.lost.clear();
        assert_eq!(told(&remedy), None);
    }
}
