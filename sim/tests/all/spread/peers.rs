//! Distributions, intervals of shares and sensitivity indices against general-purpose peers.
//!
//! The numbers were made by `tests/peers/sobol_reference.py`, whose head says how.

use std::f64::consts::TAU;

use tautway_sim::spread::{Bootstrap, Design, Distribution, Draws, Family, Pick, Proportion, Row};

/// What is told, of which case, at which argument, its value.
struct Line<'a> {
    what: &'a str,
    case: &'a str,
    argument: f64,
    value: f64,
}

fn lines() -> Vec<Line<'static>> {
    include_str!("../../../../tests/peers/sobol_reference.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<_> = line.split(',').collect();
            Line {
                what: cells[0],
                case: cells[1],
                argument: cells[2].parse().expect("a number"),
                value: cells[3].parse().expect("a number"),
            }
        })
        .collect()
}

fn distribution(case: &str) -> Distribution {
    let words: Vec<&str> = case.split(' ').collect();
    let number = |index: usize| words[index].parse::<f64>().expect("a number");
    let whole = match words[0] {
        "normal" => Distribution::Normal {
            mean: number(1),
            standard_deviation: number(2),
        },
        "rectangular" => Distribution::Rectangular {
            lower: number(1),
            upper: number(2),
        },
        "triangular" => Distribution::Triangular {
            lower: number(1),
            mode: number(2),
            upper: number(3),
        },
        "arcsine" => Distribution::Arcsine {
            lower: number(1),
            upper: number(2),
        },
        "curvilinear" => Distribution::CurvilinearTrapezoid {
            lower: number(1),
            upper: number(2),
            inexactness: number(3),
        },
        "lognormal" => Distribution::LogNormal {
            median: number(1),
            factor: number(2),
        },
        "t" => Distribution::ScaledT {
            degrees_of_freedom: number(1),
            centre: number(2),
            scale: number(3),
        },
        other => panic!("{other}"),
    }
    .checked()
    .expect("a distribution");
    match words.iter().position(|word| *word == "within") {
        Some(at) => whole
            .within(number(at + 1), number(at + 2))
            .expect("something left"),
        None => whole,
    }
}

#[test]
fn distributions_agree_with_a_statistics_library() {
    // Relative; the peer's own rounding included.
    let allowed = 1e-12;
    let mut compared = 0;
    let mut worst: Vec<(f64, String)> = Vec::new();
    for line in lines() {
        let at = |of: fn(&Distribution, f64) -> f64| of(&distribution(line.case), line.argument);
        let (found, scale) = match line.what {
            // Against the larger of the value and the spread: a t's centre is 0.
            "quantile" => {
                let d = distribution(line.case);
                let spread = d.quantile(0.9) - d.quantile(0.1);
                (at(Distribution::quantile), line.value.abs().max(spread))
            }
            "cdf" => (at(Distribution::cdf), 1.0),
            "mean" => (at(|d, _| d.mean()), line.value.abs().max(1.0)),
            // The peer's deviation far out in a tail is a small difference of large numbers.
            "deviation" => (at(|d, _| d.standard_deviation()), 100.0 * line.value),
            _ => continue,
        };
        compared += 1;
        worst.push((
            (found - line.value).abs() / (scale * allowed),
            format!(
                "{} {} {} {found} {}",
                line.what, line.case, line.argument, line.value
            ),
        ));
    }
    assert!(compared > 300, "{compared}");
    worst.sort_by(|a, b| b.0.total_cmp(&a.0));
    assert!(worst[0].0 < 1.0, "{:?}", worst[0]);
}

#[test]
fn intervals_of_shares_agree_with_a_statistics_library() {
    let mut compared = 0;
    for line in lines() {
        let Some((kind, end)) = line.what.rsplit_once('_') else {
            continue;
        };
        let (count, of) = line.case.split_once(' ').expect("k and n");
        let share = Proportion {
            count: count.parse().expect("k"),
            of: of.parse().expect("n"),
        };
        let interval = match kind {
            "wilson" => share.wilson(line.argument),
            "clopper_pearson" => share.clopper_pearson(line.argument),
            other => panic!("{other}"),
        }
        .expect("an interval");
        let found = if end == "lower" {
            interval.lower
        } else {
            interval.upper
        };
        assert!(
            (found - line.value).abs() < 1e-9,
            "{} {} {}: {found} is not {}",
            line.what,
            line.case,
            line.argument,
            line.value
        );
        compared += 1;
    }
    assert_eq!(compared, 72);
}

fn ishigami(x: &[f64]) -> f64 {
    x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin()
}

const CONFIDENCE: f64 = 0.99;

