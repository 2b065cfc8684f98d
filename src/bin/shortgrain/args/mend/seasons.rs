//! What may be typed of where a glued piece will live.

use clap::Args as Group;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use shortgrain::drawing::words;
use shortgrain::season::{Air, Service, Swing};
use shortgrain::units::Units;
use shortgrain::wood::WoodError;

#[derive(Debug, Group)]
#[command(next_help_heading = "Seasons")]
pub(crate) struct SeasonArgs {
    /// Where a glued piece lives: indoors, damp, outdoors, hot
    #[arg(
        long,
        value_name = "WHERE",
        default_value = "indoors",
        value_parser = service(),
        hide_possible_values = true,
        help_heading = "Remedies"
    )]
    pub(crate) service: Service,

    /// Air of the driest and the dampest season, in relative humidity [default: by --service, 30%..60% indoors]
    ///
    /// The usual air of each service is common practice, no published source stands behind it.
    #[arg(long, value_name = "FROM..TO", value_parser = humidities, hide_short_help = true)]
    pub(crate) air: Option<[f64; 2]>,

    /// Temperature of that air, such as 20C or 68F [default: by --service, 20C indoors]
    #[arg(long, value_name = "DEGREES", value_parser = temperature, allow_hyphen_values = true, hide_short_help = true)]
    pub(crate) room: Option<f64>,

    /// Moisture of the wood itself in the driest and the dampest season, in place of the air's
    #[arg(long, value_name = "FROM..TO", value_parser = moistures, conflicts_with_all = ["air", "room"], hide_short_help = true)]
    pub(crate) swing: Option<[f64; 2]>,

    /// Moisture of the wood when it is glued [default: whichever end of the swing is worse]
    #[arg(long, value_name = "PERCENT", value_parser = super::super::percent, hide_short_help = true)]
    pub(crate) glued_at: Option<f64>,
}

/// A swing of moisture, and in words where it comes from.
#[derive(Clone, Debug)]
pub(crate) struct Stated {
    pub(crate) swing: Swing,
    /// Nothing where the swing itself was typed.
    air: Option<StatedAir>,
}

/// The air that a swing comes from.
#[derive(Clone, Debug)]
struct StatedAir {
    air: Air,
    /// Whose usual air it is, where none was typed.
    usual: Option<Service>,
}

impl Stated {
    /// Where the swing comes from, in words.
    pub(crate) fn from(&self, units: Units) -> String {
        let Some(StatedAir { air, usual }) = &self.air else { return "as stated".to_owned() };
        let Air { humidities_pct: [dry, damp], room_c } = *air;
        let room = words::temperature(units, room_c);
        let whose = usual
            .map_or_else(String::new, |service| format!(", as is usual {}: common practice", place(service)));
        format!("air of {dry:.0} to {damp:.0} % humidity at {room}{whose}")
    }
}

impl SeasonArgs {
    /// The swing that is meant.
    pub(crate) fn swing(&self) -> Result<Stated, WoodError> {
        let glued_pct = self.glued_at;
        if let Some(ends) = self.swing {
            let swing = Swing { glued_pct, ..Swing::between(ends) };
            return Ok(Stated { swing, air: None });
        }
        let usual = self.service.air();
        let air = Air {
            humidities_pct: self.air.unwrap_or(usual.humidities_pct),
            room_c: self.room.unwrap_or(usual.room_c),
        };
        let is_usual = self.air.is_none() && self.room.is_none();
        Ok(Stated {
            swing: Swing { glued_pct, ..Swing::in_air(air.humidities_pct, air.room_c)? },
            air: Some(StatedAir { air, usual: is_usual.then_some(self.service) }),
        })
    }
}

fn service() -> impl TypedValueParser<Value = Service> {
    PossibleValuesParser::new(Service::ALL.map(Service::word)).try_map(|typed| {
        let found = Service::ALL.into_iter().find(|service| service.word() == typed);
        found.ok_or("there is no such service")
    })
}

/// A service as it reads in a sentence.
pub(crate) const fn place(service: Service) -> &'static str {
    match service {
        Service::Indoors => "indoors",
        Service::Damp => "in damp rooms",
        Service::Outdoors => "outdoors",
        Service::Hot => "in hot places",
    }
}

fn humidities(text: &str) -> Result<[f64; 2], String> {
    range(text, 100.0, "relative humidity from 0% to 100%, such as 30%..60%")
}

fn moistures(text: &str) -> Result<[f64; 2], String> {
    range(
        text,
        30.0,
        "moisture of the wood from 0% to 30%, such as 6%..11%; for the air's humidity there is --air",
    )
}

/// Two percentages with dots between; the first may leave its sign to the second.
fn range(text: &str, most: f64, wanted: &str) -> Result<[f64; 2], String> {
    let wrong = || format!("write {wanted}");
    let text = text.trim().strip_suffix('%').ok_or_else(wrong)?;
    let (from, to) = text.split_once("..").ok_or_else(wrong)?;
    let number = |part: &str| part.trim().trim_end_matches('%').trim_end().parse::<f64>().ok();
    match (number(from), number(to)) {
        (Some(from), Some(to)) if 0.0 <= from && from <= to && to <= most => Ok([from, to]),
        _ => Err(wrong()),
    }
}

fn temperature(text: &str) -> Result<f64, String> {
    let wrong = || "write degrees with their letter, such as 20C or 68F".to_owned();
    let text = text.trim();
    let number = text.strip_suffix(['C', 'c', 'F', 'f']).ok_or_else(wrong)?;
    let number = number.trim_end_matches(['°', ' ']).parse::<f64>().map_err(|_| wrong())?;
    let celsius = if text.ends_with(['F', 'f']) { (number - 32.0) / 1.8 } else { number };
    if (-1.0..=80.0).contains(&celsius) {
        Ok(celsius)
    } else {
        Err("the room is from -1C to 80C (30F to 176F)".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_carry_their_sign_and_run_upwards() {
        assert_eq!(humidities("30%..65%"), Ok([30.0, 65.0]));
        assert_eq!(humidities(" 30 .. 65 %"), Ok([30.0, 65.0]));
        for wrong in ["30..65", "65%..30%", "30%", "30%..130%", "a%..b%", "-5%..30%", "nan..30%"] {
            assert!(humidities(wrong).is_err(), "{wrong}");
        }
        assert!(moistures("6%..40%").is_err_and(|said| said.contains("--air")));
    }

    #[test]
    fn degrees_are_read_in_either_scale() {
        assert_eq!(temperature("20C"), Ok(20.0));
        assert!((temperature("68 °F").expect("a temperature") - 20.0).abs() < 1e-9);
        for wrong in ["20", "warm", "300C", "nanC"] {
            assert!(temperature(wrong).is_err(), "{wrong}");
        }
    }
}
