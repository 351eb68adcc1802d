//! Shares and quantiles counted from either end of a distribution.
//!
//! Each tail is computed from its own end, to its own full precision however thin it is, so that
//! a range far out on either side can still be drawn from.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_2_PI, FRAC_PI_2};

use crate::arithmetic::{atan2, clamp, erfc, exp, ln, max, powi, sin};

use crate::special::normal_quantile;

use super::curvilinear::CurvilinearTail;
use super::distribution::{Distribution, log_deviation};
use super::student;

/// Share of the standard normal below `z`.
pub(super) fn normal_below(z: f64) -> f64 {
    0.5 * erfc(-z * FRAC_1_SQRT_2)
}

/// Share of a triangle's nearer part: `from` the end, the mode's distance from that end, and
/// what is left `to` the other end.
fn triangle(from: f64, mode: f64, to: f64) -> f64 {
    let width = from + to;
    if from <= 0.0 {
        0.0
    } else if to <= 0.0 {
        1.0
    } else if from < mode {
        from * from / (width * mode)
    } else {
        1.0 - to * to / (width * (width - mode))
    }
}

/// Distance from a triangle's end within which a share `p` lies; `near` and `far` are the mode's
/// distances from the ends.
fn triangle_reach(p: f64, near: f64, far: f64) -> f64 {
    let width = near + far;
    if p * width <= near {
        (p * width * near).sqrt()
    } else {
        width - ((1.0 - p) * width * far).sqrt()
    }
}

/// Share of the arcsine distribution's range, `from` one end and `to` the other.
fn arcsine(from: f64, to: f64) -> f64 {
    FRAC_2_PI * atan2(max(from, 0.0).sqrt(), max(to, 0.0).sqrt())
}

/// Share at or below a place `from` the median, of two half normals.
fn split_share(from: f64, below: f64, above: f64) -> f64 {
    let deviation = if from < 0.0 { below } else { above };
    if deviation > 0.0 {
        normal_below(from / deviation)
    } else {
        f64::from(from >= 0.0)
    }
}

/// Share above such a place.
fn split_above(from: f64, below: f64, above: f64) -> f64 {
    let deviation = if from < 0.0 { below } else { above };
    if deviation > 0.0 {
        normal_below(-from / deviation)
    } else {
        f64::from(from < 0.0)
    }
}

/// Reach from the median at a normal score.
fn split_reach(score: f64, below: f64, above: f64) -> f64 {
    score * if score < 0.0 { below } else { above }
}

impl Distribution {
    /// Share at or below `x`.
    pub(super) fn below(&self, x: f64) -> f64 {
        match *self {
            Self::Fixed { value } => f64::from(x >= value),
            Self::Normal {
                mean,
                standard_deviation,
            } => normal_below((x - mean) / standard_deviation),
            Self::Rectangular { lower, upper } => clamp((x - lower) / (upper - lower), 0.0, 1.0),
            Self::Triangular { lower, mode, upper } => triangle(x - lower, mode - lower, upper - x),
            Self::Arcsine { lower, upper } => arcsine(x - lower, upper - x),
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => CurvilinearTail::new(upper - lower, inexactness).share(x - lower),
            Self::LogNormal { median, factor } if x > 0.0 => {
                normal_below(ln(x / median) / log_deviation(factor))
            }
            Self::LogNormal { .. } => 0.0,
            Self::SplitNormal {
                median,
                below,
                above,
            } => split_share(x - median, below, above),
            Self::ScaledT {
                degrees_of_freedom,
                centre,
                scale,
            } => student::above(degrees_of_freedom, (centre - x) / scale),
            Self::Truncated(ref truncated) => truncated.below(x),
        }
    }

    /// Share above `x`.
    pub(super) fn above(&self, x: f64) -> f64 {
        match *self {
            Self::Fixed { value } => f64::from(x < value),
            Self::Normal {
                mean,
                standard_deviation,
            } => normal_below((mean - x) / standard_deviation),
            Self::Rectangular { lower, upper } => clamp((upper - x) / (upper - lower), 0.0, 1.0),
            Self::Triangular { lower, mode, upper } => triangle(upper - x, upper - mode, x - lower),
            Self::Arcsine { lower, upper } => arcsine(upper - x, x - lower),
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => CurvilinearTail::new(upper - lower, inexactness).share(upper - x),
            Self::LogNormal { median, factor } if x > 0.0 => {
                normal_below(ln(median / x) / log_deviation(factor))
            }
            Self::LogNormal { .. } => 1.0,
            Self::SplitNormal {
                median,
                below,
                above,
            } => split_above(x - median, below, above),
            Self::ScaledT {
                degrees_of_freedom,
                centre,
                scale,
            } => student::above(degrees_of_freedom, (x - centre) / scale),
            Self::Truncated(ref truncated) => truncated.above(x),
        }
    }

    /// The value below which the share `p` lies.
    pub(super) fn quantile_below(&self, p: f64) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Normal {
                mean,
                standard_deviation,
            } => mean + standard_deviation * normal_quantile(p),
            Self::Rectangular { lower, upper } => lower + (upper - lower) * p,
            Self::Triangular { lower, mode, upper } => {
                lower + triangle_reach(p, mode - lower, upper - mode)
            }
            Self::Arcsine { lower, upper } => lower + (upper - lower) * powi(sin(FRAC_PI_2 * p), 2),
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => lower + CurvilinearTail::new(upper - lower, inexactness).reach(p),
            Self::LogNormal { median, factor } => {
                median * exp(log_deviation(factor) * normal_quantile(p))
            }
            Self::SplitNormal {
                median,
                below,
                above,
            } => median + split_reach(normal_quantile(p), below, above),
            Self::ScaledT {
                degrees_of_freedom,
                centre,
                scale,
            } => centre - scale * student::quantile_above(degrees_of_freedom, p),
            Self::Truncated(ref truncated) => truncated.quantile_below(p),
        }
    }

    /// The value above which the share `q` lies.
    pub(super) fn quantile_above(&self, q: f64) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Normal {
                mean,
                standard_deviation,
            } => mean - standard_deviation * normal_quantile(q),
            Self::Rectangular { lower, upper } => upper - (upper - lower) * q,
            Self::Triangular { lower, mode, upper } => {
                upper - triangle_reach(q, upper - mode, mode - lower)
            }
            Self::Arcsine { lower, upper } => upper - (upper - lower) * powi(sin(FRAC_PI_2 * q), 2),
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => upper - CurvilinearTail::new(upper - lower, inexactness).reach(q),
            Self::LogNormal { median, factor } => {
                median * exp(-log_deviation(factor) * normal_quantile(q))
            }
            Self::SplitNormal {
                median,
                below,
                above,
            } => median + split_reach(-normal_quantile(q), below, above),
            Self::ScaledT {
                degrees_of_freedom,
                centre,
                scale,
            } => centre + scale * student::quantile_above(degrees_of_freedom, q),
            Self::Truncated(ref truncated) => truncated.quantile_above(q),
        }
    }

    /// Shares below the places where the density is not smooth.
    pub(super) fn kinks(&self) -> Vec<f64> {
        match *self {
            Self::Triangular { mode, .. } => vec![self.below(mode)],
            Self::SplitNormal { .. } => vec![0.5],
            Self::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness,
            } => vec![
                self.below(lower + inexactness),
                self.below(upper - inexactness),
            ],
            _ => Vec::new(),
        }
    }
}
