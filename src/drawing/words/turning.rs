//! What turning does for a piece, in sentences.

use super::{marked, on, strength};
use crate::mend::{AtAngle, Turn, Turning};
use crate::units::Units;

/// Short-grained wherever the grain runs: above this crossing a thin part is nearly as weak as square across. Our own
/// rule.
const STEEP_DEG: f64 = 45.0;

/// Whether turning is enough, helps or is useless, and how far to turn: plain sentences, the answer first.
pub fn turning(turn: &Turn) -> String {
    let (now, then) = (degrees(turn.present.closed_form.deg), degrees(turn.best.closed_form.deg));
    let times = format!("{:.1} times", turn.gain);
    let verdict = turn.best.proved.verdict;
    match turn.turning {
        Turning::NotNeeded => {
            let mut words = format!(
                "No turn is needed: as it lies, with the grain at {now}, it is {}.",
                turn.present.proved.verdict
            );
            if turn.gain >= Turn::NO_GAIN {
                words.push_str(&format!(" At {then} it would bear {times} as much."));
            }
            if turn.spread < Turn::NO_SPREAD {
                words.push_str(&format!(
                    " No grain angle is much better than another here: the best bears {:.1} times as much as the worst.",
                    turn.spread
                ));
            }
            words
        }
        Turning::Enough => format!(
            "Turning is enough: with the grain at {then} it is {verdict} and bears {times} as much as at {now}, as it \
             lies. {} {}",
            how_far(turn),
            range(turn)
        ),
        Turning::Helps => format!(
            "Turning helps but is not enough: with the grain at {then} it bears {times} as much as at {now}, as it lies, \
             and is still {verdict}. {} {}",
            how_far(turn),
            range(turn)
        ),
        Turning::AtItsBest => format!(
            "Turning is no cure: it lies about as well as it can at {now}. No grain angle bears {} times as much, and the \
             worst, {}, only {:.2} of it.",
            Turn::NO_GAIN,
            degrees(turn.worst.closed_form.deg),
            turn.worst.proved.over / turn.present.proved.over
        ),
        Turning::Useless => {
            let mut words = format!(
                "Turning is no cure for this shape: the best grain angle bears only {:.1} times as much as the worst.",
                turn.spread
            );
            if turn.always_crossing_deg >= STEEP_DEG {
                words.push_str(&format!(
                    " Its thin parts run several ways, as in rings, spokes, hexagons and snowflakes: at every angle one of \
                     them crosses the grain at {:.0}° or more.",
                    turn.always_crossing_deg.floor()
                ));
            }
            words
        }
    }
}

/// In one word or two, for a heading.
pub fn turning_headline(turn: &Turn) -> &'static str {
    match turn.turning {
        Turning::NotNeeded => "no turn needed",
        Turning::Enough => "turning is enough",
        Turning::Helps => "turning helps",
        Turning::AtItsBest | Turning::Useless => "turning is no cure",
    }
}

/// What a piece bears at an angle: `120 N on the face`.
pub fn bears(units: Units, angle: &AtAngle) -> String {
    angle.weakest.map_or_else(
        || "no weak place".to_owned(),
        |weakest| {
            let force = marked(strength(units, weakest.breaks_at_n), weakest.is_solved);
            format!("{force} {}", on(weakest.kind))
        },
    )
}

/// A grain direction, no finer than a board can be laid.
pub fn degrees(deg: f64) -> String {
    // Adding nought turns -0 into 0.
    let half = (deg * 2.0).round() / 2.0 + 0.0;
    if half.fract() == 0.0 { format!("{half:.0}°") } else { format!("{half:.1}°") }
}

fn how_far(turn: &Turn) -> String {
    let by = turn.by_deg();
    let way = if by >= 0.0 { "anticlockwise" } else { "clockwise" };
    format!("Turn the piece {} {way} on its blank.", degrees(by.abs()))
}

fn range(turn: &Turn) -> String {
    let [from, to] = turn.flat_deg;
    if to - from >= 180.0 {
        return "Any other angle does as well.".to_owned();
    }
    let [from, to] = [from.ceil(), to.floor()].map(|deg| degrees(deg.rem_euclid(180.0)));
    format!("From {from} to {to} it is within {:.0} % of that.", 100.0 * Turn::FLAT)
}
