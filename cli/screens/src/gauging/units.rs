//! The units a sum is answered in.

use tautway_sim::quantity::Units;

/// The person's units: as asked for, else as typed.
pub(super) fn units(asked: Option<Units>, metric: &[bool]) -> Units {
    match asked {
        Some(asked) => asked,
        None if metric.contains(&true) => Units::Metric,
        None => Units::Inch,
    }
}
