//! What a way of cutting a thread asks of the hand: seatings, passes, gaugings, time.

use schemars::JsonSchema;
use serde::Serialize;

use super::pick_up::{PickUp, pick_up};
use crate::arithmetic::min;
use crate::cut::Operation;
use crate::scenario::{Scenario, ThreadCut};
use crate::threading::Method;

/// Fastest that a thread is cut whatever speed the job names, turns a second (60 rpm) [guess].
const FASTEST: f64 = 1.0;
/// Tool out, carriage wound back, dial set, half-nut closed, s [guess].
const BACK: f64 = 18.0;
/// Spindle stopped and started again, the thread wiped and gauged, s [guess].
const GAUGING: f64 = 90.0;
/// Spindle stopped and started again, the slide pulled to its face, s [guess].
const SEATING: f64 = 60.0;
/// Tailstock set over by an indicator, afterward set back and proved straight, s [guess].
const SETTING_OVER: f64 = 1800.0;

/// What a way asks of the hand. The attachment stands as the taper was turned, so its setting
/// costs nothing more.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Labour {
    /// Passes, those after gauging among them.
    pub passes: usize,
    /// How often the slide is seated by hand.
    pub seatings: usize,
    /// How often the thread is gauged.
    pub gaugings: usize,
    /// All of it, s.
    pub time: f64,
    /// Neither seated by hand, nor felt down to its depth by more gaugings than passes were
    /// planned: the dial still tells where the tool is.
    pub plain: bool,
}

impl Labour {
    /// Of a way with its passes as planned and those after gauging.
    pub fn new(
        scenario: &Scenario,
        cut: &ThreadCut,
        method: Method,
        operation: &Operation<'_>,
        by_hand: bool,
        (planned, by_gauge): (usize, usize),
    ) -> Self {
        let guided = method == Method::Attachment;
        let passes = planned + by_gauge;
        let seatings = if guided && by_hand { passes } else { 0 };
        // Once when the planned passes are made, and after each that follows.
        let gaugings = 1 + by_gauge;
        let radius = operation.radius(operation.gauge_z());
        let speed = min(operation.turns_per_second(radius), FASTEST);
        let run_in = if guided {
            operation.approach().run_in()
        } else {
            0.0
        };
        let stroke = (operation.length() + run_in) / cut.lead.si() / speed;
        // With the half-nut closed the spindle winds the carriage back.
        let back = match pick_up(cut.lead, &scenario.lathe.lead_screw) {
            PickUp::NeverOpen => BACK + stroke,
            PickUp::Anywhere | PickUp::Lines { .. } => BACK,
        };
        let over = if guided { 0.0 } else { SETTING_OVER };
        Self {
            passes,
            seatings,
            gaugings,
            time: over
                + passes as f64 * (stroke + back)
                + gaugings as f64 * GAUGING
                + seatings as f64 * SEATING,
            plain: seatings == 0 && by_gauge <= planned,
        }
    }
}
