//! What can be typed after the program's name, and the help that teaches it.

mod answer;
mod choice;
mod change;
mod lathe;
mod blank;
mod lesson;
mod method;
mod page;
mod piece;
mod thread;
mod fit;
mod taper;
mod forms;
mod grouped;
mod manual;

use std::path::PathBuf;

use clap::{Arg, Args, CommandFactory, Parser, Subcommand};

use answer::{
    AnswerArgs, RangeArgs, ReadingsArgs, RehearsalArgs, RunArgs, SpreadArgs, To, UnitsArg, lathes,
};
pub use grouped::hint;

use blank::BlankArgs;
use change::{ModifyArgs, PreloadArgs};
use choice::Choice;
use fit::Sum;
use lathe::LatheCommand;
use lesson::LessonArgs;
use method::MethodArg;
use page::PageArgs;
use piece::PieceArgs;
use taper::TaperArgs;
use thread::ThreadArgs;

use crate::failure::Failure;
use crate::plan::{self, CheckFormat, FileKind, Format, Paper, Plan, SheetFormat};
use crate::terminal::Colour;

/// Says which way to make a taper cut on a worn manual lathe with a taper attachment, and what
/// taper, size and surface to expect.
///
/// Two small text files say what is known: one describes the lathe, once; one describes the job
/// and names its lathe. "don't know" is a good answer to anything but the drawing.
#[derive(Debug, Parser)]
#[command(
    name = "tautway",
    version = crate::processor::version(),
    help_template = grouped::HELP,
    after_help = FIRST_STEPS
)]
pub struct Arguments {
    /// Colour and bold for what a person reads.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const FIRST_STEPS: &str = "\
First steps:
  tautway new myjob             asks about lathe and job, writes both files
  tautway compare myjob/job.toml

What it returns to a script: 0 done, 1 the drawing is not expected to be met or a hand move would
break something, 2 the files or the command are not right, 3 it could not run.

A prediction is not an inspection: gauge the work.";

const READINGS_FILE: &str = "\
A file of readings (invented numbers):
  name = \"guide at 1-3/4 in/ft\"
  units = \"inch\"

  [wanted]
  taper = \"1-3/4 in/ft\"
  tolerance = \"+0.000 -0.030 in/ft\"
  big_end = \"tailstock\"

  [readout]
  reads = \"diameter\"
  step = \"0.0005 in\"

  [guide]
  end_radius = \"10 in\"

