//! The values of one output over any number of trials, in bounded room.
//!
//! Up to [`KEPT`] values are kept as they are, and what they come to is exact. Beyond, values are
//! counted in bins: [`BINS`] of them to the interval that holds 95 of 100 of the first [`KEPT`]. An
//! interval then ends within half a bin, 1/8192 of that interval's length, of where it would with
//! all values kept: trials as many as that leave a few hundred times as much open. Mean and
//! deviation are sums over all values. Values are to be added in the order of their trials; then
//! the same trials come to the same, whoever ran them.

use std::collections::BTreeMap;

use super::coverage::{Coverage, CoverageFault, Interval, check_probability, inside, least_trials};
use crate::arithmetic::{clamp, max};

/// Values kept as they are.
pub const KEPT: usize = 10_000;
/// Bins to the interval that holds 95 of 100 of them.
pub const BINS: u32 = 4096;
/// Values further out than so many of these intervals are counted as that far.
const FURTHEST: f64 = 64.0;

/// The values of one output.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    kept: Vec<f64>,
    bins: Option<Bins>,
    moments: Moments,
    not_finite: Option<usize>,
}

/// Values counted.
#[derive(Clone, Debug)]
struct Bins {
    from: f64,
    width: f64,
    counts: BTreeMap<i32, u64>,
}

/// Sums of values and squares, taken from the first value, so that a small scatter far from 0
/// isn't lost.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Moments {
    pub(super) count: u64,
    first: f64,
    sum: f64,
    squares: f64,
}

impl Moments {
    pub(super) fn add(&mut self, value: f64) {
        if self.count == 0 {
            self.first = value;
        }
        let by = value - self.first;
        self.count += 1;
        self.sum += by;
        self.squares += by * by;
    }

    /// Mean, and standard deviation with `n - 1` (0 for a single value).
    pub(super) fn mean_and_deviation(&self) -> (f64, f64) {
        let count = self.count as f64;
        let shift = self.sum / count;
        let squares = max(self.squares - shift * self.sum, 0.0);
        let deviation = (squares / max(count - 1.0, 1.0)).sqrt();
        (self.first + shift, deviation)
    }
}

impl Bins {
    fn of(values: &[f64]) -> Self {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let at = |share: f64| sorted[(share * (sorted.len() - 1) as f64) as usize];
        let most = [at(0.975) - at(0.025), at(1.0) - at(0.0)];
        let length = most.into_iter().find(|length| *length > 0.0);
        // What never varied so far may still do so a little.
        let length = length.unwrap_or(max(1e-9 * at(0.5).abs(), f64::MIN_POSITIVE));
        let mut bins = Self {
            from: at(0.5),
            width: length / f64::from(BINS),
            counts: BTreeMap::new(),
        };
        values.iter().for_each(|value| bins.add(*value));
        bins
    }

    fn add(&mut self, value: f64) {
        let furthest = FURTHEST * f64::from(BINS);
        let bin = ((value - self.from) / self.width).round();
        *self
            .counts
            .entry(clamp(bin, -furthest, furthest) as i32)
            .or_insert(0) += 1;
    }

    /// Middles of the bins with how many values there are up to each.
    fn ranked(&self) -> Vec<(f64, u64)> {
        let mut all = 0;
        self.counts
            .iter()
            .map(|(bin, count)| {
                all += count;
                (self.from + f64::from(*bin) * self.width, all)
            })
            .collect()
    }
}

impl Tally {
    /// Adds the value of the next trial.
    pub fn add(&mut self, value: f64) {
        if !value.is_finite() {
            self.not_finite.get_or_insert(self.moments.count as usize);
            self.moments.count += 1;
            return;
        }
        self.moments.add(value);
        match &mut self.bins {
            Some(bins) => bins.add(value),
            None if self.kept.len() < KEPT => self.kept.push(value),
            None => {
                let mut bins = Bins::of(&std::mem::take(&mut self.kept));
                bins.add(value);
                self.bins = Some(bins);
            }
        }
    }

