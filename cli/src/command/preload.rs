//! `tautway preload`: how to hold the slide, and whether to.

use tautway_sim::advice::catalogue::drawn_away;
use tautway_sim::advice::force_scan::ForceScan;
use tautway_sim::advice::preload::{Grounds, PreloadAdvice};
use tautway_sim::advice::source::LINE;
use tautway_sim::advice::window::{Needs, plain_rule};
use tautway_sim::cut::{self, Options};
use tautway_sim::expect::expect;
use tautway_sim::feasibility::reasons;
use tautway_sim::quantity::{Force, Quantity};
use tautway_sim::scenario::{Known, Preload, PreloadSource, Scenario};
use tautway_sim::setup::Setup;
use tautway_sim::study::{PER_TURN, RangeFault};

use super::compare::{self, read};
use super::predict::chosen;
use crate::answer;
use crate::failure::{Failure, Verdict};
use crate::plan::{self, Format};
use crate::{terminal, trials};
use tautway_screens::screen;

/// Lathes whose need is worked out: no cut is run for it.
const NEEDS: u64 = 1000;

/// Weighs a preload for a job and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn preload(args: &plan::Preload) -> Result<Verdict, Failure> {
    let (read, units) = read(&args.job, &args.answer.to)?;
    let options = args.answer.options;
    let mut bare = read.scenario.clone();
    bare.job.preload = None;
    let pool = &trials::pool(args.answer.threads)?;
    let comparison = compare::weighed(&bare, options, pool)?;
    let Some(first) = comparison.best() else {
        return nothing(&bare, &comparison, args);
    };
    let best = first.setup;
    let setup = if args.choice.is_open() {
        weighed(&bare, best, options)
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
    let fault = |fault: RangeFault| Failure::Input(fault.to_string());
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let needs = Needs::new(
        &read.scenario,
        &setup,
        options,
        args.seals.map(Known::given),
    )
    .map_err(fault)?;
    let (asked, stopped) = trials::each(NEEDS, pool, "asking lathes like this one", |numbers| {
        numbers.map(|number| needs.of(number)).collect()
    });
    if stopped {
        return Err(Failure::Stopped(
            "interrupted before any lathe was cut; nothing was written".to_owned(),
        ));
    }
    let alone = ForceScan::new(&bare, &best, vec![0.0], options).map_err(fault)?;
    let of_few = |why| Failure::Stopped(format!("too few lathes were tried: {why}"));
    let (best_alone, _) = trials::each(args.answer.trials, pool, "cutting without", |numbers| {
        alone.trials(numbers)
    });
    let best_steady = alone.summed(&best_alone).map_err(of_few)?[0].steady;
    let Some(mut advice) = PreloadAdvice::new(&Grounds {
        best: (best, best_steady),
        setup,
        needs: &asked,
        sure: (args.sure, args.margin),
        plain_rule: plain_rule(&bare, &setup, options),
        spring_travel: needs.spring_travel(&bare),
        line: args.line.map_or(LINE, Quantity::si),
        units,
    }) else {
        return Err(Failure::Stopped("no lathe was asked".to_owned()));
    };
    let toward = advice.toward;
    advice.own = args
        .own
        .map(|source| advice.judged(&Preload { toward, source }));
    advice.of_job = read.scenario.job.preload.map(|p| advice.judged(&p));
    let scan = ForceScan::new(&bare, &setup, advice.forces(), options).map_err(fault)?;
    let (cuts, stopped) = trials::each(
        args.answer.trials,
        pool,
        "cutting under a row of forces",
        |numbers| scan.trials(numbers),
    );
    advice.scan = scan.summed(&cuts).map_err(of_few)?;
    advice.trials = cuts.len() as u64;
    let play = |scenario: &Scenario, setup: &Setup| {
        pool.install(|| expect(scenario, setup, args.answer.options))
            .map_err(fault)
    };
    let held = advice.advised.map(|force| {
        let mut held = bare.clone();
        let source = PreloadSource::Constant(Known::given(Force::from_si(force)));
        held.job.preload = Some(Preload { toward, source });
        play(&held, &setup)
    });
    // Played in the comparison already, where the way stands for itself there.
    let compared = comparison.ways.iter().find(|way| way.setup == setup);
    let without = match compared.and_then(|way| way.expect.clone()) {
        Some(expect) => expect,
        None => play(&bare, &setup)?,
    };
    let plan = screen::ByPlan {
        without,
        held: held.transpose()?,
        best: match &first.expect {
            Some(expect) => expect.clone(),
            None => play(&bare, &best)?,
        },
    };
    let seed = args.answer.options.seed;
    let document = screen::preload(&bare, (&advice, &plan), units, seed, stopped);
    let held = answer::preload::Held {
        read: &read,
        advice: &advice,
        plan: &plan,
        document,
        units,
        seed: args.answer.options.seed,
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

/// The way that a preload is for: the best where the guide draws it away, else that with the feed
/// turned round, where it can be cut.
fn weighed(scenario: &Scenario, best: Setup, options: Options) -> Setup {
    let drawn = drawn_away(&best);
    let (_, approach) = cut::approach(scenario, &drawn, options);
    if reasons(scenario, &drawn, &approach).is_empty() {
        drawn
    } else {
        best
    }
}

/// There is no way to hold the slide for: the screen of a comparison says why.
pub(super) fn nothing(
    scenario: &Scenario,
    comparison: &tautway_sim::compare::Comparison,
    args: &plan::Preload,
) -> Result<Verdict, Failure> {
    let document = screen::compare(
        scenario,
        comparison,
        None,
        None,
        &[],
        scenario.job.units,
        false,
    );
    match args.answer.format {
        Format::Text => terminal::answer(&terminal::set(&document))?,
        Format::Json | Format::Csv => terminal::aside(&answer::of_file(&document)),
    }
    Ok(Verdict::NotMet)
}
