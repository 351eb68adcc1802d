//! The record that the lesson's moving pictures are made of, rounded to what can be drawn.

use serde_json::{Value, json};
use tautway_sim::motion::{Frame, Motion};
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

/// Steps to a metre, and to a newton.
const NANO: f64 = 1e9;
const HUNDREDTH: f64 = 1e2;

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
    let frames = columns(&motion.frames);
    motion.frames.clear();
    json!({
        "motion": motion,
        "columns": frames,
        "kind": scenario.job.work.kind,
        "big_end": scenario.job.work.big_end,
        "side": setup.side,
        "diameter": scenario.job.work.end_diameters().0.si(),
        "units": scenario.job.units,
    })
}

/// A number of a frame, by its name.
type Named = (&'static str, fn(&Frame) -> f64);

/// The frames as columns, a third as long as row by row: numbers as whole steps of their unit from
/// one frame to the next, words with how often they follow each other.
fn columns(frames: &[Frame]) -> Value {
    let lengths: [Named; 7] = [
        ("travel", |frame| frame.travel),
        ("bar", |frame| frame.bar),
        ("guide", |frame| frame.guide),
        ("wind_up", |frame| frame.wind_up),
        ("slide", |frame| frame.slide),
        ("edge", |frame| frame.edge),
        ("depth", |frame| frame.depth),
    ];
    let forces: [Named; 3] = [
        ("push_off", |frame| frame.push_off),
        ("drag", |frame| frame.drag),
        ("drive", |frame| frame.drive),
    ];
    let gaps = frames.first().map_or(0, |frame| frame.open.len());
    let open: Vec<_> = (0..gaps)
        .map(|gap| steps(frames, NANO, |frame| frame.open[gap]))
        .collect();
    json!({
        "lengths": lengths.map(|(name, of)| (name, steps(frames, NANO, of))),
        "forces": forces.map(|(name, of)| (name, steps(frames, HUNDREDTH, of))),
        "open": open,
        "phase": runs(frames, |frame| json!(frame.phase)),
        "seat": runs(frames, |frame| json!(frame.seat)),
    })
}

fn steps(frames: &[Frame], per: f64, of: impl Fn(&Frame) -> f64) -> Vec<i64> {
    let mut last = 0;
    let step = |frame| {
        let now = (of(frame) * per).round() as i64;
        now - std::mem::replace(&mut last, now)
    };
    frames.iter().map(step).collect()
}

fn runs(frames: &[Frame], of: impl Fn(&Frame) -> Value) -> Vec<(Value, usize)> {
    let mut runs: Vec<(Value, usize)> = Vec::new();
    for word in frames.iter().map(of) {
        match runs.last_mut() {
            Some((last, times)) if *last == word => *times += 1,
            _ => runs.push((word, 1)),
        }
    }
    runs
}
