//! The special functions of statistics: the normal's quantile, the incomplete beta function and its inverse.

use crate::arithmetic::{exp, ln, ln_1p, ln_gamma, max, min, powf};

/// Value below which the share `p` of the standard normal lies, to the last bits.
/// Source: Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37(3), 1988; from memory, held
/// against the normal's own share in the tests.
pub fn normal_quantile(p: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let off = p - 0.5;
    if off.abs() <= 0.425 {
        let r = 0.180625 - off * off;
        return off * ratio(&MIDDLE, r);
    }
    let r = (-ln(if off < 0.0 { p } else { 1.0 - p })).sqrt();
    let far = if r <= 5.0 {
        ratio(&TAIL, r - 1.6)
    } else {
        ratio(&FAR, r - 5.0)
    };
    if off < 0.0 { -far } else { far }
}

/// One polynomial over another, the highest power first.
fn ratio([over, under]: &[[f64; 8]; 2], x: f64) -> f64 {
    let at = |of: &[f64; 8]| of.iter().fold(0.0, |sum, by| sum * x + by);
    at(over) / at(under)
}

#[expect(clippy::excessive_precision, reason = "as published")]
const MIDDLE: [[f64; 8]; 2] = [
    [
        2.5090809287301226727e3,
        3.3430575583588128105e4,
        6.7265770927008700853e4,
        4.5921953931549871457e4,
        1.3731693765509461125e4,
        1.9715909503065514427e3,
        1.3314166789178437745e2,
        3.3871328727963666080,
    ],
    [
        5.2264952788528545610e3,
        2.8729085735721942674e4,
        3.9307895800092710610e4,
        2.1213794301586595867e4,
        5.3941960214247511077e3,
        6.8718700749205790830e2,
        4.2313330701600911252e1,
        1.0,
    ],
];

#[expect(clippy::excessive_precision, reason = "as published")]
const TAIL: [[f64; 8]; 2] = [
    [
        7.74545014278341407640e-4,
        2.27238449892691845833e-2,
        2.41780725177450611770e-1,
        1.27045825245236838258,
        3.64784832476320460504,
        5.76949722146069140550,
        4.63033784615654529590,
        1.42343711074968357734,
    ],
    [
        1.05075007164441684324e-9,
        5.47593808499534494600e-4,
        1.51986665636164571966e-2,
        1.48103976427480074590e-1,
        6.89767334985100004550e-1,
        1.67638483018380384940,
        2.05319162663775882187,
        1.0,
    ],
];

#[expect(clippy::excessive_precision, reason = "as published")]
const FAR: [[f64; 8]; 2] = [
    [
        2.01033439929228813265e-7,
        2.71155556874348757815e-5,
        1.24266094738807843860e-3,
        2.65321895265761230930e-2,
        2.96560571828504891230e-1,
        1.78482653991729133580,
        5.46378491116411436990,
        6.65790464350110377720,
    ],
    [
        2.04426310338993978564e-15,
        1.42151175831644588870e-7,
        1.84631831751005468180e-5,
        7.86869131145613259100e-4,
        1.48753612908506148525e-2,
        1.36929880922735805310e-1,
        5.99832206555887937690e-1,
        1.0,
    ],
];

/// Terms of the continued fraction at most: enough for trials by the million.
const TERMS: i32 = 20_000;

/// Logarithm of `x^a (1 - x)^b / B(a, b)`.
fn log_front(a: f64, b: f64, x: f64) -> f64 {
    ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * ln(x) + b * ln_1p(-x)
}

