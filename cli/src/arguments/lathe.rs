//! What can be typed after `tautway lathe`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::answer::{RunArgs, UnitsArg};
use super::choice::Choice;
use crate::plan::{self, CheckFormat};

/// What to do about the lathe's numbers.
#[derive(Debug, Subcommand)]
pub enum LatheCommand {
    /// Print the form of the shop tests, to take to the lathe.
    ///
    /// Procedures in short, boxes for three repeats, safety first. Tests 1, 4 and 9 are the
    /// least to do.
    #[command(after_help = "Example:\n  tautway lathe form > form.txt")]
    Form,
    /// Ask for the readings at the terminal and write them to a file.
    ///
    /// Enter alone means "not done". Repeats are parted by commas.
    #[command(after_help = "Example:\n  tautway lathe ask --out tests.toml")]
    Ask {
        /// Units to answer in: those of the examples.
        #[arg(long, short, value_enum, default_value_t = UnitsArg::Inch)]
        units: UnitsArg,
        #[command(flatten)]
        file: WriteArgs,
    },
    /// Work out the lathe's numbers from the filled-in file and write the lathe file.
    ///
    /// Each number is the mean of its repeats; its range covers the truth 95 times in 100, by
    /// Student's t and the gauge's step. What wasn't tested stays as it was. Parts that don't
    /// add up within 20 % are told. Without --out nothing is written.
    #[command(
        after_help = "Examples:\n  tautway lathe update tests.toml --from worn --out lathe.toml\n  \
                      tautway lathe update tests.toml --from lathe.toml --out lathe-2.toml"
    )]
    Update {
        /// The filled-in file.
        tests: PathBuf,
        /// What is known besides: a lathe file, or one word: good, ordinary, worn, junk.
        #[arg(long, value_name = "LATHE|WORD")]
        from: String,
        /// Job to go by: run on the lathe as it was and as it is now, to tell what narrowed.
        #[arg(long, value_name = "FILE")]
        job: Option<PathBuf>,
        #[command(flatten)]
        run: RunArgs,
        #[command(flatten)]
        file: WriteArgs,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
    /// Name the test that would most narrow the answer for a job.
    ///
    /// Every uncertain number is moved through its range and the job run again; then for each
    /// test with the ranges it would leave. The most likely way is taken, or the one you choose.
    #[command(after_help = "Example:\n  tautway lathe next job.toml")]
    Next {
        /// The job file.
        job: PathBuf,
        #[command(flatten)]
        choice: Choice,
        #[command(flatten)]
        run: RunArgs,
        /// Units to answer in [default: those of the file].
        #[arg(long, short, value_enum)]
        units: Option<UnitsArg>,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
    /// Narrow the lathe's numbers by what finished pieces gave.
    ///
    /// The job is run on lathes drawn from the ranges, and these are moved until they give what was
    /// gauged (Bayes); what one piece told is where the next begins. Shows every number before and
    /// after; without --out nothing is written.
    #[command(after_help = LEARN_HELP)]
    Learn {
        /// What was gauged on each finished piece, all cut on one lathe.
        #[arg(required = true, value_name = "FILE")]
        gauged: Vec<PathBuf>,
        /// Job to go by: the one that the first was cut to, and each further one whose file names
        /// none [default: the one that its file names].
        #[arg(long, value_name = "FILE")]
        job: Option<PathBuf>,
        /// Lathes to try: each with every uncertain number drawn from its range.
        #[arg(long, value_name = "N", default_value_t = 1000, value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
        trials: u32,
        #[command(flatten)]
        run: RunArgs,
        /// Tell more: how it was worked out.
        #[arg(long, short)]
        detail: bool,
        #[command(flatten)]
        file: WriteArgs,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
}

const LEARN_HELP: &str = "\
Examples:
  tautway lathe learn socket.gauged --out lathe-2.toml
  tautway lathe learn first.gauged second.gauged --job job.toml

What was gauged is a small file; leave out what wasn't:
  job = \"job.toml\"            # looked for beside this file
  units = \"inch\"
  [way]
  feed = \"tailstock\"          # side and rotation too, if not front and forward
  [gauged]                    # each with how far its gauge may be off
  taken = \"0.0085 in +- 0.0003 in\"
  taper = \"1.984 in/ft +- 0.004 in/ft\"
  waves = \"0.0002 in +- 0.0001 in\"
  [other_way]                 # a pass fed the other way: with taken above, the strongest pair
  set = \"0.010 in\"            # where it isn't the depth of the job's last pass
  taken = \"0.0062 in +- 0.0003 in\"";

/// Where a file is to be written.
#[derive(Args, Clone, Debug)]
pub struct WriteArgs {
    /// Write it to this new file; - for standard output.
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace what an earlier run wrote there.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
}

impl From<WriteArgs> for plan::Write {
    fn from(typed: WriteArgs) -> Self {
        Self {
            write: typed.out,
            overwrite: typed.overwrite,
        }
    }
}

impl From<LatheCommand> for plan::Lathe {
    fn from(typed: LatheCommand) -> Self {
        match typed {
            LatheCommand::Form => Self::Form,
            LatheCommand::Ask { units, file } => Self::Ask {
                units: units.into(),
                file: file.into(),
            },
            LatheCommand::Update {
                tests,
                from,
                job,
                run,
                file,
                format,
            } => Self::Update {
                tests,
                from,
                job,
                run: run.into(),
                file: file.into(),
                format,
            },
            LatheCommand::Next {
                job,
                choice,
                run,
                units,
                format,
            } => Self::Next {
                job,
                choice: choice.into(),
                run: run.into(),
                units: units.map(Into::into),
                format,
            },
            LatheCommand::Learn {
                job,
                gauged,
                trials,
                run,
                detail,
                file,
                format,
            } => Self::Learn {
                job,
                gauged,
                draws: trials as usize,
                seed: run.seed,
                threads: run.threads,
                detail,
                file: file.into(),
                format,
            },
        }
    }
}
