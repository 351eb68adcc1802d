//! Random numbers from the normal, exponential and chi-squared distributions, from our own functions.
//!
//! Normal and exponential by a ziggurat of 256 layers: Marsaglia and Tsang, "The Ziggurat Method
//! for Generating Random Variables", J. Statistical Software 5(8), 2000, in Doornik's variant
//! ("An Improved Ziggurat Method to Generate Normal Random Samples", Nuffield College, 2005).
//! Chi-squared by Marsaglia and Tsang, "A Simple Method for Generating Gamma Variables", ACM
//! Trans. Math. Softw. 26(3), 2000. From memory; the tests hold them against a library of
//! distributions, whose own logarithms hang on how it is built.

use std::sync::LazyLock;

use rand::distr::Open01;
use rand::{Rng, RngExt};

use crate::arithmetic::{exp, ln};

/// Layers of a ziggurat.
const LAYERS: usize = 256;
/// Where the tail of the normal begins, with so many layers.
const NORMAL_TAIL: f64 = 3.654_152_885_361_009;
/// Area of each layer, to the digits that are usual.
const NORMAL_AREA: f64 = 0.004_928_673_233_99;
/// Where the tail of the exponential begins.
const EXPONENTIAL_TAIL: f64 = 7.697_117_470_131_05;

/// Layers of equal area under a falling density that is 1 at nothing.
struct Ziggurat {
    /// How far each layer reaches; the first one is the lowest, as wide as its area with the tail
    /// would make it.
    reach: [f64; LAYERS + 1],
    /// The density there.
    density: [f64; LAYERS + 1],
}

impl Ziggurat {
    fn new(tail: f64, area: f64, density: fn(f64) -> f64, inverse: fn(f64) -> f64) -> Self {
        let mut reach = [0.0; LAYERS + 1];
        reach[0] = area / density(tail);
        reach[1] = tail;
        for i in 2..LAYERS {
            reach[i] = inverse(area / reach[i - 1] + density(reach[i - 1]));
        }
        Self {
            reach,
            density: reach.map(density),
        }
    }

    /// One number, of either sign where `across` runs from -1 to 1; none where it lies in the tail.
    #[inline(always)]
    fn draw(
        &self,
        rng: &mut (impl Rng + ?Sized),
        across: fn(u64) -> f64,
        density: fn(f64) -> f64,
    ) -> Result<f64, f64> {
        loop {
            let bits = rng.next_u64();
            let layer = bits as usize % LAYERS;
            let share = across(bits >> 12);
            let x = share * self.reach[layer];
            if x.abs() < self.reach[layer + 1] {
                return Ok(x);
            }
            if layer == 0 {
                return Err(share);
            }
            let (low, high) = (self.density[layer], self.density[layer + 1]);
            if high + (low - high) * rng.random::<f64>() < density(x) {
                return Ok(x);
            }
        }
    }
}

/// 52 random bits as a number from `2^exponent` to twice that.
fn binade(bits: u64, exponent: u64) -> f64 {
    f64::from_bits((1023 + exponent) << 52 | bits)
}

fn bell(x: f64) -> f64 {
    exp(-x * x / 2.0)
}

fn decay(x: f64) -> f64 {
    exp(-x)
}

static NORMAL: LazyLock<Ziggurat> =
    LazyLock::new(|| Ziggurat::new(NORMAL_TAIL, NORMAL_AREA, bell, |y| (-2.0 * ln(y)).sqrt()));

static EXPONENTIAL: LazyLock<Ziggurat> = LazyLock::new(|| {
    let area = (EXPONENTIAL_TAIL + 1.0) * decay(EXPONENTIAL_TAIL);
    Ziggurat::new(EXPONENTIAL_TAIL, area, decay, |y| -ln(y))
});

