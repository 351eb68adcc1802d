//! The laws of the cut: when the slide floats, what it then takes, preloads, slack, step, surface.

use crate::given::even_work::{even, exactly, near, way};
use tautway_sim::cut::{Finished, Operation, Options};
use tautway_sim::machine::Machine;
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::{Outcome, Seat, TurnSample};
use tautway_sim::scenario::{Scenario, StartSurface};
use tautway_sim::setup::{Pull, Setup};

fn machine(scenario: &Scenario, setup: Setup) -> Machine {
    Operation::new(scenario, setup, Options::default()).machine
}

fn finished(scenario: &Scenario, setup: Setup, machine: &Machine) -> Finished {
    Operation::new(scenario, setup, Options::default())
        .on(machine.clone())
        .run_finishing()
}

/// The turn in the middle of the last pass.
fn middle(finished: &Finished) -> TurnSample {
    let turns = &finished.passes[finished.last_set].turns;
    turns[turns.len() / 2]
}

fn bisect(mut low: f64, mut high: f64, above: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        if above(mid) { high = mid } else { low = mid }
    }
    0.5 * (low + high)
}

/// What the sums on paper say of one cut without friction that depends on force.
#[derive(Debug)]
struct OnPaper {
    seat: Seat,
    depth: f64,
    push_off: f64,
    /// How near to another seat, as a share of the push-off.
    clear: f64,
}

/// The drive carries `before = P + pull F` in the run-in and `before + Fp` in the cut. Touched
/// off after the run-in, the depth is what is set less what drive, tool and work give way to
/// `Fp`, less the slack if the seat changes.
fn on_paper(scenario: &Scenario, setup: Setup, machine: &Machine, at: f64) -> OnPaper {
    let law = Operation::new(scenario, setup, Options::default()).law(0.1e-3);
    let push_off = |depth: f64| law.at(depth, 0.0, 1.0).push_off;
    let set = 0.25e-3;
    let before = machine.hold.out + setup.pull().sign() * machine.drag.hand();
    let gives = machine.tool_gives + machine.bench.gives(at);
    let solid = |most: f64, gives: f64| {
        bisect(0.0, most.max(0.0), |depth| {
            depth + gives * push_off(depth) > most
        })
    };
    let (k, other) = (machine.drive.first, machine.drive.other);
    let of = |seat, depth: f64, clear: f64| OnPaper {
        seat,
        depth,
        push_off: push_off(depth),
        clear,
    };
    if before > 0.0 {
        return of(Seat::First, solid(set, gives + 1.0 / k), 1.0);
    }
    // Just leaving the other face the push-off is `-before`.
    let leaves = set + before * (1.0 / other + gives);
    let comes = leaves - machine.drive.slack;
    let relative = |depth: f64| (push_off(depth.max(0.0)) / -before - 1.0).abs();
    let clear = relative(leaves).min(relative(comes));
    if push_off(leaves) < -before {
        of(Seat::Other, solid(set, gives + 1.0 / other), clear)
    } else if push_off(comes.max(0.0)) > -before {
        // On the first face the drive carries `Fp + before`.
        let most = comes - before * gives - before / k;
        of(Seat::First, solid(most, gives + 1.0 / k), clear)
    } else {
        let depth = bisect(0.0, set, |depth| push_off(depth) > -before);
        of(Seat::Floating, depth, clear)
    }
}

/// Runs the cut and holds it against the sums on paper; returns the seat.
fn against_paper(scenario: &Scenario, setup: Setup, machine: &Machine) -> Seat {
    let turn = middle(&finished(scenario, setup, machine));
    let paper = on_paper(scenario, setup, machine, turn.z);
    if paper.clear > 2e-3 {
        assert_eq!(turn.seat, paper.seat, "{turn:?} {paper:?}");
        // Tables of the work's compliance are joined by lines: 1e-4 of a small share.
        near(turn.depth, paper.depth, 1e-5);
        near(turn.push_off, paper.push_off, 1e-5);
    }
    turn.seat
}

