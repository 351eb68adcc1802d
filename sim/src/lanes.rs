//! One number, or several side by side: a law is written once for both.
//!
//! A step along the cut has to wait for the one before, but what bounds the slide there does not:
//! the bounds of a whole turn are worked out several at a time. Lanes are four plain `f64`, so
//! the results are the same on every processor.

pub use simba::simd::{SimdBool, SimdPartialOrd, SimdSigned, SimdValue};
use simba::simd::{SimdRealField, WideF64x4};

/// A number, or several.
pub trait Lanes: SimdRealField<Element = f64> + Copy {
    /// The first [`SimdValue::LANES`] of `values`.
    ///
    /// # Panics
    /// If there are fewer.
    fn load(values: &[f64]) -> Self;

    /// Into the first [`SimdValue::LANES`] of `into`.
    ///
    /// # Panics
    /// If there are fewer.
    fn store(self, into: &mut [f64]);

    /// `of` each.
    fn each(self, of: impl Fn(f64) -> f64) -> Self;
}

/// Four numbers.
pub type Four = WideF64x4;

impl Lanes for f64 {
    #[inline(always)]
    fn load(values: &[f64]) -> Self {
        values[0]
    }

    #[inline(always)]
    fn store(self, into: &mut [f64]) {
        into[0] = self;
    }

    #[inline(always)]
    fn each(self, of: impl Fn(f64) -> f64) -> Self {
        of(self)
    }
}

impl Lanes for Four {
    #[inline(always)]
    fn load(values: &[f64]) -> Self {
        Self::from([values[0], values[1], values[2], values[3]])
    }

    #[inline(always)]
    fn store(self, into: &mut [f64]) {
        into[..4].copy_from_slice(&self.into_arr());
    }

    #[inline(always)]
    fn each(self, of: impl Fn(f64) -> f64) -> Self {
        self.map(of)
    }
}

/// Sum of `values`, four at a time.
#[inline]
pub fn sum(values: &[f64]) -> f64 {
    let (fours, rest) = values.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for four in fours {
        for (sum, value) in sums.iter_mut().zip(four) {
            *sum += value;
        }
    }
    let [a, b, c, d] = sums;
    (a + b) + (c + d) + rest.iter().sum::<f64>()
}

/// Lowest and highest of `values`, four at a time; of none, infinity and minus infinity.
#[inline]
pub fn range(values: &[f64]) -> (f64, f64) {
    let mut low = [f64::INFINITY; 4];
    let mut high = [f64::NEG_INFINITY; 4];
    for four in values.chunks(4) {
        for ((low, high), &value) in low.iter_mut().zip(&mut high).zip(four) {
            *low = if value < *low { value } else { *low };
            *high = if value > *high { value } else { *high };
        }
    }
    (
        low.into_iter().fold(f64::INFINITY, f64::min),
        high.into_iter().fold(f64::NEG_INFINITY, f64::max),
    )
}
