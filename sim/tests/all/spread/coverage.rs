//! Intervals: their ranks, and that they hold the truth about as often as they say.

use proptest::prelude::*;
use tautway_sim::spread::{
    Better, Coverage, CoverageFault, Distribution, Draws, Interval, Paired, PairedFault, Proportion,
};

const STUDIES: u64 = 200;

/// Least count of 200 at 95 %: four standard deviations of the binomial (3.08) below 190.
const LEAST_AT_95: u32 = 177;

fn study(seed: u64, trials: u64, of: &Distribution) -> Vec<f64> {
    let draws = Draws { seed };
    (0..trials)
        .map(|trial| of.quantile(draws.uniform(trial, 0)))
        .collect()
}

fn normal(mean: f64, standard_deviation: f64) -> Distribution {
    Distribution::Normal {
        mean,
        standard_deviation,
    }
}

#[test]
fn ranks_of_the_guide() {
    // JCGM 101:2008, 7.7, from memory: of 1..M, q = p M and r = (M - q) / 2, both half up.
    let of = |count: u32, p: f64| {
        let values: Vec<f64> = (1..=count).rev().map(f64::from).collect();
        Coverage::of(&values, p).expect("enough")
    };
    let ends = |lower: f64, upper: f64| Interval { lower, upper };
    assert_eq!(of(100_000, 0.95).symmetric, ends(2500.0, 97_500.0));
    assert_eq!(of(1000, 0.95).symmetric, ends(25.0, 975.0));
    // q = 96 from 95.95, r = 3 from 2.5.
    assert_eq!(of(101, 0.95).symmetric, ends(3.0, 99.0));
    // Equal steps: all are as long, and the lowest is taken.
    assert_eq!(of(1000, 0.95).shortest, ends(1.0, 951.0));
    assert_eq!(of(11, 0.95).symmetric, ends(1.0, 11.0));

    let few = Coverage::of(&[1.0; 10], 0.95).unwrap_err();
    assert_eq!(
        few,
        CoverageFault::TooFew {
            trials: 10,
            least: 11
        }
    );
    let lost = Coverage::of(&[1.0, f64::NAN, 2.0], 0.5).unwrap_err();
    assert_eq!(lost, CoverageFault::NotFinite { trial: 1 });
    assert!(Coverage::of(&[1.0, 2.0], 95.0).is_err());
}

#[test]
fn a_small_scatter_far_from_nought_is_not_lost() {
    let values: Vec<f64> = (0..1000).map(|k| 1e9 + f64::from(k % 2)).collect();
    let found = Coverage::of(&values, 0.9).expect("enough");
    // Closed form: half of them one higher.
    assert_eq!(found.estimate, 1e9 + 0.5);
    let expected = (0.25f64 * 1000.0 / 999.0).sqrt();
    assert!((found.standard_uncertainty - expected).abs() < 1e-12);
}

proptest! {
    #[test]
    fn shortest_is_never_longer_and_both_hold_their_share(
        values in prop::collection::vec(-1e3..1e3f64, 60..400),
        p in 0.5..0.97f64,
    ) {
        let found = Coverage::of(&values, p).expect("enough");
        prop_assert!(found.shortest.length() <= found.symmetric.length());
        // By trying all that hold as many, q = p M half up.
        let mut sorted = values.clone();
        sorted.sort_by(f64::total_cmp);
        let q = (p * values.len() as f64 + 0.5).floor() as usize;
        let all = sorted.windows(q + 1).map(|held| held[q] - held[0]);
        prop_assert_eq!(found.shortest.length(), all.fold(f64::INFINITY, f64::min));
        for interval in [found.shortest, found.symmetric] {
            let held = values.iter().filter(|value| interval.holds(**value)).count();
            prop_assert!(held as f64 > p * values.len() as f64);
        }
    }

    #[test]
    fn intervals_of_a_share_hold_it(of in 1u64..500, part in 0.0..=1.0f64, level in 0.5..0.999f64) {
        let count = (of as f64 * part).round() as u64;
        let found = Proportion { count, of };
        let share = found.share().expect("some");
        let wilson = found.wilson(level).expect("an interval");
        let exact = found.clopper_pearson(level).expect("an interval");
        for interval in [wilson, exact] {
            prop_assert!(0.0 <= interval.lower && interval.upper <= 1.0);
            prop_assert!(interval.lower <= share + 1e-12 && share <= interval.upper + 1e-12);
        }
        // The mirrored count has the mirrored interval.
        let mirrored = Proportion { count: of - count, of };
        let wilson_back = mirrored.wilson(level).expect("an interval");
        prop_assert!((wilson.lower - (1.0 - wilson_back.upper)).abs() < 1e-12);
        let exact_back = mirrored.clopper_pearson(level).expect("an interval");
        prop_assert!((exact.lower - (1.0 - exact_back.upper)).abs() < 1e-9);
    }
}

