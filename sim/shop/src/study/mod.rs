//! Many lathes like the one described: every uncertain number drawn, every way cut on the same
//! draws.
//!
//! A trial is a lathe, a piece and a cut: each number of [`crate::scenario::Parameter`] takes the value
//! that its place in the trial's stream gives, the hard spots and the run-out's phase come from
//! the seed at place 0, and all ways are cut on that one machine. So two ways differ by the ways
//! alone, a number added later shifts no other, and one trial can be made again by itself.
//!
//! The finishing passes are run, from an even stock, and the carriage starts where the sheet for
//! the middle values says: on a lathe looser than thought that is too short, and shows.

mod quantity;
mod summary;
mod first_order;
mod mend;
mod standard;

pub use first_order::{Checked, check_first_order};
pub use mend::{Mend, MendDesign, MendNumber, MendPart, SIZE, TAPER, WAVES, decides};
pub(crate) use quantity::distribution_of;
pub use quantity::{Part, RangeFault, Uncertain};
pub(crate) use standard::Coordinate;
pub use summary::{Chance, Gathered, Outlook, WayOutlook, deciding, outlook};

use std::ops::Range;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cut::{
    self, BATCH, Operation, Options, Realization, RunIn, Scratch, Turned, finish_batch,
    finish_gauged,
};
use crate::measure::gauge_turned;
use crate::parallel::*;
use crate::quantity::Quantity;
use crate::record::Measures;
use crate::scenario::numbers::passes::{DIAL_WITHIN, TOUCH_OFF_WITHIN};
use crate::scenario::{HandDraws, Scenario};
use crate::setup::Setup;
use crate::spread::{Draws, SharedFactor};
use crate::verdict::{Verdict, judge};

/// Steps a turn in a trial: half of what a single run takes. Sizes agree with it within 1 %,
/// waves within 4 %, far inside what the numbers themselves leave open.
pub const PER_TURN: usize = 12;

/// Place of the piece's own luck in a trial's stream; the others are the numbers of
/// [`crate::scenario::Parameter`].
const LUCK: usize = 0;
/// Places in use, with room for more numbers: a new one must not shift what is drawn.
const PLACES: usize = 96;

/// Passes of a thread for which there are draws: as many as a job may ask for, and some more that
/// the gauge asks for.
const MOST_THREAD_PASSES: usize = 96;

/// A scenario whose uncertain numbers are drawn, trial after trial.
#[derive(Clone, Debug)]
pub struct Study {
    scenario: Scenario,
    ways: Vec<(Setup, Options)>,
    quantities: Vec<Uncertain>,
    factors: Vec<SharedFactor>,
    draws: Draws,
    /// Where the piece's luck and the hand's errors come from, where not from the lathe's own stream.
    by_hand: Option<Draws>,
}

/// One trial: what was drawn, and what each way makes of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct Trial {
    /// Its number, from 1.
    pub number: u64,
    /// Seed of the piece's hard spots and run-out.
    pub luck: u64,
    /// The value of each quantity, in SI, in the order of [`Study::quantities`].
    pub values: Vec<f64>,
    /// By way, in the order they were given.
    pub ways: Vec<WayOfTrial>,
}

/// One way in one trial.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema, Deserialize)]
pub struct WayOfTrial {
    /// What gauges read.
    #[serde(flatten)]
    pub measures: Measures,
    /// Against the drawing.
    pub verdict: Verdict,
}

