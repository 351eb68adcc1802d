//! `tautway compare`: every way run and ranked.

use std::path::Path;

use tautway_sim::compare::{Comparison, compare_with};
use tautway_sim::cut::Options;
use tautway_sim::mattered::{Likely, mattered};
use tautway_sim::quantity::Quantity;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;

use crate::answer::{Answer, folder};
use crate::arguments::AnswerArgs;
use crate::failure::{Failure, Verdict};
use crate::interrupt;
use crate::progress::Progress;
use crate::screen;
use crate::texts::{self, Read};

/// Compares every way and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn compare(path: &Path, args: &AnswerArgs) -> Result<Verdict, Failure> {
    let (read, units) = read(path, args)?;
    let options = options(args);
    let comparison = run_all(&read.scenario, options)?;
    let likely = comparison
        .best()
        .map(|best| how_sure(&read.scenario, &best.setup, options, units));
    let text = screen::compare(
        &read.scenario,
        &comparison,
        likely.as_ref(),
        units,
        args.detail,
    );
    let ways: Vec<_> = comparison.ways.iter().collect();
    Answer {
        read: &read,
        ways: &ways,
        likely: likely.as_ref(),
        text,
        units,
        options,
        named: "comparison",
    }
    .give(args)?;
    Ok(match comparison.best().and_then(|best| best.verdict) {
        Some(verdict) if verdict.met() => Verdict::Done,
        _ => Verdict::NotMet,
    })
}

/// Reads the job, shows its warnings, and refuses a bad `--out` before anything is run.
pub(super) fn read(path: &Path, args: &AnswerArgs) -> Result<(Read, Units), Failure> {
    let mut read = texts::job(path)?.map_err(|refused| refused.show())?;
    texts::show(&read.warnings, &read.texts);
    if let Some(directory) = &args.to.out {
        folder::may_be_written(directory, args.to.overwrite)?;
    }
    if let Some(units) = args.to.units {
        read.scenario.job.units = units.into();
    }
    let units = read.scenario.job.units;
    Ok((read, units))
}

/// How finely and with which luck.
pub(super) fn options(args: &AnswerArgs) -> Options {
    Options {
        seed: args.seed,
        run_in: args.start.map(Quantity::si),
        ..Options::default()
    }
}

/// Runs every way.
pub(super) fn run_all(scenario: &Scenario, options: Options) -> Result<Comparison, Failure> {
    let progress = Progress::start("running the ways");
    compare_with(scenario, options, &mut |done, all| {
        interrupt::note(format!(
            "{done} of {all} ways were run; nothing was written"
        ));
        progress.tell(format!("running way {} of {all}", done + 1));
        true
    })
    .ok_or_else(|| Failure::Stopped("interrupted between two ways".to_owned()))
}

/// Moves what is uncertain for one way.
pub(super) fn how_sure(
    scenario: &Scenario,
    setup: &tautway_sim::setup::Setup,
    options: Options,
    units: Units,
) -> Likely {
    interrupt::note("the ways were run, not yet what was assumed; nothing was written".to_owned());
    let _progress = Progress::start("trying what was assumed");
    mattered(scenario, setup, options, units)
}