  [readings]
  rows = \"\"\"
  carriage in   slide in   direction
    0.000        0.0000     tailstock
    6.000        0.8790     tailstock
  \"\"\"

Spindle stopped, tool clear of the work. Run past each place and come back to it, so that the
slack is taken up before reading.

Example:
  tautway guide guide.readings";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Run every way of making the cut and rank them.
    ///
    /// Front or rear, from either end, spindle forward or reversed: each way that this lathe can
    /// do is run on the same piece of work and held against the drawing. The best stands first,
    /// then what the others cost.
    #[command(after_help = "Example:\n  tautway compare job.toml --out report")]
    Compare {
        /// The job file. The lathe file it names is looked for beside it.
        job: PathBuf,
        #[command(flatten)]
        answer: AnswerArgs,
        #[command(flatten)]
        spread: SpreadArgs,
        #[command(flatten)]
        range: RangeArgs,
    },
    /// Join parts of one comparison that were run by themselves, on any machines.
    ///
    /// Each part is a directory that `compare --from N --count N --out DIR` wrote: of the same
    /// files, seed and version, together from 1 on without a gap. What comes out is what one run
    /// of all would have written, byte for byte.
    #[command(
        after_help = "Example:\n  tautway compare job.toml --from 1 --count 500 --out part1\n  \
                      tautway compare job.toml --from 501 --count 500 --out part2\n  \
                      tautway join part1 part2 --out whole"
    )]
    #[command(hide = true)]
    Join {
        /// The parts, in any order.
        #[arg(required = true, value_name = "DIR")]
        parts: Vec<PathBuf>,
        /// Text to read, JSON with every record in SI, or CSV with a row for each way.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
        /// Also write report, data and every figure (SVG and PNG) to this new directory.
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Let --out replace what it wrote there before.
        #[arg(long, requires = "out")]
        overwrite: bool,
        /// Threads to run on [default: all there are].
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
        threads: Option<u16>,
    },
    /// Tell one way in detail: the best, or the one you choose.
    ///
    /// Choose by side, feed and rotation. What you leave open is taken from the best way that
    /// agrees with the rest.
    #[command(after_help = "Example:\n  tautway predict job.toml --feed headstock")]
    Predict {
        /// The job file. The lathe file it names is looked for beside it.
        job: PathBuf,
        #[command(flatten)]
        choice: Choice,
        #[command(flatten)]
        answer: AnswerArgs,
        #[command(flatten)]
        spread: SpreadArgs,
        /// A way without the attachment instead.
        #[arg(long, value_enum, conflicts_with_all = ["side", "feed", "rotation", "trial", "start"])]
        method: Option<MethodArg>,
        /// Make the cut of this one trial, with the numbers drawn in it, instead of the middle's.
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..1 << 40))]
        trial: Option<u64>,
        /// Make the last pass again with the slide's weight, through time, and tell both.
        #[arg(long, conflicts_with = "method")]
        inertia: bool,
    },
    /// Open the moving picture in the browser: turn a knob and see what comes of it.
    Page(PageArgs),
    /// Say how to hold the slide by a weight, spring or cylinder, and whether the job needs it.
    #[command(hide = true)]
    Preload(Box<PreloadArgs>),
    /// Say what changes to lathe, tool and way of cutting would buy, on the same lathes.
    Modify(Box<ModifyArgs>),
    /// Write the setup sheet to take to the lathe: one page, with blanks to write in.
    ///
    /// The best way, or the one you choose. HTML prints on one page, can be copied to a phone and
    /// needs nothing else. There is no sheet for a way that can't be cut or may never be advised.
    #[command(
        after_help = "Example:\n  tautway sheet job.toml --out sheet.html",
        mut_arg("out", to_a_file)
    )]
    Sheet {
        /// The job file. The lathe file it names is looked for beside it.
        job: PathBuf,
        #[command(flatten)]
        choice: Choice,
        #[command(flatten)]
        sheet: SheetArgs,
    },
    /// Write a lesson on the attachment: one HTML file with questions, numbers of this lathe, motion.
    Lesson(LessonArgs),
    /// Tell what a finished piece says: its taper and size, and what most likely made it so.
    ///
    /// Stories of one trouble each (guide set wrong, started too close, slide floating, long bar,
    /// tool off centre, headstock out, foot loose, run-out, bowed guide) are cut many times on
    /// lathes like yours, and the readings looked up among what comes of them. With it comes the
    /// cheapest look that would tell the two likeliest apart.
    #[command(after_help = piece::HELP)]
    Piece(PieceArgs),
    /// Read the files and tell every fault, with its place and what would be right.
    ///
    /// Nothing is run. Any file the program reads: job (with the lathe it names), lathe, readings,
    /// hand moves (with their lathe), filled-in shop tests, what a finished job gave.
    #[command(after_help = "Example:\n  tautway check job.toml\n  tautway check guide.readings")]
    Check {
        /// The file; what stands in it says what it is.
        file: PathBuf,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
    /// Work out the taper really set from carriage and slide readings.
    ///
    /// Reads a small table typed at the lathe: taper, error, lost motion, which way to nudge the
    /// guide, and whether the tolerance is proven. Returns 1 when it is not.
    #[command(after_help = READINGS_FILE)]
    #[command(name = "guide", alias = "readings")]
    Readings {
        /// The file of readings.
        file: PathBuf,
        #[command(flatten)]
        answer: ReadingsArgs,
    },
    /// Try hand moves on the modelled lathe: what carriage, dial, readout and tool really do.
    ///
    /// The moves file names the lathe and the guide's taper, then lists one move a line. The
    /// rehearsal ends before the first move that would break something. At the machine: main
    /// switch off, tool clear, air off and bled before anything is uncoupled.
    #[command(after_help = REHEARSE_HELP)]
    Rehearse {
        /// The moves file. The lathe file it names is looked for beside it.
        moves: PathBuf,
        #[command(flatten)]
        answer: RehearsalArgs,
    },
    /// Fill in the lathe's numbers: shop tests, the next test to do, what a finished job taught.
    #[command(
        subcommand,
        after_help = "Example:\n  tautway lathe update tests.toml --from worn --write lathe.toml"
    )]
    Lathe(LatheCommand),
    /// Write a file to fill in: shop tests, readings of the guide, a finished piece.
    ///
    /// Every line that is to be filled in stands there with an example.
    #[command(after_help = blank::HELP)]
    Blank(BlankArgs),
    /// Ask about lathe and job in shop words and write both files.
    ///
    /// Enter alone means "don't know". If a lathe file is there already, it is kept and only the
    /// job is asked about.
    #[command(after_help = "Example:\n  tautway new myjob\n  tautway new myjob --example")]
    New {
        /// A directory for lathe.toml and job.toml, or the job file itself (ending in .toml).
        #[arg(default_value = ".", value_name = "DIR|FILE")]
        place: PathBuf,
        /// Ask nothing: write an example with invented numbers.
        #[arg(long)]
        example: bool,
        /// Write over files that are there, if tautway wrote them.
        #[arg(long)]
        overwrite: bool,
    },
    /// Gauging sums at the lathe: standoff to dial, blue to guide nudge, rolls, balls, diameters.
    ///
    /// Every length carries its unit, and its error where you know it: "0.100 in +- 0.001 in".
    /// What you leave out is taken for a usual gauge and said so.
    #[command(
        after_help = "Example:\n  tautway gauging standoff --taper \"2 in/ft\" --read \"0.100 in\" \
                      --kind inside"
    )]
    #[command(name = "gauging", alias = "fit")]
    Fit {
        /// Which sum.
        #[command(subcommand)]
        sum: Box<Sum>,
        /// Units to answer in [default: as typed].
        #[arg(long, value_enum, global = true)]
        units: Option<UnitsArg>,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text, global = true)]
        format: CheckFormat,
    },
    /// Plan a taper thread: which way, every pass, where to start, what becomes of the lead.
    ///
    /// The job's table [thread] tells hand, form and threads per inch. Each pass is cut on the
    /// model: push-off, seat of the slide, depth really reached. With the attachment and, where it
    /// can be done, with the tailstock over. Returns 1 when the drawing is not expected to be met.
    #[command(after_help = thread::HELP)]
    #[command(hide = true)]
    Thread(ThreadArgs),
    /// Tell one taper in every form: any notation, or a standard taper's name.
    ///
    /// With the slide's reading for a run of the carriage, length along the side, and the blocks
    /// for a sine bar.
    #[command(after_help = "Example:\n  tautway taper 2 in/ft\n  tautway taper morse 2")]
    #[command(hide = true)]
    Taper(Box<TaperArgs>),
    /// Write what a job or lathe file may say as a JSON Schema, for editors and other programs.
    ///
    /// Every key, with the words and numbers that may stand there. Units are left to `check`.
    #[command(after_help = "Example:\n  tautway schema job > job.json")]
    #[command(hide = true)]
    Schema {
        /// Of which file.
        #[arg(value_enum)]
        kind: FileKind,
    },
    /// Write the manual page of the program, or of one command.
    #[command(after_help = "Example:\n  tautway manual > tautway.1\n  \
                      tautway manual lathe update > tautway-lathe-update.1")]
    #[command(hide = true)]
    Manual {
        /// The command; nothing for the whole program.
        #[arg(value_name = "COMMAND")]
        of: Vec<String>,
    },
    /// Write what a shell needs to fill in commands and options.
    #[command(after_help = "Example:\n  tautway completions bash > tautway.bash")]
    #[command(hide = true)]
    Completions {
        /// The shell.
        #[arg(value_enum)]
        shell: clap_complete::Shell,
    },
}

