//! The record that the lesson's moving pictures are made of, rounded to what can be drawn.

use serde_json::{Value, json};
use tautway_sim::motion::Motion;
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

/// The drive in motion, lengths to a nanometre and forces to a hundredth of a newton, with at most so
/// many frames of the cut.
pub fn of_motion(scenario: &Scenario, setup: &Setup, mut motion: Motion, most: usize) -> Value {
    let air = motion
        .frames
        .iter()
        .filter(|frame| frame.push_off == 0.0 && frame.depth == 0.0)
        .count();
    let every = motion.frames.len().saturating_sub(air).div_ceil(most);
    let mut at = 0;
    motion.frames.retain(|frame| {
        let cutting = frame.depth > 0.0;
        at += usize::from(cutting);
        !cutting || at % every.max(1) == 0
    });
    for frame in &mut motion.frames {
        for length in [
            &mut frame.travel,
            &mut frame.bar,
            &mut frame.guide,
            &mut frame.wind_up,
            &mut frame.slide,
            &mut frame.edge,
            &mut frame.depth,
        ]
        .into_iter()
        .chain(&mut frame.open)
        {
            *length = rounded(*length, 1e9);
        }
        for force in [&mut frame.push_off, &mut frame.drag, &mut frame.drive] {
            *force = rounded(*force, 1e2);
        }
    }
    json!({
        "motion": motion,
        "kind": scenario.job.work.kind,
        "big_end": scenario.job.work.big_end,
        "side": setup.side,
        "diameter": scenario.job.work.end_diameters().0.si(),
        "units": scenario.job.units,
    })
}

fn rounded(value: f64, per: f64) -> f64 {
    // Adding zero takes the sign off a zero.
    (value * per).round() / per + 0.0
}