/// Quantities 0, 1, 2, and 0 with 2; outputs: Ishigami's function, a thousandth of x1 alone, and
/// one that doesn't vary.
fn study(seed: u64, trials: u64) -> Vec<tautway_sim::spread::OutputIndices> {
    let draws = Draws { seed };
    let groups = vec![vec![0], vec![1], vec![2], vec![0, 2]];
    let design = Design::new(groups, Vec::new(), 3, trials).expect("a design");
    let outputs: Vec<Vec<f64>> = design
        .rows()
        .map(|row| {
            let uniforms = design.uniforms(row, &draws);
            let x: Vec<f64> = uniforms.iter().map(|u| (u - 0.5) * TAU).collect();
            vec![ishigami(&x), 1e-3 * x[0], 7.25]
        })
        .collect();
    let bootstrap = Bootstrap {
        replicates: 200,
        confidence: CONFIDENCE,
        draws,
    };
    design.indices(&outputs, bootstrap).expect("indices")
}

#[test]
fn ishigami_indices_within_their_bootstrap_error() {
    let found = study(5, 20_000);
    let function = found[0].groups.as_ref().expect("it varies");
    // Closed form (Ishigami and Homma 1990, a = 7, b = 0.1, from memory), computed independently:
    // first, total; the last row is the group of 0 and 2.
    let exact = [
        (0.313_905, 0.557_589),
        (0.442_411, 0.442_411),
        (0.0, 0.243_684),
        (0.557_589, 0.557_589),
    ];
    for (group, (first, total)) in function.iter().zip(exact) {
        assert!(group.first.interval.holds(first), "{group:?} {first}");
        assert!(group.total.interval.holds(total), "{group:?} {total}");
        assert!(group.first.interval.length() < 0.06, "{group:?}");
        assert!(group.total.interval.length() < 0.06, "{group:?}");
    }
    // Closed form, as above: V = 13.844588. Four standard errors of a variance from 40,000 values
    // of kurtosis under 4 are 3.5 %.
    assert!((found[0].variance / 13.844_588 - 1.0).abs() < 0.035);

    let linear = found[1].groups.as_ref().expect("it varies");
    for (group, share) in linear.iter().zip([1.0, 0.0, 0.0, 1.0]) {
        assert!((group.first.value - share).abs() < 0.05, "{group:?}");
        assert!((group.total.value - share).abs() < 0.05, "{group:?}");
    }
    assert_eq!(found[2].groups, None);
    assert_eq!(found[2].variance, 0.0);
}

#[test]
fn ishigami_indices_agree_with_sensitivity_libraries() {
    let found = study(6, 20_000);
    let groups = found[0].groups.as_ref().expect("it varies");
    let mut compared = 0;
    for line in lines() {
        let number = line.argument as usize;
        let group = match line.case {
            "scipy" | "salib" => groups[number],
            "salib grouped" => groups[[3, 1][number]],
            _ => continue,
        };
        let index = match line.what {
            "first" => group.first,
            "total" => group.total,
            other => panic!("{other}"),
        };
        // The peers' own error, seen between them, is some 0.0015.
        let interval = index.interval;
        assert!(
            line.value > interval.lower - 0.002 && line.value < interval.upper + 0.002,
            "{} {} {}: {} {index:?}",
            line.what,
            line.case,
            line.argument,
            line.value
        );
        compared += 1;
    }
    assert_eq!(compared, 16);
}

#[test]
fn bootstrap_intervals_hold_the_index_about_as_often_as_they_say() {
    let (mut held, studies) = (0, 40);
    for seed in 0..studies {
        let found = study(1000 + seed, 400);
        let groups = found[0].groups.as_ref().expect("it varies");
        // Closed form, as above.
        held += u32::from(groups[0].total.interval.holds(0.557_589));
        held += u32::from(groups[2].first.interval.holds(0.0));
    }
    // Of 80 at 99 %: with percentile intervals of 400 trials, 95 % would do; fewer than 69 of 80
    // has a chance of 0.2 % at 95 %.
    assert!(held >= 69, "{held} of 80");
}

#[test]
fn a_swapped_row_differs_from_a_in_its_group_alone() {
    let draws = Draws { seed: 3 };
    let design = Design::new(vec![vec![1, 3], vec![0]], Vec::new(), 5, 4).expect("a design");
    assert_eq!(design.rows().count(), 4 * design.rows_per_trial());
    for trial in 0..4 {
        let of = |pick| design.uniforms(Row { trial, pick }, &draws);
        let (a, b, swapped) = (of(Pick::A), of(Pick::B), of(Pick::Swapped(0)));
        assert_eq!(a, draws.trial(trial).correlated(5, &[]));
        for place in 0..5 {
            assert_ne!(a[place], b[place]);
            let row = Row {
                trial,
                pick: Pick::Swapped(0),
            };
            let expected = match design.family(row, place) {
                Family::B => b[place],
                _ => a[place],
            };
            assert_eq!(swapped[place], expected);
            assert_eq!(expected == b[place], [1, 3].contains(&place));
        }
    }
}
