//! What to do to the guide: how far to nudge its end and which way, and what its scale means.
//!
//! The bar lies along the path the slide is to take, so in the axes of [`crate::setup`] it makes
//! `dX/dZ = side * slope` whether it stands behind the bed or in front of it: the slide goes
//! where the shoe goes. An end at `Z = +R` from the pivot (tailstock end) therefore moves toward
//! the operator (`+X`) where `side * slope` is to grow, and an end at `-R` away from him. The
//! distance is square to the bar, `R (atan(wanted/2) - atan(now/2))`, where an indicator on the
//! bar's end reads it.

use schemars::JsonSchema;
use serde::Serialize;

use super::interval::Interval;
use crate::arithmetic::{atan, max, min};
use crate::scenario::{End, Toward};

/// A nudge of the guide's end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nudge {
    /// How far, m, square to the bar; `value` is not negative.
    pub distance: Interval,
    /// Which way.
    pub toward: Toward,
    /// The end to be nudged.
    pub end: End,
    /// Taper on diameter that it aims at: the middle of the tolerance.
    pub aim: f64,
    /// The distance can't be told from none.
    pub within_reading: bool,
}

/// From the taper the guide gives now to the one it should give, both on diameter.
pub(super) fn nudge(
    now: Interval,
    wanted: f64,
    aim: f64,
    radius: f64,
    end: End,
    turned: f64,
) -> Nudge {
    let move_x = |now: f64| {
        let away_from_pivot = match end {
            End::Tailstock => 1.0,
            End::Headstock => -1.0,
        };
        turned * away_from_pivot * radius * (atan(wanted / 2.0) - atan(now / 2.0))
    };
    let [a, value, b] = [now.low, now.value, now.high].map(move_x);
    let sign = if value < 0.0 { -1.0 } else { 1.0 };
    let (low, high) = (sign * a, sign * b);
    Nudge {
        distance: Interval::new(value.abs(), min(low, high), max(low, high)),
        toward: if value < 0.0 {
            Toward::Away
        } else {
            Toward::Operator
        },
        end,
        aim,
        within_reading: min(low, high) <= 0.0,
    }
}

/// What the numbers of a degree scale mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ScaleSense {
    /// The angle from the axis to one side.
    PerSide,
    /// The angle across the cone.
    Included,
    /// Neither fits.
    Neither,
}

/// The degree scale against what the guide gives.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ScaleCheck {
    /// What it was set to, rad.
    pub set: f64,
    /// Angle per side that the guide gives, rad.
    pub per_side: Interval,
    /// What its numbers mean.
    pub sense: ScaleSense,
    /// How much the scale shows more than the guide gives, in the scale's own sense, rad; per
    /// side where neither fits.
    pub off: f64,
}

/// Compares the scale with the taper of the guide, on diameter.
pub(super) fn scale_check(set: f64, guide: Interval) -> ScaleCheck {
    let per_side = Interval::new(
        atan(guide.value / 2.0),
        atan(guide.low / 2.0),
        atan(guide.high / 2.0),
    );
    let ratio = set / per_side.value;
    let (sense, times) = if (ratio - 1.0).abs() < 0.2 {
        (ScaleSense::PerSide, 1.0)
    } else if (ratio - 2.0).abs() < 0.4 {
        (ScaleSense::Included, 2.0)
    } else {
        (ScaleSense::Neither, 1.0)
    };
    ScaleCheck {
        set,
        per_side,
        sense,
        off: set - times * per_side.value,
    }
}
