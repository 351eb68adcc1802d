//! How a number of the person's file is drawn: its shape, its limits, and what can't be.

use std::f64::consts::TAU;

use crate::given::many;
use crate::given::many::{MM, all_drawn, lathe_with, study, unmeasured, ways, with};
use tautway_sim::scenario::{Scenario, Source, decode};

const TRIALS: u64 = 2000;
const KEY: &str = "attachment.foot_slack";
/// Half width of the central 95 % of a normal distribution, in standard deviations. Source: any
/// table of the normal distribution.
const NORMAL_95: f64 = 1.959_964;

/// Draws of the foot's slack, in mm, given so.
fn foot(given: &str) -> Vec<f64> {
    let scenario = with("attachment", &format!("foot_slack = {given}"));
    millimetres(&scenario, KEY)
}

fn millimetres(scenario: &Scenario, key: &str) -> Vec<f64> {
    let study = study(scenario, &ways(scenario)[..1], 1);
    let drawn = all_drawn(&study, key, TRIALS);
    drawn.into_iter().map(|m| m / MM).collect()
}

fn mean_and_deviation(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0)).sqrt())
}

/// Mean within five standard errors, deviation within a share (five of its own errors, about
/// `sqrt((kurtosis - 1) / 4 n)`, by shape).
fn assert_spread(values: &[f64], mean: f64, deviation: f64, share: f64) {
    let (found_mean, found) = mean_and_deviation(values);
    let allowed = 5.0 * deviation / (values.len() as f64).sqrt();
    assert!(
        (found_mean - mean).abs() < allowed,
        "mean {found_mean}, wanted {mean} +- {allowed}"
    );
    assert!(
        (found / deviation - 1.0).abs() < share,
        "deviation {found}, wanted {deviation}"
    );
}

fn ends(values: &[f64]) -> (f64, f64) {
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (least, most)
}

/// Share strictly inside limits.
fn share_within(values: &[f64], low: f64, high: f64) -> f64 {
    let within = values.iter().filter(|v| (low..=high).contains(*v));
    within.count() as f64 / values.len() as f64
}

/// Whether a share of the trials is what it should be, within five of its deviations.
fn assert_share(found: f64, wanted: f64) {
    let allowed = 5.0 * (wanted * (1.0 - wanted) / TRIALS as f64).sqrt();
    assert!((found - wanted).abs() < allowed, "{found}, wanted {wanted}");
}

