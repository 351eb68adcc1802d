//! Body, entry and exit: what the tool leaves at the ends moves no figure of the body, and stands
//! beside it with depth and place.

use tautway_sim::cut::{Operation, Options};
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::{Outcome, Seat};
use tautway_sim::setup::{Pull, Setup};

use crate::given::even_work::{even, way};

/// The even cone cut with this drag (N), measured in this gauge plane (m from the big end), after
/// a run-in of this share of the lost motion.
fn cut(pull: Pull, drag: f64, gauge_plane: f64, share: f64) -> (Setup, Outcome) {
    let mut scenario = even();
    scenario.job.work.gauge_plane = Length::from_si(gauge_plane);
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
    let (outcome, _) = measure(&scenario, &setup, &operation, &operation.run_finishing());
    (setup, outcome)
}

const LENGTH: f64 = 30e-3;
/// Less than the push-off of the depth set, more than none: drawn away the slide floats.
const FLOATS: f64 = 40.0;

#[test]
fn the_plane_at_which_size_is_told_does_not_change_a_floats_size() {
    let found = [0.0, 15e-3, 30e-3].map(|plane| cut(Pull::Away, FLOATS, plane, 1.5).1);
    for o in &found {
        assert_eq!(o.seat, Seat::Floating);
        assert!(o.size_error < -20e-6, "{}", o.size_error);
        // But for what the work gives way in the chuck along its length.
        assert!((o.size_error - found[1].size_error).abs() < 0.3e-6);
        assert!((o.taken - found[1].taken).abs() < 0.3e-6);
        assert!((o.set - o.taken + o.size_error).abs() < 0.3e-6);
        // Nothing varies: what isn't even is of entry and exit.
        assert!(o.waves < 0.2e-6, "{}", o.waves);
        assert!((o.taper_error * LENGTH).abs() < 0.5e-6, "{}", o.taper_error);
        assert!(o.push_off.1 - o.push_off.0 < 0.01 * o.push_off.1);
    }
}

#[test]
fn a_float_digs_in_where_it_enters_and_no_deeper_than_what_stays_on() {
    let (setup, o) = cut(Pull::Away, FLOATS, 15e-3, 1.5);
    let entry = o.entry.expect("a mark where it enters");
    assert!(
        entry.depth > 0.3 * -o.size_error && entry.depth < -o.size_error,
        "{} of {}",
        entry.depth,
        o.size_error
    );
    let from_end = if setup.feed.sign() > 0.0 {
        entry.z
    } else {
        LENGTH - entry.z
    };
    assert!(from_end < entry.length && entry.length < 6e-3, "{entry:?}");
    // A ring rides on the body, which stands higher.
    assert!((o.gauge_reads.height - o.size_error).abs() < 0.5e-6);
}

#[test]
fn a_shallow_start_stands_proud_and_a_ring_rides_on_it() {
    // Drawn away after too short a run-in, on a slide that drags enough to stay where it is.
    let (setup, o) = cut(Pull::Away, 600.0, 15e-3, 0.3);
    let entry = o.entry.expect("a mark where it enters");
    assert!(entry.depth < -20e-6, "{entry:?}");
    assert!(o.gauge_reads.height < o.size_error + 0.9 * entry.depth);
    let at_start = |z: f64| {
        if setup.feed.sign() > 0.0 {
            z
        } else {
            LENGTH - z
        }
    };
    assert!(at_start(o.gauge_reads.z) <= entry.length);
    assert!(o.exit.is_none_or(|exit| exit.depth.abs() < 5e-6));
    // The body has the size of a cut with run-in enough.
    let (_, full) = cut(Pull::Away, 600.0, 15e-3, 1.5);
    assert!((o.size_error - full.size_error).abs() < 1e-6);
}

#[test]
fn a_straight_start_is_its_entry() {
    let (_, o) = cut(Pull::In, 600.0, 15e-3, 0.3);
    let entry = o.entry.expect("a mark where it enters");
    assert!(o.straight_part > 1e-3);
    assert!(entry.length >= 0.8 * o.straight_part, "{entry:?}");
    assert!(entry.depth > 20e-6, "{entry:?}");
}

#[test]
fn a_seated_cut_leaves_no_more_than_what_springs_back_as_the_chip_goes() {
    let (_, o) = cut(Pull::In, 60.0, 15e-3, 1.5);
    for mark in [o.entry, o.exit].into_iter().flatten() {
        assert!(mark.depth.abs() <= -o.size_error + 1e-6, "{mark:?}");
    }
    assert!((o.gauge_reads.height - o.size_error).abs() < 2e-6);
}
