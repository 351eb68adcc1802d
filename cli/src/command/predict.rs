//! `tautway predict`: one way in detail.

use rayon::ThreadPool;
use tautway_sim::compare::{Comparison, Way, way};
use tautway_sim::cut::{self, Options};
use tautway_sim::expect::expect;
use tautway_sim::feasibility::reasons;
use tautway_sim::inertia;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::scenario::{Scenario, StartSurface};
use tautway_sim::setup::Setup;
use tautway_sim::spread::Ending;
use tautway_sim::study::{PER_TURN, WayOutlook};
use tautway_sim::thread::LATHES;

use super::compare::{expected, how_sure, read, weighed};
use super::threaded::Threaded;
use crate::answer::found::Found;
use crate::answer::thread::Planned;
use crate::answer::{give, may_be_written};
use crate::failure::{Failure, Verdict};
use crate::plan::{Choice, Predict};
use crate::trials;
use tautway_screens::screen;

/// Predicts the chosen way and answers.
///
/// # Errors
/// When the files are not right, or the answer can't be written.
pub fn predict(plan: &Predict) -> Result<Verdict, Failure> {
    let args = &plan.answer;
    may_be_written(args)?;
    let (mut read, units) = read(&plan.job, &args.to)?;
    let mut options = args.options;
    let pool = &trials::pool(plan.lathes.threads)?;
    let mut way = chosen(&read.scenario, plan.choice, options, pool)?;
    if plan.inertia {
        within_reach(&read.scenario, &way.setup, options)?;
    }
    let (mut found, mut rows) = (None, None);
    if let Some(number) = plan.trial {
        let study = trials::study(&read.scenario, &[way.setup], options)?;
        let drawn = trials::drawn_words(&study, number, units);
        let (scenario, luck) = study.scenario_of(number);
        options = Options {
            per_turn: PER_TURN,
            seed: luck,
            run_in: study.run_in(0),
        };
        read.scenario = scenario;
        // As the trials are: the finishing passes alone, from an even stock.
        let job = &mut read.scenario.job;
        let stock = job.passes.finish.iter().map(|depth| depth.si()).sum();
        job.work.start = StartSurface::Roughed {
            stock: Length::from_si(stock),
        };
        read.scenario.job.note = Some(format!(
            "Trial {number} of seed {}, finishing passes from an even stock: {}.",
            args.options.seed,
            drawn.join(", ")
        ));
        way = run_one(&read.scenario, way.setup, options);
    } else if way.run.is_some() {
        let tried = trials::run(
            (&read.scenario, &[way.setup], options),
            &plan.lathes,
            args.detail,
            args.to.out.as_deref(),
            pool,
        )?;
        if let Some((spread, filling)) = tried {
            (found, rows) = (Some(spread), filling);
        }
    }
    if plan.trial.is_none() {
        let _progress = crate::progress::Progress::start("weighing what would help");
        pool.install(|| way.look_for_help(&read.scenario, options))
            .map_err(|fault| Failure::Input(fault.to_string()))?;
    }
    if let Some(run) = way.run.as_mut().filter(|_| plan.inertia) {
        let _progress = crate::progress::Progress::start("running it with the slide's weight");
        let tried_on = found.as_ref().and_then(|spread| spread.of(&way.setup));
        run.inertia.tried = inertia::tried(
            &read.scenario,
            &way.setup,
            options,
            &run.outcome,
            tried_on.map(WayOutlook::size_waves_roundness),
        );
    }
    let likely = way
        .run
        .is_some()
        .then(|| how_sure(&read.scenario, &way.setup, options, units, pool));
    let mut document = screen::predict(
        &read.scenario,
        &way,
        likely.as_ref(),
        found.as_ref(),
        units,
        args.detail,
    );
    let lathes = found
        .as_ref()
        .map_or(0, |spread| spread.outlook.trials.min(LATHES));
    let threaded = match plan.trial {
        // Of one lathe drawn its cone is told.
        Some(_) => None,
        None => Threaded::of(&read.scenario, options, lathes)?,
    };
    let told = threaded.as_ref();
    let told = told.map(|thread| thread.told(&read.scenario, units, args.detail));
    let thread = told.as_ref().map(|told| Planned::below(&read, told, true));
    if let Some(thread) = &thread {
        document.blocks.extend(thread.document.blocks.clone());
    }
    let answer = Found {
        read: &read,
        first: way.expect.as_ref(),
        ways: &[&way],
        methods: &[],
        methods_tried: &[],
        likely: likely.as_ref(),
        spread: found.as_ref(),
        rows: rows.as_ref(),
        part: None,
        thread: thread.as_ref(),
        detail: args.detail,
        document,
        units,
        options,
        named: "prediction",
    };
    give(&answer, args.format, &args.to, args.report.as_ref())?;
    let stopped = found.as_ref();
    let stopped = stopped.is_some_and(|spread| spread.ending == Ending::Stopped);
    if stopped || threaded.as_ref().is_some_and(Threaded::stopped) {
        return Err(Failure::Told);
    }
    let thread_met = threaded.is_none_or(|thread| thread.met());
    let met = expected(&way, found.as_ref()) && !way.forbidden && thread_met;
    Ok(if met { Verdict::Done } else { Verdict::NotMet })
}

