//! A share of trials, as of pieces inside a tolerance, and how well so many trials know it.
//!
//! With k of n and z the normal quantile of `(1 + p) / 2`, Wilson's interval (J. Amer. Statist.
//! Assoc. 22 (1927) 209, from memory) is `(k + z^2/2 +- z sqrt(k (n - k) / n + z^2/4)) / (n + z^2)`:
//! on the average it covers about as often as it says. Clopper and Pearson's (Biometrika 26 (1934)
//! 404, from memory) never covers less: its ends are the quantiles `(1 - p) / 2` of
//! `Beta(k, n - k + 1)` and `(1 + p) / 2` of `Beta(k + 1, n - k)` (by the beta function here:
//! good to 1e-9 with a hundred thousand trials).

use schemars::JsonSchema;
use serde::Serialize;

use crate::special::{beta_quantile, normal_quantile};

use super::coverage::Interval;

/// A number of trials out of all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Proportion {
    /// Trials counted.
    pub count: u64,
    /// Of how many.
    pub of: u64,
}

impl Proportion {
    /// Of the values, those that lie within a tolerance, limits included. A value that is not a
    /// number lies outside.
    pub fn inside(values: &[f64], lower: f64, upper: f64) -> Self {
        let within = |value: &&f64| (lower..=upper).contains(*value);
        Self {
            count: values.iter().filter(within).count() as u64,
            of: values.len() as u64,
        }
    }

    /// The share; none of no trials.
    pub fn share(&self) -> Option<f64> {
        (self.of > 0).then(|| self.count as f64 / self.of as f64)
    }

    /// Wilson's interval; none of no trials, or if the confidence is not between 0 and 1.
    pub fn wilson(&self, confidence: f64) -> Option<Interval> {
        let (k, n) = self.counts(confidence)?;
        let z = -normal_quantile((1.0 - confidence) / 2.0);
        let square = z * z;
        let half = z * (k * (n - k) / n + square / 4.0).sqrt();
        let end = |signed: f64| (k + square / 2.0 + signed) / (n + square);
        // Exact where all or none count, which rounding would miss.
        Some(Interval {
            lower: if self.count == 0 { 0.0 } else { end(-half) },
            upper: if self.count == self.of {
                1.0
            } else {
                end(half)
            },
        })
    }

    /// Clopper and Pearson's interval; none of no trials, or if the confidence is not between 0
    /// and 1.
    pub fn clopper_pearson(&self, confidence: f64) -> Option<Interval> {
        let (k, n) = self.counts(confidence)?;
        let tail = (1.0 - confidence) / 2.0;
        Some(Interval {
            lower: if self.count == 0 {
                0.0
            } else {
                beta_quantile(k, n - k + 1.0, tail)
            },
            upper: if self.count == self.of {
                1.0
            } else {
                // From the other end, so that a thin tail keeps its precision.
                1.0 - beta_quantile(n - k, k + 1.0, tail)
            },
        })
    }

    fn counts(&self, confidence: f64) -> Option<(f64, f64)> {
        let sound = self.of > 0 && self.count <= self.of && confidence > 0.0 && confidence < 1.0;
        sound.then_some((self.count as f64, self.of as f64))
    }
}
