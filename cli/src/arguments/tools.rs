//! What can be typed after `tautway tools`.

use std::path::PathBuf;

use clap::{Command, Subcommand};

use super::manual;
use crate::failure::Failure;
use crate::plan::{self, Format, Plan, SchemaOf};

/// How a comparison is parted and joined.
const JOIN: &str = "\
Example:
  tautway compare job.toml --trials 500 --first-trial 1 --folder part1
  tautway compare job.toml --trials 500 --first-trial 501 --folder part2
  tautway tools join part1 part2 --folder whole

Four parts of 1000 lathes each, side by side on one machine with GNU parallel:
  seq 4 | parallel 'tautway compare job.toml --trials 1000 \\
      --first-trial $((({} - 1) * 1000 + 1)) --threads 1 --folder part{}'
  tautway tools join part1 part2 part3 part4 --folder whole

On many machines, as an array job of 4 tasks: it gives each task its number, from 1 on. The line of a
task, with its number in N; job and lathe file lie where all machines see them:
  tautway compare job.toml --trials 1000 \\
      --first-trial $(((N - 1) * 1000 + 1)) --threads 1 --folder part$N
When all have ended, join them as above. A task that ended with 2 or 3 is run again by itself; 1 says
that the drawing is not expected to be met, which is no failure.";

/// What serves other programs.
#[derive(Debug, Subcommand)]
pub enum ToolsCommand {
    /// Join parts of one comparison that were run by themselves, on any machines.
    ///
    /// Each part is a directory that `compare --trials N --first-trial N --folder DIR` wrote: of the same
    /// files, seed and version, together from 1 on without a gap. What comes out is what one run
    /// of all would have written, byte for byte.
    #[command(after_help = JOIN)]
    Join {
        /// The parts, in any order.
        #[arg(required = true, value_name = "DIR")]
        parts: Vec<PathBuf>,
        /// How to answer: text to read, JSON with every record in SI, CSV with a row for each way.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
        /// Also write report, data and every figure (SVG and PNG) into this new folder.
        #[arg(long, short = 'f', value_name = "DIR")]
        folder: Option<PathBuf>,
        /// Replace what an earlier run wrote there.
        #[arg(long, requires = "folder")]
        overwrite: bool,
        /// Threads to run on [default: all there are]: the answer is the same on any number.
        #[arg(long, short = 'j', value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
        threads: Option<u16>,
    },
    /// Write what a file may say, or what a command answers, as a JSON Schema.
    ///
    /// Of a file every key, with the words and numbers that may stand there; units are left to
    /// `check`. Of an answer in JSON every key, with what it is and its unit.
    #[command(after_help = "Examples:\n  tautway tools schema job > job.json\n  \
                      tautway tools schema answers/compare > compare.json")]
    Schema {
        /// Of which file, or of which command's answer.
        #[arg(value_enum)]
        kind: SchemaOf,
    },
    /// Write the manual page of the program, or of one command.
    #[command(after_help = "Example:\n  tautway tools manual > tautway.1\n  \
                      tautway tools manual lathe update > tautway-lathe-update.1")]
    Manual {
        /// The command; nothing for the whole program.
        #[arg(value_name = "COMMAND")]
        of: Vec<String>,
    },
    /// Write what a shell needs to fill in commands and options.
    #[command(after_help = "Example:\n  tautway tools completions bash > tautway.bash")]
    Completions {
        /// The shell.
        #[arg(value_enum)]
        shell: clap_complete::Shell,
    },
}

impl ToolsCommand {
    /// What was typed as a plan; `whole` is the program's command line.
    ///
    /// # Errors
    /// When there is no such command to tell of.
    pub fn plan(self, whole: Command) -> Result<Plan, Failure> {
        Ok(match self {
            Self::Join {
                parts,
                format,
                folder,
                overwrite,
                threads,
            } => Plan::Join(plan::Join {
                parts,
                format,
                to: plan::To {
                    out: folder,
                    overwrite,
                    units: None,
                },
                threads,
            }),
            Self::Schema { kind } => Plan::Schema(kind),
            Self::Manual { of } => Plan::Help(manual::manual(whole, &of)?),
            Self::Completions { shell } => Plan::Help(manual::completions(whole, shell)),
        })
    }
}
