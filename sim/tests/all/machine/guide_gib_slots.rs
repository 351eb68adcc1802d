//! The bow of the guide, the bar's swing in the gib, and slots in the work.

use crate::given::even_work::{JOB, LATHE, decoded, even, exactly, near, way};
use tautway_sim::cut::{Finished, Operation, Options};
use tautway_sim::machine::tool::swing;
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Bar, Scenario, Slots, Source, decode};
use tautway_sim::setup::{Pull, Setup, Side};

fn middle_depth(finished: &Finished) -> f64 {
    let turns = &finished.passes[finished.last_set].turns;
    turns[turns.len() / 2].depth
}

#[test]
fn a_bar_swings_by_slack_times_overhang_over_length_closed_form() {
    let mut scenario = even();
    scenario.lathe.slide.gib_slack = exactly(0.03e-3);
    scenario.lathe.slide.gib_length = exactly(0.25);
    assert_eq!(swing(&scenario.lathe.slide, None), 0.0);
    let bar = Bar {
        diameter: Length::from_si(25e-3),
        stick_out: Length::from_si(0.15),
        edge_out: None,
        carbide: false,
        holder_factor: exactly(0.6),
    };
    near(swing(&scenario.lathe.slide, Some(&bar)), 0.018e-3, 1e-12);
}

#[test]
fn a_swing_left_at_touch_off_is_as_much_less_set_closed_form() {
    let mut scenario = even();
    let setup = way(&scenario, Pull::In);
    let law = Operation::new(&scenario, setup, Options::default()).law(0.1e-3);
    for (swing, left) in [(0.0, 1.0), (0.04e-3, 0.0), (0.04e-3, 0.5), (0.04e-3, 1.0)] {
        scenario.job.tool.swing_left = exactly(left);
        let operation = Operation::new(&scenario, setup, Options::default());
        let mut machine = operation.machine.clone();
        machine.swing = swing;
        let gives = 1.0 / machine.drive.first + machine.tool_gives;
        let bench = machine.bench.clone();
        let finished = operation.on(machine).run_finishing();
        let turns = &finished.passes[finished.last_set].turns;
        let turn = turns[turns.len() / 2];
        // What is set is depth and what gives way, less the swing.
        let sum =
            turn.depth + (gives + bench.gives(turn.z)) * law.at(turn.depth, 0.0, 1.0).push_off;
        near(sum, 0.25e-3 - left * swing, 1e-5);
    }
}

fn bowed(side: Side, bow: f64) -> (f64, f64) {
    let mut scenario = even();
    scenario.lathe.attachment.guide_bow = exactly(bow);
    scenario.lathe.attachment.guide_travel = exactly(0.2);
    let work = &scenario.job.work;
    let setup = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|s| s.cuts() && s.pull() == Pull::In && s.side == side)
        .expect("a way on this side");
    let operation = Operation::new(&scenario, setup, Options::default());
    let finished = operation.run_finishing();
    let (outcome, _) = measure(&scenario, &setup, &operation, &finished);
    let standing = &finished.surface;
    let at = |z: f64| operation.mean_around(standing, z);
    let ends = 0.5 * (at(5e-3) + at(25e-3));
    (at(15e-3) - ends, outcome.taper_error)
}

#[test]
fn a_bow_of_the_guide_is_cut_into_the_work_and_leaves_its_ends_in_line() {
    // Over 20 of 200 mm an arc stands (20/200)^2 of its height out of its chord; the drive gives
    // way a little where the cut is deeper.
    let whole = 0.2e-3 * 0.01;
    let (straight, untilted) = bowed(Side::Front, 0.0);
    let (front, tilt) = bowed(Side::Front, 0.2e-3);
    let (rear, _) = bowed(Side::Rear, 0.2e-3);
    // Outside work with a front tool: toward the operator is out of the cut.
    let out = straight - front;
    assert!(out > 0.6 * whole && out < whole, "{out} of {whole}");
    near(rear - straight, out, 0.02);
    // Its slope at the ends is 6e-4 a side; the places gauged are not quite in the middle.
    assert!((tilt - untilted).abs() < 2e-5, "{tilt} {untilted}");
}

