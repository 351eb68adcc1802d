//! Standoff of a ring or plug gauge: what it leaves to take off at the dial.
//!
//! A gauge stands off along the axis by `s`; on a cone of taper `T` that is `T s` on diameter and
//! `T s / 2` per side. More standoff than wanted always means metal still to come off: the work
//! too big for a ring, the bore too small for a plug. Source: similar triangles; the shop's rule
//! of thumb "0.001 in on diameter is 0.006 in of standoff at 2 in/ft" is the same law.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Found, Gauged, Refusal, carried, positive};
use crate::quantity::{Quantity, Taper};
use crate::scenario::Kind;

/// A gauge tried on the work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Standoff {
    /// Outside work with a ring, or a bore with a plug.
    pub kind: Kind,
    /// Taper of the work, on diameter.
    pub taper: Gauged,
    /// Standoff as it reads, m.
    pub read: Gauged,
    /// Standoff at size, m; zero when the gauge should close up.
    pub wanted: f64,
}

/// What the standoff says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StandoffSum {
    /// Still to come off, on diameter, m; negative when too much is off.
    pub on_diameter: Found,
    /// Still to come off, per side, m.
    pub per_side: Found,
    /// Work against nominal at the gauge plane, on diameter, m: plus is bigger.
    pub size_error: Found,
}

impl Standoff {
    /// The sum.
    ///
    /// # Errors
    /// When the taper is none.
    pub fn sum(&self) -> Result<StandoffSum, Refusal> {
        positive("taper", self.taper)?;
        let inputs = [("taper", self.taper), ("standoff", self.read)];
        let off =
            |scale: f64| carried(inputs, |[taper, read]| scale * taper * (read - self.wanted));
        // Metal left on makes outside work big and a bore small.
        let bigger = match self.kind {
            Kind::Outside => 1.0,
            Kind::Inside => -1.0,
        };
        Ok(StandoffSum {
            on_diameter: off(1.0)?,
            per_side: off(0.5)?,
            size_error: off(bigger)?,
        })
    }
}

/// One line of the table beside the lathe.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StandoffRow {
    /// m along the axis.
    pub standoff: f64,
    /// m on diameter.
    pub on_diameter: f64,
    /// m per side.
    pub per_side: f64,
}

/// The table: `count` rows, `step` of standoff apart, the first one step.
pub fn standoff_rows(taper: Taper, step: f64, count: u32) -> Vec<StandoffRow> {
    (1..=count)
        .map(|row| {
            let standoff = f64::from(row) * step;
            StandoffRow {
                standoff,
                on_diameter: taper.si() * standoff,
                per_side: taper.slope() * standoff,
            }
        })
        .collect()
}