const REHEARSE_HELP: &str = "\
A moves file:
  name = \"where the zero belongs\"
  lathe = \"lathe.toml\"
  taper = \"1-3/4 in/ft\"
  big_end = \"tailstock\"
  moves:
  carriage 2 in toward the headstock
  reverse                       # turns the next carriage move
  carriage 1-1/2 in
  zero readout
  carriage 3 in

The other moves: dial in|out 0.010 in, zero dial, top slide in|out 5 thou, bump slide toward the
operator|away [with 30 lbf | by 0.1 in], lock|unlock slide, lock|unlock top slide, lock|unlock
shoe, clamp foot, let foot go, couple, uncouple, cross feed in|out, air on 60 psi, air off.
Air wants a table [cylinder] in the head, with bore and toward; a table [start] may say what is
left at the beginning: room_headstock of the guide, room_operator of the slide.

Returns 1 where a move would break something.

Example:
  tautway rehearse zero-too-early.moves --out report";

/// A sheet is one file, not a directory of them.
fn to_a_file(out: Arg) -> Arg {
    out.value_name("FILE")
        .help("Write the sheet to this new file")
}

/// How a sheet is wanted.
#[derive(Args, Clone, Debug)]
pub struct SheetArgs {
    /// Text, HTML for print, or JSON with the records in SI [default: by the ending of --out, else
    /// text].
    #[arg(long, value_enum)]
    pub format: Option<SheetFormat>,
    #[command(flatten)]
    pub to: To,
    /// Paper of the HTML page [default: letter with inches, A4 with millimetres].
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    #[command(flatten)]
    pub run: RunArgs,
}

