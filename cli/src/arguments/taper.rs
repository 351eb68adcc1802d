//! Which taper to tell in every form.

use clap::Args;

use super::answer::UnitsArg;
use crate::failure::Failure;
use crate::plan::{self, CheckFormat};
use tautway_screens::typed::TypedLength;

/// Which taper, and what is asked of it.
#[derive(Args, Debug)]
pub struct TaperArgs {
    /// A taper in any notation or a standard one's name: `3/4 in/ft`, `1:16`, `morse 2`.
    #[arg(
        value_name = "TEXT",
        required_unless_present = "list",
        allow_negative_numbers = true
    )]
    pub text: Vec<String>,
    /// List the standard tapers known.
    #[arg(long)]
    pub list: bool,
    /// Carriage travel to tell the slide's reading for.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub travel: Option<TypedLength>,
    /// Reading on a diameter readout to tell the carriage travel for.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub reading: Option<TypedLength>,
    /// Length along the axis: to tell that along the side for.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub length: Option<TypedLength>,
    /// Units to answer in [default: as typed].
    #[arg(long, short, value_enum)]
    pub units: Option<UnitsArg>,
    /// How to answer.
    #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
    pub format: CheckFormat,
}

impl TryFrom<TaperArgs> for plan::Taper {
    type Error = Failure;

    fn try_from(typed: TaperArgs) -> Result<Self, Failure> {
        let taper = if typed.list {
            None
        } else {
            Some(typed.text.join(" ").parse().map_err(Failure::Input)?)
        };
        Ok(Self {
            taper,
            travel: typed.travel,
            reading: typed.reading,
            length: typed.length,
            units: typed.units.map(Into::into),
            format: typed.format,
        })
    }
}
