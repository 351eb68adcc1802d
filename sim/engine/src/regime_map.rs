//! What drag and slack do to a finishing cut that is drawn away: the job's own cut on machines
//! with other drag and other slack.
//!
//! Boundaries (drawn away, no preload): at `F = Fp(a0)` the slide stops being held by its drag;
//! at `F = Fp(a0 - g)` the push-off has brought it back onto the first face. Between the two it
//! floats.

use crate::arithmetic::{clamp, max, min};
use crate::cut::{Operation, Options};
use crate::cutting::ForceLaw;
use crate::machine::Machine;
use crate::measure::measure;
use crate::quantity::{Length, Quantity};
use crate::record::RegimeMap;
use crate::scenario::{Passes, Scenario, StartSurface};
use crate::setup::{Pull, Setup};

/// Columns and rows of the map.
const SIZE: (usize, usize) = (25, 16);
/// Range of drag over push-off, and of slack over depth, at the least; and at the most, where the job
/// lies beyond: from a slack as deep as the cut on nothing changes any more.
const REACH: [(f64, f64); 2] = [(2.0, 6.0), (1.5, 3.0)];
/// How far the map goes on beyond the job.
const BEYOND: f64 = 1.15;
/// Work longer than this says nothing new, m.
const LONGEST: f64 = 25e-3;

/// Where the job itself stands on the map: drag over push-off, slack over depth. `None` as for
/// [`regime_map`].
pub fn job_on_map(scenario: &Scenario, setup: &Setup, options: Options) -> Option<(f64, f64)> {
    if setup.pull() != Pull::Away {
        return None;
    }
    let depth = scenario.job.passes.finish.last()?.si();
    let sample = sample_of(scenario, depth);
    let operation = Operation::new(&sample, *setup, options);
    Some(Job::of(&operation, &sample, depth).on_map(depth))
}

/// The job's own cut with the slide held where it was set.
struct Job {
    drag: f64,
    push_off: f64,
    slack: f64,
}

impl Job {
    fn of(operation: &Operation<'_>, sample: &Scenario, depth: f64) -> Self {
        let law = operation.law(sample.job.passes.feed.si());
        let main = law.at(depth, 0.0, 1.0);
        let taken = taken_at(operation, &law, depth);
        Self {
            drag: operation
                .machine
                .drag
                .cutting(main.main, main.feed, 1.0)
                .limit,
            push_off: law.at(taken, 0.0, 1.0).push_off,
            slack: operation.machine.drive.slack,
        }
    }

    fn on_map(&self, depth: f64) -> (f64, f64) {
        (self.drag / self.push_off, self.slack / depth)
    }
}

/// The depth really taken with the slide held where it was set, m: the tool gives way.
fn taken_at(operation: &Operation<'_>, law: &ForceLaw, set: f64) -> f64 {
    let gives = operation.machine.tool_gives + operation.machine.bench.gives(operation.gauge_z());
    let mut a = set;
    for _ in 0..60 {
        a = set - gives * law.at(a, 0.0, 1.0).push_off;
    }
    max(a, 0.0)
}

/// The map for one drawn-away way; `None` for a way that isn't drawn away or takes no finishing
/// cut.
pub fn regime_map(scenario: &Scenario, setup: &Setup, options: Options) -> Option<RegimeMap> {
    if setup.pull() != Pull::Away {
        return None;
    }
    let depth = scenario.job.passes.finish.last()?.si();
    let sample = sample_of(scenario, depth);
    let operation = Operation::new(&sample, *setup, options);
    let law = operation.law(sample.job.passes.feed.si());
    let push_off = |a: f64| law.at(a, 0.0, 1.0).push_off;
    let own = &operation.machine;
    let job = Job::of(&operation, &sample, depth);
    let full = job.push_off;
    let (columns, rows) = SIZE;
    let on_map = job.on_map(depth);
    let reach = |(least, most), at: f64| max(least, min(most, BEYOND * at));
    let reach = (reach(REACH[0], on_map.0), reach(REACH[1], on_map.1));
    let mut map = RegimeMap {
        drag_over_push_off: (0..columns)
            .map(|i| reach.0 * (i as f64 + 0.5) / columns as f64)
            .collect(),
        slack_over_depth: (0..rows)
            .map(|i| reach.1 * (i as f64 + 0.5) / rows as f64)
            .collect(),
        size_loss: Vec::new(),
        waves: Vec::new(),
        seats_again: Vec::new(),
        job: on_map,
    };
    for &slack in &map.slack_over_depth {
        let back = max(depth - slack * depth, 0.0);
        map.seats_again
            .push(push_off(taken_at(&operation, &law, back)) / full);
        let (mut losses, mut waves) = (Vec::new(), Vec::new());
        for &drag in &map.drag_over_push_off {
            let machine = with(own, drag * full, slack * depth);
            let operation = operation.clone().on(machine);
            let finished = operation.run_finishing();
            let outcome = measure(&sample, setup, &operation, &finished).0;
            losses.push(clamp(1.0 - outcome.taken / depth, 0.0, 1.0));
            waves.push(outcome.waves / depth);
        }
        map.size_loss.push(losses);
        map.waves.push(waves);
    }
    Some(map)
}

/// The machine with a constant drag while cutting and this slack.
fn with(own: &Machine, drag: f64, slack: f64) -> Machine {
    let mut machine = own.clone();
    machine.drag.gib = drag / max(own.drag.left_cutting, 1e-3);
    machine.drag.friction = 0.0;
    machine.drag.side = 0.0;
    machine.drag.seal = 0.0;
    machine.set_slack(slack);
    machine
}

/// A short piece of the job with one finishing cut from an even stock.
fn sample_of(scenario: &Scenario, depth: f64) -> Scenario {
    let mut sample = scenario.clone();
    let work = &mut sample.job.work;
    let length = min(work.length.si(), LONGEST);
    work.length = Length::from_si(length);
    work.gauge_plane = Length::from_si(0.5 * length);
    work.start = StartSurface::Roughed {
        stock: Length::from_si(depth),
    };
    let passes = &sample.job.passes;
    sample.job.passes = Passes {
        finish: vec![Length::from_si(depth)],
        spring: 0,
        ..passes.clone()
    };
    sample.job.preload = None;
    sample
}
