//! `tautway compare`: every way run and ranked.

use std::path::Path;

use tautway_sim::compare::{Comparison, Way, compare_with};
use tautway_sim::cut::Options;
use tautway_sim::mattered::{Likely, mattered};
use tautway_sim::quantity::Quantity;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;
use tautway_sim::spread::Ending;

use crate::answer::{Answer, folder};
use crate::arguments::{AnswerArgs, RangeArgs, SpreadArgs};
use crate::failure::{Failure, Verdict};
use crate::interrupt;
use crate::progress::Progress;
use crate::screen;
use crate::texts::{self, Read};
use crate::trials::{self, Spread};

/// Compares every way and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn compare(
    path: &Path,
    args: &AnswerArgs,
    spread: &SpreadArgs,
    range: RangeArgs,
) -> Result<Verdict, Failure> {
    let (read, units) = read(path, args)?;
    let options = options(args);
    let comparison = run_all(&read.scenario, options)?;
    let ways = spread_ways(&comparison);
    let out = args.to.out.as_deref();
    let found = trials::run(
        &read.scenario,
        &ways,
        options,
        spread,
        range,
        args.detail,
        out,
    )?;
    let part = range.from.zip(range.count);
    give(
        &read,
        units,
        args,
        options,
        &comparison,
        found.as_ref(),
        part,
    )
}

/// The ways that trials are run of: all that can be cut, the best first.
pub(super) fn spread_ways(comparison: &Comparison) -> Vec<Setup> {
    comparison
        .feasible()
        .filter(|way| way.run.is_some())
        .map(|way| way.setup)
        .collect()
}

/// Answers a comparison.
///
/// # Errors
/// When the answer can't be written.
pub(super) fn give(
    read: &Read,
    units: Units,
    args: &AnswerArgs,
    options: Options,
    comparison: &Comparison,
    spread: Option<&Spread>,
    part: Option<(u64, u64)>,
) -> Result<Verdict, Failure> {
    let likely = comparison
        .best()
        .map(|best| how_sure(&read.scenario, &best.setup, options, units));
    let text = screen::compare(
        &read.scenario,
        comparison,
        likely.as_ref(),
        spread,
        units,
        args.detail,
    );
    let ways: Vec<_> = comparison.ways.iter().collect();
    Answer {
        read,
        ways: &ways,
        likely: likely.as_ref(),
        spread,
        part,
        detail: args.detail,
        text,
        units,
        options,
        named: "comparison",
    }
    .give(args)?;
    if spread.is_some_and(|spread| spread.ending == Ending::Stopped) {
        return Err(Failure::Told);
    }
    let expected = comparison.best().is_some_and(|best| expected(best, spread));
    Ok(if expected {
        Verdict::Done
    } else {
        Verdict::NotMet
    })
}

/// Whether the drawing is expected to be met: on more than half of the lathes tried, and where
/// none were, with the middle of every range.
pub(super) fn expected(way: &Way, spread: Option<&Spread>) -> bool {
    match spread.and_then(|spread| spread.outlook.ways.first()) {
        Some(outlook) => outlook.met.share > 0.5,
        None => way.verdict.is_some_and(|verdict| verdict.met()),
    }
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
