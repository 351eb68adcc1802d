//! What can be typed after `tautway preload` and `tautway modify`.

use std::path::PathBuf;

use clap::Args;
use tautway_sim::quantity::{Force, Length, Pressure, Quantity, Ratio, Stiffness};
use tautway_sim::scenario::numbers::preload::SEAL_SHARE;
use tautway_sim::scenario::{Known, PreloadSource};

use super::answer::{ToFolder, coverage, of_seed};
use super::choice::Choice;
use crate::plan::{self, Format, Trying};

/// Which way a preload must act, whether the job needs one, and the window of force.
///
/// For the way that the guide draws away, or the one you choose: pulled in, no preload is needed.
/// The force is found on many lathes like yours, each uncertain number drawn from its range; it
/// must hold in the run-in and over the whole cut. Returns 1 when no preload can be advised.
#[derive(Args, Debug)]
#[command(after_help = "Examples:\n  tautway preload job.toml\n  \
                  tautway preload job.toml --bore \"1-1/4 in\" --pressure \"60 psi\"\n  \
                  tautway preload job.toml --spring \"50 lbf\" --rate \"5 lbf/in\"")]
pub struct PreloadArgs {
    /// The job file. The lathe file it names is looked for beside it.
    pub job: PathBuf,
    #[command(flatten)]
    pub choice: Choice,
    /// Part of the lathes that an answer has to hold for, in per cent.
    #[arg(long, value_name = "PER CENT", default_value = "95", value_parser = coverage)]
    pub coverage: f64,
    /// What is added to the least force, in per cent.
    #[arg(long, value_name = "PER CENT", default_value = "20", value_parser = margin)]
    pub margin: f64,
    /// Judge this weight on a cord or constant-force spring ("40 lbf").
    #[arg(long, value_name = "FORCE", value_parser = positive::<Force>, group = "own")]
    pub weight: Option<Force>,
    /// Judge a spring with this force when the tool is at the middle of the taper.
    #[arg(long, value_name = "FORCE", value_parser = positive::<Force>, group = "own", requires = "rate")]
    pub spring: Option<Force>,
    /// Its rate ("5 lbf/in").
    #[arg(long, value_name = "RATE", value_parser = positive::<Stiffness>, requires = "spring")]
    pub rate: Option<Stiffness>,
    /// Judge an air cylinder of this bore.
    #[arg(long, value_name = "LENGTH", value_parser = positive::<Length>, group = "own", requires = "pressure")]
    pub bore: Option<Length>,
    /// Its rod, where the rod's side is pressed [default: the plain side].
    #[arg(long, value_name = "LENGTH", value_parser = positive::<Length>, requires = "bore")]
    pub rod: Option<Length>,
    /// Its pressure ("60 psi").
    #[arg(long, value_name = "PRESSURE", value_parser = positive::<Pressure>, requires = "bore")]
    pub pressure: Option<Pressure>,
    /// What cylinder seals take of the force, in per cent [default: 5 to 25].
    #[arg(long, value_name = "PER CENT", value_parser = seals)]
    pub seals: Option<Ratio>,
    /// Pressure of the shop's air line [default: 6 bar, 87 psi].
    #[arg(long, value_name = "PRESSURE", value_parser = positive::<Pressure>)]
    pub line: Option<Pressure>,
    #[command(flatten)]
    pub answer: TryArgs,
}

/// What changes to lathe, tool and way of cutting would buy, each cut on the same lathes.
///
/// Each change that applies is tried by itself on the recommended way, or the one you choose,
/// before and after on the very same lathes, pieces and cuts, and ranked by gain and by gain an
/// hour. Gain is, in this order: the chance to meet the whole drawing, the taper nearer its aim,
/// the size, the waves. How much a change moves is mostly a guess: --detail tells it.
#[derive(Args, Debug)]
#[command(
    after_help = "Examples:\n  tautway modify job.toml\n  tautway modify job.toml --pairs\n  \
                  tautway modify job.toml --against other-lathe.toml"
)]
pub struct ModifyArgs {
    /// The job file. The lathe file it names is looked for beside it.
    pub job: PathBuf,
    #[command(flatten)]
    pub choice: Choice,
    /// Try every two changes together, too.
    #[arg(long, conflicts_with = "against")]
    pub pairs: bool,
    /// Try another lathe file instead of the list: your own change, the same job on both.
    #[arg(long, value_name = "LATHE")]
    pub against: Option<PathBuf>,
    #[command(flatten)]
    pub answer: TryArgs,
}

