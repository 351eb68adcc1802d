//! A method on the same lathes, pieces and cuts as the attachment's ways: trials paired by number.
//!
//! A trial's numbers are those of [`Study`]; the numbers that only the methods know read their own
//! places of the same stream. What was set is what the sheet for the middle values says.

use std::ops::Range;

use schemars::JsonSchema;
use serde::Serialize;

use super::side::SideCut;
use super::two_set_ups::Both;
use super::way::{MethodWay, Setting};
use crate::cut::{BATCH, Operation, Options, Scratch, Turned, finish_gauged};
use crate::parallel::*;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::setup::Setup;
use crate::spread::{Coverage, CoverageFault, Distribution, Draws};
use crate::study::{Chance, PER_TURN, RangeFault, Study, WayOfTrial, distribution_of};
use crate::verdict::judge;

/// The trials of one method.
pub struct MethodTrials<'a> {
    study: &'a Study,
    setup: Setup,
    setting: Setting,
    /// Place and distribution of each number of the methods' own, in their order.
    quantities: Vec<(u32, Distribution)>,
    /// Two set-ups of the guide, where it is these.
    both: Option<(Scenario, Both)>,
}

/// What the trials of a method come to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MethodOutlook {
    /// Trials.
    pub trials: u64,
    /// Taper on diameter, ratio.
    pub taper: Coverage,
    /// Size error per side, m, positive into the work.
    pub size_error: Coverage,
    /// Waves, m per side.
    pub waves: Coverage,
    /// The taper is within its tolerance.
    pub taper_met: Chance,
    /// All that the drawing asks for is met.
    pub met: Chance,
}

impl<'a> MethodTrials<'a> {
    /// Trials of a method that was simulated; none of one that wasn't.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(
        study: &'a Study,
        scenario: &Scenario,
        way: &MethodWay,
    ) -> Result<Option<Self>, RangeFault> {
        let (Some(setting), Some(_)) = (&way.setting, &way.outcome) else {
            return Ok(None);
        };
        let mut scenario = scenario.clone();
        let quantities = scenario
            .method_parameters_mut()
            .iter()
            .map(|parameter| distribution_of(parameter).map(|found| (parameter.number, found)))
            .collect::<Result<_, _>>()?;
        let both = match setting {
            Setting::TwoSetUps(set) => {
                let both = Both::new(&scenario, &way.setup, set, study.seed())?;
                Some((scenario.clone(), both))
            }
            _ => None,
        };
        Ok(Some(Self {
            study,
            both,
            setup: way.setup,
            setting: setting.clone(),
            quantities,
        }))
    }

    /// One trial by its number, from 1.
    pub fn trial(&self, number: u64) -> WayOfTrial {
        if let Some((scenario, both)) = &self.both {
            let measures = both.trial(number);
            return WayOfTrial {
                verdict: judge(scenario, &self.setup, &measures),
                measures,
            };
        }
        let (scenario, options) = self.drawn(number);
        let measures = SideCut::new(&scenario, &self.setting).measures(options);
        WayOfTrial {
            verdict: judge(&scenario, &self.setup, &measures),
            measures,
        }
    }

    /// Cuts these trials with the work gauged before the last pass, as [`Study::gauged`] does.
    pub(super) fn gauged(
        &self,
        numbers: Range<u64>,
        dial: &(dyn Fn(u64, &Measures) -> f64 + Sync),
    ) -> Vec<[Measures; 2]> {
        if let Some((_, both)) = &self.both {
            return both.gauged(numbers, dial);
        }
        let groups: Vec<u64> = numbers.clone().step_by(BATCH).collect();
        let group = |start: u64| {
            let numbers = start..(start + BATCH as u64).min(numbers.end);
            let cuts = numbers.clone().map(|number| {
                let (scenario, options) = self.drawn(number);
                (SideCut::new(&scenario, &self.setting), options)
            });
            let cuts: Vec<(SideCut, Options)> = cuts.collect();
            let operations: Vec<Operation<'_>> = cuts
                .iter()
                .map(|(cut, options)| cut.operation(*options))
                .collect();
            let found = |turned: Vec<Turned>| -> Vec<Measures> {
                let each = cuts.iter().zip(&operations).zip(turned);
                each.map(|(((cut, _), operation), turned)| cut.gauged(operation, turned))
                    .collect()
            };
            let mut before = Vec::new();
            let between = |turned| {
                before = found(turned);
                let each = numbers.clone().zip(&before).zip(&cuts);
                each.map(|((n, m), (cut, _))| cut.square_to_side(dial(n, m)))
                    .collect()
            };
            let turned = Scratch::of_thread(|room| finish_gauged(&operations, room, between));
            let after = found(turned);
            before.into_iter().zip(after).map(|(a, b)| [a, b]).collect()
        };
        let made: Vec<Vec<[Measures; 2]>> = groups.into_par_iter().map(group).collect();
        made.into_iter().flatten().collect()
    }

    /// The lathe and piece of a trial, and its luck.
    fn drawn(&self, number: u64) -> (Scenario, Options) {
        let (mut scenario, luck) = self.study.scenario_of(number);
        let mut draws = Draws {
            seed: self.study.seed(),
        }
        .trial(number - 1);
        for (parameter, (place, distribution)) in scenario
            .method_parameters_mut()
            .into_iter()
            .zip(&self.quantities)
        {
            let value = distribution.quantile(draws.uniform(*place));
            parameter.set_si(&mut scenario, value);
        }
        let options = Options {
            per_turn: PER_TURN,
            seed: luck,
            run_in: None,
        };
        (scenario, options)
    }
}

impl MethodOutlook {
    /// Sums up trials.
    ///
    /// # Errors
    /// Too few trials for intervals of this probability, or a value that is not finite.
    pub fn of(trials: &[WayOfTrial], probability: f64) -> Result<Self, CoverageFault> {
        let coverage = |of: fn(&WayOfTrial) -> f64| {
            let values: Vec<f64> = trials.iter().map(of).collect();
            Coverage::of(&values, probability)
        };
        let chance = |so: fn(&WayOfTrial) -> bool| {
            let count = trials.iter().filter(|trial| so(trial)).count();
            Chance::counted(count as u64, trials.len() as u64).ok_or(CoverageFault::TooFew {
                trials: 0,
                least: 1,
            })
        };
        Ok(Self {
            trials: trials.len() as u64,
            taper: coverage(|trial| trial.measures.taper)?,
            size_error: coverage(|trial| trial.measures.size_error)?,
            waves: coverage(|trial| trial.measures.waves)?,
            taper_met: chance(|trial| trial.verdict.taper)?,
            met: chance(|trial| trial.verdict.met())?,
        })
    }
}
