//! Student's t counted from its upper end, on the incomplete beta function.
//!
//! The share above t is `I(v / (v + t^2); v/2, 1/2) / 2`. Within 1 of the middle the mirrored form
//! `1/2 - I(t^2 / (v + t^2); 1/2, v/2) / 2` is used, which loses nothing there.

use std::f64::consts::PI;

use crate::arithmetic::{exp, ln_1p, ln_gamma, powi};
use crate::special::{beta, beta_quantile, normal_quantile};

use super::distribution::MOST_DEGREES;

/// Share of t above which the mirrored form serves for the quantile.
const MIDDLE: f64 = 0.05;

/// Share above `t`, for `v` degrees of freedom.
pub(super) fn above(v: f64, t: f64) -> f64 {
    let square = t * t;
    let tail = if square < 1.0 {
        0.5 - 0.5 * beta(0.5, v / 2.0, square / (v + square))
    } else {
        0.5 * beta(v / 2.0, 0.5, v / (v + square))
    };
    if t >= 0.0 { tail } else { 1.0 - tail }
}

/// The value above which the share `q` lies, for `v` degrees of freedom.
pub(super) fn quantile_above(v: f64, q: f64) -> f64 {
    if q > 0.5 {
        return -quantile_above(v, 1.0 - q);
    }
    if q <= 0.0 {
        return f64::INFINITY;
    }
    let t = if q > MIDDLE {
        let x = beta_quantile(0.5, v / 2.0, 1.0 - 2.0 * q);
        (v * x / (1.0 - x)).sqrt()
    } else {
        let y = beta_quantile(v / 2.0, 0.5, 2.0 * q);
        (v * (1.0 - y) / y).sqrt()
    };
    // One step of Newton's in t itself, where it bends less.
    let density = exp(ln_gamma((v + 1.0) / 2.0) - ln_gamma(v / 2.0)) / (v * PI).sqrt()
        * exp(-(v + 1.0) / 2.0 * ln_1p(t * t / v));
    let step = (above(v, t) - q) / density;
    if step.is_finite() { t + step } else { t }
}

/// Half width of the central share `confidence`, in scales. Of so many degrees of
/// freedom that the beta function is slow it is the normal's with the first term of Fisher's expansion in 1 / v, good to 2e-6.
pub fn factor(v: f64, confidence: f64) -> f64 {
    let q = (1.0 - confidence) / 2.0;
    if v <= MOST_DEGREES {
        return quantile_above(v, q);
    }
    let z = -normal_quantile(q);
    z + (powi(z, 3) + z) / (4.0 * v)
}
