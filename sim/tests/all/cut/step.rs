//! The step that a change of seat leaves: its sign and its size, as gauges read them.

use crate::given::worked::{evened, plain_setup, scenario};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::measure::measure;
use tautway_sim::quantity::{Length, Quantity, Ratio};
use tautway_sim::record::{PassRecord, Seat, TurnSample};
use tautway_sim::scenario::{End, Known, Scenario};
use tautway_sim::setup::{Pull, Setup};

/// Slack, m: less than the cut is deep.
const SLACK: f64 = 0.06e-3;

/// One finishing cut on even work, drawn away, on a lathe of little slack.
fn even(file: &str, big_end: End) -> (Scenario, Setup) {
    let mut scenario = evened(scenario(file));
    scenario.job.work.big_end = big_end;
    scenario.lathe.attachment.total_slack = Some(Known::given(Length::from_si(SLACK)));
    scenario.lathe.slide.drag_left_cutting = Known::given(Ratio::from_si(1.0));
    scenario.job.passes.finish = vec![Length::from_si(0.3e-3)];
    let setup = plain_setup(&scenario, Pull::Away);
    (scenario, setup)
}

/// Mean of where the edge stood over 2 mm to that side of a place.
fn edge_beside(pass: &PassRecord, z: f64, above: bool) -> f64 {
    let near = pass.turns.iter().filter(|turn| {
        let off = turn.z - z;
        off.abs() < 2e-3 && (off > 0.0) == above
    });
    let edges: Vec<f64> = near.map(|turn| turn.edge).collect();
    assert!(edges.len() > 5, "{}", edges.len());
    edges.iter().sum::<f64>() / edges.len() as f64
}

#[test]
fn a_seat_changed_half_way_leaves_a_step_of_the_slack_deeper_where_the_far_face_held() {
    // Soft work is cut on the far face, a slack deeper; hard work pushes the slide back onto the
    // first. Counted toward the tailstock: where the hard half is there, it is less deep after.
    for file in ["tapered-socket.toml", "spring-held-cone.toml"] {
        for big_end in [End::Headstock, End::Tailstock] {
            for hard_toward in [End::Headstock, End::Tailstock] {
                let (mut scenario, setup) = even(file, big_end);
                scenario.job.preload = None;
                let operation = Operation::new(&scenario, setup, Options::default());
                let law = operation.law(scenario.job.passes.feed.si());
                let push = law.at(0.3e-3, 0.0, 1.0).push_off;
                let drag = operation.machine.drag.hand();
                let (soft, hard) = (0.3 * drag / push, 4.0 * drag / push);
                let length = operation.length();
                let factors: Vec<f64> = (0..=100)
                    .map(|i| match (i < 50, hard_toward) {
                        (true, End::Headstock) | (false, End::Tailstock) => hard,
                        _ => soft,
                    })
                    .collect();
                let operation = operation.times(length / 100.0, &factors);
                let finished = operation.run_finishing();
                let last = &finished.passes[finished.last_set];
                let (outcome, _) = measure(&scenario, &setup, &operation, &finished);
                let case = format!("{file} {big_end:?} {hard_toward:?}");
                let (step, at) = outcome.step.expect("a step");
                assert!((at - 0.5 * length).abs() < 0.03 * length, "{case}: {at}");
                let seat = |z: f64| {
                    let off = |turn: &&TurnSample| (turn.z - z).abs();
                    let near = last.turns.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
                    near.expect("turns").seat
                };
                let seats = match hard_toward {
                    End::Headstock => [Seat::First, Seat::Other],
                    End::Tailstock => [Seat::Other, Seat::First],
                };
                assert_eq!([seat(at - 3e-3), seat(at + 3e-3)], seats, "{case}");
                // Toward the tailstock deeper or less deep, by hand.
                let sign = match hard_toward {
                    End::Headstock => 1.0,
                    End::Tailstock => -1.0,
                };
                assert!(step * sign > 0.0, "{case}: {step}");
                // The nose of a deeper turn cuts into its neighbour, some 0.3 of these 2 mm.
                let edges = edge_beside(last, at, true) - edge_beside(last, at, false);
                assert!(
                    (step - edges).abs() < 0.15 * SLACK,
                    "{case}: {step} for {edges}"
                );
                assert!(
                    (0.7 * SLACK..1.6 * SLACK).contains(&step.abs()),
                    "{case}: {step}"
                );
            }
        }
    }
}
