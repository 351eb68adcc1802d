//! The same thread on many lathes like the one described.
//!
//! The lathe's and the job's numbers are drawn as in [`crate::study`], and the carriage starts
//! where the middle values say. Crowding and the dog's place are drawn besides, at places of their
//! own in each trial's stream, and with the tailstock over its setting too: as triangles over their
//! ranges (a guess).

use std::ops::ControlFlow;

use schemars::JsonSchema;
use serde::Serialize;

use super::{ThreadWay, between_centres, cut_once};
use crate::arithmetic::max;
use crate::cut::Options;
use crate::quantity::{Quantity, Ratio};
use crate::scenario::{Known, Origin, Scenario, Vary};
use crate::spread::{
    Coverage, Distribution, Draws, Ending, Plan, PropagationFault, TrialDraws, propagate,
};
use crate::study::{PER_TURN, RangeFault, Study};
use crate::threading::Method;
use crate::verdict::NOT_SEEN;

/// Lathes a thread is tried on where nothing else is asked for.
pub const LATHES: u64 = 200;
/// Places of the thread's own numbers, beyond those of the scenario's.
const CROWDING: u32 = 4096;
const DOG: u32 = 4097;
/// Part of the lathes that a range has to hold.
const PROBABILITY: f64 = 0.95;
/// Trials between two looks at whether to go on.
const BLOCK: u64 = 20;

/// What came of the trials.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadLikely {
    /// How many.
    pub trials: u64,
    /// Stopped before all that were asked for.
    pub stopped: bool,
    /// Depth less the depth wanted, by the dial alone, m.
    pub depth_error: Coverage,
    /// How far a gauge goes on beyond its place, by the dial alone, m.
    pub goes_on: Coverage,
    /// Taper of the thread, on diameter.
    pub taper: Coverage,
    /// Largest error of the lead in an inch, m.
    pub lead: Coverage,
    /// Share of lathes on which every pass sits alike.
    pub steady: f64,
    /// Share of lathes on which the drawing is met.
    pub met: f64,
}

/// Why nothing came of them.
#[derive(Clone, Debug, PartialEq)]
pub enum LikelyFault {
    /// A number's range makes no distribution.
    Range(RangeFault),
    /// The trials were stopped, or came to nothing.
    Trials(PropagationFault),
}