/// The regularised incomplete beta function `I(x; a, b)`, by its continued fraction (NIST Handbook
/// of Mathematical Functions, 8.17.22) evaluated by Lentz's method.
pub fn beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction converges fast on this side of the mean.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta(b, a, 1.0 - x);
    }
    let away = |value: f64| if value.abs() < 1e-300 { 1e-300 } else { value };
    let mut under = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let (mut over, mut fraction) = (1.0, under);
    for m in 1..TERMS {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut last = 1.0;
        for term in [even, odd] {
            under = 1.0 / away(1.0 + term * under);
            over = away(1.0 + term / over);
            last = over * under;
            fraction *= last;
        }
        if (last - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    exp(log_front(a, b, x)) * fraction / a
}

/// The place `x` where `I(x; a, b)` is `share`: Newton's steps in the logarithm of the distance
/// from the nearer end, inside a bracket that every look narrows.
pub fn beta_quantile(a: f64, b: f64, share: f64) -> f64 {
    if share <= 0.0 {
        return 0.0;
    }
    if share >= 1.0 {
        return 1.0;
    }
    // From the far end the same, and there thin shares keep their precision.
    if share > 0.5 && beta(a, b, 0.5) < share {
        return 1.0 - beta_quantile(b, a, 1.0 - share);
    }
    let (mut low, mut high) = (0.0, 1.0);
    // Near the end the share goes as x^a.
    let power = exp(ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b)) / a;
    let mut x = min(powf(share / power, 1.0 / a), a / (a + b));
    for _ in 0..200 {
        let found = beta(a, b, x);
        let over = found - share;
        if over > 0.0 {
            high = x;
        } else {
            low = x;
        }
        // d ln I / d ln x, so that a power law is met in one step.
        let slope = exp(log_front(a, b, x)) / (1.0 - x) / found;
        let mut next = x * exp(-ln(found / share) / slope);
        if !(next > low && next < high) {
            next = if low > 0.0 {
                (low * high).sqrt()
            } else {
                0.5 * high
            };
        }
        if (next - x).abs() <= f64::EPSILON * x {
            return next;
        }
        x = next;
    }
    max(x, low)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use statrs::function::{beta::beta_reg, erf::erfc_inv};

    use super::*;
    use crate::arithmetic::erfc;

    fn near(ours: f64, theirs: f64, within: f64) -> bool {
        (ours - theirs).abs() <= within * theirs.abs()
    }

    proptest! {
        #[test]
        fn the_normals_quantile_is_where_its_share_lies(log in -650.0..-0.7f64) {
            let p = exp(log);
            let z = normal_quantile(p);
            let share = 0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2);
            // As far as the share itself hangs on the last bit of z.
            prop_assert!(near(share, p, 1e-15 * (4.0 + z * z)), "{p}: {z}, {share}");
            let theirs = -std::f64::consts::SQRT_2 * erfc_inv(2.0 * p);
            prop_assert!(near(z, theirs, 1e-14), "{p}: {z}, {theirs}");
        }

        #[test]
        fn the_upper_half_mirrors_the_lower(p in 0.01..0.5f64) {
            prop_assert!((normal_quantile(1.0 - p) + normal_quantile(p)).abs() < 1e-14);
        }

        #[test]
        fn the_incomplete_beta_function_is_the_librarys(
            a in 0.3..200.0f64, b in 0.3..200.0f64, x in 0.0..1.0f64,
        ) {
            let (ours, theirs) = (beta(a, b, x), beta_reg(a, b, x));
            prop_assert!((ours - theirs).abs() < 1e-11 * theirs.max(1e-3), "{ours}, {theirs}");
        }

        #[test]
        fn the_inverse_comes_back(a in 0.3..200.0f64, b in 0.3..200.0f64, log in -40.0..-0.1f64) {
            let share = exp(log);
            let x = beta_quantile(a, b, share);
            // As far as the share hangs on the last bits of x or of 1 - x.
            let hangs = exp(log_front(a, b, x)) * (1.0 / x + 1.0 / (1.0 - x));
            let back = beta(a, b, x);
            prop_assert!(
                (back - share).abs() < 1e-11 * share + 4.0 * f64::EPSILON * hangs,
                "{a}, {b}, {share}: {x}, {back}"
            );
        }
    }

    #[test]
    fn closed_forms() {
        // I(x; 1, b) = 1 - (1 - x)^b, I(x; a, 1) = x^a, I(x; 1/2, 1/2) = 2 asin(sqrt x) / pi.
        for x in [1e-9, 0.1, 0.37, 0.5, 0.93] {
            assert!(near(
                beta(1.0, 3.0, x),
                1.0 - (1.0 - x).powi(3),
                1e-13 + 1e-16 / x
            ));
            assert!(near(beta(4.0, 1.0, x), x.powi(4), 1e-13));
            let arcsine = std::f64::consts::FRAC_2_PI * x.sqrt().asin();
            assert!(near(beta(0.5, 0.5, x), arcsine, 1e-13));
            assert!(near(beta_quantile(4.0, 1.0, x), x.powf(0.25), 1e-13));
        }
        assert_eq!([beta(2.0, 3.0, 0.0), beta(2.0, 3.0, 1.0)], [0.0, 1.0]);
        assert_eq!([0.0, 1.0].map(|p| beta_quantile(2.0, 3.0, p)), [0.0, 1.0]);
        assert_eq!(
            [0.0, 0.5, 1.0].map(normal_quantile),
            [f64::NEG_INFINITY, 0.0, f64::INFINITY]
        );
    }
}
