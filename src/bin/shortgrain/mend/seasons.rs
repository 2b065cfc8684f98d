//! What the seasons do to glued remedies, in words.

use shortgrain::drawing::words;
use shortgrain::mend::{DepthCup, GluedJoint, Mending, Remedy, Seasons};
use shortgrain::season::{Adhesive, Rule, Service};
use shortgrain::units::Units;

use crate::args::{Stated, place};
use crate::columns::{Columns, LINE, wrap};

/// The year that a design is judged for.
pub(crate) struct Year {
    pub(crate) stated: Stated,
    pub(crate) service: Service,
}

impl Year {
    /// What moves, and which glue lasts: once for a design, and only where something is glued.
    pub(crate) fn told(&self, mendings: &[Mending], explain: bool, units: Units) -> Option<String> {
        let glued: Vec<&Remedy> = mendings
            .iter()
            .flat_map(|mending| &mending.remedies)
            .filter(|remedy| remedy.kind.is_glued())
            .collect();
        if glued.is_empty() {
            return None;
        }
        let is_known = glued.iter().any(|remedy| remedy.seasons.is_some());
        let mut text = String::new();
        if is_known {
            let swing = &self.stated.swing;
            let glued = swing.glued_pct.map_or_else(
                || "glued at whichever is worse".to_owned(),
                |pct| format!("glued at {pct:.1} %"),
            );
            let told = format!(
                "Seasons: wood of {:.1} to {:.1} % moisture ({}), {glued}.",
                swing.dry_pct,
                swing.damp_pct,
                self.stated.from(units)
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
                    |gap| format!("gaps to {} a side", words::fit_length(units, gap.as_mm())),
                );
                format!("{} ({gap})", glue.adhesive.name())
            })
            .collect();
        let told = format!("Glues that last {}: {}.", place(self.service), lasting.join(", "));
        text.push_str(&wrap(&told, LINE, 0));
        if explain {
            for glue in all {
                let lasts = if glue.serves { "lasts" } else { "does not" };
                let why = words::sentence(units, glue.why);
                let line = format!("{}: {lasts}; {why} ({}).", glue.adhesive.name(), glue.standing);
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
            if let Some(moves) = mendings.iter().find_map(|mending| mending.moves.as_ref()) {
                let line = format!(
                    "For 1 % of moisture the wood moves by {:.5} of its size across the grain ({}; {}) and {:.5} along it.",
                    moves.across_per_pct,
                    moves.across_is,
                    moves.status.word(),
                    moves.along_per_pct,
                );
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
            if is_known {
                let rules: Vec<String> =
                    Rule::ALL.iter().map(|rule| format!("{} ({})", rule.says, rule.standing)).collect();
                let line = format!("What stands behind it: {}.", words::sentence(units, &rules.join("; ")));
                text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
            }
        }
        Some(text)
    }
}

const UNKNOWN: &str = "Seasons: no movement of this wood is at hand, so what they do to a glued joint is not known; with \
                       figures of your own for its movement, radial and tangential, in a board.toml it would be. A backer cups, three plies \
                       alike on both sides stay flat (common practice).";

/// What they do to one remedy: a sentence or two, and with `explain` every joint.
pub(crate) fn of_remedy(found: &Seasons, units: Units, explain: bool) -> String {
    let mut said = vec![words::seasons(units, found)];
    said.extend(words::reaches(units, found));
    let mut text: String = said.iter().map(|said| format!("    {}", wrap(said, LINE - 4, 4))).collect();
    if explain {
        text.extend(found.joints.iter().map(|joint| of_joint(joint, units)));
    }
    text
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
                "; at this strain {} of thickness have the energy to split, it has {}",
                words::length(units, held.splits_from),
                words::length(units, held.thickness),
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
            100.0 * held.shear_part(),
            words::stress(units, held.joint_bears),
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
    let place = joint.places.first().map_or_else(String::new, |id| format!(" for place {id}"));
    match &joint.depths {
        None => {}
        Some(Ok(rows)) => text.push_str(&depths(rows, &place, units)),
        Some(Err(why)) => {
            let line = format!("No other depths of the insert{place} are told: {why}.");
            text.push_str(&format!("    {}", wrap(&line, LINE - 4, 4)));
        }
    }
    text
}

/// What other depths of a strip would do.
fn depths(rows: &[DepthCup], place: &str, units: Units) -> String {
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
    for row in rows {
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
            words::fit_length(units, row.cup_mm).split(' ').next().unwrap_or_default().to_owned(),
            remark.to_owned(),
        ]);
    }
    let head = format!("Depths of the insert{place}, by the closed form, others of the piece unchanged:");
    format!("    {}{}", wrap(&head, LINE - 4, 4), columns.text(6))
}
