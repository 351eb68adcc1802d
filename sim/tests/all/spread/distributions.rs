//! Distributions: quantile and distribution function are each other's inverse, moments, faults.

use proptest::prelude::*;
use tautway_sim::spread::{Distribution, DistributionFault};

/// Any distribution but a fixed value and a truncated one.
fn whole() -> impl Strategy<Value = Distribution> {
    let place = -50.0..50.0f64;
    let size = 1e-3..100.0f64;
    prop_oneof![
        (place.clone(), size.clone()).prop_map(|(mean, standard_deviation)| Distribution::Normal {
            mean,
            standard_deviation
        }),
        (place.clone(), size.clone()).prop_map(|(lower, width)| Distribution::Rectangular {
            lower,
            upper: lower + width
        }),
        (place.clone(), size.clone(), 0.0..=1.0f64).prop_map(|(lower, width, at)| {
            let upper = lower + width;
            Distribution::Triangular {
                lower,
                mode: (lower + at * width).clamp(lower, upper),
                upper,
            }
        }),
        (place.clone(), size.clone()).prop_map(|(lower, width)| Distribution::Arcsine {
            lower,
            upper: lower + width
        }),
        (place.clone(), size.clone(), 0.0..0.5f64).prop_map(|(lower, width, share)| {
            Distribution::CurvilinearTrapezoid {
                lower,
                upper: lower + width,
                inexactness: share * width * 0.999,
            }
        }),
        (size.clone(), 1.01..10.0f64)
            .prop_map(|(median, factor)| Distribution::LogNormal { median, factor }),
        (place.clone(), size.clone(), size.clone()).prop_map(|(median, below, above)| {
            Distribution::SplitNormal {
                median,
                below,
                above,
            }
        }),
        (1.5..1000.0f64, place, size).prop_map(|(degrees_of_freedom, centre, scale)| {
            Distribution::ScaledT {
                degrees_of_freedom,
                centre,
                scale,
            }
        }),
    ]
}

