//! Spreads and bands: what a person knows and what a drawing allows.

use proptest::prelude::*;
use tautway_sim::quantity::{
    Angle, Fault, Force, Length, Quantity, Ratio, Spread, Stiffness, Taper, parse_band,
};

fn spread<Q: Quantity>(text: &str) -> (f64, f64) {
    let spread = Spread::<Q>::parse(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    (spread.middle.si(), spread.half.si())
}

fn band<Q: Quantity>(text: &str) -> (f64, f64) {
    let (lower, upper) = parse_band::<Q>(text).unwrap_or_else(|f| panic!("{text}: {f:?}"));
    (lower.si(), upper.si())
}

fn near(left: (f64, f64), right: (f64, f64)) {
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (a.abs() + b.abs());
    assert!(
        close(left.0, right.0) && close(left.1, right.1),
        "{left:?} is not {right:?}"
    );
}

const INCH: f64 = 0.0254;

#[test]
fn spreads() {
    for text in [
        "0.080 in +- 0.010 in",
        "0.080 +- 0.010 in",
        "0.080 in ± 10 thou",
        "0.080 in+/-0.010 in",
        "80 thou +- 0.254 mm",
        "0.070 in to 0.090 in",
        "0.070 to 0.090 in",
        "0.080 in +- 12.5 %",
        "0.080 in +- 0.010",
    ] {
        let spread = Spread::<Length>::parse(text).unwrap();
        near(
            (spread.middle.si(), spread.half.si()),
            (0.080 * INCH, 0.010 * INCH),
        );
        near(
            (spread.low().si(), spread.high().si()),
            (0.070 * INCH, 0.090 * INCH),
        );
    }
    near(spread::<Length>("1-1/4 in"), (1.25 * INCH, 0.0));
    near(spread::<Force>("20 N +- 25 %"), (20.0, 5.0));
    near(spread::<Force>("-20 N +- 25 %"), (-20.0, 5.0));
    near(spread::<Stiffness>("10 +- 2 N per 0.01 mm"), (1e6, 2e5));
    near(spread::<Taper>("2 +- 0.01 in/ft"), (1.0 / 6.0, 0.01 / 12.0));
    near(spread::<Taper>("1:16 +- 1 mm/m per side"), (0.0625, 0.002));
}

#[test]
fn a_ratio_says_which_per_cent() {
    near(spread::<Ratio>("0.15 +- 20 %"), (0.15, 0.03));
    near(spread::<Ratio>("15 % +- 5 %"), (0.15, 0.05));
    near(spread::<Ratio>("10 to 20 %"), (0.15, 0.05));
}

#[test]
fn an_angle_spread_of_a_taper_is_half_its_swing() {
    let side = |degrees: f64| 2.0 * degrees.to_radians().tan();
    let right = (side(5.0), (side(6.0) - side(4.0)) / 2.0);
    for text in [
        "5 deg per side +- 1 deg",
        "5 +- 1 deg per side",
        "10 deg included +- 2 deg",
    ] {
        near(spread::<Taper>(text), right);
    }
}

#[test]
fn bands() {
    let thirty = 0.030 / 12.0;
    for text in [
        "+0.000 -0.030 in/ft",
        "-0.030 +0.000 in/ft",
        "0 -0.030 in/ft",
        "+0.000/-0.030 in/ft",
        "0 / -2.5 mm/m",
        "-0.030 in/ft / 0",
        "+0 in/ft -0.030 in/ft",
        "-0.030 in/ft +0.000",
        "0 -0.015 in/ft per side",
        "-0.030 to 0 in/ft",
    ] {
        near(band::<Taper>(text), (-thirty, 0.0));
    }
    near(band::<Taper>("0 / +0.030 in/ft"), (0.0, thirty));
    near(
        band::<Taper>("+-0.010 in/ft"),
        (-0.010 / 12.0, 0.010 / 12.0),
    );
    near(
        band::<Length>("+0.5 thou / -1 thou"),
        (-0.001 * INCH, 0.0005 * INCH),
    );
    near(
        band::<Length>("+1/2 -1/4 thou"),
        (-0.00025 * INCH, 0.0005 * INCH),
    );
    near(band::<Length>("+0.01 mm -1 thou"), (-0.001 * INCH, 1e-5));
    near(band::<Angle>("+5 min -5 min"), band::<Angle>("± 5 min"));
    assert!(band::<Taper>("+0.030 -0.000 in/ft").0.is_sign_positive());
}

fn spread_fault<Q: Quantity>(text: &str) -> &str {
    &text[Spread::<Q>::parse(text).expect_err(text).at]
}

fn band_fault<Q: Quantity>(text: &str) -> &str {
    &text[parse_band::<Q>(text).expect_err(text).at]
}

#[test]
fn spread_faults_point_at_the_place() {
    assert_eq!(spread_fault::<Length>("0.080 +- 0.010"), "0.080");
    assert_eq!(spread_fault::<Length>("0.080 +- 10 %"), "0.080");
    assert_eq!(spread_fault::<Length>("0.080 in +- -0.010 in"), "-0.010 in");
    assert_eq!(spread_fault::<Length>("0.080 in +- 1 lbf"), "lbf");
    assert_eq!(spread_fault::<Length>("0.080 in +-"), "");
    assert_eq!(spread_fault::<Length>("0.080 in - 0.090 in"), "-");
    assert_eq!(
        spread_fault::<Length>("0.090 in to 0.080 in"),
        "0.090 in to 0.080 in"
    );
    assert_eq!(spread_fault::<Length>("1 in +- 0.1 in +- 2 in"), "+- 2 in");
    assert_eq!(spread_fault::<Taper>("1:16 +- 1:200"), "1:200");
    assert_eq!(spread_fault::<Taper>("1:16 +- 1 deg"), "1 deg");
    assert_eq!(spread_fault::<Taper>("80 deg per side +- 20 deg"), "20 deg");
    assert_eq!(spread_fault::<Taper>("5 deg +- 1"), "5 deg");
}

#[test]
fn a_fit_may_lie_to_one_side_of_the_nominal() {
    for (text, low, high) in [
        ("+0.0015 / +0.0005 in", 0.0005, 0.0015),
        ("-0.010 -0.030 in", -0.030, -0.010),
        ("+0.000 +0.030 in", 0.0, 0.030),
    ] {
        let (lower, upper) = parse_band::<Length>(text).expect(text);
        assert!((lower.si() - low * 0.0254).abs() < 1e-12, "{text}");
        assert!((upper.si() - high * 0.0254).abs() < 1e-12, "{text}");
    }
}

#[test]
fn band_faults_point_at_the_place() {
    assert_eq!(
        band_fault::<Taper>("-0.010 -0.010 in/ft"),
        "-0.010 -0.010 in/ft"
    );
    assert_eq!(band_fault::<Taper>("+0.000 -0.030"), "-0.030");
    assert_eq!(band_fault::<Taper>("-0.030 in/ft"), "-0.030 in/ft");
    assert_eq!(band_fault::<Taper>("0 0.030 in/ft"), "0.030");
    assert_eq!(band_fault::<Taper>("+- -0.030 in/ft"), "-0.030 in/ft");
    assert_eq!(band_fault::<Taper>("0 -1:400"), "-1:400");
    assert_eq!(band_fault::<Taper>("+-1:400"), "1:400");
    assert_eq!(band_fault::<Taper>("+-5 min per side"), "5 min per side");
    assert_eq!(band_fault::<Taper>("+0 -0.030 in"), "in");
    assert_eq!(band_fault::<Length>("+0.001 -0.001 in 5"), "5");
}

fn try_all(text: &str) {
    fn placed(text: &str, fault: &Fault) {
        assert!(text.get(fault.at.clone()).is_some(), "{text:?} {fault:?}");
        assert!(!fault.message.is_empty() && !fault.hint.is_empty());
    }
    fn one<Q: Quantity>(text: &str) {
        match Spread::<Q>::parse(text) {
            Ok(spread) => assert!(
                spread.middle.si().is_finite() && spread.half.si() >= 0.0,
                "{text:?} {spread:?}"
            ),
            Err(fault) => placed(text, &fault),
        }
        match parse_band::<Q>(text) {
            Ok((lower, upper)) => assert!(lower.si() <= upper.si(), "{text:?}"),
            Err(fault) => placed(text, &fault),
        }
    }
    one::<Length>(text);
    one::<Taper>(text);
    one::<Angle>(text);
    one::<Ratio>(text);
}

proptest! {
    #[test]
    fn any_jumble_of_pieces_is_read_or_refused(
        pieces in prop::collection::vec(prop::sample::select(vec![
            "1", "0.080", "1e308", "0", "0.000", "3/4", "-", "+", "±", "+-", "/", ":", "to", "%",
            "in", "in/ft", "mm", "mm/m", "deg", "min", "per side", "included", "\"", "'", "é", "89",
        ]), 0..9)
    ) {
        try_all(&pieces.concat());
        try_all(&pieces.join(" "));
    }

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        try_all(&text);
    }
}
