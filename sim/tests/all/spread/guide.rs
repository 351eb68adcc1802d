//! The examples of JCGM 101:2008, 9, through the public face.
//!
//! A tolerance named `errors` is so many standard errors of the trials: of a mean `u / sqrt(M)`,
//! of a standard deviation `u sqrt((k - 1) / 4 M)` with k the kurtosis, of an interval's end
//! `sqrt(p (1 - p) / M) / density`, the density taken from the trials themselves.

use std::ops::ControlFlow;

use tautway_sim::spread::{
    Adaptive, Distribution, Draws, Ending, Input, Interval, Output, Plan, Propagation, Validation,
    first_order, propagate,
};

/// Allowed distance in standard errors: one in 16,000 is farther off by chance.
const ERRORS: f64 = 4.0;

fn normal(mean: f64, standard_deviation: f64) -> Distribution {
    Distribution::Normal {
        mean,
        standard_deviation,
    }
}

fn rectangular(lower: f64, upper: f64) -> Distribution {
    Distribution::Rectangular { lower, upper }
}

/// Rectangular about 0 of this standard deviation.
fn rectangle_of(deviation: f64) -> Distribution {
    rectangular(-deviation * 3f64.sqrt(), deviation * 3f64.sqrt())
}

fn run(
    seed: u64,
    quantities: &[Distribution],
    probability: f64,
    plan: Plan,
    model: impl Fn(&[f64]) -> f64,
) -> Propagation {
    for quantity in quantities {
        quantity.clone().checked().expect("a distribution");
    }
    let draws = Draws { seed };
    propagate(probability, plan, |trials| {
        ControlFlow::Continue(
            trials
                .map(|trial| vec![model(&draws.trial(trial).values(quantities, &[]))])
                .collect(),
        )
    })
    .expect("a propagation")
}

fn given(trials: u64) -> Plan {
    Plan::Given {
        trials,
        block: 50_000,
    }
}

/// Standard error of the quantile `p`, from the trials about it.
fn end_error(values: &[f64], p: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let count = values.len() as f64;
    let width = 0.3 * p.min(1.0 - p);
    let at = |share: f64| sorted[((share * count) as usize).min(sorted.len() - 1)];
    let density = 2.0 * width / (at(p + width) - at(p - width));
    (p * (1.0 - p) / count).sqrt() / density
}

fn deviation_error(output: &Output) -> f64 {
    let (mean, u) = (
        output.coverage.estimate,
        output.coverage.standard_uncertainty,
    );
    let count = output.values.len() as f64;
    let fourth: f64 = output.values.iter().map(|v| (v - mean).powi(4)).sum();
    u * ((fourth / count / u.powi(4) - 1.0) / (4.0 * count)).sqrt()
}

fn assert_near(found: f64, expected: f64, allowed: f64, what: &str) {
    assert!(
        (found - expected).abs() <= allowed,
        "{what}: {found} is not {expected} within {allowed}"
    );
}

fn assert_estimate(output: &Output, expected: f64) {
    let error = output.coverage.standard_uncertainty / (output.values.len() as f64).sqrt();
    let found = output.coverage.estimate;
    assert_near(found, expected, ERRORS * error, "estimate");
}

fn assert_uncertainty(output: &Output, expected: f64) {
    let found = output.coverage.standard_uncertainty;
    assert_near(found, expected, ERRORS * deviation_error(output), "u");
}

/// Ends of the symmetric interval; `slack` for expected numbers given to few digits.
fn assert_symmetric(output: &Output, probability: f64, expected: Interval, slack: f64) {
    let (tail, found) = ((1.0 - probability) / 2.0, output.coverage.symmetric);
    let allowed = |p| slack + ERRORS * end_error(&output.values, p);
    assert_near(found.lower, expected.lower, allowed(tail), "lower end");
    assert_near(
        found.upper,
        expected.upper,
        allowed(1.0 - tail),
        "upper end",
    );
}

fn about(middle: f64, half: f64) -> Interval {
    Interval {
        lower: middle - half,
        upper: middle + half,
    }
}

