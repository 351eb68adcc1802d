//! Many lathes like the one described: run on all threads, told as they go, kept when stopped.

use std::ops::{ControlFlow, Range};

use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use tautway_sim::cut::Options;
use tautway_sim::method::{Method, MethodOutlook, MethodTrials, MethodWay};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;
use tautway_sim::spread::{Adaptive, Coverage, Ending, IntervalKind, Plan, propagate};
use tautway_sim::study::{
    Checked, Mend, MendDesign, Outlook, PER_TURN, Study, Trial, WayOfTrial, WayOutlook,
    check_first_order, decides, deciding, outlook,
};

use crate::arguments::{RangeArgs, SpreadArgs, Trials};
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;

/// Trials of an adaptive run: blocks smaller than the standard's 10,000, more of them at least,
/// and one digit of the uncertainty. A trial takes milliseconds and nobody waits for minutes; the
/// record says so.
pub const RULE: Adaptive = Adaptive {
    digits: 1,
    interval: IntervalKind::Symmetric,
    share_of_delta: 1.0,
    block: Some(40),
    least_blocks: 5,
    most_trials: 400,
};
/// Trials for the shares of the parts; each is run once a part and twice more.
const MEND_TRIALS: u64 = 48;
/// Trials of a method at most: its taper hangs on a few numbers.
const METHOD_TRIALS: u64 = 200;

/// What the trials came to.
pub struct Spread {
    /// What was drawn, and how.
    pub study: Study,
    /// Every trial, in order.
    pub trials: Vec<Trial>,
    /// Their sum.
    pub outlook: Outlook,
    /// What makes the spread of the first way.
    pub mend: Option<Mend>,
    /// Why they ended.
    pub ending: Ending,
    /// Taper, size and waves of the first way to first order, if asked for.
    pub first_order: Option<Vec<Checked>>,
}

impl Spread {
    /// What came of one way.
    pub fn of(&self, setup: &Setup) -> Option<&WayOutlook> {
        let at = self.study.ways().position(|way| way == setup)?;
        self.outlook.ways.get(at)
    }

    /// What a person has to know of how the trials ended.
    pub fn remark(&self) -> Option<String> {
        (self.ending == Ending::Stopped).then(|| {
            format!(
                "you stopped it after {} lathes: ranges and chances are those of these",
                self.trials.len()
            )
        })
    }
}

/// Which trials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// As many as it takes.
    Enough,
    /// These, by number.
    These {
        /// The first.
        from: u64,
        /// How many.
        count: u64,
    },
}

/// Of what the spread is shared out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shares {
    /// It isn't: the trials are a part of a whole.
    None,
    /// The parts of the machine.
    Parts,
    /// These, and every single number.
    Each,
}

/// Draws trials of these ways, the first being the one that the others are held against; none if
/// none are asked for.
///
/// # Errors
/// A range that makes no distribution, too many threads, or stopped before anything can be told.
pub fn run(
    scenario: &Scenario,
    ways: &[Setup],
    options: Options,
    args: &SpreadArgs,
    range: RangeArgs,
    detail: bool,
) -> Result<Option<Spread>, Failure> {
    let which = match (range.count, args.trials) {
        (Some(count), _) => Which::These {
            from: range.from.unwrap_or(1),
            count,
        },
        (None, Trials::Auto) => Which::Enough,
        (None, Trials::Number(0)) => return Ok(None),
        (None, Trials::Number(count)) => Which::These { from: 1, count },
    };
    if ways.is_empty() {
        return Ok(None);
    }
    if let Which::These { count, .. } = which {
        enough(count, args.coverage)?;
    }
    let study = study(scenario, ways, options)?;
    let pool = pool(args.threads)?;
    let (trials, ending) = drawn(&study, which, args.coverage, &pool)?;
    let shares = match (range.from, detail) {
        (Some(_), _) => Shares::None,
        (None, false) => Shares::Parts,
        (None, true) => Shares::Each,
    };
    let mut spread = told(study, trials, ending, args.coverage, shares, &pool)?;
    if args.first_order {
        let _progress = Progress::start("carrying the uncertainties to first order");
        let first = &spread.outlook.ways[0];
        let checked = check_first_order(&spread.study, 0, first, args.coverage)
            .map_err(|fault| Failure::Input(format!("to first order: {fault}")))?;
        spread.first_order = Some(checked);
    }
    Ok(Some(spread))
}