#[test]
fn rectangular_is_even_from_low_to_high_and_nowhere_else() {
    let drawn = foot(r#"{ low = "1 mm", high = "2 mm", shape = "rectangular" }"#);
    // Variance (b - a)^2 / 12: JCGM 101:2008, 6.4.2, from memory.
    assert_spread(&drawn, 1.5, 1.0 / 12f64.sqrt(), 0.05);
    let (least, most) = ends(&drawn);
    assert!((1.0..1.01).contains(&least) && (1.99..=2.0).contains(&most));
    assert_share(share_within(&drawn, 1.0, 1.25), 0.25);
}

#[test]
fn triangular_is_likeliest_at_its_middle_and_ends_at_low_and_high() {
    let drawn = foot(r#"{ low = "1 mm", middle = "1.2 mm", high = "2 mm", shape = "triangular" }"#);
    // Mean (a + b + c) / 3, variance (a^2 + b^2 + c^2 - ab - ac - bc) / 18: from memory.
    let [a, c, b] = [1.0f64, 1.2, 2.0];
    let variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
    assert_spread(&drawn, (a + b + c) / 3.0, variance.sqrt(), 0.08);
    let (least, most) = ends(&drawn);
    assert!((1.0..1.05).contains(&least) && (1.9..=2.0).contains(&most));
    assert_share(share_within(&drawn, a, c), (c - a) / (b - a));
}

#[test]
fn arcsine_is_likeliest_at_its_ends() {
    let drawn = foot(r#"{ low = "1 mm", high = "2 mm", shape = "arcsine" }"#);
    // Variance (b - a)^2 / 8: JCGM 101:2008, 6.4.6, from memory.
    assert_spread(&drawn, 1.5, 1.0 / 8f64.sqrt(), 0.04);
    let (least, most) = ends(&drawn);
    assert!((1.0..1.001).contains(&least) && (1.999..=2.0).contains(&most));
    // A sine is within half of its swing a third of the time.
    assert_share(share_within(&drawn, 1.25, 1.75), 1.0 / 3.0);
}

#[test]
fn curvilinear_trapezoid_reaches_as_far_beyond_its_limits_as_they_are_known() {
    let drawn = foot(
        r#"{ low = "1 mm", high = "2 mm", shape = "curvilinear trapezoid", within = "0.2 mm" }"#,
    );
    // Variance (b - a)^2 / 12 + d^2 / 9: JCGM 101:2008, 6.4.3, from memory.
    let deviation = (1.0 / 12.0 + 0.2f64.powi(2) / 9.0).sqrt();
    assert_spread(&drawn, 1.5, deviation, 0.06);
    let (least, most) = ends(&drawn);
    assert!((0.8..0.9).contains(&least) && (2.1..=2.2).contains(&most));
}

#[test]
fn log_normal_has_ninety_five_in_a_hundred_between_and_its_median_at_the_geometric_mean() {
    let drawn = foot(r#"{ low = "0.5 mm", high = "2 mm", shape = "log-normal" }"#);
    let logs: Vec<f64> = drawn.iter().map(|v| v.ln()).collect();
    // About ln 1 = 0, ln 2 either way for 95 in 100.
    assert_spread(&logs, 0.0, 2f64.ln() / NORMAL_95, 0.08);
    assert_share(share_within(&drawn, 0.5, 2.0), 0.95);
    assert_share(share_within(&drawn, 0.0, 1.0), 0.5);
}

#[test]
fn a_mean_of_readings_has_ninety_five_in_a_hundred_between_and_fatter_tails_the_fewer_they_are() {
    let given = |count: u32| {
        foot(&format!(
            r#"{{ low = "10 mm", high = "14 mm", shape = "mean of readings", readings = {count} }}"#
        ))
    };
    let (five, many) = (given(5), given(1000));
    for drawn in [&five, &many] {
        assert_share(share_within(drawn, 10.0, 14.0), 0.95);
        assert_share(share_within(drawn, 0.0, 12.0), 0.5);
    }
    // Student's t, 0.9 and 0.975 quantiles: 1.533 and 2.776 for 4 degrees of freedom, 1.282 and
    // 1.962 for 999. Source: any table of t.
    let inner = |t90: f64, t975: f64| 2.0 * t90 / t975;
    let of = |drawn: &[f64], half: f64| share_within(drawn, 12.0 - half, 12.0 + half);
    assert_share(of(&five, inner(1.533, 2.776)), 0.8);
    assert_share(of(&many, inner(1.282, 1.962)), 0.8);
    let (_, deviation) = mean_and_deviation(&many);
    assert!((deviation * NORMAL_95 / 2.0 - 1.0).abs() < 0.08);
    // sqrt(4 / 2) of its scale, which a normal of the same range stays far below.
    let (_, deviation) = mean_and_deviation(&five);
    assert!(deviation > 0.86 * 2.0 / 2.776 * 2f64.sqrt(), "{deviation}");
    // Two thousand draws of a normal end some 3.5 deviations off, 7.1 mm apart.
    let (least, most) = ends(&five);
    assert!(most - least > 8.5, "{least} to {most}");
}

#[test]
fn plus_or_minus_means_ninety_five_in_a_hundred_in_every_way_of_writing_it() {
    for given in [
        "\"3 mm +- 0.5 mm\"",
        r#"{ low = "2.5 mm", middle = "3 mm", high = "3.5 mm" }"#,
        r#"{ low = "2.5 mm", middle = "3 mm", high = "3.5 mm", shape = "normal" }"#,
    ] {
        let drawn = foot(given);
        assert_spread(&drawn, 3.0, 0.5 / NORMAL_95, 0.08);
        assert_share(share_within(&drawn, 2.5, 3.5), 0.95);
        assert_share(share_within(&drawn, 0.0, 3.0), 0.5);
        // A normal: two thirds within one deviation. Source: any table of it.
        assert_share(share_within(&drawn, 3.0 - 0.2551, 3.0 + 0.2551), 0.6827);
    }
}

#[test]
fn a_range_that_lies_askew_has_as_many_below_its_middle_as_above() {
    let drawn = foot(r#"{ low = "2.5 mm", middle = "3 mm", high = "5 mm" }"#);
    assert_share(share_within(&drawn, 0.0, 3.0), 0.5);
    assert_share(share_within(&drawn, 2.5, 3.0), 0.475);
    assert_share(share_within(&drawn, 3.0, 5.0), 0.475);
    // Half a normal of its own width on either side.
    assert_share(share_within(&drawn, 3.0 - 0.5 / NORMAL_95, 3.0), 0.341_34);
    assert_share(share_within(&drawn, 3.0, 3.0 + 2.0 / NORMAL_95), 0.341_34);
    let below = 0.5 / NORMAL_95;
    let above = 2.0 / NORMAL_95;
    let variance = 0.5 * (below * below + above * above) - (above - below).powi(2) / TAU;
    let mean = 3.0 + (above - below) / TAU.sqrt();
    assert_spread(&drawn, mean, variance.sqrt(), 0.1);
    // Even in the logarithm: the same share, from half of the middle to twice it.
    let drawn = foot(r#"{ low = "1 mm", middle = "2 mm", high = "4 mm" }"#);
    assert_share(share_within(&drawn, 1.0, 2.0), 0.475);
    assert_share(share_within(&drawn, 2.0, 4.0), 0.475);
    let logs: Vec<f64> = drawn.iter().map(|v| (v / 2.0).ln()).collect();
    assert_spread(&logs, 0.0, 2f64.ln() / NORMAL_95, 0.08);
}

#[test]
fn what_cannot_be_negative_is_never_drawn_so() {
    for given in [
        "\"0.2 mm +- 0.3 mm\"",
        "\"0.2 mm +- 0.2 mm\"",
        r#"{ low = "0 mm", middle = "0.1 mm", high = "2 mm" }"#,
        r#"{ low = "0 mm", high = "1 mm", shape = "curvilinear trapezoid", within = "0.4 mm" }"#,
        r#"{ low = "0 mm", high = "1 mm", shape = "mean of readings", readings = 3 }"#,
    ] {
        let drawn = foot(given);
        assert!(ends(&drawn).0 >= 0.0, "{given}: {:?}", ends(&drawn));
        assert!(ends(&drawn).1 > 0.4, "{given}: {:?}", ends(&drawn));
    }
    // And of everything that is assumed, only what may lie either way is ever negative.
    let scenario = unmeasured();
    let study = study(&scenario, &ways(&scenario)[..1], 1);
    for quantity in study.quantities() {
        let (least, _) = ends(&all_drawn(&study, quantity.key, 500));
        let either_way = matches!(
            quantity.key,
            "attachment.setting_error"
                | "attachment.guide_bow"
                | "spindle.out_of_line"
                | "carriage.rock"
                | "tool.height"
                | "passes.touch_off_within"
                | "passes.dial_within"
        );
        assert_eq!(least < 0.0, either_way, "{}: {least}", quantity.key);
        let spring = quantity.key.ends_with("spring");
        assert!(!spring || least > 0.0, "{}: {least}", quantity.key);
    }
}

#[test]
fn starting_never_takes_less_than_moving() {
    for given in ["1.05 +- 0.2", "1.4 +- 0.6"] {
        let scenario = with("slide", &format!("breakaway = \"{given}\""));
        let study = study(&scenario, &ways(&scenario)[..1], 1);
        let (least, most) = ends(&all_drawn(&study, "slide.breakaway", TRIALS));
        assert!(least >= 1.0, "{given}: {least}");
        assert!(least < 1.01 && most > 1.2, "{given}: {least} to {most}");
    }
}

#[test]
fn tables_that_make_no_distribution_are_pointed_at_in_their_line() {
    let faults = [
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "curvilinear trapezoid" }"#,
            "within",
        ),
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "trapezoid", within = "0.6 mm" }"#,
            "more than half of the range",
        ),
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "mean of readings" }"#,
            "readings",
        ),
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "mean of readings", readings = 2 }"#,
            "a number of readings is wanted",
        ),
        (
            r#"{ low = "2 mm", high = "1 mm", shape = "rectangular" }"#,
            "out of order",
        ),
        (
            r#"{ low = "1 mm", middle = "3 mm", high = "2 mm", shape = "triangular" }"#,
            "out of order",
        ),
        (
            r#"{ low = "0 mm", high = "1 mm", shape = "log-normal" }"#,
            "above zero",
        ),
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "bell" }"#,
            "shape",
        ),
        (
            r#"{ low = "1 mm", high = "2 mm", shape = "rectangular", within = "0.1 mm" }"#,
            "within",
        ),
        (r#"{ low = "1 mm", high = "2 mm" }"#, "middle"),
        (r#"{ high = "2 mm", shape = "rectangular" }"#, "low"),
    ];
    for (given, words) in faults {
        let lathe = lathe_with("attachment", &format!("foot_slack = {given}"));
        let line = 1 + lathe
            .lines()
            .position(|line| line.starts_with("foot_slack"))
            .expect("it is there");
        let source = |name, text| Source { name, text };
        let refused = decode(source("job.toml", many::JOB), source("lathe.toml", &lathe));
        let found = refused.err().unwrap_or_else(|| panic!("{given} is taken"));
        let [fault] = &found[..] else {
            panic!("{given}: one fault, not {found:#?}");
        };
        assert_eq!(
            (fault.file.as_str(), fault.line(&lathe)),
            ("lathe.toml", line)
        );
        let said = format!("{} {} {}", fault.message, fault.label, fault.hint);
        assert!(said.contains(words), "{given}: {said}");
        assert!(!fault.hint.is_empty(), "{given}");
    }
}
