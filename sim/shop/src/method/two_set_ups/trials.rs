//! Both set-ups on many lathes: the same lathe cuts both sections, with the hand's errors and the
//! hard patches of each its own.
//!
//! What moving the clamp does to the angle nobody knows; what is drawn is what the indicator, carried
//! along the finished section, can't see.

use std::ops::Range;

use super::join::{Joined, join};
use crate::arithmetic::max;
use crate::cut::Options;
use crate::expect::{Middle, planned};
use crate::method::way::{Joint, TwoSetUps};
use crate::quantity::Quantity;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::setup::Setup;
use crate::special::normal_quantile;
use crate::spread::Draws;
use crate::study::{PER_TURN, RangeFault, Study};

/// Keeps these draws apart from those of lathes, pieces and gauging.
const JOINT: u64 = u64::from_le_bytes(*b"at joint");
/// "Within" holds for 95 of 100.
const WITHIN: f64 = 1.96;
/// Places of the draws.
const OVER: u32 = 0;
const ALONG: u32 = 1;
/// Passes alike at the end of each section.
const ALIKE: usize = 2;
/// Lathes that tell how much further than read the dial goes, and the first of them, which no plan
/// meets.
const FURTHER: u64 = 16;
const FIRST_FURTHER: u64 = 2_000_001;
/// Lathes that tell of the joint.
const LATHES: u64 = 200;

/// Both sections' lathes.
#[derive(Clone, Debug)]
pub(crate) struct Both {
    scenario: Scenario,
    setup: Setup,
    set: TwoSetUps,
    sections: [Study; 2],
    draws: Draws,
    /// Depth of the second section's last pass, m.
    last: f64,
}

impl Both {
    pub(crate) fn new(
        scenario: &Scenario,
        setup: &Setup,
        set: &TwoSetUps,
        seed: u64,
    ) -> Result<Self, RangeFault> {
        let told = Options {
            per_turn: PER_TURN,
            seed,
            run_in: None,
        };
        let [first, second] = set.sections(scenario, setup);
        let study = |section: &Scenario| Study::new(section, &[*setup], told);
        let last = second.job.passes.finish.last().map_or(0.0, |set| set.si());
        Ok(Self {
            scenario: scenario.clone(),
            setup: *setup,
            set: *set,
            sections: [study(&first)?, study(&second)?.by_hand_anew()],
            draws: Draws { seed: seed ^ JOINT },
            last,
        })
    }

    /// How much further than the indicator reads over the joint the dial goes, m per side: what the
    /// last pass usually leaves when the reading alone is dialled.
    pub(super) fn further(
        scenario: &Scenario,
        setup: &Setup,
        set: &TwoSetUps,
        options: Options,
    ) -> Result<f64, RangeFault> {
        let both = Self::new(&planned(scenario, ALIKE), setup, set, options.seed)?;
        let found = both.second(FIRST_FURTHER..FIRST_FURTHER + FURTHER);
        let mut left: Vec<f64> = found.iter().map(|after| -after.size_error).collect();
        left.sort_by(f64::total_cmp);
        Ok(max(left[left.len() / 2], 0.0))
    }

    /// A trial by its number, from 1, the dial set as told and nothing gauged between.
    pub(crate) fn trial(&self, number: u64) -> Measures {
        let [first, second] = [0, 1].map(|at: usize| {
            let mut ways = self.sections[at].trial(number).ways;
            ways.remove(0).measures
        });
        self.joined(number, [&first, &second]).whole
    }

    /// Cuts these lathes: the first section gauged before its last pass, `dial` saying how much
    /// further than set it is turned, m; the second by the indicator over the joint. What was true of
    /// the first then, and of the whole at the end.
    pub(crate) fn gauged(
        &self,
        numbers: Range<u64>,
        dial: &(dyn Fn(u64, &Measures) -> f64 + Sync),
    ) -> Vec<[Measures; 2]> {
        let cut = self.cut(numbers, dial).into_iter();
        cut.map(|(before, joined)| [before, joined.whole]).collect()
    }

    /// What the joint comes to when the first section is gauged so.
    pub(crate) fn joint(&self, dial: &(dyn Fn(u64, &Measures) -> f64 + Sync)) -> Joint {
        let cut = self.cut(1..LATHES + 1, dial);
        let middle =
            |of: fn(&Joined) -> f64| Middle::of(cut.iter().map(|(_, one)| of(one)).collect());
        Joint {
            step: middle(|joined| joined.step),
            angle: middle(|joined| joined.angle),
        }
    }

    fn cut(
        &self,
        numbers: Range<u64>,
        dial: &(dyn Fn(u64, &Measures) -> f64 + Sync),
    ) -> Vec<(Measures, Joined)> {
        let first = self.sections[0].gauged(0, numbers.clone(), dial);
        let second = self.second(numbers.clone());
        let each = numbers.zip(first.into_iter().zip(second));
        each.map(|(number, ([before, first], second))| {
            (before, self.joined(number, [&first, &second]))
        })
        .collect()
    }

    /// Cuts the second section of these lathes by the indicator.
    fn second(&self, numbers: Range<u64>) -> Vec<Measures> {
        let by_indicator = |number: u64, before: &Measures| {
            let read = -before.size_error + self.off(number, OVER);
            max(read + self.set.further, 0.0) - self.last
        };
        let found = self.sections[1].gauged(0, numbers, &by_indicator);
        found.into_iter().map(|[_, after]| after).collect()
    }

    fn joined(&self, number: u64, found: [&Measures; 2]) -> Joined {
        // On diameter, over the length that it is carried along.
        let steeper = 2.0 * self.off(number, ALONG) / self.set.swept;
        join(&self.scenario, &self.setup, &self.set, found, steeper)
    }

    /// What the indicator is off in one reading, m per side.
    fn off(&self, number: u64, place: u32) -> f64 {
        let uniform = self.draws.uniform(number - 1, place);
        self.set.indicated / WITHIN * normal_quantile(uniform)
    }
}
