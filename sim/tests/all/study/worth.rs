//! What a test or a change is worth to a job: limit cases, and the thing itself done.

use tautway_sim::advice::change::{Change, Effect, Undone};
use tautway_sim::expect::{Expect, Reach, expect};
use tautway_sim::quantity::{INCH, Length, Quantity};
use tautway_sim::scenario::{Scenario, Vary as _};
use tautway_sim::setup::Pull;
use tautway_sim::shop_tests::Test;
use tautway_sim::worth::{Before, Step, What, Worth, as_it_stands, asked, known, worth};

use crate::given::worked::{plain_setup, scenario, seeded};

fn played(scenario: &Scenario) -> Expect {
    expect(scenario, &plain_setup(scenario, Pull::In), seeded(1)).expect("ranges are right")
}

fn all(scenario: &Scenario) -> (Expect, Worth) {
    let expect = played(scenario);
    let found = worth(&as_it_stands(scenario, &expect), &expect, seeded(1));
    (expect, found.expect("ranges are right"))
}

fn of_test(scenario: &Scenario, test: Test) -> Option<Step> {
    known(scenario, &played(scenario), test, seeded(1)).expect("ranges are right")
}

fn change(id: &'static str, effects: Vec<Effect>) -> Change {
    Change {
        id,
        words: id.to_owned(),
        does: String::new(),
        minutes: 7.0,
        undone: Undone::Easily,
        effects,
    }
}

#[test]
fn what_is_known_exactly_is_worth_no_test_and_a_test_never_costs_more_than_its_time() {
    let mut scenario = scenario("tapered-socket.toml");
    for test in Test::ALL {
        if let Some(step) = of_test(&scenario, test) {
            assert!(step.saves >= -step.minutes - 1e-9, "{step:?}");
            assert!(step.met.met >= 0.0 && step.met.met <= 1.0);
        }
    }
    for parameter in scenario.parameters_mut() {
        let [_, middle, _] = parameter.value.range_si();
        parameter.set_range_si(&mut scenario, [middle; 3]);
    }
    for test in Test::ALL {
        assert_eq!(of_test(&scenario, test), None, "{test:?}");
    }
}

#[test]
fn a_test_is_worth_more_where_more_hangs_on_it() {
    // Nothing gauged, the guide neither: how it is set decides, and test 7 tells.
    let mut job = scenario("taper-sleeve.toml");
    job.job.gauge.kind = None;
    let best = |job: &Scenario| {
        let (_, found) = all(job);
        let gains = found.tests().map(|step| step.gain(job.job.pieces));
        gains.fold(0.0, f64::max)
    };
    let once = best(&job);
    assert!(once > 5.0, "{once}");
    // A piece that can't be had again weighs as many.
    let mut only = job.clone();
    only.job.replaceable = false;
    assert!(best(&only) > 3.0 * once, "{} {once}", best(&only));
    // With a gauge most of what a test would tell is told by it.
    let gauged = best(&scenario("taper-sleeve.toml"));
    assert!(gauged < 0.5 * once, "{gauged} {once}");
    // Its own minutes are shared by the pieces.
    let mut many = job.clone();
    many.job.pieces = 50;
    let (_, found) = all(&many);
    assert!(found.first().is_some(), "{found:?}");
}

#[test]
fn a_change_that_changes_nothing_costs_its_minutes() {
    let mut job = scenario("tapered-socket.toml");
    job.job.pieces = 2;
    let expect = played(&job);
    let now = as_it_stands(&job, &expect);
    let before = Before::new(&now, &expect, seeded(1)).expect("ranges are right");
    let none = change("none", Vec::new());
    let step = before.with(&none).expect("ranges").expect("it can be cut");
    assert_eq!((step.saves, step.doubt), (-3.5, 0.0));
    assert_eq!(step.met, expect.met());
    assert!(!step.pays() && !step.harms(2) && !step.brings(&expect));
    // The other feed floats: it harms, whatever it takes.
    let back = change("back", vec![Effect::FeedBack]);
    let step = before.with(&back).expect("ranges").expect("it can be cut");
    assert!(step.harms(2) && step.met.met < 0.3, "{step:?}");
}

#[test]
fn a_gauge_where_there_is_none_is_what_the_plan_with_one_gives() {
    let with = scenario("tapered-socket.toml");
    let mut without = with.clone();
    without.job.gauge.kind = None;
    let (expect, found) = all(&without);
    assert_eq!(expect.verdict, Reach::OutOfReach);
    let brings = found.brings(&expect);
    let gauge = brings
        .iter()
        .find(|step| {
            matches!(
                step.what,
                What::Change {
                    id: "better-gauge",
                    ..
                }
            )
        })
        .unwrap_or_else(|| panic!("a gauge brings it in reach: {:?} {found:?}", expect.met()));
    let truth = played(&with).met().met;
    assert!(
        (gauge.met.met - truth).abs() < 0.06,
        "{} {truth}",
        gauge.met.met
    );
    assert!(gauge.pays(), "{gauge:?}");
    assert_eq!(found.first().map(|step| &step.what), Some(&gauge.what));
}

#[test]
fn a_finer_indicator_or_a_wider_taper_does_what_is_said_of_it() {
    let mut job = scenario("taper-sleeve.toml");
    let band = &mut job.job.work.tolerance;
    band.upper = Quantity::from_si(0.9 * band.upper.si());
    let (expect, found) = all(&job);
    assert_eq!(expect.verdict, Reach::OnTheEdge);
    let brings = found.brings(&expect);
    let finer = brings
        .iter()
        .find(|step| {
            matches!(
                step.what,
                What::Change {
                    id: "finer-indicator",
                    ..
                }
            )
        })
        .expect("a finer indicator brings it in reach");
    let mut then = job.clone();
    then.lathe.readout_step.set_range_si([0.0001 * INCH; 3]);
    let truth = played(&then).met().met;
    assert!(
        (finer.met.met - truth).abs() < 0.04,
        "{} {truth}",
        finer.met.met
    );
    let ask = asked(&expect, &job.job.work).expect("a tolerance does it");
    let mut then = job.clone();
    let work = &mut then.job.work;
    let nominal = work.taper.si();
    for (end, at) in [
        (&mut work.tolerance.lower, ask.low),
        (&mut work.tolerance.upper, ask.high),
    ] {
        *end = Quantity::from_si(at - nominal);
    }
    let truth = played(&then).met().met;
    // Where it is nudged from hangs on the tolerance, so a little differs.
    assert!(
        (ask.met.met - truth).abs() < 0.05,
        "{} {truth}",
        ask.met.met
    );
    assert!(ask.met.met > 0.8);
}

#[test]
fn a_size_to_ask_for_is_the_least_wider_one_that_does() {
    let job = scenario("long-bar-socket.toml");
    let expect = played(&job);
    let ask = asked(&expect, &job.job.work).expect("a tolerance does it");
    assert!(ask.times >= 1.5 && ask.met.low >= 0.8, "{ask:?}");
    let half = Length::from_si(0.0005 * INCH).si();
    assert!((ask.high - ask.times * half).abs() < 1e-12 && (ask.low + ask.high).abs() < 1e-12);
    // In reach nothing is to be asked for.
    assert_eq!(
        asked(&played(&scenario("plug-cock.toml")), &job.job.work),
        None
    );
}
