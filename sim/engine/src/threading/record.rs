//! What a pass along a thread leaves, as plain values.
//!
//! Lengths in m, forces in N, areas in m2. Depths count along n from the cone over the crests.

use schemars::JsonSchema;
use serde::Serialize;

use crate::record::{Counters, Seat, SeatChange};

/// One turn of a pass, as the mean over it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadTurn {
    /// Place along the axis, from the headstock-side end.
    pub z: f64,
    /// Depth of the groove that then stands.
    pub reached: f64,
    /// Most less least of that depth round the turn.
    pub out_of_round: f64,
    /// What this pass took.
    pub taken: f64,
    /// Main force.
    pub main: f64,
    /// Along the axis, against the feed.
    pub axial: f64,
    /// Push-off.
    pub push_off: f64,
    /// Drag while cutting.
    pub drag: f64,
    /// Force in the drive, positive on the first face.
    pub drive: f64,
    /// Seat that held most of it.
    pub seat: Seat,
    /// The whole tool was in the work all along.
    pub whole: bool,
}

/// One pass.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadPass {
    /// 1, 2, 3 ...
    pub number: usize,
    /// The dial was left alone.
    pub spring: bool,
    /// What was set for it.
    pub set: f64,
    /// Depth on the dial.
    pub dial: f64,
    /// Area of chip it was to take.
    pub area_set: f64,
    /// Area it took.
    pub area: f64,
    /// Depth really reached.
    pub reached: f64,
    /// What the dial says more than that.
    pub short: f64,
    /// Main force, most.
    pub main: f64,
    /// Along the axis, against the feed, mean.
    pub axial: f64,
    /// Push-off, least and most of the turns.
    pub push_off: (f64, f64),
    /// Drag, least and most.
    pub drag: (f64, f64),
    /// Force in the drive, least and most.
    pub drive: (f64, f64),
    /// Seat that held most of it.
    pub seat: Seat,
    /// Changes of seat within it.
    pub seat_changes: Vec<SeatChange>,
    /// Where it sits otherwise than the pass before: what that adds to the depth.
    pub step: Option<f64>,
    /// Solver's counters.
    pub counters: Counters,
    /// Its turns, in the order cut.
    pub turns: Vec<ThreadTurn>,
}