/// Of the standard normal.
pub fn normal(rng: &mut (impl Rng + ?Sized)) -> f64 {
    match NORMAL.draw(rng, |bits| binade(bits, 1) - 3.0, bell) {
        Ok(x) => x,
        Err(share) => loop {
            let x = ln(rng.sample(Open01)) / NORMAL_TAIL;
            let y = ln(rng.sample(Open01));
            if -2.0 * y >= x * x {
                let far = NORMAL_TAIL - x;
                return if share < 0.0 { -far } else { far };
            }
        },
    }
}

/// Of the exponential whose mean is 1.
fn exponential(rng: &mut (impl Rng + ?Sized)) -> f64 {
    let across = |bits| binade(bits, 0) - (1.0 - f64::EPSILON / 2.0);
    match EXPONENTIAL.draw(rng, across, decay) {
        Ok(x) => x,
        Err(_) => EXPONENTIAL_TAIL - ln(rng.random::<f64>()),
    }
}

/// Of chi squared with a whole number of degrees of freedom.
pub fn chi_squared(freedom: f64, rng: &mut (impl Rng + ?Sized)) -> f64 {
    debug_assert!(freedom >= 1.0 && freedom.fract() == 0.0);
    if freedom == 1.0 {
        let x = normal(rng);
        return x * x;
    }
    if freedom == 2.0 {
        return 2.0 * exponential(rng);
    }
    let d = 0.5 * freedom - 1.0 / 3.0;
    let c = 1.0 / (9.0 * d).sqrt();
    loop {
        let x = normal(rng);
        let root = 1.0 + c * x;
        if root <= 0.0 {
            continue;
        }
        let v = root * root * root;
        let u: f64 = rng.sample(Open01);
        let square = x * x;
        if u < 1.0 - 0.0331 * square * square || ln(u) < 0.5 * square + d * (1.0 - v + ln(v)) {
            return v * (d * 2.0);
        }
    }
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;
    use rand_distr::{ChiSquared, Distribution, Exp1, StandardNormal};

    use super::*;

    /// The library's numbers, one by one, and the same bits used up.
    fn same(ours: fn(&mut ChaCha8Rng) -> f64, theirs: impl Distribution<f64>) {
        let mut a = ChaCha8Rng::seed_from_u64(7);
        let mut b = a.clone();
        for i in 0..200_000 {
            let (x, y) = (ours(&mut a), theirs.sample(&mut b));
            assert!((x - y).abs() <= 2e-14 * y.abs(), "{i}: {x}, {y}");
        }
        assert_eq!(a.next_u64(), b.next_u64());
    }

    #[test]
    fn numbers_are_those_of_the_library() {
        same(normal, StandardNormal);
        same(exponential, Exp1);
        same(
            |rng| chi_squared(1.0, rng),
            ChiSquared::new(1.0).expect("sound"),
        );
        same(
            |rng| chi_squared(2.0, rng),
            ChiSquared::new(2.0).expect("sound"),
        );
        same(
            |rng| chi_squared(3.0, rng),
            ChiSquared::new(3.0).expect("sound"),
        );
        same(
            |rng| chi_squared(11.0, rng),
            ChiSquared::new(11.0).expect("sound"),
        );
    }

    #[test]
    fn the_last_layer_closes_the_ziggurat() {
        let beyond = std::f64::consts::FRAC_PI_2.sqrt()
            * crate::arithmetic::erfc(NORMAL_TAIL * std::f64::consts::FRAC_1_SQRT_2);
        let area = NORMAL_TAIL * bell(NORMAL_TAIL) + beyond;
        assert!((NORMAL_AREA / area - 1.0).abs() < 1e-11, "{area}");
        for (ziggurat, name) in [(&NORMAL, "normal"), (&EXPONENTIAL, "exponential")] {
            let area = ziggurat.reach[0] * ziggurat.density[1];
            let last = ziggurat.reach[LAYERS - 1] * (1.0 - ziggurat.density[LAYERS - 1]);
            assert!((last / area - 1.0).abs() < 1e-9, "{name}: {last}, {area}");
        }
    }
}