impl Study {
    /// A study of these ways of a scenario, all draws from this seed.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(scenario: &Scenario, ways: &[Setup], options: Options) -> Result<Self, RangeFault> {
        let mut scenario = scenario.clone();
        let (quantities, factors) = quantity::quantities(&mut scenario)?;
        let ways = ways
            .iter()
            .map(|setup| (*setup, as_told(&scenario, setup, options)))
            .collect();
        Ok(Self {
            draws: Draws { seed: options.seed },
            scenario,
            ways,
            quantities,
            factors,
            by_hand: None,
        })
    }

    /// The same lathes with another stretch of work, touched off and dialled anew.
    pub(crate) fn by_hand_anew(mut self) -> Self {
        self.by_hand = Some(Draws {
            seed: self.draws.seed ^ ANEW,
        });
        self
    }

    /// The same lathes with the slide pulled to its face by hand before each pass, spindle stopped,
    /// however long or short the run-in.
    pub fn seated_by_hand(mut self) -> Self {
        for (_, options) in &mut self.ways {
            options.run_in = None;
        }
        self
    }

    /// What is drawn.
    pub fn quantities(&self) -> &[Uncertain] {
        &self.quantities
    }

    /// The ways, in order.
    pub fn ways(&self) -> impl Iterator<Item = &Setup> {
        self.ways.iter().map(|(setup, _)| setup)
    }

    /// Steps that each of its lathes takes, all ways together: known before any is run.
    pub fn steps_a_lathe(&self) -> f64 {
        let (work, passes) = (&self.scenario.job.work, &self.scenario.job.passes);
        let turns = work.length.si() / passes.feed.si();
        let made = passes.finish.len() as f64 + f64::from(passes.spring);
        let steps = self.ways.iter().map(|(_, options)| options.per_turn as f64);
        turns * made * steps.sum::<f64>()
    }

    /// The seed of all draws.
    pub fn seed(&self) -> u64 {
        self.draws.seed
    }

    /// Runs a trial by its number, from 1: the same whatever ran before or beside it, on any
    /// thread.
    pub fn trial(&self, number: u64) -> Trial {
        self.trials(number..number + 1).remove(0)
    }

    /// The trials of these numbers, each with one way or more, of several studies of the same
    /// lathes: number by number, the ways of all studies after another.
    pub fn batches<'s>(
        studies: impl Iterator<Item = &'s Self>,
        numbers: Range<u64>,
    ) -> Vec<Vec<WayOfTrial>> {
        let mut found = vec![Vec::new(); (numbers.end - numbers.start) as usize];
        for study in studies {
            let trials = study.trials(numbers.clone());
            for (found, trial) in found.iter_mut().zip(trials) {
                found.extend(trial.ways);
            }
        }
        found
    }

    /// Runs trials by their numbers on all threads, in their order; soonest by [`BATCH`] or a
    /// multiple.
    pub fn trials(&self, numbers: Range<u64>) -> Vec<Trial> {
        let groups: Vec<u64> = numbers.clone().step_by(BATCH).collect();
        let group = |start: u64| self.group(start..(start + BATCH as u64).min(numbers.end));
        let made: Vec<Vec<Trial>> = groups.into_par_iter().map(group).collect();
        made.into_iter().flatten().collect()
    }

    /// Trials that are cut as one batch.
    fn group(&self, numbers: Range<u64>) -> Vec<Trial> {
        let drawn: Vec<Drawn> = numbers
            .clone()
            .map(|number| self.drawn_in(number))
            .collect();
        let luck: Vec<Arc<Realization>> = match self.ways.first() {
            Some(way) => drawn.iter().map(|drawn| luck(drawn, way)).collect(),
            None => Vec::new(),
        };
        let cut = |way: &(Setup, Options)| cut_batch(&drawn, way, &luck);
        let cuts: Vec<Vec<Measures>> = self.ways.par_iter().map(cut).collect();
        let mut ways: Vec<Vec<WayOfTrial>> = vec![Vec::new(); drawn.len()];
        for ((setup, _), cuts) in self.ways.iter().zip(cuts) {
            for ((ways, drawn), measures) in ways.iter_mut().zip(&drawn).zip(cuts) {
                ways.push(WayOfTrial {
                    verdict: judge(&drawn.scenario, setup, &measures),
                    measures,
                });
            }
        }
        let trials = numbers.zip(drawn).zip(ways);
        trials
            .map(|((number, drawn), ways)| Trial {
                number,
                luck: drawn.luck,
                values: drawn.values,
                ways,
            })
            .collect()
    }

    /// Cuts these trials in one way with the work gauged before the last pass: `dial` is told a
    /// trial's number and what is true of its work there, and says how much further than set the
    /// dial is turned, m. By number, what was true then and at the end.
    pub fn gauged(
        &self,
        way: usize,
        numbers: Range<u64>,
        dial: &(dyn Fn(u64, &Measures) -> f64 + Sync),
    ) -> Vec<[Measures; 2]> {
        let groups: Vec<u64> = numbers.clone().step_by(BATCH).collect();
        let group = |start: u64| {
            let numbers = start..(start + BATCH as u64).min(numbers.end);
            let drawn: Vec<Drawn> = numbers.clone().map(|n| self.drawn_in(n)).collect();
            let way = &self.ways[way];
            let luck: Vec<Arc<Realization>> = drawn.iter().map(|drawn| luck(drawn, way)).collect();
            let operations = operations(&drawn, way, &luck);
            let found = |turned: Vec<Turned>| -> Vec<Measures> {
                let each = drawn.iter().zip(&operations).zip(turned);
                each.map(|((drawn, operation), turned)| {
                    gauge_turned(&drawn.scenario, &way.0, operation, turned)
                })
                .collect()
            };
            let mut before = Vec::new();
            let between = |turned| {
                before = found(turned);
                numbers
                    .clone()
                    .zip(&before)
                    .map(|(n, m)| dial(n, m))
                    .collect()
            };
            let turned = Scratch::of_thread(|room| finish_gauged(&operations, room, between));
            let after = found(turned);
            before.into_iter().zip(after).map(|(a, b)| [a, b]).collect()
        };
        let made: Vec<Vec<[Measures; 2]>> = groups.into_par_iter().map(group).collect();
        made.into_iter().flatten().collect()
    }

    /// The scenario of a trial, its middles as drawn and nothing uncertain any more, and the seed
    /// of its piece.
    pub fn scenario_of(&self, number: u64) -> (Scenario, u64) {
        let drawn = self.drawn_in(number);
        let mut scenario = drawn.scenario;
        for (parameter, value) in scenario.parameters_mut().into_iter().zip(&drawn.values) {
            parameter.set_range_si(&mut scenario, [*value; 3]);
        }
        (scenario, drawn.luck)
    }

    /// Where the carriage starts in a way, m before the taper; none when seated by hand.
    pub fn run_in(&self, way: usize) -> Option<f64> {
        self.ways[way].1.run_in
    }

    fn drawn_in(&self, trial: u64) -> Drawn {
        let mut draws = self.draws.trial(trial - 1);
        let mut uniforms = draws.correlated(PLACES, &self.factors);
        if let Some(by_hand) = self.by_hand {
            let of_hand = [&TOUCH_OFF_WITHIN.about, &DIAL_WITHIN.about].map(|of| of.number);
            for place in of_hand.into_iter().chain([LUCK as u32]) {
                uniforms[place as usize] = by_hand.uniform(trial - 1, place);
            }
        }
        self.drawn(&uniforms)
    }

    /// What a trial draws anew for each run-in and each setting of the dial: grown from the piece's
    /// luck, so that all ways meet the same and no place of a number moves.
    fn chance(&self, scenario: &Scenario, uniforms: &[f64]) -> HandDraws {
        let job = &scenario.job;
        let threaded = job.thread.as_ref().map_or(0, |_| MOST_THREAD_PASSES);
        let passes = job.passes.finish.len() + job.passes.spring as usize;
        let passes = passes.max(threaded);
        let mut draws = Draws {
            seed: BY_HAND ^ uniforms[LUCK].to_bits(),
        }
        .trial(0);
        let mut own = vec![0.0; 1 + 2 * passes];
        draws.fill(&mut own);
        // Run-in and dial by turns, so that a pass more shifts none.
        let dial = self
            .quantities
            .iter()
            .find(|of| of.key == DIAL_WITHIN.about.key);
        let off = |uniform: f64| dial.map_or(0.0, |dial| dial.distribution.quantile(uniform));
        let before = own[1..].chunks_exact(2);
        HandDraws {
            run_ins: own[..1]
                .iter()
                .copied()
                .chain(before.clone().map(|of| of[0]))
                .collect(),
            dials: before.map(|of| off(of[1])).collect(),
        }
    }

    fn drawn(&self, uniforms: &[f64]) -> Drawn {
        let mut scenario = self.scenario.clone();
        let mut values = Vec::with_capacity(self.quantities.len());
        for (parameter, quantity) in scenario.parameters_mut().into_iter().zip(&self.quantities) {
            let value = quantity
                .distribution
                .quantile(uniforms[quantity.number as usize]);
            parameter.set_si(&mut scenario, value);
            values.push(value);
        }
        scenario.job.by_hand.chance = self.chance(&scenario, uniforms);
        // All bits that a uniform number has.
        let luck = (uniforms[LUCK] * (1u64 << f64::MANTISSA_DIGITS) as f64) as u64;
        Drawn {
            scenario,
            luck,
            values,
        }
    }
}

