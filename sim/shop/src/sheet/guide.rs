//! How the guide is set: what the slide must read over a round carriage travel, and which way the
//! guide's end goes when it doesn't.
//!
//! Run in, zero both, run a travel `L`: a readout on diameter must show `T L`, an indicator on the
//! slide half of that. A reading counts when it lies inside the tolerance by a step of the
//! readout at either end (two readings of half a step each, either way). Steps don't average out,
//! so where the band is narrow against the step the travel is longer, as far as the guide allows.
//!
//! The guide is at the rear, and what is nudged is its tailstock end; signs are those of
//! [`guide_nudge`](crate::gauging::guide_nudge).

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::cos;
use crate::compare::Way;
use crate::gauging::{Bearing, guide_nudge};
use crate::quantity::{INCH, Quantity, THOU, Taper, Units};
use crate::scenario::{End, Kind, Origin, Scenario, Toward};
use crate::setup::Setup;

/// Round travels tried, shortest first, in inches and mm: the first is what a shop would run.
const TRAVELS: ([f64; 4], [f64; 4]) = ([3.0, 4.0, 6.0, 8.0], [75.0, 100.0, 150.0, 200.0]);
/// Shorter ones for a short guide, longest first.
const SHORT: ([f64; 3], [f64; 3]) = ([2.0, 1.0, 0.5], [50.0, 25.0, 10.0]);
/// A travel is long enough when the band is this many readout steps wide.
const STEPS_WANTED: f64 = 6.0;
/// Step taken of a metric readout nobody told of, m: the usual default is a round one in inches
/// (guess).
const METRIC_STEP: f64 = 1e-5;

/// What the readout must show.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GuideSetting {
    /// Carriage travel after zero, m.
    pub travel: f64,
    /// Aim on a diameter readout, m.
    pub aim: f64,
    /// Reading at the lower and the upper limit of the taper, on diameter, m.
    pub limits: (f64, f64),
    /// Readings that prove the taper within its limits, in whole steps, on diameter, m; `None` where the readout
    /// is too coarse to prove anything over this travel.
    pub proves: Option<(f64, f64)>,
    /// Step of the readout, as it shows, on diameter, m.
    pub step: f64,
    /// The correction.
    pub nudge: Nudge,
}

/// What one thou (or 0.01 mm) on diameter over the travel is at the guide's end.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nudge {
    /// The difference in the reading, on diameter, m.
    pub reading: f64,
    /// How far the guide's tailstock end goes for it, m.
    pub at_end: f64,
    /// From the pivot to that end, m.
    pub radius: f64,
    /// Which way the tailstock end goes when the reading is too large (too steep).
    pub too_large: Toward,
}

impl GuideSetting {
    pub(super) fn new(scenario: &Scenario, way: &Way, aim: Taper) -> Self {
        let work = &scenario.job.work;
        let step = step(scenario);
        let (low, high) = (
            work.taper.si() + work.tolerance.lower.si(),
            work.taper.si() + work.tolerance.upper.si(),
        );
        let usable = way.start.guide_usable * cos(aim.half_angle()) - way.start.lost;
        let travel = travel(scenario.job.units, usable, high - low, step);
        let limits = (low * travel, high * travel);
        let reading = match scenario.job.units {
            Units::Inch => THOU,
            Units::Metric => 1e-5,
        };
        let radius = scenario.lathe.attachment.guide_end.si();
        let steeper = Taper::from_si(aim.si() + reading / travel);
        let by = guide_nudge(&way.setup, End::Tailstock, radius, steeper, aim);
        Self {
            travel,
            aim: aim.si() * travel,
            limits,
            proves: proves(limits, step),
            step,
            nudge: Nudge {
                reading,
                at_end: by.abs(),
                radius,
                too_large: toward(by),
            },
        }
    }
}

/// Step of the readout on diameter, m.
pub(super) fn step(scenario: &Scenario) -> f64 {
    match (scenario.lathe.readout_step.origin, scenario.job.units) {
        (Origin::Assumed, Units::Metric) => METRIC_STEP,
        _ => scenario.lathe.step_on_diameter(),
    }
}

/// Readings in whole steps that lie inside the limits by a step at either end, if there are any.
pub(super) fn proves(limits: (f64, f64), step: f64) -> Option<(f64, f64)> {
    let whole = |reading: f64, round: fn(f64) -> f64| {
        if step > 0.0 {
            round(reading / step) * step
        } else {
            reading
        }
    };
    let inside = (
        whole(limits.0 + step * (1.0 - 1e-6), f64::ceil),
        whole(limits.1 - step * (1.0 - 1e-6), f64::floor),
    );
    (inside.0 <= inside.1).then_some(inside)
}

fn toward(by: f64) -> Toward {
    if by > 0.0 {
        Toward::Operator
    } else {
        Toward::Away
    }
}

/// The round travel to run.
pub(super) fn travel(units: Units, usable: f64, band: f64, step: f64) -> f64 {
    let (unit, long, short) = match units {
        Units::Inch => (INCH, TRAVELS.0, SHORT.0),
        Units::Metric => (1e-3, TRAVELS.1, SHORT.1),
    };
    let fits = |travel: &f64| travel * unit <= usable;
    let enough = |travel: &f64| band * travel * unit >= STEPS_WANTED * step;
    let fitting: Vec<f64> = long.into_iter().filter(fits).collect();
    let chosen = fitting
        .iter()
        .find(|travel| enough(travel))
        .or(fitting.last())
        .copied()
        .or_else(|| short.into_iter().find(fits))
        .unwrap_or(short[short.len() - 1]);
    chosen * unit
}

/// Which way the guide's tailstock end goes when a gauge bears at one end only.
pub(super) fn bearing(setup: &Setup, aim: Taper, bears: Bearing) -> Toward {
    // A ring bears first where the work is too big, a plug where the bore is too small.
    let steeper = (setup.kind == Kind::Outside) == (bears == Bearing::Big);
    let off = if steeper { 1e-4 } else { -1e-4 };
    let taken = Taper::from_si(aim.si() + off);
    toward(guide_nudge(setup, End::Tailstock, 1.0, taken, aim))
}