#[test]
fn intervals_of_a_share_cover_as_often_as_they_say() {
    let width = normal(0.0, 1.0);
    let (mut wilson, mut studies) = (0, 0);
    for (case, half) in [0.5, 1.0, 1.5, 2.0].into_iter().enumerate() {
        let truth = width.cdf(half) - width.cdf(-half);
        let mut exact = 0;
        for seed in 0..STUDIES {
            let values = study(10_000 * case as u64 + seed, 60, &width);
            let found = Proportion::inside(&values, -half, half);
            wilson += u32::from(found.wilson(0.95).expect("some").holds(truth));
            exact += u32::from(found.clopper_pearson(0.95).expect("some").holds(truth));
            studies += 1;
        }
        // Never less than it says.
        assert!(exact >= LEAST_AT_95, "{half}: {exact}");
    }
    // On the average about what it says: 760 of 800, four standard deviations are 24.7, and the
    // mean over these four shares may lie 1 % (8) off.
    assert_eq!(studies, 800);
    assert!((728..=793).contains(&wilson), "{wilson}");
}

#[test]
fn intervals_of_values_hold_their_share_of_the_distribution() {
    let skewed = Distribution::LogNormal {
        median: 1.0,
        factor: 3.0,
    };
    let (trials, p) = (200, 0.9);
    let (mut symmetric, mut shortest, mut missing) = (0.0, 0.0, (0.0, 0.0));
    for seed in 0..STUDIES {
        let found = Coverage::of(&study(seed, trials, &skewed), p).expect("enough");
        let held = |ends: Interval| skewed.cdf(ends.upper) - skewed.cdf(ends.lower);
        symmetric += held(found.symmetric) / STUDIES as f64;
        shortest += held(found.shortest) / STUDIES as f64;
        missing.0 += skewed.cdf(found.symmetric.lower) / STUDIES as f64;
        missing.1 += (1.0 - skewed.cdf(found.symmetric.upper)) / STUDIES as f64;
    }
    // Closed form (order statistics): two ranks q apart hold q / (M + 1) on the average, with a
    // deviation of sqrt(p (1 - p) / M) = 0.021 a study; four standard errors are 0.006.
    let expected = 180.0 / 201.0;
    assert!((symmetric - expected).abs() < 0.006, "{symmetric}");
    assert!((missing.0 - 10.0 / 201.0).abs() < 0.005, "{missing:?}");
    assert!((missing.1 - 11.0 / 201.0).abs() < 0.005, "{missing:?}");
    // The shortest of many picks its own luck and holds a little less, some 2 % at 200 trials.
    assert!(shortest < symmetric && shortest > 0.86, "{shortest}");
}

#[test]
fn the_interval_of_a_paired_mean_covers_as_often_as_it_says() {
    let (mut mean, mut better, mut apart) = (0, 0, 0);
    let (shared, own) = (normal(0.0, 1.0), normal(0.0, 0.1));
    for seed in 0..STUDIES {
        let draws = Draws { seed };
        let (mut first, mut second) = (Vec::new(), Vec::new());
        for trial in 0..40 {
            let mut uniforms = [0.0; 3];
            draws.trial(trial).fill(&mut uniforms);
            let both = shared.quantile(uniforms[0]);
            first.push(both + own.quantile(uniforms[1]));
            second.push(both + own.quantile(uniforms[2]) + 0.1);
        }
        let found = Paired::of(&first, &second, Better::Smaller, 0.0, 0.95).expect("pairs");
        mean += u32::from(found.mean_interval.holds(-0.1));
        // Closed form: the difference is normal(-0.1, 0.1 sqrt 2), so the first wins in
        // Phi(1 / sqrt 2) of the trials.
        let truth = normal(0.0, 1.0).cdf(0.5f64.sqrt());
        better += u32::from(found.first_better_interval.holds(truth));
        apart += u32::from(found.mean_interval.upper < 0.0);
        let all = found.first_better.count + found.second_better.count + found.alike.count;
        assert_eq!(all, 40);
    }
    assert!((LEAST_AT_95..200).contains(&mean), "{mean}");
    assert!(better >= LEAST_AT_95, "{better}");
    // Ten times the own scatter is shared: unpaired, 40 trials could not tell 0.1 from 0.
    assert!(apart > 190, "{apart}");
}

#[test]
fn alike_counts_apart() {
    let first = [1.0, 2.0, 3.0, 4.0, 5.0];
    let second = [1.0, 2.5, 2.9, 4.2, 4.0];
    let found = Paired::of(&first, &second, Better::Greater, 0.15, 0.9).expect("pairs");
    let counts = (
        found.first_better.count,
        found.second_better.count,
        found.alike.count,
    );
    assert_eq!(counts, (1, 2, 2));
    assert!((found.mean - 0.08).abs() < 1e-12);
    assert_eq!(
        Paired::of(&first, &second[..4], Better::Greater, 0.0, 0.9),
        Err(PairedFault::Unpaired {
            first: 5,
            second: 4
        })
    );
    let lost = Paired::of(&[1.0, f64::NAN], &[1.0, 2.0], Better::Greater, 0.0, 0.9);
    assert_eq!(lost, Err(PairedFault::NotFinite(1)));
}
