//! Scans over drag, slack and stiffness: the law has no jumps but those named, and goes one way
//! where it should.

use tautway_sim::cut::{BATCH, Operation, Options, Scratch, finish_batch};
use tautway_sim::machine::Machine;
use tautway_sim::measure::{gauge, gauge_turned, measure};
use tautway_sim::quantity::Quantity;
use tautway_sim::record::Seat;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::thread::course::ThreadCourse;
use tautway_sim::thread::{Method, cut_of};

use crate::given::even_work::{even, exactly, near, way};
use crate::given::worked::{self, evened, without_stick_slip};

const POINTS: usize = 200;

/// Without a least chip, whose jump is told apart.
fn sharp() -> Scenario {
    let mut scenario = even();
    scenario.job.tool.edge_radius = exactly(0.0);
    scenario
}

/// What a number is changed to in a machine.
type Change = fn(&mut Machine, f64);

fn drag(machine: &mut Machine, to: f64) {
    machine.drag.gib = to;
    machine.drag.breakaway = 1.4;
}

fn slack(machine: &mut Machine, to: f64) {
    let share = to / machine.drive.slack;
    machine.drive.slack = to;
    for part in &mut machine.slack_parts {
        part.slack *= share;
    }
    machine.drag.breakaway = 1.4;
}

fn stiffness(machine: &mut Machine, to: f64) {
    machine.drive.first = to;
    machine.drive.other = 0.8 * to;
    machine.drag.breakaway = 1.4;
}

fn operation<'a>(scenario: &'a Scenario, setup: Setup, change: Change, to: f64) -> Operation<'a> {
    let operation = Operation::new(scenario, setup, Options::default());
    let mut machine = operation.machine.clone();
    change(&mut machine, to);
    operation.on(machine)
}

/// Lost motion, touch-off and size error at so many places from one value to another, m.
fn scan(pull: Pull, change: Change, from: f64, to: f64, points: usize) -> Vec<[f64; 3]> {
    let scenario = sharp();
    let setup = way(&scenario, pull);
    let at = |i: usize| {
        let value = from + (to - from) * i as f64 / points as f64;
        let operation = operation(&scenario, setup, change, value);
        let measures = gauge(&scenario, &setup, &operation, &operation.run_finishing());
        let approach = operation.approach();
        [approach.lost.total, approach.stands(), measures.size_error]
    };
    (0..=points).map(at).collect()
}

/// The most between two neighbours.
fn steepest(found: &[[f64; 3]], which: usize) -> f64 {
    let steps = found.windows(2).map(|pair| pair[1][which] - pair[0][which]);
    steps.fold(0.0, |most, step| step.abs().max(most))
}

/// A law without a jump has half the steps between places half as far apart; a jump stays.
#[track_caller]
fn without_a_jump(pull: Pull, change: Change, from: f64, to: f64) -> Vec<[f64; 3]> {
    let coarse = scan(pull, change, from, to, POINTS);
    let fine = scan(pull, change, from, to, 2 * POINTS);
    for which in 0..3 {
        let (far, near) = (steepest(&coarse, which), steepest(&fine, which));
        let at = |by: f64| {
            fine.windows(2)
                .position(|pair| (pair[1][which] - pair[0][which]).abs() >= by)
        };
        assert!(
            far < 2e-9 || near < 0.7 * far,
            "{which}: {far} and {near} {pull:?} at {:?} of {}",
            at(near),
            2 * POINTS
        );
    }
    coarse
}

/// `sign` +1: it never falls by more than rounding; -1: it never rises.
#[track_caller]
fn goes_one_way(found: &[[f64; 3]], which: usize, sign: f64) {
    for (i, pair) in found.windows(2).enumerate() {
        let by = sign * (pair[1][which] - pair[0][which]);
        assert!(by > -2e-9, "{which} at {i}: {by}");
    }
}

const BOTH: [Pull; 2] = [Pull::In, Pull::Away];

