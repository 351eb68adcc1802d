//! `tautway predict`: one way in detail.

use std::path::Path;

use tautway_sim::compare::{Comparison, Way, way};
use tautway_sim::cut::{self, Options};
use tautway_sim::feasibility::reasons;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

use super::compare::{how_sure, options, read, run_all};
use crate::answer::Answer;
use crate::arguments::{AnswerArgs, Choice};
use crate::failure::{Failure, Verdict};
use crate::screen;

/// Predicts the chosen way and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn predict(path: &Path, choice: Choice, args: &AnswerArgs) -> Result<Verdict, Failure> {
    let (read, units) = read(path, args)?;
    let options = options(args);
    let way = chosen(&read.scenario, choice, options)?;
    let likely = way
        .run
        .is_some()
        .then(|| how_sure(&read.scenario, &way.setup, options, units));
    let text = screen::predict(&read.scenario, &way, likely.as_ref(), units, args.detail);
    Answer {
        read: &read,
        ways: &[&way],
        likely: likely.as_ref(),
        text,
        units,
        options,
        named: "prediction",
    }
    .give(args)?;
    let met = way.verdict.is_some_and(|verdict| verdict.met()) && !way.forbidden;
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

/// The way chosen; what was left open is taken from the best that agrees.
///
/// # Errors
/// When no way agrees, or it was interrupted.
pub(super) fn chosen(
    scenario: &Scenario,
    choice: Choice,
    options: Options,
) -> Result<Way, Failure> {
    let work = &scenario.job.work;
    let admitted: Vec<Setup> = Setup::all(work.kind, work.big_end)
        .into_iter()
        .filter(|setup| setup.cuts() && choice.admits(setup))
        .collect();
    if let [only] = admitted[..] {
        return Ok(run_one(scenario, only, options));
    }
    let comparison = run_all(scenario, options)?;
    let best = if choice.is_open() {
        comparison.ways.first().map(|way| way.setup)
    } else {
        best_of(&comparison, &admitted)
    };
    let Some(best) = best else {
        return Err(Failure::Stopped("there is no such way".to_owned()));
    };
    let compared = comparison.ways.into_iter().find(|way| way.setup == best);
    Ok(compared.unwrap_or_else(|| run_one(scenario, best, options)))
}

/// The best ranked of the admitted; one that stands for its mirror image in the comparison counts
/// as that one, one that can't be cut comes last.
fn best_of(comparison: &Comparison, admitted: &[Setup]) -> Option<Setup> {
    let standing = |setup: &Setup| {
        let same_cut =
            |way: &Way| way.setup.feed == setup.feed && way.setup.press() == setup.press();
        let place = comparison.ways.iter().position(same_cut);
        let can = comparison
            .ways
            .iter()
            .any(|way| way.out.is_empty() && (way.setup == *setup || way.also.contains(setup)));
        (!can, place)
    };
    admitted.iter().copied().min_by_key(standing)
}

fn run_one(scenario: &Scenario, setup: Setup, options: Options) -> Way {
    let _progress = crate::progress::Progress::start("running the way");
    let (_, approach) = cut::approach(scenario, &setup, options);
    let out = reasons(scenario, &setup, &approach);
    way(scenario, setup, Vec::new(), out, options)
}
