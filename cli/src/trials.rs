//! Many lathes like the one described: run on all threads, told as they go, kept when stopped.

mod rows;

use std::ops::{ControlFlow, Range};
use std::path::Path;

use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use tautway_browser_engine::hands::Hands;
use tautway_sim::compare::Comparison;
use tautway_sim::cut::{BATCH, Options};
use tautway_sim::method::{MethodOutlook, MethodTrials, MethodWay};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;
use tautway_sim::spread::{
    Adaptive, Coverage, Ending, IntervalKind, Plan, PropagationFault, propagate,
};
use tautway_sim::study::{
    Gathered, Mend, MendDesign, Outlook, PER_TURN, Study, Trial, WayOfTrial, check_first_order,
    decides, deciding,
};

use crate::failure::Failure;
use crate::interrupt;
use crate::output::folder::Filling;
use crate::plan::{Lathes, Which};
use crate::progress::Progress;
use rows::Rows;
pub use rows::unsealed;
use tautway_screens::spread::{MethodTried, Spread};

/// Trials of an adaptive run: blocks smaller than the standard's 10,000, more of them at least,
/// and one digit of the uncertainty. A trial takes milliseconds and nobody waits for minutes; the
/// record says so.
const RULE: Adaptive = Adaptive {
    digits: 1,
    interval: IntervalKind::Symmetric,
    share_of_delta: 1.0,
    block: Some(40),
    least_blocks: 5,
    most_trials: 400,
};
/// Trials a thread that are run before they are added.
const PIECE: u64 = 128;
/// Trials for the shares of the parts; each is run once a part and twice more.
const MEND_TRIALS: u64 = 48;
/// Trials of a method at most: its taper hangs on a few numbers.
const METHOD_TRIALS: u64 = 200;

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

/// The ways that lathes are tried on: all that can be cut, the best first.
pub fn ways(comparison: &Comparison) -> Vec<Setup> {
    comparison
        .feasible()
        .filter(|way| way.run.is_some())
        .map(|way| way.setup)
        .collect()
}

/// Draws trials of these ways, the first being the one that the others are held against; none if
/// none are asked for. With them every trial, in order, where a directory is to be written.
///
/// # Errors
/// A range that makes no distribution, too many threads, or stopped before anything can be told.
pub fn run(
    (scenario, ways, options): (&Scenario, &[Setup], Options),
    lathes: &Lathes,
    detail: bool,
    out: Option<&Path>,
    pool: &ThreadPool,
) -> Result<Option<(Spread, Option<Filling>)>, Failure> {
    let coverage = lathes.coverage;
    if ways.is_empty() || lathes.which == Which::None {
        return Ok(None);
    }
    if let Which::These { count, .. } = lathes.which {
        enough(count, coverage)?;
    }
    let study = study(scenario, ways, options)?;
    if let Which::These { count, .. } = lathes.which {
        within_reach(count, study.steps_a_lathe())?;
    }
    let mut sink = Sink::new(&study, out, scenario.job.units)?;
    let ending = drawn(&study, lathes, pool, &mut sink)?;
    let (gathered, rows) = sink.end()?;
    let shares = match (lathes.is_part, detail) {
        (true, _) => Shares::None,
        (false, false) => Shares::Parts,
        (false, true) => Shares::Each,
    };
    let mut spread = told(study, &gathered, ending, coverage, shares, pool)?;
    if lathes.first_order {
        let _progress = Progress::start("carrying the uncertainties to first order");
        let first = &spread.outlook.ways[0];
        let checked = check_first_order(&spread.study, 0, first, coverage)
            .map_err(|fault| Failure::Input(format!("to first order: {fault}")))?;
        spread.first_order = Some(checked);
    }
    Ok(Some((spread, rows)))
}

/// Refuses, before any is run, trials too few for a range to leave one of them out.
fn enough(count: u64, coverage: f64) -> Result<(), Failure> {
    // So many are enough for any coverage that can be asked for.
    let values = vec![0.0; count.min(1000) as usize];
    Coverage::of(&values, coverage).map(drop).map_err(|fault| {
        Failure::Input(format!(
            "no range can be told that holds {:.0} of 100 lathes: {fault}\n  help: try more of \
             them, or ask for a smaller part with --coverage",
            100.0 * coverage
        ))
    })
}

/// Steps that are cut at most: some days of all threads of a common computer.
const MOST_STEPS: f64 = 1e14;
/// Steps between two looks at whether a stop was asked for.
const STEPS_AT_ONCE: f64 = 4e8;