#[test]
fn drag_has_no_break_from_nothing_on() {
    for pull in BOTH {
        for to in [10.0, 400.0] {
            let found = without_a_jump(pull, drag, 0.0, to);
            goes_one_way(&found, 0, 1.0);
            // Behind the guide by more spring, whichever way it goes.
            goes_one_way(&found, 1, -pull.sign());
            // Seated on the first face the tool springs off by what the drag in the cut takes more
            // than that in air, here less; drawn away the drag holds a floating slide deeper, until
            // it holds all of the push-off and only springs.
            let most = (0..found.len()).max_by(|a, b| found[*a][2].total_cmp(&found[*b][2]));
            let turns = most.filter(|_| pull == Pull::Away).unwrap_or(POINTS);
            goes_one_way(&found[..=turns], 2, 1.0);
            goes_one_way(&found[turns..], 2, -1.0);
            assert!(turns == POINTS || to > 100.0, "{turns}");
        }
    }
}

#[test]
fn slack_has_no_break() {
    for pull in BOTH {
        let found = without_a_jump(pull, slack, 0.0, 0.6e-3);
        goes_one_way(&found, 0, 1.0);
        goes_one_way(&found, 1, -pull.sign());
        // Drawn away the tool takes less, until it takes what its drag holds; pulled in the slack
        // is on one face before and in the cut.
        goes_one_way(&found, 2, -1.0);
        if pull == Pull::In {
            goes_one_way(&found, 2, 1.0);
        }
    }
}

#[test]
fn stiffness_has_no_break() {
    for pull in BOTH {
        let found = without_a_jump(pull, stiffness, 4e6, 60e6);
        goes_one_way(&found, 0, -1.0);
        goes_one_way(&found, 1, pull.sign());
        goes_one_way(&found, 2, 1.0);
    }
}

#[test]
fn a_preload_that_beats_the_starting_drag_keeps_the_seat_the_one_jump_of_lost_motion() {
    let preload: Change = |machine, out| {
        machine.hold.out = out;
        machine.drag.breakaway = 1.4;
    };
    // 60 N to keep it moving, 84 N to start it.
    let found = scan(Pull::In, preload, 0.0, 200.0, POINTS);
    let jumps: Vec<_> = found
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| (pair[1][0] - pair[0][0]).abs() > 1e-3)
        .collect();
    assert_eq!(jumps.len(), 1);
    let (at, pair) = jumps[0];
    assert!((83..=84).contains(&at), "{at}");
    // All slack along the cross-slide, as carriage travel at 2 in/ft, 1 in 12 a side.
    assert!((pair[0][0] - pair[1][0] - 0.4e-3 * 12.0).abs() < 0.1e-3);
}

#[test]
fn the_least_chip_is_the_one_jump_of_a_cut_that_starts_from_nothing() {
    // Under three tenths of the edge's radius nothing is taken off: as a drag grows from nothing
    // the slide takes nothing, and then at once that.
    let mut scenario = even();
    let least = 0.3 * scenario.job.tool.edge_radius.si();
    let setup = way(&scenario, Pull::Away);
    let left = |scenario: &Scenario, to: f64| {
        let operation = operation(scenario, setup, drag, to);
        gauge(scenario, &setup, &operation, &operation.run_finishing()).size_error
    };
    let found: Vec<f64> = (0..=POINTS)
        .map(|i| left(&scenario, 0.05 * i as f64))
        .collect();
    let jumps: Vec<f64> = found
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| step.abs() > 0.5 * least)
        .collect();
    assert_eq!(jumps.len(), 1, "{found:?}");
    assert!(jumps[0] < 1.05 * least, "{jumps:?}");
    // With a perfectly sharp edge it goes on from nothing.
    scenario.job.tool.edge_radius = exactly(0.0);
    let found: Vec<f64> = (0..=POINTS)
        .map(|i| left(&scenario, 0.05 * i as f64))
        .collect();
    assert!(found[POINTS] > found[0] + least, "{found:?}");
    let steps = found.windows(2).map(|pair| pair[1] - pair[0]);
    assert!(steps.fold(0.0, f64::max) < 0.5 * least, "{found:?}");
}