#[test]
fn additive_model_of_four_normals() {
    let quantities = vec![normal(0.0, 1.0); 4];
    let found = run(1, &quantities, 0.95, given(400_000), |x| x.iter().sum());
    let output = &found.outputs[0];
    assert_eq!((found.trials, found.ending), (400_000, Ending::Complete));
    assert_estimate(output, 0.0);
    assert_uncertainty(output, 2.0);
    // JCGM 101, 9.2.2, from memory (+-3.92); computed independently: 3.919928.
    assert_symmetric(output, 0.95, about(0.0, 3.919_928), 0.0);
}

#[test]
fn additive_model_of_four_rectangles() {
    let quantities = vec![rectangle_of(1.0); 4];
    let found = run(2, &quantities, 0.95, given(400_000), |x| x.iter().sum());
    let output = &found.outputs[0];
    assert_uncertainty(output, 2.0);
    // JCGM 101, 9.2.3, from memory (+-3.88); closed form 2 sqrt(3) (2 - 0.6^(1/4)).
    let half = 2.0 * 3f64.sqrt() * (2.0 - 0.6f64.powf(0.25));
    assert_symmetric(output, 0.95, about(0.0, half), 0.0);
    // Unimodal and symmetric: the shortest interval is the same. Its ends scatter by some 0.03, its
    // length by 0.0097, measured over repeats.
    let shortest = output.coverage.shortest;
    assert_near(shortest.length(), 2.0 * half, ERRORS * 0.0097, "length");
}

#[test]
fn additive_model_of_three_rectangles_and_a_wide_one() {
    let mut quantities = vec![rectangle_of(1.0); 3];
    quantities.push(rectangle_of(10.0));
    let sum = |x: &[f64]| x.iter().sum();
    let found = run(3, &quantities, 0.95, given(400_000), sum);
    let output = &found.outputs[0];
    // JCGM 101, 9.2.4, from memory; computed independently: u = 10.148892, about +-17.01.
    assert_uncertainty(output, 10.148_892);
    assert_symmetric(output, 0.95, about(0.0, 17.01), 0.01);

    let inputs = [1.0, 1.0, 1.0, 10.0].map(known);
    let first = &first_order(&inputs, None, 1.0, |x| vec![sum(x)]).expect("a result")[0];
    let interval = first.interval(0.95);
    // As above: not validated; the guide's +-19.89 takes 1.96 for the normal's 1.959964.
    let half = 1.959_964 * 103f64.sqrt();
    assert_near(interval.upper, half, 1e-5, "first-order end");
    let coverage = output.coverage;
    let validation = Validation::of(
        interval,
        coverage.symmetric,
        coverage.standard_uncertainty,
        2,
    );
    assert!(!validation.expect("it varies").holds());
}

fn known(standard_uncertainty: f64) -> Input {
    Input {
        estimate: 0.0,
        standard_uncertainty,
        degrees_of_freedom: f64::INFINITY,
    }
}

#[test]
fn first_order_is_validated_where_it_holds() {
    let quantities = vec![normal(0.0, 1.0); 4];
    let rule = Adaptive {
        share_of_delta: 0.2,
        block: Some(100_000),
        ..Adaptive::standard(1, 3_000_000)
    };
    let found = run(4, &quantities, 0.95, Plan::Adaptive(rule), |x| {
        x.iter().sum()
    });
    assert_eq!(found.ending, Ending::Settled);
    let first = first_order(&[known(1.0); 4], None, 1.0, |x| vec![x.iter().sum()]);
    let coverage = found.outputs[0].coverage;
    let validation = Validation::of(
        first.expect("a result")[0].interval(0.95),
        coverage.symmetric,
        coverage.standard_uncertainty,
        1,
    )
    .expect("it varies");
    // JCGM 101, 9.2.2, from memory: validated. u = 2.0, one digit: delta is 0.5.
    assert_eq!(validation.tolerance, 0.5);
    assert!(validation.holds(), "{validation:?}");
}

/// Deviation from 100 g nominal, mg: reference weight, added weight, air density, densities of the
/// weight and of the reference, kg/m3 (JCGM 101, 9.3, from memory).
fn mass(x: &[f64]) -> f64 {
    let buoyancy = 1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4]);
    (x[0] + x[1]) * buoyancy - 100_000.0
}

