//! What was measured, against the drawing and against what one would see.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::arithmetic::max;
use crate::quantity::Quantity;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::setup::Setup;

/// Size or waves below this are not worth turning a tool upside down for, m (0.0003 in).
pub const NOT_SEEN: f64 = 7.62e-6;

/// What the drawing says of an outcome; `None` where it asks nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema, Deserialize)]
pub struct Verdict {
    /// Taper within its signed tolerance.
    pub taper: bool,
    /// Size at the gauge plane within its tolerance.
    pub size: Option<bool>,
    /// Waves within what is allowed.
    pub waves: Option<bool>,
}

impl Verdict {
    /// Whether all that the drawing asks for is met.
    pub fn met(&self) -> bool {
        self.taper && self.size != Some(false) && self.waves != Some(false)
    }
}

/// What was measured against the drawing.
pub fn judge(scenario: &Scenario, setup: &Setup, found: &Measures) -> Verdict {
    let work = &scenario.job.work;
    // What a sample really is, where the taper was read off one.
    let doubt = work.taper_doubt.map_or(0.0, |doubt| doubt.si());
    let taper = found.taper - (work.taper.si() + doubt);
    // Into the work is a bigger bore, a smaller plug; the size counts on diameter.
    let size = 2.0 * setup.inward() * found.size_error;
    Verdict {
        taper: taper >= work.tolerance.lower.si() && taper <= work.tolerance.upper.si(),
        size: work
            .size_tolerance
            .as_ref()
            .map(|band| size >= band.lower.si() && size <= band.upper.si()),
        waves: work
            .waves_allowed
            .map(|allowed| found.waves <= allowed.si()),
    }
}

/// What a way leaves wrong, m: the worst of size, waves and step.
pub fn trouble(o: &Measures) -> f64 {
    let step = o.step.map_or(0.0, |(height, _)| height.abs());
    max(max(o.size_error.abs(), o.waves), step)
}
