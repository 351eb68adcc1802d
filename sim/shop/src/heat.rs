//! Work gauged warm: how much smaller it is once cold, on this job.
//!
//! Free of what holds it, work grows alike in every direction, a bore as the metal round it would
//! if it filled it: `growth = diameter * expansion * rise`. So shaft and bore both read big while
//! warm, and both end small: a shaft beyond its size, a bore short of it. The taper keeps its angle.
//! A gauge as warm as a steel piece hides it. Not in the march: nothing here says how warm it gets.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{FAHRENHEIT, Quantity, Units};
use crate::scenario::material::Material;
use crate::scenario::{Kind, Scenario};

/// Work about as warm as a bare hand holds for long, over the shop and its gauges, K: 50 F or
/// 25 degrees C (common practice, no source).
fn warm(units: Units) -> f64 {
    match units {
        Units::Inch => 50.0 * FAHRENHEIT,
        Units::Metric => 25.0,
    }
}

/// What a size comes to when it was gauged warm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Heat {
    /// Outside work or a bore.
    pub kind: Kind,
    /// Growth of the material, a share for a kelvin.
    pub expansion: f64,
    /// How much warmer than the gauge, K.
    pub rise: f64,
    /// How much bigger it then reads at the gauge plane, and how much smaller it ends, on
    /// diameter, m.
    pub growth: f64,
    /// The same as travel of a plug or ring along the axis, m.
    pub standoff: f64,
    /// How much warmer than the gauge it may be before half of the width of its tolerance is used
    /// up, K; none where the drawing gives no size tolerance.
    pub half_used: Option<f64>,
}

impl Heat {
    /// Of a job; none where its material is not among those known.
    pub fn of(scenario: &Scenario, units: Units) -> Option<Self> {
        let work = &scenario.job.work;
        let expansion = Material::named(&work.material)?.expansion();
        let per_kelvin = work.diameter.si() * expansion;
        let growth = per_kelvin * warm(units);
        Some(Self {
            kind: work.kind,
            expansion,
            rise: warm(units),
            growth,
            standoff: growth / work.taper.si(),
            half_used: work
                .size_tolerance
                .map(|band| 0.5 * (band.upper.si() - band.lower.si()) / per_kelvin),
        })
    }
}