/// Refuses, before any is run, trials too few for a range to leave one of them out.
fn enough(count: u64, coverage: f64) -> Result<(), Failure> {
    // So many are enough for any coverage that can be asked for.
    let values = vec![0.0; count.min(1000) as usize];
    Coverage::of(&values, coverage).map(drop).map_err(|fault| {
        Failure::Input(format!(
            "no range can be told that holds {:.0} of 100 lathes: {fault}",
            100.0 * coverage
        ))
    })
}

/// A study of these ways.
///
/// # Errors
/// A range that makes no distribution.
pub fn study(scenario: &Scenario, ways: &[Setup], options: Options) -> Result<Study, Failure> {
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    Study::new(scenario, ways, options).map_err(|fault| Failure::Input(fault.to_string()))
}

/// The threads.
///
/// # Errors
/// When the system gives none.
pub fn pool(threads: Option<u16>) -> Result<ThreadPool, Failure> {
    ThreadPoolBuilder::new()
        .num_threads(threads.map_or(0, usize::from))
        .build()
        .map_err(|why| Failure::Stopped(format!("can't start threads: {why}")))
}

/// Sums up trials that are at hand, and shares out the spread of the first way where they are all
/// of a whole.
///
/// # Errors
/// Too few trials to tell anything.
pub fn told(
    study: Study,
    trials: Vec<Trial>,
    ending: Ending,
    coverage: f64,
    shares: Shares,
    pool: &ThreadPool,
) -> Result<Spread, Failure> {
    let outlook = outlook(&study, &trials, coverage).map_err(|fault| {
        Failure::Stopped(format!("{} lathes were tried: {fault}", trials.len()))
    })?;
    let mend = match shares {
        Shares::Parts | Shares::Each if ending != Ending::Stopped => {
            shared_out(&study, &outlook, shares == Shares::Each, pool)
        }
        _ => None,
    };
    // Stopped after the trials: told as such all the same.
    let ending = if interrupt::asked() {
        Ending::Stopped
    } else {
        ending
    };
    Ok(Spread {
        study,
        trials,
        outlook,
        mend,
        ending,
        first_order: None,
    })
}

/// Makes trials of any kind, from 1 on, on all threads; stopped, those made so far, and whether
/// it was.
pub fn each<T: Send>(
    count: u64,
    pool: &ThreadPool,
    what: &str,
    make: impl Fn(u64) -> T + Sync,
) -> (Vec<T>, bool) {
    let progress = Progress::start(what);
    let _gently = interrupt::gently();
    let piece = 4 * pool.current_num_threads() as u64;
    let mut made = Vec::new();
    let mut next = 1;
    while next <= count && !interrupt::asked() {
        let until = (next + piece).min(count + 1);
        let done: Vec<T> = pool.install(|| (next..until).into_par_iter().map(&make).collect());
        made.extend(done);
        next = until;
        progress.tell(format!("{what}, {} of {count}", made.len()));
    }
    (made, next <= count)
}

