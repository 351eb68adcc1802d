//! `tautway preload`: how to hold the slide, and whether to.

use tautway_browser_engine::hold::{Asked, Held, bare, way_to_hold, weigh};
use tautway_sim::scenario::Scenario;

use super::compare::{self, read};
use super::predict::chosen;
use crate::answer;
use crate::failure::{Failure, Verdict};
use crate::plan::{self, Format};
use crate::trials::PooledHands;
use crate::{terminal, trials};
use tautway_screens::screen;

/// Weighs a preload for a job and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn preload(args: &plan::Preload) -> Result<Verdict, Failure> {
    let (read, units) = read(&args.job, &args.answer.to)?;
    let options = args.answer.options;
    let bare = bare(&read.scenario);
    let pool = &trials::pool(args.answer.threads)?;
    let comparison = compare::weighed(&bare, options, pool)?;
    let Some(first) = comparison.best() else {
        return nothing(&bare, &comparison, args);
    };
    let best = first.setup;
    let setup = if args.choice.is_open() {
        way_to_hold(&bare, best, options)
    } else {
        let way = chosen(&bare, args.choice, options, pool)?;
        if let Some(reason) = way.out.first() {
            return Err(Failure::Input(format!(
                "this way can't be cut: {}\n  help: leave --side, --feed or --rotation open",
                reason.words(units)
            )));
        }
        way.setup
    };
    let asked = Asked {
        sure: args.sure,
        margin: args.margin,
        seals: args.seals,
        line: args.line,
        own: args.own,
        trials: args.answer.trials,
    };
    let first = (&comparison, first);
    let Held {
        advice,
        plan,
        stopped,
    } = weigh(
        &read.scenario,
        first,
        setup,
        &asked,
        options,
        &PooledHands(pool),
    )?;
    let seed = args.answer.options.seed;
    let document = screen::preload(&bare, (&advice, &plan), units, seed, stopped);
    let held = answer::preload::Held {
        read: &read,
        advice: &advice,
        plan: &plan,
        document,
        units,
        seed,
    };
    answer::give(&held, args.answer.format, &args.answer.to, None)?;
    if stopped {
        return Err(Failure::Told);
    }
    Ok(if advice.advised.is_some() || !advice.is_needed() {
        Verdict::Done
    } else {
        Verdict::NotMet
    })
}

/// There is no way to hold the slide for: the screen of a comparison says why.
pub(super) fn nothing(
    scenario: &Scenario,
    comparison: &tautway_sim::compare::Comparison,
    args: &plan::Preload,
) -> Result<Verdict, Failure> {
    let units = scenario.job.units;
    if args.answer.format != Format::Text {
        let first = comparison.ways.first();
        let reason = first.and_then(|way| way.out.first());
        let why = reason.map_or_else(String::new, |reason| format!(": {}", reason.words(units)));
        return Err(Failure::Nothing(format!(
            "NOTHING TO HOLD: no way can be cut with the attachment{why}\n  help: `tautway compare` \
             tells the others"
        )));
    }
    let document = screen::compare(scenario, comparison, None, None, &[], units, false);
    terminal::answer(&terminal::set(&document))?;
    Ok(Verdict::NotMet)
}