#[test]
fn without_drag_pulled_in_it_sits_on_the_first_face() {
    let scenario = sharp();
    let setup = way(&scenario, Pull::In);
    let operation = operation(&scenario, setup, drag, 0.0);
    let lost = &operation.approach().lost;
    assert!(lost.changes_face);
    let gap = operation.machine.drive.slack;
    near(lost.total, gap / operation.machine.slope, 1e-9);
    near(operation.approach().stands(), -0.5 * gap, 1e-9);
    let finished = operation.run_finishing();
    let (outcome, _) = measure(&scenario, &setup, &operation, &finished);
    assert_eq!(outcome.seat, Seat::First);
    // What the work gives otherwise along its length.
    assert!(outcome.waves < 1e-8, "{}", outcome.waves);
    // All but what the push-off springs off, and what feed marks leave on the mean of the height:
    // arcs of the nose, near enough parabolas.
    let feed = scenario.job.passes.feed.si();
    let between_marks = feed * feed / (24.0 * scenario.job.tool.nose_radius.si());
    let push = outcome.push_off.1;
    let machine = &operation.machine;
    let gives = machine.tool_gives + machine.bench.gives(operation.gauge_z());
    near(
        -outcome.size_error,
        push * (gives + 1.0 / machine.drive.first) + between_marks,
        0.005,
    );
}

#[test]
fn without_drag_drawn_away_it_takes_nothing_with_more_slack_than_depth_and_the_rest_with_less() {
    let scenario = sharp();
    let setup = way(&scenario, Pull::Away);
    let at = |gap: f64| {
        let operation = Operation::new(&scenario, setup, Options::default());
        let mut machine = operation.machine.clone();
        slack(&mut machine, gap);
        drag(&mut machine, 0.0);
        let operation = operation.on(machine);
        let finished = operation.run_finishing();
        measure(&scenario, &setup, &operation, &finished).0
    };
    for gap in [0.26e-3, 0.4e-3, 0.6e-3] {
        let found = at(gap);
        assert!(found.taken.abs() < 1e-9, "{gap}: {}", found.taken);
    }
    for gap in [0.0, 0.1e-3, 0.2e-3] {
        let found = at(gap);
        assert_eq!(found.seat, Seat::First);
        // Depth set less the slack, and less the spring of what it then pushes off.
        assert!(found.taken < 0.25e-3 - gap);
        assert!(
            found.taken > 0.85 * (0.25e-3 - gap),
            "{gap}: {}",
            found.taken
        );
    }
}

#[test]
fn side_by_side_small_drags_are_those_of_each_by_itself() {
    let scenario = even();
    for pull in BOTH {
        let setup = way(&scenario, pull);
        let drags: Vec<f64> = (0..BATCH as i32).map(|i| 0.7 * f64::from(i)).collect();
        let operations: Vec<Operation<'_>> = drags
            .iter()
            .map(|to| operation(&scenario, setup, drag, *to))
            .collect();
        let turned = finish_batch(&operations, &mut Scratch::default());
        for (operation, turned) in operations.iter().zip(turned) {
            let alone = gauge(&scenario, &setup, operation, &operation.run_finishing());
            assert_eq!(alone, gauge_turned(&scenario, &setup, operation, turned));
        }
    }
}

#[test]
fn a_thread_pulled_in_has_no_break_from_no_drag_on() {
    let mut plug = evened(without_stick_slip(worked::scenario("threaded-plug.toml")));
    plug.lathe.slide.friction = exactly(0.0);
    plug.lathe.slide.side_friction = exactly(0.0);
    let cut = cut_of(&plug).expect("it says how it is cut").clone();
    let work = &plug.job.work;
    let setup = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|setup| setup.cuts() && setup.pull() == Pull::In)
        .expect("one is pulled in");
    let reached = |newtons: f64| {
        let mut plug = plug.clone();
        plug.lathe.slide.drag = exactly(newtons);
        let options = Options::default();
        let course = ThreadCourse::new(&plug, &cut, setup, Method::Attachment, options);
        let (planned, _) = course.run();
        planned.last().expect("passes").reached
    };
    let found: Vec<f64> = (0..=20).map(|i| reached(0.5 * f64::from(i))).collect();
    for pair in found.windows(2) {
        assert!((pair[1] - pair[0]).abs() < 1e-6, "{found:?}");
    }
    near(found[0], found[20], 0.05);
}
