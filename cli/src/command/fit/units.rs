//! The units a sum is answered in.

use tautway_sim::quantity::Units;

use crate::arguments::UnitsArg;

/// The person's units: as asked for, else as typed.
pub(super) fn units(asked: Option<UnitsArg>, metric: &[bool]) -> Units {
    match asked {
        Some(asked) => asked.into(),
        None if metric.contains(&true) => Units::Metric,
        None => Units::Inch,
    }
}
