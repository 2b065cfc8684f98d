//! What may be typed after `fit`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use shortgrain::fit::{Corners, Glue};
use shortgrain::units::{Angle, Length, LengthUnit};

use crate::args::{DrawingArgs, InnerArg, OutArgs};

/// Fit an insert and its pocket: clearance, corners for the bits, depth, files to cut both.
///
/// The insert is a bar of a length and a width, or any closed outline of a drawing, seen from the face. The pocket
/// is the insert grown by the clearance. Convex corners of the insert are made at least as round as the bit that cuts the
/// pocket, hollow ones at least as round as the bit that cuts the insert and the clearance, so that both can be cut and go
/// together. What a bit does not get into is refused, with the largest bit that would.
///
/// Exit status: 0 when it fits, 1 when there is something to be careful about, 2 when there is no answer.
#[derive(Debug, Args)]
#[command(after_help = "Example: shortgrain fit --bar 60mm x 12mm --thickness 19mm --corners ends --out .")]
pub(crate) struct FitArgs {
    /// Drawing whose outlines are inserts, seen from the face (SVG or DXF)
    #[arg(value_name = "DESIGN")]
    pub(crate) design: Option<PathBuf>,

    /// A bar instead of a drawing: its length along the grain and its width
    ///
    /// Such as 60mm x 12mm, 60x12mm or 2-1/2in x 1/2in. A unit at the end holds for both.
    #[arg(long, value_name = "L x W", num_args = 1.., conflicts_with = "design")]
    pub(crate) bar: Vec<String>,

    /// Only this outline of the drawing, by its name; may be given more than once
    #[arg(long, value_name = "NAME", requires = "design")]
    pub(crate) piece: Vec<String>,

    #[command(flatten)]
    pub(crate) made: MadeArgs,

    #[command(flatten)]
    pub(crate) stock: StockArgs,

    #[command(flatten)]
    pub(crate) drawing: DrawnArgs,

    /// Draw insert and pocket at true size into this SVG file
    #[arg(long, value_name = "FILE", help_heading = "Answer")]
    pub(crate) picture: Option<PathBuf>,

    /// Write SVG and DXF for cutting, a cut list and a pattern into this directory
    #[arg(long, value_name = "DIR", help_heading = "Answer")]
    pub(crate) out: Option<PathBuf>,

    /// Also a small pocket and insert to try the fit on scrap
    #[arg(long, requires = "out", help_heading = "Answer")]
    pub(crate) coupon: bool,

    /// Show how each number comes about, and every line and arc
    #[arg(long, help_heading = "Answer")]
    pub(crate) explain: bool,

    #[command(flatten)]
    pub(crate) answer: OutArgs,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Fit")]
pub(crate) struct MadeArgs {
    /// Gap between insert and pocket, a side [default: 0.05mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) clearance: Option<Length>,

    /// Diameter of the bit that cuts the pocket [default: 1/4in]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) pocket_bit: Option<Length>,

    /// Diameter of the bit that cuts the insert [default: the pocket's]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) insert_bit: Option<Length>,

    /// What is done about corners, since bits are round
    #[arg(long, value_name = "STYLE", default_value = "round")]
    pub(crate) corners: CornersArg,

    /// Depth of the pocket [default: half the board's thickness]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) depth: Option<Length>,

    /// Thickness of the board the pocket is cut in
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) thickness: Option<Length>,

    /// How far the insert stands above the back at first [default: 0.4mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) proud: Option<Length>,

    /// What holds the insert
    #[arg(long, value_name = "GLUE", default_value = "pva")]
    pub(crate) glue: GlueArg,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Drawing")]
pub(crate) struct DrawnArgs {
    /// Print the overall size and how the drawing was read, and stop
    #[arg(long, requires = "design")]
    pub(crate) measure: bool,

    /// The unit the drawing was drawn in, where the file's is missing or wrong
    #[arg(long, value_name = "UNIT", requires = "design")]
    drawn_in: Option<LengthUnit>,

    /// Read only what lies on this layer; may be given several times
    #[arg(long, value_name = "NAME", requires = "design")]
    layer: Vec<String>,

    /// What a shape inside another with a different fill is
    #[arg(long, value_name = "MEANING", requires = "design")]
    inner: Option<InnerArg>,
}

/// Curves of an insert are read this finely, in mm, since arcs are made of them again.
const READ_TO: f64 = 0.0005;

impl DrawnArgs {
    /// The same as every verb has it.
    pub(crate) fn as_usual(&self) -> DrawingArgs {
        DrawingArgs {
            measure: self.measure,
            drawn_in: self.drawn_in,
            layer: self.layer.clone(),
            piece: Vec::new(),
            scale: None,
            font: Vec::new(),
            limit: Vec::new(),
            inner: self.inner,
            page: None,
            tolerance: Some(Length::mm(READ_TO)),
            gap: None,
        }
    }
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Stock")]
pub(crate) struct StockArgs {
    /// The insert's wood, for the cut list
    #[arg(long, value_name = "NAME")]
    pub(crate) wood: Option<String>,

    /// Which way the insert's own grain runs in the drawing [default: its long way]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true, conflicts_with = "bar")]
    pub(crate) grain: Option<Angle>,

    /// Spare inserts of each kind [default: one for every eight begun]
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(0..=200))]
    pub(crate) spares: Option<u16>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum CornersArg {
    /// The insert's corners are as round as the bit
    Round,
    /// A bar's ends are half circles
    Ends,
    /// The insert's corners stay sharp; the pocket's are cut out beyond them
    Relieved,
}

impl From<CornersArg> for Corners {
    fn from(arg: CornersArg) -> Self {
        match arg {
            CornersArg::Round => Self::Round,
            CornersArg::Ends => Self::Ends,
            CornersArg::Relieved => Self::Relieved,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum GlueArg {
    /// White or yellow wood glue
    Pva,
    /// Polyurethane, which foams
    Polyurethane,
    /// Epoxy, which fills
    Epoxy,
}

impl From<GlueArg> for Glue {
    fn from(arg: GlueArg) -> Self {
        match arg {
            GlueArg::Pva => Self::Pva,
            GlueArg::Polyurethane => Self::Polyurethane,
            GlueArg::Epoxy => Self::Epoxy,
        }
    }
}
