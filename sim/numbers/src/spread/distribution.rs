//! What is known of one quantity, as a probability distribution drawn by its quantile.
//!
//! A draw is the quantile of one uniform number. Samplers that reject (as general libraries use
//! for speed) take an unknown count of numbers, so that one quantity's draws would shift all
//! others'. By the quantile each quantity has one fixed place in a trial's stream, truncation is
//! exact, and correlated quantities are a Gaussian copula (see [`super::draws`]).
//!
//! The shapes are those of JCGM 101:2008, 6.4 (from memory); every number is in the quantity's
//! own SI unit.

use std::f64::consts::{PI, TAU};

use crate::arithmetic::{clamp, cosh, exp, exp_m1, ln, powi, sinh};

use schemars::JsonSchema;
use serde::Serialize;

use super::fault::{DistributionFault, finite, must, ordered};

/// Half width of the central 95 % of a normal distribution, in standard deviations.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Degrees of freedom above which a t is refused: the library's beta function grows inexact there,
/// and a normal says the same.
pub(super) const MOST_DEGREES: f64 = 1000.0;

/// The distribution of one quantity.
///
/// Numbers are taken as given: have them looked at once by [`Distribution::checked`].
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Distribution {
    /// Known exactly.
    Fixed {
        /// The value.
        value: f64,
    },
    /// Best estimate and standard uncertainty (JCGM 101, 6.4.7).
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, over 0.
        standard_deviation: f64,
    },
    /// Limits and nothing else (6.4.2). Variance `(b - a)^2 / 12`.
    Rectangular {
        /// Least value, a.
        lower: f64,
        /// Greatest value, b.
        upper: f64,
    },
    /// Limits and a likeliest value (6.4.5 is the symmetric one). Variance
    /// `(a^2 + b^2 + c^2 - ab - ac - bc) / 18`.
    Triangular {
        /// Least value, a.
        lower: f64,
        /// Likeliest value, c.
        mode: f64,
        /// Greatest value, b.
        upper: f64,
    },
    /// A quantity that swings as a sine between its limits, U-shaped (6.4.6). Variance
    /// `(b - a)^2 / 8`.
    Arcsine {
        /// Least value, a.
        lower: f64,
        /// Greatest value, b.
        upper: f64,
    },
    /// Limits that are themselves known only within +- d, their middle being known (6.4.3).
    /// Variance `(b - a)^2 / 12 + d^2 / 9`; it reaches from `a - d` to `b + d`.
    CurvilinearTrapezoid {
        /// Least value as stated, a.
        lower: f64,
        /// Greatest value as stated, b.
        upper: f64,
        /// How inexact both are, d: from 0 to half of `b - a`.
        inexactness: f64,
    },
    /// Positive and skewed: the logarithm is normal, with 95 % between `median / factor` and
    /// `median * factor`.
    LogNormal {
        /// Median, over 0.
        median: f64,
        /// Factor, over 1.
        factor: f64,
    },
    /// Three figures of a shop: a median, and a normal of its own width on either side of it
    /// (own: JCGM 101 has nothing for a range that lies askew). Variance
    /// `(b^2 + a^2) / 2 - (a - b)^2 / 2 pi` with b below and a above.
    SplitNormal {
        /// Median.
        median: f64,
        /// Standard deviation of the normal below, 0 or more.
        below: f64,
        /// Standard deviation of the normal above, 0 or more; not both are 0.
        above: f64,
    },
    /// Mean of a few readings (6.4.9): centre their mean, scale `s / sqrt(n)`, degrees `n - 1`.
    /// Standard deviation `scale * sqrt(v / (v - 2))`, without bound for two degrees or less.
    ScaledT {
        /// Degrees of freedom, v: over 1, and 1000 at most.
        degrees_of_freedom: f64,
        /// Centre.
        centre: f64,
        /// Scale, over 0.
        scale: f64,
    },
    /// Another distribution, of which only a range is possible: made by [`Distribution::within`].
    Truncated(Truncated),
}

impl Distribution {
    /// Log-normal with 95 % between two positive values, the median at their geometric mean.
    ///
    /// # Errors
    /// Limits that are not positive, or not in order.
    pub fn log_normal_between(lower: f64, upper: f64) -> Result<Self, DistributionFault> {
        ordered(lower, upper)?;
        must(lower > 0.0, "lower limit", lower, "over 0")?;
        Self::LogNormal {
            median: lower.sqrt() * upper.sqrt(),
            factor: (upper / lower).sqrt(),
        }
        .checked()
    }

