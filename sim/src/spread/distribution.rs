//! What is known of one quantity, as a probability distribution drawn by its quantile.
//!
//! A draw is the quantile of one uniform number. Samplers that reject (as general libraries use
//! for speed) take an unknown count of numbers, so that one quantity's draws would shift all
//! others'. By the quantile each quantity has one fixed place in a trial's stream, truncation is
//! exact, and correlated quantities are a Gaussian copula (see [`super::draws`]).
//!
//! The shapes are those of JCGM 101:2008, 6.4 (from memory); every number is in the quantity's
//! own SI unit.

use std::f64::consts::TAU;
use std::fmt;

use crate::arithmetic::{exp, exp_m1, ln, powi};

use serde::Serialize;

use super::truncation::Truncated;

/// Half width of the central 95 % of a normal distribution, in standard deviations.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Degrees of freedom above which a t is refused: the library's beta function grows inexact there,
/// and a normal says the same.
pub(super) const MOST_DEGREES: f64 = 1000.0;

/// The distribution of one quantity.
///
/// Numbers are taken as given: have them looked at once by [`Distribution::checked`].
#[derive(Clone, Debug, PartialEq, Serialize)]
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

/// Why numbers make no distribution.
#[derive(Clone, Debug, PartialEq)]
pub enum DistributionFault {
    /// A number is infinite or not a number.
    NotFinite {
        /// Which.
        what: &'static str,
    },
    /// A number is not where it must be.
    Outside {
        /// Which.
        what: &'static str,
        /// What was given.
        value: f64,
        /// What would be right.
        wanted: &'static str,
    },
    /// The lower limit does not lie below the upper one.
    Reversed {
        /// Lower limit given.
        lower: f64,
        /// Upper limit given.
        upper: f64,
    },
    /// The range leaves nothing of the distribution.
    NothingLeft {
        /// Lower limit given.
        lower: f64,
        /// Upper limit given.
        upper: f64,
        /// Where the distribution practically lies: its 0.1 % and 99.9 % quantiles.
        lies: (f64, f64),
    },
}

impl fmt::Display for DistributionFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { what } => write!(f, "the {what} must be a finite number"),
            Self::Outside {
                what,
                value,
                wanted,
            } => write!(f, "the {what} is {value}; it must be {wanted}"),
            Self::Reversed { lower, upper } => write!(
                f,
                "the lower limit {lower} must lie below the upper limit {upper}"
            ),
            Self::NothingLeft { lower, upper, lies } => write!(
                f,
                "nothing of the distribution is left between {lower} and {upper}: it lies \
                 between {} and {}; give a range that meets it",
                lies.0, lies.1
            ),
        }
    }
}

impl std::error::Error for DistributionFault {}

fn finite(what: &'static str, value: f64) -> Result<(), DistributionFault> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(DistributionFault::NotFinite { what })
    }
}

fn must(
    holds: bool,
    what: &'static str,
    value: f64,
    wanted: &'static str,
) -> Result<(), DistributionFault> {
    finite(what, value)?;
    if holds {
        Ok(())
    } else {
        Err(DistributionFault::Outside {
            what,
            value,
            wanted,
        })
    }
}

fn ordered(lower: f64, upper: f64) -> Result<(), DistributionFault> {
    finite("lower limit", lower)?;
    finite("upper limit", upper)?;
    if lower < upper {
        Ok(())
    } else {
        Err(DistributionFault::Reversed { lower, upper })
    }
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
