//! Slack that changes along the guide: through the three places, and what the march makes of it.

use crate::given::even_work::{even, exactly, near, way};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::machine::Machine;
use tautway_sim::machine::wear::Wear;
use tautway_sim::measure::gauge;
use tautway_sim::record::{Measures, Seat};
use tautway_sim::scenario::{End, Scenario};
use tautway_sim::setup::Pull;

/// A guide just as long as the taper, so that its ends are the taper's.
fn guided(headstock: f64, tailstock: f64) -> Scenario {
    let mut scenario = even();
    let attachment = &mut scenario.lathe.attachment;
    attachment.guide_travel = exactly(30e-3);
    attachment.wear_headstock_end = Some(exactly(headstock));
    attachment.wear_tailstock_end = Some(exactly(tailstock));
    scenario
}

fn cut(scenario: &Scenario, pull: Pull) -> Measures {
    let setup = way(scenario, pull);
    let operation = Operation::new(scenario, setup, Options::default());
    gauge(scenario, &setup, &operation, &operation.run_finishing())
}

#[test]
fn the_slack_goes_through_the_three_places_closed_form() {
    let scenario = guided(-20e-6, -8e-6);
    let wear = Wear::new(&scenario.lathe.attachment);
    for (from_middle, more) in [(-15e-3, -20e-6), (0.0, 0.0), (15e-3, -8e-6)] {
        let told: f64 = wear.more_at(from_middle);
        assert!((told - more).abs() < 1e-18, "{told} {more}");
    }
    let nobody = Wear::new(&even().lathe.attachment);
    assert_eq!(nobody.more_at(7e-3), 0.0);
}

#[test]
fn the_drive_has_the_slack_of_the_gauge_plane_and_never_less_than_none() {
    let slack = |headstock, tailstock, gauge_plane, big_end| {
        let mut scenario = guided(headstock, tailstock);
        scenario.job.work.gauge_plane =
            exactly::<tautway_sim::quantity::Length>(gauge_plane).middle;
        scenario.job.work.big_end = big_end;
        let setup = way(&scenario, Pull::In);
        let machine = Machine::new(&scenario, &setup, scenario.job.work.taper.slope());
        let parts: f64 = machine.slack_parts.iter().map(|part| part.slack).sum();
        near(parts, machine.drive.slack, 1e-9);
        machine.drive.slack
    };
    let whole = slack(0.0, 0.0, 15e-3, End::Headstock);
    near(slack(-50e-6, 30e-6, 15e-3, End::Headstock), whole, 1e-9);
    near(
        slack(-20e-6, 30e-6, 0.0, End::Headstock),
        whole - 20e-6,
        1e-9,
    );
    near(
        slack(-20e-6, 30e-6, 0.0, End::Tailstock),
        whole + 30e-6,
        1e-9,
    );
}

#[test]
fn on_a_face_half_of_what_the_slack_grows_by_is_taper_and_its_sign_goes_with_the_face() {
    // Linear along the guide: a more at the tailstock end than in the middle, as much less at the
    // other, over 15 mm each.
    let a = 12e-6;
    // Enough drag keeps the cut drawn away on its far face.
    let held = |mut scenario: Scenario| {
        scenario.lathe.slide.drag = exactly(600.0);
        scenario
    };
    for (pull, seat, sign) in [
        (Pull::In, Seat::First, -1.0),
        (Pull::Away, Seat::Other, 1.0),
    ] {
        let even = cut(&held(guided(0.0, 0.0)), pull);
        let worn = cut(&held(guided(-a, a)), pull);
        assert_eq!((even.seat, worn.seat), (seat, seat));
        // Against the guide more slack is further out: outside work is thicker at the tailstock,
        // the taper, big at the headstock, less. Per side a / 2 over 15 mm.
        near(worn.taper - even.taper, sign * a / 15e-3, 0.15);
        // The size is set where it is gauged.
        assert!((worn.size_error - even.size_error).abs() < 0.3e-6);
    }
}

#[test]
fn nothing_measured_and_no_difference_measured_are_the_same_to_the_bit() {
    for pull in [Pull::In, Pull::Away] {
        let mut nobody = guided(0.0, 0.0);
        let none = cut(&nobody, pull);
        nobody.lathe.attachment.wear_headstock_end = None;
        nobody.lathe.attachment.wear_tailstock_end = None;
        assert_eq!(cut(&nobody, pull), none);
    }
}
