//! Lathes that cut side by side cut what each cuts by itself, to the last bit, whoever cuts beside
//! it.

use tautway_sim::cut::{BATCH, Operation, Options, Scratch, finish_batch};
use tautway_sim::measure::{gauge, gauge_turned};
use tautway_sim::quantity::{Length, Quantity, Taper};
use tautway_sim::scenario::{Known, Scenario, Slots};
use tautway_sim::setup::Setup;
use tautway_sim::study::{PER_TURN, Study};

use crate::given::worked::scenario;

/// Jobs that go by different roads: seated and floating, a preload either way, an end of a pass in
/// air, foot and bar that ride along, a slope that pushes the foot off its seat.
const JOBS: [&str; 9] = [
    "tapered-socket.toml",
    "plug-cock.toml",
    "taper-sleeve.toml",
    "air-into-the-cut.toml",
    "air-too-weak.toml",
    "spring-held-cone.toml",
    "long-mandrel.toml",
    "close-bore.toml",
    "pipe-nipple.toml",
];

fn ways(scenario: &Scenario) -> Vec<Setup> {
    let work = &scenario.job.work;
    let mut ways = Setup::all(work.kind, work.big_end);
    ways.retain(Setup::cuts);
    ways.truncate(6);
    ways
}

fn options(seed: u64) -> Options {
    Options {
        per_turn: PER_TURN,
        seed,
        run_in: None,
    }
}

/// The same job with more to it: another finishing pass, and a spring pass.
fn with_more_to_it(file: &str) -> Scenario {
    let mut scenario = scenario(file);
    let job = &mut scenario.job;
    job.passes.spring = 1;
    let finish = job.passes.finish[0];
    job.passes.finish = vec![finish, finish];
    scenario
}

fn is_the_same_in_any_company(scenario: &Scenario, seed: u64) {
    let study = Study::new(scenario, &ways(scenario), options(seed)).expect("ranges to draw from");
    let together = study.trials(1..2 * BATCH as u64 + 2);
    assert_eq!(together.len(), 2 * BATCH + 1);
    for trial in &together {
        // In the first lane, the others filled with copies.
        assert_eq!(*trial, study.trial(trial.number));
    }
    let shifted = study.trials(3..8);
    assert_eq!(shifted, together[2..7], "in other lanes, beside others");
}

#[test]
fn a_lathe_cuts_the_same_to_the_last_bit_whoever_cuts_beside_it() {
    for (seed, file) in JOBS.into_iter().enumerate() {
        is_the_same_in_any_company(&scenario(file), seed as u64);
    }
    is_the_same_in_any_company(&with_more_to_it("tapered-socket.toml"), 3);
}

fn slotted(file: &str) -> Scenario {
    let mut scenario = scenario(file);
    scenario.job.work.slots = Some(Slots {
        count: 3,
        width: Length::from_si(6e-3),
    });
    scenario
}

#[test]
fn of_slotted_work_too() {
    is_the_same_in_any_company(&slotted("tapered-socket.toml"), 5);
}

#[test]
fn of_a_steep_taper_too_where_a_foot_may_leave_its_seat() {
    // 4 in/ft, steeper than friction of the shoe holds.
    let mut scenario = scenario("air-out-of-the-cut.toml");
    scenario.job.work.taper = Taper::from_si(1.0 / 3.0);
    scenario.lathe.attachment.steepest = Known::given(Taper::from_si(0.4));
    is_the_same_in_any_company(&scenario, 6);
}

#[test]
fn it_cuts_as_a_lathe_by_itself_to_the_last_bit() {
    let mut steep = scenario("air-out-of-the-cut.toml");
    steep.job.work.taper = Taper::from_si(1.0 / 3.0);
    steep.lathe.attachment.steepest = Known::given(Taper::from_si(0.4));
    let jobs = JOBS
        .into_iter()
        .flat_map(|file| [scenario(file), with_more_to_it(file), slotted(file)])
        .chain([steep]);
    for (scenario, per_turn) in jobs.zip([PER_TURN, 24, 7].into_iter().cycle()) {
        for (setup, seed) in ways(&scenario).into_iter().zip(1..) {
            let options = Options {
                per_turn,
                ..options(seed)
            };
            let operation = Operation::new(&scenario, setup, options);
            let finished = operation.run_finishing();
            let alone = gauge(&scenario, &setup, &operation, &finished);
            let operations = [operation.clone()];
            let turned = finish_batch(&operations, &mut Scratch::default()).remove(0);
            assert_eq!(turned.last, finished.passes[finished.last_set], "{setup:?}");
            assert_eq!(alone, gauge_turned(&scenario, &setup, &operation, turned));
        }
    }
}
