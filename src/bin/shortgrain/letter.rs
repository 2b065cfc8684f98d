//! The verb `letter`.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Args, ValueEnum};
use shortgrain::drawing;
use shortgrain::letter::{self, Form, Lettering, Panel, Wanted};
use shortgrain::units::{Angle, Length, Units};

use crate::files::{self, Files};
use crate::size::{self, SizeError};
use crate::talk::{self, Faults};
use crate::{SOUND, fonts, report};

/// Make a design of letters or numbers, to be checked.
///
/// Letters are cut out, each a piece of wood, or pierced through a panel. What piercing would set free, such as the middle
/// of a 0, is held by bridges, which run along the grain unless told otherwise.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: shortgrain letter 8 --height 100mm --as pierced --disc 180mm --bridge 6mm --out eight.svg"
)]
pub(crate) struct LetterArgs {
    /// What the letters say
    #[arg(value_name = "TEXT")]
    text: String,

    /// The font: a file, or the name of an installed one [default: DejaVu Sans Bold, which is carried]
    #[arg(long, value_name = "FONT")]
    font: Option<String>,

    /// How high capitals are
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    height: Length,

    /// What the letters are
    #[arg(long = "as", value_name = "FORM")]
    form: FormArg,

    /// What is added between letters; less than nothing moves them together
    #[arg(long, value_name = "LENGTH", default_value = "0mm", allow_hyphen_values = true)]
    spacing: Length,

    /// The panel that letters are pierced through
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "WIDTHxHEIGHT",
        help_heading = "Pierced",
        conflicts_with = "disc"
    )]
    panel: Option<Size>,

    /// The radius of the panel's corners
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "LENGTH",
        help_heading = "Pierced",
        requires = "panel"
    )]
    radius: Option<Length>,

    /// A round panel instead, by its diameter
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", help_heading = "Pierced")]
    disc: Option<Length>,

    /// How wide each bridge is
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", help_heading = "Pierced")]
    bridge: Option<Length>,

    /// Which way the grain runs, anticlockwise from left to right; bridges run along it
    #[arg(
        long,
        value_name = "ANGLE",
        default_value = "0deg",
        allow_hyphen_values = true,
        help_heading = "Pierced"
    )]
    grain: Angle,

    /// Run bridges this way, whatever the grain
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, help_heading = "Pierced")]
    bridges_along: Option<Angle>,

    /// Write the design into this SVG file
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    out: PathBuf,

    /// Units for people: mm or in
    #[arg(long, value_name = "mm|in", default_value = "mm", help_heading = "Answer")]
    units: Units,

    /// Print nothing
    #[arg(long, help_heading = "Answer")]
    quiet: bool,

    /// Replace a file that exists already
    #[arg(long, help_heading = "Answer")]
    force: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum FormArg {
    /// Each letter is a piece of wood
    Cutout,
    /// The letters are openings in a panel
    Pierced,
}

/// Two lengths: `300x150mm`, `12inx6in`.
#[derive(Clone, Copy, Debug)]
struct Size([Length; 2]);

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        size::read(text).map(Self).map_err(|error| match error {
            SizeError::One => format!("{text} is not a size; write two lengths such as 300x150mm"),
            SizeError::Length(error) => error.to_string(),
        })
    }
}

/// Makes the design and writes it.
pub(crate) fn run(args: &LetterArgs) -> Result<u8, Faults> {
    let mut faults = Faults::new();
    faults.extend(files::no_picture(&args.out, args.force));
    let form = form(args).map_err(|fault| faults.push(fault)).ok();
    let font = args.font.as_ref().map_or_else(|| Ok(letter::own_font()), |font| fonts::find(font));
    let font = font.map_err(|fault| faults.push(fault)).ok();
    let (Some(form), Some(font), true) = (form, font, faults.is_empty()) else { return Err(faults) };
    let wanted = Wanted { text: args.text.clone(), height: args.height, spacing: args.spacing, form };
    let made = letter::letter(&font, &wanted)
        .map_err(|error| vec![drawing::words::sentence(args.units, &error.to_string())])?;
    let mut files = Files::default();
    files.add(&args.out, drawing::lettering(&args.text, &made));
    files.write(args.force)?;
    if !args.quiet {
        talk::print(&told(args, &made))?;
    }
    Ok(SOUND)
}

fn form(args: &LetterArgs) -> Result<Form, String> {
    if let FormArg::Cutout = args.form {
        let given =
            [args.panel.map(|_| "--panel"), args.disc.map(|_| "--disc"), args.bridge.map(|_| "--bridge")];
        return match given.into_iter().flatten().next() {
            Some(flag) => {
                Err(format!("{flag} belongs to --as pierced; letters that are cut out stand alone"))
            }
            None => Ok(Form::Cutout),
        };
    }
    let panel = match (args.panel, args.disc) {
        (Some(Size([width, height])), _) => {
            Panel::Rectangle { width, height, radius: args.radius.unwrap_or(Length::mm(0.0)) }
        }
        (None, Some(diameter)) => Panel::Disc { diameter },
        (None, None) => {
            return Err("--as pierced needs a panel; write --panel 300x150mm, or --disc 200mm".to_owned());
        }
    };
    let bridge = args.bridge.ok_or("--as pierced needs the width of its bridges; write --bridge 6mm")?;
    Ok(Form::Pierced { panel, bridge, along: args.bridges_along.unwrap_or(args.grain) })
}

fn told(args: &LetterArgs, made: &Lettering) -> String {
    let [width, height] = made.page.map(Length::mm);
    let size = |length: Length| match args.units {
        Units::Metric => format!("{:.1} mm ({:.3} in)", length.as_mm(), length.as_inch()),
        Units::Inch => format!("{:.3} in ({:.1} mm)", length.as_inch(), length.as_mm()),
    };
    let mut text = format!("{}: {} by {}\n", args.out.display(), size(width), size(height));
    text += &format!("\"{}\" in {}, SHA-256 {}\n", args.text, made.font, made.sha256);
    match made.bridges.len() {
        0 => {}
        1 => text += "1 bridge holds what would fall out\n",
        n => text += &format!("{n} bridges hold what would fall out\n"),
    }
    text += &format!(
        "Now check it: shortgrain check {} --wood cherry --thickness {} --grain {}deg\n",
        args.out.display(),
        match args.units {
            Units::Metric => "19mm",
            Units::Inch => "3/4in --units in",
        },
        report::trimmed(args.grain.as_deg())
    );
    text
}
