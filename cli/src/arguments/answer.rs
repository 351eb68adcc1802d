//! How an answer is wanted: its form, its units, where it goes, how many lathes are tried.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use tautway_sim::cut::Options;
use tautway_sim::quantity::{Length, Quantity, Units};

use super::endings;
use crate::failure::Failure;
use crate::plan::{self, CheckFormat, Format, Lathes, Paper, Report, ReportFormat, Wanted, Which};
use tautway_screens::typed::run_in;

/// The one file that an answer goes to, and in which units it comes.
#[derive(Args, Clone, Debug)]
pub struct To {
    /// Write it to this new file; - for standard output.
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace what an earlier run wrote there.
    #[arg(long)]
    pub overwrite: bool,
    /// Units to answer in [default: those of the file].
    #[arg(long, short, value_enum)]
    pub units: Option<UnitsArg>,
}

/// The folder that an answer goes to besides the screen, and in which units it comes.
#[derive(Args, Clone, Debug)]
pub struct ToFolder {
    /// Also write report, data and every figure (SVG and PNG) into this new folder.
    #[arg(long, short = 'f', value_name = "DIR")]
    pub folder: Option<PathBuf>,
    /// Replace what an earlier run wrote there.
    #[arg(long)]
    pub overwrite: bool,
    /// Units to answer in [default: those of the file].
    #[arg(long, short, value_enum)]
    pub units: Option<UnitsArg>,
}

/// How a rehearsal is told.
#[derive(Args, Clone, Debug)]
pub struct RehearsalArgs {
    /// How to answer: text to read, JSON with every record in SI, CSV with a row for each move.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    pub to: ToFolder,
}

/// How an answer is wanted.
#[derive(Args, Clone, Debug)]
pub struct AnswerArgs {
    /// How to answer: text to read, JSON with every record in SI, CSV with a row for each way.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    pub to: ToFolder,
    /// Also write one HTML or PDF file, by its ending, with words, figures, tables, raw data and the
    /// files it came from: it needs nothing else and can be copied anywhere.
    #[arg(long, value_name = "FILE")]
    pub report: Option<PathBuf>,
    /// Paper of the printed page [default: letter with inches, A4 with millimetres; of HTML the
    /// printer's own].
    #[arg(long, value_enum, requires = "report")]
    pub paper: Option<Paper>,
    /// Start only this far before the taper, to see what too short a run-in does ("0.5 in").
    #[arg(long, value_name = "LENGTH", value_parser = run_in)]
    pub start: Option<Length>,
    /// Tell more: every assumption, every pass; in JSON the long lists of numbers too.
    #[arg(long, short)]
    pub detail: bool,
    /// Luck of all that is drawn: the same number gives the same answer.
    #[arg(long, short, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// How many lathes like the one described are tried, and on how much of this machine.
#[derive(Args, Clone, Debug)]
pub struct SpreadArgs {
    /// Lathes to try: each with every uncertain number drawn from its range; 0 for none, auto for
    /// as many as it takes.
    #[arg(long, value_name = "N|auto", default_value = "auto", value_parser = trials)]
    pub trials: Trials,
    /// Part of the lathes that an answer has to hold for, in per cent.
    #[arg(long, value_name = "PER CENT", default_value = "95", value_parser = coverage)]
    pub coverage: f64,
    /// Threads to run on [default: all there are]: the answer is the same on any number.
    #[arg(long, short = 'j', value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub threads: Option<u16>,
    /// Also carry the uncertainties to first order, and say whether that would have done.
    #[arg(long)]
    pub first_order: bool,
}

/// A part of the trials, for several machines to share.
#[derive(Args, Clone, Copy, Debug, Default)]
pub struct RangeArgs {
    /// Number of the first lathe tried: with --trials how many, one part of a whole to be joined.
    #[arg(long, value_name = "N", requires_all = ["trials", "folder"], value_parser = clap::value_parser!(u64).range(1..1 << 40))]
    pub first_trial: Option<u64>,
}

/// How many trials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trials {
    /// As many as it takes.
    Auto,
    /// This many.
    Number(u64),
}

