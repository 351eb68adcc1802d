//! Why numbers make no distribution.

use std::fmt;

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

pub(super) fn finite(what: &'static str, value: f64) -> Result<(), DistributionFault> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(DistributionFault::NotFinite { what })
    }
}

pub(super) fn must(
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

pub(super) fn ordered(lower: f64, upper: f64) -> Result<(), DistributionFault> {
    finite("lower limit", lower)?;
    finite("upper limit", upper)?;
    if lower < upper {
        Ok(())
    } else {
        Err(DistributionFault::Reversed { lower, upper })
    }
}