    /// What they come to, with intervals of probability `p`.
    ///
    /// # Errors
    /// As [`Coverage::of`].
    pub fn coverage(&self, probability: f64) -> Result<Coverage, CoverageFault> {
        if let Some(trial) = self.not_finite {
            return Err(CoverageFault::NotFinite { trial });
        }
        let Some(bins) = &self.bins else {
            return Coverage::of(&self.kept, probability);
        };
        check_probability(probability)?;
        let trials = self.moments.count as usize;
        let q = inside(trials, probability);
        if trials <= q {
            let least = least_trials(probability);
            return Err(CoverageFault::TooFew { trials, least });
        }
        let ranked = bins.ranked();
        // Ranks count from 1, as the standard has them.
        let value = |rank: usize| {
            let at = ranked.partition_point(|(_, up_to)| *up_to < rank as u64);
            ranked[at.min(ranked.len() - 1)].0
        };
        let from = |r: usize| Interval {
            lower: value(r),
            upper: value(r + q),
        };
        // Within a bin the lowest rank has the shortest interval.
        let firsts = std::iter::once(1).chain(ranked.iter().map(|(_, up_to)| *up_to as usize + 1));
        let shortest = firsts
            .take_while(|r| *r <= trials - q)
            .map(from)
            .min_by(|a, b| a.length().total_cmp(&b.length()))
            .unwrap_or_else(|| from(1));
        let (estimate, standard_uncertainty) = self.moments.mean_and_deviation();
        Ok(Coverage {
            estimate,
            standard_uncertainty,
            symmetric: from((trials - q).div_ceil(2)),
            shortest,
        })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn tallied(values: &[f64]) -> Tally {
        let mut tally = Tally::default();
        values.iter().for_each(|value| tally.add(*value));
        tally
    }

    /// Skewed, with a heavy tail, far from 0.
    fn values(count: usize, seed: u64) -> Vec<f64> {
        let mut state = seed;
        (0..count)
            .map(|_| {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1);
                let u = ((state >> 11) as f64 + 0.5) / (1u64 << 53) as f64;
                5.0 + 1e-3 * (-u.ln()).powi(2)
            })
            .collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        /// All values kept are the reference: ends within the stated bound, moments as they are.
        #[test]
        fn counted_values_come_to_what_all_of_them_do(count in 9_000usize..40_000, seed: u64) {
            let values = values(count, seed);
            let (exact, ours) = (
                Coverage::of(&values, 0.95).expect("values"),
                tallied(&values).coverage(0.95).expect("values"),
            );
            // Of the first values' interval: a little more than of the whole one.
            let bin = 1.1 * exact.symmetric.length() / f64::from(BINS);
            let close = |a: f64, b: f64| (a - b).abs() <= 0.5 * bin;
            prop_assert!(close(ours.symmetric.lower, exact.symmetric.lower));
            prop_assert!(close(ours.symmetric.upper, exact.symmetric.upper));
            prop_assert!((ours.shortest.length() - exact.shortest.length()).abs() <= bin);
            prop_assert!((ours.estimate - exact.estimate).abs() < 1e-12);
            prop_assert!((ours.standard_uncertainty / exact.standard_uncertainty - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn up_to_the_number_kept_it_is_exact() {
        let values = values(KEPT, 3);
        let ours = tallied(&values).coverage(0.9).expect("values");
        let exact = Coverage::of(&values, 0.9).expect("values");
        assert_eq!(ours, exact);
    }

    #[test]
    fn its_room_is_bounded() {
        let mut tally = Tally::default();
        for (i, value) in values(200_000, 9).into_iter().enumerate() {
            tally.add(if i % 97 == 0 { 1e3 * value } else { value });
        }
        let bins = tally.bins.expect("more than are kept");
        assert!(bins.counts.len() <= 2 * 64 * 4096 + 1 && bins.counts.len() < 40_000);
        assert!(tally.kept.capacity() == 0);
    }

    #[test]
    fn what_never_varies_and_what_is_no_number_are_told() {
        let same = tallied(&vec![0.25; KEPT + 500])
            .coverage(0.95)
            .expect("values");
        assert_eq!((same.estimate, same.standard_uncertainty), (0.25, 0.0));
        assert_eq!(same.symmetric.lower, same.symmetric.upper);
        let mut bad = tallied(&[1.0, 2.0]);
        bad.add(f64::NAN);
        let fault = bad.coverage(0.5).expect_err("no number");
        assert_eq!(fault, CoverageFault::NotFinite { trial: 2 });
    }
}
