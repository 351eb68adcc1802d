//! Writes shop notation.
use super::{Dimension, Units};

pub(super) fn write(si: f64, _dimension: Dimension, _units: Units) -> String {
    format!("{si}")
}
