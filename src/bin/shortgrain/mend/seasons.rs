//! What the seasons do to glued remedies, in words.

use shortgrain::drawing::words;
use shortgrain::mend::{GluedJoint, Kind, Mending, Seasons};
use shortgrain::season::{Adhesive, Held, Moves, Pull, Service, Word};
use shortgrain::units::Units;

use crate::args::{Stated, place};
use crate::columns::{Columns, LINE, wrap};

/// A design's year: the swing of its wood, and what that does to each remedy of each piece.
pub(crate) struct Year {
    pub(crate) stated: Stated,
    pub(crate) service: Service,
    /// Nothing for a wood whose movement is not at hand.
    pub(crate) moves: Option<Moves>,
    /// By piece, then by remedy.
    pub(crate) seasons: Vec<Vec<Option<Seasons>>>,
}

impl Year {
    /// Whether any remedy is glued.
    fn is_glued(&self) -> bool {
        self.seasons.iter().flatten().any(Option::is_some)
    }

    /// What moves, and which glue lasts: once for a design, and only where something is glued.
    pub(crate) fn told(&self, mendings: &[Mending], explain: bool, units: Units) -> Option<String> {
        let glues = mendings.iter().flat_map(|mending| &mending.remedies).any(|remedy| is_glued(remedy.kind));
        if !glues {
            return None;
        }
        let mut text = String::new();
        if self.is_glued() {
            let swing = &self.stated.swing;
            let glued = swing.glued_pct.map_or_else(
                || "glued at whichever is worse".to_owned(),
                |pct| format!("glued at {pct:.1} %"),
            );
            let told = format!(
                "Seasons: wood of {:.1} to {:.1} % moisture ({}), {glued}.",
                swing.dry_pct, swing.damp_pct, self.stated.from
            );
            text.push_str(&wrap(&told, LINE, 0));
        } else {
            text.push_str(&wrap(UNKNOWN, LINE, 0));
        }
        let all = Adhesive::ALL.map(|glue| glue.at(self.service));
        let lasting: Vec<String> = all
            .iter()
            .filter(|glue| glue.serves)
            .map(|glue| {
                let gap = glue.widest_gap.map_or_else(
                    || "a close joint".to_owned(),
                    |gap| format!("gaps to {}", words::fit_length(units, gap.as_mm())),
                );
                format!("{} ({gap})", glue.adhesive.name())
            })
            .collect();
        let told = format!("Glues that last {}: {}.", place(self.service), lasting.join(", "));
        text.push_str(&wrap(&told, LINE, 0));
        if explain {
            for glue in all {
                let lasts = if glue.serves { "lasts" } else { "does not" };
                let line = format!("{}: {lasts}; {} ({}).", glue.adhesive.name(), glue.why, glue.standing);
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
            if let Some(moves) = &self.moves {
                let line = format!(
                    "For 1 % of moisture the wood moves by {:.5} of its size across the grain ({}; {}) and {:.5} along it.",
                    moves.across_per_pct,
                    moves.across_is,
                    moves.status.word(),
                    moves.along_per_pct,
                );
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
        }
        Some(text)
    }
}

const UNKNOWN: &str =
    "Seasons: no movement of this wood is at hand, so what they do to a glued joint is not known.";

const fn is_glued(kind: Kind) -> bool {
    matches!(kind, Kind::Insert | Kind::Backer | Kind::ThreePly)
}

/// What they do to one remedy: a sentence or two, and with `explain` every joint.
pub(crate) fn of_remedy(found: &Seasons, units: Units, explain: bool) -> String {
    let mut text = format!("    {}", wrap(&summary(found, units), LINE - 4, 4));
    let short: Vec<&GluedJoint> = found
        .joints
        .iter()
        .filter(|joint| joint.anchorage.is_some_and(|reach| reach.short_by() >= 0.5))
        .collect();
    for joint in short {
        text.push_str(&format!("    {}", wrap(&lacking(joint, units), LINE - 4, 4)));
    }
    if explain {
        for joint in &found.joints {
            text.push_str(&of_joint(joint, units));
        }
    }
    text
}

fn summary(found: &Seasons, units: Units) -> String {
    let of = |word: Word| found.joints.iter().filter(|joint| worst(joint).1.word == word).count();
    let all = found.joints.len();
    let joints = match (found.word, all, of(found.word)) {
        (word, 1, _) => format!("{word}"),
        (word, all, same) if all == same => format!("{word}, all {all} joints"),
        (word, all, same) => format!("{word}, {same} of {all} joints"),
    };
    let worst = found.joints.iter().map(worst).max_by(|a, b| rank(a.1).total_cmp(&rank(b.1)));
    let pulled = worst.map_or_else(String::new, |(name, held)| {
        format!(
            " The {name} wants to move {} against its neighbour over {} and {} pulled across its grain to {:.0} % of its strength.",
            words::length(units, held.mismatch.abs()),
            words::length(units, held.width),
            if name.ends_with('s') { "are" } else { "is" },
            100.0 * held.stress_part,
        )
    });
    let cup = &found.cup;
    let hollow = if cup.face_hollow_when_dry { "face" } else { "back" };
    let cups = if cup.rise_mm < 0.05 {
        "It stays flat.".to_owned()
    } else {
        format!(
            "It cups by up to {} over {}, {} when dry: {}.",
            words::length(units, cup.rise_mm),
            words::length(units, cup.over_mm),
            format_args!("{hollow} hollow"),
            if cup.is_flat() {
                "flat enough".to_owned()
            } else {
                format!("more than the {} that we call flat", words::length(units, cup.limit_mm))
            },
        )
    };
    format!("Over the seasons: {joints}.{pulled} {cups}")
}

/// How near to the worst a layer is.
fn rank(held: &Held) -> f64 {
    f64::from(held.word as u8) * 1e3 + held.stress_part
}

fn worst(joint: &GluedJoint) -> (&'static str, &Held) {
    let [(a, first), (b, second)] = &joint.layers;
    if rank(second) > rank(first) { (b, second) } else { (a, first) }
}

fn lacking(joint: &GluedJoint, units: Units) -> String {
    let Some(reach) = joint.anchorage else { return String::new() };
    format!(
        "The insert for {} reaches {} past the break line where {} {} for: short by {}.",
        words::places(&joint.places),
        words::length(units, reach.there),
        words::length(units, reach.needed),
        match reach.by {
            Pull::Shear => "the floor's shear asks",
            Pull::Peel => "peel asks",
            Pull::Least => "the trade asks",
        },
        words::length(units, reach.short_by()),
    )
}

/// Every number of a joint.
fn of_joint(joint: &GluedJoint, units: Units) -> String {
    let mut lines = Vec::new();
    for (name, held) in &joint.layers {
        let whose = if joint.places.is_empty() {
            String::new()
        } else {
            format!(" of {}", words::places(&joint.places))
        };
        let split = if held.splits_from.is_finite() {
            format!(
                "; thick as it is, {}, it splits from {} on",
                words::length(units, held.thickness),
                words::length(units, held.splits_from)
            )
        } else {
            String::new()
        };
        let full = held.full_width.map_or_else(
            || "never the whole of it".to_owned(),
            |width| format!("the whole of it over {}", words::length(units, width)),
        );
        lines.push(format!(
            "{name}{whose}: {}. Pulled by {} over {} ({:.0} % of its strength; {full}{split}); the glue's edge sheared by {} \
             ({:.0} % of what it bears, {}: rolling shear, at most a third of shear along the grain). Mild up to {}.",
            held.word,
            words::stress(units, held.stress),
            words::length(units, held.width),
            100.0 * held.stress_part,
            words::stress(units, held.edge_shear),
            100.0 * held.shear_part,
            words::stress(units, joint.joint_bears_mpa),
            words::length(units, held.mild_width),
        ));
    }
    if let Some(reach) = joint.anchorage {
        let overfull =
            if reach.overfull { ", and no reach passes on all that the removed wood bore" } else { "" };
        lines.push(format!(
            "reach past the break line: {} there, {} wanted ({} by shear in the floor, {} by peel; more than {} passes on no more \
             shear{overfull}). The ends are end grain and count nothing.",
            words::length(units, reach.there),
            words::length(units, reach.needed),
            words::length(units, reach.by_shear),
            words::length(units, reach.by_peel),
            words::length(units, reach.useful),
        ));
    }
    let mut text: String = lines.iter().map(|line| format!("    - {}", wrap(line, LINE - 6, 6))).collect();
    if !joint.depths.is_empty() {
        text.push_str(&depths(joint, units));
    }
    text
}

/// What other depths of a strip would do.
fn depths(joint: &GluedJoint, units: Units) -> String {
    let mut columns = Columns::new("rrrrrl");
    let unit = units.length_unit();
    columns.row([
        format!("depth {unit}"),
        format!("show face {unit}"),
        "face".to_owned(),
        "side".to_owned(),
        format!("cup {unit}"),
        String::new(),
    ]);
    for row in &joint.depths {
        let [face, side] = row
            .at
            .bears_n
            .map_or_else(|| ["-", "-"].map(str::to_owned), |bears| bears.map(|n| words::strength(units, n)));
        let remark = match (row.at.bears_n, row.at.usual) {
            (None, _) => "too short for its depth",
            (_, false) => "show face too thin",
            _ => "",
        };
        columns.row([
            words::bare_length(units, row.at.depth_mm),
            words::bare_length(units, row.at.show_face_mm),
            face,
            side,
            words::bare_length(units, row.cup_mm),
            remark.to_owned(),
        ]);
    }
    let place = joint.places.first().map_or_else(String::new, |id| format!(" for place {id}"));
    let head = format!("Depths of the insert{place}, by the closed form, others of the piece unchanged:");
    format!("    {}{}", wrap(&head, LINE - 4, 4), columns.text(6))
}
