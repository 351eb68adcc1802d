//! A distribution of which only a range is possible.

use std::f64::consts::PI;

use crate::arithmetic::{clamp, cosh, exp, powi, sinh};

use serde::Serialize;

use super::distribution::{Distribution, DistributionFault};

/// A distribution cut off at two limits, what is between them scaled up to a share of 1.
///
/// `F(x) = (F0(x) - F0(lower)) / (F0(upper) - F0(lower))`; a draw is exact, by the quantile of
/// the whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Truncated {
    /// The whole distribution.
    of: Box<Distribution>,
    /// Least possible value; may be infinite.
    lower: f64,
    /// Greatest possible value; may be infinite.
    upper: f64,
    /// Share of the whole below the range.
    #[serde(skip)]
    missing_below: f64,
    /// Share of the whole above the range.
    #[serde(skip)]
    missing_above: f64,
    /// Share of the whole within.
    #[serde(skip)]
    share: f64,
}

impl Truncated {
    /// See [`Distribution::within`].
    pub(super) fn new(of: Distribution, lower: f64, upper: f64) -> Result<Self, DistributionFault> {
        if lower.is_nan() || upper.is_nan() || lower >= upper {
            return Err(DistributionFault::Reversed { lower, upper });
        }
        let (missing_below, missing_above) = (of.below(lower), of.above(upper));
        // From the nearer end, where a thin tail keeps its precision.
        let within = if missing_below > 0.5 {
            of.above(lower) - missing_above
        } else {
            of.below(upper) - missing_below
        };
        let share = match of {
            // The step at the value itself counts, on whichever limit it stands.
            Distribution::Fixed { value } => f64::from((lower..=upper).contains(&value)),
            _ => within,
        };
        // Thinner tails than this can't be drawn from.
        if share < 1e-290 {
            let lies = (of.quantile(0.001), of.quantile(0.999));
            return Err(DistributionFault::NothingLeft { lower, upper, lies });
        }
        Ok(Self {
            of: Box::new(of),
            lower,
            upper,
            missing_below,
            missing_above,
            share,
        })
    }

    /// The distribution before it was cut off.
    pub fn whole(&self) -> &Distribution {
        &self.of
    }

    /// The possible range.
    pub fn range(&self) -> (f64, f64) {
        (self.lower, self.upper)
    }

    /// The share of the whole that lies in the range.
    pub fn share(&self) -> f64 {
        self.share
    }

    pub(super) fn below(&self, x: f64) -> f64 {
        if x < self.lower {
            return 0.0;
        }
        if x >= self.upper {
            return 1.0;
        }
        if let Distribution::Fixed { value } = *self.of {
            return f64::from(x >= value);
        }
        let below = self.of.below(x);
        let share = if below <= 0.5 {
            (below - self.missing_below) / self.share
        } else {
            1.0 - (self.of.above(x) - self.missing_above) / self.share
        };
        clamp(share, 0.0, 1.0)
    }

    pub(super) fn above(&self, x: f64) -> f64 {
        if x < self.lower || x >= self.upper || matches!(*self.of, Distribution::Fixed { .. }) {
            return 1.0 - self.below(x);
        }
        let above = self.of.above(x);
        let share = if above <= 0.5 {
            (above - self.missing_above) / self.share
        } else {
            1.0 - (self.of.below(x) - self.missing_below) / self.share
        };
        clamp(share, 0.0, 1.0)
    }

    pub(super) fn quantile_below(&self, p: f64) -> f64 {
        self.at(p, 1.0 - p)
    }

    pub(super) fn quantile_above(&self, q: f64) -> f64 {
        self.at(1.0 - q, q)
    }

    /// The value with a share `p` of what is left below it and `q` above.
    fn at(&self, p: f64, q: f64) -> f64 {
        let below = self.missing_below + p * self.share;
        let value = if below <= 0.5 {
            self.of.quantile_below(below)
        } else {
            self.of.quantile_above(self.missing_above + q * self.share)
        };
        clamp(value, self.lower, self.upper)
    }

    /// Mean and standard deviation, by integrating the quantile.
    pub(super) fn moments(&self) -> (f64, f64) {
        if let Distribution::Fixed { value } = *self.of {
            return (value, 0.0);
        }
        let shift = clamp(self.of.quantile(0.5), self.lower, self.upper);
        let mean = shift + self.integral(|x| x - shift);
        let open = self.lower.is_infinite() || self.upper.is_infinite();
        if open && self.of.standard_deviation().is_infinite() {
            return (mean, f64::INFINITY);
        }
        (mean, self.integral(|x| powi(x - mean, 2)).sqrt())
    }

    /// Integral of `of(x)` over the shares from 0 to 1, from kink to kink.
    fn integral(&self, of: impl Fn(f64) -> f64) -> f64 {
        let mut breaks: Vec<f64> = self
            .of
            .kinks()
            .into_iter()
            .map(|share| (share - self.missing_below) / self.share)
            .filter(|share| *share > 0.0 && *share < 1.0)
            .collect();
        breaks.extend([0.0, 0.5, 1.0]);
        breaks.sort_by(f64::total_cmp);
        breaks
            .windows(2)
            .map(|ends| {
                let width = ends[1] - ends[0];
                let value = |from_left: f64, from_right: f64| {
                    of(if ends[1] <= 0.5 {
                        self.quantile_below(ends[0] + width * from_left)
                    } else {
                        self.quantile_above(1.0 - ends[1] + width * from_right)
                    })
                };
                width * double_exponential(value)
            })
            .sum()
    }
}

/// Integral over 0 to 1 of a function of the distances from both ends, which may grow without
/// bound there (Takahasi and Mori, Publ. RIMS 9 (1974) 721, from memory).
fn double_exponential(of: impl Fn(f64, f64) -> f64) -> f64 {
    const STEP: f64 = 1.0 / 32.0;
    (-160..=160)
        .map(|k| {
            let t = f64::from(k) * STEP;
            let s = PI * sinh(t);
            let (left, right) = (1.0 / (1.0 + exp(-s)), 1.0 / (1.0 + exp(s)));
            let weight = PI * cosh(t) * left * right;
            // Beyond rounding: skip, the value may be infinite.
            if weight < 1e-280 {
                0.0
            } else {
                weight * of(left, right)
            }
        })
        .sum::<f64>()
        * STEP
}
