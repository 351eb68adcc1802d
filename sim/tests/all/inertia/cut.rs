//! A pass with the slide's mass beside the quasi-static one.

use tautway_sim::compare::{Way, way};
use tautway_sim::cut::{Inertia, Operation, Ridden};
use tautway_sim::inertia::{DAMPING, SLOW, alike, inertia, tried};
use tautway_sim::measure::gauge;
use tautway_sim::quantity::{Length, Quantity, Speed};
use tautway_sim::record::{Damped, Measures, Seat, WithInertia, Yardstick};
use tautway_sim::scenario::{Band, Scenario};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::spread::Interval;
use tautway_sim::verdict::NOT_SEEN;

use crate::given::worked::{finishing, plain_setup, run, scenario, seeded};

const INCH: f64 = 0.0254;

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
    let operation = Operation::new(scenario, *setup, seeded(1));
    let mut inertia = Inertia::of(&operation.machine);
    change(&mut inertia);
    let operation = operation.with_inertia(inertia);
    let finished = operation.run_finishing();
    let ridden = finished.ridden.expect("it has mass");
    (gauge(scenario, setup, &operation, &finished), ridden)
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

/// Size, waves and roundness with the mass and this damping on ways and chip, apart from those
/// without the mass, m.
fn damped_apart(turns_per_minute: f64, ratio: f64) -> f64 {
    let (scenario, setup) = at_speed(turns_per_minute);
    let operation = Operation::new(&scenario, setup, seeded(1));
    let still = operation.run_finishing();
    let found = gauge(&scenario, &setup, &operation, &still);
    let floats = inertia(&operation, &still, &found).floating_frequency;
    let heavy = Inertia::of(&operation.machine).damped(ratio, floats);
    let operation = operation.with_inertia(heavy);
    let finished = operation.run_finishing();
    apart(&gauge(&scenario, &setup, &operation, &finished), &found)
}

#[test]
fn damped_by_nothing_it_is_the_law_without_damping() {
    let (scenario, setup) = at_speed(600.0);
    let (old, _) = heavy(&scenario, &setup, |inertia| {
        assert_eq!(inertia.on_ways, 0.0);
    });
    let (none, _) = heavy(&scenario, &setup, |inertia| {
        *inertia = inertia.damped(0.0, 11.0)
    });
    assert_eq!(none, old);
}

#[test]
fn heavily_damped_it_tends_to_the_quasi_static_answer_as_the_turn_slows() {
    // At critical damping nothing swings; the slide lags by the damping's time over the turn's,
    // which is first order in speed.
    let far = [60.0, 20.0, 6.0].map(|turns| damped_apart(turns, 1.0));
    for pair in far.windows(2) {
        assert!(pair[1] < 0.5 * pair[0], "{far:?}");
    }
    assert!(far[2] < 0.5e-6, "{far:?}");
}

#[test]
fn what_the_mass_itself_adds_goes_with_the_damping() {
    // The same damping with and without the mass, where the slide swings once a turn.
    let (scenario, setup) = at_speed(600.0);
    let operation = Operation::new(&scenario, setup, seeded(1));
    let of_mass = |ratio: f64| {
        let heavy = Inertia::of(&operation.machine).damped(ratio, 11.0);
        let light = Inertia {
            mass: 1e-6 * heavy.mass,
            fine: 1e3 * heavy.fine,
            ..heavy
        };
        let [heavy, light] = [heavy, light].map(|inertia| {
            let operation = operation.clone().with_inertia(inertia);
            gauge(&scenario, &setup, &operation, &operation.run_finishing())
        });
        apart(&heavy, &light)
    };
    let far = [0.05, 0.5, 5.0].map(of_mass);
    assert!(far[1] < far[0] && far[2] < 0.3 * far[0], "{far:?}");
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
        tried(&scenario, &setup, seeded(1), &found, None).expect("the slide weighs something")
    };
    let once = again();
    assert_eq!(once, again());
    assert_eq!(
        once.damped
            .iter()
            .map(|damped| damped.ratio)
            .collect::<Vec<_>>(),
        DAMPING
    );
    for damped in &once.damped {
        assert!(damped.counts > 0.0 && damped.counts < 0.2);
    }
    assert!(once.held.iter().all(|held| held.by == Yardstick::Sight));
    let far = |damped: &Damped| apart(&damped.measures, &found) > NOT_SEEN;
    assert_eq!(once.may_differ, once.damped.iter().any(far));
    for held in once.held {
        assert!(held.least <= held.most);
        assert!(!held.differs || held.may_differ);
        let inside = held.from <= held.least && held.most <= held.to;
        assert_eq!(held.may_differ, !inside);
    }
}

