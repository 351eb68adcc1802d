//! Writes shop notation.

use super::{Dimension, Speed, Units};

pub(super) fn write(si: f64, _dimension: Dimension, _units: Units) -> String {
    format!("{si}")
}

pub(super) fn speed(speed: Speed, _units: Units) -> String {
    format!("{speed:?}")
}
