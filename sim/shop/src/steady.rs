//! The depth that a pass comes to where nothing is uneven, in closed form but for one root.
//!
//! From where the edge was touched off after the run-in the dial sets a depth, each as well as a person
//! does it; in the cut the slide moves with its guide, so the drive carries
//! `push-off + preload + pull * drag`, and edge, tool and work stand where that is so, at the place where
//! it is told what a pass took. Pulled in that is the first face; drawn away it is whichever face, or
//! neither, the forces leave it. One root holds all three. What is left out is what varies: run-out,
//! hard spots, drag along the stroke, and how the cut begins.

use std::sync::Arc;

use crate::arithmetic::{max, powi};
use crate::cut::{Operation, Options, Realization, Station};
use crate::cutting::ForceLaw;
use crate::quantity::{Length, Quantity};
use crate::scenario::{Job, Known, Scenario};
use crate::setup::Setup;
use crate::weighing::END;

/// Halvings of the depth: within a thousandth of a micrometre of any up to 10 mm.
const HALVINGS: usize = 24;
/// A depth may come to more than was set by what gives way, m.
const MORE: f64 = 1e-4;

/// One way of cutting, its middles without unevenness.
pub struct Steady<'a> {
    operation: Operation<'a>,
    law: ForceLaw,
    pull: f64,
    /// What is met where it is told what a pass took.
    station: Station<f64>,
    /// Drag here over its mean along the stroke.
    local_drag: f64,
    /// Force of the material here over its table's.
    hardness: f64,
    /// How far the dial is off what was to be set, m.
    dial: f64,
    /// Standard deviation of the depth that is dialled, m: by hand, and by stick-slip.
    dialled: f64,
    /// Mean height of the feed marks that stand, m.
    marks: f64,
}

impl<'a> Steady<'a> {
    /// Of a scenario cut one way at its finishing feed.
    pub fn new(scenario: &'a Scenario, setup: &Setup) -> Self {
        let options = Options::default();
        Self::with(
            scenario,
            setup,
            &Arc::new(Realization::new(scenario, options)),
        )
    }

    /// The same; of the realization nothing is asked.
    pub(crate) fn with(scenario: &'a Scenario, setup: &Setup, any: &Arc<Realization>) -> Self {
        let options = Options::default();
        let operation = Operation::with_realization(scenario, *setup, options, Arc::clone(any));
        Self {
            law: operation.law(scenario.job.passes.feed.si()),
            pull: setup.pull().sign(),
            station: operation.station(operation.taken_z()),
            local_drag: 1.0,
            hardness: 1.0,
            dial: scenario.job.by_hand.dial.si(),
            dialled: dialled(&scenario.job, operation.approach().stick_slip().width()),
            marks: marks(&scenario.job),
            operation,
        }
    }

    /// The same where the drag is this share of its mean along the stroke, and the material this
    /// much harder or softer.
    pub(crate) fn at_a_place(self, local_drag: f64, hardness: f64) -> Self {
        Self {
            local_drag,
            hardness,
            ..self
        }
    }

    /// Push-off and drag while cutting at this depth, N.
    pub fn forces(&self, depth: f64) -> (f64, f64) {
        let force = self.law.at(depth, 0.0, self.hardness);
        let drag = &self.operation.machine.drag;
        let limit = drag.cutting(force.main, force.feed, self.local_drag).limit;
        (
            force.push_off + self.station.height_share * force.main,
            limit,
        )
    }

    /// Push-off over drag while cutting at this depth: above 1 a cut drawn away doesn't hold its
    /// face by drag alone.
    pub fn push_over_drag(&self, depth: f64) -> f64 {
        let (push, drag) = self.forces(depth);
        push / drag
    }

    /// What a pass takes of an even stock with this much set, m per side.
    pub fn taken(&self, set: f64) -> f64 {
        let (operation, station) = (&self.operation, &self.station);
        let machine = &operation.machine;
        // The push-off holds a bar's tip at one end of its swing.
        let pushes = self.law.at(set, 0.0, 1.0).push_off.signum();
        let swing = machine.swing * operation.swing_left() * pushes;
        let guide = operation.touched_off() + self.dial + set + machine.rock - swing;
        let guide = guide + station.guide_error;
        // Too deep where the drive pushes in less than it takes; a spring is given at the cone.
        let too_deep = |depth: f64| {
            let (push, drag) = self.forces(depth);
            let slide = depth + station.gives * push;
            let carried = station.drive.force(guide - slide);
            let hold = station.preload + machine.hold.rate * (depth - set);
            carried < push + hold + self.pull * drag
        };
        let (mut least, mut most) = (0.0, 1.5 * set + MORE);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if too_deep(middle) {
                most = middle;
            } else {
                least = middle;
            }
        }
        max(
            0.5 * (least + most) + station.height_error - self.marks,
            0.0,
        )
    }

    /// Standard deviation that touch-off, dial and stick-slip give what a pass takes, m. Little where
    /// the slide floats: there it takes what the drag holds, however deep it is set.
    pub fn scatter(&self, set: f64) -> f64 {
        let ends = [set - self.dialled, set + self.dialled];
        let [less, more] = ends.map(|set| self.taken(max(set, 0.0)));
        0.5 * (more - less).abs()
    }
}

/// Standard deviation of the depth that the last pass is dialled to, m, where stick-slip leaves the
/// slide anywhere within so much: its touch-off counts if no pass was made since, else the dial of the
/// pass before.
fn dialled(job: &Job, stick_slip: f64) -> f64 {
    let normal = |known: &Known<Length>| 0.5 * (known.high.si() - known.low.si()) / END;
    let (touch_off, dial) = (normal(&job.by_hand.touch_off), normal(&job.by_hand.dial));
    if job.passes.finish.len() > 1 {
        return 2f64.sqrt() * dial;
    }
    // All places within it are alike.
    (powi(touch_off, 2) + powi(dial, 2) + powi(0.5 * stick_slip, 2) / 3.0).sqrt()
}

/// Mean height of the marks that a nose leaves at its feed, m: `f^2 / (24 r)`, of a parabola for the
/// arc.
fn marks(job: &Job) -> f64 {
    let (feed, nose) = (job.passes.feed.si(), job.tool.nose_radius.si());
    feed * feed / (24.0 * max(nose, feed))
}
