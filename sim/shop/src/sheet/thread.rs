//! The passes of a thread on its sheet: infeed, dial and half-nut, of the plan that `thread` runs.

use schemars::JsonSchema;
use serde::Serialize;

use crate::caution::Caution;
use crate::compare::Way;
use crate::cut::Options;
use crate::quantity::Quantity;
use crate::scenario::Scenario;
use crate::thread::pick_up::{PickUp, pick_up};
use crate::thread::{Method, cut_of, way as thread_way};
use crate::threading::ThreadPass;

/// One pass of a thread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadLine {
    /// 1, 2, 3 ...
    pub number: usize,
    /// Infeed for this pass, per side or along the flank, m; 0 where the dial is left alone.
    pub set: f64,
    /// On the dial from the touch-off, in the same sense, m.
    pub dial: f64,
    /// Made after gauging, only as far as the gauge still asks.
    pub by_gauge: bool,
}

/// Every pass of the thread of a way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadLines {
    /// Lead, m.
    pub lead: f64,
    /// Depth of the groove, m.
    pub depth: f64,
    /// Where the half-nut may be closed.
    pub pick_up: PickUp,
    /// Angle of the infeed off square to the axis, rad: along the flank, on the top slide.
    pub infeed: f64,
    /// Passes; empty where this way can't cut the thread.
    pub passes: Vec<ThreadLine>,
    /// What a turn of ring or plug, a lead along the axis, is per side, m: `lead T / 2`.
    pub a_turn: f64,
}

/// A thread's lines with what can hurt when it is cut.
pub(super) struct Found {
    pub lines: ThreadLines,
    pub cautions: Vec<Caution>,
}

impl ThreadLines {
    /// Of a job whose thread's form is told.
    pub(super) fn of(scenario: &Scenario, way: &Way, options: Options) -> Option<Found> {
        let cut = cut_of(scenario)?;
        let thread = thread_way(scenario, cut, way.setup, Method::Attachment, options);
        let infeed = cut.infeed.angle();
        let away = way.pull == crate::setup::Pull::Away;
        let mut passes = Vec::new();
        if let Some(run) = &thread.run {
            let mut add = |pass: &ThreadPass, by_gauge: bool| {
                // Drawn away, a pass that leaves the dial alone may dig in.
                if away && pass.spring {
                    return;
                }
                let along = crate::arithmetic::cos(infeed);
                passes.push(ThreadLine {
                    number: passes.len() + 1,
                    set: if pass.spring { 0.0 } else { pass.set / along },
                    dial: pass.dial / along,
                    by_gauge,
                });
            };
            run.passes.iter().for_each(|pass| add(pass, false));
            run.by_gauge.iter().for_each(|pass| add(pass, true));
        }
        Some(Found {
            lines: Self {
                lead: cut.lead.si(),
                depth: thread.profile.depth,
                pick_up: pick_up(cut.lead, &scenario.lathe.lead_screw),
                infeed,
                passes,
                a_turn: 0.5 * cut.lead.si() * scenario.job.work.taper.si(),
            },
            cautions: thread.cautions,
        })
    }
}
