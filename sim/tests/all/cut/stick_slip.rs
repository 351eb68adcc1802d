//! Where a run-in in air leaves the slide: closed form against small steps, and what it leaves to
//! chance.

use proptest::prelude::*;
use tautway_sim::balance::{Body, Levels, Link};
use tautway_sim::cut::{Air, Approach, Operation, Options, RunIn};
use tautway_sim::machine::Machine;
use tautway_sim::record::Counters;
use tautway_sim::setup::Pull;

use crate::given::even_work::{even, way};

/// A machine of the even lathe with this drive and drag (N), and a preload out of the cut (N).
fn machine(drive: Link, drag: f64, breakaway: f64, preload: f64) -> Machine {
    let scenario = even();
    let operation = Operation::new(&scenario, way(&scenario, Pull::In), Options::default());
    let mut machine = operation.machine;
    machine.drive = drive;
    machine.slack_parts.truncate(1);
    machine.slack_parts[0].slack = drive.slack;
    machine.drag.gib = drag;
    machine.drag.breakaway = breakaway;
    machine.hold.out = preload;
    machine
}

/// Every place against its guide of a slide that a guide moves far back and then on, after the
/// first way on of `settled`: the lowest and the highest.
fn stepped(machine: &Machine, pull: f64, settled: f64, step: f64) -> (f64, f64) {
    let levels = Levels::breakaway(machine.drag.breakaway, 0.0);
    let air = Air {
        preload: machine.hold.out,
        rate: 0.0,
        limit: machine.drag.hand(),
    };
    let mut body = Body::new(machine.drive, levels, 0.0);
    let (mut guide, mut counters) = (0.0, Counters::default());
    let mut places = (f64::INFINITY, f64::NEG_INFINITY);
    for (direction, way) in [(-1.0, settled), (1.0, settled), (1.0, settled)] {
        places = (f64::INFINITY, f64::NEG_INFINITY);
        for _ in 0..(way / step) as usize {
            guide += direction * pull * step;
            body.advance(guide, &air, &mut counters);
            let stands = body.position - guide;
            places = (places.0.min(stands), places.1.max(stands));
        }
    }
    places
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A run-in in small steps goes through just the places that the closed form gives.
    #[test]
    fn small_steps_lead_to_the_places_of_the_closed_form_property(
        (slack, first, other) in (0.0..300e-6, 5e6..5e7, 5e6..5e7),
        (drag, breakaway, preload) in (0.5..120.0, 1.05..1.8, -200.0..200.0),
        pull in prop::bool::ANY,
    ) {
        let machine = machine(Link { slack, first, other }, drag, breakaway, preload);
        let pull = if pull { 1.0 } else { -1.0 };
        let approach = Approach::new(&machine, pull, 1.0, None);
        let ends = [0.0, 1.0].map(|chance| approach.stick_slip().stands(chance));
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let step = 1e-7_f64.min(0.02 * (high - low));
        let (least, most) = stepped(&machine, pull, 3.0 * slack + 6e-5, step);
        // The last step before a slip is not taken whole.
        prop_assert!((least - low).abs() <= 1.01 * step, "{least} {low}");
        prop_assert!((most - high).abs() <= 1.01 * step, "{most} {high}");
        prop_assert!((approach.stick_slip().width() - (high - low)).abs() < 1e-15);
        let middle = approach.stands();
        prop_assert!((middle - 0.5 * (low + high)).abs() < 1e-15);
    }

    /// The level that the slide goes by until the cut begins holds it where the run-in left it.
    #[test]
    fn until_the_cut_it_goes_on_as_the_run_in_left_it_property(
        (slack, first, other) in (0.0..300e-6, 5e6..5e7, 5e6..5e7),
        (drag, breakaway, preload) in (0.5..120.0, 1.05..1.8, -200.0..200.0),
        (pull, chance) in (prop::bool::ANY, 0.0..1.0),
    ) {
        let machine = machine(Link { slack, first, other }, drag, breakaway, preload);
        let pull = if pull { 1.0 } else { -1.0 };
        let approach = Approach::new(&machine, pull, 1.0, None);
        let level = approach.stick_slip().level(chance);
        prop_assert!((1.0..=breakaway).contains(&level), "{level}");
        let stands = approach.stick_slip().stands(chance);
        let air = Air { preload, rate: 0.0, limit: drag };
        let levels = Levels { start: level, stop: level };
        let mut body = Body::new(machine.drive, levels, stands);
        let mut counters = Counters::default();
        let mut guide = 0.0;
        for _ in 0..300 {
            guide += pull * 1e-6;
            body.advance(guide, &air, &mut counters);
        }
        let crosses = (preload - drag * breakaway) * (preload - drag) < 0.0
            || (preload + drag * breakaway) * (preload + drag) < 0.0;
        let off = (body.position - guide - stands).abs();
        // In a gap that each slip crosses the drive carries nothing, wherever in it the slide is.
        let within = if crosses { approach.stick_slip().width() } else { 1e-11 };
        prop_assert!(off <= within + 1e-11, "{off}");
    }
}

#[test]
fn stick_slip_leaves_it_within_the_difference_of_its_forces_over_the_stiffness_closed_form() {
    let drive = Link {
        slack: 0.2e-3,
        first: 1e7,
        other: 2e7,
    };
    let machine = machine(drive, 50.0, 1.4, 0.0);
    for (pull, rate) in [(1.0, 1e7), (-1.0, 2e7)] {
        let approach = Approach::new(&machine, pull, 1.0, None);
        let width = approach.stick_slip().width();
        assert!((width - 50.0 * 0.4 / rate).abs() < 1e-15, "{width}");
        let stands = -pull * (0.1e-3 + 50.0 * 1.2 / rate);
        assert!((approach.stands() - stands).abs() < 1e-15);
    }
}

#[test]
fn too_short_a_run_in_leads_on_without_a_jump_to_one_that_is_long_enough() {
    let drive = Link {
        slack: 0.2e-3,
        first: 1e7,
        other: 2e7,
    };
    for (drag, breakaway, preload) in [
        (50.0, 1.4, 0.0),
        (50.0, 1.0, 0.0),
        (50.0, 1.4, 20.0),
        (0.0, 1.4, 0.0),
        (30.0, 1.4, -100.0),
    ] {
        let machine = machine(drive, drag, breakaway, preload);
        for pull in [1.0, -1.0] {
            let lost = Approach::new(&machine, pull, 1.0, None).lost.total;
            let at = |travel| Approach::new(&machine, pull, 1.0, Some(travel));
            let step = 2.0 * lost / 200.0;
            let mut before = at(0.0);
            assert!(lost == 0.0 || before.how == RunIn::Short);
            for i in 1..=200 {
                let here = at(step * f64::from(i));
                for chance in [0.0, 0.3, 1.0] {
                    let moved =
                        before.stick_slip().enters(chance) - here.stick_slip().enters(chance);
                    // Behind the guide as far as that went, and never further.
                    assert!(pull * moved >= -1e-15, "{moved}");
                    assert!(pull * moved <= step * machine.slope + 1e-15, "{moved}");
                }
                before = here;
            }
            assert_eq!(before.enters(), before.stands());
        }
    }
}