/// Refuses, before any is run, more work than ends while anyone waits for it.
fn within_reach(count: u64, steps: f64) -> Result<(), Failure> {
    let all = count as f64 * steps;
    if all <= MOST_STEPS {
        return Ok(());
    }
    Err(Failure::Input(format!(
        "{count} lathes take {all:.0e} steps of the tool, {steps:.0e} each: no answer would come of \
         it\n  help: {} lathes are the most for this job; share them among computers with \
         --first-trial, or feed faster",
        (MOST_STEPS / steps).floor()
    )))
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

/// Where trials go, one after another: into their sum, and into the rows of a directory.
pub struct Sink<'a> {
    study: &'a Study,
    gathered: Gathered,
    rows: Option<Rows>,
}

impl<'a> Sink<'a> {
    /// For trials of a study, and a directory if one is to be written.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn new(study: &'a Study, out: Option<&Path>, units: Units) -> Result<Self, Failure> {
        Ok(Self {
            study,
            gathered: Gathered::new(study.ways().count()),
            rows: out.map(|out| Rows::begin(out, units)).transpose()?,
        })
    }

    /// Takes the next trial.
    ///
    /// # Errors
    /// When its row can't be written.
    pub fn add(&mut self, trial: &Trial) -> Result<(), Failure> {
        self.gathered.add(trial);
        match &mut self.rows {
            Some(rows) => rows.add(self.study, trial),
            None => Ok(()),
        }
    }

    /// The sum, and the directory that holds the rows.
    ///
    /// # Errors
    /// When the last row can't be written.
    pub fn end(self) -> Result<(Gathered, Option<Filling>), Failure> {
        Ok((self.gathered, self.rows.map(Rows::end).transpose()?))
    }
}

/// Sums up trials that are gathered, and shares out the spread of the first way where they are all
/// of a whole.
///
/// # Errors
/// Too few trials to tell anything.
pub fn told(
    study: Study,
    gathered: &Gathered,
    ending: Ending,
    coverage: f64,
    shares: Shares,
    pool: &ThreadPool,
) -> Result<Spread, Failure> {
    let outlook = gathered.outlook(study.seed(), coverage).map_err(|fault| {
        Failure::Stopped(format!("{} lathes were tried: {fault}", gathered.trials()))
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
        outlook,
        mend,
        ending,
        first_order: None,
    })
}

/// Makes what these numbers stand for on all threads, as many together as a batch holds lathes; in
/// their order.
pub fn together<T: Send>(
    numbers: Range<u64>,
    pool: &ThreadPool,
    make: impl Fn(Range<u64>) -> Vec<T> + Sync,
) -> Vec<T> {
    let group = |start: u64| make(start..(start + BATCH as u64).min(numbers.end));
    let starts: Vec<u64> = numbers.clone().step_by(BATCH).collect();
    let made: Vec<Vec<T>> = pool.install(|| starts.into_par_iter().map(group).collect());
    made.into_iter().flatten().collect()
}

/// Trials of a study by their numbers, on all threads.
pub fn of(study: &Study, numbers: Range<u64>, pool: &ThreadPool) -> Vec<Trial> {
    pool.install(|| study.trials(numbers))
}

/// Makes trials of any kind, from 1 on, on all threads; stopped, those made so far, and whether
/// it was.
fn each<T: Send>(
    count: u64,
    pool: &ThreadPool,
    what: &str,
    make: impl Fn(Range<u64>) -> Vec<T> + Sync,
) -> (Vec<T>, bool) {
    let progress = Progress::start(what);
    let _gently = interrupt::gently();
    let piece = PIECE / 8 * pool.current_num_threads() as u64;
    let mut made = Vec::new();
    let mut next = 1;
    while next <= count && !interrupt::asked() {
        let until = (next + piece).min(count + 1);
        made.extend(together(next..until, pool, &make));
        next = until;
        progress.tell(format!("{what}, {} of {count}", made.len()));
    }
    (made, next <= count)
}

/// The threads of a command line, told of as they work.
pub struct PooledHands<'a>(pub &'a ThreadPool);

impl Hands for PooledHands<'_> {
    fn trials<T: Send>(
        &self,
        doing: &str,
        count: u64,
        make: impl Fn(Range<u64>) -> Vec<T> + Sync,
    ) -> (Vec<T>, bool) {
        each(count, self.0, doing, make)
    }

    fn work<T: Send>(&self, doing: &str, work: impl FnOnce() -> T + Send) -> T {
        let _progress = Progress::start(doing);
        self.0.install(work)
    }
}

