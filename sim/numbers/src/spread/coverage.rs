//! Estimate, standard uncertainty and coverage intervals from the values of many trials.
//!
//! By JCGM 101:2008, 7.6 and 7.7 (from memory). No interpolation: an interval ends on two of the
//! M values in rising order, `[y(r), y(r + q)]` with `q` the whole number nearest `p M` (half up).
//! Symmetric in probability: `r = (M - q) / 2`, half up. Shortest: the r from 1 to `M - q` with
//! the shortest interval, the lowest such r if several are.

use std::fmt;

use crate::arithmetic::{max, powi};

use schemars::JsonSchema;
use serde::Serialize;

/// The ends of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Interval {
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

impl Interval {
    /// Upper end less lower end.
    pub fn length(&self) -> f64 {
        self.upper - self.lower
    }

    /// Whether a value lies within, ends included.
    pub fn holds(&self, value: f64) -> bool {
        (self.lower..=self.upper).contains(&value)
    }
}

/// What the values of one output come to, in the output's unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Coverage {
    /// Mean.
    pub estimate: f64,
    /// Standard deviation, with `M - 1`.
    pub standard_uncertainty: f64,
    /// Interval with as much left out below as above.
    pub symmetric: Interval,
    /// Shortest interval.
    pub shortest: Interval,
}

/// Why values come to nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum CoverageFault {
    /// Too few trials for the probability.
    TooFew {
        /// Trials given.
        trials: usize,
        /// Least number that leaves one value outside of the interval.
        least: usize,
    },
    /// A value is infinite or not a number.
    NotFinite {
        /// Its place among the values.
        trial: usize,
    },
    /// The coverage probability is not between 0 and 1.
    Probability(f64),
}

impl fmt::Display for CoverageFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { trials, least } => {
                write!(
                    f,
                    "{trials} trials are too few; at least {least} are needed"
                )
            }
            Self::NotFinite { trial } => {
                write!(f, "the value of trial {trial} is not a finite number")
            }
            Self::Probability(p) => {
                write!(f, "the probability is {p}; it must lie between 0 and 1")
            }
        }
    }
}

impl std::error::Error for CoverageFault {}

/// Least number of trials for intervals of this probability.
pub(super) fn least_trials(probability: f64) -> usize {
    let enough = |trials: usize| trials > inside(trials, probability);
    // p M is rounded, so that half a value outside is enough.
    let near = (0.5 / (1.0 - probability)) as usize;
    (near.saturating_sub(2).max(2)..)
        .find(|m| enough(*m))
        .unwrap_or(usize::MAX)
}

/// q, the number of steps from one end of an interval to the other.
pub(super) fn inside(trials: usize, probability: f64) -> usize {
    // The tenth of a millionth keeps a product meant to end in one half from being rounded down.
    (probability * trials as f64 + 0.5 + 1e-7).floor() as usize
}

pub(super) fn check_probability(probability: f64) -> Result<(), CoverageFault> {
    if probability > 0.0 && probability < 1.0 {
        Ok(())
    } else {
        Err(CoverageFault::Probability(probability))
    }
}

/// Mean, and standard deviation with `n - 1` (0 for a single value).
pub fn mean_and_deviation(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    // Taken from the first value, so that a small scatter far from 0 isn't lost.
    let first = values.first().copied().unwrap_or(f64::NAN);
    let shift = values.iter().map(|v| v - first).sum::<f64>() / count;
    let squares: f64 = values.iter().map(|v| powi(v - first - shift, 2)).sum();
    let deviation = (squares / max(count - 1.0, 1.0)).sqrt();
    (first + shift, deviation)
}

impl Coverage {
    /// From the values of all trials, with intervals of probability `p`.
    ///
    /// # Errors
    /// A probability not between 0 and 1, too few values, or one that is not finite.
    pub fn of(values: &[f64], probability: f64) -> Result<Self, CoverageFault> {
        check_probability(probability)?;
        if let Some(trial) = values.iter().position(|value| !value.is_finite()) {
            return Err(CoverageFault::NotFinite { trial });
        }
        let trials = values.len();
        let q = inside(trials, probability);
        if trials < 2 || trials <= q {
            let least = least_trials(probability);
            return Err(CoverageFault::TooFew { trials, least });
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        // The standard counts from 1.
        let from = |r: usize| Interval {
            lower: sorted[r - 1],
            upper: sorted[r - 1 + q],
        };
        let shortest = (1..=trials - q)
            .map(from)
            .min_by(|a, b| a.length().total_cmp(&b.length()))
            .unwrap_or_else(|| from(1));
        let (estimate, standard_uncertainty) = mean_and_deviation(values);
        Ok(Self {
            estimate,
            standard_uncertainty,
            symmetric: from((trials - q).div_ceil(2)),
            shortest,
        })
    }
}