/// One of those, or what is left of it between two of its quantiles.
fn any_distribution() -> impl Strategy<Value = Distribution> {
    (whole(), any::<bool>(), 0.0..0.9f64, 0.02..1.0f64).prop_map(|(whole, cut, from, part)| {
        if !cut {
            return whole;
        }
        let lower = whole.quantile(from);
        let upper = whole.quantile(from + (1.0 - from) * part);
        whole.within(lower, upper).expect("something left")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn quantile_rises_and_is_the_inverse(
        distribution in any_distribution(),
        p in 1e-9..0.999_999_999f64,
        more in 0.0..1.0f64,
    ) {
        let distribution = distribution.checked().expect("sound numbers");
        let x = distribution.quantile(p);
        let span = distribution.quantile(0.99) - distribution.quantile(0.01);
        prop_assert!(x.is_finite());
        // The share of what one rounding of x is worth where the density is high, or of the range
        // cut from a whole.
        prop_assert!((distribution.cdf(x) - p).abs() < 1e-9, "{} {}", distribution.cdf(x), p);
        let further = p + (1.0 - p) * more;
        prop_assert!(distribution.quantile(further) >= x - 1e-12 * (span + x.abs()));
        prop_assert!(distribution.cdf(x + span * more) >= distribution.cdf(x));
        if let Distribution::Truncated(cut) = &distribution {
            let (lower, upper) = cut.range();
            prop_assert!(lower <= x && x <= upper);
            let whole = cut.whole();
            let expected = (whole.cdf(x) - whole.cdf(lower)) / cut.share();
            prop_assert!((distribution.cdf(x) - expected).abs() < 1e-9);
        }
    }

    #[test]
    fn moments_are_those_of_the_quantile(distribution in any_distribution()) {
        // Midpoints of equal shares, in a rule that any tail but a heavy t's is light enough for.
        let heavy = match &distribution {
            Distribution::ScaledT { degrees_of_freedom, .. } => *degrees_of_freedom < 20.0,
            Distribution::Truncated(cut) => cut.range().1 >= cut.whole().quantile(0.99),
            _ => false,
        };
        prop_assume!(!heavy);
        let parts = 4000;
        let values: Vec<f64> = (0..parts)
            .map(|k| distribution.quantile((f64::from(k) + 0.5) / f64::from(parts)))
            .collect();
        let mean = values.iter().sum::<f64>() / f64::from(parts);
        let square = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / f64::from(parts);
        let deviation = distribution.standard_deviation();
        prop_assert!((distribution.mean() - mean).abs() < 0.01 * deviation);
        let log_normal = matches!(distribution, Distribution::LogNormal { .. });
        let allowed = if log_normal { 0.15 } else { 0.01 };
        prop_assert!((deviation / square.sqrt() - 1.0).abs() < allowed, "{deviation} {}", square.sqrt());
    }
}

#[test]
fn published_variances() {
    let (lower, upper) = (2.0, 5.0);
    let width: f64 = upper - lower;
    // JCGM 101:2008, 6.4, from memory.
    let cases = [
        (
            Distribution::CurvilinearTrapezoid {
                lower,
                upper,
                inexactness: 0.6,
            },
            width * width / 12.0 + 0.36 / 9.0,
        ),
        (
            Distribution::Triangular {
                lower,
                mode: 3.5,
                upper,
            },
            width * width / 24.0,
        ),
        (Distribution::Arcsine { lower, upper }, width * width / 8.0),
        (
            Distribution::Rectangular { lower, upper },
            width * width / 12.0,
        ),
        // (n - 1) / (n - 3) s^2 / n for n = 6 readings of s = 0.3.
        (
            Distribution::ScaledT {
                degrees_of_freedom: 5.0,
                centre: 3.5,
                scale: 0.3 / 6f64.sqrt(),
            },
            5.0 / 3.0 * 0.09 / 6.0,
        ),
    ];
    for (distribution, variance) in cases {
        assert!((distribution.standard_deviation().powi(2) - variance).abs() < 1e-12);
        assert!((distribution.mean() - 3.5).abs() < 1e-12);
        // The same from the quantile alone: cut off at nothing, moments are integrated.
        let integrated = distribution
            .clone()
            .within(f64::NEG_INFINITY, f64::INFINITY)
            .expect("all of it");
        assert!(
            (integrated.standard_deviation().powi(2) - variance).abs() < 1e-7 * variance,
            "{distribution:?} {}",
            integrated.standard_deviation().powi(2)
        );
    }
}

#[test]
fn a_log_normal_holds_95_per_cent_where_it_says() {
    let stated = Distribution::log_normal_between(0.05, 0.8).expect("in order");
    // Closed form: the geometric mean.
    assert!((stated.quantile(0.5) - 0.2).abs() < 1e-15);
    assert!((stated.quantile(0.025) - 0.05).abs() < 1e-14);
    assert!((stated.quantile(0.975) - 0.8).abs() < 1e-14);
}

#[test]
fn a_heavy_t_has_no_deviation_unless_cut_on_both_sides() {
    let heavy = Distribution::ScaledT {
        degrees_of_freedom: 2.0,
        centre: 1.0,
        scale: 0.5,
    };
    assert_eq!(heavy.standard_deviation(), f64::INFINITY);
    let one_sided = heavy.clone().within(0.0, f64::INFINITY).expect("a part");
    assert_eq!(one_sided.standard_deviation(), f64::INFINITY);
    // Closed form for t of 2 degrees, u = (x - c) / s within +-a: variance over s^2 is
    // (2 asinh(a / sqrt 2) - 2 a / sqrt(2 + a^2)) / (a / sqrt(2 + a^2)).
    let cut = heavy.within(0.0, 2.0).expect("a part");
    let a = 2.0f64;
    let share = a / (2.0 + a * a).sqrt();
    let variance = 2.0 * (a / 2f64.sqrt()).asinh() / share - 2.0;
    assert!((cut.standard_deviation() / (0.5 * variance.sqrt()) - 1.0).abs() < 1e-9);
}

#[test]
fn what_is_not_a_distribution_is_refused_with_a_reason() {
    let normal = Distribution::Normal {
        mean: 1.0,
        standard_deviation: 0.1,
    };
    let nothing = normal.clone().within(8.0, 9.0).unwrap_err();
    assert!(matches!(nothing, DistributionFault::NothingLeft { .. }));
    let words = nothing.to_string();
    assert!(words.contains("nothing of the distribution is left between 8 and 9"));
    assert!(words.contains("it lies between 0.69"), "{words}");
    let reversed = normal.within(2.0, 1.0).unwrap_err();
    assert_eq!(
        reversed.to_string(),
        "the lower limit 2 must lie below the upper limit 1"
    );
    let fixed = Distribution::Fixed { value: 3.0 };
    assert!(fixed.clone().within(0.0, 2.0).is_err());
    let held = fixed.within(0.0, 3.0).expect("on the limit");
    assert_eq!((held.quantile(0.3), held.mean()), (3.0, 3.0));

    let unsound = [
        Distribution::Fixed { value: f64::NAN },
        Distribution::Normal {
            mean: 0.0,
            standard_deviation: 0.0,
        },
        Distribution::Rectangular {
            lower: 1.0,
            upper: 1.0,
        },
        Distribution::Triangular {
            lower: 0.0,
            mode: 2.0,
            upper: 1.0,
        },
        Distribution::CurvilinearTrapezoid {
            lower: 0.0,
            upper: 1.0,
            inexactness: 0.6,
        },
        Distribution::LogNormal {
            median: -1.0,
            factor: 2.0,
        },
        Distribution::ScaledT {
            degrees_of_freedom: 1.0,
            centre: 0.0,
            scale: 1.0,
        },
    ];
    for distribution in unsound {
        assert!(distribution.clone().checked().is_err(), "{distribution:?}");
    }
}

#[test]
fn a_curvilinear_trapezoid_reaches_from_a_rectangle_to_a_peak() {
    let of = |inexactness| Distribution::CurvilinearTrapezoid {
        lower: 2.0,
        upper: 4.0,
        inexactness,
    };
    let rectangle = Distribution::Rectangular {
        lower: 2.0,
        upper: 4.0,
    };
    for inexactness in [0.0, 1e-12, 1e-7] {
        for k in 1..20 {
            let p = f64::from(k) / 20.0;
            let x = of(inexactness).quantile(p);
            assert!((x - rectangle.quantile(p)).abs() < 1e-12, "{p} {x}");
            assert!((of(inexactness).cdf(x) - p).abs() < 1e-12);
        }
    }
    // Symmetric: half lies below the middle, even where the density grows without bound.
    assert_eq!(of(1.0).cdf(3.0), 0.5);
    assert_eq!(of(1.0).quantile(0.5), 3.0);
    assert_eq!((of(1.0).quantile(0.0), of(1.0).quantile(1.0)), (1.0, 5.0));
}