/// Who follows lathes as they are tried.
pub trait Follower {
    /// Whether to go on; if not, what is tried so far is all there is.
    fn goes_on(&self) -> bool;

    /// Takes the next trial.
    ///
    /// # Errors
    /// When it can't be kept.
    fn take(&mut self, trial: &Trial) -> Result<(), Failure>;

    /// Some more were tried; how many in all.
    fn tried(&mut self, all: u64);

    /// A block of the rule by which enough is found was tried to its end.
    fn block(&mut self) {}
}

/// Tries lathes in order, `piece` of them at once, and says why that ended.
///
/// # Errors
/// When nothing can be told of those tried, or one can't be kept.
pub fn draw(
    study: &Study,
    lathes: &Lathes,
    (pool, piece): (&ThreadPool, u64),
    follower: &mut impl Follower,
) -> Result<Ending, Failure> {
    // Of a long cut few are made at once, so that a stop is seen inside of it.
    let few = ((STEPS_AT_ONCE / study.steps_a_lathe()) as u64).clamp(1, 1 << 30);
    let piece = piece.min(few.next_multiple_of(BATCH as u64));
    let mut tried = 0;
    let mut block = |numbers: Range<u64>, told: &mut dyn FnMut(&Trial)| {
        let mut next = numbers.start;
        while next < numbers.end && follower.goes_on() {
            let until = (next + piece).min(numbers.end);
            for trial in &of(study, next..until, pool) {
                follower.take(trial)?;
                told(trial);
                tried += 1;
            }
            next = until;
            follower.tried(tried);
        }
        if next < numbers.end {
            return Ok(false);
        }
        follower.block();
        Ok(true)
    };
    let none = |why: &dyn std::fmt::Display| {
        Failure::Stopped(format!("no lathes were tried to an end: {why}"))
    };
    let rule = match lathes.which {
        Which::None => return Err(none(&PropagationFault::Nothing)),
        Which::Enough => RULE,
        Which::These { from, count } => {
            let whole = block(from..from + count, &mut |_| {})?;
            if tried == 0 {
                return Err(none(&PropagationFault::Nothing));
            }
            return Ok(if whole {
                Ending::Complete
            } else {
                Ending::Stopped
            });
        }
    };
    let mut fault = None;
    let propagation = propagate(lathes.coverage, Plan::Adaptive(rule), |numbers| {
        let mut rows = Vec::new();
        let mut told = |trial: &Trial| rows.push(deciding(trial, 0).to_vec());
        match block(numbers.start + 1..numbers.end + 1, &mut told) {
            Ok(true) => ControlFlow::Continue(rows),
            Ok(false) => ControlFlow::Break(rows),
            Err(why) => {
                fault = Some(why);
                ControlFlow::Break(rows)
            }
        }
    });
    match fault {
        Some(why) => Err(why),
        None => propagation
            .map(|propagation| propagation.ending)
            .map_err(|why| none(&why)),
    }
}

/// A person at the command line, who may stop it with what it has.
struct AtTerminal<'a, 'b> {
    progress: Progress,
    sink: &'a mut Sink<'b>,
}

impl Follower for AtTerminal<'_, '_> {
    fn goes_on(&self) -> bool {
        !interrupt::asked()
    }

    fn take(&mut self, trial: &Trial) -> Result<(), Failure> {
        self.sink.add(trial)
    }

    fn tried(&mut self, all: u64) {
        self.progress
            .tell(format!("tried {all} lathes like this one"));
    }
}

fn drawn(
    study: &Study,
    lathes: &Lathes,
    pool: &ThreadPool,
    sink: &mut Sink<'_>,
) -> Result<Ending, Failure> {
    let _gently = interrupt::gently();
    let mut person = AtTerminal {
        progress: Progress::start("trying lathes like this one"),
        sink,
    };
    // A block is run in pieces, so that a stop doesn't wait for all of it, and so that no more
    // than a piece is held at once.
    let piece = PIECE * pool.current_num_threads() as u64;
    draw(study, lathes, (pool, piece), &mut person)
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
    for piece in rows.chunks(PIECE as usize * pool.current_num_threads()) {
        if !go_on(outputs.len(), rows.len()) {
            return None;
        }
        outputs.extend(pool.install(|| design.runs(piece)));
    }
    design
        .indices(&outputs, decides(outlook.ways.first()?))
        .ok()
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
        .parameters_mut()
        .into_iter()
        .zip(study.quantities())
        .filter(|(_, quantity)| quantity.varies())
        .map(|(knob, quantity)| {
            let [_, value, _] = knob.value.show(units);
            format!("{} {value}", quantity.words)
        })
        .collect()
}
