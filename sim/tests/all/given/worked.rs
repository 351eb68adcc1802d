//! The worked examples, decoded, and what the tests of them ask again and again.

use std::path::{Path, PathBuf};

use tautway_sim::compare::{Comparison, Way};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Force, Length, Quantity, Ratio};
use tautway_sim::record::{Outcome, Run};
use tautway_sim::scenario::{
    Known, Preload, PreloadSource, Scenario, Severity, Source, Toward, decode, lathe_named_in,
};
use tautway_sim::setup::{Face, Pull, Rotation, Setup, Side};

pub const THOU: f64 = 25.4e-6;
pub const SEEDS: std::ops::RangeInclusive<u64> = 1..=5;

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

pub fn text(file: &str) -> String {
    let path = folder().join(file);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

pub fn decoded(job_name: &str, job: &str, lathe: &str) -> Scenario {
    let source = |name, text| Source { name, text };
    let (scenario, warnings) = decode(source(job_name, job), source("lathe", lathe))
        .unwrap_or_else(|faults| panic!("{job_name}: {faults:#?}"));
    // A note tells what was taken from a standard, or a bare number's unit.
    let doubts = warnings
        .iter()
        .any(|found| found.severity != Severity::Note);
    assert!(!doubts, "{job_name}: {warnings:#?}");
    scenario
}

pub fn scenario(file: &str) -> Scenario {
    of(file, text)
}

/// An example, its texts read so.
fn of(file: &str, text: impl Fn(&str) -> String) -> Scenario {
    let job = text(file);
    let lathe = lathe_named_in(Source {
        name: file,
        text: &job,
    })
    .unwrap_or_else(|_| panic!("{file} names no lathe"));
    decoded(file, &job, &text(&lathe))
}

/// The numbers of the examples' socket and lathes that sums in the tests are worked with by hand, in
/// place of those that the files have.
const BY_HAND: &[(&str, &str)] = &[
    ("slack = \"0.070 in\"", "slack = \"0.080 in\""),
    ("taper = \"1-3/4 in/ft\"", "taper = \"2 in/ft\""),
    ("length = \"2-3/4 in\"", "length = \"3 in\""),
    ("straight = \"2.050 in\"", "straight = \"1.950 in\""),
];

/// The text of an example with the numbers that are worked by hand.
pub fn by_hand_text(file: &str) -> String {
    let shipped = text(file);
    let own = BY_HAND.iter().fold(shipped.clone(), |text, (there, here)| {
        text.replace(there, here)
    });
    let is_of_these = ["worn-lathe", "snug-lathe", "socket"]
        .iter()
        .any(|name| file.contains(name) && !file.starts_with("threaded"));
    assert!(!is_of_these || own != shipped, "{file}");
    own
}

/// An example with the numbers that are worked by hand.
pub fn by_hand(file: &str) -> Scenario {
    of(file, by_hand_text)
}

pub fn seeded(seed: u64) -> Options {
    Options {
        seed,
        ..Options::default()
    }
}

/// The plain way with this pull: front, forward, face up.
pub fn plain(comparison: &Comparison, pull: Pull) -> &Way {
    comparison
        .ways
        .iter()
        .find(|way| way.pull == pull && is_plain(&way.setup))
        .expect("there is a plain way")
}

pub fn is_plain(setup: &Setup) -> bool {
    setup.side == Side::Front && setup.rotation == Rotation::Forward && setup.face == Face::Up
}

pub fn plain_setup(scenario: &Scenario, pull: Pull) -> Setup {
    Setup::all(scenario.job.work.kind, scenario.job.work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && is_plain(setup) && setup.pull() == pull)
        .expect("there is a plain way")
}

pub fn run(way: &Way) -> &Run {
    way.run.as_ref().expect("this way can be cut")
}

pub fn finishing(scenario: &Scenario, setup: &Setup, seed: u64) -> Outcome {
    let operation = Operation::new(scenario, *setup, seeded(seed));
    let finished = operation.run_finishing();
    measure(scenario, setup, &operation, &finished).0
}

/// Share of what was set that is not taken.
pub fn left(outcome: &Outcome) -> f64 {
    1.0 - outcome.taken / outcome.set
}

/// Everything on which the work and the ways are uneven, switched off.
pub fn evened(mut scenario: Scenario) -> Scenario {
    scenario.lathe.slide.drag_change = Known::given(Ratio::from_si(0.0));
    let job = &mut scenario.job;
    job.cutting.unevenness = Known::given(Ratio::from_si(0.0));
    for known in [
        &mut job.work.run_out,
        &mut job.work.ovality,
        &mut job.work.lobing,
    ] {
        *known = Known::given(Length::from_si(0.0));
    }
    scenario
}

/// A slide that starts as easily as it moves: no run-in leaves it to chance where it stands.
pub fn without_stick_slip(mut scenario: Scenario) -> Scenario {
    scenario.lathe.slide.breakaway = Known::given(Ratio::from_si(1.0));
    scenario
}

/// The scenario with a weight on the slide, N; negative pushes the front tool into the cut.
pub fn pressed(scenario: &Scenario, setup: &Setup, out: f64) -> Scenario {
    let toward = |t| Preload {
        toward: t,
        source: PreloadSource::Constant(Known::given(Force::from_si(out.abs()))),
    };
    let [operator, away] = [Toward::Operator, Toward::Away].map(toward);
    let mut scenario = scenario.clone();
    scenario.job.preload = Some(if setup.out_of_cut(operator.toward) * out >= 0.0 {
        operator
    } else {
        away
    });
    scenario
}