impl Arguments {
    /// What was typed as a plan.
    ///
    /// # Errors
    /// When it can't be understood.
    pub fn plan(self) -> Result<Plan, Failure> {
        Ok(match self.command {
            Command::Compare {
                job,
                answer,
                spread,
                range,
            } => Plan::Compare(plan::Compare {
                job,
                answer: answer.into(),
                lathes: lathes(&spread, range),
            }),
            Command::Join {
                parts,
                format,
                out,
                overwrite,
                threads,
            } => Plan::Join(plan::Join {
                parts,
                format,
                to: plan::To {
                    out,
                    overwrite,
                    units: None,
                },
                threads,
            }),
            Command::Predict {
                job,
                choice,
                answer,
                spread,
                method,
                trial,
                inertia,
            } => {
                let (answer, lathes) = (answer.into(), lathes(&spread, RangeArgs::default()));
                match method {
                    Some(method) => Plan::WithoutAttachment(plan::WithoutAttachment {
                        job,
                        method: method.into(),
                        answer,
                        lathes,
                    }),
                    None => Plan::Predict(plan::Predict {
                        job,
                        choice: choice.into(),
                        answer,
                        lathes,
                        trial,
                        inertia,
                    }),
                }
            }
            Command::Page(args) => Plan::Page(args.into()),
            Command::Preload(args) => Plan::Preload((*args).into()),
            Command::Modify(args) => Plan::Modify((*args).into()),
            Command::Sheet { job, choice, sheet } => Plan::Sheet(of_a_sheet(job, choice, sheet)),
            Command::Lesson(args) => Plan::Lesson(args.into()),
            Command::Piece(args) => Plan::Piece(args.into()),
            Command::Check { file, format } => Plan::Check { file, format },
            Command::Readings { file, answer } => Plan::Readings(plan::Readings {
                file,
                format: answer.format,
                to: answer.to.into(),
            }),
            Command::Rehearse { moves, answer } => Plan::Rehearse(plan::Rehearse {
                moves,
                format: answer.format,
                to: answer.to.into(),
            }),
            Command::Blank(args) => Plan::Blank(args.into()),
            Command::Lathe(what) => Plan::Lathe(what.into()),
            Command::New {
                place,
                example,
                overwrite,
            } => Plan::New(plan::New {
                place,
                example,
                overwrite,
            }),
            Command::Fit { sum, units, format } => Plan::Fit(Box::new(plan::Fit {
                sum: (*sum).into(),
                units: units.map(Into::into),
                format,
            })),
            Command::Thread(args) => Plan::Thread(args.into()),
            Command::Taper(args) => Plan::Taper((*args).try_into()?),
            Command::Schema { kind } => Plan::Schema(kind),
            Command::Manual { of } => Plan::Help(manual::manual(Self::command(), &of)?),
            Command::Completions { shell } => {
                Plan::Help(manual::completions(Self::command(), shell))
            }
        })
    }
}

fn of_a_sheet(job: PathBuf, choice: Choice, sheet: SheetArgs) -> plan::Sheet {
    let by_ending = match sheet.to.ending() {
        Some("html" | "htm") => SheetFormat::Html,
        Some("json") => SheetFormat::Json,
        _ => SheetFormat::Text,
    };
    plan::Sheet {
        job,
        choice: choice.into(),
        format: sheet.format.unwrap_or(by_ending),
        to: sheet.to.into(),
        paper: sheet.paper,
        run: sheet.run.into(),
    }
}