/// How an answer is wanted that is tried on many lathes.
#[derive(Args, Clone, Debug)]
pub struct TryArgs {
    /// How to answer: text to read, JSON with every record in SI, CSV.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    #[command(flatten)]
    pub to: ToFolder,
    /// Tell more: what each change does to which number.
    #[arg(long, short)]
    pub detail: bool,
    /// Luck of all that is drawn: the same number gives the same answer.
    #[arg(long, short, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Lathes to try: each with every uncertain number drawn from its range.
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u64).range(50..1 << 24))]
    pub trials: u64,
    /// Threads to run on [default: all there are]: the answer is the same on any number.
    #[arg(long, short = 'j', value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub threads: Option<u16>,
}

fn positive<Q: Quantity>(text: &str) -> Result<Q, String> {
    let read = Q::parse(text).map_err(|fault| format!("{}: {}", fault.message, fault.hint))?;
    if read.si() > 0.0 {
        Ok(read)
    } else {
        Err(format!("a {} above 0 is wanted", Q::NAME))
    }
}

fn per_cent(text: &str, from: f64, to: f64, example: &str) -> Result<f64, String> {
    let plain = text.trim().trim_end_matches('%').trim_end();
    match plain.parse::<f64>() {
        Ok(share) if (from..=to).contains(&share) => Ok(share / 100.0),
        _ => Err(format!("write {from} to {to} per cent: {example}")),
    }
}

fn margin(text: &str) -> Result<f64, String> {
    per_cent(text, 0.0, 100.0, "20")
}

fn seals(text: &str) -> Result<Ratio, String> {
    per_cent(text, 0.0, 60.0, "15").map(Ratio::from_si)
}

impl From<TryArgs> for Trying {
    fn from(typed: TryArgs) -> Self {
        Self {
            format: typed.format,
            to: typed.to.into(),
            detail: typed.detail,
            options: of_seed(typed.seed),
            trials: typed.trials,
            threads: typed.threads,
        }
    }
}

impl From<PreloadArgs> for plan::Preload {
    fn from(typed: PreloadArgs) -> Self {
        Self {
            own: own(&typed),
            job: typed.job,
            choice: typed.choice.into(),
            sure: typed.coverage,
            margin: typed.margin,
            seals: typed.seals,
            line: typed.line,
            answer: typed.answer.into(),
        }
    }
}

/// What was asked about.
fn own(typed: &PreloadArgs) -> Option<PreloadSource> {
    if let Some(force) = typed.weight {
        Some(PreloadSource::Constant(Known::given(force)))
    } else if let (Some(force), Some(rate)) = (typed.spring, typed.rate) {
        Some(PreloadSource::Spring {
            force: Known::given(force),
            rate: Known::given(rate),
        })
    } else if let (Some(bore), Some(pressure)) = (typed.bore, typed.pressure) {
        Some(PreloadSource::Cylinder {
            bore,
            rod: typed.rod.unwrap_or(Length::from_si(0.0)),
            pressure: Known::given(pressure),
            seal_share: typed
                .seals
                .map_or_else(|| SEAL_SHARE.always(), Known::<Ratio>::given),
        })
    } else {
        None
    }
}

impl From<ModifyArgs> for plan::Modify {
    fn from(typed: ModifyArgs) -> Self {
        Self {
            job: typed.job,
            choice: typed.choice.into(),
            pairs: typed.pairs,
            against: typed.against,
            answer: typed.answer.into(),
        }
    }
}
