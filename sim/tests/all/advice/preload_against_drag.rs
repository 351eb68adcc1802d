//! A preload against the drag: where it holds, where it gives way and where it is forbidden.

use crate::given::worked::{
    SEEDS, THOU, by_hand as scenario, evened, finishing, left, plain, plain_setup, pressed, run,
    seeded,
};
use tautway_sim::compare::compare;
use tautway_sim::cut::{Operation, Options};
use tautway_sim::quantity::Quantity;
use tautway_sim::record::Seat;
use tautway_sim::scenario::Scenario;
use tautway_sim::sensitivity::unsteady;
use tautway_sim::setup::{Pull, Setup, Side};

/// Depth and seat half way along the last finishing pass; no seat where nothing is cut.
fn half_way(scenario: &Scenario, setup: &Setup) -> (f64, Option<Seat>) {
    let operation = Operation::new(scenario, *setup, Options::default());
    let finished = operation.run_finishing();
    let turns = &finished.passes[finished.last_set].turns;
    let turn = &turns[turns.len() / 2];
    (turn.depth, turn.cutting.then_some(turn.seat))
}

/// Push-off and drag while cutting, closed form, at a steady depth in even material.
fn forces(operation: &Operation<'_>, scenario: &Scenario, depth: f64) -> (f64, f64) {
    let f = operation
        .law(scenario.job.passes.feed.si())
        .at(depth, 0.0, 1.0);
    let drag = operation.machine.drag.cutting(f.main, f.feed, 1.0);
    (f.push_off, drag.limit)
}

