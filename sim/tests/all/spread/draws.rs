//! Draws: each at its fixed place, uniform, independent of one another but where a factor is shared.

use proptest::prelude::*;
use tautway_sim::spread::{
    Design, Distribution, Draws, FactorFault, Family, SharedFactor, SobolFault, mean_and_deviation,
};

proptest! {
    #[test]
    fn a_place_has_its_number_whatever_else_is_asked(
        seed: u64,
        trial in 0u64..1 << 50,
        places in prop::collection::vec(0u32..300, 1..20),
    ) {
        let draws = Draws { seed };
        let mut all = [0.0; 300];
        draws.trial(trial).fill(&mut all);
        let mut asked = draws.trial(trial);
        for place in places {
            prop_assert_eq!(asked.uniform(place), all[place as usize]);
            prop_assert_eq!(draws.uniform(trial, place), all[place as usize]);
        }
        let mut few = [0.0; 7];
        asked.fill(&mut few);
        prop_assert_eq!(&few, &all[..7]);
    }
}

#[test]
fn no_two_streams_are_the_same() {
    let draws = Draws { seed: 1 };
    let mut seen: Vec<u64> = Vec::new();
    for trial in 0..200 {
        for family in [Family::A, Family::B, Family::Bootstrap] {
            for place in 0..20 {
                seen.push(draws.trial_of(family, trial).uniform(place).to_bits());
            }
        }
        seen.push(Draws { seed: 2 }.uniform(trial, 0).to_bits());
    }
    let count = seen.len();
    seen.sort_unstable();
    seen.dedup();
    // 12,200 numbers of 52 bits: a chance of 2e-8 that any two are alike.
    assert_eq!(seen.len(), count);
}

/// Chi-square of counts in 100 equal classes.
fn chi_square(uniforms: impl Iterator<Item = f64>) -> f64 {
    let (mut counts, mut all) = ([0u32; 100], 0.0);
    for uniform in uniforms {
        assert!(uniform > 0.0 && uniform < 1.0);
        counts[(uniform * 100.0) as usize] += 1;
        all += 1.0;
    }
    let expected: f64 = all / 100.0;
    counts
        .iter()
        .map(|count| (f64::from(*count) - expected).powi(2) / expected)
        .sum()
}

#[test]
fn draws_are_uniform_along_trials_and_along_places() {
    let draws = Draws { seed: 42 };
    // Chi-square with 99 degrees (statistical tables): 99.9 % lie below 148.23.
    for place in 0..4 {
        let found = chi_square((0..50_000).map(|trial| draws.uniform(trial, place)));
        assert!(found < 148.23, "place {place}: {found}");
    }
    let mut along = vec![0.0; 50_000];
    draws.trial(9).fill(&mut along);
    let found = chi_square(along.into_iter());
    assert!(found < 148.23, "{found}");
}

fn correlation(left: &[f64], right: &[f64]) -> f64 {
    let ((a, s), (b, t)) = (mean_and_deviation(left), mean_and_deviation(right));
    let product: f64 = left.iter().zip(right).map(|(x, y)| (x - a) * (y - b)).sum();
    product / (left.len() - 1) as f64 / s / t
}

#[test]
fn members_of_a_shared_factor_are_correlated_and_nobody_else_shifts() {
    let draws = Draws { seed: 7 };
    let normal = Distribution::Normal {
        mean: 0.0,
        standard_deviation: 1.0,
    };
    let rho = 0.7;
    let factors = [
        SharedFactor::new(0, vec![0, 2, 3], rho).expect("a factor"),
        SharedFactor::new(1, vec![1, 5], 1.0).expect("a factor"),
    ];
    let trials = 40_000;
    let mut scores = vec![Vec::new(); 6];
    let mut coupled = Vec::new();
    for trial in 0..trials {
        let plain = draws.trial(trial).correlated(6, &[]);
        let drawn = draws.trial(trial).correlated(6, &factors);
        assert_eq!(plain[4], drawn[4]);
        coupled.push(drawn[2]);
        for (column, uniform) in scores.iter_mut().zip(drawn) {
            column.push(normal.quantile(uniform));
        }
    }
    // Four standard errors: (1 - rho^2) / sqrt(n).
    let allowed = |rho: f64| 4.0 * (1.0 - rho * rho) / (trials as f64).sqrt();
    for (i, j) in [(0, 2), (0, 3), (2, 3)] {
        let found = correlation(&scores[i], &scores[j]);
        assert!((found - rho).abs() < allowed(rho), "{i} {j}: {found}");
    }
    for (i, j) in [(0, 1), (1, 2), (2, 4), (4, 5), (0, 4)] {
        let found = correlation(&scores[i], &scores[j]);
        assert!(found.abs() < allowed(0.0), "{i} {j}: {found}");
    }
    assert!(correlation(&scores[1], &scores[5]) > 1.0 - 1e-12);
    // Chi-square with 99 degrees (statistical tables): 99.9 % lie below 148.23.
    assert!(chi_square(coupled.into_iter()) < 148.23);
}

#[test]
fn faults_say_what_would_be_right() {
    assert_eq!(
        SharedFactor::new(0, vec![0, 1], 1.5),
        Err(FactorFault::Correlation(1.5))
    );
    assert_eq!(
        SharedFactor::new(0, vec![4, 1, 4], 0.5),
        Err(FactorFault::Twice(4))
    );
    let factor = SharedFactor::new(0, vec![0, 1], 0.5).expect("a factor");
    let parted = Design::new(vec![vec![2], vec![1]], vec![factor], 3, 10);
    assert_eq!(parted, Err(SobolFault::Parted { group: 1 }));
    let missing = Design::new(vec![vec![3]], Vec::new(), 3, 10);
    assert_eq!(missing, Err(SobolFault::Place { group: 0, place: 3 }));
    assert_eq!(
        missing.unwrap_err().to_string(),
        "group 0 names quantity 3, which isn't there"
    );
}
