//! What can be typed after `tautway blank`.

use clap::{Args, ValueEnum};

use super::answer::UnitsArg;
use super::lathe::WriteArgs;
use crate::plan;

/// Arguments of `blank`.
#[derive(Debug, Args)]
pub struct BlankArgs {
    /// What is to be filled in.
    #[arg(value_enum)]
    pub what: BlankArg,
    /// Units to answer in: those of its examples.
    #[arg(long, short, value_enum, default_value_t = UnitsArg::Inch)]
    pub units: UnitsArg,
    #[command(flatten)]
    pub file: WriteArgs,
}

/// The files with blanks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BlankArg {
    /// Shop tests of a lathe, for `lathe update`.
    Tests,
    /// Carriage and slide readings of the guide, for `guide`.
    Readings,
    /// What was gauged on a finished piece, for `piece` and `lathe learn`.
    Piece,
}

pub(super) const HELP: &str = "\
Examples:
  tautway blank readings --out guide.readings
  tautway blank piece --units metric";

impl From<BlankArgs> for plan::Blank {
    fn from(typed: BlankArgs) -> Self {
        Self {
            what: match typed.what {
                BlankArg::Tests => plan::BlankKind::Tests,
                BlankArg::Readings => plan::BlankKind::Readings,
                BlankArg::Piece => plan::BlankKind::Piece,
            },
            units: typed.units.into(),
            file: typed.file.into(),
        }
    }
}
