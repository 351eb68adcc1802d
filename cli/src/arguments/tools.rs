//! What can be typed after `tautway tools`.

use std::path::PathBuf;

use clap::{Command, Subcommand};

use super::manual;
use crate::failure::Failure;
use crate::plan::{self, FileKind, Format, Plan};

/// What serves other programs.
#[derive(Debug, Subcommand)]
pub enum ToolsCommand {
    /// Join parts of one comparison that were run by themselves, on any machines.
    ///
    /// Each part is a directory that `compare --trials N --first-trial N --folder DIR` wrote: of the same
    /// files, seed and version, together from 1 on without a gap. What comes out is what one run
    /// of all would have written, byte for byte.
    #[command(
        after_help = "Example:\n  tautway compare job.toml --trials 500 --first-trial 1 --folder part1\n  \
                      tautway compare job.toml --trials 500 --first-trial 501 --folder part2\n  \
                      tautway tools join part1 part2 --folder whole"
    )]
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
    /// Write what a file may say as a JSON Schema, for editors and other programs.
    ///
    /// Every key, with the words and numbers that may stand there. Units are left to `check`.
    #[command(after_help = "Example:\n  tautway tools schema job > job.json")]
    Schema {
        /// Of which file.
        #[arg(value_enum)]
        kind: FileKind,
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
