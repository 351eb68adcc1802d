//! What can be typed after the program's name, and the help that teaches it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use tautway_sim::quantity::{Length, Quantity, Units};
use tautway_sim::setup::{Feed, Rotation, Setup, Side};

use crate::command::{Sum, TaperArgs};

/// Says which way to make a taper cut on a worn manual lathe with a taper attachment, and what
/// taper, size and surface to expect.
///
/// Two small text files say what is known: one describes the lathe, once; one describes the job
/// and names its lathe. "don't know" is a good answer to anything but the drawing.
#[derive(Debug, Parser)]
#[command(name = "tautway", version, after_help = FIRST_STEPS)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const FIRST_STEPS: &str = "\
First steps:
  tautway new myjob             asks about lathe and job, writes both files
  tautway compare myjob/job.toml

What it returns to a script: 0 done, 1 the drawing is not expected to be met, 2 the files or the
command are not right, 3 it could not run.

A prediction is not an inspection: gauge the work.";

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
    },
    /// Write the setup sheet to take to the lathe: one page, with blanks to write in.
    ///
    /// The best way, or the one you choose. HTML prints on one page, can be copied to a phone and
    /// needs nothing else. There is no sheet for a way that can't be cut or may never be advised.
    #[command(after_help = "Example:\n  tautway sheet job.toml --out sheet.html")]
    Sheet {
        /// The job file. The lathe file it names is looked for beside it.
        job: PathBuf,
        #[command(flatten)]
        choice: Choice,
        #[command(flatten)]
        sheet: SheetArgs,
    },
    /// Read the files and tell every fault, with its place and what would be right.
    ///
    /// Nothing is run. Given a job it reads the lathe that the job names too.
    #[command(after_help = "Example:\n  tautway check job.toml")]
    Check {
        /// A job file or a lathe file.
        file: PathBuf,
        /// How to answer.
        #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
        format: CheckFormat,
    },
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
        /// Write over files that are there.
        #[arg(long)]
        overwrite: bool,
    },
    /// Gauging sums at the lathe: standoff to dial, blue to guide nudge, rolls, balls, diameters.
    ///
    /// Every length carries its unit, and its error where you know it: "0.100 in +- 0.001 in".
    /// What you leave out is taken for a usual gauge and said so.
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
    /// Tell one taper in every form: any notation, or a standard taper's name.
    ///
    /// With the slide's reading for a run of the carriage, length along the side, and the blocks
    /// for a sine bar.
    #[command(after_help = "Example:\n  tautway taper 2 in/ft\n  tautway taper morse 2")]
    Taper(Box<TaperArgs>),
}

/// How an answer is wanted.
#[derive(Args, Clone, Debug)]
pub struct AnswerArgs {
    /// Text to read, JSON with every record in SI, or CSV with a row for each way.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Also write report, JSON, CSV and every figure (SVG and PNG) to this new directory.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Let --out replace a directory that it wrote before.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
    /// Start only this far before the taper, to see what too short a run-in does ("0.5 in").
    #[arg(long, value_name = "LENGTH", value_parser = start)]
    pub start: Option<Length>,
    /// Units to answer in [default: those of the job].
    #[arg(long, value_enum)]
    pub units: Option<UnitsArg>,
    /// Tell more: every assumption, every pass; in JSON the long lists of numbers too.
    #[arg(long)]
    pub detail: bool,
    /// Luck of the work's hard patches and run-out: the same number gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// How a sheet is wanted.
#[derive(Args, Clone, Debug)]
pub struct SheetArgs {
    /// Text, HTML for print, or JSON with the records in SI [default: by the ending of --out, else
    /// text].
    #[arg(long, value_enum)]
    pub format: Option<SheetFormat>,
    /// Write the sheet to this new file.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Let --out replace an earlier sheet.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
    /// Paper of the HTML page [default: letter with inches, A4 with millimetres].
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Units to answer in [default: those of the job].
    #[arg(long, value_enum)]
    pub units: Option<UnitsArg>,
    /// Luck of the work's hard patches and run-out: the same number gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// A run-in as typed.
fn start(text: &str) -> Result<Length, String> {
    let length =
        Length::parse(text).map_err(|fault| format!("{}: {}", fault.message, fault.hint))?;
    if length.si() < 0.0 {
        return Err("a run-in can't be negative: write 0 in to start at the taper".to_owned());
    }
    Ok(length)
}

/// Which way.
#[derive(Args, Clone, Copy, Debug)]
pub struct Choice {
    /// Where the tool meets the work, seen by the operator.
    #[arg(long, value_enum)]
    pub side: Option<SideArg>,
    /// Which way the carriage feeds.
    #[arg(long, value_enum)]
    pub feed: Option<FeedArg>,
    /// Which way the spindle turns.
    #[arg(long, value_enum)]
    pub rotation: Option<RotationArg>,
}

impl Choice {
    /// Whether nothing was chosen.
    pub fn is_open(&self) -> bool {
        self.side.is_none() && self.feed.is_none() && self.rotation.is_none()
    }

    /// Whether a way is as chosen.
    pub fn admits(&self, setup: &Setup) -> bool {
        let side = self.side.is_none_or(|side| match side {
            SideArg::Front => setup.side == Side::Front,
            SideArg::Rear => setup.side == Side::Rear,
        });
        let feed = self.feed.is_none_or(|feed| match feed {
            FeedArg::Headstock => setup.feed == Feed::Headstock,
            FeedArg::Tailstock => setup.feed == Feed::Tailstock,
        });
        let rotation = self.rotation.is_none_or(|rotation| match rotation {
            RotationArg::Forward => setup.rotation == Rotation::Forward,
            RotationArg::Reverse => setup.rotation == Rotation::Reverse,
        });
        side && feed && rotation
    }
}

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// To be read.
    Text,
    /// Records in SI.
    Json,
    /// A row for each way.
    Csv,
}

/// Form of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetFormat {
    /// To be read, without the drawing.
    Text,
    /// One page to print or to copy to a phone.
    Html,
    /// Records in SI.
    Json,
}

/// Paper of a printed sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// 8.5 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

/// Form of an answer that is no table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// To be read.
    Text,
    /// For a script.
    Json,
}

/// Units as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    /// Inches, thou, in/ft, lbf.
    Inch,
    /// Millimetres, mm/m, newtons.
    Metric,
}

impl From<UnitsArg> for Units {
    fn from(typed: UnitsArg) -> Self {
        match typed {
            UnitsArg::Inch => Self::Inch,
            UnitsArg::Metric => Self::Metric,
        }
    }
}

/// Side as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SideArg {
    /// On the operator's side.
    Front,
    /// On the far side.
    Rear,
}

/// Feed as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FeedArg {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

/// Rotation as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum RotationArg {
    /// The ordinary way.
    Forward,
    /// Reversed.
    Reverse,
}