/// Found without the mass, and what comes of it with the mass, by these ranges of lathes tried.
fn held(scenario: &Scenario, setup: &Setup, tried_on: Option<[Interval; 3]>) -> WithInertia {
    let found = run(&cut(scenario, setup)).outcome.measures.clone();
    tried(scenario, setup, seeded(1), &found, tried_on).expect("the slide weighs something")
}

#[test]
fn by_the_lathes_tried_it_is_another_answer_only_outside_of_their_range() {
    // Fast and floating: roundness comes out further off than one would overlook.
    let (scenario, setup) = at_speed(3000.0);
    let by_sight = held(&scenario, &setup, None);
    assert!(by_sight.differs, "{:?}", by_sight.held);
    let about = |by: f64| {
        Some(by_sight.held.map(|held| Interval {
            lower: held.least - by,
            upper: held.most + by,
        }))
    };
    // A range that holds what comes with the mass, however little wider.
    let inside = held(&scenario, &setup, about(1e-9));
    assert!(!inside.differs, "{:?}", inside.held);
    assert!(inside.held.iter().all(|held| held.by == Yardstick::Lathes));
    // One on the far side of what was found without the mass, however wide.
    let above = by_sight.held.map(|held| held.least >= held.from);
    let short = std::array::from_fn(|n| {
        let held = &by_sight.held[n];
        let far = if above[n] {
            held.least - 2e-3
        } else {
            held.most + 1e-3
        };
        Interval {
            lower: far,
            upper: far + 1e-3,
        }
    });
    let outside = held(&scenario, &setup, Some(short));
    assert!(outside.differs);
    for ((a, b), above) in outside.held.iter().zip(&by_sight.held).zip(above) {
        assert_eq!(a.differs, b.differs);
        let [near, far] = if above {
            [a.to - b.to, b.from - a.from]
        } else {
            [a.from - b.from, a.to - b.to]
        };
        assert_eq!(near, 0.0, "what one wouldn't see is no other answer");
        assert!(far > 0.0);
    }
    // Lathes tried that came out all alike: what one wouldn't see isn't another answer.
    let found = run(&cut(&scenario, &setup)).outcome.measures.clone();
    let point = [found.size_error, found.waves, found.roundness].map(|at| Interval {
        lower: at,
        upper: at,
    });
    let narrow = held(&scenario, &setup, Some(point));
    let ends = |held: &WithInertia| held.held.map(|held| (held.from, held.to));
    assert_eq!(ends(&narrow), ends(&by_sight));
}

#[test]
fn without_lathes_tried_a_tenth_of_the_drawings_tolerance_says_so() {
    let (mut scenario, setup) = at_speed(3000.0);
    let by_sight = held(&scenario, &setup, None);
    let found = run(&cut(&scenario, &setup)).outcome.measures.clone();
    // On diameter; half of it counts per side.
    let width = 0.010 * INCH;
    let band = |width: f64| Band {
        lower: Length::from_si(-0.25 * width),
        upper: Length::from_si(0.75 * width),
    };
    scenario.job.work.size_tolerance = Some(band(width));
    scenario.job.work.waves_allowed = Some(Length::from_si(0.002 * INCH));
    let by_drawing = held(&scenario, &setup, None);
    let [size, waves, round] = by_drawing.held;
    let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
    for (held, found, by) in [
        (size, found.size_error, 0.05 * width),
        (waves, found.waves, 0.0002 * INCH),
    ] {
        assert_eq!(held.by, Yardstick::Drawing);
        assert!(close(held.from, found - by) && close(held.to, found + by));
    }
    // Nobody asks for roundness: what one sees.
    assert_eq!(round, by_sight.held[2]);
    assert_eq!(round.by, Yardstick::Sight);
    // A tolerance finer than the answer's own error doesn't make it another.
    scenario.job.work.size_tolerance = Some(band(0.0));
    let [size, _, _] = alike(&scenario, &found, None);
    assert!(close(size.0.length(), 0.2 * NOT_SEEN));
}
