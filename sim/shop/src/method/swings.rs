//! How sure a method's outcome is: each uncertain number moved to both ends of its range.

use super::side::SideCut;
use super::way::Setting;
use crate::cut::Options;
use crate::record::Measures;
use crate::scenario::{Parameter, Scenario};
use crate::sensitivity::{Likely, swings_of, weighed};
use crate::study::PER_TURN;

/// Numbers that say nothing of a cut along the side.
const NOT_THERE: [&str; 9] = [
    "attachment.",
    "preload.",
    "readout.",
    "slide.travel",
    "slide.drag_change",
    "tailstock.setover",
    "top_slide.travel",
    "top_slide.slack",
    "work.lobing",
];
/// Those that do, of a family that doesn't.
const THERE: [&str; 3] = [
    "attachment.screw_spring",
    "attachment.drive_spring",
    "tailstock.setover_error",
];

/// Moves every number that has a part in this method.
pub(super) fn likely(scenario: &Scenario, setting: &Setting, options: Options) -> Likely {
    let options = of_trials(options);
    let cut = |scenario: &Scenario| SideCut::new(scenario, setting).measures(options);
    let middle: Measures = cut(scenario);
    let units = scenario.job.units;
    let chosen = |parameter: &Parameter| {
        THERE.contains(&parameter.key)
            || !NOT_THERE.iter().any(|key| parameter.key.starts_with(key))
    };
    let mut matters = swings_of(
        scenario,
        units,
        &middle,
        Scenario::parameters_mut,
        chosen,
        cut,
    );
    matters.extend(swings_of(
        scenario,
        units,
        &middle,
        Scenario::method_parameters_mut,
        chosen,
        cut,
    ));
    weighed(scenario, middle.waves, matters)
}

/// Moves every number of a cut along the guide.
pub(super) fn guided(
    scenario: &Scenario,
    options: Options,
    cut: impl Fn(&Scenario, Options) -> Measures + Sync,
) -> Likely {
    let options = of_trials(options);
    let cut = |scenario: &Scenario| cut(scenario, options);
    let middle: Measures = cut(scenario);
    let units = scenario.job.units;
    let all = |_: &Parameter| true;
    let matters = swings_of(scenario, units, &middle, Scenario::parameters_mut, all, cut);
    weighed(scenario, middle.waves, matters)
}

fn of_trials(options: Options) -> Options {
    Options {
        per_turn: PER_TURN,
        ..options
    }
}
