//! What can be typed after the program's name, and the help that teaches it.

mod endings;
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
mod former;
mod manual;
mod tools;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Args, CommandFactory, Parser, Subcommand};

use answer::{
    AnswerArgs, RangeArgs, ReadingsArgs, RehearsalArgs, RunArgs, SpreadArgs, To, UnitsArg, lathes,
};

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
use tools::ToolsCommand;

use crate::failure::Failure;
use crate::plan::{self, CheckFormat, Decimal, Paper, Plan, SheetFormat};
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
    /// Decimal sign of tables: of CSV, wherever it is written.
    #[arg(long, global = true, value_enum, default_value_t = Decimal::Point, value_name = "SIGN")]
    pub decimal: Decimal,
    /// Tell no progress, no hints and no files written; what is wrong is told all the same.
    #[arg(long, short, global = true)]
    pub quiet: bool,
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

Or a plug, socket or mating part to be copied, swept with an indicator on the tool post, guide let go
and slide locked (it reads more as its plunger goes in); with [guide] coupled = true what the slide
on the guide differs from it:
  name = \"plug of an old valve\"
  units = \"inch\"

  [sample]
  kind = \"outside\"
  big_end = \"headstock\"
  step = \"0.0005 in\"
  carriage_grows = \"tailstock\"

  [swept]                       # [turned]: again, spindle half a turn on; [behind]: from the rear
  rows = \"\"\"
  carriage in   slide in
    0.000        0.0000
    2.500       -0.1195
  \"\"\"

Example:
  tautway guide guide.readings";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Run every way of making the cut and rank them.
    ///
    /// Front or rear, from either end, spindle forward or reversed: each way that this lathe can
    /// do is run on the same piece of work and held against the drawing. The best stands first,
    /// then what the others cost. Of a job with a table [thread] the thread is told below the cone
    /// that is turned first.
    #[command(after_help = "Example:\n  tautway compare job.toml --folder report")]
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
    /// Tell one way in detail: the best, or the one you choose.
    ///
    /// Choose by side, feed and rotation. What you leave open is taken from the best way that
    /// agrees with the rest. Of a job with a table [thread] every pass of the thread is told, too.
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
        /// A way other than one set-up of the attachment instead.
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
    /// The best way, or the one you choose. HTML and PDF print on one page, can be copied to a phone
    /// and need nothing else. There is no sheet for a way that can't be cut or may never be advised.
    #[command(after_help = "Example:\n  tautway sheet job.toml --out sheet.pdf")]
    Sheet {
        /// The job file. The lathe file it names is looked for beside it.
        job: PathBuf,
        #[command(flatten)]
        choice: Choice,
        /// A way other than one set-up of the attachment instead.
        #[arg(long, value_enum, conflicts_with_all = ["side", "feed", "rotation"])]
        method: Option<MethodArg>,
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
    /// Nothing is run; of many files the exit code is the worst. Any file the program reads: job (with the lathe it names), lathe, readings,
    /// hand moves (with their lathe), filled-in shop tests, what a finished job gave.
    #[command(after_help = "Example:\n  tautway check job.toml\n  tautway check guide.readings")]
    Check {
        /// The files; what stands in one says what it is.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
    /// Work out the taper really set from carriage and slide readings, or that of a sample swept.
    ///
    /// Reads a small table typed at the lathe: taper, error, lost motion, which way to nudge the
    /// guide, and whether the tolerance is proven. Returns 1 when it is not.
    #[command(after_help = READINGS_FILE)]
    #[command(name = "guide")]
    Readings {
        /// The file of readings, or of a swept sample.
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
        after_help = "Example:\n  tautway lathe update tests.toml --from worn --out lathe.toml"
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
        /// Replace what an earlier run wrote there.
        #[arg(long)]
        overwrite: bool,
    },
    /// Gauging sums at the lathe: standoff to dial, blue to guide nudge, rolls, balls, diameters.
    ///
    /// Every length carries its unit, and its error where you know it: "0.100 in +- 0.001 in".
    /// What you leave out is taken for a usual gauge and said so.
    #[command(
        after_help = "Example:\n  tautway gauging standoff --taper \"1-1/2 in/ft\" --read \"0.100 in\" \
                      --kind inside"
    )]
    #[command(name = "gauging")]
    Fit {
        /// Which sum.
        #[command(subcommand)]
        sum: Box<Sum>,
        /// Units to answer in [default: as typed].
        #[arg(long, short, value_enum, global = true)]
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
    #[command(after_help = "Example:\n  tautway taper 1-1/2 in/ft\n  tautway taper morse 2")]
    #[command(hide = true)]
    Taper(Box<TaperArgs>),
    /// Serve other programs: parts of one comparison, schemas, the manual, words for a shell.
    #[command(
        subcommand,
        hide = true,
        after_help = "Example:\n  tautway tools schema job"
    )]
    Tools(ToolsCommand),
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
  tautway rehearse zero-too-early.moves --folder report";