fn slotted(slots: Option<Slots>) -> Scenario {
    let mut scenario = decoded(LATHE, JOB);
    scenario.job.work.slots = slots;
    scenario
}

#[test]
fn slots_leave_size_taper_and_seat_as_they_are_pulled_in() {
    let slots = Slots {
        count: 2,
        width: Length::from_si(6e-3),
    };
    let run = |slots| {
        let scenario = slotted(slots);
        let setup = way(&scenario, Pull::In);
        let operation = Operation::new(&scenario, setup, Options::default());
        let finished = operation.run_finishing();
        let (outcome, _) = measure(&scenario, &setup, &operation, &finished);
        (middle_depth(&finished), outcome)
    };
    let ((_, whole), (_, cut)) = (run(None), run(Some(slots)));
    assert_eq!((cut.seat, whole.seat), (Seat::First, Seat::First));
    assert!(cut.taken > 0.9 * whole.taken && cut.taken < 1.02 * whole.taken);
    assert!((cut.taper_error - whole.taper_error).abs() < 1e-5);
}

#[test]
fn in_a_slot_a_floating_slide_comes_in_no_further_than_the_guide_recedes() {
    let slots = Slots {
        count: 1,
        width: Length::from_si(20e-3),
    };
    let mut scenario = slotted(Some(slots));
    // Less than the cut pushes, or it wouldn't come off the other face.
    scenario.lathe.slide.drag = exactly(45.0);
    let setup = way(&scenario, Pull::Away);
    let operation = Operation::new(&scenario, setup, Options::default());
    let mut machine = operation.machine.clone();
    machine.set_slack(0.6e-3);
    let gives = machine.tool_gives;
    let operation = operation.on(machine);
    let finished = operation.run_finishing();
    let pass = &finished.passes[finished.last_set];
    let middle = pass.turns.len() / 2;
    assert_eq!(pass.turns[middle].seat, Seat::Floating);
    // Where the force is gone the tool springs back, and the slide goes with the carriage: drawn
    // away, that is into the cone.
    let per_turn = Options::default().per_turn;
    let from = middle * per_turn;
    let edges = &finished.last_path.heights[from - 1..from + per_turn];
    let most = pass.turns[middle].push_off * 2.0;
    let springs = most * (gives + operation.machine.bench.gives(15e-3));
    let recedes = operation.slope * 0.1e-3;
    let came = edges.iter().copied().fold(f64::MIN, f64::max) - edges[0];
    assert!(
        came > 0.0 && came <= springs + recedes,
        "{came} {springs} {recedes}"
    );
    // And it does come in: a whole cut in its place leaves the edge where it is.
    assert!(came > 0.2 * recedes);
}

#[test]
fn slots_are_read_from_the_job_and_refused_where_they_leave_too_little() {
    let job = |slots: &str| JOB.replace("[tool]", &format!("[work.slots]\n{slots}\n\n[tool]"));
    let scenario = decoded(LATHE, &job("count = 2\nwidth = \"6 mm\""));
    let slots = scenario.job.work.slots.expect("slots");
    assert_eq!((slots.count, slots.width), (2, Length::from_si(6e-3)));
    for (wrong, what) in [
        ("count = 0\nwidth = \"6 mm\"", "a number of slots is wanted"),
        (
            "count = 12\nwidth = \"7 mm\"",
            "less than half of the circumference",
        ),
        ("count = 1", "width"),
    ] {
        let (job, lathe) = (job(wrong), LATHE);
        let source = |name, text| Source { name, text };
        let faults =
            decode(source("job.toml", &job), source("lathe.toml", lathe)).expect_err("it is wrong");
        assert_eq!(faults.len(), 1, "{faults:#?}");
        assert!(faults[0].message.contains(what), "{faults:#?}");
        assert_eq!(faults[0].file, "job.toml");
    }
}