#[test]
fn drawn_away_it_floats_between_two_drags_closed_form() {
    let scenario = even();
    let setup = way(&scenario, Pull::Away);
    let mut seats = Vec::new();
    let mut m = machine(&scenario, setup);
    let law = Operation::new(&scenario, setup, Options::default()).law(0.1e-3);
    // Slack less than the depth, so that both boundaries are there.
    m.set_slack(0.1e-3);
    let most = law.at(0.25e-3, 0.0, 1.0).push_off;
    for i in 1..=30 {
        m.drag.gib = most * 0.04 * f64::from(i);
        seats.push(against_paper(&scenario, setup, &m));
    }
    let count = |seat| seats.iter().filter(|&&s| s == seat).count();
    for seat in [Seat::First, Seat::Floating, Seat::Other] {
        assert!(count(seat) >= 3, "{seats:?}");
    }
    // First face, floating, other face, in that order and never back.
    let order = |seat: &Seat| {
        [Seat::First, Seat::Floating, Seat::Other]
            .iter()
            .position(|s| s == seat)
    };
    assert!(
        seats
            .windows(2)
            .all(|pair| order(&pair[0]) <= order(&pair[1]))
    );
}

#[test]
fn floating_slide_takes_what_its_drag_holds_closed_form() {
    let scenario = even();
    let setup = way(&scenario, Pull::Away);
    let mut m = machine(&scenario, setup);
    m.set_slack(2e-3);
    for drag in [10.0, 20.0, 35.0] {
        m.drag.gib = drag;
        let turn = middle(&finished(&scenario, setup, &m));
        assert_eq!(turn.seat, Seat::Floating);
        near(turn.push_off, drag, 1e-9);
        assert_eq!(turn.drive, 0.0);
    }
}

#[test]
fn pulled_in_it_takes_the_set_depth_less_deflection_closed_form() {
    let scenario = even();
    let setup = way(&scenario, Pull::In);
    let mut m = machine(&scenario, setup);
    for drag in [0.5, 20.0, 60.0, 300.0] {
        m.drag.gib = drag;
        assert_eq!(against_paper(&scenario, setup, &m), Seat::First);
        let turn = middle(&finished(&scenario, setup, &m));
        let gives = 1.0 / m.tip_spring(turn.z);
        near(turn.depth, 0.25e-3 - turn.push_off * gives, 1e-5);
        near(turn.drive, turn.push_off + drag, 1e-9);
    }
}

#[test]
fn preload_out_of_the_cut_above_the_drag_seats_on_the_first_face_closed_form() {
    let scenario = even();
    for pull in [Pull::In, Pull::Away] {
        let setup = way(&scenario, pull);
        let mut m = machine(&scenario, setup);
        for factor in [1.4, 2.0, 4.0] {
            m.hold.out = factor * m.drag.hand();
            m.drag.breakaway = 1.0;
            assert_eq!(against_paper(&scenario, setup, &m), Seat::First);
            // Where it sticks and slips in the run-in the depth depends on where it last stuck,
            // the seat doesn't.
            m.drag.breakaway = 1.3;
            let f = finished(&scenario, setup, &m);
            let turns = &f.passes[f.last_set].turns;
            assert!(turns.iter().all(|turn| turn.seat == Seat::First));
            assert!(f.passes[f.last_set].seat_changes.is_empty());
        }
    }
}

#[test]
fn preload_weaker_than_the_drag_can_be_worse_than_none_closed_form() {
    let scenario = even();
    let setup = way(&scenario, Pull::Away);
    let mut m = machine(&scenario, setup);
    let law = Operation::new(&scenario, setup, Options::default()).law(0.1e-3);
    m.drag.gib = 1.2 * law.at(0.25e-3, 0.0, 1.0).push_off;
    assert_eq!(against_paper(&scenario, setup, &m), Seat::Other);
    let without = finished(&scenario, setup, &m).passes[0].taken;
    m.hold.out = 0.7 * m.drag.gib;
    assert_eq!(against_paper(&scenario, setup, &m), Seat::Floating);
    let weak = finished(&scenario, setup, &m).passes[0].taken;
    assert!(weak < 0.8 * without, "{weak} {without}");
}