#[test]
fn mass_calibration() {
    let quantities = [
        normal(100_000.0, 0.050),
        normal(1.234, 0.020),
        rectangular(1.10, 1.30),
        rectangular(7_000.0, 9_000.0),
        rectangular(7_950.0, 8_050.0),
    ];
    let found = run(5, &quantities, 0.95, given(300_000), mass);
    let output = &found.outputs[0];
    // JCGM 101, 9.3, from memory (1.2340, 0.0754, [1.0834, 1.3825]); u computed independently.
    assert_estimate(output, 1.234_0);
    assert_uncertainty(output, 0.075_479_3);
    let shortest = output.coverage.shortest;
    // The shortest interval's place is less sure than its length; scatter measured over repeats.
    let (end, length) = (0.001_3, 0.000_46);
    assert_near(shortest.lower, 1.083_4, ERRORS * end, "lower end");
    assert_near(shortest.upper, 1.382_5, ERRORS * end, "upper end");
    assert_near(shortest.length(), 0.299_1, ERRORS * length, "length");

    let inputs: Vec<Input> = quantities
        .iter()
        .map(|quantity| Input {
            estimate: quantity.mean(),
            standard_uncertainty: quantity.standard_deviation(),
            degrees_of_freedom: f64::INFINITY,
        })
        .collect();
    let first = &first_order(&inputs, None, 1.0, |x| vec![mass(x)]).expect("a result")[0];
    // As above: the first-order u, which misses the air's part, is 0.0538516.
    assert_near(first.standard_uncertainty, 0.053_851_6, 1e-7, "u");
    let validation = Validation::of(first.interval(0.95), shortest, 0.0755, 2);
    assert!(!validation.expect("it varies").holds());
}

#[test]
fn comparison_loss_of_power_meters() {
    // JCGM 101, 9.4, from memory; x1 in 1e-3, the rest in 1e-6, computed independently:
    // u, shortest, symmetric.
    let cases = [
        (0.0, 50.0, [0.0, 149.787], [1.265_9, 184.444]),
        (10.0, 111.803, [0.0, 366.005], [8.546_8, 427.123]),
        (50.0, 502.494, [1593.57, 3548.57], [1638.48, 3603.36]),
    ];
    for (seed, (x1, u, shortest, symmetric)) in (6..).zip(cases) {
        let quantities = [normal(x1, 5.0), normal(0.0, 5.0)];
        let loss = |x: &[f64]| x[0] * x[0] + x[1] * x[1];
        let found = run(seed, &quantities, 0.95, given(400_000), loss);
        let output = &found.outputs[0];
        assert_estimate(output, x1 * x1 + 50.0);
        assert_uncertainty(output, u);
        let expected = Interval {
            lower: symmetric[0],
            upper: symmetric[1],
        };
        assert_symmetric(output, 0.95, expected, 0.01);
        // As shares of the length, measured over repeats: the scatter of the shortest interval's
        // ends (its place is less sure than its length), and of its length.
        let (end, long) = (0.003_4, 0.002_0);
        let (found, length) = (output.coverage.shortest, shortest[1] - shortest[0]);
        assert_near(found.lower, shortest[0], ERRORS * end * length, "lower end");
        assert_near(found.upper, shortest[1], ERRORS * end * length, "upper end");
        assert_near(found.length(), length, ERRORS * long * length, "length");
        assert!(found.lower >= 0.0);

        // First order, x2 at 0 (as above): u = 2 x1 u(x1).
        let inputs = [x1, 0.0].map(|estimate| Input {
            estimate,
            ..known(5.0)
        });
        let first = &first_order(&inputs, None, 1.0, |x| vec![loss(x)]).expect("a result")[0];
        assert_near(first.standard_uncertainty, 10.0 * x1, 1e-9, "u");
    }
}

