//! What was assumed and mattered: each uncertain number moved to either end of its range, the
//! finishing passes of one way run again.
//!
//! One number at a time, so it says nothing of two that are wrong together; the range it gives
//! for an outcome is the root of the sum of squares of the single swings, as for a first-order
//! uncertainty (JCGM 100:2008, 5.1.2), here over whole ranges. Where a way stands near the edge
//! of floating that is too small, and [`Sensitivity::floats`] says so.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{max, min};
use crate::cut::{Operation, Options};
use crate::measure::gauge;
use crate::parallel::*;
use crate::quantity::{Quantity, Units};
use crate::record::{Measures, Seat};
use crate::scenario::{Origin, Parameter, Scenario};
use crate::setup::Setup;

use crate::verdict::NOT_SEEN;

/// An uncertain number that moves the outcome.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sensitivity {
    /// The key in the person's files.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// The shop test that measures it.
    pub test: Option<&'static str>,
    /// Given by the person, or assumed.
    pub origin: Origin,
    /// Taken, least and most, in the person's units.
    pub taken: String,
    /// Least it may be.
    pub low: String,
    /// Most it may be.
    pub high: String,
    /// Half of the swing of the taper, ratio on diameter.
    pub taper: f64,
    /// Half of the swing of the size, m per side.
    pub size: f64,
    /// Most the waves grow, m.
    pub waves: f64,
    /// Whether the slide comes to float or changes its seat at one end of the range, and doesn't
    /// with the middle.
    pub floats: bool,
}

/// How sure the outcome of one way is, as far as the ranges given and assumed tell.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Likely {
    /// Half-width of the taper, ratio on diameter.
    pub taper: f64,
    /// Half-width of the size, m per side.
    pub size: f64,
    /// Most the waves may be, m.
    pub waves: f64,
    /// Whether any one number within its range makes the slide float or change its seat.
    pub may_float: bool,
    /// What moved it, most first.
    pub matters: Vec<Sensitivity>,
}

/// Moves every uncertain number of a scenario to both ends of its range, for one way.
pub fn sensitivity(scenario: &Scenario, setup: &Setup, options: Options, units: Units) -> Likely {
    let middle = finishing(scenario, setup, options);
    let matters = swings(scenario, setup, options, units, &middle, |_| true);
    weighed(scenario, middle.waves, matters)
}

/// How far each of the chosen numbers moves the outcome from its middle, in the numbers' order.
pub fn swings(
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
    units: Units,
    middle: &Measures,
    chosen: impl Fn(&Parameter) -> bool + Sync,
) -> Vec<Sensitivity> {
    let cut = |scenario: &Scenario| finishing(scenario, setup, options);
    swings_of(
        scenario,
        units,
        middle,
        Scenario::parameters_mut,
        chosen,
        cut,
    )
}

/// The same for any list of a scenario's numbers, and any way of cutting it.
pub fn swings_of(
    scenario: &Scenario,
    units: Units,
    middle: &Measures,
    knobs_of: fn(&mut Scenario) -> Vec<Parameter>,
    chosen: impl Fn(&Parameter) -> bool + Sync,
    cut: impl Fn(&Scenario) -> Measures + Sync,
) -> Vec<Sensitivity> {
    let knobs = knobs_of(&mut scenario.clone());
    let swing = |i: usize| {
        let mut varied = scenario.clone();
        let parameter = &knobs[i];
        let [low, taken, high] = parameter.value.range_si();
        if low >= high || !chosen(parameter) {
            return None;
        }
        let mut matter = Sensitivity {
            key: parameter.key,
            words: parameter.words,
            test: parameter.test,
            origin: parameter.value.origin(),
            taken: parameter.value.show_si(taken, units),
            low: parameter.value.show_si(low, units),
            high: parameter.value.show_si(high, units),
            taper: 0.0,
            size: 0.0,
            waves: 0.0,
            floats: false,
        };
        let ends = [low, high].map(|end| {
            parameter.set_si(&mut varied, end);
            cut(&varied)
        });
        let half_swing = |of: fn(&Measures) -> f64| {
            let all = [of(&ends[0]), of(middle), of(&ends[1])];
            let most = all.iter().copied().fold(f64::NEG_INFINITY, max);
            let least = all.iter().copied().fold(f64::INFINITY, min);
            0.5 * (most - least)
        };
        matter.taper = half_swing(|o| o.taper);
        matter.size = half_swing(|o| o.size_error);
        matter.waves = ends.iter().map(|o| o.waves - middle.waves).fold(0.0, max);
        matter.floats = !unsteady(middle) && ends.iter().any(unsteady);
        Some(matter)
    };
    (0..knobs.len()).into_par_iter().filter_map(swing).collect()
}

/// The range of the outcome that these swings make, with those that matter, most first.
pub fn weighed(scenario: &Scenario, middle_waves: f64, mut matters: Vec<Sensitivity>) -> Likely {
    let root =
        |of: fn(&Sensitivity) -> f64| matters.iter().map(|m| of(m) * of(m)).sum::<f64>().sqrt();
    let likely_waves = middle_waves + root(|m| m.waves);
    let (taper, size) = (root(|m| m.taper), root(|m| m.size));
    let may_float = matters.iter().any(|m| m.floats);
    let band = scenario.job.work.tolerance;
    let half_band = 0.5 * (band.upper.si() - band.lower.si());
    // Swings that nobody would see or gauge don't matter.
    let weight = |m: &Sensitivity| {
        let taper = if half_band > 0.0 {
            m.taper / (0.1 * half_band)
        } else {
            0.0
        };
        let float = if m.floats { 2.0 } else { 0.0 };
        max(
            max(max(taper, m.size / NOT_SEEN), m.waves / NOT_SEEN),
            float,
        )
    };
    matters.retain(|m| weight(m) >= 1.0);
    matters.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    Likely {
        taper,
        size,
        waves: likely_waves,
        may_float,
        matters,
    }
}

/// The finishing passes of one way, measured.
pub fn finishing(scenario: &Scenario, setup: &Setup, options: Options) -> Measures {
    let operation = Operation::new(scenario, *setup, options);
    let finished = operation.run_finishing();
    gauge(scenario, setup, &operation, &finished)
}

/// Floats, or changes seat on the way.
pub fn unsteady(outcome: &Measures) -> bool {
    outcome.seat == Seat::Floating || outcome.step.is_some()
}