#[test]
fn preload_into_the_cut_gives_way_between_two_forces_closed_form() {
    let scenario = even();
    for (pull, drag) in [(Pull::In, 40.0), (Pull::Away, 15.0)] {
        let setup = way(&scenario, pull);
        let mut m = machine(&scenario, setup);
        m.drag.gib = drag;
        let law = Operation::new(&scenario, setup, Options::default()).law(0.1e-3);
        let most = law.at(0.25e-3, 0.0, 1.0).push_off;
        let mut gave_way = Vec::new();
        for i in 1..=20 {
            let force = (most + drag) * 0.06 * f64::from(i);
            m.hold.out = -force;
            let seat = against_paper(&scenario, setup, &m);
            let paper = on_paper(&scenario, setup, &m, 15e-3);
            if paper.clear > 2e-3 {
                // Pulled in: F < |P| < F + Fp. Drawn away: |P| < Fp - F.
                let run_in = -force + pull.sign() * drag;
                let cutting = run_in + paper.push_off;
                let sign_changes = run_in < 0.0 && (cutting > 0.0 || seat == Seat::Floating);
                gave_way.push(sign_changes);
                assert_eq!(sign_changes, run_in < 0.0 && seat != Seat::Other);
            }
        }
        assert!(gave_way.iter().any(|&g| g) && gave_way.iter().any(|&g| !g));
        assert_eq!(gave_way.last(), Some(&false), "strong enough holds");
        // Pulled in, weak enough holds too: the drag alone seats the first face.
        assert_eq!(gave_way[0], pull == Pull::Away);
    }
}

fn outcome(scenario: &Scenario, setup: Setup, options: Options, m: Option<&Machine>) -> Outcome {
    let mut operation = Operation::new(scenario, setup, options);
    if let Some(m) = m {
        operation = operation.on(m.clone());
    }
    let f = operation.run_finishing();
    measure(scenario, &setup, &operation, &f).0
}

/// Run-out, ovality, hard patches and a drag that changes.
fn uneven() -> Scenario {
    let mut scenario = even();
    scenario.job.work.run_out = exactly(0.02e-3);
    scenario.job.work.ovality = exactly(0.005e-3);
    scenario.job.cutting.unevenness = exactly(0.04);
    scenario.lathe.slide.drag_change = exactly(0.2);
    scenario
}

#[test]
fn waves_do_not_grow_with_slack_beyond_the_depth() {
    let mut scenario = uneven();
    // All slacks are beyond the depth, run-out and all.
    let depth = Length::from_si(0.2e-3);
    scenario.job.passes.finish = vec![depth];
    scenario.job.work.start = StartSurface::Roughed { stock: depth };
    let setup = way(&scenario, Pull::Away);
    let mut m = machine(&scenario, setup);
    m.drag.gib = 25.0;
    let runs = [0.25e-3, 1e-3, 2e-3].map(|slack| {
        m.set_slack(slack);
        outcome(&scenario, setup, Options::default(), Some(&m))
    });
    assert_eq!(runs[0].seat, Seat::Floating);
    assert!(runs[0].waves > 1e-6, "{}", runs[0].waves);
    for other in &runs[1..] {
        near(other.waves, runs[0].waves, 1e-6);
        near(other.taken, runs[0].taken, 1e-6);
        near(other.roundness, runs[0].roundness, 1e-6);
        assert_eq!(
            (other.seat, other.seat_margin),
            (runs[0].seat, runs[0].seat_margin)
        );
    }
}

#[test]
fn halving_the_step_changes_little() {
    for breakaway in [1.0, 1.4] {
        for (pull, drag) in [
            (Pull::In, 60.0),
            (Pull::Away, 36.0),
            (Pull::Away, 45.0),
            (Pull::Away, 90.0),
        ] {
            let mut scenario = uneven();
            // Hard patches hold no more waves round the work than a quarter of the steps a turn,
            // so that field changes with the step; run-out, ovality and drag don't.
            scenario.job.cutting.unevenness = exactly(0.0);
            scenario.lathe.slide.breakaway = exactly(breakaway);
            scenario.lathe.slide.drag = exactly(drag);
            let setup = way(&scenario, pull);
            let [a, b, c] = [24, 48, 96].map(|per_turn| {
                outcome(
                    &scenario,
                    setup,
                    Options {
                        per_turn,
                        ..Options::default()
                    },
                    None,
                )
            });
            assert_eq!((a.seat, b.seat), (c.seat, c.seat));
            for coarse in [&a, &b] {
                // Seated to a nanometre; floating to a few ten-thousandths of the set depth, and
                // waves, which friction cuts off step by step, to some per cent.
                let (size, waves) = if c.seat == Seat::Floating {
                    (3e-4 * c.set, 0.08)
                } else {
                    (1e-9, 1e-4)
                };
                assert!((coarse.taken - c.taken).abs() <= size);
                assert!((coarse.size_error - c.size_error).abs() <= size);
                near(coarse.waves, c.waves, waves);
                // The surface tells where a float's body begins, to a place along it.
                let round = if c.seat == Seat::Floating { 0.04 } else { 0.02 };
                near(coarse.roundness, c.roundness, round);
            }
            if c.seat == Seat::Floating {
                assert!((b.waves - c.waves).abs() < 0.6 * (a.waves - b.waves).abs());
                assert!((b.taken - c.taken).abs() < 0.8 * (a.taken - b.taken).abs());
            }
        }
    }
}

