//! Two finished sections as the one cone that a gauge reads.
//!
//! Heights per side into the work, against the cone aimed at, along `z` from the headstock-side end:
//! the first section is a straight line through its size where it was gauged; the second begins at the
//! joint as much deeper as its own size there, for it was touched off on the first. The taper of the
//! whole is the least-squares line through both, its size at the drawing's plane that of the section
//! there, its waves those of either section or the step, whichever is highest.

use super::split::gauge_plane;
use crate::arithmetic::max;
use crate::cut::{Operation, Options, aimed_taper};
use crate::measure::filter::line_through;
use crate::measure::{gauge, measure};
use crate::method::way::TwoSetUps;
use crate::record::{Measures, Outcome};
use crate::scenario::Scenario;
use crate::setup::Setup;

/// Places along the work that the line goes through.
const PLACES: usize = 200;

/// The whole, and its joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Joined {
    /// What gauges read of the whole.
    pub whole: Measures,
    /// Step at the joint, m per side, positive where the second is deeper.
    pub step: f64,
    /// Taper of the second less that of the first, on diameter.
    pub angle: f64,
}

/// Joins what was measured of both; `steeper` is how much more taper the guide makes in its second
/// place than in its first, on diameter.
pub fn join(
    scenario: &Scenario,
    setup: &Setup,
    set: &TwoSetUps,
    [first, second]: [&Measures; 2],
    steeper: f64,
) -> Joined {
    let aim = aimed_taper(scenario);
    // Slope of the height along z for a taper that much too steep: as `measure` has it.
    let tilt = |more: f64| 0.5 * setup.inward() * setup.slope_sign() * more;
    let of_second = second.taper + steeper;
    let at = set.gauged_at(scenario, setup);
    let [on_first, on_second] = [tilt(first.taper - aim), tilt(of_second - aim)];
    let of_first = |z: f64| first.size_error + on_first * (z - at);
    let step = second.size_error;
    let height = |z: f64| {
        let [[from, to], _] = set.places();
        if z >= from && z <= to {
            of_first(z)
        } else {
            of_first(set.joint) + step + on_second * (z - set.joint)
        }
    };
    let length = set.first + set.second;
    let places = (0..PLACES).map(|i| length * (i as f64 + 0.5) / PLACES as f64);
    let (_, line) = line_through(places.map(|z| (z, height(z))));
    let more = 2.0 * setup.inward() * setup.slope_sign() * line;
    let size_error = height(gauge_plane(scenario, setup));
    let whole = Measures {
        taper: aim + more,
        taper_error: first.taper_error - first.taper + aim + more,
        size_error,
        waves: max(max(first.waves, second.waves), step.abs()),
        step: Some((step, set.joint)),
        roundness: max(first.roundness, second.roundness),
        standoff: 2.0 * size_error.abs() / aim,
        exit: second.exit,
        ..*first
    };
    Joined {
        whole,
        step,
        angle: of_second - first.taper,
    }
}

/// What gauges read of the cone, at the middle of what is known, both sections from an even stock.
pub(crate) fn measures(
    scenario: &Scenario,
    setup: &Setup,
    set: &TwoSetUps,
    options: Options,
) -> Measures {
    let [first, second] = set.sections(scenario, setup).map(|section| {
        let operation = Operation::new(&section, *setup, options);
        let finished = operation.run_finishing();
        gauge(&section, setup, &operation, &finished)
    });
    join(scenario, setup, set, [&first, &second], 0.0).whole
}

/// The same with what a profile tracer reads: of each the rougher.
pub(crate) fn outcome(
    scenario: &Scenario,
    setup: &Setup,
    set: &TwoSetUps,
    options: Options,
) -> Outcome {
    let [first, second] = set.sections(scenario, setup).map(|section| {
        let operation = Operation::new(&section, *setup, options);
        let finished = operation.run_finishing();
        measure(&section, setup, &operation, &finished).0
    });
    Outcome {
        measures: join(scenario, setup, set, [&first, &second], 0.0).whole,
        ra: max(first.ra, second.ra),
        rz: max(first.rz, second.rz),
        wa: max(first.wa, second.wa),
        wt: max(first.wt, second.wt),
    }
}