/// Where `excess` crosses zero upward, by bisection.
fn root(mut low: f64, mut high: f64, excess: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if excess(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// How close depths come to their closed forms, m: the work's last turns still settle.
const DEPTH_WITHIN: f64 = 0.02 * THOU;

#[test]
fn out_of_the_cut_the_slide_lets_go_and_holds_where_the_forces_say() {
    let scenario = evened(scenario("tapered-socket.toml"));
    let setup = plain_setup(&scenario, Pull::Away);
    let operation = Operation::new(&scenario, setup, Options::default());
    let set = scenario.job.passes.finish[0].si();
    let drag = &operation.machine.drag;
    // Drag in a cut of no depth, and what starts the slide in air.
    let least = drag.cutting(0.0, 0.0, 1.0).limit;
    let starts = drag.hand() * drag.breakaway;
    let (push_off, limit) = forces(&operation, &scenario, set);
    assert!(
        push_off > limit,
        "without preload the cut pushes the slide off"
    );
    let mut seen = [0; 3];
    for i in 0..=20 {
        let out = 2.2 * drag.hand() * f64::from(i) / 20.0;
        let (depth, seat) = half_way(&pressed(&scenario, &setup, out), &setup);
        if out < least {
            // Push-off and preload together are the drag.
            let closed = root(0.0, set, |a| {
                let (push_off, limit) = forces(&operation, &scenario, a);
                push_off + out - limit
            });
            assert_eq!(seat, Some(Seat::Floating), "{out} N");
            assert!(
                (depth - closed).abs() < DEPTH_WITHIN,
                "{out} N: {depth} for {closed}"
            );
            seen[0] += 1;
        } else if out < starts {
            // The preload alone pushes the slide out once the cut shakes it.
            assert_eq!(seat, None, "{out} N");
            seen[1] += 1;
        } else {
            assert_eq!(seat, Some(Seat::First), "{out} N");
            assert!(depth > 0.85 * set, "{out} N: {depth}");
            seen[2] += 1;
        }
    }
    assert!(seen.iter().all(|&n| n >= 4), "{seen:?}");
}

#[test]
fn into_the_cut_the_slide_gives_way_between_drag_and_drag_with_push_off() {
    let scenario = evened(scenario("tapered-socket.toml"));
    let setup = plain_setup(&scenario, Pull::In);
    let operation = Operation::new(&scenario, setup, Options::default());
    let machine = &operation.machine;
    let set = scenario.job.passes.finish[0].si();
    let hand = machine.drag.hand();
    let both = |a: f64| {
        let (push_off, limit) = forces(&operation, &scenario, a);
        push_off + limit
    };
    // Depth on the other face just before it lets go: what was set, less what tool and work give
    // way, less the stretch of the drive that the touch-off in air had and an idle drive hasn't.
    let gives = machine.tool_gives + machine.bench.gives(0.5 * operation.length());
    let most = root(0.0, set, |a| {
        let (push_off, _) = forces(&operation, &scenario, a);
        a + gives * push_off + (both(a) - hand) / machine.drive.other - set
    });
    let holds = both(most);
    let mut seen = [0; 3];
    for i in 0..=24 {
        let into = 1.5 * holds * f64::from(i) / 24.0;
        if (into - holds).abs() < 0.01 * holds || (into - hand).abs() < 0.01 * hand {
            continue;
        }
        let (depth, seat) = half_way(&pressed(&scenario, &setup, -into), &setup);
        if into < hand {
            assert_eq!(seat, Some(Seat::First), "{into} N");
            assert!(depth > 0.85 * set, "{into} N: {depth}");
            seen[0] += 1;
        } else if into < holds {
            let closed = root(0.0, set, |a| both(a) - into);
            assert_eq!(seat, Some(Seat::Floating), "{into} N");
            assert!(
                (depth - closed).abs() < DEPTH_WITHIN,
                "{into} N: {depth} for {closed}"
            );
            seen[1] += 1;
        } else {
            assert_eq!(seat, Some(Seat::Other), "{into} N");
            assert!(depth > 0.85 * set, "{into} N: {depth}");
            seen[2] += 1;
        }
    }
    assert!(seen.iter().all(|&n| n >= 4), "{seen:?}");
}

#[test]
fn between_sliding_and_starting_force_a_preload_does_not_keep_the_slide_on_one_face() {
    let scenario = evened(scenario("tapered-socket.toml"));
    for (pull, sign) in [(Pull::In, 1.0), (Pull::Away, -1.0)] {
        let setup = plain_setup(&scenario, pull);
        let drag = Operation::new(&scenario, setup, Options::default())
            .machine
            .drag;
        let (hand, starts) = (drag.hand(), drag.hand() * drag.breakaway);
        for (force, changes) in [
            (1.1 * hand, true),
            (0.98 * starts, true),
            (1.02 * starts, false),
        ] {
            let pressed = pressed(&scenario, &setup, sign * force);
            let operation = Operation::new(&pressed, setup, Options::default());
            assert_eq!(
                operation.approach().lost.changes_face,
                changes,
                "{pull:?} {force}"
            );
            let (depth, _) = half_way(&pressed, &setup);
            let set = scenario.job.passes.finish[0].si();
            assert!(
                (0.85..1.0).contains(&(depth / set)),
                "{pull:?} {force}: {depth}"
            );
        }
    }
}

#[test]
fn air_out_of_the_cut_makes_drawn_away_as_good_as_pulled_in() {
    let scenario = scenario("air-out-of-the-cut.toml");
    for seed in SEEDS {
        let comparison = compare(&scenario, seeded(seed));
        let drawn = plain(&comparison, Pull::Away);
        let operation = Operation::new(&scenario, drawn.setup, seeded(seed));
        let (hold, drag) = (&operation.machine.hold, &operation.machine.drag);
        let starts = drag.breakaway * drag.hand();
        assert!(hold.out > starts, "{} starts at {starts}", hold.out);
        let [pulled, drawn] = [Pull::In, Pull::Away].map(|pull| {
            let way = plain(&comparison, pull);
            assert!(!way.forbidden);
            let o = &run(way).outcome;
            assert_eq!(o.seat, Seat::First);
            assert!(!unsteady(o));
            o
        });
        let size = drawn.size_error.abs() / pulled.size_error.abs();
        assert!((0.5..2.0).contains(&size), "seed {seed}: {size}");
        let waves = drawn.waves / pulled.waves;
        assert!(waves < 2.0, "seed {seed}: {waves}");
    }
}

#[test]
fn air_weaker_than_the_drag_is_worse_than_none() {
    let (none, weak) = (
        scenario("tapered-socket.toml"),
        scenario("air-too-weak.toml"),
    );
    // On a cut that is steady without it, too: a weight of half to nine tenths of the drag.
    let steady = scenario("snug-slide-socket.toml");
    for seed in SEEDS {
        let [none, weak] = [&none, &weak].map(|scenario| {
            let comparison = compare(scenario, seeded(seed));
            run(plain(&comparison, Pull::Away)).outcome.clone()
        });
        assert_eq!(weak.seat, Seat::Floating);
        assert!(left(&weak) > left(&none) + 0.2, "seed {seed}");

        let setup = plain_setup(&steady, Pull::Away);
        let before = finishing(&steady, &setup, seed);
        assert!(!unsteady(&before), "seed {seed}");
        let hand = Operation::new(&steady, setup, seeded(seed))
            .machine
            .drag
            .hand();
        for share in [0.5, 0.7] {
            let after = finishing(&pressed(&steady, &setup, share * hand), &setup, seed);
            assert!(unsteady(&after), "seed {seed}, {share}");
            assert!(left(&after) > left(&before) + 0.1, "seed {seed}, {share}");
        }
    }
}

#[test]
fn air_into_the_cut_is_never_advised() {
    let wrong = scenario("air-into-the-cut.toml");
    let comparison = compare(&wrong, Options::default());
    for way in &comparison.ways {
        let operation = Operation::new(&wrong, way.setup, Options::default());
        assert_eq!(
            way.forbidden,
            operation.machine.hold.out < 0.0,
            "{:?}",
            way.setup
        );
        // No mirror image, in which the same air would push the other way.
        for also in &way.also {
            let operation = Operation::new(&wrong, *also, Options::default());
            assert_eq!(way.forbidden, operation.machine.hold.out < 0.0, "{also:?}");
        }
    }
    assert!(plain(&comparison, Pull::In).forbidden);
    assert!(plain(&comparison, Pull::Away).forbidden);
    // Whatever its strength, and even where it reads steady.
    let bare = scenario("tapered-socket.toml");
    let setup = plain_setup(&bare, Pull::In);
    for force in [5.0, 50.0, 100.0, 200.0, 400.0] {
        let comparison = compare(&pressed(&bare, &setup, -force), Options::default());
        for pull in [Pull::In, Pull::Away] {
            assert!(plain(&comparison, pull).forbidden, "{force}");
        }
        if let Some(best) = comparison.best() {
            assert_eq!(best.setup.side, Side::Rear, "{force}");
        }
    }
}