pub(super) fn trials(text: &str) -> Result<Trials, String> {
    if text.trim().eq_ignore_ascii_case("auto") {
        return Ok(Trials::Auto);
    }
    match text.trim().parse::<u64>() {
        Ok(n) if n < 1 << 40 => Ok(Trials::Number(n)),
        _ => Err("write a whole number, 0 for none, or auto".to_owned()),
    }
}

/// Fewest trials that a range of 95 in 100 can be read from with a few left outside of it.
pub(super) const FEWEST: u64 = 50;

pub(super) fn coverage(text: &str) -> Result<f64, String> {
    let plain = text.trim().trim_end_matches('%').trim_end();
    match plain.parse::<f64>() {
        Ok(share) if (50.0..=99.0).contains(&share) => Ok(share / 100.0),
        _ => Err("write a part from 50 to 99 per cent: 95".to_owned()),
    }
}

/// How the answer to readings is wanted.
#[derive(Args, Clone, Debug)]
pub struct ReadingsArgs {
    /// How to answer: text to read, JSON with every record in SI.
    #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
    pub format: CheckFormat,
    #[command(flatten)]
    pub to: ToFolder,
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

impl From<To> for plan::To {
    fn from(typed: To) -> Self {
        Self {
            out: typed.out,
            overwrite: typed.overwrite,
            units: typed.units.map(Into::into),
        }
    }
}

impl From<ToFolder> for plan::To {
    fn from(typed: ToFolder) -> Self {
        Self {
            out: typed.folder,
            overwrite: typed.overwrite,
            units: typed.units.map(Into::into),
        }
    }
}

impl TryFrom<AnswerArgs> for Wanted {
    type Error = Failure;

    fn try_from(typed: AnswerArgs) -> Result<Self, Failure> {
        let form = endings::REPORT.form(typed.report.as_deref(), None)?;
        let form = form.unwrap_or(ReportFormat::Html);
        Ok(Self {
            format: typed.format,
            to: typed.to.into(),
            report: typed.report.map(|file| Report {
                file,
                format: form,
                paper: typed.paper.map(Into::into),
            }),
            detail: typed.detail,
            options: Options {
                run_in: typed.start.map(Quantity::si),
                ..of_seed(typed.seed)
            },
        })
    }
}

/// The usual, with this luck.
pub(super) fn of_seed(seed: u64) -> Options {
    Options {
        seed,
        ..Options::default()
    }
}

/// Refuses a whole of so few lathes that they tell nothing.
///
/// # Errors
/// When they are so few.
pub(super) fn enough(count: u64) -> Result<(), Failure> {
    if count == 0 || count >= FEWEST {
        return Ok(());
    }
    Err(Failure::Input(format!(
        "{count} lathes tell nothing of a spread\n  help: write {FEWEST} or more, 0 for none, or auto"
    )))
}

/// How many lathes, as typed.
///
/// # Errors
/// A part of no number, or a whole of too few.
pub(super) fn lathes(spread: &SpreadArgs, range: RangeArgs) -> Result<Lathes, Failure> {
    let which = match (spread.trials, range.first_trial) {
        (Trials::Number(count), Some(from)) if count > 0 => Which::These { from, count },
        (_, Some(_)) => {
            return Err(Failure::Input(
                "a part of a whole is so many lathes\n  help: write how many with --trials, such \
                 as --trials 500"
                    .to_owned(),
            ));
        }
        (Trials::Auto, None) => Which::Enough,
        (Trials::Number(0), None) => Which::None,
        (Trials::Number(count), None) => {
            enough(count)?;
            Which::These { from: 1, count }
        }
    };
    Ok(Lathes {
        which,
        is_part: range.first_trial.is_some(),
        coverage: spread.coverage,
        first_order: spread.first_order,
        threads: spread.threads,
    })
}

/// Whose luck it is worked out with, and on how many threads, where nothing else is drawn.
#[derive(Args, Clone, Copy, Debug)]
pub struct RunArgs {
    /// Luck of all that is drawn: the same number gives the same answer.
    #[arg(long, short, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads to run on [default: all there are]: the answer is the same on any number.
    #[arg(long, short = 'j', value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub threads: Option<u16>,
}

impl From<RunArgs> for plan::Run {
    fn from(typed: RunArgs) -> Self {
        Self {
            options: of_seed(typed.seed),
            threads: typed.threads,
        }
    }
}
