//! A distribution of which only a range is possible.

use std::f64::consts::PI;

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
    /// Counted from the top, because the range lies beyond the median.
    #[serde(skip)]
    from_top: bool,
    /// Share of the whole outside the range, on the side counted from.
    #[serde(skip)]
    outside: f64,
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
        let from_top = of.below(lower) > 0.5;
        let (outside, reached) = if from_top {
            (of.above(upper), of.above(lower))
        } else {
            (of.below(lower), of.below(upper))
        };
        let share = match of {
            // The step at the value itself counts, on whichever limit it stands.
            Distribution::Fixed { value } => f64::from((lower..=upper).contains(&value)),
            _ => reached - outside,
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
            from_top,
            outside,
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
            0.0
        } else if x >= self.upper {
            1.0
        } else if let Distribution::Fixed { value } = *self.of {
            f64::from(x >= value)
        } else if self.from_top {
            1.0 - self.above(x)
        } else {
            ((self.of.below(x) - self.outside) / self.share).clamp(0.0, 1.0)
        }
    }

    pub(super) fn above(&self, x: f64) -> f64 {
        if x >= self.lower && x < self.upper && self.from_top {
            ((self.of.above(x) - self.outside) / self.share).clamp(0.0, 1.0)
        } else {
            1.0 - self.below(x)
        }
    }

    pub(super) fn from_below(&self, p: f64) -> f64 {
        let value = if self.from_top {
            self.of.from_above(self.outside + (1.0 - p) * self.share)
        } else {
            self.of.from_below(self.outside + p * self.share)
        };
        value.clamp(self.lower, self.upper)
    }

    pub(super) fn from_above(&self, q: f64) -> f64 {
        let value = if self.from_top {
            self.of.from_above(self.outside + q * self.share)
        } else {
            self.of.from_below(self.outside + (1.0 - q) * self.share)
        };
        value.clamp(self.lower, self.upper)
    }

    /// Mean and standard deviation, by integrating the quantile.
    pub(super) fn moments(&self) -> (f64, f64) {
        if let Distribution::Fixed { value } = *self.of {
            return (value, 0.0);
        }
        let shift = self.of.quantile(0.5).clamp(self.lower, self.upper);
        let mean = shift + self.integral(|x| x - shift);
        let open = self.lower.is_infinite() || self.upper.is_infinite();
        if open && self.of.standard_deviation().is_infinite() {
            return (mean, f64::INFINITY);
        }
        (mean, self.integral(|x| (x - mean).powi(2)).sqrt())
    }

    /// Integral of `of(x)` over the shares from 0 to 1, from kink to kink.
    fn integral(&self, of: impl Fn(f64) -> f64) -> f64 {
        let mut breaks: Vec<f64> = self
            .of
            .kinks()
            .into_iter()
            .map(|share| {
                let from_end = if self.from_top { 1.0 - share } else { share };
                let within = (from_end - self.outside) / self.share;
                if self.from_top { 1.0 - within } else { within }
            })
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
                        self.from_below(ends[0] + width * from_left)
                    } else {
                        self.from_above(1.0 - ends[1] + width * from_right)
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
            let s = PI * t.sinh();
            let (left, right) = (1.0 / (1.0 + (-s).exp()), 1.0 / (1.0 + s.exp()));
            let weight = PI * t.cosh() * left * right;
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
