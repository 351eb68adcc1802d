//! What can be typed after `tautway piece`.

use std::path::PathBuf;

use clap::Args;

use super::answer::{RunArgs, UnitsArg};
use crate::plan::{self, CheckFormat};

/// Arguments of `piece`.
#[derive(Debug, Args)]
pub struct PieceArgs {
    /// What was gauged on the piece.
    pub file: PathBuf,
    /// Job to go by: the one that it was cut to, if its file doesn't name it.
    #[arg(long, value_name = "FILE")]
    pub job: Option<PathBuf>,
    /// Lathes to try: each with every uncertain number drawn from its range, for every cause.
    #[arg(long, value_name = "N", default_value_t = 150, value_parser = clap::value_parser!(u64).range(20..=10_000))]
    pub trials: u64,
    #[command(flatten)]
    pub run: RunArgs,
    /// Units to answer in [default: those of the file].
    #[arg(long, short, value_enum)]
    pub units: Option<UnitsArg>,
    /// How to answer.
    #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
    pub format: CheckFormat,
}

pub(super) const HELP: &str = "\
Example:
  tautway piece socket.gauged --job job.toml

What was gauged is a small file; leave out what wasn't (invented numbers):
  job = \"tapered-socket.toml\"   # looked for beside this file
  units = \"inch\"
  [way]
  feed = \"tailstock\"            # side and rotation too, if not front and forward
  started = \"1.0 in\"            # before the taper; left out: as the sheet says
  [gauged]                      # each with how far its gauge may be off
  diameters = [[\"0.1 in\", \"2.4855 in\"], [\"1.4 in\", \"2.2976 in\"], [\"2.6 in\", \"2.1241 in\"]]
  diameter_off = \"0.0003 in\"    # places are counted from the big end
  taken = \"0.0085 in +- 0.0003 in\"
  waves = \"0.0010 in +- 0.0003 in\"
  spacing = \"0.8 in +- 0.2 in\"
  straight = \"0.2 in +- 0.05 in\"
  step = \"0.0020 in +- 0.0005 in\"
  roundness = \"0.0005 in +- 0.0002 in\"
  guide = \"1.735 in/ft +- 0.003 in/ft\"   # as carriage and slide readings proved it

Cool before gauging, chips and burrs off. `tautway lathe learn` reads the same file.";

impl From<PieceArgs> for plan::Piece {
    fn from(typed: PieceArgs) -> Self {
        Self {
            file: typed.file,
            job: typed.job,
            cuts: typed.trials,
            seed: typed.run.seed,
            threads: typed.run.threads,
            units: typed.units.map(Into::into),
            format: typed.format,
        }
    }
}
