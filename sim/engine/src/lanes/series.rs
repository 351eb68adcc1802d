//! Sums and ends of long series, four numbers at a time.

use super::Lanes;
use super::block::Four;
use crate::arithmetic::{max, min};

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

/// Lowest and highest of `values`, none of them NaN, four at a time; of none, infinity and minus
/// infinity.
#[inline(always)]
pub fn range(values: &[f64]) -> (f64, f64) {
    let (fours, rest) = values.as_chunks::<4>();
    let (mut low, mut high) = (Four::splat(f64::INFINITY), Four::splat(f64::NEG_INFINITY));
    for &four in fours {
        let four = Four::from_arr(four);
        low = low.lower(four);
        high = high.higher(four);
    }
    let [lows, highs] = [low, high].map(Four::into_arr);
    let all = |ends: [f64; 4]| ends.into_iter().chain(rest.iter().copied());
    (
        all(lows).fold(f64::INFINITY, min),
        all(highs).fold(f64::NEG_INFINITY, max),
    )
}
