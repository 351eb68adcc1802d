//! Where a preload puts the slide: the closed form against the engine, over forces both ways and
//! both directions of feed.

use crate::given::worked::{THOU, evened, plain_setup, pressed, scenario};
use tautway_sim::advice::seat::{SlideForces, Stand};
use tautway_sim::cut::{Operation, Options};
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::Seat;
use tautway_sim::scenario::Known;
use tautway_sim::setup::Pull;

/// How close depths come to the closed form, m: the work's last turns still settle.
const DEPTH_WITHIN: f64 = 0.06 * THOU;
/// Forces on either side of nothing.
const FORCES: i32 = 20;

/// Depth and seat half way along the last pass; no seat where nothing is cut.
fn half_way(operation: &Operation<'_>) -> (f64, Option<Seat>) {
    let finished = operation.run_finishing();
    let turns = &finished.passes[finished.last_set].turns;
    let turn = &turns[turns.len() / 2];
    (turn.depth, turn.cutting.then_some(turn.seat))
}

/// Forces where the closed form changes its mind lie within a hundredth of this one.
fn near_a_change(bare: &SlideForces<'_>, set: f64, out: f64) -> bool {
    let kind = |out| std::mem::discriminant(&bare.stands(set, out));
    let step = 0.01 * out.abs().max(1.0);
    kind(out - step) != kind(out) || kind(out + step) != kind(out)
}

#[test]
fn the_slide_stands_where_the_closed_form_says_under_any_force_in_either_direction() {
    let mut seen = std::collections::BTreeMap::new();
    for (file, slack) in [
        ("tapered-socket.toml", None),
        // Slack of less than the depth: it can be pushed back onto the first face.
        ("tapered-socket.toml", Some(4.0 * THOU)),
        ("plug-cock.toml", None),
    ] {
        let mut scenario = evened(scenario(file));
        if let Some(slack) = slack {
            let slack = Known::given(Length::from_si(slack));
            scenario.lathe.attachment.total_slack = Some(slack);
        }
        // One pass: a second one finds what the first left, deep or shallow.
        scenario.job.passes.finish.truncate(1);
        let passes = &scenario.job.passes;
        let set = passes.finish[0].si();
        for pull in [Pull::In, Pull::Away] {
            let setup = plain_setup(&scenario, pull);
            let bare = Operation::new(&scenario, setup, Options::default());
            let slide = SlideForces::new(&bare, passes.feed.si());
            let most = 2.4 * slide.starts();
            for i in -FORCES..=FORCES {
                let out = most * f64::from(i) / f64::from(FORCES);
                // In air the slide then jumps from face to face, and less slack than depth shows
                // where it was touched off.
                let jumps =
                    (bare.machine.drag.hand()..slide.starts()).contains(&(-pull.sign() * out));
                if near_a_change(&slide, set, out) || (jumps && bare.machine.drive.slack < set) {
                    continue;
                }
                let pressed = pressed(&scenario, &setup, out);
                let operation = Operation::new(&pressed, setup, Options::default());
                let (depth, seat) = half_way(&operation);
                let place = format!("{file} {slack:?} {pull:?} {out} N");
                let (closed, name) = match slide.stands(set, out) {
                    Stand::First(depth) => (Some((depth, Seat::First)), "first"),
                    Stand::Other(depth) => (Some((depth, Seat::Other)), "other"),
                    Stand::Floating(depth) => (Some((depth, Seat::Floating)), "floating"),
                    Stand::Out => (None, "out"),
                };
                assert_eq!(seat, closed.map(|(_, seat)| seat), "{place}: {depth}");
                if let Some((closed, seat)) = closed {
                    // The run-in may stop anywhere between sliding and starting force.
                    let wind_up = slide.starts() - bare.machine.drag.hand();
                    let within = DEPTH_WITHIN
                        + match seat {
                            Seat::First => wind_up / bare.machine.drive.first,
                            Seat::Other => wind_up / bare.machine.drive.other,
                            Seat::Floating => 0.0,
                        };
                    assert!(
                        (depth - closed).abs() < within,
                        "{place}, {name}: {depth} for {closed}"
                    );
                }
                *seen.entry((pull.sign() as i32, name)).or_insert(0) += 1;
            }
        }
    }
    for place in [
        (1, "first"),
        (1, "other"),
        (1, "floating"),
        (-1, "first"),
        (-1, "other"),
        (-1, "floating"),
        (-1, "out"),
    ] {
        assert!(seen.get(&place).is_some_and(|n| *n >= 4), "{seen:?}");
    }
}
