//! What can be typed after `tautway thread`.

use std::path::PathBuf;

use clap::Args;

use super::answer::{self, AnswerArgs, Trials};
use crate::failure::Failure;
use crate::plan;

/// A table [thread], and where the thread dial is told.
pub const HELP: &str = "\
A table [thread] in the job, whose [work] diameter is that over the crests:
  [thread]
  hand = \"right\"
  form = \"taper pipe\"          # or 60 degree, 55 degree rounded, V-0.038R ... V-0.065, own
  threads_per_inch = \"11-1/2\"  # or pitch
  passes = 12                   # or each by its depth: [\"0.010 in\", \"0.006 in\"]
  spring = 2
  headstock_end = \"runs out\"   # or groove, or open
  tailstock_end = \"open\"

Also known there: flank_angle (small_end_flank, big_end_flank where they differ), crest_flat,
root_flat or root_radius, depth, lead_tolerance (\"0.0015 in/in\"), infeed (square or along the
flank), infeed_angle, crowding, dog_reach and dog_radius. In the lathe file, for the thread dial:
[lead_screw] threads_per_inch or pitch, dial_lines, dial_turn (carriage travel for one turn).

Example:
  tautway thread job.toml --out report";

/// Which thread, and how the answer is wanted.
#[derive(Args, Clone, Debug)]
pub struct ThreadArgs {
    /// The job file. The lathe file it names is looked for beside it.
    pub job: PathBuf,
    #[command(flatten)]
    pub answer: AnswerArgs,
    /// Lathes to try: each with every uncertain number drawn from its range; 0 for none.
    #[arg(long, value_name = "N", default_value_t = 200, value_parser = number)]
    pub trials: u64,
}

/// A number of lathes.
fn number(text: &str) -> Result<u64, String> {
    match answer::trials(text)? {
        Trials::Number(number) => Ok(number),
        Trials::Auto => Err("write how many: 200, or 0 for none".to_owned()),
    }
}

impl TryFrom<ThreadArgs> for plan::Thread {
    type Error = Failure;

    fn try_from(typed: ThreadArgs) -> Result<Self, Failure> {
        answer::enough(typed.trials)?;
        Ok(Self {
            job: typed.job,
            answer: typed.answer.try_into()?,
            trials: typed.trials,
        })
    }
}