impl std::fmt::Display for LikelyFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Range(fault) => fault.fmt(f),
            Self::Trials(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for LikelyFault {}

/// Cuts a thread this way on so many lathes; `go_on` is asked after every block, with how many were
/// done before it. Stopped, it keeps what was done.
///
/// # Errors
/// A range that makes no distribution, or too few lathes for a range.
pub fn likely(
    scenario: &Scenario,
    told: &ThreadWay,
    options: Options,
    trials: u64,
    go_on: &mut dyn FnMut(u64) -> bool,
) -> Result<ThreadLikely, LikelyFault> {
    let study = Study::new(scenario, &[told.setup], options).map_err(LikelyFault::Range)?;
    let draws = Draws { seed: options.seed };
    let run_in = match told.method {
        Method::Attachment => study.run_in(0),
        Method::TailstockOver => options.run_in,
    };
    let plan = Plan::Given {
        trials,
        block: BLOCK,
    };
    let found = propagate(PROBABILITY, plan, |range| {
        let first = range.start;
        let rows = range
            .filter_map(|trial| {
                let (mut scenario, luck) = study.scenario_of(trial + 1);
                let mut own = draws.trial(trial);
                if told.method == Method::TailstockOver {
                    scenario = between_centres(&scenario);
                    for parameter in scenario.method_parameters_mut() {
                        let range = parameter.value.range_si();
                        if let Some(value) = drawn(&mut own, parameter.number, range) {
                            parameter.set_si(&mut scenario, value);
                        }
                    }
                }
                let cut = scenario.job.thread.as_mut()?.cut.as_mut()?;
                draw(&mut own, CROWDING, &mut cut.crowding);
                draw(&mut own, DOG, &mut cut.dog_offset);
                let cut = cut.clone();
                let options = Options {
                    per_turn: PER_TURN,
                    seed: luck,
                    run_in,
                };
                let run = cut_once(&scenario, &cut, told.setup, told.method, options);
                let o = &run.by_dial;
                Some(vec![
                    o.depth_error,
                    o.goes_on,
                    o.taper,
                    o.lead.in_an_inch,
                    f64::from(u8::from(o.steady)),
                    f64::from(u8::from(run.verdict.met())),
                ])
            })
            .collect();
        if go_on(first) {
            ControlFlow::Continue(rows)
        } else {
            ControlFlow::Break(rows)
        }
    })
    .map_err(LikelyFault::Trials)?;
    let coverage = |output: usize| found.outputs[output].coverage;
    let share = |output: usize| {
        let values = &found.outputs[output].values;
        values.iter().sum::<f64>() / values.len() as f64
    };
    Ok(ThreadLikely {
        trials: found.trials,
        stopped: found.ending == Ending::Stopped,
        depth_error: coverage(0),
        goes_on: coverage(1),
        taper: coverage(2),
        lead: coverage(3),
        steady: share(4),
        met: share(5),
    })
}

fn draw(draws: &mut TrialDraws, place: u32, known: &mut Known<Ratio>) {
    if let Some(value) = drawn(draws, place, known.range_si()) {
        *known = Known::given(Ratio::from_si(value));
    }
}

/// A value from a triangle over a range, if it is one.
fn drawn(draws: &mut TrialDraws, place: u32, [lower, mode, upper]: [f64; 3]) -> Option<f64> {
    let spread = Distribution::Triangular { lower, mode, upper };
    (lower < upper).then(|| spread.quantile(draws.uniform(place)))
}

/// An assumed number that moves the depth within its range.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Moves {
    /// Its key in the person's files.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// The shop test that measures it.
    pub test: Option<&'static str>,
    /// Least, taken, most, in shop notation.
    pub range: [String; 3],
    /// Most that it moves the depth, m.
    pub depth: f64,
    /// Whether a seat changes within it that doesn't with the middle.
    pub unseats: bool,
}

/// Each assumed number moved to the ends of its range by itself; those that move the depth by more
/// than one would see or unseat the slide, the greatest first.
pub fn moves(scenario: &Scenario, told: &ThreadWay, options: Options) -> Vec<Moves> {
    let Some(run) = &told.run else {
        return Vec::new();
    };
    let held = match told.method {
        Method::Attachment => scenario.clone(),
        Method::TailstockOver => between_centres(scenario),
    };
    let scenario = &held;
    let units = scenario.job.units;
    let mut found = Vec::new();
    let parameters = scenario.clone().parameters_mut();
    let count = parameters.len();
    for place in 0..count + 1 {
        let mut depth = 0.0f64;
        let mut unseats = false;
        let mut named = None;
        for end in [0, 2] {
            let mut moved = scenario.clone();
            if let Some(parameter) = parameters.get(place) {
                if parameter.value.origin() != Origin::Assumed {
                    continue;
                }
                named = Some((
                    parameter.key,
                    parameter.words,
                    parameter.test,
                    parameter.value.show(units),
                ));
                parameter.set_si(&mut moved, parameter.value.range_si()[end]);
            }
            let Some(cut) = moved
                .job
                .thread
                .as_mut()
                .and_then(|thread| thread.cut.as_mut())
            else {
                continue;
            };
            if place == count {
                if cut.crowding.origin != Origin::Assumed {
                    continue;
                }
                named = Some((
                    "thread.crowding",
                    "how the chips of both flanks hinder each other",
                    None,
                    cut.crowding.show(units),
                ));
                cut.crowding.middle = [cut.crowding.low, cut.crowding.high][end / 2];
            }
            let cut = cut.clone();
            let here = cut_once(&moved, &cut, told.setup, told.method, options);
            depth = max(depth, (here.by_dial.depth - run.by_dial.depth).abs());
            unseats |= run.by_dial.steady && !here.by_dial.steady;
        }
        if let Some((key, words, test, range)) = named
            && (depth > NOT_SEEN || unseats)
        {
            found.push(Moves {
                key,
                words,
                test,
                range,
                depth,
                unseats,
            });
        }
    }
    found.sort_by(|a, b| {
        (b.unseats, b.depth)
            .partial_cmp(&(a.unseats, a.depth))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    found
}