/// Length of the gauge block less 50 mm, nm (JCGM 101, 9.5, from memory).
fn gauge_block(x: &[f64]) -> f64 {
    let [standard, d, d1, d2, alpha, theta0, swing, d_alpha, d_theta] = *x else {
        panic!("nine quantities");
    };
    standard + d + d1 + d2
        - standard * (d_alpha * (theta0 + swing) + alpha * d_theta)
        - 50_000_000.0
}

fn scaled_t(degrees_of_freedom: f64, centre: f64, scale: f64) -> Distribution {
    Distribution::ScaledT {
        degrees_of_freedom,
        centre,
        scale,
    }
}

#[test]
fn gauge_block_calibration() {
    let trapezoid = |half: f64, inexactness: f64| Distribution::CurvilinearTrapezoid {
        lower: -half,
        upper: half,
        inexactness,
    };
    let quantities = [
        scaled_t(18.0, 50_000_623.0, 25.0),
        scaled_t(24.0, 215.0, 6.0),
        scaled_t(5.0, 0.0, 4.0),
        scaled_t(8.0, 0.0, 7.0),
        rectangular(9.5e-6, 13.5e-6),
        normal(-0.1, 0.2),
        Distribution::Arcsine {
            lower: -0.5,
            upper: 0.5,
        },
        trapezoid(1e-6, 0.1e-6),
        trapezoid(0.050, 0.025),
    ];
    let found = run(10, &quantities, 0.99, given(300_000), gauge_block);
    let output = &found.outputs[0];
    // JCGM 101, 9.5, from memory (838, 36, [745, 932] nm); u and ends computed independently.
    assert_estimate(output, 838.0);
    assert_uncertainty(output, 35.808);
    let expected = Interval {
        lower: 744.3,
        upper: 931.6,
    };
    assert_symmetric(output, 0.99, expected, 0.05);
}

#[test]
fn first_order_of_the_gauge_block() {
    // JCGM 101, 9.5, from memory: estimates and standard uncertainties as that guide takes them
    // to first order; 32.138 computed independently.
    let inputs: Vec<Input> = [
        (50_000_623.0, 25.0, 18.0),
        (215.0, 6.0, 24.0),
        (0.0, 4.0, 5.0),
        (0.0, 7.0, 8.0),
        (11.5e-6, 2e-6 / 3f64.sqrt(), f64::INFINITY),
        (-0.1, 0.2, f64::INFINITY),
        (0.0, 0.5 / 2f64.sqrt(), f64::INFINITY),
        (0.0, (1e-12 / 3.0 + 1e-14 / 9.0f64).sqrt(), 50.0),
        (
            0.0,
            (0.05f64.powi(2) / 3.0 + 0.025f64.powi(2) / 9.0).sqrt(),
            2.0,
        ),
    ]
    .into_iter()
    .map(
        |(estimate, standard_uncertainty, degrees_of_freedom)| Input {
            estimate,
            standard_uncertainty,
            degrees_of_freedom,
        },
    )
    .collect();
    let first = &first_order(&inputs, None, 1.0, |x| vec![gauge_block(x)]).expect("a result")[0];
    assert_near(first.estimate, 838.0, 1e-6, "estimate");
    assert_near(first.standard_uncertainty, 32.138, 0.001, "u");
    // Welch and Satterthwaite: at least the fewest degrees, at most all together.
    assert!(first.degrees_of_freedom > 2.0 && first.degrees_of_freedom < 107.0);
}

#[test]
fn correlated_inputs_to_first_order() {
    // Closed form: u^2(a - b) = ua^2 + ub^2 - 2 r ua ub.
    let table = vec![vec![1.0, 0.6], vec![0.6, 1.0]];
    let inputs = [known(3.0), known(4.0)];
    let found = first_order(&inputs, Some(&table), 1.0, |x| {
        vec![x[0] - x[1], x[0] + x[1]]
    });
    let found = found.expect("a result");
    assert_near(found[0].standard_uncertainty, 10.6f64.sqrt(), 1e-12, "u");
    assert_near(found[1].standard_uncertainty, 39.4f64.sqrt(), 1e-12, "u");
    let impossible = vec![vec![1.0, 1.2], vec![1.2, 1.0]];
    assert!(first_order(&inputs, Some(&impossible), 1.0, |x| vec![x[0]]).is_err());
}
