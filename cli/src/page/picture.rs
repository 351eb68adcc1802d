//! The records that the page's own drawings are made of, rounded to what can be drawn.

use serde_json::{Value, json};
use tautway_figures::{Drawing, SetupView, setup_plan};
use tautway_sim::compare::Way;
use tautway_sim::cut::{Options, aimed_taper};
use tautway_sim::motion::{Motion, motion};
use tautway_sim::quantity::Quantity;
use tautway_sim::scenario::{Scenario, Toward};
use tautway_sim::setup::Setup;

/// Frames of the cut that are sent at most; a longer cut is told by every second, third ... turn.
const MOST_TURNS: usize = 600;
/// Places of the surface that are sent at most.
const MOST_PLACES: usize = 600;

/// The drive in motion, lengths to a nanometre and forces to a hundredth of a newton; none for a
/// way that isn't cut.
pub fn drive(scenario: &Scenario, way: &Way, options: Options) -> Option<Value> {
    let motion = motion(scenario, way.run.as_ref()?, options)?;
    Some(of_motion(scenario, &way.setup, motion, MOST_TURNS))
}

/// The same of a motion that is there already, with at most so many frames of the cut.
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

/// What the way leaves along the work: the mean height relative to the finished cone.
pub fn surface(way: &Way) -> Option<Value> {
    let run = way.run.as_ref()?;
    let every = run.profile.z.len().div_ceil(MOST_PLACES).max(1);
    let thin = |values: &[f64], per: f64| -> Vec<f64> {
        let values = values.iter().step_by(every);
        values.map(|value| rounded(*value, per)).collect()
    };
    Some(json!({
        "z": thin(&run.profile.z, 1e6),
        "mean": thin(&run.profile.mean, 1e9),
    }))
}

/// The setup from above.
pub fn plan(scenario: &Scenario, way: &Way) -> Drawing {
    setup_plan(&way.setup, &view(scenario, way))
}

/// What the drawing from above needs beside the directions.
fn view(scenario: &Scenario, way: &Way) -> SetupView {
    let work = &scenario.job.work;
    SetupView {
        slope: aimed_taper(scenario) / 2.0,
        length: work.length.si(),
        big_diameter: work.end_diameters().0.si(),
        run_in: way.start.wanted,
        preload: preload_toward(scenario),
        units: scenario.job.units,
    }
}

/// Which way a preload acts, as the plan wants it.
fn preload_toward(scenario: &Scenario) -> Option<Toward> {
    scenario.job.preload.map(|preload| preload.toward)
}
