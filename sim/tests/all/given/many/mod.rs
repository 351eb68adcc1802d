//! A light job on a lathe of which little is known, and studies of it, for tests with thousands
//! of trials. All numbers are invented.

use tautway_sim::cut::Options;
use tautway_sim::scenario::{Diagnostic, Scenario, Source, decode};
use tautway_sim::setup::Setup;
use tautway_sim::study::{PER_TURN, Study};

pub const MM: f64 = 1e-3;

pub const JOB: &str = include_str!("job.toml");

pub const LATHE: &str = include_str!("lathe.toml");

fn read(lathe: &str) -> Result<Scenario, Vec<Diagnostic>> {
    let source = |name, text| Source { name, text };
    decode(source("job.toml", JOB), source("lathe.toml", lathe)).map(|(scenario, _)| scenario)
}

/// The light job on the lathe that nobody measured.
pub fn unmeasured() -> Scenario {
    read(LATHE).expect("the files are right")
}

/// The same with lines added to a table of the lathe.
pub fn with(table: &str, lines: &str) -> Scenario {
    read(&lathe_with(table, lines)).unwrap_or_else(|faults| panic!("{lines}: {faults:#?}"))
}

pub fn lathe_with(table: &str, lines: &str) -> String {
    let head = format!("[{table}]\n");
    assert!(LATHE.contains(&head), "no {table}");
    LATHE.replace(&head, &format!("{head}{lines}\n"))
}

/// All ways that cut.
pub fn ways(scenario: &Scenario) -> Vec<Setup> {
    let work = &scenario.job.work;
    let mut ways = Setup::all(work.kind, work.big_end);
    ways.retain(Setup::cuts);
    ways
}

pub fn study(scenario: &Scenario, ways: &[Setup], seed: u64) -> Study {
    let options = Options {
        per_turn: PER_TURN,
        seed,
        run_in: None,
    };
    Study::new(scenario, ways, options).expect("every range is a distribution")
}

/// Every number known exactly, at its middle, but for one.
pub fn only(mut scenario: Scenario, key: &str) -> Scenario {
    let mut left = 0;
    for parameter in scenario.parameters_mut() {
        if parameter.key == key {
            left += 1;
        } else {
            let [_, middle, _] = parameter.value.range_si();
            parameter.set_range_si(&mut scenario, [middle; 3]);
        }
    }
    assert!(left <= 1);
    scenario
}

/// The value of a number in a trial, in SI, without cutting.
pub fn drawn(study: &Study, key: &str, trial: u64) -> f64 {
    let (mut scenario, _) = study.scenario_of(trial);
    let parameters = scenario.parameters_mut();
    let parameter = parameters.iter().find(|parameter| parameter.key == key);
    parameter
        .unwrap_or_else(|| panic!("no {key}"))
        .value
        .range_si()[1]
}

pub fn all_drawn(study: &Study, key: &str, trials: u64) -> Vec<f64> {
    (1..=trials).map(|n| drawn(study, key, n)).collect()
}
