//! A value with the ends of its interval.

use schemars::JsonSchema;
use serde::Serialize;

use super::spread::Draws;
use crate::arithmetic::{clamp, max, min};

/// A value with the ends of its 95 % interval, in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Interval {
    /// The value to go by.
    pub value: f64,
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
}

impl Interval {
    pub(super) fn new(value: f64, a: f64, b: f64) -> Self {
        Self {
            value,
            low: min(a, b),
            high: max(a, b),
        }
    }

    pub(super) fn of(draws: &Draws, values: &[f64]) -> Self {
        let [low, value, high] = draws.interval(values);
        Self { value, low, high }
    }

    /// With the value that least squares give, which one can check by hand.
    pub(super) fn round(value: f64, draws: &Draws, values: &[f64]) -> Self {
        let Self { low, high, .. } = Self::of(draws, values);
        Self {
            value: clamp(value, low, high),
            low,
            high,
        }
    }

    /// Half its width.
    pub fn half(&self) -> f64 {
        (self.high - self.low) / 2.0
    }
}
