//! A pass with the slide's mass beside the quasi-static one.

mod worked;

use tautway_sim::compare::{NOT_SEEN, Way, way};
use tautway_sim::cut::{Course, Inertia, Ridden};
use tautway_sim::inertia::{SLOW, tried};
use tautway_sim::measure::gauge;
use tautway_sim::quantity::Speed;
use tautway_sim::record::{Measures, Seat, WithInertia};
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::{Pull, Setup};

use worked::{finishing, plain_setup, run, scenario, seeded};

fn at_speed(turns_per_minute: f64) -> (Scenario, Setup) {
    let mut scenario = scenario("tapered-socket.toml");
    scenario.job.passes.speed = Speed::Turns(turns_per_minute / 60.0);
    let setup = plain_setup(&scenario, Pull::Away);
    (scenario, setup)
}

fn cut(scenario: &Scenario, setup: &Setup) -> Way {
    way(scenario, *setup, Vec::new(), Vec::new(), seeded(1))
}

/// The finishing passes with the mass.
fn heavy(scenario: &Scenario, setup: &Setup, change: fn(&mut Inertia)) -> (Measures, Ridden) {
    let course = Course::new(scenario, *setup, seeded(1));
    let mut inertia = Inertia::of(&course.machine);
    change(&mut inertia);
    let course = course.with_inertia(inertia);
    let finished = course.run_finishing();
    let ridden = finished.ridden.expect("it has mass");
    (gauge(scenario, setup, &course, &finished), ridden)
}

/// How far two are apart in size, waves and roundness, m.
fn apart(a: &Measures, b: &Measures) -> f64 {
    [
        a.size_error - b.size_error,
        a.waves - b.waves,
        a.roundness - b.roundness,
    ]
    .iter()
    .fold(0.0, |most, by| by.abs().max(most))
}

#[test]
fn a_slow_floating_cut_is_the_quasi_static_one() {
    // The slower, the nearer; found 7.2, 1.4, 0.30 um at the first three speeds, and from there on
    // to first order. At 10 turns a minute the slide swings 90 times a turn.
    let mut before = f64::INFINITY;
    for (turns, within) in [
        (1000.0, 10e-6),
        (30.0, 2e-6),
        (10.0, 0.5e-6),
        (3.0, 0.15e-6),
    ] {
        let (scenario, setup) = at_speed(turns);
        let still = finishing(&scenario, &setup, 1);
        assert_eq!(still.seat, Seat::Floating);
        let far = apart(&heavy(&scenario, &setup, |_| {}).0, &still.measures);
        assert!(far < within && far < before, "at {turns}: {far}");
        before = far;
    }
}

#[test]
fn a_slide_without_mass_is_the_quasi_static_one() {
    let (scenario, setup) = at_speed(600.0);
    let still = finishing(&scenario, &setup, 1);
    let (light, _) = heavy(&scenario, &setup, |inertia| {
        inertia.mass *= 1e-9;
        inertia.fine = 1e9;
    });
    assert!(apart(&light, &still.measures) < 5e-9);
}

#[test]
fn finer_time_steps_and_other_damping_hardly_change_it() {
    // Half the step, and half or twice the damping that nobody has measured.
    let (scenario, setup) = at_speed(600.0);
    let (as_told, ridden) = heavy(&scenario, &setup, |_| {});
    let (finer, more) = heavy(&scenario, &setup, |inertia| inertia.fine *= 0.5);
    assert!(more.substeps > ridden.substeps * 3 / 2);
    for change in [
        |inertia: &mut Inertia| inertia.damping_ratio *= 2.0,
        |inertia: &mut Inertia| inertia.damping_ratio *= 0.5,
    ] {
        let damped = heavy(&scenario, &setup, change).0;
        assert!(apart(&damped, &as_told) < 0.5 * NOT_SEEN);
    }
    assert!(apart(&finer, &as_told) < 0.1 * NOT_SEEN);
}

#[test]
fn a_floating_slide_too_slow_for_the_turn_is_told() {
    // From memory, common practice: a slide of some 40 kg on a light cut floats at some 10 Hz.
    let (slow, setup) = at_speed(60.0);
    let slow = cut(&slow, &setup);
    let found = &run(&slow).inertia;
    assert!((5.0..30.0).contains(&found.floating_frequency) && (20.0..60.0).contains(&found.mass));
    assert!(!found.too_slow && found.tried.is_none());
    let (fast, setup) = at_speed(1500.0);
    let fast = cut(&fast, &setup);
    let told = &run(&fast).inertia;
    assert!(told.too_slow && told.floating_frequency < SLOW * told.turns_per_second);
    // Seated, the drive holds it, however fast.
    let (pulled, _) = at_speed(1500.0);
    let setup = plain_setup(&pulled, Pull::In);
    let pulled = cut(&pulled, &setup);
    assert_eq!(run(&pulled).outcome.seat, Seat::First);
    assert!(!run(&pulled).inertia.too_slow);
}

#[test]
fn tried_with_the_mass_it_is_the_same_again() {
    let (scenario, setup) = at_speed(600.0);
    let found = run(&cut(&scenario, &setup)).outcome.measures.clone();
    let again = || -> WithInertia {
        tried(&scenario, &setup, seeded(1), &found).expect("the slide weighs something")
    };
    let once = again();
    assert_eq!(once, again());
    assert!(once.counts > 0.0 && once.counts < 0.2);
    assert_eq!(once.differs, apart(&once.measures, &found) > NOT_SEEN);
}