/// Steps through time that are made with the slide's weight at most: some ten seconds of a common
/// computer.
const MOST_STEPS: f64 = 5e7;

/// Refuses, before it is run, a pass with the slide's weight that takes minutes.
fn within_reach(scenario: &Scenario, setup: &Setup, options: Options) -> Result<(), Failure> {
    let steps = inertia::steps(scenario, setup, options);
    if steps <= MOST_STEPS {
        return Ok(());
    }
    Err(Failure::Input(format!(
        "with the slide's weight the last pass takes {steps:.0e} steps through time, {MOST_STEPS:.0e} \
         are the most\n  help: leave --inertia out, or try it with a faster feed or speed, which \
         take fewer"
    )))
}

/// The way chosen; what was left open is taken from the best that agrees.
///
/// # Errors
/// When no way agrees, or it was interrupted.
pub(super) fn chosen(
    scenario: &Scenario,
    choice: Choice,
    options: Options,
    pool: &ThreadPool,
) -> Result<Way, Failure> {
    let work = &scenario.job.work;
    let admitted: Vec<Setup> = Setup::all(work.kind, work.big_end)
        .into_iter()
        .filter(|setup| setup.cuts() && choice.admits(setup))
        .collect();
    if let [only] = admitted[..] {
        let mut way = run_one(scenario, only, options);
        if way.out.is_empty() {
            let _progress = crate::progress::Progress::start("playing the plan on many lathes");
            let found = pool.install(|| expect(scenario, &only, options));
            way.expect = Some(found.map_err(|fault| Failure::Input(fault.to_string()))?);
        }
        return Ok(way);
    }
    let comparison = weighed(scenario, options, pool)?;
    if choice.is_open() {
        return first_of(comparison);
    }
    let best = comparison.best_of(&admitted).ok_or_else(no_such_way)?;
    let compared = comparison.ways.into_iter().find(|way| way.setup == best);
    Ok(compared.unwrap_or_else(|| run_one(scenario, best, options)))
}

/// The first way of a comparison.
///
/// # Errors
/// When there is none.
pub(super) fn first_of(comparison: Comparison) -> Result<Way, Failure> {
    let mut ways = comparison.ways.into_iter();
    ways.next().ok_or_else(no_such_way)
}

fn no_such_way() -> Failure {
    Failure::Stopped("there is no such way".to_owned())
}

fn run_one(scenario: &Scenario, setup: Setup, options: Options) -> Way {
    let _progress = crate::progress::Progress::start("running the way");
    let (_, approach) = cut::approach(scenario, &setup, options);
    let out = reasons(scenario, &setup, &approach);
    way(scenario, setup, Vec::new(), out, options)
}
