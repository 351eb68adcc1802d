//! One number, or several side by side: a law is written once for both.
//!
//! A step along the cut has to wait for the one before, but what bounds the slide there does not:
//! the bounds of a whole turn are worked out several at a time. Or the lanes are lathes, that cut
//! the same job abreast. Lanes are four plain `f64`, so the results are the same on every
//! processor.

pub use simba::simd::{SimdBool, SimdComplexField, SimdPartialOrd, SimdSigned, SimdValue};
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

    /// This times `by` and `plus`, rounded once: the same on every processor, fast on those that
    /// have an instruction for it.
    fn times_plus(self, by: Self, plus: Self) -> Self;

    /// Of which lanes it holds, in bits, the first lane's lowest.
    fn bits(holds: Self::SimdBool) -> u64;
}

/// A number of the machine as the lanes have it: one for all, or each its own.
pub trait Across<R>: Copy {
    /// In every lane.
    fn across(self) -> R;
}

impl<R: Lanes> Across<R> for f64 {
    #[inline(always)]
    fn across(self) -> R {
        R::splat(self)
    }
}

impl Across<Four> for Four {
    #[inline(always)]
    fn across(self) -> Four {
        self
    }
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

    #[inline(always)]
    fn times_plus(self, by: Self, plus: Self) -> Self {
        self.mul_add(by, plus)
    }

    #[inline(always)]
    fn bits(holds: bool) -> u64 {
        u64::from(holds)
    }
}

impl Lanes for Four {
    #[inline(always)]
    fn load(values: &[f64]) -> Self {
        // Taken as one block: number by number they would go through memory.
        let four: &[f64; 4] = values.first_chunk().expect("four values");
        Self::from_arr(*four)
    }

    #[inline(always)]
    fn store(self, into: &mut [f64]) {
        *into.first_chunk_mut().expect("room for four values") = self.into_arr();
    }

    #[inline(always)]
    fn each(self, of: impl Fn(f64) -> f64) -> Self {
        self.map(of)
    }

    #[inline(always)]
    fn times_plus(self, by: Self, plus: Self) -> Self {
        // Where the build doesn't know of the instruction, the block's own rounds twice.
        if cfg!(all(target_feature = "avx", target_feature = "fma")) {
            WideF64x4(self.0.mul_add(by.0, plus.0))
        } else {
            let (a, b, c) = (self.into_arr(), by.into_arr(), plus.into_arr());
            Self::from_arr(std::array::from_fn(|lane| {
                a[lane].mul_add(b[lane], c[lane])
            }))
        }
    }

    #[inline(always)]
    fn bits(holds: Self::SimdBool) -> u64 {
        u64::from(holds.0.to_bitmask())
    }
}

/// Sum of `values`, four at a time.
#[inline(always)]
pub fn sum(values: &[f64]) -> f64 {
    let (fours, rest) = values.as_chunks::<4>();
    let sums = fours
        .iter()
        .fold(Four::ZERO, |sums, &four| sums + Four::from_arr(four));
    let [a, b, c, d] = sums.into_arr();
    (a + b) + (c + d) + rest.iter().sum::<f64>()
}

/// How many of `values` are so, four at a time.
#[inline(always)]
pub fn count(values: &[f64], so: impl Fn(Four) -> <Four as SimdValue>::SimdBool) -> usize {
    let (fours, rest) = values.as_chunks::<4>();
    let of = |four: Four| Four::bits(so(four)).count_ones() as usize;
    let whole: usize = fours.iter().map(|&four| of(Four::from_arr(four))).sum();
    let one = |&value: &f64| usize::from(Four::bits(so(Four::splat(value))) & 1 == 1);
    whole + rest.iter().map(one).sum::<usize>()
}

/// Lowest and highest of `values`, none of them NaN, four at a time; of none, infinity and minus
/// infinity.
#[inline(always)]
pub fn range(values: &[f64]) -> (f64, f64) {
    let (fours, rest) = values.as_chunks::<4>();
    let (mut low, mut high) = (Four::splat(f64::INFINITY), Four::splat(f64::NEG_INFINITY));
    for &four in fours {
        let four = Four::from_arr(four);
        low = lower(low, four);
        high = higher(high, four);
    }
    let [lows, highs] = [low, high].map(Four::into_arr);
    let all = |ends: [f64; 4]| ends.into_iter().chain(rest.iter().copied());
    (
        all(lows).fold(f64::INFINITY, f64::min),
        all(highs).fold(f64::NEG_INFINITY, f64::max),
    )
}

/// The lower of each two, neither NaN.
#[inline(always)]
pub fn lower(a: Four, b: Four) -> Four {
    WideF64x4(a.0.fast_min(b.0))
}

/// The higher of each two, neither NaN.
#[inline(always)]
pub fn higher(a: Four, b: Four) -> Four {
    WideF64x4(a.0.fast_max(b.0))
}