    /// Itself, if its numbers make a distribution.
    ///
    /// # Errors
    /// The first number that does not, and what would be right.
    pub fn checked(self) -> Result<Self, DistributionFault> {
        match self {
            Self::Fixed { value } => finite("value", value)?,
            Self::Normal {
                mean,
                standard_deviation: sd,
            } => {
                finite("mean", mean)?;
                must(sd > 0.0, "standard deviation", sd, "over 0")?;
            }
            Self::Rectangular { lower, upper } | Self::Arcsine { lower, upper } => {
                ordered(lower, upper)?;
            }
            Self::Triangular { lower, mode, upper } => {
                ordered(lower, upper)?;
                let within = (lower..=upper).contains(&mode);
                must(within, "likeliest value", mode, "between the limits")?;
            }
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness: d,
            } => {
                ordered(lower, upper)?;
                let within = (0.0..=(upper - lower) / 2.0).contains(&d);
                let wanted = "from 0 to half of what lies between the limits";
                must(within, "inexactness of the limits", d, wanted)?;
            }
            Self::LogNormal { median, factor } => {
                must(median > 0.0, "median", median, "over 0")?;
                must(factor > 1.0, "factor", factor, "over 1")?;
            }
            Self::SplitNormal {
                median,
                below,
                above,
            } => {
                finite("median", median)?;
                must(below >= 0.0, "deviation below", below, "0 or more")?;
                must(above >= 0.0, "deviation above", above, "0 or more")?;
                must(below + above > 0.0, "deviation", below + above, "over 0")?;
            }
            Self::ScaledT {
                degrees_of_freedom: v,
                centre,
                scale,
            } => {
                let wanted = "over 1 and at most 1000 (a normal serves beyond)";
                let within = v > 1.0 && v <= MOST_DEGREES;
                must(within, "degrees of freedom", v, wanted)?;
                finite("centre", centre)?;
                must(scale > 0.0, "scale", scale, "over 0")?;
            }
            // Made only by `within`, which checks.
            Self::Truncated(_) => {}
        }
        Ok(self)
    }

    /// What is left of it between two limits, either of which may be infinite.
    ///
    /// # Errors
    /// Numbers that make no distribution, limits not in order, or nothing left between them.
    pub fn within(self, lower: f64, upper: f64) -> Result<Self, DistributionFault> {
        Truncated::new(self.checked()?, lower, upper).map(Self::Truncated)
    }

    /// The value below which a share `p` (0 to 1) lies; not a number outside of that. Exact to
    /// rounding, but for the t: good to 1e-12 of its scale.
    pub fn quantile(&self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            f64::NAN
        } else if p <= 0.5 {
            self.quantile_below(p)
        } else {
            self.quantile_above(1.0 - p)
        }
    }

    /// The share that lies at or below `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        self.below(x)
    }

    /// Mean.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Normal { mean, .. } => mean,
            Self::Rectangular { lower, upper }
            | Self::Arcsine { lower, upper }
            | Self::CurvilinearTrapezoid { lower, upper, .. } => lower + (upper - lower) / 2.0,
            Self::Triangular { lower, mode, upper } => (lower + mode + upper) / 3.0,
            Self::LogNormal { median, factor } => {
                median * exp(powi(log_deviation(factor), 2) / 2.0)
            }
            Self::SplitNormal {
                median,
                below,
                above,
            } => median + (above - below) / TAU.sqrt(),
            Self::ScaledT { centre, .. } => centre,
            Self::Truncated(ref truncated) => truncated.moments().0,
        }
    }

    /// Standard deviation; infinite for a t of two degrees of freedom or less.
    pub fn standard_deviation(&self) -> f64 {
        match *self {
            Self::Fixed { .. } => 0.0,
            Self::Normal {
                standard_deviation, ..
            } => standard_deviation,
            Self::Rectangular { lower, upper } => (upper - lower) / 12f64.sqrt(),
            Self::Arcsine { lower, upper } => (upper - lower) / 8f64.sqrt(),
            Self::Triangular { lower, mode, upper } => {
                let (left, right) = (mode - lower, upper - mode);
                ((left * left + left * right + right * right) / 18.0).sqrt()
            }
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => (powi(upper - lower, 2) / 12.0 + powi(inexactness, 2) / 9.0).sqrt(),
            Self::LogNormal { factor, .. } => {
                self.mean() * exp_m1(powi(log_deviation(factor), 2)).sqrt()
            }
            Self::SplitNormal { below, above, .. } => {
                let squares = 0.5 * (below * below + above * above);
                (squares - powi(above - below, 2) / TAU).sqrt()
            }
            Self::ScaledT {
                degrees_of_freedom: v,
                scale,
                ..
            } if v > 2.0 => scale * (v / (v - 2.0)).sqrt(),
            Self::ScaledT { .. } => f64::INFINITY,
            Self::Truncated(ref truncated) => truncated.moments().1,
        }
    }
}

/// Standard deviation of the logarithm.
pub(super) fn log_deviation(factor: f64) -> f64 {
    ln(factor) / NORMAL_95
}

/// A distribution cut off at two limits, what is between them scaled up to a share of 1.
///
/// `F(x) = (F0(x) - F0(lower)) / (F0(upper) - F0(lower))`; a draw is exact, by the quantile of
/// the whole.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
    fn new(of: Distribution, lower: f64, upper: f64) -> Result<Self, DistributionFault> {
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
    fn moments(&self) -> (f64, f64) {
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