/// How a sheet is wanted.
#[derive(Args, Clone, Debug)]
pub struct SheetArgs {
    /// How to answer: text, HTML or PDF for print, or JSON with the records in SI [default: by the
    /// ending of --out, else text].
    #[arg(long, value_enum)]
    pub format: Option<SheetFormat>,
    #[command(flatten)]
    pub to: To,
    /// Paper of the printed page [default: letter with inches, A4 with millimetres].
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    #[command(flatten)]
    pub run: RunArgs,
}

/// What was typed, understood.
pub struct Typed {
    /// What it says.
    pub arguments: Arguments,
    /// What to say to who typed former words.
    pub hint: Option<String>,
}

/// Whether JSON was asked for, be the rest understood or not.
pub fn wants_json(typed: &[OsString]) -> bool {
    let mut words = typed.iter().take_while(|word| *word != "--");
    let pairs = typed
        .windows(2)
        .any(|two| two[0] == "--format" && two[1] == "json");
    pairs || words.any(|word| word == "--format=json")
}

/// Reads what was typed after the program's name.
///
/// # Errors
/// What clap has to say of it: a fault, or the help that was asked for.
pub fn read(typed: Vec<OsString>) -> Result<Typed, Box<clap::Error>> {
    let (words, hint) = former::in_todays_words(typed);
    let words = std::iter::once(OsString::from("tautway")).chain(words);
    let arguments = Arguments::try_parse_from(words).map_err(Box::new)?;
    Ok(Typed { arguments, hint })
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
                answer: answer.try_into()?,
                lathes: lathes(&spread, range)?,
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
                let (answer, lathes) = (answer.try_into()?, lathes(&spread, RangeArgs::default())?);
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
            Command::Page(args) => Plan::Page(args.try_into()?),
            Command::Preload(args) => Plan::Preload((*args).into()),
            Command::Modify(args) => Plan::Modify((*args).into()),
            Command::Sheet {
                job,
                choice,
                method,
                sheet,
            } => Plan::Sheet(plan::Sheet {
                method: method.map(Into::into),
                ..of_a_sheet(job, choice, sheet)?
            }),
            Command::Lesson(args) => Plan::Lesson(args.try_into()?),
            Command::Piece(args) => Plan::Piece(args.into()),
            Command::Check { files, format } => Plan::Check { files, format },
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
            Command::Thread(args) => Plan::Thread(args.try_into()?),
            Command::Taper(args) => Plan::Taper((*args).try_into()?),
            Command::Tools(what) => what.plan(Self::command())?,
        })
    }
}

fn of_a_sheet(job: PathBuf, choice: Choice, sheet: SheetArgs) -> Result<plan::Sheet, Failure> {
    let form = endings::SHEET.form(sheet.to.out.as_deref(), sheet.format)?;
    Ok(plan::Sheet {
        job,
        choice: choice.into(),
        method: None,
        format: form.unwrap_or(SheetFormat::Text),
        to: sheet.to.into(),
        paper: sheet.paper.map(Into::into),
        run: sheet.run.into(),
    })
}
