//! What floating point gives otherwise on another processor, system or in a browser: here the same everywhere.
//!
//! Sums, products, quotients, square roots, rounding to whole numbers and the rest of a division
//! are exact by the standard, and std has them alike everywhere. Sine, logarithm, power and their
//! like it takes from the system's mathematics library, which differs between systems and between
//! processors of one system; of two zeros the lower and the higher are left to the processor.

/// Sine.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine.
#[inline]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Tangent.
#[inline]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Angle of a sine.
#[inline]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Angle of a cosine.
#[inline]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Angle of a tangent.
#[inline]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Angle of the point `(x, y)`.
#[inline]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Hyperbolic sine.
#[inline]
pub fn sinh(x: f64) -> f64 {
    libm::sinh(x)
}

/// Hyperbolic cosine.
#[inline]
pub fn cosh(x: f64) -> f64 {
    libm::cosh(x)
}

/// Inverse of the hyperbolic tangent.
#[inline]
pub fn atanh(x: f64) -> f64 {
    libm::atanh(x)
}

/// `e` to the power `x`.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// 2 to the power `x`.
#[inline]
pub fn exp2(x: f64) -> f64 {
    libm::exp2(x)
}

/// `e` to the power `x`, less 1, without the cancellation.
#[inline]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Natural logarithm of `1 + x`, without the cancellation.
#[inline]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Logarithm to the base 2.
#[inline]
pub fn log2(x: f64) -> f64 {
    libm::log2(x)
}

/// Logarithm to the base 10.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// `x` to the power `exponent`.
#[inline]
pub fn powf(x: f64, exponent: f64) -> f64 {
    libm::pow(x, exponent)
}

/// Long side of the right triangle with these legs.
#[inline]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// 1 less the error function.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// The error function.
#[inline]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Logarithm of the gamma function.
#[inline]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

/// `x` to a whole power, by squaring; to a negative one, 1 over that.
#[inline(always)]
pub const fn powi(x: f64, exponent: i32) -> f64 {
    let mut left = exponent.unsigned_abs();
    let (mut square, mut power) = (x, 1.0);
    while left > 0 {
        if left & 1 == 1 {
            power *= square;
        }
        left >>= 1;
        square *= square;
    }
    if exponent < 0 { 1.0 / power } else { power }
}

/// The lower; the other where one is NaN. Of two zeros the second.
#[inline(always)]
pub const fn min(a: f64, b: f64) -> f64 {
    // In two, so that the first is one instruction.
    let lower = if a < b { a } else { b };
    if b.is_nan() { a } else { lower }
}

/// The higher; the other where one is NaN. Of two zeros the second.
#[inline(always)]
pub const fn max(a: f64, b: f64) -> f64 {
    let higher = if a > b { a } else { b };
    if b.is_nan() { a } else { higher }
}

/// `x`, or the end that it lies beyond; NaN stays NaN, and an end that is NaN bounds nothing.
#[inline(always)]
pub const fn clamp(x: f64, low: f64, high: f64) -> f64 {
    let x = if x < low { low } else { x };
    if x > high { high } else { x }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Within some units in the last place of std's.
    fn near(ours: f64, stds: f64) -> bool {
        ours == stds
            || (ours.is_nan() && stds.is_nan())
            || (ours - stds).abs() <= 4.0 * f64::EPSILON * stds.abs().max(f64::MIN_POSITIVE)
    }

    proptest! {
        #[test]
        fn every_function_is_the_one_that_std_has_by_that_name(
            x in -30.0..30.0f64, y in -30.0..30.0f64, share in -1.0..1.0f64, n in -9..9i32,
        ) {
            for (name, ours, stds) in [
                ("sin", sin(x), x.sin()),
                ("cos", cos(x), x.cos()),
                ("sin of both", sin_cos(x).0, x.sin()),
                ("cos of both", sin_cos(x).1, x.cos()),
                ("tan", tan(x), x.tan()),
                ("asin", asin(share), share.asin()),
                ("acos", acos(share), share.acos()),
                ("atan", atan(x), x.atan()),
                ("atan2", atan2(x, y), x.atan2(y)),
                ("sinh", sinh(x), x.sinh()),
                ("cosh", cosh(x), x.cosh()),
                ("exp", exp(x), x.exp()),
                ("exp2", exp2(x), x.exp2()),
                ("exp_m1", exp_m1(x), x.exp_m1()),
                ("ln", ln(x), x.ln()),
                ("ln_1p", ln_1p(x), x.ln_1p()),
                ("log2", log2(x), x.log2()),
                ("log10", log10(x), x.log10()),
                ("powf", powf(x.abs(), y), x.abs().powf(y)),
                ("hypot", hypot(x, y), x.hypot(y)),
                ("powi", powi(x, n), x.powi(n)),
            ] {
                prop_assert!(near(ours, stds), "{name} of {x}, {y}, {share}, {n}: {ours}, {stds}");
            }
            prop_assert!((atanh(share).tanh() - share).abs() < 1e-14);
        }

        #[test]
        fn lower_higher_and_within_are_those_of_std_for_numbers_that_differ(
            a in prop::num::f64::ANY, b in prop::num::f64::ANY, c in prop::num::f64::NORMAL,
        ) {
            let same = |ours: f64, stds: f64| ours == stds || (ours.is_nan() && stds.is_nan());
            prop_assert!(same(min(a, b), a.min(b)));
            prop_assert!(same(max(a, b), a.max(b)));
            let (low, high) = (c.min(1.0), c.max(1.0));
            prop_assert!(same(clamp(a, low, high), a.clamp(low, high)));
        }
    }

    #[test]
    fn of_two_zeros_it_is_always_the_second_one() {
        for (a, b) in [(0.0, -0.0), (-0.0, 0.0)] {
            let (a, b) = (std::hint::black_box(a), std::hint::black_box(b));
            assert_eq!(min(a, b).to_bits(), b.to_bits());
            assert_eq!(max(a, b).to_bits(), b.to_bits());
        }
        assert_eq!(clamp(-0.0, 0.0, 1.0).to_bits(), (-0.0f64).to_bits());
    }

    #[test]
    fn a_bound_that_is_no_number_stops_nothing() {
        assert_eq!(clamp(3.0, f64::NAN, f64::NAN), 3.0);
        assert!(clamp(f64::NAN, 0.0, 1.0).is_nan());
        assert_eq!(max(f64::NAN, 0.0), 0.0);
        assert_eq!(max(0.0, f64::NAN), 0.0);
    }

    #[test]
    fn whole_powers_are_products() {
        assert_eq!(powi(3.0, 0), 1.0);
        assert_eq!(powi(0.1, 2), 0.1 * 0.1);
        assert_eq!(powi(0.1, 3), 0.1 * (0.1 * 0.1));
        assert_eq!(powi(10.0, -3), 1.0 / 1000.0);
        assert_eq!(powi(2.0, i32::MIN), 0.0);
    }
}
