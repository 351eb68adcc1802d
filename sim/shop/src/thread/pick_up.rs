//! Where the half-nut may be closed so that the tool finds the same groove again.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::max;
use crate::scenario::{Lead, LeadScrew};

/// How near a whole number a count of threads must come.
const WHOLE: f64 = 1e-6;

/// The rule for a thread on one lathe.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "rule", rename_all = "snake_case")]
pub enum PickUp {
    /// Anywhere at all: the thread's lead goes whole into the lead screw's.
    Anywhere,
    /// At every `step`th line of the dial; 1: at any line.
    Lines {
        /// From line to line.
        step: u32,
        /// Lines there are.
        of: u32,
    },
    /// The dial never comes round right: the half-nut stays closed, the spindle is reversed.
    NeverOpen,
}

/// Threads of a lead in a length.
fn threads(lead: Lead, length: f64) -> f64 {
    length / lead.si()
}

fn is_whole(count: f64) -> bool {
    (count - count.round()).abs() <= WHOLE * max(count.abs(), 1.0) && count.round() >= 1.0
}

/// The rule: `k` lines of the dial are `k / lines` of its turn of carriage travel, and that must
/// be a whole number of threads. The least such `k` that goes into the lines decides.
pub fn pick_up(thread: Lead, screw: &LeadScrew) -> PickUp {
    if is_whole(threads(thread, screw.lead.si())) {
        return PickUp::Anywhere;
    }
    let turn = crate::quantity::Quantity::si(screw.dial_turn);
    let lines = screw.dial_lines;
    (1..=lines)
        .filter(|step| lines.is_multiple_of(*step))
        .find(|step| is_whole(threads(thread, turn * f64::from(*step) / f64::from(lines))))
        .map_or(PickUp::NeverOpen, |step| PickUp::Lines { step, of: lines })
}