fn drawn(
    study: &Study,
    which: Which,
    coverage: f64,
    pool: &ThreadPool,
) -> Result<(Vec<Trial>, Ending), Failure> {
    let progress = Progress::start("trying lathes like this one");
    let _gently = interrupt::gently();
    let mut trials = Vec::new();
    // A block is run in pieces, so that a stop doesn't wait for all of it.
    let piece = 4 * pool.current_num_threads() as u64;
    let mut block = |numbers: Range<u64>| {
        let begun = trials.len();
        let mut next = numbers.start;
        while next < numbers.end && !interrupt::asked() {
            let until = (next + piece).min(numbers.end);
            let done: Vec<Trial> = pool.install(|| {
                (next..until)
                    .into_par_iter()
                    .map(|n| study.trial(n))
                    .collect()
            });
            trials.extend(done);
            next = until;
            progress.tell(format!("tried {} lathes like this one", trials.len()));
        }
        let rows: Vec<Vec<f64>> = trials[begun..]
            .iter()
            .map(|trial| deciding(trial, 0).to_vec())
            .collect();
        if next < numbers.end {
            ControlFlow::Break(rows)
        } else {
            ControlFlow::Continue(rows)
        }
    };
    let (plan, from) = match which {
        Which::Enough => (Plan::Adaptive(RULE), 1),
        Which::These { from, count } => (
            Plan::Given {
                trials: count,
                block: count,
            },
            from,
        ),
    };
    let ending = propagate(coverage, plan, |numbers| {
        block(numbers.start + from..numbers.end + from)
    })
    .map(|propagation| propagation.ending)
    .map_err(|fault| Failure::Stopped(format!("no lathes were tried to an end: {fault}")))?;
    Ok((trials, ending))
}

/// What makes the spread of the first way; none when stopped, or when nothing is uncertain.
fn shared_out(study: &Study, outlook: &Outlook, each: bool, pool: &ThreadPool) -> Option<Mend> {
    let progress = Progress::start("looking for what to mend first");
    let _gently = interrupt::gently();
    shares(study, outlook, each, pool, &mut |done, all| {
        progress.tell(format!("looking for what to mend first, {done} of {all}"));
        !interrupt::asked()
    })
}

/// The same, told before each piece how many runs of how many are done; stops where `go_on` says
/// no.
pub fn shares(
    study: &Study,
    outlook: &Outlook,
    each: bool,
    pool: &ThreadPool,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Mend> {
    let design = MendDesign::new(study, 0, MEND_TRIALS, each).ok()?;
    let rows: Vec<_> = design.rows().collect();
    let mut outputs: Vec<Vec<f64>> = Vec::with_capacity(rows.len());
    for piece in rows.chunks(16 * pool.current_num_threads()) {
        if !go_on(outputs.len(), rows.len()) {
            return None;
        }
        let done: Vec<_> = pool.install(|| piece.par_iter().map(|row| design.run(*row)).collect());
        outputs.extend(done);
    }
    design
        .indices(&outputs, decides(outlook.ways.first()?))
        .ok()
}

/// A method on the first of the lathes tried.
pub struct MethodTried {
    /// The method.
    pub method: Method,
    /// What came of it.
    pub outlook: MethodOutlook,
}

/// Trials of every method that was simulated, on the same lathes as the ways with the attachment,
/// the first of them; none where too few were asked for.
///
/// # Errors
/// A range that makes no distribution, or too many threads.
pub fn of_methods(
    scenario: &Scenario,
    methods: &[MethodWay],
    options: Options,
    count: u64,
    coverage: f64,
    pool: &ThreadPool,
) -> Result<Vec<MethodTried>, Failure> {
    let count = count.min(METHOD_TRIALS);
    if enough(count, coverage).is_err() {
        return Ok(Vec::new());
    }
    let study = study(scenario, &[], options)?;
    let _progress = Progress::start("trying the ways without the attachment");
    let mut all = Vec::new();
    for way in methods {
        let trials = MethodTrials::new(&study, scenario, way)
            .map_err(|fault| Failure::Input(fault.to_string()))?;
        let Some(trials) = trials else { continue };
        let found: Vec<WayOfTrial> = pool.install(|| {
            (1..=count)
                .into_par_iter()
                .map(|number| trials.trial(number))
                .collect()
        });
        if let Ok(outlook) = MethodOutlook::of(&found, coverage) {
            all.push(MethodTried {
                method: way.method,
                outlook,
            });
        }
    }
    Ok(all)
}

/// What was drawn in one trial, for the person.
pub fn drawn_words(study: &Study, number: u64, units: Units) -> Vec<String> {
    let (mut scenario, _) = study.scenario_of(number);
    scenario
        .knobs_mut()
        .into_iter()
        .zip(study.quantities())
        .filter(|(_, quantity)| quantity.varies())
        .map(|(knob, quantity)| {
            let [_, value, _] = knob.value.show(units);
            format!("{} {value}", quantity.words)
        })
        .collect()
}
