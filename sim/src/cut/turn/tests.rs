//! A turn taken at once against its steps one after another.

use proptest::prelude::*;

use super::*;
use crate::balance::Levels;
use crate::cut::turn_log::Step;
use crate::cutting::EdgeShape;
use crate::machine::slide::Drag;

/// Turns of a cut with a field on the work that turns as it goes along.
#[derive(Clone, Debug)]
struct Case {
    slack: f64,
    spring: f64,
    drag: f64,
    preload: f64,
    gives: f64,
    depth: f64,
    run_out: f64,
    hardness: f64,
    drift: f64,
    nose: f64,
    per_turn: usize,
    /// Share in the work: below 1, as at an end.
    engaged: f64,
}

fn case() -> impl Strategy<Value = Case> {
    (
        (0.0..300e-6, 2e6..5e7, 1.0..400.0, -300.0..300.0, 0.0..4e-7),
        (-20e-6..0.5e-3, 0.0..30e-6, 0.0..0.3, -3e-7..3e-7),
        (0.0..1.2e-3, 1usize..30, prop_oneof![Just(1.0), 0.5..1.0]),
    )
        .prop_map(|((slack, spring, drag, preload, gives), work, rest)| Case {
            slack,
            spring,
            drag,
            preload,
            gives,
            depth: work.0,
            run_out: work.1,
            hardness: work.2,
            drift: work.3,
            nose: rest.0,
            per_turn: rest.1,
            engaged: rest.2,
        })
}

proptest! {
    /// A whole turn is its steps one after another: mostly far within 5 nm, and in one of some ten
    /// thousand cases, where the law bends (at the thin chip) inside the last step along the
    /// slopes, within 50.
    #[test]
    fn a_turn_at_once_is_its_steps_one_after_another(case in case()) {
        let shape = EdgeShape::new(case.nose, 1.6, 0.15e-3);
        let law = ForceLaw::new(1.7e9, 0.24, 0.5, 20e3, shape, 0.05);
        let drag = Drag {
            gib: case.drag,
            friction: 0.15,
            weight: 300.0,
            press: 1.2,
            side: 0.1,
            seal: 2.0,
            left_cutting: 0.6,
            breakaway: 1.3,
            change: 0.0,
        };
        let template = Cut {
            law: &law,
            drag: &drag,
            gives: case.gives,
            surface: 0.0,
            turn_ago: 0.0,
            hardness: 1.0,
            engaged: 1.0,
            local_drag: 1.1,
            preload: case.preload,
            rate: 1e3,
            height_share: 0.01,
            eased: true,
        };
        let link = Link { slack: case.slack, first: case.spring, other: 0.7 * case.spring };
        let n = case.per_turn;
        let mut turn = Turn::new(n, &law);
        let mut together = Body::new(link, Levels::ONE, -0.5 * case.slack);
        let mut alone = together;
        let (mut edges, mut stepped) = (vec![-case.depth; n], vec![-case.depth; n]);
        let (mut counted, mut counters) = (Counters::default(), Counters::default());
        for t in 0..12 {
            let angle = |k: usize| std::f64::consts::TAU * k as f64 / n as f64;
            let phase = 0.1 * f64::from(t);
            let surface = |k: usize| -case.depth + case.run_out * (angle(k) + phase).cos();
            let hardness = |k: usize| case.hardness * (3.0 * angle(k) - 2.0 * phase).sin();
            for k in 0..n {
                turn.surface_mut()[k] = surface(k);
                turn.hardness_mut()[k] = hardness(k);
            }
            if case.engaged == 1.0 {
                turn.engage();
            } else {
                turn.engaged_mut().fill(case.engaged);
            }
            together = turn.settle(together, 0.0, case.drift, &edges, &template, &mut counted);
            for k in 0..n {
                let ago = stepped[stepped.len() - n];
                let load = template.at_edge(surface(k), ago, 1.0 + hardness(k), case.engaged);
                alone.shift(case.drift);
                let rested = alone.advance(0.0, &load, &mut counters);
                stepped.push(rested.parameter);
                // Where friction grows faster than the load, several balances may be near.
                if rested.load.push_slope < 1.2 * rested.load.limit_slope.abs() {
                    return Ok(());
                }
                let ours = turn.rests();
                let ours = Step {
                    slide: ours.slide[k],
                    edge: ours.edge[k],
                    depth: ours.depth[k],
                    push_off: ours.push_off[k],
                    drag: ours.drag[k],
                    drive: ours.drive[k],
                    whole: false,
                };
                let close = |a: f64, b: f64, to: f64| (a - b).abs() <= to;
                prop_assert!(
                    close(ours.edge, rested.parameter, 5e-8)
                        && close(ours.slide, rested.load.position, 5e-8)
                        && close(ours.drive, rested.drive, 0.2)
                        && close(ours.drag, rested.load.limit, 0.2),
                    "turn {t} step {k}: {ours:?} alone {rested:?}"
                );
                edges.push(ours.edge);
            }
        }
        prop_assert_eq!(counted.steps, counters.steps);
        // Right at a bound rounding decides whether it moved or stayed.
        prop_assert!(counted.stuck.abs_diff(counters.stuck) <= 2 + counted.steps / 50);
    }
}
