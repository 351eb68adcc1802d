//! What too short a run-in does: nothing where the cut pushes the slide home, a straight part
//! where the slide drags too much for that, a shallow start where it is drawn away.

use crate::given::even_work::{even, way};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::measure::measure;
use tautway_sim::record::{Outcome, Profile, Seat};
use tautway_sim::setup::Pull;

/// Lost motion, outcome and profile with a drag (N) and a share of the lost motion as run-in.
fn started(pull: Pull, drag: f64, share: f64) -> (f64, Outcome, Profile) {
    let scenario = even();
    let setup = way(&scenario, pull);
    let at = |run_in| {
        let options = Options {
            run_in,
            ..Options::default()
        };
        let operation = Operation::new(&scenario, setup, options);
        let mut machine = operation.machine.clone();
        machine.drag.gib = drag;
        operation.on(machine)
    };
    let lost = at(None).approach().lost.total;
    let operation = at(Some(share * lost));
    let (outcome, profile) = measure(&scenario, &setup, &operation, &operation.run_finishing());
    (lost, outcome, profile)
}

#[test]
fn a_cut_that_pushes_off_more_than_the_drag_seats_a_pulled_in_slide_by_itself() {
    let (_, full, _) = started(Pull::In, 20.0, 1.5);
    let (_, short, _) = started(Pull::In, 20.0, 0.3);
    assert_eq!(short.seat, Seat::First);
    assert!((short.size_error - full.size_error).abs() < 1e-7);
    assert!(short.straight_part < 0.5e-3, "{}", short.straight_part);
}

#[test]
fn with_more_drag_than_that_the_rest_of_the_lost_motion_is_left_straight() {
    // Lost motion leaves the work straight at the start (US Army OD1645; NAVEDTRA 14345).
    for share in [0.0, 0.3, 0.6] {
        let (lost, outcome, profile) = started(Pull::In, 600.0, share);
        let left = (1.0 - share) * lost;
        assert!(
            (outcome.straight_part - left).abs() < 0.1 * lost,
            "{} for {left}",
            outcome.straight_part
        );
        // It starts too deep, and comes right where the guide has caught up. Outside work with
        // its big end at the headstock is pulled in toward the tailstock: it starts low.
        assert!(profile.mean[2] > 0.5 * left / 24.0, "{:?}", profile.mean[2]);
    }
    let (_, full, _) = started(Pull::In, 600.0, 1.5);
    assert!(full.straight_part < 0.5e-3, "{}", full.straight_part);
}

#[test]
fn drawn_away_it_starts_too_shallow() {
    let (_, full, right) = started(Pull::Away, 600.0, 1.5);
    let (lost, _, short) = started(Pull::Away, 600.0, 0.6);
    // Drawn away it starts at the small end, at the tailstock.
    let (right, short) = (
        right.mean[right.mean.len() - 4],
        short.mean[short.mean.len() - 4],
    );
    let shallower = 0.4 * lost / 24.0;
    assert_eq!(full.seat, Seat::Other);
    assert!(
        right - short > 0.8 * shallower,
        "{right} {short} {shallower}"
    );
}