#[test]
fn kinematic_roughness_of_a_steady_cut_closed_form() {
    // f^2/8r: 0.2 mm and 0.8 mm give 6.25 um; the exact arc 6.274607 um.
    let mut scenario = even();
    scenario.job.passes.feed = Length::from_si(0.2e-3);
    let setup = way(&scenario, Pull::In);
    let operation = Operation::new(&scenario, setup, Options::default());
    let f = operation.run_finishing();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..=20_000 {
        let z = 15e-3 + 0.2e-3 * f64::from(i) / 20_000.0;
        let h = f.last_path.height(0, z);
        (low, high) = (low.min(h), high.max(h));
    }
    near(high - low, 6.274607e-6, 1e-6);
    let (outcome, _) = measure(&scenario, &setup, &operation, &f);
    // Rz reads twenty places a turn, so a crest is missed by up to f/40 along a flank of f/2r.
    let missed = (0.2e-3 / 40.0) * (0.1 / (0.8f64.powi(2) - 0.1f64.powi(2)).sqrt());
    assert!(
        outcome.rz <= 6.2747e-6 && outcome.rz >= 6.2746e-6 - missed,
        "{}",
        outcome.rz
    );
}

#[test]
fn mirrored_setups_give_identical_outcomes_bit_for_bit() {
    let mut scenario = uneven();
    scenario.lathe.attachment.screw_push_share = exactly(1.0);
    scenario.lathe.slide.friction = exactly(0.1);
    for setup in Setup::all(scenario.job.work.kind, scenario.job.work.big_end) {
        if !setup.cuts() || setup.side == tautway_sim::setup::Side::Rear {
            continue;
        }
        let run = |setup| {
            let operation = Operation::new(&scenario, setup, Options::default());
            let f = operation.run_finishing();
            let measured = measure(&scenario, &setup, &operation, &f);
            format!("{measured:?} {:?} {:?}", f.passes, f.surface)
        };
        assert_eq!(run(setup), run(setup.mirrored()), "{setup:?}");
    }
}

#[test]
fn repeated_runs_give_the_same_bytes() {
    let scenario = uneven();
    let setup = way(&scenario, Pull::Away);
    let run = || {
        let operation = Operation::new(
            &scenario,
            setup,
            Options {
                seed: 7,
                ..Options::default()
            },
        );
        let f = operation.run();
        let measured = measure(&scenario, &setup, &operation, &f);
        format!(
            "{measured:?} {:?} {:?} {:?}",
            f.passes, f.surface, f.last_path
        )
    };
    let first = run();
    assert!(first.len() > 10_000);
    assert_eq!(first, run());
}

#[test]
fn the_tool_leads_by_as_much_as_it_is_said_to_on_the_straight_edge_too() {
    // Nose 0.8 mm, entering angle 60 deg: the straight edge begins 0.4 mm up and runs on by
    // 1 / tan 60 deg. At 1.5 mm: 0.8 sin 60 + 1.1 / tan 60 mm.
    let shape = tautway_sim::cutting::EdgeShape::new(0.8e-3, 60f64.to_radians(), 0.2e-3);
    let by_hand = 0.8e-3 * 0.75f64.sqrt() + 1.1e-3 / 3f64.sqrt();
    let found: f64 = shape.lead(1.5e-3);
    assert!((found - by_hand).abs() < 1e-12, "{found} {by_hand}");
    for depth in [0.1e-3, 0.4e-3, 1.5e-3, 4e-3] {
        let found: f64 = shape.lead(depth);
        assert!((found - shape.engaged(depth).lead).abs() < 1e-12, "{depth}");
    }
}