/// Keeps those of another stretch of work apart from the first's.
const ANEW: u64 = u64::from_le_bytes(*b"by hand2");
/// Keeps the draws by hand apart from whatever else grows from a piece's luck.
const BY_HAND: u64 = u64::from_le_bytes(*b"by hand ");

/// The numbers of one trial, put in their places.
pub(crate) struct Drawn {
    /// Its middles as drawn.
    pub scenario: Scenario,
    luck: u64,
    /// In the order of [`Study::quantities`], SI.
    pub values: Vec<f64>,
}

/// The start that the middle values ask for: a person starts where they are told.
fn as_told(scenario: &Scenario, setup: &Setup, options: Options) -> Options {
    let (_, approach) = cut::approach(scenario, setup, options);
    let told = match approach.how {
        RunIn::ByHand => None,
        RunIn::Travel | RunIn::Short => Some(approach.run_in()),
    };
    Options {
        run_in: options.run_in.or(told),
        ..options
    }
}

fn luck(drawn: &Drawn, (_, options): &(Setup, Options)) -> Arc<Realization> {
    Arc::new(Realization::new(&drawn.scenario, of_trial(drawn, *options)))
}

fn of_trial(drawn: &Drawn, options: Options) -> Options {
    Options {
        seed: drawn.luck,
        ..options
    }
}

/// A way on each trial's lathe.
fn operations<'d>(
    drawn: &'d [Drawn],
    (setup, options): &(Setup, Options),
    luck: &[Arc<Realization>],
) -> Vec<Operation<'d>> {
    drawn
        .iter()
        .zip(luck)
        .map(|(drawn, luck)| {
            let options = of_trial(drawn, *options);
            Operation::with_realization(&drawn.scenario, *setup, options, Arc::clone(luck))
        })
        .collect()
}

/// What gauges read of each trial's work, at most [`BATCH`] of them.
fn cut_batch(drawn: &[Drawn], way: &(Setup, Options), luck: &[Arc<Realization>]) -> Vec<Measures> {
    let setup = &way.0;
    let operations = operations(drawn, way, luck);
    let turned = Scratch::of_thread(|room| finish_batch(&operations, room));
    let trials = drawn.iter().zip(&operations).zip(turned);
    trials
        .map(|((drawn, operation), turned)| gauge_turned(&drawn.scenario, setup, operation, turned))
        .collect()
}
